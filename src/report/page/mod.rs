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
#[cfg(feature = "cli")]
pub mod watched;
mod what_if;
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

pub use motion::{PageMotion, drawn_works, motion};
pub use side_by_side::Comparison;
pub use studies::Studies;
pub use what_if::WhatIf;
pub use words::{KeyFigure, key_figures, open_in_words, verdict_sentence};

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
    /// What its readers may change; `None` where the engine cannot answer for it.
    pub what_if: Option<WhatIf>,
    /// What a builder needs beyond that; `None` where it was not asked for.
    pub papers: Option<Papers>,
    /// The command that writes the page.
    pub command: String,
}

/// The page of a clock: a whole HTML document, with the compressed `engine` that answers its readers.
///
/// Nothing in it is fetched from anywhere; what a scenario says is escaped.
#[must_use]
pub fn page(member: &PageMember<'_>, engine: &[u8]) -> String {
    let sections = sections::sections(member, 0);
    document(
        &member.results.name,
        member.what_if.as_ref().map(|_| engine),
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

/// The page of several clocks: side by side first, then each by itself; as [`page`].
#[must_use]
pub fn page_of_several(members: &[PageMember<'_>], comparison: &Comparison, engine: &[u8]) -> String {
    let title = members.iter().map(|member| member.results.name.as_str()).collect::<Vec<_>>().join(" / ");
    let of_each: Vec<(String, Vec<PageSection>)> = members
        .iter()
        .enumerate()
        .map(|(number, member)| (format!("clock-{}-", number + 1), sections::sections(member, number)))
        .collect();
    let beside = side_by_side::sections(members, comparison);
    document(
        &title,
        members.iter().any(|member| member.what_if.is_some()).then_some(engine),
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

/// What a page may do: nothing from elsewhere; with an engine, to compile that and run it beside the page.
fn policy(engine: bool) -> String {
    let (compiled, beside) = if engine { (" 'wasm-unsafe-eval'", "; worker-src blob:") } else { ("", "") };
    format!(
        "default-src 'none'; style-src 'unsafe-inline'; script-src 'unsafe-inline'{compiled}; img-src data:{beside}"
    )
}

fn document(title: &str, engine: Option<&[u8]>, body: &Markup) -> String {
    html! {
        (DOCTYPE)
        html lang="en" {
            (parts::head(title, &policy(engine.is_some())))
            body {
                (body)
                footer {
                    p.small { "Computed from the scenario by Beatwright " (env!("CARGO_PKG_VERSION")) "; estimates, not promises." }
                }
                script { (PreEscaped(include_str!("motion.js"))) }
                @if let Some(module) = engine {
                    (what_if::engine(module))
                    script { (PreEscaped(include_str!("what_if.js"))) }
                }
            }
        }
    }
    .into_string()
}
