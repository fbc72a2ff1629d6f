//! The action of the pallets as keys and tables.

pub mod clearances;
pub mod over_turn;
