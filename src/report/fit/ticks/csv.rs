//! The ticks, and the beats of a turn, as tables.

use crate::report::csv_table::{CsvTable, exact, written};

use super::TicksView;

/// Every tick used: its beat, time and deviations.
#[must_use]
pub fn ticks(view: &TicksView<'_>) -> Option<CsvTable> {
    let rows = view.fit.deviations.iter().map(|tick| {
        vec![tick.beat.to_string(), exact(tick.time_s), exact(1e3 * tick.from_even_s), exact(1e3 * tick.left_s)]
    });
    written("fit", &["beat", "time_s", "from_even_pace_ms", "left_ms"], rows)
}

/// The beats of a turn of the escape wheel; `None` where they are not told apart.
#[must_use]
pub fn turn(view: &TicksView<'_>) -> Option<CsvTable> {
    let by_beat_s = view.fit.by_beat_s.as_ref().ok()?;
    let rows = by_beat_s.iter().enumerate().map(|(beat, deviation)| {
        vec![
            (beat + 1).to_string(),
            (beat / 2 + 1).to_string(),
            if beat % 2 == 0 { "first" } else { "second" }.to_owned(),
            exact(1e3 * deviation.value),
            exact(1e3 * deviation.sigma),
        ]
    });
    written("fit-turn", &["beat", "tooth", "pallet", "deviation_ms", "sigma_ms"], rows)
}
