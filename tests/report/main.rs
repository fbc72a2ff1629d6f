//! What is shown of the results: figures, page, gallery and cautions.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, missing_docs)]

#[path = "../support/mod.rs"]
mod support;

mod cautions;
mod comparison;
mod drawn;
mod figures;
mod gallery;
mod page;
mod papers;
mod papers_in_the_workshop;
mod words;
