//! What is said where no counts give what was asked: why, and what would.

use num_rational::Ratio;

use crate::clock::SECONDS_PER_DAY;
use crate::numerics::whole::prime_factors;
use crate::report::canvas::look::short;
use crate::report::words::numbers::counted;
use crate::study::counts::{Counts, CountsAsk, GreatAsk, escape_turns_per_hour, simplest_beat};

use super::failure::Failure;

fn value(ratio: Ratio<u128>) -> f64 {
    *ratio.numer() as f64 / *ratio.denom() as f64
}

/// A beat as one types it: "0.75s" where that is exact, else a fraction.
fn typed(beat_s: Ratio<u128>) -> String {
    let decimal = (1..=6).any(|decimals| 10_u128.pow(decimals).is_multiple_of(*beat_s.denom()));
    if decimal { format!("{}s", value(beat_s)) } else { format!("{beat_s}s") }
}

/// No train gives the beat.
pub(super) fn no_train(ask: &CountsAsk, counts: &Counts, half_step_s: Option<Ratio<u128>>) -> Failure {
    let mut text = format!("no train within these bounds gives a beat of {} exactly", typed(ask.beat_s));
    if let Some(why) = why(ask) {
        text.push_str(&format!(": {why}"));
    }
    let simplest = half_step_s.and_then(|half_step_s| simplest_beat(ask, half_step_s).ok().flatten());
    if let Some(simplest) = simplest {
        text.push_str(&format!(
            "\n  if {} stands for {simplest} s, write --beat {}",
            typed(ask.beat_s),
            typed(simplest)
        ));
    }
    if let Some(near) = &counts.nearest {
        let (daily, direction) =
            (SECONDS_PER_DAY * near.longer.abs(), if near.longer > 0.0 { "longer" } else { "shorter" });
        text.push_str(&format!(
            "\n  the nearest beat within them is {} s ({:.9} s, {daily:.3} s a day {direction}), with {} teeth: --beat {}",
            near.beat_s,
            value(near.beat_s),
            near.escape_teeth,
            typed(near.beat_s),
        ));
    }
    text.push_str(
        "\n  or widen the bounds: --escape-teeth, --arbors, --least-leaves, --most-leaves, --least-teeth, --most-teeth",
    );
    Failure::arguments(text)
}

/// Primes that are looked for in the turns of an escape wheel: those beyond are all one to whoever reads of them.
const LARGEST_PRIME: u32 = 10_000;

/// Why there is none, for the escape wheel and number of arbors of which it can best be said.
fn why(ask: &CountsAsk) -> Option<String> {
    let gears = &ask.gears;
    let mut of_primes = None;
    // By how much the turns are beyond what meshes make, as a factor, with the wheel and the meshes of which that is least.
    let (mut least_over, mut least_under) = (None, None);
    let mut any_within = false;
    for &escape_teeth in &ask.escape_teeth {
        let ratio = escape_turns_per_hour(ask.beat_s, escape_teeth).ok()?;
        for &between in &ask.arbors_between {
            let (low, high) = made(ask, between);
            let (over, under) = (value(ratio) / high, low / value(ratio));
            any_within |= over <= 1.0 && under <= 1.0;
            let nearer = |least: Option<(f64, u32, u32)>, factor: f64| match least {
                _ if factor <= 1.0 => least,
                Some((known, ..)) if known <= factor => least,
                _ => Some((factor, escape_teeth, between)),
            };
            (least_over, least_under) = (nearer(least_over, over), nearer(least_under, under));
        }
        of_primes = of_primes.or_else(|| {
            let leaves = too_large_a_prime(*ratio.denom(), gears.leaves.most)
                .map(|of| format!("a pinion whose leaves are a multiple of {of} (the most are {})", gears.leaves.most));
            let teeth = too_large_a_prime(*ratio.numer(), gears.teeth.most)
                .map(|of| format!("a wheel whose teeth are a multiple of {of} (the most are {})", gears.teeth.most));
            let turns = || format!("an escape wheel of {escape_teeth} teeth has to turn {ratio} times an hour");
            leaves.or(teeth).map(|what| format!("{}, which asks for {what}", turns()))
        });
    }
    if any_within {
        return of_primes;
    }
    let turns = |escape_teeth: u32| {
        let ratio = escape_turns_per_hour(ask.beat_s, escape_teeth).ok()?;
        Some(format!("an escape wheel of {escape_teeth} teeth has to turn {} times an hour", short(value(ratio), 6)))
    };
    let meshes = |between: u32| counted(between as usize + 1, "mesh", "meshes");
    let (of_most, of_least) = (
        format!("of {}/{}", gears.teeth.most, gears.leaves.least),
        format!("of {}/{}", gears.teeth.least, gears.leaves.most),
    );
    match (least_over, least_under) {
        (Some((_, teeth, between)), None) => Some(format!(
            "{}, more than {} {of_most} make; use more arbors, more teeth of the escape wheel, or larger wheels",
            turns(teeth)?,
            meshes(between)
        )),
        (None, Some((_, teeth, between))) => Some(format!(
            "{}, less than {} {of_least} make; use fewer arbors, fewer teeth of the escape wheel, or smaller wheels",
            turns(teeth)?,
            meshes(between)
        )),
        (Some((_, teeth, few)), Some((_, _, many))) => Some(format!(
            "{}, more than {} {of_most} make and less than {} {of_least} make; try the arbors between, or other bounds of teeth and \
             leaves",
            turns(teeth)?,
            meshes(few),
            meshes(many)
        )),
        (None, None) => of_primes,
    }
}

/// Least and largest ratio of the meshes on so many arbors between two others.
fn made(ask: &CountsAsk, between: u32) -> (f64, f64) {
    let gears = &ask.gears;
    let power = |teeth: u32, leaves: u32| (f64::from(teeth) / f64::from(leaves)).powi(between as i32 + 1);
    (power(gears.teeth.least, gears.leaves.most), power(gears.teeth.most, gears.leaves.least))
}

/// What gears of so many teeth at most cannot have in common with a number, in words; `None` where all its primes are small enough.
fn too_large_a_prime(number: u128, most: u32) -> Option<String> {
    let (factors, left) = prime_factors(u64::try_from(number).ok()?, LARGEST_PRIME);
    // No prime is below the square root of what is left.
    let is_prime = left < u64::from(LARGEST_PRIME).pow(2);
    match left {
        1 => factors.last().map(|&(prime, _)| prime).filter(|&prime| prime > most).map(|prime| prime.to_string()),
        _ if is_prime => Some(left.to_string()),
        _ => Some(format!("a prime above {LARGEST_PRIME}")),
    }
}

/// No great wheel turns in the hours asked for.
pub(super) fn no_great_wheel(ask: &CountsAsk, great: &GreatAsk) -> Failure {
    let (low, high) = great.hours;
    let hours =
        if low == high { format!("exactly {low} h") } else { format!("{:.3} h to {:.3} h", value(low), value(high)) };
    let arbors: Vec<String> = great.arbors_between.iter().map(u32::to_string).collect();
    let made = || great.arbors_between.iter().map(|&between| made(ask, between));
    let from = made().map(|(low, _)| low).fold(f64::INFINITY, f64::min);
    let to = made().map(|(_, high)| high).fold(0.0, f64::max);
    let drum = if great.fall.is_some() {
        "; a smaller drum and more falls lower the hours, a longer run and a shorter fall raise them"
    } else {
        ""
    };
    Failure::arguments(format!(
        "no great wheel within these bounds turns once in {hours}: with {} arbors between it and the minute hand's the gears make \
         {from:.2} h to {to:.2} h\n  change --great-arbors, the hours (a range like 10..14), or the bounds of teeth and leaves{drum}",
        arbors.join(" or "),
    ))
}
