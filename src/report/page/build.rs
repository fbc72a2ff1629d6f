//! What a builder needs: the tables of the papers.

use maud::html;

use crate::report::drawing::{LabelledDrawing, svg_of};
use crate::report::papers::html::table_markup;
use crate::report::papers::sheets::{DRILL_PLAN, sheets};
use crate::report::papers::units::PaperUnits;
use crate::report::papers::{PapersView, SETTING_UP, tables};

use super::PageMember;
use super::parts::{PageSection, picture};

/// What the papers show of a clock; `None` where they were not asked for.
fn view_of<'m>(member: &'m PageMember<'_>) -> Option<PapersView<'m>> {
    Some(PapersView {
        design: &member.scenario.design,
        in_room: member.in_room,
        prediction: member.prediction,
        results: &member.results,
        regulation: &member.regulation,
        papers: member.papers.as_ref()?,
    })
}

/// What a sheet shows, under the name of its files.
fn sheet_caption(name: &str) -> String {
    let what = if name == DRILL_PLAN { "Drill plan of the plates" } else { "The pallets in one piece" };
    format!("{what}; the file {name}.svg prints at full size.")
}

/// A sheet beside others in one document, where no two parts may bear one name and every picture has one.
fn in_page(sheet: &LabelledDrawing) -> String {
    let named = "<svg role=\"img\" aria-label=\"Sheet to print at full size\" ";
    svg_of(sheet).replace(" id=\"", " data-layer=\"").replacen("<svg ", named, 1)
}

/// Everything but the setting up, which has a section of its own.
pub(super) fn build_section(member: &PageMember<'_>) -> Option<PageSection> {
    let view = view_of(member)?;
    let tables = tables(&view, PaperUnits::Millimetres);
    (!tables.is_empty()).then(|| PageSection {
        id: "build",
        title: "Plans and parts",
        body: html! {
            p { "Drill plan and anchor to print at full size, and these tables as files: " code { "beatwright papers" } "." }
            div.pictures { @for (name, sheet) in sheets(&view, PaperUnits::Millimetres) { (picture(&in_page(&sheet), &sheet_caption(name))) } }
            @for table in tables.iter().filter(|table| table.name != SETTING_UP) {
                (table_markup(table, PaperUnits::Millimetres))
            }
        },
    })
}
