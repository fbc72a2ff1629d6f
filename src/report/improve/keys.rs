//! Aims and limits as they are typed: keys of the results, numbers of the design, shares of copies.

use crate::report::prediction::by_key::{NUMBERS, Number};
use crate::report::prediction::keyed::ResultNumbers;
use crate::study::improve::design_number::DesignNumber;
use crate::study::improve::question::{Aim, AskedNumber, Direction, Hold, NumberSource};
use crate::study::keyed::KeyedClock;

/// Key of the share of copies that keep going.
const COPIES_GOING: &str = "share_that_keeps_going";

/// Key of the share of copies that keep going with the margin asked for.
const COPIES_WITH_MARGIN: &str = "share_that_meets_margin";

/// Key of the friction reserve, which no copy of a search is asked for.
const FRICTION_RESERVE: &str = "friction_reserve";

/// Numbers that a search shows beside those asked, where the clock has them.
const SHOWN: [&str; 12] = [
    "least_weight_kg",
    "least_weight_with_margin_kg",
    "least_escape_torque_n_m",
    "weight_kg",
    "weight_ratio",
    "semi_arc_deg",
    "arc_margin_deg",
    "rate_s_per_day",
    "run_time_days",
    "action.entry.lock_deg",
    "action.exit.lock_deg",
    FRICTION_RESERVE,
];

/// The numbers, aims and limits of a question.
#[derive(Debug, Clone, Default)]
pub struct AskedKeys {
    /// All numbers, none twice.
    pub numbers: Vec<AskedNumber>,
    /// Keys of those that are in the results.
    results: Vec<String>,
    /// Aims.
    pub aims: Vec<Aim>,
    /// Limits.
    pub holds: Vec<Hold>,
}

impl AskedKeys {
    /// The numbers that are in the results.
    #[must_use]
    pub fn results(&self) -> ResultNumbers {
        ResultNumbers::of_keys(self.results.clone())
    }

    /// Numbers of the results that are shown beside those asked, in their order.
    #[must_use]
    pub fn shown() -> ResultNumbers {
        ResultNumbers::of_keys(SHOWN.iter().map(|&key| key.to_owned()).collect())
    }

    /// Their keys.
    #[must_use]
    pub const fn shown_keys() -> [&'static str; 12] {
        SHOWN
    }

    /// Adds an aim: `KEY`, `least KEY`, `most KEY` or `nearest VALUE KEY`.
    ///
    /// # Errors
    /// What is wrong, and what to write.
    pub fn add_aim(&mut self, text: &str, copies: bool, clock: &KeyedClock<'_>) -> Result<(), String> {
        let words: Vec<&str> = text.split_whitespace().collect();
        let help = "write KEY, 'least KEY', 'most KEY' or 'nearest VALUE KEY'";
        let (key, direction) = match *words.as_slice() {
            [key] => (key, None),
            ["least", key] => (key, Some(Direction::Least)),
            ["most", key] => (key, Some(Direction::Most)),
            ["nearest", value, key] => {
                let value = plain(value).ok_or_else(|| format!("\"{value}\" is not a plain number; {help}"))?;
                (key, Some(Direction::Nearest(value)))
            }
            _ => return Err(help.to_owned()),
        };
        let number = self.number(key, copies, clock)?;
        // A copy is solved as it stands: neither its reserve, nor what stands beside a prediction in the results, is asked of it.
        let of_copies = Number::named(key).is_some() && key != FRICTION_RESERVE;
        if copies && matches!(self.numbers[number].source, NumberSource::Results(_)) && !of_copies {
            return Err(format!("`{key}` is not known of single copies; choose another aim, or leave out --copies"));
        }
        let usual = || {
            usual_direction(key).ok_or_else(|| {
                format!("say what is wanted of it: 'least {key}', 'most {key}' or 'nearest VALUE {key}'")
            })
        };
        let direction = direction.map_or_else(usual, Ok)?;
        if self.aims.iter().any(|aim| aim.number == number) {
            return Err(format!("`{key}` is an aim already"));
        }
        self.aims.push(Aim { number, direction });
        Ok(())
    }

    /// Adds a limit: `KEY >= VALUE` or `KEY <= VALUE`.
    ///
    /// # Errors
    /// What is wrong, and what to write.
    pub fn add_hold(&mut self, text: &str, copies: bool, clock: &KeyedClock<'_>) -> Result<(), String> {
        let help = "write 'KEY >= VALUE' or 'KEY <= VALUE', for example 'run_time_days >= 8'";
        let parts = [(">=", true), ("<=", false)].into_iter().find_map(|(sign, at_least)| {
            text.split_once(sign).map(|(key, value)| (key.trim(), value.trim(), at_least))
        });
        let (key, value, at_least) = parts.ok_or_else(|| format!("there is no \">=\" or \"<=\"; {help}"))?;
        let number = self.number(key, copies, clock)?;
        let is_share = self.numbers[number].source.is_share_of_copies();
        let percent = value
            .strip_suffix('%')
            .filter(|_| is_share)
            .and_then(|value| plain(value.trim()))
            .map(|value| value / 100.0);
        let level = percent.or_else(|| plain(value));
        let level = level.ok_or_else(|| format!("\"{value}\" is not a plain number in the unit of the key; {help}"))?;
        self.holds.push(Hold { number, at_least, level });
        Ok(())
    }

    /// The place of a number among those asked.
    fn number(&mut self, key: &str, copies: bool, clock: &KeyedClock<'_>) -> Result<usize, String> {
        if key.is_empty() {
            return Err("there is no key".to_owned());
        }
        if let Some(place) = self.numbers.iter().position(|number| number.key == key) {
            return Ok(place);
        }
        let source = match key {
            COPIES_GOING | COPIES_WITH_MARGIN if !copies => {
                return Err(format!("`{key}` is a share of copies; say how many with --copies"));
            }
            COPIES_GOING => NumberSource::CopiesGoing,
            COPIES_WITH_MARGIN => NumberSource::CopiesWithMargin,
            _ => match DesignNumber::named(key) {
                Some(number) => NumberSource::Design(number),
                None => self.of_results(key, clock)?,
            },
        };
        self.numbers.push(AskedNumber { key: key.to_owned(), source });
        Ok(self.numbers.len() - 1)
    }

    fn of_results(&mut self, key: &str, clock: &KeyedClock<'_>) -> Result<NumberSource, String> {
        if let Some(objection) = ResultNumbers::objection(key, clock) {
            let own = [COPIES_GOING, COPIES_WITH_MARGIN];
            let known =
                NUMBERS.map(|number| number.key).into_iter().chain(DesignNumber::ALL.map(DesignNumber::key)).chain(own);
            let known: Vec<&str> = known.collect();
            let near = crate::scenario::suggestion(key, &known, "key");
            return Err(if near.starts_with("did you") {
                format!("there is no number `{key}`; {near}")
            } else {
                objection
            });
        }
        self.results.push(key.to_owned());
        Ok(NumberSource::Results(self.results.len() - 1))
    }
}

fn plain(text: &str) -> Option<f64> {
    text.parse().ok().filter(|number: &f64| number.is_finite())
}

/// What a maker wants of a number where nothing else is said; `None` where that is not plain.
fn usual_direction(key: &str) -> Option<Direction> {
    if let Some(number) = DesignNumber::named(key) {
        return Some(number.usual_direction());
    }
    let most = [
        "weight_ratio",
        "arc_margin_deg",
        FRICTION_RESERVE,
        "q_factor",
        "run_time_days",
        "hands.least_margin_deg",
        COPIES_GOING,
        COPIES_WITH_MARGIN,
    ];
    let least = [
        "weight_kg",
        "multiplier",
        "cord_tension_n",
        "cord_breaking_strength_n",
        "escape_torque_n_m",
        "escape_inertia_kg_m2",
    ];
    match key {
        _ if most.contains(&key) => Some(Direction::Most),
        _ if least.contains(&key) || key.starts_with("least_") || key.starts_with("energy_per_beat_j.") => {
            Some(Direction::Least)
        }
        _ if key.contains("recoil") => Some(Direction::Least),
        _ if key.ends_with("lock_deg") || key.contains("clearance") => Some(Direction::Most),
        _ if key.contains("rate") => Some(Direction::Nearest(0.0)),
        _ => None,
    }
}
