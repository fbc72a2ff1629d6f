//! Points that fill a unit cube evenly: the Sobol sequence, as it is and scrambled after Owen.

use sobol_burley::parts::{hash, owen_scramble_rev, sobol_rev};

/// Points after which the sequence of the direction numbers ends; later ones belong to a sequence scrambled anew.
const SEQUENCE: u32 = 1 << 16;

/// Spacing of the numbers that 32 bits count off between 0 and 1.
const SPACING: f64 = 1.0 / 4_294_967_296.0;

/// Coordinate no. `dimension` (below 256) of point no. `index` (below 65,536) of the Sobol sequence, in [0, 1), in the order of
/// the binary digits of `index`.
///
/// Direction numbers of Joe and Kuo (2008).
#[must_use]
pub fn plain(index: u32, dimension: u32) -> f64 {
    f64::from(sobol_rev((index % SEQUENCE).reverse_bits(), dimension).reverse_bits()) * SPACING
}

/// Coordinate no. `dimension` (below 256) of point no. `index` of the sequence scrambled by `seed`, strictly between 0 and 1.
///
/// Scrambling by hashing: B. Burley, "Practical Hash-based Owen Scrambling", Journal of Computer Graphics Techniques 9 (2020).
/// Every coordinate is uniform by itself, and the first 2^m points stratify the cube as the plain ones do. The number depends on
/// nothing but the arguments.
#[must_use]
pub fn scrambled(index: u32, dimension: u32, seed: u32) -> f64 {
    let place = sobol_rev((index % SEQUENCE).reverse_bits(), dimension);
    let scramble = hash(hash(hash(seed).wrapping_add(index / SEQUENCE)).wrapping_add(dimension));
    (f64::from(owen_scramble_rev(place, scramble).reverse_bits()) + 0.5) * SPACING
}

/// No. `draw` of the stream `seed`, strictly between 0 and 1, independent of all others.
#[must_use]
pub fn drawn_share(draw: u32, seed: u32) -> f64 {
    (f64::from(hash(hash(seed).wrapping_add(draw))) + 0.5) * SPACING
}

/// A number from 0 to below `count`, drawn with replacement: no. `draw` of the stream `seed`.
#[must_use]
pub fn drawn_below(count: usize, draw: u32, seed: u32) -> usize {
    let bits = hash(hash(seed).wrapping_add(draw));
    ((u64::from(bits) * count as u64) >> 32) as usize
}
