//! Truncated power series in time and the recurrences that build them.
//!
//! A quantity along one step is `x(t) = sum x[n] t^n`, `n = 0 ..= ORDER`. The recurrences for products and sines are
//! the usual ones of automatic differentiation (Jorba and Zou 2005, "A software package for the numerical integration
//! of ODEs by means of high-order Taylor methods", Experimental Mathematics 14, section 2).

/// Highest power kept. Near 16 decimals the cost per unit of time is least about here (order `-ln(tolerance) / 2 + 1`,
/// Jorba and Zou 2005, section 3.2).
pub const ORDER: usize = 20;

/// Number of coefficients.
pub const TERMS: usize = ORDER + 1;

/// Coefficients of a truncated power series.
pub type Series = [f64; TERMS];

/// Coefficient `n` of the product `a b`, from the coefficients `0 ..= n` of both.
#[inline]
#[must_use]
pub fn product_term(a: &Series, b: &Series, n: usize) -> f64 {
    let mut sum = 0.0;
    for (left, right) in a[..=n].iter().zip(b[..=n].iter().rev()) {
        sum += left * right;
    }
    sum
}

/// Coefficient `n` of `a^2`.
#[inline]
#[must_use]
pub fn square_term(a: &Series, n: usize) -> f64 {
    let mut sum = 0.0;
    for k in 0..n.div_ceil(2) {
        sum += a[k] * a[n - k];
    }
    sum *= 2.0;
    if n.is_multiple_of(2) {
        sum += a[n / 2] * a[n / 2];
    }
    sum
}

/// Sine and cosine of a series, filled in coefficient by coefficient.
#[derive(Debug, Clone, Copy)]
pub struct SineCosine {
    /// Sine.
    pub sine: Series,
    /// Cosine.
    pub cosine: Series,
}

impl SineCosine {
    /// Holds the leading coefficients for an angle that starts at `angle_rad`.
    #[inline]
    #[must_use]
    pub fn at(angle_rad: f64) -> Self {
        let mut both = Self { sine: [0.0; TERMS], cosine: [0.0; TERMS] };
        (both.sine[0], both.cosine[0]) = angle_rad.sin_cos();
        both
    }

    /// Fills in coefficient `n >= 1`, given `angle[..= n]`.
    #[inline]
    pub fn fill(&mut self, angle: &Series, n: usize) {
        let (mut sine, mut cosine) = (0.0, 0.0);
        for k in 1..=n {
            let weighted = k as f64 * angle[k];
            sine += weighted * self.cosine[n - k];
            cosine -= weighted * self.sine[n - k];
        }
        let inverse = 1.0 / n as f64;
        self.sine[n] = sine * inverse;
        self.cosine[n] = cosine * inverse;
    }
}

/// Value of the series at `t`.
#[inline]
#[must_use]
pub fn value(series: &Series, t: f64) -> f64 {
    series.iter().rev().fold(0.0, |sum, term| sum * t + term)
}

/// Value and first derivative at `t`.
#[inline]
#[must_use]
pub fn value_and_slope(series: &Series, t: f64) -> (f64, f64) {
    let (mut sum, mut slope) = (0.0, 0.0);
    for term in series.iter().rev() {
        slope = slope * t + sum;
        sum = sum * t + term;
    }
    (sum, slope)
}

/// Integral of the series from 0 to `t`.
#[inline]
#[must_use]
pub fn integral(series: &Series, t: f64) -> f64 {
    let mut sum = 0.0;
    for (n, term) in series.iter().enumerate().rev() {
        sum = sum * t + term / (n + 1) as f64;
    }
    sum * t
}

/// Product of two complete series, truncated.
#[must_use]
pub fn product(a: &Series, b: &Series) -> Series {
    std::array::from_fn(|n| product_term(a, b, n))
}

/// Longest step at which the last four terms stay below `tolerance` (absolute); infinite for a short polynomial.
///
/// Bounds the error in the series' value: where the last terms fall off by `tolerance^(1/ORDER)` each (about 1/8), the
/// neglected tail adds a seventh of the last term (Jorba and Zou 2005, section 3.2, which takes the last two; a pendulum
/// let go at a right angle has only every fourth).
#[inline]
#[must_use]
pub fn trusted_step(series: &Series, tolerance: f64) -> f64 {
    let mut shortest_log = f64::INFINITY;
    for (n, term) in series.iter().enumerate().skip(TERMS - 4) {
        let size = term.abs();
        // A coefficient this small bounds nothing and its quotient would overflow.
        if size > 1e-290 {
            shortest_log = shortest_log.min((tolerance / size).ln() / n as f64);
        }
    }
    shortest_log.exp()
}
