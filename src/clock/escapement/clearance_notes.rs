//! What a margin means at the bench.

use crate::clock::notes::Note;
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

/// A margin of the action.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum MarginKind {
    /// Lock of the pallets.
    Lock,
    /// Hold of pallets without locks on a tooth that has fallen.
    Hold,
    /// Drop.
    Drop,
    /// Clearance behind the tooth.
    Clearance,
}

impl Margins {
    /// What to look at: margins that a change is eaten up by which the printer or, for want of its spreads, common practice
    /// does not hold. A margin that is gone already is left to the notes on the action.
    #[must_use]
    pub fn notes(&self, printer: &Printer) -> Vec<Note> {
        let held = Held::by(printer, self.tip_radius_m);
        let kind = if self.locks { MarginKind::Lock } else { MarginKind::Hold };
        let mut notes: Vec<Note> =
            [(kind, &self.hold), (MarginKind::Drop, &self.drop), (MarginKind::Clearance, &self.clearance)]
                .into_iter()
                .filter_map(|(kind, margin)| not_held(kind, margin, &held))
                .collect();
        // A shorter tip stands among the clock's other notes.
        let noted = 2.0 * self.bead_off_tip_m > COMMON_HOLD_M;
        let left_m = self.hold.wheel_m.unwrap_or(f64::INFINITY);
        let blunt = |&lost_m: &f64| !noted && lost_m > COMMON_HOLD_M.min(0.5 * left_m);
        notes.extend(self.bead_as_wheel_m.filter(blunt).map(|smaller_m| Note::BeadBluntsLock { smaller_m }));
        notes
    }
}

fn not_held(kind: MarginKind, margin: &Margin, held: &Held) -> Option<Note> {
    if margin.least_rad <= 0.0 {
        return None;
    }
    let within = |change_m: Option<f64>, held_m: f64| change_m.filter(|&change_m| change_m < held_m);
    let wheel_m = within(margin.wheel_m, held.wheel_m);
    let arbors_m = within(margin.arbors_m, held.arbors_m);
    let edges_m = within(margin.edges_m, held.edges_m);
    let Margin { pallet, least_rad, .. } = *margin;
    let any = wheel_m.or(arbors_m).or(edges_m).is_some();
    any.then_some(Note::MarginNotHeld { kind, pallet, least_rad, wheel_m, arbors_m, edges_m })
}
