//! Which values each copy draws: its number decides, together with the seed.
//!
//! Copies come in rounds, with `k` inputs of `2 k + 2` copies each: `k` copies drawn by themselves, then a block of `k + 2` from
//! which the inputs' shares of the variance are estimated: two more copies drawn by themselves, the block's first and second, and
//! the first again with one input taken from the second, for each input. The `k + 2` copies drawn by themselves are the sample
//! from which shares of copies and percentiles come.

use crate::numerics::points::scrambled;

use super::inputs::Input;

/// Where a copy's values come from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Draw {
    /// Drawn by itself.
    Single,
    /// First copy of a block, drawn by itself.
    First,
    /// Second copy of a block, drawn by itself.
    Second,
    /// The block's first with this input (from 0) of its second.
    Swapped(usize),
}

impl Draw {
    /// Whether the copy is drawn by itself and counts in shares and percentiles.
    #[must_use]
    pub fn counts(self) -> bool {
        !matches!(self, Self::Swapped(_))
    }
}

/// Copies in a round.
#[must_use]
pub fn round_length(inputs: usize) -> u32 {
    2 * inputs as u32 + 2
}

/// Round (from 0) of copy no. `number` (from 1) and where its values come from.
#[must_use]
pub fn place(number: u32, inputs: usize) -> (u32, Draw) {
    let (index, length) = (number.saturating_sub(1), round_length(inputs));
    let (round, within) = (index / length, (index % length) as usize);
    let draw = match within.checked_sub(inputs) {
        None => Draw::Single,
        Some(0) => Draw::First,
        Some(1) => Draw::Second,
        Some(rest) => Draw::Swapped(rest - 2),
    };
    (round, draw)
}

/// Values of copy no. `number` (from 1), SI, in the order of the inputs. They depend on nothing but number, seed and inputs.
#[must_use]
pub fn drawn_values(inputs: &[Input], number: u32, seed: u32) -> Vec<f64> {
    inputs.iter().zip(drawn_shares(inputs.len(), number, seed)).map(|(input, share)| input.value_at(share)).collect()
}

/// Shares, strictly between 0 and 1, at which copy no. `number` (from 1) draws each of so many inputs.
#[must_use]
pub fn drawn_shares(inputs: usize, number: u32, seed: u32) -> Vec<f64> {
    let count = inputs as u32;
    let (round, draw) = place(number, inputs);
    // Singles and blocks are two sequences of their own, so that each is an unbroken run of points.
    let (singles, blocks) = (seed, seed ^ 0x5bd1_e995);
    let within = (number.saturating_sub(1)) % round_length(inputs);
    let share = |input: u32| match draw {
        Draw::Single => scrambled(round * count + within, input, singles),
        Draw::First => scrambled(round, input, blocks),
        Draw::Second => scrambled(round, count + input, blocks),
        Draw::Swapped(swapped) if swapped == input as usize => scrambled(round, count + input, blocks),
        Draw::Swapped(_) => scrambled(round, input, blocks),
    };
    (0..count).map(share).collect()
}
