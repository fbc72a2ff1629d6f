//! What a builder needs: the tables of the papers.

use maud::html;

use crate::report::papers::html::table_markup;
use crate::report::papers::table::PaperTable;
use crate::report::papers::units::PaperUnits;
use crate::report::papers::{PapersView, SETTING_UP, tables};

use super::PageMember;
use super::parts::PageSection;

/// The tables that a clock has; none where the papers were not asked for.
fn tables_of(member: &PageMember<'_>) -> Vec<PaperTable> {
    let Some(papers) = &member.papers else { return Vec::new() };
    let view = PapersView {
        design: &member.scenario.design,
        in_room: member.in_room,
        prediction: member.prediction,
        results: &member.results,
        regulation: &member.regulation,
        papers,
    };
    tables(&view, PaperUnits::Millimetres)
}

/// Everything but the setting up, which has a section of its own.
pub(super) fn build_section(member: &PageMember<'_>) -> Option<PageSection> {
    let tables = tables_of(member);
    (!tables.is_empty()).then(|| PageSection {
        id: "build",
        title: "Plans and parts",
        body: html! {
            p { "Drill plan and anchor to print at full size, and these tables as files: " code { "beatwright papers" } "." }
            @for table in tables.iter().filter(|table| table.name != SETTING_UP) {
                (table_markup(table, PaperUnits::Millimetres))
            }
        },
    })
}
