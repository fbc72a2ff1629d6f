//! Tooth counts under their keys.

use num_rational::Ratio;
use serde::Serialize;

use crate::clock::SECONDS_PER_DAY;
use crate::study::counts::{DrumForRun, GoingTrain, GreatTrain, MotionPair, RankedGears, ToothAction};

use super::CountsView;
use super::snippet::snippet;
use super::view::{exactly, value};

/// One mesh, of the train or of the motion work.
#[derive(Debug, Clone, Serialize)]
pub struct ToothActionRecord {
    wheel_teeth: u32,
    pinion_teeth: u32,
    ratio: f64,
    module_mm: f64,
    wheel_diameter_mm: f64,
    pinion_diameter_mm: f64,
    centre_distance_mm: f64,
    contact_ratio: f64,
    undercut: bool,
}

impl ToothActionRecord {
    fn of(action: &ToothAction) -> Self {
        Self {
            wheel_teeth: action.counts.wheel,
            pinion_teeth: action.counts.pinion,
            ratio: action.counts.ratio(),
            module_mm: 1e3 * action.module_m,
            wheel_diameter_mm: 1e3 * action.wheel_m,
            pinion_diameter_mm: 1e3 * action.pinion_m,
            centre_distance_mm: 1e3 * action.centre_distance_m,
            contact_ratio: action.mesh.contact_ratio,
            undercut: action.mesh.undercut,
        }
    }
}

/// What trains are ranked by.
#[derive(Debug, Clone, Serialize)]
pub struct RankedGearsRecord {
    meshes: Vec<ToothActionRecord>,
    largest_diameter_mm: f64,
    sum_of_diameters_mm: f64,
    gears_to_draw: usize,
    ratio_spread: f64,
    passed_share: f64,
}

impl RankedGearsRecord {
    fn of(gears: &RankedGears) -> Self {
        Self {
            meshes: gears.meshes.iter().map(ToothActionRecord::of).collect(),
            largest_diameter_mm: 1e3 * gears.largest_m,
            sum_of_diameters_mm: 1e3 * gears.sum_m,
            gears_to_draw: gears.to_draw,
            ratio_spread: gears.ratio_spread,
            passed_share: gears.passed_share,
        }
    }
}

/// A train from the minute hand's arbor to the escape wheel.
#[derive(Debug, Clone, Serialize)]
pub struct GoingTrainRecord {
    escape_teeth: u32,
    escape_turns_per_hour: f64,
    escape_turns_per_hour_exact: String,
    minute_hand_backwards: bool,
    #[serde(flatten)]
    gears: RankedGearsRecord,
}

/// A train from the great wheel to the minute hand's arbor.
#[derive(Debug, Clone, Serialize)]
pub struct GreatTrainRecord {
    hours_per_turn: f64,
    hours_per_turn_exact: String,
    drum_diameter_mm: Option<f64>,
    drum_diameter_for_run_mm: Option<f64>,
    turns_of_drum: Option<f64>,
    run_time_days: Option<f64>,
    #[serde(flatten)]
    gears: RankedGearsRecord,
}

/// A motion work; the pinion of each mesh is the driver.
#[derive(Debug, Clone, Serialize)]
pub struct MotionPairRecord {
    /// As a scenario has it: pairs of driver and driven teeth.
    motion_work: [[u32; 2]; 2],
    difference_of_distances_mm: f64,
    #[serde(flatten)]
    gears: RankedGearsRecord,
}

/// How many there are, and the rows shown.
#[derive(Debug, Clone, Serialize)]
pub struct FoundRecord<R> {
    found: u64,
    rows: Vec<R>,
}

/// What is in counts.json.
#[derive(Debug, Clone, Serialize)]
pub struct CountsRecord {
    version: &'static str,
    asked: Vec<String>,
    beat_s: f64,
    beat_s_exact: String,
    beats_per_hour: f64,
    rank: &'static str,
    pressure_angle_deg: f64,
    tooth_friction: f64,
    trains: FoundRecord<GoingTrainRecord>,
    great_wheel: Option<FoundRecord<GreatTrainRecord>>,
    motion_work: FoundRecord<MotionPairRecord>,
    scenario: String,
}

pub(super) fn going(train: &GoingTrain) -> GoingTrainRecord {
    GoingTrainRecord {
        escape_teeth: train.escape_teeth,
        escape_turns_per_hour: value(train.turns_per_hour),
        escape_turns_per_hour_exact: exactly(train.turns_per_hour),
        minute_hand_backwards: train.is_backwards(),
        gears: RankedGearsRecord::of(&train.gears),
    }
}

fn great(train: &GreatTrain) -> GreatTrainRecord {
    let of = |pick: fn(&DrumForRun) -> f64| train.drum.as_ref().map(pick);
    GreatTrainRecord {
        hours_per_turn: value(train.hours_per_turn),
        hours_per_turn_exact: exactly(train.hours_per_turn),
        drum_diameter_mm: of(|drum| 1e3 * drum.drum_m),
        drum_diameter_for_run_mm: of(|drum| 1e3 * drum.drum_for_run_m),
        turns_of_drum: of(|drum| drum.turns),
        run_time_days: of(|drum| drum.run_s / SECONDS_PER_DAY),
        gears: RankedGearsRecord::of(&train.gears),
    }
}

fn motion(work: &MotionPair) -> Option<MotionPairRecord> {
    let [first, second] = work.gears.meshes[..] else { return None };
    Some(MotionPairRecord {
        motion_work: [first, second].map(|action| [action.counts.pinion, action.counts.wheel]),
        difference_of_distances_mm: 1e3 * (first.centre_distance_m - second.centre_distance_m),
        gears: RankedGearsRecord::of(&work.gears),
    })
}

/// The counts for counts.json.
#[must_use]
pub fn record(view: &CountsView<'_>) -> CountsRecord {
    let (ask, counts) = (view.ask, view.counts);
    CountsRecord {
        version: env!("CARGO_PKG_VERSION"),
        asked: view.asked.to_vec(),
        beat_s: value(ask.beat_s),
        beat_s_exact: exactly(ask.beat_s),
        beats_per_hour: value(Ratio::from_integer(3600) / ask.beat_s),
        rank: view.rank_word(),
        pressure_angle_deg: ask.gears.pressure_angle_rad.to_degrees(),
        tooth_friction: ask.gears.tooth_friction,
        trains: FoundRecord { found: counts.trains.found, rows: counts.trains.best.iter().map(going).collect() },
        great_wheel: counts
            .great
            .as_ref()
            .map(|found| FoundRecord { found: found.found, rows: found.best.iter().map(great).collect() }),
        motion_work: FoundRecord {
            found: counts.motion.found,
            rows: counts.motion.best.iter().filter_map(motion).collect(),
        },
        scenario: snippet(view),
    }
}
