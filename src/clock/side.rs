//! The two pallets: which one, and a value for each.

use std::fmt;
use std::ops::{Index, IndexMut};

/// One of the two pallets.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, serde::Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Side {
    /// On the left, where teeth come in.
    Entry,
    /// On the right, where teeth go out.
    Exit,
}

impl Side {
    /// Both, in the order in which a tooth meets them.
    pub const BOTH: [Self; 2] = [Self::Entry, Self::Exit];

    /// The other pallet.
    #[must_use]
    pub const fn other(self) -> Self {
        match self {
            Self::Entry => Self::Exit,
            Self::Exit => Self::Entry,
        }
    }

    /// Its name: `entry` or `exit`.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Entry => "entry",
            Self::Exit => "exit",
        }
    }

    /// Sign of the turn about the pallet arbor that lifts this pallet out of the wheel: -1 entry, +1 exit.
    #[must_use]
    pub const fn away(self) -> f64 {
        match self {
            Self::Entry => -1.0,
            Self::Exit => 1.0,
        }
    }
}

impl fmt::Display for Side {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(self.name())
    }
}

/// A value for each of the two pallets.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, serde::Serialize)]
pub struct PerPallet<T> {
    /// Of the entry pallet.
    pub entry: T,
    /// Of the exit pallet.
    pub exit: T,
}

impl<T> PerPallet<T> {
    /// What `of` gives for either pallet, asked for entry first.
    pub fn from_fn(mut of: impl FnMut(Side) -> T) -> Self {
        Self { entry: of(Side::Entry), exit: of(Side::Exit) }
    }

    /// The same where `of` may fail.
    ///
    /// # Errors
    /// The first error of `of`.
    pub fn try_from_fn<E>(mut of: impl FnMut(Side) -> Result<T, E>) -> Result<Self, E> {
        Ok(Self { entry: of(Side::Entry)?, exit: of(Side::Exit)? })
    }

    /// Both values changed by `into`, entry first.
    pub fn map<U>(self, mut into: impl FnMut(T) -> U) -> PerPallet<U> {
        PerPallet { entry: into(self.entry), exit: into(self.exit) }
    }

    /// References to both values.
    pub const fn as_ref(&self) -> PerPallet<&T> {
        PerPallet { entry: &self.entry, exit: &self.exit }
    }

    /// Both pallets with their values, entry first.
    pub fn iter(&self) -> impl Iterator<Item = (Side, &T)> {
        [(Side::Entry, &self.entry), (Side::Exit, &self.exit)].into_iter()
    }

    /// Both values, entry first.
    pub fn values(&self) -> impl Iterator<Item = &T> {
        [&self.entry, &self.exit].into_iter()
    }
}

impl<T> PerPallet<Option<T>> {
    /// Both values if both are there.
    pub fn both(self) -> Option<PerPallet<T>> {
        Some(PerPallet { entry: self.entry?, exit: self.exit? })
    }
}

impl<T> Index<Side> for PerPallet<T> {
    type Output = T;

    #[inline]
    fn index(&self, side: Side) -> &T {
        match side {
            Side::Entry => &self.entry,
            Side::Exit => &self.exit,
        }
    }
}

impl<T> IndexMut<Side> for PerPallet<T> {
    fn index_mut(&mut self, side: Side) -> &mut T {
        match side {
            Side::Entry => &mut self.entry,
            Side::Exit => &mut self.exit,
        }
    }
}
