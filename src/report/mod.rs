//! Results, tables and pictures: the only place that rounds and prints units.

pub mod action;
pub mod canvas;
pub mod clearances;
pub mod comparison;
pub mod csv_table;
pub mod drawing;
pub mod family;
pub mod figures;
pub mod inspection;
pub mod levers;
pub mod map;
pub mod materials;
pub mod meshes;
pub mod motor;
pub mod motor_spread;
pub mod over_turn;
pub mod page;
pub mod prediction;
pub mod provenance;
pub mod regulation;
pub mod room;
pub mod season;
pub mod spread;
pub mod towns;
pub mod trade;
pub mod words;
