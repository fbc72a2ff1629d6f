//! The amplitude over time under losses and a steady gain, with its derivatives by every coefficient.

use super::loss_shapes::{LOSSES, LossShapes};

/// Coefficients of a course: the losses, then the energy gained in a period.
pub const COEFFICIENTS: usize = LOSSES + 1;

/// Amplitude and its derivatives by the first amplitude and the coefficients.
const STATE: usize = 2 + COEFFICIENTS;

/// Steps over a whole course. Steps of the fourth order of a 120th of it leave errors below 1e-8 of an amplitude that falls to a tenth.
const STEPS: usize = 120;

/// A course of the amplitude.
#[derive(Debug, Clone, PartialEq)]
pub struct AmplitudeCourse {
    from: f64,
    step: f64,
    states: Vec<[f64; STATE]>,
    slopes: Vec<[f64; STATE]>,
}

/// Amplitude at one time, and its derivatives.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CoursePoint {
    /// Amplitude, rad.
    pub amplitude_rad: f64,
    /// Its derivative by the first amplitude.
    pub by_first: f64,
    /// Its derivatives by the coefficients.
    pub by_coefficients: [f64; COEFFICIENTS],
}

impl AmplitudeCourse {
    /// The course from `from` to `to` (s, or periods where the shapes count them) that begins at an amplitude; the last coefficient is
    /// the energy gained in a period.
    #[must_use]
    pub fn of(shapes: &LossShapes, first_rad: f64, coefficients: &[f64; COEFFICIENTS], from: f64, to: f64) -> Self {
        let step = (to - from) / STEPS as f64;
        let mut state = [0.0; STATE];
        (state[0], state[1]) = (first_rad, 1.0);
        let (mut states, mut slopes) = (vec![state], vec![slope(shapes, coefficients, &state)]);
        for _ in 0..STEPS {
            // Runge and Kutta's classical step.
            let first = slope(shapes, coefficients, &state);
            let second = slope(shapes, coefficients, &along(&state, &first, 0.5 * step));
            let third = slope(shapes, coefficients, &along(&state, &second, 0.5 * step));
            let fourth = slope(shapes, coefficients, &along(&state, &third, step));
            for number in 0..STATE {
                state[number] += step / 6.0 * (first[number] + 2.0 * (second[number] + third[number]) + fourth[number]);
            }
            if state[0] < 0.0 {
                // At rest.
                state[0] = 0.0;
            }
            states.push(state);
            slopes.push(slope(shapes, coefficients, &state));
        }
        Self { from, step, states, slopes }
    }

    /// The course at a time, by the cubic through the ends of its step and their slopes.
    #[must_use]
    pub fn at(&self, time: f64) -> CoursePoint {
        let place = if self.step > 0.0 { ((time - self.from) / self.step).clamp(0.0, STEPS as f64) } else { 0.0 };
        let below = (place.floor() as usize).min(STEPS - 1);
        let u = place - below as f64;
        let (ends, slopes) =
            ((&self.states[below], &self.states[below + 1]), (&self.slopes[below], &self.slopes[below + 1]));
        let (square, cube) = (u * u, u * u * u);
        let weights =
            (2.0 * cube - 3.0 * square + 1.0, cube - 2.0 * square + u, 3.0 * square - 2.0 * cube, cube - square);
        let value = |number: usize| {
            weights.0 * ends.0[number]
                + weights.1 * self.step * slopes.0[number]
                + weights.2 * ends.1[number]
                + weights.3 * self.step * slopes.1[number]
        };
        CoursePoint {
            amplitude_rad: value(0),
            by_first: value(1),
            by_coefficients: std::array::from_fn(|number| value(2 + number)),
        }
    }
}

fn along(state: &[f64; STATE], slope: &[f64; STATE], step: f64) -> [f64; STATE] {
    std::array::from_fn(|number| state[number] + step * slope[number])
}

/// Change of amplitude and derivatives with time.
fn slope(shapes: &LossShapes, coefficients: &[f64; COEFFICIENTS], state: &[f64; STATE]) -> [f64; STATE] {
    let amplitude = state[0];
    if amplitude <= 0.0 && coefficients[LOSSES] <= 0.0 {
        return [0.0; STATE];
    }
    let parts = parts(shapes, amplitude);
    let change =
        |parts: &[f64; COEFFICIENTS]| parts.iter().zip(coefficients).map(|(part, value)| part * value).sum::<f64>();
    let by_amplitude = {
        let h = 1e-5 * amplitude.max(1e-4);
        (change(&self::parts(shapes, amplitude + h)) - change(&self::parts(shapes, (amplitude - h).max(0.0))))
            / (h + h.min(amplitude))
    };
    let mut out = [0.0; STATE];
    out[0] = change(&parts);
    out[1] = by_amplitude * state[1];
    for number in 0..COEFFICIENTS {
        out[2 + number] = by_amplitude * state[2 + number] + parts[number];
    }
    out
}

/// Change of the amplitude in a unit of time for a coefficient of 1 each.
fn parts(shapes: &LossShapes, amplitude_rad: f64) -> [f64; COEFFICIENTS] {
    let per_time = 1.0 / shapes.period_s(amplitude_rad);
    let losses = shapes.losses_rad(amplitude_rad);
    let mut parts = [0.0; COEFFICIENTS];
    for (part, loss) in parts.iter_mut().zip(losses) {
        *part = -loss * per_time;
    }
    parts[LOSSES] = shapes.gain_rad(amplitude_rad) * per_time;
    parts
}
