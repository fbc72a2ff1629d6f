//! The engine as the script of a page asks it: a scenario's text and overrides in, the answer as JSON out. The same pipeline as
//! `predict`, so that a builder's figures are those of the command line.

#[cfg(feature = "browser")]
mod exports;

use serde::{Deserialize, Serialize};

use crate::answers::prediction::{PredictError, Prediction, predict, predict_only};
use crate::answers::solve::Wanted;
use crate::clock::environment::InRoom;
use crate::report::canvas::look::significant;
use crate::report::figures::energy_rows;
use crate::report::page::{KeyFigure, PageMotion, drawn_works, key_figures, motion, open_in_words, verdict_sentence};
use crate::report::prediction::json::{Results, record};
use crate::scenario::{LoadError, Scenario, read_texts};
use crate::study::friction_open::OpenFigures;
use crate::study::portrait::{phases_of, wheel_holes};
use crate::study::prepare::{prepared, under};

/// This library compiled for a browser by `src/browser/build`, compressed (gzip, IETF RFC 1952).
pub const ENGINE: &[u8] = include_bytes!("engine.wasm.gz");

/// What is asked.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum AskedPart {
    /// Verdict, swing, rate and the motion: what takes a few milliseconds.
    Swing,
    /// These and the least weight.
    Weight,
    /// What the frictions' spreads leave open.
    Open,
    /// All that `predict` tells.
    Everything,
}

/// A question: a scenario under overrides.
#[derive(Debug, Clone, Deserialize)]
pub struct PageQuestion {
    /// Overrides, in order, as after `--set`.
    pub overrides: Vec<String>,
    /// What is asked.
    pub asked: AskedPart,
}

/// An answer.
#[derive(Debug, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Answer {
    /// The clock's.
    Found(Box<Found>),
    /// What is open of its key figures: key, and how much in words.
    Open(Vec<(&'static str, String)>),
    /// None: why, in words.
    Refused(String),
}

/// What becomes of a clock.
#[derive(Debug, Serialize)]
pub struct Found {
    /// The verdict in one sentence.
    pub sentence: String,
    /// Key figures, as the page words them.
    pub figures: Vec<KeyFigure>,
    /// Where the energy of a beat goes: what takes it, and how much, in millionths of a joule.
    pub energy: Vec<(&'static str, String)>,
    /// The results, under the keys of `predict --json`.
    pub results: Results,
    /// The motion of a period.
    pub motion: Option<PageMotion>,
    /// The parts that move, as SVG.
    pub drawing: Option<String>,
}

/// A clock that is asked about again and again.
#[derive(Debug, Clone, Deserialize)]
pub struct Opening {
    /// Name and text of its scenario's files, that which is asked for first.
    pub texts: Vec<(String, String)>,
    /// Overrides that come before those of every question.
    pub overrides: Vec<String>,
}

impl Opening {
    fn read(&self, further: &[String]) -> Result<Scenario, LoadError> {
        let overrides: Vec<&String> = self.overrides.iter().chain(further).collect();
        prepared(read_texts(&self.texts, &overrides)?)
    }
}

/// What answers for one clock.
#[derive(Debug, Clone)]
pub struct Engine {
    opening: Opening,
    base: Scenario,
}

impl Engine {
    /// For the scenario that is opened.
    ///
    /// # Errors
    /// [`LoadError`].
    pub fn of(opening: Opening) -> Result<Self, LoadError> {
        Ok(Self { base: opening.read(&[])?, opening })
    }

    /// For the opening that a JSON states.
    ///
    /// # Errors
    /// What is wrong with it.
    pub fn of_json(opening: &str) -> Result<Self, String> {
        let opening = serde_json::from_str(opening).map_err(|error| format!("no opening: {error}"))?;
        Self::of(opening).map_err(|error| error.to_string())
    }

    /// The answer to a question.
    #[must_use]
    pub fn answer(&self, question: &PageQuestion) -> Answer {
        let overrides = &question.overrides;
        let trace = Wanted { trace: true, ..Wanted::NOTHING };
        let found = match question.asked {
            AskedPart::Swing => self.found_only(overrides, trace),
            AskedPart::Weight => self.found_only(overrides, Wanted { least: true, ..trace }),
            AskedPart::Open => {
                return match under(&self.base, overrides) {
                    Ok(scenario) => Answer::Open(open_in_words(&OpenFigures::of(&scenario.in_room()))),
                    Err(refused) => Answer::Refused(refused),
                };
            }
            AskedPart::Everything => self
                .opening
                .read(overrides)
                .map_err(|error| error.first_message())
                .and_then(|scenario| found(&scenario, predict)),
        };
        found.map_or_else(Answer::Refused, |found| Answer::Found(Box::new(found)))
    }

    /// As far as it is wanted, with the hours of the scenario itself, which are not solved anew at every move of a slider.
    fn found_only(&self, overrides: &[String], wanted: Wanted) -> Result<Found, String> {
        let scenario = under(&self.base, overrides)?;
        found(&scenario, |in_room| predict_only(in_room, wanted))
    }

    /// The answer, as JSON, to a question in JSON.
    #[must_use]
    pub fn answer_in_json(&self, question: &str) -> String {
        let answer = match serde_json::from_str(question) {
            Ok(question) => self.answer(&question),
            Err(error) => Answer::Refused(format!("not a question: {error}")),
        };
        json(&answer)
    }
}

/// An answer as JSON.
fn json(answer: &Answer) -> String {
    serde_json::to_string(answer).unwrap_or_else(|_| r#"{"refused":"the answer cannot be written"}"#.to_owned())
}

fn found(
    scenario: &Scenario,
    solved: impl FnOnce(&InRoom) -> Result<Prediction, PredictError>,
) -> Result<Found, String> {
    let in_room = scenario.in_room();
    let prediction = solved(&in_room).map_err(|error| error.to_string())?;
    let results = record(&in_room, &prediction);
    let motion = motion(&in_room, &prediction, &phases_of(&prediction), wheel_holes(&in_room, &prediction));
    let energy = prediction.steady.as_ref().map(|steady| energy_rows(&steady.energy)).unwrap_or_default();
    Ok(Found {
        sentence: verdict_sentence(&results),
        figures: key_figures(&results),
        energy: energy.into_iter().map(|(name, joules)| (name, significant(1e6 * joules, 3))).collect(),
        drawing: motion.as_ref().and_then(|motion| drawn_works(&prediction, motion)),
        motion,
        results,
    })
}
