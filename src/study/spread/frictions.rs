//! Frictions that differ from clock to clock.

use crate::clock::frictions::{FrictionAt, KnownFriction};
use crate::clock::materials::bearing_named;
use crate::units::Kind;

use super::inputs::STATED_AS;

/// Frictions that one draw sets: all that bear the name of one pair of materials or bearing, or one that has a spread of its own.
#[derive(Debug, Clone, PartialEq)]
pub struct FrictionInput {
    /// Name of the pair or of the bearing; `None` of a friction with a spread of its own.
    pub named: Option<&'static str>,
    /// Paths of the frictions in the scenario.
    pub paths: Vec<String>,
    /// What the value is measured in; `None` for a plain number.
    pub kind: Option<Kind>,
    /// Whether the value counts drags of an oiled bearing of the same bore, as the table of bearings does.
    pub in_oiled_drags: bool,
    /// Mean, SI.
    pub mean: f64,
    /// Standard deviation of the normal distribution before it is cut, SI.
    pub deviation: f64,
    /// Places in the clock's list of frictions.
    places: Vec<usize>,
}

/// The inputs of a clock's frictions, in the order of its list.
#[must_use]
pub fn friction_inputs(frictions: &[KnownFriction]) -> Vec<FrictionInput> {
    let mut found: Vec<FrictionInput> = Vec::new();
    for (place, known) in frictions.iter().enumerate().filter(|(_, known)| known.friction.spread > 0.0) {
        let named = known.friction.named;
        let is_torque = known.kind == Some(Kind::Torque);
        let bearing = named.and_then(bearing_named).filter(|_| is_torque);
        let same = found.iter().position(|input| named.is_some() && input.named == named);
        let index = same.unwrap_or(found.len());
        if same.is_none() {
            found.push(FrictionInput {
                named,
                paths: Vec::new(),
                kind: known.kind,
                in_oiled_drags: false,
                mean: known.friction.value,
                deviation: known.friction.spread / STATED_AS,
                places: Vec::new(),
            });
        }
        let input = &mut found[index];
        if let Some(bearing) = bearing {
            (input.kind, input.in_oiled_drags) = (None, true);
            (input.mean, input.deviation) = (bearing.drag.value, bearing.drag.spread / STATED_AS);
        }
        input.paths.push(known.path.clone());
        input.places.push(place);
    }
    found
}

impl FrictionInput {
    /// Gives the frictions, which are at their means, what a clock has drawn: each stands as many of its own standard deviations off its
    /// mean as `value` is off the input's, and none is below nothing.
    pub fn set(&self, frictions: &mut [FrictionAt<'_>], value: f64) {
        let off = (value - self.mean) / self.deviation;
        for &place in &self.places {
            let Some(at) = frictions.get_mut(place) else { continue };
            let deviation = at.friction.spread / STATED_AS;
            let as_the_input = at.friction.value == self.mean && deviation == self.deviation;
            at.friction.value = if as_the_input { value } else { (at.friction.value + off * deviation).max(0.0) };
        }
    }
}
