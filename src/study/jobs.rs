//! Long studies: jobs in parallel, how far they are, and how they are told to stop.

use super::parallel::each_of;

/// Someone who follows a study.
pub trait Watch: Sync {
    /// So many jobs are about to begin; `what` names them in the plural.
    fn begins(&self, jobs: usize, what: &str);
    /// One more job is done.
    fn done(&self);
    /// Whether to leave the jobs that have not begun.
    fn stopped(&self) -> bool;
    /// The best that a search has found so far: a number by its key, `None` where nothing keeps the limits yet.
    fn has_best(&self, _key: &str, _number: Option<f64>) {}
}

/// Nobody follows; nothing stops the study.
#[derive(Debug, Clone, Copy)]
pub struct Unwatched;

impl Watch for Unwatched {
    fn begins(&self, _jobs: usize, _what: &str) {}
    fn done(&self) {}
    fn stopped(&self) -> bool {
        false
    }
}

/// The result of every job in the order of the jobs, whatever the number of threads; `None` for those that had not begun when
/// the study was told to stop.
pub fn each<J: Sync, R: Send>(
    jobs: &[J],
    what: &str,
    watch: &dyn Watch,
    work: impl Fn(&J) -> R + Sync,
) -> Vec<Option<R>> {
    watch.begins(jobs.len(), what);
    each_of(jobs, |job| {
        if watch.stopped() {
            return None;
        }
        let result = work(job);
        watch.done();
        Some(result)
    })
}
