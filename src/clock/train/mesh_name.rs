//! What a mesh is called.

use std::fmt;

use crate::clock::design::Arbor;

use super::depthing::Depthing;
use super::mesh::Mesh;

/// A mesh by its arbors and their teeth; written "mesh great 78 -> centre 12".
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct MeshName {
    /// Name of the arbor that carries the wheel.
    pub driver: String,
    /// Teeth of the wheel.
    pub wheel_teeth: u32,
    /// Name of the arbor that carries the pinion.
    pub driven: String,
    /// Teeth of the pinion.
    pub pinion_teeth: u32,
}

impl MeshName {
    /// The name of a mesh between two arbors.
    #[must_use]
    pub fn of(driver: &Arbor, driven: &Arbor, depthing: &Depthing) -> Self {
        let Mesh { wheel_teeth, pinion_teeth, .. } = depthing.mesh();
        Self { driver: driver.name.clone(), wheel_teeth, driven: driven.name.clone(), pinion_teeth }
    }
}

impl fmt::Display for MeshName {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Self { driver, wheel_teeth, driven, pinion_teeth } = self;
        write!(formatter, "mesh {driver} {wheel_teeth} -> {driven} {pinion_teeth}")
    }
}
