//! Which files a scenario may name: those in the folder of the one that was asked for, and below it.
//!
//! A scenario is a stranger's file. One that could name any file would have its text published on a page, or shown in a message.

use std::path::{Path, PathBuf};

/// What a scenario may start from, and where its drawing and log may be.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum NamedFiles {
    /// In the folder of the scenario that was asked for, and below it, symbolic links followed to where they lead.
    #[default]
    InItsFolder,
    /// Anywhere.
    Anywhere,
}

/// The folder that the files of one scenario have to be in.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub(in crate::scenario) struct FolderReach {
    /// `None` where they may be anywhere.
    home: Option<PathBuf>,
}

impl FolderReach {
    /// That of the scenario in the file `path`.
    pub(in crate::scenario) fn of(path: &Path, files: NamedFiles) -> Self {
        if files == NamedFiles::Anywhere {
            return Self { home: None };
        }
        let folder = match path.parent() {
            Some(folder) if !folder.as_os_str().is_empty() => folder,
            _ => Path::new("."),
        };
        Self { home: Some(std::fs::canonicalize(folder).unwrap_or_else(|_| folder.to_owned())) }
    }

    /// What is wrong with a path that leads elsewhere, and what would be right; `None` of one that stays, or leads nowhere.
    pub(in crate::scenario) fn objection(&self, named: &str, path: &Path) -> Option<(String, &'static str)> {
        let home = self.home.as_ref()?;
        let place = std::fs::canonicalize(path).ok()?;
        (!place.starts_with(home)).then(|| {
            let message = format!("{named} is not in the folder of the scenario that was asked for");
            (message, "move it there, or allow files from elsewhere with --files-from-elsewhere")
        })
    }
}
