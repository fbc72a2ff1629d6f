//! The studies that a page shows beside the prediction.

use crate::answers::prediction::Prediction;
use crate::report::figures::{
    Figure, MapFigure, draw_levers, draw_map, draw_room, draw_season, draw_spread, draw_trade,
};
use crate::report::levers::text::{Told, sentence};
use crate::report::map::Frame;
use crate::report::prediction::by_key::Answers;
use crate::report::provenance::Provenance;
use crate::report::room::{ToldRooms, coefficients_in_words};
use crate::report::season::rows::{Found, ToldSeason};
use crate::report::season::text::{stop_in_words, worst_week_in_words};
use crate::report::spread::json::{SpreadKeys, spread_keys};
use crate::report::trade::ToldTrade;
use crate::scenario::Scenario;
use crate::scenario::room_log::RoomLog;
use crate::study::jobs::Watch;
use crate::study::levers::levers;
use crate::study::levers::point::Answer;
use crate::study::map::standard::standard_axes;
use crate::study::map::{Ask as MapAsk, map};
use crate::study::room::rooms;
use crate::study::season::season;
use crate::study::spread::Run;
use crate::study::spread::statistics::statistics;
use crate::study::trade::{Ask as TradeAsk, Reserve, Trader, USUAL_FALLS};

/// How much a page computes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Plan {
    /// Printed copies of the spread; 0 for none.
    pub copies: u32,
    /// Seed of the copies.
    pub seed: u32,
    /// Whether the verdict map is drawn.
    pub map: bool,
    /// Whether the levers are tried.
    pub levers: bool,
    /// Whether other drums and falls are tried.
    pub trade: bool,
    /// Whether the room and its season are told.
    pub room: bool,
}

impl Plan {
    /// Under a second.
    pub const DRAFT: Self = Self { copies: 0, seed: 1, map: false, levers: false, trade: true, room: false };
    /// Everything.
    pub const FULL: Self = Self { copies: 1000, seed: 1, map: true, levers: true, trade: true, room: true };
}

/// Share of the copies whose weight is told.
const SHARE: f64 = 0.99;

/// Levers told in words.
const TOLD_LEVERS: usize = 8;

/// Studies of one scenario; empty where one has no meaning for it, or was not asked for.
#[derive(Debug, Clone, Default)]
pub struct Studies {
    /// Verdict map with its contours.
    pub map: Vec<MapFigure>,
    /// Run time against weight.
    pub trade: Option<Figure>,
    /// Printed copies and their pictures.
    pub spread: Option<(SpreadKeys, Vec<Figure>)>,
    /// The strongest levers in words.
    pub levers: Vec<String>,
    /// All of them drawn.
    pub levers_figure: Option<Figure>,
    /// What small changes of the room do, in words.
    pub room: Vec<String>,
    /// Rate against temperature and humidity.
    pub room_figure: Option<Figure>,
    /// What the season does, in words.
    pub season: Vec<String>,
    /// Its picture.
    pub season_figure: Option<Figure>,
}

/// The studies of a scenario; stops early, with less, when told to.
#[must_use]
pub fn gather_studies(
    scenario: &Scenario,
    prediction: &Prediction,
    log: Option<&RoomLog>,
    plan: Plan,
    watch: &dyn Watch,
) -> Studies {
    let mut studies = Studies::default();
    if plan.trade {
        studies.trade = trade(scenario, watch);
    }
    if plan.map && !watch.stopped() {
        studies.map = verdict_map(scenario, prediction, watch).unwrap_or_default();
    }
    if plan.levers && !watch.stopped() {
        (studies.levers, studies.levers_figure) = told_levers(scenario, prediction, watch).unwrap_or_default();
    }
    if plan.room && !watch.stopped() {
        (studies.room, studies.room_figure) = told_room(scenario, watch).unwrap_or_default();
        (studies.season, studies.season_figure) = told_season(scenario, log, watch).unwrap_or_default();
    }
    if plan.copies > 0 && !watch.stopped() {
        studies.spread = spread(scenario, plan, watch);
    }
    studies
}

fn trade(scenario: &Scenario, watch: &dyn Watch) -> Option<Figure> {
    let trader = Trader::of(&scenario.design).ok()?;
    let reserve = Reserve::Margin;
    let ask = TradeAsk { drums_m: trader.usual_drums_m(), falls: USUAL_FALLS.to_vec(), reserve };
    let points = trader.points(&ask, watch);
    let margin_rad = scenario.design.margin_rad;
    draw_trade(&ToldTrade { name: &scenario.design.name, trader: &trader, points: &points, reserve, margin_rad })
}

fn verdict_map(scenario: &Scenario, prediction: &Prediction, watch: &dyn Watch) -> Option<Vec<MapFigure>> {
    let (x, y) = standard_axes(scenario, prediction)?;
    let answers = Answers::usual(&scenario.design, prediction);
    let pick = |design: &_, prediction: &_| answers.of(design, prediction);
    let ask =
        MapAsk { scenario, x: &x, y: Some(&y), wanted: answers.wanted(), pick: &pick, by_start: answers.by_start() };
    let found = map(&ask, watch);
    let today = (x.own(scenario), y.own(scenario));
    let frame = Frame { name: &scenario.design.name, x: &x, y: Some(&y), keys: &answers.keys, today };
    (!found.interrupted).then(|| draw_map(&frame, &found))
}

fn told_levers(
    scenario: &Scenario,
    prediction: &Prediction,
    watch: &dyn Watch,
) -> Option<(Vec<String>, Option<Figure>)> {
    let found = levers(scenario, watch).ok()?;
    let told = Told::of(&scenario.design, &prediction.built, &found, Answer::Margin);
    let words =
        found.ranked(told.by).into_iter().filter_map(|lever| sentence(&told, lever)).take(TOLD_LEVERS).collect();
    Some((words, draw_levers(&told)))
}

fn told_room(scenario: &Scenario, watch: &dyn Watch) -> Option<(Vec<String>, Option<Figure>)> {
    let found = rooms(&scenario.made, watch).ok()?;
    Some((coefficients_in_words(&found), draw_room(&ToldRooms::of(&scenario.design, &found, &[]))))
}

fn told_season(scenario: &Scenario, log: Option<&RoomLog>, watch: &dyn Watch) -> Option<(Vec<String>, Option<Figure>)> {
    let plan = scenario.season.as_ref()?;
    let moments = log.map_or_else(|| plan.year.hours(1), |log| log.moments.clone());
    let found = season(&scenario.made, plan, &moments, watch).ok()??;
    let told = ToldSeason::new(&scenario.design.name, Found::Pendulum(&found), plan, log);
    let words = [worst_week_in_words(&told, &found), stop_in_words(&told, &found)].into_iter().flatten().collect();
    Some((words, draw_season(&told)))
}

fn spread(scenario: &Scenario, plan: Plan, watch: &dyn Watch) -> Option<(SpreadKeys, Vec<Figure>)> {
    let run = Run::of(&scenario.design, plan.seed).ok()?;
    let copies = run.copies(plan.copies, watch);
    let found = statistics(&run, &copies, SHARE)?;
    let asked = [format!("--copies {}", plan.copies), format!("--seed {}", plan.seed)];
    let provenance = Provenance { seed: Some(u64::from(plan.seed)), ..Provenance::of(scenario, &asked) };
    let figures = draw_spread(&run, &copies, &found);
    Some((spread_keys(provenance, &run, &copies, &found), figures))
}
