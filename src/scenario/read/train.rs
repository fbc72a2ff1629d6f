//! Reads `[train]`: arbors from the drum to the escape wheel, and the hands.

use crate::clock::design::{Arbor, Cut, MadeOf, Pivot, PivotKind, Train};
use crate::scenario::toml::nearest::suggestion;
use crate::scenario::toml::numbers::{Allowed, whole_number};
use crate::scenario::toml::problem_code::ProblemCode;
use crate::scenario::toml::section::Section;
use crate::scenario::toml::tree::Value;
use crate::units::Kind;

use super::arbor_sizes::read_arbor_sizes;
use super::friction::read_friction;
use super::materials::Materials;
use super::pivot::{ON_AN_ARBOR, read_pivot};

/// Fewest teeth of a wheel or pinion that can mesh at all.
pub(in crate::scenario) const FEWEST_TEETH: u32 = 2;
/// Most teeth; more is a slip.
pub(in crate::scenario) const MOST_TEETH: u32 = 10_000;

/// Arbors that a train may have; a train of more is a slip.
const MOST_ARBORS: usize = 100;

/// Pressure angle of the teeth where the scenario gives none: that of the usual rack (ISO 53, from memory).
pub const DEFAULT_PRESSURE_ANGLE_RAD: f64 = std::f64::consts::PI / 9.0;

/// Direction of the next arbor where the scenario gives none: straight above.
const DEFAULT_NEXT_RAD: f64 = std::f64::consts::FRAC_PI_2;

const PRESSURE_ANGLE: Allowed =
    Allowed::Between(std::f64::consts::PI / 36.0, std::f64::consts::FRAC_PI_4, "from 5 deg to 45 deg");
const BEAT: Allowed = Allowed::Between(0.01, 100.0, "from 0.01 s to 100 s");
const BOTTOM_CLEARANCE: Allowed = Allowed::Between(0.0, 1.0, "from 0 % to 100 % of the module");
const MODULE: Allowed = Allowed::Between(1e-5, 0.1, "from 0.01 mm to 100 mm");

/// What the train has to know of the escape wheel for its last arbor.
#[derive(Debug, Clone, Copy)]
pub(in crate::scenario) struct KnownEscapeWheel {
    /// Radius over the tips, m; `None` for an ideal escapement.
    pub(in crate::scenario) radius_m: Option<f64>,
    /// Mass of a wheel whose body is given, kg.
    pub(in crate::scenario) mass_kg: Option<f64>,
    /// Its inertia, kg m^2.
    pub(in crate::scenario) inertia_kg_m2: Option<f64>,
    /// Whether the escapement could not be read at all: that nothing is known is then no problem of the train.
    pub(in crate::scenario) is_unread: bool,
}

/// What stands on a train's last and fastest arbor.
#[derive(Debug, Clone, Copy)]
pub(in crate::scenario) enum LastArbor {
    /// The escape wheel.
    EscapeWheel(KnownEscapeWheel),
    /// A motor, whose bearings and rotor are its own affair.
    Motor,
}

impl LastArbor {
    /// What is known of an escape wheel. Of a motor's rotor nothing has to be: it counts under `[motor]`.
    const fn known(self) -> KnownEscapeWheel {
        match self {
            Self::EscapeWheel(known) => known,
            Self::Motor => {
                KnownEscapeWheel { radius_m: None, mass_kg: None, inertia_kg_m2: Some(0.0), is_unread: true }
            }
        }
    }

    const fn first_to_last(self) -> &'static str {
        match self {
            Self::EscapeWheel(_) => "from the drum to the escape wheel",
            Self::Motor => "from the slowest to the motor's",
        }
    }
}

/// The train; `Some(None)` where the scenario has none.
///
/// Where no inertia is stated, wheels are solid discs with the arbor's mass; an escape wheel whose body is given counts by its
/// outlines, and the thin rest of its arbor for nothing.
pub(in crate::scenario) fn read_train(
    root: &mut Section<'_, '_>,
    materials: &Materials,
    last: LastArbor,
) -> Option<Option<Train>> {
    if !root.has("train") {
        root.entry("train");
        return Some(None);
    }
    let mut train = root.section("train")?;
    let pressure_angle = train.quantity_or("pressure_angle", Kind::Angle, PRESSURE_ANGLE, DEFAULT_PRESSURE_ANGLE_RAD);
    let tooth_friction = read_friction(&mut train, "tooth_friction");
    if matches!(last, LastArbor::Motor) && train.has("beat") {
        let message = "`train.beat` has no meaning with a motor".to_owned();
        train.report_key(
            "beat",
            ProblemCode::Conflict,
            message,
            "delete the line; [oscillator] times the clock".to_owned(),
        );
    }
    let beat = if train.has("beat") { train.quantity("beat", Kind::Time, BEAT).map(Some) } else { Some(None) };
    let made_of = materials.made_of(&mut train, None);
    let arbor_material = materials.optional(&mut train, "arbor_material");
    let backlash = train.optional_quantity("backlash", Kind::Length, Allowed::NotNegative);
    let bottom_clearance = train.optional_quantity("bottom_clearance", Kind::Fraction, BOTTOM_CLEARANCE);
    let sections = train.list("arbor");
    let count = sections.len();
    if !(2..=MOST_ARBORS).contains(&count) {
        let counted = if count == 1 { "one arbor".to_owned() } else { format!("{count} arbors") };
        let message = format!("the train has {counted}");
        let which = last.first_to_last();
        let help = format!("give one [[train.arbor]] table for each arbor {which}, at least two");
        train.report_at("arbor", ProblemCode::TrainOpen, message, help);
    }
    let gears = GearsOfTrain { made_of: made_of.as_ref().and_then(Option::as_ref), backlash_m: backlash.flatten() };
    let mut arbors = Vec::new();
    let mut names: Vec<String> = Vec::new();
    for (index, arbor) in sections.into_iter().enumerate().take(MOST_ARBORS) {
        let place = ArborPlace { is_first: index == 0, is_last: index + 1 == count, last };
        let name = arbor_name(&arbor, index, &names);
        arbors.extend(read_arbor(arbor, place, gears, materials));
        names.push(name);
    }
    let hands = read_hands(&mut train, &names);
    train.finish();
    made_of?;
    backlash?;
    let TurnedHands { minute_arbor, motion_work, modules_m } = hands?;
    let all_read = arbors.len() == count && count >= 2;
    Some(Some(Train {
        arbors: all_read.then_some(arbors)?,
        minute_arbor,
        beat_s: beat?,
        motion_work,
        motion_work_modules_m: modules_m,
        hands: None,
        arbor_material: arbor_material?,
        pressure_angle_rad: pressure_angle?,
        tooth_friction: tooth_friction?,
        bottom_clearance_modules: bottom_clearance?,
    }))
}

/// The arbor's name for the hands, reported if another arbor has it already.
fn arbor_name(arbor: &Section<'_, '_>, index: usize, earlier: &[String]) -> String {
    let name = arbor.written_text("name").unwrap_or_else(|| index.to_string());
    if earlier.contains(&name) {
        let message = format!("two arbors are named \"{name}\"");
        arbor.report_at("name", ProblemCode::DuplicateName, message, "give each arbor a name of its own".to_owned());
    }
    name
}

#[derive(Clone, Copy)]
struct ArborPlace {
    is_first: bool,
    is_last: bool,
    last: LastArbor,
}

/// What holds for all gears of the train that say nothing of their own.
#[derive(Clone, Copy)]
struct GearsOfTrain<'m> {
    made_of: Option<&'m MadeOf>,
    backlash_m: Option<f64>,
}

fn read_arbor(
    mut arbor: Section<'_, '_>,
    place: ArborPlace,
    gears: GearsOfTrain<'_>,
    materials: &Materials,
) -> Option<Arbor> {
    let otherwise = gears.made_of;
    let name = arbor.text("name");
    let pinion_teeth = if place.is_first {
        let why = match place.last {
            LastArbor::EscapeWheel(_) => "the first arbor carries the drum; nothing drives it",
            LastArbor::Motor => "the first arbor is the slowest; only its wheel meshes",
        };
        refuse(&mut arbor, "pinion_teeth", why, "delete the line");
        Some(None)
    } else {
        arbor.count("pinion_teeth", FEWEST_TEETH, MOST_TEETH).map(Some)
    };
    let (wheel_teeth, module, backlash) = if place.is_last {
        let (why, teeth) = match place.last {
            LastArbor::EscapeWheel(_) => {
                ("the last arbor's wheel is the escape wheel", "delete the line; its teeth are under [escapement]")
            }
            LastArbor::Motor => ("the last arbor is the motor's", "delete the line; only its pinion meshes"),
        };
        refuse(&mut arbor, "wheel_teeth", why, teeth);
        refuse(&mut arbor, "module", why, "delete the line; nothing meshes with it");
        refuse(&mut arbor, "thickness", why, "delete the line; [escapement.wheel] has the escape wheel's");
        refuse(&mut arbor, "backlash", why, "delete the line; the drop of the escapement is its play");
        (Some(None), Some(None), Some(None))
    } else {
        let teeth = arbor.count("wheel_teeth", FEWEST_TEETH, MOST_TEETH);
        let module = arbor.quantity("module", Kind::Length, MODULE);
        let backlash = arbor.optional_quantity("backlash", Kind::Length, Allowed::NotNegative);
        (teeth.map(Some), module.map(Some), backlash.map(|own| own.or(gears.backlash_m)))
    };
    let pivot = match place.last {
        // What friction the motor's own bearings have is taken off its torque already.
        LastArbor::Motor if place.is_last && !arbor.has("pivot") => {
            arbor.entry("pivot");
            Some(Pivot::new(PivotKind::Plain, 1e-3, 0.0))
        }
        _ => read_pivot(&mut arbor, ON_AN_ARBOR),
    };
    let mass = arbor.quantity("mass", Kind::Mass, Allowed::Positive);
    let stated_inertia = arbor.optional_quantity("inertia", Kind::Inertia, Allowed::Positive);
    let sizes = read_arbor_sizes(&mut arbor, place.is_last);
    let next_direction = arbor.quantity_or("next", Kind::Angle, Allowed::Any, DEFAULT_NEXT_RAD);
    let wheel = materials.made_of(&mut arbor, otherwise);
    let pinion = if arbor.has("pinion_material") {
        let cut = otherwise.map_or_else(Cut::default, |other| other.cut);
        materials.named(&mut arbor, "pinion_material").map(|material| Some(MadeOf { material, cut }))
    } else {
        arbor.entry("pinion_material");
        Some(otherwise.cloned())
    };
    let wheel_radius_m = match (wheel_teeth, module) {
        (Some(Some(teeth)), Some(Some(module_m))) => Some(0.5 * f64::from(teeth) * module_m),
        _ if place.is_last => place.last.known().radius_m,
        _ => None,
    };
    let escape_radius_unknown = place.is_last && wheel_radius_m.is_none() && !place.last.known().is_unread;
    if escape_radius_unknown && stated_inertia == Some(None) {
        let message = format!("`{}` is missing", arbor.path_of("inertia"));
        let help = "add inertia like \"2e-6 kg m^2\": this escapement has no wheel radius to take it from".to_owned();
        arbor.report_at("inertia", ProblemCode::MissingKey, message, help);
    }
    if let (true, Some(mass), Some(wheel)) = (place.is_last, mass, place.last.known().mass_kg)
        && wheel > mass
    {
        let message = format!("the escape wheel alone weighs {:.1} g by [escapement.wheel]", 1e3 * wheel);
        let help = "write the mass of all that turns with the arbor, or make the wheel lighter".to_owned();
        arbor.report_at("mass", ProblemCode::ImpossibleValue, message, help);
    }
    arbor.finish();
    let mass_kg = mass?;
    let of_wheel = place.last.known().inertia_kg_m2.filter(|_| place.is_last);
    let inertia_kg_m2 = match stated_inertia?.or(of_wheel) {
        Some(inertia_kg_m2) => inertia_kg_m2,
        None => disc_inertia_kg_m2(mass_kg, wheel_radius_m?),
    };
    Some(Arbor {
        name: name?,
        pinion_teeth: pinion_teeth?,
        wheel_teeth: wheel_teeth?,
        module_m: module?,
        pivot: pivot?,
        mass_kg,
        inertia_kg_m2,
        next_direction_rad: next_direction?,
        wheel: wheel?,
        pinion: pinion?,
        backlash_m: backlash?,
        sizes: sizes?,
    })
}

/// Inertia of a solid disc about its axis: m r^2 / 2.
fn disc_inertia_kg_m2(mass_kg: f64, radius_m: f64) -> f64 {
    0.5 * mass_kg * radius_m * radius_m
}

fn refuse(arbor: &mut Section<'_, '_>, key: &'static str, why: &str, help: &str) {
    if arbor.entry(key).is_some() {
        arbor.report_key(
            key,
            ProblemCode::TrainOpen,
            format!("`{}` does not fit: {why}", arbor.path_of(key)),
            help.to_owned(),
        );
    }
}

/// `[train.hands]`.
#[derive(Default)]
struct TurnedHands {
    /// Index of the minute hand's arbor.
    minute_arbor: Option<usize>,
    /// Pairs of the motion work.
    motion_work: Vec<(u32, u32)>,
    /// Their modules, m; empty where none are given.
    modules_m: Vec<f64>,
}

fn read_hands(train: &mut Section<'_, '_>, names: &[String]) -> Option<TurnedHands> {
    if !train.has("hands") {
        train.entry("hands");
        return Some(TurnedHands::default());
    }
    let mut hands = train.section("hands")?;
    let minute = hands.text("minute").filter(|_| !names.is_empty()).and_then(|minute| {
        let index = names.iter().position(|name| *name == minute);
        if index.is_none() {
            let known: Vec<&str> = names.iter().map(String::as_str).collect();
            let message = format!("there is no arbor \"{minute}\" for the minute hand");
            hands.report_at("minute", ProblemCode::UnknownName, message, suggestion(&minute, &known, "arbor"));
        }
        index
    });
    let motion_work = read_tooth_pairs(&mut hands, "motion_work", "[[15, 45], [12, 48]]");
    let modules = read_motion_work_modules(&mut hands, motion_work.as_deref());
    hands.finish();
    Some(TurnedHands { minute_arbor: Some(minute?), motion_work: motion_work?, modules_m: modules? })
}

/// One module for all pairs of the motion work, or a list with one for each, m; empty where absent.
fn read_motion_work_modules(hands: &mut Section<'_, '_>, pairs: Option<&[(u32, u32)]>) -> Option<Vec<f64>> {
    const KEY: &str = "motion_work_module";
    let Some(entry) = hands.entry(KEY) else { return Some(Vec::new()) };
    let count = pairs.map_or(0, <[_]>::len);
    let Value::Array(items) = &entry.node.value else {
        return hands.quantity(KEY, Kind::Length, MODULE).map(|module_m| vec![module_m; count]);
    };
    let mut modules_m = Vec::new();
    for item in items {
        let Value::Text(text) = &item.value else {
            let message = format!("`{}` has {} among its modules", hands.path_of(KEY), item.value.type_name());
            let help = "write modules in quotes with their unit, for example [\"1 mm\", \"0.96 mm\"]".to_owned();
            hands.reader.report(ProblemCode::WrongType, message, help, item.span);
            return None;
        };
        modules_m.push(hands.quantity_of_text(KEY, text, Kind::Length, MODULE)?);
    }
    if pairs.is_some() && modules_m.len() != count {
        let message = format!("`{}` has {} modules for {count} pairs", hands.path_of(KEY), modules_m.len());
        let help = "give one module for each pair of motion_work, or a single one for all".to_owned();
        hands.report_at(KEY, ProblemCode::Conflict, message, help);
        return None;
    }
    Some(modules_m)
}

/// A list of pairs of driver and driven teeth under `key`, for example `motion_work = [[12, 36], [10, 40]]`; empty where absent.
pub(in crate::scenario) fn read_tooth_pairs(
    section: &mut Section<'_, '_>,
    key: &'static str,
    example: &str,
) -> Option<Vec<(u32, u32)>> {
    let Some(entry) = section.entry(key) else { return Some(Vec::new()) };
    let help = format!("write pairs of driver and driven teeth, for example {example}");
    let list = section.path_of(key);
    let Value::Array(items) = &entry.node.value else {
        let message = format!("`{list}` is {}, not a list of pairs", entry.node.value.type_name());
        section.report_at(key, ProblemCode::WrongType, message, help);
        return None;
    };
    let mut pairs = Vec::new();
    for (index, item) in items.iter().enumerate() {
        let path = format!("{list}.{index}");
        let Value::Array(pair) = &item.value else {
            let message = format!("`{path}` is {}, not a pair of tooth counts", item.value.type_name());
            section.reader.report(ProblemCode::WrongType, message, help.clone(), item.span);
            continue;
        };
        let [driver, driven] = pair.as_slice() else {
            let message = format!("`{path}` has {} entries, not two", pair.len());
            section.reader.report(ProblemCode::WrongType, message, help.clone(), item.span);
            continue;
        };
        let driver = whole_number(section.reader, driver, &format!("{path}.0"), FEWEST_TEETH, MOST_TEETH);
        let driven = whole_number(section.reader, driven, &format!("{path}.1"), FEWEST_TEETH, MOST_TEETH);
        pairs.extend(driver.zip(driven));
    }
    (pairs.len() == items.len()).then_some(pairs)
}
