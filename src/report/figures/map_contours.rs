//! Lines of equal value through a grid of numbers, some of which may be missing.

use std::collections::HashMap;

/// A place in the units of the axes.
type ContourPoint = (f64, f64);

/// Lines along which a quantity has the value `level`: cells of four neighbours, straight within a cell. `value` gives the number
/// at (x index, y index); cells with a missing corner are left out.
pub(super) fn contour(
    xs: &[f64],
    ys: &[f64],
    value: impl Fn(usize, usize) -> Option<f64>,
    level: f64,
) -> Vec<Vec<ContourPoint>> {
    let mut pieces: Vec<[(usize, ContourPoint); 2]> = Vec::new();
    for x in 1..xs.len() {
        for y in 1..ys.len() {
            let corners = [(x - 1, y - 1), (x, y - 1), (x, y), (x - 1, y)];
            let Some(values) = corners.iter().map(|&(x, y)| value(x, y)).collect::<Option<Vec<f64>>>() else {
                continue;
            };
            let mut crossings = Vec::new();
            for side in 0..4 {
                let (a, b) = (side, (side + 1) % 4);
                if (values[a] < level) == (values[b] < level) {
                    continue;
                }
                let share = (level - values[a]) / (values[b] - values[a]);
                let (from, to) = (corners[a], corners[b]);
                let between = |from: f64, to: f64| from + share * (to - from);
                let at = (between(xs[from.0], xs[to.0]), between(ys[from.1], ys[to.1]));
                // A side has one name, from whichever of its two cells it is seen.
                let low = (from.0.min(to.0), from.1.min(to.1));
                let name = 2 * (low.0 * ys.len() + low.1) + usize::from(from.0 == to.0);
                crossings.push((name, at));
            }
            for pair in crossings.chunks_exact(2) {
                pieces.push([pair[0], pair[1]]);
            }
        }
    }
    chained(&pieces)
}

/// Pieces joined where they share an end.
fn chained(pieces: &[[(usize, ContourPoint); 2]]) -> Vec<Vec<ContourPoint>> {
    let mut ends: HashMap<usize, Vec<usize>> = HashMap::new();
    for (number, piece) in pieces.iter().enumerate() {
        for end in piece {
            ends.entry(end.0).or_default().push(number);
        }
    }
    let mut used = vec![false; pieces.len()];
    let mut lines = Vec::new();
    for first in 0..pieces.len() {
        if used[first] {
            continue;
        }
        used[first] = true;
        let mut halves: [Vec<(usize, ContourPoint)>; 2] = [vec![pieces[first][0]], vec![pieces[first][1]]];
        for half in &mut halves {
            while let Some(&(name, _)) = half.last()
                && let Some(next) = ends.get(&name).and_then(|found| found.iter().copied().find(|&piece| !used[piece]))
            {
                used[next] = true;
                let piece = pieces[next];
                half.push(if piece[0].0 == name { piece[1] } else { piece[0] });
            }
        }
        let [back, forth] = halves;
        lines.push(back.into_iter().rev().chain(forth).map(|end| end.1).collect());
    }
    lines
}

/// About `count` round values between two numbers.
pub(super) fn levels(low: f64, high: f64, count: f64) -> (Vec<f64>, usize) {
    let raw = (high - low) / count;
    if !(raw > 1e-9 * low.abs().max(high.abs())) {
        return (Vec::new(), 0);
    }
    let power = 10f64.powf(raw.log10().floor());
    let step =
        [1.0, 2.0, 5.0, 10.0].into_iter().map(|lead| lead * power).find(|step| *step >= 0.999 * raw).unwrap_or(raw);
    let decimals = (-(step.log10() + 1e-9).floor()).clamp(0.0, 9.0) as usize;
    let first = (low / step).ceil();
    let count = ((high / step).floor() - first).clamp(0.0, 30.0) as usize;
    ((0..=count).map(|number| (first + number as f64) * step).filter(|level| *level <= high).collect(), decimals)
}
