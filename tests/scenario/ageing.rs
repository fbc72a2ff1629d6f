//! `[ageing]`: what is usual, what overrides it, and what is wrong with a table.

use beatwright::clock::design::Ageing;
use beatwright::clock::materials::USUAL_AGEING;
use beatwright::scenario::load;

use crate::support::plain::{complaint, loaded, path};

#[test]
fn exact_what_is_not_stated_is_as_usual() {
    let of = |settings: &[&str]| loaded("heron.toml", settings).design.ageing;
    assert_eq!(of(&[]), USUAL_AGEING);
    assert_eq!(of(&["ageing.within=1.5"]), Ageing { within: 1.5, ..USUAL_AGEING });
    let stated = of(&["ageing.oiled=\"20 %/year\"", "ageing.dry=\"1 %/month\""]);
    assert!((stated.oiled_per_year - 0.2).abs() < 1e-15 && (stated.dry_per_year - 0.12).abs() < 1e-15, "{stated:?}");
    assert_eq!((stated.greased_per_year, stated.within), (USUAL_AGEING.greased_per_year, USUAL_AGEING.within));
}

#[test]
fn ageing_survives_scaling_and_another_file() {
    let scaled = loaded("heron.toml", &["ageing.dry=\"9 %/year\"", "scale.all=0.9"]).design.ageing;
    assert!((scaled.dry_per_year - 0.09).abs() < 1e-15);
}

#[test]
fn tells_ageing_that_is_none() {
    for (set, told) in [
        (&["ageing.oiled=0.1"][..], "is a bare number"),
        (&["ageing.oiled=\"10 %\""], "is a percentage, not a relative change per time"),
        (&["ageing.oiled=\"-5 %/year\""], "write a relative change per time from 0 %/year to 1000 %/year"),
        (&["ageing.within=0.5"], "write a number from 1 to 100"),
        (&["ageing.wet=\"5 %/year\""], "there is no key `ageing.wet`"),
        (&["ageing=5"], "`ageing`"),
    ] {
        let complaint = complaint(load(&path("heron.toml"), set));
        assert!(complaint.contains(told), "{set:?}: {complaint}");
    }
}
