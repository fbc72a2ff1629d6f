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

/// `1 / n`; nothing at 0.
pub const INVERSE: [f64; TERMS + 1] = {
    let mut inverse = [0.0; TERMS + 1];
    let mut n = 1;
    while n <= TERMS {
        inverse[n] = 1.0 / n as f64;
        n += 1;
    }
    inverse
};

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
    /// Coefficients of the sine and of the cosine, order by order.
    pub terms: [[f64; 2]; TERMS],
}

impl SineCosine {
    /// Holds the leading coefficients for an angle that starts at `angle_rad`.
    #[inline]
    #[must_use]
    pub fn at(angle_rad: f64) -> Self {
        let mut both = Self { terms: [[0.0; 2]; TERMS] };
        both.start(angle_rad);
        both
    }

    /// Sets the leading coefficients for an angle that starts at `angle_rad`; the others keep what they hold.
    #[inline]
    pub fn start(&mut self, angle_rad: f64) {
        self.terms[0] = angle_rad.sin_cos().into();
    }

    /// Sine's series.
    #[must_use]
    pub fn sine(&self) -> Series {
        self.terms.map(|[sine, _]| sine)
    }

    /// Cosine's series.
    #[must_use]
    pub fn cosine(&self) -> Series {
        self.terms.map(|[_, cosine]| cosine)
    }

    /// Fills in coefficient `n >= 1`, given the angle's speed `speed[..n]`: the sine's rate is the speed times the cosine.
    #[inline]
    pub fn fill(&mut self, speed: &Series, n: usize) {
        // Two sums, that no addition waits for the one before, and the latest coefficients last.
        let mut sums = [[0.0; 2]; 2];
        let last = n - 1;
        if last > 1 {
            let mut pairs = speed[1..last].chunks_exact(2);
            let mut turns = self.terms[1..last].rchunks_exact(2);
            for (speeds, turns) in pairs.by_ref().zip(turns.by_ref()) {
                for side in 0..2 {
                    sums[0][side] += speeds[0] * turns[1][side];
                    sums[1][side] += speeds[1] * turns[0][side];
                }
            }
            if let ([speed], [turn]) = (pairs.remainder(), turns.remainder()) {
                for side in 0..2 {
                    sums[0][side] += speed * turn[side];
                }
            }
        }
        for side in 0..2 {
            if last > 0 {
                sums[1][side] += speed[last] * self.terms[0][side];
            }
            sums[0][side] += speed[0] * self.terms[last][side];
        }
        self.terms[n] = [(sums[0][1] + sums[1][1]) * INVERSE[n], -(sums[0][0] + sums[1][0]) * INVERSE[n]];
    }

    /// The same for a speed of which only the first two coefficients are not zero.
    #[inline]
    pub fn fill_by_short_speed(&mut self, speed: &Series, n: usize) {
        let before = if n > 1 { self.terms[n - 2] } else { [0.0; 2] };
        let turn = self.terms[n - 1];
        self.terms[n] = [
            (speed[0] * turn[1] + speed[1] * before[1]) * INVERSE[n],
            -(speed[0] * turn[0] + speed[1] * before[0]) * INVERSE[n],
        ];
    }
}

/// Value of the series at `t`: even and odd powers apart, that fewer operations wait for one another.
#[inline]
#[must_use]
pub fn value(series: &Series, t: f64) -> f64 {
    let square = t * t;
    let (mut even, mut odd) = (series[ORDER], 0.0);
    for n in (0..ORDER).rev().step_by(2) {
        odd = odd * square + series[n];
        even = even * square + series[n - 1];
    }
    even + t * odd
}

/// Value and first derivative at `t`.
#[inline]
#[must_use]
pub fn value_and_slope(series: &Series, t: f64) -> (f64, f64) {
    let square = t * t;
    let (mut even, mut odd) = (series[ORDER], 0.0);
    // Derivatives of both by the square.
    let (mut even_slope, mut odd_slope) = (0.0, 0.0);
    for n in (0..ORDER).rev().step_by(2) {
        odd_slope = odd_slope * square + odd;
        odd = odd * square + series[n];
        even_slope = even_slope * square + even;
        even = even * square + series[n - 1];
    }
    (even + t * odd, odd + 2.0 * t * (even_slope + t * odd_slope))
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

/// Terms that are taken together to see how a series falls off: one of them alone may happen to be small, and a pendulum
/// let go at a right angle has only every fourth.
const BLOCK: usize = 4;

/// Most by which the step differs from the one at which the last four terms have fallen to the tolerance, in octaves.
const LONGEST_STRIDE: f64 = 1.0;

/// Longest step at which the four terms behind the last kept one stay below `tolerance` (absolute) as far as the twelve
/// before them show; infinite for a short polynomial.
///
/// Where the last four terms have fallen to the tolerance (Jorba and Zou 2005, section 3.2, take the last two) the four behind
/// them are estimated from the slower of the two falls from four to four before, and the step is changed by the power that
/// brings them to the tolerance. A series of a smooth motion falls off ever faster, so the estimate is on the safe side.
#[inline]
#[must_use]
pub fn trusted_step(series: &Series, tolerance: f64) -> f64 {
    let known = rough_log2(tolerance);
    let mut shortest = f64::INFINITY;
    for n in TERMS - BLOCK..TERMS {
        shortest = shortest.min((known - rough_log2(series[n].abs())) * INVERSE[n]);
    }
    if shortest == f64::INFINITY {
        return f64::INFINITY;
    }
    let largest = |first: usize| {
        (first..first + BLOCK)
            .map(|n| rough_log2(series[n].abs()) + shortest * n as f64)
            .fold(f64::NEG_INFINITY, f64::max)
    };
    let (before, long_before) = (largest(TERMS - 2 * BLOCK), largest(TERMS - 3 * BLOCK));
    let fall = (known - before).max(before - long_before).min(0.0);
    let behind = known.max(before + fall) + fall;
    let order = if behind > known { ORDER } else { ORDER + BLOCK };
    let stride = ((known - behind) / order as f64).clamp(-LONGEST_STRIDE, LONGEST_STRIDE);
    (shortest + stride).exp2()
}

/// Logarithm to the base 2 of a number that is not negative, too small by up to 0.09, exact at powers of 2; minus infinity
/// below 1e-290, where a term bounds nothing. Divided by the order it is good for a step.
#[inline]
fn rough_log2(number: f64) -> f64 {
    const MANTISSA_BITS: u32 = 52;
    if !(number > 1e-290) {
        return f64::NEG_INFINITY;
    }
    let bits = number.to_bits();
    let exponent = (bits >> MANTISSA_BITS) as i64 - 1023;
    let fraction = f64::from_bits(bits & ((1 << MANTISSA_BITS) - 1) | 1f64.to_bits());
    exponent as f64 + (fraction - 1.0)
}
