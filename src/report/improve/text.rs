//! A better design as a table.

use std::fmt::Write as _;

use crate::report::canvas::look;
use crate::report::words::numbers::counted;

use super::json::{AimRecord, ImproveRecord, VariedRecord};
use super::view::ImproveView;

/// Digits of a number in the table.
const DIGITS: i32 = 5;

fn short(value: f64) -> String {
    look::short(value, DIGITS)
}

fn or_dash(value: Option<f64>) -> String {
    value.map_or_else(|| "-".to_owned(), short)
}

/// Aims, limits and quantities before and after, what binds, how flat the optimum is.
#[must_use]
pub fn table(view: &ImproveView<'_>, record: &ImproveRecord) -> String {
    let tried = counted(view.found.trials.len(), "candidate", "candidates");
    let allowed = view.found.trials.iter().filter(|trial| trial.is_allowed()).count();
    let mut out = format!("{}: {tried}, {allowed} of them within the limits\n\n", view.name);
    let width = widest(record);
    let _ = writeln!(out, "  {:<width$} {:>14} {:>14}", "", "before", "after");
    for aim in &record.aims {
        let _ = writeln!(
            out,
            "  {:<width$} {:>14} {:>14}  {}",
            aim.key,
            or_dash(aim.before),
            or_dash(aim.after),
            asked(view, aim)
        );
    }
    for hold in &record.holds {
        let binds = if hold.binds { ", binds" } else { "" };
        let limit = format!("has to be {} {}{binds}", hold.sign, short(hold.level));
        let _ =
            writeln!(out, "  {:<width$} {:>14} {:>14}  {limit}", hold.key, or_dash(hold.before), or_dash(hold.after));
    }
    out.push('\n');
    for varied in &record.varied {
        let _ = writeln!(
            out,
            "  {:<width$} {:>14} {:>14}  {}",
            varied.path,
            varied.before.as_deref().unwrap_or("-"),
            varied.after,
            bounds(varied)
        );
    }
    let asked_already = |key: &str| {
        record.aims.iter().any(|aim| aim.key == key && !aim.of_copies)
            || record.holds.iter().any(|hold| hold.key == key)
    };
    let mut numbers = record.numbers.iter().filter(|number| !asked_already(&number.key)).peekable();
    if numbers.peek().is_some() {
        let whose = if view.question.copies.is_some() { "\n  The clock as the mean printer makes it:\n" } else { "\n" };
        out.push_str(whose);
    }
    for number in numbers {
        let _ = writeln!(out, "  {:<width$} {:>14} {:>14}", number.key, or_dash(number.before), or_dash(number.after));
    }
    flatness(&mut out, record, width);
    front(&mut out, record);
    out
}

fn widest(record: &ImproveRecord) -> usize {
    let keys = record.aims.iter().map(|aim| &aim.key).chain(record.holds.iter().map(|hold| &hold.key));
    let keys = keys
        .chain(record.varied.iter().map(|varied| &varied.path))
        .chain(record.numbers.iter().map(|number| &number.key));
    keys.map(|key| key.chars().count()).max().unwrap_or(0).max(20)
}

fn asked(view: &ImproveView<'_>, aim: &AimRecord) -> String {
    let wanted = aim.wanted.map(|wanted| format!(" {}", short(wanted))).unwrap_or_default();
    let copies = view.question.copies.filter(|_| aim.of_copies);
    let copies = copies
        .map(|copies| format!(", of {} % of {} copies", short(1e2 * copies.share), copies.count))
        .unwrap_or_default();
    format!("{}{wanted}{copies}", aim.direction)
}

fn bounds(varied: &VariedRecord) -> String {
    match (&varied.choices, varied.low, varied.high) {
        (Some(choices), _, _) => format!("one of {}", choices.join(", ")),
        (None, Some(low), Some(high)) => {
            let binds = varied.at_bound.map(|bound| format!(", at its {bound} bound")).unwrap_or_default();
            format!("{} to {}{binds}", short(low), short(high))
        }
        _ => String::new(),
    }
}

fn flatness(out: &mut String, record: &ImproveRecord, width: usize) {
    if record.varied.iter().all(|varied| varied.may_fall_to.is_none()) {
        return;
    }
    out.push_str("\n  How far each may move by itself until the aim is 1 % worse or a limit is broken:\n");
    for varied in &record.varied {
        let (Some(down), Some(up)) = (varied.may_fall_to, varied.may_rise_to) else { continue };
        let end = |end: &Option<String>| match end.as_deref() {
            Some("worse") | None => String::new(),
            Some("bound") => " (its bound)".to_owned(),
            Some("stops") => " (then it stops)".to_owned(),
            Some("no_clock") => " (then there is no such clock)".to_owned(),
            Some(key) => format!(" (then {key} breaks its limit)"),
        };
        let unit = varied.unit.as_ref().map(|unit| format!(" {unit}")).unwrap_or_default();
        let _ = writeln!(
            out,
            "  {:<width$} from {}{} to {}{unit}{}",
            varied.path,
            short(down),
            end(&varied.falls_until),
            short(up),
            end(&varied.rises_until)
        );
    }
}

fn front(out: &mut String, record: &ImproveRecord) {
    if record.front.is_empty() {
        return;
    }
    let keys: Vec<&str> = record.aims.iter().map(|aim| aim.key.as_str()).collect();
    let _ = writeln!(out, "\n  The front of {}; each is a file:", keys.join(" and "));
    for design in &record.front {
        let aims: Vec<String> = design.aims.iter().map(|aim| format!("{:>12}", or_dash(*aim))).collect();
        let _ = writeln!(out, "  {:<16}{}   {}", design.file, aims.join(" "), design.values.join(", "));
    }
}
