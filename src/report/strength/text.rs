//! What holds the driving weight, as tables.

use std::fmt::Write as _;

use crate::clock::cautions::{CordGiven, Enough};
use crate::clock::design::Train;
use crate::clock::strength::Strength;
use crate::clock::train::arbor_strength::{ASKED_ARBOR_FACTOR, BentArbor, COMMON_ARBOR_MATERIAL};
use crate::clock::train::losses::{CORD_DESIGN_FACTOR, KNOT_STRENGTH_SHARE};
use crate::clock::train::tooth_strength::{ASKED_TOOTH_FACTOR, FEWEST_TEETH, SUDDEN_LOAD_FACTOR, ToothLoad};
use crate::report::words::numbers::{line, number};

/// What "on a jerk" stands for, and what of the winding the tables do not say.
const JERK: [&str; 2] = [
    "on a jerk: the weight put on at once, as when the key slips or is let go at the winding stop",
    "while the key is turned the drum's click slips and no tooth feels the hand; cord, drum and stop do, and are not in this table",
];

/// Teeth, arbors and cord against their strength; empty where there is nothing to show.
#[must_use]
pub fn table(strength: &Strength, train: &Train) -> String {
    let mut out = String::from("What holds the weight (estimates, no design code)\n");
    if !strength.teeth.is_empty() {
        teeth(&mut out, &strength.teeth, train);
    }
    if strength.arbors.is_empty() {
        line(&mut out, "arbors", "their bending is here if `frame.plate_distance` says how far the plates are apart");
    } else {
        arbors(&mut out, &strength.arbors, train);
    }
    match strength.cord {
        Some(given) => cord(&mut out, given),
        None => line(&mut out, "cord", "its strength is here if `drive.cord_breaking_strength` says what it breaks at"),
    }
    for said in JERK {
        let _ = writeln!(out, "  {said}");
    }
    out
}

fn row<const N: usize>(out: &mut String, first: &str, cells: [String; N]) {
    let _ = write!(out, "  {first:<20}");
    for cell in cells {
        let _ = write!(out, " {cell:>12}");
    }
    out.push('\n');
}

fn cell(value: Option<f64>, decimals: usize) -> String {
    value.map_or_else(|| "-".to_owned(), |value| number(value, decimals))
}

/// Strength over stress hanging and on a jerk.
fn factors(factor: Option<f64>) -> [String; 2] {
    [cell(factor, 1), cell(factor.map(|factor| factor / SUDDEN_LOAD_FACTOR), 1)]
}

fn name_of(train: &Train, index: usize) -> &str {
    train.arbors.get(index).map_or("", |arbor| &arbor.name)
}

fn teeth(out: &mut String, loads: &[ToothLoad], train: &Train) {
    row(
        out,
        "teeth",
        ["teeth", "force N", "stress MPa", "strength MPa", "over stress", "on a jerk", "thick enough"]
            .map(str::to_owned),
    );
    for load in loads {
        let [hanging, jerk] = factors(load.factor);
        row(
            out,
            &format!("{} {}", name_of(train, load.arbor), load.gear_name()),
            [
                load.teeth.to_string(),
                number(load.force_n, 2),
                cell(load.stress_pa.map(|stress| 1e-6 * stress), 2),
                cell(load.strength_pa.map(|strength| 1e-6 * strength), 0),
                hanging,
                jerk,
                cell(load.asked_width_m.map(|width| 1e3 * width), 2),
            ],
        );
    }
    let _ = writeln!(
        out,
        "  all on one tooth, after Lewis (from {FEWEST_TEETH} teeth); thick enough: mm of face for {} times the stress (common practice, no source)",
        number(ASKED_TOOTH_FACTOR, 0)
    );
}

fn arbors(out: &mut String, loads: &[BentArbor], train: &Train) {
    let heads = [
        "across mm",
        "load N",
        "stress MPa",
        "over stress",
        "on a jerk",
        "enough mm",
        "sag mm",
        "opens mm",
        "of play mm",
    ];
    row(out, "arbors", heads.map(str::to_owned));
    for load in loads {
        let [hanging, jerk] = factors(load.factor);
        row(
            out,
            name_of(train, load.arbor),
            [
                number(1e3 * load.bar.diameter_m, 2),
                number(load.bar.load_n, 1),
                number(1e-6 * load.stress_pa, 1),
                hanging,
                jerk,
                cell(load.asked_diameter_m.map(|diameter| 1e3 * diameter), 2),
                cell(load.sag_m.map(|sag| 1e3 * sag), 3),
                cell(load.opening.map(|opening| 1e3 * opening.opening_m), 3),
                cell(load.opening.map(|opening| 1e3 * opening.play_m), 3),
            ],
        );
    }
    let material = train.arbor_material.as_ref().map_or(COMMON_ARBOR_MATERIAL, |material| &material.name);
    let _ = writeln!(
        out,
        "  of {material}, all load in the middle and in one direction; enough: mm across for {} times the stress (common practice, no \
         source); opens: the next mesh, by both sags",
        number(ASKED_ARBOR_FACTOR, 0)
    );
}

fn cord(out: &mut String, given: CordGiven) {
    let verdict = match given.enough {
        Enough::Yes => "enough",
        Enough::WithoutKnot => "enough only without a knot",
        Enough::No => "too little",
    };
    let text = format!(
        "breaks at {} N, {} times its load of {} N, {} on a jerk; asked {}, with knots {}: {verdict}",
        number(given.breaking_strength_n, 0),
        number(given.factor, 1),
        number(given.working_load_n, 1),
        number(given.factor / SUDDEN_LOAD_FACTOR, 1),
        number(CORD_DESIGN_FACTOR, 0),
        number(CORD_DESIGN_FACTOR / KNOT_STRENGTH_SHARE, 0)
    );
    line(out, "cord", &text);
}
