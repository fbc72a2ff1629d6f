//! A value with its spread and where it comes from.

/// How far a source has been looked at.
#[derive(Debug, Clone, Copy, PartialEq, Eq, serde::Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Status {
    /// Read in the text that is named.
    Seen,
    /// Recalled; no text was opened for it.
    FromMemory,
    /// Computed from other values of this table.
    Derived,
}

/// Where values come from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct ValueSource {
    /// How far it has been looked at.
    pub status: Status,
    /// The text, or what the value is typical of.
    pub text: &'static str,
}

/// A typical value, what single pieces may differ by, and its source.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Known {
    /// Typical value, SI.
    pub value: f64,
    /// Half the range within which pieces commonly lie.
    pub spread: f64,
    /// Its source.
    pub source: &'static ValueSource,
}

impl Known {
    /// A value.
    #[must_use]
    pub const fn new(value: f64, spread: f64, source: &'static ValueSource) -> Self {
        Self { value, spread, source }
    }

    /// The value in other units.
    #[must_use]
    pub const fn times(self, factor: f64) -> Self {
        Self { value: self.value * factor, spread: self.spread * factor, source: self.source }
    }
}

/// A value along the grain and across it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct KnownByGrain {
    /// Along the grain.
    pub along: Known,
    /// Across the grain, from the pith outward.
    pub radial: Known,
    /// Across the grain, along the rings.
    pub tangential: Known,
}

impl KnownByGrain {
    /// The same in every direction.
    #[must_use]
    pub const fn all(known: Known) -> Self {
        Self { along: known, radial: known, tangential: known }
    }
}
