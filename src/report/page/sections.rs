//! The sections of one clock, in the order in which they are read.

use maud::{Markup, html};

use crate::report::action::json::ActionRecord;
use crate::report::figures::Figure;
use crate::report::life;
use crate::report::spread::json::SpreadRecord;
use crate::report::support;
use crate::report::words::numbers::number;

use super::captions::{caption, caption_of};
use super::motion::moving;
use super::parts::{PageSection, picture, table, with_paths};
use super::what_if::not_here;
use super::words::key_figures;
use super::{PageMember, around, build, train};

/// Every section that the clock has something for.
pub(super) fn sections(member: &PageMember<'_>, number: usize) -> Vec<PageSection> {
    [
        key_section(member),
        member.what_if.as_ref().map_or_else(|| Some(not_here(member.scenario)), |what_if| what_if.section(number)),
        motion_section(member, number),
        action_section(member),
        weight_section(member),
        wall_section(member),
        years_section(member),
        energy_section(member),
        train::train_section(member),
        print_section(member),
        spread_section(member),
        levers_section(member),
        around::room_section(member),
        build::build_section(member),
        around::setting_up(member),
        around::cautions(member),
        source(member),
    ]
    .into_iter()
    .flatten()
    .collect()
}

fn key_section(member: &PageMember<'_>) -> Option<PageSection> {
    let figures = key_figures(&member.results);
    (!figures.is_empty()).then(|| PageSection {
        id: "figures",
        title: "Key figures",
        body: html! {
            div.wide tabindex="0" role="region" aria-label="Key figures" {
                table {
                    thead { tr { th scope="col" { "Figure" } th scope="col" { "Value" } th scope="col" { "What it means" } } }
                    tbody {
                        @for figure in &figures {
                            tr {
                                th scope="row" { (figure.name) }
                                td.number data-key=(figure.key) { (figure.value) }
                                td { (figure.meaning) }
                            }
                        }
                    }
                }
            }
            @if !member.results.notes.is_empty() {
                h3 { "Points to check" }
                ul { @for note in &member.results.notes { li { (with_paths(note)) } } }
            }
        },
    })
}

fn motion_section(member: &PageMember<'_>, number: usize) -> Option<PageSection> {
    let motion = member.motion.as_ref()?;
    let drawing = moving(number, member.in_room, member.prediction, motion)?;
    Some(PageSection {
        id: "motion",
        title: "The escapement at work",
        body: html! {
            p { "A whole period as computed for this clock, with its own teeth and pallets as they come off the printer. The arrow is "
                "the push of the tooth on the pallet. Watch the short drop, when one tooth has let go and the next has not yet landed." }
            (drawing)
        },
    })
}

fn action_section(member: &PageMember<'_>) -> Option<PageSection> {
    let action = member.results.action.as_ref()?;
    let pictures = member.pictures(&["action", "escapement", "torque-over-swing"]);
    Some(PageSection { id: "action", title: "Lock, lift and drop", body: html! { (action_table(action)) (pictures) } })
}

fn action_table(action: &ActionRecord) -> Markup {
    let rows: Vec<Vec<String>> = [("entry", &action.entry), ("exit", &action.exit)]
        .into_iter()
        .map(|(name, pallet)| {
            let cells =
                [pallet.lock_deg, pallet.lift_deg, pallet.drop_deg, pallet.recoil_deg, pallet.clearance_wheel_deg];
            std::iter::once(name.to_owned()).chain(cells.map(|value| format!("{}\u{b0}", number(value, 2)))).collect()
        })
        .collect();
    table(
        "Action as printed: lock, lift and recoil in degrees of the pallets, drop and clearance in degrees of the \
            wheel.",
        &["Pallet", "Lock", "Lift", "Drop", "Recoil", "Clearance behind"],
        &rows,
    )
}

fn weight_section(member: &PageMember<'_>) -> Option<PageSection> {
    let own = member.named(&[
        "amplitude-and-rate-against-weight",
        "swing-and-rate-over-twelve-hours",
        "amplitude-from-starts",
    ]);
    // Contours along one axis only repeat what the curves over the weight show.
    let shown = member.studies.map.iter().filter(|figure| !figure.along_one_axis);
    let map =
        shown.map(|figure| picture(&figure.svg, caption_of(&figure.name).unwrap_or("The same sweep, another result.")));
    let trade = member.studies.trade.as_ref().map(|figure| picture(&figure.svg, caption(figure)));
    Some(PageSection {
        id: "weight",
        title: "Weight, swing and run time",
        body: html! {
            div.pictures {
                @for figure in own { (picture(&figure.svg, caption(figure))) }
                @for figure in map { (figure) }
                @if let Some(trade) = trade { (trade) }
            }
        },
    })
}

fn wall_section(member: &PageMember<'_>) -> Option<PageSection> {
    let results = &member.results;
    let support = results.support.as_ref()?;
    let rows = support::text::rows(support, results);
    let rows: Vec<Vec<String>> = rows.into_iter().map(|(label, value)| vec![sentence_case(label), value]).collect();
    Some(PageSection {
        id: "wall",
        title: "Wall and hanging weight",
        body: html! {
            (table("What holds the clock, and the weight that swings on its cord.", &["Figure", "Value"], &rows))
            @for remark in support::text::remarks(support) { p { (remark) } }
            (member.pictures(&["wall-and-hanging-weight"]))
        },
    })
}

fn years_section(member: &PageMember<'_>) -> Option<PageSection> {
    let results = &member.results;
    let found = results.life.as_ref()?;
    let rows = life::text::rows(found, results);
    let rows: Vec<Vec<String>> =
        rows.into_iter().map(|(label, value)| vec![sentence_case(label.trim()), value]).collect();
    Some(PageSection {
        id: "years",
        title: "The years",
        body: html! {
            (table("How long it goes before it wants cleaning and oil, and what it loses until then.", &["Figure", "Value"], &rows))
            @for remark in life::text::remarks(found, results) { p { (with_paths(&remark)) } }
            (member.pictures(&["swing-over-the-years"]))
        },
    })
}

/// A label with a capital, as a table's first column has it.
fn sentence_case(label: &str) -> String {
    let mut letters = label.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}

fn energy_section(member: &PageMember<'_>) -> Option<PageSection> {
    member.results.energy_per_beat_j.weight?;
    let pictures = member.pictures(&["energy-flow", "phase-portrait"]);
    Some(PageSection { id: "energy", title: "Where the energy goes", body: pictures })
}

fn print_section(member: &PageMember<'_>) -> Option<PageSection> {
    (!member.printed.is_empty()).then(|| PageSection {
        id: "print",
        title: "As drawn and as printed",
        body: html! {
            div.pictures { @for figure in &member.printed { (picture(&figure.svg, caption(figure))) } }
        },
    })
}

fn spread_section(member: &PageMember<'_>) -> Option<PageSection> {
    let (record, figures) = member.studies.spread.as_ref()?;
    Some(PageSection {
        id: "copies",
        title: "Many printed copies",
        body: html! {
            p { (spread_sentence(record)) }
            div.pictures { @for figure in figures { (picture(&figure.svg, caption(figure))) } }
        },
    })
}

fn spread_sentence(record: &SpreadRecord) -> String {
    let going = record.keeps_going;
    let percent = |share: f64| number(1e2 * share, 1);
    let weight = match (record.weight_kg, record.drive_for_share.value) {
        (Some(_), Some(value)) => {
            format!(" {} kg keep {} % of them going.", number(value, 2), number(1e2 * record.drive_for_share.share, 0))
        }
        _ => String::new(),
    };
    format!(
        "Of {} copies, each printed and assembled a little differently, {} % keep going (95 % interval {} to {} \
            %), {} % with the margin asked.{weight}",
        record.copies_counted,
        percent(going.value),
        percent(going.low),
        percent(going.high),
        percent(record.share_that_meets_margin.value)
    )
}

fn levers_section(member: &PageMember<'_>) -> Option<PageSection> {
    let studies = &member.studies;
    if studies.levers.is_empty() && studies.levers_figure.is_none() {
        return None;
    }
    Some(PageSection {
        id: "levers",
        title: "What to change first",
        body: html! {
            @if !studies.levers.is_empty() { ul { @for lever in &studies.levers { li { (with_paths(lever)) } } } }
            @if let Some(figure) = &studies.levers_figure { (picture(&figure.svg, caption(figure))) }
        },
    })
}

fn source(member: &PageMember<'_>) -> Option<PageSection> {
    let scenario = member.scenario;
    Some(PageSection {
        id: "scenario",
        title: "The scenario",
        body: html! {
            p { "Everything above follows from this file" @if !scenario.overrides.is_empty() { " and the values set \
                for this run" } "." }
            ul {
                li { "File: " code { (scenario.file_name) } }
                li { "Fingerprint: " code { (scenario.hash) } }
                li { "Version: " code { (env!("CARGO_PKG_VERSION")) } }
                @for setting in &scenario.overrides { li { "Set: " code { (setting) } } }
                li { "Command: " code { (member.command) } }
            }
            @for (name, text) in scenario.texts() {
                p { code { (name) } }
                pre tabindex="0" role="region" aria-label={ "Text of " (name) } { (text) }
            }
        },
    })
}

impl PageMember<'_> {
    /// The named pictures of the prediction that there are.
    fn named(&self, names: &[&str]) -> Vec<&Figure> {
        names.iter().filter_map(|name| self.figures.iter().find(|figure| figure.name == *name)).collect()
    }

    /// The same with their captions.
    fn pictures(&self, names: &[&str]) -> Markup {
        html! { div.pictures { @for figure in self.named(names) { (picture(&figure.svg, caption(figure))) } } }
    }

    /// What the page opens with.
    pub(super) fn opening(&self) -> Markup {
        html! {
            p.verdict data-verdict=(self.results.verdict) { (super::words::verdict_sentence(&self.results)) }
            @if let Some(note) = &self.scenario.note { p { (note) } }
        }
    }
}
