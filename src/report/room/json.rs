//! What a clock's room does to it, under its keys.

use serde::Serialize;

use crate::answers::verdict::Reason;
use crate::clock::drive_level::DriveLevel;
use crate::clock::environment::expansion::RoomGroup;
use crate::clock::environment::site::pressure_pa;
use crate::report::provenance::Provenance;
use crate::report::towns::json::TownRecord;
use crate::study::room::limits::{Failing, RoomLimit};
use crate::study::room::{Coefficient, Mover, RoomPoint, RoomQuantity};

use super::RoomView;
use super::text::limit_of_humidity;
use super::view::{shown_in, unit};

const fn failing_name(failing: Failing) -> &'static str {
    match failing {
        Failing::MeshJams => "mesh_jams",
        Failing::MeshLeaves => "mesh_leaves",
        Failing::Hold(_) => "no_lock",
        Failing::Drop(_) => "no_drop",
        Failing::Clearance(_) => "no_clearance",
        Failing::Action => "no_action",
        Failing::Clock(_) => "stops",
    }
}

/// A row of room.csv and room.json.
#[derive(Debug, Clone, Serialize)]
pub(super) struct RoomPointRecord {
    pub(super) quantity: RoomQuantity,
    pub(super) value: f64,
    pub(super) unit: &'static str,
    pub(super) verdict: Option<&'static str>,
    pub(super) reason: Option<Reason>,
    pub(super) meets_margin: Option<bool>,
    pub(super) no_clock: Option<String>,
    pub(super) rate_s_per_day: Option<f64>,
    pub(super) semi_arc_deg: Option<f64>,
    pub(super) least_weight_kg: Option<f64>,
    pub(super) least_torque_n_m: Option<f64>,
    pub(super) lock_deg: Option<f64>,
}

impl RoomPointRecord {
    pub(super) fn of(point: &RoomPoint) -> Self {
        let (_, unit, factor) = shown_in(point.quantity);
        let answer = point.found.as_ref().ok();
        let least = answer.and_then(|answer| answer.least);
        Self {
            quantity: point.quantity,
            value: factor * point.value,
            unit,
            verdict: answer.map(|answer| if answer.reason.is_some() { "stops" } else { "keeps_going" }),
            reason: answer.and_then(|answer| answer.reason),
            meets_margin: answer.and_then(|answer| answer.meets_margin),
            no_clock: point.found.as_ref().err().cloned(),
            rate_s_per_day: answer.and_then(|answer| answer.rate_s_per_day),
            semi_arc_deg: answer.and_then(|answer| answer.semi_arc_rad).map(f64::to_degrees),
            least_weight_kg: least.and_then(DriveLevel::kg),
            least_torque_n_m: least.and_then(DriveLevel::torque_n_m),
            lock_deg: answer.and_then(|answer| answer.lock_rad).map(f64::to_degrees),
        }
    }
}

#[derive(Debug, Clone, Serialize)]
struct CoefficientRecord {
    quantity: RoomQuantity,
    per: &'static str,
    rate_s_per_day: Option<f64>,
    rod: Option<f64>,
    bob: Option<f64>,
    suspension: Option<f64>,
    works: Option<f64>,
    air: Option<f64>,
}

impl CoefficientRecord {
    pub(super) fn of(coefficient: &Coefficient) -> Self {
        let (per, size) = unit(coefficient.quantity);
        let by = |wanted: Mover| {
            let found = coefficient.by_mover.iter().find(|(mover, _)| *mover == wanted);
            found.and_then(|(_, value)| *value).map(|value| size * value)
        };
        Self {
            quantity: coefficient.quantity,
            per,
            rate_s_per_day: coefficient.whole.map(|value| size * value),
            rod: by(Mover::Parts(RoomGroup::Rod)),
            bob: by(Mover::Parts(RoomGroup::Bob)),
            suspension: by(Mover::Parts(RoomGroup::Suspension)),
            works: by(Mover::Parts(RoomGroup::Works)),
            air: by(Mover::Air),
        }
    }
}

/// A limit of humidity in room.json and family.json.
#[derive(Debug, Clone, Serialize)]
pub(in crate::report) struct LimitRecord {
    gives_way: &'static str,
    side: &'static str,
    relative_humidity: f64,
    stops: bool,
    reason: Option<Reason>,
    in_words: String,
}

impl LimitRecord {
    pub(in crate::report) fn of(limit: &RoomLimit) -> Self {
        Self {
            gives_way: failing_name(limit.failing),
            side: if limit.rising { "damper" } else { "drier" },
            relative_humidity: limit.at,
            stops: limit.stops,
            reason: if let Failing::Clock(reason) = limit.failing { reason } else { None },
            in_words: limit_of_humidity(limit),
        }
    }
}

/// What is in room.json.
#[derive(Debug, Clone, Serialize)]
pub struct RoomRecord {
    #[serde(flatten)]
    provenance: Provenance,
    name: String,
    temperature_c: f64,
    relative_humidity: f64,
    pressure_hpa: Option<f64>,
    points: Vec<RoomPointRecord>,
    coefficients: Vec<CoefficientRecord>,
    humidity_limits: Vec<LimitRecord>,
    towns: Vec<TownRecord>,
}

/// The rooms for room.json.
#[must_use]
pub fn record(view: &RoomView<'_>, provenance: Provenance) -> RoomRecord {
    let rooms = view.rooms;
    RoomRecord {
        provenance,
        name: view.name.to_owned(),
        temperature_c: view.place.temperature_c,
        relative_humidity: view.place.relative_humidity,
        pressure_hpa: pressure_pa(view.place).ok().map(|pressure| 0.01 * pressure),
        points: rooms.points.iter().map(RoomPointRecord::of).collect(),
        coefficients: rooms.coefficients.iter().map(CoefficientRecord::of).collect(),
        humidity_limits: rooms.limits.iter().map(LimitRecord::of).collect(),
        towns: view.towns.to_vec(),
    }
}
