//! What several clocks have in common and what not.

use maud::html;

use crate::report::figures::Figure;
use crate::report::words::quantities::quantity_in_words;
use crate::study::comparison::Difference;

use super::PageMember;
use super::captions::caption;
use super::parts::{PageSection, picture, table};
use super::words::{KeyFigure, key_figures};

/// What is shown of several clocks together.
#[derive(Debug, Clone)]
pub struct Comparison {
    /// What differs between the files.
    pub differences: Vec<Difference>,
    /// The pictures that show all of them.
    pub figures: Vec<Figure>,
}

/// Most values of a scenario that are listed as differing.
const MOST_DIFFERENCES: usize = 60;

pub(super) fn sections(members: &[PageMember<'_>], comparison: &Comparison) -> Vec<PageSection> {
    let names: Vec<&str> = members.iter().map(|member| member.results.name.as_str()).collect();
    let mut sections = vec![PageSection {
        id: "beside",
        title: "Side by side",
        body: table("Key figures of each clock.", &heads("Figure", &names), &figure_rows(members)),
    }];
    if !comparison.differences.is_empty() {
        let left_out = comparison.differences.len().saturating_sub(MOST_DIFFERENCES);
        let rows: Vec<Vec<String>> = comparison
            .differences
            .iter()
            .take(MOST_DIFFERENCES)
            .map(|difference| {
                let values = difference.values.iter().map(|value| value.clone().unwrap_or_else(dash));
                let named = format!("{}, `{}`", quantity_in_words(&difference.path), difference.path);
                std::iter::once(named).chain(values).collect()
            })
            .collect();
        sections.push(PageSection {
            id: "differences",
            title: "What differs in the files",
            body: html! {
                (table("Values that are not the same in all files.", &heads("Value", &names), &rows))
                @if left_out > 0 { p.small { (left_out) " more differ; `beatwright compare` lists them all." } }
            },
        });
    }
    if !comparison.figures.is_empty() {
        sections.push(PageSection {
            id: "together",
            title: "Teeth and action together",
            body: html! {
                div.pictures { @for figure in &comparison.figures { (picture(&figure.svg, caption(figure))) } }
            },
        });
    }
    sections
}

fn heads<'h>(first: &'h str, names: &[&'h str]) -> Vec<&'h str> {
    std::iter::once(first).chain(names.iter().copied()).collect()
}

fn dash() -> String {
    "\u{2013}".to_owned()
}

/// A row a figure that any clock has, and the verdict first.
fn figure_rows(members: &[PageMember<'_>]) -> Vec<Vec<String>> {
    let figures: Vec<Vec<KeyFigure>> = members.iter().map(|member| key_figures(&member.results)).collect();
    let verdicts = members.iter().map(|member| member.results.verdict.replace('_', " "));
    let mut rows: Vec<Vec<String>> = vec![std::iter::once("Verdict".to_owned()).chain(verdicts).collect()];
    let mut shown: Vec<&str> = Vec::new();
    for figure in figures.iter().flatten() {
        if shown.contains(&figure.key) {
            continue;
        }
        shown.push(figure.key);
        let values = figures
            .iter()
            .map(|own| own.iter().find(|other| other.key == figure.key).map_or_else(dash, |other| other.value.clone()));
        rows.push(std::iter::once(figure.name.to_owned()).chain(values).collect());
    }
    rows
}
