//! The margins of the action: a table, and the lines of the picture.

use std::fmt::Write as _;

use crate::clock::escapement::clearances::{LARGEST_CHANGE_M, Margin, Margins};
use crate::report::canvas::look::fixed;
use crate::report::words::numbers::number;

/// The name of what holds a tooth.
#[must_use]
pub fn hold_name(margins: &Margins) -> &'static str {
    if margins.locks { "lock" } else { "hold" }
}

/// The margins with the changes that use them up.
#[must_use]
pub fn table(margins: &Margins) -> String {
    let mut out = String::from("Clearance left, and the largest error in one dimension before it is used up (mm)\n");
    let _ = writeln!(
        out,
        "  {:<18} {:>6} {:>7} {:>6}  {:>15}  {:>13}  {:>12}",
        "least", "pallet", "deg", "mm", "wheel diameter", "arbors", "every edge"
    );
    let ways = ["smaller", "farther", "inward"];
    line(&mut out, hold_name(margins), &margins.hold, None, ways);
    let ways = ["larger", "closer", "outward"];
    for (name, margin) in [("drop", &margins.drop), ("clearance behind", &margins.clearance)] {
        line(&mut out, name, margin, Some(margins.tip_radius_m), ways);
    }
    out
}

fn line(out: &mut String, name: &str, margin: &Margin, radius_m: Option<f64>, ways: [&str; 3]) {
    let along = radius_m.map_or_else(|| "-".to_owned(), |radius_m| number(1e3 * radius_m * margin.least_rad, 2));
    let change = |change_m: Option<f64>, way: &str| match change_m {
        _ if margin.least_rad <= 0.0 => "used up".to_owned(),
        Some(change_m) => format!("{} {way}", number(1e3 * change_m, 2)),
        None => format!("> {} {way}", number(1e3 * LARGEST_CHANGE_M, 0)),
    };
    let _ = writeln!(
        out,
        "  {:<18} {:>6} {:>7} {:>6}  {:>15}  {:>13}  {:>12}",
        name,
        margin.pallet.to_string(),
        number(margin.least_rad.to_degrees(), 2),
        along,
        change(margin.wheel_m, ways[0]),
        change(margin.arbors_m, ways[1]),
        change(margin.edges_m, ways[2]),
    );
}

/// The margins in lines of a picture's subtitle; a change has the sign of what it does to the dimension.
#[must_use]
pub fn subtitle(margins: &Margins) -> String {
    let eaten = |margin: &Margin, wheel: char, arbors: char| {
        if margin.least_rad <= 0.0 {
            return "used up already".to_owned();
        }
        let change = |change_m: Option<f64>, sign: char| match change_m {
            Some(change_m) => format!("{sign}{}", number(1e3 * change_m, 2)),
            None => format!("{} {sign}{}", if sign == '+' { '>' } else { '<' }, number(1e3 * LARGEST_CHANGE_M, 0)),
        };
        let (wheel, edges) = (change(margin.wheel_m, wheel), change(margin.edges_m, wheel));
        format!("wheel {wheel}, arbors {}, edges {edges}", change(margin.arbors_m, arbors))
    };
    let degrees = |margin: &Margin| fixed(margin.least_rad.to_degrees(), 2);
    let gap = |name: &str, margin: &Margin| {
        let along = fixed(1e3 * margin.least_rad * margins.tip_radius_m, 2);
        format!("{name} {}\u{b0} = {along} mm: {}", degrees(margin), eaten(margin, '+', '\u{2212}'))
    };
    format!(
        "{} {}\u{b0}: {}\n{}\n{}.",
        hold_name(margins),
        degrees(&margins.hold),
        eaten(&margins.hold, '\u{2212}', '+'),
        gap("drop", &margins.drop),
        gap("clearance", &margins.clearance)
    )
}
