//! A clock some years on: its frictions grown, all else as it was.

use super::design::{Friction, Lubrication, PendulumClock};
use super::frictions::{FrictionAt, RubbingPart};

/// Parts of a clock that rub alike and grow alike.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct RubbingParts {
    /// Where.
    pub part: RubbingPart,
    /// What is between them.
    pub lubrication: Lubrication,
}

impl RubbingParts {
    /// Of a friction; `None` of one that years leave as it is: damping by the air, a play, and what is lost inside a spring or cord.
    ///
    /// What a friction's name says of oil or grease counts. Where it says nothing, balls are taken to be oiled, as their plain name stands
    /// for oiled ones, and so is a bearing that is stated as a number, for that is the faster growth; all else is dry.
    #[must_use]
    pub fn of(part: RubbingPart, friction: &Friction) -> Option<Self> {
        let unsaid = match part {
            RubbingPart::Air | RubbingPart::CrutchPlay | RubbingPart::Bending => return None,
            RubbingPart::TrainBearing { ball }
            | RubbingPart::Pulley { ball }
            | RubbingPart::PalletBearing { ball }
            | RubbingPart::Suspension { ball }
                if ball =>
            {
                Lubrication::Oiled
            }
            RubbingPart::TrainBearing { .. } | RubbingPart::Pulley { .. } | RubbingPart::PalletBearing { .. }
                if friction.named.is_none() =>
            {
                Lubrication::Oiled
            }
            _ => Lubrication::Dry,
        };
        let said = friction.named.and_then(|name| name.split_once(", ")).map(|(_, state)| match state {
            state if state.contains("oiled") => Lubrication::Oiled,
            state if state.contains("greased") || state.contains("waxed") => Lubrication::Greased,
            _ => Lubrication::Dry,
        });
        Some(Self { part, lubrication: said.unwrap_or(unsaid) })
    }

    fn of_friction(at: &FrictionAt<'_>) -> Option<Self> {
        Self::of(at.part, at.friction)
    }
}

impl<S: Clone> PendulumClock<S> {
    /// The clock after some years: every friction larger by its yearly growth, its spread likewise.
    #[must_use]
    pub fn with_frictions_aged(&self, years: f64) -> Self {
        self.with_frictions_aged_where(years, |_| true)
    }

    /// The same as if nothing aged but these parts.
    #[must_use]
    pub fn with_frictions_aged_of(&self, years: f64, parts: RubbingParts) -> Self {
        self.with_frictions_aged_where(years, |aged| aged == parts)
    }

    fn with_frictions_aged_where(&self, years: f64, ages: impl Fn(RubbingParts) -> bool) -> Self {
        let mut aged = self.clone();
        let ageing = self.ageing;
        for at in aged.frictions_mut() {
            if let Some(parts) = RubbingParts::of_friction(&at).filter(|&parts| ages(parts)) {
                *at.friction = at.friction.times(1.0 + years * ageing.growth_per_year(parts.lubrication));
            }
        }
        aged
    }

    /// What of the clock ages, each kind once, in the order of its frictions; a friction of 0 stays one and is left out.
    #[must_use]
    pub fn ageing_parts(&self) -> Vec<RubbingParts> {
        let mut found = Vec::new();
        let frictions = self.frictions();
        let rubbing = frictions.iter().filter(|known| known.friction.value > 0.0);
        for parts in rubbing.filter_map(|known| RubbingParts::of(known.part, &known.friction)) {
            if !found.contains(&parts) {
                found.push(parts);
            }
        }
        found
    }
}
