//! A design made over: in another size, in other materials.

pub mod port;
pub mod scale;
