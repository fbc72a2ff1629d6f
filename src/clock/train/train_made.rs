//! A train as it was made and as its room has it: all by which its meshes differ from the design.

use crate::clock::environment::InRoom;
use crate::clock::environment::expansion::{MeshStrain, TrainStrain};
use crate::clock::printing::train_print::{MeshPrint, TrainPrint};

/// How gears and arbors of a train differ from the design. The default is a train made exactly as designed and unmoved since.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct TrainMade {
    /// What the room has done.
    pub strain: TrainStrain,
    /// What printer and assembly have done.
    pub print: TrainPrint,
}

/// The same of one mesh.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct MeshMade {
    /// What the room has done.
    pub strain: MeshStrain,
    /// What printer and assembly have done.
    pub print: MeshPrint,
}

impl TrainMade {
    /// The train of a clock in its room, as the mean of its printer makes it.
    #[must_use]
    pub fn mean_of(in_room: &InRoom) -> Self {
        let train = in_room.train.as_ref();
        let print = train.map_or_else(TrainPrint::default, |train| TrainPrint::mean_of(&in_room.printer, train));
        Self { strain: in_room.sizes.train.clone(), print }
    }

    /// Of the mesh that follows arbor no. `driver` (from 0).
    #[must_use]
    pub fn mesh(&self, driver: usize) -> MeshMade {
        MeshMade { strain: self.strain.mesh(driver), print: self.print.mesh(driver) }
    }
}
