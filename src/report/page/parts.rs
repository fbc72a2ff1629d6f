//! Pieces that every section is made of.

use maud::{Markup, PreEscaped, html};

/// The head of a document that fetches nothing: its title, what it may do, and how it looks.
pub(in crate::report) fn head(title: &str, policy: &str) -> Markup {
    html! {
        head {
            meta charset="utf-8";
            meta name="viewport" content="width=device-width, initial-scale=1";
            meta http-equiv="Content-Security-Policy" content=(policy);
            title { (title) }
            style { (PreEscaped(include_str!("page.css"))) }
        }
    }
}

/// A part of the page with a heading of its own.
pub(super) struct PageSection {
    /// Anchor.
    pub id: &'static str,
    /// Heading.
    pub title: &'static str,
    /// What follows it.
    pub body: Markup,
}

impl PageSection {
    /// The section; `prefix` keeps the anchors of several clocks distinct.
    pub fn markup(&self, prefix: &str) -> Markup {
        html! {
            section id={ (prefix) (self.id) } aria-labelledby={ (prefix) (self.id) "-title" } {
                h2 id={ (prefix) (self.id) "-title" } { (self.title) }
                (self.body)
            }
        }
    }
}

/// A value as a script of the page reads it; a "<" in a script element could end it.
pub(super) fn as_data(value: &impl serde::Serialize) -> Option<String> {
    Some(serde_json::to_string(value).ok()?.replace('<', "\\u003c"))
}

/// A picture with its caption.
pub(super) fn picture(svg: &str, caption: &str) -> Markup {
    html! {
        figure {
            (PreEscaped(svg))
            figcaption { (caption) }
        }
    }
}

/// Longest cell, in bytes, that is kept on one line.
const LONGEST_NUMBER: usize = 20;

/// A table: caption, heads, rows of a head and cells.
pub(in crate::report) fn table(caption: &str, heads: &[&str], rows: &[Vec<String>]) -> Markup {
    table_with(&html! { caption { (caption) } }, caption, heads, rows)
}

/// The same below a heading of its own that says what it shows.
pub(in crate::report) fn headed_table(heading: &str, heads: &[&str], rows: &[Vec<String>]) -> Markup {
    table_with(&html! {}, heading, heads, rows)
}

fn table_with(caption: &Markup, label: &str, heads: &[&str], rows: &[Vec<String>]) -> Markup {
    html! {
        div.wide tabindex="0" role="region" aria-label=(label) {
            table {
                (caption)
                thead { tr { @for head in heads { th scope="col" { (head) } } } }
                tbody {
                    @for row in rows {
                        tr {
                            @for (number, cell) in row.iter().enumerate() {
                                @if number == 0 { th scope="row" { (with_paths(cell)) } } @else { td.number[cell.len() <= LONGEST_NUMBER] { (true_minus(cell)) } }
                            }
                        }
                    }
                }
            }
        }
    }
}

/// A text whose paths, in backticks, are set as they stand in the file.
pub(super) fn with_paths(text: &str) -> Markup {
    html! {
        @for (number, part) in text.split('`').enumerate() {
            @if number % 2 == 1 { code { (part) } } @else { (part) }
        }
    }
}

/// A number with a true minus sign.
pub(super) fn true_minus(text: &str) -> String {
    match text.strip_prefix('-') {
        Some(rest) if rest.starts_with(|first: char| first.is_ascii_digit()) => format!("\u{2212}{rest}"),
        _ => text.to_owned(),
    }
}
