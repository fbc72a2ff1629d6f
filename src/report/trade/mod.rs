//! Run time against weight.

pub mod csv;
pub mod json;
pub mod text;
mod view;

pub use view::TradeView;
