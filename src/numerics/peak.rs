//! The largest value of a function between two points.

/// Steps of the golden section: the bracket shrinks to 1e-12 of itself.
const STEPS: usize = 58;

/// Place and value of the largest value of `function` over `places`, in rising order, looked for on between the neighbours of the best of them by
/// golden section. Exact to 1e-6 of a bracket where the function has one smooth peak in it, and never less than at the best of the places.
/// `None` without places.
#[must_use]
pub fn highest(places: &[f64], function: &impl Fn(f64) -> f64) -> Option<(f64, f64)> {
    let values: Vec<f64> = places.iter().map(|&place| function(place)).collect();
    let best = (0..values.len()).max_by(|&one, &other| values[one].total_cmp(&values[other]))?;
    let (mut low, mut high) = (places[best.saturating_sub(1)], places[(best + 1).min(places.len() - 1)]);
    let golden = 0.5 * (5.0_f64.sqrt() - 1.0);
    let (mut inner, mut outer) = (high - golden * (high - low), low + golden * (high - low));
    let (mut at_inner, mut at_outer) = (function(inner), function(outer));
    for _ in 0..STEPS {
        if at_inner >= at_outer {
            (high, outer, at_outer) = (outer, inner, at_inner);
            inner = high - golden * (high - low);
            at_inner = function(inner);
        } else {
            (low, inner, at_inner) = (inner, outer, at_outer);
            outer = low + golden * (high - low);
            at_outer = function(outer);
        }
    }
    let found = if at_inner >= at_outer { (inner, at_inner) } else { (outer, at_outer) };
    Some(if found.1 > values[best] { found } else { (places[best], values[best]) })
}
