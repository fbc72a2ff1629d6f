//! Reads `[pendulum]`: by bare numbers or by parts.

use crate::clock::design::{
    Column, CrutchPlay, ExtraMass, Friction, LossCorrelations, LumpedPendulum, MeasuredDamping, PendulumDesign,
    PendulumParts, Pivot, RatingNut,
};
use crate::clock::pendulum::bob::bob_seat_m;
use crate::scenario::toml::numbers::Allowed;
use crate::scenario::toml::problem_code::ProblemCode;
use crate::scenario::toml::section::Section;
use crate::scenario::toml::tree::Value;
use crate::units::Kind;

use super::bob::{LENGTH, bob_half_height_m, read_bob, read_rod};
use super::crutch::read_crutch_play;
use super::friction::read_friction_quantity;
use super::materials::Materials;
use super::pivot::{ON_AN_ARBOR, read_pivot};
use super::suspension::read_suspension;

/// Length of a column that is to be solved.
const COMPENSATING: &str = "compensating";

/// Tables and keys of a pendulum by parts.
pub(in crate::scenario) const PART_KEYS: [&str; 9] =
    ["rod", "column", "bob", "nut", "part", "suspension", "pallets", "extra_damping", "measured_damping"];

/// The pendulum, which has to be there, and the play of its crutch.
pub(in crate::scenario) fn read_pendulum(
    root: &mut Section<'_, '_>,
    materials: &Materials,
) -> Option<(PendulumDesign, Option<CrutchPlay>)> {
    let help = "add [pendulum.rod], [pendulum.bob] and [pendulum.suspension], or [pendulum.lumped]";
    let mut pendulum = root.required_section("pendulum", help)?;
    let crutch = pendulum.optional_quantity("crutch_length", Kind::Length, Allowed::Positive);
    let play = read_crutch_play(&mut pendulum, crutch.flatten());
    if !pendulum.has("lumped") {
        let parts = read_parts(pendulum, materials, crutch?).map(PendulumDesign::Parts);
        return parts.zip(play);
    }
    pendulum.refuse_beside("lumped", &PART_KEYS, "describe the pendulum by its parts or by its bare numbers");
    let lumped = pendulum.section("lumped").and_then(read_lumped);
    pendulum.finish();
    lumped.map(PendulumDesign::Lumped).zip(play)
}

fn read_lumped(mut lumped: Section<'_, '_>) -> Option<LumpedPendulum> {
    let inertia = lumped.quantity("inertia", Kind::Inertia, Allowed::Positive);
    let mass = lumped.quantity("mass", Kind::Mass, Allowed::Positive);
    let centre_of_mass = lumped.quantity("centre_of_mass", Kind::Length, Allowed::NotNegative);
    let stiffness = lumped.quantity_or("stiffness", Kind::Stiffness, Allowed::NotNegative, 0.0);
    let damping = read_uncertain_damping(&mut lumped, "damping_linear", "damping_quadratic");
    lumped.finish();
    let damping = damping?;
    Some(LumpedPendulum {
        inertia_kg_m2: inertia?,
        mass_kg: mass?,
        centre_of_mass_m: centre_of_mass?,
        stiffness_n_m_per_rad: stiffness?,
        damping_linear_n_m_s: damping.linear_n_m_s,
        damping_quadratic_n_m_s2: damping.quadratic_n_m_s2,
        friction_torque_n_m: damping.friction_torque_n_m,
    })
}

/// Linear and quadratic damping and constant friction torque, each 0 where absent.
fn read_damping(
    section: &mut Section<'_, '_>,
    linear_key: &'static str,
    quadratic_key: &'static str,
) -> Option<(f64, f64, Friction)> {
    let linear = section.quantity_or(linear_key, Kind::DampingLinear, Allowed::NotNegative, 0.0);
    let quadratic = section.quantity_or(quadratic_key, Kind::DampingQuadratic, Allowed::NotNegative, 0.0);
    let friction = read_friction_quantity(section, "friction_torque", Kind::Torque, Allowed::NotNegative);
    Some((linear?, quadratic?, friction?))
}

/// The same three, each with its spread if it has one.
fn read_uncertain_damping(
    section: &mut Section<'_, '_>,
    linear_key: &'static str,
    quadratic_key: &'static str,
) -> Option<MeasuredDamping> {
    let mut read = |key, kind| read_friction_quantity(section, key, kind, Allowed::NotNegative);
    let linear = read(linear_key, Kind::DampingLinear);
    let quadratic = read(quadratic_key, Kind::DampingQuadratic);
    let friction = read("friction_torque", Kind::Torque);
    Some(MeasuredDamping {
        linear_n_m_s: linear?,
        quadratic_n_m_s2: quadratic?,
        friction_torque_n_m: friction?,
        correlations: LossCorrelations::default(),
    })
}

/// How the uncertainties of measured losses hang together; not at all where nothing is said.
fn read_correlations(measured: &mut Section<'_, '_>) -> Option<LossCorrelations> {
    const CORRELATION: Allowed = Allowed::Between(-1.0, 1.0, "from -1 to 1");
    const LAST: &str = "linear_with_quadratic";
    let mut read = |key| measured.number_or(key, CORRELATION, 0.0);
    let friction_linear = read("friction_with_linear");
    let friction_quadratic = read("friction_with_quadratic");
    let linear_quadratic = read(LAST);
    let found = LossCorrelations {
        friction_linear: friction_linear?,
        friction_quadratic: friction_quadratic?,
        linear_quadratic: linear_quadratic?,
    };
    // Written to six digits, correlations of quantities that run together may miss it by so much.
    if found.determinant() < -1e-4 {
        let message = "no three quantities are correlated like these".to_owned();
        let help = "give the three correlations of one fit, or leave them out".to_owned();
        measured.report_at(LAST, ProblemCode::ImpossibleValue, message, help);
        return None;
    }
    Some(found)
}

fn read_measured_damping(pendulum: &mut Section<'_, '_>) -> Option<Option<MeasuredDamping>> {
    if !pendulum.has("measured_damping") {
        pendulum.entry("measured_damping");
        return Some(None);
    }
    let mut measured = pendulum.section("measured_damping")?;
    let damping = read_uncertain_damping(&mut measured, "linear", "quadratic");
    let correlations = read_correlations(&mut measured);
    measured.finish();
    Some(Some(MeasuredDamping { correlations: correlations?, ..damping? }))
}

fn read_parts(mut pendulum: Section<'_, '_>, materials: &Materials, crutch_m: Option<f64>) -> Option<PendulumParts> {
    let rod = pendulum
        .required_section("rod", "add [pendulum.rod] with shape, length and material")
        .and_then(|rod| read_rod(rod, materials));
    let bob = pendulum
        .required_section("bob", "add [pendulum.bob] with shape, below_axis and material")
        .and_then(|bob| read_bob(bob, materials));
    let suspension = pendulum
        .required_section("suspension", "add [pendulum.suspension] with kind, for example \"strip_spring\"")
        .and_then(|suspension| read_suspension(suspension, materials));
    let columns = read_columns(&mut pendulum, materials);
    let nut = read_nut(&mut pendulum);
    let extras = read_extras(&mut pendulum);
    let pallets = read_pallets(&mut pendulum);
    let damping = read_extra_damping(&mut pendulum);
    let measured_damping = read_measured_damping(&mut pendulum);
    if let (Some(rod), Some(bob)) = (&rod, &bob)
        && rod.top_m + rod.length_m < bob.centre_m - bob_half_height_m(bob.shape)
    {
        let message = "the rod ends above the bob".to_owned();
        let reach_mm = 1e3 * (bob.centre_m - rod.top_m);
        let help = format!("make pendulum.rod.length about \"{reach_mm:.1} mm\", or hang the bob higher");
        pendulum.report_at("rod", ProblemCode::ImpossibleValue, message, help);
    }
    if let (Some(rod), Some(bob), Some(columns)) = (&rod, &bob, &columns)
        && let Some(last) = columns.last()
        && !columns.iter().any(|column| column.compensates)
    {
        let begins_m = bob_seat_m(bob) - columns.iter().map(Column::down_m).sum::<f64>();
        if begins_m <= rod.top_m {
            let message =
                format!("the columns leave no rod: the first would begin {:.1} mm below the axis", 1e3 * begins_m);
            let help = format!("shorten those that lead down, the last of which is \"{}\"", last.name);
            pendulum.report_at("column", ProblemCode::ImpossibleValue, message, help);
        }
    }
    // The key of the other form, so that a mistyped `lumped` is suggested.
    pendulum.entry("lumped");
    pendulum.finish();
    let (pallet_pivot, pallet_mass_kg) = pallets?;
    let (extra_damping_linear_n_m_s, extra_damping_quadratic_n_m_s2, extra_friction_torque_n_m) = damping?;
    Some(PendulumParts {
        rod: rod?,
        columns: columns?,
        bob: bob?,
        nut: nut?,
        extras: extras?,
        suspension: suspension?,
        pallet_pivot,
        pallet_mass_kg,
        crutch_m,
        extra_damping_linear_n_m_s,
        extra_damping_quadratic_n_m_s2,
        extra_friction_torque_n_m,
        measured_damping: measured_damping?,
    })
}

/// `[[pendulum.column]]`: what lies between the rod's lower end and the bob, in order.
fn read_columns(pendulum: &mut Section<'_, '_>, materials: &Materials) -> Option<Vec<Column>> {
    let is_list = pendulum.has("column");
    let sections = pendulum.list("column");
    let wanted = sections.len();
    let mut columns = Vec::new();
    let mut one_compensates = false;
    for (index, mut column) in sections.into_iter().enumerate() {
        let name = column.optional_text("name");
        let material = materials.named(&mut column, "material");
        let compensates = column.written_text("length").is_some_and(|text| text.trim() == COMPENSATING);
        let length = if compensates {
            column.entry("length");
            Some(None)
        } else {
            column.quantity("length", Kind::Length, LENGTH).map(Some)
        };
        let up = column.choice("direction", &[("down", false), ("up", true)], None);
        let mass = column.quantity_or("mass", Kind::Mass, Allowed::NotNegative, 0.0);
        if compensates && std::mem::replace(&mut one_compensates, true) {
            let message = "two columns are marked as compensating".to_owned();
            let help = "only one length can be solved for; give the other as a length".to_owned();
            column.report_at("length", ProblemCode::Conflict, message, help);
        }
        column.finish();
        if let (Some(name), Some(material), Some(length_m), Some(up), Some(mass_kg)) =
            (name, material, length, up, mass)
        {
            let name = name.unwrap_or_else(|| format!("column {}", index + 1));
            columns.push(Column { name, material, length_m, up, mass_kg, compensates });
        }
    }
    (columns.len() == wanted && (wanted > 0 || !is_list)).then_some(columns)
}

fn read_nut(pendulum: &mut Section<'_, '_>) -> Option<Option<RatingNut>> {
    if !pendulum.has("nut") {
        pendulum.entry("nut");
        return Some(None);
    }
    let mut nut = pendulum.section("nut")?;
    let mass = nut.quantity("mass", Kind::Mass, Allowed::Positive);
    let place = nut.quantity("below_axis", Kind::Length, Allowed::Positive);
    let pitch = nut.quantity("pitch", Kind::Length, Allowed::Positive);
    nut.finish();
    Some(Some(RatingNut { mass_kg: mass?, place_m: place?, pitch_m: pitch? }))
}

fn read_extras(pendulum: &mut Section<'_, '_>) -> Option<Vec<ExtraMass>> {
    let is_other = pendulum.entry("part").is_some_and(|entry| !matches!(entry.node.value, Value::Array(_)));
    let sections = pendulum.list("part");
    let wanted = sections.len();
    let mut extras = Vec::new();
    for mut part in sections {
        let name = part.text("name");
        let mass = part.quantity("mass", Kind::Mass, Allowed::Positive);
        let place = part.quantity("below_axis", Kind::Length, Allowed::Any);
        let inertia = part.quantity_or("inertia", Kind::Inertia, Allowed::NotNegative, 0.0);
        part.finish();
        if let (Some(name), Some(mass_kg), Some(place_m), Some(inertia_kg_m2)) = (name, mass, place, inertia) {
            extras.push(ExtraMass { name, mass_kg, place_m, inertia_kg_m2 });
        }
    }
    (extras.len() == wanted && !is_other).then_some(extras)
}

fn read_pallets(pendulum: &mut Section<'_, '_>) -> Option<(Option<Pivot>, f64)> {
    if !pendulum.has("pallets") {
        pendulum.entry("pallets");
        return Some((None, 0.0));
    }
    let mut pallets = pendulum.section("pallets")?;
    let pivot = read_pivot(&mut pallets, ON_AN_ARBOR);
    let mass = pallets.quantity("mass", Kind::Mass, Allowed::NotNegative);
    pallets.finish();
    Some((Some(pivot?), mass?))
}

fn read_extra_damping(pendulum: &mut Section<'_, '_>) -> Option<(f64, f64, Friction)> {
    if !pendulum.has("extra_damping") {
        pendulum.entry("extra_damping");
        return Some((0.0, 0.0, Friction::of(0.0)));
    }
    let mut extra = pendulum.section("extra_damping")?;
    let damping = read_damping(&mut extra, "linear", "quadratic");
    extra.finish();
    damping
}
