//! Regions of a map: what becomes of the clock, its boundaries as they were solved.

use crate::answers::start_basins::AnswerRange;
use crate::answers::verdict::Reason;
use crate::report::canvas::labels::Label;
use crate::report::canvas::look::{CURVE_MM, Colour, HAIR_MM, INK, Pen, SOFT, TEXT_MM, text_width_mm, wrapped};
use crate::report::canvas::panel::Panel;
use crate::report::canvas::sheet::{At, PlotFrame, Sheet};
use crate::report::map::outcome_words;
use crate::study::map::lines::same_course;
use crate::study::map::{Line, Map, Outcome};

/// Smallest area that gets a name, square millimetres.
const NAMED_MM2: f64 = 3.0;

/// Neighbouring areas overlap by this share of the axis, so that no seam shows between them.
const OVERLAP: f64 = 6e-4;

/// Fill of a region: distinct in grey as well.
pub(super) const fn fill(outcome: &Outcome) -> Colour {
    match outcome {
        Outcome::KeepsGoing => (0xff, 0xff, 0xff),
        Outcome::Stops(Reason::LosesAmplitude | Reason::LosesSteps) => (0xe6, 0xe6, 0xe6),
        Outcome::Stops(Reason::NeverUnlocks) => (0xc6, 0xc6, 0xc6),
        Outcome::Stops(Reason::TrainSticks) => (0xa6, 0xb4, 0x8e),
        Outcome::Stops(Reason::Jams) => (0xe0, 0xa4, 0x60),
        Outcome::Stops(Reason::RunsAway) => (0x6a, 0x92, 0xbe),
        Outcome::Stops(Reason::NotSettled) => (0x8a, 0x8a, 0x8a),
        Outcome::NoClock(_) => (0x74, 0x74, 0x74),
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
    fn edge(&self, number: usize, end: fn(&AnswerRange<Outcome>) -> f64) -> Vec<(f64, f64)> {
        let at = |line: &Line| end(&line.stretches[number]);
        let (Some(first), Some(last)) = (self.lines.first(), self.lines.last()) else { return Vec::new() };
        std::iter::once((self.from, at(first)))
            .chain(self.lines.iter().map(|line| (line.at, at(line))))
            .chain([(self.to, at(last))])
            .collect()
    }
}

/// Fills the regions, draws their boundaries, the stall line strong, and names them; the one that keeps going only with
/// `name_going`.
pub(super) fn draw_regions(sheet: &mut Sheet, panel: &Panel, map: &Map, name_going: bool) {
    let place = |(across, along): (f64, f64)| if map.along_y { (across, along) } else { (along, across) };
    let strips = strips(map);
    let (low, high) = (map.lines.first().map_or(0.0, |line| line.at), map.lines.last().map_or(0.0, |line| line.at));
    let overlap = OVERLAP * (high - low);
    let mut pieces: Vec<(Outcome, f64, PlotFrame)> = Vec::new();
    for strip in &strips {
        let wide =
            Strip { from: (strip.from - overlap).max(low), to: (strip.to + overlap).min(high), lines: strip.lines };
        for (number, stretch) in strip.lines[0].stretches.iter().enumerate() {
            let mut outline: Vec<At> = wide.edge(number, |s| s.from).into_iter().map(|v| panel.at(place(v))).collect();
            outline.extend(wide.edge(number, |s| s.to).into_iter().rev().map(|v| panel.at(place(v))));
            let (size, around) = (area_mm2(&outline), around(&outline));
            sheet.area(outline, fill(&stretch.answer));
            pieces.push((stretch.answer.clone(), size, around));
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
    for (outcome, size, region) in regions(&pieces) {
        if size > NAMED_MM2 && (name_going || outcome != Outcome::KeepsGoing) {
            name_region(sheet, panel, &outcome, &region);
        }
    }
}

/// The largest region of every outcome: its largest piece and those that go on from it as high or as wide, with the area of the
/// largest piece.
fn regions(pieces: &[(Outcome, f64, PlotFrame)]) -> Vec<(Outcome, f64, PlotFrame)> {
    const ALIKE_MM: f64 = 1.0;
    let mut found: Vec<(Outcome, f64, PlotFrame)> = Vec::new();
    for piece in pieces {
        match found.iter_mut().find(|region| region.0.alike(&piece.0)) {
            Some(region) if region.1 >= piece.1 => {}
            Some(region) => *region = piece.clone(),
            None => found.push(piece.clone()),
        }
    }
    for region in &mut found {
        let near = |a: f64, b: f64| (a - b).abs() < ALIKE_MM;
        // Pieces come in their order across, so two passes join those on both sides.
        for piece in pieces.iter().chain(pieces.iter().rev()).filter(|piece| piece.0.alike(&region.0)) {
            let (here, there) = (&mut region.2, &piece.2);
            if near(here.top, there.top) && near(here.bottom, there.bottom) && near(here.right, there.left) {
                here.right = there.right;
            } else if near(here.top, there.top) && near(here.bottom, there.bottom) && near(here.left, there.right) {
                here.left = there.left;
            } else if near(here.left, there.left) && near(here.right, there.right) && near(here.bottom, there.top) {
                here.bottom = there.bottom;
            } else if near(here.left, there.left) && near(here.right, there.right) && near(here.top, there.bottom) {
                here.top = there.top;
            }
        }
    }
    found
}

/// Names a region within it where the name fits, in as many lines as it takes, else beside it.
pub(super) fn name_region(sheet: &mut Sheet, panel: &Panel, outcome: &Outcome, region: &PlotFrame) {
    let at = (0.5 * (region.left + region.right), 0.5 * (region.top + region.bottom));
    let words = outcome_words(outcome);
    let lines = wrapped(words, region.width() - 1.0);
    let fits = lines.iter().all(|line| text_width_mm(line, TEXT_MM, false) <= region.width() - 1.0);
    let (text, within) = if fits { (lines.join("\n"), *region) } else { (words.to_owned(), panel.frame) };
    sheet.label(Label { at, text, colour: INK, towards: (0.0, -1.0), within, leader: !fits });
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

/// Area of an outline, square millimetres.
fn area_mm2(outline: &[At]) -> f64 {
    let next = outline.iter().cycle().skip(1);
    0.5 * outline.iter().zip(next).map(|(a, b)| a.0 * b.1 - b.0 * a.1).sum::<f64>().abs()
}

/// The frame around an outline.
fn around(outline: &[At]) -> PlotFrame {
    let nothing =
        PlotFrame { left: f64::INFINITY, top: f64::INFINITY, right: f64::NEG_INFINITY, bottom: f64::NEG_INFINITY };
    outline.iter().fold(nothing, |frame, at| PlotFrame {
        left: frame.left.min(at.0),
        top: frame.top.min(at.1),
        right: frame.right.max(at.0),
        bottom: frame.bottom.max(at.1),
    })
}
