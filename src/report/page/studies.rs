//! The studies that a page shows beside the prediction.

use crate::answers::prediction::Prediction;
use crate::clock::environment::InRoom;
use crate::report::figures::{
    Figure, MapFigure, draw_levers, draw_map, draw_room, draw_season, draw_spread, draw_trade,
};
use crate::report::levers::LeversView;
use crate::report::levers::text::sentence;
use crate::report::map::MapView;
use crate::report::provenance::Provenance;
use crate::report::room::RoomView;
use crate::report::room::text::coefficients_in_words;
use crate::report::season::text::{stop_in_words, worst_week_in_words};
use crate::report::season::{AnySeason, SeasonView};
use crate::report::spread::json::SpreadRecord;
use crate::report::spread::{self, SpreadView};
use crate::report::trade::TradeView;
use crate::scenario::Scenario;
use crate::scenario::room_log::RoomLog;
use crate::study::levers::Levers;
use crate::study::levers::answers::LeverAnswer;
use crate::study::overview::{Copies, Overview, Plan, StandardMap};
use crate::study::season::Season;

/// Most levers in words.
const MOST_LEVERS: usize = 8;

/// Studies of one scenario; empty where one has no meaning for it, or was not asked for.
#[derive(Debug, Clone, Default)]
pub struct Studies {
    /// Verdict map with its contours.
    pub map: Vec<MapFigure>,
    /// Run time against weight.
    pub trade: Option<Figure>,
    /// Printed copies and their pictures.
    pub spread: Option<(SpreadRecord, Vec<Figure>)>,
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

impl Studies {
    /// What an overview found, drawn and in words. `plan`: what it was asked for; `log`: the weather of its season, where that is
    /// a log; `keys`: those of the map's answers.
    #[must_use]
    pub fn of(
        (scenario, in_room, prediction): (&Scenario, &InRoom, &Prediction),
        found: &Overview,
        plan: Plan,
        log: Option<&RoomLog>,
        keys: &[String],
    ) -> Self {
        let design = &scenario.design;
        let mut studies = Self::default();
        if let Some(trade) = &found.trade {
            studies.trade = draw_trade(&TradeView { name: &design.name, trade, margin_rad: design.margin_rad });
        }
        if let Some(map) = &found.map {
            studies.map = drawn_map(scenario, map, keys);
        }
        if let Some(levers) = &found.levers {
            (studies.levers, studies.levers_figure) = drawn_levers(in_room, prediction, levers);
        }
        if let Some(rooms) = &found.rooms {
            studies.room = coefficients_in_words(rooms);
            studies.room_figure = draw_room(&RoomView::of(in_room, rooms, &[]));
        }
        if let Some(season) = &found.season {
            (studies.season, studies.season_figure) = drawn_season(scenario, season, log).unwrap_or_default();
        }
        studies.spread = found.copies.as_ref().map(|copies| spread(scenario, in_room, copies, plan));
        studies
    }
}

fn drawn_map(scenario: &Scenario, found: &StandardMap, keys: &[String]) -> Vec<MapFigure> {
    let StandardMap { x, y, map } = found;
    let today = (x.own(scenario), y.own(scenario));
    draw_map(&MapView { name: &scenario.design.name, x, y: Some(y), keys, today }, map)
}

fn drawn_levers(in_room: &InRoom, prediction: &Prediction, found: &Levers) -> (Vec<String>, Option<Figure>) {
    let view = LeversView::of(in_room, &prediction.built, found, LeverAnswer::Margin);
    let words =
        found.ranked(view.by).into_iter().filter_map(|lever| sentence(&view, lever)).take(MOST_LEVERS).collect();
    (words, draw_levers(&view))
}

fn drawn_season(scenario: &Scenario, found: &Season, log: Option<&RoomLog>) -> Option<(Vec<String>, Option<Figure>)> {
    let view = SeasonView::new(&scenario.design.name, AnySeason::Pendulum(found), scenario.season.as_ref()?, log);
    let words = [worst_week_in_words(&view, found), stop_in_words(&view, found)].into_iter().flatten().collect();
    Some((words, draw_season(&view)))
}

fn spread(scenario: &Scenario, in_room: &InRoom, copies: &Copies, plan: Plan) -> (SpreadRecord, Vec<Figure>) {
    let view = SpreadView::of(in_room, &copies.inputs, &copies.copies, &copies.found);
    let asked = [format!("--copies {}", plan.copies), format!("--seed {}", plan.seed)];
    let provenance = Provenance { seed: Some(u64::from(plan.seed)), ..Provenance::of(scenario, &asked) };
    (spread::json::record(&view, provenance), draw_spread(&view))
}
