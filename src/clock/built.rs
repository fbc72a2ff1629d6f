//! A clock come together: what `build` makes of a design in its room.

use super::design::WeightDrive;
use super::drive_level::DriveLevel;
use super::environment::air::Air;
use super::environment::expansion::EscapementStrain;
use super::escapement::EscapementOutlines;
use super::escapement::action::{Action, recoil_rad};
use super::mechanism::{EscapementModel, Mechanism};
use super::notes::Note;
use super::pendulum::compound::PendulumReport;
use super::printing::out_of_true::OutOfTrue;
use super::side::PerPallet;
use super::support::Carried;
use super::train::counts::{TrainReport, drum_turns_per_hour};
use super::train::drive::PreparedDrive;
use super::train::losses::{DriveReport, RunTime, run_time};
use super::train::mesh_name::MeshName;
use super::train::train_made::TrainMade;

/// A design come together, with all that is asked of it: nobody who solves it needs the design.
#[derive(Debug, Clone)]
pub struct Built {
    /// The waist.
    pub mechanism: Mechanism,
    /// Arc from which the maker lets the pendulum go, rad; `None`: a push as large as need be.
    pub start_arc_rad: Option<f64>,
    /// Margin that is asked of the swing, beyond the escaping arc on both sides, rad.
    pub margin_rad: f64,
    /// The weight drive of the design; `None` where it has none.
    pub weight_drive: Option<WeightDrive>,
    /// Gravity at the place, m/s^2.
    pub gravity_m_s2: f64,
    /// Air at the place; `None` where the pendulum is given by bare numbers.
    pub air: Option<Air>,
    /// Breakdown of a pendulum made of parts.
    pub pendulum: Option<PendulumReport>,
    /// Pendulum and weight as their support carries them.
    pub carried: Carried,
    /// Counts of the train.
    pub train: Option<TrainReport>,
    /// How gears and arbors of the train were made, and have grown since.
    pub train_made: TrainMade,
    /// Losses and loads of a weight drive.
    pub drive: Option<DriveReport>,
    /// The weight drive made ready for other weights.
    pub prepared_drive: Option<PreparedDrive>,
    /// Outlines of the escapement as printed and assembled, from which the mechanism is built.
    pub outlines: Option<EscapementOutlines>,
    /// Their action.
    pub action: Option<Action>,
    /// Outlines of the escapement as drawn.
    pub drawn: Option<EscapementOutlines>,
    /// The action of the outlines as drawn; `None` where they have none.
    pub drawn_action: Option<Action>,
    /// How the escape wheel is out of true, which `outlines` do not hold: theirs is the mean tooth.
    pub out_of_true: OutOfTrue,
    /// How much larger than drawn the escapement's parts are.
    pub strain: EscapementStrain,
    /// Height that the bead takes off the tip of the tooth, m.
    pub bead_off_tip_m: f64,
    /// Parts that came off the printer in several pieces.
    pub print_notes: Vec<Note>,
    /// Frictions that the materials' pairs do not reach.
    pub friction_notes: Vec<Note>,
    /// Sizes that do not go together.
    pub workshop_notes: Vec<Note>,
}

impl Built {
    /// The design's own drive; `None` for a kick.
    #[must_use]
    pub fn own_drive(&self) -> Option<DriveLevel> {
        match (&self.mechanism.escapement, &self.weight_drive) {
            (EscapementModel::IdealTorque(torque), _) => Some(DriveLevel::Torque(torque.torque_n_m)),
            (EscapementModel::IdealKick(_), _) => None,
            (EscapementModel::Contact(_), Some(weight)) => Some(DriveLevel::Weight(weight.weight_kg)),
            (EscapementModel::Contact(_), None) => {
                self.mechanism.drive.map(|drive| DriveLevel::Torque(drive.ideal_torque_n_m))
            }
        }
    }

    /// The same with the teeth of its wheel alike; `None` where they are.
    #[must_use]
    pub fn with_teeth_alike(&self) -> Option<Self> {
        let EscapementModel::Contact(contact) = &self.mechanism.escapement else { return None };
        if !contact.teeth_differ() {
            return None;
        }
        let alike = EscapementModel::Contact(contact.with_teeth_alike());
        Some(Self { mechanism: Mechanism { escapement: alike, ..self.mechanism }, ..self.clone() })
    }

    /// Meshes of the train that jam, from the weight on; none where all of them pass.
    #[must_use]
    pub fn jammed_meshes(&self) -> Vec<MeshName> {
        let jammed = |note: &Note| match note {
            Note::MeshJams { mesh, .. } => Some(mesh.clone()),
            _ => None,
        };
        self.train.iter().flat_map(|report| &report.notes).filter_map(jammed).collect()
    }

    /// Full period that the train requires, s; `None` without a train that carries a minute hand.
    #[must_use]
    pub fn train_period_s(&self) -> Option<f64> {
        self.train.as_ref()?.train_period_s
    }

    /// How long a winding lasts, by the period that the train requires, else by the measured one; `None` without a weight drive or
    /// either period.
    #[must_use]
    pub fn run_time(&self, measured_period_s: Option<f64>) -> Option<RunTime> {
        self.run_time_with(self.weight_drive.as_ref()?, measured_period_s)
    }

    /// The same with another drum, cord or drop.
    #[must_use]
    pub fn run_time_with(&self, drive: &WeightDrive, measured_period_s: Option<f64>) -> Option<RunTime> {
        let prepared = self.prepared_drive.as_ref()?;
        let teeth = self.outlines.as_ref()?.teeth;
        let period_s = self.train_period_s().or(measured_period_s)?;
        Some(run_time(drive, drum_turns_per_hour(period_s, teeth, prepared.drum_to_escape())))
    }

    /// Pallet and wheel arcs of the recoil of entry and exit in a swing to `right_rad` and `left_rad` (both positive), rad;
    /// `None` without pallets.
    #[must_use]
    pub fn recoil_rad(&self, right_rad: f64, left_rad: f64) -> Option<PerPallet<(f64, f64)>> {
        let (action, EscapementModel::Contact(contact)) = (self.action?, &self.mechanism.escapement) else {
            return None;
        };
        let swing_rad = PerPallet { entry: right_rad, exit: left_rad };
        Some(PerPallet::from_fn(|pallet| recoil_rad(&contact.curves[pallet], &action[pallet], swing_rad[pallet])))
    }
}
