//! How a study gives a design another value of a quantity.

use crate::clock::design::Design;

/// The design with a quantity at a value, or in words why it cannot have it.
///
/// | argument | meaning | unit |
/// |---|---|---|
/// | design | the clock as made, whatever was changed of it before | SI |
/// | value | the quantity's | SI, or what the study that asks says |
///
/// Nobody checks the value again as the reader of a scenario would, so what no part can have is refused here, or else by what builds
/// the clock. The clock is then conditioned in the air of its place. A column that compensates keeps its length
/// ([`compensated`](crate::answers::compensation::compensated) solves it again).
pub type Setter<'a> = dyn Fn(&Design, f64) -> Result<Design, String> + Sync + 'a;
