//! A page around the page, for the browser beside the editor: it shows the newest one, and what keeps a newer one from coming.

use maud::{DOCTYPE, PreEscaped, html};

use super::parts;

/// Where the page itself is.
pub const FRAMED: &str = "page.html";

/// Where its number and the error are.
pub const STATE: &str = "state.json";

/// What it may do: show the page within and ask the address that it came from.
const POLICY: &str =
    "default-src 'none'; style-src 'unsafe-inline'; script-src 'unsafe-inline'; connect-src 'self'; frame-src 'self'";

/// The document; nothing of a scenario is in it.
#[must_use]
pub fn watched() -> String {
    html! {
        (DOCTYPE)
        html lang="en" {
            (parts::head("Beatwright: the page as it is written", POLICY))
            body.watched data-state=(STATE) data-framed=(FRAMED) {
                p role="status" { "The page is being made." }
                pre role="alert" hidden {}
                iframe title="The page" hidden {}
                script { (PreEscaped(include_str!("watched.js"))) }
            }
        }
    }
    .into_string()
}
