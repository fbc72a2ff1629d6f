//! Regions of a map: what becomes of the clock, its boundaries as they were solved.

use crate::answers::start_basins::AnswerRange;
use crate::answers::verdict::Reason;
use crate::report::canvas::look::{CURVE_MM, Colour, HAIR_MM, INK, Pen, SOFT};
use crate::report::canvas::panel::Panel;
use crate::report::canvas::sheet::{At, Sheet};
use crate::study::map::lines::same_course;
use crate::study::map::{Line, Map, Outcome};

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

/// Values along a line at one place across: where its stretches begin, and where the last one ends.
#[derive(Debug, Clone, PartialEq)]
struct LineEnds {
    at: f64,
    ends: Vec<f64>,
}

impl LineEnds {
    fn of(line: &Line) -> Self {
        let first = line.stretches.first().map(|stretch| stretch.from);
        Self { at: line.at, ends: first.into_iter().chain(line.stretches.iter().map(|stretch| stretch.to)).collect() }
    }
}

/// Lines that follow one another with the same outcomes, up to half the way to their neighbours.
struct Strip<'m> {
    outcomes: Vec<&'m Outcome>,
    sections: Vec<LineEnds>,
}

impl<'m> Strip<'m> {
    /// What becomes of the clock at a place along a line through the strip whose stretches have these ends; `None` beyond them.
    fn outcome_in(&self, end: impl Fn(usize) -> f64, along: f64) -> Option<&'m Outcome> {
        if self.outcomes.is_empty() || along < end(0) {
            return None;
        }
        (0..self.outcomes.len()).find(|&number| along <= end(number + 1)).map(|number| self.outcomes[number])
    }
}

/// A line through a map, as (across, along).
type MapCourse = Vec<(f64, f64)>;

/// The regions of a map of two quantities.
pub(super) struct Regions<'m> {
    lines: &'m [Line],
    along_y: bool,
    strips: Vec<Strip<'m>>,
    /// Where the clock passes between going and standing.
    stalls: Vec<MapCourse>,
    /// Where neighbouring strips differ without that.
    seams: Vec<MapCourse>,
}

/// Stretches of a stop that are shorter than this share of the axis are not drawn beside another stop: nobody sees them.
const SLIVER: f64 = 2e-3;

/// The lines of a map without what is too small to be seen.
pub(super) fn drawn_lines(map: &Map) -> Vec<Line> {
    map.lines.iter().map(without_slivers).collect()
}

fn without_slivers(line: &Line) -> Line {
    let whole =
        line.stretches.last().map_or(0.0, |last| last.to) - line.stretches.first().map_or(0.0, |first| first.from);
    let stops = |number: Option<usize>| {
        number.and_then(|number| line.stretches.get(number)).is_some_and(|found| found.answer != Outcome::KeepsGoing)
    };
    let mut stretches: Vec<AnswerRange<Outcome>> = Vec::new();
    let mut from = None;
    for (number, stretch) in line.stretches.iter().enumerate() {
        let sliver = stops(Some(number)) && stretch.to - stretch.from < SLIVER * whole;
        let last_stops = stretches.last().is_some_and(|last| last.answer != Outcome::KeepsGoing);
        match stretches.last_mut() {
            Some(last) if last.answer.alike(&stretch.answer) || (sliver && last_stops) => last.to = stretch.to,
            // Left to the stop that follows.
            _ if sliver && stops(Some(number + 1)) => from = from.or(Some(stretch.from)),
            _ => stretches.push(AnswerRange { from: from.take().unwrap_or(stretch.from), ..stretch.clone() }),
        }
    }
    Line { at: line.at, stretches }
}

/// Ends of a line, and where it passes between going and standing.
fn stalls(line: &Line) -> Vec<f64> {
    let ends = LineEnds::of(line).ends;
    let going = |number: usize| line.stretches[number].answer == Outcome::KeepsGoing;
    let kept = |number: usize| number == 0 || number == line.stretches.len() || going(number - 1) != going(number);
    ends.into_iter().enumerate().filter(|(number, _)| kept(*number)).map(|(_, end)| end).collect()
}

fn first_goes(line: &Line) -> bool {
    line.stretches.first().is_some_and(|stretch| stretch.answer == Outcome::KeepsGoing)
}

/// Whether going and standing follow one another along both lines alike.
fn going_alike(one: &Line, other: &Line) -> bool {
    first_goes(one) == first_goes(other) && stalls(one).len() == stalls(other).len()
}

/// A value moved as the `knots` around it are moved to `others`.
fn carried(value: f64, knots: &[f64], others: &[f64]) -> f64 {
    let place = knots.partition_point(|knot| *knot < value).clamp(1, knots.len() - 1);
    let (low, high) = (knots[place - 1], knots[place]);
    let share = if high > low { ((value - low) / (high - low)).clamp(0.0, 1.0) } else { 0.0 };
    others[place - 1] + share * (others[place] - others[place - 1])
}

/// The sections of two neighbouring lines half-way between them: where both go alike the stall is a straight line from one to the
/// other, and what lies between the stalls moves with them.
fn half_way(one: &Line, other: &Line) -> [LineEnds; 2] {
    let at = 0.5 * (one.at + other.at);
    let (mut left, mut right) = (LineEnds { at, ..LineEnds::of(one) }, LineEnds { at, ..LineEnds::of(other) });
    let (knots, others) = (stalls(one), stalls(other));
    if going_alike(one, other) && knots.len() > 1 {
        let middle: Vec<f64> = knots.iter().zip(&others).map(|(a, b)| 0.5 * (a + b)).collect();
        left.ends.iter_mut().for_each(|end| *end = carried(*end, &knots, &middle));
        right.ends.iter_mut().for_each(|end| *end = carried(*end, &others, &middle));
    }
    [left, right]
}

fn strips(lines: &[Line]) -> Vec<Strip<'_>> {
    let mut found = Vec::new();
    let mut first = 0;
    for next in 1..=lines.len() {
        if next < lines.len() && same_course(&lines[next - 1], &lines[next]) {
            continue;
        }
        let middle = |before: usize, after: usize| half_way(&lines[before], &lines[after]);
        let before = (first > 0).then(|| middle(first - 1, first)).map(|[_, right]| right);
        let after = (next < lines.len()).then(|| middle(next - 1, next)).map(|[left, _]| left);
        found.push(Strip {
            outcomes: lines[first].stretches.iter().map(|stretch| &stretch.answer).collect(),
            sections: before.into_iter().chain(lines[first..next].iter().map(LineEnds::of)).chain(after).collect(),
        });
        first = next;
    }
    found
}

impl<'m> Regions<'m> {
    /// Of the lines as they are drawn.
    pub fn of(lines: &'m [Line], along_y: bool) -> Self {
        let (strips, mut stalls, mut seams) = (strips(lines), stall_lines(lines), Vec::new());
        for pair in strips.windows(2) {
            for (course, going) in differing(&pair[0], &pair[1]) {
                if going { &mut stalls } else { &mut seams }.push(course);
            }
        }
        Self { lines, along_y, strips, stalls, seams }
    }

    /// Whether there is a line at which the clock stops keeping going.
    pub fn has_stall(&self) -> bool {
        !self.stalls.is_empty()
    }

    /// What becomes of the clock at a pair of values, x and y; `None` beyond the map.
    pub fn outcome_at(&self, (x, y): (f64, f64)) -> Option<&'m Outcome> {
        let (across, along) = if self.along_y { (x, y) } else { (y, x) };
        let after = self.strips.partition_point(|strip| strip.sections.last().is_some_and(|last| last.at < across));
        let strip = self.strips.get(after)?;
        let next = strip.sections.partition_point(|section| section.at < across);
        let right = strip.sections.get(next)?;
        let left = &strip.sections[next.saturating_sub(1)];
        let share = if right.at > left.at { (across - left.at) / (right.at - left.at) } else { 0.0 };
        let end = |number: usize| left.ends[number] + share * (right.ends[number] - left.ends[number]);
        if (0.0..=1.0).contains(&share) { strip.outcome_in(end, along) } else { None }
    }

    /// Whether the clock keeps going there.
    pub fn going_at(&self, at: (f64, f64)) -> bool {
        self.outcome_at(at) == Some(&Outcome::KeepsGoing)
    }

    /// Fills the regions and draws their boundaries, the stall line strong.
    pub fn draw(&self, sheet: &mut Sheet, panel: &Panel) {
        let place = |(across, along): (f64, f64)| if self.along_y { (across, along) } else { (along, across) };
        let lines = self.lines;
        let (low, high) = (lines.first().map_or(0.0, |line| line.at), lines.last().map_or(0.0, |line| line.at));
        let overlap = OVERLAP * (high - low);
        for strip in &self.strips {
            let last = strip.sections.len() - 1;
            for (number, outcome) in strip.outcomes.iter().enumerate() {
                let edge = |end: usize| -> Vec<At> {
                    let widened = |(number, section): (usize, &LineEnds)| {
                        let wide =
                            if number == 0 { -overlap } else { 0.0 } + if number == last { overlap } else { 0.0 };
                        panel.at(place(((section.at + wide).clamp(low, high), section.ends[end])))
                    };
                    strip.sections.iter().enumerate().map(widened).collect()
                };
                sheet.area(edge(number).into_iter().chain(edge(number + 1).into_iter().rev()), fill(outcome));
            }
        }
        let (stall, other) = (Pen::solid(INK, CURVE_MM), Pen::solid(SOFT, HAIR_MM));
        for strip in &self.strips {
            let stays = |number: usize| *strip.outcomes[number] != Outcome::KeepsGoing;
            for number in (1..strip.outcomes.len()).filter(|&number| stays(number - 1) && stays(number)) {
                let edge = strip.sections.iter().map(|section| place((section.at, section.ends[number])));
                panel.curve(sheet, edge, other);
            }
        }
        for (courses, pen) in [(&self.seams, other), (&self.stalls, stall)] {
            for course in courses {
                panel.curve(sheet, course.iter().copied().map(place), pen);
            }
        }
    }
}

/// Where the clock passes between going and standing, from line to line as it was solved.
fn stall_lines(lines: &[Line]) -> Vec<MapCourse> {
    let solved: Vec<Vec<f64>> = lines.iter().map(stalls).collect();
    let mut found = Vec::new();
    let mut first = 0;
    for next in 1..=lines.len() {
        if next < lines.len() && going_alike(&lines[next - 1], &lines[next]) {
            continue;
        }
        let half = |one: usize, other: usize| 0.5 * (lines[one].at + lines[other].at);
        let from = if first > 0 { half(first - 1, first) } else { lines[first].at };
        let to = if next < lines.len() { half(next - 1, next) } else { lines[next - 1].at };
        for number in 1..solved[first].len().saturating_sub(1) {
            let course = (first..next).map(|line| (lines[line].at, solved[line][number]));
            let ends = [(from, solved[first][number]), (to, solved[next - 1][number])];
            found.push(std::iter::once(ends[0]).chain(course).chain([ends[1]]).collect());
        }
        first = next;
    }
    found
}

/// Where two neighbouring strips differ at their common edge, and whether the clock keeps going on one side only.
fn differing(one: &Strip<'_>, other: &Strip<'_>) -> Vec<(MapCourse, bool)> {
    let (Some(left), Some(right)) = (one.sections.last(), other.sections.first()) else { return Vec::new() };
    let mut ends: Vec<f64> = left.ends.iter().chain(&right.ends).copied().collect();
    ends.sort_by(f64::total_cmp);
    ends.windows(2)
        .filter(|pair| pair[1] > pair[0])
        .filter_map(|pair| {
            let middle = 0.5 * (pair[0] + pair[1]);
            let a = one.outcome_in(|number| left.ends[number], middle)?;
            let b = other.outcome_in(|number| right.ends[number], middle)?;
            let going = (*a == Outcome::KeepsGoing) != (*b == Outcome::KeepsGoing);
            (!a.alike(b)).then(|| (vec![(left.at, pair[0]), (left.at, pair[1])], going))
        })
        .collect()
}
