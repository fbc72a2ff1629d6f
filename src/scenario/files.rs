//! The files that a scenario is made of, for whoever waits for one of them to be saved.

use std::path::{Path, PathBuf};

use super::read::overlaying::OVERLAYING;
use super::toml::reach::NamedFiles;
use super::toml::source::Sources;
use super::toml::text_file::read_text;
use super::toml::written::written;

/// The file `path`, those that it starts from, and those that it names, as far as they can be read: of a scenario with a mistake in it
/// what its maker is about to mend.
#[must_use]
pub fn files_of(path: &Path, files: NamedFiles) -> Vec<PathBuf> {
    let mut found = vec![path.to_owned()];
    let Ok(text) = read_text(path) else { return found };
    let all = written(Some(path), &path.display().to_string(), &text, &OVERLAYING, files);
    found.extend(all.lower_names().into_iter().map(PathBuf::from));
    let folders: Vec<&PathBuf> =
        std::iter::once(&Sources::FILE).chain(&all.lower).filter_map(|id| all.folders.get(id)).collect();
    let named = all.tree.leaves().into_iter().flat_map(|(_, text)| {
        let name = text.trim_matches('"').to_owned();
        folders.iter().map(move |folder| folder.join(&name)).collect::<Vec<_>>()
    });
    found.extend(named.filter(|path| path.is_file()));
    found
}
