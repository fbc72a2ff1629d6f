//! Bringing to time, beat and swing, as a table.

use crate::answers::regulation::{NutToTime, Regulation, SETTLED_WITHIN};
use crate::report::words::numbers::{line, number};

/// Turns of a nut with the way they go.
pub(in crate::report) fn turns(nut: &NutToTime) -> String {
    let way = if nut.turns < 0.0 { "down" } else { "up" };
    format!("{} turns {way} ({} mm)", number(nut.turns.abs(), 2), number(1e3 * nut.up_m.abs(), 2))
}

/// What to do with the clock once it hangs; empty where there is nothing to do.
#[must_use]
pub fn table(regulation: &Regulation) -> String {
    let mut out = String::new();
    if let Some(nut) = &regulation.nut {
        line(&mut out, "rating nut, to bring it to time", &turns(nut));
    }
    if let Some(beat) = &regulation.beat {
        line(
            &mut out,
            "out of beat by",
            &format!("{} ms (half the difference of tick and tock)", number(1e3 * beat.error_s.abs(), 2)),
        );
        if let Some(angle) = beat.crutch_rad {
            let way = beat.crutch_m.map(|way| format!(", {} mm at the crutch", number(1e3 * way.abs(), 2)));
            let side = if angle < 0.0 { "left" } else { "right" };
            let text = format!("{} deg to the {side}{}", number(angle.abs().to_degrees(), 3), way.unwrap_or_default());
            line(&mut out, "to correct, turn the pallets", &text);
        }
    }
    if let Some(settling) = &regulation.settling {
        let label = format!("swing settles to within {} % in", number(1e2 * SETTLED_WITHIN, 0));
        let minutes = number(settling.time_s / 60.0, 1);
        line(&mut out, &label, &format!("{minutes} min ({} periods)", number(settling.periods, 0)));
    }
    if out.is_empty() { out } else { format!("Setting up\n{out}") }
}
