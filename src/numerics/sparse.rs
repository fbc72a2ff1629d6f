//! Interpolation of a smooth function of a few variables from few points.
//!
//! S. A. Smolyak, "Quadrature and interpolation formulas for tensor products of certain classes of functions", Dokl. Akad. Nauk
//! SSSR 148 (1963) 1042-1045, on the nested points of Clenshaw and Curtis, in hierarchical form (from memory): level `l` is exact
//! for all polynomials of total degree `l`, and along a single variable for degree `2^l`.

use std::f64::consts::PI;

/// The points of one level, a box between lowest and highest values.
#[derive(Debug, Clone, PartialEq)]
pub struct SparseGrid {
    ranges: Vec<(f64, f64)>,
    level: u32,
    /// For each point the number of its node along every variable, and the level to which that node belongs.
    nodes: Vec<Vec<(usize, u32)>>,
}

impl SparseGrid {
    /// The points of `level` in a box, `low < high` in every range; those of lower levels come first, in the same order.
    #[must_use]
    pub fn new(ranges: Vec<(f64, f64)>, level: u32) -> Self {
        let mut nodes = Vec::new();
        for total in 0..=level {
            for levels in splits(total, ranges.len()) {
                let mut points: Vec<Vec<(usize, u32)>> = vec![Vec::new()];
                for level in levels {
                    let fresh = fresh_nodes(level);
                    points = points
                        .into_iter()
                        .flat_map(|point| {
                            fresh.clone().map(move |node| {
                                let mut longer = point.clone();
                                longer.push((node, level));
                                longer
                            })
                        })
                        .collect();
                }
                nodes.append(&mut points);
            }
        }
        Self { ranges, level, nodes }
    }

    /// The points.
    #[must_use]
    pub fn points(&self) -> Vec<Vec<f64>> {
        let place = |(&(node, _), &(low, high)): (&(usize, u32), &(f64, f64))| {
            0.5 * (low + high) + 0.5 * (high - low) * unit_node(node)
        };
        self.nodes.iter().map(|point| point.iter().zip(&self.ranges).map(place).collect()).collect()
    }

    /// The interpolant through `values`, one set for each point in the order of [`Self::points`].
    #[must_use]
    pub fn through<const N: usize>(self, values: &[[f64; N]]) -> SparseInterpolant<N> {
        let points = self.points();
        let mut interpolant = SparseInterpolant { grid: self, surpluses: Vec::with_capacity(values.len()) };
        for (point, value) in points.iter().zip(values) {
            // What the points before leave; at this point the basis of all of its own level vanishes but its own.
            let before = interpolant.at(point);
            let mut surplus = *value;
            for (left, known) in surplus.iter_mut().zip(before) {
                *left -= known;
            }
            interpolant.surpluses.push(surplus);
        }
        interpolant
    }
}

/// A function known at the points of a grid, and between them.
#[derive(Debug, Clone, PartialEq)]
pub struct SparseInterpolant<const N: usize> {
    grid: SparseGrid,
    surpluses: Vec<[f64; N]>,
}

impl<const N: usize> SparseInterpolant<N> {
    /// The values at a place in the box.
    #[must_use]
    pub fn at(&self, place: &[f64]) -> [f64; N] {
        let bases: Vec<Vec<f64>> = place
            .iter()
            .zip(&self.grid.ranges)
            .map(|(&value, &(low, high))| basis((2.0 * value - low - high) / (high - low), self.grid.level))
            .collect();
        let mut sum = [0.0; N];
        for (point, surplus) in self.grid.nodes.iter().zip(&self.surpluses) {
            let weight: f64 = point.iter().zip(&bases).map(|(&(node, _), basis)| basis[node]).product();
            for (value, part) in sum.iter_mut().zip(surplus) {
                *value += weight * part;
            }
        }
        sum
    }
}

/// All ways to split `total` into `parts` levels, in a fixed order.
fn splits(total: u32, parts: usize) -> Vec<Vec<u32>> {
    if parts == 0 {
        return if total == 0 { vec![Vec::new()] } else { Vec::new() };
    }
    (0..=total)
        .flat_map(|first| {
            splits(total - first, parts - 1).into_iter().map(move |rest| {
                let mut whole = vec![first];
                whole.extend(rest);
                whole
            })
        })
        .collect()
}

/// Numbers of the nodes that a level adds: 0; 1, 2; 3, 4; 5 to 8; ...
fn fresh_nodes(level: u32) -> std::ops::Range<usize> {
    match level {
        0 => 0..1,
        1 => 1..3,
        _ => (1 << (level - 1)) + 1..(1 << level) + 1,
    }
}

/// Nodes of all levels up to `level`.
fn nodes_up_to(level: u32) -> usize {
    fresh_nodes(level).end
}

/// Place of a node between -1 and 1.
fn unit_node(node: usize) -> f64 {
    match node {
        0 => 0.0,
        1 => -1.0,
        2 => 1.0,
        _ => {
            let level = usize::BITS - (node - 1).leading_zeros();
            let within = node - fresh_nodes(level).start;
            (PI * (2 * within + 1) as f64 / f64::from(1u32 << level)).cos()
        }
    }
}

/// Every node's polynomial at `x`: 1 at the node, 0 at all others of its level and below.
fn basis(x: f64, level: u32) -> Vec<f64> {
    let places: Vec<f64> = (0..nodes_up_to(level)).map(unit_node).collect();
    let mut values = Vec::with_capacity(places.len());
    for level in 0..=level {
        let others = nodes_up_to(level);
        for node in fresh_nodes(level) {
            let factor = |other: usize| (x - places[other]) / (places[node] - places[other]);
            values.push((0..others).filter(|&other| other != node).map(factor).product());
        }
    }
    values
}
