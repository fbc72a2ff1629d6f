//! The one-file page: everything about a clock, readable by its builders, with nothing to fetch.

mod motion;
mod parts;
mod sections;
mod studies;
mod train;
mod words;

use maud::{DOCTYPE, PreEscaped, html};

use crate::answers::prediction::Prediction;
use crate::report::figures::Figure;
use crate::report::results::Results;
use crate::scenario::Scenario;

pub use motion::{Motion, motion};
pub use studies::{Plan, Studies, gather_studies};
pub use words::{KeyFigure, key_figures, verdict_sentence};

/// What a page tells of one clock.
#[derive(Debug)]
pub struct Member<'p> {
    /// The scenario.
    pub scenario: &'p Scenario,
    /// Its prediction.
    pub prediction: &'p Prediction,
    /// Its results.
    pub results: Results,
    /// The pictures of the prediction.
    pub figures: Vec<Figure>,
    /// Printed beside drawn.
    pub printed: Vec<Figure>,
    /// The motion of a period.
    pub motion: Option<Motion>,
    /// Studies.
    pub studies: Studies,
    /// Cautions, a sentence each.
    pub cautions: Vec<String>,
    /// The command that writes the page.
    pub command: String,
}

/// The page of a clock: a whole HTML document.
///
/// Nothing in it is fetched from anywhere; what a scenario says is escaped.
#[must_use]
pub fn page(member: &Member<'_>) -> String {
    let sections = sections::sections(member, 0);
    html! {
        (DOCTYPE)
        html lang="en" {
            head {
                meta charset="utf-8";
                meta name="viewport" content="width=device-width, initial-scale=1";
                meta http-equiv="Content-Security-Policy"
                    content="default-src 'none'; style-src 'unsafe-inline'; script-src 'unsafe-inline'; img-src data:";
                title { (member.results.name) ", a clock" }
                style { (PreEscaped(include_str!("page.css"))) }
            }
            body {
                header {
                    h1 { (member.results.name) }
                    (member.opening(&member.results))
                }
                nav aria-label="Contents" {
                    ul { @for section in &sections { li { a href={ "#" (section.id) } { (section.title) } } } }
                }
                main { @for section in &sections { (section.markup()) } }
                footer { p.small { "Computed from the scenario by Beatwright " (env!("CARGO_PKG_VERSION")) "; estimates, not promises." } }
                script { (PreEscaped(include_str!("motion.js"))) }
            }
        }
    }
    .into_string()
}
