//! Pictures of maps: the stall as it was solved, contours that end there, every region with its name, and why there is no such clock.

use std::fs;
use std::path::Path;

use crate::support::program::beatwright;
use crate::support::svg::{self, DrawnLine};
use crate::support::{demo, plain};

/// Hundredths of a millimetre.
type Places = Vec<(f64, f64)>;

fn drawn(arguments: &[&str], out: &Path) {
    drawn_of(&plain::path("heron.toml"), arguments, out);
}

fn drawn_of(scenario: &Path, arguments: &[&str], out: &Path) {
    let output = beatwright().arg("map").arg(scenario).args(arguments).arg("--out").arg(out).output().unwrap();
    assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
}

fn of(lines: &[DrawnLine], stroke: &str, width: f64) -> Vec<Places> {
    lines.iter().filter(|line| line.stroke == stroke && line.width == width).map(|line| line.points.clone()).collect()
}

fn stalls(lines: &[DrawnLine]) -> Vec<Places> {
    of(lines, "#1A1A1A", 45.0)
}

fn distance((x, y): (f64, f64), line: &Places) -> f64 {
    line.windows(2)
        .map(|ends| {
            let (way, to) = ((ends[1].0 - ends[0].0, ends[1].1 - ends[0].1), (x - ends[0].0, y - ends[0].1));
            let length = way.0 * way.0 + way.1 * way.1;
            let share = if length > 0.0 { ((way.0 * to.0 + way.1 * to.1) / length).clamp(0.0, 1.0) } else { 0.0 };
            (to.0 - share * way.0).hypot(to.1 - share * way.1)
        })
        .fold(f64::INFINITY, f64::min)
}

// The weight reserve has a value below the stall too: its contours would go on into what stops.
#[test]
fn contours_end_at_the_solved_stall_or_at_the_edge() {
    let folder = tempfile::tempdir().unwrap();
    let axes = ["--x", "drive.weight=0.1kg..5kg:14", "--y", "escapement.dead_beat.lock=0.3deg..2.3deg:9"];
    drawn(&axes, folder.path());
    for key in ["semi_arc_deg", "weight_ratio"] {
        let lines = svg::lines(&fs::read_to_string(folder.path().join(format!("map-{key}.svg"))).unwrap());
        let (stalls, contours) = (stalls(&lines), of(&lines, "#0B4F8F", 25.0));
        assert!(contours.len() > 1 && !stalls.is_empty(), "{key}: {} {}", contours.len(), stalls.len());
        let grid: Places = of(&lines, "#E6E6E6", 18.0).concat();
        let edge =
            |of: fn(&(f64, f64)) -> f64, way: f64| grid.iter().map(|at| way * of(at)).fold(f64::INFINITY, f64::min);
        let (left, right) = (edge(|at| at.0, 1.0), -edge(|at| at.0, -1.0));
        let (top, bottom) = (edge(|at| at.1, 1.0), -edge(|at| at.1, -1.0));
        let mut at_the_stall = 0;
        for end in contours.iter().flat_map(|line| [line[0], line[line.len() - 1]]) {
            let of_edge =
                [end.0 - left, right - end.0, end.1 - top, bottom - end.1].into_iter().fold(f64::INFINITY, f64::min);
            let of_stall = stalls.iter().map(|line| distance(end, line)).fold(f64::INFINITY, f64::min);
            assert!(
                of_edge < 3.0 || of_stall < 3.0,
                "{key}: {end:?} is {of_edge} off the edge and {of_stall} off the stall"
            );
            at_the_stall += usize::from(of_stall < 3.0);
        }
        assert!(key != "semi_arc_deg" || at_the_stall > 0, "no contour reaches the stall");
    }
}

// Where the lines are close a number once stood beside its neighbour's.
#[test]
fn every_contour_has_its_own_number() {
    let folder = tempfile::tempdir().unwrap();
    drawn_of(&demo::path("wren.toml"), &["--answer", "semi_arc_deg"], folder.path());
    let text = fs::read_to_string(folder.path().join("map-semi_arc_deg.svg")).unwrap();
    let contours = of(&svg::lines(&text), "#0B4F8F", 25.0);
    let middle = |sides: [f64; 4]| (0.5 * (sides[0] + sides[2]), 0.5 * (sides[1] + sides[3]));
    let mut numbers: Vec<(f64, f64)> = Vec::new();
    for (words, sides) in svg::text_boxes(&text) {
        let (Ok(value), at) = (words.parse::<f64>(), middle(sides)) else { continue };
        let nearest = contours.iter().min_by(|a, b| distance(at, a).total_cmp(&distance(at, b))).unwrap();
        if distance(at, nearest) < 400.0 && at.1 < nearest.iter().map(|place| place.1).fold(0.0, f64::max) {
            numbers.push((value, nearest[0].0));
        }
    }
    numbers.sort_by(|a, b| a.0.total_cmp(&b.0));
    assert!(numbers.len() >= 6, "{numbers:?}");
    assert!(numbers.windows(2).all(|pair| pair[0].1 < pair[1].1), "{numbers:?}");
}

/// No line is told of that is not there, and a number that does not change has no range.
#[test]
fn where_nothing_stops_there_is_no_bold_line() {
    let folder = tempfile::tempdir().unwrap();
    let axes = ["--x", "drive.weight=3kg..4kg:4", "--y", "start_arc=2.5deg..4deg:4", "--answer", "run_time_days"];
    drawn(&axes, folder.path());
    let all = |name: &str| fs::read_to_string(folder.path().join(name)).unwrap();
    assert!(!all("map.svg").contains("Bold line"));
    let run = all("map-run_time_days.svg");
    assert!(run.contains("4.57 wherever it keeps going.") && of(&svg::lines(&run), "#0B4F8F", 25.0).is_empty());
}

// What differs between neighbouring lines beside the stall once broke it into pieces of one column each.
#[test]
fn the_stall_is_one_line_and_not_steps() {
    let folder = tempfile::tempdir().unwrap();
    drawn(&[], folder.path());
    let lines = svg::lines(&fs::read_to_string(folder.path().join("map.svg")).unwrap());
    let stalls = stalls(&lines);
    assert!((1..=3).contains(&stalls.len()), "{} pieces", stalls.len());
    let folder = tempfile::tempdir().unwrap();
    drawn(&["--x", "drive.weight=0.1kg..5kg:14", "--y", "escapement.dead_beat.lock=0.3deg..2.3deg:9"], folder.path());
    let lines = svg::lines(&fs::read_to_string(folder.path().join("map.svg")).unwrap());
    let longest = self::stalls(&lines).into_iter().max_by_key(Vec::len).unwrap();
    // It leans one way: no piece is level or upright.
    for pair in longest.windows(2) {
        let (dx, dy) = (pair[1].0 - pair[0].0, pair[1].1 - pair[0].1);
        assert!(dx.hypot(dy) < 5.0 || (dx.abs() > 1.0 && dy.abs() > 1.0), "{pair:?} is a step");
    }
}

#[test]
fn every_region_has_its_name_and_no_such_clock_its_reason() {
    let folder = tempfile::tempdir().unwrap();
    // Beside the stall there is but a column a millimetre wide.
    let axes = ["--x", "drive.weight=1.5kg..4kg:8", "--y", "start_arc=1.2deg..3deg:8"];
    drawn(&axes, folder.path());
    let texts = |name: &str| {
        let text = fs::read_to_string(folder.path().join(name)).unwrap();
        svg::check_texts_apart(name, &text);
        svg::text_boxes(&text).into_iter().map(|(words, _)| words).collect::<Vec<_>>().join(" ")
    };
    let map = texts("map.svg");
    for words in ["keeps going", "swing dies away", "never unlocks"] {
        assert!(map.contains(words), "{words}: {map}");
    }
    let axes = ["--x", "escapement.dead_beat.lock=-0.5deg..3deg:6", "--y", "escapement.dead_beat.lift=1deg..5deg:6"];
    drawn(&axes, folder.path());
    let map = texts("map.svg");
    assert!(map.contains("no such clock") && map.contains("No such clock, for example: "), "{map}");
    assert!(map.contains("lock of the pallets cannot be \"-0.5 deg\"") && !map.contains('`'), "{map}");
    assert!(!texts("map-semi_arc_deg.svg").contains("No such clock"));
}
