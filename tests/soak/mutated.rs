//! Demo clocks and the starter with some of their values changed.

use std::sync::LazyLock;

use beatwright::scenario::{NO_OVERRIDES, Scenario, load, read, starter};

use crate::dice::Dice;
use crate::support::{demo, plain};

/// Clocks without hands, and the starter, which is the program's own.
const WITHOUT_HANDS: [&str; 6] =
    ["heron.toml", "heron-pointed.toml", "heron-three-quarter.toml", "heron-beech.toml", "wren.toml", "starter"];

/// The demo clocks with hands.
const WITH_HANDS: [&str; 5] =
    ["heron.toml", "heron-pointed.toml", "heron-three-quarter.toml", "heron-beech.toml", "wren.toml"];

/// Throws, percent, of a clock with hands: its twelve hours take about twenty times the work of all else.
const HANDS_PERCENT: u64 = 6;

/// All of them, those without hands first, each with its path.
static SCENARIOS: LazyLock<Vec<(String, Scenario)>> = LazyLock::new(|| {
    let without = WITHOUT_HANDS.iter().map(|name| match *name {
        "starter" => ("starter".to_owned(), read("starter.toml", starter(), &NO_OVERRIDES)),
        file => (format!("tests/support/plain/{file}"), load(&plain::path(file), &NO_OVERRIDES)),
    });
    let with = WITH_HANDS.iter().map(|file| (format!("scenarios/{file}"), load(&demo::path(file), &NO_OVERRIDES)));
    without
        .chain(with)
        .map(|(name, read)| {
            let scenario = read.unwrap_or_else(|error| panic!("{name}: {error}"));
            (name, scenario)
        })
        .collect()
});

/// Values that a scenario may also have, whole.
const FURTHER: [&str; 16] = [
    "escapement.dead_beat.restitution=0.4",
    "escapement.dead_beat.beat_error=0.3 deg",
    "escapement.dead_beat.lock=0 deg",
    "escapement.dead_beat.lock=0.4 deg",
    "escapement.dead_beat.tooth={ form = \"pin\", diameter = \"1.5 mm\" }",
    "escapement.dead_beat.tooth={ form = \"pointed\", depth = \"10 mm\", undercut = \"10 deg\", wedge = \"16 deg\" }",
    "escapement.dead_beat.tooth={ form = \"club\", depth = \"10 mm\", tip_width = \"1.2 mm\", tooth_lift = \"0.3 deg\", undercut = \"10 deg\", wedge = \"10 deg\" }",
    "escapement.recoil_anchor.tooth={ form = \"pin\", diameter = \"0.8 mm\" }",
    "escapement.recoil_anchor.tooth={ depth = \"5 mm\", tip_width = \"0.4 mm\", undercut = \"8 deg\", wedge = \"14 deg\" }",
    "printer={ bead_radius = \"0.2 mm\" }",
    "printer={ growth = \"0.05 mm\", centre_distance_error = \"0.1 mm\" }",
    "printer={ run_out = \"0.03 mm\" }",
    "pendulum.suspension={ kind = \"knife_edge\", edge_radius = \"0.1 mm\", rolling_friction = \"0.002 mm\" }",
    "pendulum.suspension={ kind = \"cord\", diameter = \"0.5 mm\", friction = 0.2 }",
    "pendulum.extra_damping={ linear = \"1e-4 N m s\" }",
    "drive.maintaining=\"endless_cord\"",
];

/// A clock by number and what is laid over it.
#[derive(Debug)]
pub struct Mutated {
    base: usize,
    pub overrides: Vec<String>,
}

impl Mutated {
    pub fn of(dice: &mut Dice) -> Self {
        let base = if dice.percent(HANDS_PERCENT) {
            WITHOUT_HANDS.len() + dice.below(WITH_HANDS.len())
        } else {
            dice.below(WITHOUT_HANDS.len())
        };
        let leaves = SCENARIOS[base].1.leaves();
        let mut overrides = Vec::new();
        while overrides.len() < 6 && (overrides.is_empty() || dice.percent(60)) {
            if dice.percent(15) {
                let further = dice.pick(&FURTHER);
                // A clock has one escapement.
                let escapement =
                    further.split('=').next().and_then(|path| path.rsplit_once('.')).map_or("", |(table, _)| table);
                if !escapement.starts_with("escapement") || leaves.iter().any(|(path, _)| path.starts_with(escapement))
                {
                    overrides.push(further.to_owned());
                }
                continue;
            }
            let (path, text) = &leaves[dice.below(leaves.len())];
            // Tooth counts of the train have to make the beat: hardly any other does.
            let is_count = path.ends_with("_teeth") && !dice.percent(5);
            if let Some(value) = changed(dice, text).filter(|_| !is_count) {
                overrides.push(format!("{path}={value}"));
            }
        }
        Self { base, overrides }
    }

    pub fn name(&self) -> &'static str {
        &SCENARIOS[self.base].0
    }

    pub fn scenario(&self) -> Result<Scenario, beatwright::scenario::LoadError> {
        SCENARIOS[self.base].1.with_overrides(&self.overrides)
    }
}

/// A value with its first number changed; `None` where it has none.
fn changed(dice: &mut Dice, text: &str) -> Option<String> {
    let quoted = text.trim().trim_matches('"');
    let end = quoted.find(|c: char| !(c.is_ascii_digit() || "+-.eE".contains(c))).unwrap_or(quoted.len());
    let (number, rest) = quoted.split_at(end);
    let value: f64 = number.parse().ok()?;
    if number.chars().all(|c| c.is_ascii_digit()) && rest.is_empty() {
        let count: i64 = number.parse().ok()?;
        return Some((count + dice.pick(&[-2, -1, 1, 2])).to_string());
    }
    let normal = (0..6).map(|_| dice.share()).sum::<f64>() - 3.0;
    let scaled = match dice.below(100) {
        0..60 => value * (0.3 * normal).exp(),
        60..85 => value * (1.0 * normal).exp(),
        85..92 => value * (4.0 * normal).exp(),
        92..94 => 0.0,
        94..95 => -value,
        _ => value + dice.between(-1.0, 1.0),
    };
    Some(format!("{scaled:.6e}{rest}"))
}
