//! The place in the scenario that is to blame where a design reads well but cannot be built.

use crate::clock::build::BuildError;
use crate::clock::design::MotorClock;
use crate::clock::escapement::FamilyError;
use crate::clock::escapement::interference::StandingError;
use crate::clock::motor::error::MotorError;
use crate::clock::pendulum::compound::PendulumError;
use crate::clock::printing::printed_outline::PrinterError;
use crate::clock::side::Side;
use crate::clock::train::counts::TrainError;
use crate::clock::train::drive::DriveError;

use super::load::Scenario;
use super::toml::problem::Problem;
use super::toml::problem_code::ProblemCode;

impl Scenario {
    /// The problem behind a build error, at the key that can mend it.
    #[must_use]
    pub fn problem_of(&self, error: &BuildError) -> Problem {
        if let BuildError::Tooth { error: of_tooth, .. } = error {
            return Problem { message: error.to_string(), ..self.problem_of(of_tooth) };
        }
        let (path, code, help) = match error {
            BuildError::Place(_) => place(),
            BuildError::Pendulum(error) => pendulum(error),
            BuildError::Train(error) => train(error),
            BuildError::Drive(DriveError::Train(error)) => train(error),
            BuildError::Drive(DriveError::NoPulley { .. }) => {
                ("drive.falls".to_owned(), ProblemCode::NoPulley, "add [drive.pulley], or set falls = 1".to_owned())
            }
            BuildError::Drive(DriveError::PulleyHolds) => (
                "drive.pulley".to_owned(),
                ProblemCode::PulleyHolds,
                "use a larger pulley, a thinner pivot or less friction".to_owned(),
            ),
            BuildError::Drive(DriveError::CordHolds) => (
                "drive.cord_diameter".to_owned(),
                ProblemCode::ImpossibleValue,
                "use a larger drum, or a thinner or softer cord".to_owned(),
            ),
            BuildError::Drive(DriveError::NotPositive { .. }) => {
                ("drive".to_owned(), ProblemCode::ImpossibleValue, "give a value above 0".to_owned())
            }
            BuildError::Family(error) => self.family(error),
            BuildError::Printer(error) => self.printer(error),
            BuildError::Curve { pallet, .. } => (
                self.pallet_path(*pallet),
                ProblemCode::PalletsNeverTouch,
                "bring the arbors closer or the pallet further into the wheel".to_owned(),
            ),
            BuildError::Tooth { .. } | BuildError::Action(_) => (
                self.escapement_path(""),
                ProblemCode::NoAction,
                "each pallet must let a tooth go within the swing and the other catch the next".to_owned(),
            ),
            BuildError::Bead { .. } => (
                "printer.bead_radius".to_owned(),
                ProblemCode::NoAction,
                "use a finer bead, a tooth with a wider tip, or arbors closer together".to_owned(),
            ),
            BuildError::Standing(StandingError::InBody { pallet, .. }) => (
                self.pallet_path(*pallet),
                ProblemCode::PalletsInWheel,
                "move the pallet out, set the arbors further apart, or cut the teeth deeper".to_owned(),
            ),
            BuildError::Standing(StandingError::NoPlace) => (
                self.escapement_path(""),
                ProblemCode::PalletsInWheel,
                "use thinner pallets or teeth, more drop, or arbors further apart".to_owned(),
            ),
            BuildError::NoDrive => {
                ("drive".to_owned(), ProblemCode::NoDrive, "add [drive] with a weight, or [drive.lumped]".to_owned())
            }
            BuildError::NoTrain => {
                ("drive".to_owned(), ProblemCode::NoTrain, "add [train], or give [drive.lumped]".to_owned())
            }
        };
        self.problem_at(&path, code, error.to_string(), help)
    }

    fn escapement_path(&self, key: &str) -> String {
        let kind = ["dead_beat", "recoil_anchor", "pin_pallet", "outline"]
            .into_iter()
            .find(|kind| self.has(&format!("escapement.{kind}")))
            .unwrap_or("");
        [&format!("escapement.{kind}"), key]
            .iter()
            .filter(|part| !part.is_empty())
            .copied()
            .fold(String::new(), |path, part| if path.is_empty() { part.to_string() } else { format!("{path}.{part}") })
    }

    fn pallet_path(&self, pallet: Side) -> String {
        if self.has("escapement.outline.drawing") {
            return format!("escapement.outline.drawing.{pallet}");
        }
        if self.has("escapement.outline") { format!("escapement.outline.{pallet}") } else { self.escapement_path("") }
    }

    fn printer(&self, error: &PrinterError) -> (String, ProblemCode, String) {
        let (path, code, help) = match error {
            PrinterError::BeadTooWide { .. } => (
                "printer.bead_radius",
                ProblemCode::NothingLeft,
                "use a finer bead, or a part at least twice as wide as its radius",
            ),
            PrinterError::GrownAway { .. } => (
                "printer.growth",
                ProblemCode::NothingLeft,
                "growth is how far each edge moves out; -0.1 mm to 0.2 mm is usual",
            ),
            PrinterError::Outline { .. } => (
                "printer",
                ProblemCode::CannotPrint,
                "use less growth or a finer bead, or give the part a simpler outline",
            ),
            PrinterError::Shrinkage(_) => ("printer.shrinkage", ProblemCode::ImpossibleValue, "0.2 % to 1 % is usual"),
            PrinterError::CentreDistance(_) => (
                "printer.centre_distance_error",
                ProblemCode::ImpossibleValue,
                "give the distance beyond the drawn one",
            ),
        };
        (path.to_owned(), code, help.to_owned())
    }

    fn family(&self, error: &FamilyError) -> (String, ProblemCode, String) {
        let (key, help) = match error {
            FamilyError::NotPositive { .. } | FamilyError::Negative { .. } => ("", "give a value in the range named"),
            FamilyError::SpacesNotHalf { .. } | FamilyError::EmbracesHalf { .. } => {
                ("spaces", "6.5, 7.5 or 8.5 are usual for 30 teeth")
            }
            FamilyError::DropTooLarge { .. } => ("drop", "a fifth to a third of half a pitch is usual"),
            FamilyError::ArborInsideWheel { .. } | FamilyError::WheelCannotDrive { .. } => {
                ("centre_distance", "leave out centre_distance to get the tangent one")
            }
            FamilyError::ToothDeeperThanWheel { .. } | FamilyError::ToothTooShallow { .. } => {
                ("tooth.depth", "change the tooth's depth, or face_length")
            }
            FamilyError::FaceMissesRoot { .. } | FamilyError::TeethMerge { .. } | FamilyError::ToothHasNoBody => {
                ("tooth", "change the tooth as the message says")
            }
            FamilyError::TipWiderThanDrop { .. } => ("tooth.tip_width", "use a narrower tip, or more drop"),
            FamilyError::CornerVanishes { .. } | FamilyError::EndFaceReachesOut { .. } => {
                ("tooth.slope", "15 deg to 30 deg is usual")
            }
            FamilyError::FilletMissesRoot { .. } => ("tooth.root_fillet", "about the radius of the bead is enough"),
            FamilyError::ToothLiftOutOfReach { .. } | FamilyError::EndFaceLeads { .. } => {
                ("tooth.tooth_lift", "use less lift on the tooth, or a wider tip")
            }
            FamilyError::PinsTouch { .. } => ("tooth.diameter", "use thinner pins, or fewer of them"),
            FamilyError::NoEndFace { .. } => ("pin_diameter", "thinner pins leave the tooth more room"),
            FamilyError::FaceTooLong { .. } => ("face_length", "shorten it"),
            FamilyError::UndercutTooSmall { .. } => ("tooth.undercut", "lean the front of the tooth back further"),
            FamilyError::HitsToothAhead { .. } | FamilyError::HitsToothBehind { .. } => {
                ("tooth", "the message lists what would help; a shorter face_length often does")
            }
            FamilyError::Outline(_) => ("", "the plan leaves too little of tooth or pallet; use less extreme values"),
        };
        (self.escapement_path(key), ProblemCode::ImpossibleEscapement, help.to_owned())
    }
}

impl Scenario<MotorClock> {
    /// The problem behind an error of a clock driven by a motor, at the key that can mend it.
    #[must_use]
    pub fn problem_of(&self, error: &MotorError) -> Problem {
        let (path, code, help) = match error {
            MotorError::Place(_) => place(),
            MotorError::Train(error) => train(error),
            MotorError::NotFinite => {
                ("train".to_owned(), ProblemCode::ImpossibleValue, "give realistic masses and friction".to_owned())
            }
            MotorError::Ratio(_) => {
                ("train".to_owned(), ProblemCode::ImpossibleValue, "give tooth counts of ordinary size".to_owned())
            }
        };
        self.problem_at(&path, code, error.to_string(), help)
    }
}

fn place() -> (String, ProblemCode, String) {
    ("place".to_owned(), ProblemCode::ImpossiblePlace, "give values found indoors".to_owned())
}

fn pendulum(error: &PendulumError) -> (String, ProblemCode, String) {
    let (path, help) = match error {
        PendulumError::NoModulus { .. } | PendulumError::SpringDidNotSettle => {
            ("pendulum.suspension", "check the suspension's material and sizes")
        }
        PendulumError::OpenColumn { .. } => ("pendulum.column", "give the column a length"),
        PendulumError::LensTooThick { .. } => ("pendulum.bob", "a lens is at most as thick as its diameter"),
        _ => ("pendulum", "check the sizes, masses and depths of its parts"),
    };
    (path.to_owned(), ProblemCode::ImpossiblePendulum, help.to_owned())
}

fn train(error: &TrainError) -> (String, ProblemCode, String) {
    let arbor_key = |arbor: &str, key: &str| format!("train.arbor.{arbor}.{key}");
    let (path, code, help): (String, _, &str) = match error {
        TrainError::TooFewArbors { .. } => ("train.arbor".to_owned(), ProblemCode::TrainOpen, "add the missing arbors"),
        TrainError::MissingGear { arbor, gear } | TrainError::SurplusGear { arbor, gear } => (
            arbor_key(arbor, &format!("{gear}_teeth")),
            ProblemCode::TrainOpen,
            "every mesh needs a wheel and a pinion",
        ),
        TrainError::MissingModule { arbor } => {
            (arbor_key(arbor, "module"), ProblemCode::MissingKey, "give the wheel's module")
        }
        TrainError::NoEscapeTeeth => {
            ("escapement".to_owned(), ProblemCode::ImpossibleValue, "give the escape wheel teeth")
        }
        TrainError::NoSuchMinuteArbor { .. } | TrainError::MinuteHandOnLastArbor { .. } => {
            ("train.hands.minute".to_owned(), ProblemCode::MinuteHand, "name the arbor that turns once an hour")
        }
        TrainError::MinuteHand { .. } => (
            "train.beat".to_owned(),
            ProblemCode::MinuteHand,
            "change the tooth counts from the minute hand's arbor to the escape wheel, or the beat; `beatwright counts` lists \
             those that go together",
        ),
        TrainError::MotionWorkWithoutMinuteArbor => {
            ("train.hands".to_owned(), ProblemCode::MinuteHand, "add minute = \"name of the arbor\"")
        }
        TrainError::MotionWorkTeeth | TrainError::HourHand { .. } => (
            "train.hands.motion_work".to_owned(),
            ProblemCode::HourHand,
            "for example, [[15, 45], [12, 48]] gives 12; `beatwright counts` lists more",
        ),
        TrainError::PressureAngle { .. } => {
            ("train.pressure_angle".to_owned(), ProblemCode::ImpossibleValue, "20 deg is usual")
        }
        TrainError::OutOfMesh { arbor, .. } => (
            arbor_key(arbor, "module"),
            ProblemCode::OutOfMesh,
            "use materials for frame and gears that expand equally, or a room closer to that in which they were made",
        ),
        TrainError::MeshHolds { .. } => (
            "train.tooth_friction".to_owned(),
            ProblemCode::ImpossibleValue,
            "0.1 to 0.3 is usual for plastics and wood",
        ),
    };
    (path, code, help.to_owned())
}
