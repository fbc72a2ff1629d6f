//! How much of a dimension the action can lose, found by building the escapement anew, never by a rule of thumb.

use crate::clock::build::Built;
use crate::clock::environment::expansion::EscapementStrain;
use crate::clock::mechanism::{ContactEscapement, EscapementModel};
use crate::clock::printing::out_of_true::OutOfTrue;
use crate::clock::printing::printed_outline::{
    Assembly, PartPrint, PrintedEscapement, PrinterError, assembled, printed_and_strained,
};
use crate::clock::printing::printer::{Printer, Spread};
use crate::clock::side::{PerPallet, Side};
use crate::geometry::{ContactCurve, Point};
use crate::numerics::root::solve_bracketed;

use super::EscapementOutlines;
use super::action::{Action, PalletAction, read_action};
use super::action_over_turn::ActingTeeth;
use super::interference::check_standing;

/// Largest change of a dimension that is tried, m.
pub const LARGEST_CHANGE_M: f64 = 2e-3;

/// First change that is tried, m; each further one is twice as large, up to [`LARGEST_CHANGE_M`].
const FIRST_CHANGE_M: f64 = 1.25e-4;

/// Accuracy of a change, m: a thousandth of what a printer knows of.
const CHANGE_ACCURACY_M: f64 = 1e-7;

/// Worth of a margin where the changed escapement has no action at all, rad.
const NO_ACTION_RAD: f64 = -0.01;

/// Difference below which two arcs are alike, rad.
const ALIKE_RAD: f64 = 1e-9;

/// A dimension that is not as drawn.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum ChangedDimension {
    /// Diameter of the wheel, teeth and all.
    Wheel,
    /// Distance of the arbors.
    Arbors,
    /// Every edge of tooth and pallets, on the printer, ahead of the bead.
    Edges,
}

/// What must not get lost.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum MarginQuantity {
    Hold { locks: bool },
    Drop,
    Clearance,
}

/// A margin and the changes of dimensions that eat it up.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Margin {
    /// Pallet at which it is least.
    pub pallet: Side,
    /// What there is, rad.
    pub least_rad: f64,
    /// Change of the wheel's diameter that leaves nothing, m, positive; `None`: above [`LARGEST_CHANGE_M`].
    pub wheel_m: Option<f64>,
    /// Change of the arbors' distance that leaves nothing, m, likewise.
    pub arbors_m: Option<f64>,
    /// Distance by which every edge has to move to leave nothing, m, likewise.
    pub edges_m: Option<f64>,
}

/// The margins of an action.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Margins {
    /// Whether the pallets lock.
    pub locks: bool,
    /// Smallest lock, or without locks the smallest arc from a tooth's fall to its release, rad of the pallets. A smaller
    /// wheel, arbors further apart and edges that fall short eat it up; once it is gone a tooth falls past lock or pallet.
    pub hold: Margin,
    /// Smallest drop, rad of the wheel, leaving the pallet named. A larger wheel, arbors closer and growth eat it up.
    pub drop: Margin,
    /// Smallest free way behind a tooth that has left a pallet, rad of the wheel; eaten up as the drop is.
    pub clearance: Margin,
    /// Radius of the wheel's tip circle as printed, m.
    pub tip_radius_m: f64,
    /// Height that the bead takes off the tip of the tooth, m.
    pub bead_off_tip_m: f64,
    /// By how much smaller in diameter a wheel would have the same lock if tooth and pallets were printed with a bead of no
    /// width, m; `None` without a bead or locks, or where the lock allows for more than [`LARGEST_CHANGE_M`].
    pub bead_as_wheel_m: Option<f64>,
    /// How the wheel is out of true: where it is, each margin is that of the tooth for which it is least.
    pub out_of_true: OutOfTrue,
}

/// The margins of an escapement as the mean printer makes it; `None` without outlines.
///
/// | dimension | how it is changed |
/// |---|---|
/// | wheel | the printed tooth is scaled about the wheel's centre |
/// | arbors | the printed pallets are moved off the wheel |
/// | edges | growth on wheel and pallets, printed anew |
///
/// Changes are tried at doubling steps up to [`LARGEST_CHANGE_M`] and the first loss is located to 1e-7 m. What cannot be
/// printed, never touches or has no action counts as lost. A wheel out of true is followed at the tooth and pallet at which
/// the margin is least before the change. A beat error turns both curves alike and plays no part.
#[must_use]
pub fn margins(printer: &Printer, built: &Built) -> Option<Margins> {
    let (drawn, outlines) = (built.drawn.as_ref()?, built.outlines.as_ref()?);
    let EscapementModel::Contact(contact) = &built.mechanism.escapement else { return None };
    let places = ActingTeeth::all_of(contact);
    let locks = places.iter().any(|place| place.pallet_of(&place.action).lock_rad != 0.0);
    let mut anew = Anew::of(printer, drawn, outlines, built);
    let hold = anew.margin(&places, MarginQuantity::Hold { locks })?;
    let crisp_m = if locks { anew.crisp_wheel_m(&places) } else { None };
    Some(Margins {
        locks,
        hold,
        drop: anew.margin(&places, MarginQuantity::Drop)?,
        clearance: anew.margin(&places, MarginQuantity::Clearance)?,
        tip_radius_m: anew.tip_radius_m,
        bead_off_tip_m: built.bead_off_tip_m,
        bead_as_wheel_m: crisp_m.zip(hold.wheel_m).map(|(crisp_m, blunt_m)| crisp_m - blunt_m),
        out_of_true: built.out_of_true,
    })
}

impl MarginQuantity {
    /// What is left, rad; `None` where the pallet has no such thing.
    fn of(self, pallet: &PalletAction) -> Option<f64> {
        match self {
            Self::Hold { locks: true } => Some(pallet.lock_rad).filter(|&lock| lock != 0.0),
            Self::Hold { locks: false } => Some(pallet.lift_rad),
            Self::Drop => Some(pallet.drop_rad),
            Self::Clearance => Some(pallet.clearance_rad),
        }
    }

    /// Sign of the changes that eat it up: of wheel and edges, and of the arbors' distance.
    fn signs(self) -> (f64, f64) {
        match self {
            Self::Hold { .. } => (-1.0, 1.0),
            Self::Drop | Self::Clearance => (1.0, -1.0),
        }
    }
}

/// The escapement built anew with changed dimensions.
struct Anew<'b> {
    printer: &'b Printer,
    drawn: &'b EscapementOutlines,
    outlines: &'b EscapementOutlines,
    out_of_true: OutOfTrue,
    locks: bool,
    strain: EscapementStrain,
    tip_radius_m: f64,
    tried: Vec<Trial>,
}

/// A change that has been tried.
#[derive(Debug, Clone, Copy)]
struct Trial {
    teeth: PerPallet<u32>,
    dimension: ChangedDimension,
    change_m: f64,
    /// What came of it.
    action: Option<Action>,
}

impl<'b> Anew<'b> {
    fn of(
        printer: &'b Printer,
        drawn: &'b EscapementOutlines,
        outlines: &'b EscapementOutlines,
        built: &Built,
    ) -> Self {
        let tip_radius_m = outlines.tooth.farthest_m(Point::zeros());
        let Built { out_of_true, strain, .. } = *built;
        let locks = matches!(&built.mechanism.escapement, EscapementModel::Contact(contact) if contact.locks);
        Self { printer, drawn, outlines, out_of_true, locks, strain, tip_radius_m, tried: Vec::new() }
    }

    /// The place at which a quantity is least, its value there, and the places to follow through the changes.
    fn followed(&self, places: &[ActingTeeth], quantity: MarginQuantity) -> Option<(Vec<ActingTeeth>, Side, f64)> {
        let (least, least_rad) = places
            .iter()
            .filter_map(|place| Some((place, quantity.of(&place.pallet_of(&place.action))?)))
            .min_by(|a, b| a.1.total_cmp(&b.1))?;
        let followed = if self.out_of_true.is_true() { places.to_vec() } else { vec![*least] };
        // Pallets that differ by rounding alone are named in their order.
        let alike = |place: &&ActingTeeth| {
            quantity.of(&place.pallet_of(&place.action)).is_some_and(|value| value - least_rad < ALIKE_RAD)
        };
        Some((followed, places.iter().find(alike).unwrap_or(least).pallet, least_rad))
    }

    fn margin(&mut self, places: &[ActingTeeth], quantity: MarginQuantity) -> Option<Margin> {
        let (followed, pallet, least_rad) = self.followed(places, quantity)?;
        let (sign, arbors_sign) = quantity.signs();
        let mut eaten = |dimension, sign| self.eaten_m(&followed, quantity, least_rad, dimension, sign);
        Some(Margin {
            pallet,
            least_rad,
            wheel_m: eaten(ChangedDimension::Wheel, sign),
            arbors_m: eaten(ChangedDimension::Arbors, arbors_sign),
            edges_m: eaten(ChangedDimension::Edges, sign),
        })
    }

    /// What the lock would allow the wheel's diameter to lose if the bead had no width, m; `None` where it has none anyway.
    fn crisp_wheel_m(&self, places: &[ActingTeeth]) -> Option<f64> {
        if self.printer.bead_radius.value == 0.0 {
            return None;
        }
        let quantity = MarginQuantity::Hold { locks: true };
        let (followed, ..) = self.followed(places, quantity)?;
        let printer = Printer { bead_radius: Spread::default(), ..*self.printer };
        let made = printed_and_strained(self.drawn, &printer, &self.strain).ok()?;
        let tip_radius_m = made.outlines.tooth.farthest_m(Point::zeros());
        let mut crisp = Anew { printer: &printer, outlines: &made.outlines, tip_radius_m, tried: Vec::new(), ..*self };
        let sign = quantity.signs().0;
        let least_rad = crisp.left_rad(&followed, quantity, ChangedDimension::Wheel, 0.0);
        crisp.eaten_m(&followed, quantity, least_rad, ChangedDimension::Wheel, sign)
    }

    /// What is left of a quantity after a change, rad.
    fn left_rad(
        &mut self,
        followed: &[ActingTeeth],
        quantity: MarginQuantity,
        dimension: ChangedDimension,
        change_m: f64,
    ) -> f64 {
        let of = |place: &ActingTeeth| {
            let action = self.action(place.teeth, dimension, change_m);
            action.and_then(|action| quantity.of(&place.pallet_of(&action))).unwrap_or(NO_ACTION_RAD)
        };
        followed.iter().map(of).fold(f64::INFINITY, f64::min)
    }

    /// Smallest change that leaves nothing, m, positive.
    fn eaten_m(
        &mut self,
        followed: &[ActingTeeth],
        quantity: MarginQuantity,
        least_rad: f64,
        dimension: ChangedDimension,
        sign: f64,
    ) -> Option<f64> {
        if least_rad <= 0.0 {
            return Some(0.0);
        }
        let mut left_rad = |change_m: f64| self.left_rad(followed, quantity, dimension, sign * change_m);
        let (mut before, mut change_m) = ((0.0, least_rad), FIRST_CHANGE_M);
        while change_m <= LARGEST_CHANGE_M {
            let after = (change_m, left_rad(change_m));
            if after.1 <= 0.0 {
                // Nothing but the number of steps can fail, and then the bracket's safe end stands.
                return Some(solve_bracketed(left_rad, before, after, CHANGE_ACCURACY_M).unwrap_or(before.0));
            }
            (before, change_m) = (after, 2.0 * change_m);
        }
        None
    }

    fn action(&mut self, teeth: PerPallet<u32>, dimension: ChangedDimension, change_m: f64) -> Option<Action> {
        let same = |trial: &&Trial| (trial.teeth, trial.dimension, trial.change_m) == (teeth, dimension, change_m);
        if let Some(known) = self.tried.iter().find(same) {
            return known.action;
        }
        let action = self.changed(dimension, change_m).and_then(|outlines| self.read(&outlines, teeth));
        self.tried.push(Trial { teeth, dimension, change_m, action });
        action
    }

    fn changed(&self, dimension: ChangedDimension, change_m: f64) -> Option<EscapementOutlines> {
        let printed = self.outlines;
        match dimension {
            ChangedDimension::Wheel => {
                let factor = 1.0 + 0.5 * change_m / self.tip_radius_m;
                (factor > 0.0).then(|| EscapementOutlines {
                    tooth: printed.tooth.scaled(factor, Point::zeros()),
                    ..printed.clone()
                })
            }
            ChangedDimension::Arbors => {
                let up = Point::new(0.0, change_m);
                let centre_distance_m = printed.centre_distance_m + change_m;
                (centre_distance_m > 0.0).then(|| EscapementOutlines {
                    centre_distance_m,
                    pallets: printed.pallets.as_ref().map(|pallet| pallet.moved(up)),
                    ..printed.clone()
                })
            }
            ChangedDimension::Edges => {
                let mean = PartPrint::mean_of(self.printer);
                let part = PartPrint { growth_m: mean.growth_m + change_m, ..mean };
                Some(self.printed_with(&part).ok()?.outlines)
            }
        }
    }

    fn printed_with(&self, part: &PartPrint) -> Result<PrintedEscapement, PrinterError> {
        assembled(self.drawn, part, part, &Assembly::mean_of(self.printer), &self.strain)
    }

    fn read(&self, outlines: &EscapementOutlines, teeth: PerPallet<u32>) -> Option<Action> {
        let curve = |pallet: Side| {
            let tooth = self.out_of_true.tooth(&outlines.tooth, teeth[pallet], outlines.teeth);
            ContactCurve::build(&tooth, &outlines.pallets[pallet], outlines.centre_distance_m, 0.0).ok()
        };
        let contact = ContactEscapement {
            teeth: outlines.teeth,
            friction: 0.0,
            restitution: 0.0,
            locks: self.locks,
            curves: PerPallet::from_fn(curve).both()?,
            other_teeth: Vec::new(),
            play: None,
        };
        // Where a wheel is out of true, build asks this of one tooth only.
        if self.out_of_true.is_true() {
            check_standing(outlines, &contact, 0.0).ok()?;
        }
        read_action(&contact).ok()
    }
}
