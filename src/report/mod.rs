//! Results, tables and pictures: the only place that rounds and prints units.

pub mod comparison;
pub mod comparison_csv;
pub mod csv;
pub mod drawing;
pub mod figures;
pub mod labels;
pub mod levers;
pub mod levers_files;
pub mod look;
pub mod margins;
pub mod panel;
pub mod provenance;
pub mod results;
pub mod sheet;
pub mod tables;
pub mod trade;
