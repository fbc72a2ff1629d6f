//! What is read: scenarios, overlays, units, drawings and logs, and what is told of a bad one.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, missing_docs)]

#[path = "../support/mod.rs"]
mod support;

mod ageing;
mod drawing;
mod friction;
mod hostile;
mod logs;
mod motor;
mod named_files;
mod overlays;
mod ported;
mod printer;
mod reading;
mod scaled;
mod units;
mod wall;
