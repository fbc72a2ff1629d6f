//! The largest value of a function between two points.

/// Share of a bracket at which it is cut: one over the golden ratio.
const CUT: f64 = 0.618_033_988_749_894_9;

/// Steps after which the bracket of [`highest`] has shrunk to 1e-12 of itself.
const STEPS: usize = 58;

/// A bracket about the peak of a function, narrowed by golden section (J. Kiefer 1953, "Sequential minimax search for a maximum", Proc. Amer.
/// Math. Soc. 4, 502).
#[derive(Debug)]
pub struct GoldenSection<F> {
    function: F,
    low: f64,
    high: f64,
    inner: (f64, f64),
    outer: (f64, f64),
}

impl<F: FnMut(f64) -> f64> GoldenSection<F> {
    /// The bracket from `low` to `high` of a function that has one peak in it.
    pub fn between(low: f64, high: f64, mut function: F) -> Self {
        let mut at = |place: f64| (place, function(place));
        let (inner, outer) = (at(high - CUT * (high - low)), at(low + CUT * (high - low)));
        Self { function, low, high, inner, outer }
    }

    /// Cuts off the side of the smaller value; of equal ones the lower.
    pub fn step(&mut self) {
        if self.inner.1 > self.outer.1 {
            (self.high, self.outer) = (self.outer.0, self.inner);
            let place = self.high - CUT * (self.high - self.low);
            self.inner = (place, (self.function)(place));
        } else {
            (self.low, self.inner) = (self.inner.0, self.outer);
            let place = self.low + CUT * (self.high - self.low);
            self.outer = (place, (self.function)(place));
        }
    }

    /// The bracket's ends.
    pub const fn bracket(&self) -> (f64, f64) {
        (self.low, self.high)
    }

    /// Place and value of the larger of the two in the bracket.
    pub fn best(&self) -> (f64, f64) {
        if self.inner.1 > self.outer.1 { self.inner } else { self.outer }
    }
}

/// Place and value of the largest value of `function` over `places`, in rising order, looked for on between the neighbours of the best of them by
/// golden section. Exact to 1e-6 of a bracket where the function has one smooth peak in it, and never less than at the best of the places.
/// `None` without places.
#[must_use]
pub fn highest(places: &[f64], function: &impl Fn(f64) -> f64) -> Option<(f64, f64)> {
    let values: Vec<f64> = places.iter().map(|&place| function(place)).collect();
    let best = (0..values.len()).max_by(|&one, &other| values[one].total_cmp(&values[other]))?;
    let (low, high) = (places[best.saturating_sub(1)], places[(best + 1).min(places.len() - 1)]);
    let mut section = GoldenSection::between(low, high, function);
    for _ in 0..STEPS {
        section.step();
    }
    let found = section.best();
    Some(if found.1 > values[best] { found } else { (places[best], values[best]) })
}
