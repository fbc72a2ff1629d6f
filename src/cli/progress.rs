//! Progress on the terminal, and Ctrl-C.

use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::{Mutex, PoisonError};
use std::time::{Duration, Instant};

use indicatif::{ProgressBar, ProgressDrawTarget, ProgressStyle};

use crate::report::canvas::look::significant;
use crate::study::jobs::Watch;

use super::failure::Failure;

/// A study that ends sooner shows no bar.
const SHOWN_AFTER: Duration = Duration::from_secs(1);

static INTERRUPTED: AtomicBool = AtomicBool::new(false);

/// Whether what a running study answers is no longer asked.
static OVERTAKEN: AtomicBool = AtomicBool::new(false);

/// Whether Ctrl-C is caught already.
static CAUGHT: Mutex<bool> = Mutex::new(false);

/// Ends the study that is running: a file of its scenario was saved.
pub(super) fn overtake() {
    OVERTAKEN.store(true, Ordering::Relaxed);
}

/// Whether that has happened since [`begin_anew`].
pub(super) fn is_overtaken() -> bool {
    OVERTAKEN.load(Ordering::Relaxed)
}

/// What is asked from now on has not been overtaken.
pub(super) fn begin_anew() {
    OVERTAKEN.store(false, Ordering::Relaxed);
}

/// Whether Ctrl-C was pressed while a study was running.
pub(super) fn is_ended() -> bool {
    INTERRUPTED.load(Ordering::Relaxed)
}

/// From now on Ctrl-C stops a study instead of the program; a second one ends the program.
fn catch_interrupts() -> Result<(), Failure> {
    let mut caught = CAUGHT.lock().unwrap_or_else(PoisonError::into_inner);
    if !*caught {
        ctrlc::set_handler(|| {
            if INTERRUPTED.swap(true, Ordering::Relaxed) {
                std::process::exit(130);
            }
        })
        .map_err(|error| Failure::numeric(format!("cannot catch Ctrl-C: {error}")))?;
        *caught = true;
    }
    Ok(())
}

/// A bar with the time left on standard error, from the second second on; none where that is no terminal or all is to be quiet.
/// While it lives, Ctrl-C stops the study instead of the program; a second one ends the program.
pub(super) struct Progress {
    bar: ProgressBar,
    began: Instant,
    quiet: bool,
    shown: Mutex<bool>,
    what: Mutex<String>,
}

impl Progress {
    /// # Errors
    /// [`Failure`] if Ctrl-C cannot be caught.
    pub fn new(quiet: bool) -> Result<Self, Failure> {
        catch_interrupts()?;
        let bar = ProgressBar::with_draw_target(None, ProgressDrawTarget::hidden());
        let style = ProgressStyle::with_template("{wide_bar} {pos} of {len} {msg}, {eta} left");
        bar.set_style(style.unwrap_or_else(|_| ProgressStyle::default_bar()));
        Ok(Self { bar, began: Instant::now(), quiet, shown: Mutex::new(false), what: Mutex::default() })
    }

    /// Whether Ctrl-C was pressed, or the answer is no longer asked.
    pub fn interrupted(&self) -> bool {
        is_ended() || is_overtaken()
    }
}

impl Watch for Progress {
    fn begins(&self, jobs: usize, what: &str) {
        self.bar.reset();
        self.bar.set_length(jobs as u64);
        self.bar.set_message(what.to_owned());
        if let Ok(mut known) = self.what.lock() {
            what.clone_into(&mut known);
        }
    }

    fn done(&self) {
        if !self.quiet
            && self.began.elapsed() > SHOWN_AFTER
            && let Ok(mut shown) = self.shown.try_lock()
            && !*shown
        {
            self.bar.set_draw_target(ProgressDrawTarget::stderr());
            *shown = true;
        }
        self.bar.inc(1);
    }

    fn stopped(&self) -> bool {
        self.interrupted()
    }

    fn has_best(&self, key: &str, number: Option<f64>) {
        let Ok(what) = self.what.lock() else { return };
        let best = number.map_or_else(
            || "none within the limits yet".to_owned(),
            |number| format!("best {key} {}", significant(number, 5)),
        );
        self.bar.set_message(format!("{what}, {best}"));
    }
}

/// A line on standard error that says what is waited for and how long already, from the second second on; none where that is no terminal
/// or all is to be quiet.
pub(super) struct Waiting(ProgressBar);

impl Waiting {
    pub fn on(what: &'static str, quiet: bool) -> Self {
        let bar = ProgressBar::with_draw_target(None, ProgressDrawTarget::hidden());
        let style = ProgressStyle::with_template("{spinner} {msg}, {elapsed} so far");
        bar.set_style(style.unwrap_or_else(|_| ProgressStyle::default_spinner()));
        bar.set_message(what);
        let later = bar.downgrade();
        std::thread::spawn(move || {
            std::thread::sleep(SHOWN_AFTER);
            if let Some(bar) = later.upgrade().filter(|bar| !quiet && !bar.is_finished()) {
                bar.set_draw_target(ProgressDrawTarget::stderr());
                bar.enable_steady_tick(SHOWN_AFTER);
            }
        });
        Self(bar)
    }
}

impl Drop for Waiting {
    fn drop(&mut self) {
        self.0.finish_and_clear();
    }
}

impl Drop for Progress {
    fn drop(&mut self) {
        self.bar.finish_and_clear();
    }
}
