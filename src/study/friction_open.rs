//! What the scenario's spreads of frictions leave open of a number.

use crate::answers::prediction::predict_only;
use crate::answers::solve::Wanted;
use crate::clock::environment::InRoom;

use super::spread::copy::with_drawn_frictions;
use super::spread::inputs::{Input, STATED_AS, inputs_of};

/// A friction of the scenario, or all that bear one name, a standard deviation less and more.
#[derive(Debug, Clone)]
struct VariedFriction {
    /// Of one and the other.
    clocks: [InRoom; 2],
    /// By how many standard deviations they are apart.
    apart: f64,
}

/// A clock with each friction that has a spread moved by itself.
#[derive(Debug, Clone)]
pub struct VariedFrictions(Vec<VariedFriction>);

impl VariedFrictions {
    /// Of a clock's frictions.
    #[must_use]
    pub fn of(in_room: &InRoom) -> Self {
        let inputs: Vec<Input> = inputs_of(in_room).into_iter().filter(|input| !input.is_of_the_print()).collect();
        let moved = |place: usize, deviations: f64| {
            let mut values: Vec<f64> = inputs.iter().map(|input| input.mean).collect();
            values[place] += deviations * inputs[place].deviation;
            with_drawn_frictions(in_room, &inputs, &values)
        };
        let of_input = |place: usize| {
            let less = if inputs[place].mean - inputs[place].deviation < inputs[place].least() { 0.0 } else { -1.0 };
            Some(VariedFriction { clocks: [moved(place, less)?, moved(place, 1.0)?], apart: 1.0 - less })
        };
        Self((0..inputs.len()).filter_map(of_input).collect())
    }

    /// What they leave open of a number, as a scenario states a spread (two standard deviations), to first order; `None` where one of them
    /// leaves no number, and without any spread.
    #[must_use]
    pub fn open_of(&self, number: impl Fn(&InRoom) -> Option<f64>) -> Option<f64> {
        self.open_of_all(|clock| [number(clock)])[0]
    }

    /// The same of several numbers at once.
    #[must_use]
    pub fn open_of_all<const N: usize>(&self, numbers: impl Fn(&InRoom) -> [Option<f64>; N]) -> [Option<f64>; N] {
        let mut squares = [(!self.0.is_empty()).then_some(0.0); N];
        for friction in &self.0 {
            let [less, more] = friction.clocks.each_ref().map(&numbers);
            for (place, square) in squares.iter_mut().enumerate() {
                let slope = less[place].zip(more[place]).map(|(less, more)| (more - less) / friction.apart);
                *square = square.zip(slope).map(|(square, slope): (f64, f64)| square + slope.powi(2));
            }
        }
        squares.map(|square| square.map(|square| STATED_AS * square.sqrt()))
    }
}

/// What the frictions leave open of the figures that a builder looks at first, two standard deviations; `None` where they leave no figure.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct OpenFigures {
    /// Of the semi-arc, rad.
    pub semi_arc_rad: Option<f64>,
    /// Of the rate, s/day.
    pub rate_s_per_day: Option<f64>,
    /// Of the least weight, kg.
    pub least_weight_kg: Option<f64>,
}

impl OpenFigures {
    /// Of a clock.
    #[must_use]
    pub fn of(in_room: &InRoom) -> Self {
        let [semi_arc_rad, rate_s_per_day, least_weight_kg] = VariedFrictions::of(in_room).open_of_all(|clock| {
            let Ok(found) = predict_only(clock, Wanted::LEAST) else { return [None; 3] };
            let arc = found.measured().map(|measured| measured.semi_arc_rad());
            [arc, found.rate_s_per_day(), found.least.and_then(|least| least.bare.kg())]
        });
        Self { semi_arc_rad, rate_s_per_day, least_weight_kg }
    }
}
