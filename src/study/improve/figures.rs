//! The numbers of one candidate.

use crate::answers::no_answer::NoAnswer;
use crate::clock::drive_level::DriveLevel;
use crate::scenario::Scenario;
use crate::study::keyed::KeyedClock;

use super::copies::of_copies;
use super::design_number::{DesignNumber, design_numbers};
use super::question::{NumberSource, Question};

/// What is asked of a candidate, and what of it goes.
#[derive(Debug, Clone, PartialEq)]
pub struct ClockFigures {
    /// The numbers asked, in their order, of the clock as the mean printer makes it.
    pub numbers: Vec<Option<f64>>,
    /// The same as the aims take them: of copies, where there are any, the number that the share of them asked for keeps to.
    pub of_aims: Vec<Option<f64>>,
    /// Why the clock stops, in words; `None` where it keeps going.
    pub stops: Option<String>,
    /// Least drive over its own one, less 1, of a clock that stops under a drive that is too small.
    pub drive_lacking: Option<f64>,
}

/// The numbers of a scenario's clock, or why there is none.
///
/// # Errors
/// [`NoAnswer`].
pub fn clock_figures(question: &Question<'_>, scenario: &Scenario) -> Result<ClockFigures, NoAnswer> {
    let clock = KeyedClock::of(scenario, question.results)?;
    let results = question.results.of(&clock);
    let asked: Vec<DesignNumber> = question
        .numbers
        .iter()
        .filter_map(|number| match number.source {
            NumberSource::Design(number) => Some(number),
            _ => None,
        })
        .collect();
    let mut of_design = design_numbers(&asked, &clock, &question.beds).into_iter();
    let mut numbers: Vec<Option<f64>> = question
        .numbers
        .iter()
        .map(|number| match number.source {
            NumberSource::Results(place) => results.get(place).copied().flatten(),
            NumberSource::Design(_) => of_design.next().flatten(),
            NumberSource::CopiesGoing | NumberSource::CopiesWithMargin => None,
        })
        .collect();
    let stops = clock.prediction.reason();
    let least = clock.prediction.least.map(|least| least.bare.value());
    let own = clock.prediction.built.own_drive().map(DriveLevel::value);
    let drive_lacking =
        stops.and(least.zip(own)).map(|(least, own)| least / own - 1.0).filter(|lacking| *lacking > 0.0);
    let mut of_aims = numbers.clone();
    if let Some(copies) = question.copies.filter(|_| question.is_of_copies()) {
        let found = of_copies(question, copies, &clock.in_room)?;
        for (number, asked) in question.numbers.iter().enumerate() {
            match asked.source {
                NumberSource::CopiesGoing => numbers[number] = Some(found.going),
                NumberSource::CopiesWithMargin => numbers[number] = Some(found.with_margin),
                _ => {}
            }
        }
        of_aims.clone_from(&numbers);
        for (aim, value) in question.aims.iter().zip(found.aims) {
            if matches!(question.numbers[aim.number].source, NumberSource::Results(_)) {
                of_aims[aim.number] = value;
            }
        }
    }
    let stops = stops.map(|reason| NoAnswer::Stops(reason).to_string());
    Ok(ClockFigures { numbers, of_aims, stops, drive_lacking })
}
