//! Storms: thousands of scenarios and files drawn at random, each answered in bounded time and without contradiction, or refused in its
//! place. Off by default:
//!
//!     SOAK_SCENARIOS=300 SOAK_FILES=2000 cargo test --release --test soak -- --ignored --nocapture
//!
//! `SOAK_SEED` (1 if not given) picks other dice, `SOAK_FROM` the first number to be thrown, `SOAK_THREADS` how many at once. What falls over is told
//! by its number; `SOAK_FROM=number SOAK_SCENARIOS=1 SOAK_TELL=1` throws it again and prints it.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, missing_docs)]

#[path = "../support/mod.rs"]
mod support;

mod bounds;
mod dice;
mod drawn;
mod files;
mod held;
mod mutated;
mod thrown;

use std::sync::Arc;
use std::sync::atomic::{AtomicU64, Ordering};
use std::time::Instant;

use bounds::throw_all;
use dice::Dice;
use thrown::{Thrown, asked};

fn number_of(variable: &str, otherwise: u64) -> u64 {
    match std::env::var(variable) {
        Ok(text) => text.trim().parse().unwrap_or_else(|_| panic!("{variable}={text}: give a whole number")),
        Err(_) => otherwise,
    }
}

fn threads() -> usize {
    let all = std::thread::available_parallelism().map_or(1, std::num::NonZero::get);
    number_of("SOAK_THREADS", all as u64).max(1) as usize
}

#[test]
#[ignore = "a storm: SOAK_SCENARIOS=300 cargo test --release --test soak -- --ignored"]
fn scenarios_are_answered_in_time_and_without_contradiction() {
    let (seed, first, count) = (number_of("SOAK_SEED", 1), number_of("SOAK_FROM", 0), number_of("SOAK_SCENARIOS", 300));
    let tell = number_of("SOAK_TELL", 0) > 0;
    let began = Instant::now();
    let ends: Arc<[AtomicU64; 4]> = Arc::default();
    let counted = Arc::clone(&ends);
    let outcome = throw_all(first, count, threads(), move |number| {
        if tell {
            println!("{}", Thrown::of(&mut Dice::of(seed, number)).told());
        }
        let (came, found) = asked(seed, number);
        if !found.is_empty() {
            println!("{number}: {}", found.join("\n    "));
        }
        counted[came as usize].fetch_add(1, Ordering::Relaxed);
        found
    });
    let ended: Vec<u64> = ends.iter().map(|end| end.load(Ordering::Relaxed)).collect();
    let (took, slowest) = outcome.slowest;
    println!(
        "{} scenarios with seed {seed} in {:.0} s: {} refused, {} not built, {} stop, {} keep going; the slowest, {slowest}, took {:.2} s",
        outcome.done,
        began.elapsed().as_secs_f64(),
        ended[0],
        ended[1],
        ended[2],
        ended[3],
        took.as_secs_f64()
    );
    assert!(
        outcome.offenders.is_empty(),
        "seed {seed}: {} of {count} fall over: {:#?}",
        outcome.offenders.len(),
        outcome.offenders
    );
}

#[test]
#[ignore = "a storm: SOAK_FILES=2000 cargo test --release --test soak -- --ignored"]
fn damaged_files_are_refused_in_their_place() {
    let (seed, first, count) = (number_of("SOAK_SEED", 1), number_of("SOAK_FROM", 0), number_of("SOAK_FILES", 2000));
    let tell = number_of("SOAK_TELL", 0) > 0;
    let began = Instant::now();
    let outcome = throw_all(first, count, threads(), move |number| {
        if tell {
            let (kind, bytes) = files::thrown(&mut Dice::of(!seed, number));
            println!("{kind:?}\n{}", String::from_utf8_lossy(&bytes));
        }
        let found = files::read(seed, number);
        if !found.is_empty() {
            println!("{number}: {}", found.join("\n    "));
        }
        found
    });
    let (took, slowest) = outcome.slowest;
    println!(
        "{} files with seed {seed} in {:.0} s; the slowest, {slowest}, took {:.2} s",
        outcome.done,
        began.elapsed().as_secs_f64(),
        took.as_secs_f64()
    );
    assert!(
        outcome.offenders.is_empty(),
        "seed {seed}: {} of {count} fall over: {:#?}",
        outcome.offenders.len(),
        outcome.offenders
    );
}
