//! The return map over swing and hands' torque, interpolated where that agrees with the motion.

use std::cell::Cell;
use std::collections::HashMap;

use crate::answers::return_map::{Clock, PeriodFailure, Return};

use super::turn::TurnMap;

/// Cells of the coarsest lattice over the range of the swing, and over that of the torque.
const CELLS: (f64, f64) = (8.0, 6.0);

/// Least width of a cell over the square of the swing, at the largest swing.
const LEAST_WIDTH: f64 = 0.002;

/// Power of the lattice's coordinate at which the square of the swing grows from that of the escaping arc.
///
/// Near the edge, where the wheel only just creeps past, the gain is as the root of the distance from it; in the fourth root of the distance
/// cubics can follow.
const EDGE_POWER: i32 = 4;

/// How often a cell is halved in both directions before the motion itself is asked.
const DEEPEST: u8 = 5;

/// Error of the amplitude after a period that passes, relative. The map is rough by some 2e-8, as every period lands at another moment
/// of the drop; a swing forgets within a few hundred periods, over which errors of one sign would add up to 2e-5 of it.
pub(super) const SWING_TOLERANCE: f64 = 1e-7;

/// The same where only a weight is looked for: what the drive adds to the swing in a period is some 1 % of it, so that this is an
/// error of the weight of some 3e-5 at most.
const ROUGH_SWING_TOLERANCE: f64 = 3e-7;

/// Error of the amplitude on the left that passes, relative: it is read off, and adds up to nothing.
pub(super) const LEFT_TOLERANCE: f64 = 1e-5;

/// Error of a period's time that passes, relative: a hundredth of a second a day.
pub(super) const TIME_TOLERANCE: f64 = 1e-7;

/// Motions after which the map counts as rough, that of a wheel that bounces for one: it is then smoothed, interpolated whether or not that agrees
/// with each motion, for the swing goes by the mean of hundreds of them.
const MOST_MOTIONS: usize = 1_000;

/// How often a cell of a rough map is halved.
const ROUGH_LEVEL: u8 = 1;

/// Numbers that a period leaves.
pub(super) const VALUES: usize = 5;

/// One return of the clock: a period, or a whole turn of a wheel whose teeth differ.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct MappedReturn {
    /// Amplitude on the right at its end, rad.
    pub(super) right_rad: f64,
    /// Amplitude on the left, positive, rad.
    pub(super) left_rad: f64,
    /// Smallest amplitudes on the way, right and left, rad.
    pub(super) least_rad: (f64, f64),
    /// Time that it takes, s.
    pub(super) duration_s: f64,
}

/// What a map is asked for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum ReturnAsked {
    /// Whether and how far it swings: the times may be rough.
    Swing,
    /// Times as well.
    Times,
}

/// Where a cell lies: how often it was halved, and its numbers along swing and torque.
type CellKey = (u8, i64, i64);

/// Values at a node: gain of the square of the amplitude, duration, left amplitude, least amplitudes right and left.
pub(super) type NodeValues = [f64; VALUES];

/// The clock under a torque of the hands, N m.
pub(super) type ClockUnder<'c> = Box<dyn Fn(f64) -> Clock<'c> + 'c>;

/// Four nodes by four, those of the cell in the middle.
#[derive(Debug, Clone)]
struct DialCell {
    key: CellKey,
    nodes: Box<[[NodeValues; 4]; 4]>,
}

/// The coordinate of a swing: its square's distance from that of the arc that lets a tooth escape, as a share of the largest
/// swing's, to the power `1 / EDGE_POWER`.
#[derive(Debug, Clone, Copy)]
struct EdgeScale {
    edge: f64,
    span: f64,
}

impl MappedReturn {
    /// As the values of a node at that square of the start.
    pub(super) fn values(&self, square: f64) -> NodeValues {
        let gain = self.right_rad * self.right_rad - square;
        [gain, self.duration_s, self.left_rad, self.least_rad.0, self.least_rad.1]
    }

    pub(super) fn of_values([gain, duration_s, left_rad, least_right, least_left]: NodeValues, square: f64) -> Self {
        let right_rad = (square + gain).max(0.0).sqrt();
        Self { right_rad, left_rad, least_rad: (least_right, least_left), duration_s }
    }
}

impl EdgeScale {
    fn of_square(self, square: f64) -> Option<f64> {
        let share = (square - self.edge) / self.span;
        (share > 0.0).then(|| share.sqrt().sqrt())
    }

    fn square_at(self, place: f64) -> f64 {
        self.edge + self.span * place.powi(EDGE_POWER)
    }
}

/// What becomes of a swing in one return, for every swing and every torque of the hands.
///
/// The gain of the square of the amplitude, which is as the swing's energy, is the value: work of the drive and losses in proportion to the
/// speed make it linear in that square and in the torque. A cell is interpolated by cubics in both
/// (Lagrange, four by four nodes) and asked first whether the motion from its middle agrees; where it does not, or where a node does
/// not come round, its quarters are asked, and in the end the motion itself.
pub(super) struct DialMap<'c> {
    clock_at: ClockUnder<'c>,
    asked: ReturnAsked,
    edge: EdgeScale,
    width: (f64, f64),
    nodes: HashMap<CellKey, Option<NodeValues>>,
    /// `None`: the cell is not to be interpolated.
    cells: HashMap<CellKey, Option<DialCell>>,
    here: Option<DialCell>,
    motions: Cell<usize>,
    turn: Option<Box<TurnMap<'c>>>,
}

impl<'c> DialMap<'c> {
    /// A map that knows nothing yet; `clock_at` gives the clock under a torque of the hands, N m.
    ///
    /// `swings_rad` and `torques_n_m` are the ranges in which most questions will lie; others are answered, too.
    pub(super) fn new(
        clock_at: ClockUnder<'c>,
        asked: ReturnAsked,
        swings_rad: (f64, f64),
        torques_n_m: (f64, f64),
    ) -> Self {
        let most = swings_rad.1 * swings_rad.1;
        let edge_rad = clock_at(torques_n_m.0).escaping_arcs_rad().0;
        let edge = EdgeScale { edge: edge_rad * edge_rad, span: most - edge_rad * edge_rad };
        let low = edge.of_square(swings_rad.0 * swings_rad.0).unwrap_or(0.0);
        let least = LEAST_WIDTH * most / (f64::from(EDGE_POWER) * edge.span);
        let swing = ((1.0 - low) / CELLS.0).max(least);
        let torque = (torques_n_m.1 - torques_n_m.0) / CELLS.1;
        // Balanced hands ask the same at all hours: any width will do.
        let torque = if torque > 0.0 { torque } else { torques_n_m.1.abs().max(1e-9) };
        Self {
            clock_at,
            asked,
            edge,
            width: (swing, torque),
            nodes: HashMap::new(),
            cells: HashMap::new(),
            here: None,
            motions: Cell::new(0),
            turn: None,
        }
    }

    /// With the turns of a wheel whose teeth differ asked of those of `even`, the map of a wheel whose teeth are alike, where these and what
    /// is left agree with the motion.
    pub(super) fn with_turns_of(self, even: Self, swings_rad: (f64, f64), torques_n_m: (f64, f64)) -> Self {
        let turn = TurnMap::of(&self, even, swings_rad, torques_n_m).map(Box::new);
        Self { turn, ..self }
    }

    /// The return from a swing to `right_rad` under a torque of the hands.
    pub(super) fn period(&mut self, right_rad: f64, hands_n_m: f64) -> Result<MappedReturn, PeriodFailure> {
        if let Some(found) = self.turn.as_mut().and_then(|turn| turn.turn(right_rad, hands_n_m)) {
            return Ok(found);
        }
        let Some(place) = self.edge.of_square(right_rad * right_rad) else {
            return self.motion(right_rad, hands_n_m);
        };
        let at = (place, hands_n_m);
        if let Some(cell) = &self.here
            && self.key_at(cell.key.0, at) == cell.key
        {
            return Ok(self.read(cell, at));
        }
        let levels = if self.is_rough() { ROUGH_LEVEL..=ROUGH_LEVEL } else { 0..=DEEPEST };
        for level in levels {
            let key = self.key_at(level, at);
            if let Some(cell) = self.cell(key) {
                let found = self.read(&cell, at);
                self.here = Some(cell);
                return Ok(found);
            }
        }
        self.motion(right_rad, hands_n_m)
    }

    /// The same by the motion.
    pub(super) fn motion(&self, right_rad: f64, hands_n_m: f64) -> Result<MappedReturn, PeriodFailure> {
        self.motion_by_periods(right_rad, hands_n_m, &mut |_| {})
    }

    /// The same with every period shown on the way.
    pub(super) fn motion_by_periods(
        &self,
        right_rad: f64,
        hands_n_m: f64,
        on_the_way: &mut impl FnMut(&Return),
    ) -> Result<MappedReturn, PeriodFailure> {
        self.motions.set(self.motions.get() + 1);
        let (back, duration_s) = (self.clock_at)(hands_n_m).timed_period_from(right_rad, on_the_way)?;
        let (right_rad, left_rad, least_rad) = (back.right_rad, back.left_rad, back.least_rad);
        Ok(MappedReturn { right_rad, left_rad, least_rad, duration_s })
    }

    /// The clock under a torque of the hands.
    pub(super) fn clock(&self, hands_n_m: f64) -> Clock<'c> {
        (self.clock_at)(hands_n_m)
    }

    fn is_rough(&self) -> bool {
        self.motions.get() >= MOST_MOTIONS
    }

    fn width_at(&self, level: u8) -> (f64, f64) {
        let halved = f64::from(1_u32 << level);
        (self.width.0 / halved, self.width.1 / halved)
    }

    fn key_at(&self, level: u8, (place, torque): (f64, f64)) -> CellKey {
        let width = self.width_at(level);
        (level, (place / width.0).floor() as i64, (torque / width.1).floor() as i64)
    }

    /// The cell of that key, if it is to be interpolated.
    fn cell(&mut self, key: CellKey) -> Option<DialCell> {
        if let Some(known) = self.cells.get(&key).filter(|known| known.is_some() || !self.is_rough()) {
            return known.clone();
        }
        let made = self.make_cell(key);
        self.cells.insert(key, made.clone());
        made
    }

    fn make_cell(&mut self, key: CellKey) -> Option<DialCell> {
        let (level, i, j) = key;
        let mut nodes = Box::new([[[0.0; VALUES]; 4]; 4]);
        for (column, row) in (0..4).flat_map(|column| (0..4).map(move |row| (column, row))) {
            nodes[column][row] = self.node((level, i - 1 + column as i64, j - 1 + row as i64))?;
        }
        let cell = DialCell { key, nodes };
        if self.is_rough() {
            return Some(cell);
        }
        let width = self.width_at(level);
        let middle = ((i as f64 + 0.5) * width.0, (j as f64 + 0.5) * width.1);
        let by_motion = self.motion(self.edge.square_at(middle.0).sqrt(), middle.1).ok()?;
        let by_cell = self.read(&cell, middle);
        let right = |tolerance| alike(by_cell.right_rad, by_motion.right_rad, tolerance);
        let passes = match self.asked {
            ReturnAsked::Swing => right(ROUGH_SWING_TOLERANCE),
            ReturnAsked::Times => {
                right(SWING_TOLERANCE)
                    && alike(by_cell.left_rad, by_motion.left_rad, LEFT_TOLERANCE)
                    && alike(by_cell.duration_s, by_motion.duration_s, TIME_TOLERANCE)
            }
        };
        passes.then_some(cell)
    }

    /// What the motion from a node leaves; `None` where it does not come round.
    fn node(&mut self, key: CellKey) -> Option<NodeValues> {
        if let Some(known) = self.nodes.get(&key) {
            return *known;
        }
        let width = self.width_at(key.0);
        let (place, torque) = (key.1 as f64 * width.0, key.2 as f64 * width.1);
        let square = self.edge.square_at(place);
        let found = if place > 0.0 { self.motion(square.sqrt(), torque).ok() } else { None };
        let values = found.map(|found| found.values(square));
        self.nodes.insert(key, values);
        values
    }

    fn read(&self, cell: &DialCell, at: (f64, f64)) -> MappedReturn {
        let width = self.width_at(cell.key.0);
        let along = cubic_shares(at.0 / width.0 - cell.key.1 as f64);
        let across = cubic_shares(at.1 / width.1 - cell.key.2 as f64);
        let mut values = [0.0; VALUES];
        for (column, by_swing) in cell.nodes.iter().zip(along) {
            for (node, by_torque) in column.iter().zip(across) {
                let share = by_swing * by_torque;
                values.iter_mut().zip(node).for_each(|(value, at_node)| *value += share * at_node);
            }
        }
        MappedReturn::of_values(values, self.edge.square_at(at.0))
    }
}

/// Whether two values agree within so much of the second.
pub(super) fn alike(one: f64, other: f64, tolerance: f64) -> bool {
    (one - other).abs() <= tolerance * other.abs()
}

/// Shares of nodes at -1, 0, 1 and 2 in the cubic through them, at a place between 0 and 1.
fn cubic_shares(at: f64) -> [f64; 4] {
    let (a, b, c, d) = (at + 1.0, at, at - 1.0, at - 2.0);
    [-b * c * d / 6.0, a * c * d / 2.0, -a * b * d / 2.0, a * b * c / 6.0]
}
