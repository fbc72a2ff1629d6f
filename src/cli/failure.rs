//! What ends the program early, and with which exit code.

use std::fmt;

use crate::answers::prediction::PredictError;
use crate::clock::build::BuildError;
use crate::scenario::measured::TableError;
use crate::scenario::{LoadError, Problems, Scenario};

/// A failure with its exit code.
#[derive(Debug)]
pub struct Failure {
    /// 1 numeric failure or unwritable output, 2 bad file or arguments, 130 interrupted.
    pub exit_code: u8,
    text: String,
}

impl Failure {
    pub(super) fn numeric(text: String) -> Self {
        Self { exit_code: 1, text }
    }

    pub(super) fn arguments(text: String) -> Self {
        Self { exit_code: 2, text }
    }

    /// Ctrl-C, by the shells' exit code for it.
    pub(super) fn interrupted(what: &str) -> Self {
        Self { exit_code: 130, text: format!("interrupted; {what}") }
    }

    pub(super) fn problems(problems: &Problems) -> Self {
        Self { exit_code: 2, text: problems.render(coloured()) }
    }

    /// All failures in one, under the gravest exit code; `None` of none.
    pub(super) fn joined(failures: Vec<Self>) -> Option<Self> {
        let exit_code = failures.iter().map(|failure| failure.exit_code).max()?;
        let texts: Vec<String> = failures.into_iter().map(|failure| failure.text.trim_end().to_owned()).collect();
        Some(Self { exit_code, text: texts.join("\n\n") })
    }

    /// A scenario that reads well and cannot be built, told at the key that can mend it.
    pub(super) fn unbuilt(scenario: &Scenario, error: &BuildError) -> Self {
        Self::problems(&scenario.problems(vec![scenario.problem_of(error)]))
    }

    /// A scenario without a prediction.
    pub(super) fn unpredicted(scenario: &Scenario, error: &PredictError) -> Self {
        match error {
            PredictError::Build(error) => Self::unbuilt(scenario, error),
            other => Self::numeric(other.to_string()),
        }
    }

    pub(super) fn unreadable(error: LoadError) -> Self {
        match error {
            LoadError::Problems(problems) => Self::problems(&problems),
            other => Self { exit_code: 2, text: other.to_string() },
        }
    }

    pub(super) fn unread_table(error: TableError) -> Self {
        match error {
            TableError::Problems(problems) => Self::problems(&problems),
            other => Self::arguments(other.to_string()),
        }
    }
}

impl Failure {
    /// Writes the failure to standard error.
    pub fn tell(&self) {
        super::output::remark(&self.to_string());
    }
}

/// Whether standard error is a terminal that wants colour (the NO_COLOR convention).
fn coloured() -> bool {
    use std::io::IsTerminal as _;
    std::io::stderr().is_terminal() && std::env::var_os("NO_COLOR").is_none_or(|value| value.is_empty())
}

impl fmt::Display for Failure {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        formatter.write_str(self.text.trim_end())
    }
}
