//! Where a label goes: near what it names, clear of other labels and, as far as may be, of the lines.

use super::look::{Colour, LINE_MM, TEXT_MM};
use super::sheet::{Anchor, At, PlotFrame, Text};

/// A label that finds its own place.
#[derive(Debug, Clone, PartialEq)]
pub struct Label {
    /// What it names.
    pub at: At,
    /// Its text; a line break begins a new line.
    pub text: String,
    /// Colour, that of what it names.
    pub colour: Colour,
    /// Direction in which it had best lie: right and down positive; [`UPON`] what it names, as a height stands on its contour.
    pub towards: (f64, f64),
    /// The area that it must not leave.
    pub within: PlotFrame,
    /// Whether a fine line leads from it to what it names when it lies far off.
    pub leader: bool,
}

/// Direction of a label that stands upon what it names.
pub const UPON: (f64, f64) = (0.0, 0.0);

/// Gaps between a label and its point that are tried, mm.
const GAPS_MM: [f64; 9] = [0.7, 1.3, 2.2, 3.5, 5.0, 7.0, 10.0, 14.0, 19.0];

/// Directions that are tried.
const DIRECTIONS: usize = 24;

/// Gap from which a leader is drawn, mm.
const LEADER_FROM_MM: f64 = 1.8;

/// A label and the places along what it names, of which it takes the clearest; of equals the first.
#[derive(Debug, Clone)]
pub(in crate::report) struct LabelPlaces {
    pub label: Label,
    pub places: Vec<At>,
}

/// A label at its place.
#[derive(Debug, Default)]
pub(in crate::report) struct PlacedLabel {
    /// Its lines.
    pub texts: Vec<Text>,
    /// The leader's two ends.
    pub leader: Option<(At, At)>,
    /// Where the line is interrupted upon which it stands.
    pub gap: Option<PlotFrame>,
}

/// The label at its best place. Adds the place to `taken`.
pub(in crate::report) fn placed(
    LabelPlaces { label, places }: &LabelPlaces,
    page: &PlotFrame,
    taken: &mut Vec<PlotFrame>,
    inked: &[At],
) -> PlacedLabel {
    let lines: Vec<Text> = label
        .text
        .lines()
        .map(|line| Text {
            at: (0.0, 0.0),
            text: line.to_owned(),
            size_mm: TEXT_MM,
            colour: label.colour,
            anchor: Anchor::Start,
            bold: false,
        })
        .collect();
    let width = lines.iter().map(|line| line.frame().width()).fold(0.0, f64::max);
    let height = TEXT_MM + LINE_MM * (lines.len().max(1) - 1) as f64;
    let bounds = PlotFrame {
        left: label.within.left.max(page.left),
        top: label.within.top.max(page.top),
        right: label.within.right.min(page.right),
        bottom: label.within.bottom.min(page.bottom),
    };
    let size = (width, height);
    let found = places.iter().filter_map(|&at| best_frame(&Label { at, ..label.clone() }, size, &bounds, taken, inked));
    let best = found.reduce(|best, other| if other.cost < best.cost - 1e-9 { other } else { best });
    let Some(FoundFrame { at, frame, gap, .. }) = best else { return PlacedLabel::default() };
    taken.push(frame);
    let middle = 0.5 * (frame.left + frame.right);
    // A label to the left of its point ends there, one to the right begins there.
    let (x, anchor) = if frame.right <= at.0 {
        (frame.right, Anchor::End)
    } else if frame.left >= at.0 {
        (frame.left, Anchor::Start)
    } else {
        (middle, Anchor::Middle)
    };
    let texts = lines
        .into_iter()
        .enumerate()
        .map(|(number, line)| {
            let y = frame.top + 0.52 * TEXT_MM + LINE_MM * number as f64;
            Text { at: (x, y), anchor, ..line }
        })
        .collect();
    let leader = (label.leader && gap >= LEADER_FROM_MM).then(|| {
        let edge = nearest_on(&frame.grown(0.3), at);
        (edge, at)
    });
    let gap = (gap == 0.0).then(|| frame.grown(0.2));
    PlacedLabel { texts, leader, gap }
}

/// Where a label may stand.
struct FoundFrame {
    at: At,
    frame: PlotFrame,
    gap: f64,
    cost: f64,
}

/// The best frame for a label that names its place; `None` where its place is no number.
fn best_frame(
    label: &Label,
    size: (f64, f64),
    bounds: &PlotFrame,
    taken: &[PlotFrame],
    inked: &[At],
) -> Option<FoundFrame> {
    let (width, height) = size;
    let preferred = label.towards.1.atan2(label.towards.0);
    let reach = 22.0 + width;
    let near: Vec<At> = inked
        .iter()
        .copied()
        .filter(|at| (at.0 - label.at.0).abs() < reach && (at.1 - label.at.1).abs() < reach)
        .collect();
    let around = GAPS_MM.into_iter().flat_map(|gap| {
        (0..DIRECTIONS).map(move |step| (gap, std::f64::consts::TAU * step as f64 / DIRECTIONS as f64))
    });
    let tries: Vec<(f64, f64)> = if label.towards == UPON { vec![(0.0, 0.0)] } else { around.collect() };
    let found = tries.into_iter().map(|(gap, turn)| {
        let (sine, cosine) = if gap == 0.0 { UPON } else { (preferred + turn).sin_cos() };
        let centre = (
            label.at.0 + cosine * gap + 0.5 * width * snapped(cosine),
            label.at.1 + sine * gap + 0.5 * height * snapped(sine),
        );
        let mut frame = PlotFrame {
            left: centre.0 - 0.5 * width,
            top: centre.1 - 0.5 * height,
            right: centre.0 + 0.5 * width,
            bottom: centre.1 + 0.5 * height,
        };
        // Slid back into its area; how far counts as distance.
        let slide = (
            (bounds.left - frame.left).max(0.0) - (frame.right - bounds.right).max(0.0),
            (bounds.top - frame.top).max(0.0) - (frame.bottom - bounds.bottom).max(0.0),
        );
        frame = PlotFrame {
            left: frame.left + slide.0,
            right: frame.right + slide.0,
            top: frame.top + slide.1,
            bottom: frame.bottom + slide.1,
        };
        let off = slide.0.hypot(slide.1);
        let mut cost = 1.2 * gap + 2.0 * off + 2.5 * (1.0 - turn.cos());
        let roomy = frame.grown(0.5);
        for other in taken {
            cost += 120.0 * overlap(&roomy, other);
        }
        cost += 3.0 * near.iter().filter(|&&at| roomy.holds(at)).count() as f64;
        if gap >= LEADER_FROM_MM {
            let edge = nearest_on(&frame, label.at);
            cost += 80.0 * taken.iter().filter(|other| crosses(edge, label.at, other)).count() as f64;
        }
        FoundFrame { at: label.at, frame, gap, cost }
    });
    found
        .filter(|found| found.cost.is_finite())
        .reduce(|best, other| if other.cost < best.cost - 1e-9 { other } else { best })
}

/// -1, 0 or 1 for the label's side of its point, smooth between.
fn snapped(component: f64) -> f64 {
    (2.0 * component).clamp(-1.0, 1.0)
}

/// Share of the smaller frame's area that both cover, 0 where they are apart.
fn overlap(a: &PlotFrame, b: &PlotFrame) -> f64 {
    let width = a.right.min(b.right) - a.left.max(b.left);
    let height = a.bottom.min(b.bottom) - a.top.max(b.top);
    if width <= 0.0 || height <= 0.0 {
        return 0.0;
    }
    let smaller = (a.width() * a.height()).min(b.width() * b.height()).max(1e-6);
    0.2 + width * height / smaller
}

fn nearest_on(frame: &PlotFrame, at: At) -> At {
    (at.0.clamp(frame.left, frame.right), at.1.clamp(frame.top, frame.bottom))
}

fn crosses(from: At, to: At, frame: &PlotFrame) -> bool {
    (0..=16).any(|step| {
        let share = f64::from(step) / 16.0;
        frame.holds((from.0 + share * (to.0 - from.0), from.1 + share * (to.1 - from.1)))
    })
}
