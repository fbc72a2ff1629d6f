//! From the design to the mechanism: parts, train, drive and contact curves come together here.

use crate::geometry::{ContactCurve, CurveError, Point};

use super::design::{DriveDesign, EscapementDesign, PalletPlan, PendulumDesign, Train, WeightDrive};
use super::environment::InRoom;
use super::environment::air::{Air, air_at};
use super::environment::site::{PlaceError, gravity_m_s2};
use super::escapement::action::{Action, ActionError, read_action};
use super::escapement::interference::{StandingError, check_standing};
use super::escapement::{EscapementOutlines, FamilyError, drawn_outlines};
use super::friction_notes::friction_notes;
use super::mechanism::{ContactEscapement, DriveModel, EscapementModel, Mechanism, PendulumModel};
use super::pendulum::compound::{PendulumError, PendulumReport, lumped_pendulum, pendulum_from_parts};
use super::printing::out_of_true::{OutOfTrue, ToothPlace};
use super::printing::printed_outline::{
    PartPrint, PrintedEscapement, PrinterError, bead_off_tip_m, printed_and_strained, shown_mm,
};
use super::printing::printer::{Printer, Spread};
use super::side::{PerPallet, Side};
use super::support::Carried;
use super::support::mode::CarriedPendulum;
use super::train::counts::{TrainError, TrainReport, train_report};
use super::train::drive::{DriveError, PreparedDrive, lumped_drive};
use super::train::losses::{DriveReport, drive_report};
use super::train::train_made::TrainMade;
use super::workshop::workshop_notes;

pub use super::built::Built;

/// Why a design cannot be built, with the part of the design that is to blame.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum BuildError {
    /// Place or air.
    #[error(transparent)]
    Place(#[from] PlaceError),
    /// Pendulum.
    #[error(transparent)]
    Pendulum(#[from] PendulumError),
    /// Train.
    #[error(transparent)]
    Train(#[from] TrainError),
    /// Drive.
    #[error(transparent)]
    Drive(#[from] DriveError),
    /// A parametric escapement.
    #[error(transparent)]
    Family(#[from] FamilyError),
    /// The outlines cannot be printed.
    #[error(transparent)]
    Printer(#[from] PrinterError),
    /// Contact of the outlines.
    #[error("{pallet} pallet: {error}")]
    Curve {
        /// Which pallet.
        pallet: Side,
        /// What is wrong.
        #[source]
        error: CurveError,
    },
    /// A tooth of a wheel that is out of true.
    #[error("{place}: {error}")]
    Tooth {
        /// The tooth.
        place: ToothPlace,
        /// What is wrong with it.
        #[source]
        error: Box<BuildError>,
    },
    /// No action.
    #[error(transparent)]
    Action(#[from] ActionError),
    /// No contact or no action, which a bead of no width would leave.
    #[error(
        "a bead of radius {} mm takes {:.2} mm off the tip of the tooth and blunts the pallets: {error}",
        shown_mm(*.bead_radius_m), 1e3 * .bead_off_tip_m
    )]
    Bead {
        /// Bead radius, m.
        bead_radius_m: f64,
        /// Height taken off the tip, m.
        bead_off_tip_m: f64,
        /// What is wrong with what is left.
        #[source]
        error: Box<BuildError>,
    },
    /// Pallets and wheel take each other's place.
    #[error(transparent)]
    Standing(#[from] StandingError),
    /// A wheel in contact has nothing to drive it.
    #[error("the escape wheel has no drive")]
    NoDrive,
    /// A weight has no train to drive.
    #[error("a weight needs a train to drive the escape wheel through")]
    NoTrain,
}

/// The mechanism of a clock in its room, with all reports.
///
/// # Errors
/// [`BuildError`] names the part that cannot be.
pub fn build(in_room: &InRoom) -> Result<Built, BuildError> {
    let made = TrainMade::mean_of(in_room);
    let gravity = gravity_m_s2(&in_room.place)?;
    let BuiltPendulum { model: pendulum, carried, air, report: pendulum_report } = build_pendulum(in_room, gravity)?;
    let BuiltEscapement { model: escapement, drawn, drawn_action, printed, action, bead_off_tip_m } =
        build_escapement(in_room)?;
    let teeth = drawn.as_ref().map(|outlines| outlines.teeth);
    let train = in_room.train.as_ref().map(|train| train_report(train, &made, teeth)).transpose()?;
    let BuiltDrive { model: drive, prepared: prepared_drive, losses: drive_losses } =
        build_drive(in_room, &made, gravity)?;
    if action.is_some() && drive.is_none() {
        return Err(BuildError::NoDrive);
    }
    // Last, so that it hides nothing that is wrong whatever the length.
    if let PendulumDesign::Parts(parts) = &in_room.pendulum
        && let Some(open) = parts.columns.iter().find(|column| column.length_m.is_none())
    {
        return Err(BuildError::Pendulum(PendulumError::OpenColumn { column: open.name.clone() }));
    }
    let (outlines, out_of_true, print_notes) = match printed {
        Some(PrintedEscapement { outlines, out_of_true, notes }) => (Some(outlines), out_of_true, notes),
        None => (None, OutOfTrue::default(), Vec::new()),
    };
    let tips_m = drawn.as_ref().map(|outlines| outlines.tooth.farthest_m(Point::zeros()));
    Ok(Built {
        workshop_notes: workshop_notes(in_room, tips_m),
        mechanism: Mechanism { pendulum, drive, escapement, jams: train.as_ref().is_some_and(TrainReport::jams) },
        start_arc_rad: in_room.start_arc_rad,
        margin_rad: in_room.margin_rad,
        weight_drive: in_room.weight_drive().cloned(),
        gravity_m_s2: gravity,
        air,
        pendulum: pendulum_report,
        carried,
        train,
        train_made: made,
        drive: drive_losses,
        prepared_drive,
        outlines,
        action,
        drawn,
        drawn_action,
        out_of_true,
        strain: in_room.sizes.escapement,
        bead_off_tip_m,
        print_notes,
        friction_notes: friction_notes(in_room),
    })
}

/// What a pendulum comes to.
pub(super) struct BuiltPendulum {
    /// Its motion on its support.
    pub(super) model: PendulumModel,
    pub(super) carried: Carried,
    pub(super) air: Option<Air>,
    pub(super) report: Option<PendulumReport>,
}

pub(super) fn build_pendulum(in_room: &InRoom, gravity_m_s2: f64) -> Result<BuiltPendulum, BuildError> {
    let (rigid, felt, air, report) = match &in_room.pendulum {
        PendulumDesign::Lumped(lumped) => {
            let rigid = lumped_pendulum(lumped, gravity_m_s2);
            (rigid, CarriedPendulum::of_lumped(&rigid, lumped), None, None)
        }
        PendulumDesign::Parts(parts) => {
            let air = air_at(&in_room.place)?;
            let (rigid, report) = pendulum_from_parts(parts, gravity_m_s2, &air)?;
            (rigid, CarriedPendulum::of_parts(&rigid, &report), Some(air), Some(report))
        }
    };
    let carried = Carried::of((rigid, felt), in_room.weight_drive(), in_room.support, gravity_m_s2);
    Ok(BuiltPendulum { model: carried.model(), carried, air, report })
}

/// What a drive comes to.
pub(super) struct BuiltDrive {
    pub(super) model: Option<DriveModel>,
    pub(super) prepared: Option<PreparedDrive>,
    pub(super) losses: Option<DriveReport>,
}

impl BuiltDrive {
    /// The drive with the constant torques that stand for the twelve hours of a clock much like it, where that has any.
    pub(super) fn with_dial_of(self, other: &Built) -> Self {
        let shares = other.prepared_drive.as_ref().and_then(|prepared| prepared.hands()?.hands().dial_shares);
        let prepared = match shares {
            Some(_) => self.prepared.map(|prepared| prepared.with_dial_shares(shares)),
            None => self.prepared,
        };
        Self { prepared, ..self }
    }
}

pub(super) fn build_drive(in_room: &InRoom, made: &TrainMade, gravity_m_s2: f64) -> Result<BuiltDrive, BuildError> {
    match &in_room.drive {
        Some(DriveDesign::Lumped(lumped)) => {
            Ok(BuiltDrive { model: Some(lumped_drive(lumped)), prepared: None, losses: None })
        }
        Some(DriveDesign::Weight(weight)) => {
            let train = in_room.train.as_ref().ok_or(BuildError::NoTrain)?;
            let (prepared, model) = weight_drive(weight, train, made, gravity_m_s2)?;
            let losses = drive_report(&prepared, weight, train);
            Ok(BuiltDrive { model: Some(model), prepared: Some(prepared), losses: Some(losses) })
        }
        None => Ok(BuiltDrive { model: None, prepared: None, losses: None }),
    }
}

/// A weight drive made ready, its train made as stated, and what it comes to under its own weight.
///
/// # Errors
/// [`BuildError::Drive`].
pub fn weight_drive(
    weight: &WeightDrive,
    train: &Train,
    made: &TrainMade,
    gravity_m_s2: f64,
) -> Result<(PreparedDrive, DriveModel), BuildError> {
    let prepared = PreparedDrive::new(weight, train, made, gravity_m_s2)?;
    let model = prepared.model(weight.weight_kg);
    Ok((prepared, model))
}

/// An escapement with the outlines it came from.
struct BuiltEscapement {
    model: EscapementModel,
    drawn: Option<EscapementOutlines>,
    drawn_action: Option<Action>,
    printed: Option<PrintedEscapement>,
    action: Option<Action>,
    bead_off_tip_m: f64,
}

fn build_escapement(in_room: &InRoom) -> Result<BuiltEscapement, BuildError> {
    let (design, printer, strain) = (&in_room.escapement, &in_room.printer, &in_room.sizes.escapement);
    let ideal = |model| {
        Ok(BuiltEscapement { model, drawn: None, drawn_action: None, printed: None, action: None, bead_off_tip_m: 0.0 })
    };
    let numbers = match design {
        EscapementDesign::IdealTorque(torque) => return ideal(EscapementModel::IdealTorque(*torque)),
        EscapementDesign::IdealKick(kick) => return ideal(EscapementModel::IdealKick(*kick)),
        _ => contact_numbers(in_room).ok_or(BuildError::NoDrive)?,
    };
    let drawn = drawn_outlines(design)?.ok_or(BuildError::NoDrive)?;
    let printed = printed_and_strained(&drawn, printer, strain)?;
    let part = PartPrint::mean_of(printer);
    let bead_off_tip_m = bead_off_tip_m(&drawn.tooth, &printed.outlines.tooth, &part, 1.0 + strain.wheel.mean())?;
    let acting = |printed: &PrintedEscapement| acting(printed, numbers);
    let (contact, action) = acting(&printed).map_err(|error: BuildError| {
        let sharp = Printer { bead_radius: Spread::default(), ..*printer };
        let bead_radius_m = printer.bead_radius.value;
        let mended = bead_radius_m > 0.0
            && printed_and_strained(&drawn, &sharp, strain).is_ok_and(|sharp| acting(&sharp).is_ok());
        if mended { BuildError::Bead { bead_radius_m, bead_off_tip_m, error: Box::new(error) } } else { error }
    })?;
    // A printer may mend what was drawn without action; that the drawing has none is then no error.
    let drawn_action = if printed.outlines == drawn {
        Some(action)
    } else {
        numbers.of(&drawn).ok().and_then(|drawn| read_action(&drawn).ok())
    };
    Ok(BuiltEscapement {
        model: EscapementModel::Contact(contact),
        drawn: Some(drawn),
        drawn_action,
        printed: Some(printed),
        action: Some(action),
        bead_off_tip_m,
    })
}

/// What contact needs beside the outlines.
#[derive(Debug, Clone, Copy)]
pub(super) struct ContactNumbers {
    pub(super) friction: f64,
    restitution: f64,
    beat_error_rad: f64,
    locks: bool,
    pub(super) crutch_play_rad: f64,
}

impl ContactNumbers {
    fn of(self, outlines: &EscapementOutlines) -> Result<ContactEscapement, BuildError> {
        let contact = contact_escapement(outlines, self.friction, self.restitution, self.beat_error_rad)?;
        Ok(ContactEscapement { locks: self.locks, ..contact })
    }
}

/// `None` for an ideal escapement.
pub(super) fn contact_numbers(in_room: &InRoom) -> Option<ContactNumbers> {
    let crutch_play_rad = in_room.crutch_play.map_or(0.0, |play| play.play_rad());
    fn planned<T>(plan: &PalletPlan<T>, locks: bool) -> Option<ContactNumbers> {
        let PalletPlan { friction, restitution, beat_error_rad, .. } = plan;
        Some(ContactNumbers {
            friction: friction.value,
            restitution: *restitution,
            beat_error_rad: *beat_error_rad,
            locks,
            crutch_play_rad: 0.0,
        })
    }
    let numbers = match &in_room.escapement {
        EscapementDesign::IdealTorque(_) | EscapementDesign::IdealKick(_) => None,
        EscapementDesign::DeadBeat(family) => planned(&family.plan, true),
        EscapementDesign::RecoilAnchor(family) => planned(&family.plan, false),
        EscapementDesign::PinPallet(family) => planned(&family.plan, true),
        EscapementDesign::Outline(given) => Some(ContactNumbers {
            friction: given.friction.value,
            restitution: given.restitution,
            beat_error_rad: given.beat_error_rad,
            locks: true,
            crutch_play_rad: 0.0,
        }),
    };
    numbers.map(|numbers| ContactNumbers { crutch_play_rad, ..numbers })
}

/// Contact curves of a printed escapement, and its action.
pub(super) fn acting(
    printed: &PrintedEscapement,
    numbers: ContactNumbers,
) -> Result<(ContactEscapement, Action), BuildError> {
    let contact = if printed.out_of_true.is_true() {
        numbers.of(&printed.outlines)?
    } else {
        uneven_escapement(printed, numbers)?
    };
    check_standing(&printed.outlines, &contact, numbers.beat_error_rad)?;
    // Tooth no. 0 of an oval wheel stands out most or least: the mean tooth speaks for the wheel.
    let action = if printed.out_of_true.oval == 0.0 {
        read_action(&contact)
    } else {
        read_action(&numbers.of(&printed.outlines)?)
    };
    Ok((contact.with_crutch_play(numbers.crutch_play_rad), action?))
}

/// The contact curves of pallets and a wheel that is out of true: every tooth its own.
fn uneven_escapement(printed: &PrintedEscapement, numbers: ContactNumbers) -> Result<ContactEscapement, BuildError> {
    let (outlines, out_of_true) = (&printed.outlines, &printed.out_of_true);
    let teeth: Vec<ContactEscapement> = (0..outlines.teeth)
        .map(|number| {
            let tooth = out_of_true.tooth(&outlines.tooth, number, outlines.teeth);
            let own = EscapementOutlines { tooth, ..outlines.clone() };
            numbers.of(&own).map_err(|error| {
                let place = out_of_true.place(number, outlines.teeth);
                BuildError::Tooth { place, error: Box::new(error) }
            })
        })
        .collect::<Result<_, _>>()?;
    let mut curves = teeth.into_iter();
    let mut first = curves.next().ok_or(BuildError::NoDrive)?;
    first.other_teeth = curves.map(|tooth| tooth.curves).collect();
    Ok(first)
}

/// The contact curves of wheel and pallets.
///
/// # Errors
/// [`BuildError::Curve`] if a pallet never touches a tooth.
pub fn contact_escapement(
    outlines: &EscapementOutlines,
    friction: f64,
    restitution: f64,
    beat_error_rad: f64,
) -> Result<ContactEscapement, BuildError> {
    let curve = |pallet| {
        ContactCurve::build(&outlines.tooth, &outlines.pallets[pallet], outlines.centre_distance_m, beat_error_rad)
            .map_err(|error| BuildError::Curve { pallet, error })
    };
    Ok(ContactEscapement {
        teeth: outlines.teeth,
        friction,
        restitution,
        locks: true,
        curves: PerPallet::try_from_fn(curve)?,
        other_teeth: Vec::new(),
        play: None,
    })
}
