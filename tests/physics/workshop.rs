//! Sizes that do not go together, and what is said of them.

use beatwright::clock::build::build;
use beatwright::clock::notes::Note;
use beatwright::report::words::notes::note_words;

use crate::support::plain::loaded;

fn said(name: &str, settings: &[&str]) -> Vec<String> {
    let notes = build(&loaded(name, settings).in_room()).unwrap().workshop_notes;
    notes.iter().map(note_words).collect()
}

#[test]
fn regress_sizes_that_do_not_go_together_are_remarked_upon() {
    let found: Vec<String> = [
        &["drive.drum_diameter=2 mm", "drive.cord_diameter=0.2 mm", "train.arbor.great.pivot.diameter=6 mm"][..],
        &["drive.drum_diameter=16 mm", "drive.cord_diameter=6 mm"],
        &["train.arbor.third.module=0.25 mm", "train.backlash=0.02 mm"],
        &["pendulum.nut.below_axis=1105 mm"],
        &["train.arbor.centre.next=250 deg"],
    ]
    .iter()
    .map(|settings| format!("{}\n  {}", settings.join(", "), said("heron.toml", settings).join("\n  ")))
    .collect();
    insta::assert_snapshot!(found.join("\n"));
}

#[test]
fn herons_have_sizes_that_go_together() {
    for name in ["heron.toml", "heron-pointed.toml", "heron-three-quarter.toml", "heron-beech.toml"] {
        assert!(said(name, &[]).is_empty(), "{:?}", said(name, &[]));
    }
}

/// A tooth is half a pitch wide: pi m / 2 against one line, and two, of 0.4 mm: m = 0.2546 and 0.5093 mm.
#[test]
fn exact_a_module_is_too_fine_by_the_line_of_the_printer() {
    let fine = |module_mm: f64, printer: &str| {
        let module = format!("train.arbor.third.module={module_mm} mm");
        let built = build(&loaded("heron.toml", &[&module, "train.backlash=0.02 mm", printer]).in_room()).unwrap();
        built.workshop_notes.into_iter().find_map(|note| match note {
            Note::TeethTooFine { tooth_m, line_m, .. } => Some(tooth_m < line_m),
            _ => None,
        })
    };
    let nozzle = "printer={ bead_radius = \"0.2 mm\" }";
    assert_eq!(
        [0.25, 0.26, 0.509, 0.51].map(|module| fine(module, nozzle)),
        [Some(true), Some(false), Some(false), None]
    );
    assert_eq!(fine(0.26, "printer={ bead_radius = \"0.1 mm\" }"), None, "a finer nozzle");
    assert_eq!(fine(0.25, "printer={}"), Some(true), "PLA comes from a usual nozzle");
    assert_eq!(fine(0.25, "train.material=brass"), None, "brass is cut");
}
