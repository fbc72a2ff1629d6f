//! Names of a map's regions: within the region where the name fits, else beside it with a line to it.

use crate::report::canvas::labels::Label;
use crate::report::canvas::look::{INK, LINE_MM, TEXT_MM, text_width_mm, wrapped};
use crate::report::canvas::panel::Panel;
use crate::report::canvas::sheet::{At, PlotFrame, Sheet};
use crate::report::map::outcome_words;
use crate::study::map::Outcome;

use super::map_regions::Regions;

/// Side of the cells in which regions are looked for, mm.
const CELL_MM: f64 = 0.4;

/// Smallest area that gets a name, square millimetres.
const NAMED_MM2: f64 = 0.6;

/// Free space around a name within its region that is tried, mm.
const ROOM_MM: [f64; 4] = [3.0, 1.6, 0.8, 0.4];

/// Lines of text a name is broken into at most.
const MOST_LINES: usize = 3;

/// Side of the net of places beyond the stall that labels of the clocks that go had better not cover, cells.
const NET: usize = 4;

/// The panel in cells, and which region each belongs to.
struct Raster<'m> {
    origin: At,
    columns: usize,
    rows: usize,
    outcomes: Vec<Option<&'m Outcome>>,
    /// Number of the region, row after row.
    region: Vec<usize>,
}

/// Names the regions; those that keep going only with `name_going`. `free`: a place that names leave free.
pub(super) fn name_regions(
    sheet: &mut Sheet,
    panel: &Panel,
    regions: &Regions<'_>,
    name_going: bool,
    free: Option<At>,
) {
    let raster = Raster::of(panel, regions);
    let mut areas: Vec<Vec<usize>> = Vec::new();
    for (cell, &region) in raster.region.iter().enumerate() {
        if region >= areas.len() {
            areas.resize_with(region + 1, Vec::new);
        }
        areas[region].push(cell);
    }
    for (region, cells) in areas.iter().enumerate() {
        let Some(outcome) = cells.first().and_then(|&cell| raster.outcomes[cell]) else { continue };
        let going = *outcome == Outcome::KeepsGoing;
        let small = (cells.len() as f64) * CELL_MM * CELL_MM < NAMED_MM2;
        if small || (going && !name_going) {
            continue;
        }
        name_region(sheet, panel, &raster, (region, outcome_words(outcome)), free);
    }
    for row in (0..raster.rows).step_by(NET) {
        for column in (0..raster.columns).step_by(NET) {
            if raster.outcomes[row * raster.columns + column] != Some(&Outcome::KeepsGoing) {
                sheet.avoid(raster.middle(column, row));
            }
        }
    }
}

fn name_region(
    sheet: &mut Sheet,
    panel: &Panel,
    raster: &Raster<'_>,
    (region, words): (usize, &str),
    free: Option<At>,
) {
    let inside = raster.counts(region);
    for room in ROOM_MM {
        for lines in broken(words) {
            let width = lines.iter().map(|line| text_width_mm(line, TEXT_MM, false)).fold(0.0, f64::max);
            let size = (width + 2.0 * room, TEXT_MM + LINE_MM * (lines.len() - 1) as f64 + 2.0 * room);
            if let Some(frame) = raster.place_for(size, &inside, free) {
                let at = (0.5 * (frame.left + frame.right), 0.5 * (frame.top + frame.bottom));
                let (text, within) = (lines.join("\n"), frame.grown(-room));
                sheet.label(Label { at, text, colour: INK, towards: (0.0, -1.0), within, leader: false });
                return;
            }
        }
    }
    let at = raster.roomiest(region);
    sheet.disc(at, 0.35, INK);
    let (text, within) = (words.to_owned(), panel.frame);
    sheet.label(Label { at, text, colour: INK, towards: (0.7, -0.7), within, leader: true });
}

/// A name in one line, and in more.
fn broken(words: &str) -> Vec<Vec<String>> {
    let mut found = vec![vec![words.to_owned()]];
    let full = text_width_mm(words, TEXT_MM, false);
    for share in [0.7, 0.5, 0.3] {
        let lines = wrapped(words, share * full);
        if lines.len() <= MOST_LINES && !found.contains(&lines) {
            found.push(lines);
        }
    }
    found
}

impl<'m> Raster<'m> {
    fn of(panel: &Panel, regions: &Regions<'m>) -> Self {
        let frame = panel.frame;
        let count = |length: f64| ((length / CELL_MM).floor().max(1.0)) as usize;
        let (columns, rows) = (count(frame.width()), count(frame.height()));
        let mut raster =
            Self { origin: (frame.left, frame.top), columns, rows, outcomes: Vec::new(), region: Vec::new() };
        for row in 0..rows {
            for column in 0..columns {
                raster.outcomes.push(regions.outcome_at(panel.values_at(raster.middle(column, row))));
            }
        }
        raster.region = raster.connected();
        raster
    }

    /// The middle of a cell on the sheet.
    fn middle(&self, column: usize, row: usize) -> At {
        (self.origin.0 + CELL_MM * (column as f64 + 0.5), self.origin.1 + CELL_MM * (row as f64 + 0.5))
    }

    fn alike(&self, one: usize, other: usize) -> bool {
        match (self.outcomes[one], self.outcomes[other]) {
            (Some(one), Some(other)) => one.alike(other),
            (None, None) => true,
            _ => false,
        }
    }

    /// Number of the region of each cell: cells alike side by side.
    fn connected(&self) -> Vec<usize> {
        let mut region = vec![usize::MAX; self.outcomes.len()];
        let mut count = 0;
        for first in 0..region.len() {
            if region[first] != usize::MAX {
                continue;
            }
            region[first] = count;
            let mut open = vec![first];
            while let Some(cell) = open.pop() {
                let (row, column) = (cell / self.columns, cell % self.columns);
                let around = [
                    (column > 0).then(|| cell - 1),
                    (column + 1 < self.columns).then_some(cell + 1),
                    (row > 0).then(|| cell - self.columns),
                    (row + 1 < self.rows).then_some(cell + self.columns),
                ];
                for next in around.into_iter().flatten() {
                    if region[next] == usize::MAX && self.alike(cell, next) {
                        region[next] = count;
                        open.push(next);
                    }
                }
            }
            count += 1;
        }
        region
    }

    /// Cells of a region above and left of every corner of the cells.
    fn counts(&self, region: usize) -> Vec<u32> {
        let wide = self.columns + 1;
        let mut counts = vec![0; wide * (self.rows + 1)];
        for row in 0..self.rows {
            for column in 0..self.columns {
                let own = u32::from(self.region[row * self.columns + column] == region);
                counts[(row + 1) * wide + column + 1] =
                    own + counts[row * wide + column + 1] + counts[(row + 1) * wide + column]
                        - counts[row * wide + column];
            }
        }
        counts
    }

    /// Where a rectangle of that size lies wholly within the region, nearest to its middle.
    fn place_for(&self, size: (f64, f64), counts: &[u32], free: Option<At>) -> Option<PlotFrame> {
        let cells = |length: f64| (length / CELL_MM).ceil() as usize;
        let (across, down) = (cells(size.0), cells(size.1));
        let wide = self.columns + 1;
        let within = |column: usize, row: usize, across: usize, down: usize| {
            counts[(row + down) * wide + column + across] + counts[row * wide + column]
                - counts[row * wide + column + across]
                - counts[(row + down) * wide + column]
        };
        if across > self.columns || down > self.rows {
            return None;
        }
        let whole = (across * down) as u32;
        let mut places: Vec<(usize, usize)> = Vec::new();
        for row in 0..=self.rows - down {
            for column in 0..=self.columns - across {
                if within(column, row, across, down) == whole {
                    places.push((column, row));
                }
            }
        }
        let count = places.len() as f64;
        let mean = places.iter().fold((0.0, 0.0), |sum, place| (sum.0 + place.0 as f64, sum.1 + place.1 as f64));
        let frame = |&(column, row): &(usize, usize)| {
            let (left, top) = (self.origin.0 + CELL_MM * column as f64, self.origin.1 + CELL_MM * row as f64);
            PlotFrame { left, top, right: left + CELL_MM * across as f64, bottom: top + CELL_MM * down as f64 }
        };
        let off = |place: &(usize, usize)| (place.0 as f64 - mean.0 / count).hypot(place.1 as f64 - mean.1 / count);
        places
            .iter()
            .filter(|place| free.is_none_or(|free| !frame(place).grown(2.0).holds(free)))
            .min_by(|a, b| off(a).total_cmp(&off(b)))
            .map(frame)
    }

    /// The middle of the largest square within a region.
    fn roomiest(&self, region: usize) -> At {
        let mut side = vec![0_usize; self.region.len()];
        let mut best = (0, 0);
        for cell in 0..self.region.len() {
            if self.region[cell] != region {
                continue;
            }
            let (row, column) = (cell / self.columns, cell % self.columns);
            let before = |back: usize| side[cell - back];
            side[cell] = if row == 0 || column == 0 {
                1
            } else {
                1 + before(1).min(before(self.columns)).min(before(self.columns + 1))
            };
            if side[cell] > best.0 {
                best = (side[cell], cell);
            }
        }
        let (row, column) = (best.1 / self.columns, best.1 % self.columns);
        let back = 0.5 * CELL_MM * (best.0.max(1) - 1) as f64;
        let at = self.middle(column, row);
        (at.0 - back, at.1 - back)
    }
}
