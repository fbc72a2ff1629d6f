//! The file from which a search is taken up again: the question, and every candidate with its numbers.

use serde::{Deserialize, Serialize};

use crate::study::improve::candidates::TriedDesign;
use crate::study::improve::figures::ClockFigures;
use crate::study::improve::question::{Direction, Question};

/// What a search asks, in words: two files are of one search if all of it is the same.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct QuestionText {
    /// Version of this program.
    pub version: String,
    /// Fingerprint of the scenario, its files and its overrides.
    pub scenario_hash: String,
    /// What may vary.
    pub vary: Vec<String>,
    /// Aims.
    pub aims: Vec<String>,
    /// Limits.
    pub holds: Vec<String>,
    /// Copies.
    pub copies: Option<String>,
    /// Beds.
    pub beds: Vec<String>,
    /// Seed.
    pub seed: u32,
}

impl QuestionText {
    /// A question in words.
    #[must_use]
    pub fn of(question: &Question<'_>, seed: u32) -> Self {
        let key = |number: usize| question.numbers[number].key.clone();
        let aim = |aim: &crate::study::improve::question::Aim| match aim.direction {
            Direction::Least => format!("least {}", key(aim.number)),
            Direction::Most => format!("most {}", key(aim.number)),
            Direction::Nearest(value) => format!("nearest {value} {}", key(aim.number)),
        };
        let vary = question.varied.iter().map(|varied| {
            let places: Vec<String> = match &varied.range {
                crate::study::improve::vary::VariedRange::Choices(choices) => choices.clone(),
                crate::study::improve::vary::VariedRange::Numbers { .. } => {
                    vec![varied.shown(0), varied.shown(1), varied.shown(varied.last())]
                }
            };
            format!("{}: {}", varied.path, places.join(", "))
        });
        let hold = |hold: &crate::study::improve::question::Hold| {
            format!("{} {} {}", key(hold.number), if hold.at_least { ">=" } else { "<=" }, hold.level)
        };
        Self {
            version: env!("CARGO_PKG_VERSION").to_owned(),
            scenario_hash: question.scenario.hash.clone(),
            vary: vary.collect(),
            aims: question.aims.iter().map(aim).collect(),
            holds: question.holds.iter().map(hold).collect(),
            copies: question
                .copies
                .map(|copies| format!("{} copies, share {}, seed {}", copies.count, copies.share, copies.seed)),
            beds: question.beds.iter().map(|bed| format!("{bed:?}")).collect(),
            seed,
        }
    }

    /// What differs from another question, the first of it in words; `None` where nothing does.
    #[must_use]
    pub fn difference(&self, other: &Self) -> Option<String> {
        let lists = [
            ("--vary", &self.vary, &other.vary),
            ("--aim", &self.aims, &other.aims),
            ("--hold", &self.holds, &other.holds),
            ("--bed", &self.beds, &other.beds),
        ];
        if self.scenario_hash != other.scenario_hash {
            return Some("the scenario, one of its files or --set".to_owned());
        }
        if let Some((flag, one, _)) = lists.into_iter().find(|(_, one, other)| one != other) {
            let was = if one.is_empty() { "nothing".to_owned() } else { one.join("; ") };
            return Some(format!("{flag} (it was {was})"));
        }
        if self.copies != other.copies {
            return Some(format!("--copies (it was {})", self.copies.as_deref().unwrap_or("none")));
        }
        if self.seed != other.seed {
            return Some(format!("--seed (it was {})", self.seed));
        }
        (self.version != other.version).then(|| format!("the version of this program (it was {})", self.version))
    }
}

/// A candidate in the file.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
struct StoredDesign {
    places: Vec<u32>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    dial_of: Option<Vec<u32>>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    no_clock: Option<String>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    numbers: Option<Vec<StoredNumber>>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    of_aims: Option<Vec<StoredNumber>>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    stops: Option<String>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    drive_lacking: Option<StoredNumber>,
}

/// A number that reads back to the last bit: as text, for a reader of JSON may round.
type StoredNumber = Option<String>;

/// The file.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
struct StoredSearch {
    question: QuestionText,
    candidates: Vec<StoredDesign>,
}

fn stored(number: Option<f64>) -> StoredNumber {
    number.map(|number| number.to_string())
}

fn number_of(stored: &StoredNumber) -> Option<f64> {
    stored.as_ref()?.parse().ok()
}

/// The text of the file.
#[must_use]
pub fn text(question: &QuestionText, candidates: &[TriedDesign]) -> Option<String> {
    let design = |tried: &TriedDesign| {
        let found = tried.found.as_ref().ok();
        let numbers = |pick: fn(&ClockFigures) -> &Vec<Option<f64>>| {
            found.map(|found| pick(found).iter().map(|&number| stored(number)).collect())
        };
        StoredDesign {
            places: tried.point.clone(),
            dial_of: tried.dial_of.clone(),
            no_clock: tried.found.as_ref().err().cloned(),
            numbers: numbers(|found| &found.numbers),
            of_aims: numbers(|found| &found.of_aims),
            stops: found.and_then(|found| found.stops.clone()),
            drive_lacking: found.map(|found| stored(found.drive_lacking)),
        }
    };
    let search = StoredSearch { question: question.clone(), candidates: candidates.iter().map(design).collect() };
    serde_json::to_string(&search).ok().map(|text| format!("{text}\n"))
}

/// Question and candidates of a file.
///
/// # Errors
/// Why it is no such file.
pub fn read(text: &str) -> Result<(QuestionText, Vec<TriedDesign>), String> {
    let search: StoredSearch = serde_json::from_str(text).map_err(|error| error.to_string())?;
    let design = |stored: StoredDesign| {
        let found = match (stored.no_clock, stored.numbers, stored.of_aims) {
            (Some(reason), _, _) => Err(reason),
            (None, Some(numbers), Some(of_aims)) => Ok(ClockFigures {
                numbers: numbers.iter().map(number_of).collect(),
                of_aims: of_aims.iter().map(number_of).collect(),
                stops: stored.stops,
                drive_lacking: stored.drive_lacking.as_ref().and_then(number_of),
            }),
            _ => return Err("a candidate has no numbers".to_owned()),
        };
        Ok(TriedDesign { point: stored.places, dial_of: stored.dial_of, found })
    };
    let candidates = search.candidates.into_iter().map(design).collect::<Result<Vec<TriedDesign>, String>>()?;
    Ok((search.question, candidates))
}

/// Whether candidates of a file fit a question: as many quantities and numbers, none out of its range.
#[must_use]
pub fn fits(question: &Question<'_>, candidates: &[TriedDesign]) -> bool {
    candidates.iter().all(|tried| {
        let places = tried.point.len() == question.varied.len()
            && tried.point.iter().zip(&question.varied).all(|(&place, varied)| place <= varied.last());
        let count = question.numbers.len();
        places
            && tried.found.as_ref().map_or(true, |found| found.numbers.len() == count && found.of_aims.len() == count)
    })
}
