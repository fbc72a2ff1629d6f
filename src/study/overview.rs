//! The usual studies of one clock, as its page shows them together.

use crate::answers::prediction::Prediction;
use crate::clock::environment::weather::WeatherMoment;
use crate::scenario::Scenario;

use super::jobs::Watch;
use super::levers::{Levers, levers};
use super::map::axis::Axis;
use super::map::standard::standard_axes;
use super::map::{Map, MapAsk, Pick, map};
use super::room::{Rooms, rooms};
use super::season::{Season, season};
use super::spread::Run;
use super::spread::copy::PrintedCopy;
use super::spread::inputs::Input;
use super::spread::statistics::{Statistics, statistics};
use super::trade::{Reserve, Trade, TradeAsk, Trader, USUAL_FALLS};

/// Which of them.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Plan {
    /// Printed copies of the spread; 0 for none.
    pub copies: u32,
    /// Seed of the copies.
    pub seed: u32,
    /// Whether drive and start arc are mapped.
    pub map: bool,
    /// Whether the levers are tried.
    pub levers: bool,
    /// Whether other drums and falls are tried.
    pub trade: bool,
    /// Whether the room is changed, and a season gone through.
    pub room: bool,
}

impl Plan {
    /// Under a second.
    pub const DRAFT: Self = Self { copies: 0, seed: 1, map: false, levers: false, trade: true, room: false };
    /// Everything.
    pub const FULL: Self = Self { copies: 1000, seed: 1, map: true, levers: true, trade: true, room: true };
}

/// Share of the copies for which a drive is asked.
const SHARE: f64 = 0.99;

/// The map of drive and start arc.
#[derive(Debug, Clone)]
pub struct StandardMap {
    /// Drive.
    pub x: Axis,
    /// Start arc.
    pub y: Axis,
    /// The map.
    pub map: Map,
}

/// Printed copies.
#[derive(Debug, Clone)]
pub struct Copies {
    /// What varies.
    pub inputs: Vec<Input>,
    /// The copies.
    pub copies: Vec<PrintedCopy>,
    /// What they come to.
    pub found: Statistics,
}

/// What the studies of one clock have found; `None` where one has no meaning for it, was not asked for or not finished.
#[derive(Debug, Clone, Default)]
pub struct Overview {
    /// Run time against weight.
    pub trade: Option<Trade>,
    /// What becomes of the clock over drive and start arc.
    pub map: Option<StandardMap>,
    /// Which quantity to change.
    pub levers: Option<Levers>,
    /// What the room does.
    pub rooms: Option<Rooms>,
    /// A season in it.
    pub season: Option<Season>,
    /// Printed copies.
    pub copies: Option<Copies>,
}

/// The studies of a clock, one after the other; stops early, with less, when `watch` says so.
///
/// `moments`: the weather of a log; else a year of the scenario's sinusoids is gone through. `answers`: what the map is asked
/// for at every point.
#[must_use]
pub fn overview(
    (scenario, prediction): (&Scenario, &Prediction),
    plan: Plan,
    moments: Option<&[WeatherMoment]>,
    answers: &dyn Pick,
    watch: &dyn Watch,
) -> Overview {
    let mut found = Overview::default();
    if plan.trade {
        found.trade = trade_of(scenario, watch);
    }
    if plan.map && !watch.stopped() {
        found.map = map_of(scenario, prediction, answers, watch);
    }
    if plan.levers && !watch.stopped() {
        found.levers = levers(scenario, watch).ok();
    }
    if plan.room && !watch.stopped() {
        found.rooms = rooms(&scenario.design, watch).ok();
        found.season = season_of(scenario, moments, watch);
    }
    if plan.copies > 0 && !watch.stopped() {
        found.copies = copies_of(scenario, plan, watch);
    }
    found
}

fn trade_of(scenario: &Scenario, watch: &dyn Watch) -> Option<Trade> {
    let in_room = scenario.in_room();
    let trader = Trader::of(&in_room).ok()?;
    let ask = TradeAsk { drums_m: trader.usual_drums_m(), falls: USUAL_FALLS.to_vec(), reserve: Reserve::Margin };
    Some(trader.trade(&ask, watch))
}

fn map_of(scenario: &Scenario, prediction: &Prediction, answers: &dyn Pick, watch: &dyn Watch) -> Option<StandardMap> {
    let (x, y) = standard_axes(scenario, prediction)?;
    let map = map(&MapAsk { scenario, x: &x, y: Some(&y), answers }, watch);
    (!map.interrupted).then_some(StandardMap { x, y, map })
}

fn season_of(scenario: &Scenario, moments: Option<&[WeatherMoment]>, watch: &dyn Watch) -> Option<Season> {
    let plan = scenario.season.as_ref()?;
    let year;
    let moments = match moments {
        Some(moments) => moments,
        None => {
            year = plan.year.hours(1);
            &year
        }
    };
    season(&scenario.design, plan, moments, watch).ok()?
}

fn copies_of(scenario: &Scenario, plan: Plan, watch: &dyn Watch) -> Option<Copies> {
    let in_room = scenario.in_room();
    let run = Run::of(&in_room, plan.seed).ok()?;
    let copies = run.copies(plan.copies, watch);
    let found = statistics(&run, &copies, SHARE)?;
    Some(Copies { inputs: run.inputs, copies, found })
}
