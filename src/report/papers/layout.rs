//! Where the arbors stand, and what stands too close.

use crate::clock::train::neighbours::{Meeting, MovementLayout, Neighbours, StandingPart};
use crate::geometry::Point;

use super::PapersView;
use super::sheets::drill_plan;
use super::table::{CellKind, PaperCell, PaperTable};
use super::units::PaperUnits;

/// Pairs that are clear which are shown, the closest first.
const CLEAR_SHOWN: usize = 4;

/// What stands for no arbor of the train leads to none and has no level.
const NO_DIRECTION: PaperCell = PaperCell::Nothing(CellKind::Number("deg"));
const NO_LEVEL: PaperCell = PaperCell::Nothing(CellKind::Number(""));

/// Coordinates of all arbors and pillars.
pub(super) fn arbor_table(view: &PapersView<'_>, units: PaperUnits) -> Option<PaperTable> {
    let layout = view.papers.layout.as_ref()?;
    let train = view.design.train.as_ref()?;
    let place = |at: Point| [PaperCell::Length(at.x, 3), PaperCell::Length(at.y, 3)];
    let mut rows = Vec::new();
    for (index, (arbor, &at)) in train.arbors.iter().zip(&layout.arbors_m).enumerate() {
        let is_last = index + 1 == train.arbors.len();
        let leads_on = !is_last || layout.pallets_m.is_some();
        let direction = leads_on.then(|| arbor.next_direction_rad.to_degrees());
        let mut row = vec![PaperCell::Text(arbor.name.clone())];
        row.extend(place(at));
        row.push(PaperCell::number(direction, 2, "deg"));
        row.push(arbor.sizes.level.map_or(PaperCell::NotStated(CellKind::Number("")), PaperCell::Count));
        row.push(PaperCell::Length(arbor.across_m(), 2));
        rows.push(row);
    }
    if let Some(at) = layout.pallets_m {
        let mut row = vec![PaperCell::Text("pallets and pendulum's axis".to_owned())];
        row.extend(place(at));
        row.extend([NO_DIRECTION, NO_LEVEL, PaperCell::length(layout.pallet_arbor_m, 2)]);
        rows.push(row);
    }
    for (index, pillar) in view.design.plates.pillars.iter().enumerate() {
        let mut row = vec![PaperCell::Text(format!("pillar {}", index + 1))];
        row.extend(place(Point::new(pillar.right_m, pillar.up_m)));
        row.extend([NO_DIRECTION, NO_LEVEL, PaperCell::Length(pillar.diameter_m, 2)]);
        rows.push(row);
    }
    let columns = [
        ("arbor", "arbor"),
        ("right", "right"),
        ("up", "up"),
        ("next_direction", "next lies at"),
        ("level", "level"),
        ("diameter", "diameter"),
    ];
    Some(PaperTable::rows("layout", "Arbors on the plates", &columns, rows, layout_notes(view, layout, units)))
}

fn layout_notes(view: &PapersView<'_>, layout: &MovementLayout, units: PaperUnits) -> Vec<String> {
    let mut notes = vec![
        "Seen from the front, from the middle of the first arbor; directions anticlockwise from the right. Distances as designed, to drill."
            .to_owned(),
    ];
    if !layout.directions_stated {
        notes.push(
            "The scenario gives no directions (`next`): the train is laid out on a straight line upwards.".to_owned(),
        );
    }
    if layout.pallets_m.is_some() {
        notes.push(
            "In the model, pallets and pendulum turn about one axis: hang the pendulum in line with the pallet arbor."
                .to_owned(),
        );
    }
    if let Some(pendulum) = view.prediction.built.pendulum.as_ref().filter(|pendulum| pendulum.pivot_depth_m > 0.0) {
        notes.push(format!(
            "The pendulum turns {} below the clamp of its spring: put the lower edge of the clamp that far above the axis.",
            units.length(pendulum.pivot_depth_m, 2)
        ));
    }
    let mut missing = Vec::new();
    let plates = &view.design.plates;
    if plates.pillars.is_empty() {
        missing.push("pillars (`[[frame.pillar]]`)");
    }
    let arbors = || view.design.train.iter().flat_map(|train| &train.arbors);
    if arbors().any(|arbor| arbor.sizes.level.is_none()) {
        missing.push("the level of a wheel or more (`level` of its arbor)");
    }
    if arbors().any(|arbor| arbor.sizes.bore_m.is_none()) {
        missing.push("the diameter of an arbor or more between the plates (`bore`): there that of its pivot counts");
    }
    if layout.pallets_m.is_some() && layout.pallet_arbor_m.is_none() {
        missing.push("the diameter of the pallet arbor (`bore` of `[escapement.pallets]`): it counts as a point");
    }
    if !missing.is_empty() {
        notes.push(format!("Not stated: {}.", missing.join("; ")));
    }
    notes.extend(sheet_size(view, units));
    notes
}

/// How large a sheet of paper the drill plan needs.
fn sheet_size(view: &PapersView<'_>, units: PaperUnits) -> Option<String> {
    let sheet = drill_plan(view, units)?;
    let (wide_m, high_m) = sheet.size_m();
    Some(format!(
        "The drill plan is {} wide and {} high at full size: on smaller paper print it in tiles (as a poster), and measure its bar on each.",
        units.length(wide_m, 0),
        units.length(high_m, 0)
    ))
}

/// What collides, what may, and the closest of what is clear.
pub(super) fn neighbour_table(view: &PapersView<'_>) -> Option<PaperTable> {
    let layout = view.papers.layout.as_ref()?;
    let of = |meeting: Meeting| layout.neighbours.iter().filter(move |pair| pair.meeting == meeting);
    let shown = of(Meeting::Hit).chain(of(Meeting::LevelsNotStated)).chain(of(Meeting::Clear).take(CLEAR_SHOWN));
    let rows = shown.map(row).collect();
    let hits = of(Meeting::Hit).count();
    let found = match hits {
        0 => "No parts collide where levels are known.".to_owned(),
        1 => "One pair collides: move one of the two before you drill.".to_owned(),
        many => format!("{many} pairs collide: move them before you drill."),
    };
    let notes = vec![
        found,
        "Gaps are seen from the front, between tips as designed; what a printer adds is not counted. Arbors and pillars are taken to reach \
         from plate to plate. Not looked at: drum, cord, hands, and what swings."
            .to_owned(),
    ];
    let columns = [("one", "one"), ("other", "other"), ("gap", "gap"), ("meeting", "what it means")];
    Some(PaperTable::rows("clearances", "Clearances between parts", &columns, rows, notes))
}

fn row(pair: &Neighbours) -> Vec<PaperCell> {
    let meaning = match pair.meeting {
        Meeting::Hit => "COLLIDE",
        Meeting::LevelsNotStated => "overlap; level not stated: give them different levels",
        Meeting::Clear => "clear",
    };
    vec![
        PaperCell::Text(standing_part_name(&pair.one)),
        PaperCell::Text(standing_part_name(&pair.other)),
        PaperCell::Length(pair.gap_m, 2),
        PaperCell::Text(meaning.to_owned()),
    ]
}

fn standing_part_name(part: &StandingPart) -> String {
    match part {
        StandingPart::Wheel(arbor) => format!("{arbor} wheel"),
        StandingPart::Pinion(arbor) => format!("{arbor} pinion"),
        StandingPart::EscapeWheel => "escape wheel".to_owned(),
        StandingPart::Arbor(arbor) => format!("{arbor} arbor"),
        StandingPart::PalletArbor => "pallet arbor".to_owned(),
        StandingPart::Pillar(number) => format!("pillar {number}"),
    }
}
