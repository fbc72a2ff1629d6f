//! How damp, dry, warm or cold a room may be before a mesh jams or leaves, the escapement loses its lock or catches, or the
//! clock stops.

use crate::answers::prediction::{PredictError, predict_only};
use crate::answers::solve::Wanted;
use crate::answers::verdict::Reason;
use crate::clock::build::{BuildError, Built, build};
use crate::clock::design::{Conditions, Design, DriveDesign, Friction, LumpedDrive, Place};
use crate::clock::environment::InRoom;
use crate::clock::escapement::action_over_turn::{OverTurn, PalletTurn, action_over_turn};
use crate::clock::printing::out_of_true::ToothPlace;
use crate::clock::side::Side;
use crate::clock::train::depthing::Depthing;
use crate::clock::train::mesh_name::MeshName;
use crate::clock::train::train_made::TrainMade;
use crate::study::parallel::each_of;

/// Steps from the room in which the clock was made to either end of the range; what is lost and found again within one
/// is overlooked.
const STEPS: u32 = 16;

/// Halvings of a step: a relative humidity to 1e-5, a temperature to a thousandth of a degree.
const HALVINGS: u32 = 12;

/// Difference in relative humidity below which a clock stops for what gives way: ten times the accuracy of either.
const TOGETHER: f64 = 1e-4;

/// What gives way.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Failing {
    /// A wheel stands too deep in its pinion: flanks or tips and roots do not fit.
    MeshJams,
    /// Teeth of wheel and pinion no longer reach each other.
    MeshLeaves,
    /// A tooth falls past the lock or, where nothing locks, is not held at all.
    Hold(Side),
    /// A tooth that leaves the pallet finds the other pallet already holding one.
    Drop(Side),
    /// The back of the pallet fouls the tooth that has just left it.
    Clearance(Side),
    /// Pallets and wheel have no action at all.
    Action,
    /// The clock: its limit cycle is gone for this reason, or, without one, there is no such clock.
    Clock(Option<Reason>),
}

/// The part of the clock that gives way.
#[derive(Debug, Clone, PartialEq)]
pub enum LimitPlace {
    /// A mesh.
    Mesh(MeshName),
    /// A tooth of the escape wheel; `None` where all teeth are alike.
    Tooth(Option<ToothPlace>),
    /// Teeth of the escape wheel that find no action on a pallet.
    Teeth {
        /// Pallet.
        pallet: Side,
        /// How many teeth.
        count: u32,
    },
    /// The clock cannot be built.
    Unbuilt(Box<BuildError>),
    /// The clock has no prediction.
    Unpredicted(Box<PredictError>),
    /// The clock as a whole.
    Whole,
}

/// A room at whose edge something gives way.
#[derive(Debug, Clone, PartialEq)]
pub struct RoomLimit {
    /// What does.
    pub failing: Failing,
    /// The mesh or tooth at which it does, or the error behind it.
    pub place: LimitPlace,
    /// Relative humidity (0 to 1) or temperature (degrees Celsius) at which it does.
    pub at: f64,
    /// Whether it does so beyond `at`, else below.
    pub rising: bool,
    /// Whether the clock stops there with it; false where that was not asked.
    pub stops: bool,
}

/// What gives way, and at which relative humidity, where a clock made as stated has long stood at `temperature_c`; the nearest
/// to the humidity in which it was made first. Empty where nothing does from 0 to 1.
///
/// The parts are built anew at every humidity. Left out is what has given way in the air in which the clock was made, and what
/// the escapement does beyond where its action has ended: with a lock, a drop or all of it lost.
#[must_use]
pub fn limits_of_humidity(made: &Design, temperature_c: f64) -> Vec<RoomLimit> {
    let from = made.sizes.under.relative_humidity;
    let at = |relative_humidity| Conditions { temperature_c, rod_temperature_c: temperature_c, relative_humidity };
    let meshes = meshes_left(&InRoom::as_made(made)).len();
    let room = |value: f64| {
        let design = InRoom::of(made, &at(value));
        let mut all = meshes_left(&design);
        all.extend(escapement_left(&design));
        all
    };
    // A mesh is asked without building the escapement.
    let one = |kind: usize, value: f64| {
        let design = InRoom::of(made, &at(value));
        let (all, index) =
            if kind < meshes { (meshes_left(&design), kind) } else { (escapement_left(&design), kind - meshes) };
        all.into_iter().nth(index)
    };
    let towards = |&end: &f64| {
        let values = values_towards(from, end);
        let steps: Vec<Vec<Left>> = each_of(&values, |&value| room(value));
        let kinds = steps.first().map_or(0, Vec::len);
        let lost = |kind: usize| {
            let is_gone = |step: &Vec<Left>| step.get(kind).is_some_and(|left| left.left < 0.0);
            let first = steps.iter().position(is_gone).filter(|&first| first > 0)?;
            Some(narrowed(&|value| one(kind, value), values[first - 1], values[first]))
        };
        (0..kinds).filter_map(lost).flatten().collect::<Vec<_>>()
    };
    let mut found = each_of(&[0.0, 1.0], towards).concat();
    nearest_first(&mut found, from);
    let mut ended = [false; 2];
    found.retain(|limit| {
        let ended = &mut ended[usize::from(limit.rising)];
        match limit.failing {
            Failing::MeshJams | Failing::MeshLeaves | Failing::Clock(_) => true,
            Failing::Clearance(_) => !*ended,
            Failing::Hold(_) | Failing::Drop(_) | Failing::Action => !std::mem::replace(ended, true),
        }
    });
    found
}

/// The same as [`limits_of_humidity`], and the humidities at which the limit cycle is gone. Where the clock stops just as
/// something else gives way, that alone is told, with [`RoomLimit::stops`].
#[must_use]
pub fn limits_of_humidity_going(made: &Design, temperature_c: f64) -> Vec<RoomLimit> {
    let from = made.sizes.under.relative_humidity;
    let mut found = limits_of_humidity(made, temperature_c);
    let why_not = |relative_humidity: f64| {
        let place = Place { temperature_c, relative_humidity, ..made.place };
        let design = InRoom::at_home(&Design { place, ..made.clone() });
        match predict_only(&design, Wanted::NOTHING) {
            Ok(found) => found.reason().map(|reason| (Some(reason), LimitPlace::Whole)),
            Err(error) => Some((None, LimitPlace::Unpredicted(Box::new(error)))),
        }
    };
    let stops = each_of(&[0.0, 1.0], |&end| first_stop(from, end, &why_not));
    for stop in stops.into_iter().flatten() {
        let same = |limit: &&mut RoomLimit| limit.rising == stop.rising && (limit.at - stop.at).abs() < TOGETHER;
        match found.iter_mut().find(same) {
            Some(limit) => limit.stops = true,
            None => found.push(stop),
        }
    }
    nearest_first(&mut found, from);
    found
}

/// The values at the steps from one value to another, both among them.
fn values_towards(from: f64, end: f64) -> Vec<f64> {
    (0..=STEPS).map(|step| from + (end - from) * f64::from(step) / f64::from(STEPS)).collect()
}

/// The first stop on the way from one value to another; `None` where there is none, or already at the start.
fn first_stop(
    from: f64,
    end: f64,
    why_not: &(impl Fn(f64) -> Option<(Option<Reason>, LimitPlace)> + Sync),
) -> Option<RoomLimit> {
    let values = values_towards(from, end);
    let gone = each_of(&values, |&value| why_not(value).is_some());
    let first = gone.iter().position(|&gone| gone).filter(|&first| first > 0)?;
    let at = first_gone(values[first - 1], values[first], |value| why_not(value).is_some());
    let (reason, place) = why_not(at)?;
    Some(RoomLimit { failing: Failing::Clock(reason), place, at, rising: end > from, stops: true })
}

fn nearest_first(limits: &mut [RoomLimit], from: f64) {
    limits.sort_by(|a, b| (a.at - from).abs().total_cmp(&(b.at - from).abs()));
}

/// What there is of something that can give way, below 0 once it has.
#[derive(Debug, Clone, PartialEq)]
struct Left {
    failing: Failing,
    place: LimitPlace,
    left: f64,
}

/// The end of an interval between a value at which something holds and one at which it has given way, on the latter's side.
fn first_gone(mut holds: f64, mut gone: f64, is_gone: impl Fn(f64) -> bool) -> f64 {
    for _ in 0..HALVINGS {
        let middle = 0.5 * (holds + gone);
        if is_gone(middle) {
            gone = middle;
        } else {
            holds = middle;
        }
    }
    gone
}

/// The limit of one kind between a value at which it holds and one at which it has given way.
fn narrowed(ask: &impl Fn(f64) -> Option<Left>, holds: f64, gone: f64) -> Option<RoomLimit> {
    let rising = gone > holds;
    let gone = first_gone(holds, gone, |value| ask(value).is_some_and(|left| left.left < 0.0));
    let Left { failing, place, .. } = ask(gone)?;
    Some(RoomLimit { failing, place, at: gone, rising, stops: false })
}

/// What is left of every mesh, in an order that depends on the design alone.
fn meshes_left(design: &InRoom) -> Vec<Left> {
    let Some(train) = &design.train else { return Vec::new() };
    let made = TrainMade::mean_of(design);
    let mesh = |(index, pair): (usize, &[crate::clock::design::Arbor])| {
        let [driver, driven] = pair else { return None };
        let teeth = driver.wheel_teeth.zip(driven.pinion_teeth)?;
        let depthing = Depthing::of(train, driver, teeth, &made.mesh(index));
        let place = LimitPlace::Mesh(MeshName::of(driver, driven, &depthing));
        let left = |failing, left| Left { failing, place: place.clone(), left };
        Some([
            left(Failing::MeshJams, depthing.left_before_it_jams()),
            left(Failing::MeshLeaves, depthing.shallowest.depth),
        ])
    };
    train.arbors.windows(2).enumerate().filter_map(mesh).flatten().collect()
}

/// What is left of the escapement, always in the same order; what cannot be told has not given way.
fn escapement_left(design: &InRoom) -> Vec<Left> {
    // The escapement alone: whatever the train does, a torque drives it.
    let drive = LumpedDrive { escape_torque_n_m: 1e-3, friction_torque_n_m: Friction::of(0.0), inertia_kg_m2: 1e-6 };
    let alone = InRoom { train: None, drive: Some(DriveDesign::Lumped(drive)), ..design.clone() };
    let built = build(&alone);
    let turn = built.as_ref().ok().and_then(|built| action_over_turn(&built.mechanism.escapement));
    let mut all = Vec::new();
    for side in Side::BOTH {
        let of = |quantity: ActionQuantity| match (&built, &turn) {
            (Ok(built), Some(turn)) => quantity.of_turn(built, &turn[side]),
            (Ok(built), None) => quantity.of_all(built, side),
            (Err(_), _) => None,
        };
        for (failing, quantity) in [
            (Failing::Hold(side), ActionQuantity::Hold),
            (Failing::Drop(side), ActionQuantity::Drop),
            (Failing::Clearance(side), ActionQuantity::Clearance),
        ] {
            let (place, left) = of(quantity).unwrap_or((LimitPlace::Whole, f64::INFINITY));
            all.push(Left { failing, place, left });
        }
    }
    let without = turn.iter().flat_map(|turn| turn.iter()).find(|(_, turn)| turn.without_action > 0);
    let (place, left) = match (&built, without) {
        // No fault of the escapement: the clock is told as one that stops.
        (Err(BuildError::Place(_) | BuildError::Pendulum(_)), _) => (LimitPlace::Whole, 1.0),
        (Err(error), _) => (LimitPlace::Unbuilt(Box::new(error.clone())), -1.0),
        (Ok(_), Some((pallet, turn))) => (LimitPlace::Teeth { pallet, count: turn.without_action }, -1.0),
        (Ok(_), None) => (LimitPlace::Whole, 1.0),
    };
    all.push(Left { failing: Failing::Action, place, left });
    all
}

#[derive(Clone, Copy)]
enum ActionQuantity {
    Hold,
    Drop,
    Clearance,
}

impl ActionQuantity {
    /// The least of it at a pallet over a turn, rad, with the tooth.
    fn of_turn(self, built: &Built, turn: &PalletTurn) -> Option<(LimitPlace, f64)> {
        let OverTurn { least_rad, least_tooth, .. } = match self {
            // Nothing locks: then a tooth must at least be held.
            Self::Hold if turn.lock.most_rad == 0.0 && turn.lock.least_rad == 0.0 => turn.lift,
            Self::Hold => turn.lock,
            Self::Drop => turn.drop,
            Self::Clearance => turn.clearance,
        };
        let teeth = built.outlines.as_ref()?.teeth;
        Some((LimitPlace::Tooth(Some(built.out_of_true.place(least_tooth, teeth))), least_rad))
    }

    /// The same where all teeth are alike.
    fn of_all(self, built: &Built, side: Side) -> Option<(LimitPlace, f64)> {
        let action = built.action?;
        let of = action[side];
        let least = match self {
            Self::Hold if of.lock_rad == 0.0 => of.lift_rad,
            Self::Hold => of.lock_rad,
            Self::Drop => of.drop_rad,
            Self::Clearance => of.clearance_rad,
        };
        Some((LimitPlace::Tooth(None), least))
    }
}
