//! Every throw on a thread of its own with so much processor time and memory. What goes beyond is told with its number.

use std::any::Any;
use std::fs;
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::sync::atomic::{AtomicU64, Ordering};
use std::sync::{Arc, Mutex, mpsc};
use std::time::{Duration, Instant};

/// Most processor time of one throw. The slowest that is told as sound takes a tenth of it in a release build.
pub const MOST_TIME: Duration = Duration::from_secs(20);

/// Most memory that the whole process may have held, kB: a few mechanisms on each thread.
const MOST_MEMORY_KB: u64 = 1_500_000;

/// What one throw is told to be wrong with; nothing where it is sound.
pub type Complaints = Vec<String>;

/// A throw under way: its number, when it began, and the processor time that its thread had taken by then.
#[derive(Clone)]
struct UnderWay {
    number: u64,
    began: Instant,
    thread: Option<String>,
    used: Duration,
}

impl UnderWay {
    /// Processor time (elsewhere than on Linux: time) since it began.
    fn took(&self) -> Duration {
        match self.thread.as_deref().and_then(processor_time) {
            Some(used) => used.saturating_sub(self.used),
            None => self.began.elapsed(),
        }
    }
}

/// Processor time that a thread of this process has taken; `None` where the system does not tell.
fn processor_time(thread: &str) -> Option<Duration> {
    let told = fs::read_to_string(format!("/proc/self/task/{thread}/schedstat")).ok()?;
    Some(Duration::from_nanos(told.split_whitespace().next()?.parse().ok()?))
}

fn this_thread() -> Option<String> {
    let link = fs::read_link("/proc/thread-self").ok()?;
    Some(link.file_name()?.to_string_lossy().into_owned())
}

/// The most memory that the process has held, kB; `None` where the system does not tell.
fn most_memory_kb() -> Option<u64> {
    let told = fs::read_to_string("/proc/self/status").ok()?;
    told.lines().find_map(|line| line.strip_prefix("VmHWM:"))?.trim().trim_end_matches(" kB").parse().ok()
}

fn told(panic: &(dyn Any + Send)) -> String {
    let text = panic.downcast_ref::<String>().map(String::as_str).or(panic.downcast_ref::<&str>().copied());
    format!("panics: {}", text.unwrap_or("without words"))
}

/// What came of all throws.
#[derive(Debug, Default)]
pub struct Outcome {
    pub done: u64,
    /// By rising number.
    pub offenders: Vec<(u64, Complaints)>,
    /// The longest took so long.
    pub slowest: (Duration, u64),
}

/// Throws the numbers from `first` on, `count` of them, on `threads` threads; one that takes longer than [`MOST_TIME`] is told and left behind.
pub fn throw_all(
    first: u64,
    count: u64,
    threads: usize,
    throw: impl Fn(u64) -> Complaints + Send + Sync + 'static,
) -> Outcome {
    let throw: Arc<dyn Fn(u64) -> Complaints + Send + Sync> = Arc::new(throw);
    let next = Arc::new(AtomicU64::new(first));
    let (send, receive) = mpsc::channel();
    let mut under_way: Vec<Arc<Mutex<Option<UnderWay>>>> = Vec::new();
    let start = |under_way: &mut Vec<Arc<Mutex<Option<UnderWay>>>>| {
        let place = Arc::new(Mutex::new(None));
        under_way.push(Arc::clone(&place));
        let (throw, next, send) = (Arc::clone(&throw), Arc::clone(&next), send.clone());
        std::thread::Builder::new()
            .stack_size(8 << 20)
            .spawn(move || {
                loop {
                    let number = next.fetch_add(1, Ordering::Relaxed);
                    if number >= first + count {
                        return;
                    }
                    let thread = this_thread();
                    let used = thread.as_deref().and_then(processor_time).unwrap_or_default();
                    let begun = UnderWay { number, began: Instant::now(), thread, used };
                    *place.lock().unwrap() = Some(begun.clone());
                    let found = catch_unwind(AssertUnwindSafe(|| throw(number)));
                    let found = found.unwrap_or_else(|panic| vec![told(panic.as_ref())]);
                    let took = begun.took();
                    *place.lock().unwrap() = None;
                    if send.send((number, found, took)).is_err() {
                        return;
                    }
                }
            })
            .unwrap();
    };
    for _ in 0..threads {
        start(&mut under_way);
    }
    let mut outcome = Outcome::default();
    let mut left_behind = Vec::new();
    while outcome.done < count {
        if let Ok((number, found, took)) = receive.recv_timeout(Duration::from_millis(100)) {
            if left_behind.contains(&number) {
                continue;
            }
            outcome.done += 1;
            outcome.slowest = outcome.slowest.max((took, number));
            if !found.is_empty() {
                outcome.offenders.push((number, found));
            }
            continue;
        }
        let late: Vec<(usize, u64)> = under_way
            .iter()
            .enumerate()
            .filter_map(|(place, under_way)| {
                let begun = under_way.lock().unwrap().clone()?;
                (begun.took() > MOST_TIME).then_some((place, begun.number))
            })
            .collect();
        for (place, number) in late {
            outcome.done += 1;
            outcome.offenders.push((number, vec![format!("takes more than {} s", MOST_TIME.as_secs())]));
            left_behind.push(number);
            // Nothing ends a thread from outside: another takes its place.
            under_way.remove(place);
            start(&mut under_way);
        }
    }
    if let Some(memory_kb) = most_memory_kb().filter(|&memory_kb| memory_kb > MOST_MEMORY_KB) {
        outcome.offenders.push((first + count, vec![format!("all of them together held {memory_kb} kB")]));
    }
    outcome.offenders.sort();
    outcome
}
