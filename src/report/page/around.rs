//! What the builder does with the finished clock and where it hangs: room, season, towns, setting up, cautions.

use maud::html;

use crate::report::towns::json::TownRecord;
use crate::report::words::numbers::number;
use crate::report::words::reasons::reason_with_meshes;
use crate::report::words::setting_up::{regulating_steps, turns_in_words};

use super::PageMember;
use super::captions::caption;
use super::parts::{PageSection, picture, table, with_paths};

/// What room and season do, and the clock elsewhere.
pub(super) fn room_section(member: &PageMember<'_>) -> Option<PageSection> {
    let studies = &member.studies;
    let any = !studies.room.is_empty() || studies.season_figure.is_some() || !member.towns.is_empty();
    any.then(|| PageSection {
        id: "room",
        title: "In the room, over the year, elsewhere",
        body: html! {
            @if !studies.room.is_empty() { ul { @for words in &studies.room { li { (words) } } } }
            @for words in &studies.season { p { (words) } }
            div.pictures {
                @if let Some(figure) = &studies.room_figure { (picture(&figure.svg, caption(figure))) }
                @if let Some(figure) = &studies.season_figure { (picture(&figure.svg, caption(figure))) }
            }
            @if !member.towns.is_empty() {
                (table(
                    "Elsewhere: rate with the rating nut as it is, and the turns of the nut that bring it to time \
                        there.",
                    &["Place", "Gravity", "Swing", "Rate", "Nut"],
                    &member.towns.iter().map(town_row).collect::<Vec<_>>(),
                ))
            }
        },
    })
}

fn town_row(town: &TownRecord) -> Vec<String> {
    let cell = |value: Option<f64>, decimals, unit: &str| {
        value.map_or_else(|| "\u{2013}".to_owned(), |value| format!("{} {unit}", number(value, decimals)))
    };
    let nut = match (town.reason, town.nut_turns_to_time) {
        (Some(reason), _) => format!("stops: {}", reason_with_meshes(reason, &town.jammed)),
        (None, Some(turns)) => turns_in_words(turns),
        (None, None) => "\u{2013}".to_owned(),
    };
    vec![
        town.name.clone(),
        cell(town.gravity_m_s2, 5, "m/s\u{b2}"),
        cell(town.semi_arc_deg, 2, "deg"),
        cell(town.rate_s_per_day, 1, "s/day"),
        nut,
    ]
}

/// How the finished clock is started, set in beat and brought to time.
pub(super) fn setting_up(member: &PageMember<'_>) -> Option<PageSection> {
    let steps = regulating_steps(&member.results, &member.regulation);
    (!steps.is_empty()).then(|| PageSection {
        id: "setting-up",
        title: "Setting up and regulating",
        body: html! { ol { @for step in &steps { li { (step) } } } },
    })
}

/// What can hurt.
pub(super) fn cautions(member: &PageMember<'_>) -> Option<PageSection> {
    let cautions = &member.results.cautions;
    (!cautions.is_empty()).then(|| PageSection {
        id: "cautions",
        title: "Cautions",
        body: html! { ul.cautions { @for caution in cautions { li { (with_paths(caution)) } } } },
    })
}
