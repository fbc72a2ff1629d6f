//! Levers in a maker's words.

use std::fmt::Write as _;

use crate::answers::no_answer::NoAnswer;
use crate::clock::SECONDS_PER_DAY;
use crate::report::canvas::look::significant;
use crate::report::words::no_answer::missing_in_words;
use crate::report::words::numbers::{self, number};
use crate::report::words::quantities::quantity_in_words;
use crate::report::words::reasons::reason_in_words;
use crate::study::levers::answers::LeverAnswer;
use crate::study::levers::slope::Slope;
use crate::study::levers::steps::STEP_RULE;
use crate::study::levers::{Lever, Levers, resolution};

use super::{LeversView, shown_sides};

/// Columns of the text table.
const WIDTH: usize = 118;

/// `value` with its sign, to about three digits.
#[must_use]
pub fn signed(value: f64) -> String {
    let decimals = match value.abs() {
        large if large >= 99.5 => 0,
        middle if middle >= 9.95 => 1,
        small if small >= 0.0995 => 2,
        _ => 3,
    };
    let text = numbers::signed(value, decimals);
    if text.starts_with(['+', '\u{2212}']) { text } else { "0".to_owned() }
}

/// A step with its direction.
#[must_use]
pub fn step_in_words(lever: &Lever, up: bool) -> String {
    format!("{}{}", if up { "+" } else { "\u{2212}" }, lever.quantity.step_text)
}

/// What a lever is, with its path in the scenario: "lock of the pallets, `escapement.dead_beat.lock`".
fn words_and_path(path: &str) -> String {
    format!("{}, `{path}`", quantity_in_words(path))
}

/// The levers by their effect on the ranking answer, the first `top` of them.
#[must_use]
pub fn table(view: &LeversView<'_>, top: usize) -> String {
    let levers = view.levers;
    let mut out = format!("{}: levers, by their effect on the {}\n\n", view.name, view.words(view.by));
    today(&mut out, view);
    let moving: Vec<&Lever> = levers.ranked(view.by).into_iter().filter(|lever| lever.moves(&levers.today)).collect();
    sentences(&mut out, view, &moving);
    rows(&mut out, view, &moving[..top.min(moving.len())]);
    let more = moving.len().saturating_sub(top);
    if more > 0 {
        let _ = writeln!(out, "  and {more} more with a smaller effect (--top {} shows all)", moving.len());
    }
    if let Some(rate) = view.nut_s_per_day_per_turn {
        let _ = writeln!(out, "  rating nut, one turn up: rate {} s/day (closed form)", signed(rate));
    }
    if view.by_weight {
        out.push_str(
            "  The weight does not change the run time: only its fall, the falls of the cord and the drum do.\n",
        );
    }
    out.push('\n');
    no_answers(&mut out, levers);
    let still: Vec<String> = levers
        .levers
        .iter()
        .filter(|lever| !lever.moves(&levers.today) && !lever.has_no_answer())
        .map(|lever| words_and_path(&lever.quantity.path))
        .collect();
    paragraph(&mut out, "No effect on any answer: ", &still.join("; "));
    let left: Vec<String> =
        levers.left_out.iter().map(|left| format!("{} ({})", words_and_path(&left.path), left.reason)).collect();
    paragraph(&mut out, "Not tried: ", &left.join("; "));
    paragraph(&mut out, "Steps: ", STEP_RULE);
    out
}

pub(super) fn today(out: &mut String, view: &LeversView<'_>) {
    let today = &view.levers.today;
    let value = |answer: LeverAnswer| today[answer.index()];
    let mut parts = Vec::new();
    if let (Some(rate), Some(_)) = (value(LeverAnswer::Rate), view.levers.point.train_period_s) {
        parts.push(format!("rate {} s/day", signed(rate)));
    }
    parts.extend(value(LeverAnswer::Amplitude).map(|arc| format!("semi-arc {} deg", number(arc.to_degrees(), 3))));
    parts.extend(value(LeverAnswer::Least).map(|least| {
        if view.by_weight {
            format!("least weight {} kg", number(least, 3))
        } else {
            format!("least torque {} mN m", number(1e3 * least, 4))
        }
    }));
    parts.extend(value(LeverAnswer::Margin).map(|margin| format!("{} {}", view.reserve(), number(margin, 2))));
    parts.extend(value(LeverAnswer::RunTime).map(|run| format!("run {} days", number(run / SECONDS_PER_DAY, 2))));
    let _ = writeln!(out, "  today: {}", parts.join(", "));
    if let Some(trouble) = &view.levers.point.missing {
        let _ = writeln!(out, "  As it is, {}; rate and semi-arc have no levers.", missing_in_words(trouble));
    }
}

/// The first three levers as sentences.
fn sentences(out: &mut String, view: &LeversView<'_>, moving: &[&Lever]) {
    let first: Vec<String> = moving.iter().take(3).filter_map(|lever| sentence(view, lever)).collect();
    for text in &first {
        let _ = writeln!(out, "  {text}");
    }
    out.push('\n');
}

/// "wheel radius of the escapement, `escapement.dead_beat.radius`, +0.1 mm: least weight +4 %, rate −3 s/day".
#[must_use]
pub fn sentence(view: &LeversView<'_>, lever: &Lever) -> Option<String> {
    let &(side, up) = shown_sides(lever, view.by).first()?;
    let mut effects: Vec<String> = Vec::new();
    if let Some(NoAnswer::Stops(reason)) = side.missing {
        effects.push(format!("the clock stops, {}", reason_in_words(reason)));
    }
    for answer in LeverAnswer::ALL {
        let Some(change) = side.change[answer.index()] else { continue };
        if change.abs() <= resolution(answer, &view.levers.today) {
            continue;
        }
        let (value, unit) = view.shown(answer, change)?;
        let text = signed(value);
        if text.starts_with(['+', '\u{2212}']) {
            let words = if answer == LeverAnswer::Margin { view.reserve() } else { view.words(answer) };
            effects.push(format!("{words} {text} {unit}"));
        }
    }
    (!effects.is_empty()).then(|| {
        format!("{}, {}: {}", words_and_path(&lever.quantity.path), step_in_words(lever, up), effects.join(", "))
    })
}

fn rows(out: &mut String, view: &LeversView<'_>, shown: &[&Lever]) {
    let widest =
        |pick: fn(&Lever) -> usize, least: usize| shown.iter().map(|lever| pick(lever)).max().unwrap_or(0).max(least);
    let path = widest(|lever| lever.quantity.path.chars().count(), 8);
    let now = widest(|lever| now(lever).chars().count(), 5);
    let _ = writeln!(
        out,
        "  {:<path$}  {:>now$} {:>9} {:>9} {:>11} {:>10} {:>9} {:>9} {:>11}",
        "quantity", "now", "step", "reserve %", "least %", "rate s/day", "arc deg", "run %", "elasticity"
    );
    for lever in shown {
        for (number, (side, up)) in shown_sides(lever, view.by).into_iter().enumerate() {
            let first = |text: String| if number == 0 { text } else { String::new() };
            let cell = |answer: LeverAnswer| match (side.change[answer.index()], &side.missing) {
                (Some(change), _) => {
                    view.shown(answer, change).map_or_else(|| "-".to_owned(), |(value, _)| signed(value))
                }
                (None, Some(NoAnswer::Stops(_))) if matches!(answer, LeverAnswer::Rate | LeverAnswer::Amplitude) => {
                    "stops".to_owned()
                }
                _ => "-".to_owned(),
            };
            let row = format!(
                "  {:<path$}  {:>now$} {:>9} {:>9} {:>11} {:>10} {:>9} {:>9} {:>11}",
                first(lever.quantity.path.clone()),
                first(self::now(lever)),
                step_in_words(lever, up),
                cell(LeverAnswer::Margin),
                cell(LeverAnswer::Least),
                cell(LeverAnswer::Rate),
                cell(LeverAnswer::Amplitude),
                cell(LeverAnswer::RunTime),
                first(elasticity(view, lever)),
            );
            let _ = writeln!(out, "{}", row.trim_end());
        }
    }
    let elastic = if view.by == LeverAnswer::Rate { "clock's speed" } else { view.words(view.by) };
    let note = format!(
        "% change of the {elastic} per % of the quantity; \"*\": only one direction has an answer; \"corner\": it \
            differs above and below; \"?\": it does not converge as the step is made smaller."
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

fn elasticity(view: &LeversView<'_>, lever: &Lever) -> String {
    let slope = lever.slopes[view.by.index()];
    match (slope, lever.elasticity(view.by, &view.levers.today)) {
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
        // None either way: one line, with the words for the step up.
        let lines = match troubles {
            [Some(above), Some(_)] if lever.has_no_answer() => {
                let (step, lever) = (&lever.quantity.step_text, words_and_path(&lever.quantity.path));
                vec![format!("{lever}, {step} up or down: {}", missing_in_words(above))]
            }
            both => both
                .into_iter()
                .zip([true, false])
                .filter_map(|(trouble, up)| Some((trouble?, step_in_words(lever, up))))
                .map(|(trouble, step)| {
                    format!("{}, {step}: {}", words_and_path(&lever.quantity.path), missing_in_words(trouble))
                })
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
