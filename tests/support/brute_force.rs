//! Slow escapement of polygons: the wheel is advanced until a tooth overlaps a pallet. Shares nothing with the crate but the outlines.

use beatwright::clock::escapement::EscapementOutlines;
use beatwright::clock::side::Side;
use beatwright::geometry::Point;

use super::polygons::{apart, bounds, edges, overlap, segments_cross, turned_point};

/// Chord error of the polygons, m.
const SAGITTA_M: f64 = 1e-8;
/// Step in which the wheel looks for an obstacle, rad: a tenth of a millimetre at most, less than any pallet is thick.
const LOOK_RAD: f64 = 1e-3;

pub struct Brute {
    teeth: u32,
    arbor: Point,
    /// Radius of the wheel's body below the teeth.
    root_m: f64,
    tooth: Vec<Point>,
    pallets: [(Side, Vec<Point>); 2],
}

/// Wheel place and the pallet that stops it there.
#[derive(Debug, Clone, Copy)]
pub struct Rest {
    pub phi_rad: f64,
    pub pallet: Side,
}

impl Brute {
    pub fn new(outlines: &EscapementOutlines) -> Self {
        let tooth = outlines.tooth.polyline(SAGITTA_M);
        Self {
            root_m: tooth.iter().map(|p| p.norm()).fold(f64::INFINITY, f64::min),
            tooth,
            teeth: outlines.teeth,
            arbor: Point::new(0.0, outlines.centre_distance_m),
            pallets: [
                (Side::Entry, outlines.pallets.entry.polyline(SAGITTA_M)),
                (Side::Exit, outlines.pallets.exit.polyline(SAGITTA_M)),
            ],
        }
    }

    /// The same for pins, which stand out of the wheel's plane: its body stops no pallet.
    pub fn of_pins(outlines: &EscapementOutlines) -> Self {
        Self { root_m: 0.0, ..Self::new(outlines) }
    }

    fn pallets_at(&self, theta_rad: f64) -> Vec<(Side, Vec<Point>)> {
        let turn = |points: &Vec<Point>| points.iter().map(|&p| turned_point(p, self.arbor, theta_rad)).collect();
        self.pallets.iter().map(|(side, points)| (*side, turn(points))).collect()
    }

    fn teeth_at(&self, phi_rad: f64) -> Vec<Vec<Point>> {
        (0..self.teeth)
            .map(|k| {
                let angle = -(phi_rad + f64::from(k) * self.pitch_rad());
                self.tooth.iter().map(|&p| turned_point(p, Point::zeros(), angle)).collect()
            })
            .collect()
    }

    pub fn pitch_rad(&self) -> f64 {
        std::f64::consts::TAU / f64::from(self.teeth)
    }

    /// The pallet that any tooth of the whole wheel overlaps.
    fn hit(&self, pallets: &[(Side, Vec<Point>)], phi_rad: f64) -> Option<Side> {
        let teeth = self.teeth_at(phi_rad);
        let in_root = |pallet: &[Point]| pallet.iter().any(|p| p.norm() < self.root_m);
        let taken = |pallet: &[Point]| teeth.iter().any(|tooth| overlap(tooth, pallet)) || in_root(pallet);
        pallets.iter().find(|(_, pallet)| taken(pallet)).map(|(side, _)| *side)
    }

    /// The pallet overlapped at `to_rad` or cut by the path of a tip corner from `from_rad` there: near its release a corner
    /// crosses less of a pallet than any step is long.
    fn stopped(&self, pallets: &[(Side, Vec<Point>)], from_rad: f64, to_rad: f64) -> Option<Side> {
        let (from, to) = (self.teeth_at(from_rad), self.teeth_at(to_rad));
        let cut = |pallet: &[Point]| {
            let box_pallet = bounds(pallet);
            from.iter().zip(&to).any(|(a, b)| {
                !apart(box_pallet, bounds(&[a[0], b[0]]))
                    && edges(pallet).any(|(c, d)| segments_cross(a[0], b[0], c, d))
            })
        };
        self.hit(pallets, to_rad).or(pallets.iter().find(|(_, pallet)| cut(pallet)).map(|(side, _)| *side))
    }

    /// Where the wheel comes to rest, from `from_rad` (pushed back first if that place is taken).
    pub fn settle(&self, theta_rad: f64, from_rad: f64) -> Option<Rest> {
        let pallets = self.pallets_at(theta_rad);
        let looks = (1.2 * self.pitch_rad() / LOOK_RAD) as u32;
        let mut free = from_rad;
        // Pushed back: a free place behind, by steps that grow from far below a pallet's thickness.
        let mut back_rad = 1e-9;
        while self.hit(&pallets, free).is_some() {
            if back_rad > self.pitch_rad() {
                return None;
            }
            free = from_rad - back_rad;
            back_rad *= 2.0;
        }
        let mut found = None;
        for _ in 0..looks {
            if let Some(pallet) = self.stopped(&pallets, free, free + LOOK_RAD) {
                found = Some((free + LOOK_RAD, pallet));
                break;
            }
            free += LOOK_RAD;
        }
        let (mut taken, mut pallet) = found?;
        while taken - free > 1e-12 {
            let middle = 0.5 * (free + taken);
            match self.stopped(&pallets, free, middle) {
                Some(side) => (taken, pallet) = (middle, side),
                None => free = middle,
            }
        }
        Some(Rest { phi_rad: free, pallet })
    }

    /// Where the wheel comes to rest at `to_rad`, from `rest` at `from_rad`. A pallet that comes in behind a tooth which the other one
    /// lets forward would take the old place, if the step were longer than the clearance there, and push the wheel back on its wrong
    /// side: then the step is halved.
    pub fn follow(&self, from_rad: f64, rest: Rest, to_rad: f64) -> Option<Rest> {
        let taken = self.hit(&self.pallets_at(to_rad), rest.phi_rad);
        if taken.is_none_or(|pallet| pallet == rest.pallet) || (to_rad - from_rad).abs() < 1e-9 {
            return self.settle(to_rad, rest.phi_rad);
        }
        let middle_rad = 0.5 * (from_rad + to_rad);
        self.follow(middle_rad, self.follow(from_rad, rest, middle_rad)?, to_rad)
    }

    /// A place of the wheel, within a pitch of `near_rad`, that no pallet takes.
    pub fn free_place(&self, theta_rad: f64, near_rad: f64) -> Option<f64> {
        let pallets = self.pallets_at(theta_rad);
        (0..200)
            .map(|k| near_rad - f64::from(k) / 200.0 * self.pitch_rad())
            .find(|&phi| self.hit(&pallets, phi).is_none())
    }

    /// Whether one tooth's front tip corner, and no other tooth, runs into a pallet when the wheel at rest is pushed on by `push_rad`.
    ///
    /// If anything else stopped the wheel, its tip would stand clear of the pallet and stay so. Where the pushed tooth overlaps
    /// proves less: a front that leans just enough to clear a round locking face is nearer to it below the tip than the push is
    /// long, and a corner of the polygon may lie there.
    pub fn stands_on_tip(&self, theta_rad: f64, phi_rad: f64, push_rad: f64) -> bool {
        let pallets = self.pallets_at(theta_rad);
        let mut tips = 0;
        for (rest, pushed) in self.teeth_at(phi_rad).iter().zip(&self.teeth_at(phi_rad + push_rad)) {
            for (_, pallet) in &pallets {
                // The way of the tip, because near its release the push may take it through the pallet's corner.
                if edges(pallet).any(|(c, d)| segments_cross(rest[0], pushed[0], c, d)) {
                    tips += 1;
                } else if overlap(pushed, pallet) {
                    return false;
                }
            }
        }
        tips == 1
    }
}

/// Middle of two values of theta between which `after` becomes true, to 1e-12 rad.
pub fn bisect(mut before: f64, mut behind: f64, after: impl Fn(f64) -> bool) -> f64 {
    while (behind - before).abs() > 1e-12 {
        let middle = 0.5 * (before + behind);
        if after(middle) { behind = middle } else { before = middle }
    }
    0.5 * (before + behind)
}
