//! The best of many trains, without all of them in memory.

use std::cmp::Ordering;

use super::MeshCounts;
use super::rank::{CountsRank, RankMeasure, key_order};

/// A train that may be among the best.
#[derive(Debug, Clone)]
struct RankedCandidate {
    key: [f64; 5],
    /// What else it is told apart by: the teeth of its escape wheel, or 0.
    apart: u32,
    meshes: Vec<MeshCounts>,
}

impl RankedCandidate {
    fn order(&self, other: &Self) -> Ordering {
        key_order(&self.key, &other.key)
            .then_with(|| self.apart.cmp(&other.apart))
            .then_with(|| self.meshes.cmp(&other.meshes))
    }
}

/// The best so far.
pub(super) struct Kept {
    rank: CountsRank,
    most: usize,
    candidates: Vec<RankedCandidate>,
    /// The worst of the kept ones, once there are as many as are wanted.
    worst: Option<[f64; 5]>,
    /// How many were offered.
    pub(super) found: u64,
}

impl Kept {
    pub(super) const fn new(rank: CountsRank, most: usize) -> Self {
        Self { rank, most, candidates: Vec::new(), worst: None, found: 0 }
    }

    pub(super) fn offer(&mut self, measured: &RankMeasure, apart: u32, meshes: &[MeshCounts]) {
        self.found += 1;
        let key = measured.key(self.rank);
        if self.worst.as_ref().is_some_and(|worst| key_order(&key, worst).is_gt()) {
            return;
        }
        self.candidates.push(RankedCandidate { key, apart, meshes: meshes.to_vec() });
        if self.candidates.len() >= 2 * self.most + 64 {
            self.settle();
        }
    }

    fn settle(&mut self) {
        self.candidates.sort_by(RankedCandidate::order);
        self.candidates.truncate(self.most);
        if self.candidates.len() == self.most {
            self.worst = self.candidates.last().map(|last| last.key);
        }
    }

    /// The best, in order, by what they are told apart and their meshes.
    pub(super) fn best(mut self) -> Vec<(u32, Vec<MeshCounts>)> {
        self.settle();
        self.candidates.into_iter().map(|kept| (kept.apart, kept.meshes)).collect()
    }
}
