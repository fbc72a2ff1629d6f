//! A sheet of paper in millimetres on which a figure is drawn, and its SVG.
//!
//! x to the right, y down, from the upper left corner. The SVG's own units are hundredths of a millimetre, because the
//! plotting backend knows whole numbers only.

use plotters::backend::SVGBackend;
use plotters::prelude::{DrawingBackend, IntoFont, RGBColor, ShapeStyle, TextStyle};
use plotters::style::text_anchor::{HPos, Pos, VPos};
use plotters::style::{Color, FontStyle};

use super::dashes::dashes;
use super::labels::{Label, LabelPlaces, PlacedLabel, placed};
use super::look::{
    Colour, INK, LINE_MM, MARGIN_MM, PAPER, Pen, SOFT, TEXT_MM, TITLE_MM, WIDTH_MM, text_width_mm, wrapped,
};

/// A place on the sheet, mm.
pub type At = (f64, f64);

/// Units of the SVG in a millimetre.
const UNITS_PER_MM: f64 = 100.0;

/// Plotters divides a type size by this before it writes it.
const BACKEND_TYPE_FACTOR: f64 = 1.24;

/// Faces alike in their widths, then whatever the viewer has.
const TYPEFACE: &str = "Helvetica, Arial, Liberation Sans, Nimbus Sans, sans-serif";

/// Width from which a line has its ink at its edges rather than in its middle, mm.
const WIDE_MM: f64 = 0.9;

/// White round letters, so that a line behind a text does not spoil it; in SVG units.
const HALO: &str = "<text stroke=\"#FFFFFF\" stroke-width=\"70\" stroke-linejoin=\"round\" paint-order=\"stroke\" ";

/// A rectangle on the sheet, mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PlotFrame {
    /// Left edge.
    pub left: f64,
    /// Upper edge.
    pub top: f64,
    /// Right edge.
    pub right: f64,
    /// Lower edge.
    pub bottom: f64,
}

impl PlotFrame {
    /// Width, mm.
    #[must_use]
    pub fn width(&self) -> f64 {
        self.right - self.left
    }

    /// Height, mm.
    #[must_use]
    pub fn height(&self) -> f64 {
        self.bottom - self.top
    }

    /// The frame made larger (or, negative, smaller) by `by_mm` on all sides.
    #[must_use]
    pub fn grown(&self, by_mm: f64) -> Self {
        Self { left: self.left - by_mm, top: self.top - by_mm, right: self.right + by_mm, bottom: self.bottom + by_mm }
    }

    /// Whether a place lies within.
    #[must_use]
    pub fn holds(&self, at: At) -> bool {
        at.0 >= self.left && at.0 <= self.right && at.1 >= self.top && at.1 <= self.bottom
    }
}

/// Which point of a text is put at its place.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Anchor {
    /// Its left end.
    Start,
    /// Its middle.
    Middle,
    /// Its right end.
    End,
}

/// A line of text; the place is at half the height of its small letters.
#[derive(Debug, Clone, PartialEq)]
pub(in crate::report) struct Text {
    pub at: At,
    pub text: String,
    pub size_mm: f64,
    pub colour: Colour,
    pub anchor: Anchor,
    pub bold: bool,
}

impl Text {
    pub fn frame(&self) -> PlotFrame {
        let width = text_width_mm(&self.text, self.size_mm, self.bold);
        let left = match self.anchor {
            Anchor::Start => self.at.0,
            Anchor::Middle => self.at.0 - 0.5 * width,
            Anchor::End => self.at.0 - width,
        };
        let (up, down) = (0.52 * self.size_mm, 0.5 * self.size_mm);
        PlotFrame { left, top: self.at.1 - up, right: left + width, bottom: self.at.1 + down }
    }
}

#[derive(Debug, Clone)]
enum Mark {
    Line(Vec<At>, Pen),
    Area(Vec<At>, Colour),
    Disc(At, f64, Colour),
    Ring(At, f64, Pen),
    Text(Text),
}

/// A figure being drawn.
#[derive(Debug, Clone)]
pub struct Sheet {
    height_mm: f64,
    title: String,
    description: String,
    items: Vec<Mark>,
    labels: Vec<LabelPlaces>,
    /// Lower end of title and subtitle, mm.
    pub head_mm: f64,
    /// Points along the drawn lines: labels keep clear of them.
    inked: Vec<At>,
    /// Areas that labels leave free.
    kept_clear: Vec<PlotFrame>,
}

impl Sheet {
    /// A sheet of full width with its title and a subtitle of key figures. `body_mm`: height below those.
    #[must_use]
    pub fn new(title: &str, subtitle: &str, body_mm: f64) -> Self {
        let title = fitted(title);
        let lines = wrapped(subtitle, WIDTH_MM - 2.0 * MARGIN_MM);
        let head_mm = MARGIN_MM + TITLE_MM + 1.0 + LINE_MM * lines.len() as f64;
        let mut sheet = Self {
            height_mm: head_mm + body_mm,
            title: title.clone(),
            description: subtitle.to_owned(),
            items: Vec::new(),
            labels: Vec::new(),
            head_mm,
            inked: Vec::new(),
            kept_clear: Vec::new(),
        };
        sheet.items.push(Mark::Text(Text {
            at: (MARGIN_MM, MARGIN_MM + 0.55 * TITLE_MM),
            text: title,
            size_mm: TITLE_MM,
            colour: INK,
            anchor: Anchor::Start,
            bold: true,
        }));
        for (number, line) in lines.iter().enumerate() {
            let y = MARGIN_MM + TITLE_MM + 1.2 + LINE_MM * (number as f64 + 0.5);
            sheet.text((MARGIN_MM, y), line, SOFT, Anchor::Start);
        }
        sheet
    }

    /// The sheet less its margin.
    #[must_use]
    pub fn page(&self) -> PlotFrame {
        PlotFrame { left: 0.0, top: 0.0, right: WIDTH_MM, bottom: self.height_mm }.grown(-0.5 * MARGIN_MM)
    }

    /// A line through points; places that are no numbers are left out.
    pub fn line(&mut self, points: impl IntoIterator<Item = At>, pen: Pen) {
        let points: Vec<At> = points.into_iter().filter(|at| at.0.is_finite() && at.1.is_finite()).collect();
        if points.len() < 2 {
            return;
        }
        for pair in points.windows(2) {
            self.ink(pair[0], pair[1], pen.width_mm);
        }
        if pen.dash.is_empty() {
            self.items.push(Mark::Line(points, pen));
        } else {
            for piece in dashes(&points, pen.dash) {
                self.items.push(Mark::Line(piece, pen));
            }
        }
    }

    /// An area that labels leave free, as they do other labels.
    pub fn keep_clear(&mut self, frame: PlotFrame) {
        self.kept_clear.push(frame);
    }

    /// A place that labels had better not cover.
    pub fn avoid(&mut self, at: At) {
        self.inked.push(at);
    }

    /// Notes where a straight line has ink, both edges of a wide one.
    fn ink(&mut self, from: At, to: At, width_mm: f64) {
        let way = (to.0 - from.0, to.1 - from.1);
        let length = way.0.hypot(way.1);
        let edges: &[f64] = if width_mm > WIDE_MM { &[-0.5, 0.5] } else { &[0.0] };
        let across = if length > 0.0 { (-way.1 / length * width_mm, way.0 / length * width_mm) } else { (0.0, 0.0) };
        let pieces = (length / 0.4).ceil().clamp(1.0, 1000.0) as usize;
        for piece in 0..pieces {
            let share = piece as f64 / pieces as f64;
            self.inked.extend(
                edges
                    .iter()
                    .map(|edge| (from.0 + share * way.0 + edge * across.0, from.1 + share * way.1 + edge * across.1)),
            );
        }
    }

    /// A line that labels may cross: grid and axes.
    pub fn faint_line(&mut self, from: At, to: At, pen: Pen) {
        self.items.push(Mark::Line(vec![from, to], pen));
    }

    /// A filled area.
    pub fn area(&mut self, points: impl IntoIterator<Item = At>, colour: Colour) {
        let points: Vec<At> = points.into_iter().filter(|at| at.0.is_finite() && at.1.is_finite()).collect();
        if points.len() > 2 {
            self.items.push(Mark::Area(points, colour));
        }
    }

    /// A filled rectangle.
    pub fn block(&mut self, frame: &PlotFrame, colour: Colour) {
        self.area(
            [
                (frame.left, frame.top),
                (frame.right, frame.top),
                (frame.right, frame.bottom),
                (frame.left, frame.bottom),
            ],
            colour,
        );
    }

    /// A filled dot.
    pub fn disc(&mut self, at: At, radius_mm: f64, colour: Colour) {
        if at.0.is_finite() && at.1.is_finite() {
            self.ink_round(at, radius_mm);
            self.items.push(Mark::Disc(at, radius_mm, colour));
        }
    }

    /// A circle, white inside.
    pub fn ring(&mut self, at: At, radius_mm: f64, pen: Pen) {
        if at.0.is_finite() && at.1.is_finite() {
            self.ink_round(at, radius_mm);
            self.items.push(Mark::Ring(at, radius_mm, pen));
        }
    }

    fn ink_round(&mut self, at: At, radius_mm: f64) {
        for (x, y) in [(0.0, 0.0), (-1.0, 0.0), (1.0, 0.0), (0.0, -1.0), (0.0, 1.0)] {
            self.inked.push((at.0 + radius_mm * x, at.1 + radius_mm * y));
        }
    }

    /// A cross.
    pub fn cross(&mut self, at: At, arm_mm: f64, pen: Pen) {
        for turn in [1.0, -1.0] {
            self.line([(at.0 - arm_mm, at.1 - turn * arm_mm), (at.0 + arm_mm, at.1 + turn * arm_mm)], pen);
        }
    }

    /// A line of text, in its place whatever else is there; labels keep clear of it.
    pub fn text(&mut self, at: At, text: &str, colour: Colour, anchor: Anchor) {
        let text = Text { at, text: text.to_owned(), size_mm: TEXT_MM, colour, anchor, bold: false };
        self.items.push(Mark::Text(text));
    }

    /// A label that finds its own place near what it names.
    pub fn label(&mut self, label: Label) {
        let place = label.at;
        self.label_at_one_of(label, vec![place]);
    }

    /// A label that may name any of several places, instead of its own: it takes the clearest of them, of equals the first.
    pub fn label_at_one_of(&mut self, label: Label, mut places: Vec<At>) {
        places.retain(|at| at.0.is_finite() && at.1.is_finite());
        self.labels.push(LabelPlaces { label, places });
    }

    /// The figure as an SVG document; `None` if its writer failed, which one that writes to memory does not.
    #[must_use]
    pub fn svg(mut self) -> Option<String> {
        self.place_labels();
        let size = (units(WIDTH_MM), units(self.height_mm));
        let mut drawn = String::new();
        {
            let mut backend = SVGBackend::with_string(&mut drawn, (size.0.unsigned_abs(), size.1.unsigned_abs()));
            let white =
                ShapeStyle { color: RGBColor(PAPER.0, PAPER.1, PAPER.2).to_rgba(), filled: true, stroke_width: 0 };
            backend.draw_rect((0, 0), size, &white, true).ok()?;
            for item in &self.items {
                draw(&mut backend, item)?;
            }
            backend.present().ok()?;
        }
        let body = drawn.split_once('\n').map_or("", |(_, body)| body).replace("<text ", HALO);
        Some(format!(
            "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{WIDTH_MM}mm\" height=\"{:.2}mm\" viewBox=\"0 0 {} {}\" \
             role=\"img\">\n<title>{}</title>\n<desc>{}</desc>\n{body}",
            self.height_mm,
            size.0,
            size.1,
            escaped(&self.title),
            escaped(&self.description),
        ))
    }

    fn place_labels(&mut self) {
        let mut taken: Vec<PlotFrame> = self
            .items
            .iter()
            .filter_map(|item| match item {
                Mark::Text(text) => Some(text.frame()),
                _ => None,
            })
            .chain(self.kept_clear.iter().copied())
            .collect();
        let page = self.page();
        for label in std::mem::take(&mut self.labels) {
            let PlacedLabel { texts, leader, gap } = placed(&label, &page, &mut taken, &self.inked);
            if let Some(gap) = gap {
                self.block(&gap, PAPER);
            }
            if let Some((from, to)) = leader {
                // Labels that come later keep clear of it, as of all lines.
                self.ink(from, to, super::look::HAIR_MM);
                self.items.push(Mark::Line(vec![from, to], Pen::solid(SOFT, super::look::HAIR_MM)));
            }
            self.items.extend(texts.into_iter().map(Mark::Text));
        }
    }
}

fn units(mm: f64) -> i32 {
    (mm * UNITS_PER_MM).round() as i32
}

fn draw(backend: &mut SVGBackend<'_>, item: &Mark) -> Option<()> {
    let whole = |at: &At| (units(at.0), units(at.1));
    let shape = |colour: Colour, width_mm: f64, filled: bool| ShapeStyle {
        color: RGBColor(colour.0, colour.1, colour.2).to_rgba(),
        filled,
        stroke_width: units(width_mm).unsigned_abs(),
    };
    let drawn = match item {
        Mark::Line(points, pen) => backend.draw_path(points.iter().map(whole), &shape(pen.colour, pen.width_mm, false)),
        Mark::Area(points, colour) => backend.fill_polygon(points.iter().map(whole), &shape(*colour, 0.0, true)),
        Mark::Disc(at, radius_mm, colour) => {
            backend.draw_circle(whole(at), units(*radius_mm).unsigned_abs(), &shape(*colour, 0.0, true), true)
        }
        Mark::Ring(at, radius_mm, pen) => {
            let radius = units(*radius_mm).unsigned_abs();
            backend.draw_circle(whole(at), radius, &shape(PAPER, 0.0, true), true).ok()?;
            backend.draw_circle(whole(at), radius, &shape(pen.colour, pen.width_mm, false), false)
        }
        Mark::Text(text) => {
            let h_pos = match text.anchor {
                Anchor::Start => HPos::Left,
                Anchor::Middle => HPos::Center,
                Anchor::End => HPos::Right,
            };
            let weight = if text.bold { FontStyle::Bold } else { FontStyle::Normal };
            let font = (TYPEFACE, text.size_mm * UNITS_PER_MM * BACKEND_TYPE_FACTOR, weight).into_font();
            let ink = RGBColor(text.colour.0, text.colour.1, text.colour.2);
            let style = TextStyle::from(font).color(&ink).pos(Pos::new(h_pos, VPos::Center));
            backend.draw_text(&text.text, &style, whole(&text.at))
        }
    };
    drawn.ok()
}

/// A title without what XML cannot hold, cut to the sheet's width.
fn fitted(title: &str) -> String {
    let room = WIDTH_MM - 2.0 * MARGIN_MM;
    let mut text: String =
        title.chars().filter(|letter| !letter.is_control() && !matches!(letter, '\u{fffe}' | '\u{ffff}')).collect();
    if text_width_mm(&text, TITLE_MM, true) <= room {
        return text;
    }
    while text_width_mm(&text, TITLE_MM, true) > room - TITLE_MM && text.pop().is_some() {}
    text.push('\u{2026}');
    text
}

fn escaped(text: &str) -> String {
    text.replace('&', "&amp;").replace('<', "&lt;").replace('>', "&gt;")
}
