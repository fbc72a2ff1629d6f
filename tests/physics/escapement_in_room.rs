//! Train and escapement in their room: parts that have grown since they were made, alike or with the grain.

use std::f64::consts::TAU;

use beatwright::answers::prediction::predict;
use beatwright::answers::verdict::Reason;
use beatwright::clock::build::{Built, build};
use beatwright::clock::design::{
    ByGrain, Conditions, Cut, Design, DriveDesign, FrameMaterial, Grain, MadeOf, MaterialRef, Moisture,
};
use beatwright::clock::environment::InRoom;
use beatwright::clock::environment::expansion::{EscapementStrain, FlatStrain, TrainStrain};
use beatwright::clock::escapement::action::Action;
use beatwright::clock::escapement::action_over_turn::action_over_turn;
use beatwright::clock::escapement::clearances::margins;
use beatwright::clock::materials::moisture_content;
use beatwright::clock::printing::out_of_true::OutOfTrue;
use beatwright::clock::printing::printed_outline::{Assembly, PartPrint};
use beatwright::clock::printing::reprint::reprinted;
use beatwright::clock::train::counts::train_report;
use beatwright::clock::train::train_made::TrainMade;
use beatwright::geometry::{Outline, Point, Vertex, arc_centre};
use beatwright::report::words::notes::{notes_in_words, remarks_in_words};
use beatwright::report::words::room_limits::room_limit_words;
use beatwright::study::room::limits::{Failing, limits_of_humidity};

use crate::support::plain;

const MM: f64 = 1e-3;

fn heron(overrides: &[&str]) -> Design {
    plain::loaded("heron.toml", overrides).design
}

/// A wood that grows by 0.2 % radially and 0.35 % tangentially per per cent of moisture, and not along the grain.
fn wood() -> MaterialRef {
    MaterialRef {
        expansion_per_k: Some(ByGrain { along: 4e-6, radial: 2.5e-5, tangential: 3.5e-5 }),
        moisture: Moisture::Wood(ByGrain { along: 0.0, radial: 0.2, tangential: 0.35 }),
        ..MaterialRef::of_density("wood".to_owned(), 700.0)
    }
}

fn even(expansion: f64) -> MaterialRef {
    MaterialRef { expansion_per_k: Some(ByGrain::all(expansion)), ..MaterialRef::of_density("even".to_owned(), 1200.0) }
}

fn flat(material: &MaterialRef) -> Option<MadeOf> {
    Some(MadeOf { material: material.clone(), cut: Cut::FlatSawn })
}

/// Wheels, pinions, pallets, drum and frame of the materials.
fn of(design: &Design, parts: &MaterialRef, frame: &MaterialRef) -> Design {
    let mut design = design.clone();
    for arbor in &mut design.train.as_mut().unwrap().arbors {
        arbor.wheel = flat(parts);
        arbor.pinion = flat(parts);
    }
    design.pallets = flat(parts);
    design.frame = Some(FrameMaterial { material: frame.clone(), grain: Grain::Along });
    design.escape_wheel.as_mut().unwrap().material = parts.clone();
    if let Some(DriveDesign::Weight(weight)) = &mut design.drive {
        weight.drum = Some(parts.clone());
    }
    design
}

fn room(temperature_c: f64, relative_humidity: f64) -> Conditions {
    Conditions { temperature_c, rod_temperature_c: temperature_c, relative_humidity }
}

/// The clock as made, but with an escapement that has grown.
fn grown(design: &Design, escapement: EscapementStrain) -> InRoom {
    let mut in_room = InRoom::as_made(design);
    in_room.sizes.escapement = escapement;
    in_room
}

fn strained(design: &Design, strain: EscapementStrain) -> Built {
    build(&grown(design, strain)).unwrap()
}

fn figures(action: &Action) -> [f64; 12] {
    let each = [action.entry, action.exit].map(|pallet| {
        [
            pallet.release_rad,
            pallet.landing_rad,
            pallet.lock_rad,
            pallet.lift_rad,
            pallet.drop_rad,
            pallet.clearance_rad,
        ]
    });
    let mut all = [0.0; 12];
    all[..6].copy_from_slice(&each[0]);
    all[6..].copy_from_slice(&each[1]);
    all
}

fn farthest(one: &[f64; 12], other: &[f64; 12]) -> f64 {
    one.iter().zip(other).map(|(a, b)| (a - b).abs()).fold(0.0, f64::max)
}

#[test]
fn exact_no_strain_changes_no_bit() {
    let design = heron(&[]);
    let plain = build(&InRoom::as_made(&design)).unwrap();
    let same = InRoom::of(&design, &design.sizes.under);
    assert_eq!(same, InRoom::as_made(&design));
    let kept = of(
        &design,
        &MaterialRef::of_density("still".to_owned(), 1e3),
        &MaterialRef::of_density("still".to_owned(), 1e3),
    );
    let kept = build(&InRoom::of(&kept, &room(31.0, 0.8))).unwrap();
    assert_eq!(kept.outlines, plain.outlines);
    assert_eq!((kept.mechanism.escapement, kept.mechanism.drive), (plain.mechanism.escapement, plain.mechanism.drive));
    assert_eq!(kept.train, plain.train);
}

/// All of one material that grows alike in all directions: the escapement is the same, only larger.
#[test]
fn exact_everything_grown_alike_keeps_its_action() {
    let design = heron(&[]);
    let plain = build(&InRoom::as_made(&design)).unwrap();
    for strain in [-0.004, 0.002, 0.015] {
        let all = FlatStrain::all(strain);
        let grown = strained(&design, EscapementStrain { wheel: all, pallets: all, frame: strain });
        let outlines = (plain.outlines.as_ref().unwrap(), grown.outlines.as_ref().unwrap());
        for (before, after) in [
            (&outlines.0.tooth, &outlines.1.tooth),
            (&outlines.0.pallets.entry, &outlines.1.pallets.entry),
            (&outlines.0.pallets.exit, &outlines.1.pallets.exit),
        ] {
            for (a, b) in before.vertices().iter().zip(after.vertices()) {
                assert!(((1.0 + strain) * a.at - b.at).norm() < 1e-15);
            }
        }
        let apart = farthest(&figures(&plain.action.unwrap()), &figures(&grown.action.unwrap()));
        // A release where the curve folds is as sharp as the root of rounding.
        assert!(apart < 1e-7, "{strain}: {apart}");
        assert!((grown.bead_off_tip_m - (1.0 + strain) * plain.bead_off_tip_m).abs() < 1e-12);
    }
}

#[test]
fn exact_a_strain_alike_both_ways_is_a_scale() {
    let design = heron(&["printer.bead_radius=\"0.2 mm\""]);
    let outlines = build(&InRoom::as_made(&design)).unwrap().outlines.unwrap();
    let arbor = Point::new(0.0, outlines.centre_distance_m);
    for outline in [&outlines.tooth, &outlines.pallets.entry] {
        let stretched = outline.stretched(1.003, 1.003, Point::new(0.6, 0.8), arbor);
        assert_eq!(stretched, outline.scaled(1.003, arbor));
    }
    assert!(OutOfTrue::of(&EscapementStrain { wheel: FlatStrain::all(0.01), ..Default::default() }, 0.0).is_true());
}

/// Straight edges go where the map takes them; arcs keep to the ellipses to a tenth of radius times the difference of factors.
#[test]
fn exact_stretched_outlines_are_the_points_stretched() {
    let (along, across) = (1.012, 0.997);
    let direction = Point::new(0.8, 0.6);
    let about = Point::new(1.0 * MM, -2.0 * MM);
    let normal = Point::new(-direction.y, direction.x);
    let place = |at: Point| {
        let arm = at - about;
        about + along * arm.dot(&direction) * direction + across * arm.dot(&normal) * normal
    };
    let outline = build(&InRoom::as_made(&heron(&[]))).unwrap().outlines.unwrap().pallets.entry;
    let circle = Outline::circle(Point::new(3.0 * MM, 4.0 * MM), 2.0 * MM).unwrap();
    for outline in [outline, circle] {
        let stretched = outline.stretched(along, across, direction, about);
        assert!((stretched.signed_area_m2() / outline.signed_area_m2() / (along * across) - 1.0).abs() < 1e-3);
        let polygon = stretched.polyline(1e-10);
        for (from, to, bulge) in outline.edges() {
            let nearest = |point: Point| {
                let ends = polygon.iter().zip(polygon.iter().cycle().skip(1));
                ends.map(|(a, b)| {
                    let edge = b - a;
                    let share = ((point - a).dot(&edge) / edge.norm_squared()).clamp(0.0, 1.0);
                    (a + share * edge - point).norm()
                })
                .fold(f64::INFINITY, f64::min)
            };
            let centre = arc_centre(from, to, bulge);
            let (radius, sweep) = ((from - centre).norm(), 4.0 * bulge.atan());
            for share in [0.0, 0.17, 0.4, 0.8] {
                let arm = from - centre;
                let (sine, cosine) = (sweep * share).sin_cos();
                let on = if bulge == 0.0 {
                    from + share * (to - from)
                } else {
                    centre + Point::new(cosine * arm.x - sine * arm.y, sine * arm.x + cosine * arm.y)
                };
                let allowed = if bulge == 0.0 { 1e-10 } else { 1e-9 + 0.1 * radius * (along - across) };
                assert!(nearest(place(on)) < allowed, "{} {allowed}", nearest(place(on)));
            }
        }
    }
}

/// The whole wheel stretched, tooth by tooth, against the outline that stands for each; and its radius at 0, 45 and 90 degrees.
#[test]
fn exact_an_oval_wheel_is_the_round_one_stretched() {
    let (along, across) = (0.004, 0.024);
    let strain = EscapementStrain { wheel: FlatStrain { along, across }, ..Default::default() };
    let run_out_m = 0.1 * MM;
    let out = OutOfTrue::of(&strain, run_out_m);
    let (radius, teeth) = (60.0 * MM, 32_u32);
    let corner = |x: f64, y: f64| Vertex { at: Point::new(x * MM, y * MM), bulge: 0.0 };
    let tooth = Outline::new(vec![corner(0.0, 60.0), corner(-3.0, 50.0), corner(0.5, 50.0)]).unwrap();
    let mean = tooth.scaled(1.0 + strain.wheel.mean(), Point::zeros());
    for number in 0..teeth {
        let angle = TAU * f64::from(number) / f64::from(teeth);
        let turn = |at: Point, by: f64| {
            let (sine, cosine) = by.sin_cos();
            Point::new(cosine * at.x - sine * at.y, sine * at.x + cosine * at.y)
        };
        let claimed = out.tooth(&mean, number, teeth);
        for vertex in tooth.vertices() {
            // Tooth no. 0 stands along the grain, which points up.
            let on_wheel = turn(vertex.at, angle);
            let grown =
                Point::new((1.0 + across) * on_wheel.x, (1.0 + along) * on_wheel.y) + Point::new(run_out_m, 0.0);
            let back = turn(grown, -angle);
            assert!(claimed.vertices().iter().any(|other| (other.at - back).norm() < 1e-16), "tooth {number}");
        }
    }
    let round = OutOfTrue { run_out_m: 0.0, ..out };
    let tip = |number| round.tooth(&mean, number, teeth).farthest_m(Point::zeros());
    assert!((tip(0) - radius * (1.0 + along)).abs() < 1e-16);
    assert!((tip(8) - radius * (1.0 + across)).abs() < 1e-16);
    let between = (0.5 * ((1.0 + along).powi(2) + (1.0 + across).powi(2))).sqrt();
    assert!((tip(4) - radius * between).abs() < 1e-16);
    let place = |number| round.place(number, teeth).to_string();
    assert!(place(0).contains("along the grain") && place(16).contains("along the grain"));
    assert!(place(8).contains("across the grain"));
}

/// A wheel grown by a share `e` has so much more of it to lose: the margin of its diameter grows by `2 R e`.
#[test]
fn exact_margins_see_the_strain() {
    let design = heron(&[]);
    let plain = build(&InRoom::as_made(&design)).unwrap();
    let before = margins(&design.printer, &plain).unwrap();
    let strain = 0.001;
    let grown = strained(&design, EscapementStrain { wheel: FlatStrain::all(strain), ..Default::default() });
    let after = margins(&design.printer, &grown).unwrap();
    let wanted = before.hold.wheel_m.unwrap() + 2.0 * before.tip_radius_m * strain;
    assert!((after.hold.wheel_m.unwrap() - wanted).abs() < 3e-7, "{:?} {wanted}", after.hold.wheel_m);
    // A frame that grows takes the pallets off the wheel as arbors further apart do.
    let frame = strained(&design, EscapementStrain { frame: 0.001, ..Default::default() });
    let apart = margins(&design.printer, &frame).unwrap();
    let centre_m = plain.drawn.as_ref().unwrap().centre_distance_m;
    let wanted = before.hold.arbors_m.unwrap() - 0.001 * centre_m;
    assert!((apart.hold.arbors_m.unwrap() - wanted).abs() < 3e-7);
    let wanted = before.drop.arbors_m.unwrap() + 0.001 * centre_m;
    assert!((apart.drop.arbors_m.unwrap() - wanted).abs() < 3e-7);
}

/// The copies of a spread are printed in the same room: one made with the mean values is the mean clock.
#[test]
fn exact_a_copy_printed_anew_has_the_same_strain() {
    let design = heron(&["printer.run_out=\"0.05 mm\""]);
    let strain = EscapementStrain {
        wheel: FlatStrain { along: 0.001, across: 0.004 },
        pallets: FlatStrain { along: 0.0, across: 0.003 },
        frame: 0.0005,
    };
    let design = grown(&design, strain);
    let mean = build(&design).unwrap();
    let part = PartPrint::mean_of(&design.printer);
    let copy = reprinted(
        &design,
        &mean,
        &part,
        &part,
        &Assembly::mean_of(&design.printer),
        &TrainMade::mean_of(&design).print,
    )
    .unwrap();
    assert_eq!(copy.mechanism, mean.mechanism);
    assert_eq!((copy.outlines, copy.out_of_true, copy.action), (mean.outlines, mean.out_of_true, mean.action));
}

/// Margins of an oval wheel are those of its worst tooth, and the action over the turn has the same extremes.
#[test]
fn crosscheck_action_over_the_turn_and_margins_agree() {
    let design = heron(&[]);
    let wheel = FlatStrain { along: 0.0, across: 0.004 };
    let oval = strained(&design, EscapementStrain { wheel, ..Default::default() });
    assert!(oval.out_of_true.oval < 0.0);
    let turn = action_over_turn(&oval.mechanism.escapement).unwrap();
    let found = margins(&design.printer, &oval).unwrap();
    let least = |of: fn(&beatwright::clock::escapement::action_over_turn::PalletTurn) -> f64| {
        of(&turn.entry).min(of(&turn.exit))
    };
    assert_eq!(found.hold.least_rad, least(|pallet| pallet.lock.least_rad));
    assert_eq!(found.drop.least_rad, least(|pallet| pallet.drop.least_rad));
    assert_eq!(found.clearance.least_rad, least(|pallet| pallet.clearance.least_rad));
    // Teeth at 45 degrees are moved along the rim by d sin 2a. Heron's pallets are a right angle apart, so that the teeth on
    // them are moved against each other by twice that.
    for pallet in turn.values() {
        let (range, wanted) = (pallet.drop.most_rad - pallet.drop.least_rad, 4.0 * 0.002);
        assert!((range / wanted - 1.0).abs() < 0.15, "{range} {wanted}");
    }
    let action = oval.action.unwrap();
    for (turn, mean) in turn.values().zip([action.entry, action.exit]) {
        assert!(turn.lock.least_rad < mean.lock_rad && mean.lock_rad < turn.lock.most_rad);
        assert!(turn.drop.least_rad < mean.drop_rad && mean.drop_rad < turn.drop.most_rad);
        assert_eq!(turn.without_action, 0);
    }
}

#[test]
fn a_lost_lock_is_named_with_its_tooth() {
    let design = heron(&[]);
    let wheel = FlatStrain { along: -0.012, across: 0.0 };
    let notes = notes_in_words(&strained(&design, EscapementStrain { wheel, ..Default::default() }).notes());
    let lost = notes.iter().find(|note| note.contains("past the lock")).unwrap_or_else(|| panic!("{notes:?}"));
    assert!(lost.contains(" pallet: tooth ") && lost.contains("the grain lands "), "{lost}");
}

#[test]
fn exact_parts_grow_by_their_material() {
    let (wood, still) = (wood(), MaterialRef::of_density("still".to_owned(), 2700.0));
    let design = of(&heron(&[]), &wood, &even(2e-5));
    let now = room(26.0, 0.7);
    let (made, there) = (design.sizes.under, InRoom::of(&design, &now));
    let gain = moisture_content(26.0, 0.7) - moisture_content(made.temperature_c, made.relative_humidity);
    let (dt, train) = (26.0 - made.temperature_c, &there.sizes.train);
    let across = 3.5e-5 * dt + 0.35 * gain;
    for arbor in &train.arbors {
        assert!((arbor.wheel.along - 4e-6 * dt).abs() < 1e-16);
        assert!((arbor.wheel.across - across).abs() < 1e-16);
        assert_eq!(arbor.wheel, arbor.pinion);
    }
    assert!((train.frame - 2e-5 * dt).abs() < 1e-16);
    assert_eq!(there.sizes.escapement.wheel, train.arbors[0].wheel);
    assert_eq!(there.sizes.escapement.pallets, train.arbors[0].wheel);
    assert_eq!(there.sizes.escapement.frame, train.frame);
    let (Some(DriveDesign::Weight(before)), Some(DriveDesign::Weight(after))) = (&design.drive, &there.drive) else {
        panic!("no weight")
    };
    let radial = 2.5e-5 * dt + 0.2 * gain;
    let wanted = before.drum_diameter_m * (1.0 + 0.5 * (radial + across));
    assert!((after.drum_diameter_m - wanted).abs() < 1e-16);
    assert_eq!(after.cord_diameter_m, before.cord_diameter_m);
    // Quarter-sawn parts grow radially; and the way over another room ends in the same sizes, but for the product of both strains.
    let mut quarter = design.clone();
    quarter.escape_wheel.as_mut().unwrap().cut = Cut::QuarterSawn;
    assert!((InRoom::of(&quarter, &now).sizes.escapement.wheel.across - radial).abs() < 1e-16);
    let over = InRoom::of(&design, &room(10.0, 0.3)).moved_to(&now);
    let first = 3.5e-5 * (10.0 - made.temperature_c)
        + 0.35 * (moisture_content(10.0, 0.3) - moisture_content(made.temperature_c, made.relative_humidity));
    assert!((over.sizes.escapement.wheel.across - across - first * (across - first)).abs() < 1e-15);
    assert_eq!(there.moved_to(&now), there);
    assert_eq!(InRoom::of(&of(&design, &still, &still), &now).sizes.escapement, EscapementStrain::default());
}

/// A larger drum takes more turns' worth of cord: torque and rate of fall follow its radius to the middle of the cord.
#[test]
fn exact_run_time_and_torque_follow_the_drum() {
    let grow = |design: &Design| {
        let mut design = design.clone();
        if let Some(DriveDesign::Weight(weight)) = &mut design.drive {
            weight.drum = Some(even(1e-3));
        }
        design
    };
    let design = grow(&heron(&["drive.drum_turns=\"100 turns\""]));
    let made = InRoom::as_made(&design);
    let warm = InRoom::of(&design, &room(30.0, 0.5));
    let (before, after) = (build(&made).unwrap(), build(&warm).unwrap());
    let radius = |grown: f64| 0.5 * (40.0 * MM * (1.0 + grown) + 1.5 * MM);
    let ratio = radius(1e-3 * (30.0 - design.sizes.under.temperature_c)) / radius(0.0);
    let torque = |built: &Built| built.mechanism.drive.unwrap().ideal_torque_n_m;
    assert!((torque(&after) / torque(&before) - ratio).abs() < 1e-14);
    let days = |built: &Built| built.run_time(None).unwrap().run_time_s;
    assert!((days(&before) / days(&after) - ratio).abs() < 1e-14);
}

#[test]
fn a_train_that_jams_stops_the_clock_by_name() {
    let design = of(&heron(&[]), &wood(), &even(0.0));
    let wet = InRoom::of(&design, &room(20.0, 0.95));
    let mut alone = InRoom::as_made(&design);
    // Train alone: the escapement keeps its size.
    alone.sizes.train = wet.sizes.train.clone();
    let prediction = predict(&alone).unwrap();
    assert_eq!(prediction.reason(), Some(Reason::Jams));
    assert!(prediction.least.is_none());
    assert!(
        remarks_in_words(&prediction.notes).iter().any(|note| note.starts_with("mesh great 78 -> centre 12 jams: "))
    );
    let drive = prediction.built.mechanism.drive.unwrap();
    assert!(drive.torque_n_m().abs() < 1e-18 && drive.forward_n_m() < 0.0 && drive.backward_n_m().is_finite());
}

/// The same by the closed form: the humidity at which the largest mesh has no play left.
#[test]
fn crosscheck_limits_of_humidity() {
    let design = of(&heron(&[]), &wood(), &even(0.0));
    let limits = limits_of_humidity(&design, 20.0);
    let jam = limits
        .iter()
        .find(|limit| limit.failing == Failing::MeshJams && room_limit_words(limit).contains("great"))
        .unwrap();
    assert!(jam.rising && jam.at > design.sizes.under.relative_humidity);
    for (humidity, jams) in [(jam.at - 2e-5, false), (jam.at + 2e-5, true)] {
        let there = InRoom::of(&design, &room(20.0, humidity));
        let train = train_report(there.train.as_ref().unwrap(), &TrainMade::mean_of(&there), Some(30)).unwrap();
        assert_eq!(train.depthings[0].tightness().is_some(), jams);
    }
    for limit in &limits {
        let there = InRoom::of(&design, &room(20.0, if limit.rising { limit.at + 1e-4 } else { limit.at - 1e-4 }));
        let mut alone = there;
        alone.sizes.train = TrainStrain::default();
        let left = build(&alone).ok().and_then(|built| {
            let turn = action_over_turn(&built.mechanism.escapement)?;
            match limit.failing {
                Failing::Hold(side) => Some(turn[side].lock.least_rad),
                Failing::Drop(side) => Some(turn[side].drop.least_rad),
                Failing::Clearance(side) => Some(turn[side].clearance.least_rad),
                _ => None,
            }
        });
        assert!(left.is_none_or(|left| left < 0.0), "{limit:?} {left:?}");
    }
    assert!(limits.windows(2).all(|pair| (pair[0].at - 0.5).abs() <= (pair[1].at - 0.5).abs()));
    let still = of(&heron(&[]), &even(0.0), &even(0.0));
    assert!(limits_of_humidity(&still, 20.0).is_empty());
}
