//! Least weight and run time of a family's members against their size, with the sizes at which they end.

use crate::clock::SECONDS_PER_DAY;
use crate::numerics::extremes::extremes;
use crate::report::canvas::labels::Label;
use crate::report::canvas::look::{CURVE_MM, Colour, INK, Pen, THIN_MM, series_pen};
use crate::report::canvas::panel::{Panel, PanelAxis, left_edge_mm};
use crate::report::canvas::sheet::{At, Sheet};
use crate::report::family::{FamilyView, bed_in_words};
use crate::study::family::{Member, Smallest};

use super::series::{Named, left_out, name_curves};
use super::{Drawn, Figure, finished};

/// Heights of the panels, mm.
const HEIGHTS_MM: (f64, f64) = (58.0, 50.0);

/// Relative difference of two scales below which they are one.
const SAME: f64 = 1e-6;

/// The figure; `None` where no member has a weight in two sizes.
#[must_use]
pub fn draw_family(view: &FamilyView<'_>) -> Option<Figure> {
    finished("family", draw(view))
}

/// A member with its curves.
struct Curves<'f> {
    member: &'f Member,
    name: &'f str,
    pen: Pen,
    /// Scale and least weight, kg.
    least: Vec<(f64, f64)>,
    /// Scale and run time, days.
    run: Vec<(f64, f64)>,
}

fn draw(view: &FamilyView<'_>) -> Drawn {
    let mut drawn = Vec::new();
    let mut missing = Vec::new();
    for (number, member) in view.members.iter().enumerate() {
        let name = view.names[number].as_str();
        let points = || member.sizes.iter().filter_map(|size| Some((size.factor, &size.found.as_ref().ok()?.point)));
        let least: Vec<(f64, f64)> =
            points().filter_map(|(factor, point)| Some((factor, point.least?.value()))).collect();
        let run: Vec<(f64, f64)> =
            points().filter_map(|(factor, point)| Some((factor, point.run_time_s? / SECONDS_PER_DAY))).collect();
        if view.results[number].weight_kg.is_none() || least.len() < 2 || run.len() < 2 {
            missing.push((name, "no weight in two sizes".to_owned()));
            continue;
        }
        drawn.push(Curves { member, name, pen: series_pen(number, CURVE_MM), least, run });
    }
    if drawn.is_empty() {
        return None;
    }
    let title = "Least weight and run time in other sizes".to_owned();
    let mut subtitle = "Scale of all parts without one of their own; bead, clearances, bearings and cord keep their \
        size. Dots: own size. Crosses: no smaller clock goes or locks."
        .to_owned();
    let beds = view.members[0].beds.len();
    if beds > 0 {
        subtitle.push_str(" Rings: the largest that fits a bed.");
    }
    let above = [layers(&drawn, |curves| &curves.least), layers(&drawn, |curves| &curves.run)];
    if let Some(names) = stacked(&drawn, &above) {
        subtitle.push_str(&format!(
            " Where curves lie on each other the wider line, with the larger marks, is the one named first: {names}."
        ));
    }
    subtitle.push_str(&left_out(&missing));
    let mut sheet = Sheet::new(&title, &subtitle, HEIGHTS_MM.0 + HEIGHTS_MM.1);
    let (leasts, runs) =
        (|| drawn.iter().flat_map(|curves| &curves.least), || drawn.iter().flat_map(|curves| &curves.run));
    let x = PanelAxis::over(leasts().map(|at| at.0), "scale", 6.0);
    let weight = PanelAxis::over(leasts().map(|at| at.1), "least weight (kg)", 6.0);
    let run = PanelAxis::over(runs().map(|at| at.1), "run time by the dial (days)", 5.0);
    let (top, bottom) = (sheet.head_mm, sheet.page().bottom);
    let (left, middle) = (left_edge_mm(&[&weight, &run]), top + HEIGHTS_MM.0);
    let upper = Panel::drawn(&mut sheet, (left, top, middle), x.clone(), weight, false);
    let lower = Panel::drawn(&mut sheet, (left, middle + 1.0, bottom), x, run, true);
    // A bed that ends the growth of several members at one scale is named once.
    let mut named_beds: Vec<(f64, String)> = Vec::new();
    for (number, curves) in drawn.iter().enumerate() {
        for (panel, curve, layer) in
            [(&upper, &curves.least, &above[0][number]), (&lower, &curves.run, &above[1][number])]
        {
            let wider = layer.len() as f64;
            let pen = Pen { width_mm: (1.0 + WIDER * wider) * CURVE_MM, ..curves.pen };
            panel.curve(&mut sheet, curve.iter().copied(), pen);
            mark(&mut sheet, panel, curves, (curve, LARGER_MM * wider));
        }
        for fit in &curves.member.beds {
            let (Some(scale), bed) = (fit.largest, bed_in_words(&fit.bed)) else { continue };
            let Some(at) = place(&upper, &curves.least, scale) else { continue };
            if !named_beds.iter().any(|(known, name)| (known / scale - 1.0).abs() < SAME && *name == bed) {
                name_point(&mut sheet, &upper, at, bed.clone(), INK);
                named_beds.push((scale, bed));
            }
        }
    }
    let named = |curves: &Curves<'_>, points: &Vec<(f64, f64)>| Named {
        name: curves.name.to_owned(),
        colour: curves.pen.colour,
        points: points.clone(),
    };
    let upper_names: Vec<Named> = drawn.iter().map(|curves| named(curves, &curves.least)).collect();
    let lower_names: Vec<Named> = drawn.iter().map(|curves| named(curves, &curves.run)).collect();
    name_curves(&mut sheet, &upper, &upper_names);
    name_curves(&mut sheet, &lower, &lower_names);
    Some((title, sheet))
}

/// Distance below which two curves lie on each other, as a share of the panel's height.
const ON_EACH_OTHER: f64 = 0.012;

/// By how many of its widths a curve is wider for each one that lies on it.
const WIDER: f64 = 1.6;

/// By how much its marks are larger for each of these, mm.
const LARGER_MM: f64 = 0.7;

/// The later curves that lie on each one along half of their length or more.
fn layers(drawn: &[Curves<'_>], of: for<'a, 'c> fn(&'a Curves<'c>) -> &'a Vec<(f64, f64)>) -> Vec<Vec<usize>> {
    let values = || drawn.iter().flat_map(|curves| of(curves)).map(|at| at.1);
    let (low, high) = extremes(values());
    let near = ON_EACH_OTHER * (high - low);
    let on = |below: &[(f64, f64)], above: &[(f64, f64)]| {
        let met = above.iter().filter(|at| between(below, at.0).is_some_and(|value| (value - at.1).abs() <= near));
        2 * met.count() >= above.len()
    };
    (0..drawn.len())
        .map(|number| (number + 1..drawn.len()).filter(|&later| on(of(&drawn[number]), of(&drawn[later]))).collect())
        .collect()
}

/// Names of the curves that lie on each other in a panel, the widest first; `None` where none do.
fn stacked(drawn: &[Curves<'_>], above: &[Vec<Vec<usize>>]) -> Option<String> {
    let on = |number: usize| above.iter().flat_map(move |panel| panel[number].iter().copied());
    let is_stacked =
        |&number: &usize| on(number).next().is_some() || (0..number).any(|below| on(below).any(|at| at == number));
    let names: Vec<&str> = (0..drawn.len()).filter(is_stacked).map(|number| drawn[number].name).collect();
    (!names.is_empty()).then(|| names.join("; "))
}

/// Own size, smallest that goes and largest on each bed, on a curve.
fn mark(sheet: &mut Sheet, panel: &Panel, curves: &Curves<'_>, (curve, larger): (&[(f64, f64)], f64)) {
    let colour = curves.pen.colour;
    if let Some(at) = place(panel, curve, curves.member.factor) {
        sheet.disc(at, 1.0 + larger, colour);
    }
    for smallest in [&curves.member.smallest, &curves.member.smallest_locking] {
        let Some(Smallest::At { factor, .. }) = smallest else { continue };
        let Some(at) = place(panel, curve, *factor) else { continue };
        sheet.cross(at, 1.1 + larger, Pen::solid(colour, CURVE_MM));
    }
    for at in curves.member.beds.iter().filter_map(|fit| place(panel, curve, fit.largest?)) {
        sheet.ring(at, 1.0 + larger, Pen::solid(colour, THIN_MM));
    }
}

/// Where a curve is at a scale, if that is within the panel.
fn place(panel: &Panel, curve: &[(f64, f64)], scale: f64) -> Option<At> {
    between(curve, scale).map(|value| panel.at((scale, value))).filter(|&at| panel.frame.holds(at))
}

fn name_point(sheet: &mut Sheet, panel: &Panel, at: At, text: String, colour: Colour) {
    sheet.label(Label { at, text, colour, towards: (-0.5, 1.0), within: panel.frame, leader: true });
}

/// The value of a curve between its points; `None` beyond its ends.
fn between(curve: &[(f64, f64)], x: f64) -> Option<f64> {
    let pair = curve.windows(2).find(|pair| (pair[0].0..=pair[1].0).contains(&x))?;
    let share = (x - pair[0].0) / (pair[1].0 - pair[0].0);
    Some(pair[0].1 + share * (pair[1].1 - pair[0].1))
}
