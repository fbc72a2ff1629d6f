//! Work shared out to all processors, or done by one in a build without the feature `threads`. Either way the results are the
//! same, in the order of the jobs.

use std::sync::{Mutex, PoisonError};

/// The result of `work` on each of `jobs`, in their order.
pub(super) fn each_of<J: Sync, R: Send>(jobs: &[J], work: impl Fn(&J) -> R + Sync) -> Vec<R> {
    let results: Vec<Mutex<Option<R>>> = jobs.iter().map(|_| Mutex::new(None)).collect();
    share_out(jobs.len(), &|number| {
        let result = work(&jobs[number]);
        *results[number].lock().unwrap_or_else(PoisonError::into_inner) = Some(result);
    });
    results.into_iter().filter_map(|result| result.into_inner().unwrap_or_else(PoisonError::into_inner)).collect()
}

/// Does the jobs `0..count`. One function for jobs of all kinds, for what shares them out is long.
#[cfg(feature = "threads")]
fn share_out(count: usize, job: &(dyn Fn(usize) + Sync)) {
    use rayon::prelude::*;
    (0..count).into_par_iter().for_each(job);
}

#[cfg(not(feature = "threads"))]
fn share_out(count: usize, job: &(dyn Fn(usize) + Sync)) {
    (0..count).for_each(job);
}

/// The results of both.
#[cfg(feature = "threads")]
pub(super) fn both<A: Send, B: Send>(one: impl FnOnce() -> A + Send, other: impl FnOnce() -> B + Send) -> (A, B) {
    rayon::join(one, other)
}

/// The results of both.
#[cfg(not(feature = "threads"))]
pub(super) fn both<A: Send, B: Send>(one: impl FnOnce() -> A + Send, other: impl FnOnce() -> B + Send) -> (A, B) {
    (one(), other())
}
