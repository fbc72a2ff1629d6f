//! The contact curves of all scenarios, as drawn and as printed, one panel a pallet.

use crate::clock::side::Side;
use crate::report::canvas::look::{CURVE_MM, HAIR_MM, Pen, SOFT, SOLID, THIN_MM, series_pen};
use crate::report::canvas::panel::{Panel, PanelAxis, left_edge_mm};
use crate::report::canvas::sheet::Sheet;
use crate::study::comparison::portrait::{Compared, ContactCurves};

use super::Drawn;
use super::series::{Named, left_out, name_curves};

pub(super) fn draw(compared: &[Compared<'_>], curves: &[Option<ContactCurves>]) -> Drawn {
    let shown: Vec<(usize, &str, &ContactCurves)> = compared
        .iter()
        .zip(curves)
        .enumerate()
        .filter_map(|(number, (scenario, curves))| Some((number, scenario.name, curves.as_ref()?)))
        .collect();
    if shown.is_empty() {
        return None;
    }
    let title = "Contact of tooth and pallet";
    let changed = |scenario: &&Compared<'_>| scenario.prediction.built.drawn != scenario.prediction.built.outlines;
    let mut subtitle = if shown.iter().any(|(_, _, curves)| curves.drawn.is_some()) {
        "Thick: as printed; thin: as drawn.".to_owned()
    } else if compared.iter().any(|scenario| changed(&scenario)) {
        "As printed.".to_owned()
    } else {
        "All print exactly as drawn.".to_owned()
    };
    for scenario in compared.iter().filter(changed).filter(|scenario| scenario.as_drawn.is_none()) {
        subtitle.push_str(&format!(" {} has no action as drawn.", scenario.name));
    }
    subtitle.push_str(" Ring: where a tooth lands on the pallet, and the wheel angle starts.");
    if shown.iter().any(|(_, _, curves)| curves.teeth_differ) {
        subtitle.push_str(" One tooth is shown of a wheel that is out of true.");
    }
    let without: Vec<(&str, String)> = compared
        .iter()
        .zip(curves)
        .filter(|(_, curves)| curves.is_none())
        .map(|(scenario, _)| (scenario.name, "no outlines".to_owned()))
        .collect();
    subtitle.push_str(&left_out(&without));
    let mut sheet = Sheet::new(title, &subtitle, 116.0);
    let values = |pick: fn(&(f64, f64)) -> f64| {
        shown
            .iter()
            .flat_map(|(_, _, curves)| {
                curves.printed.values().chain(curves.drawn.iter().flat_map(|drawn| drawn.values()))
            })
            .flatten()
            .map(move |point| pick(point).to_degrees())
    };
    let reach = values(|point| point.0).map(f64::abs).fold(0.0, f64::max);
    let x = || PanelAxis::between(-reach, reach, "pendulum angle, right positive (deg)", 7.0);
    let y =
        |pallet: &str| PanelAxis::over(values(|point| point.1), &format!("{pallet} pallet: wheel angle (deg)"), 6.0);
    let (top, bottom) = (sheet.head_mm, sheet.page().bottom);
    let split = top + 0.47 * (bottom - top);
    for pallet in Side::BOTH {
        let y = y(pallet.name());
        let (top, bottom) = if pallet == Side::Entry { (top, split) } else { (split, bottom) };
        let left = left_edge_mm(&[&y]);
        let panel = Panel::drawn(&mut sheet, (left, top, bottom), x(), y, pallet == Side::Exit);
        panel.upright(&mut sheet, 0.0, Pen::solid(SOFT, HAIR_MM));
        let mut named = Vec::new();
        for &(number, name, curves) in &shown {
            let degrees = |curve: &[(f64, f64)]| -> Vec<(f64, f64)> {
                curve.iter().map(|point| (point.0.to_degrees(), point.1.to_degrees())).collect()
            };
            if let Some(drawn) = &curves.drawn {
                panel.curve(&mut sheet, degrees(&drawn[pallet]), series_pen(number, 0.7 * THIN_MM));
            }
            let points = degrees(&curves.printed[pallet]);
            let pen = series_pen(number, CURVE_MM);
            panel.curve(&mut sheet, points.iter().copied(), pen);
            let falls = panel.at((curves.landing_rad[pallet].to_degrees(), 0.0));
            sheet.ring(falls, 0.9, pen.broken(SOLID));
            named.push(Named { name: name.to_owned(), colour: pen.colour, points });
        }
        name_curves(&mut sheet, &panel, &named);
    }
    Some((title.to_owned(), sheet))
}
