//! Pictures of a map: what becomes of the clock, and every answer as contours or as a curve.

use crate::numerics::extremes::extremes;
use crate::report::canvas::labels::{Label, UPON};
use crate::report::canvas::look::{
    CURVE_MM, DASHED, ENTRY, INK, Pen, TEXT_MM, THIN_MM, fixed, significant, text_width_mm, wrapped,
};
use crate::report::canvas::panel::{Panel, PanelAxis};
use crate::report::canvas::sheet::{At, PlotFrame as Edges, Sheet};
use crate::report::map::{MapView, in_words, no_clock_in_words, outcome_words};
use crate::study::map::{Map, MapRow, Outcome, START};

use super::map_contours::{carried_on, contour, kept, levels};
use super::map_names::name_regions;
use super::map_regions::{Regions, drawn_lines, fill};

/// A picture of a map.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct MapFigure {
    /// File stem.
    pub name: String,
    /// Whether the answer is the same all along one of the axes, so that its contours only repeat straight lines.
    pub along_one_axis: bool,
    /// The picture: a whole SVG document, 90 mm wide.
    pub svg: String,
}

/// Values of both axes, and a number for each pair of them, x after x.
type MapGrid = (Vec<f64>, Vec<f64>, Vec<Option<f64>>);

/// Height of a picture's body, mm.
const BODY_MM: f64 = 84.0;

/// The pictures that have a meaning for a map; the same bytes for the same map.
#[must_use]
pub fn draw_map(view: &MapView<'_>, map: &Map) -> Vec<MapFigure> {
    let mut drawn = Vec::new();
    let lines = drawn_lines(map);
    let regions = Regions::of(&lines, map.along_y);
    if view.y.is_some() {
        drawn.push(("map".to_owned(), false, verdicts(view, (map, &regions))));
    }
    for (number, key) in view.keys.iter().enumerate() {
        let sheet = match view.y {
            Some(_) => contours(view, (map, &regions), number),
            None => curve(view, map, number),
        };
        drawn.push((format!("map-{key}"), along_one_axis(map, number), sheet));
    }
    drawn
        .into_iter()
        .filter_map(|(name, along_one_axis, sheet)| Some(MapFigure { name, along_one_axis, svg: sheet?.svg()? }))
        .collect()
}

/// Share of an answer's range below which two of its values are one.
const SAME: f64 = 1e-6;

/// Whether an answer changes along one axis of two only, where the clock keeps going.
fn along_one_axis(map: &Map, number: usize) -> bool {
    let known: Vec<(f64, f64, f64)> =
        map.rows.iter().filter_map(|row| Some((row.x, row.y?, answer(row, number)?))).collect();
    let (low, high) = extremes(known.iter().map(|row| row.2));
    let same = |of: fn(&(f64, f64, f64)) -> f64| {
        let mut sorted: Vec<&(f64, f64, f64)> = known.iter().collect();
        sorted.sort_by(|a, b| of(a).total_cmp(&of(b)));
        sorted.windows(2).all(|pair| of(pair[0]) != of(pair[1]) || (pair[0].2 - pair[1].2).abs() <= SAME * (high - low))
    };
    !known.is_empty() && (same(|row| row.0) || same(|row| row.1))
}

/// A quantity's name on an axis, with its unit.
fn axis_name(axis: &crate::study::map::axis::Axis) -> String {
    let unit = axis.unit.as_ref().map(|unit| format!(" ({unit})")).unwrap_or_default();
    match axis.path.as_str() {
        "drive.weight" => format!("driving weight{unit}"),
        START => format!("start arc{unit}"),
        _ => in_words(axis),
    }
}

/// An answer's name, with its unit.
fn answer_name(key: &str) -> String {
    match key {
        "semi_arc_deg" => "amplitude (deg)".to_owned(),
        "rate_s_per_day" => "rate, gaining is positive (s/day)".to_owned(),
        "period_s" => "period (s)".to_owned(),
        "weight_ratio" => "weight reserve (weight over least weight)".to_owned(),
        "least_weight_kg" => "least weight (kg)".to_owned(),
        "run_time_days" => "run time between windings (days)".to_owned(),
        _ => key.to_owned(),
    }
}

/// Points that keep going.
fn going(map: &Map) -> usize {
    map.rows.iter().filter(|row| row.outcome == Outcome::KeepsGoing).count()
}

fn share_going(map: &Map) -> String {
    fixed(1e2 * going(map) as f64 / map.rows.len().max(1) as f64, 1)
}

/// A panel over both axes with the regions of the map.
fn over_both(
    view: &MapView<'_>,
    (map, regions): (&Map, &Regions<'_>),
    title: &str,
    subtitle: &str,
    name_going: bool,
) -> Option<(Sheet, Panel)> {
    let (xs, ys) = (view.x.values(), view.y?.values());
    let (first, last) = ((xs.first()?, ys.first()?), (xs.last()?, ys.last()?));
    if !(last.0 > first.0 && last.1 > first.1) || map.lines.is_empty() {
        return None;
    }
    let mut sheet = Sheet::new(title, subtitle, BODY_MM);
    let x = PanelAxis::between(*first.0, *last.0, &axis_name(view.x), 7.0);
    let y = PanelAxis::between(*first.1, *last.1, &axis_name(view.y?), 6.0);
    let panel = Panel::alone(&mut sheet, x, y);
    regions.draw(&mut sheet, &panel);
    let today = if let (Some(x), Some(y)) = view.today { Some(panel.at((x, y))) } else { None };
    let today = today.filter(|&at| panel.frame.holds(at));
    name_regions(&mut sheet, &panel, regions, name_going, today);
    if let Some(at) = today {
        sheet.ring(at, 1.0, Pen::solid(INK, 0.35));
        let (text, within) = ("as designed".to_owned(), panel.frame);
        sheet.label(Label { at, text, colour: INK, towards: (1.0, -0.6), within, leader: true });
    }
    Some((sheet, panel))
}

/// What the bold line is, where there is one.
fn of_bold_line(regions: &Regions<'_>) -> &'static str {
    if regions.has_stall() { " Bold line: where it stops keeping going." } else { "" }
}

fn verdicts(view: &MapView<'_>, (map, regions): (&Map, &Regions<'_>)) -> Option<Sheet> {
    let title = format!("{}: where it keeps going", view.name);
    let mut subtitle = format!("{} % of the points keep going.{}", share_going(map), of_bold_line(regions));
    if let [(_, least)] = map.least.as_slice() {
        let unit = [Some(view.x), view.y].into_iter().flatten().find(|axis| axis.path != START)?.unit.clone();
        subtitle.push_str(&format!(" Least drive {} {}.", significant(*least, 3), unit.unwrap_or_default()));
    }
    let (with, going) = (map.rows.iter().filter(|row| row.meets_margin() == Some(true)).count(), going(map));
    let line = if with < going { margin_line(view, map) } else { Vec::new() };
    if with < going {
        let share = fixed(1e2 * with as f64 / map.rows.len().max(1) as f64, 1);
        let of_line = if line.is_empty() { "" } else { " (dashed line)" };
        subtitle.push_str(&format!(" With the margin asked{of_line}: {share} %."));
    }
    subtitle.push_str(&no_clock_in_words(map));
    let (mut sheet, panel) = over_both(view, (map, regions), &title, &subtitle, true)?;
    for course in line.iter().flat_map(|course| while_going(&panel, regions, course)) {
        panel.curve(&mut sheet, course, Pen::solid(INK, THIN_MM).broken(DASHED));
    }
    Some(sheet)
}

/// Where the swing has just the margin asked for, between points that keep going.
fn margin_line(view: &MapView<'_>, map: &Map) -> Vec<Vec<(f64, f64)>> {
    let Some((xs, ys, grid)) = grid(view, map, |row| row.beyond_margin_rad) else { return Vec::new() };
    contour(&xs, &ys, |x, y| grid[x * ys.len() + y], 0.0)
}

/// Distance of the places at which a contour is asked whether the clock keeps going there, mm.
const ASKED_MM: f64 = 0.3;

/// The pieces of a line that lie where the clock keeps going: they end at the stall as it was solved.
fn while_going(panel: &Panel, regions: &Regions<'_>, line: &[(f64, f64)]) -> Vec<Vec<(f64, f64)>> {
    let pieces = |a: (f64, f64), b: (f64, f64)| {
        let (a, b) = (panel.at(a), panel.at(b));
        ((a.0 - b.0).hypot(a.1 - b.1) / ASKED_MM).ceil() as usize
    };
    kept(line, pieces, |at| regions.going_at(at))
}

/// A number of every row that keeps going by the places of both axes, carried on to the stall; where rows are missing there is nothing to draw
/// between.
fn grid(view: &MapView<'_>, map: &Map, of: impl Fn(&MapRow) -> Option<f64>) -> Option<MapGrid> {
    let (xs, ys) = (view.x.values(), view.y?.values());
    let mut grid = vec![None; xs.len() * ys.len()];
    let place = |values: &[f64], value: f64| values.partition_point(|other| *other < value);
    for row in &map.rows {
        let (x, y) = (place(&xs, row.x), place(&ys, row.y?));
        if x < xs.len() && y < ys.len() {
            grid[x * ys.len() + y] = of(row);
        }
    }
    let grid = carried_on(&grid, (&xs, &ys));
    Some((xs, ys, grid))
}

/// An answer of a clock that keeps going.
fn answer(row: &MapRow, number: usize) -> Option<f64> {
    row.answers.get(number).copied().flatten().filter(|_| row.outcome == Outcome::KeepsGoing)
}

/// Shortest contour that is labelled, mm.
const NAMED_MM: f64 = 6.0;

fn length_mm(panel: &Panel, line: &[(f64, f64)]) -> f64 {
    let at: Vec<(f64, f64)> = line.iter().map(|&place| panel.at(place)).collect();
    at.windows(2).map(|pair| (pair[1].0 - pair[0].0).hypot(pair[1].1 - pair[0].1)).sum()
}

/// Shares of its width by which a number may stand right of the middle of its contour.
const NUMBER_SHIFTS: [f64; 3] = [0.0, 0.3, -0.3];

/// Writes a contour's number upon it, at the clearest of the `places` where all of it lies where the clock keeps going; beside a contour that
/// is too near the stall.
fn write_number(sheet: &mut Sheet, (panel, regions): (&Panel, &Regions<'_>), text: String, places: &[At]) {
    let (width, half_height) = (text_width_mm(&text, TEXT_MM, false), 0.5 * TEXT_MM);
    let goes = |at: &At| {
        let xs = [at.0 - 0.5 * width, at.0, at.0 + 0.5 * width];
        let corners = xs.into_iter().flat_map(|x| [(x, at.1 - half_height), (x, at.1 + half_height)]);
        corners.into_iter().all(|corner| regions.going_at(panel.values_at(corner)))
    };
    let upon = |shift: &f64| places.iter().map(|at| (at.0 + shift * width, at.1)).filter(goes).collect::<Vec<At>>();
    let found = NUMBER_SHIFTS.iter().map(upon).find(|found| !found.is_empty());
    let (towards, places) = found.map_or_else(|| ((1.0, 0.0), places.to_vec()), |found| (UPON, found));
    let Some(&at) = places.first() else { return };
    let (within, leader) = (panel.frame, towards != UPON);
    sheet.label_at_one_of(Label { at, text, colour: ENTRY, towards, within, leader }, places);
}

/// Digits to which the ends of an answer's range are told apart at most: beyond them it is one number.
const DIGITS: std::ops::RangeInclusive<i32> = 3..=6;

/// Places along a contour at which its number may stand, as shares of its length.
const NUMBERED_AT: [f64; 9] = [0.35, 0.5, 0.65, 0.42, 0.58, 0.27, 0.73, 0.18, 0.82];

fn contours(view: &MapView<'_>, (map, regions): (&Map, &Regions<'_>), number: usize) -> Option<Sheet> {
    let key = &view.keys[number];
    let title = format!("{}: {}", view.name, answer_name(key));
    let (low, high) = extremes(map.rows.iter().filter_map(|row| answer(row, number)));
    if !(low <= high) {
        return None;
    }
    let both = DIGITS.map(|digits| [low, high].map(|end| significant(end, digits))).find(|[low, high]| low != high);
    let range = match &both {
        Some([low, high]) => format!("From {low} to {high} where it keeps going."),
        None => format!("{} wherever it keeps going.", significant(low, 3)),
    };
    let subtitle = format!("{range}{}", of_bold_line(regions));
    let (mut sheet, panel) = over_both(view, (map, regions), &title, &subtitle, false)?;
    if both.is_none() {
        return Some(sheet);
    }
    let (xs, ys, grid) = grid(view, map, |row| answer(row, number))?;
    let (levels, decimals) = levels(low, high, 8.0);
    for (count, level) in levels.into_iter().enumerate() {
        // There the stall line lies.
        if key == "weight_ratio" && level == 1.0 {
            continue;
        }
        let lines: Vec<Vec<(f64, f64)>> = contour(&xs, &ys, |x, y| grid[x * ys.len() + y], level)
            .iter()
            .flat_map(|line| while_going(&panel, regions, line))
            .collect();
        let longest = lines.iter().max_by(|a, b| length_mm(&panel, a).total_cmp(&length_mm(&panel, b))).cloned();
        for line in lines {
            panel.curve(&mut sheet, line, Pen::solid(ENTRY, THIN_MM));
        }
        if let Some(line) = longest.filter(|line| length_mm(&panel, line) >= NAMED_MM) {
            let first = count % 3;
            let shares = NUMBERED_AT[first..].iter().chain(&NUMBERED_AT[..first]);
            let places = shares.map(|share| panel.at(line[((line.len() - 1) as f64 * share) as usize]));
            write_number(&mut sheet, (&panel, regions), fixed(level, decimals), &places.collect::<Vec<At>>());
        }
    }
    Some(sheet)
}

fn curve(view: &MapView<'_>, map: &Map, number: usize) -> Option<Sheet> {
    let key = &view.keys[number];
    let points: Vec<(f64, Option<f64>)> = map.rows.iter().map(|row| (row.x, answer(row, number))).collect();
    let known = || points.iter().filter_map(|point| point.1);
    known().next()?;
    let title = format!("{}: {}", view.name, answer_name(key));
    let mut subtitle = format!("{} % of the points keep going.", share_going(map));
    if let [(_, least)] = map.least.as_slice() {
        let unit = view.x.unit.clone().unwrap_or_default();
        subtitle.push_str(&format!(" Least drive {} {unit}.", significant(*least, 3)));
    }
    subtitle.push_str(&no_clock_in_words(map));
    let mut sheet = Sheet::new(&title, &subtitle, 62.0);
    let xs = view.x.values();
    let (first, last) = (*xs.first()?, *xs.last()?);
    if !(last > first) {
        return None;
    }
    let panel = Panel::alone(
        &mut sheet,
        PanelAxis::between(first, last, &axis_name(view.x), 7.0),
        PanelAxis::over(known(), &answer_name(key), 6.0),
    );
    for stretch in map.lines.iter().flat_map(|line| &line.stretches) {
        if stretch.answer == Outcome::KeepsGoing {
            continue;
        }
        let (left, right) = (panel.at((stretch.from, panel.y().low())).0, panel.at((stretch.to, panel.y().low())).0);
        let block = Edges { left, right, ..panel.frame };
        sheet.block(&block, fill(&stretch.answer));
        name_stretch(&mut sheet, &panel, &stretch.answer, &block);
    }
    let pen = Pen::solid(ENTRY, CURVE_MM);
    for run in points.split(|point| point.1.is_none()) {
        let run: Vec<(f64, f64)> = run.iter().filter_map(|point| Some((point.0, point.1?))).collect();
        if let [alone] = run.as_slice() {
            sheet.disc(panel.at(*alone), 0.5, ENTRY);
        }
        panel.curve(&mut sheet, run, pen);
    }
    if let Some(today) = view.today.0.filter(|today| (first..=last).contains(today)) {
        panel.upright(&mut sheet, today, Pen::solid(INK, THIN_MM).broken(DASHED));
        let at = panel.at((today, panel.y().low() + 0.08 * (panel.y().high() - panel.y().low())));
        let (text, within) = ("as designed".to_owned(), panel.frame);
        sheet.label(Label { at, text, colour: INK, towards: (1.0, 0.0), within, leader: false });
    }
    Some(sheet)
}

/// Names a stretch of the axis within it where the name fits, in as many lines as it takes, else beside it.
fn name_stretch(sheet: &mut Sheet, panel: &Panel, outcome: &Outcome, block: &Edges) {
    let at = (0.5 * (block.left + block.right), 0.5 * (block.top + block.bottom));
    let words = outcome_words(outcome);
    let lines = wrapped(words, block.width() - 1.0);
    let fits = lines.iter().all(|line| text_width_mm(line, TEXT_MM, false) <= block.width() - 1.0);
    let (text, within) = if fits { (lines.join("\n"), *block) } else { (words.to_owned(), panel.frame) };
    sheet.label(Label { at, text, colour: INK, towards: (0.0, -1.0), within, leader: !fits });
}
