//! How frictions grow over the years.

/// What is between two surfaces that rub.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Lubrication {
    /// Oil, which dries and takes up dust.
    Oiled,
    /// Grease or wax.
    Greased,
    /// Nothing: only wear and dust.
    Dry,
}

/// Growth of frictions with dirt, wear and ageing oil: in a year by a share of what they are when new, every year by the same.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Ageing {
    /// Share by which an oiled friction grows in a year.
    pub oiled_per_year: f64,
    /// A greased one.
    pub greased_per_year: f64,
    /// A dry one.
    pub dry_per_year: f64,
    /// Factor by which all of them may be off either way; 1 where they are taken as known.
    pub within: f64,
}

impl Ageing {
    /// Share by which a friction so lubricated grows in a year.
    #[must_use]
    pub const fn growth_per_year(&self, lubrication: Lubrication) -> f64 {
        match lubrication {
            Lubrication::Oiled => self.oiled_per_year,
            Lubrication::Greased => self.greased_per_year,
            Lubrication::Dry => self.dry_per_year,
        }
    }
}
