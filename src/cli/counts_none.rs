//! What is said where no counts give what was asked: why, and what would.

use num_rational::Ratio;

use crate::clock::SECONDS_PER_DAY;
use crate::numerics::whole::prime_factors;
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

/// Why there is none, for the first escape wheel and number of arbors that it can be said of.
fn why(ask: &CountsAsk) -> Option<String> {
    let gears = &ask.gears;
    let mut of_primes = None;
    let (mut too_high, mut too_low) = (true, true);
    let mut first = None;
    for &escape_teeth in &ask.escape_teeth {
        let ratio = escape_turns_per_hour(ask.beat_s, escape_teeth).ok()?;
        first.get_or_insert((escape_teeth, ratio));
        for &between in &ask.arbors_between {
            let power = |ratio: f64| ratio.powi(between as i32 + 1);
            let high = power(f64::from(gears.teeth.most) / f64::from(gears.leaves.least));
            let low = power(f64::from(gears.teeth.least) / f64::from(gears.leaves.most));
            too_high &= value(ratio) > high;
            too_low &= value(ratio) < low;
        }
        let largest = |number: u128, most: u32| {
            let (factors, left) = prime_factors(u64::try_from(number).ok()?, 10_000);
            let prime = factors.last().map(|&(prime, _)| u64::from(prime)).max((left > 1).then_some(left))?;
            (prime > u64::from(most)).then_some(prime)
        };
        of_primes = of_primes.or_else(|| {
            let leaves = largest(*ratio.denom(), gears.leaves.most).map(|prime| {
                format!("a pinion with a multiple of {prime} leaves (the most are {})", gears.leaves.most)
            });
            let teeth = largest(*ratio.numer(), gears.teeth.most)
                .map(|prime| format!("a wheel with a multiple of {prime} teeth (the most are {})", gears.teeth.most));
            leaves.or(teeth).map(|what| {
                format!(
                    "an escape wheel of {escape_teeth} teeth has to turn {ratio} times an hour, which asks for {what}"
                )
            })
        });
    }
    let (escape_teeth, ratio) = first?;
    let turns = format!("an escape wheel of {escape_teeth} teeth has to turn {} times an hour", value(ratio));
    let arbors = ask.arbors_between.last().copied().unwrap_or(0);
    let meshes = counted(arbors as usize + 1, "mesh", "meshes");
    match (too_high, too_low) {
        (true, _) => Some(format!(
            "{turns}, more than {meshes} of {}/{} make; use more arbors, more teeth of the escape wheel, or larger wheels",
            gears.teeth.most, gears.leaves.least
        )),
        (_, true) => Some(format!(
            "{turns}, less than {meshes} of {}/{} make; use fewer arbors, fewer teeth of the escape wheel, or smaller wheels",
            gears.teeth.least, gears.leaves.most
        )),
        _ => of_primes,
    }
}

/// No great wheel turns in the hours asked for.
pub(super) fn no_great_wheel(ask: &CountsAsk, great: &GreatAsk) -> Failure {
    let (low, high) = great.hours;
    let hours =
        if low == high { format!("exactly {low} h") } else { format!("{:.3} h to {:.3} h", value(low), value(high)) };
    let arbors: Vec<String> = great.arbors_between.iter().map(u32::to_string).collect();
    let gears = &ask.gears;
    let make = |between: u32, teeth: u32, leaves: u32| (f64::from(teeth) / f64::from(leaves)).powi(between as i32 + 1);
    let first = great.arbors_between.first().copied().unwrap_or(0);
    let last = great.arbors_between.last().copied().unwrap_or(0);
    let from = make(first, gears.teeth.least, gears.leaves.most);
    let to = make(last, gears.teeth.most, gears.leaves.least);
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
