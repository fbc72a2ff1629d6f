//! The going train: counts, meshes, bearings, the drive and its losses.

pub mod arbor_places;
pub mod arbor_strength;
pub mod bearing;
pub mod cord;
pub mod counts;
pub mod depthing;
pub mod drive;
pub mod gear_outline;
pub mod hands;
pub mod losses;
pub mod mesh;
pub mod mesh_name;
pub mod motion_work;
pub mod neighbours;
mod pulleys;
pub(in crate::clock) mod push;
mod stages;
pub mod tooth_strength;
pub mod train_made;
pub mod train_notes;
