//! Collects problems and the files that a scenario names while the tree is read.

use std::cell::RefCell;
use std::collections::HashMap;
use std::path::{Path, PathBuf};

use super::kept_problems::KeptProblems;
use super::problem::Problem;
use super::problem_code::ProblemCode;
use super::reach::FolderReach;
use super::source::{SourceId, Sources, Span};

/// What all sections of one reading share.
#[derive(Debug, Default)]
pub(in crate::scenario) struct Reader {
    found: RefCell<KeptProblems<Problem>>,
    /// Folder of each file of the scenario; none where it is a text.
    folders: HashMap<SourceId, PathBuf>,
    /// The files below the first.
    lower: Vec<SourceId>,
    /// Where those that it names have to be.
    reach: FolderReach,
    /// Whether values of the files are overridden.
    overridden: bool,
    /// Content of the files that the scenario names, in the order of their reading.
    named_files: RefCell<Vec<Vec<u8>>>,
}

impl Reader {
    /// A reader of a scenario whose files are in `folders`, `lower` those below the first, and whether values of them are `overridden`.
    pub(in crate::scenario) fn in_folders(
        folders: HashMap<SourceId, PathBuf>,
        lower: Vec<SourceId>,
        reach: FolderReach,
        overridden: bool,
    ) -> Self {
        Self { folders, lower, reach, overridden, ..Self::default() }
    }

    /// Whether values of the files are overridden, so that what the files say together need not be what their maker weighed.
    pub(in crate::scenario) const fn is_overridden(&self) -> bool {
        self.overridden
    }

    /// Folder that a path written in `source` starts from: that of the file, and of the scenario's first file for an override;
    /// `None` for a text that is no file.
    pub(in crate::scenario) fn folder_of(&self, source: SourceId) -> Option<&Path> {
        self.folders.get(&source).or_else(|| self.folders.get(&Sources::FILE)).map(PathBuf::as_path)
    }

    /// Where files that the scenario names have to be.
    pub(in crate::scenario) const fn reach(&self) -> &FolderReach {
        &self.reach
    }

    /// Place of a source in the order in which they count, the uppermost first: overrides, the first file, those below it.
    pub(in crate::scenario) fn rank(&self, source: SourceId) -> (u8, SourceId) {
        let is_file = source == Sources::FILE || self.lower.contains(&source);
        if is_file { (1, source) } else { (0, Sources::FILE) }
    }

    /// Makes the content of a file that the scenario names part of its input.
    pub(in crate::scenario) fn keep_named_file(&self, content: Vec<u8>) {
        self.named_files.borrow_mut().push(content);
    }

    /// The contents kept.
    pub(in crate::scenario) fn named_files(&self) -> Vec<Vec<u8>> {
        self.named_files.take()
    }

    /// Keeps a problem, or counts it where there are too many already.
    pub(in crate::scenario) fn report(&self, code: ProblemCode, message: String, help: String, span: Span) {
        self.add(Problem { code, message, help, span });
    }

    /// Keeps a ready problem, or counts it.
    pub(in crate::scenario) fn add(&self, mut problem: Problem) {
        shorten(&mut problem.message);
        shorten(&mut problem.help);
        self.found.borrow_mut().add(problem);
    }

    /// Counts one more problem without wording it where there are enough; whether it did.
    pub(in crate::scenario) fn count_if_enough(&self) -> bool {
        self.found.borrow_mut().count_if_enough()
    }

    /// The problems so far and how many more there were.
    pub(in crate::scenario) fn into_problems(self) -> (Vec<Problem>, usize) {
        self.found.into_inner().into_parts()
    }
}

/// Cuts a message that quotes an endless key or name.
fn shorten(text: &mut String) {
    const LONGEST: usize = 800;
    if let Some((end, _)) = text.char_indices().nth(LONGEST) {
        text.truncate(end);
        text.push('…');
    }
}
