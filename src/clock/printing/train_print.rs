//! What printer and assembly make of the gears of a train and of the distances of their arbors.

use crate::clock::design::{Arbor, MadeOf, Train};
use crate::clock::materials::is_metal;

use super::printed_outline::PartPrint;
use super::printer::Printer;

/// A gear as it comes off the printer and onto its arbor. The default is one made as designed.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct GearPrint {
    /// What the printer does to its outline.
    pub part: PartPrint,
    /// Eccentricity on its arbor, m.
    pub run_out_m: f64,
}

/// The two gears of a mesh and their arbors. The default is made as designed.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct MeshPrint {
    /// The wheel; `None` where the printer does not make it.
    pub wheel: Option<GearPrint>,
    /// The pinion; `None` likewise.
    pub pinion: Option<GearPrint>,
    /// Distance of the arbors beyond the designed one, m.
    pub distance_error_m: f64,
    /// Shrinkage of the frame that holds them, a fraction; 0 where their holes are drilled.
    pub frame_shrinkage: f64,
}

/// The meshes of a train. The default is a train made as designed.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct TrainPrint {
    /// Meshes in the train's order; those that are missing are as designed.
    pub meshes: Vec<MeshPrint>,
}

/// Whether `[printer]` says how a gear is made: not where it is of metal or of a material like one, which is cut or
/// bought. All else is printed, or sawn by a
/// machine whose errors stand there in the same way; so is a gear of which no material is stated. Wheel and pallets of the escapement
/// are always made as `[printer]` says.
#[must_use]
pub fn is_made_by_printer(made_of: Option<&MadeOf>) -> bool {
    !made_of.is_some_and(|made_of| is_metal(&made_of.material))
}

impl TrainPrint {
    /// The train as the mean of a printer makes it.
    #[must_use]
    pub fn mean_of(printer: &Printer, train: &Train) -> Self {
        if *printer == Printer::default() {
            return Self::default();
        }
        let gear = GearPrint { part: PartPrint::mean_of(printer), run_out_m: printer.run_out.value };
        let of = |made_of: Option<&MadeOf>| is_made_by_printer(made_of).then_some(gear);
        let mesh = |pair: &[Arbor]| {
            let [driver, driven] = pair else { return MeshPrint::default() };
            MeshPrint {
                wheel: of(driver.wheel.as_ref()),
                pinion: of(driven.pinion.as_ref()),
                distance_error_m: printer.centre_distance_error.value,
                frame_shrinkage: printer.frame_shrinkage(printer.shrinkage.value),
            }
        };
        Self { meshes: train.arbors.windows(2).map(mesh).collect() }
    }

    /// The mesh that follows arbor no. `driver` (from 0).
    #[must_use]
    pub fn mesh(&self, driver: usize) -> MeshPrint {
        self.meshes.get(driver).copied().unwrap_or_default()
    }
}
