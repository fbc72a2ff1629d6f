//! Quantities with units for input: "40 mm", "2.4 kg", "0.8 deg". The only place that knows a unit's factor.

mod dimension;
mod exact;
mod kind;
mod plausible;
mod quantity;
mod symbol;
mod unit_text;

pub use dimension::Dimension;
pub use exact::{exact_in_si, exact_number};
pub use kind::Kind;
pub use quantity::{QuantityError, number_and_unit, quantity_in_si, value_and_spread};
pub use symbol::M_PER_INCH;
