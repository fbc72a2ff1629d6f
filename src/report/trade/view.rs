//! What a report on run time against weight needs.

use crate::study::trade::{Reserve, Trade};

/// What a report on run time against weight is made of.
#[derive(Debug, Clone, Copy)]
pub struct TradeView<'t> {
    /// The clock's name.
    pub name: &'t str,
    /// Its weights and runs.
    pub trade: &'t Trade,
    /// The scenario's margin, rad.
    pub margin_rad: f64,
}

impl TradeView<'_> {
    /// The reserve in words.
    #[must_use]
    pub fn reserve_in_words(&self) -> String {
        match self.trade.reserve {
            Reserve::Margin => {
                let margin_deg = (1e3 * self.margin_rad.to_degrees()).round() / 1e3;
                format!("an arc margin of {margin_deg} deg")
            }
            Reserve::Ratio(ratio) => {
                format!("a weight {} times the least", crate::report::canvas::look::significant(ratio, 3))
            }
        }
    }
}
