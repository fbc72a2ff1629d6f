//! Roots planted in polynomials, bracketed roots, series of known functions.

use beatwright::numerics::root::{BracketError, first_fall_after, first_fall_through_zero, solve_bracketed};
use beatwright::numerics::series::{
    Series, SineCosine, TERMS, integral, product, square_term, trusted_step, value, value_and_slope,
};
use proptest::prelude::*;
use proptest::test_runner::RngSeed;

/// `scale` times the product of `(root - t)` over the roots.
fn planted(roots: &[f64], scale: f64) -> Series {
    let mut series = [0.0; TERMS];
    series[0] = scale;
    for &root in roots {
        for n in (0..TERMS).rev() {
            series[n] = root * series[n] - if n > 0 { series[n - 1] } else { 0.0 };
        }
    }
    series
}

/// Rounding of the series' value anywhere up to `t`.
fn noise(series: &Series, t: f64) -> f64 {
    let size: f64 = series.iter().enumerate().map(|(n, term)| term.abs() * t.powi(n as i32)).sum();
    8.0 * f64::EPSILON * size
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 2000, failure_persistence: None, rng_seed: RngSeed::Fixed(3), ..ProptestConfig::default() })]

    // One to six planted roots, neighbours as close as 1e-9: the first is found to what rounding leaves of it.
    #[test]
    fn exact_planted_roots_are_found(
        places in prop::collection::vec(0.01..0.99_f64, 1..6), twin in prop::option::of(-9.0..-2.0_f64), scale in 1e-6..1e6_f64,
        length in 1e-6..10.0_f64,
    ) {
        let mut roots = places;
        if let Some(exponent) = twin {
            roots.push(roots[0] + 10f64.powf(exponent));
        }
        roots.sort_by(f64::total_cmp);
        let first = roots[0];
        let unit = planted(&roots, scale);
        // Over a step of another length the same roots are scaled.
        let series: Series = std::array::from_fn(|n| unit[n] / length.powi(n as i32));
        let found = first_fall_through_zero(&series, length);
        let (_, slope) = value_and_slope(&unit, first);
        let fuzzy = noise(&unit, first) / slope.abs();
        if roots.get(1).is_some_and(|next| next - first < 16.0 * fuzzy) {
            // Two roots that rounding cannot tell apart may vanish, but nothing else may be found before the third.
            let third = roots.get(2).copied().unwrap_or(1.0);
            let close = |t: f64| t / length > first - 1e-6 && t / length < third + 1e-6;
            prop_assert!(found.is_none_or(close) || roots.len() > 2 && found.is_some_and(|t| t <= length));
        } else {
            let t = found.expect("a planted root") / length;
            prop_assert!((t - first).abs() <= fuzzy + 4.0 * f64::EPSILON, "{t} {first} {fuzzy}");
        }
    }

    // Whatever the series: nothing below zero before the time found, and below zero behind it; nothing at all where none is.
    #[test]
    fn exact_no_fall_is_stepped_over(terms in prop::collection::vec(-1.0..1.0_f64, TERMS), first in 0.0..1.0_f64, falling in 0.3..1.5_f64, length in 0.1..1.2_f64) {
        let mut series: Series = std::array::from_fn(|n| terms[n] * falling.powi(n as i32));
        series[0] = first * first;
        let found = first_fall_through_zero(&series, length);
        let noise = noise(&series, length);
        let end = found.unwrap_or(length);
        for k in 0..=1000 {
            let t = end * f64::from(k) / 1000.0;
            prop_assert!(value(&series, t) >= -noise, "below zero at {t}, found {found:?}");
        }
        if let Some(t) = found {
            prop_assert!(t > 0.0 && t <= length && value(&series, t).abs() <= noise);
            prop_assert!((1..60).any(|k| value(&series, t + length * 0.5_f64.powi(k)) < 0.0));
            // A search that starts behind the root finds another one, or none, but not this one again for ever.
            let next = first_fall_after(&series, t + 1e-9, length);
            prop_assert!(next.is_none_or(|next| next > t));
        }
    }

    #[test]
    fn exact_bracketed_roots(root in -3.0..3.0_f64, below in 1e-6..5.0_f64, above in 1e-6..5.0_f64, steep in 1e-3..1e3_f64, which in 0..5, flip in any::<bool>()) {
        let sign = if flip { -1.0 } else { 1.0 };
        let function = |x: f64| sign * match which {
            0 => steep * (x - root),
            1 => (steep * (x - root)).atan(),
            2 => (steep * (x - root)).sinh().clamp(-1e300, 1e300),
            3 => (x - root).powi(3),
            _ => if x < root { -1.0 } else { 1.0 },
        };
        let (low, high) = (root - below, root + above);
        let tolerance = 1e-13;
        let found = solve_bracketed(function, (low, function(low)), (high, function(high)), tolerance).unwrap();
        prop_assert!((found - root).abs() <= tolerance + 4.0 * f64::EPSILON * root.abs().max(found.abs()), "{found} {root}");
    }

    #[test]
    fn exact_sine_and_cosine_of_a_series(start in -3.0..3.0_f64, speed in -2.0..2.0_f64, bend in -2.0..2.0_f64, t in -0.2..0.2_f64) {
        let mut angle = [0.0; TERMS];
        angle[..3].copy_from_slice(&[start, speed, bend]);
        let mut rate = [0.0; TERMS];
        rate[..2].copy_from_slice(&[speed, 2.0 * bend]);
        let (mut both, mut short) = (SineCosine::at(start), SineCosine::at(start));
        for n in 1..TERMS {
            both.fill(&rate, n);
            short.fill_by_short_speed(&rate, n);
        }
        let (sine, cosine) = value(&angle, t).sin_cos();
        for both in [&both, &short] {
            prop_assert!((value(&both.sine(), t) - sine).abs() < 1e-15 && (value(&both.cosine(), t) - cosine).abs() < 1e-15);
        }
        let squares: Series = std::array::from_fn(|n| square_term(&both.sine(), n) + square_term(&both.cosine(), n));
        prop_assert!((squares[0] - 1.0).abs() < 1e-15 && squares[1..].iter().all(|term| term.abs() < 1e-12));
        let same = product(&both.sine(), &both.sine());
        prop_assert!((0..TERMS).all(|n| (same[n] - square_term(&both.sine(), n)).abs() <= 1e-14 * (1.0 + same[n].abs())));
    }
}

// sin(a + b t) and its integral, coefficient by coefficient.
#[test]
fn exact_series_of_a_sine() {
    let (a, b) = (0.7_f64, 1.3);
    let mut speed = [0.0; TERMS];
    speed[0] = b;
    let mut both = SineCosine::at(a);
    let mut factor = 1.0;
    for n in 1..TERMS {
        both.fill(&speed, n);
        factor *= b / n as f64;
        let derivative = (a + n as f64 * std::f64::consts::FRAC_PI_2).sin();
        assert!((both.sine()[n] - factor * derivative).abs() < 1e-15 * factor.max(1e-3), "{n}");
    }
    assert!((integral(&both.sine(), 0.5) - (a.cos() - (a + 0.5 * b).cos()) / b).abs() < 1e-15);
    // Where the last term is the tolerance, the step may be one.
    let mut series = [0.0; TERMS];
    series[TERMS - 1] = 1e-18;
    assert!((trusted_step(&series, 1e-18) - 1.0).abs() < 1e-12);
    assert!(trusted_step(&[0.0; TERMS], 1e-18).is_infinite());
}

// A root exactly at the end of a step belongs to this step or to the next, never to none.
#[test]
fn exact_root_at_the_end_of_a_step() {
    for end in [0.25, 0.5, 1.0 / 3.0, 0.7] {
        let here = planted(&[end], 1.0);
        let next = planted(&[0.0], 1.0);
        let in_this = first_fall_through_zero(&here, end);
        let in_next = first_fall_through_zero(&next, 0.1);
        assert!(in_this.is_some_and(|t| (t - end).abs() < 1e-15) || in_next.is_some_and(|t| t < 1e-15));
        assert!(in_next.is_some_and(|t| t.abs() < 1e-15), "{in_next:?}");
    }
    // A graze from above is none; below by the least that shows is one.
    let mut graze = planted(&[0.5, 0.5], 1.0);
    assert_eq!(first_fall_through_zero(&graze, 1.0), None);
    graze[0] -= 1e-12;
    assert!((first_fall_through_zero(&graze, 1.0).unwrap() - (0.5 - 1e-6)).abs() < 1e-9);
    // Starts below: at once.
    graze[0] = -1.0;
    assert_eq!(first_fall_through_zero(&graze, 1.0), Some(0.0));
}

#[test]
fn exact_bracket_errors() {
    let error = solve_bracketed(|x| x * x + 1.0, (-1.0, 2.0), (1.0, 2.0), 1e-12).unwrap_err();
    assert_eq!(error, BracketError::NoSignChange { low: -1.0, high: 1.0 });
    let error = solve_bracketed(|_| f64::NAN, (-1.0, f64::NAN), (1.0, 2.0), 1e-12).unwrap_err();
    assert!(matches!(error, BracketError::NoSignChange { .. }));
}

// Nothing to bisect for: at zero all along, below zero all along, and a sixfold root that rounding smears over a hundredth.
#[test]
fn exact_flat_series_end_the_search() {
    let flat = |height: f64| {
        let mut series = [0.0; TERMS];
        series[0] = height;
        series
    };
    assert_eq!(first_fall_through_zero(&flat(0.0), 1.0), None);
    assert_eq!(first_fall_after(&flat(-1e-15), 0.0, 1.0), None);
    let mut dip = flat(-1.0);
    dip[3] = 0.5;
    assert_eq!(first_fall_after(&dip, 0.0, 1.0), None);
    let smeared = first_fall_through_zero(&planted(&[0.5; 6], 1.0), 1.0);
    assert!(smeared.is_none_or(|t| (t - 0.5).abs() < 1e-2), "{smeared:?}");
}
