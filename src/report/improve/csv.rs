//! A better design as tables: before and after, every candidate, the front.

use crate::report::csv_table::{CsvTable, exact, optional, written, yes_or_no};
use crate::study::improve::candidates::TriedDesign;

use super::json::ImproveRecord;
use super::view::ImproveView;

/// Before and after, a number or quantity a row.
#[must_use]
pub fn before_after(record: &ImproveRecord) -> Option<CsvTable> {
    let columns = [
        "what",
        "key",
        "asked",
        "before",
        "after",
        "binds",
        "may_fall_to",
        "falls_until",
        "may_rise_to",
        "rises_until",
    ];
    let mut rows: Vec<Vec<String>> = Vec::new();
    let short =
        |cells: [String; 6]| cells.into_iter().chain(std::iter::repeat_n(String::new(), 4)).collect::<Vec<String>>();
    for aim in &record.aims {
        let wanted = aim.wanted.map(|wanted| format!(" {wanted}")).unwrap_or_default();
        rows.push(short([
            "aim".to_owned(),
            aim.key.clone(),
            format!("{}{wanted}", aim.direction),
            optional(aim.before),
            optional(aim.after),
            String::new(),
        ]));
    }
    for hold in &record.holds {
        let asked = format!("{} {}", hold.sign, exact(hold.level));
        rows.push(short([
            "limit".to_owned(),
            hold.key.clone(),
            asked,
            optional(hold.before),
            optional(hold.after),
            yes_or_no(Some(hold.binds)),
        ]));
    }
    for varied in &record.varied {
        let asked = match (&varied.choices, varied.low, varied.high) {
            (Some(choices), _, _) => choices.join("|"),
            (None, Some(low), Some(high)) => {
                format!("{low}..{high} {}", varied.unit.as_deref().unwrap_or("")).trim_end().to_owned()
            }
            _ => String::new(),
        };
        rows.push(vec![
            "quantity".to_owned(),
            varied.path.clone(),
            asked,
            varied.before.clone().unwrap_or_default(),
            varied.after.clone(),
            varied.at_bound.unwrap_or("").to_owned(),
            optional(varied.may_fall_to),
            varied.falls_until.clone().unwrap_or_default(),
            optional(varied.may_rise_to),
            varied.rises_until.clone().unwrap_or_default(),
        ]);
    }
    for number in &record.numbers {
        rows.push(short([
            "number".to_owned(),
            number.key.clone(),
            String::new(),
            optional(number.before),
            optional(number.after),
            String::new(),
        ]));
    }
    written("improve", &columns, rows.into_iter())
}

/// Every candidate in the order in which it was asked.
#[must_use]
pub fn candidates(view: &ImproveView<'_>) -> Option<CsvTable> {
    let question = view.question;
    let mut columns = vec!["candidate".to_owned()];
    columns.extend(question.varied.iter().map(|varied| varied.path.clone()));
    columns.extend(question.aims.iter().map(|aim| question.numbers[aim.number].key.clone()));
    columns.extend(question.holds.iter().map(|hold| format!("held {}", question.numbers[hold.number].key)));
    columns.extend(["keeps_limits", "stops", "no_clock"].map(str::to_owned));
    let columns: Vec<&str> = columns.iter().map(String::as_str).collect();
    let row = |(number, (tried, trial)): (usize, (&TriedDesign, &crate::numerics::search::PointTrial))| {
        let found = tried.found.as_ref().ok();
        let mut cells = vec![(number + 1).to_string()];
        cells.extend(
            question
                .varied
                .iter()
                .zip(&tried.point)
                .map(|(varied, &place)| varied.number(place).map_or_else(|| varied.shown(place), exact)),
        );
        cells.extend(question.aims.iter().map(|aim| optional(found.and_then(|found| found.of_aims[aim.number]))));
        cells.extend(question.holds.iter().map(|hold| optional(found.and_then(|found| found.numbers[hold.number]))));
        cells.push(yes_or_no(Some(trial.is_allowed())));
        cells.push(found.and_then(|found| found.stops.clone()).unwrap_or_default());
        cells.push(tried.found.as_ref().err().cloned().unwrap_or_default());
        cells
    };
    written("candidates", &columns, view.found.candidates.iter().zip(&view.found.trials).enumerate().map(row))
}

/// The front of two aims, a design a row; `None` with one aim.
#[must_use]
pub fn front(view: &ImproveView<'_>, record: &ImproveRecord) -> Option<CsvTable> {
    let mut columns = vec!["file".to_owned()];
    columns.extend(record.aims.iter().map(|aim| aim.key.clone()));
    columns.extend(view.question.varied.iter().map(|varied| varied.path.clone()));
    columns.extend(record.holds.iter().map(|hold| format!("held {}", hold.key)));
    let columns: Vec<&str> = columns.iter().map(String::as_str).collect();
    let rows = record.front.iter().map(|design| {
        let aims = design.aims.iter().map(|aim| optional(*aim));
        let holds = design.holds.iter().map(|hold| optional(*hold));
        std::iter::once(design.file.clone()).chain(aims).chain(design.values.iter().cloned()).chain(holds).collect()
    });
    written("front", &columns, rows)
}
