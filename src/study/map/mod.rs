//! Sweeps over one or two quantities: what becomes of the clock at every point, and where exactly it stops.

pub mod axis;
mod grid;
pub mod lines;
pub mod standard;
pub(in crate::study) mod starts;

use crate::answers::no_answer::NoAnswer;
use crate::answers::prediction::Prediction;
use crate::answers::solve::{LeastDrive, Solver, Wanted};
use crate::answers::start_basins::AnswerRange;
use crate::answers::verdict::{Reason, Verdict};
use crate::clock::design::{Design, DriveDesign, EscapementDesign, PendulumClock};
use crate::clock::environment::InRoom;
use crate::scenario::Scenario;

use super::jobs::{Watch, each};
use super::prepare::under;
use super::setter::Setter;
use axis::Axis;
use grid::{Grid, GridAxis};
use lines::Course;
use starts::Starts;

pub use grid::Role;

/// Path of the push.
pub const START: &str = "start_arc";

/// What becomes of the clock at a point.
#[derive(Debug, Clone, PartialEq)]
pub enum Outcome {
    /// It ends in a steady swing.
    KeepsGoing,
    /// It stops.
    Stops(Reason),
    /// There is no such clock, and why.
    NoClock(String),
}

impl Outcome {
    /// Whether two are the same but for the wording of a reason.
    #[must_use]
    pub fn alike(&self, other: &Self) -> bool {
        match (self, other) {
            (Self::NoClock(_), Self::NoClock(_)) => true,
            _ => self == other,
        }
    }

    pub(super) fn of(verdict: &Verdict) -> Self {
        match verdict {
            Verdict::Stops(reason, _) => Self::Stops(*reason),
            _ => Self::KeepsGoing,
        }
    }
}

/// A point of a map.
#[derive(Debug, Clone, PartialEq)]
pub struct MapRow {
    /// Value of the x axis, in its unit.
    pub x: f64,
    /// Value of the y axis, in its unit.
    pub y: Option<f64>,
    /// What becomes of the clock.
    pub outcome: Outcome,
    /// By how much its swing exceeds the margin asked for, rad, below 0 where it falls short; `None` where it does not keep going.
    pub beyond_margin_rad: Option<f64>,
    /// The answers asked for, in their order; empty where there is no clock.
    pub answers: Vec<Option<f64>>,
}

impl MapRow {
    /// Whether the swing has the margin asked for; `None` where the clock does not keep going.
    #[must_use]
    pub fn meets_margin(&self) -> Option<bool> {
        self.beyond_margin_rad.map(|beyond| beyond >= 0.0)
    }
}

/// What becomes of the clock along one axis while the other stands still.
#[derive(Debug, Clone, PartialEq)]
pub struct Line {
    /// Value of the other axis, in its unit; 0 where there is none.
    pub at: f64,
    /// Stretches along the axis, in its unit, rising; their ends are solved.
    pub stretches: Vec<AnswerRange<Outcome>>,
}

/// A map.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Map {
    /// Points, those of one x together; points not reached are missing.
    pub rows: Vec<MapRow>,
    /// Lines, by rising value of the other axis, closer together where what becomes of the clock changes.
    pub lines: Vec<Line>,
    /// Whether the lines run along the y axis.
    pub along_y: bool,
    /// Accuracy of the stretches' ends along the line, in the axis's unit.
    pub tolerance: f64,
    /// Bare least drive in the unit of the drive's axis, for each value of the other axis unless that is the start arc, where it
    /// cannot matter; empty without a drive's axis.
    pub least: Vec<(f64, f64)>,
    /// Whether a stop left points out.
    pub interrupted: bool,
}

/// Numbers that a map takes from every prediction.
pub trait Pick: Sync {
    /// Parts of a prediction that they need.
    fn wanted(&self) -> Wanted;
    /// Whether they depend on the start arc itself and not only on the swing that it ends in.
    fn by_start(&self) -> bool;
    /// The numbers, in the order asked for; `None` where the prediction has none.
    fn of(&self, design: &InRoom, prediction: &Prediction) -> Vec<Option<f64>>;
}

/// What a map is asked for.
#[derive(Clone, Copy)]
pub struct MapAsk<'a> {
    /// The clock.
    pub scenario: &'a Scenario,
    /// First quantity.
    pub x: &'a Axis,
    /// Second quantity.
    pub y: Option<&'a Axis>,
    /// Answers taken at every point.
    pub answers: &'a dyn Pick,
}

/// Path of the quantity that drives a design; `None` for a kick.
#[must_use]
pub fn drive_path<S>(design: &PendulumClock<S>) -> Option<&'static str> {
    match (&design.escapement, &design.drive) {
        (EscapementDesign::IdealKick(_), _) => None,
        (EscapementDesign::IdealTorque(_), _) => Some("escapement.ideal_torque.torque"),
        (_, Some(DriveDesign::Weight(_))) => Some("drive.weight"),
        (_, Some(DriveDesign::Lumped(_))) => Some("drive.lumped.escape_torque"),
        (_, None) => None,
    }
}

/// One point without the axes' values: what becomes of the clock, what its swing has beyond the margin, the answers.
type MapCell = (Outcome, Option<f64>, Vec<Option<f64>>);

/// A prediction and the answers taken from it.
type Picked = (Prediction, Vec<Option<f64>>);

/// A least drive, or why there is none.
type Least = Result<LeastDrive, NoAnswer>;

/// A part of the grid: all starts of one clock, or one point.
struct MapBlock {
    cells: Vec<MapCell>,
    stretches: Vec<AnswerRange<Outcome>>,
}

/// A quantity of a design that a map sweeps.
#[derive(Clone, Copy)]
pub struct Sweep<'a> {
    /// What it is to the clock.
    pub role: Role,
    /// Its values, rising, SI: those of a drive in kg or N m, of a start arc in rad.
    pub values: &'a [f64],
    /// Gives a design a value of it.
    pub set: &'a Setter<'a>,
}

/// The map of a scenario. The same numbers on any number of threads.
#[must_use]
pub fn map(ask: &MapAsk<'_>, watch: &dyn Watch) -> Map {
    let axes: Vec<&Axis> = std::iter::once(ask.x).chain(ask.y).collect();
    let drive = drive_path(&ask.scenario.design);
    let role = |path: &str| match path {
        START => Role::StartArc,
        path if Some(path) == drive => Role::Drive,
        _ => Role::Other,
    };
    let clock_at = |set: &[(usize, f64)]| {
        let overrides: Vec<String> = set.iter().map(|&(axis, value)| axes[axis].set(value)).collect();
        under(ask.scenario, &overrides).map(|scenario| scenario.in_room())
    };
    let of_axis =
        |axis: &&Axis| GridAxis { role: role(&axis.path), values: axis.values(), si_per_unit: axis.si_per_unit() };
    mapped(&Grid { axes: axes.iter().map(of_axis).collect(), clock_at: &clock_at }, ask.answers, watch)
}

/// The map of a design in balance with the air of its place, over one quantity or two; its rows, lines and least drives are SI.
///
/// | argument | meaning |
/// |---|---|
/// | `x`, `y` | quantities, of which either may be set first; no row without a value of each |
/// | `answers` | what is taken from the prediction at every point |
/// | `watch` | is told of the jobs, and may stop them |
///
/// The same numbers as [`map`] gives for the same values, on any number of threads. A quantity in the role of drive or start arc has
/// to be that and nothing else: one least drive, or one gain scan, answers for all of its values, and a map has one of each at most.
/// A setter that refuses makes a row with its reason.
#[must_use]
pub fn map_of(design: &Design, x: Sweep<'_>, y: Option<Sweep<'_>>, answers: &dyn Pick, watch: &dyn Watch) -> Map {
    let sweeps: Vec<Sweep<'_>> = std::iter::once(x).chain(y).collect();
    let clock_at = |set: &[(usize, f64)]| {
        let changed = set.iter().try_fold(design.clone(), |design, &(axis, value)| (sweeps[axis].set)(&design, value));
        changed.map(|design| InRoom::at_home(&design))
    };
    let of_sweep =
        |sweep: &Sweep<'_>| GridAxis { role: sweep.role, values: sweep.values.to_vec(), si_per_unit: Some(1.0) };
    mapped(&Grid { axes: sweeps.iter().map(of_sweep).collect(), clock_at: &clock_at }, answers, watch)
}

fn mapped(grid: &Grid<'_>, answers: &dyn Pick, watch: &dyn Watch) -> Map {
    let wanted = answers.wanted();
    let axes = &grid.axes;
    if axes.iter().any(|axis| axis.values.is_empty()) {
        return Map::default();
    }
    let (drive, start) = (grid.axis_of(Role::Drive), grid.axis_of(Role::StartArc));
    let starts = start.map(|axis| Starts::of(grid, axis));
    // Drives by the value of the axis that is neither drive nor start; one for all where there is none.
    let third = (0..axes.len()).find(|&axis| Some(axis) != drive && Some(axis) != start);
    let shared: Vec<Least> = match drive {
        Some(_) if wanted.least => {
            let jobs: Vec<Option<f64>> =
                third.map_or_else(|| vec![None], |axis| axes[axis].values.iter().copied().map(Some).collect());
            let least = |job: &Option<f64>| {
                let set: Vec<(usize, f64)> = third.zip(*job).into_iter().collect();
                let (_, built) = grid.built_at(&set).map_err(NoAnswer::Refused)?;
                Solver::new(&built).wanted(wanted).least()
            };
            each(&jobs, "least drives", watch, least)
                .into_iter()
                .map(|least| least.unwrap_or(Err(NoAnswer::NotAsked)))
                .collect()
        }
        _ => Vec::new(),
    };
    let outer: Vec<usize> = (0..axes.len()).filter(|&axis| Some(axis) != start).collect();
    let mut jobs: Vec<Vec<usize>> = vec![Vec::new()];
    for &axis in &outer {
        jobs = jobs
            .iter()
            .flat_map(|job| {
                (0..axes[axis].values.len()).map(move |number| job.iter().copied().chain([number]).collect())
            })
            .collect();
    }
    let blocks = each(&jobs, "points", watch, |job| {
        let set: Vec<(usize, f64)> =
            outer.iter().zip(job).map(|(&axis, &number)| (axis, axes[axis].values[number])).collect();
        let known = drive.and_then(|_| {
            let number = third.map_or(Some(0), |axis| outer.iter().position(|&o| o == axis).map(|at| job[at]));
            shared.get(number?).cloned()
        });
        block(grid, answers, &set, known, starts.as_ref())
    });
    let interrupted = blocks.iter().any(Option::is_none);
    let mut rows = Vec::new();
    for (job, block) in jobs.iter().zip(&blocks) {
        let Some(block) = block else { continue };
        for (number, (outcome, beyond_margin_rad, found)) in block.cells.iter().enumerate() {
            let at = |axis: usize| match outer.iter().position(|&o| o == axis) {
                Some(place) => axes[axis].values[job[place]],
                None => axes[axis].values[number],
            };
            let y = (axes.len() > 1).then(|| at(1));
            rows.push(MapRow {
                x: at(0),
                y,
                outcome: outcome.clone(),
                beyond_margin_rad: *beyond_margin_rad,
                answers: found.clone(),
            });
        }
    }
    rows.sort_by(|a, b| a.x.total_cmp(&b.x).then(a.y.unwrap_or(0.0).total_cmp(&b.y.unwrap_or(0.0))));
    let per_unit = drive.and_then(|axis| axes[axis].si_per_unit);
    let of = |number: usize| third.map_or(0.0, |axis| axes[axis].values.get(number).copied().unwrap_or(0.0));
    let least: Vec<(f64, f64)> = shared
        .iter()
        .enumerate()
        .filter_map(|(number, least)| Some((of(number), least.as_ref().ok()?.bare.value() / per_unit?)))
        .collect();
    let along = start.or(drive).unwrap_or(axes.len() - 1);
    let course = Course { grid, along, starts: starts.as_ref(), least: &least };
    let given = blocks.into_iter().map(|block| block.map(|block| block.stretches)).collect();
    let lines = course.lines(given, &rows, watch);
    let tolerance = course.tolerance();
    let interrupted = interrupted || watch.stopped();
    Map { rows, lines, along_y: along == 1, tolerance, least, interrupted }
}

/// One clock of the grid. `known`: its least drive, where it was looked for before.
fn block(
    grid: &Grid<'_>,
    asked: &dyn Pick,
    set: &[(usize, f64)],
    known: Option<Least>,
    starts: Option<&Starts<'_>>,
) -> MapBlock {
    let nothing = |reason: String| (Outcome::NoClock(reason), None, Vec::new());
    let without = |reason: String| {
        let count = starts.map_or(1, |starts| starts.arcs.len());
        let stretches = starts.map(|starts| starts.without_clock(&reason)).unwrap_or_default();
        MapBlock { cells: vec![nothing(reason); count], stretches }
    };
    let (design, built) = match grid.built_at(set) {
        Ok(clock) => clock,
        Err(reason) => return without(reason),
    };
    let solver = Solver::new(&built).wanted(asked.wanted());
    let scanned = match solver.scan() {
        Ok(scanned) => scanned,
        Err(error) => return without(error.to_string()),
    };
    let least = known.unwrap_or_else(|| solver.least());
    let predict = |verdict: Verdict| {
        let found = Prediction::of(built.clone(), scanned.solution(verdict, least.clone()));
        found.map(|found| found.with_rest_of(&design, asked.wanted())).map_err(|error| error.to_string())
    };
    let Some(starts) = starts else {
        let verdict = scanned.verdict_by_basins();
        let cell = match predict(verdict) {
            Ok(prediction) => (Outcome::of(&verdict), prediction.beyond_margin_rad(), asked.of(&design, &prediction)),
            Err(reason) => nothing(reason),
        };
        return MapBlock { cells: vec![cell], stretches: Vec::new() };
    };
    let basins = starts.basins(&scanned);
    let pick = |start_rad: f64, prediction: &Prediction| {
        asked.of(&InRoom { start_arc_rad: Some(start_rad), ..design.clone() }, prediction)
    };
    // The prediction is the same all along a stretch.
    let picked: Vec<Result<Picked, String>> = basins
        .iter()
        .map(|stretch| {
            let prediction = predict(stretch.answer)?;
            let answers = pick(stretch.from, &prediction);
            Ok((prediction, answers))
        })
        .collect();
    let cell = |arc: &Result<f64, String>| {
        let start = match arc {
            Ok(start) => *start,
            Err(reason) => return nothing(reason.clone()),
        };
        let number = basins.partition_point(|stretch| stretch.to < start);
        match (basins.get(number), picked.get(number)) {
            (Some(stretch), Some(Ok((prediction, answers)))) => {
                let answers = if asked.by_start() { pick(start, prediction) } else { answers.clone() };
                (Outcome::of(&stretch.answer), prediction.beyond_margin_rad(), answers)
            }
            (_, Some(Err(reason))) => nothing(reason.clone()),
            _ => nothing("the start arc is outside the range of the others".to_owned()),
        }
    };
    MapBlock { cells: starts.arcs.iter().map(cell).collect(), stretches: starts.in_units(&basins) }
}
