//! How fast frictions grow where a scenario does not say.

use crate::clock::design::Ageing;

/// Usual growth of frictions: common practice, no source. Clocks are cleaned and oiled anew every few years, with or without need; what they
/// rub by then has been measured by nobody whom we could quote. Hence the wide factor.
pub const USUAL_AGEING: Ageing =
    Ageing { oiled_per_year: 0.10, greased_per_year: 0.08, dry_per_year: 0.05, within: 2.0 };
