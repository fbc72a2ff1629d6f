//! The teeth of the escape wheel: one form a file, each giving an outline and what of it touches the pallets.

mod blade;
mod club;
mod pin;
mod pointed;
mod rising;
mod tapered;
mod uniform;

pub(super) use rising::rising;

use crate::clock::design::{PalletPlan, ToothForm};
use crate::geometry::{Outline, Point};

use super::FamilyError;
use super::layout::Layout;

/// What of a tooth touches the pallets, in the wheel's frame at `phi = 0`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Tip {
    /// The corner that lands and slides along the pallet's faces, or a pin's centre, m.
    pub front: Point,
    /// The point that leaves the pallet last: the front corner too, unless the end face takes part in the lift.
    pub heel: Point,
    /// Radius of the rounding about both, m.
    pub round_m: f64,
}

impl Tip {
    /// A single sharp corner.
    pub const fn sharp(corner: Point) -> Self {
        Self { front: corner, heel: corner, round_m: 0.0 }
    }

    /// The tip turned by `phi_rad` in the driving direction.
    pub fn advanced(&self, phi_rad: f64) -> Self {
        let (sine, cosine) = phi_rad.sin_cos();
        let turned = |p: Point| Point::new(cosine * p.x + sine * p.y, cosine * p.y - sine * p.x);
        Self { front: turned(self.front), heel: turned(self.heel), round_m: self.round_m }
    }

    /// The place at which the pallet's release corner stands when it lets this tip go, m: straight above the heel, where
    /// the tip reaches furthest out.
    pub fn release(&self) -> Point {
        if self.round_m == 0.0 { self.heel } else { self.heel * (1.0 + self.round_m / self.heel.norm()) }
    }
}

/// The part of a tooth between tip and root.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Shank {
    /// Depth from the circle of the front corners, m.
    pub depth_m: f64,
    /// Fall of the front face from the radius.
    pub undercut_rad: f64,
}

/// A tooth of the wheel.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Tooth {
    /// Its outline in the wheel's frame, at `phi = 0`.
    pub outline: Outline,
    /// What of it touches the pallets.
    pub tip: Tip,
    /// What carries the tip; `None` for a pin, which stands out of the wheel's plane.
    pub shank: Option<Shank>,
}

/// The tooth of a plan whose pallets let go `release_rad` past the centre.
///
/// # Errors
/// [`FamilyError`] of the form.
pub(super) fn tooth(layout: &Layout, plan: &PalletPlan, release_rad: f64) -> Result<Tooth, FamilyError> {
    match &plan.tooth {
        ToothForm::Tapered(form) => tapered::tapered(layout, form, plan.drop_rad),
        ToothForm::Pointed(form) => pointed::pointed(layout, form),
        ToothForm::Uniform(form) => uniform::uniform(layout, form),
        ToothForm::Club(form) => club::club(layout, form, release_rad),
        ToothForm::Pin(form) => pin::pin(layout, form),
    }
}
