//! The contact curves of pallets that hang on a crutch with play: one set for each side of the play.

use crate::geometry::{ContactCurve, Piece};

use super::mechanism::ContactEscapement;
use super::side::{PerPallet, Side};

/// Side of its play on which a crutch rests.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Lean {
    /// There is no play: the pallets stand as the pendulum does.
    None,
    /// The pallets stand ahead of the pendulum, anticlockwise, by half the play.
    Anticlockwise,
    /// They stand ahead of it clockwise.
    Clockwise,
}

impl Lean {
    /// That of a torque on the pallets: they give way to it as far as the rod lets them.
    #[must_use]
    pub const fn towards(torque: f64) -> Self {
        if torque < 0.0 { Self::Clockwise } else { Self::Anticlockwise }
    }

    /// Sign of the pallets' angle over the pendulum's.
    #[must_use]
    pub const fn sign(self) -> f64 {
        match self {
            Self::None => 0.0,
            Self::Anticlockwise => 1.0,
            Self::Clockwise => -1.0,
        }
    }
}

/// All curves of wheel and pallets, over the pendulum's angle.
#[derive(Debug, Clone, PartialEq)]
struct CurveSet {
    first: PerPallet<ContactCurve>,
    others: Vec<PerPallet<ContactCurve>>,
}

/// Play between crutch and rod, and the contact curves on either side of it.
#[derive(Debug, Clone, PartialEq)]
pub struct PlayCurves {
    /// Half the play, rad.
    pub half_rad: f64,
    anticlockwise: CurveSet,
    clockwise: CurveSet,
}

impl PlayCurves {
    /// The curves of an escapement with so much play in all; `None` without any.
    #[must_use]
    pub fn of(escapement: &ContactEscapement, play_rad: f64) -> Option<Self> {
        if !(play_rad > 0.0) {
            return None;
        }
        let half_rad = 0.5 * play_rad;
        let ahead = |by_rad: f64| {
            let pair = |pair: &PerPallet<ContactCurve>| PerPallet::from_fn(|pallet| pair[pallet].ahead(by_rad));
            CurveSet { first: pair(&escapement.curves), others: escapement.other_teeth.iter().map(pair).collect() }
        };
        Some(Self { half_rad, anticlockwise: ahead(half_rad), clockwise: ahead(-half_rad) })
    }

    /// Curve of a pallet on a side of the play for tooth no. `number` of the wheel; `None` where there is no such side.
    #[inline]
    pub(super) fn curve(&self, lean: Lean, pallet: Side, number: usize) -> Option<&ContactCurve> {
        let set = match lean {
            Lean::None => return None,
            Lean::Anticlockwise => &self.anticlockwise,
            Lean::Clockwise => &self.clockwise,
        };
        let others = || number.checked_sub(1).and_then(|index| set.others.get(index));
        Some(&others().unwrap_or(&set.first)[pallet])
    }
}

/// Pallet angle up to which the wheel pushes a pallet along as it swings out of the teeth, and that from which it has done so, counted
/// positive on the way out, rad; `None` where the pallet never holds a tooth. They are one where the wheel never does.
///
/// Friction is that of a pallet that moves outwards.
pub(super) fn impulse_rad(escapement: &ContactEscapement, pallet: Side, tooth: i64) -> Option<(f64, f64)> {
    let outward = pallet.away();
    let front = &escapement.curve(pallet, tooth).front;
    let mut from_release: Vec<&Piece> = front.iter().collect();
    if outward > 0.0 {
        from_release.reverse();
    }
    let ends_rad = |piece: &Piece| {
        if outward > 0.0 { (piece.to_rad, piece.from_rad) } else { (-piece.from_rad, -piece.to_rad) }
    };
    let released_rad = ends_rad(from_release.first()?).0;
    let mut unlocked_rad = released_rad;
    for piece in from_release {
        let (outer_rad, inner_rad) = ends_rad(piece);
        let middle_rad = 0.5 * outward * (outer_rad + inner_rad);
        let pushes = escapement.curve(pallet, tooth).front_at(middle_rad).is_some_and(|place| {
            let friction = -escapement.friction * piece.slip * outward;
            (place.normal_arms_m.0 + friction * place.tangent_arms_m.0) * outward > 0.0
        });
        // A gap between two pieces is crossed by the wheel alone.
        if !pushes {
            break;
        }
        unlocked_rad = inner_rad;
    }
    Some((released_rad, unlocked_rad))
}
