//! The hands as designed.

use super::Friction;

/// A hand.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Hand {
    /// Mass, counterpoise included.
    pub mass_kg: f64,
    /// From the arbor to the tip.
    pub length_m: f64,
    /// Distance of the centre of mass from the arbor, positive towards the tip.
    pub centre_of_mass_m: f64,
}

/// The hands.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Hands {
    /// Minute hand.
    pub minute: Hand,
    /// Hour hand; `None` without motion work.
    pub hour: Option<Hand>,
    /// Friction torque of motion work and hand bearings, at the minute hand's arbor.
    pub friction_n_m: Friction,
    /// The constant torque that stands for the twelve hours of a pendulum clock; `None` while nobody has solved it.
    pub dial_shares: Option<DialShares>,
}

/// Where between the mean torque of the hands over the dial (0) and the largest (1) the constant torque lies that asks for the same
/// weight as the twelve hours do.
///
/// As shares they hold for heavier or lighter hands, too: a study of many clocks much alike has them solved once.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DialShares {
    /// For the bare least weight.
    pub bare: f64,
    /// For the least weight with the margin.
    pub with_margin: f64,
}
