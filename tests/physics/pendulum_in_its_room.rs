//! The pendulum in heat and damp against closed forms: rod, bob, spring, columns, and the length that compensates.

use beatwright::answers::compensation::{compensated, rate_by_kelvin};
use beatwright::answers::prediction::predict;
use beatwright::answers::regulation::{SETTLED_WITHIN, nut_to_time, regulation};
use beatwright::answers::towns::in_town;
use beatwright::clock::build::build;
use beatwright::clock::design::{
    BobShape, ByGrain, Column, Conditions, Design, MaterialRef, Moisture, PendulumClock, PendulumDesign, PendulumParts,
    RodSection, Seat, Suspension,
};
use beatwright::clock::environment::InRoom;
use beatwright::clock::environment::air::Air;
use beatwright::clock::environment::expansion::RoomGroup;
use beatwright::clock::materials::{material_named, moisture_content};
use beatwright::clock::pendulum::compound::pendulum_from_parts;
use beatwright::scenario::{LoadError, NO_OVERRIDES, Scenario, read, starter};
use beatwright::study::prepare::prepared;

use crate::support::close::assert_close;
use crate::support::plain;
use crate::support::still::still_works;

const ROOM: Conditions = Conditions { temperature_c: 20.0, rod_temperature_c: 20.0, relative_humidity: 0.5 };
const STANDARD_GRAVITY: f64 = 9.80665;

fn heron(overrides: &[&str]) -> Scenario {
    plain::loaded("heron.toml", overrides)
}

fn warmer(kelvin: f64) -> Conditions {
    Conditions { temperature_c: 20.0 + kelvin, rod_temperature_c: 20.0 + kelvin, ..ROOM }
}

fn expanding(ppm_per_k: f64) -> MaterialRef {
    MaterialRef {
        expansion_per_k: Some(ByGrain::all(1e-6 * ppm_per_k)),
        youngs_modulus_pa: Some(200e9),
        ..MaterialRef::of_density("test".to_owned(), 1e-9)
    }
}

/// A design whose pendulum is a point on a rod without mass, 1 m below a frictionless axis.
fn point_on_rod(rod: MaterialRef) -> Design {
    let mut design = heron(&[]).design;
    still_works(&mut design);
    let PendulumDesign::Parts(parts) = &mut design.pendulum else { panic!("no parts") };
    parts.rod.section = RodSection::Round { diameter_m: 1e-6 };
    (parts.rod.top_m, parts.rod.length_m, parts.rod.material) = (0.0, 1.0, rod);
    parts.bob.shape = BobShape::Sphere { diameter_m: 1e-9 };
    (parts.bob.centre_m, parts.bob.mass_kg, parts.bob.seat) = (1.0, Some(2.0), Seat::Middle);
    (parts.nut, parts.extras, parts.bob.shell) = (None, Vec::new(), None);
    parts.bob.material = MaterialRef::of_density("point".to_owned(), 1e4);
    design
}

fn parts<S>(design: &PendulumClock<S>) -> &PendulumParts {
    let PendulumDesign::Parts(parts) = &design.pendulum else { panic!("no parts") };
    parts
}

fn small_period_s<S>(design: &PendulumClock<S>) -> f64 {
    pendulum_from_parts(parts(design), STANDARD_GRAVITY, &Air::NONE).unwrap().1.small_swing_period_s
}

/// Seconds that the dial gains in a true day.
fn by_period(design: &Design, now: &Conditions) -> f64 {
    86_400.0 * (small_period_s(design) / small_period_s(&InRoom::of(design, now)) - 1.0)
}

/// What a kelvin does to a point on a rod, s/day of the dial (exact: 86400 (1/sqrt(1 + alpha) - 1)), for published expansions: encyclopedia
/// table at 20 degC (seen), fused silica by the Crystran handbook (seen), PLA from memory.
#[test]
fn exact_rod_expands() {
    for (ppm, expected) in [
        (10.8, -0.466_556),
        (12.0, -0.518_395),
        (17.3, -0.747_350),
        (19.0, -0.820_788),
        (23.1, -0.997_903),
        (1.2, -0.051_840),
        (0.55, -0.023_760),
        (3.1, -0.133_920),
        (4.5, -0.194_399),
        (73.8, -3.187_984),
        (68.0, -2.937_450),
    ] {
        let found = by_period(&point_on_rod(expanding(ppm)), &warmer(1.0));
        assert_close(found, expected, 6e-7, &format!("{ppm} ppm/K"));
    }
}

/// Along the grain 0.1 to 0.2 % from green to dry (awc.org, seen) over 30 % of moisture: 1.44 to 2.88 s/day per percent; from 30 to 60 % of
/// relative humidity at 20 degC, 4.8116 % of moisture, 6.9 to 13.9 s/day losing (computed apart).
#[test]
fn published_wooden_rod_in_damp_air() {
    assert_close(100.0 * (moisture_content(20.0, 0.6) - moisture_content(20.0, 0.3)), 4.8116, 6e-5, "moisture");
    for (total, expected) in [(0.001, 6.9), (0.002, 13.9)] {
        let swelling = ByGrain::all(total / 0.3);
        let wood = MaterialRef { moisture: Moisture::Wood(swelling), ..expanding(0.0) };
        let mut design = point_on_rod(wood);
        design.sizes.under.relative_humidity = 0.3;
        let found = by_period(&design, &Conditions { relative_humidity: 0.6, ..ROOM });
        assert_close(found, -expected, 0.06, "s/day");
    }
}

/// Strip spring with a point bob 0.99 m below its lower clamp, E = 200 GPa: what -240 ppm/K of the modulus do, s/day/K (derived; the period of
/// the equivalent length checked with scipy `solve_bvp`).
#[test]
fn exact_spring_softens() {
    for (width_mm, thickness_mm, kg, strip_mm, expected) in [
        (10.0, 0.10, 2.0, 10.0, -0.015_41),
        (10.0, 0.10, 2.0, 20.0, -0.015_01),
        (10.0, 0.15, 2.0, 10.0, -0.034_42),
        (20.0, 0.10, 5.0, 10.0, -0.013_66),
        (6.0, 0.05, 0.5, 10.0, -0.008_29),
        (10.0, 0.10, 2.0, 5.0, -0.019_83),
    ] {
        let spring = MaterialRef { modulus_per_k: -2.4e-4, expansion_per_k: None, ..expanding(0.0) };
        let mut design = point_on_rod(expanding(0.0));
        let PendulumDesign::Parts(parts) = &mut design.pendulum else { panic!("no parts") };
        let length_m = 1e-3 * strip_mm;
        parts.suspension = Suspension::StripSpring {
            width_m: 1e-3 * width_mm,
            thickness_m: 1e-3 * thickness_mm,
            length_m,
            material: spring,
            loss_factor: 0.0.into(),
        };
        parts.rod.top_m = length_m;
        parts.bob.centre_m = 0.99 + length_m;
        parts.bob.mass_kg = Some(kg);
        let per_kelvin = by_period(&design, &warmer(0.1)) / 0.1;
        assert_close(per_kelvin, expected, 6e-6, &format!("{width_mm} x {thickness_mm} x {strip_mm}"));
        let only = InRoom::as_made(&design).moved_to_by(&warmer(1.0), RoomGroup::Suspension);
        assert_eq!(small_period_s(&only), small_period_s(&InRoom::of(&design, &warmer(1.0))));
    }
}

/// Parts that neither heat nor damp moves keep their sizes bit for bit; so do all under the conditions of their making.
#[test]
fn exact_nothing_moves_what_does_not_expand() {
    let mut still = heron(&[]).design;
    assert_eq!(InRoom::of(&still, &ROOM), InRoom::as_made(&still));
    let PendulumDesign::Parts(parts) = &mut still.pendulum else { panic!("no parts") };
    parts.rod.material = parts.rod.material.unmoved();
    parts.bob.material = parts.bob.material.unmoved();
    parts.bob.shell = None;
    let far = Conditions { relative_humidity: 0.9, ..warmer(25.0) };
    let moved = InRoom::of(&still, &far);
    assert_eq!(moved.pendulum, still.pendulum);
    assert_eq!(moved.sizes.under, far);
    assert_eq!(moved.moved_to(&far), moved);
}

/// A bob that stands on a column: its middle, carried at the end of a rod of length `l` with `a`, and a column of length `c` with `b` leading up,
/// falls by `l a - c b` for a kelvin. With `c = l a / b` it stays, and so does a simple pendulum's period.
#[test]
fn exact_columns_carry_the_bob() {
    let (rod, column) = (12.0, 30.0);
    let length_m = 1.0 / (column / rod - 1.0);
    let mut design = point_on_rod(expanding(rod));
    let PendulumDesign::Parts(parts) = &mut design.pendulum else { panic!("no parts") };
    parts.columns.push(Column {
        name: "zinc".to_owned(),
        material: expanding(column),
        length_m: Some(length_m),
        up: true,
        mass_kg: 0.0,
        compensates: false,
    });
    // The rod reaches down to where the column begins: 1 m and the column's length.
    assert_close(parts.first_column_begins_m(), 1.0 + length_m, 1e-15, "rod");
    assert_close(by_period(&design, &warmer(20.0)), 0.0, 1e-9, "compensated");
    let PendulumDesign::Parts(parts) = &mut design.pendulum else { panic!("no parts") };
    parts.columns[0].length_m = Some(0.5 * length_m);
    let falls = 1e-6 * (rod * (1.0 + 0.5 * length_m) - column * 0.5 * length_m);
    let expected = 86_400.0 * ((1.0 + falls).sqrt().recip() - 1.0);
    assert_close(by_period(&design, &warmer(1.0)), expected, 1e-8, "half the column");
}

/// The bob grows from its seat: a disc of radius r carried by its lower edge rises by `r b`, by its upper edge it falls.
#[test]
fn exact_bob_grows_from_its_seat() {
    for (seat, sign) in [(Seat::Bottom, 1.0), (Seat::Middle, 0.0), (Seat::Top, -1.0)] {
        let mut design = point_on_rod(expanding(0.0));
        let PendulumDesign::Parts(own) = &mut design.pendulum else { panic!("no parts") };
        own.bob.shape = BobShape::Disc { diameter_m: 0.15, thickness_m: 0.02 };
        own.bob.seat = seat;
        own.bob.shell = Some(expanding(68.0));
        let now = InRoom::of(&design, &warmer(10.0));
        assert_close(parts(&now).bob.centre_m, 1.0 - sign * 0.075 * 680e-6, 1e-15, "centre");
        let BobShape::Disc { diameter_m, .. } = parts(&now).bob.shape else { panic!("no disc") };
        assert_close(diameter_m, 0.15 * (1.0 + 680e-6), 1e-15, "diameter");
        assert_eq!(parts(&now).bob.mass_kg, Some(2.0));
    }
}

/// A wooden rod keeps its dry mass: volume times density grows by its water alone.
#[test]
fn exact_wooden_rod_gains_its_water() {
    let oak = MaterialRef::from(material_named("oak").unwrap());
    let mut design = heron(&[]).design;
    let PendulumDesign::Parts(own) = &mut design.pendulum else { panic!("no parts") };
    own.rod.section = RodSection::Flat { depth_m: 0.02, width_m: 0.01 };
    own.rod.material = oak;
    let now = InRoom::of(&design, &Conditions { relative_humidity: 0.8, ..ROOM });
    let mass = |parts: &PendulumParts| {
        let rod = &parts.rod;
        let RodSection::Flat { depth_m, width_m } = rod.section else { panic!("not flat") };
        rod.length_m * depth_m * width_m * rod.material.density_kg_m3
    };
    let water = (1.0 + moisture_content(20.0, 0.8)) / (1.0 + moisture_content(20.0, 0.5));
    assert_close(mass(parts(&now)) / mass(parts(&design)), water, 1e-12, "mass");
}

const ZINC: &str = r#"
[[pendulum.column]]
name = "zinc tube"
material = "zinc"
length = "compensating"
direction = "up"
"#;

fn with_steel_rod(more: &str, overrides: &[&str]) -> Result<Scenario, LoadError> {
    let set = [
        "pendulum.rod.material=steel",
        "pendulum.bob.shell=steel",
        "pendulum.rod.length=1.5 m",
        "pendulum.nut.below_axis=1.45 m",
    ];
    read("mine.toml", &format!("{}\n{more}", starter()), &[&set, overrides].concat()).and_then(prepared)
}

/// The length solved through the limit cycle: of a point on a rod that of the chain, `c = l a / (b - a)`. The air that sticks to the thin wire
/// (its added mass goes as the viscosity) takes 1.5e-4 of it.
#[test]
fn exact_column_of_a_point_is_solved() {
    for (rod, column) in [(12.0, 30.0), (10.8, 23.1)] {
        let mut design = point_on_rod(expanding(rod));
        let PendulumDesign::Parts(own) = &mut design.pendulum else { panic!("no parts") };
        own.columns.push(Column {
            name: "tube".to_owned(),
            material: expanding(column),
            length_m: None,
            up: true,
            mass_kg: 0.0,
            compensates: true,
        });
        let solved = compensated(&design).unwrap();
        let expected = rod / (column - rod);
        assert_close(parts(&solved).columns[0].length_m.unwrap() / expected, 1.0, 2e-4, "length");
    }
}

/// A real pendulum's column leaves no rate by kelvin, the air's share taken in; without it the steel rod loses nearly half a second a day.
#[test]
fn exact_column_is_solved() {
    let mut plain = with_steel_rod("", &[]).unwrap().design;
    still_works(&mut plain);
    let loses = rate_by_kelvin(&plain).unwrap();
    assert!((-0.5..-0.35).contains(&loses), "{loses}");
    let solved = with_steel_rod(ZINC, &[]).unwrap().design;
    assert!(rate_by_kelvin(&solved).unwrap().abs() < 2e-6, "{:?}", rate_by_kelvin(&solved));
    assert_eq!(compensated(&solved).unwrap(), solved);
}

/// A column whose length nobody has solved makes no clock, and says so.
#[test]
fn tells_a_column_whose_length_is_open() {
    let open =
        read("mine.toml", &format!("{}\n{}", starter(), ZINC.replace("\"zinc\"", "\"brass\"")), &NO_OVERRIDES).unwrap();
    let error = build(&open.in_room()).unwrap_err();
    assert!(error.to_string().contains("zinc tube"), "{error}");
    let told = open.problems(vec![open.problem_of(&error)]).render(false);
    assert!(told.contains("has not been solved yet") && told.contains("[[pendulum.column]]"), "{told}");
}

/// Where no length does it the scenario says so at the length, with what the ends of the search do.
#[test]
fn tells_a_column_that_cannot_compensate() {
    let Err(LoadError::Problems(problems)) = with_steel_rod(&ZINC.replace("\"up\"", "\"down\""), &[]) else {
        panic!("reads")
    };
    let [problem] = problems.list() else { panic!("{}", problems.render(false)) };
    assert_eq!(problem.code.as_str(), "not_compensated");
    assert!(problems.render(false).contains("length = \"compensating\""), "{}", problems.render(false));
    assert!(problem.message.contains("s/day/K"), "{}", problem.message);
    let Err(LoadError::Problems(problems)) = with_steel_rod(&format!("{ZINC}{ZINC}"), &[]) else { panic!("reads") };
    assert_eq!(problems.list()[0].code.as_str(), "conflict");
}

/// The nut's turns bring the clock to time; a turn does what the report says.
#[test]
fn exact_nut_brings_to_time() {
    let design = heron(&["pendulum.bob.below_axis=990 mm"]).in_room();
    let found = predict(&design).unwrap();
    let nut = regulation(&design, &found).nut.unwrap();
    assert!(nut.turns < -3.0, "{nut:?}");
    assert_close(nut.up_m, 1e-3 * nut.turns, 1e-15, "way");
    let mut turned = design.clone();
    turned.pendulum = PendulumDesign::Parts(parts(&design).with_nut_raised(nut.up_m));
    let again = predict(&turned).unwrap().steady.unwrap().rate_s_per_day.unwrap();
    assert_close(again, 0.0, 2e-6, "rate");
    let by_turn = found.built.pendulum.as_ref().unwrap().nut_s_per_day_per_turn.unwrap();
    let rate = found.steady.as_ref().unwrap().rate_s_per_day.unwrap();
    assert_close(nut.turns * by_turn / -rate, 1.0, 0.02, "by the turn");
    let steady = found.steady.as_ref().unwrap();
    assert_eq!(nut_to_time(&design, &found.built, steady.point.right_rad), Some(nut));
}

/// Gravity alone: a town where it is weaker by a share asks for a pendulum shorter by about that share. Gravity of GRS80 at 0 and 45 degrees
/// (9.7803267715 and 9.8061992025 m/s^2, seen): 2.62 mm of a seconds pendulum.
#[test]
fn published_nut_on_the_equator() {
    let more = r#"
[[town]]
name = "equator"
gravity = "9.7803267715 m/s^2"
"#;
    let overrides = ["place.gravity=9.8061992025 m/s^2".to_owned()];
    let text = starter().replace("latitude = \"50 deg\"\nheight = \"100 m\"\n", "");
    let scenario = read("mine.toml", &format!("{text}\n{more}"), &overrides).unwrap();
    let home = predict(&scenario.in_room()).unwrap();
    let at_home = regulation(&scenario.in_room(), &home).nut.unwrap();
    let there = in_town(&scenario.design, &scenario.towns[0]).unwrap().nut.unwrap();
    let way_mm = 1e3 * (there.up_m - at_home.up_m);
    // A seconds pendulum is 990.954 mm there and 993.576 at 45 degrees; the parts besides the bob take a twentieth more.
    assert_close(way_mm, 993.576 - 990.954, 0.15, "mm up");
}

/// Turned pallets put the clock out of beat; the crutch that sets it right turns them back.
#[test]
fn exact_crutch_sets_the_beat() {
    let upright = heron(&[]).in_room();
    let error_of = |design: &InRoom| regulation(design, &predict(design).unwrap()).beat.unwrap();
    let own = error_of(&upright);
    let own_rad = own.crutch_rad.unwrap();
    let turned = heron(&["escapement.dead_beat.beat_error=0.15 deg", "pendulum.crutch_length=\"120 mm\""]).in_room();
    let found = error_of(&turned);
    assert!(found.error_s.abs() > own.error_s.abs() + 1e-3, "{found:?} against {own:?}");
    let back = found.crutch_rad.unwrap();
    assert_close(back, own_rad - 0.15_f64.to_radians(), 1e-9, "angle");
    assert_close(found.crutch_m.unwrap(), 0.12 * back, 1e-15, "mm");
    let right = InRoom { escapement: turned.escapement.turned_by(back), ..turned };
    assert!(error_of(&right).error_s.abs() < 1e-9);
}

/// The swing settles when the return map, followed period by period, gets there.
#[test]
fn exact_swing_settles() {
    let design = heron(&[]).in_room();
    let found = predict(&design).unwrap();
    let settling = regulation(&design, &found).settling.unwrap();
    let steady = found.steady.as_ref().unwrap();
    let away = |periods: i32| {
        let clock = beatwright::answers::return_map::Clock::of(&found.built.mechanism).unwrap();
        let mut here = design.start_arc_rad.unwrap();
        for _ in 0..periods {
            here += clock.period_from(here).gain_rad(here).unwrap();
        }
        (here / steady.point.right_rad - 1.0).abs()
    };
    let periods = settling.periods as i32;
    assert!(away(periods + 2) < SETTLED_WITHIN && away(periods - 2) > SETTLED_WITHIN, "{settling:?}");
    assert_close(settling.time_s, settling.periods * steady.measured.period_s, 1e-9, "time");
}

/// The papers' constant-torque clock, averaged (derived): the square of the amplitude relaxes as `exp(-n t / Q)` to `2 Q delta (al + be) / pi`, so that
/// from twice the limit it is within 1 % after `(Q / n) ln(3 / 0.0201)`; the rest is of the order 1/Q.
#[test]
fn exact_constant_torque_clock_settles() {
    let (q, arc) = (1000.0_f64, 1.0_f64.to_radians());
    let limit = 3.0_f64.to_radians();
    let n = std::f64::consts::PI;
    let torque = n * n * limit * limit * std::f64::consts::PI / (4.0 * q * arc);
    let text = format!(
        r#"
name = "ideal"
start_arc = "6 deg"
[place]
gravity = "0 m/s^2"
[pendulum.lumped]
inertia = "1 kg m^2"
mass = "1 kg"
centre_of_mass = "1 m"
stiffness = "{} N m/rad"
damping_linear = "{} N m s"
[escapement.ideal_torque]
torque = "{torque} N m"
before = "1 deg"
after = "1 deg"
"#,
        n * n,
        n / q
    );
    let design = read("ideal.toml", &text, &NO_OVERRIDES).unwrap().in_room();
    let found = predict(&design).unwrap();
    let told = regulation(&design, &found);
    assert_eq!((told.nut, told.beat), (None, None));
    let expected = q / n * (3.0_f64 / 0.0201).ln();
    assert_close(told.settling.unwrap().time_s / expected, 1.0, 4e-3, "time");
}

/// Heron in the room it was made for is the clock as made.
#[test]
fn exact_home_changes_nothing() {
    let scenario = heron(&[]);
    assert_eq!(scenario.in_room(), InRoom::as_made(&scenario.design));
}
