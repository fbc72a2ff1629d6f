//! The going train as counts: turns, hands, the beat that it requires, the action of its meshes.

use crate::clock::SECONDS_PER_HOUR;
use crate::clock::design::Train;
use crate::clock::notes::Note;

use super::depthing::Depthing;
use super::mesh::Mesh;
use super::mesh_name::MeshName;
use super::train_made::TrainMade;
use super::train_notes::{FastEnd, train_notes};

/// Turns of the minute hand for one of the hour hand.
pub const HOUR_HAND_RATIO: u128 = 12;

/// Relative difference of stated and required beat that is only the rounding of what was written.
const SAME_BEAT: f64 = 1e-6;

/// Why a train is none.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum TrainError {
    /// Fewer than two arbors.
    #[error("a train needs at least two arbors, from the drum to the escape wheel; this has {arbors}")]
    TooFewArbors {
        /// Arbors given.
        arbors: usize,
    },
    /// An arbor has no wheel for the next, or no pinion for the one before, or one with no teeth.
    #[error("arbor `{arbor}` needs a {gear} with at least one tooth")]
    MissingGear {
        /// Name of the arbor.
        arbor: String,
        /// "wheel" or "pinion".
        gear: &'static str,
    },
    /// The first arbor has a pinion, or the last a wheel besides the escape wheel.
    #[error("arbor `{arbor}` is at an end of the train and cannot have a {gear}")]
    SurplusGear {
        /// Name of the arbor.
        arbor: String,
        /// "wheel" or "pinion".
        gear: &'static str,
    },
    /// The escape wheel has no teeth.
    #[error("the escape wheel needs at least one tooth")]
    NoEscapeTeeth,
    /// The minute hand's arbor is not in the train.
    #[error("the minute hand's arbor is number {index}, counted from 0, but the train has {arbors}")]
    NoSuchMinuteArbor {
        /// Index given.
        index: usize,
        /// Arbors given.
        arbors: usize,
    },
    /// The minute hand sits on the last arbor, the escape wheel's or the motor's.
    #[error("the minute hand cannot sit on the train's last and fastest arbor `{arbor}`: it must turn once an hour")]
    MinuteHandOnLastArbor {
        /// Name of the arbor.
        arbor: String,
    },
    /// Motion work without a minute hand.
    #[error("motion work needs a minute hand's arbor to start from")]
    MotionWorkWithoutMinuteArbor,
    /// A wheel of the motion work has no teeth, or their product is beyond all measure.
    #[error("the motion work's tooth counts must be above 0 and of ordinary size")]
    MotionWorkTeeth,
    /// The hour hand does not turn once in twelve hours.
    #[error("the motion work turns the hour hand {driver} times in {driven} turns of the minute hand, not once in 12")]
    HourHand {
        /// Product of the drivers' teeth, in lowest terms with `driven`.
        driver: u128,
        /// Product of the driven wheels' teeth.
        driven: u128,
    },
    /// The minute hand does not turn once an hour at the stated beat.
    #[error(
        "at a beat of {} s the tooth counts turn the minute hand {} times an hour, not once; they require a beat of {} s",
        rounded(*.beat_s),
        rounded(*.turns_per_hour),
        rounded(*.required_s)
    )]
    MinuteHand {
        /// Beat stated.
        beat_s: f64,
        /// Beat that the tooth counts require.
        required_s: f64,
        /// Turns of the minute hand at the stated beat.
        turns_per_hour: f64,
    },
    /// A wheel's module is missing.
    #[error("the wheel of arbor `{arbor}` needs its module: bearing loads follow from its radius")]
    MissingModule {
        /// Name of the arbor.
        arbor: String,
    },
    /// A pressure angle without teeth.
    #[error("a pressure angle of {:.2} deg is not between 0 deg and 57 deg", pressure_angle_rad.to_degrees())]
    PressureAngle {
        /// Angle given.
        pressure_angle_rad: f64,
    },
    /// Teeth hold each other fast.
    #[error("the teeth of arbor `{arbor}` and the next pinion lose all power at a friction of {friction}")]
    MeshHolds {
        /// Name of the arbor that carries the wheel.
        arbor: String,
        /// Friction coefficient.
        friction: f64,
    },
    /// Teeth that do not reach each other.
    #[error("{mesh}: the teeth miss each other by {:.3} modules{}", .modules, apart_in_words(*.module_m, *.modules))]
    OutOfMesh {
        /// The mesh.
        mesh: Box<MeshName>,
        /// Name of the arbor that carries the wheel.
        arbor: String,
        /// Gap between the tip circles, modules.
        modules: f64,
        /// The module.
        module_m: Option<f64>,
    },
}

/// To six decimals, without the zeros after them.
fn rounded(value: f64) -> f64 {
    (value * 1e6).round() / 1e6
}

fn apart_in_words(module_m: Option<f64>, modules: f64) -> String {
    module_m.map_or_else(String::new, |module_m| format!(", {:.2} mm", 1e3 * module_m * modules))
}

/// One arbor's turns.
#[derive(Debug, Clone, PartialEq)]
pub struct ArborTurns {
    /// Name.
    pub name: String,
    /// Turns of the escape arbor for one of this.
    pub escape_turns_per_turn: f64,
    /// Turns an hour, from the minute hand's arbor; `None` without one.
    pub turns_per_hour: Option<f64>,
}

/// A train's counts.
#[derive(Debug, Clone, PartialEq)]
pub struct TrainReport {
    /// Arbors in the train's order.
    pub arbors: Vec<ArborTurns>,
    /// Meshes in order: wheel of arbor `i` with pinion of arbor `i + 1`.
    pub meshes: Vec<Mesh>,
    /// How deep the gears of each mesh stand in each other.
    pub depthings: Vec<Depthing>,
    /// Turns of the escape arbor for one of the drum.
    pub drum_to_escape: f64,
    /// Full period that the pendulum must have, s: `3600/(turns of the escape wheel an hour * its teeth)`; `None`
    /// without minute hand or escape wheel.
    pub train_period_s: Option<f64>,
    /// Turns of the minute hand for one of the hour hand, 12 exactly; `None` without motion work.
    pub hour_hand_ratio: Option<u128>,
    /// What the maker should look at.
    pub notes: Vec<Note>,
}

impl TrainReport {
    /// Whether teeth stand too deep in a mesh to turn.
    #[must_use]
    pub fn jams(&self) -> bool {
        self.depthings.iter().any(|depthing| depthing.tightness().is_some())
    }
}

/// Counts of a train made as stated; `escape_teeth` is `None` with an ideal escapement.
///
/// The minute hand's arbor turns once an hour by definition; everything else follows from tooth counts. In one full
/// period of the pendulum the escape wheel advances by one tooth.
///
/// # Errors
/// See `TrainError`; all but `MissingModule` and `MeshHolds`, which are the drive's.
pub fn train_report(train: &Train, made: &TrainMade, escape_teeth: Option<u32>) -> Result<TrainReport, TrainError> {
    let depthings = depthings(train, made)?;
    let meshes: Vec<Mesh> = depthings.iter().map(Depthing::mesh).collect();
    if escape_teeth == Some(0) {
        return Err(TrainError::NoEscapeTeeth);
    }
    check_minute_arbor(train)?;
    let hour_hand_ratio = hour_hand_ratio(train)?;

    let mut ratio = 1.0;
    let mut ratios: Vec<f64> = meshes
        .iter()
        .rev()
        .map(|mesh| {
            ratio *= f64::from(mesh.wheel_teeth) / f64::from(mesh.pinion_teeth);
            ratio
        })
        .collect();
    ratios.reverse();
    ratios.push(1.0);
    let minute_ratio = train.minute_arbor.and_then(|index| ratios.get(index)).copied();
    let arbors = train
        .arbors
        .iter()
        .zip(&ratios)
        .map(|(arbor, &escape_turns_per_turn)| ArborTurns {
            name: arbor.name.clone(),
            escape_turns_per_turn,
            turns_per_hour: minute_ratio.map(|minute| minute / escape_turns_per_turn),
        })
        .collect();
    let train_period_s = match (minute_ratio, escape_teeth) {
        (Some(escape_turns_per_hour), Some(teeth)) => {
            Some(SECONDS_PER_HOUR / (escape_turns_per_hour * f64::from(teeth)))
        }
        _ => None,
    };
    if let (Some(beat_s), Some(period_s)) = (train.beat_s, train_period_s) {
        let required_s = 0.5 * period_s;
        if (beat_s / required_s - 1.0).abs() > SAME_BEAT {
            return Err(TrainError::MinuteHand { beat_s, required_s, turns_per_hour: required_s / beat_s });
        }
    }
    let notes = train_notes(train, &depthings, FastEnd::EscapeWheel);
    let drum_to_escape = ratios.first().copied().unwrap_or(1.0);
    Ok(TrainReport { arbors, meshes, depthings, drum_to_escape, train_period_s, hour_hand_ratio, notes })
}

/// Turns of the drum an hour for a given full period of the pendulum, positive.
///
/// Serves trains without a minute hand; with one, `TrainReport::arbors` says what the dial requires.
#[must_use]
pub fn drum_turns_per_hour(period_s: f64, escape_teeth: u32, drum_to_escape: f64) -> f64 {
    SECONDS_PER_HOUR / (period_s * f64::from(escape_teeth) * drum_to_escape)
}

/// Meshes of a train made as stated, in order, as deep as they stand; checks that each arbor has the gears its place asks for.
///
/// # Errors
/// `TooFewArbors`, `MissingGear`, `SurplusGear`, `PressureAngle`, `OutOfMesh`.
pub fn depthings(train: &Train, made: &TrainMade) -> Result<Vec<Depthing>, TrainError> {
    let arbors = &train.arbors;
    let (Some(first), Some(last), true) = (arbors.first(), arbors.last(), arbors.len() >= 2) else {
        return Err(TrainError::TooFewArbors { arbors: arbors.len() });
    };
    if !(train.pressure_angle_rad > 0.0 && train.pressure_angle_rad < 1.0) {
        return Err(TrainError::PressureAngle { pressure_angle_rad: train.pressure_angle_rad });
    }
    if first.pinion_teeth.is_some() {
        return Err(TrainError::SurplusGear { arbor: first.name.clone(), gear: "pinion" });
    }
    if last.wheel_teeth.is_some() {
        return Err(TrainError::SurplusGear { arbor: last.name.clone(), gear: "wheel" });
    }
    let toothed = |teeth: Option<u32>, name: &str, gear| match teeth {
        Some(teeth) if teeth > 0 => Ok(teeth),
        _ => Err(TrainError::MissingGear { arbor: name.to_owned(), gear }),
    };
    arbors
        .iter()
        .zip(arbors.iter().skip(1))
        .enumerate()
        .map(|(index, (driver, driven))| {
            let wheel = toothed(driver.wheel_teeth, &driver.name, "wheel")?;
            let pinion = toothed(driven.pinion_teeth, &driven.name, "pinion")?;
            let depthing = Depthing::of(train, driver, (wheel, pinion), &made.mesh(index));
            let modules = -depthing.shallowest.depth;
            if modules >= 0.0 {
                let (mesh, arbor) = (Box::new(MeshName::of(driver, driven, &depthing)), driver.name.clone());
                return Err(TrainError::OutOfMesh { mesh, arbor, modules, module_m: depthing.module_m });
            }
            Ok(depthing)
        })
        .collect()
}

pub(super) fn check_minute_arbor(train: &Train) -> Result<(), TrainError> {
    let Some(index) = train.minute_arbor else { return Ok(()) };
    match train.arbors.get(index) {
        None => Err(TrainError::NoSuchMinuteArbor { index, arbors: train.arbors.len() }),
        Some(arbor) if index + 1 == train.arbors.len() => {
            Err(TrainError::MinuteHandOnLastArbor { arbor: arbor.name.clone() })
        }
        Some(_) => Ok(()),
    }
}

pub(super) fn hour_hand_ratio(train: &Train) -> Result<Option<u128>, TrainError> {
    if train.motion_work.is_empty() {
        return Ok(None);
    }
    if train.minute_arbor.is_none() {
        return Err(TrainError::MotionWorkWithoutMinuteArbor);
    }
    let product = |pick: fn(&(u32, u32)) -> u32| {
        train
            .motion_work
            .iter()
            .map(pick)
            .try_fold(1_u128, |product, teeth| product.checked_mul(u128::from(teeth)))
            .filter(|&product| product > 0)
            .ok_or(TrainError::MotionWorkTeeth)
    };
    let (driver, driven) = (product(|pair| pair.0)?, product(|pair| pair.1)?);
    if driver.checked_mul(HOUR_HAND_RATIO) == Some(driven) {
        return Ok(Some(HOUR_HAND_RATIO));
    }
    let divisor = greatest_common_divisor(driver, driven);
    Err(TrainError::HourHand { driver: driver / divisor, driven: driven / divisor })
}

/// Greatest common divisor of two numbers above 0.
fn greatest_common_divisor(mut a: u128, mut b: u128) -> u128 {
    while b != 0 {
        (a, b) = (b, a % b);
    }
    a
}
