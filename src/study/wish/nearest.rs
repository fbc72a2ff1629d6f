//! A wish near one that cannot be had: found by granting others.

use num_rational::Ratio;

use crate::clock::printing::bed::Bed;

use super::{BEAT_S, NotGranted, TENTH_S, Wish, WishedEscapement, first_that_goes, seconds, tenths_down};

/// Other wishes that are tried until one is granted.
const MOST_TRIED: usize = 12;

/// Denominators of beats that are tried in place of the one wished for.
const SIMPLE: u128 = 10;

/// What is left of a run that is too long, and by how much one that is too short is longer, at each step until one is granted.
const SHORTER: f64 = 0.8;
const LONGER: f64 = 1.6;

/// Share of a run to which the longest and the shortest are found.
const RUN_WITHIN: f64 = 0.01;

/// By how much a bed is larger at each step on which something else than a part's size fails.
const LARGER: f64 = 1.1;

/// A wish that was refused, with one near to it that was granted.
pub(super) fn with_nearest(wish: &Wish, refused: NotGranted) -> NotGranted {
    match refused {
        NotGranted::Run { run_s, fall_m, nearest_s } => {
            let found_s = if nearest_s < run_s { longest_run_s(wish, nearest_s) } else { shortest_run_s(wish) };
            NotGranted::Run { run_s, fall_m, nearest_s: found_s.unwrap_or(0.0) }
        }
        NotGranted::Weight { weight_kg, most_kg, run_s, fall_m, lighter_run_s } => {
            let lighter_run_s = longest_run_s(wish, lighter_run_s).unwrap_or(0.0);
            NotGranted::Weight { weight_kg, most_kg, run_s, fall_m, lighter_run_s }
        }
        NotGranted::Bed { part, needed_m, bed, bead_radius_m, .. } => {
            let nearest = nearest_bed(wish, Bed { width_m: needed_m, depth_m: needed_m, ..bed });
            NotGranted::Bed { part, needed_m, bed, bead_radius_m, nearest }
        }
        NotGranted::Height { part, needed_m, bed, .. } => {
            let nearest = nearest_bed(wish, Bed { height_m: Some(needed_m), ..bed });
            NotGranted::Height { part, needed_m, bed, nearest }
        }
        NotGranted::Unsolved { what, .. } => NotGranted::Unsolved { what, nearest: nearest_wish(wish) },
        NotGranted::Counts { beat_s, .. } => NotGranted::Counts { beat_s, nearest_s: near_beat_s(wish) },
    }
}

/// The wish with a run of so many tenths of a day.
fn of_tenths(wish: &Wish, tenths: u32) -> Wish {
    Wish { run_s: TENTH_S * f64::from(tenths), ..wish.clone() }
}

fn grants_run(wish: &Wish, tenths: u32) -> bool {
    first_that_goes(&of_tenths(wish, tenths)).is_ok()
}

/// Between a run that is granted and one that is not, in tenths of a day, the last that is, closed in on.
fn last_granted(wish: &Wish, mut granted: u32, mut refused: u32) -> u32 {
    while f64::from(granted.abs_diff(refused)) > f64::max(1.0, RUN_WITHIN * f64::from(granted)) {
        let middle = granted.midpoint(refused);
        if grants_run(wish, middle) { granted = middle } else { refused = middle }
    }
    granted
}

/// The longest run found that is granted, in whole tenths of a day, below the one wished for; looked for from `guess_s` on.
fn longest_run_s(wish: &Wish, guess_s: f64) -> Option<f64> {
    let mut refused = tenths_down(wish.run_s) + 1;
    let mut tenths = tenths_down(guess_s).min(refused - 1);
    for _ in 0..MOST_TRIED {
        if tenths == 0 {
            return None;
        }
        let shorter = (SHORTER * f64::from(tenths)) as u32;
        let next = match first_that_goes(&of_tenths(wish, tenths)) {
            Ok(_) => return Some(TENTH_S * f64::from(last_granted(wish, tenths, refused))),
            Err(NotGranted::Weight { lighter_run_s, .. }) => shorter.min(tenths_down(lighter_run_s)),
            Err(_) => shorter,
        };
        (refused, tenths) = (tenths, next);
    }
    None
}

/// The shortest run found that is granted, in whole tenths of a day, above the one wished for: a drum cannot be so quick.
fn shortest_run_s(wish: &Wish) -> Option<f64> {
    let mut refused = tenths_down(wish.run_s);
    for _ in 0..2 * MOST_TRIED {
        let tenths = (LONGER * f64::from(refused)).ceil().max(1.0) as u32;
        if grants_run(wish, tenths) {
            return Some(TENTH_S * f64::from(last_granted(wish, tenths, refused)));
        }
        refused = tenths;
    }
    None
}

/// Beats of simple fractions of a second, the nearest to the one wished for first.
fn simple_beats(wish: &Wish) -> Vec<Ratio<u128>> {
    let all = (1..=SIMPLE).flat_map(|below| {
        let last = (BEAT_S.1 * below as f64).floor() as u128;
        (1..=last).map(move |above| Ratio::new(above, below))
    });
    let mut beats: Vec<Ratio<u128>> =
        all.filter(|&beat_s| beat_s != wish.beat_s && seconds(beat_s) >= BEAT_S.0).collect();
    let apart = |beat_s: Ratio<u128>| (seconds(beat_s) / wish.beat()).ln().abs();
    beats.sort_by(|&a, &b| apart(a).total_cmp(&apart(b)).then(a.denom().cmp(b.denom())));
    beats.dedup();
    beats
}

/// The nearest of the simple beats for which a clock is found.
fn near_beat_s(wish: &Wish) -> Option<Ratio<u128>> {
    let goes = |&beat_s: &Ratio<u128>| first_that_goes(&Wish { beat_s, ..wish.clone() }).is_ok();
    simple_beats(wish).into_iter().take(MOST_TRIED).find(goes)
}

/// A bed, its sides in whole millimetres, that is granted from one on: larger, or higher, by what fails.
fn nearest_bed(wish: &Wish, first: Bed) -> Option<Bed> {
    let whole_m = |side_m: f64| (1e3 * side_m - 1e-6).ceil() / 1e3;
    let (mut bed, mut sides) = (first, (first.width_m, first.depth_m));
    for _ in 0..MOST_TRIED {
        bed = Bed { width_m: whole_m(sides.0), depth_m: whole_m(sides.1), height_m: bed.height_m.map(whole_m) };
        match first_that_goes(&Wish { bed, ..wish.clone() }) {
            Ok(_) => return Some(bed),
            Err(NotGranted::Bed { needed_m, .. }) => {
                let side_m = needed_m.max(bed.width_m.min(bed.depth_m) + 1e-3);
                sides = (side_m.max(bed.width_m), side_m.max(bed.depth_m));
            }
            Err(NotGranted::Height { needed_m, .. }) => bed.height_m = Some(needed_m),
            // On a larger bed larger wheels give longer runs and escapements mind the bead less.
            Err(NotGranted::Run { .. } | NotGranted::Unsolved { .. }) => {
                sides = (LARGER * bed.width_m, LARGER * bed.depth_m);
            }
            Err(_) => return None,
        }
    }
    None
}

/// Options that would do in place of the same options of the wish.
fn nearest_wish(wish: &Wish) -> Option<String> {
    let goes = |other: &Wish| first_that_goes(other).is_ok();
    let escapements = [
        ("recoil", WishedEscapement::Recoil),
        ("dead-beat", WishedEscapement::DeadBeat),
        ("pin-pallet", WishedEscapement::PinPallet),
    ];
    for (word, escapement) in escapements.into_iter().filter(|(_, escapement)| *escapement != wish.escapement) {
        if goes(&Wish { escapement, ..wish.clone() }) {
            return Some(format!("--escapement {word}"));
        }
    }
    let finer_m = 0.5 * wish.bead_radius_m;
    if goes(&Wish { bead_radius_m: finer_m, ..wish.clone() }) {
        return Some(format!("--bead-radius {}mm", (1e6 * finer_m).round() / 1e3));
    }
    near_beat_s(wish).map(|beat_s| format!("--beat {beat_s}s"))
}
