//! What starts about the escaping arc are said to end in.

use beatwright::answers::solve::Solver;
use beatwright::answers::verdict::{Reason, Verdict};
use beatwright::clock::build::build;

use crate::support::plain::loaded;

fn reason(start_deg: f64) -> Option<Reason> {
    let heron = loaded("heron.toml", &[&format!("start_arc={start_deg} deg")]);
    match Solver::new(&build(&heron.in_room()).unwrap()).scan().unwrap().verdict() {
        Verdict::Stops(reason, _) => Some(reason),
        _ => None,
    }
}

/// A clock that did not tick was said to jam where the pallet came back before the tooth was out of its way. With a rising start it
/// never unlocks, then ticks once and dies away, then goes, and each of them over one range.
#[test]
fn regress_a_train_that_did_not_tick_once_has_not_jammed() {
    let found: Vec<Option<Reason>> = (0..40).map(|step| reason(1.40 + 0.0015 * f64::from(step))).collect();
    let mut order = found.clone();
    order.dedup();
    assert_eq!(order, [Some(Reason::NeverUnlocks), Some(Reason::LosesAmplitude), None], "{found:?}");
}
