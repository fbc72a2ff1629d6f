//! Where the searches of a copy will end, foreseen from what those of the mean clock do when one input after another is moved.
//!
//! A first guess and nothing more: every copy is solved for anew and checked.

use crate::answers::warm_start::{EndPlaces, WarmStart};
use crate::clock::build::Built;
use crate::clock::environment::InRoom;
use crate::study::parallel::each_of;

use super::copy::built_copy;
use super::inputs::{Input, Varied};

/// Deviations by which an input is moved, to both sides or, where it cannot be less, up by so much and by half.
const MOVED_BY: f64 = 1.0;

/// Change of the weight, relative, at which the effect of the torque is asked.
const WEIGHT_STEP: f64 = 0.05;

/// What an input does to the places, to second order.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Effect {
    slope: EndPlaces,
    bend: EndPlaces,
}

impl Effect {
    /// From the changes by two steps.
    fn of((one, by_one): (f64, EndPlaces), (other, by_other): (f64, EndPlaces)) -> Self {
        let bend = (by_other / other - by_one / one) / (other - one);
        Self { slope: by_one / one - bend * one, bend }
    }

    fn at(&self, step: f64) -> EndPlaces {
        (self.slope + self.bend * step) * step
    }
}

/// What the mean clock of many copies teaches for each of them.
#[derive(Debug, Clone, PartialEq)]
pub struct Foreseen {
    warm: WarmStart,
    /// `None` where no drive turns a wheel, and where the clock stands still under somewhat less or more.
    effects: Option<Effects>,
}

#[derive(Debug, Clone, PartialEq)]
struct Effects {
    /// Of each input, the net torque on the wheel being the same; `None` of the train's, which act through that alone.
    of_inputs: Vec<Option<Effect>>,
    /// Of the logarithm of that torque under the clock's own drive.
    by_torque: Effect,
    ln_forward: f64,
}

impl Effects {
    fn of(design: &InRoom, mean: &Built, inputs: &[Input], warm: &WarmStart) -> Option<Self> {
        let own_ln_forward = ln_forward(mean)?;
        let own = warm.places();
        let changed = |built: &Built| Some((ln_forward(built)? - own_ln_forward, warm.places_of(built) - own));
        let [less, more] = [1.0 - WEIGHT_STEP, 1.0 + WEIGHT_STEP].map(|factor| changed(&driven_by_times(mean, factor)));
        let by_torque = Effect::of(less?, more?);
        let of_train = |input: &&Input| matches!(input.varied, Varied::Train(_));
        let moved: Vec<Input> = inputs.iter().filter(|input| !of_train(input)).cloned().collect();
        let of_inputs = each_of(inputs, |input| {
            let place = moved.iter().position(|one| one == input)?;
            let by = |deviations: f64| {
                let step = deviations * input.deviation;
                let mut values: Vec<f64> = moved.iter().map(|input| input.mean).collect();
                values[place] += step;
                if values[place] < input.least() {
                    return None;
                }
                let (torque, places) = changed(&built_copy(design, mean, &moved, &values).ok()?)?;
                Some((step, places - by_torque.at(torque)))
            };
            let other = by(-MOVED_BY).or_else(|| by(0.5 * MOVED_BY))?;
            Some(Effect::of(other, by(MOVED_BY)?))
        });
        Some(Self { of_inputs, by_torque, ln_forward: own_ln_forward })
    }

    /// The change of the places for a copy that has drawn these values.
    fn at(&self, built: &Built, inputs: &[Input], drawn: &[f64]) -> EndPlaces {
        let torque = ln_forward(built).map_or(0.0, |ln_forward| ln_forward - self.ln_forward);
        let of_inputs = self.of_inputs.iter().zip(inputs.iter().zip(drawn));
        let changes = of_inputs.filter_map(|(effect, (input, value))| Some(effect.as_ref()?.at(value - input.mean)));
        changes.fold(self.by_torque.at(torque), |sum, change| sum + change)
    }
}

impl Foreseen {
    /// From the mean clock of copies that draw `inputs`.
    #[must_use]
    pub fn of(design: &InRoom, mean: &Built, inputs: &[Input], warm: WarmStart) -> Self {
        Self { effects: Effects::of(design, mean, inputs, &warm), warm }
    }

    /// What to look for first of a copy that has drawn these values.
    #[must_use]
    pub fn warm_start(&self, built: &Built, inputs: &[Input], drawn: &[f64]) -> WarmStart {
        self.effects.as_ref().map_or_else(
            || self.warm.clone(),
            |effects| self.warm.foreseen(&(self.warm.places() + effects.at(built, inputs, drawn))),
        )
    }
}

/// Logarithm of the net torque on the wheel under the clock's own drive, N m; `None` where nothing turns it.
fn ln_forward(built: &Built) -> Option<f64> {
    let forward_n_m = built.mechanism.drive?.forward_n_m();
    (forward_n_m > 0.0).then(|| forward_n_m.ln())
}

/// The clock under so many times its drive.
fn driven_by_times(built: &Built, factor: f64) -> Built {
    let mut built = built.clone();
    match (&mut built.weight_drive, &built.prepared_drive) {
        (Some(weight), Some(prepared)) => {
            weight.weight_kg *= factor;
            built.mechanism.drive = Some(prepared.model(weight.weight_kg));
        }
        _ => {
            if let Some(drive) = &mut built.mechanism.drive {
                drive.ideal_torque_n_m *= factor;
            }
        }
    }
    built
}
