//! What differs from copy to copy, and the values that one copy draws.

use statrs::distribution::{ContinuousCDF as _, Normal};

use crate::clock::design::EscapementDesign;
use crate::clock::environment::InRoom;
use crate::clock::printing::printed_outline::{Assembly, PartPrint};
use crate::clock::printing::printer::{Printer, Spread, SpreadPer};
use crate::clock::printing::train_print::{GearPrint, MeshPrint, TrainPrint};
use crate::numerics::points::drawn_share;

use super::frictions::{FrictionInput, friction_inputs};

/// Standard deviations at which the normal distribution is cut off on both sides.
pub const CUT_AT: f64 = 3.0;

/// Standard deviations in a spread as the scenario states it: 95 % of the copies lie within it.
pub const STATED_AS: f64 = 2.0;

/// A quantity of the printer or the assembly.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum PrinterQuantity {
    /// Linear shrinkage.
    Shrinkage,
    /// Growth of the outer edges.
    Growth,
    /// Radius of the bead.
    BeadRadius,
    /// Growth of the first layers.
    ElephantFoot,
    /// Distance of the arbors beyond the drawn one.
    CentreDistanceError,
    /// Eccentricity of the wheel.
    RunOut,
    /// Diametral play of an arbor.
    PivotPlay,
}

impl PrinterQuantity {
    const ALL: [Self; 7] = [
        Self::Shrinkage,
        Self::Growth,
        Self::BeadRadius,
        Self::ElephantFoot,
        Self::CentreDistanceError,
        Self::RunOut,
        Self::PivotPlay,
    ];

    /// Its key in `[printer]`.
    #[must_use]
    pub const fn key(self) -> &'static str {
        match self {
            Self::Shrinkage => "shrinkage",
            Self::Growth => "growth",
            Self::BeadRadius => "bead_radius",
            Self::ElephantFoot => "elephant_foot",
            Self::CentreDistanceError => "centre_distance_error",
            Self::RunOut => "run_out",
            Self::PivotPlay => "pivot_play",
        }
    }

    const fn of(self, printer: &Printer) -> Spread {
        match self {
            Self::Shrinkage => printer.shrinkage,
            Self::Growth => printer.growth,
            Self::BeadRadius => printer.bead_radius,
            Self::ElephantFoot => printer.elephant_foot,
            Self::CentreDistanceError => printer.centre_distance_error,
            Self::RunOut => printer.run_out,
            Self::PivotPlay => printer.pivot_play,
        }
    }

    /// Whether wheel and pallets each have one of their own.
    const fn of_parts(self) -> bool {
        !matches!(self, Self::CentreDistanceError | Self::RunOut)
    }

    /// Least value that can be: no bead, foot, eccentricity or play is below nothing.
    const fn least(self) -> f64 {
        match self {
            Self::Shrinkage | Self::Growth | Self::CentreDistanceError => f64::NEG_INFINITY,
            Self::BeadRadius | Self::ElephantFoot | Self::RunOut | Self::PivotPlay => 0.0,
        }
    }
}

/// The part that an input belongs to.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum VaryingPart {
    /// Wheel and pallets alike, or the assembly.
    Both,
    /// The wheel, or its arbor.
    Wheel,
    /// The pallets, or their arbor.
    Pallets,
}

/// What an input sets of a copy.
#[derive(Debug, Clone, PartialEq)]
pub enum Varied {
    /// A quantity of the printer or the assembly, of these parts.
    Print(PrinterQuantity, VaryingPart),
    /// A quantity of the printer or the assembly, for the train: every gear, or every distance of two arbors, its own. The value is no
    /// quantity but a number from 0 to 1 that picks them all.
    Train(PrinterQuantity),
    /// Frictions.
    Friction(FrictionInput),
    /// Stiffness of what carries the clock, as a typical one is off by a factor: that, two standard deviations of its logarithm.
    Support(f64),
}

/// A quantity that is drawn anew for every copy.
#[derive(Debug, Clone, PartialEq)]
pub struct Input {
    /// What it sets.
    pub varied: Varied,
    /// Mean, SI.
    pub mean: f64,
    /// Standard deviation of the normal distribution before it is cut, SI.
    pub deviation: f64,
}

/// All inputs of a clock in a fixed order: its printer's where it has outlines to print, then its frictions', then its support's.
#[must_use]
pub fn inputs_of(in_room: &InRoom) -> Vec<Input> {
    let is_ideal = matches!(in_room.escapement, EscapementDesign::IdealTorque(_) | EscapementDesign::IdealKick(_));
    let mut found = if is_ideal { Vec::new() } else { inputs(&in_room.printer) };
    if !is_ideal && let Some(train) = &in_room.train {
        found.extend(train_inputs(&in_room.printer, &TrainPrint::mean_of(&in_room.printer, train)));
    }
    found.extend(friction_inputs(&in_room.frictions()).into_iter().map(|friction| Input {
        mean: friction.mean,
        deviation: friction.deviation,
        varied: Varied::Friction(friction),
    }));
    found.extend(in_room.support.filter(|support| support.stiffness_within > 1.0).map(|support| Input {
        varied: Varied::Support(support.stiffness_within),
        mean: support.stiffness_n_per_m,
        // One standard deviation upwards.
        deviation: support.stiffness_n_per_m * (support.stiffness_within.powf(1.0 / STATED_AS) - 1.0),
    }));
    found
}

/// The inputs of a printer, in a fixed order: one for each quantity with a spread, two where wheel and pallets have their own.
#[must_use]
pub fn inputs(printer: &Printer) -> Vec<Input> {
    let mut found = Vec::new();
    for quantity in PrinterQuantity::ALL {
        let Spread { value, spread, per } = quantity.of(printer);
        if !(spread > 0.0) {
            continue;
        }
        let parts: &[VaryingPart] = match per {
            SpreadPer::Part if quantity.of_parts() => &[VaryingPart::Wheel, VaryingPart::Pallets],
            _ => &[VaryingPart::Both],
        };
        let input = |&part: &VaryingPart| Input {
            varied: Varied::Print(quantity, part),
            mean: value,
            deviation: spread / STATED_AS,
        };
        found.extend(parts.iter().map(input));
    }
    found
}

/// The inputs of a train: one for each quantity with a spread of which not all parts of a printer have the same.
fn train_inputs(printer: &Printer, train: &TrainPrint) -> Vec<Input> {
    let gears = train.meshes.iter().any(|mesh| mesh.wheel.is_some() || mesh.pinion.is_some());
    let of_train = |quantity: PrinterQuantity| {
        let Spread { value, spread, per } = quantity.of(printer);
        let is_there = match quantity {
            PrinterQuantity::CentreDistanceError => !train.meshes.is_empty(),
            PrinterQuantity::PivotPlay => false,
            _ => gears,
        };
        (is_there && spread > 0.0 && per == SpreadPer::Part).then(|| Input {
            varied: Varied::Train(quantity),
            mean: value,
            deviation: spread / STATED_AS,
        })
    };
    PrinterQuantity::ALL.into_iter().filter_map(of_train).collect()
}

impl Input {
    /// Whether a copy has to be printed anew for it.
    #[must_use]
    pub const fn is_of_the_print(&self) -> bool {
        matches!(self.varied, Varied::Print(..) | Varied::Train(_))
    }

    /// The value at a share (strictly between 0 and 1) of the copies: of a normal distribution cut off at three standard
    /// deviations, and at 0 where the quantity cannot be negative, the rest being the whole; of a support its logarithm is. Of a train it is
    /// the share itself.
    #[must_use]
    pub fn value_at(&self, share: f64) -> f64 {
        if matches!(self.varied, Varied::Train(_)) {
            return share;
        }
        if let Varied::Support(within) = self.varied {
            return cut_normal(share, self.mean.ln(), within.ln() / STATED_AS, f64::NEG_INFINITY).exp();
        }
        cut_normal(share, self.mean, self.deviation, self.least())
    }

    /// Least value that the quantity can have, SI.
    pub(in crate::study) const fn least(&self) -> f64 {
        match &self.varied {
            Varied::Print(quantity, _) | Varied::Train(quantity) => quantity.least(),
            Varied::Friction(_) | Varied::Support(_) => 0.0,
        }
    }

    /// Least and most of the quantity among the gears that the printer makes of `train`, or among the distances of its arbors, for a
    /// copy that has drawn `value`, SI; `None` of an input that is not the train's.
    #[must_use]
    pub fn range_over_train(&self, train: &TrainPrint, value: f64) -> Option<(f64, f64)> {
        let Varied::Train(quantity) = self.varied else { return None };
        let parts = numbered(train).flat_map(|(first, mesh)| match quantity {
            PrinterQuantity::CentreDistanceError => [Some(first), None],
            _ => [mesh.wheel.map(|_| first), mesh.pinion.map(|_| first + 1)],
        });
        parts
            .flatten()
            .map(|part| self.of_train(quantity, value, part))
            .map(|drawn| (drawn, drawn))
            .reduce(|range, drawn| (range.0.min(drawn.0), range.1.max(drawn.1)))
    }

    /// Of a train that has drawn `value`, the quantity of its part no. `part`.
    fn of_train(&self, quantity: PrinterQuantity, value: f64, part: u32) -> f64 {
        let stream = (value * f64::from(u32::MAX)) as u32;
        let place = PrinterQuantity::ALL.iter().position(|&one| one == quantity).unwrap_or_default() as u32;
        cut_normal(
            drawn_share(part * PrinterQuantity::ALL.len() as u32 + place, stream),
            self.mean,
            self.deviation,
            quantity.least(),
        )
    }
}

/// The meshes of a train with the part number of each wheel; its pinion's is the next. The frame is part no. 0.
fn numbered(train: &TrainPrint) -> impl Iterator<Item = (u32, &MeshPrint)> {
    (1..).step_by(2).zip(&train.meshes)
}

/// The value at a share (strictly between 0 and 1) of a normal distribution cut off at three standard deviations (above 0) and
/// at `least`, the rest being the whole.
#[must_use]
pub fn cut_normal(share: f64, mean: f64, deviation: f64, least: f64) -> f64 {
    let normal = Normal::standard();
    let lowest = ((least - mean) / deviation).clamp(-CUT_AT, CUT_AT);
    let (from, to) = (normal.cdf(lowest), normal.cdf(CUT_AT));
    let standard = normal.inverse_cdf(from + share * (to - from)).clamp(lowest, CUT_AT);
    (mean + deviation * standard).max(least)
}

/// What a copy is made with.
#[derive(Debug, Clone, PartialEq)]
pub struct Making {
    /// Print of the wheel.
    pub wheel: PartPrint,
    /// Print of the pallets.
    pub pallets: PartPrint,
    /// Assembly.
    pub assembly: Assembly,
    /// Gears and arbors of the train.
    pub train: TrainPrint,
}

impl Making {
    /// Of a copy that has drawn `values` for `inputs`; all else at the mean of `printer`, as `mean_train` is.
    #[must_use]
    pub fn of(printer: &Printer, mean_train: &TrainPrint, inputs: &[Input], values: &[f64]) -> Self {
        let drawn = |quantity: PrinterQuantity, part: VaryingPart| {
            inputs
                .iter()
                .zip(values)
                .find(|(input, _)| match &input.varied {
                    Varied::Print(own, of) => *own == quantity && (*of == part || *of == VaryingPart::Both),
                    Varied::Train(_) | Varied::Friction(_) | Varied::Support(_) => false,
                })
                .map_or(quantity.of(printer).value, |(_, &value)| value)
        };
        let print = |part| PartPrint {
            shrinkage: drawn(PrinterQuantity::Shrinkage, part),
            growth_m: drawn(PrinterQuantity::Growth, part) + drawn(PrinterQuantity::ElephantFoot, part),
            bead_radius_m: drawn(PrinterQuantity::BeadRadius, part),
        };
        let of_train = |quantity: PrinterQuantity, part: u32| {
            let of_own = |(input, &value): (&Input, &f64)| {
                (input.varied == Varied::Train(quantity)).then(|| input.of_train(quantity, value, part))
            };
            // Alike for all parts of the printer, or known.
            let alike = || match quantity.of(printer).per {
                SpreadPer::Printer => drawn(quantity, VaryingPart::Both),
                SpreadPer::Part => quantity.of(printer).value,
            };
            inputs.iter().zip(values).find_map(of_own).unwrap_or_else(alike)
        };
        // The frame is part no. 0.
        let frame_shrinkage = printer.frame_shrinkage(of_train(PrinterQuantity::Shrinkage, 0));
        let gear = |part: u32| GearPrint {
            part: PartPrint {
                shrinkage: of_train(PrinterQuantity::Shrinkage, part),
                growth_m: of_train(PrinterQuantity::Growth, part) + of_train(PrinterQuantity::ElephantFoot, part),
                bead_radius_m: of_train(PrinterQuantity::BeadRadius, part),
            },
            run_out_m: of_train(PrinterQuantity::RunOut, part),
        };
        let mesh = |(first, mean): (u32, &MeshPrint)| MeshPrint {
            wheel: mean.wheel.map(|_| gear(first)),
            pinion: mean.pinion.map(|_| gear(first + 1)),
            distance_error_m: of_train(PrinterQuantity::CentreDistanceError, first),
            frame_shrinkage,
        };
        let meshes = numbered(mean_train).map(mesh).collect();
        let play_m = |part| 0.5 * drawn(PrinterQuantity::PivotPlay, part);
        Self {
            wheel: print(VaryingPart::Wheel),
            pallets: print(VaryingPart::Pallets),
            assembly: Assembly {
                further_apart_m: drawn(PrinterQuantity::CentreDistanceError, VaryingPart::Both)
                    + (play_m(VaryingPart::Wheel) + play_m(VaryingPart::Pallets)),
                run_out_m: drawn(PrinterQuantity::RunOut, VaryingPart::Both),
                frame_shrinkage,
            },
            train: TrainPrint { meshes },
        }
    }
}
