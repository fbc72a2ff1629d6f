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

/// The numbers of a grid, x after x, carried on in straight lines to neighbours without one, two steps far: what is drawn between the last
/// point that has an answer and the solved line at which the answers end.
pub(super) fn carried_on(grid: &[Option<f64>], (xs, ys): (&[f64], &[f64])) -> Vec<Option<f64>> {
    let mut grid = grid.to_vec();
    for _ in 0..2 {
        let known = |x: Option<usize>, y: Option<usize>| {
            let (x, y) = (x.filter(|x| *x < xs.len())?, y.filter(|y| *y < ys.len())?);
            grid[x * ys.len() + y]
        };
        let line = |[near, far]: [Option<f64>; 2], [at, by, beyond]: [f64; 3]| {
            let (near, far) = (near?, far?);
            Some(near + (near - far) / (by - beyond) * (at - by))
        };
        let mut next = grid.clone();
        for x in 0..xs.len() {
            for y in 0..ys.len() {
                if grid[x * ys.len() + y].is_some() {
                    continue;
                }
                let mut found = Vec::new();
                for back in [true, false] {
                    let step = |from: usize, by: usize| if back { from.checked_sub(by) } else { Some(from + by) };
                    let place = |values: &[f64], from: usize| -> Option<[f64; 3]> {
                        Some([values[from], *values.get(step(from, 1)?)?, *values.get(step(from, 2)?)?])
                    };
                    let across = [known(step(x, 1), Some(y)), known(step(x, 2), Some(y))];
                    let along = [known(Some(x), step(y, 1)), known(Some(x), step(y, 2))];
                    found.extend(place(xs, x).and_then(|places| line(across, places)));
                    found.extend(place(ys, y).and_then(|places| line(along, places)));
                }
                if !found.is_empty() {
                    next[x * ys.len() + y] = Some(found.iter().sum::<f64>() / found.len() as f64);
                }
            }
        }
        grid = next;
    }
    grid
}

/// The pieces of a line at whose places `within` holds, their ends bisected. `pieces`: into how many a straight piece is cut to ask along it.
pub(super) fn kept(
    line: &[ContourPoint],
    pieces: impl Fn(ContourPoint, ContourPoint) -> usize,
    within: impl Fn(ContourPoint) -> bool,
) -> Vec<Vec<ContourPoint>> {
    let between = |a: ContourPoint, b: ContourPoint, share: f64| (a.0 + share * (b.0 - a.0), a.1 + share * (b.1 - a.1));
    let edge = |mut inside: ContourPoint, mut outside: ContourPoint| {
        for _ in 0..24 {
            let middle = between(inside, outside, 0.5);
            if within(middle) {
                inside = middle;
            } else {
                outside = middle;
            }
        }
        inside
    };
    let mut found: Vec<Vec<ContourPoint>> = Vec::new();
    let mut open = false;
    let mut last: Option<ContourPoint> = None;
    let places = line.windows(2).flat_map(|pair| {
        let count = pieces(pair[0], pair[1]).max(1);
        (0..count).map(move |number| between(pair[0], pair[1], number as f64 / count as f64))
    });
    for at in places.chain(line.last().copied()) {
        let here = within(at);
        match (open, here, last) {
            (true, true, _) => found.last_mut().into_iter().for_each(|piece| piece.push(at)),
            (true, false, Some(before)) => found.last_mut().into_iter().for_each(|piece| piece.push(edge(before, at))),
            (false, true, Some(before)) => found.push(vec![edge(at, before), at]),
            (false, true, None) => found.push(vec![at]),
            _ => {}
        }
        (open, last) = (here, Some(at));
    }
    found
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
