//! Putting together and setting up, step by step with this clock's numbers.

use std::f64::consts::PI;

use crate::clock::mechanism::EscapementModel;
use crate::geometry::Point;
use crate::report::words::numbers::number;
use crate::report::words::setting_up::regulating_steps;
use crate::study::papers::MOVED_APART_M;

use super::table::{PaperBody, PaperTable};
use super::units::PaperUnits;
use super::{PapersView, SETTING_UP};

/// The steps: arbors, pallets, weight; then starting and regulating as on the page.
pub(super) fn steps_table(view: &PapersView<'_>, units: PaperUnits) -> PaperTable {
    let mut steps = Vec::new();
    let built = &view.prediction.built;
    if view.papers.layout.is_some() {
        steps.push(
            "Drill both plates together from the drill plan, put the arbors in, and see that each spins freely by itself; then mesh them one \
             by one, from the drum on."
                .to_owned(),
        );
    }
    if let (Some(drawn), Some(outlines)) = (&built.drawn, &built.outlines) {
        steps.push(format!("Set the pallet arbor {} from the escape arbor.", units.length(drawn.centre_distance_m, 2)));
        if let Some(action) = &view.results.action {
            let tip_m = outlines.tooth.farthest_m(Point::zeros());
            let drop =
                |degrees: f64| format!("{} deg, {}", number(degrees, 2), units.length(degrees * PI / 180.0 * tip_m, 2));
            let moved = view.papers.moved_apart.map(|moved| {
                format!(
                    " With the pallet arbor {} further away these would be {}, and {}.",
                    units.length(MOVED_APART_M, 1),
                    drop(moved.entry.drop_rad.to_degrees()),
                    drop(moved.exit.drop_rad.to_degrees())
                )
            });
            steps.push(format!(
                "Turn the wheel by hand and swing the pallets: a tooth that leaves the entry pallet drops {}; one that leaves the exit \
                 pallet {} (angle of the wheel, and way along its tips).{}",
                drop(action.entry.drop_deg),
                drop(action.exit.drop_deg),
                moved.unwrap_or_default()
            ));
            if is_held(view) {
                steps.push(format!(
                "See that each tooth lands on the locking face: the lock is {} deg of the pallets at the entry and {} deg at the exit.",
                number(action.entry.lock_deg, 2),
                number(action.exit.lock_deg, 2)
            ));
            }
        }
    }
    if let Some(drive) = view.design.weight_drive() {
        let run =
            view.results.run_time_days.map_or_else(String::new, |days| format!(" It goes {} days.", number(days, 1)));
        steps.push(format!(
            "Tie the cord to the drum, wind it up and hang {} kg on {}, with nobody below.{run}",
            number(drive.weight_kg, 2),
            match drive.falls {
                1 => "its end".to_owned(),
                2 => "its pulley, the other end of the cord tied to the case".to_owned(),
                falls => format!("{falls} falls of the cord"),
            }
        ));
    }
    steps.extend(regulating_steps(view.results, view.regulation));
    PaperTable { name: SETTING_UP, title: "Setting up", body: PaperBody::Steps(steps), notes: Vec::new() }
}

/// Whether the pallets have faces that hold the wheel still.
fn is_held(view: &PapersView<'_>) -> bool {
    match &view.prediction.built.mechanism.escapement {
        EscapementModel::Contact(contact) => contact.locks,
        EscapementModel::IdealTorque(_) | EscapementModel::IdealKick(_) => false,
    }
}
