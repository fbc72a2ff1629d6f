//! Where one pallet stands against the teeth: the pending tooth, the piece of the contact curve, the gap.

use crate::geometry::{Angles, ContactCurve, Flank, Piece, Trig};

use super::flow::State;

/// Gap by which a following piece may differ and still count as the same surface, m.
pub(super) const SAME_SURFACE_M: f64 = 1e-10;

/// One flank of one pallet's contact curve with the tooth that counts for it.
#[derive(Debug, Clone, Copy)]
pub(super) struct Track<'m> {
    curve: &'m ContactCurve,
    flank: Flank,
    pitch_rad: f64,
    /// Piece at the pendulum's place; `None` where teeth pass.
    pub piece: Option<usize>,
    /// Tooth: on the front the next one to arrive, on the back the last one gone.
    pub tooth: i64,
    /// Gap of the piece for that tooth.
    pub gap: Trig,
    /// How far below zero the gap may stand without being closed, m: the rounding with which two pieces meet, taken up
    /// where a tooth leaves the pallet or passes from piece to piece close by.
    pub slack_m: f64,
}

impl<'m> Track<'m> {
    pub fn new(curve: &'m ContactCurve, flank: Flank, pitch_rad: f64) -> Self {
        Self { curve, flank, pitch_rad, piece: None, tooth: 0, gap: Trig::default(), slack_m: 0.0 }
    }

    pub fn pieces(&self) -> &'m [Piece] {
        match self.flank {
            Flank::Front => &self.curve.front,
            Flank::Back => &self.curve.back,
        }
    }

    pub fn current(&self) -> Option<&'m Piece> {
        self.piece.map(|index| &self.pieces()[index])
    }

    /// Wheel advance at which the tooth that counts touches at `theta_rad`; `None` where teeth pass.
    pub fn advance_rad(&self, theta_rad: f64) -> Option<f64> {
        Some(self.curve.advance_rad(self.current()?, self.flank, theta_rad)? + self.tooth as f64 * self.pitch_rad)
    }

    /// Finds piece and tooth afresh for a state.
    pub fn settle(&mut self, state: &State, towards: f64) {
        self.piece = match self.flank {
            Flank::Front => self.curve.front_piece_at(state.theta_rad, towards),
            Flank::Back => self.curve.back_piece_at(state.theta_rad, towards),
        };
        self.count_teeth(state);
        self.place_gap();
        self.slack_m = 0.0;
    }

    /// Moves to the piece that follows at `state`, an end of the current piece or of a gap between pieces.
    pub fn cross(&mut self, state: &State, towards: f64) {
        let entering = self.piece.is_none();
        self.piece = match self.flank {
            Flank::Front => self.curve.front_piece_at(state.theta_rad, towards),
            Flank::Back => self.curve.back_piece_at(state.theta_rad, towards),
        }
        .filter(|&index| {
            let piece = &self.pieces()[index];
            if towards >= 0.0 { piece.to_rad > state.theta_rad } else { piece.from_rad < state.theta_rad }
        });
        if entering {
            self.count_teeth(state);
        }
        self.place_gap();
        self.take_up_slack(state);
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
        if direction >= 0.0 {
            self.pieces().iter().map(|piece| piece.from_rad).find(|&from| from >= theta_rad)
        } else {
            self.pieces().iter().rev().map(|piece| piece.to_rad).find(|&to| to <= theta_rad)
        }
    }

    /// A wheel turned on by one pitch less counts its teeth one lower.
    pub fn forget_teeth(&mut self, pitches: i64) {
        self.tooth -= pitches;
        self.place_gap();
    }

    /// The tooth whose contact lies next ahead of the wheel (front) or next behind it (back): a tooth that the wheel has
    /// passed while the pallet was out of its way is past for good.
    fn count_teeth(&mut self, state: &State) {
        let Some(piece) = self.current() else { return };
        let Some(advance) = self.curve.advance_rad(piece, self.flank, state.theta_rad) else { return };
        let pitches = (state.phi_rad - advance) / self.pitch_rad;
        // Resting exactly on the contact counts as not yet past.
        const RESTING: f64 = 1e-10;
        self.tooth = match self.flank {
            Flank::Front => (pitches - RESTING).ceil() as i64,
            Flank::Back => (pitches + RESTING).floor() as i64,
        };
    }

    fn place_gap(&mut self) {
        if let Some(piece) = self.current() {
            self.gap = piece.pair.gap.behind_by(self.tooth as f64 * self.pitch_rad);
        }
    }
}
