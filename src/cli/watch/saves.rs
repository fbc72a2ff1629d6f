//! When a file is saved.

use std::collections::HashSet;
use std::path::{Path, PathBuf};
use std::sync::mpsc::{Receiver, RecvTimeoutError, channel};
use std::sync::{Arc, Mutex};
use std::time::Duration;

use notify::{Event, EventKind, RecommendedWatcher, RecursiveMode, Watcher as _};

use crate::cli::failure::Failure;
use crate::cli::progress;

/// An editor saves in several steps: the file counts as saved after so long without another.
const QUIET_FOR: Duration = Duration::from_millis(120);

/// How often somebody who waits looks whether Ctrl-C was pressed.
const LOOKS_EVERY: Duration = Duration::from_millis(200);

/// Waits for files to be saved. Their folders are watched, not they themselves: many editors write another file and rename it.
pub(super) struct Saves {
    watcher: RecommendedWatcher,
    followed: Arc<Mutex<HashSet<PathBuf>>>,
    folders: HashSet<PathBuf>,
    saved: Receiver<()>,
}

impl Saves {
    /// # Errors
    /// [`Failure`] where the system tells nobody of changes.
    pub fn new() -> Result<Self, Failure> {
        let followed = Arc::new(Mutex::new(HashSet::new()));
        let (tell, saved) = channel();
        let wanted = Arc::clone(&followed);
        let watcher = notify::recommended_watcher(move |event: notify::Result<Event>| {
            if event.is_ok_and(|event| is_save(&event.kind) && event.paths.iter().any(|path| is_one_of(path, &wanted)))
            {
                progress::overtake();
                let _ = tell.send(());
            }
        });
        let watcher = watcher.map_err(|error| cannot_watch(&error))?;
        Ok(Self { watcher, followed, folders: HashSet::new(), saved })
    }

    /// Waits for these files from now on, wherever links lead.
    ///
    /// # Errors
    /// [`Failure`] where a folder cannot be watched.
    pub fn follow(&mut self, files: &[PathBuf]) -> Result<(), Failure> {
        let places: HashSet<PathBuf> =
            files.iter().flat_map(|file| [in_its_folder(file), std::fs::canonicalize(file).ok()]).flatten().collect();
        for folder in places.iter().filter_map(|place| place.parent()) {
            if self.folders.insert(folder.to_owned()) {
                self.watcher.watch(folder, RecursiveMode::NonRecursive).map_err(|error| cannot_watch(&error))?;
            }
        }
        if let Ok(mut followed) = self.followed.lock() {
            *followed = places;
        }
        Ok(())
    }

    /// Waits for the next save; false where Ctrl-C came first.
    pub fn wait(&self) -> bool {
        loop {
            match self.saved.recv_timeout(LOOKS_EVERY) {
                Ok(()) => break,
                Err(RecvTimeoutError::Disconnected) => return false,
                Err(RecvTimeoutError::Timeout) if progress::is_ended() => return false,
                Err(RecvTimeoutError::Timeout) => {}
            }
        }
        while self.saved.recv_timeout(QUIET_FOR).is_ok() {}
        true
    }
}

const fn is_save(kind: &EventKind) -> bool {
    matches!(kind, EventKind::Create(_) | EventKind::Modify(_) | EventKind::Any)
}

fn is_one_of(path: &Path, followed: &Mutex<HashSet<PathBuf>>) -> bool {
    let place = in_its_folder(path);
    followed.lock().is_ok_and(|followed| place.is_some_and(|place| followed.contains(&place)))
}

/// A file's place with links of its folder followed, itself not: it may be gone for a moment.
fn in_its_folder(path: &Path) -> Option<PathBuf> {
    let folder = path.parent().filter(|folder| !folder.as_os_str().is_empty()).unwrap_or(Path::new("."));
    Some(std::fs::canonicalize(folder).ok()?.join(path.file_name()?))
}

fn cannot_watch(error: &notify::Error) -> Failure {
    Failure::numeric(format!("--watch: the system does not tell when a file is saved: {error}"))
}
