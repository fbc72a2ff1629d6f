//! Texts out of files.

use std::fs::File;
use std::io::Read;
use std::path::{Path, PathBuf};

/// Largest scenario file that is read. The demo clocks have a thousandth of it.
pub const LARGEST_FILE_BYTES: u64 = 4 * 1024 * 1024;

/// Why there is no text.
#[derive(Debug, thiserror::Error)]
pub enum FileError {
    /// The file cannot be opened or read.
    #[error("cannot read {}: {reason}", path.display())]
    Unreadable {
        /// The file.
        path: PathBuf,
        /// What the system says.
        #[source]
        reason: std::io::Error,
    },
    /// A directory instead of a file.
    #[error("{} is a directory; give the scenario file in it", path.display())]
    Directory {
        /// The path.
        path: PathBuf,
    },
    /// Too large.
    #[error("{} is larger than {} MB and is not read; a scenario has a few kB", path.display(), LARGEST_FILE_BYTES / 1024 / 1024)]
    TooLarge {
        /// The file.
        path: PathBuf,
    },
    /// Not text.
    #[error("{} is not a text file in UTF-8 (byte {at} of it is not); save it as UTF-8", path.display())]
    NotText {
        /// The file.
        path: PathBuf,
        /// First byte that is no UTF-8, from 1.
        at: usize,
    },
}

/// The text of a file.
///
/// # Errors
/// [`FileError`].
pub(in crate::scenario) fn read_text(path: &Path) -> Result<String, FileError> {
    let unreadable = |reason| FileError::Unreadable { path: path.to_owned(), reason };
    let about = std::fs::metadata(path).map_err(unreadable)?;
    if about.is_dir() {
        return Err(FileError::Directory { path: path.to_owned() });
    }
    if about.len() > LARGEST_FILE_BYTES {
        return Err(FileError::TooLarge { path: path.to_owned() });
    }
    let mut bytes = Vec::new();
    let file = File::open(path).map_err(unreadable)?;
    // A pipe or device tells no length: one byte beyond the limit is enough to know.
    file.take(LARGEST_FILE_BYTES + 1).read_to_end(&mut bytes).map_err(unreadable)?;
    if bytes.len() as u64 > LARGEST_FILE_BYTES {
        return Err(FileError::TooLarge { path: path.to_owned() });
    }
    String::from_utf8(bytes)
        .map_err(|error| FileError::NotText { path: path.to_owned(), at: error.utf8_error().valid_up_to() + 1 })
}

/// The text without a byte order mark, which is no part of it: kept, it would shift the columns of the first line.
pub(in crate::scenario) fn without_mark(text: &str) -> &str {
    text.strip_prefix('\u{feff}').unwrap_or(text)
}
