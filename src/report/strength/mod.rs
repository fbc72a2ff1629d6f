//! What holds the driving weight: teeth, arbors and cord against their strength.

pub mod json;
pub mod text;
