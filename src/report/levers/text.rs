//! Levers in a maker's words.

use std::fmt::Write as _;

use crate::answers::no_answer::NoAnswer;
use crate::clock::SECONDS_PER_DAY;
use crate::clock::build::Built;
use crate::clock::environment::InRoom;
use crate::report::canvas::look::significant;
use crate::report::prediction::text::{number, reason_in_words};
use crate::report::words::no_answer::missing_in_words;
use crate::study::levers::answers::Answer;
use crate::study::levers::slope::Slope;
use crate::study::levers::steps::STEP_RULE;
use crate::study::levers::{Lever, Levers, StepEffect, resolution};

/// What the levers of a clock are told with.
#[derive(Debug, Clone, Copy)]
pub struct Told<'t> {
    /// The clock's name.
    pub name: &'t str,
    /// Its levers.
    pub levers: &'t Levers,
    /// Whether it is driven by a weight; else by a torque, or not at all.
    pub by_weight: bool,
    /// Rate per turn of the rating nut that raises the bob, s/day, in closed form.
    pub nut_s_per_day_per_turn: Option<f64>,
    /// The answer that ranks.
    pub by: Answer,
}

/// Columns of the text table.
const WIDTH: usize = 118;

impl<'t> Told<'t> {
    /// Levers of a clock that was built, ranked by an answer.
    #[must_use]
    pub fn of(design: &'t InRoom, built: &Built, levers: &'t Levers, by: Answer) -> Self {
        Self {
            name: &design.name,
            levers,
            by_weight: design.has_weight() && built.prepared_drive.is_some(),
            nut_s_per_day_per_turn: built.pendulum.as_ref().and_then(|report| report.nut_s_per_day_per_turn),
            by,
        }
    }

    /// Key of an answer, with its unit.
    #[must_use]
    pub const fn key(&self, answer: Answer) -> &'static str {
        match (answer, self.by_weight) {
            (Answer::Rate, _) => "rate_s_per_day",
            (Answer::Amplitude, _) => "semi_arc_deg",
            (Answer::Least, true) => "least_weight_kg",
            (Answer::Least, false) => "least_torque_n_m",
            (Answer::Margin, true) => "weight_ratio",
            (Answer::Margin, false) => "torque_ratio",
            (Answer::RunTime, _) => "run_time_days",
        }
    }

    /// An answer in words.
    #[must_use]
    pub const fn words(&self, answer: Answer) -> &'static str {
        match (answer, self.by_weight) {
            (Answer::Rate, _) => "rate",
            (Answer::Amplitude, _) => "semi-arc",
            (Answer::Least, true) => "least weight",
            (Answer::Least, false) => "least torque",
            (Answer::Margin, true) => "margin (weight over least weight)",
            (Answer::Margin, false) => "margin (torque over least torque)",
            (Answer::RunTime, _) => "run time",
        }
    }

    /// A change as printed: rate in s/day, semi-arc in degrees, all else in % of the answer; with the unit's name. `None` where there
    /// is no answer.
    #[must_use]
    pub fn shown(&self, answer: Answer, change: f64) -> Option<(f64, &'static str)> {
        let today = self.levers.today[answer.index()]?;
        let value = match answer {
            Answer::Rate => (change, "s/day"),
            Answer::Amplitude => (change.to_degrees(), "deg"),
            Answer::Least | Answer::Margin | Answer::RunTime => (1e2 * change / today, "%"),
        };
        value.0.is_finite().then_some(value)
    }
}

/// Share of the larger effect by which a step down may differ from the mirror of a step up and still not be told.
const MIRRORED: f64 = 0.5;

/// The sides of a lever that are told, and whether each is a step up: the one with the answer; of two whose effects on it are about
/// each other's mirror the step up; else both, the larger effect first.
#[must_use]
pub fn told_sides(lever: &Lever, by: Answer) -> Vec<(&StepEffect, bool)> {
    let (up, down) = ((&lever.up, true), (&lever.down, false));
    let none = |side: &StepEffect| matches!(side.missing, Some(NoAnswer::Refused(_) | NoAnswer::Build(_)));
    match (none(up.0), none(down.0)) {
        (true, false) => return vec![down],
        (_, true) => return vec![up],
        (false, false) => {}
    }
    match (up.0.change[by.index()], down.0.change[by.index()]) {
        (Some(above), Some(below)) if (above + below).abs() <= MIRRORED * above.abs().max(below.abs()) => vec![up],
        (Some(above), Some(below)) if above.abs() < below.abs() => vec![down, up],
        (Some(_), None) if lever.stops(by) => vec![down, up],
        (None, None) => vec![up],
        _ => vec![up, down],
    }
}

/// `value` with its sign, to about three digits.
#[must_use]
pub fn signed(value: f64) -> String {
    let decimals = match value.abs() {
        large if large >= 99.5 => 0,
        middle if middle >= 9.95 => 1,
        small if small >= 0.0995 => 2,
        _ => 3,
    };
    let text = number(value, decimals);
    let nothing = text.chars().all(|letter| matches!(letter, '0' | '.'));
    if nothing {
        "0".to_owned()
    } else if text.starts_with('-') {
        text
    } else {
        format!("+{text}")
    }
}

/// A step with its direction.
#[must_use]
pub fn step_in_words(lever: &Lever, up: bool) -> String {
    format!("{}{}", if up { "+" } else { "-" }, lever.quantity.step_text)
}

/// The levers by their effect on the ranking answer, the first `top` of them.
#[must_use]
pub fn levers_table(told: &Told<'_>, top: usize) -> String {
    let levers = told.levers;
    let mut out = format!("{}: levers, by their effect on the {}\n\n", told.name, told.words(told.by));
    today(&mut out, told);
    let moving: Vec<&Lever> = levers.ranked(told.by).into_iter().filter(|lever| lever.moves(&levers.today)).collect();
    sentences(&mut out, told, &moving);
    rows(&mut out, told, &moving[..top.min(moving.len())]);
    let more = moving.len().saturating_sub(top);
    if more > 0 {
        let _ = writeln!(out, "  and {more} more with less effect (--top {} shows all)", moving.len());
    }
    if let Some(rate) = told.nut_s_per_day_per_turn {
        let _ = writeln!(out, "  rating nut, a turn up: rate {} s/day (closed form)", signed(rate));
    }
    if told.by_weight {
        out.push_str("  The weight itself does not change the run time, which is drop, falls and drum alone.\n");
    }
    out.push('\n');
    no_answers(&mut out, levers);
    let still: Vec<&str> = levers
        .levers
        .iter()
        .filter(|lever| !lever.moves(&levers.today) && !lever.has_no_answer())
        .map(|lever| lever.quantity.path.as_str())
        .collect();
    paragraph(&mut out, "No effect on any of these: ", &still.join(", "));
    let left: Vec<String> = levers.left_out.iter().map(|left| format!("{} ({})", left.path, left.reason)).collect();
    paragraph(&mut out, "Not tried: ", &left.join(", "));
    paragraph(&mut out, "Steps: ", STEP_RULE);
    out
}

fn today(out: &mut String, told: &Told<'_>) {
    let today = &told.levers.today;
    let value = |answer: Answer| today[answer.index()];
    let mut parts = Vec::new();
    if let (Some(rate), Some(_)) = (value(Answer::Rate), told.levers.point.train_period_s) {
        parts.push(format!("rate {} s/day", signed(rate)));
    }
    parts.extend(value(Answer::Amplitude).map(|arc| format!("semi-arc {} deg", number(arc.to_degrees(), 3))));
    parts.extend(value(Answer::Least).map(|least| {
        if told.by_weight {
            format!("least weight {} kg", number(least, 3))
        } else {
            format!("least torque {} mN m", number(1e3 * least, 4))
        }
    }));
    parts.extend(value(Answer::Margin).map(|margin| format!("margin {}", number(margin, 2))));
    parts.extend(value(Answer::RunTime).map(|run| format!("run {} days", number(run / SECONDS_PER_DAY, 2))));
    let _ = writeln!(out, "  today: {}", parts.join(", "));
    if let Some(trouble) = &told.levers.point.missing {
        let _ = writeln!(out, "  As it is {}; rate and semi-arc have no levers.", missing_in_words(trouble));
    }
}

/// The first three levers as sentences.
fn sentences(out: &mut String, told: &Told<'_>, moving: &[&Lever]) {
    let first: Vec<String> = moving.iter().take(3).filter_map(|lever| sentence(told, lever)).collect();
    for text in &first {
        let _ = writeln!(out, "  {text}");
    }
    out.push('\n');
}

/// "0.1 mm more escapement.dead_beat.radius: least weight +4 %, rate -3 s/day".
#[must_use]
pub fn sentence(told: &Told<'_>, lever: &Lever) -> Option<String> {
    let &(side, up) = told_sides(lever, told.by).first()?;
    let direction = if up { "more" } else { "less" };
    let mut effects: Vec<String> = Vec::new();
    if let Some(NoAnswer::Stops(reason)) = side.missing {
        effects.push(format!("the clock stops, {}", reason_in_words(reason)));
    }
    for answer in Answer::ALL {
        let Some(change) = side.change[answer.index()] else { continue };
        if change.abs() <= resolution(answer, &told.levers.today) {
            continue;
        }
        let (value, unit) = told.shown(answer, change)?;
        let text = signed(value);
        if text.starts_with(['+', '-']) {
            let words = if answer == Answer::Margin { "margin" } else { told.words(answer) };
            effects.push(format!("{words} {text} {unit}"));
        }
    }
    (!effects.is_empty())
        .then(|| format!("{} {direction} {}: {}", lever.quantity.step_text, lever.quantity.path, effects.join(", ")))
}

fn rows(out: &mut String, told: &Told<'_>, shown: &[&Lever]) {
    let widest =
        |pick: fn(&Lever) -> usize, least: usize| shown.iter().map(|lever| pick(lever)).max().unwrap_or(0).max(least);
    let path = widest(|lever| lever.quantity.path.chars().count(), 8);
    let now = widest(|lever| now(lever).chars().count(), 5);
    let _ = writeln!(
        out,
        "  {:<path$}  {:>now$} {:>9} {:>9} {:>11} {:>10} {:>9} {:>9} {:>11}",
        "quantity", "now", "step", "margin %", "least %", "rate s/day", "arc deg", "run %", "elasticity"
    );
    for lever in shown {
        for (number, (side, up)) in told_sides(lever, told.by).into_iter().enumerate() {
            let first = |text: String| if number == 0 { text } else { String::new() };
            let cell = |answer: Answer| match (side.change[answer.index()], &side.missing) {
                (Some(change), _) => {
                    told.shown(answer, change).map_or_else(|| "-".to_owned(), |(value, _)| signed(value))
                }
                (None, Some(NoAnswer::Stops(_))) if matches!(answer, Answer::Rate | Answer::Amplitude) => {
                    "stops".to_owned()
                }
                _ => "-".to_owned(),
            };
            let row = format!(
                "  {:<path$}  {:>now$} {:>9} {:>9} {:>11} {:>10} {:>9} {:>9} {:>11}",
                first(lever.quantity.path.clone()),
                first(self::now(lever)),
                step_in_words(lever, up),
                cell(Answer::Margin),
                cell(Answer::Least),
                cell(Answer::Rate),
                cell(Answer::Amplitude),
                cell(Answer::RunTime),
                first(elasticity(told, lever)),
            );
            let _ = writeln!(out, "{}", row.trim_end());
        }
    }
    let elastic = if told.by == Answer::Rate { "clock's speed" } else { told.words(told.by) };
    let note = format!(
        "% change of the {elastic} per % of the quantity; \"*\": from the one side that has an answer; \"corner\": it differs above \
         and below; \"?\": it does not settle as the step is made smaller."
    );
    paragraph(out, "Elasticity: ", &note);
}

/// The value as written; one that the scenario leaves to its default in brackets.
fn now(lever: &Lever) -> String {
    let quantity = &lever.quantity;
    match (&quantity.unit, quantity.stated) {
        (_, true) => quantity.written.split(['+', '\u{b1}']).next().unwrap_or_default().trim().to_owned(),
        (Some(unit), false) => format!("({} {unit})", significant(quantity.number, 5)),
        (None, false) => format!("({})", quantity.number),
    }
}

fn elasticity(told: &Told<'_>, lever: &Lever) -> String {
    let slope = lever.slopes[told.by.index()];
    match (slope, lever.elasticity(told.by, &told.levers.today)) {
        (Some(Slope::OneSided { .. }), Some(elasticity)) => format!("{} *", signed(elasticity)),
        (_, Some(elasticity)) => signed(elasticity),
        (Some(Slope::Corner { .. }), None) => "corner".to_owned(),
        (Some(Slope::Unsettled { .. }), None) => "?".to_owned(),
        _ => "-".to_owned(),
    }
}

fn no_answers(out: &mut String, levers: &Levers) {
    let mut any = false;
    for lever in &levers.levers {
        let troubles =
            [&lever.up, &lever.down].map(|side| side.missing.as_ref().filter(|_| levers.point.missing.is_none()));
        // None either way: told once, with the words for the step up.
        let lines = match troubles {
            [Some(above), Some(_)] if lever.has_no_answer() => {
                let (step, path) = (&lever.quantity.step_text, &lever.quantity.path);
                vec![format!("{step} {path}, up or down: {}", missing_in_words(above))]
            }
            both => both
                .into_iter()
                .zip([true, false])
                .filter_map(|(trouble, up)| Some((trouble?, step_in_words(lever, up))))
                .map(|(trouble, step)| format!("{step} {}: {}", lever.quantity.path, missing_in_words(trouble)))
                .collect(),
        };
        for text in lines {
            if !any {
                out.push_str("No answer\n");
                any = true;
            }
            for line in wrapped_at(&text, WIDTH - 2) {
                let _ = writeln!(out, "  {line}");
            }
        }
    }
    if any {
        out.push('\n');
    }
}

/// A text in lines of at most `width` letters, broken at blanks.
fn wrapped_at(text: &str, width: usize) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    for word in text.split(' ') {
        match lines.last_mut() {
            Some(line) if line.chars().count() + 1 + word.chars().count() <= width => {
                line.push(' ');
                line.push_str(word);
            }
            _ => lines.push(word.to_owned()),
        }
    }
    lines
}

fn paragraph(out: &mut String, head: &str, text: &str) {
    if text.is_empty() {
        return;
    }
    for line in wrapped_at(&format!("{head}{text}"), WIDTH) {
        let _ = writeln!(out, "{line}");
    }
}
