//! What is asked of a solution.

/// Parts of a solution that take long, and whether they are wanted.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Wanted {
    /// Least drive.
    pub least: bool,
    /// Least drive with the margin.
    pub margin: bool,
    /// Smallest push that starts the clock.
    pub least_start: bool,
    /// Trace of a period, with its ticks.
    pub trace: bool,
    /// Friction reserve; a prediction gives it, for it takes the design.
    pub friction_reserve: bool,
    /// The twelve hours of a clock with hands, from which the verdict then is.
    pub dial: bool,
    /// What wall and hanging weight do; a prediction gives it, once its swing is known.
    pub support: bool,
    /// How it does over the years; a prediction gives it, for it takes the design.
    pub life: bool,
}

impl Wanted {
    /// No long part.
    pub const NOTHING: Self = Self {
        least: false,
        margin: false,
        least_start: false,
        trace: false,
        friction_reserve: false,
        dial: false,
        support: false,
        life: false,
    };

    /// The bare least drive alone.
    pub const LEAST: Self = Self { least: true, ..Self::NOTHING };

    /// All of them, as [`predict`](super::prediction::predict) gives them.
    pub const EVERYTHING: Self = Self {
        least: true,
        margin: true,
        least_start: true,
        trace: true,
        friction_reserve: true,
        dial: true,
        support: true,
        life: true,
    };
}
