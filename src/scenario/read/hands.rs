//! Reads `[hands]`: what minute and hour hand weigh, where their centres of mass are, and the friction of their fit.

use crate::clock::design::{DriveDesign, EscapementDesign, Hand, Hands, Train};
use crate::scenario::toml::numbers::Allowed;
use crate::scenario::toml::problem_code::ProblemCode;
use crate::scenario::toml::section::Section;
use crate::units::Kind;

use super::friction::read_friction_quantity;

const HAND_MASS: Allowed = Allowed::Between(0.0, 100.0, "from 0 g to 100 kg");
const FRICTION_TORQUE: Allowed = Allowed::Between(0.0, 1e3, "from 0 N m to 1000 N m");
const HAND_LENGTH: Allowed = Allowed::Between(1e-4, 10.0, "from 0.1 mm to 10 m");
const HAND_CENTRE: Allowed = Allowed::Between(-10.0, 10.0, "from -10 m to 10 m");

/// The hands of a pendulum clock; `Some(None)` where the scenario gives none.
pub(in crate::scenario) fn read_pendulum_hands(
    root: &mut Section<'_, '_>,
    train: Option<&Train>,
) -> Option<Option<Hands>> {
    if !root.has("hands") {
        root.entry("hands");
        return Some(None);
    }
    let hands = read_hands(root, train);
    if root.has("train") && train.is_none() {
        return None;
    }
    if train.is_none_or(|train| train.minute_arbor.is_none()) {
        let message = "`hands` is given, but no arbor of the train carries them".to_owned();
        let help = "add [train.hands] with minute = \"name of the arbor that turns once an hour\"".to_owned();
        root.report_key("hands", ProblemCode::MissingKey, message, help);
        return None;
    }
    hands.map(Some)
}

/// Hands take their torque from a train that a weight drives.
pub(in crate::scenario) fn check_that_hands_are_driven(
    root: &Section<'_, '_>,
    escapement: &EscapementDesign,
    drive: Option<&DriveDesign>,
) {
    let ideal = matches!(escapement, EscapementDesign::IdealTorque(_) | EscapementDesign::IdealKick(_));
    let lumped = matches!(drive, Some(DriveDesign::Lumped(_)));
    if !root.has("hands") || !(ideal || lumped) {
        return;
    }
    let beside = if ideal { "an ideal escapement" } else { "[drive.lumped]" };
    let message = format!("`hands` has no meaning with {beside}: no weight drives them through a train");
    let help = "delete [hands], or give a weight that drives an escapement of wheel and pallets".to_owned();
    root.report_key("hands", ProblemCode::Conflict, message, help);
}

/// The hands, which have to be there; the train says whether a motion work turns an hour hand.
pub(in crate::scenario) fn read_hands(root: &mut Section<'_, '_>, train: Option<&Train>) -> Option<Hands> {
    let mut hands =
        root.required_section("hands", "add [hands] with minute = { mass = \"2 g\", length = \"80 mm\" }")?;
    let minute =
        hands.required_section("minute", "add minute = { mass = \"2 g\", length = \"80 mm\" }").and_then(read_hand);
    let hour = if hands.has("hour") {
        hands.section("hour").and_then(read_hand).map(Some)
    } else {
        hands.entry("hour");
        Some(None)
    };
    let friction = read_friction_quantity(&mut hands, "friction", Kind::Torque, FRICTION_TORQUE);
    if let Some(train) = train {
        match (train.motion_work.is_empty(), hands.has("hour")) {
            (true, true) => {
                let message = "`hands.hour` is given, but no motion work turns it".to_owned();
                let help =
                    "add motion_work = [[15, 45], [12, 48]] to [train.hands], or delete the hour hand".to_owned();
                hands.report_key("hour", ProblemCode::Conflict, message, help);
            }
            (false, false) => {
                let message = "`hands.hour` is missing: the motion work turns an hour hand".to_owned();
                let help = "add hour = { mass = \"2 g\", length = \"60 mm\" }".to_owned();
                hands.report_at("hour", ProblemCode::MissingKey, message, help);
            }
            _ => {}
        }
    }
    hands.finish();
    Some(Hands { minute: minute?, hour: hour?, friction_n_m: friction?, dial_shares: None })
}

/// A hand; one without `centre_of_mass` is a uniform bar from the arbor to its tip.
fn read_hand(mut hand: Section<'_, '_>) -> Option<Hand> {
    let mass = hand.quantity("mass", Kind::Mass, HAND_MASS);
    let length = hand.quantity("length", Kind::Length, HAND_LENGTH);
    let centre = hand.optional_quantity("centre_of_mass", Kind::Length, HAND_CENTRE);
    if let (Some(length), Some(Some(centre))) = (length, centre)
        && centre.abs() > length
    {
        let message = "the centre of mass lies beyond the hand's length".to_owned();
        let help = "write its distance from the arbor, negative on the side of the tail".to_owned();
        hand.report_at("centre_of_mass", ProblemCode::ImpossibleValue, message, help);
    }
    hand.finish();
    let length_m = length?;
    Some(Hand { mass_kg: mass?, length_m, centre_of_mass_m: centre?.unwrap_or(0.5 * length_m) })
}
