#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, missing_docs)]
use beatwright::clock::build::build;
use beatwright::clock::margins::margins;
use beatwright::scenario::load;
use std::path::Path;
#[test]
fn explore() {
    for (name, set) in [
        ("heron", vec![]),
        ("heron", vec!["printer.bead_radius=\"0.3 mm\""]),
        ("heron", vec!["escapement.dead_beat.lock=\"0.2 deg\""]),
        ("heron", vec!["printer.run_out=\"0.1 mm\""]),
        ("wren", vec![]),
        ("wren", vec!["printer.bead_radius=\"0.2 mm\""]),
    ] {
        let set: Vec<String> = set.into_iter().map(String::from).collect();
        let s = load(&Path::new("scenarios").join(format!("{name}.toml")), &set).unwrap();
        let b = build(&s.design).unwrap();
        let t = std::time::Instant::now();
        let m = margins(&s.design.printer, &b).unwrap();
        println!("{name} {set:?} {:?}\n{m:#?}\n{:#?}\n{:?}", t.elapsed(), b.action, m.warnings(&s.design.printer));
        println!("{:?}", b.notes());
    }
}

#[test]
fn explore2() {
    for name in ["heron", "wren"] {
        for k in -10..16 {
            let g = 0.02 * f64::from(k);
            let set: Vec<String> = vec![format!("printer.growth=\"{g} mm\"")];
            let s = load(&Path::new("scenarios").join(format!("{name}.toml")), &set).unwrap();
            match build(&s.design) {
                Ok(b) => {
                    let a = b.action.unwrap();
                    eprintln!(
                        "{g:.3} lock {:.3} {:.3} lift {:.3} drop {:.3} {:.3} clear {:.4} {:.4}",
                        a.entry.lock_rad.to_degrees(),
                        a.exit.lock_rad.to_degrees(),
                        a.exit.lift_rad.to_degrees(),
                        a.entry.drop_rad.to_degrees(),
                        a.exit.drop_rad.to_degrees(),
                        a.entry.clearance_rad.to_degrees(),
                        a.exit.clearance_rad.to_degrees()
                    );
                }
                Err(e) => eprintln!("{g} {e}"),
            }
        }
    }
}
