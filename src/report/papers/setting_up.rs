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
    let mut steps = Vec::from_iter(stops(view));
    let built = &view.prediction.built;
    if view.papers.layout.is_some() {
        steps.push(
            "Drill both plates together from the drill plan, put the arbors in one at a time, and see that each spins freely by itself; then \
             mesh them one by one, from the drum on."
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
            if is_held(view) && !stands_on_pins(view) {
                steps.push(lock_step(action.entry.lock_deg, action.exit.lock_deg));
            }
        }
    }
    if let Some(drive) = view.design.weight_drive() {
        let run =
            view.results.run_time_days.map_or_else(String::new, |days| format!(" It goes {}.", days_in_words(days)));
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

/// That the clock stops or has too little margin, before anything is made of it.
fn stops(view: &PapersView<'_>) -> Option<String> {
    if let Some(reason) = view.results.reason_in_words() {
        return Some(format!("Do not build it yet: as designed, {reason}."));
    }
    (view.results.meets_margin == Some(false)).then(|| {
        "As designed it keeps going, but below the margin asked: small faults will stop it. A heavier weight or less friction helps."
            .to_owned()
    })
}

fn lock_step(entry_deg: f64, exit_deg: f64) -> String {
    if entry_deg.min(exit_deg) <= 0.0 {
        return "As printed, no lock is left on one pallet or on both: a tooth lands on the lifting face.".to_owned();
    }
    format!(
        "See that each tooth lands on the locking face: the lock is {} deg of the pallets at the entry and {} deg at the exit.",
        number(entry_deg, 2),
        number(exit_deg, 2)
    )
}

/// Whether the pallets are pins: on them a tooth is held by its own face, and lock is not told from lift.
fn stands_on_pins(view: &PapersView<'_>) -> bool {
    view.papers.anchor.as_ref().is_some_and(|anchor| anchor.as_ref().is_ok_and(|anchor| !anchor.pins.is_empty()))
}

/// How long it goes, in a unit in which the number is not small.
fn days_in_words(days: f64) -> String {
    if days < 2.0 { format!("{} hours", number(24.0 * days, 1)) } else { format!("{} days", number(days, 1)) }
}

/// Whether the pallets have faces that hold the wheel still.
fn is_held(view: &PapersView<'_>) -> bool {
    match &view.prediction.built.mechanism.escapement {
        EscapementModel::Contact(contact) => contact.locks,
        EscapementModel::IdealTorque(_) | EscapementModel::IdealKick(_) => false,
    }
}
