//! What the maker of a clock should look at, with its figures; the words are the report's.

use super::build::Built;
use super::escapement::action::PalletAction;
use super::escapement::action_over_turn::{PalletTurn, action_over_turn};
use super::escapement::clearance_notes::{COMMON_HOLD_M, MarginKind};
use super::mechanism::EscapementModel;
use super::pendulum::compound::small_swing_period_s;
use super::printing::out_of_true::ToothPlace;
use super::printing::printed_outline::PrintedPart;
use super::train::depthing::{JamPlace, Remedies, Tightness};
use super::train::mesh_name::MeshName;
use super::train::motion_work::TwoPairs;
use super::train::train_notes::period_mismatch;
use crate::clock::side::Side;

/// Share of a pallet's lift from which on the play of the crutch is worth a word: common practice, no source.
const LARGE_PLAY: f64 = 0.25;

/// One thing to look at.
#[derive(Debug, Clone, PartialEq)]
pub enum Note {
    /// The bob's stated mass takes more room than its shape has.
    BobOverfilled {
        /// Stated mass, kg.
        mass_kg: f64,
        /// Name of its material.
        material: String,
        /// Volume that the mass takes, m^3.
        needed_m3: f64,
        /// Volume of the shape, m^3.
        shape_m3: f64,
    },
    /// The rod does not reach the bob.
    RodShortOfBob {
        /// Gap between them, m.
        gap_m: f64,
    },
    /// The rod does not reach its first column.
    RodShortOfColumn {
        /// Gap between them, m.
        gap_m: f64,
        /// Name of the column.
        column: String,
        /// Where it begins, m below the axis.
        begins_m: f64,
    },
    /// The rating nut hangs below the end of the rod.
    NutBelowRod {
        /// How far, m.
        below_m: f64,
    },
    /// The drum does not go round the bearing of its own arbor.
    DrumWithinBearing {
        /// Diameter of the drum, m.
        drum_m: f64,
        /// Diameter of pivot or bore, m.
        bearing_m: f64,
        /// Whether it is a ball bearing.
        is_ball: bool,
    },
    /// The cord is thick for what it runs round.
    CordBentSharply {
        /// Diameter of the drum or the pulley, m.
        round_m: f64,
        /// Whether it is the drum.
        is_drum: bool,
        /// Diameter of the cord, m.
        cord_m: f64,
        /// Least diameter of drum and pulley over the cord's.
        least_ratio: f64,
    },
    /// The drum is too short for one layer of cord.
    CordInLayers {
        /// Layers with the weight wound up.
        layers: u32,
        /// Turns that a layer holds.
        holds: u32,
        /// Turns of the run and those that stay on the drum.
        needs: f64,
        /// Length of the drum that one layer takes, m.
        drum_length_m: f64,
        /// How much more torque the outermost layer has than the first, as a share.
        more_torque: f64,
    },
    /// The cord that hangs at the end of the run adds to the weight.
    CordIsHeavy {
        /// Its mass, kg.
        hanging_kg: f64,
        /// The same as a share of the weight.
        share: f64,
    },
    /// Nothing is said of the cord but how thick it is.
    CordNotStated {
        /// Whether its stiffness is missing.
        bending: bool,
        /// Whether its mass is missing.
        mass: bool,
    },
    /// Teeth are too fine for the printer's line.
    TeethTooFine {
        /// Name of the arbor with the wheel.
        driver: String,
        /// Name of the arbor with the pinion.
        driven: String,
        /// Module, m.
        module_m: f64,
        /// Width of a tooth at the pitch circle, m.
        tooth_m: f64,
        /// Width of the line, m.
        line_m: f64,
    },
    /// A wheel reaches over the arbor of another.
    WheelOverArbor {
        /// Name of the arbor that carries the wheel.
        wheel: String,
        /// Name of the arbor in its way.
        arbor: String,
        /// How far they are apart, m.
        distance_m: f64,
        /// Radius over the tips of the wheel, m.
        tip_m: f64,
    },
    /// A ball bearing carries far less than its friction coefficient was measured at.
    BallBearingLightlyLoaded,
    /// Teeth stand too deep to turn.
    MeshJams {
        /// The mesh.
        mesh: MeshName,
        /// What is missing, modules.
        tightness: Tightness,
        /// The module, m; `None` where the scenario gives none.
        module_m: Option<f64>,
        /// How often it does.
        place: JamPlace,
        /// What would free it.
        remedies: Remedies,
    },
    /// A tip works on the fillet that the bead leaves at the other gear's root.
    TipOnFillet {
        /// The mesh.
        mesh: MeshName,
    },
    /// A tip reaches below the other gear's base circle.
    Undercut {
        /// The mesh.
        mesh: MeshName,
    },
    /// Teeth lose touch before the next ones meet.
    ContactRatioBelowOne {
        /// The mesh.
        mesh: MeshName,
        /// Least contact ratio over a turn.
        contact_ratio: f64,
    },
    /// More pairs of teeth share the load than the loss was derived for.
    ContactRatioAboveTwo {
        /// The mesh.
        mesh: MeshName,
        /// Largest contact ratio over a turn.
        contact_ratio: f64,
    },
    /// The minute hand would turn backwards.
    MinuteHandBackwards,
    /// The hour hand would turn backwards.
    HourHandBackwards,
    /// The pendulum is too long or too short for the train.
    PeriodMismatch {
        /// Full period that the train requires, s.
        train_period_s: f64,
        /// Full period of the pendulum's small swings, s.
        small_swing_period_s: f64,
    },
    /// The pairs of the motion work, which share two arbors, ask for different distances between these.
    MotionWorkNotCoaxial {
        /// The pairs, driver and driven teeth.
        pairs: TwoPairs,
        /// Their modules, m; `None` where the scenario gives none.
        modules_m: Option<[f64; 2]>,
        /// The nearest counts that fit at one module, if there are any.
        counts: Option<TwoPairs>,
    },
    /// Winding takes the drive away.
    NothingDrivesWhileWound,
    /// The maintaining spring is spent before the clock is wound.
    MaintainingSpringShort {
        /// How long it lasts, s.
        lasts_s: f64,
    },
    /// Friction takes all the torque of the drive.
    FrictionTakesAll,
    /// The drive does not set the resting train going.
    TrainSticks {
        /// What cord and meshes leave at the escape wheel, N m.
        torque_n_m: f64,
        /// What the bearings take there at a start, N m.
        friction_n_m: f64,
    },
    /// A friction is written as a number that the table's pair of these materials does not reach.
    FrictionOffItsPair {
        /// Its path in the scenario.
        path: String,
        /// The number.
        value: f64,
        /// Name of the nearest pair.
        pair: &'static str,
        /// Its value.
        pair_value: f64,
        /// What it may be off by.
        pair_spread: f64,
    },
    /// A part came off the printer in several pieces, of which the largest was kept.
    InPieces {
        /// The part.
        part: PrintedPart,
        /// How many pieces.
        pieces: usize,
        /// Area of the other pieces, m^2.
        lost_m2: f64,
    },
    /// The bead shortens the teeth.
    BeadShortensTeeth {
        /// Height that it takes off the tip, m.
        off_tip_m: f64,
    },
    /// A tooth falls past the lock.
    LockMissed {
        /// Pallet.
        pallet: Side,
        /// The tooth, on a wheel whose teeth differ.
        tooth: Option<ToothPlace>,
        /// How far past the lock, rad of the pallets, positive.
        past_rad: f64,
    },
    /// A tooth leaves a pallet when the other one holds a tooth already.
    NoDrop {
        /// Pallet that is left.
        pallet: Side,
        /// The tooth, on a wheel whose teeth differ.
        tooth: Option<ToothPlace>,
    },
    /// The back of a pallet fouls the tooth that has just left it.
    BackFouls {
        /// Pallet.
        pallet: Side,
        /// The tooth, on a wheel whose teeth differ.
        tooth: Option<ToothPlace>,
    },
    /// Teeth of a wheel whose teeth differ have no action.
    TeethWithoutAction {
        /// Pallet.
        pallet: Side,
        /// How many teeth.
        teeth: u32,
    },
    /// The play of the crutch takes the lift of a pallet.
    PlayTakesLift {
        /// Pallet.
        pallet: Side,
        /// The whole play, rad.
        play_rad: f64,
        /// The lift, rad.
        lift_rad: f64,
    },
    /// A margin is used up by a change of dimensions which printer or common practice do not hold.
    MarginNotHeld {
        /// The margin.
        kind: MarginKind,
        /// Pallet at which it is least.
        pallet: Side,
        /// What there is, rad.
        least_rad: f64,
        /// Change of the wheel's diameter that leaves nothing, m, positive; `None` where it is held.
        wheel_m: Option<f64>,
        /// Change of the arbors' distance that leaves nothing, m, likewise.
        arbors_m: Option<f64>,
        /// Distance by which every edge has to move to leave nothing, m, likewise.
        edges_m: Option<f64>,
    },
    /// The bead takes off the lock what a smaller wheel would.
    BeadBluntsLock {
        /// How much smaller in diameter, m.
        smaller_m: f64,
    },
}

impl Built {
    /// What the maker should look at in pendulum, train, drive and action.
    #[must_use]
    pub fn notes(&self) -> Vec<Note> {
        let mut notes = Vec::new();
        if let Some(report) = &self.pendulum {
            notes.extend(report.notes.iter().cloned());
        }
        if let Some(report) = &self.train {
            notes.extend(report.notes.iter().cloned());
            let natural = small_swing_period_s(&self.mechanism.pendulum);
            notes.extend(
                report.train_period_s.zip(natural).and_then(|(required, natural)| period_mismatch(required, natural)),
            );
        }
        notes.extend(self.drive.as_ref().and_then(|report| report.winding.note.clone()));
        if let Some(drive) = self.mechanism.drive
            && !(drive.forward_n_m() > 0.0)
            && !self.mechanism.jams
        {
            notes.push(Note::FrictionTakesAll);
        } else if let Some(drive) = self.mechanism.drive.filter(|drive| drive.sticks() && !self.mechanism.jams) {
            let (torque_n_m, friction_n_m) = (drive.torque_n_m(), drive.friction_starting_n_m);
            notes.push(Note::TrainSticks { torque_n_m, friction_n_m });
        }
        if let Some(cord) = self.weight_drive.as_ref().map(|drive| drive.cord)
            && (cord.stiffness.is_none() || cord.mass_kg_per_m.is_none())
        {
            notes.push(Note::CordNotStated { bending: cord.stiffness.is_none(), mass: cord.mass_kg_per_m.is_none() });
        }
        notes.extend(self.friction_notes.iter().cloned());
        notes.extend(self.workshop_notes.iter().cloned());
        notes.extend(self.print_notes.iter().cloned());
        if 2.0 * self.bead_off_tip_m > COMMON_HOLD_M {
            notes.push(Note::BeadShortensTeeth { off_tip_m: self.bead_off_tip_m });
        }
        let turn = action_over_turn(&self.mechanism.escapement);
        if let Some(turn) = &turn {
            notes.extend(turn.iter().flat_map(|(pallet, turn)| self.turn_notes(pallet, turn)));
        } else if let Some(action) = &self.action {
            notes.extend(action.iter().flat_map(|(pallet, action)| action_notes(pallet, action)));
        }
        if let (EscapementModel::Contact(contact), Some(action)) = (&self.mechanism.escapement, &self.action) {
            let play_rad = contact.crutch_play_rad();
            let taken = action.iter().filter(|(_, action)| play_rad > LARGE_PLAY * action.lift_rad);
            let note = |(pallet, action): (Side, &PalletAction)| Note::PlayTakesLift {
                pallet,
                play_rad,
                lift_rad: action.lift_rad,
            };
            notes.extend(taken.map(note));
        }
        notes
    }

    /// What to look at in the action of a wheel whose teeth differ.
    fn turn_notes(&self, pallet: Side, turn: &PalletTurn) -> Vec<Note> {
        let teeth = self.outlines.as_ref().map_or(0, |outlines| outlines.teeth);
        let at = |tooth| Some(self.out_of_true.place(tooth, teeth));
        let mut notes = Vec::new();
        if turn.lock.least_rad < 0.0 {
            let past_rad = -turn.lock.least_rad;
            notes.push(Note::LockMissed { pallet, tooth: at(turn.lock.least_tooth), past_rad });
        }
        if turn.drop.least_rad < 0.0 {
            notes.push(Note::NoDrop { pallet, tooth: at(turn.drop.least_tooth) });
        }
        if turn.clearance.least_rad < 0.0 {
            notes.push(Note::BackFouls { pallet, tooth: at(turn.clearance.least_tooth) });
        }
        if turn.without_action > 0 {
            notes.push(Note::TeethWithoutAction { pallet, teeth: turn.without_action });
        }
        notes
    }
}

fn action_notes(pallet: Side, action: &PalletAction) -> Vec<Note> {
    let mut notes = Vec::new();
    if action.lock_rad < 0.0 {
        notes.push(Note::LockMissed { pallet, tooth: None, past_rad: -action.lock_rad });
    }
    if action.drop_rad < 0.0 {
        notes.push(Note::NoDrop { pallet, tooth: None });
    }
    if action.clearance_rad < 0.0 {
        notes.push(Note::BackFouls { pallet, tooth: None });
    }
    notes
}
