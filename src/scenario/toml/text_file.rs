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
    /// A pipe, a device: it may never end, or never begin.
    #[error("{} is no regular file; give the scenario file, or - for standard input", path.display())]
    NotRegular {
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
    #[error("{}:{line}: not a text file in UTF-8 (byte {at} of it is not); save it as UTF-8", path.display())]
    NotText {
        /// The file.
        path: PathBuf,
        /// Line of the first byte that is no UTF-8, from 1.
        line: usize,
        /// That byte, from 1.
        at: usize,
    },
}

/// Why the bytes of a file are not read.
#[derive(Debug)]
pub(in crate::scenario) enum Unread {
    /// What the system says.
    Unreadable(std::io::Error),
    /// A directory.
    Directory,
    /// A pipe or device.
    NotRegular,
    /// Larger than asked for.
    TooLarge,
}

/// The bytes of a regular file of at most so many; a pipe is not even opened, for that waits for a writer.
pub(in crate::scenario) fn bytes_of(path: &Path, most: u64) -> Result<Vec<u8>, Unread> {
    let about = std::fs::metadata(path).map_err(Unread::Unreadable)?;
    if about.is_dir() {
        return Err(Unread::Directory);
    }
    if !about.is_file() {
        return Err(Unread::NotRegular);
    }
    if about.len() > most {
        return Err(Unread::TooLarge);
    }
    bytes_from(File::open(path).map_err(Unread::Unreadable)?, most)
}

/// One byte beyond the limit is enough to know: what grows, and standard input, tell no length.
fn bytes_from(source: impl Read, most: u64) -> Result<Vec<u8>, Unread> {
    let mut bytes = Vec::new();
    source.take(most + 1).read_to_end(&mut bytes).map_err(Unread::Unreadable)?;
    if bytes.len() as u64 > most { Err(Unread::TooLarge) } else { Ok(bytes) }
}

/// The path that stands for standard input.
pub const STANDARD_INPUT: &str = "-";

/// The text of a file.
///
/// # Errors
/// [`FileError`].
pub(in crate::scenario) fn read_text(path: &Path) -> Result<String, FileError> {
    text_of(path, bytes_of(path, LARGEST_FILE_BYTES))
}

/// The text of standard input.
///
/// # Errors
/// [`FileError`].
pub(in crate::scenario) fn read_standard_input() -> Result<String, FileError> {
    text_of(Path::new("standard input"), bytes_from(std::io::stdin().lock(), LARGEST_FILE_BYTES))
}

fn text_of(path: &Path, bytes: Result<Vec<u8>, Unread>) -> Result<String, FileError> {
    let path = || path.to_owned();
    let bytes = bytes.map_err(|why| match why {
        Unread::Unreadable(reason) => FileError::Unreadable { path: path(), reason },
        Unread::Directory => FileError::Directory { path: path() },
        Unread::NotRegular => FileError::NotRegular { path: path() },
        Unread::TooLarge => FileError::TooLarge { path: path() },
    })?;
    text_in_utf8(bytes).map_err(|(line, at)| FileError::NotText { path: path(), line, at })
}

/// The text, or line and number of the first byte that is no UTF-8, both from 1.
pub(in crate::scenario) fn text_in_utf8(bytes: Vec<u8>) -> Result<String, (usize, usize)> {
    String::from_utf8(bytes).map_err(|error| {
        let good = error.utf8_error().valid_up_to();
        let line = error.as_bytes().iter().take(good).filter(|&&byte| byte == b'\n').count() + 1;
        (line, good + 1)
    })
}

/// The text without a byte order mark, which is no part of it: kept, it would shift the columns of the first line.
pub(in crate::scenario) fn without_mark(text: &str) -> &str {
    text.strip_prefix('\u{feff}').unwrap_or(text)
}
