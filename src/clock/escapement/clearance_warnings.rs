//! What a margin means at the bench, in a maker's words.

use crate::clock::printing::printer::Printer;

use super::clearances::{Margin, Margins};

/// What a printed part or a plate drilled by hand is out by without anyone being to blame, m, where the scenario gives no
/// spread (common practice, no source).
pub const COMMON_HOLD_M: f64 = 2e-4;

/// By how much each dimension of an escapement may be out, m.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Held {
    wheel_m: f64,
    arbors_m: f64,
    edges_m: f64,
}

impl Held {
    /// The printer's spreads, independent ones summed by their squares; [`COMMON_HOLD_M`] for a dimension without any.
    fn by(printer: &Printer, tip_radius_m: f64) -> Self {
        let held = |spreads: &[f64]| {
            let together = spreads.iter().map(|spread| spread * spread).sum::<f64>().sqrt();
            if together > 0.0 { together } else { COMMON_HOLD_M }
        };
        let (growth, foot) = (printer.growth.spread, printer.elephant_foot.spread);
        // A tooth that runs out by e stands as one on a wheel smaller by 2 e; each pivot takes half its play.
        let diameter = 2.0 * tip_radius_m;
        let plays = [0.5 * printer.pivot_play.spread; 2];
        Self {
            wheel_m: held(&[
                diameter * printer.shrinkage.spread,
                2.0 * growth,
                2.0 * foot,
                2.0 * printer.run_out.spread,
            ]),
            arbors_m: held(&[printer.centre_distance_error.spread, plays[0], plays[1]]),
            edges_m: held(&[growth, foot]),
        }
    }
}

impl Margins {
    /// What to look at: margins that a change is eaten up by which the printer or, for want of its spreads, common practice
    /// does not hold. A margin that is gone already is left to the warnings of the action.
    #[must_use]
    pub fn warnings(&self, printer: &Printer) -> Vec<String> {
        let held = Held::by(printer, self.tip_radius_m);
        let mut warnings = Vec::new();
        let hold = Ways { wheel: "small in diameter", arbors: "too far apart", edges: "missing from every edge" };
        warnings.extend(if self.locks {
            warning("lock", &self.hold, &held, &hold, "will not lock")
        } else {
            warning("pallet's hold on a fallen tooth", &self.hold, &held, &hold, "leaves nothing of it")
        });
        let closed = Ways { wheel: "large in diameter", arbors: "too close", edges: "of growth on tooth and pallets" };
        warnings.extend(warning("drop", &self.drop, &held, &closed, "closes it"));
        warnings.extend(warning("clearance behind the tooth", &self.clearance, &held, &closed, "closes it"));
        // A shorter tip has been told with the clock's other notes.
        let told = 2.0 * self.bead_off_tip_m > COMMON_HOLD_M;
        let left_m = self.hold.wheel_m.unwrap_or(f64::INFINITY);
        warnings.extend(self.bead_as_wheel_m.filter(|&lost_m| !told && lost_m > COMMON_HOLD_M.min(0.5 * left_m)).map(
            |lost_m| {
                let lost = mm(lost_m);
                format!("the bead blunts tooth and pallets: the lock is that of a wheel {lost} smaller in diameter")
            },
        ));
        warnings
    }
}

/// How a dimension is out.
struct Ways {
    wheel: &'static str,
    arbors: &'static str,
    edges: &'static str,
}

fn warning(what: &str, margin: &Margin, held: &Held, ways: &Ways, consequence: &str) -> Option<String> {
    if margin.least_rad <= 0.0 {
        return None;
    }
    let within = |change_m: Option<f64>, held_m: f64| change_m.filter(|&change_m| change_m < held_m);
    let reasons: Vec<String> = [
        within(margin.wheel_m, held.wheel_m).map(|change_m| format!("a wheel {} {}", mm(change_m), ways.wheel)),
        within(margin.arbors_m, held.arbors_m).map(|change_m| format!("arbors {} {}", mm(change_m), ways.arbors)),
        within(margin.edges_m, held.edges_m).map(|change_m| format!("{} {}", mm(change_m), ways.edges)),
    ]
    .into_iter()
    .flatten()
    .collect();
    (!reasons.is_empty()).then(|| {
        let (pallet, deg) = (margin.pallet, margin.least_rad.to_degrees());
        let comma = if reasons.len() > 1 { "," } else { "" };
        format!("{pallet} {what} {deg:.2} deg: {}{comma} {consequence}", reasons.join(", or "))
    })
}

/// That the bead shortens the teeth.
#[must_use]
pub fn bead_warning(off_tip_m: f64) -> String {
    let (off, small) = (mm(off_tip_m), mm(2.0 * off_tip_m));
    format!("the bead takes {off} off the tip of the tooth: the wheel acts as one {small} smaller in diameter")
}

fn mm(length_m: f64) -> String {
    format!("{:.2} mm", 1e3 * length_m)
}
