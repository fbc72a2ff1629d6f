//! Reads the top level of a scenario whose clock is driven by a motor: `[motor]`, `[supply]`, `[oscillator]`, `[hands]` beside the
//! place, train and season of all clocks.

use crate::clock::design::{Design, Hand, Hands, MotorClock, Train};
use crate::clock::environment::weather::SeasonPlan;
use crate::scenario::toml::numbers::Allowed;
use crate::scenario::toml::overlay::{FROM, LEAVE_OUT};
use crate::scenario::toml::problem_code::ProblemCode;
use crate::scenario::toml::section::Section;
use crate::units::Kind;

use super::design::{DesignRead, read_design};
use super::friction::read_friction_quantity;
use super::material::read_materials;
use super::materials::Materials;
use super::motor::{read_motor, read_supply};
use super::oscillator::read_oscillator;
use super::place::read_place;
use super::season::read_season;
use super::train::{LastArbor, read_train};

/// Tables of a pendulum clock that a motor leaves without meaning.
const OF_PENDULUM_CLOCKS: [&str; 5] = ["pendulum", "escapement", "drive", "start_arc", "margin"];

const HAND_MASS: Allowed = Allowed::Between(0.0, 100.0, "from 0 g to 100 kg");
const FRICTION_TORQUE: Allowed = Allowed::Between(0.0, 1e3, "from 0 N m to 1000 N m");
const HAND_LENGTH: Allowed = Allowed::Between(1e-4, 10.0, "from 0.1 mm to 10 m");
const HAND_CENTRE: Allowed = Allowed::Between(-10.0, 10.0, "from -10 m to 10 m");

/// A clock of either kind.
#[derive(Debug, Clone, PartialEq)]
pub(in crate::scenario) enum AnyDesign {
    Pendulum(Design),
    Motor(MotorClock),
}

/// The design and what stands beside it: a motor's where there is `[motor]`, else a pendulum's. `None` after problems only.
pub(in crate::scenario) fn read_any_design(root: Section<'_, '_>, file_stem: &str) -> Option<DesignRead<AnyDesign>> {
    if root.has("motor") {
        let (clock, note, season) = read_motor_clock(root, file_stem)?;
        let design = AnyDesign::Motor(clock);
        return Some(DesignRead { design, note, towns: Vec::new(), beds: Vec::new(), season });
    }
    let DesignRead { design, note, towns, beds, season } = read_design(root, file_stem)?;
    Some(DesignRead { design: AnyDesign::Pendulum(design), note, towns, beds, season })
}

fn read_motor_clock(
    mut root: Section<'_, '_>,
    file_stem: &str,
) -> Option<(MotorClock, Option<String>, Option<SeasonPlan>)> {
    root.refuse_beside(
        "motor",
        &OF_PENDULUM_CLOCKS,
        "a clock has either a motor, or a pendulum with its escapement and drive",
    );
    let materials = &read_materials(&mut root);
    let name = root.optional_text("name");
    let note = root.optional_text("note");
    let place = read_place(&mut root);
    let oscillator = read_oscillator(&mut root);
    let interval_s = oscillator.as_ref().map(|oscillator| f64::from(oscillator.divider) / oscillator.frequency_hz);
    let motor = read_motor(&mut root, interval_s);
    let supply = read_supply(&mut root);
    let train = read_motor_train(&mut root, materials);
    let hands = read_hands(&mut root, train.as_ref());
    let season = read_season(&mut root, place.as_ref());
    for key in [FROM, LEAVE_OUT] {
        root.entry(key);
    }
    root.finish();
    let clock = MotorClock {
        name: name?.unwrap_or_else(|| file_stem.to_owned()),
        place: place?,
        oscillator: oscillator?,
        motor: motor?,
        supply: supply?,
        train: train?,
        hands: hands?,
    };
    Some((clock, note?, season))
}

/// The train, which has to be there with a minute hand, and without a beat.
fn read_motor_train(root: &mut Section<'_, '_>, materials: &Materials) -> Option<Train> {
    let Some(train) = read_train(root, materials, LastArbor::Motor)? else {
        let message = "`train` is missing: nothing connects motor and hands".to_owned();
        let help =
            "add [[train.arbor]] tables from the minute hand's arbor to the motor's, and [train.hands]".to_owned();
        root.reader.report(ProblemCode::MissingKey, message, help, root.span());
        return None;
    };
    if train.minute_arbor.is_none() {
        let message = "`train.hands` is missing: without hands a motor drives nothing".to_owned();
        let help = "add [train.hands] with minute = \"name of the arbor that turns once an hour\"".to_owned();
        root.report_at("train", ProblemCode::MissingKey, message, help);
        return None;
    }
    Some(train)
}

fn read_hands(root: &mut Section<'_, '_>, train: Option<&Train>) -> Option<Hands> {
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
                    "add motion_work = [[12, 36], [10, 40]] to [train.hands], or delete the hour hand".to_owned();
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
    Some(Hands { minute: minute?, hour: hour?, friction_n_m: friction? })
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
