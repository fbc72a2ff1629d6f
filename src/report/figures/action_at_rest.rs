//! The action without a motion: contact curves of both pallets with lock, lift, drop and recoil dimensioned.

use std::f64::consts::TAU;

use crate::clock::build::Built;
use crate::clock::environment::InRoom;
use crate::clock::escapement::action::PalletAction;
use crate::clock::escapement::clearances::Margins;
use crate::report::canvas::labels::Label;
use crate::report::canvas::look::{Colour, DOTTED, ENTRY, EXIT, HAIR_MM, INK, Pen, SOFT, THIN_MM, fixed};
use crate::report::canvas::panel::Panel;
use crate::report::canvas::sheet::Sheet;
use crate::report::clearances;
use crate::study::portrait::ActionCurves;

use super::action::{name_curves, stage};
use super::{Drawn, Figure, finished};

/// Height of the dimension lines below the curves and above them, in pitches.
const CHAIN_PITCHES: f64 = 0.16;

/// Half the length of an arrow, mm.
const ARROW_MM: f64 = 0.9;

/// The picture of the action with a swing to the start arc; `None` without pallets.
#[must_use]
pub fn draw_action_at_rest(
    design: &InRoom,
    built: &Built,
    curves: &ActionCurves,
    margins: Option<&Margins>,
) -> Option<Figure> {
    finished("action", drawn(design, built, curves, margins))
}

pub(super) fn drawn(design: &InRoom, built: &Built, curves: &ActionCurves, margins: Option<&Margins>) -> Drawn {
    let action = built.action?;
    let outlines = built.outlines.as_ref()?;
    let start_rad = design.start_arc_rad.unwrap_or_else(|| action.entry.landing_rad.abs());
    let recoil = built.recoil_rad(start_rad, start_rad)?;
    let pitch_rad = TAU / f64::from(outlines.teeth);
    let title = format!("{}: action of the pallets", design.name);
    let mut subtitle = match design.start_arc_rad {
        Some(arc) => format!("Slow swing to {}\u{b0}.", fixed(arc.to_degrees(), 2)),
        None => "Slow swing.".to_owned(),
    };
    if built.out_of_true.oval != 0.0 {
        subtitle.push_str(
            " The wheel is oval: tooth no. 0, along the grain,\nis drawn; the angles are those of the mean tooth.",
        );
    } else if !built.out_of_true.is_true() {
        subtitle.push_str(" The wheel runs out of true: tooth no. 0 is drawn.");
    }
    if let Some(margins) = margins {
        subtitle = format!(
            "{subtitle} Largest error (mm) in one dimension before the least is used up:\n{}",
            clearances::text::subtitle(margins)
        );
    }
    let mut sheet = Sheet::new(&title, &subtitle, 84.0);
    // Room for a line of text beyond the dimension lines, or for two.
    let recoils = recoil.values().any(|recoil| recoil.0 > 0.0);
    let room_rad = CHAIN_PITCHES * pitch_rad * if recoils { 2.2 } else { 1.6 };
    let panel = stage(&mut sheet, curves, [-room_rad, pitch_rad + room_rad]);
    let lowest = curves.curves[0].points.iter().map(|point| point.1).fold(0.0, f64::min);
    let tip_mm = 1e3 * outlines.tooth.farthest_m(crate::geometry::Point::zeros());
    let sides = [
        PalletPanel {
            action: action.entry,
            recoil_rad: recoil.entry,
            start_rad,
            curve: &curves.curves[0].points,
            next: &curves.curves[1].points,
            colour: ENTRY,
            chain_rad: lowest - CHAIN_PITCHES * pitch_rad,
            down: 1.0,
        },
        PalletPanel {
            action: action.exit,
            recoil_rad: recoil.exit,
            start_rad: -start_rad,
            curve: &curves.curves[1].points,
            next: &curves.curves[2].points,
            colour: EXIT,
            chain_rad: (1.0 + CHAIN_PITCHES) * pitch_rad,
            down: -1.0,
        },
    ];
    for side in &sides {
        side.draw_arcs(&mut sheet, &panel);
        side.draw_drop(&mut sheet, &panel, tip_mm);
    }
    name_curves(&mut sheet, &panel, curves);
    Some((title, sheet))
}

/// One pallet's part of the picture.
struct PalletPanel<'c> {
    action: PalletAction,
    recoil_rad: (f64, f64),
    start_rad: f64,
    curve: &'c [(f64, f64)],
    /// The curve on which the tooth falls that comes after.
    next: &'c [(f64, f64)],
    colour: Colour,
    /// Advance at which the dimension line is drawn.
    chain_rad: f64,
    /// 1 where that is below the curves, -1 above.
    down: f64,
}

impl PalletPanel<'_> {
    /// Lift, lock and what is beyond, end to end along one dimension line.
    fn draw_arcs(&self, sheet: &mut Sheet, panel: &Panel) {
        let action = &self.action;
        let outward = if action.landing_rad >= action.release_rad { 1.0 } else { -1.0 };
        let lifted_rad = action.release_rad + outward * action.lift_rad;
        let mut arcs = vec![(action.release_rad, lifted_rad, format!("lift {}", degrees(action.lift_rad)))];
        if action.lock_rad > 0.0 {
            arcs.push((lifted_rad, action.landing_rad, format!("lock {}", degrees(action.lock_rad))));
        }
        let mut beyond_from_rad = action.landing_rad;
        if action.lock_rad < 0.0 {
            beyond_from_rad -= outward * action.lock_rad;
            arcs.push((action.landing_rad, beyond_from_rad, format!("lock missed by {}", degrees(-action.lock_rad))));
        }
        let beyond_rad = (self.start_rad - beyond_from_rad) * outward;
        if self.recoil_rad.0 > 0.0 && action.lock_rad >= 0.0 {
            let (arc, back) = (degrees(self.recoil_rad.0), degrees(self.recoil_rad.1));
            arcs.push((action.landing_rad, self.start_rad, format!("recoil {arc},\nwheel back {back}")));
        } else if beyond_rad > 0.0 {
            arcs.push((beyond_from_rad, self.start_rad, format!("overswing {}", degrees(beyond_rad))));
        }
        let pen = Pen::solid(self.colour, HAIR_MM);
        let on_curve = |angle_rad: f64| height_at(self.curve, angle_rad).unwrap_or(self.chain_rad);
        let at = |angle_rad: f64, height_rad: f64| panel.at((angle_rad.to_degrees(), height_rad.to_degrees()));
        let ends = arcs.iter().flat_map(|arc| [arc.0, arc.1]);
        let mut ends: Vec<f64> = ends.collect();
        ends.dedup();
        for end in ends {
            let (from, to) = (at(end, on_curve(end)), at(end, self.chain_rad));
            sheet.line([from, (to.0, to.1 + self.down)], pen);
            sheet.disc(from, 0.5, self.colour);
        }
        for (from_rad, to_rad, text) in arcs {
            let (from, to) = (at(from_rad, self.chain_rad), at(to_rad, self.chain_rad));
            double_arrow(sheet, from, to, Pen::solid(self.colour, THIN_MM));
            let middle = (0.5 * (from.0 + to.0), from.1);
            let towards = (0.0, self.down);
            let colour = self.colour;
            sheet.label(Label { at: middle, text, colour, towards, within: panel.frame, leader: true });
        }
    }

    /// The wheel's free way from leaving this pallet to falling on the other.
    fn draw_drop(&self, sheet: &mut Sheet, panel: &Panel, tip_mm: f64) {
        let action = &self.action;
        let Some(leaves_rad) = height_at(self.curve, action.release_rad) else { return };
        let falls_rad = leaves_rad + action.drop_rad;
        let at = |height_rad: f64| panel.at((action.release_rad.to_degrees(), height_rad.to_degrees()));
        let (from, to) = (at(leaves_rad), at(falls_rad));
        sheet.line([from, to], Pen::solid(INK, THIN_MM).broken(DOTTED));
        if height_at(self.next, action.release_rad).is_some() {
            arrow_head(sheet, from, to, Pen::solid(INK, THIN_MM));
        }
        let along_mm = fixed(tip_mm * action.drop_rad, 2);
        let text = format!("drop {} =\n{along_mm} mm", degrees(action.drop_rad));
        let at = (from.0, 0.5 * (from.1 + to.1));
        let towards = (if action.release_rad < action.landing_rad { -1.0 } else { 1.0 }, 0.6);
        sheet.label(Label { at, text, colour: SOFT, towards, within: panel.frame, leader: true });
    }
}

fn degrees(angle_rad: f64) -> String {
    format!("{}\u{b0}", fixed(angle_rad.to_degrees(), 2))
}

/// Height of a curve at an angle, between its points.
fn height_at(points: &[(f64, f64)], angle_rad: f64) -> Option<f64> {
    let pair = points.windows(2).find(|pair| pair[0].0 <= angle_rad && angle_rad <= pair[1].0)?;
    let width = pair[1].0 - pair[0].0;
    let share = if width > 0.0 { (angle_rad - pair[0].0) / width } else { 0.0 };
    Some(pair[0].1 + share * (pair[1].1 - pair[0].1))
}

fn double_arrow(sheet: &mut Sheet, from: (f64, f64), to: (f64, f64), pen: Pen) {
    sheet.line([from, to], pen);
    arrow_head(sheet, from, to, pen);
    arrow_head(sheet, to, from, pen);
}

/// The head of an arrow to `to`; none where the arrow is too short for it.
fn arrow_head(sheet: &mut Sheet, from: (f64, f64), to: (f64, f64), pen: Pen) {
    let way = (to.0 - from.0, to.1 - from.1);
    let length = way.0.hypot(way.1);
    if length < 2.5 * ARROW_MM {
        return;
    }
    let along = (way.0 / length * ARROW_MM, way.1 / length * ARROW_MM);
    let across = (-0.4 * along.1, 0.4 * along.0);
    sheet.line(
        [
            (to.0 - along.0 + across.0, to.1 - along.1 + across.1),
            to,
            (to.0 - along.0 - across.0, to.1 - along.1 - across.1),
        ],
        pen,
    );
}
