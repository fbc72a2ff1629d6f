//! Where one pallet stands against the teeth: the pending tooth, the piece of the contact curve, the gap.

use crate::clock::crutch_curves::Lean;
use crate::clock::mechanism::ContactEscapement;
use crate::clock::side::Side;
use crate::geometry::{Angles, ContactCurve, Flank, Piece, Trig};

use super::segment::State;

/// Gap by which a following piece may differ and still count as the same surface, m.
pub(super) const SAME_SURFACE_M: f64 = 1e-10;

/// The tracks of a motion: every pallet against the fronts of teeth, which it holds, and against their backs.
pub(super) const TRACKS: [(Side, Flank); 4] =
    [(Side::Entry, Flank::Front), (Side::Exit, Flank::Front), (Side::Entry, Flank::Back), (Side::Exit, Flank::Back)];

/// One flank of one pallet's contact curve with the tooth that counts for it.
#[derive(Debug, Clone, Copy)]
pub(super) struct Track<'m> {
    escapement: &'m ContactEscapement,
    pallet: Side,
    flank: Flank,
    pitch_rad: f64,
    /// Side of its play on which the crutch rests.
    lean: Lean,
    /// Number of the tooth that is counted as 0.
    base: i64,
    /// Piece at the pendulum's place; `None` where teeth pass.
    pub piece: Option<usize>,
    /// Tooth: on the front the next one to arrive, on the back the last one gone.
    pub tooth: i64,
    /// Sine and cosine of the tooth's place, and the tooth they are of.
    turned: (i64, (f64, f64)),
    /// Gap of the piece for that tooth.
    pub gap: Trig,
    /// How far below zero the gap may stand without being closed, m: the rounding with which two pieces meet, taken up
    /// where a tooth leaves the pallet or passes from piece to piece close by.
    pub slack_m: f64,
}

impl<'m> Track<'m> {
    pub fn new(escapement: &'m ContactEscapement, pallet: Side, flank: Flank, base: i64) -> Self {
        Self {
            escapement,
            pallet,
            flank,
            pitch_rad: escapement.pitch_rad(),
            lean: Lean::None,
            base,
            piece: None,
            tooth: 0,
            turned: (0, (0.0, 1.0)),
            gap: Trig::default(),
            slack_m: 0.0,
        }
    }

    fn curve_of(&self, tooth: i64) -> &'m ContactCurve {
        self.escapement.leaning_curve(self.lean, self.pallet, self.base + tooth)
    }

    /// Looks at the pallets as they stand on another side of the crutch's play; piece and tooth are to be found afresh.
    pub const fn set_lean(&mut self, lean: Lean) {
        self.lean = lean;
    }

    fn pieces_of(&self, tooth: i64) -> &'m [Piece] {
        self.curve_of(tooth).pieces(self.flank)
    }

    pub fn current(&self) -> Option<&'m Piece> {
        self.piece.map(|index| &self.pieces_of(self.tooth)[index])
    }

    /// Wheel advance at which the tooth that counts touches at `theta_rad`; `None` where teeth pass.
    pub fn advance_rad(&self, theta_rad: f64) -> Option<f64> {
        let advance = self.curve_of(self.tooth).advance_rad(self.current()?, self.flank, theta_rad)?;
        Some(advance + self.tooth as f64 * self.pitch_rad)
    }

    /// Finds piece and tooth afresh for a state.
    pub fn settle(&mut self, state: &State, towards: f64) {
        self.count_teeth(state, towards);
        self.piece = self.curve_of(self.tooth).piece_at(self.flank, state.theta_rad, towards);
        self.place_gap();
        self.slack_m = 0.0;
    }

    /// Moves to the piece that follows at `state`, an end of the current piece or of a gap between pieces.
    pub fn cross(&mut self, state: &State, towards: f64) {
        if self.piece.is_none() {
            self.count_teeth(state, towards);
        }
        let pieces = self.pieces_of(self.tooth);
        self.piece = self.curve_of(self.tooth).piece_at(self.flank, state.theta_rad, towards).filter(|&index| {
            let piece = &pieces[index];
            if towards >= 0.0 { piece.to_rad > state.theta_rad } else { piece.from_rad < state.theta_rad }
        });
        self.place_gap();
        self.take_up_slack(state);
    }

    /// Where teeth differ and the pallet is out of the way of them: the tooth that it would meet now.
    pub fn recount(&mut self, state: &State, towards: f64) {
        if self.piece.is_none() && self.escapement.teeth_differ() {
            self.cross(state, towards);
        }
    }

    /// Counts the gap at `state` as open: a tooth that leaves the surface starts from where it is.
    pub fn take_up_slack(&mut self, state: &State) {
        let gap = self.gap.value(&Angles::at(state.theta_rad, state.phi_rad));
        self.slack_m = if self.piece.is_some() && gap < 0.0 && gap > -SAME_SURFACE_M { -gap } else { 0.0 };
    }

    /// Rounding of the gap's value, m: its terms are the squares of lengths over a sum of radii, and a rounded tip on a corner
    /// makes them large.
    pub fn rounding_m(&self) -> f64 {
        4.0 * f64::EPSILON * self.gap.k.iter().map(|k| k.abs()).sum::<f64>()
    }

    /// The next end of the current piece, or start of a piece, in the direction of motion.
    pub fn next_end_rad(&self, theta_rad: f64, direction: f64) -> Option<f64> {
        if let Some(piece) = self.current() {
            return Some(if direction >= 0.0 { piece.to_rad } else { piece.from_rad });
        }
        let pieces = self.pieces_of(self.tooth);
        if direction >= 0.0 {
            pieces.iter().map(|piece| piece.from_rad).find(|&from| from >= theta_rad)
        } else {
            pieces.iter().rev().map(|piece| piece.to_rad).find(|&to| to <= theta_rad)
        }
    }

    /// A wheel turned on by one pitch less counts its teeth one lower.
    pub fn rebase_tooth_count(&mut self, pitches: i64) {
        self.tooth -= pitches;
        self.base += pitches;
        self.place_gap();
    }

    /// The tooth whose contact lies next ahead of the wheel (front) or next behind it (back): a tooth that the wheel has
    /// passed while the pallet was out of its way is past for good.
    fn count_teeth(&mut self, state: &State, towards: f64) {
        // Resting exactly on the contact counts as not yet past.
        const RESTING: f64 = 1e-10;
        let behind = |tooth: i64| {
            let advance = self.curve_of(tooth).nearest_advance_rad(self.flank, state.theta_rad, towards)?;
            Some((state.phi_rad - advance) / self.pitch_rad - tooth as f64)
        };
        let Some(guess) = behind(self.tooth) else { return };
        let (around, past): (i64, _) = match self.flank {
            Flank::Front => ((guess - RESTING).ceil() as i64, RESTING),
            Flank::Back => ((guess + RESTING).floor() as i64, -RESTING),
        };
        let mut tooth = self.tooth.saturating_add(around);
        if self.escapement.teeth_differ() {
            // Teeth out of place by less than a pitch: the right one is at most a neighbour.
            let arrives_later = |tooth: i64| behind(tooth).is_some_and(|pitches| pitches <= past);
            let candidates = [tooth - 1, tooth, tooth + 1];
            let found = match self.flank {
                Flank::Front => candidates.into_iter().find(|&tooth| arrives_later(tooth)),
                Flank::Back => candidates.into_iter().rev().find(|&tooth| !arrives_later(tooth)),
            };
            tooth = found.unwrap_or(tooth);
        }
        self.tooth = tooth;
    }

    /// Sine and cosine of the tooth's advance.
    pub fn turned(&self) -> (f64, f64) {
        self.turned.1
    }

    fn place_gap(&mut self) {
        if self.turned.0 != self.tooth {
            self.turned = (self.tooth, (self.tooth as f64 * self.pitch_rad).sin_cos());
        }
        if let Some(piece) = self.current() {
            self.gap = piece.pair.gap.behind(self.turned.1);
        }
    }
}
