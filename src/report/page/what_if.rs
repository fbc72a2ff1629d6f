//! What a builder's own workshop makes of the clock: the engine itself in the page, asked by its script.

use base64::Engine as _;
use base64::engine::general_purpose::STANDARD;
use maud::{Markup, PreEscaped, html};
use serde::Serialize;

use crate::report::words::quantities::quantity_in_words;
use crate::scenario::Scenario;
use crate::study::improve::vary::VariedRange;
use crate::study::page_asks::AskedQuantity;

use super::parts::PageSection;

const TITLE: &str = "With your printer and bob";

/// What the script of the page gives the engine.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct WhatIf {
    /// Its files, name and text.
    texts: Vec<(String, String)>,
    /// The overrides with which the page was made.
    overrides: Vec<String>,
    /// The command that its line of overrides follows.
    command: String,
    asks: Vec<Ask>,
}

/// A quantity that is asked for.
#[derive(Debug, Clone, PartialEq, Serialize)]
struct Ask {
    path: String,
    name: String,
    unit: Option<String>,
    low: Option<f64>,
    high: Option<f64>,
    decimals: usize,
    /// What the scenario has; `None` where it states no number.
    own: Option<f64>,
    choices: Vec<String>,
}

impl Ask {
    fn of(asked: &AskedQuantity) -> Self {
        let (path, name) = (asked.varied.path.clone(), quantity_in_words(&asked.varied.path));
        match &asked.varied.range {
            VariedRange::Numbers { unit, low, places, decimals, .. } => Self {
                path,
                name,
                unit: unit.clone(),
                low: Some(*low),
                high: Some(low + f64::from(places - 1) * 10_f64.powi(-(*decimals as i32))),
                decimals: *decimals,
                own: asked.own,
                choices: Vec::new(),
            },
            VariedRange::Choices(choices) => {
                Self { path, name, unit: None, low: None, high: None, decimals: 0, own: None, choices: choices.clone() }
            }
        }
    }
}

impl WhatIf {
    /// For a scenario that asks these; `None` where its text does not stand alone, for a page has no other files.
    #[must_use]
    pub fn of(scenario: &Scenario, asked: &[AskedQuantity]) -> Option<Self> {
        Some(Self {
            texts: scenario.alone()?,
            overrides: scenario.overrides.clone(),
            command: command(scenario),
            asks: asked.iter().map(Ask::of).collect(),
        })
    }

    /// Its section, the clock being no. `number` on the page.
    pub(super) fn section(&self, number: usize) -> Option<PageSection> {
        let data = super::parts::as_data(self)?;
        let id = format!("what-if-{number}");
        Some(PageSection {
            id: "yours",
            title: TITLE,
            body: html! {
                p { "Your printer, bob and room are not the designer's. Set here what differs: the program that made this page is in it, and "
                    "computes your clock in your browser, with nothing sent anywhere. An estimate, as everything here." }
                p.unavailable { "This part needs a browser with scripts and WebAssembly; the rest of the page does without." }
                div.what-if data-what-if=(id) data-number=(number) hidden {
                    div.asks {}
                    p.sentence { strong role="status" aria-live="polite" {} }
                    p.busy.small {}
                    div.wide tabindex="0" role="region" aria-label="Your clock beside the designer's" {
                        table {
                            caption { "Your clock beside the designer's. Give or take: two standard deviations, from the spreads of the frictions alone; what your printer and your hands do differently comes on top." }
                            thead { tr { th scope="col" { "Figure" } th scope="col" { "As designed" } th scope="col" { "Yours" } th scope="col" { "Give or take" } } }
                            tbody.figures {}
                        }
                    }
                    div.wide tabindex="0" role="region" aria-label="Where the energy of a beat goes" {
                        table {
                            caption { "Where the energy of a beat goes, in millionths of a joule." }
                            thead { tr { th scope="col" { "Taken by" } th scope="col" { "As designed" } th scope="col" { "Yours" } } }
                            tbody.energy {}
                        }
                    }
                    p.line {
                        label { "Your clock, as the command line has it; paste a line like it to set all at once: " input type="text" spellcheck="false"; }
                        button.copy type="button" { "Copy" }
                        button.designed type="button" { "As designed" }
                    }
                    script type="application/json" id=(id) { (PreEscaped(data)) }
                }
            },
        })
    }
}

/// The command that predicts the clock of a scenario.
fn command(scenario: &Scenario) -> String {
    format!("beatwright predict {}{}", scenario.file_name, scenario.options())
}

/// Why a clock that cannot be asked in the page is not, and where it can.
pub(super) fn not_here(scenario: &Scenario) -> PageSection {
    PageSection {
        id: "yours",
        title: TITLE,
        body: html! {
            p { "The scenario of this clock names a file with outlines of its own, which this page does not carry, so that it cannot compute "
                "your clock here. On the command line it can: " code { (command(scenario)) " --set 'drive.weight=3 kg'" } "." }
        },
    }
}

/// The engine's module, compressed, as the script reads it.
pub(super) fn engine(module: &[u8]) -> Markup {
    html! { script type="text/plain" id="engine" { (STANDARD.encode(module)) } }
}
