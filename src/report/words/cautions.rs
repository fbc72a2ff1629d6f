//! Cautions in words: the one place of each wording.

use crate::clock::build::Built;
use crate::clock::cautions::{Caution, CordGiven, Enough, LoadedTooth, PLA_KEPT_BELOW_C, WALL_FACTOR, cautions};
use crate::clock::environment::InRoom;
use crate::clock::train::arbor_strength::{ASKED_ARBOR_FACTOR, MOST_OPENING_MODULES};
use crate::clock::train::losses::{CORD_DESIGN_FACTOR, CORD_LEAST_DESIGN_FACTOR};
use crate::clock::train::tooth_strength::{ASKED_TOOTH_FACTOR, SUDDEN_LOAD_FACTOR};
use crate::report::canvas::look::significant;
use crate::report::words::numbers::{at_least, number};

/// Who decides in the end.
const WHO_DECIDES: &str =
    "These are our estimates: local codes, and people licensed for the work, decide on fixings, wiring and machines.";

/// Cautions as sentences, with who decides at the end; empty of none.
#[must_use]
pub fn in_words(cautions: &[Caution]) -> Vec<String> {
    let mut said: Vec<String> = cautions.iter().map(words).collect();
    if !said.is_empty() {
        said.push(WHO_DECIDES.to_owned());
    }
    said
}

/// Sentences as the last table of a command; empty of none.
#[must_use]
pub fn table(sentences: &[String]) -> String {
    if sentences.is_empty() {
        return String::new();
    }
    let lines: String = sentences.iter().map(|sentence| format!("  {sentence}\n")).collect();
    format!("Cautions\n{lines}")
}

/// Cautions of a clock as the last table; empty where nothing bears on any.
#[must_use]
pub fn table_of(design: &InRoom, built: &Built) -> String {
    table(&in_words(&cautions(design, built)))
}

fn words(caution: &Caution) -> String {
    match *caution {
        Caution::HangingWeight { mass_kg, fall_m, energy_j } => format!(
            "If cord, knot or hook fails, {} kg falls up to {} m and lands with {} J, and the clock stops: keep \
                people, pets and feet out from under the weight.",
            number(mass_kg, 2),
            number(fall_m, 2),
            number(energy_j, 0)
        ),
        Caution::Cord { working_load_n, asked_breaking_strength_n, given } => format!(
            "The cord carries {} N: choose one with a breaking strength of at least {} N ({} times the load, doubled \
                because a knot takes half the strength; Cordage Institute guideline CI 1401: {} to {} times).{}",
            number(working_load_n, 1),
            at_least(asked_breaking_strength_n, 0),
            number(CORD_DESIGN_FACTOR, 0),
            number(CORD_LEAST_DESIGN_FACTOR, 0),
            number(CORD_DESIGN_FACTOR, 0),
            given.map(given_words).unwrap_or_default()
        ),
        Caution::WallFixing { load_n, asked_n } => format!(
            "Weight, pendulum and wheels pull with {} N, plates and case not counted: a wall fixing for {} times \
                that, at least {} N, is common practice (no source).",
            number(load_n, 0),
            number(WALL_FACTOR, 0),
            at_least(asked_n, 0)
        ),
        Caution::SupportFixing => "A stiff support is no safe one: a clock or weight that falls hurts, and a tall case tips over. Fix both to \
            what carries them (studs, masonry), never to plaster alone, and look for cables and pipes before you drill."
            .to_owned(),
        Caution::WeakTooth { factor, ref gear, asked_width_m } => format!(
            "The teeth of the {gear} are only {} times as strong as the hanging weight asks, all of it on one tooth (Lewis's estimate; {} times \
                is common practice, no source), and {} times where the weight comes on with a jerk, as when the key is let go at the winding \
                stop. If one breaks, the train runs free and the weight comes down. Make the faces of wheel and pinion {} mm thick, or take a \
                larger module.",
            number(factor, 1),
            number(ASKED_TOOTH_FACTOR, 0),
            number(factor / SUDDEN_LOAD_FACTOR, 1),
            at_least(1e3 * asked_width_m, 1)
        ),
        Caution::WeakArbor { factor, ref arbor, asked_diameter_m } => format!(
            "The {arbor} arbor is only {} times as strong as the hanging weight asks, all its load in the middle between the plates ({} times is \
                common practice, no source), and {} times on a jerk: it may bend for good or break. Make it {} mm thick, or bring the plates \
                nearer to each other.",
            number(factor, 1),
            number(ASKED_ARBOR_FACTOR, 0),
            number(factor / SUDDEN_LOAD_FACTOR, 1),
            at_least(1e3 * asked_diameter_m, 1)
        ),
        Caution::MeshOpens { ref wheel, ref pinion, opening_m, module_m } => format!(
            "The {wheel} and {pinion} arbors sag by up to {} mm away from each other, {} of the module of their mesh (a tenth is taken as the \
                most: {} mm): teeth that barely reach wear, catch or slip. Take thicker arbors, or put wheel and pinion near a plate.",
            number(1e3 * opening_m, 2),
            number(opening_m / module_m, 2),
            number(1e3 * MOST_OPENING_MODULES * module_m, 2)
        ),
        Caution::WoodDust => "Wood dust harms the lungs and burns: extract it at the saw and wear a mask.".to_owned(),
        Caution::HotParts => "Nozzle, bed and fresh prints are hot, and melting plastic gives off fumes: let parts \
            cool and air the room."
            .to_owned(),
        Caution::PlaUnderLoad { softens_at_c, has_drum, ref tooth } => format!(
            "Parts of PLA carry load: PLA softens at about {} degC, which a sunny window or a closed car reaches, and creeps under \
                a steady load at any temperature: keep the clock cool, and look at {} now and then.{}",
            number(softens_at_c, 0),
            if has_drum { "meshes and drum" } else { "the meshes" },
            tooth.as_ref().map(creeping_words).unwrap_or_default()
        ),
        Caution::Battery => {
            "Cells leak when spent and get hot when shorted: fit a fuse or a holder made for them, and replace all of \
                them at once."
                .to_owned()
        }
        Caution::Mains => {
            "On mains power, use an enclosed low-voltage adapter with a safety mark; leave mains wiring to people \
                licensed for it."
                .to_owned()
        }
    }
}

/// What a tooth of PLA bears for years. Printed PLA bent by a steady load went on creeping for as long as it was watched, well below its glass
/// transition: M. Fischbach, K. Weinberg, Effect of physical aging on the flexural creep in 3D printed thermoplastic, 2023, arXiv 2302.11240
/// (abstract seen; no rate in it). The temperature is common practice, no source.
fn creeping_words(tooth: &LoadedTooth) -> String {
    let share = tooth.factor.map(|factor| format!(", {} % of its strength,", significant(1e2 / factor, 2)));
    format!(
        " The most loaded tooth of PLA, of the {}, bears {} MPa{} for as long as the weight hangs. Printed PLA was seen to creep under a steady load \
         well below the heat that softens it (Fischbach and Weinberg 2023); how far your parts go we cannot say. Common practice, no source: stay \
         below {} degC, and take the weight off a clock that stands for long.",
        tooth.gear,
        significant(1e-6 * tooth.stress_pa, 2),
        share.unwrap_or_default(),
        number(PLA_KEPT_BELOW_C, 0)
    )
}

fn given_words(given: CordGiven) -> String {
    let verdict = match given.enough {
        Enough::Yes => "enough",
        Enough::WithoutKnot => "enough only without a knot",
        Enough::No => "too little",
    };
    let (strength, factor) = (number(given.breaking_strength_n, 0), number(given.factor, 1));
    format!(" Yours breaks at {strength} N, {factor} times the load: {verdict}.")
}
