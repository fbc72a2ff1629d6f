//! From the groups of a drawing to the lines and arcs of the layers asked for.

use std::collections::HashSet;

use super::MOST_PIECES;
use super::groups::{CodeGroup, End, Groups};
use super::pieces::{DrawnPiece, PieceKind, pieces_of};
use super::polyline::Heavy;
use super::problem::DrawingProblems;

/// Layers whose names are kept for suggestions.
const MOST_LAYERS: usize = 1000;

/// How a binary DXF file begins.
const BINARY: &[u8] = b"AutoCAD Binary DXF";

/// What a drawing holds for a request.
#[derive(Debug, Default)]
pub(super) struct Scan {
    /// `$INSUNITS` and its line.
    pub(super) unit_code: Option<(i64, usize)>,
    /// Lines and arcs in the drawing's unit.
    pub(super) pieces: Vec<DrawnPiece>,
    /// Whether anything stands on each layer asked for.
    pub(super) used: Vec<bool>,
    /// Layers with entities, in order of appearance.
    pub(super) layers_seen: Vec<String>,
    names: HashSet<Vec<u8>>,
    /// Entities on the layers asked for.
    entities: usize,
}

/// An entity with its groups.
#[derive(Debug, Default)]
pub(super) struct Entity<'t> {
    pub(super) name: &'t [u8],
    pub(super) line: usize,
    pub(super) groups: Vec<CodeGroup<'t>>,
    layer: Option<&'t [u8]>,
}

/// The scan of a drawing. `None` after a problem that makes the rest meaningless.
pub(super) fn scan(bytes: &[u8], wanted: &[&str], problems: &mut DrawingProblems) -> Option<Scan> {
    let bytes = bytes.strip_prefix(b"\xef\xbb\xbf").unwrap_or(bytes);
    if bytes.starts_with(BINARY) {
        let help = "save the drawing as DXF in ASCII";
        problems.add(0, "this is a binary DXF file, which is not read".to_owned(), help);
        return None;
    }
    let mut scan = Scan { used: vec![false; wanted.len()], ..Scan::default() };
    let mut groups = Groups::of(bytes);
    let mut sections = 0;
    let mut ended = true;
    while let Some(group) = groups.next() {
        if group.code != 0 || group.value != b"SECTION" {
            continue;
        }
        sections += 1;
        let Some(name) = groups.next() else { break };
        ended = match name.value {
            b"HEADER" => read_header(&mut groups, &mut scan, problems),
            b"ENTITIES" => read_entities(&mut groups, wanted, &mut scan, problems)?,
            _ => groups.any(|group| group.code == 0 && group.value == b"ENDSEC"),
        };
    }
    let help = "save the drawing again, as DXF in ASCII";
    match groups.end {
        End::NoCode(line) => {
            problems.add(line, "this line is not a DXF group code".to_owned(), help);
            return None;
        }
        End::Text if sections == 0 => {
            problems.add(0, "this is not a DXF file: it has no section".to_owned(), help);
            return None;
        }
        End::Text if !ended => {
            problems.add(groups.line(), "the drawing is cut short: its last section does not end".to_owned(), help);
            return None;
        }
        End::Text => {}
    }
    Some(scan)
}

/// Reads the header for the unit; whether the section ends.
fn read_header(groups: &mut Groups<'_>, scan: &mut Scan, problems: &mut DrawingProblems) -> bool {
    let mut is_unit = false;
    for group in groups {
        match group.code {
            0 if group.value == b"ENDSEC" => return true,
            9 => is_unit = group.value == b"$INSUNITS",
            70 if is_unit => match group.integer() {
                Some(code) => scan.unit_code = Some((code, group.line)),
                None => {
                    let message = format!("the drawing's unit ($INSUNITS) is \"{}\", not a number", group.text());
                    problems.add(group.line, message, "1 is inch, 4 mm, 5 cm, 6 m");
                }
            },
            _ => {}
        }
    }
    false
}

/// Reads the entities; whether the section ends, `None` where there are too many.
fn read_entities<'t>(
    groups: &mut Groups<'t>,
    wanted: &[&str],
    scan: &mut Scan,
    problems: &mut DrawingProblems,
) -> Option<bool> {
    let mut entity = Entity::default();
    let mut heavy: Option<Heavy> = None;
    for group in groups.by_ref() {
        if group.code == 0 {
            take(&entity, wanted, scan, &mut heavy, problems)?;
            if group.value == b"ENDSEC" {
                if let Some(open) = heavy {
                    open.finish(scan, problems);
                }
                return Some(true);
            }
            entity.name = group.value;
            entity.line = group.line;
            entity.groups.clear();
            entity.layer = None;
        } else if group.code == 8 {
            entity.layer = Some(group.value);
            let of_a_wanted_layer = wanted.iter().any(|layer| same_layer(layer, group.value));
            if !of_a_wanted_layer && entity.name != b"VERTEX" {
                entity.groups.clear();
            }
        } else if group.code != 999 && (entity.groups.len() < 8 * MOST_PIECES) && keeps(&entity, wanted) {
            entity.groups.push(group);
        }
    }
    Some(false)
}

/// Whether the groups of an entity may matter: its layer is one of those asked for, or not told yet.
fn keeps(entity: &Entity<'_>, wanted: &[&str]) -> bool {
    entity.name == b"VERTEX" || entity.layer.is_none_or(|name| wanted.iter().any(|layer| same_layer(layer, name)))
}

/// Adds an entity that has been read to the end. `None` where there are too many pieces.
fn take(
    entity: &Entity<'_>,
    wanted: &[&str],
    scan: &mut Scan,
    heavy: &mut Option<Heavy>,
    problems: &mut DrawingProblems,
) -> Option<()> {
    match entity.name {
        b"" => return Some(()),
        b"VERTEX" => {
            if let Some(open) = heavy {
                open.add_vertex(entity, problems);
                return within_limit(scan.pieces.len() + open.len(), entity.line, problems);
            }
            return Some(());
        }
        b"SEQEND" => {
            if let Some(open) = heavy.take() {
                open.finish(scan, problems);
            }
            return within_limit(scan.pieces.len(), entity.line, problems);
        }
        _ => {}
    }
    if let Some(open) = heavy.take() {
        open.finish(scan, problems);
    }
    // Group 67 set: on the paper, not in the model.
    if entity.groups.iter().any(|group| group.code == 67 && group.integer() == Some(1)) {
        *heavy = (entity.name == b"POLYLINE").then(Heavy::ignored);
        return Some(());
    }
    let layer = entity.layer.unwrap_or(b"0");
    scan.see(layer);
    let Some(number) = wanted.iter().position(|name| same_layer(name, layer)) else {
        *heavy = (entity.name == b"POLYLINE").then(Heavy::ignored);
        return Some(());
    };
    scan.used[number] = true;
    scan.entities += 1;
    if entity.name == b"POLYLINE" {
        *heavy = Some(Heavy::of(entity, number, problems));
    } else {
        scan.pieces.extend(pieces_of(entity, number, wanted[number], problems));
    }
    within_limit(scan.pieces.len().max(scan.entities), entity.line, problems)
}

fn within_limit(pieces: usize, line: usize, problems: &mut DrawingProblems) -> Option<()> {
    if pieces <= MOST_PIECES {
        return Some(());
    }
    let message = format!("the layers asked for hold more than {MOST_PIECES} lines, arcs and other entities");
    problems.add(line, message, "a tooth and two pallets have a few dozen; put them on layers of their own");
    None
}

impl Scan {
    fn see(&mut self, layer: &[u8]) {
        if self.layers_seen.len() < MOST_LAYERS && !self.names.contains(layer) {
            self.names.insert(layer.to_vec());
            self.layers_seen.push(String::from_utf8_lossy(layer).into_owned());
        }
    }
}

/// Names of layers are the same whatever the case of their letters.
fn same_layer(wanted: &str, name: &[u8]) -> bool {
    wanted.as_bytes().eq_ignore_ascii_case(name)
        || std::str::from_utf8(name).is_ok_and(|name| !name.is_ascii() && name.to_lowercase() == wanted.to_lowercase())
}

impl Entity<'_> {
    /// The kind of entity, for pieces and messages.
    pub(super) fn kind(&self) -> Option<PieceKind> {
        match self.name {
            b"LINE" => Some(PieceKind::Line),
            b"ARC" => Some(PieceKind::Arc),
            b"CIRCLE" => Some(PieceKind::Circle),
            b"LWPOLYLINE" => Some(PieceKind::LightPolyline),
            b"POLYLINE" => Some(PieceKind::Polyline),
            _ => None,
        }
    }
}
