//! What is shown to the reader: figures and the tables behind them. The only place that rounds and prints units.

pub mod csv;
pub mod figures;
pub mod labels;
pub mod look;
pub mod panel;
pub mod sheet;
