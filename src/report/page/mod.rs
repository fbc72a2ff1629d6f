//! The one-file page: everything about a clock, readable by its builders, with nothing to fetch.

mod around;
mod build;
mod captions;
mod motion;
pub(in crate::report) mod parts;
mod sections;
mod side_by_side;
mod studies;
mod train;
mod words;

use crate::report::prediction::json::Results;
use crate::report::regulation::json::RegulationRecord;
use crate::report::towns::json::TownRecord;
use maud::{DOCTYPE, Markup, PreEscaped, html};

use crate::answers::prediction::Prediction;
use crate::clock::environment::InRoom;
use crate::scenario::Scenario;
use crate::study::papers::Papers;

use super::figures::Figure;
use parts::PageSection;

/// How a page looks.
pub(in crate::report) const STYLE: &str = include_str!("page.css");

pub use motion::{PageMotion, motion};
pub use side_by_side::Comparison;
pub use studies::Studies;
pub use words::{KeyFigure, key_figures, verdict_sentence};

/// What a page shows of one clock.
#[derive(Debug)]
pub struct PageMember<'p> {
    /// The scenario.
    pub scenario: &'p Scenario,
    /// Its clock in its room.
    pub in_room: &'p InRoom,
    /// Its prediction.
    pub prediction: &'p Prediction,
    /// Its results.
    pub results: Results,
    /// The pictures of the prediction.
    pub figures: Vec<Figure>,
    /// Printed beside drawn.
    pub printed: Vec<Figure>,
    /// The motion of a period.
    pub motion: Option<PageMotion>,
    /// Studies.
    pub studies: Studies,
    /// How it is brought to time and into beat.
    pub regulation: RegulationRecord,
    /// The clock in other towns.
    pub towns: Vec<TownRecord>,
    /// What a builder needs beyond that; `None` where it was not asked for.
    pub papers: Option<Papers>,
    /// The command that writes the page.
    pub command: String,
}

/// The page of a clock: a whole HTML document.
///
/// Nothing in it is fetched from anywhere; what a scenario says is escaped.
#[must_use]
pub fn page(member: &PageMember<'_>) -> String {
    let sections = sections::sections(member, 0);
    document(
        &member.results.name,
        &html! {
            header {
                h1 { (member.results.name) }
                (member.opening())
            }
            nav aria-label="Contents" { (links(&sections, "")) }
            main { @for section in &sections { (section.markup("")) } }
        },
    )
}

/// The page of several clocks: side by side first, then each by itself.
#[must_use]
pub fn page_of_several(members: &[PageMember<'_>], comparison: &Comparison) -> String {
    let title = members.iter().map(|member| member.results.name.as_str()).collect::<Vec<_>>().join(" / ");
    let of_each: Vec<(String, Vec<PageSection>)> = members
        .iter()
        .enumerate()
        .map(|(number, member)| (format!("clock-{}-", number + 1), sections::sections(member, number)))
        .collect();
    let beside = side_by_side::sections(members, comparison);
    document(
        &title,
        &html! {
            header {
                h1 { (title) }
                @for member in members { (member.opening()) }
            }
            nav aria-label="Contents" {
                (links(&beside, ""))
                @for (member, (prefix, _)) in members.iter().zip(&of_each) {
                    p { a href={ "#" (prefix) "title" } { (member.results.name) " by itself" } }
                }
            }
            main {
                @for section in &beside { (section.markup("")) }
                @for (member, (prefix, sections)) in members.iter().zip(&of_each) {
                    article aria-labelledby={ (prefix) "title" } {
                        h1 id={ (prefix) "title" } { (member.results.name) " by itself" }
                        nav aria-label={ "Contents of " (member.results.name) } { (links(sections, prefix)) }
                        @for section in sections { (section.markup(prefix)) }
                    }
                }
            }
        },
    )
}

fn links(sections: &[PageSection], prefix: &str) -> Markup {
    html! { ul { @for section in sections { li { a href={ "#" (prefix) (section.id) } { (section.title) } } } } }
}

fn document(title: &str, body: &Markup) -> String {
    html! {
        (DOCTYPE)
        html lang="en" {
            head {
                meta charset="utf-8";
                meta name="viewport" content="width=device-width, initial-scale=1";
                meta http-equiv="Content-Security-Policy"
                    content="default-src 'none'; style-src 'unsafe-inline'; script-src 'unsafe-inline'; img-src data:";
                title { (title) }
                style { (PreEscaped(STYLE)) }
            }
            body {
                (body)
                footer {
                    p.small { "Computed from the scenario by Beatwright " (env!("CARGO_PKG_VERSION")) "; estimates, not promises." }
                }
                script { (PreEscaped(include_str!("motion.js"))) }
            }
        }
    }
    .into_string()
}
