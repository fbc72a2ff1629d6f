//! A better design under its keys.

use serde::Serialize;

use crate::report::provenance::Provenance;
use crate::study::improve::figures::ClockFigures;
use crate::study::improve::flatness::{Way, WayEnd};
use crate::study::improve::question::{Aim, Direction, Hold};
use crate::study::improve::vary::{VariedQuantity, VariedRange};

use super::keys::AskedKeys;
use super::view::{FrontDesign, ImproveView, JudgedDesign};

/// What is in improve.json.
#[derive(Debug, Clone, Serialize)]
pub struct ImproveRecord {
    #[serde(flatten)]
    provenance: Provenance,
    name: String,
    /// Candidates asked, and those of them that keep every limit.
    candidates: usize,
    candidates_allowed: usize,
    copies: Option<CopiesAskedRecord>,
    /// The aims, before and after; of copies: what the share of them keeps to.
    pub aims: Vec<AimRecord>,
    /// The limits.
    pub holds: Vec<HoldLimitRecord>,
    /// What varied.
    pub varied: Vec<VariedRecord>,
    /// Further numbers of the clock as the mean printer makes it, as `predict` has them.
    pub numbers: Vec<BeforeAfterRecord>,
    /// Line with which the scenario takes the values: overrides for `--set`.
    pub set: Vec<String>,
    /// The front of two aims, by the first; empty with one aim.
    pub front: Vec<FrontRecord>,
}

#[derive(Debug, Clone, Serialize)]
struct CopiesAskedRecord {
    count: u32,
    share: f64,
    seed: u32,
}

/// An aim.
#[derive(Debug, Clone, Serialize)]
pub struct AimRecord {
    /// Its key.
    pub key: String,
    /// `least`, `most` or `nearest`.
    pub direction: &'static str,
    /// What it is to be nearest to.
    pub wanted: Option<f64>,
    /// Whether it is of copies.
    pub of_copies: bool,
    /// The clock as it was.
    pub before: Option<f64>,
    /// The better design.
    pub after: Option<f64>,
}

/// A limit.
#[derive(Debug, Clone, Serialize)]
pub struct HoldLimitRecord {
    /// Its key.
    pub key: String,
    /// `>=` or `<=`.
    pub sign: &'static str,
    /// Its level.
    pub level: f64,
    /// The clock as it was.
    pub before: Option<f64>,
    /// The better design.
    pub after: Option<f64>,
    /// Whether the better design stands at it, to 1 % of its level.
    pub binds: bool,
}

/// A quantity.
#[derive(Debug, Clone, Serialize)]
pub struct VariedRecord {
    /// Its path.
    pub path: String,
    /// Unit of its numbers.
    pub unit: Option<String>,
    /// Bounds; `null` of a choice.
    pub low: Option<f64>,
    /// Upper one.
    pub high: Option<f64>,
    /// What it may be; `null` of a number.
    pub choices: Option<Vec<String>>,
    /// Its value before, as written; `null` where the scenario states none.
    pub before: Option<String>,
    /// Its value after, as written.
    pub after: String,
    /// The same as a number.
    pub value: Option<f64>,
    /// The bound at which it stands.
    pub at_bound: Option<&'static str>,
    /// How far it may move by itself until the aim is 1 % worse or a limit is broken.
    pub may_fall_to: Option<f64>,
    /// What ends that way: `worse`, the key of a limit, `stops`, `no_clock`, `bound`.
    pub falls_until: Option<String>,
    /// The same upwards.
    pub may_rise_to: Option<f64>,
    /// What ends that way.
    pub rises_until: Option<String>,
}

/// A number before and after.
#[derive(Debug, Clone, Serialize)]
pub struct BeforeAfterRecord {
    /// Its key.
    pub key: String,
    /// The clock as it was.
    pub before: Option<f64>,
    /// The better design.
    pub after: Option<f64>,
}

/// A design on the front.
#[derive(Debug, Clone, Serialize)]
pub struct FrontRecord {
    /// Its file.
    pub file: String,
    /// The aims.
    pub aims: Vec<Option<f64>>,
    /// The values of the quantities, as written.
    pub values: Vec<String>,
    /// The limits' numbers.
    pub holds: Vec<Option<f64>>,
}

/// A better design for improve.json.
#[must_use]
pub fn record(view: &ImproveView<'_>, provenance: Provenance) -> ImproveRecord {
    let question = view.question;
    let before = view.before.map(|before| &before.figures);
    let after = &view.after.figures;
    let number = |figures: Option<&ClockFigures>, place: usize| figures.and_then(|figures| figures.numbers[place]);
    let aim = |aim: &Aim| {
        let (direction, wanted) = match aim.direction {
            Direction::Least => ("least", None),
            Direction::Most => ("most", None),
            Direction::Nearest(wanted) => ("nearest", Some(wanted)),
        };
        let asked = &question.numbers[aim.number];
        AimRecord {
            key: asked.key.clone(),
            direction,
            wanted,
            of_copies: question.aim_is_of_copies(aim),
            before: before.and_then(|before| before.of_aims[aim.number]),
            after: after.of_aims[aim.number],
        }
    };
    let hold = |hold: &Hold| HoldLimitRecord {
        key: question.numbers[hold.number].key.clone(),
        sign: if hold.at_least { ">=" } else { "<=" },
        level: hold.level,
        before: number(before, hold.number),
        after: number(Some(after), hold.number),
        binds: view.hold_binds(hold),
    };
    let keys = AskedKeys::shown_keys();
    let shown = |judged: Option<&JudgedDesign>, place: usize| judged.and_then(|judged| judged.shown[place]);
    let numbers = keys.iter().enumerate().map(|(place, key)| BeforeAfterRecord {
        key: (*key).to_owned(),
        before: shown(view.before, place),
        after: shown(Some(view.after), place),
    });
    ImproveRecord {
        provenance,
        name: view.name.to_owned(),
        candidates: view.found.trials.len(),
        candidates_allowed: view.found.trials.iter().filter(|trial| trial.is_allowed()).count(),
        copies: question.copies.map(|copies| CopiesAskedRecord {
            count: copies.count,
            share: copies.share,
            seed: copies.seed,
        }),
        aims: question.aims.iter().map(aim).collect(),
        holds: question.holds.iter().map(hold).collect(),
        varied: (0..question.varied.len()).map(|quantity| varied(view, quantity)).collect(),
        numbers: numbers.filter(|number| number.before.is_some() || number.after.is_some()).collect(),
        set: question.settings(view.point),
        front: view.front.iter().map(|design| on_front(view, design)).collect(),
    }
}

fn on_front(view: &ImproveView<'_>, design: &FrontDesign) -> FrontRecord {
    let question = view.question;
    FrontRecord {
        file: design.file.clone(),
        aims: question.aims.iter().map(|aim| design.judged.figures.of_aims[aim.number]).collect(),
        values: question.varied.iter().zip(&design.point).map(|(varied, &place)| varied.shown(place)).collect(),
        holds: question.holds.iter().map(|hold| design.judged.figures.numbers[hold.number]).collect(),
    }
}

fn varied(view: &ImproveView<'_>, quantity: usize) -> VariedRecord {
    let varied = &view.question.varied[quantity];
    let place = view.point[quantity];
    let (unit, choices) = match &varied.range {
        VariedRange::Numbers { unit, .. } => (unit.clone(), None),
        VariedRange::Choices(choices) => (None, Some(choices.clone())),
    };
    let leaves = view.question.scenario.leaves();
    let flatness = view.flatness_of(quantity);
    let end = |way: &Way| end_of(view, way);
    VariedRecord {
        path: varied.path.clone(),
        unit,
        low: varied.number(0),
        high: varied.number(varied.last()),
        choices,
        before: leaves.into_iter().find(|(path, _)| *path == varied.path).map(|(_, text)| text),
        after: varied.shown(place),
        value: varied.number(place),
        at_bound: view.bound_that_binds(quantity),
        may_fall_to: flatness.and_then(|flatness| number_at(varied, &flatness.down)),
        falls_until: flatness.map(|flatness| end(&flatness.down)),
        may_rise_to: flatness.and_then(|flatness| number_at(varied, &flatness.up)),
        rises_until: flatness.map(|flatness| end(&flatness.up)),
    }
}

fn number_at(varied: &VariedQuantity, way: &Way) -> Option<f64> {
    varied.number(way.place)
}

fn end_of(view: &ImproveView<'_>, way: &Way) -> String {
    match &way.end {
        WayEnd::Worse => "worse".to_owned(),
        WayEnd::Hold(hold) => view.question.numbers[view.question.holds[*hold].number].key.clone(),
        WayEnd::Stops => "stops".to_owned(),
        WayEnd::NoClock(_) => "no_clock".to_owned(),
        WayEnd::Bound => "bound".to_owned(),
    }
}
