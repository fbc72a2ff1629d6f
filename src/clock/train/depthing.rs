//! How deep the wheels of a train stand in their pinions: as made, in their room and over the turns of both.

use crate::clock::design::{Arbor, Train};
use crate::clock::environment::expansion::FlatStrain;
use crate::clock::printing::train_print::GearPrint;

use super::gear_outline::{MadeGear, involute, involute_angle_rad};
use super::mesh::{GearPair, Mesh, Stance, WorkingMesh};
use super::train_made::MeshMade;

/// Backlash along the pitch circle where the scenario states none, in modules: common practice, no source.
pub const COMMON_BACKLASH_MODULES: f64 = 0.1;

/// Room between tip and root where the scenario states none, in modules: the usual rack's (ISO 53, from memory).
pub const COMMON_BOTTOM_CLEARANCE_MODULES: f64 = 0.25;

/// The mesh of a wheel with the pinion that it drives, lengths in modules of the wheel as designed.
///
/// Two things make the depth vary over a turn. A gear that runs out by `e` is nearer its fellow by `e cos(turn)`. A gear of wood,
/// whose strain along the grain is not that across it, is oval: at the angle `a` from its grain its radius is larger than the mean by
/// `r d cos 2a`, `d` half the difference of the strains. Where the run-out of an oval gear points in its grain is not known; the two
/// are taken to add up. At the deepest place wheel and pinion both turn their larger radius to each other, at the shallowest their
/// smaller one. The flanks are taken as those of the mean gear: what the same strain does to them is a pitch's share of `d`, not a
/// radius's.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Depthing {
    /// Mean over a turn.
    pub mean: WorkingMesh,
    /// Where the gears stand deepest in each other.
    pub deepest: WorkingMesh,
    /// Where they stand least deep.
    pub shallowest: WorkingMesh,
    /// The module; `None` where the scenario gives none.
    pub module_m: Option<f64>,
    /// Whether gears and distance are as designed.
    pub as_designed: bool,
    /// Whether the scenario states the backlash.
    pub backlash_stated: bool,
    pair: GearPair,
    stance: Stance,
    /// Largest change of the distance over a turn of each gear.
    over_turn: OverTurns,
    /// How many of the two gears the printer makes.
    printed_gears: u8,
}

/// By how much each gear of a mesh comes nearer to the other over its turn, modules.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
struct OverTurns {
    wheel: f64,
    pinion: f64,
}

/// What keeps teeth from passing, by how much in modules.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Tightness {
    /// The flanks do not fit: play missing along the pitch circle.
    Flanks(f64),
    /// A tip stands on the other gear's root: room missing.
    Roots(f64),
}

/// How often a mesh that jams does so.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum JamPlace {
    /// Wherever the gears stand.
    Everywhere,
    /// In every turn of the wheel, whatever the pinion's place.
    EveryTurnOfTheWheel,
    /// In every turn of the pinion, whatever the wheel's place.
    EveryTurnOfThePinion,
    /// Only where the worst places of both gears meet.
    BothAtTheirWorst,
}

/// Changes each of which by itself frees a mesh that jams, modules.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Remedies {
    /// More play of the teeth as designed; 0 where the flanks fit, `None` where that is not all that is missing.
    pub backlash: Option<f64>,
    /// More room below the tips as designed, likewise.
    pub bottom_clearance: Option<f64>,
    /// Less growth of the gears that are printed; `None` where none is.
    pub growth: Option<f64>,
    /// Arbors further apart.
    pub apart: f64,
}

impl Depthing {
    /// The depthing of an arbor's wheel in the next one's pinion; both tooth counts (wheel's, pinion's) at least 1.
    #[must_use]
    pub fn of(train: &Train, driver: &Arbor, (wheel_teeth, pinion_teeth): (u32, u32), made: &MeshMade) -> Self {
        let module_m = driver.module_m.filter(|&module_m| module_m > 0.0);
        let stated = driver.backlash_m.zip(module_m).map(|(backlash_m, module_m)| backlash_m / module_m);
        let pair = GearPair {
            pinion_teeth,
            wheel_teeth,
            pressure_angle_rad: train.pressure_angle_rad,
            backlash: stated.unwrap_or(COMMON_BACKLASH_MODULES),
            bottom_clearance: train.bottom_clearance_modules.unwrap_or(COMMON_BOTTOM_CLEARANCE_MODULES),
        };
        let MeshMade { strain, print } = made;
        // Millimetres mean nothing to gears without a module.
        let print = module_m.map_or_else(Default::default, |_| *print);
        let modules = |length_m: f64| module_m.map_or(0.0, |module_m| length_m / module_m);
        let gear = |strain: FlatStrain, print: Option<GearPrint>| {
            let grown = 1.0 + strain.mean();
            let GearPrint { part, .. } = print.unwrap_or_default();
            MadeGear {
                scale: if part.shrinkage == 0.0 { grown } else { grown * (1.0 - part.shrinkage) },
                growth: grown * modules(part.growth_m),
                bead: grown * modules(part.bead_radius_m),
            }
        };
        let apart = pair.designed_distance() * (1.0 + strain.frame);
        let apart = if print.frame_shrinkage == 0.0 { apart } else { apart * (1.0 - print.frame_shrinkage) };
        let stance = Stance {
            pinion: gear(strain.pinion, print.pinion),
            wheel: gear(strain.wheel, print.wheel),
            centre_distance: apart + modules(print.distance_error_m),
        };
        let oval = |teeth: u32, strain: FlatStrain| f64::from(teeth) * strain.half_difference().abs();
        let run_out = |print: Option<GearPrint>| print.map_or(0.0, |print| modules(print.run_out_m).abs());
        let over_turn = OverTurns {
            wheel: 0.5 * oval(wheel_teeth, strain.wheel) + run_out(print.wheel),
            pinion: 0.5 * oval(pinion_teeth, strain.pinion) + run_out(print.pinion),
        };
        let both = 0.5 * (oval(wheel_teeth, strain.wheel) + oval(pinion_teeth, strain.pinion))
            + (run_out(print.wheel) + run_out(print.pinion));
        let mean = pair.standing(&stance);
        let at = |closer: f64| if both == 0.0 { mean } else { pair.standing(&closer_by(stance, closer * both)) };
        Self {
            mean,
            deepest: at(1.0),
            shallowest: at(-1.0),
            module_m,
            as_designed: stance == pair.designed_stance() && both == 0.0,
            backlash_stated: stated.is_some(),
            pair,
            stance,
            over_turn,
            printed_gears: [print.wheel, print.pinion].iter().flatten().count() as u8,
        }
    }

    /// Action of the teeth, mean over a turn.
    #[must_use]
    pub fn mesh(&self) -> Mesh {
        self.mean.mesh
    }

    /// Distance of the arbors as designed, which is to be drilled or printed, m; `None` without a module.
    #[must_use]
    pub fn designed_distance_m(&self) -> Option<f64> {
        self.module_m.map(|module_m| module_m * self.pair.designed_distance())
    }

    /// What keeps the teeth from passing at the deepest place; `None` where they pass.
    #[must_use]
    pub fn tightness(&self) -> Option<Tightness> {
        tightness(&self.deepest)
    }

    /// How often the teeth jam; `None` where they pass everywhere.
    #[must_use]
    pub fn jams_where(&self) -> Option<JamPlace> {
        self.tightness()?;
        let OverTurns { wheel, pinion } = self.over_turn;
        let jams = |closer: f64| tightness(&self.pair.standing(&closer_by(self.stance, closer))).is_some();
        Some(if jams(-wheel - pinion) {
            JamPlace::Everywhere
        } else if jams(wheel - pinion) {
            JamPlace::EveryTurnOfTheWheel
        } else if jams(pinion - wheel) {
            JamPlace::EveryTurnOfThePinion
        } else {
            JamPlace::BothAtTheirWorst
        })
    }

    /// What would free the mesh; `None` where it is free.
    ///
    /// Along the line of action the flanks lack `n`. Growth less by `dg` on each printed gear gives `2 dg`, play as designed `dj` gives
    /// `dj cos(alpha) (k1 + k2)/2`, and arbors at the angle `a` for which `inv a = inv alpha' + n/(2 (rb1 + rb2))` all of it.
    #[must_use]
    pub fn remedies(&self) -> Option<Remedies> {
        self.tightness()?;
        let WorkingMesh { backlash, bottom_clearance, pressure_angle_rad, centre_distance, .. } = self.deepest;
        let normal = (-backlash * pressure_angle_rad.cos()).max(0.0);
        let room = (-bottom_clearance).max(0.0);
        let Stance { pinion, wheel, .. } = self.stance;
        let base_sum = centre_distance * pressure_angle_rad.cos();
        let freed = involute_angle_rad(involute(pressure_angle_rad) + 0.5 * normal / base_sum);
        let printed = f64::from(self.printed_gears);
        let mean_scale = 0.5 * (pinion.scale + wheel.scale);
        Some(Remedies {
            backlash: (room == 0.0).then(|| normal / (self.pair.pressure_angle_rad.cos() * mean_scale)),
            bottom_clearance: (normal == 0.0).then_some(room),
            growth: (printed > 0.0).then(|| (0.5 * normal).max(room) / printed),
            apart: (base_sum / freed.cos() - centre_distance).max(room),
        })
    }

    /// What is left before the mesh jams, modules: the lesser of backlash and bottom clearance at the deepest place.
    #[must_use]
    pub fn left_before_it_jams(&self) -> f64 {
        self.deepest.backlash.min(self.deepest.bottom_clearance)
    }

    /// Radii of the working pitch circles of pinion and wheel, m; their ratio is that of the teeth.
    #[must_use]
    pub fn pitch_radii_m(&self, module_m: f64) -> [f64; 2] {
        let Mesh { pinion_teeth, wheel_teeth, .. } = self.mean.mesh;
        // Of a whole number of teeth this is exact only without the way over the distance.
        let stretch = if self.as_designed {
            1.0
        } else {
            self.mean.centre_distance / f64::from(pinion_teeth + wheel_teeth) * 2.0
        };
        [pinion_teeth, wheel_teeth].map(|teeth| stretch * (0.5 * module_m * f64::from(teeth)))
    }
}

fn closer_by(stance: Stance, closer: f64) -> Stance {
    Stance { centre_distance: stance.centre_distance - closer, ..stance }
}

fn tightness(place: &WorkingMesh) -> Option<Tightness> {
    let WorkingMesh { backlash, bottom_clearance, .. } = *place;
    match (backlash < 0.0, bottom_clearance < 0.0) {
        (true, true) if bottom_clearance < backlash => Some(Tightness::Roots(-bottom_clearance)),
        (true, _) => Some(Tightness::Flanks(-backlash)),
        (false, true) => Some(Tightness::Roots(-bottom_clearance)),
        (false, false) => None,
    }
}
