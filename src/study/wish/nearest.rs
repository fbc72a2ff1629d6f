//! The nearest wish that can be had where one cannot: found by granting others.

use num_rational::Ratio;

use crate::clock::printing::bed::Bed;
use crate::numerics::whole::simplest_between;

use super::{Granted, NotGranted, Wish, WishedEscapement, days_down, first_that_goes};

/// Other wishes that are tried for a nearest one.
const MOST_TRIED: usize = 8;

/// How far from the beat wished for a simpler one is looked for, thousandths.
const BEAT_WITHIN: u128 = 2;

/// By how much a run that is too short is longer at each step.
const LONGER: f64 = 1.6;

/// What is left of a run that is too long, at each step.
const SHORTER: f64 = 0.95;

/// A wish that was refused, with what is near to it put right: a run, a bed or a wish that was granted.
pub(super) fn with_nearest(wish: &Wish, refused: NotGranted) -> NotGranted {
    match refused {
        NotGranted::Run { run_s, fall_m, nearest_s } => {
            let found_s = if nearest_s < run_s { nearest_run_s(wish, nearest_s) } else { longer_run_s(wish, run_s) };
            NotGranted::Run { run_s, fall_m, nearest_s: found_s.unwrap_or(0.0) }
        }
        NotGranted::Weight { weight_kg, most_kg, run_s, fall_m, lighter_run_s } => {
            let lighter_run_s = nearest_run_s(wish, lighter_run_s).unwrap_or(0.0);
            NotGranted::Weight { weight_kg, most_kg, run_s, fall_m, lighter_run_s }
        }
        NotGranted::Bed { part, needed_m, bed_m, bead_radius_m } => {
            let needed_m = nearest_bed_m(wish, needed_m).unwrap_or(needed_m);
            NotGranted::Bed { part, needed_m, bed_m, bead_radius_m }
        }
        NotGranted::Unsolved { what, .. } => NotGranted::Unsolved { what, nearest: nearest_wish(wish) },
        NotGranted::Counts { beat_s, .. } => NotGranted::Counts { beat_s, nearest_s: nearest_beat_s(wish) },
    }
}

/// The longest run, in tenths of a day, that is granted from `run_s` down.
fn nearest_run_s(wish: &Wish, run_s: f64) -> Option<f64> {
    let mut run_s = run_s;
    for _ in 0..MOST_TRIED {
        let tenths_s = 86_400.0 * days_down(run_s);
        if !(tenths_s > 0.0) {
            return None;
        }
        match first_that_goes(&Wish { run_s: tenths_s, ..wish.clone() }) {
            Ok(_) => return Some(tenths_s),
            Err(NotGranted::Weight { lighter_run_s, .. }) => run_s = lighter_run_s.min(SHORTER * run_s),
            Err(NotGranted::Run { nearest_s, .. }) => run_s = nearest_s.min(SHORTER * run_s),
            Err(_) => return None,
        }
    }
    None
}

/// A run, in tenths of a day, that is granted from `run_s` up, where the drum cannot be so quick.
fn longer_run_s(wish: &Wish, run_s: f64) -> Option<f64> {
    let mut tenths = (10.0 * run_s / 86_400.0).ceil().max(1.0);
    for _ in 0..2 * MOST_TRIED {
        let longer_s = 8_640.0 * tenths;
        match first_that_goes(&Wish { run_s: longer_s, ..wish.clone() }) {
            Ok(_) => return Some(longer_s),
            Err(NotGranted::Run { .. }) => tenths = (LONGER * tenths).ceil(),
            Err(_) => return None,
        }
    }
    None
}

/// A beat near the one wished for that is granted: the simplest fraction within a few thousandths of it, or else one of the usual ones, the
/// nearest first.
fn nearest_beat_s(wish: &Wish) -> Option<Ratio<u128>> {
    let share = |above: u128| wish.beat_s * Ratio::new(above, 1000);
    let simplest = simplest_between(share(1000 - BEAT_WITHIN), share(1000 + BEAT_WITHIN));
    let beats = simplest.into_iter().chain(usual_beats(wish).into_iter().map(|(_, beat_s)| beat_s));
    beats.into_iter().find(|&beat_s| first_that_goes(&Wish { beat_s, ..wish.clone() }).is_ok())
}

/// Beats that clocks mostly have, the nearest to that wished for first.
fn usual_beats(wish: &Wish) -> [(&'static str, Ratio<u128>); 3] {
    let mut beats = [("0.5s", Ratio::new(1, 2)), ("0.75s", Ratio::new(3, 4)), ("1s", Ratio::new(1, 1))];
    let apart = |beat_s: Ratio<u128>| (*beat_s.numer() as f64 / *beat_s.denom() as f64 / wish.beat()).ln().abs();
    beats.sort_by(|a, b| apart(a.1).total_cmp(&apart(b.1)));
    beats
}

/// The least square bed, to the millimetre, that is granted from `side_m` up.
fn nearest_bed_m(wish: &Wish, side_m: f64) -> Option<f64> {
    let mut side_m = side_m;
    for _ in 0..MOST_TRIED {
        let whole_m = (1e3 * side_m - 1e-6).ceil() / 1e3;
        let bed = Bed { width_m: whole_m, depth_m: whole_m, height_m: wish.bed.height_m };
        match first_that_goes(&Wish { bed, ..wish.clone() }) {
            Ok(_) => return Some(whole_m),
            Err(NotGranted::Bed { needed_m, .. }) => side_m = needed_m.max(whole_m + 1e-3),
            // On a larger bed larger wheels give longer runs and escapements mind the bead less.
            Err(NotGranted::Run { .. } | NotGranted::Unsolved { .. }) => side_m = 1.1 * whole_m,
            Err(_) => return None,
        }
    }
    None
}

/// Options that would do in place of the same options of the wish.
fn nearest_wish(wish: &Wish) -> Option<String> {
    let granted = |other: &Wish| -> Option<Granted> { first_that_goes(other).ok() };
    let escapements = [
        ("recoil", WishedEscapement::Recoil),
        ("dead-beat", WishedEscapement::DeadBeat),
        ("pin-pallet", WishedEscapement::PinPallet),
    ];
    for (word, escapement) in escapements.into_iter().filter(|(_, escapement)| *escapement != wish.escapement) {
        if granted(&Wish { escapement, ..wish.clone() }).is_some() {
            return Some(format!("--escapement {word}"));
        }
    }
    let finer_m = 0.5 * wish.bead_radius_m;
    if granted(&Wish { bead_radius_m: finer_m, ..wish.clone() }).is_some() {
        return Some(format!("--bead-radius {}mm", (1e6 * finer_m).round() / 1e3));
    }
    for (word, beat_s) in usual_beats(wish) {
        if granted(&Wish { beat_s, ..wish.clone() }).is_some() {
            return Some(format!("--beat {word}"));
        }
    }
    None
}
