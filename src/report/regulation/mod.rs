//! Bringing to time, beat and swing, and other towns, as keys and tables.

use std::fmt::Write as _;

use serde::Serialize;

use crate::answers::prediction::PredictError;
use crate::answers::regulation::{NutToTime, Regulation, SETTLED_WITHIN};
use crate::answers::towns::InTown;
use crate::answers::verdict::Reason;
use crate::clock::SECONDS_PER_DAY;
use crate::clock::design::Town;
use crate::clock::environment::site::pressure_pa;

use super::prediction::text::{line, number, reason_in_words};

/// How a clock is brought to time and into beat; `null` where a key has no meaning for the scenario or the clock stops.
#[derive(Debug, Clone, Copy, Default, PartialEq, Serialize)]
pub struct RegulationKeys {
    /// Turns of the rating nut that bring the clock to time, positive raises the bob.
    pub nut_turns_to_time: Option<f64>,
    /// The same as a way, positive up.
    pub nut_way_to_time_mm: Option<f64>,
    /// Half of the time from the entry tick to the exit tick less the time back.
    pub beat_error_ms: Option<f64>,
    /// Angle of the pallets against the pendulum that sets the beat right, positive to the right below the axis.
    pub beat_crutch_deg: Option<f64>,
    /// The same at the end of the crutch.
    pub beat_crutch_mm: Option<f64>,
    /// Periods until the swing is within 1 % of its limit.
    pub settling_periods: Option<f64>,
    /// The same in days.
    pub settling_days: Option<f64>,
}

impl RegulationKeys {
    /// The keys of a regulation.
    #[must_use]
    pub fn of(regulation: &Regulation) -> Self {
        let Regulation { nut, beat, settling } = *regulation;
        Self {
            nut_turns_to_time: nut.map(|nut| nut.turns),
            nut_way_to_time_mm: nut.map(|nut| 1e3 * nut.up_m),
            beat_error_ms: beat.map(|beat| 1e3 * beat.error_s),
            beat_crutch_deg: beat.and_then(|beat| beat.crutch_rad).map(f64::to_degrees),
            beat_crutch_mm: beat.and_then(|beat| beat.crutch_m).map(|way| 1e3 * way),
            settling_periods: settling.map(|settling| settling.periods),
            settling_days: settling.map(|settling| settling.time_s / SECONDS_PER_DAY),
        }
    }
}

/// Turns of a nut with the way they go.
fn turns(nut: &NutToTime) -> String {
    let way = if nut.turns < 0.0 { "down" } else { "up" };
    format!("{} turns {way} ({} mm)", number(nut.turns.abs(), 2), number(1e3 * nut.up_m.abs(), 2))
}

/// What to do with the clock once it hangs; empty where there is nothing to tell.
#[must_use]
pub fn regulation_table(regulation: &Regulation) -> String {
    let mut out = String::new();
    if let Some(nut) = &regulation.nut {
        line(&mut out, "rating nut, to bring it to time", &turns(nut));
    }
    if let Some(beat) = &regulation.beat {
        line(&mut out, "beat error, half the difference", &format!("{} ms", number(1e3 * beat.error_s, 2)));
        if let Some(angle) = beat.crutch_rad {
            let way = beat.crutch_m.map(|way| format!(", {} mm at the crutch", number(1e3 * way.abs(), 2)));
            let side = if angle < 0.0 { "left" } else { "right" };
            let text =
                format!("pallets {} deg to the {side}{}", number(angle.abs().to_degrees(), 3), way.unwrap_or_default());
            line(&mut out, "set right by", &text);
        }
    }
    if let Some(settling) = &regulation.settling {
        let label = format!("swing within {} % after", number(1e2 * SETTLED_WITHIN, 0));
        let minutes = number(settling.time_s / 60.0, 1);
        line(&mut out, &label, &format!("{minutes} min ({} periods)", number(settling.periods, 0)));
    }
    if out.is_empty() { out } else { format!("Setting up\n{out}") }
}

/// A town.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct TownKeys {
    /// Its name.
    pub name: String,
    /// Gravity there.
    pub gravity_m_s2: Option<f64>,
    /// Temperature.
    pub temperature_c: f64,
    /// Relative humidity, 0 to 1.
    pub relative_humidity: f64,
    /// Air pressure.
    pub pressure_hpa: Option<f64>,
    /// `keeps_going` or `stops`; `None` where there is no such clock.
    pub verdict: Option<&'static str>,
    /// Why it stops.
    pub reason: Option<Reason>,
    /// Why there is no such clock.
    pub no_clock: Option<String>,
    /// Mean semi-arc.
    pub semi_arc_deg: Option<f64>,
    /// Rate with the nut as its maker has left it, positive gains.
    pub rate_s_per_day: Option<f64>,
    /// Turns from there that bring it to time in the town, positive raises the bob.
    pub nut_turns_to_time: Option<f64>,
    /// The same as a way, positive up.
    pub nut_way_to_time_mm: Option<f64>,
    /// Turns between where it is on time at home and where it is on time in the town.
    pub nut_turns_from_home: Option<f64>,
}

impl TownKeys {
    /// A town, and the clock there; `home`: where the nut brings it to time at home.
    #[must_use]
    pub fn of(town: &Town, found: &Result<InTown, PredictError>, home: Option<NutToTime>) -> Self {
        let there = found.as_ref().ok();
        let steady = there.and_then(|there| there.prediction.steady.as_ref());
        let reason = there.and_then(|there| there.prediction.reason());
        let nut = there.and_then(|there| there.nut);
        Self {
            name: town.name.clone(),
            gravity_m_s2: there.map(|there| there.prediction.built.gravity_m_s2),
            temperature_c: town.place.temperature_c,
            relative_humidity: town.place.relative_humidity,
            pressure_hpa: pressure_pa(&town.place).ok().map(|pressure| 1e-2 * pressure),
            verdict: there.map(|_| if reason.is_some() { "stops" } else { "keeps_going" }),
            reason,
            no_clock: found.as_ref().err().map(ToString::to_string),
            semi_arc_deg: steady
                .map(|steady| (0.5 * (steady.measured.right_rad + steady.measured.left_rad)).to_degrees()),
            rate_s_per_day: steady.and_then(|steady| steady.rate_s_per_day),
            nut_turns_to_time: nut.map(|nut| nut.turns),
            nut_way_to_time_mm: nut.map(|nut| 1e3 * nut.up_m),
            nut_turns_from_home: nut.zip(home).map(|(there, home)| there.turns - home.turns),
        }
    }
}

/// The towns beside one another; empty where there are none.
#[must_use]
pub fn towns_table(towns: &[TownKeys]) -> String {
    if towns.is_empty() {
        return String::new();
    }
    let mut out = String::from("Elsewhere (rate with the nut as it is; the nut's way to time there)\n");
    let _ =
        writeln!(out, "  {:<34} {:>12} {:>9} {:>11} {:>10}", "town", "gravity", "arc deg", "rate s/day", "nut turns");
    for town in towns {
        let cell = |value: Option<f64>, decimals| value.map_or_else(|| "-".to_owned(), |value| number(value, decimals));
        let remark = match (&town.no_clock, town.reason) {
            (Some(error), _) => format!("  {error}"),
            (None, Some(reason)) => format!("  stops: {}", reason_in_words(reason)),
            (None, None) => String::new(),
        };
        let way = match town.nut_turns_to_time {
            Some(turns) if turns < 0.0 => " down",
            Some(_) => " up",
            None => "",
        };
        let _ = writeln!(
            out,
            "  {:<34} {:>12} {:>9} {:>11} {:>10}{way}{remark}",
            town.name,
            cell(town.gravity_m_s2, 5),
            cell(town.semi_arc_deg, 3),
            cell(town.rate_s_per_day, 1),
            cell(town.nut_turns_to_time.map(f64::abs), 2),
        );
    }
    out
}
