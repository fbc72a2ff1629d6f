//! Contact curves over an angle that is behind the pallets' by a constant one.

use super::curve::{ContactCurve, Piece};

impl Piece {
    fn ahead(&self, angle_rad: f64) -> Self {
        Self {
            from_rad: self.from_rad - angle_rad,
            to_rad: self.to_rad - angle_rad,
            pair: self.pair.ahead(angle_rad),
            ..*self
        }
    }
}

impl ContactCurve {
    /// The same curve over an angle that is behind the one it is over by `angle_rad`. Pieces that meet still do.
    #[must_use]
    pub fn ahead(&self, angle_rad: f64) -> Self {
        let all = |pieces: &[Piece]| pieces.iter().map(|piece| piece.ahead(angle_rad)).collect();
        Self { front: all(&self.front), back: all(&self.back), window_start_rad: self.window_start_rad }
    }
}
