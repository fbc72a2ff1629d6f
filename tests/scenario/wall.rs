//! `[support]`: kinds, what overrides them, and what is wrong with a table.

use beatwright::clock::support::{DEFAULT_HANGS_M, DEFAULT_WEIGHT_Q, SUPPORTS};
use beatwright::scenario::load;

use crate::support::demo::{complaint, loaded, path};

#[test]
fn exact_kinds_stand_for_what_is_not_stated() {
    assert!(loaded("heron.toml", &[]).design.support.is_none());
    for kind in SUPPORTS {
        let support = loaded("heron.toml", &[&format!("support.kind=\"{}\"", kind.name)]).design.support.unwrap();
        assert_eq!(support.kind, Some(kind.name));
        assert_eq!((support.stiffness_n_per_m, support.loss_factor), (kind.stiffness_n_per_m, kind.loss_factor));
        assert_eq!((support.moving_mass_kg, support.stiffness_within), (kind.moving_mass_kg, kind.stiffness_within));
        assert_eq!((support.weight.hangs_m, support.weight.q), (DEFAULT_HANGS_M, DEFAULT_WEIGHT_Q));
        assert!(!support.weight.hangs_is_stated && kind.stiffness_within > 1.0);
    }
    let own = [
        "support.kind=\"brick wall\"",
        "support.stiffness=\"100 lbf/in\"",
        "support.loss_factor=0.3",
        "support.moving_mass=\"7 kg\"",
        "support.weight_hangs=\"250 mm\"",
        "support.weight_q=90",
    ];
    let support = loaded("heron.toml", &own).design.support.unwrap();
    assert!((support.stiffness_n_per_m / 17_512.683_524 - 1.0).abs() < 1e-9, "{support:?}");
    assert_eq!((support.loss_factor, support.moving_mass_kg, support.stiffness_within), (0.3, 7.0, 1.0));
    assert_eq!((support.weight.hangs_m, support.weight.q, support.weight.hangs_is_stated), (0.25, 90.0, true));
}

#[test]
fn tells_supports_that_are_none() {
    for (set, told) in [
        (&["support.loss_factor=0.1"][..], "`support` gives neither `stiffness` nor `kind`"),
        (&["support.kind=\"brickwall\""], "did you mean \"brick wall\"?"),
        (&["support.stiffness=\"3 N m\""], "not a force per length"),
        (&["support.stiffness=100"], "is a bare number"),
        (&["support.stiffness=\"0 N/m\""], "write a force per length from 1 N/m"),
        (&["support.kind=\"brick wall\"", "support.loss_factor=2"], "write a number from 0 to 1"),
        (&["support.kind=\"brick wall\"", "support.weight_q=0"], "write a number from 1 to"),
        (&["support.kind=\"brick wall\"", "support.mass=\"3 kg\""], "there is no key `support.mass`"),
    ] {
        let complaint = complaint(load(&path("heron.toml"), set));
        assert!(complaint.contains(told), "{set:?}: {complaint}");
    }
}
