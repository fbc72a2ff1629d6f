//! Joins lines and arcs to closed outlines.
//!
//! Ends within the tolerance of a node belong to it; nodes are found by a grid of the tolerance's width, of which a cell
//! holds only a few nodes because they are further apart than the tolerance.

use std::collections::HashMap;

use crate::geometry::{Outline, OutlineError, Point, Vertex};
use crate::scenario::read::outline::MOST_EDGES;

use super::DrawnOutline;
use super::pieces::DrawnPiece;
use super::problem::DrawingProblems;

/// Open ends that are compared with each other; with more of them the drawing is told to be open as a whole.
const MOST_OPEN_ENDS: usize = 1000;

const HELP_CLOSE: &str = "close the chain, or give a larger `join`";

/// The closed outlines that the pieces of one layer make; none after a problem.
pub(super) fn outlines_of(
    pieces: &[DrawnPiece],
    layer: &str,
    join_m: f64,
    problems: &mut DrawingProblems,
) -> Vec<DrawnOutline> {
    let net = Net::of(pieces, join_m);
    if net.edges.is_empty() {
        let message = format!("nothing on layer \"{layer}\" is longer than {}, the tolerance of joining", mm(join_m));
        problems.add(pieces.first().map_or(0, |piece| piece.line), message, "give a smaller `join`");
        return Vec::new();
    }
    let branches = net.report_branches(problems);
    let gaps = net.report_gaps(layer, join_m, problems);
    if branches || gaps {
        return Vec::new();
    }
    net.rings().into_iter().filter_map(|ring| net.outline(&ring, problems)).collect()
}

/// A length in words.
fn mm(length_m: f64) -> String {
    format!("{} mm", rounded(length_m))
}

/// Millimetres with at most six decimals.
fn rounded(length_m: f64) -> f64 {
    // Adding zero makes -0 plain.
    (length_m * 1e9).round() / 1e6 + 0.0
}

fn place(point: Point) -> String {
    format!("({}, {}) mm", rounded(point.x), rounded(point.y))
}

/// A piece with the nodes at its ends.
struct DrawnEdge<'p> {
    piece: &'p DrawnPiece,
    ends: [usize; 2],
}

/// One end of an edge: 0 where it begins, 1 where it ends.
type EdgeEnd = (usize, usize);

struct Net<'p> {
    edges: Vec<DrawnEdge<'p>>,
    /// The edge ends at each node.
    nodes: Vec<Vec<EdgeEnd>>,
}

impl<'p> Net<'p> {
    /// Pieces that begin and end at the same node are left out.
    fn of(pieces: &'p [DrawnPiece], join_m: f64) -> Self {
        let mut grid = CellGrid { join_m, places: Vec::new(), cells: HashMap::new() };
        let mut edges = Vec::with_capacity(pieces.len());
        for piece in pieces {
            let ends = [grid.node(piece.from), grid.node(piece.to)];
            if ends[0] != ends[1] {
                edges.push(DrawnEdge { piece, ends });
            }
        }
        let mut nodes = vec![Vec::new(); grid.places.len()];
        for (number, edge) in edges.iter().enumerate() {
            nodes[edge.ends[0]].push((number, 0));
            nodes[edge.ends[1]].push((number, 1));
        }
        Self { edges, nodes }
    }

    fn point(&self, (edge, end): EdgeEnd) -> Point {
        let piece = self.edges[edge].piece;
        if end == 0 { piece.from } else { piece.to }
    }

    fn named(&self, edge: usize) -> String {
        let piece = self.edges[edge].piece;
        format!("{} of line {}", piece.kind, piece.line)
    }

    /// Reports nodes where more than two ends meet; whether there is one.
    fn report_branches(&self, problems: &mut DrawingProblems) -> bool {
        let mut any = false;
        for ends in self.nodes.iter().filter(|ends| ends.len() > 2) {
            any = true;
            let line = self.edges[ends[0].0].piece.line;
            if let Some((first, second)) = self.drawn_twice(ends) {
                let message = format!("{} and {} are the same, drawn twice", self.named(first), self.named(second));
                problems.add(self.edges[second].piece.line, message, "delete one of them");
                continue;
            }
            let names: Vec<String> = ends.iter().take(4).map(|&(edge, _)| self.named(edge)).collect();
            let at = place(self.point(ends[0]));
            let message = format!("{} ends meet at {at}: {}", ends.len(), names.join(", "));
            problems.add(line, message, "an outline is one closed chain; move what is not part of it to another layer");
        }
        any
    }

    /// Two edges with the same ends and the same bend, among the first few at a node.
    fn drawn_twice(&self, ends: &[EdgeEnd]) -> Option<(usize, usize)> {
        let ends = &ends[..ends.len().min(8)];
        let bend = |edge: usize, from: usize| {
            let bulge = self.edges[edge].piece.bulge;
            if from == 0 { bulge } else { -bulge }
        };
        for (place, &(first, begin)) in ends.iter().enumerate() {
            for &(second, other_begin) in &ends[place + 1..] {
                let same_way = self.edges[first].ends[1 - begin] == self.edges[second].ends[1 - other_begin];
                if first != second && same_way && (bend(first, begin) - bend(second, other_begin)).abs() < 1e-6 {
                    return Some((first, second));
                }
            }
        }
        None
    }

    /// Reports ends that meet no other, in pairs of the nearest; whether there is one.
    fn report_gaps(&self, layer: &str, join_m: f64, problems: &mut DrawingProblems) -> bool {
        let open: Vec<EdgeEnd> = self.nodes.iter().filter(|ends| ends.len() == 1).map(|ends| ends[0]).collect();
        if open.len() > MOST_OPEN_ENDS {
            let line = self.edges[open[0].0].piece.line;
            let message = format!("layer \"{layer}\" has {} open ends within {}", open.len(), mm(join_m));
            problems.add(line, message, HELP_CLOSE);
            return true;
        }
        let mut told = vec![false; open.len()];
        for (number, &end) in open.iter().enumerate() {
            if told[number] {
                continue;
            }
            told[number] = true;
            let apart = |other: usize| (self.point(open[other]) - self.point(end)).norm();
            // The other end of the same edge is the partner of a line that stands alone only.
            let rank = |&other: &usize| (told[other], open[other].0 == end.0);
            let Some(nearest) = (0..open.len())
                .filter(|&other| other != number)
                .min_by(|a, b| rank(a).cmp(&rank(b)).then(apart(*a).total_cmp(&apart(*b))))
            else {
                // A lone open end is a chain that leads into a branch, which has been told.
                let message =
                    format!("{} ends at {} without meeting anything", self.named(end.0), place(self.point(end)));
                problems.add(self.edges[end.0].piece.line, message, HELP_CLOSE);
                continue;
            };
            told[nearest] = true;
            let message = if open[nearest].0 == end.0 {
                format!("{} meets nothing and is not closed", self.named(end.0))
            } else {
                format!(
                    "a gap of {} between the ends of {} at {} and of {} at {}",
                    mm(apart(nearest)),
                    self.named(end.0),
                    place(self.point(end)),
                    self.named(open[nearest].0),
                    place(self.point(open[nearest])),
                )
            };
            problems.add(self.edges[end.0].piece.line, message, HELP_CLOSE);
        }
        !open.is_empty()
    }

    /// The rings of edges, each with the end it is entered by, where two ends meet at every node.
    fn rings(&self) -> Vec<Vec<EdgeEnd>> {
        let mut visited = vec![false; self.edges.len()];
        let mut rings = Vec::new();
        for start in 0..self.edges.len() {
            let mut ring = Vec::new();
            let (mut edge, mut entry) = (start, 0);
            while !visited[edge] {
                visited[edge] = true;
                ring.push((edge, entry));
                let node = self.edges[edge].ends[1 - entry];
                let Some(&next) = self.nodes[node].iter().find(|&&(other, _)| other != edge) else { break };
                (edge, entry) = next;
            }
            if !ring.is_empty() {
                rings.push(ring);
            }
        }
        rings
    }

    /// The outline of a ring; where two ends meet within the tolerance, halfway between them.
    fn outline(&self, ring: &[EdgeEnd], problems: &mut DrawingProblems) -> Option<DrawnOutline> {
        let line_of = |index: usize| self.edges[ring[index % ring.len()].0].piece.line;
        let line = line_of(0);
        if ring.len() > MOST_EDGES {
            let message = format!("the chain that begins here has {} lines and arcs", ring.len());
            problems.add(line, message, &format!("draw it with at most {MOST_EDGES}"));
            return None;
        }
        let vertices = ring
            .iter()
            .enumerate()
            .map(|(index, &(edge, entry))| {
                let (before, before_entry) = ring[(index + ring.len() - 1) % ring.len()];
                let (here, there) = (self.point((edge, entry)), self.point((before, 1 - before_entry)));
                let at = if here == there { here } else { 0.5 * (here + there) };
                let bulge = self.edges[edge].piece.bulge;
                Vertex { at, bulge: if entry == 0 { bulge } else { -bulge } }
            })
            .collect();
        let error = match Outline::new(vertices) {
            Ok(outline) => return Some(DrawnOutline { outline, line }),
            Err(error) => error,
        };
        let edge = |index: usize| self.named(ring[index % ring.len()].0);
        let (line, message, help) = match error {
            OutlineError::Crossing(first, second) => (
                line_of(first),
                format!("{} crosses {}", edge(first), edge(second)),
                "go round the outside of the shape once",
            ),
            OutlineError::FullTurn(index) => {
                (line_of(index), format!("{} bends by nearly a full turn", edge(index)), "split the arc")
            }
            OutlineError::EmptyEdge(index) => {
                (line_of(index), format!("{} has no length", edge(index)), "delete it, or draw it again")
            }
            OutlineError::NotFinite(index) => {
                (line_of(index), format!("{} has a number that is not finite", edge(index)), "draw it again")
            }
            OutlineError::TooFewEdges(_) | OutlineError::NoArea => (
                line,
                format!("the chain that begins here is not an outline: {error}"),
                "draw the outside of the shape",
            ),
        };
        problems.add(line, message, help);
        None
    }
}

/// Nodes by the cell of a square grid.
struct CellGrid {
    join_m: f64,
    places: Vec<Point>,
    cells: HashMap<(i64, i64), Vec<usize>>,
}

impl CellGrid {
    /// The nearest node within the tolerance, or a new one.
    fn node(&mut self, at: Point) -> usize {
        // Coordinates of at most 10 m and tolerances from 1 nm leave the cells' numbers far inside 64 bits.
        let cell = ((at.x / self.join_m).floor() as i64, (at.y / self.join_m).floor() as i64);
        let mut nearest: Option<(f64, usize)> = None;
        for x in cell.0 - 1..=cell.0 + 1 {
            for y in cell.1 - 1..=cell.1 + 1 {
                for &node in self.cells.get(&(x, y)).map_or(&[][..], Vec::as_slice) {
                    let apart = (self.places[node] - at).norm();
                    if apart <= self.join_m && nearest.is_none_or(|(least, _)| apart < least) {
                        nearest = Some((apart, node));
                    }
                }
            }
        }
        if let Some((_, node)) = nearest {
            return node;
        }
        self.places.push(at);
        self.cells.entry(cell).or_default().push(self.places.len() - 1);
        self.places.len() - 1
    }
}
