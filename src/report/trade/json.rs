//! Run time against weight under its keys.

use serde::Serialize;

use crate::clock::SECONDS_PER_DAY;
use crate::report::provenance::Provenance;
use crate::report::words::reasons::run_limit_key;
use crate::study::trade::{Reserve, TradePoint, Traded};

use super::TradeView;

/// A row of trade.csv and trade.json.
#[derive(Debug, Clone, Serialize)]
pub(super) struct TradePointRecord {
    pub(super) falls: u32,
    pub(super) drum_diameter_mm: f64,
    pub(super) weight_kg: Option<f64>,
    pub(super) least_weight_kg: Option<f64>,
    pub(super) run_time_days: Option<f64>,
    pub(super) turns_of_drum: Option<f64>,
    pub(super) run_ended_by: Option<&'static str>,
    pub(super) cord_tension_n: Option<f64>,
    pub(super) cord_breaking_strength_n: Option<f64>,
    pub(super) wall_pull_n: Option<f64>,
    pub(super) semi_arc_deg: Option<f64>,
    pub(super) rate_s_per_day: Option<f64>,
    pub(super) reason: Option<String>,
}

impl TradePointRecord {
    pub(super) fn of(falls: u32, drum_diameter_m: f64, traded: Option<&Traded>, reason: Option<String>) -> Self {
        let cord = traded.map(|traded| traded.report.cord);
        Self {
            falls,
            drum_diameter_mm: 1e3 * drum_diameter_m,
            weight_kg: traded.map(|traded| traded.weight_kg),
            least_weight_kg: traded.map(|traded| traded.least_kg),
            run_time_days: traded.map(|traded| traded.run.run_time_s / SECONDS_PER_DAY),
            turns_of_drum: traded.map(|traded| traded.run.turns),
            run_ended_by: traded.map(|traded| run_limit_key(traded.run.limit)),
            cord_tension_n: cord.map(|cord| cord.working_tension_n),
            cord_breaking_strength_n: cord.map(|cord| cord.asked_breaking_strength_n),
            wall_pull_n: cord.map(|cord| cord.wall_pull_n),
            semi_arc_deg: traded.and_then(|traded| traded.semi_arc_rad).map(f64::to_degrees),
            rate_s_per_day: traded.and_then(|traded| traded.rate_s_per_day),
            reason,
        }
    }

    pub(super) fn of_point(point: &TradePoint) -> Self {
        let reason = point.found.as_ref().err().map(ToString::to_string);
        Self::of(point.falls, point.drum_diameter_m, point.found.as_ref().ok(), reason)
    }
}

/// What is in trade.json.
#[derive(Debug, Clone, Serialize)]
pub struct TradeRecord {
    #[serde(flatten)]
    provenance: Provenance,
    name: String,
    margin_deg: Option<f64>,
    weight_over_least: Option<f64>,
    /// Diameter of the pulley assumed from two falls on, where the scenario has none.
    assumed_pulley_mm: Option<f64>,
    today: Option<TradePointRecord>,
    points: Vec<TradePointRecord>,
}

/// The trade for trade.json.
#[must_use]
pub fn record(view: &TradeView<'_>, provenance: Provenance) -> TradeRecord {
    let trade = view.trade;
    let (margin_deg, weight_over_least) = match trade.reserve {
        Reserve::Margin => (Some(view.margin_rad.to_degrees()), None),
        Reserve::Ratio(ratio) => (None, Some(ratio)),
    };
    TradeRecord {
        provenance,
        name: view.name.to_owned(),
        margin_deg,
        weight_over_least,
        assumed_pulley_mm: trade.assumed_pulley.map(|pulley| 1e3 * pulley.diameter_m),
        today: trade
            .today
            .as_ref()
            .map(|today| TradePointRecord::of(trade.own_falls, trade.own_drum_m, Some(today), None)),
        points: trade.points.iter().map(TradePointRecord::of_point).collect(),
    }
}
