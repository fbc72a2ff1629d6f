//! The swing over the frictions: what a smaller swing than predicted says.

use crate::answers::prediction::{Prediction, predict_only};
use crate::answers::solve::Wanted;
use crate::clock::design::DriveDesign;
use crate::clock::environment::InRoom;
use crate::numerics::root::solve_bracketed;
use crate::study::parallel::each_of;

use crate::study::friction_open::VariedFrictions;

/// Factors on the frictions up to the stop, beside those below one.
const ROWS: u32 = 7;

/// Factors below one: a clock may be better than its scenario.
const BETTER: [f64; 2] = [0.6, 0.8];

/// Share of the way from no further friction to the stop at which the last row stands: the stop itself has no swing.
const LAST_SHARE: f64 = 0.98;

/// Factor of the last row of a clock that no friction stops within what is looked at.
const LAST_FACTOR: f64 = 4.0;

/// Steps in which a swing is read on the clock, rad: 0.05 degrees.
const READ_TO_RAD: f64 = 0.05 * std::f64::consts::PI / 180.0;

/// Width to which the factor of such a swing is found.
const WIDTH: f64 = 1e-4;

/// Steps from no weight to today's between which the weight of a swing is looked for.
const WEIGHT_STEPS: u32 = 20;

/// Relative step of the factor for the slope of the swing over it.
const STEP: f64 = 0.01;

/// The steady swing with all frictions so many times as large.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FrictionSwing {
    /// Factor on all frictions of the scenario.
    pub factor: f64,
    /// Semi-arc, mean of both sides, rad; `None` where it stops.
    pub semi_arc_rad: Option<f64>,
    /// What the spreads of the frictions leave of it open, rad, two standard deviations.
    pub open_rad: Option<f64>,
    /// Rate against that of the scenario's own frictions, s/day; `None` without a train.
    pub rate_change_s_per_day: Option<f64>,
}

/// A swing that is read on the clock, and the factor on all frictions that it stands for.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SwingAtFactor {
    /// Semi-arc, rad.
    pub semi_arc_rad: f64,
    /// Factor.
    pub factor: f64,
    /// The driving weight that gives this swing with the scenario's own frictions, kg; `None` without a weight, and where none does.
    pub weight_kg: Option<f64>,
    /// What the spreads of the frictions leave of the factor open, two standard deviations.
    pub open: Option<f64>,
}

/// The swing over a factor on all frictions.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct SwingsOverFriction {
    /// Rows, the factor rising; empty where the clock stops as it is.
    pub rows: Vec<FrictionSwing>,
    /// Factor at which it stops; `None` where it stops as it is, and where none was found.
    pub stops_at: Option<f64>,
    /// A swing half-way between its own and the last row's, and its factor.
    pub between: Option<SwingAtFactor>,
}

impl SwingsOverFriction {
    pub(super) fn of(in_room: &InRoom, prediction: &Prediction, varied: &VariedFrictions) -> Self {
        if prediction.measured().is_none() {
            return Self::default();
        }
        let stops_at = prediction.friction_reserve.as_ref().ok().and_then(|reserve| reserve.factor());
        let last = stops_at.map_or(LAST_FACTOR, |stop| 1.0 + LAST_SHARE * (stop - 1.0));
        let rising = (0..ROWS).map(|row| 1.0 + (last - 1.0) * f64::from(row) / f64::from(ROWS - 1));
        let factors: Vec<f64> = BETTER.into_iter().chain(rising).collect();
        let own_rate = swing(in_room, 1.0).and_then(|(_, rate)| rate);
        let rows = each_of(&factors, |&factor| {
            let found = swing(in_room, factor);
            FrictionSwing {
                factor,
                semi_arc_rad: found.map(|(arc, _)| arc),
                open_rad: found.and_then(|_| varied.open_of(|other| swing(other, factor).map(|(arc, _)| arc))),
                rate_change_s_per_day: found.and_then(|(_, rate)| rate).zip(own_rate).map(|(rate, own)| rate - own),
            }
        });
        Self { between: between(in_room, &rows, varied), rows, stops_at }
    }
}

/// Semi-arc, rad, and rate with all frictions so many times as large; `None` where it stops.
fn swing(in_room: &InRoom, factor: f64) -> Option<(f64, Option<f64>)> {
    let found = predict_only(&in_room.with_frictions_times(factor), Wanted::NOTHING).ok()?;
    Some((found.measured()?.semi_arc_rad(), found.rate_s_per_day()))
}

/// The factor of a swing half-way between that of the scenario's frictions and the last one, solved for.
fn between(in_room: &InRoom, rows: &[FrictionSwing], varied: &VariedFrictions) -> Option<SwingAtFactor> {
    let own = rows.iter().find(|row| row.factor == 1.0)?;
    let last = rows.iter().rev().find(|row| row.semi_arc_rad.is_some())?;
    let (own_rad, last_rad) = (own.semi_arc_rad?, last.semi_arc_rad?);
    let semi_arc_rad = (0.5 * (own_rad + last_rad) / READ_TO_RAD).round() * READ_TO_RAD;
    if !(last_rad < semi_arc_rad && semi_arc_rad < own_rad) {
        return None;
    }
    let beyond = |factor: f64| swing(in_room, factor).map_or(f64::NAN, |(arc, _)| arc - semi_arc_rad);
    let ends = ((own.factor, own_rad - semi_arc_rad), (last.factor, last_rad - semi_arc_rad));
    let factor = solve_bracketed(beyond, ends.0, ends.1, WIDTH).ok()?;
    let arc = |clock: &InRoom, factor: f64| swing(clock, factor).map(|(arc, _)| arc);
    let open = || {
        let open_rad = varied.open_of(|other| arc(other, factor))?;
        let fall_rad = arc(in_room, factor * (1.0 - STEP))? - arc(in_room, factor * (1.0 + STEP))?;
        (fall_rad > 0.0).then(|| open_rad * 2.0 * STEP * factor / fall_rad)
    };
    factor.is_finite().then(|| {
        let weight_kg = weight_with_swing(in_room, semi_arc_rad, own_rad);
        SwingAtFactor { semi_arc_rad, factor, weight_kg, open: open() }
    })
}

/// The lesser weight on which it swings so far, kg, where today's gives `own_rad`; `None` where it stops before.
fn weight_with_swing(in_room: &InRoom, semi_arc_rad: f64, own_rad: f64) -> Option<f64> {
    let own_kg = in_room.weight_drive()?.weight_kg;
    let beyond = |share: f64| {
        let mut lighter = in_room.clone();
        if let Some(DriveDesign::Weight(drive)) = &mut lighter.drive {
            drive.weight_kg = share * own_kg;
        }
        swing(&lighter, 1.0).map(|(arc, _)| arc - semi_arc_rad)
    };
    let mut above = (1.0, own_rad - semi_arc_rad);
    for step in (1..WEIGHT_STEPS).rev() {
        let share = f64::from(step) / f64::from(WEIGHT_STEPS);
        let at = (share, beyond(share)?);
        if at.1 <= 0.0 {
            let found = solve_bracketed(|share| beyond(share).unwrap_or(f64::NAN), at, above, WIDTH).ok()?;
            return Some(found * own_kg).filter(|weight_kg| weight_kg.is_finite());
        }
        above = at;
    }
    None
}
