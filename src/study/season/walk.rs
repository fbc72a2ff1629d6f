//! States along a way of rooms: an interpolant that is checked, or every room by itself.

use std::sync::atomic::{AtomicUsize, Ordering};

use crate::answers::no_answer::NoAnswer;
use crate::numerics::points::scrambled;
use crate::numerics::sparse::{SparseGrid, SparseInterpolant};
use crate::study::jobs::{Watch, each};

use super::path::Room;
use super::state::{Setting, SteadyState};

/// Most that an interpolated rate may be off, s/day.
pub const RATE_TOLERANCE_S_PER_DAY: f64 = 1e-3;

/// Rooms of the way that are solved beside their interpolation.
const CHECKED: u32 = 48;

/// Levels of the interpolant that are tried.
const LEVELS: std::ops::RangeInclusive<u32> = 2..=5;

/// Numbers that vary by less, relative, do not vary.
const SAME: f64 = 1e-12;

/// How the states along a way were found.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Method {
    /// Every room was solved.
    EveryRoom,
    /// Solved at some rooms and interpolated between.
    Interpolated {
        /// Rooms solved.
        solved: usize,
        /// Rooms of the way, taken at random, solved beside.
        checked: usize,
        /// Largest difference there, s/day.
        largest_error_s_per_day: f64,
    },
}

/// States along a way.
#[derive(Debug, Clone)]
pub struct Walk {
    /// One for each room, up to the first in which the clock stops.
    pub states: Vec<Result<SteadyState, NoAnswer>>,
    /// How they were found.
    pub method: Method,
}

/// The states along `rooms`, the same on any number of threads; `None` if `watch` stopped it.
#[must_use]
pub fn walk(setting: &Setting<'_>, rooms: &[Room], watch: &dyn Watch) -> Option<Walk> {
    if rooms.is_empty() {
        return Some(Walk { states: Vec::new(), method: Method::EveryRoom });
    }
    match interpolated(setting, rooms, watch)? {
        Some(walk) => Some(walk),
        None => Some(Walk { states: solved(setting, rooms, "hours", watch)?, method: Method::EveryRoom }),
    }
}

/// Rooms solved in their order, up to the first in which the clock stops; `None` if `watch` stopped it.
fn solved(
    setting: &Setting<'_>,
    rooms: &[Room],
    what: &str,
    watch: &dyn Watch,
) -> Option<Vec<Result<SteadyState, NoAnswer>>> {
    let first_stop = AtomicUsize::new(usize::MAX);
    let numbers: Vec<usize> = (0..rooms.len()).collect();
    let found = each(&numbers, what, watch, |&number| {
        // Nobody asks for what is behind a stop; all before it is solved whatever the order.
        if number > first_stop.load(Ordering::Relaxed) {
            return None;
        }
        let state = setting.state(&rooms[number]);
        if state.is_err() {
            first_stop.fetch_min(number, Ordering::Relaxed);
        }
        Some(state)
    });
    let end = first_stop.load(Ordering::Relaxed).saturating_add(1).min(rooms.len());
    found.into_iter().take(end).map(Option::flatten).collect()
}

/// Numbers of a room that rise and fall as one, and between which values.
struct Variation {
    /// Their indices; the first stands for the others.
    members: Vec<usize>,
    low: f64,
    high: f64,
}

fn motions(rooms: &[Room]) -> Vec<Variation> {
    let mut found: Vec<Variation> = Vec::new();
    for index in 0..Room::COUNT {
        let column = || rooms.iter().map(|room| room.numbers()[index]);
        let low = column().fold(f64::INFINITY, f64::min);
        let high = column().fold(f64::NEG_INFINITY, f64::max);
        if !(high - low > SAME * high.abs().max(low.abs())) {
            continue;
        }
        let twin = found.iter_mut().find(|motion| {
            rooms.iter().all(|room| room.numbers()[motion.members[0]].to_bits() == room.numbers()[index].to_bits())
        });
        match twin {
            Some(motion) => motion.members.push(index),
            None => found.push(Variation { members: vec![index], low, high }),
        }
    }
    found
}

/// The way by an interpolant whose checks hold; `Some(None)` where none does or it would not be quicker, `None` if `watch`
/// stopped it.
fn interpolated(setting: &Setting<'_>, rooms: &[Room], watch: &dyn Watch) -> Option<Option<Walk>> {
    let motions = motions(rooms);
    let ranges = || motions.iter().map(|motion| (motion.low, motion.high)).collect::<Vec<_>>();
    let room_at = |place: &[f64]| {
        let mut numbers = rooms.first().map_or([0.0; Room::COUNT], Room::numbers);
        for (motion, &value) in motions.iter().zip(place) {
            for &member in &motion.members {
                numbers[member] = value;
            }
        }
        Room::of(numbers)
    };
    let place_of = |room: &Room| motions.iter().map(|motion| room.numbers()[motion.members[0]]).collect::<Vec<f64>>();
    let checks: Vec<Room> = (0..CHECKED)
        .map(|number| rooms[((scrambled(number, 0, 1) * rooms.len() as f64) as usize).min(rooms.len() - 1)])
        .collect();
    let mut checked: Vec<SteadyState> = Vec::new();
    let mut values: Vec<[f64; SteadyState::COUNT]> = Vec::new();
    for level in LEVELS {
        let grid = SparseGrid::new(ranges(), if motions.is_empty() { 0 } else { level });
        let points = grid.points();
        if !motions.is_empty() && points.len() + checks.len() > rooms.len() / 2 {
            return Some(None);
        }
        let fresh: Vec<Room> = points[values.len().min(points.len())..].iter().map(|point| room_at(point)).collect();
        for state in solved(setting, &fresh, "rooms", watch)? {
            let Ok(state) = state else { return Some(None) };
            values.push(state.numbers());
        }
        if checked.is_empty() {
            for state in solved(setting, &checks, "rooms", watch)? {
                let Ok(state) = state else { return Some(None) };
                checked.push(state);
            }
        }
        let solved = points.len();
        let interpolant: SparseInterpolant<{ SteadyState::COUNT }> = grid.through(&values);
        let at = |room: &Room| SteadyState::of(interpolant.at(&place_of(room)));
        let largest_error_s_per_day = checks
            .iter()
            .zip(&checked)
            .map(|(room, state)| (at(room).rate_s_per_day - state.rate_s_per_day).abs())
            .fold(0.0, f64::max);
        if largest_error_s_per_day < RATE_TOLERANCE_S_PER_DAY {
            let states = rooms.iter().map(|room| Ok(at(room))).collect();
            let method = Method::Interpolated { solved, checked: checks.len(), largest_error_s_per_day };
            return Some(Some(Walk { states, method }));
        }
    }
    Some(None)
}
