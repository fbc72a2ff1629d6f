//! Measured values, what was fitted to them, and what is left.

use crate::report::canvas::labels::Label;
use crate::report::canvas::look::{CURVE_MM, DASHED, ENTRY, EXIT, HAIR_MM, NEUTRAL, Pen, SOFT};
use crate::report::canvas::panel::{Panel, PanelAxis, left_edge_mm};
use crate::report::canvas::sheet::Sheet;

use super::{Drawn, Figure, finished};

/// Most dots of a series; of more every n-th is drawn.
const MOST_DOTS: usize = 400;

/// Most dots of a series that are drawn large and above the curve; more would cover it.
const FEW_DOTS: usize = 40;

/// One series of measured values.
#[derive(Debug, Clone, PartialEq)]
pub struct FitSeries {
    /// Its name beside the curve; empty where there is only one.
    pub name: String,
    /// What was measured, over what.
    pub measured: Vec<(f64, f64)>,
    /// The curve that fits, in pieces.
    pub curve: Vec<Vec<(f64, f64)>>,
    /// Measured less fitted, at the places of `measured`.
    pub left: Vec<(f64, f64)>,
    /// Values that stand out, by number, rising.
    pub standing_out: Vec<usize>,
}

/// What the picture of a fit shows.
#[derive(Debug, Clone, PartialEq)]
pub struct FitPicture {
    /// Title.
    pub title: String,
    /// Key figures.
    pub subtitle: String,
    /// Name of the horizontal axis with its unit.
    pub x: String,
    /// Name of the vertical axis with its unit.
    pub y: String,
    /// Name of what is left, with its unit.
    pub left: String,
    /// One or two series.
    pub series: Vec<FitSeries>,
}

/// The figure; `None` of nothing measured.
#[must_use]
pub fn draw_fit(picture: &FitPicture) -> Option<Figure> {
    finished("fit", drawn(picture))
}

fn drawn(picture: &FitPicture) -> Drawn {
    let all = || picture.series.iter();
    let places: Vec<f64> = all().flat_map(|series| series.measured.iter().map(|at| at.0)).collect();
    if places.is_empty() {
        return None;
    }
    let mut sheet = Sheet::new(&picture.title, &picture.subtitle, 88.0);
    let x = || PanelAxis::over(places.iter().copied(), &picture.x, 7.0);
    let heights = all().flat_map(|series| series.measured.iter().chain(series.curve.iter().flatten()).map(|at| at.1));
    let upper = PanelAxis::over(heights, &picture.y, 6.0);
    let lower = PanelAxis::over(all().flat_map(|series| series.left.iter().map(|at| at.1)), &picture.left, 5.0);
    let left = left_edge_mm(&[&upper, &lower]);
    let (top, bottom) = (sheet.head_mm, sheet.page().bottom);
    let split = top + 0.62 * (bottom - top);
    let panel = Panel::drawn(&mut sheet, (left, top, split), x(), upper, false);
    for (number, series) in all().enumerate() {
        let (colour, pen) = look(number);
        let few = series.measured.len() <= FEW_DOTS;
        let curves = |sheet: &mut Sheet| {
            series.curve.iter().for_each(|piece| panel.curve(sheet, piece.iter().copied(), pen));
        };
        if few {
            curves(&mut sheet);
        }
        for (index, &at) in thinned(&series.measured) {
            if series.standing_out.binary_search(&index).is_ok() {
                sheet.ring(panel.at(at), 0.6, Pen::solid(colour, HAIR_MM));
            } else {
                sheet.disc(panel.at(at), dot_mm(few), NEUTRAL);
            }
        }
        if !few {
            curves(&mut sheet);
        }
        let points: Vec<&(f64, f64)> = series.curve.iter().flatten().collect();
        if let Some(&&at) = points.get(points.len() / 3).filter(|_| !series.name.is_empty()) {
            let (at, within) = (panel.at(at), panel.frame);
            let text = series.name.clone();
            sheet.label(Label { at, text, colour, towards: (0.4, -1.0), within, leader: true });
        }
    }
    let rest = Panel::drawn(&mut sheet, (left, split, bottom), x(), lower, true);
    rest.level(&mut sheet, 0.0, Pen::solid(SOFT, HAIR_MM).broken(DASHED));
    for (number, series) in all().enumerate() {
        for (index, &at) in thinned(&series.left) {
            let colour = look(number).0;
            if series.standing_out.binary_search(&index).is_ok() {
                sheet.ring(rest.at(at), 0.6, Pen::solid(colour, HAIR_MM));
            } else {
                sheet.disc(rest.at(at), dot_mm(series.left.len() <= FEW_DOTS), colour);
            }
        }
    }
    Some((picture.title.clone(), sheet))
}

const fn look(number: usize) -> ((u8, u8, u8), Pen) {
    if number == 0 { (ENTRY, Pen::solid(ENTRY, CURVE_MM)) } else { (EXIT, Pen::solid(EXIT, CURVE_MM).broken(DASHED)) }
}

/// Radius of a dot, mm.
const fn dot_mm(few: bool) -> f64 {
    if few { 0.75 } else { 0.45 }
}

fn thinned(all: &[(f64, f64)]) -> impl Iterator<Item = (usize, &(f64, f64))> {
    all.iter().enumerate().step_by(all.len().div_ceil(MOST_DOTS).max(1))
}
