//! Materials and friction pairs as tables.

use std::fmt::Write as _;

use crate::clock::materials::{
    BEARINGS, CORDS, FRICTION_PAIRS, FrictionPair, Known, Material, NamedBearing, NamedCord, Water, bar_strength,
    materials, tooth_strength,
};
use crate::report::canvas::look::significant;

use super::rows::{SHOWN_BORES_MM, rows, status_in_words};

fn shown(factor: f64, known: &Known) -> String {
    format!("{} +/- {}", significant(factor * known.value, 3), significant(factor * known.spread, 2))
}

/// All materials in short, a line each, and the friction pairs and bearings.
#[must_use]
pub fn table() -> String {
    let mut out = String::from(
        "Materials (typical value +/- scatter of single pieces; `beatwright materials NAME` lists the sources)\n",
    );
    let _ = writeln!(
        out,
        "  {:<20} {:>14} {:>14} {:>14} {:>20} {:>26}  note",
        "name", "density kg/m3", "modulus GPa", "strength MPa", "expansion ppm/K", "swelling"
    );
    for material in materials() {
        let modulus = material.youngs_modulus_pa.map_or_else(|| "-".to_owned(), |known| shown(1e-9, &known));
        let strength = tooth_strength(material.name)
            .or_else(|| bar_strength(material.name))
            .map_or_else(|| "-".to_owned(), |known| shown(1e-6, &known));
        let expansion = material.expansion_per_k.map_or_else(|| "-".to_owned(), |known| shown(1e6, &known.along));
        let swelling = match &material.water {
            Water::None => "-".to_owned(),
            Water::Wood(known) => format!(
                "{} {} {} %/%",
                significant(known.along.value, 2),
                significant(known.radial.value, 3),
                significant(known.tangential.value, 3)
            ),
            Water::Humid(known) => format!("{} %", shown(1e2, known)),
        };
        let _ = writeln!(
            out,
            "  {:<20} {:>14} {:>14} {:>14} {:>20} {:>26}  {}",
            material.name,
            shown(1.0, &material.density_kg_m3),
            modulus,
            strength,
            expansion,
            swelling,
            material.note
        );
    }
    out.push_str(
        "  Strength: of a tooth, solid wood across its grain; of rods of fibres, as a bar.\n\
         \x20 Swelling: woods along the grain, radially and tangentially per percent of moisture; plastics from dry to \
            saturated air.\n\
         \nFriction of sliding pairs, for friction = \"steel in brass, oiled\"\n",
    );
    FRICTION_PAIRS.iter().for_each(|pair| out.push_str(&pair_line(pair)));
    out.push_str(&bearings(BEARINGS.iter()));
    out.push_str(&cords(CORDS.iter()));
    out
}

/// The cords by name: what bending takes, density, how sharply they may be bent.
fn cords<'c>(shown_ones: impl Iterator<Item = &'c NamedCord>) -> String {
    let mut out = String::from(
        "\nCords, for cord_material = \"braided nylon\": share of the tension lost in bending, times radius over diameter; kg/m3 over the whole \
         circle; least drum over diameter\n",
    );
    for cord in shown_ones {
        let _ = writeln!(
            out,
            "  {:<26} {}; {}; {}",
            cord.name,
            shown(1.0, &cord.stiffness),
            shown(1.0, &cord.density_kg_m3),
            significant(cord.least_bend.value, 2)
        );
        for known in [&cord.stiffness, &cord.density_kg_m3, &cord.least_bend] {
            let _ = writeln!(out, "    {}: {}", status_in_words(known.source.status), known.source.text);
        }
    }
    out
}

/// One cord by its name.
#[must_use]
pub fn table_of_cord(cord: &NamedCord) -> String {
    cords(std::iter::once(cord)).trim_start().to_owned()
}

/// The friction of one pair with its source.
#[must_use]
pub fn pair_line(pair: &FrictionPair) -> String {
    let source = pair.sliding.source;
    let (value, status) = (shown(1.0, &pair.sliding), status_in_words(source.status));
    format!("  {:<26} {value:>18}  {status}: {}\n", pair.name, source.text)
}

/// The ball bearings by name: what of their friction no load changes.
fn bearings<'b>(shown_ones: impl Iterator<Item = &'b NamedBearing>) -> String {
    let mut out = String::new();
    let bores = SHOWN_BORES_MM.map(|bore_mm| format!("{bore_mm:.0}")).join(", ");
    let _ = writeln!(
        out,
        "\nBall bearings, for friction = \"ball bearing, oiled\": drag of one of {bores} mm bore in uN m, coefficient, start over run"
    );
    for bearing in shown_ones {
        let drags = SHOWN_BORES_MM.map(|bore_mm| {
            let drag = bearing.drag_n_m(1e-3 * bore_mm, 1);
            format!("{} +/- {}", significant(1e6 * drag.value, 2), significant(1e6 * drag.spread, 2))
        });
        let source = bearing.drag.source;
        let _ = writeln!(
            out,
            "  {:<36} {}; {}; {}  {}: {}",
            bearing.name,
            drags.join(", "),
            shown(1.0, &bearing.rolling),
            shown(1.0, &bearing.breakaway),
            status_in_words(source.status),
            source.text
        );
    }
    out
}

/// One ball bearing by its name.
#[must_use]
pub fn table_of_bearing(bearing: &NamedBearing) -> String {
    bearings(std::iter::once(bearing)).trim_start().to_owned()
}

/// One material with the sources of all its values.
#[must_use]
pub fn table_of(material: &Material) -> String {
    let note = if material.note.is_empty() { String::new() } else { format!(" ({})", material.note) };
    let mut out = format!("{}{note}\n", material.name);
    for row in rows(material) {
        for (grain, known) in &row.values {
            let label = if grain.is_empty() { row.name.to_owned() } else { format!("{} {grain}", row.name) };
            let value = format!("{} {}", shown(row.factor, known), row.unit);
            let _ = writeln!(
                out,
                "  {label:<30} {value:<36} {}: {}",
                status_in_words(known.source.status),
                known.source.text
            );
        }
    }
    out
}
