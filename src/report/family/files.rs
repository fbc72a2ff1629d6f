//! A family of clocks as JSON and CSV.

use serde::Serialize;

use crate::answers::no_answer::NoAnswer;
use crate::clock::SECONDS_PER_DAY;
use crate::clock::escapement::action::Action;
use crate::clock::printing::bed::Footprint;
use crate::clock::printing::part_sizes::PartSize;
use crate::report::prediction::csv::{CsvTable, number as exact, optional, written};
use crate::report::prediction::json::Results;
use crate::report::provenance::Provenance;
use crate::report::room::LimitKeys;
use crate::report::words::no_answer::missing_in_words;
use crate::report::words::parts::part_name;
use crate::study::family::{ActionLengths, BedFit, Member, SizePoint, Smallest, Steps};
use crate::study::levers::answers::ClockAnswers;

use super::text::{ToldFamily, bed_in_words};

/// Lock and drop of entry and exit as lengths, mm.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct LengthsMm {
    /// Lock along the pallet, entry and exit.
    pub lock: [f64; 2],
    /// Drop of the wheel at its tips, leaving entry and exit.
    pub drop: [f64; 2],
}

/// Lock and drop as lengths; `None` for an ideal escapement.
#[must_use]
pub fn lengths_mm(action: Option<Action>, lengths: Option<ActionLengths>) -> Option<LengthsMm> {
    let (action, lengths) = (action?, lengths?);
    let pallets = [action.entry, action.exit];
    Some(LengthsMm {
        lock: pallets.map(|pallet| 1e3 * lengths.pallet_arm_m * pallet.lock_rad),
        drop: pallets.map(|pallet| 1e3 * lengths.tip_radius_m * pallet.drop_rad),
    })
}

#[derive(Debug, Clone, Serialize)]
struct PointKeys {
    keeps_going: bool,
    reason: Option<String>,
    semi_arc_deg: Option<f64>,
    rate_s_per_day: Option<f64>,
    least_drive: Option<f64>,
    drive_over_least: Option<f64>,
    run_time_days: Option<f64>,
}

impl PointKeys {
    fn of(point: Result<&ClockAnswers, &NoAnswer>) -> Self {
        let answers = point.map(|point| point.answers(None)).unwrap_or_default();
        let trouble = point.map_or_else(Some, |point| point.missing.as_ref());
        Self {
            keeps_going: trouble.is_none(),
            reason: trouble.map(missing_in_words),
            rate_s_per_day: answers[0],
            semi_arc_deg: answers[1].map(f64::to_degrees),
            least_drive: answers[2],
            drive_over_least: answers[3],
            run_time_days: answers[4].map(|run_s| run_s / SECONDS_PER_DAY),
        }
    }
}

#[derive(Debug, Clone, Serialize)]
struct SizeKeys {
    scale_all: f64,
    #[serde(flatten)]
    point: PointKeys,
    lengths_mm: Option<LengthsMm>,
    largest_part: Option<String>,
    largest_part_mm: Option<f64>,
}

impl SizeKeys {
    fn of(size: &SizePoint) -> Self {
        let found = size.found.as_ref();
        let largest = found.ok().and_then(|found| found.largest.as_ref());
        Self {
            scale_all: size.factor,
            point: PointKeys::of(found.map(|found| &found.point)),
            lengths_mm: found.ok().and_then(|found| lengths_mm(found.action, found.lengths)),
            largest_part: largest.map(|size| part_name(&size.part)),
            largest_part_mm: largest.map(|part| 1e3 * part.footprint.longest_m()),
        }
    }
}

#[derive(Debug, Clone, Serialize)]
struct StepKeys {
    taken_over: String,
    #[serde(flatten)]
    point: PointKeys,
}

#[derive(Debug, Clone, Serialize)]
struct PartKeys {
    name: String,
    sides_mm: [f64; 2],
    height_mm: Option<f64>,
    round: bool,
    in_one_piece: bool,
}

impl PartKeys {
    fn of(part: &PartSize) -> Self {
        let (sides_m, round) = match part.footprint {
            Footprint::Round(diameter_m) => ([diameter_m; 2], true),
            Footprint::Rectangle(one_m, other_m) => ([one_m, other_m], false),
        };
        Self {
            name: part_name(&part.part),
            sides_mm: sides_m.map(|side_m| 1e3 * side_m),
            height_mm: part.height_m.map(|height_m| 1e3 * height_m),
            round,
            in_one_piece: part.in_one_piece,
        }
    }
}

#[derive(Debug, Clone, Serialize)]
struct PartFitKeys {
    part: String,
    growth_that_fits: f64,
    largest_scale_all: Option<f64>,
}

#[derive(Debug, Clone, Serialize)]
struct BedKeys {
    bed: String,
    fits: bool,
    largest_scale_all: Option<f64>,
    limited_by: Option<String>,
    never_fit: Vec<String>,
    parts: Vec<PartFitKeys>,
}

impl BedKeys {
    fn of(fit: &BedFit, parts: &[PartSize]) -> Self {
        let name = |index: usize| part_name(&parts[index].part);
        let fits = fit.parts.iter().zip(parts).all(|(fit, part)| fit.growth >= 1.0 || !part.in_one_piece);
        Self {
            bed: bed_in_words(&fit.bed),
            fits,
            largest_scale_all: fit.largest,
            limited_by: fit.limiting.map(name),
            never_fit: fit.never.iter().copied().map(name).collect(),
            parts: (0..parts.len())
                .map(|index| PartFitKeys {
                    part: name(index),
                    growth_that_fits: fit.parts[index].growth,
                    largest_scale_all: fit.parts[index].largest,
                })
                .collect(),
        }
    }
}

#[derive(Debug, Clone, Serialize)]
struct SmallestKeys {
    scale_all: Option<f64>,
    in_every_size_tried: bool,
    below: Option<f64>,
    reason_below: Option<String>,
}

impl SmallestKeys {
    fn of(smallest: &Smallest) -> Self {
        let (scale_all, below, reason) = match smallest {
            Smallest::At { factor, below, reason } => (Some(*factor), Some(*below), Some(reason)),
            Smallest::Beyond(factor) => (Some(*factor), None, None),
            Smallest::NotAsItIs(reason) => (None, None, Some(reason)),
        };
        let in_every_size_tried = matches!(smallest, Smallest::Beyond(_));
        Self { scale_all, in_every_size_tried, below, reason_below: reason.map(missing_in_words) }
    }
}

#[derive(Debug, Clone, Serialize)]
struct MemberKeys<'f> {
    provenance: Provenance,
    scale_all: f64,
    results: &'f Results,
    lengths_mm: Option<LengthsMm>,
    largest_part: Option<String>,
    parts: Vec<PartKeys>,
    beds: Vec<BedKeys>,
    smallest: Option<SmallestKeys>,
    smallest_that_locks: Option<SmallestKeys>,
    humidity_limits: Option<Vec<LimitKeys>>,
    steps_from_first: Option<Vec<StepKeys>>,
    sizes: Vec<SizeKeys>,
}

/// What is in family.json.
#[derive(Debug, Clone, Serialize)]
pub struct FamilyFile<'f> {
    members: Vec<MemberKeys<'f>>,
}

fn steps_keys(first: &str, steps: &Steps) -> Vec<StepKeys> {
    let start = StepKeys { taken_over: first.to_owned(), point: PointKeys::of(steps.start.as_ref()) };
    let taken = steps
        .steps
        .iter()
        .map(|step| StepKeys { taken_over: step.what.to_owned(), point: PointKeys::of(step.after.as_ref()) });
    std::iter::once(start).chain(taken).collect()
}

/// The family for family.json; a provenance for each member.
#[must_use]
pub fn family_keys<'f>(told: &ToldFamily<'f>, provenances: Vec<Provenance>) -> FamilyFile<'f> {
    let member = |(member, provenance): (&'f Member, Provenance), results: &'f Results| MemberKeys {
        provenance,
        scale_all: member.factor,
        results,
        lengths_mm: lengths_mm(member.prediction.action(), member.lengths),
        largest_part: member.largest_part().map(|size| part_name(&size.part)),
        parts: member.parts.iter().map(PartKeys::of).collect(),
        beds: member.beds.iter().map(|fit| BedKeys::of(fit, &member.parts)).collect(),
        smallest: member.smallest.as_ref().map(SmallestKeys::of),
        smallest_that_locks: member.smallest_locking.as_ref().map(SmallestKeys::of),
        humidity_limits: member.humidity.as_ref().map(|limits| limits.iter().map(LimitKeys::of).collect()),
        steps_from_first: member.steps.as_ref().map(|steps| steps_keys(&told.names[0], steps)),
        sizes: member.sizes.iter().map(SizeKeys::of).collect(),
    };
    let members = told.members.iter().zip(provenances).zip(told.results).map(|(both, results)| member(both, results));
    FamilyFile { members: members.collect() }
}

/// Sizes, parts and steps as tables.
#[must_use]
pub fn family_csv(told: &ToldFamily<'_>) -> Vec<CsvTable> {
    let named = || told.members.iter().zip(told.names);
    let sizes = named().flat_map(|(member, name)| {
        member.sizes.iter().map(move |size| {
            let keys = SizeKeys::of(size);
            let mm = keys.lengths_mm;
            let mut row = vec![name.clone(), exact(keys.scale_all)];
            row.extend(point_cells(keys.point));
            row.extend(
                [mm.map(|mm| mm.lock[0]), mm.map(|mm| mm.lock[1]), mm.map(|mm| mm.drop[0]), mm.map(|mm| mm.drop[1])]
                    .map(optional),
            );
            row.extend([keys.largest_part.unwrap_or_default(), optional(keys.largest_part_mm)]);
            row
        })
    });
    let parts = named().flat_map(|(member, name)| {
        member.parts.iter().enumerate().flat_map(move |(index, part)| {
            let keys = PartKeys::of(part);
            let own =
                [name.clone(), keys.name, exact(keys.sides_mm[0]), exact(keys.sides_mm[1]), optional(keys.height_mm)];
            let on_beds = member.beds.iter().map(move |fit| {
                let here = &fit.parts[index];
                [bed_in_words(&fit.bed), exact(here.growth), optional(here.largest)]
            });
            // A part is told without a bed too.
            let on_beds: Vec<[String; 3]> =
                if member.beds.is_empty() { vec![Default::default()] } else { on_beds.collect() };
            on_beds.into_iter().map(move |bed| own.iter().cloned().chain(bed).collect::<Vec<String>>())
        })
    });
    let steps = named().flat_map(|(member, name)| {
        let keys = member.steps.as_ref().map(|steps| steps_keys(&told.names[0], steps)).unwrap_or_default();
        keys.into_iter().map(move |step| {
            let mut row = vec![name.clone(), step.taken_over];
            row.extend(point_cells(step.point));
            row
        })
    });
    let action = ["entry_lock_mm", "exit_lock_mm", "entry_drop_mm", "exit_drop_mm", "largest_part", "largest_part_mm"];
    let sizes_columns = [&["member", "scale_all"][..], &POINT_COLUMNS, &action].concat();
    let part_columns =
        ["member", "part", "side_mm", "other_side_mm", "height_mm", "bed", "growth_that_fits", "largest_scale_all"];
    [
        written("family-sizes", &sizes_columns, sizes),
        written("family-parts", &part_columns, parts),
        written("family-steps", &[&["member", "taken_over"][..], &POINT_COLUMNS].concat(), steps),
    ]
    .into_iter()
    .flatten()
    .collect()
}

const POINT_COLUMNS: [&str; 7] =
    ["keeps_going", "semi_arc_deg", "rate_s_per_day", "least_drive", "drive_over_least", "run_time_days", "reason"];

fn point_cells(keys: PointKeys) -> [String; 7] {
    [
        keys.keeps_going.to_string(),
        optional(keys.semi_arc_deg),
        optional(keys.rate_s_per_day),
        optional(keys.least_drive),
        optional(keys.drive_over_least),
        optional(keys.run_time_days),
        keys.reason.unwrap_or_default(),
    ]
}
