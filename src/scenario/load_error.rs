//! Why a text is no scenario.

use super::toml::problem::Problems;
use super::toml::text_file::FileError;

/// Why there is no scenario.
#[derive(Debug, thiserror::Error)]
pub enum LoadError {
    /// The file cannot be read.
    #[error(transparent)]
    File(#[from] FileError),
    /// Nothing in it.
    #[error("{name}:1: the file is empty; `beatwright new FILE` writes a scenario to start from")]
    Empty {
        /// Name of the file.
        name: String,
    },
    /// Problems in its content or in an override.
    #[error(transparent)]
    Problems(#[from] Problems),
}

impl LoadError {
    /// The first problem's message alone, for a row of a study or a line of a page.
    #[must_use]
    pub fn first_message(&self) -> String {
        match self {
            Self::Problems(problems) => {
                problems.list().first().map_or_else(|| self.to_string(), |problem| problem.message.clone())
            }
            other => other.to_string(),
        }
    }
}
