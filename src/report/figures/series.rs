//! Scenarios in one picture: names that differ, and where a curve is best named.

use crate::report::canvas::labels::Label;
use crate::report::canvas::look::{Colour, SOFT};
use crate::report::canvas::panel::Panel;
use crate::report::canvas::sheet::{At, Sheet};

/// Longest name, characters.
const LONGEST: usize = 24;

/// Names of scenarios for a picture: their own where no two are alike, else those of their files, else numbered.
#[must_use]
pub fn names(named: &[(&str, &str)]) -> Vec<String> {
    let own: Vec<String> = named.iter().map(|(name, _)| shortened(name)).collect();
    if distinct(&own) {
        return own;
    }
    let of_files: Vec<String> = named.iter().map(|(_, file)| shortened(file)).collect();
    if distinct(&of_files) {
        return of_files;
    }
    own.iter().enumerate().map(|(number, name)| format!("{} {name}", number + 1)).collect()
}

fn distinct(names: &[String]) -> bool {
    names.iter().enumerate().all(|(number, name)| !name.is_empty() && !names[..number].contains(name))
}

/// Without what XML cannot hold, a long middle left out.
fn shortened(name: &str) -> String {
    let letters: Vec<char> =
        name.chars().filter(|letter| !letter.is_control() && !matches!(letter, '\u{fffe}' | '\u{ffff}')).collect();
    if letters.len() <= LONGEST {
        return letters.into_iter().collect::<String>().trim().to_owned();
    }
    let end = LONGEST / 2;
    let mut short: String = letters[..LONGEST - end - 1].iter().collect();
    short.push('\u{2026}');
    short.extend(&letters[letters.len() - end..]);
    short
}

/// A curve in a panel with its name.
pub(super) struct Named {
    pub name: String,
    pub colour: Colour,
    pub points: Vec<(f64, f64)>,
}

/// Distance from the other curves beyond which one place is as good as another, mm.
const CLEAR_MM: f64 = 8.0;

/// Names every curve where it is furthest from the others; of places as good, the names take different ones along the curves.
pub(super) fn name_curves(sheet: &mut Sheet, panel: &Panel, curves: &[Named]) {
    let places: Vec<Vec<At>> = curves.iter().map(|curve| places(panel, &curve.points)).collect();
    let mut taken: Vec<At> = Vec::new();
    for (number, curve) in curves.iter().enumerate() {
        let mut best: Option<(f64, At)> = None;
        for (step, &at) in places[number].iter().enumerate() {
            let others = places.iter().enumerate().filter(|(other, _)| *other != number).flat_map(|(_, places)| places);
            let clear = others.map(|&other| distance(at, other)).fold(CLEAR_MM, f64::min);
            let apart = taken.iter().map(|&other| distance(at, other)).fold(2.0 * CLEAR_MM, f64::min);
            let wanted = (number as f64 + 0.5) / curves.len() as f64;
            let off = (step as f64 / places[number].len() as f64 - wanted).abs();
            let worth = clear + 0.15 * apart - off;
            if best.is_none_or(|(most, _)| worth > most) {
                best = Some((worth, at));
            }
        }
        let Some((_, at)) = best else { continue };
        taken.push(at);
        let (text, within) = (curve.name.clone(), panel.frame);
        sheet.label(Label { at, text, colour: curve.colour, towards: (1.0, -0.7), within, leader: true });
    }
}

/// Places along a curve within the panel, at most a millimetre apart.
fn places(panel: &Panel, points: &[(f64, f64)]) -> Vec<At> {
    let mut places = Vec::new();
    for pair in points.windows(2) {
        let (from, to) = (panel.at(pair[0]), panel.at(pair[1]));
        let pieces = distance(from, to).ceil().clamp(1.0, 200.0);
        let mut piece = 0.0;
        while piece < pieces {
            let share = piece / pieces;
            let at = (from.0 + share * (to.0 - from.0), from.1 + share * (to.1 - from.1));
            if panel.frame.holds(at) {
                places.push(at);
            }
            piece += 1.0;
        }
    }
    if places.is_empty() {
        places.extend(points.iter().map(|&point| panel.at(point)).filter(|&at| panel.frame.holds(at)));
    }
    places
}

fn distance(a: At, b: At) -> f64 {
    (a.0 - b.0).hypot(a.1 - b.1)
}

/// Scenarios that a picture leaves out, for its subtitle; empty if none.
pub(super) fn left_out(names: &[(&str, String)]) -> String {
    if names.is_empty() {
        return String::new();
    }
    let parts: Vec<String> = names.iter().map(|(name, reason)| format!("{name} ({reason})")).collect();
    format!(" Left out: {}.", parts.join(", "))
}

/// A remark within a panel, near a place.
pub(super) fn remark(sheet: &mut Sheet, panel: &Panel, at: (f64, f64), text: &str) {
    let (at, within) = (panel.at(at), panel.frame);
    sheet.label(Label { at, text: text.to_owned(), colour: SOFT, towards: (1.0, 0.0), within, leader: false });
}
