//! Reads the top level of a scenario whose clock is driven by a motor: `[motor]`, `[supply]`, `[oscillator]`, `[hands]` beside the
//! place, train and season of all clocks.

use super::design::{DesignRead, read_design};
use super::hands::read_hands;
use super::material::read_materials;
use super::materials::Materials;
use super::motor::{read_motor, read_supply};
use super::oscillator::read_oscillator;
use super::place::read_place;
use super::season::read_season;
use super::train::{LastArbor, read_train};
use crate::clock::design::{Design, MotorClock, Train};
use crate::clock::environment::weather::SeasonPlan;
use crate::scenario::toml::overlay::{FROM, LEAVE_OUT};
use crate::scenario::toml::problem_code::ProblemCode;
use crate::scenario::toml::section::Section;

/// Tables of a pendulum clock that a motor leaves without meaning.
const OF_PENDULUM_CLOCKS: [&str; 5] = ["pendulum", "escapement", "drive", "start_arc", "margin"];

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
        return Some(DesignRead { design, note, towns: Vec::new(), beds: Vec::new(), season, page_asks: None });
    }
    let DesignRead { design, note, towns, beds, season, page_asks } = read_design(root, file_stem)?;
    Some(DesignRead { design: AnyDesign::Pendulum(design), note, towns, beds, season, page_asks })
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
