//! The least weight against the printer's bead radius: how tightly must it print, and from where does the clock stop?

use crate::answers::no_answer::NoAnswer;
use crate::answers::solve::Solver;
use crate::clock::build::{Built, build};
use crate::clock::design::{DriveDesign, EscapementDesign};
use crate::clock::environment::InRoom;
use crate::clock::printing::printer::{Printer, Spread};

use super::jobs::{Watch, each};

/// Bead radii tried, evenly from 0 to the largest.
const STEPS: u32 = 12;

/// The same where every tooth of a wheel out of true has curves of its own, which takes thirty times as long.
const STEPS_OUT_OF_TRUE: u32 = 4;

/// Radii tried between the last one that has an answer and the first one that has none.
const STEPS_TO_END: u32 = 4;

/// Largest radius tried, as a multiple of the largest bead radius of all designs.
const REACH: f64 = 2.5;

/// Largest radius tried where no design states one, m.
const REACH_WITHOUT_BEAD_M: f64 = 1e-3;

/// The least weight at one bead radius.
#[derive(Debug, Clone, PartialEq)]
pub struct BeadPoint {
    /// Bead radius, m.
    pub bead_radius_m: f64,
    /// Bare least weight, kg, or why there is none.
    pub least_kg: Result<f64, NoAnswer>,
    /// Whether teeth fall on the lock of every pallet that locks as drawn.
    pub keeps_lock: bool,
}

/// Why a design has no such curve.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
pub enum LeftOut {
    /// An ideal escapement.
    #[error("no outlines to print")]
    NoOutlines,
    /// Driven by bare numbers.
    #[error("no weight drive")]
    NoWeightDrive,
}

/// The least weights of a design over the bead radius, or why there are none.
pub type Beads = Result<Vec<BeadPoint>, LeftOut>;

/// Bare least weight of every design over the same bead radii, from 0 to 2.5 times the largest bead radius of all (to 1 mm where
/// none has one), the design's own radius among them, by rising radius; the rest of its printer as it is.
///
/// Where a curve ends a few more radii are tried before its end. A wheel out of true, whose teeth all differ, gets few radii and no
/// more of them before an end. The same numbers on any number of threads; radii not reached when `watch` stops are missing.
#[must_use]
pub fn least_over_bead(designs: &[&InRoom], watch: &dyn Watch) -> Vec<Beads> {
    let largest = designs.iter().map(|design| design.printer.bead_radius.value).fold(0.0, f64::max);
    let reach_m = if largest > 0.0 { REACH * largest } else { REACH_WITHOUT_BEAD_M };
    let mut found: Vec<Beads> = designs.iter().map(|design| able(design).map(|()| Vec::new())).collect();
    let radii = |design: &InRoom| {
        let steps = if out_of_true(design) { STEPS_OUT_OF_TRUE } else { STEPS };
        let mut radii: Vec<f64> = (0..=steps).map(|step| reach_m * f64::from(step) / f64::from(steps)).collect();
        radii.push(design.printer.bead_radius.value);
        radii.sort_by(f64::total_cmp);
        radii.dedup();
        radii
    };
    run(designs, &mut found, watch, |design, _| radii(design));
    run(
        designs,
        &mut found,
        watch,
        |design, points| if out_of_true(design) { Vec::new() } else { radii_before_end(points) },
    );
    found
}

fn out_of_true(design: &InRoom) -> bool {
    design.printer.run_out.value != 0.0
}

/// Whether there is a curve for a design.
fn able(design: &InRoom) -> Result<(), LeftOut> {
    match (&design.escapement, &design.drive) {
        (EscapementDesign::IdealTorque(_) | EscapementDesign::IdealKick(_), _) => Err(LeftOut::NoOutlines),
        (_, Some(DriveDesign::Weight(_))) => Ok(()),
        _ => Err(LeftOut::NoWeightDrive),
    }
}

/// Adds the points at the radii that `wanted` names, of all designs in one job list.
fn run(
    designs: &[&InRoom],
    found: &mut [Result<Vec<BeadPoint>, LeftOut>],
    watch: &dyn Watch,
    wanted: impl Fn(&InRoom, &[BeadPoint]) -> Vec<f64>,
) {
    let jobs: Vec<(usize, f64)> = found
        .iter()
        .enumerate()
        .filter_map(|(number, points)| Some((number, points.as_ref().ok()?)))
        .flat_map(|(number, points)| wanted(designs[number], points).into_iter().map(move |radius| (number, radius)))
        .collect();
    let points = each(&jobs, "bead radii", watch, |&(number, radius)| (number, point(designs[number], radius)));
    for (number, point) in points.into_iter().flatten() {
        if let Ok(points) = &mut found[number] {
            points.push(point);
        }
    }
    for points in found.iter_mut().flatten() {
        points.sort_by(|a, b| a.bead_radius_m.total_cmp(&b.bead_radius_m));
    }
}

/// Radii between the first point without an answer and the one before it.
fn radii_before_end(points: &[BeadPoint]) -> Vec<f64> {
    let Some(end) = points.windows(2).find(|pair| pair[0].least_kg.is_ok() && pair[1].least_kg.is_err()) else {
        return Vec::new();
    };
    let (low, high) = (end[0].bead_radius_m, end[1].bead_radius_m);
    (1..STEPS_TO_END).map(|step| low + (high - low) * f64::from(step) / f64::from(STEPS_TO_END)).collect()
}

fn point(design: &InRoom, bead_radius_m: f64) -> BeadPoint {
    let bead_radius = Spread { value: bead_radius_m, ..design.printer.bead_radius };
    let printer = Printer { bead_radius, ..design.printer };
    let design = InRoom { printer, ..design.clone() };
    match build(&design) {
        Ok(built) => BeadPoint {
            bead_radius_m,
            least_kg: Solver::new(&built).bare_least().and_then(|least| least.kg().ok_or(NoAnswer::NeverGoes)),
            keeps_lock: keeps_lock(&built),
        },
        Err(error) => BeadPoint { bead_radius_m, least_kg: Err(NoAnswer::Build(error)), keeps_lock: false },
    }
}

fn keeps_lock(built: &Built) -> bool {
    let (Some(printed), Some(drawn)) = (&built.action, &built.drawn_action) else { return true };
    drawn.values().zip(printed.values()).all(|(drawn, printed)| printed.lock_rad > 0.0 || !(drawn.lock_rad > 0.0))
}
