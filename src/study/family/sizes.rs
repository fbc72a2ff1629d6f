//! A member in other sizes, and the smallest in which it goes.

use crate::answers::no_answer::NoAnswer;
use crate::answers::solve::Solver;
use crate::clock::build::build;
use crate::clock::environment::InRoom;
use crate::clock::escapement::EscapementOutlines;
use crate::clock::escapement::action::Action;
use crate::clock::printing::part_sizes::{PartSize, part_sizes};
use crate::clock::transform::scale::SMALLEST_FACTOR;
use crate::geometry::Point;
use crate::study::levers::answers::ClockAnswers;

use super::{Resizable, largest};

/// Ratio of one size to the next on the way down to where the clock stops.
const STEP: f64 = 0.9;

/// Relative width to which the smallest size is found.
const WIDTH: f64 = 1e-3;

/// A member in one size.
#[derive(Debug, Clone, PartialEq)]
pub struct SizePoint {
    /// Value of `scale.all`.
    pub factor: f64,
    /// What becomes of it, or why there is no such clock.
    pub found: Result<Sized, NoAnswer>,
}

/// What becomes of a member in one size.
#[derive(Debug, Clone, PartialEq)]
pub struct Sized {
    /// Amplitude, period, least drive, run time.
    pub point: ClockAnswers,
    /// Action as printed.
    pub action: Option<Action>,
    /// What its angles are as lengths.
    pub lengths: Option<ActionLengths>,
    /// The largest part of one piece.
    pub largest: Option<PartSize>,
}

/// Lengths at which the angles of an action are seen.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ActionLengths {
    /// Radius of the tips as printed, at which the wheel's drop is a length, m.
    pub tip_radius_m: f64,
    /// Mean distance of the pallets' acting faces from their arbor, at which a lock is a length, m: the tangent from the arbor
    /// to the circle of the tips, `sqrt(C^2 - R^2)`.
    pub pallet_arm_m: f64,
}

impl ActionLengths {
    pub(super) fn of(outlines: &EscapementOutlines) -> Self {
        let tip_radius_m = outlines.tooth.farthest_m(Point::zeros());
        let square = outlines.centre_distance_m.powi(2) - tip_radius_m.powi(2);
        Self { tip_radius_m, pallet_arm_m: square.max(0.0).sqrt() }
    }
}

/// How small a member may be and still do what is asked, with bead, clearances, bearings and cord as they are.
#[derive(Debug, Clone, PartialEq)]
pub enum Smallest {
    /// It does down to here and no further.
    At {
        /// Smallest value of `scale.all` found.
        factor: f64,
        /// A value just below.
        below: f64,
        /// What becomes of it there.
        reason: NoAnswer,
    },
    /// It does in every size that was tried, down to this one.
    Beyond(f64),
    /// It does not in its own size.
    NotAsItIs(NoAnswer),
}

/// The member in another size, or why it has none.
fn resized(member: &Resizable<'_>, factor: f64) -> Result<InRoom, NoAnswer> {
    (member.resized)(factor).map(|design| InRoom::at_home(&design)).map_err(NoAnswer::Refused)
}

pub(super) fn in_size(member: &Resizable<'_>, factor: f64) -> SizePoint {
    SizePoint { factor, found: found(member, factor) }
}

fn found(member: &Resizable<'_>, factor: f64) -> Result<Sized, NoAnswer> {
    let in_room = resized(member, factor)?;
    let built = build(&in_room)?;
    let lengths = built.outlines.as_ref().map(ActionLengths::of);
    let point = ClockAnswers::of(&built)?;
    Ok(Sized { point, action: built.action, lengths, largest: largest(&part_sizes(&in_room)).cloned() })
}

/// What a size is asked for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Asked {
    /// That the clock goes.
    Goes,
    /// That it goes, and no tooth falls past a lock.
    GoesAndLocks,
}

/// Nothing if the member does in this size what is asked, else why not: the verdict that `predict` gives, and the action.
fn check(member: &Resizable<'_>, factor: f64, asked: Asked) -> Result<(), NoAnswer> {
    let built = build(&resized(member, factor)?)?;
    Solver::new(&built).scan()?.verdict().point()?;
    let mut pallets = built.action.iter().flat_map(|action| action.iter());
    match pallets.find(|(_, pallet)| asked == Asked::GoesAndLocks && pallet.lock_rad < 0.0) {
        Some((name, _)) => Err(NoAnswer::Refused(format!("a tooth lands past the lock of the {name} pallet"))),
        None => Ok(()),
    }
}

/// The smallest size in which a member does what is asked: down from its own in steps of a tenth until it does not, then
/// halved for.
pub(super) fn smallest(member: &Resizable<'_>, asked: Asked) -> Smallest {
    let mut above = member.factor;
    if let Err(missing) = check(member, above, asked) {
        return Smallest::NotAsItIs(missing);
    }
    let (mut below, mut reason) = loop {
        let next = STEP * above;
        if next < SMALLEST_FACTOR {
            return Smallest::Beyond(above);
        }
        match check(member, next, asked) {
            Ok(()) => above = next,
            Err(missing) => break (next, missing),
        }
    };
    while above - below > WIDTH * above {
        let middle = 0.5 * (above + below);
        match check(member, middle, asked) {
            Ok(()) => above = middle,
            Err(missing) => (below, reason) = (middle, missing),
        }
    }
    Smallest::At { factor: above, below, reason }
}
