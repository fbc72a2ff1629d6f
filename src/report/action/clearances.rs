//! The margins of the action: keys, table, and the lines of the picture.

use std::fmt::Write as _;

use serde::Serialize;

use crate::clock::escapement::clearances::{LARGEST_CHANGE_M, Margin, Margins};
use crate::report::canvas::look::fixed;
use crate::report::prediction::text::number;

/// Margins of an action under their keys. A change that is null is larger than the largest one tried.
#[derive(Debug, Clone, Serialize)]
pub struct MarginKeys {
    /// Largest change tried.
    pub largest_change_mm: f64,
    /// Smallest lock, degrees of the pallets; null where nothing locks.
    pub lock: Option<HoldKeys>,
    /// Without locks: smallest arc from a tooth's fall to its release, degrees of the pallets.
    pub hold: Option<HoldKeys>,
    /// Smallest drop.
    pub drop: GapKeys,
    /// Smallest free way behind a tooth that has left a pallet.
    pub clearance: GapKeys,
    /// Height that the bead takes off the tip of the tooth.
    pub bead_off_tip_mm: f64,
    /// By how much smaller a wheel would have the same lock without a bead; null where that says nothing.
    pub bead_as_wheel_small_mm: Option<f64>,
}

/// What holds a tooth, and what eats it up.
#[derive(Debug, Clone, Serialize)]
pub struct HoldKeys {
    /// Pallet at which it is least.
    pub pallet: String,
    /// What there is.
    pub deg: f64,
    /// A smaller diameter.
    pub wheel_small_mm: Option<f64>,
    /// Arbors further apart.
    pub arbors_apart_mm: Option<f64>,
    /// Edges short of the drawing.
    pub edges_short_mm: Option<f64>,
}

/// A gap, and what closes it.
#[derive(Debug, Clone, Serialize)]
pub struct GapKeys {
    /// Pallet that the tooth has left.
    pub pallet: String,
    /// Degrees of the wheel.
    pub deg: f64,
    /// The same along the tip circle.
    pub mm: f64,
    /// A larger diameter.
    pub wheel_large_mm: Option<f64>,
    /// Arbors closer together.
    pub arbors_close_mm: Option<f64>,
    /// Growth of every edge.
    pub growth_mm: Option<f64>,
}

impl From<&Margins> for MarginKeys {
    fn from(margins: &Margins) -> Self {
        let mm = |length_m: Option<f64>| length_m.map(|length_m| 1e3 * length_m);
        let hold = HoldKeys {
            pallet: margins.hold.pallet.to_string(),
            deg: margins.hold.least_rad.to_degrees(),
            wheel_small_mm: mm(margins.hold.wheel_m),
            arbors_apart_mm: mm(margins.hold.arbors_m),
            edges_short_mm: mm(margins.hold.edges_m),
        };
        let gap = |margin: &Margin| GapKeys {
            pallet: margin.pallet.to_string(),
            deg: margin.least_rad.to_degrees(),
            mm: 1e3 * margin.least_rad * margins.tip_radius_m,
            wheel_large_mm: mm(margin.wheel_m),
            arbors_close_mm: mm(margin.arbors_m),
            growth_mm: mm(margin.edges_m),
        };
        let (lock, hold) = if margins.locks { (Some(hold), None) } else { (None, Some(hold)) };
        Self {
            largest_change_mm: 1e3 * LARGEST_CHANGE_M,
            lock,
            hold,
            drop: gap(&margins.drop),
            clearance: gap(&margins.clearance),
            bead_off_tip_mm: 1e3 * margins.bead_off_tip_m,
            bead_as_wheel_small_mm: mm(margins.bead_as_wheel_m),
        }
    }
}

/// The name of what holds a tooth.
#[must_use]
pub fn hold_name(margins: &Margins) -> &'static str {
    if margins.locks { "lock" } else { "hold" }
}

/// The margins with the changes that eat them up.
#[must_use]
pub fn margins_table(margins: &Margins) -> String {
    let mut out = String::from("Margins, and the change of one dimension that leaves nothing of each (mm)\n");
    let _ = writeln!(
        out,
        "  {:<18} {:>6} {:>7} {:>6}  {:>15}  {:>13}  {:>12}",
        "least", "pallet", "deg", "mm", "wheel diameter", "arbors", "every edge"
    );
    let ways = ["smaller", "apart", "short"];
    line(&mut out, hold_name(margins), &margins.hold, None, ways);
    let ways = ["larger", "closer", "grown"];
    for (name, margin) in [("drop", &margins.drop), ("clearance behind", &margins.clearance)] {
        line(&mut out, name, margin, Some(margins.tip_radius_m), ways);
    }
    out
}

fn line(out: &mut String, name: &str, margin: &Margin, radius_m: Option<f64>, ways: [&str; 3]) {
    let along = radius_m.map_or_else(|| "-".to_owned(), |radius_m| number(1e3 * radius_m * margin.least_rad, 2));
    let change = |change_m: Option<f64>, way: &str| match change_m {
        _ if margin.least_rad <= 0.0 => "gone".to_owned(),
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
pub fn margins_text(margins: &Margins) -> String {
    let eaten = |margin: &Margin, wheel: char, arbors: char| {
        if margin.least_rad <= 0.0 {
            return "gone already".to_owned();
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
