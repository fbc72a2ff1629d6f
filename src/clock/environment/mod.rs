//! Where the clock stands: gravity, air, weather, and the size that its parts take there: from a `Design` to an `InRoom`.

pub mod air;
pub mod expansion;
mod in_room;
pub mod site;
pub mod surroundings;
pub mod weather;

pub use in_room::{Conditioned, InRoom};
