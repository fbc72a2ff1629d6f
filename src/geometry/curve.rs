//! The contact curve: the wheel advance at which a tooth meets a pallet, over the pallet angle.

use std::f64::consts::{FRAC_PI_2, PI, TAU};

use super::limits::Limits;
use super::near::Neighbourhood;
use super::outline::{Outline, Point};
use super::pair::{Angles, ContactPair, ContactPlace, Flank};
use super::primitive::primitives_of;

/// A stretch of a contact curve on which one tooth primitive touches one pallet primitive.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Piece {
    /// Lower end, rad.
    pub from_rad: f64,
    /// Upper end, rad.
    pub to_rad: f64,
    /// The touching pair.
    pub pair: ContactPair,
    /// Whether the wheel stands still along the piece (`F' = 0`).
    pub locked: bool,
    /// Sign of `a_t - b_t F'`: times the sign of `theta'` it is the direction in which the pallet slides along the tangent.
    pub slip: f64,
    /// Sign of `F'` inside the piece: times the sign of `theta'` it is the direction in which the wheel goes.
    pub climb: f64,
    /// Numbers of the touching tooth and pallet primitives, in the order of their outlines.
    pub features: (usize, usize),
}

/// Contact curve of one pallet for tooth no. 0; tooth no. `k` meets it `k` pitches later.
#[derive(Debug, Clone, PartialEq)]
pub struct ContactCurve {
    /// First obstacle that the advancing wheel meets (`F`), by rising pallet angle; gaps are angles at which it passes.
    pub front: Vec<Piece>,
    /// Last contact before the tooth is clear of the pallet: what a wheel turned back would meet.
    pub back: Vec<Piece>,
    /// Advance from which the turn is counted: tooth no. 0 points straight away from the pallet arbor.
    pub(super) window_start_rad: f64,
}

/// Largest pallet angle covered, either side. Anchors swing a fifth of this.
pub const COVERED_RAD: f64 = PI / 6.0;

/// Samples over the covered range; a piece shorter than a sample step is still found unless the same pair touches on
/// both sides of it.
const SAMPLES: usize = 240;

/// Samples for which the pairs that could touch are chosen together.
const BLOCK: usize = 6;

/// Width to which the ends of pieces are bisected, rad.
const END_ACCURACY_RAD: f64 = 2e-16;

/// Slope below which a piece counts as locked: over 2.5 degrees of swing the wheel creeps by less than 4.4e-5 rad, which a
/// train takes up by elastic yielding before most of its teeth slide back.
///
/// An estimate of ours: arbors of steel, 60 mm long, twist by 1 / (G J / l) = 0.09 rad a N m at 3 mm and 0.03 at 4 mm of diameter.
/// Behind a mesh of ratio 7.5 that is 56 times as much at the escape wheel, 1.7 rad a N m, behind two 3600 times, 40 and
/// more. To turn the friction of a mesh about takes twice its share, some 7 % of 1 mN m: 1e-4 rad for the second mesh, 3e-3 rad
/// for the third. The first alone, a quarter of the whole, gives way within some 1e-5 rad. Covers the rounding of a drawing too.
const LOCKED_SLOPE: f64 = 1e-3;

/// Why no contact curve exists.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
pub enum CurveError {
    /// The tooth passes under the pallet at every angle.
    #[error("the tooth never meets the pallet")]
    NeverTouches,
}

impl ContactCurve {
    /// The contact curve of `tooth` (no. 0, wheel frame) and `pallet` (front view at pallet angle 0), over the pendulum
    /// angle: the pallets stand `beat_error_rad` ahead of the pendulum.
    ///
    /// Closed-form contacts; ends of pieces to 2e-16 rad, to 1e-12 rad where grazing pairs change to and fro.
    ///
    /// # Errors
    /// [`CurveError::NeverTouches`] if the two are out of each other's reach.
    pub fn build(
        tooth: &Outline,
        pallet: &Outline,
        centre_distance_m: f64,
        beat_error_rad: f64,
    ) -> Result<Self, CurveError> {
        let arbor = Point::new(0.0, centre_distance_m);
        let pallet = if beat_error_rad == 0.0 { pallet.clone() } else { pallet.turned_about(arbor, beat_error_rad) };
        let pallet_primitives = primitives_of(&pallet);
        let tooth_primitives = primitives_of(tooth);
        let mut candidates = Vec::new();
        for (i, &tooth_primitive) in tooth_primitives.iter().enumerate() {
            for (j, &pallet_primitive) in pallet_primitives.iter().enumerate() {
                let pair = ContactPair::new(tooth_primitive, pallet_primitive, centre_distance_m);
                let limits = Limits::new(&tooth_primitive, &pallet_primitive, centre_distance_m);
                if let (Some(pair), Some(limits)) = (pair, limits) {
                    candidates.push(Candidate { features: (i, j), pair, limits });
                }
            }
        }
        let middle: Point =
            tooth.vertices().iter().map(|vertex| vertex.at).sum::<Point>() / tooth.vertices().len() as f64;
        // World angle of the tooth is its own minus phi; the turn starts where that is -90 degrees.
        let window_start_rad = middle.y.atan2(middle.x) - 3.0 * FRAC_PI_2;
        let search = ContactSearch {
            candidates,
            window_start: window_start_rad.sin_cos(),
            neighbourhood: Neighbourhood::of(&tooth_primitives, pallet_primitives, centre_distance_m),
        };
        let front = search.pieces(Flank::Front);
        if front.is_empty() {
            return Err(CurveError::NeverTouches);
        }
        let back = search.pieces(Flank::Back);
        Ok(Self { front, back, window_start_rad })
    }

    /// Wheel advance at which tooth no. 0 touches on `piece` at `theta_rad`; `None` past the piece's fold.
    #[must_use]
    pub fn advance_rad(&self, piece: &Piece, flank: Flank, theta_rad: f64) -> Option<f64> {
        let (sine, cosine) = piece.pair.touching_unchecked(flank, theta_rad.sin_cos())?;
        Some(wrapped(sine.atan2(cosine), self.window_start_rad))
    }

    /// Pieces of a flank, by rising pallet angle.
    #[must_use]
    pub fn pieces(&self, flank: Flank) -> &[Piece] {
        match flank {
            Flank::Front => &self.front,
            Flank::Back => &self.back,
        }
    }

    /// Index of a flank's piece at `theta_rad`; at a common end the one on the side of `towards` (+1 or -1).
    #[must_use]
    pub fn piece_at(&self, flank: Flank, theta_rad: f64, towards: f64) -> Option<usize> {
        piece_at(self.pieces(flank), theta_rad, towards)
    }

    /// Index of the front piece at `theta_rad`.
    #[must_use]
    pub fn front_piece_at(&self, theta_rad: f64, towards: f64) -> Option<usize> {
        self.piece_at(Flank::Front, theta_rad, towards)
    }

    /// Index of the back piece at `theta_rad`.
    #[must_use]
    pub fn back_piece_at(&self, theta_rad: f64, towards: f64) -> Option<usize> {
        self.piece_at(Flank::Back, theta_rad, towards)
    }

    /// Advance of the contact at `theta_rad`, or where the tooth passes there, at the nearest end of a piece; `None` only
    /// for a flank without any piece.
    #[must_use]
    pub fn nearest_advance_rad(&self, flank: Flank, theta_rad: f64, towards: f64) -> Option<f64> {
        let pieces = self.pieces(flank);
        if let Some(index) = piece_at(pieces, theta_rad, towards) {
            return self.advance_rad(&pieces[index], flank, theta_rad);
        }
        let ends = pieces.iter().flat_map(|piece| [(piece, piece.from_rad), (piece, piece.to_rad)]);
        let (piece, end) = ends.min_by(|a, b| (a.1 - theta_rad).abs().total_cmp(&(b.1 - theta_rad).abs()))?;
        self.advance_rad(piece, flank, end)
    }

    /// `F`, its derivatives and the lever arms at `theta_rad`; `None` where the tooth passes.
    #[must_use]
    pub fn front_at(&self, theta_rad: f64) -> Option<ContactPlace> {
        let piece = &self.front[self.piece_at(Flank::Front, theta_rad, 1.0)?];
        let phi_rad = self.advance_rad(piece, Flank::Front, theta_rad)?;
        Some(piece.pair.place(theta_rad, phi_rad))
    }

    /// Advance of the back contact at `theta_rad`; `None` where the tooth passes.
    #[must_use]
    pub fn back_advance_at(&self, theta_rad: f64) -> Option<f64> {
        let piece = &self.back[self.piece_at(Flank::Back, theta_rad, 1.0)?];
        self.advance_rad(piece, Flank::Back, theta_rad)
    }
}

fn piece_at(pieces: &[Piece], theta_rad: f64, towards: f64) -> Option<usize> {
    if towards >= 0.0 {
        pieces.iter().rposition(|piece| piece.from_rad <= theta_rad && theta_rad <= piece.to_rad)
    } else {
        pieces.iter().position(|piece| piece.from_rad <= theta_rad && theta_rad <= piece.to_rad)
    }
}

/// A number between 0 and 4 that grows with the angle of `(sine, cosine)`, both times any positive number, counted from that of `start`: the way along the
/// square on its corners instead of the circle.
#[inline]
fn turning_order((sine, cosine): (f64, f64), start: (f64, f64)) -> f64 {
    let x = cosine * start.1 + sine * start.0;
    let y = sine * start.1 - cosine * start.0;
    let along = x / (x.abs() + y.abs());
    if y >= 0.0 { 1.0 - along } else { 3.0 + along }
}

/// A pallet angle and the number of the pair that touches there.
type CurveSample = (f64, Option<usize>);

fn wrapped(angle_rad: f64, start_rad: f64) -> f64 {
    start_rad + (angle_rad - start_rad).rem_euclid(TAU)
}

/// A pair of primitives that may touch.
struct Candidate {
    /// Numbers of the tooth and pallet primitives.
    features: (usize, usize),
    pair: ContactPair,
    limits: Limits,
}

struct ContactSearch {
    candidates: Vec<Candidate>,
    /// Sine and cosine of the advance from which the turn is counted.
    window_start: (f64, f64),
    neighbourhood: Neighbourhood,
}

/// Width, rad, to which an end is bisected for between two pairs alone before all pairs are asked on both sides of it.
const NARROW_RAD: f64 = 1e-14;

/// Width, rad, below which pairs that change to and fro are not told apart: rounding where the tooth grazes an edge.
const GRAZING_RAD: f64 = 1e-12;

impl ContactSearch {
    /// Number of the pair out of `live` that the wheel meets first (front) or leaves last (back) at `theta_rad`; it is likely
    /// `hint`, which then spares the others the question whether their contact lies on both primitives.
    fn outermost(&self, live: &[usize], flank: Flank, theta_rad: f64, hint: Option<usize>) -> Option<usize> {
        self.outermost_of(hint.into_iter().chain(live.iter().copied()), flank, theta_rad.sin_cos())
    }

    /// Numbers of the pairs that could touch on a flank somewhere between two pallet angles.
    fn live(&self, flank: Flank, between_rad: (f64, f64)) -> Vec<usize> {
        let pallet_reach = self.neighbourhood.pallet_reach(between_rad);
        let could_touch =
            |candidate: &Candidate| self.neighbourhood.could_touch(flank, candidate.features, &pallet_reach);
        self.candidates.iter().enumerate().filter(|(_, one)| could_touch(one)).map(|(index, _)| index).collect()
    }

    /// The same by sine and cosine of the pallet angle.
    #[inline]
    fn outermost_of(&self, indices: impl Iterator<Item = usize>, flank: Flank, turn: (f64, f64)) -> Option<usize> {
        let mut best: Option<(f64, usize)> = None;
        for index in indices {
            let Candidate { pair, limits, .. } = &self.candidates[index];
            let Some((sine, cosine, size)) = pair.touching_unscaled(flank, turn) else { continue };
            let order = turning_order((sine, cosine), self.window_start);
            let key = if flank == Flank::Front { order } else { -order };
            let better = best.is_none_or(|(lowest, holder)| key < lowest || key == lowest && index < holder);
            if better && limits.hold(&Angles::from_parts(turn.1, turn.0, cosine / size, sine / size)) {
                best = Some((key, index));
            }
        }
        best.map(|(_, index)| index)
    }

    fn pieces(&self, flank: Flank) -> Vec<Piece> {
        let step = 2.0 * COVERED_RAD / SAMPLES as f64;
        let angle = |sample: usize| step * sample as f64 - COVERED_RAD;
        let mut ends = Vec::new();
        let mut first_owner = None;
        let mut last: Option<CurveSample> = None;
        for block in (0..SAMPLES).step_by(BLOCK) {
            let after = (block + BLOCK).min(SAMPLES);
            let live = self.live(flank, (angle(block), angle(after)));
            let mut low = last.unwrap_or_else(|| {
                first_owner = self.outermost(&live, flank, -COVERED_RAD, None);
                (-COVERED_RAD, first_owner)
            });
            for sample in block + 1..=after {
                let theta = angle(sample);
                let high = (theta, self.outermost(&live, flank, theta, low.1));
                self.find_ends(&live, flank, low, high, &mut ends);
                low = high;
            }
            last = Some(low);
        }
        let mut pieces = Vec::new();
        let mut start = (-COVERED_RAD, first_owner);
        ends.push((COVERED_RAD, None));
        for (theta, owner) in ends {
            if let Some(index) = start.1
                && theta > start.0
            {
                self.add_piece(flank, index, start.0, theta, &mut pieces);
            }
            start = (theta, owner);
        }
        pieces
    }

    /// Bisects between two neighbouring samples for every change of the touching pair.
    fn find_ends(
        &self,
        live: &[usize],
        flank: Flank,
        low: CurveSample,
        high: CurveSample,
        ends: &mut Vec<CurveSample>,
    ) {
        if low.1 == high.1 {
            return;
        }
        let (mut low, mut high) = (low, high);
        let mut finest = END_ACCURACY_RAD;
        if high.0 - low.0 > NARROW_RAD {
            match self.narrowed(live, flank, low, high) {
                Some(nearer) => (low, high) = nearer,
                None => finest = GRAZING_RAD,
            }
        }
        let middle = 0.5 * (low.0 + high.0);
        if high.0 - low.0 <= finest || middle <= low.0 || middle >= high.0 {
            // The end belongs to the side on which contact exists, so that a fold is never overstepped.
            let theta = if high.1.is_none() { low.0 } else { high.0 };
            ends.push((theta, high.1));
            return;
        }
        let between = (middle, self.outermost(live, flank, middle, low.1));
        self.find_ends(live, flank, low, between, ends);
        self.find_ends(live, flank, between, high, ends);
    }

    /// A narrow interval between the two pairs in which one gives way to the other, where no third pair is in play at its
    /// ends.
    fn narrowed(
        &self,
        live: &[usize],
        flank: Flank,
        low: CurveSample,
        high: CurveSample,
    ) -> Option<(CurveSample, CurveSample)> {
        let two = || low.1.into_iter().chain(high.1);
        let (mut from, mut to) = (low.0, high.0);
        while to - from > NARROW_RAD {
            let middle = 0.5 * (from + to);
            let owner = self.outermost_of(two(), flank, middle.sin_cos());
            if owner == low.1 {
                from = middle;
            } else if owner == high.1 {
                to = middle;
            } else {
                return None;
            }
        }
        let still = |theta: f64, owner: Option<usize>| self.outermost(live, flank, theta, owner) == owner;
        (still(from, low.1) && still(to, high.1)).then_some(((from, low.1), (to, high.1)))
    }

    /// Adds the stretch `[from, to]` of one pair, split where the sliding along the face or the wheel changes direction.
    fn add_piece(&self, flank: Flank, index: usize, from: f64, to: f64, pieces: &mut Vec<Piece>) {
        const SHARES: [f64; 10] = [0.001, 0.0625, 0.1875, 0.3125, 0.4375, 0.5625, 0.6875, 0.8125, 0.9375, 0.999];
        let Candidate { features, pair, .. } = self.candidates[index];
        // Speeds of the sliding and of the wheel per speed of the pallet.
        let speeds = |theta: f64| {
            let (sine, cosine) = pair.touching_unchecked(flank, theta.sin_cos())?;
            let place = pair.place(theta, sine.atan2(cosine));
            Some([place.tangent_arms_m.0 - place.tangent_arms_m.1 * place.slope, place.slope])
        };
        let checked: Vec<(f64, [f64; 2])> = SHARES
            .iter()
            .filter_map(|share| {
                let theta = from + (to - from) * share;
                Some((theta, speeds(theta)?))
            })
            .collect();
        let locked = checked.iter().all(|(_, [_, slope])| slope.abs() < LOCKED_SLOPE);
        let mut cuts = vec![from];
        for pair in checked.windows(2) {
            let mut here = Vec::new();
            for which in 0..if locked { 1 } else { 2 } {
                let ((mut a, before), (mut b, after)) = (pair[0], pair[1]);
                if before[which] * after[which] >= 0.0 {
                    continue;
                }
                while b - a > 1e-15 {
                    let middle = 0.5 * (a + b);
                    if middle <= a || middle >= b {
                        break;
                    }
                    match speeds(middle) {
                        Some(found) if found[which] * before[which] > 0.0 => a = middle,
                        _ => b = middle,
                    }
                }
                here.push(b);
            }
            here.sort_by(f64::total_cmp);
            here.dedup();
            cuts.extend(here);
        }
        cuts.push(to);
        for ends in cuts.windows(2) {
            let middle = 0.5 * (ends[0] + ends[1]);
            let [slip, climb] = speeds(middle).map_or([1.0, 1.0], |speeds| speeds.map(f64::signum));
            pieces.push(Piece { from_rad: ends[0], to_rad: ends[1], pair, locked, slip, climb, features });
        }
    }
}
