//! Why a plan gives no escapement.

use crate::clock::side::Side;
use crate::geometry::OutlineError;

/// Why a plan gives no working outlines. Values in the variants are SI and radians; the texts give degrees and millimetres.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
pub enum FamilyError {
    /// A length or angle that must be above zero is not, or is not a number.
    #[error("{quantity} is {}; it must be a finite number above 0", shown(.quantity, *.value))]
    NotPositive {
        /// Name of the quantity.
        quantity: &'static str,
        /// Its value.
        value: f64,
    },
    /// An angle or length that may be zero is below it, or is not a number.
    #[error("{quantity} is {}; it must be a finite number, 0 or more", shown(.quantity, *.value))]
    Negative {
        /// Name of the quantity.
        quantity: &'static str,
        /// Its value.
        value: f64,
    },
    /// Pallets that do not embrace a whole number of spaces and a half.
    #[error("the pallets embrace {spaces} spaces; they must embrace a whole number and a half, such as {nearest}")]
    SpacesNotHalf {
        /// Spaces as planned.
        spaces: f64,
        /// Nearest possible number.
        nearest: f64,
    },
    /// Pallets that reach around half the wheel.
    #[error(
        "the pallets embrace {spaces} of the wheel's {teeth} spaces; it must be less than half of them (a quarter is usual)"
    )]
    EmbracesHalf {
        /// Spaces as planned.
        spaces: f64,
        /// Teeth of the wheel.
        teeth: u32,
    },
    /// Drops that leave nothing of the pitch for the pallets.
    #[error("a drop of {:.3} deg uses up the pitch; it must be less than half the pitch, {:.3} deg", drop_rad.to_degrees(), half_pitch_rad.to_degrees())]
    DropTooLarge {
        /// Drop as planned.
        drop_rad: f64,
        /// Half the pitch.
        half_pitch_rad: f64,
    },
    /// A pallet arbor inside the wheel.
    #[error("the centre distance of {:.3} mm puts the pallet arbor into the wheel; it must be more than the wheel's radius, {:.3} mm ({:.3} mm is tangent)", 1e3 * centre_distance_m, 1e3 * radius_m, 1e3 * tangent_m)]
    ArborInsideWheel {
        /// Centre distance as planned.
        centre_distance_m: f64,
        /// Radius of the wheel.
        radius_m: f64,
        /// Centre distance at which the pallets act along the tangent.
        tangent_m: f64,
    },
    /// A tooth as deep as the wheel.
    #[error("the teeth are {:.3} mm deep; that must be less than the wheel's radius, {:.3} mm", 1e3 * depth_m, 1e3 * radius_m)]
    ToothDeeperThanWheel {
        /// Depth as planned.
        depth_m: f64,
        /// Radius of the wheel.
        radius_m: f64,
    },
    /// A face of the tooth so inclined that it never reaches the root.
    #[error("a tooth face leaning {:.3} deg from the radius does not reach the root; undercut and wedge together must be less than {:.3} deg", lean_rad.to_degrees(), largest_rad.to_degrees())]
    FaceMissesRoot {
        /// Lean of the back face: undercut and wedge together.
        lean_rad: f64,
        /// Lean at which a face is tangent to the root circle.
        largest_rad: f64,
    },
    /// A tooth without width at its root.
    #[error("a tooth without tip width and without wedge angle has no body; give it one of them")]
    ToothHasNoBody,
    /// Teeth that run into each other at the root.
    #[error("a tooth takes {:.3} deg at its root; it must be less than the pitch, {:.3} deg: less depth, wedge or tip width", width_rad.to_degrees(), pitch_rad.to_degrees())]
    TeethMerge {
        /// Angle that one tooth takes at the root circle.
        width_rad: f64,
        /// Pitch.
        pitch_rad: f64,
    },
    /// A tip land that the drop does not carry clear of the pallet.
    #[error("the tip land is {:.3} mm wide; the drop carries the tip only {:.3} mm past the pallet, so the land must be narrower than that", 1e3 * tip_width_m, 1e3 * drop_m)]
    TipWiderThanDrop {
        /// Tip width as planned.
        tip_width_m: f64,
        /// Drop along the tip circle.
        drop_m: f64,
    },
    /// An undercut and a slope that leave no corner.
    #[error("an undercut of {:.3} deg and a slope of {:.3} deg leave the tooth no corner; together they must be less than 90 deg", undercut_rad.to_degrees(), slope_rad.to_degrees())]
    CornerVanishes {
        /// Undercut.
        undercut_rad: f64,
        /// Slope of the end face.
        slope_rad: f64,
    },
    /// An end face that falls so little that its back stands out of the tip circle.
    #[error("the end face slopes by {:.3} deg, and its back end lies outside the tip circle; it must slope by more than {:.3} deg", slope_rad.to_degrees(), least_rad.to_degrees())]
    EndFaceReachesOut {
        /// Slope as planned.
        slope_rad: f64,
        /// Slope at which the end face is a chord of the tip circle.
        least_rad: f64,
    },
    /// Fillets that find no place between face and root.
    #[error("a root fillet of {:.3} mm does not fit on a tooth {:.3} mm deep; it must be smaller", 1e3 * fillet_m, 1e3 * depth_m)]
    FilletMissesRoot {
        /// Radius of the fillet.
        fillet_m: f64,
        /// Depth of the tooth.
        depth_m: f64,
    },
    /// A lift on the tooth that its end face cannot give.
    #[error("the tooth cannot take {:.3} deg of the lift; with an end face of this length it takes {:.3} deg at most", tooth_lift_rad.to_degrees(), most_rad.to_degrees())]
    ToothLiftOutOfReach {
        /// Lift on the tooth as planned.
        tooth_lift_rad: f64,
        /// Lift at the steepest end face.
        most_rad: f64,
    },
    /// An end face that is steeper than the pallet's face, so that the heel strikes it before the front corner.
    #[error(
        "the heel of a tooth strikes the {pallet} pallet's face before the front corner does; less lift on the tooth, or a wider tip, would keep the end face below it"
    )]
    EndFaceLeads {
        /// Which pallet.
        pallet: Side,
    },
    /// Pins as thick as the pitch.
    #[error("pins of {:.3} mm touch each other; they stand {:.3} mm apart", 1e3 * diameter_m, 1e3 * apart_m)]
    PinsTouch {
        /// Diameter of a pin.
        diameter_m: f64,
        /// Distance of two neighbours.
        apart_m: f64,
    },
    /// No end face gives pallets of pins the planned lift and drop.
    #[error("no end face of the teeth gives pallet pins of {:.3} mm this lift and drop; thinner pins, fewer teeth, less lift or more drop might", 1e3 * diameter_m)]
    NoEndFace {
        /// Diameter of a pallet pin.
        diameter_m: f64,
    },
    /// A face along which the wheel does not drive its pallet all the way.
    #[error("the wheel cannot drive the {pallet} pallet over its whole face; a centre distance nearer {:.3} mm, more lift or a shorter face would let it", 1e3 * tangent_m)]
    WheelCannotDrive {
        /// Which pallet.
        pallet: Side,
        /// Centre distance at which the pallets act along the tangent.
        tangent_m: f64,
    },
    /// A face so long that the pallet bends around its arbor.
    #[error("the {pallet} pallet would reach {:.3} deg around its arbor; a shorter face must bring that below {:.0} deg", reach_rad.to_degrees(), largest_rad.to_degrees())]
    FaceTooLong {
        /// Which pallet.
        pallet: Side,
        /// Angle of the pallet about its arbor.
        reach_rad: f64,
        /// Largest such angle.
        largest_rad: f64,
    },
    /// A pallet that meets the bottom of the tooth space.
    #[error("at the end of its swing the {pallet} pallet reaches {:.3} mm into the wheel; the teeth, {:.3} mm deep, must be deeper or the face shorter", 1e3 * reach_m, 1e3 * depth_m)]
    ToothTooShallow {
        /// Which pallet.
        pallet: Side,
        /// Greatest depth of the pallet below the tip circle.
        reach_m: f64,
        /// Depth of the teeth.
        depth_m: f64,
    },
    /// A tooth front that meets the pallet below the tip.
    #[error("the front of a tooth meets the {pallet} pallet below the tip; the undercut of {:.3} deg must be more than {:.3} deg", undercut_rad.to_degrees(), least_rad.to_degrees())]
    UndercutTooSmall {
        /// Which pallet.
        pallet: Side,
        /// Undercut as planned.
        undercut_rad: f64,
        /// Undercut at which the front touches.
        least_rad: f64,
    },
    /// A pallet that meets the back of the tooth ahead of it.
    #[error("at a pallet angle of {} the {pallet} pallet cuts {:.4} mm into the back of the tooth ahead; a narrower tooth (tip width, wedge, undercut), less lock or face, or more drop would clear it", degrees(*theta_rad), 1e3 * depth_m)]
    HitsToothAhead {
        /// Which pallet.
        pallet: Side,
        /// Depth of the overlap.
        depth_m: f64,
        /// Pallet angle.
        theta_rad: f64,
    },
    /// A pallet that meets a tooth on the side of its working face, elsewhere than with the tip corner at work.
    #[error("at a pallet angle of {} the {pallet} pallet cuts {:.4} mm into a tooth that comes behind it; fewer teeth, a shorter face or another centre distance would clear it", degrees(*theta_rad), 1e3 * depth_m)]
    HitsToothBehind {
        /// Which pallet.
        pallet: Side,
        /// Depth of the overlap.
        depth_m: f64,
        /// Pallet angle.
        theta_rad: f64,
    },
    /// A chain that is not an outline.
    #[error("a part of the escapement has no proper outline: {0}")]
    Outline(#[from] OutlineError),
}

/// A value of the plan as its maker writes it: counts plain, angles in degrees, lengths in millimetres.
fn shown(quantity: &str, value: f64) -> String {
    let text = match quantity {
        "number of teeth" | "number of spaces embraced" => format!("{value:.3}"),
        "lift"
        | "drop"
        | "lock"
        | "face length"
        | "undercut"
        | "wedge angle of the tooth"
        | "lift on the tooth"
        | "slope of the end face" => return degrees(value),
        _ => format!("{:.3} mm", 1e3 * value),
    };
    true_minus(&text)
}

fn true_minus(number: &str) -> String {
    number.replace('-', "\u{2212}")
}

/// An angle in degrees with a true minus sign.
pub(super) fn degrees(angle_rad: f64) -> String {
    true_minus(&format!("{:.3} deg", angle_rad.to_degrees()))
}
