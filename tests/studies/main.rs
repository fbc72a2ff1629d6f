//! Studies of a clock: maps, levers, spread, families, rooms, seasons, trades, and the clock with a motor.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, missing_docs)]

#[path = "../support/mod.rs"]
mod support;

mod counts;
mod counts_command;
mod family;
mod fit;
mod fit_edges;
mod foreseen;
mod friction_spread;
mod improve;
mod improve_command;
mod levers;
mod map;
mod map_pictures;
mod motor;
mod motor_season;
mod of_a_design;
mod page_asks;
mod recordings;
mod room;
mod season;
mod solve_for;
mod spread;
mod ticks;
mod trade;
mod train_spread;
mod twelve_hours;
mod wish;
