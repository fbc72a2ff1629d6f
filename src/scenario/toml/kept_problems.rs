//! The first problems of one reading; those beyond are counted.

use super::problem::MOST_PROBLEMS;

/// Problems in the order in which they were found, at most [`MOST_PROBLEMS`] of them.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(in crate::scenario) struct KeptProblems<P> {
    list: Vec<P>,
    left_out: usize,
}

impl<P> Default for KeptProblems<P> {
    fn default() -> Self {
        Self { list: Vec::new(), left_out: 0 }
    }
}

impl<P> KeptProblems<P> {
    /// Keeps a problem, or counts it where there are enough.
    pub fn add(&mut self, problem: P) {
        if !self.count_if_enough() {
            self.list.push(problem);
        }
    }

    /// Counts one more problem, not yet worded, where there are enough; whether it did.
    pub fn count_if_enough(&mut self) -> bool {
        let enough = self.list.len() >= MOST_PROBLEMS;
        self.left_out += usize::from(enough);
        enough
    }

    /// The problems kept.
    pub const fn list(&self) -> &[P] {
        self.list.as_slice()
    }

    /// How many were found and not kept.
    pub const fn left_out(&self) -> usize {
        self.left_out
    }

    /// The problems kept, and how many more there were.
    pub fn into_parts(self) -> (Vec<P>, usize) {
        (self.list, self.left_out)
    }
}
