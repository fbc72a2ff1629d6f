//! Where the clock stands: gravity, air, weather, and the size that its parts take there.

pub mod air;
pub mod expansion;
pub mod site;
pub mod surroundings;
pub mod weather;
