//! The escape wheel's outer contour in one piece: all teeth joined by the root circle.

use std::f64::consts::TAU;

use crate::clock::printing::tooth_root::root_edge;
use crate::geometry::{Outline, OutlineError, Point, Vertex, arc_centre};

use super::EscapementOutlines;

/// Edges that a contour may have, for the time that it takes to look for crossings.
const MOST_EDGES: usize = 40_000;

/// Within this arcs are of one circle, m.
const SAME_CIRCLE_M: f64 = 1e-7;

/// The outside of an escape wheel.
#[derive(Debug, Clone, PartialEq)]
pub struct WheelRim {
    /// Outer contour in the wheel's frame, anticlockwise.
    pub contour: Outline,
    /// Radius below which the rim begins, m: of the circle through the roots, or that touches the pins from inside.
    pub root_m: f64,
    /// Whether the contour is that of a disc, the pins standing on it.
    pub carries_pins: bool,
}

/// Why teeth make no wheel.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
pub enum RimError {
    /// The outline of a tooth ends nowhere.
    #[error("the outline of a tooth is neither a round pin nor open at its root")]
    NoRoot,
    /// No gap is left at the root.
    #[error("the teeth leave no gap at their roots: they take {:.2} deg of the wheel each, and their pitch is {:.2} deg", .width_rad.to_degrees(), .pitch_rad.to_degrees())]
    NoGap {
        /// Angle that a tooth takes at its root.
        width_rad: f64,
        /// Angle from tooth to tooth.
        pitch_rad: f64,
    },
    /// Too much to look through.
    #[error("the wheel's contour would have {0} edges")]
    TooManyEdges(usize),
    /// The joined teeth are no outline.
    #[error("the teeth do not join to a wheel: {0}")]
    Outline(#[from] OutlineError),
}

/// The outside of the wheel whose tooth no. 0 is given, in the wheel's frame.
///
/// A tooth with a root (the edge at which its outline is cut off from the wheel) is joined to the next, foot to foot, by the arc of
/// the root circle, and the edge at which it was cut off is left out. Where a drawn tooth has its feet at different radii the
/// arc leads from one to the other.
///
/// Round pins have no root: they stand on a disc that reaches a pin's radius further out than they do. The pallets act in front
/// of it.
///
/// # Errors
/// [`RimError`].
pub fn wheel_rim(outlines: &EscapementOutlines) -> Result<WheelRim, RimError> {
    let Some(root) = root_edge(&outlines.tooth) else { return disc_under_pins(&outlines.tooth) };
    let tooth = outlines.tooth.vertices();
    let (count, teeth) = (tooth.len(), outlines.teeth);
    let edges = count.saturating_mul(teeth as usize);
    if edges > MOST_EDGES {
        return Err(RimError::TooManyEdges(edges));
    }
    let pitch_rad = TAU / f64::from(teeth);
    // From the front foot round the tip to the back foot.
    let mut chain: Vec<Vertex> = (1..=count).map(|step| tooth[(root + step) % count]).collect();
    let (Some(front), Some(back)) = (chain.first().map(|foot| foot.at), chain.last_mut()) else {
        return Err(OutlineError::TooFewEdges(count).into());
    };
    let width_rad = front.perp(&back.at).atan2(front.dot(&back.at)).rem_euclid(TAU);
    if width_rad >= pitch_rad {
        return Err(RimError::NoGap { width_rad, pitch_rad });
    }
    back.bulge = (0.25 * (pitch_rad - width_rad)).tan();
    let root_m = front.norm().min(back.at.norm());
    let contour = (0..teeth)
        .flat_map(|number| {
            let (sine, cosine) = (f64::from(number) * pitch_rad).sin_cos();
            chain.iter().map(move |vertex| Vertex {
                at: Point::new(cosine * vertex.at.x - sine * vertex.at.y, sine * vertex.at.x + cosine * vertex.at.y),
                bulge: vertex.bulge,
            })
        })
        .collect();
    Ok(WheelRim { contour: Outline::new(contour)?, root_m, carries_pins: false })
}

/// The disc under a pin; an outline is one if all its edges are arcs about one centre.
fn disc_under_pins(pin: &Outline) -> Result<WheelRim, RimError> {
    let arcs: Vec<(Point, f64)> = pin
        .edges()
        .filter(|edge| edge.2 != 0.0)
        .map(|(from, to, bulge)| {
            let centre = arc_centre(from, to, bulge);
            (centre, (from - centre).norm())
        })
        .collect();
    let Some(&(centre, radius_m)) = arcs.first() else { return Err(RimError::NoRoot) };
    let is_round = arcs.len() == pin.vertices().len()
        && arcs.iter().all(|(other, size_m)| (other - centre).norm().max((size_m - radius_m).abs()) < SAME_CIRCLE_M);
    if !is_round {
        return Err(RimError::NoRoot);
    }
    let contour = Outline::circle(Point::zeros(), centre.norm() + 2.0 * radius_m)?;
    Ok(WheelRim { contour, root_m: centre.norm() - radius_m, carries_pins: true })
}
