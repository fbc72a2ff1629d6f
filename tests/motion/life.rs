//! A clock over the years, as its frictions grow.

use beatwright::answers::life::{LONGEST_YEARS, Lasting, Life};
use beatwright::answers::no_answer::NoAnswer;
use beatwright::answers::prediction::{predict, predict_aged};
use beatwright::clock::ageing::RubbingParts;
use beatwright::clock::build::build;
use beatwright::clock::design::{Design, DriveDesign, Friction, Lubrication, LumpedDrive};
use beatwright::clock::environment::InRoom;
use beatwright::clock::frictions::RubbingPart;
use beatwright::clock::materials::{BEARINGS, FRICTION_PAIRS, USUAL_AGEING};

use crate::support::plain::loaded;

fn life(in_room: &InRoom) -> Life {
    predict(in_room).unwrap().life.unwrap()
}

fn years(lasting: Lasting) -> f64 {
    lasting.years().unwrap()
}

fn goes(in_room: &InRoom) -> bool {
    predict_aged(in_room).is_ok_and(|prediction| prediction.reason().is_none())
}

/// Clocks read, aged and built from the beginning, half a per cent of the frictions' growth to either side of the years found.
#[test]
fn crosscheck_the_clock_goes_until_its_years_are_over_and_has_its_margin_until_that_is() {
    let overrides: [(&str, &[&str]); 4] = [
        ("heron.toml", &[]),
        ("heron-pointed.toml", &["drive.weight=4 kg", "margin=0.1 deg"]),
        ("wren.toml", &["ageing.oiled=\"30 %/year\""]),
        ("heron.toml", &["ageing={ oiled = \"0 %/year\", greased = \"0 %/year\", dry = \"20 %/year\" }"]),
    ];
    for (name, settings) in overrides {
        let in_room = loaded(name, settings).in_room();
        let found = life(&in_room);
        let (stops, margin) = (years(found.going), years(found.margin.unwrap()));
        assert!(0.0 < margin && margin < stops && stops < LONGEST_YEARS, "{name}: {margin} {stops}");
        assert!(goes(&in_room.with_frictions_aged(0.995 * stops)), "{name} {settings:?}: {stops}");
        assert!(!goes(&in_room.with_frictions_aged(1.005 * stops)), "{name} {settings:?}: {stops}");
        for (share, meets) in [(0.999, true), (1.001, false)] {
            let aged = predict_aged(&in_room.with_frictions_aged(share * margin)).unwrap();
            // With hands the torque that stands for the dial is the new clock's: 2 % of the years.
            let hands = in_room.train.as_ref().is_some_and(|train| train.hands.is_some());
            assert!(hands || aged.meets_margin() == Some(meets), "{name} {settings:?}: {share} of {margin}");
        }
    }
}

/// The hands take another share of the dial as the clock grows rougher; the years found with the new clock's share are near.
#[test]
fn with_hands_the_margin_lasts_about_as_long_as_by_the_whole_dial_of_each_age() {
    let in_room = crate::support::demo::loaded("heron.toml", &[]).in_room();
    let margin = years(life(&in_room).margin.unwrap());
    for (share, meets) in [(0.96, true), (1.04, false)] {
        let aged = predict_aged(&in_room.with_frictions_aged(share * margin)).unwrap();
        assert_eq!(aged.meets_margin(), Some(meets), "{share} of {margin}");
    }
}

/// Where nothing ages but the friction of a lumped drive `f`, a clock of torque `T` whose least is `L` stops when `f` has grown by `T - L`.
#[test]
fn exact_a_train_that_grows_rough_stops_the_clock_when_it_has_used_up_the_torque_that_was_left() {
    let settings = [
        "escapement.dead_beat.friction=\"steel in brass, oiled\"",
        "ageing={ oiled = \"0 %/year\", greased = \"0 %/year\", dry = \"7 %/year\" }",
    ];
    let read = loaded("heron.toml", &settings).design;
    let drive = build(&InRoom::at_home(&read)).unwrap().mechanism.drive.unwrap();
    let (torque_n_m, friction_n_m) = (1.3 * drive.torque_n_m(), 0.3 * drive.torque_n_m());
    let lumped = LumpedDrive {
        escape_torque_n_m: torque_n_m,
        friction_torque_n_m: Friction::of(friction_n_m),
        inertia_kg_m2: drive.inertia_kg_m2,
    };
    let design = Design { drive: Some(DriveDesign::Lumped(lumped)), train: None, ..read };
    let in_room = InRoom::at_home(&design);
    let prediction = predict(&in_room).unwrap();
    let least_n_m = prediction.least.unwrap().bare.value();
    let found = prediction.life.unwrap();
    let exact = (torque_n_m - least_n_m) / friction_n_m / 0.07;
    assert!((years(found.going) / exact - 1.0).abs() < 1e-3, "{:?} {exact}", found.going);
    let [part] = found.parts.as_slice() else { panic!("{:?}", found.parts) };
    assert_eq!(part.parts, RubbingParts { part: RubbingPart::LumpedDrive, lubrication: Lubrication::Dry });
    assert!(part.first_year_rad.unwrap() > 0.0);
}

#[test]
fn exact_frictions_that_grow_twice_as_fast_leave_half_the_years() {
    let of = |settings: &[&str]| life(&loaded("wren.toml", settings).in_room());
    let (own, faster) =
        (of(&[]), of(&["ageing={ oiled = \"20 %/year\", greased = \"16 %/year\", dry = \"10 %/year\", within = 1 }"]));
    let half = |own: f64, faster: f64| (2.0 * faster / own - 1.0).abs();
    assert!(half(years(own.going), years(faster.going)) < 2e-3, "{:?} {:?}", own.going, faster.going);
    assert!(half(years(own.margin.unwrap()), years(faster.margin.unwrap())) < 1e-4);
    assert_eq!(own.either_way(Some(6.0)), Some([3.0, 12.0]));
    assert_eq!(faster.either_way(Some(6.0)), None);
}

#[test]
fn exact_a_year_adds_its_share_to_every_friction_and_nothing_to_air_and_play() {
    let settings = [
        "pendulum.crutch_play=\"0.3 deg\"",
        "train.tooth_friction=\"PLA on PLA, greased\"",
        "escapement.recoil_anchor.friction=0.2",
        "ageing={ oiled = \"11 %/year\", greased = \"7 %/year\", dry = \"3 %/year\" }",
    ];
    let new = loaded("wren.toml", &settings).in_room();
    let aged = new.with_frictions_aged(10.0);
    let of = |in_room: &InRoom, path: &str| {
        let found = in_room.frictions().into_iter().find(|known| known.path == path);
        found.unwrap_or_else(|| panic!("{path}")).friction
    };
    for (path, grown) in [
        ("train.tooth_friction", 1.7),
        ("escapement.recoil_anchor.friction", 1.3),
        ("train.arbor.centre.pivot.friction", 2.1),
        ("pendulum.crutch_play", 1.0),
    ] {
        let (before, now) = (of(&new, path), of(&aged, path));
        assert!((now.value - grown * before.value).abs() <= 1e-15 * now.value, "{path}");
        assert!((now.spread - grown * before.spread).abs() <= 1e-15 * now.value, "{path}");
    }
    let parts = new.ageing_parts();
    let alone = parts.iter().fold(new.clone(), |aged, &parts| aged.with_frictions_aged_of(10.0, parts));
    assert_eq!(alone.frictions(), aged.frictions(), "one after another the parts age as all together");
    assert_eq!(new.with_frictions_aged(0.0), new);
}

#[test]
fn names_say_what_is_between_two_surfaces() {
    let of = |part: RubbingPart, named: Option<&'static str>| {
        RubbingParts::of(part, &Friction { named, ..Friction::of(0.1) }).map(|parts| parts.lubrication)
    };
    use Lubrication::{Dry, Greased, Oiled};
    for (name, wanted) in [
        ("steel in brass, oiled", Oiled),
        ("steel in brass, dry", Dry),
        ("PLA on PLA, greased", Greased),
        ("wood on wood, waxed", Greased),
        ("steel in PLA", Dry),
        ("ball bearing, oiled", Oiled),
        ("ball bearing, shielded and greased", Greased),
        ("ball bearing, washed out", Dry),
    ] {
        let pairs = FRICTION_PAIRS.iter().map(|pair| pair.name);
        assert!(pairs.chain(BEARINGS.iter().map(|bearing| bearing.name)).any(|known| known == name), "{name}");
        assert_eq!(of(RubbingPart::TrainBearing { ball: false }, Some(name)), Some(wanted), "{name}");
    }
    assert_eq!(of(RubbingPart::TrainBearing { ball: true }, Some("ball bearing")), Some(Oiled));
    assert_eq!(of(RubbingPart::TrainBearing { ball: false }, None), Some(Oiled));
    assert_eq!(of(RubbingPart::PalletFaces, None), Some(Dry));
    assert_eq!(of(RubbingPart::Suspension { ball: false }, None), Some(Dry));
    for part in [RubbingPart::Air, RubbingPart::Bending, RubbingPart::CrutchPlay] {
        assert_eq!(of(part, None), None);
    }
}

#[test]
fn a_clock_that_stops_has_no_years_and_one_that_does_not_age_no_end_of_them() {
    let stops = predict(&loaded("heron.toml", &["drive.weight=0.5 kg"]).in_room()).unwrap();
    assert!(matches!(stops.life, Err(NoAnswer::Stops(_))));
    let ageless =
        loaded("heron.toml", &["ageing={ oiled = \"0 %/year\", greased = \"0 %/year\", dry = \"0 %/year\" }"]);
    let ageless = life(&ageless.in_room());
    assert_eq!((ageless.going, ageless.margin), (Lasting::Longer, Some(Lasting::Longer)));
    assert!(ageless.parts.is_empty());
    let slow =
        loaded("heron.toml", &["ageing={ oiled = \"0.1 %/year\", greased = \"0.1 %/year\", dry = \"0.1 %/year\" }"]);
    assert_eq!(life(&slow.in_room()).going, Lasting::Longer);
    // Below the margin asked as it is.
    let below = life(&loaded("heron.toml", &["margin=3 deg"]).in_room());
    assert!(below.margin.is_none() && below.going.years().is_some());
}

#[test]
fn the_course_begins_new_and_falls_and_ends_before_the_clock_stops() {
    for name in ["heron.toml", "wren.toml", "heron-pointed.toml"] {
        let in_room = loaded(name, &[]).in_room();
        let prediction = predict(&in_room).unwrap();
        let life = prediction.life.as_ref().unwrap();
        let arcs: Vec<f64> = life.course.iter().map(|aged| aged.semi_arc_rad).collect();
        assert_eq!(life.course[0].years, 0.0);
        assert_eq!(Some(arcs[0]), prediction.measured().map(|measured| measured.semi_arc_rad()), "{name}");
        assert!(arcs.len() > 2 && arcs.windows(2).all(|pair| pair[1] < pair[0]), "{name}: {arcs:?}");
        assert!(life.course.last().unwrap().years < years(life.going), "{name}");
        assert_eq!(life.ageing, USUAL_AGEING);
    }
}
