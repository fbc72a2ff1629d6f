//! What the maker of a clock should look at.

use super::build::Built;
use super::escapement::action::PalletAction;
use super::escapement::action_over_turn::{PalletTurn, action_over_turn};
use super::escapement::clearance_warnings::{COMMON_HOLD_M, bead_warning};
use super::pendulum::compound::small_swing_period_s;
use super::train::counts::period_mismatch_warning;

impl Built {
    /// What the maker should look at: warnings of pendulum, train, drive and action.
    #[must_use]
    pub fn notes(&self) -> Vec<String> {
        let mut notes = Vec::new();
        if let Some(report) = &self.pendulum {
            notes.extend(report.warnings.iter().cloned());
        }
        if let Some(report) = &self.train {
            notes.extend(report.warnings.iter().cloned());
            let natural = small_swing_period_s(&self.mechanism.pendulum);
            notes.extend(
                report
                    .train_period_s
                    .zip(natural)
                    .and_then(|(required, natural)| period_mismatch_warning(required, natural)),
            );
        }
        notes.extend(self.drive.as_ref().and_then(|report| report.winding.warning.clone()));
        if let Some(drive) = self.mechanism.drive
            && !(drive.forward_n_m() > 0.0)
            && !self.train_jams()
        {
            notes.push("friction takes all the torque of the drive: the escape wheel stands still".to_owned());
        }
        notes.extend(self.print_notes.iter().cloned());
        if 2.0 * self.bead_off_tip_m > COMMON_HOLD_M {
            notes.push(bead_warning(self.bead_off_tip_m));
        }
        let turn = action_over_turn(&self.mechanism.escapement);
        if let Some(turn) = &turn {
            notes.extend(turn.iter().flat_map(|pallet| self.turn_warnings(pallet)));
        } else if let Some(action) = &self.action {
            for (name, pallet) in [("entry", &action.entry), ("exit", &action.exit)] {
                notes.extend(action_warnings(name, pallet));
            }
        }
        notes
    }

    /// Whether a mesh of the train stands too deep to turn.
    #[must_use]
    pub fn train_jams(&self) -> bool {
        self.train.as_ref().is_some_and(|train| train.depthings.iter().any(|mesh| mesh.tightness().is_some()))
    }

    /// What to look at in the action of a wheel whose teeth differ, with the place of the tooth.
    fn turn_warnings(&self, turn: &PalletTurn) -> Vec<String> {
        let teeth = self.outlines.as_ref().map_or(0, |outlines| outlines.teeth);
        let at = |tooth| self.out_of_true.place(tooth, teeth);
        let pallet = turn.pallet;
        let mut warnings = Vec::new();
        if turn.lock.least_rad < 0.0 {
            let (depth, place) = (-turn.lock.least_rad.to_degrees(), at(turn.lock.least_tooth));
            warnings.push(format!(
                "{pallet} pallet: {place} falls {depth:.2} deg past the lock, straight onto the impulse face"
            ));
        }
        if turn.drop.least_rad < 0.0 {
            let place = at(turn.drop.least_tooth);
            warnings
                .push(format!("when {place} leaves the {pallet} pallet the other already holds one: no drop at all"));
        }
        if turn.clearance.least_rad < 0.0 {
            let place = at(turn.clearance.least_tooth);
            warnings.push(format!("the back of the {pallet} pallet fouls {place} when it has just left it"));
        }
        if turn.without_action > 0 {
            warnings.push(format!("{pallet} pallet: {} teeth of the wheel have no action", turn.without_action));
        }
        warnings
    }
}

fn action_warnings(name: &str, pallet: &PalletAction) -> Vec<String> {
    let mut warnings = Vec::new();
    if pallet.lock_rad < 0.0 {
        let depth = -pallet.lock_rad.to_degrees();
        warnings
            .push(format!("{name} pallet: a tooth falls {depth:.2} deg past the lock, straight onto the impulse face"));
    }
    if pallet.drop_rad < 0.0 {
        warnings.push(format!("leaving the {name} pallet a tooth is already held by the other: no drop at all"));
    }
    if pallet.clearance_rad < 0.0 {
        warnings.push(format!("the back of the {name} pallet fouls the tooth that has just left it"));
    }
    warnings
}
