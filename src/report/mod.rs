//! Results, tables and pictures: the only place that rounds and prints units.

pub mod action_over_turn;
pub mod answers;
pub mod comparison;
pub mod comparison_csv;
pub mod csv;
pub mod drawing;
pub mod figures;
pub mod labels;
pub mod levers;
pub mod levers_files;
pub mod look;
pub mod map;
pub mod margins;
pub mod meshes;
pub mod panel;
pub mod provenance;
pub mod results;
pub mod sheet;
pub mod spread;
pub mod spread_csv;
pub mod spread_keys;
pub mod spread_names;
pub mod tables;
pub mod trade;
