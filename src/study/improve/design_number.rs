//! Numbers of a design that its prediction does not have.

use crate::answers::compensation::rate_by_kelvin;
use crate::clock::environment::InRoom;
use crate::clock::escapement::action::PalletAction;
use crate::clock::escapement::clearances::{LARGEST_CHANGE_M, Margin, Margins, margins};
use crate::clock::printing::bed::{Bed, Footprint, largest_factor};
use crate::clock::printing::part_sizes::{MadePart, PartSize, part_sizes};
use crate::study::keyed::KeyedClock;

use super::question::Direction;

/// A number of a design.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum DesignNumber {
    /// The lesser lock of both pallets as printed, degrees.
    Lock,
    /// The lesser drop, degrees of the wheel.
    Drop,
    /// The least clearance behind a tooth that has left a pallet, degrees of the wheel.
    Clearance,
    /// By how much smaller in diameter the wheel may be until a lock is used up, mm.
    LockWheelSmall,
    /// By how much further apart the arbors may be until a lock is used up, mm.
    LockArborsApart,
    /// By how much every edge may fall short until a lock is used up, mm.
    LockEdgesShort,
    /// By how much larger the wheel may be until a drop is used up, mm.
    DropWheelLarge,
    /// By how much closer the arbors may be until a drop is used up, mm.
    DropArborsClose,
    /// By how much every edge may grow until a drop is used up, mm.
    DropGrowth,
    /// By how much larger the wheel may be until a clearance is used up, mm.
    ClearanceWheelLarge,
    /// By how much closer the arbors may be until a clearance is used up, mm.
    ClearanceArborsClose,
    /// By how much every edge may grow until a clearance is used up, mm.
    ClearanceGrowth,
    /// Factor by which all parts of one piece may grow and still fit a bed; below 1 one of them does not.
    BedFactor,
    /// Diameter or longer side of the largest part of one piece, mm.
    LargestPart,
    /// Width of the frame from arbor to arbor, mm.
    FrameWidth,
    /// Its height, mm.
    FrameHeight,
    /// Rate per kelvin about the temperature of making, s/day/K.
    RatePerKelvin,
}

impl DesignNumber {
    /// All of them.
    pub const ALL: [Self; 17] = [
        Self::Lock,
        Self::Drop,
        Self::Clearance,
        Self::LockWheelSmall,
        Self::LockArborsApart,
        Self::LockEdgesShort,
        Self::DropWheelLarge,
        Self::DropArborsClose,
        Self::DropGrowth,
        Self::ClearanceWheelLarge,
        Self::ClearanceArborsClose,
        Self::ClearanceGrowth,
        Self::BedFactor,
        Self::LargestPart,
        Self::FrameWidth,
        Self::FrameHeight,
        Self::RatePerKelvin,
    ];

    /// Its key.
    #[must_use]
    pub const fn key(self) -> &'static str {
        match self {
            Self::Lock => "lock_deg",
            Self::Drop => "drop_deg",
            Self::Clearance => "clearance_deg",
            Self::LockWheelSmall => "margins.lock.wheel_small_mm",
            Self::LockArborsApart => "margins.lock.arbors_apart_mm",
            Self::LockEdgesShort => "margins.lock.edges_short_mm",
            Self::DropWheelLarge => "margins.drop.wheel_large_mm",
            Self::DropArborsClose => "margins.drop.arbors_close_mm",
            Self::DropGrowth => "margins.drop.growth_mm",
            Self::ClearanceWheelLarge => "margins.clearance.wheel_large_mm",
            Self::ClearanceArborsClose => "margins.clearance.arbors_close_mm",
            Self::ClearanceGrowth => "margins.clearance.growth_mm",
            Self::BedFactor => "bed_factor",
            Self::LargestPart => "largest_part_mm",
            Self::FrameWidth => "frame_width_mm",
            Self::FrameHeight => "frame_height_mm",
            Self::RatePerKelvin => "rate_s_per_day_per_kelvin",
        }
    }

    /// The number of that key.
    #[must_use]
    pub fn named(key: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|number| number.key() == key)
    }

    /// What a maker wants of it.
    #[must_use]
    pub const fn usual_direction(self) -> Direction {
        match self {
            Self::LargestPart | Self::FrameWidth | Self::FrameHeight => Direction::Least,
            Self::RatePerKelvin => Direction::Nearest(0.0),
            _ => Direction::Most,
        }
    }

    /// The margin that it is a change of, and which change.
    fn of_margins(self) -> Option<fn(&Margins) -> Option<f64>> {
        let change: fn(&Margins) -> Option<f64> = match self {
            Self::LockWheelSmall => |margins| change_mm(&margins.hold, |margin| margin.wheel_m),
            Self::LockArborsApart => |margins| change_mm(&margins.hold, |margin| margin.arbors_m),
            Self::LockEdgesShort => |margins| change_mm(&margins.hold, |margin| margin.edges_m),
            Self::DropWheelLarge => |margins| change_mm(&margins.drop, |margin| margin.wheel_m),
            Self::DropArborsClose => |margins| change_mm(&margins.drop, |margin| margin.arbors_m),
            Self::DropGrowth => |margins| change_mm(&margins.drop, |margin| margin.edges_m),
            Self::ClearanceWheelLarge => |margins| change_mm(&margins.clearance, |margin| margin.wheel_m),
            Self::ClearanceArborsClose => |margins| change_mm(&margins.clearance, |margin| margin.arbors_m),
            Self::ClearanceGrowth => |margins| change_mm(&margins.clearance, |margin| margin.edges_m),
            _ => return None,
        };
        Some(change)
    }
}

/// A change that is larger than the largest one tried counts as that one.
#[allow(clippy::unnecessary_wraps, reason = "a number of a design may be missing")]
fn change_mm(margin: &Margin, pick: fn(&Margin) -> Option<f64>) -> Option<f64> {
    Some(1e3 * pick(margin).unwrap_or(LARGEST_CHANGE_M))
}

/// Some numbers of a clock in their order; `None` where it has none. `beds`: of which the best counts.
#[must_use]
pub fn design_numbers(asked: &[DesignNumber], clock: &KeyedClock<'_>, beds: &[Bed]) -> Vec<Option<f64>> {
    let built = &clock.prediction.built;
    let of_margins = asked.iter().any(|number| number.of_margins().is_some());
    let margins = if of_margins { margins(&clock.in_room.printer, built) } else { None };
    let parts = part_sizes(&clock.in_room);
    let least = |pick: fn(&PalletAction) -> f64| {
        let action = built.action?;
        Some(action.values().map(pick).fold(f64::INFINITY, f64::min).to_degrees())
    };
    let number = |number: &DesignNumber| -> Option<f64> {
        if let Some(change) = number.of_margins() {
            return change(margins.as_ref()?);
        }
        match number {
            DesignNumber::Lock => least(|pallet| pallet.lock_rad),
            DesignNumber::Drop => least(|pallet| pallet.drop_rad),
            DesignNumber::Clearance => least(|pallet| pallet.clearance_rad),
            DesignNumber::BedFactor => bed_factor(&parts, beds),
            DesignNumber::LargestPart => {
                let whole = parts.iter().filter(|part| part.in_one_piece);
                whole.map(|part| 1e3 * part.footprint.longest_m()).reduce(f64::max)
            }
            DesignNumber::FrameWidth => frame_m(&parts).map(|(width_m, _)| 1e3 * width_m),
            DesignNumber::FrameHeight => frame_m(&parts).map(|(_, height_m)| 1e3 * height_m),
            _ => rate_per_kelvin(clock, &clock.in_room),
        }
    };
    asked.iter().map(|asked| number(asked).filter(|number| number.is_finite())).collect()
}

fn rate_per_kelvin(clock: &KeyedClock<'_>, in_room: &InRoom) -> Option<f64> {
    in_room.train.as_ref()?;
    rate_by_kelvin(&clock.scenario.design).ok()
}

fn frame_m(parts: &[PartSize]) -> Option<(f64, f64)> {
    parts.iter().find(|part| part.part == MadePart::Frame).and_then(|part| match part.footprint {
        Footprint::Rectangle(width_m, height_m) => Some((width_m, height_m)),
        Footprint::Round(_) => None,
    })
}

/// The largest factor of the best bed; that of a bed is the one of the part that fits it least.
fn bed_factor(parts: &[PartSize], beds: &[Bed]) -> Option<f64> {
    let printed = || parts.iter().filter(|part| part.in_one_piece);
    let factor = |bed: &Bed| printed().map(|part| largest_factor(part.footprint, part.height_m, bed)).reduce(f64::min);
    beds.iter().filter_map(factor).reduce(f64::max)
}
