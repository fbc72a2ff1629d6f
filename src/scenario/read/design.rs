//! Reads the top level of a scenario into a `Design`.

use crate::clock::design::{AsMade, Design, DriveDesign, EscapementDesign, Gravity, PendulumDesign, Town, Train};
use crate::clock::environment::weather::SeasonPlan;
use crate::clock::printing::bed::Bed;
use crate::clock::printing::printer::Printer;
use crate::scenario::toml::numbers::Allowed;
use crate::scenario::toml::overlay::{FROM, LEAVE_OUT};
use crate::scenario::toml::problem_code::ProblemCode;
use crate::scenario::toml::section::Section;
use crate::units::Kind;

use super::ageing::read_ageing;
use super::drive::read_drive;
use super::escapement::{EscapementRead, escape_wheel_radius_m, read_escapement};
use super::frame::{FrameRead, read_frame, read_made};
use super::hands::{check_that_hands_are_driven, read_pendulum_hands};
use super::material::read_materials;
use super::page::read_page_asks;
use super::pendulum::read_pendulum;
use super::place::{read_place, read_towns};
use super::port::{in_materials, read_port};
use super::printer::read_printer;
use super::scale::{in_size, read_scale};
use super::season::read_season;
use super::support::{check_that_a_weight_hangs, read_support};
use super::train::{KnownEscapeWheel, LastArbor, read_train};

/// Supplementary arc asked for where the scenario does not say, 0.5 degrees: common practice, no source.
pub const DEFAULT_MARGIN_RAD: f64 = 0.5 * std::f64::consts::PI / 180.0;

const START_ARC: Allowed = Allowed::Between(1e-9, std::f64::consts::FRAC_PI_2, "above 0 deg and up to 90 deg");
const MARGIN: Allowed = Allowed::Between(0.0, std::f64::consts::FRAC_PI_4, "from 0 deg to 45 deg");

/// A scenario as read.
#[derive(Debug)]
pub(in crate::scenario) struct DesignRead<D = Design> {
    /// The clock.
    pub(in crate::scenario) design: D,
    /// The maker's note.
    pub(in crate::scenario) note: Option<String>,
    /// Other places where it is to hang.
    pub(in crate::scenario) towns: Vec<Town>,
    /// Beds of the printer.
    pub(in crate::scenario) beds: Vec<Bed>,
    /// What it says of the seasons.
    pub(in crate::scenario) season: Option<SeasonPlan>,
    /// What its page asks its readers.
    pub(in crate::scenario) page_asks: Option<Vec<String>>,
}

/// The design and what stands beside it. `None` after problems only.
pub(in crate::scenario) fn read_design(mut root: Section<'_, '_>, file_stem: &str) -> Option<DesignRead> {
    if root.has("motor") {
        let message = "this clock is driven by a motor and has no pendulum".to_owned();
        let help =
            "use `predict`, `inspect`, `spread` or `season` with it; to make it a pendulum clock, delete [motor]"
                .to_owned();
        root.report_key("motor", ProblemCode::NoPendulum, message, help);
        return None;
    }
    let materials = &read_materials(&mut root);
    let name = root.optional_text("name");
    let note = root.optional_text("note");
    let start_arc_rad = root.optional_quantity("start_arc", Kind::Angle, START_ARC);
    let margin_rad = root.quantity_or("margin", Kind::Angle, MARGIN, DEFAULT_MARGIN_RAD);
    let place = read_place(&mut root);
    let towns = read_towns(&mut root, place.as_ref());
    let pendulum = read_pendulum(&mut root, materials);
    let made_at = read_made(&mut root);
    let frame = read_frame(&mut root, materials);
    let EscapementRead { design: escapement, wheel, pallets, anchor } = read_escapement(&mut root, materials);
    let made = wheel.as_ref().and_then(|wheel| wheel.as_ref()?.made.as_ref());
    let known = KnownEscapeWheel {
        radius_m: escapement.as_ref().and_then(escape_wheel_radius_m),
        mass_kg: made.map(|made| made.mass_kg),
        inertia_kg_m2: made.map(|made| made.inertia_kg_m2),
        is_unread: escapement.is_none(),
    };
    let train = read_train(&mut root, materials, LastArbor::EscapeWheel(known));
    let hands = read_pendulum_hands(&mut root, train.as_ref().and_then(Option::as_ref));
    let drive = read_drive(&mut root, materials);
    let support = read_support(&mut root);
    let ageing = read_ageing(&mut root);
    let printer = read_printer(&mut root);
    let factors = read_scale(&mut root);
    let port = read_port(&mut root, materials);
    let season = read_season(&mut root, place.as_ref());
    let page_asks = read_page_asks(&mut root);

    if let (Some(escapement), Some(drive)) = (&escapement, &drive) {
        check_drive(&root, escapement, drive.as_ref());
        check_that_hands_are_driven(&root, escapement, drive.as_ref());
    }
    if let Some(drive) = &drive {
        check_that_a_weight_hangs(&root, drive.as_ref());
    }
    if let (Some(escapement), Some((_, Some(_)))) = (&escapement, &pendulum) {
        check_that_a_crutch_drives_pallets(&root, escapement);
    }
    if let (Some(place), Some((pendulum, _))) = (&place, &pendulum) {
        check_that_it_hangs(&root, place.gravity, pendulum);
    }
    // Taken out before; known here so that a mistyped one is suggested, as is the key of the other kind of clock.
    for key in [FROM, LEAVE_OUT, "motor"] {
        root.entry(key);
    }
    let has_printer = root.has("printer");
    let (reader, scale_span) = (root.reader, root.span_of("scale"));
    root.finish();
    let FrameRead { material: frame, arbors_printed, plates } = frame?;
    let (printer, beds) = printer?;
    let printer = Printer { makes_frame: arbors_printed && has_printer, ..printer };
    let hands = hands?;
    let (pendulum, crutch_play) = pendulum?;
    let train = train?.map(|train| Train { hands, ..train });
    let design = Design {
        name: name?.unwrap_or_else(|| file_stem.to_owned()),
        start_arc_rad: start_arc_rad?,
        margin_rad: margin_rad?,
        place: place?,
        pendulum,
        crutch_play,
        train,
        drive: drive?,
        escapement: escapement?,
        escape_wheel: wheel?.map(|wheel| wheel.body),
        printer,
        frame,
        pallets: pallets?,
        support: support?,
        ageing: ageing?,
        plates,
        anchor: anchor?,
        sizes: AsMade { under: made_at? },
    };
    let sized = in_size(reader, scale_span, design, &factors?)?;
    let design = in_materials(reader, sized, port?.as_ref())?;
    Some(DesignRead { design, note: note?, towns: towns?, beds, season, page_asks: page_asks? })
}

/// A tooth that slides on pallets needs a torque, and a weight needs a train.
fn check_drive(root: &Section<'_, '_>, escapement: &EscapementDesign, drive: Option<&DriveDesign>) {
    let ideal = matches!(escapement, EscapementDesign::IdealTorque(_) | EscapementDesign::IdealKick(_));
    if drive.is_none() && !ideal {
        let message = "`drive` is missing: nothing turns the escape wheel".to_owned();
        let help = "add [drive] with weight, drum_diameter, cord_diameter and drop, or [drive.lumped]".to_owned();
        root.reader.report(ProblemCode::MissingKey, message, help, root.span());
    }
    if matches!(drive, Some(DriveDesign::Weight(_))) && !root.has("train") {
        let message = "`train` is missing: a weight drives the escape wheel through a train".to_owned();
        let help = "add [[train.arbor]] tables from the drum to the escape wheel, or use [drive.lumped]".to_owned();
        root.reader.report(ProblemCode::MissingKey, message, help, root.span());
    }
}

/// An ideal escapement acts on the pendulum itself.
fn check_that_a_crutch_drives_pallets(root: &Section<'_, '_>, escapement: &EscapementDesign) {
    if matches!(escapement, EscapementDesign::IdealTorque(_) | EscapementDesign::IdealKick(_)) {
        let message =
            "`pendulum.crutch_play` is given, but an ideal escapement has no pallets and no crutch".to_owned();
        let help = "delete the play, or describe an escapement with pallets".to_owned();
        root.report_at("pendulum", ProblemCode::Conflict, message, help);
    }
}

/// Without gravity and without stiffness nothing brings the pendulum back.
fn check_that_it_hangs(root: &Section<'_, '_>, gravity: Gravity, pendulum: &PendulumDesign) {
    let restored = match (gravity, pendulum) {
        (Gravity::Stated(gravity_m_s2), PendulumDesign::Lumped(lumped)) => {
            lumped.stiffness_n_m_per_rad + lumped.mass_kg * gravity_m_s2 * lumped.centre_of_mass_m > 0.0
        }
        (Gravity::Stated(gravity_m_s2), PendulumDesign::Parts(_)) => gravity_m_s2 > 0.0,
        (Gravity::ByPlace { .. }, PendulumDesign::Lumped(lumped)) => {
            lumped.stiffness_n_m_per_rad > 0.0 || lumped.mass_kg * lumped.centre_of_mass_m > 0.0
        }
        (Gravity::ByPlace { .. }, PendulumDesign::Parts(_)) => true,
    };
    if !restored {
        let message = "nothing brings the pendulum back to the middle".to_owned();
        let help = "give it gravity with a mass below the axis, or a stiffness".to_owned();
        root.report_at("pendulum", ProblemCode::ImpossibleValue, message, help);
    }
}
