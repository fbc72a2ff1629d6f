//! By how much all frictions may grow before the clock stops.

use beatwright::answers::friction_reserve::{FrictionReserve, friction_reserve};
use beatwright::answers::no_answer::NoAnswer;
use beatwright::answers::prediction::{Prediction, predict};
use beatwright::clock::build::build;
use beatwright::clock::environment::InRoom;

use crate::support::plain::loaded;

fn reserve(in_room: &InRoom) -> Result<FrictionReserve, NoAnswer> {
    friction_reserve(in_room, &build(in_room).unwrap())
}

fn goes(in_room: &InRoom) -> bool {
    predict(in_room).is_ok_and(|prediction| prediction.reason().is_none())
}

/// `predict` on clocks read, conditioned and built from the beginning with the frictions of the file written larger, half a per cent to either
/// side of the reserve.
#[test]
fn crosscheck_the_clock_goes_just_below_its_friction_reserve_and_stops_just_above() {
    let overrides: [(&str, &[&str]); 4] = [
        ("heron.toml", &[]),
        ("heron-pointed.toml", &["drive.weight=2.5 kg"]),
        ("wren.toml", &[]),
        // The smallest starting swing reaches the maker's own before the steady swing is gone.
        ("heron.toml", &["start_arc=1.46 deg"]),
    ];
    for (name, settings) in overrides {
        let in_room = loaded(name, settings).in_room();
        let Ok(FrictionReserve::StopsAt(factor)) = reserve(&in_room) else { panic!("{name} {settings:?}") };
        assert!(factor > 1.0, "{name}: {factor}");
        assert!(goes(&in_room.with_frictions_times(factor / 1.005)), "{name} {settings:?}: {factor}");
        assert!(!goes(&in_room.with_frictions_times(factor * 1.005)), "{name} {settings:?}: {factor}");
    }
}

#[test]
fn exact_a_clock_that_is_rougher_has_so_much_less_left() {
    let in_room = loaded("wren.toml", &[]).in_room();
    let of = |in_room: &InRoom| reserve(in_room).unwrap().factor().unwrap();
    let (own, rougher) = (of(&in_room), of(&in_room.with_frictions_times(1.2)));
    // Both are found to 2e-4.
    assert!((1.2 * rougher / own - 1.0).abs() < 5e-4, "{own} {rougher}");
}

#[test]
fn a_clock_that_stops_has_no_reserve_and_one_without_friction_no_end_of_it() {
    let stops = loaded("heron.toml", &["drive.weight=0.5 kg"]).in_room();
    assert!(matches!(reserve(&stops), Err(NoAnswer::Stops(_))));
    let Prediction { friction_reserve, arc_margin_rad, .. } = predict(&stops).unwrap();
    assert!(friction_reserve.is_err() && arc_margin_rad.is_none());
    let smooth = loaded("heron.toml", &[]).in_room().with_frictions_times(0.0);
    assert_eq!(reserve(&smooth), Ok(FrictionReserve::NeverStops));
}

/// The margin asked turns what is said of a clock at the weight that just has it.
#[test]
fn crosscheck_the_margin_is_met_from_the_least_weight_with_it_on() {
    for name in ["heron.toml", "wren.toml"] {
        let least = predict(&loaded(name, &[]).in_room()).unwrap().least.unwrap();
        let with_margin_kg = least.with_margin.unwrap().value();
        for (share, meets) in [(0.999, false), (1.001, true)] {
            let weight = format!("drive.weight={} kg", share * with_margin_kg);
            let prediction = predict(&loaded(name, &[&weight]).in_room()).unwrap();
            assert_eq!((prediction.reason(), prediction.meets_margin()), (None, Some(meets)), "{name} {weight}");
        }
    }
}
