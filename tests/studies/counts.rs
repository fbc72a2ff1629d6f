//! Tooth counts: against enumeration by brute force, a published table, and what whole numbers allow.

use std::collections::BTreeSet;
use std::f64::consts::PI;

use beatwright::numerics::whole::{divisors_within, prime_factors, simplest_between};
use beatwright::study::counts::{
    Counts, CountsAsk, CountsRank, FallForRun, GearLimits, GreatAsk, MeshCounts, RankedGears, TeethBounds, counts,
};
use num_rational::Ratio;

fn ask(beat_s: (u128, u128), escape_teeth: u32, between: u32, leaves: (u32, u32), teeth: (u32, u32)) -> CountsAsk {
    let bounds = |(least, most)| TeethBounds { least, most };
    CountsAsk {
        beat_s: Ratio::new(beat_s.0, beat_s.1),
        escape_teeth: vec![escape_teeth],
        arbors_between: vec![between],
        gears: GearLimits {
            leaves: bounds(leaves),
            teeth: bounds(teeth),
            pressure_angle_rad: 20_f64.to_radians(),
            tooth_friction: 0.15,
        },
        module_m: 1e-3,
        motion_modules_m: [1e-3; 2],
        great: None,
        rank: CountsRank::Size,
        most: 1_000_000,
    }
}

type Train = Vec<(u32, u32)>;

/// The meshes of a train, sorted, so that their order tells no trains apart.
fn meshes(gears: &RankedGears) -> Train {
    let mut meshes: Train = gears.meshes.iter().map(|action| (action.counts.wheel, action.counts.pinion)).collect();
    meshes.sort_unstable();
    meshes
}

fn trains(counts: &Counts) -> BTreeSet<Train> {
    counts.trains.best.iter().map(|train| meshes(&train.gears)).collect()
}

/// All trains of so many meshes that a condition holds for, by trying every one.
fn by_brute_force(
    count: usize,
    leaves: (u32, u32),
    teeth: (u32, u32),
    holds: &dyn Fn(u128, u128) -> bool,
) -> BTreeSet<Train> {
    fn more(
        chosen: &mut Train,
        count: usize,
        pairs: &[(u32, u32)],
        holds: &dyn Fn(u128, u128) -> bool,
        found: &mut BTreeSet<Train>,
    ) {
        if chosen.len() == count {
            let product = |pick: fn(&(u32, u32)) -> u32| chosen.iter().map(pick).map(u128::from).product::<u128>();
            if holds(product(|pair| pair.0), product(|pair| pair.1)) {
                found.insert(chosen.clone());
            }
            return;
        }
        let before = chosen.last().copied();
        for &pair in pairs.iter().filter(|&&pair| before.is_none_or(|last| last <= pair)) {
            chosen.push(pair);
            more(chosen, count, pairs, holds, found);
            chosen.pop();
        }
    }
    let mut pairs: Vec<(u32, u32)> =
        (teeth.0..=teeth.1).flat_map(|wheel| (leaves.0..=leaves.1).map(move |pinion| (wheel, pinion))).collect();
    pairs.sort_unstable();
    let mut found = BTreeSet::new();
    more(&mut Vec::new(), count, &pairs, holds, &mut found);
    found
}

#[test]
fn exact_factors_divisors_and_simple_fractions() {
    assert_eq!(prime_factors(7200, 120), (vec![(2, 5), (3, 2), (5, 2)], 1));
    assert_eq!(prime_factors(2 * 127 * 131, 127), (vec![(2, 1), (127, 1)], 131));
    for number in 1_u64..600 {
        let (factors, left) = prime_factors(number, 1000);
        assert_eq!(left, 1);
        assert_eq!(factors.iter().map(|&(prime, power)| u64::from(prime).pow(power)).product::<u64>(), number);
        let tried: Vec<u32> = (5..=100).filter(|&divisor| number.is_multiple_of(u64::from(divisor))).collect();
        assert_eq!(divisors_within(&factors, 5, 100), tried, "{number}");
    }
    let simplest =
        |low: (u128, u128), high: (u128, u128)| simplest_between(Ratio::new(low.0, low.1), Ratio::new(high.0, high.1));
    assert_eq!(simplest((3325, 10_000), (3335, 10_000)), Some(Ratio::new(1, 3)));
    assert_eq!(simplest((314, 100), (315, 100)), Some(Ratio::new(22, 7)));
    assert_eq!(simplest((1, 1), (1, 1)), Some(Ratio::new(1, 1)));
    assert_eq!(simplest((2, 1), (1, 1)), None);
    // No fraction of a smaller denominator lies between.
    for (low, high) in [((271, 1000), (273, 1000)), ((999, 1000), (1001, 1001)), ((1, 97), (1, 95))] {
        let found = simplest(low, high).unwrap();
        let (low, high) = (Ratio::new(low.0, low.1), Ratio::new(high.0, high.1));
        assert!(low <= found && found <= high);
        for below in 1..*found.denom() {
            assert!((0..=2 * below).all(|above| !(low..=high).contains(&Ratio::new(above, below))), "{found} {below}");
        }
    }
}

#[test]
fn crosscheck_all_trains_are_those_of_brute_force() {
    for (beat, escape, between, leaves, teeth) in [
        ((1, 1), 30, 1, (6, 13), (20, 100)),
        ((3, 4), 30, 1, (7, 12), (30, 96)),
        ((1, 2), 36, 1, (6, 10), (20, 120)),
        ((1, 3), 30, 1, (6, 12), (24, 120)),
        ((5, 8), 27, 1, (8, 16), (24, 110)),
        ((1, 1), 60, 0, (6, 30), (30, 900)),
        ((1, 2), 30, 2, (6, 8), (24, 40)),
        ((11, 13), 30, 1, (6, 13), (20, 100)),
    ] {
        let ask = ask(beat, escape, between, leaves, teeth);
        // wheels/pinions = 1800/(beat teeth), multiplied out.
        let (over, under) = (1800 * beat.1, beat.0 * u128::from(escape));
        let all =
            by_brute_force(between as usize + 1, leaves, teeth, &|wheels, pinions| wheels * under == over * pinions);
        let found = counts(&ask).unwrap();
        assert_eq!(trains(&found), all, "{beat:?} {escape}");
        assert_eq!(found.trains.found, all.len() as u64, "every train is counted once: {beat:?} {escape}");
        for train in &found.trains.best {
            assert_eq!(train.turns_per_hour, Ratio::new(over, under));
            let falls = |pair: &[_]| -> bool {
                let ratio = |action: &beatwright::study::counts::ToothAction| action.counts.ratio();
                ratio(&pair[0]) >= ratio(&pair[1])
            };
            assert!(train.gears.meshes.windows(2).all(falls), "the largest ratio first");
        }
    }
}

#[test]
fn crosscheck_great_wheels_of_a_range_are_those_of_brute_force() {
    for (hours, between, leaves, teeth) in [
        (((10, 1), (12, 1)), 0, (6, 16), (24, 120)),
        (((12, 1), (12, 1)), 0, (6, 16), (24, 120)),
        (((47, 1), (97, 2)), 1, (8, 9), (40, 80)),
        (((48, 1), (48, 1)), 1, (8, 10), (40, 90)),
    ] {
        let (low, high): ((u128, u128), (u128, u128)) = hours;
        let great = GreatAsk {
            arbors_between: vec![between],
            hours: (Ratio::new(low.0, low.1), Ratio::new(high.0, high.1)),
            module_m: 2e-3,
            fall: None,
        };
        let ask = CountsAsk { great: Some(great), ..ask((1, 1), 30, 1, leaves, teeth) };
        let all = by_brute_force(between as usize + 1, leaves, teeth, &|wheels, pinions| {
            wheels * low.1 >= low.0 * pinions && wheels * high.1 <= high.0 * pinions
        });
        let found = counts(&ask).unwrap().great.unwrap();
        let set: BTreeSet<Train> = found.best.iter().map(|train| meshes(&train.gears)).collect();
        assert!(!all.is_empty());
        assert_eq!((set, found.found), (all.clone(), all.len() as u64), "{hours:?}");
    }
}

#[test]
fn crosscheck_motion_works_are_those_of_brute_force() {
    for modules in [[1.0, 1.0], [1.0, 0.9], [0.8, 1.0]] {
        let (least, wheels, most) = (7_u32, 12_u32, 56_u32);
        let mut all = BTreeSet::new();
        for a in least..=most {
            for b in wheels..=most {
                for c in least..=most {
                    let over = 12 * a * c;
                    if !over.is_multiple_of(b) || !(wheels..=most).contains(&(over / b)) {
                        continue;
                    }
                    let d = over / b;
                    let same = (modules[0] * f64::from(a + b) / (modules[1] * f64::from(c + d)) - 1.0).abs() <= 1e-3;
                    let mirrored = modules[0] == modules[1] && b * c > d * a;
                    if same && !mirrored {
                        all.insert(vec![(b, a), (d, c)]);
                    }
                }
            }
        }
        let ask = CountsAsk {
            motion_modules_m: modules.map(|module| 1e-3 * module),
            ..ask((1, 1), 30, 1, (least, 16), (wheels, most))
        };
        let found = counts(&ask).unwrap().motion;
        let set: BTreeSet<Train> = found
            .best
            .iter()
            .map(|work| work.gears.meshes.iter().map(|action| (action.counts.wheel, action.counts.pinion)).collect())
            .collect();
        assert!(!all.is_empty());
        assert_eq!((set, found.found), (all.clone(), all.len() as u64), "{modules:?}");
    }
}

/// What comes first is the best of all by what was asked for, and rows are cut off only at the end.
#[test]
fn crosscheck_ranks_against_all_trains_sorted() {
    let all = ask((1, 1), 30, 1, (8, 16), (24, 120));
    let every = counts(&all).unwrap().trains;
    type Worth = fn(&RankedGears) -> f64;
    let worth: [(CountsRank, Worth); 4] = [
        (CountsRank::Size, |gears| gears.largest_m),
        (CountsRank::Common, |gears| gears.to_draw as f64),
        (CountsRank::Equal, |gears| gears.ratio_spread),
        (CountsRank::Loss, |gears| -gears.passed_share),
    ];
    for (rank, worth) in worth {
        let few = counts(&CountsAsk { rank, most: 10, ..all.clone() }).unwrap().trains;
        assert_eq!((few.found, few.best.len()), (every.found, 10));
        let mut sorted: Vec<f64> = every.best.iter().map(|train| worth(&train.gears)).collect();
        sorted.sort_by(f64::total_cmp);
        let shown: Vec<f64> = few.best.iter().map(|train| worth(&train.gears)).collect();
        assert_eq!(shown, sorted[..10], "{rank:?}");
    }
}

/// W. Derham, The Artificial Clock-maker (London 1696), chapter X, sections 2 to 12, seen in the transcription of Early English Books
/// Online (A35722): trains of pendulum clocks, wheels over the pinions they drive, from the great wheel on. Of a piece "of n days with 16
/// turns" the great wheel turns once in 24 n/16 hours. The trains of 64 days, 13 weeks and 7 months are of round numbers.
#[test]
fn published_trains_of_derham_are_among_those_found() {
    struct Piece {
        beat_s: (u128, u128),
        escape: u32,
        great: &'static [(u32, u32)],
        hours: u128,
        going: &'static [(u32, u32)],
    }
    let seconds = (1, 1);
    // "Pendulum about 6 inches" and "about 3 inches": the beat is that of the counts, and its pendulum is as long as he says.
    let (six_inches, three_inches) = ((2, 5), (225, 798));
    let pieces = [
        Piece { beat_s: seconds, escape: 30, great: &[(96, 8)], hours: 12, going: &[(60, 8), (56, 7)] },
        Piece { beat_s: seconds, escape: 30, great: &[(96, 16), (72, 9)], hours: 48, going: &[(60, 8), (56, 7)] },
        Piece { beat_s: seconds, escape: 30, great: &[(96, 12), (72, 9)], hours: 64, going: &[(60, 8), (56, 7)] },
        Piece { beat_s: seconds, escape: 30, great: &[(90, 9), (76, 8)], hours: 95, going: &[(60, 8), (56, 7)] },
        Piece { beat_s: seconds, escape: 30, great: &[(80, 8), (76, 8)], hours: 95, going: &[(60, 8), (56, 7)] },
        Piece { beat_s: seconds, escape: 30, great: &[(96, 8), (88, 8)], hours: 132, going: &[(60, 8), (56, 7)] },
        Piece { beat_s: seconds, escape: 30, great: &[(72, 6), (66, 6)], hours: 132, going: &[(48, 6), (45, 6)] },
        Piece {
            beat_s: seconds,
            escape: 30,
            great: &[(60, 8), (56, 8), (48, 8)],
            hours: 315,
            going: &[(45, 6), (40, 5)],
        },
        Piece {
            beat_s: seconds,
            escape: 30,
            great: &[(108, 12), (72, 9), (64, 8)],
            hours: 576,
            going: &[(60, 8), (56, 7)],
        },
        Piece { beat_s: six_inches, escape: 15, great: &[(96, 8)], hours: 12, going: &[(64, 8), (60, 8), (40, 8)] },
        Piece {
            beat_s: six_inches,
            escape: 15,
            great: &[(64, 8), (48, 8)],
            hours: 48,
            going: &[(48, 6), (45, 6), (30, 6)],
        },
        Piece { beat_s: three_inches, escape: 19, great: &[(96, 6)], hours: 16, going: &[(64, 8), (49, 7), (36, 6)] },
    ];
    for piece in pieces {
        let great = GreatAsk {
            arbors_between: vec![piece.great.len() as u32 - 1],
            hours: (Ratio::from_integer(piece.hours), Ratio::from_integer(piece.hours)),
            module_m: 1e-3,
            fall: None,
        };
        // His pinions of 12 and 16 leaves are in the great wheel's train; the seven-month piece has one of 5.
        let pinions: Vec<u32> = piece.great.iter().chain(piece.going).map(|pair| pair.1).collect();
        let leaves = (*pinions.iter().min().unwrap(), *pinions.iter().max().unwrap());
        let wheels: Vec<u32> = piece.great.iter().chain(piece.going).map(|pair| pair.0).collect();
        let teeth = (*wheels.iter().min().unwrap(), *wheels.iter().max().unwrap());
        let ask = CountsAsk {
            great: Some(great),
            ..ask(piece.beat_s, piece.escape, piece.going.len() as u32 - 1, leaves, teeth)
        };
        let found = counts(&ask).unwrap();
        let sorted = |pairs: &[(u32, u32)]| {
            let mut pairs = pairs.to_vec();
            pairs.sort_unstable();
            pairs
        };
        assert!(trains(&found).contains(&sorted(piece.going)), "{:?}", piece.going);
        let greats: BTreeSet<Train> = found.great.unwrap().best.iter().map(|train| meshes(&train.gears)).collect();
        assert!(greats.contains(&sorted(piece.great)), "{:?}", piece.great);
    }
    for ((over, under), inches) in [(six_inches, 6.0), (three_inches, 3.0)] {
        let beat_s = over as f64 / under as f64;
        let length_in = 9.81 * (beat_s / PI).powi(2) / 0.0254;
        assert!((length_in / inches - 1.0).abs() < 0.06, "{length_in}");
    }
}

/// Common practice, no source: 64 and 60 on pinions of 8 with 30 teeth is the usual train of a seconds pendulum.
#[test]
fn the_usual_train_of_a_seconds_pendulum_is_the_smallest_of_eight_leaves() {
    let found = counts(&ask((1, 1), 30, 1, (8, 16), (24, 120))).unwrap();
    assert_eq!(meshes(&found.trains.best[0].gears), [(60, 8), (64, 8)]);
    assert_eq!(found.trains.best[0].turns_per_hour, Ratio::from_integer(60));
    assert!(!found.trains.best[0].is_backwards());
}

#[test]
fn exact_no_train_where_a_prime_does_not_fit() {
    // 1800/(b n) with 37 in its denominator needs 37 leaves.
    let found = counts(&ask((333, 1000), 30, 1, (8, 36), (24, 120))).unwrap();
    assert_eq!(found.trains.found, 0);
    let near = found.nearest.unwrap();
    let asked = ask((333, 1000), 30, 2, (8, 37), (24, 120));
    assert!(counts(&asked).unwrap().trains.found > 0);
    // The beat named is given, and is nearer than a third of a second.
    let again = CountsAsk { beat_s: near.beat_s, ..ask((1, 1), 30, 1, (8, 36), (24, 120)) };
    assert!(counts(&again).unwrap().trains.found > 0);
    assert!(near.longer.abs() < 1e-3 && near.longer != 0.0);
}

#[test]
fn crosscheck_the_nearest_beat_is_that_of_brute_force() {
    let bounds = ((8, 11), (40, 100));
    let ask = ask((7919, 10_000), 30, 1, bounds.0, bounds.1);
    let near = counts(&ask).unwrap().nearest.unwrap();
    let mut least = f64::INFINITY;
    by_brute_force(2, bounds.0, bounds.1, &|_, _| true).iter().for_each(|train| {
        let ratio: f64 = train.iter().map(|&(wheel, pinion)| f64::from(wheel) / f64::from(pinion)).product();
        least = least.min((60.0 / ratio / 0.7919 - 1.0).abs());
    });
    assert!((near.longer.abs() - least).abs() < 1e-12, "{} {least}", near.longer);
}

#[test]
fn exact_drums_give_the_run_asked_for() {
    let fall = FallForRun { run_s: 8.0 * 86_400.0, fall_m: 1.2, falls: 2, cord_m: 1.5e-3, drum_m: None };
    let hours = |drum_m: f64| 8.0 * 24.0 * PI * (drum_m + 1.5e-3) / (1.2 * 2.0);
    assert!((fall.hours_per_turn(0.04) / hours(0.04) - 1.0).abs() < 1e-12);
    let exactly = |hours: f64| Ratio::new((1e9 * hours).round() as u128, 1_000_000_000);
    let great = |fall| GreatAsk {
        arbors_between: vec![0],
        hours: (exactly(hours(0.02)), exactly(hours(0.05))),
        module_m: 2e-3,
        fall: Some(fall),
    };
    let all = ask((1, 1), 30, 1, (8, 16), (24, 120));
    for train in counts(&CountsAsk { great: Some(great(fall)), ..all.clone() }).unwrap().great.unwrap().best {
        let drum = train.drum.unwrap();
        assert!((drum.run_s / fall.run_s - 1.0).abs() < 1e-12);
        assert!((0.02 - 1e-9..0.05 + 1e-9).contains(&drum.drum_m), "{}", drum.drum_m);
    }
    let given = FallForRun { drum_m: Some(0.03), ..fall };
    for train in counts(&CountsAsk { great: Some(great(given)), ..all }).unwrap().great.unwrap().best {
        let (drum, hours) =
            (train.drum.unwrap(), *train.hours_per_turn.numer() as f64 / *train.hours_per_turn.denom() as f64);
        assert_eq!(drum.drum_m, 0.03);
        assert!((drum.run_s - 2.4 / (PI * 0.0315) * hours * 3600.0).abs() < 1e-6);
        assert_eq!(drum.run_s >= fall.run_s, drum.drum_m <= drum.drum_for_run_m);
    }
}

#[test]
fn exact_sizes_are_those_of_the_gears() {
    let found = counts(&ask((1, 1), 30, 1, (8, 16), (24, 120))).unwrap();
    for train in found.trains.best.iter().take(40) {
        let teeth = |pick: fn(&MeshCounts) -> u32| train.gears.meshes.iter().map(move |action| pick(&action.counts));
        let all: Vec<u32> = teeth(|counts| counts.wheel).chain(teeth(|counts| counts.pinion)).collect();
        let largest = *all.iter().max().unwrap();
        assert!((1e3 * train.gears.largest_m - f64::from(largest + 2)).abs() < 1e-9);
        let sum: u32 = all.iter().map(|teeth| teeth + 2).sum();
        assert!((1e3 * train.gears.sum_m - f64::from(sum)).abs() < 1e-9);
        assert_eq!(train.gears.to_draw, all.iter().collect::<BTreeSet<_>>().len());
        let passed: f64 = train.gears.meshes.iter().map(|action| action.mesh.passed_share(0.15)).product();
        assert!((train.gears.passed_share - passed).abs() < 1e-12);
    }
}
