//! What the pictures of a comparison draw: tips of the teeth and contact curves, as drawn and as printed.

use crate::answers::prediction::Prediction;
use crate::clock::environment::InRoom;
use crate::clock::escapement::EscapementOutlines;
use crate::clock::mechanism::{ContactEscapement, EscapementModel};
use crate::clock::side::PerPallet;
use crate::geometry::{Outline, Point};
use crate::study::bead::Beads;

use crate::study::portrait::sampled;

/// A scenario of a comparison.
#[derive(Debug, Clone, Copy)]
pub struct Compared<'c> {
    /// Name that no other scenario of the comparison has.
    pub name: &'c str,
    /// Its design.
    pub design: &'c InRoom,
    /// Its prediction, as printed.
    pub prediction: &'c Prediction,
    /// Its prediction as drawn; `None` where it prints as drawn, or cannot be predicted as drawn.
    pub as_drawn: Option<&'c Prediction>,
    /// Its least weight over the bead radius.
    pub beads: &'c Beads,
}

/// What the pictures of a comparison draw, in the order of the scenarios; `None` for those without outlines.
#[derive(Debug, Clone, PartialEq)]
pub struct ComparisonPortrait {
    /// Tips of the teeth.
    pub tips: Vec<Option<ToothTip>>,
    /// Contact curves.
    pub curves: Vec<Option<ContactCurves>>,
}

/// The portrait of scenarios side by side.
#[must_use]
pub fn comparison_portrait(compared: &[Compared<'_>]) -> ComparisonPortrait {
    ComparisonPortrait {
        tips: compared.iter().map(tooth_tip).collect(),
        curves: compared.iter().map(contact_curves).collect(),
    }
}

impl Compared<'_> {
    /// Contact as printed and, where it is another one, as drawn; `None` without outlines.
    #[must_use]
    pub fn contacts(&self) -> Option<(&ContactEscapement, Option<&ContactEscapement>)> {
        let printed = contact(self.prediction)?;
        Some((printed, self.as_drawn.and_then(contact).filter(|drawn| *drawn != printed)))
    }
}

fn contact(prediction: &Prediction) -> Option<&ContactEscapement> {
    match &prediction.built.mechanism.escapement {
        EscapementModel::Contact(contact) => Some(contact),
        _ => None,
    }
}

/// Depth below the drawn tip at which the width of a tooth is compared, m.
pub const WIDTH_DEPTH_M: f64 = 0.5e-3;

/// Largest departure of an arc from its chords, m.
const SAGITTA_M: f64 = 1e-8;

/// The tip of a tooth as drawn and as printed.
#[derive(Debug, Clone, PartialEq)]
pub struct ToothTip {
    /// Outline as drawn, m, its tip at the origin and the wheel's centre straight below; the wheel turns to the right.
    pub drawn: Vec<Point>,
    /// Outline as printed, in the same place; `None` where it is the drawn one.
    pub printed: Option<Vec<Point>>,
    /// Distance from the drawn tip to the printed tooth, m; negative where the printed tooth stands out beyond it. A bead of
    /// radius r takes `r (1 / sin(a / 2) - 1)` off a tip of angle a.
    pub recedes_m: f64,
    /// Width of the drawn tooth [`WIDTH_DEPTH_M`] below its tip, m.
    pub drawn_width_m: f64,
    /// Width of the printed tooth in the same place, m; 0 where nothing is left there.
    pub printed_width_m: f64,
}

/// The tip of a scenario's tooth; `None` without outlines.
fn tooth_tip(compared: &Compared<'_>) -> Option<ToothTip> {
    let built = &compared.prediction.built;
    let (drawn, printed): (&EscapementOutlines, _) = (built.drawn.as_ref()?, built.outlines.as_ref()?);
    let farthest = |points: &[Point]| points.iter().copied().max_by(|a, b| a.norm().total_cmp(&b.norm()));
    let tip = farthest(&drawn.tooth.polyline(SAGITTA_M))?;
    // Turned so that the drawn tip stands straight above the wheel's centre.
    let (upright_rad, radius_m) = (tip.x.atan2(tip.y), tip.norm());
    let placed = |outline: &Outline| -> Vec<Point> {
        let turned = outline.turned_about(Point::zeros(), upright_rad).polyline(SAGITTA_M);
        turned.into_iter().map(|at| at - Point::new(0.0, radius_m)).collect()
    };
    let drawn_points = placed(&drawn.tooth);
    let printed_points = (printed.tooth != drawn.tooth).then(|| placed(&printed.tooth));
    let drawn_width_m = width_m(&drawn_points);
    Some(ToothTip {
        recedes_m: printed_points.as_deref().map_or(0.0, from_origin_m),
        drawn_width_m,
        printed_width_m: printed_points.as_deref().map_or(drawn_width_m, width_m),
        drawn: drawn_points,
        printed: printed_points,
    })
}

/// Distance of the origin from a closed outline, m, negative where it lies inside.
fn from_origin_m(points: &[Point]) -> f64 {
    let mut nearest = f64::INFINITY;
    let mut inside = false;
    for index in 0..points.len() {
        let (from, to) = (points[index], points[(index + 1) % points.len()]);
        let edge = to - from;
        let share = (-from.dot(&edge) / edge.norm_squared()).clamp(0.0, 1.0);
        nearest = nearest.min((from + share * edge).norm());
        if (from.y > 0.0) != (to.y > 0.0) && from.x - edge.x * from.y / edge.y > 0.0 {
            inside = !inside;
        }
    }
    if inside { -nearest } else { nearest }
}

/// Width of a tooth at [`WIDTH_DEPTH_M`] below the drawn tip, between its outermost crossings of that level, m.
fn width_m(points: &[Point]) -> f64 {
    let level = -WIDTH_DEPTH_M;
    let crossings = (0..points.len()).filter_map(|index| {
        let (from, to) = (points[index], points[(index + 1) % points.len()]);
        ((from.y > level) != (to.y > level)).then(|| from.x + (to.x - from.x) * (level - from.y) / (to.y - from.y))
    });
    let (low, high) = crossings.fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), x| (low.min(x), high.max(x)));
    (high - low).max(0.0)
}

/// A contact curve over the pendulum angle, from where a tooth falls on the pallet.
pub type Curve = Vec<(f64, f64)>;

/// The contact curves of a scenario, entry and exit pallet.
#[derive(Debug, Clone, PartialEq)]
pub struct ContactCurves {
    /// As printed: pendulum angle and wheel advance, rad, the advance 0 where a tooth falls on the pallet.
    pub printed: PerPallet<Curve>,
    /// As drawn, likewise; `None` where they are the printed ones, or nothing can be predicted as drawn.
    pub drawn: Option<PerPallet<Curve>>,
    /// Pendulum angle at which a tooth falls on either pallet as printed, rad.
    pub landing_rad: PerPallet<f64>,
    /// Whether the teeth differ, a wheel out of true: the curves are those of one tooth.
    pub teeth_differ: bool,
}

/// The contact curves of a scenario, out to its steady swing or to where its teeth fall, whichever is further; `None`
/// without outlines.
fn contact_curves(compared: &Compared<'_>) -> Option<ContactCurves> {
    let (printed, drawn) = compared.contacts()?;
    let action = compared.prediction.action()?;
    let reach = reach_rad(compared.prediction)?.max(compared.as_drawn.and_then(reach_rad).unwrap_or(0.0));
    Some(ContactCurves {
        printed: curves(printed, compared.prediction, reach)?,
        drawn: drawn.zip(compared.as_drawn).and_then(|(drawn, prediction)| curves(drawn, prediction, reach)),
        landing_rad: action.map(|pallet| pallet.landing_rad),
        teeth_differ: printed.teeth_differ(),
    })
}

fn reach_rad(prediction: &Prediction) -> Option<f64> {
    let action = prediction.action()?;
    let steady = prediction.steady.as_ref().map(|steady| steady.measured.right_rad.max(steady.measured.left_rad));
    let angles = [action.entry.landing_rad, action.entry.release_rad, action.exit.landing_rad, action.exit.release_rad];
    Some(1.05 * angles.into_iter().map(f64::abs).chain(steady).fold(0.0, f64::max))
}

fn curves(contact: &ContactEscapement, prediction: &Prediction, reach_rad: f64) -> Option<PerPallet<Curve>> {
    let action = prediction.action()?;
    let counted = |curve: &crate::geometry::ContactCurve, landing_rad: f64| -> Option<Curve> {
        let landing = curve.front_at(landing_rad)?.phi_rad;
        Some(sampled(curve, reach_rad).into_iter().map(|(theta, phi)| (theta, phi - landing)).collect())
    };
    PerPallet::from_fn(|pallet| counted(&contact.curves[pallet], action[pallet].landing_rad)).both()
}
