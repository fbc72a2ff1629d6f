//! The search for the best point of a box: functions with published minima, limits, whole coordinates and choices, fronts.

use beatwright::numerics::search::front::{front_at, front_of, search_front, thinned};
use beatwright::numerics::search::global::search_all;
use beatwright::numerics::search::ledger::{Ended, PointLedger, TrialView, best_of};
use beatwright::numerics::search::local::search_about_best;
use beatwright::numerics::search::{Coordinate, CoordinateKind, GridPoint, PointTrial, PointValues, better_first};

const PLACES: u32 = 2_000_001;

fn smooth(count: usize) -> Vec<Coordinate> {
    vec![Coordinate { kind: CoordinateKind::Smooth, places: PLACES }; count]
}

/// Aim and limits (kept where 0 or above, as the books write them) of a point.
type Problem<'p> = &'p dyn Fn(&[f64]) -> (f64, Vec<f64>);

/// The best point of a problem over a box, found with so many points, and all trials.
fn found(
    problem: Problem<'_>,
    low: &[f64],
    high: &[f64],
    budget: usize,
    seed: u32,
) -> (f64, Vec<f64>, Vec<PointTrial>) {
    let coordinates = smooth(low.len());
    let place = |point: &GridPoint| -> Vec<f64> {
        let share = |number: usize| f64::from(point[number]) / f64::from(PLACES - 1);
        (0..low.len()).map(|number| low[number] + share(number) * (high[number] - low[number])).collect()
    };
    let mut answering = |points: &[GridPoint]| {
        Some(
            points
                .iter()
                .map(|point| {
                    let (aim, kept) = problem(&place(point));
                    let excess = kept.into_iter().map(|kept| -kept).collect();
                    aim.is_finite().then_some(PointValues { aims: vec![aim], excess })
                })
                .collect(),
        )
    };
    let mut ledger = PointLedger::new(budget, &mut answering);
    let _ = search_all(&mut ledger, &coordinates, None, (budget * 2 / 3, seed));
    let left = ledger.left();
    let _ = search_about_best(&mut ledger, &coordinates, (left, seed));
    let best = ledger.best().unwrap();
    let (aim, at) = (ledger.values(best).unwrap().aims[0], place(&ledger.point(best).to_vec()));
    assert!(ledger.values(best).unwrap().keeps_limits());
    (aim, at, ledger.into_trials())
}

// H. H. Rosenbrock, "An automatic method for finding the greatest or least value of a function", The Computer Journal 3 (1960), 175:
// 100 (y - x^2)^2 + (1 - x)^2, least at (1, 1) with 0. Recalled; the minimum is plain.
#[test]
fn published_rosenbrock() {
    let problem = |x: &[f64]| (100.0 * (x[1] - x[0] * x[0]).powi(2) + (1.0 - x[0]).powi(2), Vec::new());
    for seed in 1..=5 {
        let (aim, at, _) = found(&problem, &[-2.0, -1.0], &[2.0, 3.0], 1500, seed);
        assert!(aim < 1e-5, "{aim:e} at {at:?}, seed {seed}");
    }
}

// F. H. Branin (1972), in L. C. W. Dixon and G. P. Szego, "Towards Global Optimisation 2" (1978): three places with the same least value,
// 0.397887, which is 10 / (8 pi). Recalled; the value follows from the formula, where the bracket is 0 and the cosine -1.
#[test]
fn published_branin() {
    use std::f64::consts::PI;
    let problem = |x: &[f64]| {
        let bracket = x[1] - 5.1 / (4.0 * PI * PI) * x[0] * x[0] + 5.0 / PI * x[0] - 6.0;
        (bracket * bracket + 10.0 * (1.0 - 1.0 / (8.0 * PI)) * x[0].cos() + 10.0, Vec::new())
    };
    for seed in 1..=5 {
        let (aim, at, _) = found(&problem, &[-5.0, 0.0], &[10.0, 15.0], 800, seed);
        assert!((aim - 10.0 / (8.0 * PI)).abs() < 1e-5, "{aim} at {at:?}, seed {seed}");
    }
}

// L. A. Rastrigin (1974), as H. Muhlenbein and others wrote it in "The parallel genetic algorithm as function optimizer", Parallel Computing
// 17 (1991): 10 n + sum of x^2 - 10 cos(2 pi x), one of very many local minima is the least, 0 at 0. Recalled.
#[test]
fn published_rastrigin_has_one_least_minimum_among_many() {
    let wave = |x: f64| x * x - 10.0 * (2.0 * std::f64::consts::PI * x).cos() + 10.0;
    let problem = |x: &[f64]| (x.iter().map(|&x| wave(x)).sum::<f64>(), Vec::new());
    let least = (1..=5).filter(|&seed| found(&problem, &[-4.0, -4.5], &[5.0, 5.1], 3000, seed).0 < 1e-4).count();
    assert!(least >= 4, "{least} of 5");
}

// W. Hock and K. Schittkowski, "Test Examples for Nonlinear Programming Codes" (1981), problem 24: on the corner of two limits.
// Recalled; checked: at (3, sqrt 3) the aim is -27 sqrt 3 / (27 sqrt 3) * 9 / 9 = -1, and two limits hold as equalities.
#[test]
fn published_hock_schittkowski_24() {
    let root = 3.0_f64.sqrt();
    let problem = |x: &[f64]| {
        let aim = ((x[0] - 3.0).powi(2) - 9.0) * x[1].powi(3) / (27.0 * root);
        (aim, vec![x[0] / root - x[1], x[0] + root * x[1], 6.0 - x[0] - root * x[1]])
    };
    for seed in 1..=5 {
        let (aim, at, _) = found(&problem, &[0.0, 0.0], &[6.0, 4.0], 800, seed);
        assert!((-1.0..-0.9995).contains(&aim), "{aim} at {at:?}, seed {seed}");
    }
}

// The same, problem 43 (J. B. Rosen and S. Suzuki, "Construction of nonlinear programming test problems", Communications of the ACM 8, 1965):
// four variables, three limits of which two bind, -44 at (0, 1, 2, -1). Recalled; checked with the optimality conditions: the gradient there
// is the sum of the binding limits' gradients with multipliers 1 and 2.
#[test]
fn published_hock_schittkowski_43() {
    let problem = |x: &[f64]| {
        let squares =
            |a: f64, b: f64, c: f64, d: f64| a * x[0] * x[0] + b * x[1] * x[1] + c * x[2] * x[2] + d * x[3] * x[3];
        let aim = squares(1.0, 1.0, 2.0, 1.0) - 5.0 * x[0] - 5.0 * x[1] - 21.0 * x[2] + 7.0 * x[3];
        let limits = vec![
            8.0 - squares(1.0, 1.0, 1.0, 1.0) - x[0] + x[1] - x[2] + x[3],
            10.0 - squares(1.0, 2.0, 1.0, 2.0) + x[0] + x[3],
            5.0 - squares(2.0, 1.0, 1.0, 0.0) - 2.0 * x[0] + x[1] + x[3],
        ];
        (aim, limits)
    };
    for seed in 1..=5 {
        let (aim, at, _) = found(&problem, &[-3.0; 4], &[4.0; 4], 2000, seed);
        assert!((-44.0..-43.99).contains(&aim), "{aim} at {at:?}, seed {seed}");
    }
}

// The same, problem 76: -4.681818 at (0.2727, 2.0909, 0, 0.5454). Recalled; checked with the optimality conditions (x3 at its bound, the
// first limit and no other with an equality): 5 - x1 - 2 x2 - x4 = 0 with 2 x1 - 1 = x2 / 2 - 1.5 = x4 - 1 = -m gives m = 5 / 11.
#[test]
fn published_hock_schittkowski_76() {
    let problem = |x: &[f64]| {
        let aim = x[0] * x[0] + 0.5 * x[1] * x[1] + x[2] * x[2] + 0.5 * x[3] * x[3] - x[0] * x[2] + x[2] * x[3]
            - x[0]
            - 3.0 * x[1]
            + x[2]
            - x[3];
        let limits = vec![
            5.0 - x[0] - 2.0 * x[1] - x[2] - x[3],
            4.0 - 3.0 * x[0] - x[1] - 2.0 * x[2] + x[3],
            x[1] + 4.0 * x[2] - 1.5,
        ];
        (aim, limits)
    };
    let least = -103.0 / 22.0;
    for seed in 1..=5 {
        let (aim, at, _) = found(&problem, &[0.0; 4], &[3.0; 4], 2000, seed);
        assert!(aim >= least - 1e-9 && aim < least + 1e-3, "{aim} at {at:?}, seed {seed}");
    }
}

/// Half of the box has nothing in it, and the best point lies at the edge of that half.
#[test]
fn exact_best_point_beside_nothing() {
    let problem = |x: &[f64]| (if x[0] + x[1] < 1.0 { f64::NAN } else { x[0] * x[0] + x[1] * x[1] }, Vec::new());
    for seed in 1..=5 {
        let (aim, at, _) = found(&problem, &[-1.0, -1.0], &[2.0, 2.0], 800, seed);
        assert!((0.5 - 1e-9..0.505).contains(&aim), "{aim} at {at:?}, seed {seed}");
    }
}

/// `(x - 0.3 - 0.01 w)^2 + (w - 17)^2 / 100 + offset` of the choice; with `w` whole.
#[test]
fn exact_whole_coordinates_and_choices() {
    let coordinates = [
        Coordinate { kind: CoordinateKind::Smooth, places: 10_001 },
        Coordinate { kind: CoordinateKind::Whole, places: 41 },
        Coordinate { kind: CoordinateKind::Choice, places: 5 },
    ];
    let mut answering = |points: &[GridPoint]| {
        let value = |point: &GridPoint| {
            let (x, w) = (f64::from(point[0]) / 1e4, f64::from(point[1]));
            let offset = [0.4, 0.3, 0.0, 0.2, 0.5][point[2] as usize];
            (point[2] != 3).then(|| PointValues {
                aims: vec![(x - 0.3 - 0.01 * w).powi(2) + (w - 17.0).powi(2) / 100.0 + offset],
                excess: Vec::new(),
            })
        };
        Some(points.iter().map(value).collect())
    };
    let mut ledger = PointLedger::new(800, &mut answering);
    let _ = search_all(&mut ledger, &coordinates, Some(&[0, 0, 0]), (500, 1));
    let _ = search_about_best(&mut ledger, &coordinates, (300, 1));
    let best = ledger.best().unwrap();
    assert_eq!(ledger.point(best)[1..], [17, 2]);
    assert!((f64::from(ledger.point(best)[0]) - 4700.0).abs() <= 10.0, "{:?}", ledger.point(best));
}

/// A box with few points is asked all over.
#[test]
fn exact_few_points_are_all_asked() {
    let coordinates =
        [Coordinate { kind: CoordinateKind::Whole, places: 6 }, Coordinate { kind: CoordinateKind::Choice, places: 3 }];
    let mut answering = |points: &[GridPoint]| {
        let value = |point: &GridPoint| PointValues {
            aims: vec![f64::from((point[0] * 7 + point[1] * 5) % 11)],
            excess: vec![],
        };
        Some(points.iter().map(|point| Some(value(point))).collect())
    };
    let mut ledger = PointLedger::new(100, &mut answering);
    search_all(&mut ledger, &coordinates, None, (50, 1)).unwrap();
    assert_eq!(ledger.count(), 18);
}

/// Many are asked a batch at a time, so that what was found can be kept in between; a point that is asked twice in a batch counts once.
#[test]
fn exact_many_points_are_asked_in_batches() {
    let coordinates = [Coordinate { kind: CoordinateKind::Whole, places: 300 }];
    let mut batches = Vec::new();
    let mut answering = |points: &[GridPoint]| {
        batches.push(points.len());
        let value = |point: &GridPoint| PointValues { aims: vec![f64::from(point[0])], excess: vec![] };
        Some(points.iter().map(|point| Some(value(point))).collect())
    };
    let mut ledger = PointLedger::new(1000, &mut answering);
    assert_eq!(ledger.ask(&[vec![7], vec![9], vec![7]]), Ok(vec![0, 1, 0]));
    search_all(&mut ledger, &coordinates, None, (500, 1)).unwrap();
    assert_eq!(ledger.count(), 300);
    assert_eq!(batches, [2, 62, 64, 64, 64, 44]);
}

// J. D. Schaffer, "Multiple objective optimization with vector evaluated genetic algorithms" (1985): x^2 and (x - 2)^2 have the front
// sqrt(f2) = 2 - sqrt(f1). Recalled; plain from the formulas.
#[test]
fn published_front_of_schaffer() {
    let coordinates = smooth(2);
    let mut answering = |points: &[GridPoint]| {
        let value = |point: &GridPoint| {
            let (x, y) =
                (-3.0 + 8.0 * f64::from(point[0]) / f64::from(PLACES - 1), f64::from(point[1]) / f64::from(PLACES - 1));
            Some(PointValues { aims: vec![x * x + y, (x - 2.0).powi(2) + y], excess: vec![x - 1.8] })
        };
        Some(points.iter().map(value).collect())
    };
    let mut ledger = PointLedger::new(1200, &mut answering);
    let mut views = Vec::new();
    let _ = search_front(&mut ledger, &coordinates, None, 7, (1200, 3), &mut views);
    let trials = ledger.into_trials();
    let front = front_of(&trials);
    let kept = front_at(&trials, &views);
    assert!(kept.iter().all(|trial| front.contains(trial)));
    let few = thinned(&trials, &front, 5);
    assert!(few.len() == 5 && few[0] == front[0] && few[4] == front[front.len() - 1]);
    assert_eq!(kept.len(), 7);
    let aims = |trial: usize| trials[trial].values.as_ref().unwrap().aims.clone();
    for &trial in &kept {
        let aims = aims(trial);
        assert!((aims[1].sqrt() + aims[0].sqrt() - 2.0).abs() < 0.01, "{aims:?}");
    }
    let (first, last) = (aims(kept[0]), aims(kept[6]));
    // The limit ends the front at x = 1.8.
    assert!(first[0] < 1e-4 && (last[0] - 3.24).abs() < 0.01 && last[0] <= 3.24, "{first:?} {last:?}");
    for pair in kept.windows(2) {
        assert!(aims(pair[0])[0] < aims(pair[1])[0] && aims(pair[0])[1] > aims(pair[1])[1]);
    }
}

/// What was found before answers as well as asking again: the same trials in the same order.
#[test]
fn exact_taken_up_again_is_as_in_one_go() {
    let problem = |x: &[f64]| ((x[0] - 0.2).powi(2) + (x[1] + x[0] - 0.1).powi(4), vec![x[0] - 0.25]);
    let whole = found(&problem, &[-1.0, -1.0], &[1.0, 1.0], 400, 9).2;
    assert!((200..=400).contains(&whole.len()), "{}", whole.len());
    let part = found(&problem, &[-1.0, -1.0], &[1.0, 1.0], 400, 9).2;
    assert!(whole == part);
    // Stopped in the middle: what was asked until then stays.
    let mut asked = 0;
    let mut answering = |points: &[GridPoint]| {
        asked += points.len();
        (asked <= 100).then(|| {
            points.iter().map(|point| Some(PointValues { aims: vec![f64::from(point[0])], excess: vec![] })).collect()
        })
    };
    let mut ledger = PointLedger::new(400, &mut answering);
    assert_eq!(search_all(&mut ledger, &smooth(2), None, (400, 9)), Err(Ended::Stopped));
    assert!(ledger.count() <= 100 && ledger.best().is_some());
}

#[test]
fn exact_order_of_points() {
    let values = |aim: f64, excess: f64| Some(PointValues { aims: vec![aim], excess: vec![excess] });
    let order = [values(1.0, 0.0), values(2.0, -1.0), values(0.0, 0.1), values(-5.0, 0.2), None];
    for pair in order.windows(2) {
        assert!(better_first(pair[0].as_ref(), pair[1].as_ref()).is_lt(), "{pair:?}");
    }
    let trials: Vec<PointTrial> = order.into_iter().rev().map(|values| PointTrial { point: vec![0], values }).collect();
    assert_eq!(best_of(&trials, TrialView::FIRST), Some(4));
}
