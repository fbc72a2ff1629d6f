//! A family of clocks under its keys.

use serde::Serialize;

use crate::answers::no_answer::NoAnswer;
use crate::clock::SECONDS_PER_DAY;
use crate::clock::printing::bed::Footprint;
use crate::clock::printing::part_sizes::PartSize;
use crate::report::prediction::json::Results;
use crate::report::provenance::Provenance;
use crate::report::room::json::LimitRecord;
use crate::report::words::no_answer::missing_in_words;
use crate::report::words::parts::part_name;
use crate::study::family::{BedFit, Member, SizePoint, Smallest, Steps};
use crate::study::levers::answers::ClockAnswers;

use super::{FamilyView, LengthsMm, bed_in_words, lengths_mm};

#[derive(Debug, Clone, Serialize)]
pub(super) struct PointRecord {
    pub(super) keeps_going: bool,
    pub(super) reason: Option<String>,
    pub(super) semi_arc_deg: Option<f64>,
    pub(super) rate_s_per_day: Option<f64>,
    pub(super) least_drive: Option<f64>,
    pub(super) drive_over_least: Option<f64>,
    pub(super) run_time_days: Option<f64>,
}

impl PointRecord {
    pub(super) fn of(point: Result<&ClockAnswers, &NoAnswer>) -> Self {
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
pub(super) struct SizeRecord {
    pub(super) scale_all: f64,
    #[serde(flatten)]
    pub(super) point: PointRecord,
    pub(super) lengths_mm: Option<LengthsMm>,
    pub(super) largest_part: Option<String>,
    pub(super) largest_part_mm: Option<f64>,
}

impl SizeRecord {
    pub(super) fn of(size: &SizePoint) -> Self {
        let found = size.found.as_ref();
        let largest = found.ok().and_then(|found| found.largest.as_ref());
        Self {
            scale_all: size.factor,
            point: PointRecord::of(found.map(|found| &found.point)),
            lengths_mm: found.ok().and_then(|found| lengths_mm(found.action, found.lengths)),
            largest_part: largest.map(|size| part_name(&size.part)),
            largest_part_mm: largest.map(|part| 1e3 * part.footprint.longest_m()),
        }
    }
}

#[derive(Debug, Clone, Serialize)]
pub(super) struct StepRecord {
    pub(super) taken_over: String,
    #[serde(flatten)]
    pub(super) point: PointRecord,
}

#[derive(Debug, Clone, Serialize)]
pub(super) struct PartRecord {
    pub(super) name: String,
    pub(super) sides_mm: [f64; 2],
    pub(super) height_mm: Option<f64>,
    pub(super) round: bool,
    pub(super) in_one_piece: bool,
}

impl PartRecord {
    pub(super) fn of(part: &PartSize) -> Self {
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
struct PartFitRecord {
    part: String,
    growth_that_fits: f64,
    largest_scale_all: Option<f64>,
}

#[derive(Debug, Clone, Serialize)]
struct BedRecord {
    bed: String,
    fits: bool,
    largest_scale_all: Option<f64>,
    limited_by: Option<String>,
    never_fit: Vec<String>,
    parts: Vec<PartFitRecord>,
}

impl BedRecord {
    pub(super) fn of(fit: &BedFit, parts: &[PartSize]) -> Self {
        let name = |index: usize| part_name(&parts[index].part);
        let fits = fit.parts.iter().zip(parts).all(|(fit, part)| fit.growth >= 1.0 || !part.in_one_piece);
        Self {
            bed: bed_in_words(&fit.bed),
            fits,
            largest_scale_all: fit.largest,
            limited_by: fit.limiting.map(name),
            never_fit: fit.never.iter().copied().map(name).collect(),
            parts: (0..parts.len())
                .map(|index| PartFitRecord {
                    part: name(index),
                    growth_that_fits: fit.parts[index].growth,
                    largest_scale_all: fit.parts[index].largest,
                })
                .collect(),
        }
    }
}

#[derive(Debug, Clone, Serialize)]
struct SmallestRecord {
    scale_all: Option<f64>,
    in_every_size_tried: bool,
    below: Option<f64>,
    reason_below: Option<String>,
}

impl SmallestRecord {
    pub(super) fn of(smallest: &Smallest) -> Self {
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
struct MemberRecord<'f> {
    provenance: Provenance,
    scale_all: f64,
    results: &'f Results,
    lengths_mm: Option<LengthsMm>,
    largest_part: Option<String>,
    parts: Vec<PartRecord>,
    beds: Vec<BedRecord>,
    smallest: Option<SmallestRecord>,
    smallest_that_locks: Option<SmallestRecord>,
    humidity_limits: Option<Vec<LimitRecord>>,
    steps_from_first: Option<Vec<StepRecord>>,
    sizes: Vec<SizeRecord>,
}

/// What is in family.json.
#[derive(Debug, Clone, Serialize)]
pub struct FamilyRecord<'f> {
    members: Vec<MemberRecord<'f>>,
}

pub(super) fn steps_keys(first: &str, steps: &Steps) -> Vec<StepRecord> {
    let start = StepRecord { taken_over: first.to_owned(), point: PointRecord::of(steps.start.as_ref()) };
    let taken = steps
        .steps
        .iter()
        .map(|step| StepRecord { taken_over: step.what.to_owned(), point: PointRecord::of(step.after.as_ref()) });
    std::iter::once(start).chain(taken).collect()
}

/// The family for family.json; a provenance for each member.
#[must_use]
pub fn record<'f>(view: &FamilyView<'f>, provenances: Vec<Provenance>) -> FamilyRecord<'f> {
    let member = |(member, provenance): (&'f Member, Provenance), results: &'f Results| MemberRecord {
        provenance,
        scale_all: member.factor,
        results,
        lengths_mm: lengths_mm(member.prediction.action(), member.lengths),
        largest_part: member.largest_part().map(|size| part_name(&size.part)),
        parts: member.parts.iter().map(PartRecord::of).collect(),
        beds: member.beds.iter().map(|fit| BedRecord::of(fit, &member.parts)).collect(),
        smallest: member.smallest.as_ref().map(SmallestRecord::of),
        smallest_that_locks: member.smallest_locking.as_ref().map(SmallestRecord::of),
        humidity_limits: member.humidity.as_ref().map(|limits| limits.iter().map(LimitRecord::of).collect()),
        steps_from_first: member.steps.as_ref().map(|steps| steps_keys(&view.names[0], steps)),
        sizes: member.sizes.iter().map(SizeRecord::of).collect(),
    };
    let members = view.members.iter().zip(provenances).zip(view.results).map(|(both, results)| member(both, results));
    FamilyRecord { members: members.collect() }
}
