//! Tooth counts, drum and modules for a wish.

use num_rational::Ratio;

use crate::clock::SECONDS_PER_HOUR;
use crate::clock::printing::part_sizes::tip_diameter_m;
use crate::clock::train::losses::turns_of_fall;
use crate::study::counts::{
    CountsAsk, CountsRank, FallForRun, GearLimits, GreatAsk, GreatTrain, MeshCounts, TeethBounds, counts,
};

use super::{NotGranted, Wish};

/// Pressure angle of the teeth, rad: at 25 deg pinions of twelve leaves are not undercut.
pub(super) const PRESSURE_ANGLE_DEG: f64 = 25.0;

/// Leaves of the pinions: from the fewest that are not undercut at that angle, `2/sin^2`.
const LEAVES: TeethBounds = TeethBounds { least: 12, most: 16 };

/// Teeth of the wheels.
const TEETH: TeethBounds = TeethBounds { least: 24, most: 150 };

/// Beat from which the escape wheel has thirty teeth, so that a seconds pendulum shows seconds, s.
const SLOW_BEAT_S: f64 = 0.6;

/// Cord that is used, m.
pub(super) const CORD_M: f64 = 1.5e-3;

/// Drums that are tried, m: clear of the bearing of the great wheel and eight times the cord, up to a drum that is no wheel yet.
const DRUMS_M: (f64, f64) = (20e-3, 60e-3);

/// Falls that are tried, and arbors between great wheel and minute hand, simplest first.
const MOST_FALLS: u32 = 3;
const MOST_GREAT_ARBORS: u32 = 1;

/// Room between the largest part and the edge of the bed, m.
const EDGE_M: f64 = 2e-3;

/// Finest tooth: a module of four radii of the bead, so that a tooth is three lines wide (common practice, no source).
const MODULE_OVER_BEAD: f64 = 4.0;

/// Module of the train from the minute hand on, m, for slow beats and quick ones; of the great wheel, which carries more.
const MODULES_M: (f64, f64) = (1.25e-3, 1e-3);
const GREAT_MODULE_M: f64 = 2e-3;

/// Room between the tips of a wheel and the middle of an arbor that it passes, m: half of the largest bearing and a little more.
const CLEAR_OF_ARBOR_M: f64 = 5e-3;

/// Steps in which modules are chosen, m.
const MODULE_STEP_M: f64 = 0.05e-3;

/// Gears and drum that were chosen.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct WishedGears {
    pub(super) escape_teeth: u32,
    /// From the minute hand's arbor to the escape wheel.
    pub(super) going: Vec<MeshCounts>,
    /// From the great wheel to the minute hand's arbor.
    pub(super) great: Vec<MeshCounts>,
    pub(super) module_m: f64,
    pub(super) great_module_m: f64,
    pub(super) drum_m: f64,
    pub(super) falls: u32,
    pub(super) motion_work: [MeshCounts; 2],
}

/// Shorter side of the bed less its edges, m.
pub(super) fn room_m(wish: &Wish) -> f64 {
    wish.bed.width_m.min(wish.bed.depth_m) - 2.0 * EDGE_M
}

/// The coarsest module up to `usual_m` at which a wheel of so many teeth fits the bed.
fn module_m(wish: &Wish, usual_m: f64, teeth: u32, part: &str) -> Result<f64, NotGranted> {
    let least_m = MODULE_OVER_BEAD * wish.bead_radius_m;
    let modules = tip_diameter_m(1.0, teeth);
    let largest_m = (room_m(wish) / modules / MODULE_STEP_M + 1e-9).floor() * MODULE_STEP_M;
    let module_m = largest_m.min(usual_m.max(least_m));
    if module_m + 1e-9 < least_m {
        let needed_m = modules * least_m + 2.0 * EDGE_M;
        let bead_radius_m = Some(wish.bead_radius_m);
        return Err(NotGranted::Bed { part: part.to_owned(), needed_m, bed: wish.bed, bead_radius_m, nearest: None });
    }
    Ok(module_m)
}

fn most_teeth(meshes: &[MeshCounts]) -> u32 {
    meshes.iter().map(|mesh| mesh.wheel).max().unwrap_or(0)
}

/// The smallest counts, the simplest drum and the modules.
pub(super) fn chosen(wish: &Wish) -> Result<WishedGears, NotGranted> {
    let gears = GearLimits {
        leaves: LEAVES,
        teeth: TEETH,
        pressure_angle_rad: PRESSURE_ANGLE_DEG.to_radians(),
        tooth_friction: 0.0,
    };
    let ask = |escape_teeth: Vec<u32>, great: Option<GreatAsk>| CountsAsk {
        beat_s: wish.beat_s,
        escape_teeth,
        arbors_between: vec![1],
        gears,
        module_m: 1e-3,
        motion_modules_m: [1e-3; 2],
        great,
        rank: CountsRank::Size,
        most: 1,
    };
    let usual = if wish.beat() < SLOW_BEAT_S { 36 } else { 30 };
    let unsolved = |error: &dyn std::fmt::Display| NotGranted::Unsolved { what: error.to_string(), nearest: None };
    let mut found = counts(&ask(vec![usual], None)).map_err(|error| unsolved(&error))?;
    if found.trains.found == 0 {
        found = counts(&ask((24..=40).collect(), None)).map_err(|error| unsolved(&error))?;
    }
    let (Some(train), Some(motion)) = (found.trains.best.first(), found.motion.best.first()) else {
        return Err(NotGranted::Counts { beat_s: wish.beat(), nearest_s: None });
    };
    let counts_of = |gears: &crate::study::counts::RankedGears| -> Vec<MeshCounts> {
        gears.meshes.iter().map(|action| action.counts).collect()
    };
    let going = counts_of(&train.gears);
    let usual_m = if wish.beat() < 0.8 { MODULES_M.1 } else { MODULES_M.0 };
    let module_m_going = module_m(wish, usual_m, most_teeth(&going), "the largest wheel from the minute hand on")?;
    // The wheel on the minute hand's arbor must not reach over the arbor before it.
    let apart_m = 0.5 * tip_diameter_m(module_m_going, going.first().map_or(0, |mesh| mesh.wheel)) + CLEAR_OF_ARBOR_M;
    let (great, falls) = great_wheel(wish, apart_m, &|great| {
        let all = CountsAsk { most: usize::from(u16::MAX), ..ask(vec![usual], Some(great)) };
        counts(&all).ok().and_then(|found| found.great).map_or_else(Vec::new, |found| found.best)
    })?;
    let meshes = counts_of(&great.gears);
    let great_module_m = module_m(wish, GREAT_MODULE_M, most_teeth(&meshes), "the great wheel")?;
    let motion_work = match counts_of(&motion.gears)[..] {
        [first, second] => [first, second],
        _ => return Err(NotGranted::Unsolved { what: "there is no motion work".to_owned(), nearest: None }),
    };
    let drum_m = great.drum.map_or(DRUMS_M.0, |drum| drum.drum_for_run_m);
    Ok(WishedGears {
        escape_teeth: train.escape_teeth,
        going,
        great: meshes,
        module_m: module_m_going,
        great_module_m,
        // Down to a tenth of a millimetre: a smaller drum runs longer.
        drum_m: (1e4 * drum_m + 1e-6).floor() / 1e4,
        falls,
        motion_work,
    })
}

/// The great wheel with the fewest arbors, then the fewest falls, the smallest of those whose wheels fit the bed at a module that the bead
/// can lay, and which keeps its arbor so far from the minute hand's.
fn great_wheel(
    wish: &Wish,
    apart_m: f64,
    find: &dyn Fn(GreatAsk) -> Vec<GreatTrain>,
) -> Result<(GreatTrain, u32), NotGranted> {
    let exactly = |hours: f64| Ratio::new((1e9 * hours).round() as u128, 1_000_000_000);
    let does = |great: &GreatTrain| {
        let meshes = &great.gears.meshes;
        let teeth = meshes.iter().map(|action| action.counts.wheel).max().unwrap_or(0);
        let Ok(module_m) = module_m(wish, GREAT_MODULE_M, teeth, "the great wheel") else { return false };
        let distance_m = |counts: MeshCounts| 0.5 * module_m * f64::from(counts.wheel + counts.pinion);
        let reaches_m = |counts: MeshCounts| 0.5 * tip_diameter_m(module_m, counts.wheel) + CLEAR_OF_ARBOR_M;
        meshes.last().is_some_and(|last| distance_m(last.counts) >= apart_m)
            && meshes.windows(2).all(|pair| distance_m(pair[0].counts) >= reaches_m(pair[1].counts))
    };
    for arbors in 0..=MOST_GREAT_ARBORS {
        for falls in 1..=MOST_FALLS {
            let fall = FallForRun { run_s: wish.run_s, fall_m: wish.fall_m, falls, cord_m: CORD_M, drum_m: None };
            let (low, high) = (fall.hours_per_turn(DRUMS_M.0), fall.hours_per_turn(DRUMS_M.1));
            if !(low > 1e-6 && high < 1e6) {
                continue;
            }
            let ask = GreatAsk {
                arbors_between: vec![arbors],
                hours: (exactly(low), exactly(high)),
                module_m: GREAT_MODULE_M,
                fall: Some(fall),
            };
            if let Some(great) = find(ask).into_iter().find(does) {
                return Ok((great, falls));
            }
        }
    }
    let fitting = (room_m(wish) / (MODULE_OVER_BEAD * wish.bead_radius_m) - 2.0).min(f64::from(TEETH.most));
    let ratio = fitting.floor() / f64::from(LEAVES.least);
    let hours = ratio.powi(MOST_GREAT_ARBORS as i32 + 1);
    let turns = turns_of_fall(wish.fall_m, MOST_FALLS, 0.5 * (DRUMS_M.0 + CORD_M));
    Err(NotGranted::Run { run_s: wish.run_s, fall_m: wish.fall_m, nearest_s: turns * hours * SECONDS_PER_HOUR })
}
