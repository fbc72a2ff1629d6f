//! The clock in another size: lengths go with the factor, masses with its cube, inertias with its fifth power; teeth, angles,
//! materials and the place stay.

pub(in crate::clock) mod escapement;
pub(in crate::clock) mod pendulum;
pub(in crate::clock) mod train;

use crate::clock::design::{CrutchPlay, Design};
use crate::clock::escapement::WheelError;
use crate::clock::printing::printer::{Printer, Spread};

use escapement::{scaled_anchor, scaled_escape_wheel, scaled_escapement};
use pendulum::scaled_pendulum;
use train::{scaled_drive, scaled_plates, scaled_train};

/// Smallest factor: a tower clock as a wrist watch.
pub const SMALLEST_FACTOR: f64 = 0.02;

/// Largest factor.
pub const LARGEST_FACTOR: f64 = 50.0;

/// Factors of the groups of a clock's parts. A length of a group is multiplied by its factor.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Factors {
    /// Wheels and pinions of the train, with their masses.
    pub wheels: f64,
    /// Escape wheel with the arbor that carries it, pallets, their distance.
    pub escapement: f64,
    /// Rod, bob, nut, further swinging parts, a strip spring.
    pub pendulum: f64,
    /// Drum and pulley.
    pub drum: f64,
    /// The driving weight, as the length of a weight of the same shape.
    pub weight: f64,
    /// Height through which the weight falls.
    pub drop: f64,
    /// Diameters of pivots and bores, and what a knife edge rolls on.
    pub bearings: f64,
    /// Diameter of the cord, and of a suspension cord.
    pub cord: f64,
    /// Play of gears and pivots, distance error of the arbors, run-out.
    pub clearances: f64,
    /// Radius of the bead, growth of edges, first layers.
    pub bead: f64,
}

impl Factors {
    /// Everything as drawn.
    pub const NONE: Self = Self::all(1.0);

    /// Everything by one factor, what a printer, a shop and a room give included.
    #[must_use]
    pub const fn all(factor: f64) -> Self {
        Self {
            wheels: factor,
            escapement: factor,
            pendulum: factor,
            drum: factor,
            weight: factor,
            drop: factor,
            bearings: factor,
            cord: factor,
            clearances: factor,
            bead: factor,
        }
    }
}

/// Why a clock has no such size.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum ScaleError {
    /// The body of the escape wheel leaves no room for its bore, or for something else that was not scaled.
    #[error("the escape wheel cannot be made in this size: {0}")]
    Wheel(#[from] WheelError),
}

/// The design with every group in its new size; with [`Factors::NONE`] the same to the last bit.
///
/// Lengths go with `k`, stated masses with `k^3`, stated inertias with `k^5`, `k` the factor of their group. What is stated in
/// other measures goes as its cause does with lengths, at the same gravity, materials and air:
///
/// | quantity | power | cause |
/// |---|---|---|
/// | elastic stiffness | `k^3` | section `k^4` over length `k` |
/// | torque of friction | `k^3` times bearings | weight times radius of the bearing |
/// | drag of a bearing | `k^3` | oil and grease in a slow bearing |
/// | linear damping | `k^3.75` | area `k^2`, lever `k^2`, root of the frequency `k^-1/4`: Stokes' layer on a plate |
/// | quadratic damping | `k^5` | area `k^2`, lever `k^3` |
/// | torque at the escape wheel | weight `k^3` times drum | torque of the driving weight |
/// | ideal torque, energy of a kick | `k^4` | weight of the pendulum times length |
/// | speed of a kick | `k^-1/2` | frequency of the pendulum |
///
/// Turns that the drum holds go with its width over the cord. Beat, tooth counts, angles and friction coefficients stay, so a
/// scaled pendulum swings in another time than its train counts: the rate tells.
///
/// # Errors
/// [`ScaleError`] where what is not scaled does not fit into what is.
pub fn scaled(design: &Design, factors: &Factors) -> Result<Design, ScaleError> {
    let escapement = scaled_escapement(&design.escapement, factors);
    let (escape_wheel, escape_inertia) = scaled_escape_wheel(design, &escapement, factors)?;
    Ok(Design {
        name: design.name.clone(),
        start_arc_rad: design.start_arc_rad,
        margin_rad: design.margin_rad,
        place: design.place,
        pendulum: scaled_pendulum(&design.pendulum, factors),
        crutch_play: design.crutch_play.map(|play| scaled_crutch_play(play, factors)),
        train: design.train.as_ref().map(|train| scaled_train(train, factors, escape_inertia)),
        drive: design.drive.as_ref().map(|drive| scaled_drive(drive, factors)),
        escapement,
        escape_wheel,
        printer: scaled_printer(&design.printer, factors),
        frame: design.frame.clone(),
        pallets: design.pallets.clone(),
        support: design.support.map(|support| support.with_weight_hung_times(factors.drop)),
        ageing: design.ageing,
        plates: scaled_plates(&design.plates, factors),
        anchor: scaled_anchor(design.anchor, factors),
        sizes: design.sizes,
    })
}

/// A play is a clearance; what is stated as an angle stays one.
fn scaled_crutch_play(play: CrutchPlay, factors: &Factors) -> CrutchPlay {
    let Some(at_m) = play.at_m else { return play };
    CrutchPlay { play: play.play.times(factors.clearances), at_m: Some(at_m * factors.pendulum) }
}

fn scaled_printer(printer: &Printer, factors: &Factors) -> Printer {
    let by = |spread: Spread, factor: f64| Spread {
        value: factor * spread.value,
        spread: factor * spread.spread,
        per: spread.per,
    };
    Printer {
        shrinkage: printer.shrinkage,
        growth: by(printer.growth, factors.bead),
        bead_radius: by(printer.bead_radius, factors.bead),
        elephant_foot: by(printer.elephant_foot, factors.bead),
        centre_distance_error: by(printer.centre_distance_error, factors.clearances),
        run_out: by(printer.run_out, factors.clearances),
        pivot_play: by(printer.pivot_play, factors.clearances),
        makes_frame: printer.makes_frame,
    }
}
