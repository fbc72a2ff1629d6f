//! Scenarios that a command writes: what they must not overwrite, and the files that have to lie beside them.

use std::fs;
use std::path::{Path, PathBuf};

use crate::scenario::Scenario;

use super::failure::Failure;
use super::output::OutputFile;

/// A scenario that is about to be written, and starts from the maker's own.
#[derive(Clone, Copy)]
pub(super) struct NewScenario<'n> {
    /// Where it goes.
    pub folder: &'n Path,
    /// Its name.
    pub name: &'n str,
    /// What such files begin with.
    pub head: &'n str,
    /// The command that writes it.
    pub command: &'n str,
}

impl NewScenario<'_> {
    /// A file of this name stays that was not written by the command, or that the design itself starts from; `own` is the scenario's file,
    /// `None` where the new one takes its place.
    pub fn refuse_to_lose(&self, own: Option<&Path>, scenario: &Scenario) -> Result<(), Failure> {
        let Self { folder, name, head, command } = self;
        let path = folder.join(name);
        let lower = scenario.starts_from.iter().map(Path::new);
        let home = own.map(home_of);
        let is_lost = |base: &&Path| {
            // What lies in the scenario's folder is to stand beside the new file, under its own name.
            let beside = home.is_some_and(|home| is_same_place(folder_of(base, home), home));
            let same_name = base.file_name().is_some_and(|known| known == *name);
            (beside && same_name) || is_same_place(base, &path)
        };
        if let Some(base) = own.into_iter().chain(lower).find(is_lost) {
            return Err(Failure::arguments(format!(
                "{command} writes {name}, and the design starts from a file of that name, {}: rename that one",
                base.display()
            )));
        }
        match fs::read_to_string(&path) {
            Ok(text) if !text.starts_with(head) => Err(Failure::arguments(format!(
                "{} is there and was not written by {command}: rename it, or choose another folder with --out",
                path.display()
            ))),
            _ => Ok(()),
        }
    }
}

pub(super) fn is_same_place(one: &Path, other: &Path) -> bool {
    one == other || matches!((fs::canonicalize(one), fs::canonicalize(other)), (Ok(one), Ok(other)) if one == other)
}

/// The folder of a file.
pub(super) fn home_of(file: &Path) -> &Path {
    folder_of(file, Path::new("."))
}

/// The folder of a file, `home` where its path names none.
fn folder_of<'p>(file: &'p Path, home: &'p Path) -> &'p Path {
    file.parent().filter(|folder| !folder.as_os_str().is_empty()).unwrap_or(home)
}

/// Copies, for a file called `name` that starts from them, of the scenario and of the files that it starts from, where they lie in its own
/// folder.
pub(super) fn copies(scenario: &Scenario, file: &Path, folder: &Path, name: &str) -> Result<Vec<OutputFile>, Failure> {
    let (home, written) = (home_of(file), name);
    let lower = scenario.starts_from.iter().map(PathBuf::from);
    let mut copied = Vec::new();
    for from in std::iter::once(file.to_owned()).chain(lower) {
        let (Some(name), Ok(content)) = (from.file_name(), fs::read(&from)) else { continue };
        if name == written || !is_same_place(folder_of(&from, home), home) {
            continue;
        }
        let there = folder.join(name);
        if fs::read(&there).is_ok_and(|there| there != content) {
            return Err(Failure::arguments(format!(
                "{} differs from {}, from which {written} starts: choose another folder with --out",
                there.display(),
                from.display()
            )));
        }
        copied.push(OutputFile { name: name.to_string_lossy().into_owned(), content });
    }
    Ok(copied)
}
