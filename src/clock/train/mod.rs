//! The going train: counts, meshes, bearings, the drive and its losses.

pub mod bearing;
pub mod counts;
pub mod depthing;
pub mod drive;
pub mod gear_outline;
pub mod losses;
pub mod mesh;
pub mod mesh_name;
pub mod train_made;
pub mod train_notes;
