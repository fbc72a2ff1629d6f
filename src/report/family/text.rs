//! A family of clocks as text: the members beside each other, what makes them differ, their parts on the beds.

use std::fmt::Write as _;

use crate::answers::no_answer::NoAnswer;
use crate::clock::SECONDS_PER_DAY;
use crate::report::comparison::text::{FigureRow, SWING_AND_WEIGHT};
use crate::report::prediction::json::Results;
use crate::report::room::text::limit_of_humidity;
use crate::report::words::no_answer::missing_in_words;
use crate::report::words::numbers::{number, signed};
use crate::report::words::parts::{part_name, size_in_mm};
use crate::report::words::reasons::{run_limit_in_words, short_headline};
use crate::study::family::{BedFit, Member, Smallest, Steps};
use crate::study::levers::answers::ClockAnswers;

use super::{FamilyView, bed_in_words, lengths_mm};

/// Changes smaller than this, as a share, are printed as none: the search for the least weight ends some 1e-4 of itself from it.
const SMALLEST_CHANGE: f64 = 5e-4;

/// Width of a member's column, characters.
const COLUMN: usize = 21;

/// Width of the labels, characters.
const LABEL: usize = 36;

fn row(out: &mut String, label: &str, cells: impl Iterator<Item = String>) {
    let _ = write!(out, "  {label:<LABEL$}");
    for cell in cells {
        let _ = write!(out, " {:>COLUMN$}", fitted(&cell));
    }
    out.push('\n');
}

/// Shortened to a column, the end marked.
fn fitted(text: &str) -> String {
    if text.chars().count() <= COLUMN {
        return text.to_owned();
    }
    text.chars().take(COLUMN - 2).chain("..".chars()).collect()
}

/// Measure of a least drive.
#[derive(Debug, Clone, Copy)]
struct Measure {
    /// Its name and unit.
    unit: &'static str,
    /// Printed value of one kg or N m.
    per_si: f64,
    /// What is least.
    what: &'static str,
}

const WEIGHT: Measure = Measure { unit: "kg", per_si: 1.0, what: "Least weight" };

const TORQUE: Measure = Measure { unit: "mN m", per_si: 1e3, what: "Least torque" };

/// Of members some of which have a weight and some a bare torque.
const OWN: Measure = Measure { unit: "kg, N m", per_si: 1.0, what: "Least drive" };

impl FamilyView<'_> {
    /// The measure that fits these members.
    fn measure(&self, members: impl IntoIterator<Item = usize>) -> Measure {
        let weights: Vec<bool> = members.into_iter().map(|number| self.results[number].weight_kg.is_some()).collect();
        match (weights.contains(&true), weights.contains(&false)) {
            (true, true) => OWN,
            (false, true) => TORQUE,
            _ => WEIGHT,
        }
    }
}

/// All tables.
#[must_use]
pub fn table(view: &FamilyView<'_>) -> String {
    let mut parts = vec![members_table(view)];
    for (number, member) in view.members.iter().enumerate() {
        let measure = view.measure([0, number]);
        parts.extend(
            member.steps.as_ref().map(|steps| steps_table(&view.names[0], &view.names[number], steps, measure)),
        );
    }
    if view.members.iter().any(|member| !member.sizes.is_empty()) {
        parts.push(sizes_table(view));
    }
    parts.extend(view.members.iter().zip(view.names).map(|(member, name)| parts_table(name, member)));
    parts.join("\n")
}

/// A line for each member whose pendulum swings in another time than its train counts.
fn beats_apart(view: &FamilyView<'_>) -> String {
    let mut out = String::new();
    for (member, name) in view.members.iter().zip(view.names) {
        if let Some((train_s, own_s)) = member.periods_apart_s() {
            let _ = writeln!(
                out,
                "  {name} is no clock of that beat: its pendulum beats every {} s, its train counts {} s; leave \
                 scale.pendulum at 1, or give the train other tooth counts",
                number(0.5 * own_s, 3),
                number(0.5 * train_s, 3)
            );
        }
    }
    out
}

fn or_dash(value: Option<f64>, decimals: usize) -> String {
    value.map_or_else(|| "-".to_owned(), |value| number(value, decimals))
}

fn members_table(view: &FamilyView<'_>) -> String {
    let mut out = String::from("The family\n");
    row(&mut out, "", view.names.iter().cloned());
    row(&mut out, "scale of the parts not named", view.members.iter().map(|member| number(member.factor, 3)));
    let verdict = |results: &Results| short_headline(results.reason, results.meets_margin).to_owned();
    row(&mut out, "verdict", view.results.iter().map(verdict));
    let run_time: FigureRow = ("run time by the dial (days)", 2, |results| results.run_time_days);
    for (label, decimals, pick) in SWING_AND_WEIGHT.into_iter().chain([run_time]) {
        row(&mut out, label, view.results.iter().map(|results| or_dash(pick(results), decimals)));
    }
    let turns = view.members.iter().map(|member| or_dash(member.prediction.run_time.map(|run| run.turns), 1));
    row(&mut out, "turns of the drum in a run", turns);
    row(
        &mut out,
        "run ended by",
        view.members
            .iter()
            .map(|member| member.prediction.run_time.map_or("-", |run| run_limit_in_words(run.limit)).to_owned()),
    );
    let lengths: Vec<_> =
        view.members.iter().map(|member| lengths_mm(member.prediction.action(), member.lengths)).collect();
    for (number_of, side) in ["entry", "exit"].into_iter().enumerate() {
        let degrees = |pick: fn(&crate::report::action::json::PalletRecord) -> f64| {
            view.results.iter().map(move |results| {
                results.action.map(|action| pick(if number_of == 0 { &action.entry } else { &action.exit }))
            })
        };
        let both = |degrees: Option<f64>, mm: Option<f64>| match degrees.zip(mm) {
            Some((degrees, mm)) => format!("{} / {}", number(degrees, 3), number(mm, 2)),
            None => "-".to_owned(),
        };
        let locks = degrees(|record| record.lock_deg).zip(&lengths);
        row(
            &mut out,
            &format!("{side} lock (deg / mm)"),
            locks.map(|(lock, mm)| both(lock, mm.map(|mm| mm.lock[number_of]))),
        );
        let drops = degrees(|record| record.drop_deg).zip(&lengths);
        row(
            &mut out,
            &format!("{side} drop (deg of the wheel / mm)"),
            drops.map(|(drop, mm)| both(drop, mm.map(|mm| mm.drop[number_of]))),
        );
    }
    row(
        &mut out,
        "largest part",
        view.members
            .iter()
            .map(|member| member.largest_part().map_or_else(|| "-".to_owned(), |size| part_name(&size.part))),
    );
    row(
        &mut out,
        "  its size (mm)",
        view.members.iter().map(|member| member.largest_part().map_or_else(|| "-".to_owned(), size_in_mm)),
    );
    type PickSize = fn(&Member) -> Option<&Smallest>;
    let limits: [(&str, PickSize); 2] = [
        ("smallest scale that goes", |member| member.smallest.as_ref()),
        ("smallest scale that goes and locks", |member| member.smallest_locking.as_ref()),
    ];
    for (label, pick) in limits {
        row(&mut out, label, view.members.iter().map(|member| smallest_scale(pick(member))));
    }
    for (label, damper) in [("fails below (% humidity)", false), ("fails above (% humidity)", true)] {
        let at = |member: &Member| match (&member.humidity, member.first_limit(damper)) {
            (_, Some(limit)) => number(100.0 * limit.at, 1),
            (Some(_), None) => "none".to_owned(),
            (None, None) => "-".to_owned(),
        };
        row(&mut out, label, view.members.iter().map(at));
    }
    let beds = view.members.first().map_or(0, |member| member.beds.len());
    for bed in 0..beds {
        let label = format!("largest scale on {}", bed_in_words(&view.members[0].beds[bed].bed));
        row(&mut out, &label, view.members.iter().map(|member| largest_scale(&member.beds[bed])));
    }
    for (member, name) in view.members.iter().zip(view.names) {
        let mut printed_before = None;
        for (_, pick) in limits {
            let line = match pick(member) {
                Some(Smallest::At { below, reason, .. }) => {
                    format!("  {name} at scale {}: {}", number(*below, 3), missing_in_words(reason))
                }
                Some(Smallest::NotAsItIs(reason)) => format!("  {name} at its own size: {}", missing_in_words(reason)),
                Some(Smallest::Beyond(_)) | None => continue,
            };
            if printed_before.as_ref() != Some(&line) {
                let _ = writeln!(out, "{line}");
            }
            printed_before = Some(line);
        }
        for limit in [false, true].into_iter().filter_map(|damper| member.first_limit(damper)) {
            let _ = writeln!(out, "  {name}. {}", limit_of_humidity(limit));
        }
    }
    out.push_str(&beats_apart(view));
    out
}

fn smallest_scale(smallest: Option<&Smallest>) -> String {
    match smallest {
        Some(Smallest::At { factor, .. }) => number(*factor, 3),
        Some(Smallest::Beyond(factor)) => format!("below {}", number(*factor, 3)),
        Some(Smallest::NotAsItIs(_)) | None => "-".to_owned(),
    }
}

fn largest_scale(fit: &BedFit) -> String {
    match (fit.largest, fit.never.is_empty()) {
        (Some(largest), _) => number(largest, 3),
        (None, false) => "none".to_owned(),
        (None, true) => "any".to_owned(),
    }
}

fn steps_table(first: &str, name: &str, steps: &Steps, measure: Measure) -> String {
    let mut out = format!("From {first} to {name}, one group at a time\n");
    let least = format!("least {}", measure.unit);
    let _ = writeln!(
        out,
        "  {:<LABEL$} {least:>13} {:>10} {:>10} {:>10} {:>10} {:>10}",
        "", "change", "run days", "change", "arc deg", "rate s/day"
    );
    let mut last: Option<&ClockAnswers> = steps.start.as_ref().ok();
    let _ = writeln!(out, "{}", step_row(first, &steps.start, None, measure));
    for step in &steps.steps {
        let _ = writeln!(out, "{}", step_row(step.what, &step.after, last, measure));
        last = step.after.as_ref().ok().or(last);
    }
    let _ = writeln!(out, "  {}", because("Run time", "days", &run_days, 2, steps));
    // A weight and a bare torque have no difference.
    if measure.unit != OWN.unit {
        let _ = writeln!(out, "  {}", because(measure.what, measure.unit, &least_in(measure), 3, steps));
    }
    out
}

fn run_days(point: &ClockAnswers) -> Option<f64> {
    point.run_time_s.map(|run_s| run_s / SECONDS_PER_DAY)
}

fn least_in(measure: Measure) -> impl Fn(&ClockAnswers) -> Option<f64> {
    move |point| point.least.map(|least| measure.per_si * least.value())
}

fn step_row(
    what: &str,
    point: &Result<ClockAnswers, NoAnswer>,
    last: Option<&ClockAnswers>,
    measure: Measure,
) -> String {
    let point = match point {
        Ok(point) => point,
        Err(trouble) => return format!("  {what:<LABEL$} no such clock: {}", missing_in_words(trouble)),
    };
    let change = |pick: &dyn Fn(&ClockAnswers) -> Option<f64>, decimals| match (pick(point), last.and_then(pick)) {
        (Some(here), Some(before)) => signed(here - before, decimals),
        _ => String::new(),
    };
    let least = least_in(measure);
    format!(
        "  {what:<LABEL$} {:>13} {:>10} {:>10} {:>10} {:>10} {:>10}",
        or_dash(least(point), 3),
        change(&least, 3),
        or_dash(run_days(point), 2),
        change(&run_days, 2),
        point.semi_arc_rad.map_or_else(|| "stops".to_owned(), |arc| number(arc.to_degrees(), 3)),
        or_dash(point.answers(None)[0], 1),
    )
}

/// What a figure does from the first member to the last step, and which groups do it, the strongest first.
fn because(
    what: &str,
    unit: &str,
    pick: &dyn Fn(&ClockAnswers) -> Option<f64>,
    decimals: usize,
    steps: &Steps,
) -> String {
    let mut last = steps.start.as_ref().ok().and_then(pick);
    let (Some(start), Some(end)) =
        (last, steps.steps.last().map_or(last, |step| step.after.as_ref().ok().and_then(pick)))
    else {
        return format!("{what}: there is nothing to compare.");
    };
    let mut changes: Vec<(&str, f64)> = Vec::new();
    for step in &steps.steps {
        let Some(here) = step.after.as_ref().ok().and_then(pick) else { continue };
        changes.extend(last.map(|last| (step.what, here - last)));
        last = Some(here);
    }
    changes.retain(|(_, change)| change.abs() > SMALLEST_CHANGE * start.abs());
    changes.sort_by(|a, b| b.1.abs().total_cmp(&a.1.abs()));
    let way = match end - start {
        change if change.abs() <= SMALLEST_CHANGE * start.abs() => {
            return format!("{what} stays at {} {unit}.", number(start, decimals));
        }
        change if change < 0.0 => "falls",
        _ => "rises",
    };
    let causes: Vec<String> =
        changes.iter().map(|(what, change)| format!("{what} {}", signed(*change, decimals))).collect();
    format!("{what} {way} from {} to {} {unit}: {}.", number(start, decimals), number(end, decimals), causes.join(", "))
}

fn sizes_table(view: &FamilyView<'_>) -> String {
    let mut out =
        String::from("In other sizes (bead, clearances, bearings, cord and fall stay unless [scale] names them)\n");
    let measure = view.measure(0..view.members.len());
    let least = format!("least {}", measure.unit);
    let _ = writeln!(
        out,
        "  {:<26} {:>7} {least:>13} {:>10} {:>9} {:>10} {:>13} {:>9} {:>10}",
        "", "scale", "run days", "arc deg", "rate s/day", "locks mm", "drop mm", "largest mm"
    );
    for (member, name) in view.members.iter().zip(view.names) {
        for size in &member.sizes {
            let (name, scale) = (fitted(name), number(size.factor, 3));
            let found = match &size.found {
                Ok(found) => found,
                Err(trouble) => {
                    let _ = writeln!(out, "  {name:<26} {scale:>7}  no such clock: {}", missing_in_words(trouble));
                    continue;
                }
            };
            let mm = lengths_mm(found.action, found.lengths);
            let point = &found.point;
            let arc = point.semi_arc_rad.map_or_else(|| "stops".to_owned(), |arc| number(arc.to_degrees(), 3));
            let _ = writeln!(
                out,
                "  {name:<26} {scale:>7} {:>13} {:>10} {arc:>9} {:>10} {:>13} {:>9} {:>10}",
                or_dash(least_in(measure)(point), 3),
                or_dash(run_days(point), 2),
                or_dash(point.answers(None)[0], 1),
                mm.map_or_else(
                    || "-".to_owned(),
                    |mm| format!("{} / {}", number(mm.lock[0], 2), number(mm.lock[1], 2))
                ),
                or_dash(mm.map(|mm| mm.drop[0]), 2),
                or_dash(found.largest.as_ref().map(|part| 1e3 * part.footprint.longest_m()), 1),
            );
        }
    }
    out
}

fn parts_table(name: &str, member: &Member) -> String {
    let mut out = format!("Parts of {name}");
    let beds: Vec<String> = member.beds.iter().map(|fit| bed_in_words(&fit.bed)).collect();
    if !beds.is_empty() {
        let _ = write!(out, ", with the largest scale that fits");
    }
    let _ = writeln!(out);
    let _ = write!(out, "  {:<26} {:>20}", "", "mm");
    for bed in &beds {
        let _ = write!(out, " {bed:>20}");
    }
    let _ = writeln!(out);
    for (number_of, part) in member.parts.iter().enumerate() {
        let _ = write!(out, "  {:<26} {:>20}", part_name(&part.part), size_in_mm(part));
        for fit in &member.beds {
            let here = &fit.parts[number_of];
            let fits = if here.growth >= 1.0 { "" } else { "too large, " };
            let cell = match here.largest {
                Some(largest) => format!("{fits}{}", number(largest, 3)),
                None if here.growth >= 1.0 => "fits".to_owned(),
                None => "too large".to_owned(),
            };
            let _ = write!(out, " {cell:>20}");
        }
        let _ = writeln!(out);
    }
    if member.parts.iter().any(|part| !part.in_one_piece) {
        out.push_str("  The frame may be made in pieces and is not counted.\n");
    }
    out
}
