//! Regions of a map: what becomes of the clock, its boundaries as they were solved.

use crate::answers::fates::Stretch;
use crate::answers::verdict::Reason;
use crate::report::labels::Label;
use crate::report::look::{CURVE_MM, Colour, ENTRY_PALE, EXIT_PALE, HAIR_MM, INK, Pen, SOFT};
use crate::report::map::outcome_words;
use crate::report::panel::Panel;
use crate::report::sheet::{At, Sheet};
use crate::study::map::{Line, Map, Outcome};
use crate::study::map_lines::same_course;

/// Smallest area that gets a name, square millimetres.
const NAMED_MM2: f64 = 3.0;

/// Fill of a region: told apart in grey as well.
pub(super) const fn fill(outcome: &Outcome) -> Colour {
    match outcome {
        Outcome::KeepsGoing => (0xff, 0xff, 0xff),
        Outcome::Stops(Reason::LosesAmplitude) => (0xe2, 0xe2, 0xe2),
        Outcome::Stops(Reason::NeverUnlocks) => (0xc2, 0xc2, 0xc2),
        Outcome::Stops(Reason::Jams) => EXIT_PALE,
        Outcome::Stops(Reason::RunsAway) => ENTRY_PALE,
        Outcome::NoClock(_) => (0x9a, 0x9a, 0x9a),
    }
}

/// Lines that follow one another with the same outcomes, and how far they reach across.
struct Strip<'m> {
    lines: &'m [Line],
    from: f64,
    to: f64,
}

fn strips(map: &Map) -> Vec<Strip<'_>> {
    let lines = &map.lines;
    let mut found: Vec<Strip<'_>> = Vec::new();
    let mut first = 0;
    for next in 1..=lines.len() {
        if next < lines.len() && same_course(&lines[next - 1], &lines[next]) {
            continue;
        }
        let between = |number: usize| 0.5 * (lines[number - 1].at + lines[number].at);
        let from = if first == 0 { lines[0].at } else { between(first) };
        let to = if next == lines.len() { lines[next - 1].at } else { between(next) };
        found.push(Strip { lines: &lines[first..next], from, to });
        first = next;
    }
    found
}

impl Strip<'_> {
    /// One end of stretch no. `number` across the strip.
    fn edge(&self, number: usize, end: fn(&Stretch<Outcome>) -> f64) -> Vec<(f64, f64)> {
        let at = |line: &Line| end(&line.stretches[number]);
        let (Some(first), Some(last)) = (self.lines.first(), self.lines.last()) else { return Vec::new() };
        std::iter::once((self.from, at(first)))
            .chain(self.lines.iter().map(|line| (line.at, at(line))))
            .chain([(self.to, at(last))])
            .collect()
    }
}

/// Fills the regions, draws their boundaries, the stall line strong, and names them.
pub(super) fn draw_regions(sheet: &mut Sheet, panel: &Panel, map: &Map) {
    let place = |(across, along): (f64, f64)| if map.along_y { (across, along) } else { (along, across) };
    let strips = strips(map);
    let mut names: Vec<(Outcome, f64, At)> = Vec::new();
    for strip in &strips {
        for (number, stretch) in strip.lines[0].stretches.iter().enumerate() {
            let mut outline: Vec<At> = strip.edge(number, |s| s.from).into_iter().map(|v| panel.at(place(v))).collect();
            outline.extend(strip.edge(number, |s| s.to).into_iter().rev().map(|v| panel.at(place(v))));
            let (size, middle) = area_and_middle(&outline);
            sheet.area(outline, fill(&stretch.answer));
            match names.iter_mut().find(|name| name.0.alike(&stretch.answer)) {
                Some(name) if name.1 >= size => {}
                Some(name) => (name.1, name.2) = (size, middle),
                None => names.push((stretch.answer.clone(), size, middle)),
            }
        }
    }
    let (stall, other) = (Pen::solid(INK, CURVE_MM), Pen::solid(SOFT, HAIR_MM));
    for strip in &strips {
        let answers = &strip.lines[0].stretches;
        for number in 1..answers.len() {
            let going =
                answers[number].answer == Outcome::KeepsGoing || answers[number - 1].answer == Outcome::KeepsGoing;
            let edge = strip.edge(number, |s| s.from).into_iter().map(place);
            panel.curve(sheet, edge, if going { stall } else { other });
        }
    }
    for pair in strips.windows(2) {
        let (Some(left), Some(right)) = (pair[0].lines.last(), pair[1].lines.first()) else { continue };
        for (from, to, going) in differing(left, right) {
            panel.curve(
                sheet,
                [place((pair[1].from, from)), place((pair[1].from, to))],
                if going { stall } else { other },
            );
        }
    }
    for (outcome, size, at) in names {
        if size > NAMED_MM2 {
            let text = outcome_words(&outcome).to_owned();
            sheet.label(Label { at, text, colour: INK, towards: (0.0, -1.0), within: panel.frame, leader: true });
        }
    }
}

/// Where two neighbouring lines differ, and whether the clock keeps going on one of them only.
fn differing(one: &Line, other: &Line) -> Vec<(f64, f64, bool)> {
    let mut ends: Vec<f64> =
        one.stretches.iter().chain(&other.stretches).flat_map(|stretch| [stretch.from, stretch.to]).collect();
    ends.sort_by(f64::total_cmp);
    let at = |line: &Line, place: f64| {
        line.stretches.iter().find(|stretch| place >= stretch.from && place <= stretch.to).map(|s| s.answer.clone())
    };
    ends.windows(2)
        .filter(|pair| pair[1] > pair[0])
        .filter_map(|pair| {
            let middle = 0.5 * (pair[0] + pair[1]);
            let (a, b) = (at(one, middle)?, at(other, middle)?);
            let going = (a == Outcome::KeepsGoing) != (b == Outcome::KeepsGoing);
            (!a.alike(&b)).then_some((pair[0], pair[1], going))
        })
        .collect()
}

/// Area of an outline, square millimetres, and the mean of its points.
fn area_and_middle(outline: &[At]) -> (f64, At) {
    let (mut twice, mut sum) = (0.0, (0.0, 0.0));
    for (number, a) in outline.iter().enumerate() {
        let b = outline[(number + 1) % outline.len()];
        let cross = a.0 * b.1 - b.0 * a.1;
        twice += cross;
        sum = (sum.0 + cross * (a.0 + b.0), sum.1 + cross * (a.1 + b.1));
    }
    let middle = if twice == 0.0 { outline[0] } else { (sum.0 / (3.0 * twice), sum.1 / (3.0 * twice)) };
    (0.5 * twice.abs(), middle)
}
