//! Pictures as a reader sees them: what lines and labels do to each other, what each thing is called.

use beatwright::answers::prediction::predict;
use beatwright::geometry::Point;
use beatwright::numerics::indices::{IntervalEstimate, SobolIndex};
use beatwright::report::figures::draw_all;
use beatwright::study::portrait::portrait;

use crate::support::plain;
use crate::support::svg;

/// A picture of a plain clock.
fn picture(file: &str, overrides: &[&str], name: &str) -> String {
    let design = plain::loaded(file, overrides).in_room();
    let prediction = predict(&design).unwrap();
    let data = portrait(&design, &prediction);
    let figures = draw_all(&design, &prediction, &data);
    figures.into_iter().find(|figure| figure.name == name).unwrap().svg
}

#[test]
fn no_label_crosses_a_weight_line_and_both_panels_name_them() {
    for (file, overrides) in [
        ("heron.toml", vec![]),
        ("wren.toml", vec![]),
        ("heron.toml", vec!["drive.weight=\"1.7 kg\""]),
        ("heron.toml", vec!["margin=\"0.1 deg\""]),
    ] {
        let drawn = picture(file, &overrides, "amplitude-and-rate-against-weight");
        let named = format!("{file} {overrides:?}");
        svg::check_texts_apart(&named, &drawn);
        let texts = svg::text_boxes(&drawn);
        let dashes = svg::lines(&drawn);
        let upright = dashes.iter().filter(|line| {
            line.stroke == "#1A1A1A" && line.width == 30.0 && line.points.iter().all(|at| at.0 == line.points[0].0)
        });
        let mut met = 0;
        for line in upright {
            met += 1;
            let (x, ends) = (line.points[0].0, line.points.iter().map(|at| at.1));
            let (top, bottom) = (ends.clone().fold(f64::INFINITY, f64::min), ends.fold(0.0, f64::max));
            for (text, [left, upper, right, lower]) in &texts {
                let crossed = x > *left && x < *right && bottom > *upper && top < *lower;
                assert!(!crossed, "{named}: {text:?} lies on a weight line");
            }
        }
        assert!(met > 6, "{named}");
        for words in ["least", "with arc margin", "as designed"] {
            assert_eq!(texts.iter().filter(|(text, _)| text == words).count(), 2, "{named}: {words}");
        }
    }
}

#[test]
fn a_missing_line_of_the_arc_margin_is_explained() {
    let drawn = picture("heron.toml", &["margin=\"9 deg\""], "amplitude-and-rate-against-weight");
    let texts = svg::check_well_formed("margin", &drawn).join(" ");
    assert!(texts.contains("No line for the arc margin: no weight was found that gives 9.0\u{b0}."), "{texts}");
    assert!(!texts.contains("with arc margin"), "{texts}");
}

#[test]
fn the_escapement_has_its_sizes_and_each_part_one_name() {
    for file in ["heron.toml", "wren.toml"] {
        let drawn = picture(file, &[], "escapement");
        let texts = svg::check_well_formed(file, &drawn);
        for words in ["entry pallet", "exit pallet", "pallet arbor", "escape wheel"] {
            assert_eq!(texts.iter().filter(|text| *text == words).count(), 1, "{file}: {words}");
        }
        let all = texts.join(" ");
        let outlines = predict(&plain::loaded(file, &[]).in_room()).unwrap().built.outlines.unwrap();
        let tip_m = outlines.tooth.farthest_m(Point::zeros());
        for size in [
            format!("{} teeth", outlines.teeth),
            format!("diameter {:.1} mm", 2e3 * tip_m),
            format!("arbors {:.1} mm apart", 1e3 * outlines.centre_distance_m),
        ] {
            assert!(all.contains(&size), "{file}: {size}: {all}");
        }
    }
}

// Estimates from few copies: alone above the whole, the whole above one, both below nothing.
#[test]
fn shares_of_a_variance_are_shown_within_their_bounds() {
    let estimate = |value: f64| IntervalEstimate { value, low: value - 0.4, high: value + 0.9 };
    for (alone, total) in [(0.54, 0.35), (0.31, 1.10), (-0.02, 0.10), (-0.1, -0.05), (0.2, 0.3)] {
        let shown = SobolIndex { first_order: estimate(alone), total: estimate(total) }.within_bounds();
        let (alone_shown, total_shown) = (shown.first_order, shown.total);
        assert!(alone_shown.value <= total_shown.value, "{alone} {total}");
        for share in [alone_shown, total_shown] {
            assert!(0.0 <= share.low && share.low <= share.value, "{alone} {total}");
            assert!(share.value <= share.high && share.high <= 1.0, "{alone} {total}");
        }
        let possible = (0.0..=1.0).contains(&total) && (0.0..=total).contains(&alone);
        assert_eq!(possible, alone_shown.value == alone && total_shown.value == total);
    }
}
