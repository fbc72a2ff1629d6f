//! The clock in other towns under its keys.

use serde::Serialize;

use crate::answers::prediction::PredictError;
use crate::answers::regulation::NutToTime;
use crate::answers::towns::InTown;
use crate::answers::verdict::Reason;
use crate::clock::design::Town;
use crate::clock::environment::site::pressure_pa;
use crate::clock::train::mesh_name::MeshName;

/// A town.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct TownRecord {
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
    /// Meshes that jam there, for the reason in words.
    #[serde(skip)]
    pub jammed: Vec<MeshName>,
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

impl TownRecord {
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
            jammed: there.map(|there| there.prediction.built.jammed_meshes()).unwrap_or_default(),
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
