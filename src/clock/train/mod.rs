//! The going train: counts, meshes, bearings, the drive and its losses.

pub mod bearing;
pub mod counts;
pub mod depthing;
pub mod drive;
pub mod losses;
pub mod mesh;
