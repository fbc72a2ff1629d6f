//! A broken line as the pieces of it that are drawn.

use super::sheet::At;

/// Pieces of a line that are drawn, `pattern` giving lengths on and off in turn.
pub(super) fn dashes(points: &[At], pattern: &[f64]) -> Vec<Vec<At>> {
    let mut pieces = Vec::new();
    let mut here = points[0];
    let mut piece = vec![here];
    let (mut phase, mut left) = (0, pattern[0]);
    for &next in &points[1..] {
        loop {
            let way = (next.0 - here.0).hypot(next.1 - here.1);
            let on = phase % 2 == 0;
            if way <= left {
                left -= way;
                here = next;
                if on {
                    piece.push(here);
                }
                break;
            }
            let share = left / way;
            here = (here.0 + share * (next.0 - here.0), here.1 + share * (next.1 - here.1));
            if on {
                piece.push(here);
                pieces.push(std::mem::take(&mut piece));
            } else {
                piece = vec![here];
            }
            phase = (phase + 1) % pattern.len();
            left = pattern[phase];
        }
    }
    if piece.len() > 1 {
        pieces.push(piece);
    }
    pieces
}
