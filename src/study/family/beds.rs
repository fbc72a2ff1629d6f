//! The parts of a member on a printer's bed.

use crate::clock::printing::bed::{Bed, largest_factor};
use crate::clock::printing::part_sizes::{PartGroup, PartSize};

/// A part on a bed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PartFit {
    /// Largest growth from its present size that still fits; below 1 it does not fit as it is.
    pub growth: f64,
    /// Value of `scale.all` at that growth; `None` where the scenario gives its group a factor of its own.
    pub largest: Option<f64>,
}

/// All parts on a bed.
#[derive(Debug, Clone, PartialEq)]
pub struct BedFit {
    /// The bed.
    pub bed: Bed,
    /// The parts in the order of the member's.
    pub parts: Vec<PartFit>,
    /// Number of the part of one piece that ends the growth; `None` where no part grows with `scale.all`.
    pub limiting: Option<usize>,
    /// Largest value of `scale.all` with which every part of one piece fits; `None` where none does or any does.
    pub largest: Option<f64>,
    /// Parts of one piece that do not fit in any size, for theirs does not go with `scale.all`.
    pub never: Vec<usize>,
}

/// The parts of a member, at its own factor, on a bed. Every part of a group that grows with `scale.all` does so in proportion.
pub(super) fn fit(grows: &dyn Fn(PartGroup) -> bool, own_factor: f64, parts: &[PartSize], bed: Bed) -> BedFit {
    let fits: Vec<PartFit> = parts
        .iter()
        .map(|part| {
            let growth = largest_factor(part.footprint, part.height_m, &bed);
            PartFit { growth, largest: grows(part.group).then_some(own_factor * growth) }
        })
        .collect();
    let whole = |index: &usize| parts[*index].in_one_piece;
    let limiting = (0..parts.len())
        .filter(whole)
        .filter(|&index| fits[index].largest.is_some())
        .min_by(|&a, &b| fits[a].growth.total_cmp(&fits[b].growth));
    let never: Vec<usize> = (0..parts.len())
        .filter(whole)
        .filter(|&index| fits[index].largest.is_none() && fits[index].growth < 1.0)
        .collect();
    let largest = limiting.filter(|_| never.is_empty()).and_then(|index| fits[index].largest);
    BedFit { bed, parts: fits, limiting, largest, never }
}
