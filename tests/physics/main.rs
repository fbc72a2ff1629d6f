//! Geometry, numerics, materials and the parts of a clock, against closed forms, published values and brute force.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, missing_docs)]

#[path = "../support/mod.rs"]
mod support;

mod action;
mod air_and_gravity;
mod arbor_strength;
mod bearings;
mod contact_geometry;
mod cord;
mod depthing;
mod escapement_families;
mod escapement_in_room;
mod escapement_outlines;
mod hands;
mod margins;
mod materials;
mod numerics;
mod pendulum_in_its_room;
mod pendulum_parts;
mod print_geometry;
mod printed_escapement;
mod printed_meshes;
mod search;
mod tooth_forms;
mod tooth_strength;
mod train_and_drive;
mod wall;
mod wheel_body;
mod workshop;
