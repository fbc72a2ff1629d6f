//! What of a clock can hurt or damage, with its figures; the words are the report's.

use super::build::Built;
use super::design::{DriveDesign, MaterialRef, MotorClock, PendulumDesign, Train, WeightDrive};
use super::environment::InRoom;
use super::materials::{is_of, is_printed, is_wood};
use super::printing::printer::Printer;
use super::strength::{Strength, strength};
use super::train::arbor_strength::{ASKED_ARBOR_FACTOR, MOST_OPENING_MODULES};
use super::train::losses::{CORD_DESIGN_FACTOR, CordLoad};
use super::train::tooth_strength::ASKED_TOOTH_FACTOR;

/// Strength that a wall fixing should have over what hangs on it: common practice, no source.
pub const WALL_FACTOR: f64 = 4.0;

/// Name of the plastic that softens first.
const PLA: &str = "PLA";

/// Heat deflection temperature of PLA filament, degrees Celsius. Source: Mater. Sci.-Poland 2025, doi 10.2478/msp-2025-0039 (seen).
pub const PLA_SOFTENS_AT_C: f64 = 55.0;

/// Temperature below which loaded parts of PLA are kept, degrees Celsius: common practice, no source.
pub const PLA_KEPT_BELOW_C: f64 = 45.0;

/// One thing to be careful of.
#[derive(Debug, Clone, PartialEq)]
pub enum Caution {
    /// A weight hangs up high, and falls where cord, knot or hook gives way.
    HangingWeight {
        /// Its mass, kg.
        mass_kg: f64,
        /// Height through which it may fall, m.
        fall_m: f64,
        /// What it brings down with it, J: `m g h`.
        energy_j: f64,
    },
    /// The cord works for years.
    Cord {
        /// Largest tension, N.
        working_load_n: f64,
        /// Breaking strength that it should have, knot included, N.
        asked_breaking_strength_n: f64,
        /// Breaking strength that the scenario gives, and what it comes to; `None` where it gives none.
        given: Option<CordGiven>,
    },
    /// The clock hangs on a wall.
    WallFixing {
        /// Weight, pendulum and movement without its plates, N.
        load_n: f64,
        /// The same with [`WALL_FACTOR`].
        asked_n: f64,
    },
    /// A wall or case is to be stiffened, or another one found.
    SupportFixing,
    /// A tooth may break, and the weight then falls.
    WeakTooth {
        /// Strength over stress of the weakest one.
        factor: f64,
        /// Its gear, "great wheel".
        gear: String,
        /// Thickness of the gears' faces at which it would be strong enough, m.
        asked_width_m: f64,
    },
    /// An arbor may bend or break.
    WeakArbor {
        /// Strength over stress of the weakest one.
        factor: f64,
        /// Its name.
        arbor: String,
        /// Diameter at which it would be strong enough, m.
        asked_diameter_m: f64,
    },
    /// Arbors sag so far that a mesh opens.
    MeshOpens {
        /// Arbor of the wheel.
        wheel: String,
        /// Arbor of the pinion.
        pinion: String,
        /// By how much, m.
        opening_m: f64,
        /// Module, m.
        module_m: f64,
    },
    /// Parts of wood are sawn and sanded.
    WoodDust,
    /// Parts come from a printer's hot nozzle.
    HotParts,
    /// Parts of PLA carry the clock's forces: it softens in the sun and gives way slowly at any time.
    PlaUnderLoad {
        /// Temperature at which it bends under load, degrees Celsius.
        softens_at_c: f64,
        /// Whether it may be the drum of a weight that gives way; a motor has none.
        has_drum: bool,
        /// The tooth of PLA under the largest stress while the weight hangs; `None` where none is known.
        tooth: Option<LoadedTooth>,
    },
    /// Cells feed a motor.
    Battery,
    /// No cell is given: an adapter feeds a motor.
    Mains,
}

/// A tooth that bears a steady load.
#[derive(Debug, Clone, PartialEq)]
pub struct LoadedTooth {
    /// Its gear, "great wheel".
    pub gear: String,
    /// Stress at its root, Pa.
    pub stress_pa: f64,
    /// Strength of its material over that; `None` where that is not known.
    pub factor: Option<f64>,
}

/// The cord of a scenario that says what it breaks at.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CordGiven {
    /// Breaking strength without a knot, N.
    pub breaking_strength_n: f64,
    /// Working load, N.
    pub working_load_n: f64,
    /// Strength over working load.
    pub factor: f64,
    /// How it stands to what is asked.
    pub enough: Enough,
}

/// How a cord stands to its load.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Enough {
    /// At least the strength asked for, knots included.
    Yes,
    /// The design factor is met only by a cord without a knot.
    WithoutKnot,
    /// The design factor is not met.
    No,
}

/// The cautions of a clock with a pendulum, the gravest first.
#[must_use]
pub fn cautions(in_room: &InRoom, built: &Built) -> Vec<Caution> {
    let mut found = Vec::new();
    if let (Some(DriveDesign::Weight(weight)), Some(drive)) = (&in_room.drive, &built.drive) {
        let cord = drive.cord;
        found.push(Caution::HangingWeight {
            mass_kg: weight.weight_kg,
            fall_m: weight.drop_m,
            energy_j: cord.wall_pull_n * weight.drop_m,
        });
        found.push(Caution::Cord {
            working_load_n: cord.working_tension_n,
            asked_breaking_strength_n: cord.asked_breaking_strength_n,
            given: cord_given(weight, &cord),
        });
        let pendulum_kg = match &in_room.pendulum {
            PendulumDesign::Parts(_) => built.pendulum.as_ref().map_or(0.0, |pendulum| pendulum.mass_kg),
            PendulumDesign::Lumped(lumped) => lumped.mass_kg,
        };
        let arbors_kg: f64 = in_room.train.iter().flat_map(|train| &train.arbors).map(|arbor| arbor.mass_kg).sum();
        let load_n = cord.wall_pull_n + (pendulum_kg + arbors_kg) * built.gravity_m_s2;
        found.push(Caution::WallFixing { load_n, asked_n: WALL_FACTOR * load_n });
    }
    found.extend(in_room.support.map(|_| Caution::SupportFixing));
    found.extend(too_weak(in_room, built));
    if in_room.has_weight() && loaded_materials(in_room).any(|material| is_of(material, PLA)) {
        let tooth = loaded_tooth_of_pla(in_room, built);
        found.push(Caution::PlaUnderLoad { softens_at_c: PLA_SOFTENS_AT_C, has_drum: true, tooth });
    }
    found.extend(of_making(&materials(in_room), in_room.printer != Printer::default()));
    found
}

/// The tooth of PLA that the hanging weight bends most.
fn loaded_tooth_of_pla(in_room: &InRoom, built: &Built) -> Option<LoadedTooth> {
    let (strength, train) = strength(in_room, built).zip(in_room.train.as_ref())?;
    let of_pla = strength.teeth.iter().filter_map(|load| {
        let arbor = train.arbors.get(load.arbor)?;
        let made_of = if load.is_pinion { &arbor.pinion } else { &arbor.wheel };
        made_of.as_ref().filter(|made_of| is_of(&made_of.material, PLA))?;
        let (gear, stress_pa) = (format!("{} {}", arbor.name, load.gear_name()), load.stress_pa?);
        Some(LoadedTooth { gear, stress_pa, factor: load.factor })
    });
    of_pla.max_by(|a, b| a.stress_pa.total_cmp(&b.stress_pa))
}

/// What of teeth and arbors is weaker than is asked: the weakest tooth, the weakest arbor, the mesh that opens most.
fn too_weak(in_room: &InRoom, built: &Built) -> Vec<Caution> {
    let Some((Strength { teeth, arbors, .. }, train)) = strength(in_room, built).zip(in_room.train.as_ref()) else {
        return Vec::new();
    };
    let name = |index: usize| train.arbors.get(index).map_or_else(String::new, |arbor| arbor.name.clone());
    let least = |found: Option<(f64, Caution)>, asked: f64| found.filter(|(factor, _)| *factor < asked);
    let teeth = teeth.iter().filter_map(|load| {
        let (factor, asked_width_m) = load.factor.zip(load.asked_width_m)?;
        let gear = format!("{} {}", name(load.arbor), load.gear_name());
        Some((factor, Caution::WeakTooth { factor, gear, asked_width_m }))
    });
    let bent = arbors.iter().filter_map(|load| {
        let (factor, asked_diameter_m) = load.factor.zip(load.asked_diameter_m)?;
        Some((factor, Caution::WeakArbor { factor, arbor: name(load.arbor), asked_diameter_m }))
    });
    // What is left of the module's share, so that the least is the worst here too.
    let opened = arbors.iter().filter_map(|load| {
        let opening = load.opening?;
        let (wheel, pinion, opening_m, module_m) =
            (name(load.arbor), name(load.arbor + 1), opening.opening_m, opening.module_m);
        Some((-opening_m / module_m, Caution::MeshOpens { wheel, pinion, opening_m, module_m }))
    });
    let worst = |a: &(f64, Caution), b: &(f64, Caution)| a.0.total_cmp(&b.0);
    [
        least(teeth.min_by(worst), ASKED_TOOTH_FACTOR),
        least(bent.min_by(worst), ASKED_ARBOR_FACTOR),
        least(opened.min_by(worst), -MOST_OPENING_MODULES),
    ]
    .into_iter()
    .flatten()
    .map(|(_, caution)| caution)
    .collect()
}

/// The cautions of making parts of some materials; `printed` where a printer is described.
fn of_making(materials: &[&MaterialRef], printed: bool) -> Vec<Caution> {
    let any = |is: fn(&MaterialRef) -> bool| materials.iter().any(|material| is(material));
    let wood = any(is_wood).then_some(Caution::WoodDust);
    let hot = (printed || any(is_printed)).then_some(Caution::HotParts);
    wood.into_iter().chain(hot).collect()
}

/// The cautions of a clock driven by a motor.
#[must_use]
pub fn motor_cautions(clock: &MotorClock) -> Vec<Caution> {
    let fed = if clock.supply.capacity_a_s.is_some() { Caution::Battery } else { Caution::Mains };
    let materials: Vec<&MaterialRef> = gears(&clock.train).collect();
    // The hands hang on the gears, and the motor pushes them at every step.
    let soft = materials.iter().any(|material| is_of(material, PLA)).then_some(Caution::PlaUnderLoad {
        softens_at_c: PLA_SOFTENS_AT_C,
        has_drum: false,
        tooth: None,
    });
    std::iter::once(fed).chain(soft).chain(of_making(&materials, false)).collect()
}

/// The cord of a scenario that says what it breaks at; `None` of one that does not, and where nothing pulls at it.
pub(super) fn cord_given(weight: &WeightDrive, cord: &CordLoad) -> Option<CordGiven> {
    let breaking_strength_n = weight.cord_breaking_strength_n.filter(|_| cord.working_tension_n > 0.0)?;
    let (working_load_n, asked_n) = (cord.working_tension_n, cord.asked_breaking_strength_n);
    let factor = breaking_strength_n / working_load_n;
    let enough = if breaking_strength_n >= asked_n {
        Enough::Yes
    } else if factor >= CORD_DESIGN_FACTOR {
        Enough::WithoutKnot
    } else {
        Enough::No
    };
    Some(CordGiven { breaking_strength_n, working_load_n, factor, enough })
}

/// Materials of the parts that name one.
fn materials(in_room: &InRoom) -> Vec<&MaterialRef> {
    let of_pendulum = match &in_room.pendulum {
        PendulumDesign::Parts(parts) => vec![&parts.rod.material, &parts.bob.material],
        PendulumDesign::Lumped(_) => Vec::new(),
    };
    let drum = match &in_room.drive {
        Some(DriveDesign::Weight(weight)) => weight.drum.as_ref(),
        _ => None,
    };
    let pallets = in_room.pallets.iter().map(|pallets| &pallets.material);
    let frame = in_room.frame.iter().map(|frame| &frame.material);
    let wheel = in_room.escape_wheel.iter().map(|wheel| &wheel.material);
    let train = in_room.train.iter().flat_map(|train| gears(train).chain(&train.arbor_material));
    of_pendulum.into_iter().chain(drum).chain(pallets).chain(frame).chain(wheel).chain(train).collect()
}

/// Materials of the parts that a driving weight loads: gears, drum, frame, escape wheel, pallets.
fn loaded_materials(in_room: &InRoom) -> impl Iterator<Item = &MaterialRef> {
    let drum = in_room.weight_drive().and_then(|weight| weight.drum.as_ref());
    let frame = in_room.frame.iter().map(|frame| &frame.material);
    let pallets = in_room.pallets.iter().map(|pallets| &pallets.material);
    let wheel = in_room.escape_wheel.iter().map(|wheel| &wheel.material);
    let train = in_room.train.iter().flat_map(|train| gears(train).chain(&train.arbor_material));
    train.chain(drum).chain(frame).chain(pallets).chain(wheel)
}

/// Materials of a train's wheels and pinions.
fn gears(train: &Train) -> impl Iterator<Item = &MaterialRef> {
    train.arbors.iter().flat_map(|arbor| [&arbor.wheel, &arbor.pinion]).flatten().map(|part| &part.material)
}
