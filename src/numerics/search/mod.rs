//! The best point of a box without derivatives: smooth and whole coordinates, choices, limits, and points without a value.
//!
//! Every coordinate has finitely many places. A point is what its places say, is asked once, and the same points are asked in the same order
//! whatever the number of threads that answer: a search that was stopped is taken up again by answering from what was found before.

pub mod cma;
pub mod front;
pub mod global;
pub mod ledger;
pub mod local;
mod model;

use std::cmp::Ordering;

/// How the places of a coordinate lie.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum CoordinateKind {
    /// So close together that the value is smooth over them.
    Smooth,
    /// One by one.
    Whole,
    /// In no order.
    Choice,
}

/// A coordinate.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Coordinate {
    /// How its places lie.
    pub kind: CoordinateKind,
    /// How many there are, at least one.
    pub places: u32,
}

/// Places, one for each coordinate, from 0.
pub type GridPoint = Vec<u32>;

/// What a point comes to.
#[derive(Debug, Clone, PartialEq)]
pub struct PointValues {
    /// What is to be least: one value, or two of which each has its own best point.
    pub aims: Vec<f64>,
    /// By how much each limit is exceeded, in measures of the same order for all; kept where 0 or below.
    pub excess: Vec<f64>,
}

impl PointValues {
    /// By how much the limits are exceeded together; 0 where all are kept.
    #[must_use]
    pub fn violation(&self) -> f64 {
        self.excess.iter().map(|excess| excess.max(0.0)).sum()
    }

    /// Whether all limits are kept.
    #[must_use]
    pub fn keeps_limits(&self) -> bool {
        self.excess.iter().all(|&excess| excess <= 0.0)
    }
}

/// A point that was asked; without values there is nothing at it.
#[derive(Debug, Clone, PartialEq)]
pub struct PointTrial {
    /// The point.
    pub point: GridPoint,
    /// What it comes to.
    pub values: Option<PointValues>,
}

impl PointTrial {
    /// Whether there is something at the point that keeps all limits.
    #[must_use]
    pub fn is_allowed(&self) -> bool {
        self.values.as_ref().is_some_and(PointValues::keeps_limits)
    }
}

/// Order of two points by one aim, the better one first: what keeps the limits before what does not, that by its aim; then by how much the
/// limits are exceeded; at last where there is nothing.
///
/// K. Deb, "An efficient constraint handling method for genetic algorithms", Computer Methods in Applied Mechanics and Engineering 186
/// (2000), section 3 (recalled).
#[must_use]
pub fn better_first(one: Option<&PointValues>, other: Option<&PointValues>) -> Ordering {
    let (one, other) = match (one, other) {
        (Some(one), Some(other)) => (one, other),
        (None, None) => return Ordering::Equal,
        (None, Some(_)) => return Ordering::Greater,
        (Some(_), None) => return Ordering::Less,
    };
    let aim = |values: &PointValues| values.aims.first().copied().unwrap_or(f64::INFINITY);
    match (one.keeps_limits(), other.keeps_limits()) {
        (true, true) => aim(one).total_cmp(&aim(other)),
        (true, false) => Ordering::Less,
        (false, true) => Ordering::Greater,
        (false, false) => one.violation().total_cmp(&other.violation()),
    }
}

impl Coordinate {
    /// The place at a share of the way from the first to the last.
    #[must_use]
    pub fn place_at(&self, share: f64) -> u32 {
        let share = share.clamp(0.0, 1.0);
        let places = f64::from(self.places.max(1));
        // Smooth places are rounded to; whole ones and choices have equal parts of the way.
        let place = if self.kind == CoordinateKind::Smooth { (share * (places - 1.0)).round() } else { share * places };
        (place.max(0.0) as u32).min(self.places.saturating_sub(1))
    }

    /// The share at which a place lies.
    #[must_use]
    pub fn share_of(&self, place: u32) -> f64 {
        let (place, places) = (f64::from(place), f64::from(self.places.max(1)));
        match self.kind {
            CoordinateKind::Smooth => place / (places - 1.0).max(1.0),
            _ => (place + 0.5) / places,
        }
    }
}
