//! The moving escapement: drawn once, moved by the page's script as the computed motion has it.

use maud::{Markup, PreEscaped, html};
use serde::Serialize;

use crate::answers::prediction::Prediction;
use crate::clock::environment::InRoom;
use crate::clock::escapement::EscapementOutlines;
use crate::clock::mechanism::{ContactEscapement, EscapementModel};
use crate::dynamics::observe::Mode;
use crate::dynamics::trace::Sample;
use crate::geometry::{Outline, Point};
use crate::report::words::action::phase_name;
use crate::study::portrait::{Phase, touch};

use super::parts::as_data;

/// Length of the arrow of the largest force, as a share of the wheel's radius, where its frame has room for it.
const LONGEST_ARROW: f64 = 0.3;

/// How far the arrow's head reaches beyond its line, and half its width, mm.
const HEAD_MM: f64 = 1.6;

/// Share of a frame's room that an arrow takes at most.
const ROOM_TAKEN: f64 = 0.95;

/// The motion of one period, a column a quantity; the page's script moves the drawing by it.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct PageMotion {
    /// Full period, s.
    pub period_s: f64,
    /// Teeth of the wheel.
    pub teeth: u32,
    /// Wheel angle of a tooth.
    pub pitch_deg: f64,
    /// Distance of the arbors.
    pub centre_distance_mm: f64,
    /// Constant angle of the pallets against the pendulum.
    pub beat_error_deg: f64,
    /// Scale of the force's arrow.
    pub arrow_mm_per_n: f64,
    /// Times at which something begins.
    pub starts_s: Vec<f64>,
    /// Names of what goes on.
    pub words: Vec<String>,
    /// Time from the right turning point, s.
    pub time_s: Vec<f64>,
    /// Pendulum angle, anticlockwise positive.
    pub theta_deg: Vec<f64>,
    /// Wheel advance since the first sample, clockwise positive.
    pub phi_deg: Vec<f64>,
    /// 0 apart, 1 locked, 2 sliding: until the next sample.
    pub state: Vec<u8>,
    /// Number in `words` of what goes on until the next sample.
    pub word: Vec<usize>,
    /// Touching point, right of the wheel's centre.
    pub x_mm: Vec<f64>,
    /// Touching point, above the wheel's centre.
    pub y_mm: Vec<f64>,
    /// Normal force of the tooth on the pallet.
    pub force_n: Vec<f64>,
    /// Its direction, anticlockwise from the right.
    pub direction_deg: Vec<f64>,
    /// Windows and bore of the wheel, which are drawn and do not change, m.
    #[serde(skip)]
    pub wheel_holes: Vec<Outline>,
}

/// The motion of the steady period, cut into its `phases`, of a wheel with these holes; `None` without one, or without outlines.
#[must_use]
pub fn motion(
    design: &InRoom,
    prediction: &Prediction,
    phases: &[Phase],
    wheel_holes: Vec<Outline>,
) -> Option<PageMotion> {
    let outlines = prediction.built.outlines.as_ref()?;
    let EscapementModel::Contact(contact) = &prediction.built.mechanism.escapement else { return None };
    let steady = prediction.steady.as_ref()?;
    let trace = steady.measured.trace.as_ref()?;
    let first = trace.samples.first()?;
    let tip_mm = 1e3 * outlines.tooth.farthest_m(Point::zeros());
    let mut motion = PageMotion {
        period_s: steady.measured.period_s,
        teeth: outlines.teeth,
        pitch_deg: contact.pitch_rad().to_degrees(),
        centre_distance_mm: 1e3 * outlines.centre_distance_m,
        beat_error_deg: design.escapement.beat_error_rad().to_degrees(),
        arrow_mm_per_n: 0.0,
        starts_s: Vec::new(),
        words: Vec::new(),
        time_s: Vec::new(),
        theta_deg: Vec::new(),
        phi_deg: Vec::new(),
        state: Vec::new(),
        word: Vec::new(),
        x_mm: Vec::new(),
        y_mm: Vec::new(),
        force_n: Vec::new(),
        direction_deg: Vec::new(),
        wheel_holes,
    };
    let mut place = (Point::zeros(), Point::new(1.0, 0.0));
    for phase in phases {
        let word = motion.word_for(phase);
        if let Some(start) = phase.samples.first() {
            motion.starts_s.push(shortened(start.time_s - first.time_s));
        }
        for sample in &phase.samples {
            place = touching(contact, sample).unwrap_or(place);
            motion.push(sample, first, word, place);
        }
    }
    motion.arrow_mm_per_n = motion.arrow_scale(outlines, LONGEST_ARROW * tip_mm);
    Some(motion)
}

/// To a tenth of a microsecond, micrometre, microradian or micronewton, whichever it is: as much as a picture can show.
fn shortened(value: f64) -> f64 {
    (value * 1e7).round() / 1e7
}

fn touching(contact: &ContactEscapement, sample: &Sample) -> Option<(Point, Point)> {
    match sample.mode {
        Mode::Locked(pallet) | Mode::Sliding(pallet) => touch(contact, pallet, sample.theta_rad, sample.phi_rad),
        Mode::Apart | Mode::Driven => None,
    }
}

impl PageMotion {
    /// Millimetres of arrow for a newton: the largest force has its longest arrow, or one that stays within its frame with its head, as do
    /// those of all other forces.
    fn arrow_scale(&self, outlines: &EscapementOutlines, longest_mm: f64) -> f64 {
        let largest_n = self.force_n.iter().copied().fold(0.0, f64::max);
        if !(largest_n > 0.0) {
            return 0.0;
        }
        let drawing = Drawing::of(outlines);
        let frames: Vec<Frame> = std::iter::once(drawing.frame())
            .chain(outlines.pallets.values().map(|pallet| drawing.close(pallet)))
            .collect();
        let mut scale = longest_mm / largest_n;
        for number in (0..self.force_n.len()).filter(|&number| self.state[number] > 0 && self.force_n[number] > 0.0) {
            let (from, turn) = ((self.x_mm[number], -self.y_mm[number]), self.direction_deg[number].to_radians());
            let along = (turn.cos(), -turn.sin());
            // A force is seen in every frame in which it begins.
            for room in frames.iter().filter_map(|frame| frame.room_mm(from, along)) {
                scale = scale.min((ROOM_TAKEN * room - HEAD_MM).max(0.0) / self.force_n[number]);
            }
        }
        scale
    }

    fn word_for(&mut self, phase: &Phase) -> usize {
        let words = match phase.pallet {
            Some(pallet) => format!("{} on the {} pallet", phase_name(phase.kind), pallet),
            None => phase_name(phase.kind).to_owned(),
        };
        self.words.iter().position(|known| *known == words).unwrap_or_else(|| {
            self.words.push(words);
            self.words.len() - 1
        })
    }

    fn push(&mut self, sample: &Sample, first: &Sample, word: usize, (point, normal): (Point, Point)) {
        self.time_s.push(shortened(sample.time_s - first.time_s));
        self.theta_deg.push(shortened(sample.theta_rad.to_degrees()));
        self.phi_deg.push(shortened((sample.phi_rad - first.phi_rad).to_degrees()));
        self.state.push(match sample.mode {
            Mode::Apart | Mode::Driven => 0,
            Mode::Locked(_) => 1,
            Mode::Sliding(_) => 2,
        });
        self.word.push(word);
        self.x_mm.push(shortened(1e3 * point.x));
        self.y_mm.push(shortened(1e3 * point.y));
        self.force_n.push(shortened(sample.force_n.max(0.0)));
        self.direction_deg.push(shortened(normal.y.atan2(normal.x).to_degrees()));
    }
}

/// The parts of the moving drawing, as SVG: for a page that puts them in place of those it has.
#[must_use]
pub fn drawn_works(prediction: &Prediction, motion: &PageMotion) -> Option<String> {
    let outlines = prediction.built.outlines.as_ref()?;
    Some(works(outlines, &motion.wheel_holes, first_sample(prediction)?).into_string())
}

fn first_sample(prediction: &Prediction) -> Option<&Sample> {
    prediction.steady.as_ref()?.measured.trace.as_ref()?.samples.first()
}

/// The drawing with its controls, and the motion as the script reads it.
pub(super) fn moving(number: usize, design: &InRoom, prediction: &Prediction, motion: &PageMotion) -> Option<Markup> {
    let outlines = prediction.built.outlines.as_ref()?;
    let first = first_sample(prediction)?;
    let data = as_data(motion)?;
    let drawing = Drawing::of(outlines);
    let (motion_id, works_id) = (format!("motion-{number}"), format!("works-{number}"));
    Some(html! {
        div data-motion=(motion_id) {
            div.moving {
                svg viewBox=(drawing.frame().view()) role="img" aria-label={ "Wheel and pallets of " (design.name) ", moving" } {
                    g id=(works_id) { (works(outlines, &motion.wheel_holes, first)) }
                }
                div.closer {
                    @for (pallet, outline) in outlines.pallets.iter() {
                        figure {
                            svg viewBox=(drawing.close(outline).view()) role="img"
                                aria-label={ "The " (pallet.name()) " pallet, closer" } { use href={ "#" (works_id) } {} }
                            figcaption { "The " (pallet.name()) " pallet, closer." }
                        }
                    }
                }
            }
            div.controls {
                button.play type="button" { "Pause" }
                button.back type="button" aria-label="Step back to the start of the last phase" { "Step back" }
                button.on type="button" aria-label="Step on to the start of the next phase" { "Step on" }
                label { "Speed "
                    select {
                        @for (slower, words) in
                            [(1, "true"), (4, "4 times slower"), (10, "10 times slower"), (40, "40 times slower"), (200, "200 times slower")] {
                            option value=(slower) selected[slower == 10] { (words) }
                        }
                    }
                }
                input type="range" min="0" max=(motion.period_s) step="any" value="0" aria-label="Place in the period";
            }
            p.told {
                strong.what {}
                span.time {}
                span.theta {}
                span.phi {}
                span.push {}
            }
            p.announced.unseen role="status" aria-live="polite" {}
            script type="application/json" id=(motion_id) { (PreEscaped(data)) }
        }
    })
}

/// Wheel, pallets and the arrow of the force, in millimetres from the wheel's centre, y down.
fn works(outlines: &EscapementOutlines, holes: &[Outline], first: &Sample) -> Markup {
    let tooth = path(&outlines.tooth);
    let holes: Vec<String> = holes.iter().map(path).collect();
    let root_mm = 1e3 * outlines.tooth.vertices().iter().map(|vertex| vertex.at.norm()).fold(f64::INFINITY, f64::min);
    let pitch_deg = 360.0 / f64::from(outlines.teeth);
    let arbor_mm = 1e3 * outlines.centre_distance_m;
    // The wheel is drawn as it stands at the first sample; the script counts from there.
    let turned = first.phi_rad.to_degrees();
    html! {
        g.wheel {
            g transform={ "rotate(" (turned) ")" } {
                circle r=(root_mm) fill="#eeeeee" stroke="#555555" stroke-width="0.15" {}
                @for number in 0..outlines.teeth {
                    path d=(tooth) transform={ "rotate(" (-f64::from(number) * pitch_deg) ")" }
                        fill="#dcdcdc" stroke="#555555" stroke-width="0.15" {}
                }
                @for hole in &holes { path d=(hole) fill="#ffffff" stroke="#555555" stroke-width="0.15" {} }
                circle r="0.8" fill="#1a1a1a" {}
            }
        }
        g.pallets {
            @for (outline, fill, edge) in [(&outlines.pallets.entry, "#b9d2ea", "#0b4f8f"), (&outlines.pallets.exit, "#f5d9b5", "#a84f00")] {
                @let middle = middle_of(outline);
                line x1="0" y1=(-arbor_mm) x2=(1e3 * middle.x) y2=(-1e3 * middle.y) stroke="#dcdcdc" stroke-width="2.5" {}
                path d=(path(outline)) fill=(fill) stroke=(edge) stroke-width="0.2" {}
            }
            circle cx="0" cy=(-arbor_mm) r="0.8" fill="#1a1a1a" {}
        }
        g.force visibility="hidden" {
            line x1="0" y1="0" x2="0" y2="0" stroke="#1a1a1a" stroke-width="0.5" {}
            path d="M 1.6 0 L -0.4 0.9 L -0.4 -0.9 Z" fill="#1a1a1a" {}
            circle r="0.5" fill="#ffffff" stroke="#1a1a1a" stroke-width="0.25" {}
        }
    }
}

fn middle_of(outline: &Outline) -> Point {
    let vertices = outline.vertices();
    vertices.iter().map(|vertex| vertex.at).sum::<Point>() / vertices.len().max(1) as f64
}

/// An outline with its arcs, mm, y down.
fn path(outline: &Outline) -> String {
    let shown = |point: Point| format!("{:.4} {:.4}", 1e3 * point.x, -1e3 * point.y);
    let mut text = String::new();
    for (from, to, bulge) in outline.edges() {
        if text.is_empty() {
            text = format!("M {}", shown(from));
        }
        if bulge == 0.0 {
            text.push_str(&format!(" L {}", shown(to)));
            continue;
        }
        // bulge = tan(angle / 4); chord = 2 r sin(angle / 2).
        let angle = 4.0 * bulge.abs().atan();
        let radius_mm = 1e3 * (to - from).norm() / (2.0 * (0.5 * angle).sin());
        let large = u8::from(angle > std::f64::consts::PI);
        let sweep = u8::from(bulge < 0.0);
        text.push_str(&format!(" A {radius_mm:.4} {radius_mm:.4} 0 {large} {sweep} {}", shown(to)));
    }
    text.push_str(" Z");
    text
}

/// The part of the clock that is seen, mm.
struct Drawing {
    half_width: f64,
    top: f64,
    bottom: f64,
}

impl Drawing {
    fn of(outlines: &EscapementOutlines) -> Self {
        let tip = 1e3 * outlines.tooth.farthest_m(Point::zeros());
        let pallets = outlines.pallets.values().flat_map(|pallet| pallet.vertices());
        let side = 1e3 * pallets.map(|vertex| vertex.at.x.abs()).fold(0.0, f64::max);
        let top = 1e3 * outlines.centre_distance_m + 0.06 * tip;
        Self { half_width: side.max(tip) * 1.05, top: top.max(1.05 * tip), bottom: 1.05 * tip }
    }

    fn frame(&self) -> Frame {
        let Self { half_width, top, bottom } = self;
        Frame { left: -half_width, top: -top, width: 2.0 * half_width, height: top + bottom }
    }

    /// The surroundings of a pallet's end, where the teeth pass.
    fn close(&self, pallet: &Outline) -> Frame {
        // The end that dips into the wheel is the nearest to its centre.
        let nearest = pallet
            .vertices()
            .iter()
            .map(|vertex| vertex.at)
            .min_by(|a, b| a.norm().total_cmp(&b.norm()))
            .unwrap_or_else(Point::zeros);
        let size = 0.28 * self.half_width;
        Frame {
            left: 1e3 * nearest.x - size,
            top: -1e3 * nearest.y - 0.75 * size,
            width: 2.0 * size,
            height: 1.5 * size,
        }
    }
}

/// What a picture shows, mm from the wheel's centre, y down.
struct Frame {
    left: f64,
    top: f64,
    width: f64,
    height: f64,
}

impl Frame {
    fn view(&self) -> String {
        format!("{:.3} {:.3} {:.3} {:.3}", self.left, self.top, self.width, self.height)
    }

    /// How far it is from a place within to the edge, along a direction of length one; `None` from outside.
    fn room_mm(&self, from: (f64, f64), along: (f64, f64)) -> Option<f64> {
        let (x, y) = (from.0 - self.left, from.1 - self.top);
        if !(0.0..=self.width).contains(&x) || !(0.0..=self.height).contains(&y) {
            return None;
        }
        let way = |at: f64, size: f64, along: f64| match along {
            _ if along > 0.0 => (size - at) / along,
            _ if along < 0.0 => -at / along,
            _ => f64::INFINITY,
        };
        Some(way(x, self.width, along.0).min(way(y, self.height, along.1)))
    }
}
