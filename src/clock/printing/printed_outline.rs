//! What comes off the printer and together on the plate: outlines as printed from outlines as drawn.
//!
//! The order is fixed: shrinkage about each part's own arbor, growth with the elephant's foot, opening and closing with the
//! bead, and only then the assembly: in their room, where the parts are as large as they have grown.

use std::f64::consts::TAU;

use crate::clock::environment::expansion::{EscapementStrain, FlatStrain};
use crate::clock::escapement::{EscapementOutlines, WheelHoles};
use crate::clock::notes::Note;
use crate::clock::side::{PerPallet, Side};
use crate::geometry::{OffsetError, Outline, Pass, Point, passes};

use super::out_of_true::OutOfTrue;
use super::printer::Printer;
use super::tooth_root::tooth_passes;

/// An escapement as printed and assembled.
#[derive(Debug, Clone, PartialEq)]
pub struct PrintedEscapement {
    /// Printed outlines at the distance that the assembly gives the arbors; the wheel runs true and is round.
    pub outlines: EscapementOutlines,
    /// How the wheel is out of true; [`OutOfTrue::tooth`] puts it into an outline.
    pub out_of_true: OutOfTrue,
    /// Parts that come off the printer in several pieces, of which the largest was kept.
    pub notes: Vec<Note>,
}

/// An outline of the escapement, as a maker calls it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum PrintedPart {
    /// One tooth of the wheel.
    Tooth,
    /// A pallet.
    Pallet(Side),
    /// A window or the bore of the wheel.
    Hole,
}

impl PrintedPart {
    /// The part's name.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Tooth => "tooth",
            Self::Pallet(Side::Entry) => "entry pallet",
            Self::Pallet(Side::Exit) => "exit pallet",
            Self::Hole => "hole in the wheel",
        }
    }
}

/// Why a part cannot be printed or assembled.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
pub enum PrinterError {
    /// The bead finds no room.
    #[error("a bead of radius {} mm is wider than the {}: nothing is left", shown_mm(*.bead_radius_m), .part.name())]
    BeadTooWide {
        /// Part.
        part: PrintedPart,
        /// Bead radius, m.
        bead_radius_m: f64,
    },
    /// A negative growth eats the part.
    #[error("a growth of {} mm leaves nothing of the {}", shown_mm(*.growth_m), .part.name())]
    GrownAway {
        /// Part.
        part: PrintedPart,
        /// Growth with the elephant's foot, m.
        growth_m: f64,
    },
    /// The printed part is no outline.
    #[error("the {} cannot be printed: {error}", .part.name())]
    Outline {
        /// Part.
        part: PrintedPart,
        /// What is wrong.
        #[source]
        error: OffsetError,
    },
    /// A shrinkage of all or more, or a number that is not finite.
    #[error("a shrinkage of {:.1} % leaves no part", 1e2 * .0)]
    Shrinkage(f64),
    /// Arbors in one place, or not finite.
    #[error("the arbors would stand {} mm apart", shown_mm(*.0))]
    CentreDistance(f64),
}

/// Millimetres without the rounding of the way through metres.
pub(in crate::clock) fn shown_mm(length_m: f64) -> f64 {
    (length_m * 1e9).round() / 1e6
}

/// What one part undergoes on the printer. The default leaves it as drawn.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct PartPrint {
    /// Linear shrinkage, a fraction.
    pub shrinkage: f64,
    /// Growth of the widest layer, m: with the elephant's foot.
    pub growth_m: f64,
    /// Bead radius, m.
    pub bead_radius_m: f64,
}

/// What the assembly adds.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Assembly {
    /// Distance of the arbors beyond the drawn one while a tooth pushes a pallet, m: with the play of both.
    pub further_apart_m: f64,
    /// Eccentricity of the wheel, m.
    pub run_out_m: f64,
    /// Shrinkage of the frame between the arbors, a fraction; 0 where their holes are drilled.
    pub frame_shrinkage: f64,
}

impl PartPrint {
    /// The mean of a printer.
    #[must_use]
    pub fn mean_of(printer: &Printer) -> Self {
        Self {
            shrinkage: printer.shrinkage.value,
            growth_m: printer.growth.value + printer.elephant_foot.value,
            bead_radius_m: printer.bead_radius.value,
        }
    }

    fn passes(&self) -> [Pass; 3] {
        [Pass::Offset(self.growth_m), Pass::Opening(self.bead_radius_m), Pass::Closing(self.bead_radius_m)]
    }
}

impl Assembly {
    /// The mean of a printer. A tooth in contact pushes each arbor to the far side of its hole, by half its diametral play.
    #[must_use]
    pub fn mean_of(printer: &Printer) -> Self {
        let plays_m = 0.5 * printer.pivot_play.value + 0.5 * printer.pivot_play.value;
        Self {
            further_apart_m: printer.centre_distance_error.value + plays_m,
            run_out_m: printer.run_out.value,
            frame_shrinkage: printer.frame_shrinkage(printer.shrinkage.value),
        }
    }
}

/// The escapement as the mean printer makes it, in the room in which it was made. A printer of zeros gives the outlines back
/// bit for bit.
///
/// # Errors
/// [`PrinterError`] names the part.
pub fn printed(drawn: &EscapementOutlines, printer: &Printer) -> Result<PrintedEscapement, PrinterError> {
    printed_and_strained(drawn, printer, &EscapementStrain::default())
}

/// The escapement as the mean printer makes it, its parts grown since. No strain changes no bit.
///
/// # Errors
/// [`PrinterError`] names the part.
pub fn printed_and_strained(
    drawn: &EscapementOutlines,
    printer: &Printer,
    strain: &EscapementStrain,
) -> Result<PrintedEscapement, PrinterError> {
    let part = PartPrint::mean_of(printer);
    assembled(drawn, &part, &part, &Assembly::mean_of(printer), strain)
}

/// The escapement whose wheel and pallets were printed and assembled as stated and have grown since.
///
/// The wheel grows about its centre, the pallets about their arbor, and the distance of the arbors with the frame; what the
/// assembly is out by stays. The wheel shrinks about its centre, the pallets about their arbor. The pallets are bodies of their own: all their
/// corners are rounded, the outer ones at the end of their faces too. The tooth is printed on a piece of its wheel and
/// cut off again at the root, so that its root is neither rounded nor moved except with the wheel's rim.
///
/// # Errors
/// [`PrinterError`] names the part.
pub fn assembled(
    drawn: &EscapementOutlines,
    wheel: &PartPrint,
    pallets: &PartPrint,
    assembly: &Assembly,
    strain: &EscapementStrain,
) -> Result<PrintedEscapement, PrinterError> {
    let mut notes = Vec::new();
    let arbor = Point::new(0.0, drawn.centre_distance_m);
    let tooth = printed_tooth(&drawn.tooth, wheel, &mut notes)?;
    let tooth = stretched(&tooth, FlatStrain::all(strain.wheel.mean()), Point::zeros());
    // Without shrinkage no rounding.
    let frame = match assembly.frame_shrinkage {
        0.0 => strain.frame,
        shrinkage => (1.0 + strain.frame) * (1.0 - shrinkage) - 1.0,
    };
    let further_apart_m = assembly.further_apart_m + drawn.centre_distance_m * frame;
    let centre_distance_m = drawn.centre_distance_m + further_apart_m;
    if !(centre_distance_m > 0.0 && centre_distance_m.is_finite()) {
        return Err(PrinterError::CentreDistance(centre_distance_m));
    }
    let mut pallet = |outline: &Outline, part| {
        let shrunk = shrunk(outline, pallets.shrinkage, arbor)?;
        let whole = kept(passes(&shrunk, &pallets.passes()), part, pallets, &mut notes)?;
        let grown = stretched(&whole, strain.pallets, arbor);
        Ok(if further_apart_m == 0.0 { grown } else { grown.moved(Point::new(0.0, further_apart_m)) })
    };
    let pallets = PerPallet::try_from_fn(|side| pallet(&drawn.pallets[side], PrintedPart::Pallet(side)))?;
    let outlines = EscapementOutlines { teeth: drawn.teeth, centre_distance_m, tooth, pallets };
    Ok(PrintedEscapement { outlines, out_of_true: OutOfTrue::of(strain, assembly.run_out_m), notes })
}

/// A part that has grown about its arbor, its grain from side to side.
fn stretched(outline: &Outline, strain: FlatStrain, arbor: Point) -> Outline {
    outline.stretched(1.0 + strain.along, 1.0 + strain.across, Point::new(1.0, 0.0), arbor)
}

fn printed_tooth(drawn: &Outline, wheel: &PartPrint, notes: &mut Vec<Note>) -> Result<Outline, PrinterError> {
    let shrunk = shrunk(drawn, wheel.shrinkage, Point::zeros())?;
    kept(tooth_passes(&shrunk, &wheel.passes()), PrintedPart::Tooth, wheel, notes)
}

/// Height that the bead has taken off the tip of the tooth `made` of `drawn`, m: how much further from the wheel's centre the
/// tooth would reach, printed with a bead of no width; `grown` is how many times as large as printed it is now.
///
/// Grown by next to nothing a tooth may leave no outline without a bead, which would round off what is in the way; then the
/// ungrown tooth, as much higher as the growth, stands for it.
///
/// # Errors
/// [`PrinterError`] where the tooth cannot be printed so.
pub fn bead_off_tip_m(drawn: &Outline, made: &Outline, wheel: &PartPrint, grown: f64) -> Result<f64, PrinterError> {
    if wheel.bead_radius_m == 0.0 {
        return Ok(0.0);
    }
    let crisp_m = |growth_m: f64| {
        let crisp = PartPrint { bead_radius_m: 0.0, growth_m, ..*wheel };
        printed_tooth(drawn, &crisp, &mut Vec::new()).map(|tooth| tooth.farthest_m(Point::zeros()))
    };
    let height_m = crisp_m(wheel.growth_m).or_else(|_| crisp_m(0.0).map(|height_m| height_m + wheel.growth_m))?;
    Ok(height_m * grown - made.farthest_m(Point::zeros()))
}

/// Windows and bore of the wheel as the mean printer makes them, each by itself, without those that it fills.
///
/// What the wheel gains the hole loses, and where the bead cannot enter the wheel's corners it widens the hole.
///
/// # Errors
/// [`PrinterError`].
pub fn printed_holes(drawn: &WheelHoles, printer: &Printer) -> Result<WheelHoles, PrinterError> {
    let PartPrint { shrinkage, growth_m, bead_radius_m } = PartPrint::mean_of(printer);
    let steps = [Pass::Offset(-growth_m), Pass::Closing(bead_radius_m), Pass::Opening(bead_radius_m)];
    let hole = |drawn: &Outline| match passes(&shrunk(drawn, shrinkage, Point::zeros())?, &steps) {
        Ok(pieces) => Ok(pieces.into_iter().next()),
        Err(OffsetError::NothingLeft { .. }) => Ok(None),
        Err(error) => Err(PrinterError::Outline { part: PrintedPart::Hole, error }),
    };
    let windows = drawn.windows.iter().filter_map(|window| hole(window).transpose()).collect::<Result<_, _>>()?;
    let bore = drawn.bore.as_ref().map_or(Ok(None), hole)?;
    Ok(WheelHoles { windows, bore })
}

fn shrunk(outline: &Outline, shrinkage: f64, arbor: Point) -> Result<Outline, PrinterError> {
    if !(shrinkage < 1.0 && shrinkage.is_finite()) {
        return Err(PrinterError::Shrinkage(shrinkage));
    }
    Ok(if shrinkage == 0.0 { outline.clone() } else { outline.scaled(1.0 - shrinkage, arbor) })
}

/// The largest piece; the others are noted.
fn kept(
    pieces: Result<Vec<Outline>, OffsetError>,
    part: PrintedPart,
    print: &PartPrint,
    notes: &mut Vec<Note>,
) -> Result<Outline, PrinterError> {
    let too_wide = PrinterError::BeadTooWide { part, bead_radius_m: print.bead_radius_m };
    let pieces = match pieces {
        Ok(pieces) => pieces,
        Err(OffsetError::NothingLeft { inward_m }) if inward_m == -print.growth_m => {
            return Err(PrinterError::GrownAway { part, growth_m: print.growth_m });
        }
        Err(OffsetError::NothingLeft { .. }) => return Err(too_wide),
        Err(error) => return Err(PrinterError::Outline { part, error }),
    };
    let lost_m2: f64 = pieces.iter().skip(1).map(Outline::signed_area_m2).sum();
    if pieces.len() > 1 {
        notes.push(Note::InPieces { part, pieces: pieces.len(), lost_m2 });
    }
    pieces.into_iter().next().ok_or(too_wide)
}

/// The outline of tooth no. `tooth_number` on an eccentric wheel, turned back into the place of tooth no. 0: a contact curve
/// `F` built from it holds at advance `phi = F + tooth_number * pitch`, as that of a true wheel does.
///
/// The wheel's body is displaced from its arbor by a vector `e` that turns with it, and points at `direction_rad`
/// (anticlockwise from x) at `phi = 0`. Tooth no. `k` of the drawn wheel is tooth no. 0 turned by `k` pitches
/// anticlockwise, against the driving direction. At `phi = F + k p` the wheel has turned by `-F - k p`, which takes the
/// tooth to `R(-F) (tooth 0 + R(-k p) e)`: tooth no. 0 displaced by `e` turned back by `k` pitches.
#[must_use]
pub fn tooth_with_run_out(
    tooth: &Outline,
    eccentricity_m: f64,
    direction_rad: f64,
    tooth_number: u32,
    teeth: u32,
) -> Outline {
    if eccentricity_m == 0.0 || teeth == 0 {
        return tooth.clone();
    }
    let angle_rad = direction_rad - TAU * f64::from(tooth_number % teeth) / f64::from(teeth);
    let (sine, cosine) = angle_rad.sin_cos();
    tooth.moved(eccentricity_m * Point::new(cosine, sine))
}
