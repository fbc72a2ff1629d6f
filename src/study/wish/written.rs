//! The scenario of a plan.

use std::fmt::Write as _;

use crate::clock::SECONDS_PER_DAY;
use crate::clock::printing::part_sizes::tip_diameter_m;
use crate::scenario::quoted;
use crate::study::counts::MeshCounts;

use super::gears::{CORD_M, PRESSURE_ANGLE_DEG};
use super::plan::{SPRING_M, WishPlan, round};
use super::starter_lines::{StarterLines, with_comment};
use super::{WEIGHT_RESERVE, Wish, WishedEscapement, bed_words};
use crate::numerics::digits::to_six_decimals;

/// Length below the bob's centre that the rod is longer than the bob, m, and where the nut is on it.
const ROD_BELOW_BOB_M: f64 = 20e-3;
const NUT_BELOW_BOB_M: f64 = 10e-3;

/// Beat from which the rod is the thicker tube, s.
const THICK_ROD_BEAT_S: f64 = 0.8;

/// Names of arbors, from the minute hand's on, and between the great wheel's and it.
const GOING_NAMES: [&str; 2] = ["centre", "third"];
const SECOND_NAME: &str = "second";

/// Directions in which the next arbor lies, in turn, deg: a train that rises in a gentle zigzag.
const DIRECTIONS_DEG: [f64; 4] = [70.0, 120.0, 60.0, 110.0];

/// The plan as a scenario, the starter with other values.
///
/// # Errors
/// A place of the starter that is not there.
pub(super) fn written(wish: &Wish, plan: &WishPlan) -> Result<String, String> {
    let mut lines = StarterLines::new();
    head(&mut lines, wish, plan);
    pendulum(&mut lines, wish, plan);
    train(&mut lines, wish, plan);
    drive(&mut lines, wish, plan);
    escapement(&mut lines, plan);
    let bead = mm(wish.bead_radius_m);
    lines.replace(
        "# [printer]",
        "",
        &format!(
            "[printer]                               # each a value with what one print, or one copy, may be off by\n\
             bead_radius = \"{bead} +/- 0.03 mm\"      # usually half the nozzle: it rounds every corner, and takes lock and lift\n\
             growth = \"0 mm +/- 0.03 mm\"             # of every edge outward: -0.1 mm to 0.2 mm is usual\n\
             shrinkage = \"0 % +/- 0.1 %\"             # 0.2 % to 1 % where the slicer does not make it good\n\
             centre_distance_error = \"0 mm +/- 0.1 mm\"   # of the arbors beyond the drawn distance\n\
             beds = [\"{}\"]",
            bed_words(&wish.bed)
        ),
    );
    lines.text()
}

/// A length in millimetres as it is written.
fn mm(length_m: f64) -> String {
    format!("{} mm", to_six_decimals(1e3 * length_m))
}

fn grams(mass_kg: f64) -> String {
    format!("{} g", to_six_decimals(1e3 * mass_kg))
}

fn head(lines: &mut StarterLines, wish: &Wish, plan: &WishPlan) {
    let escapement = match plan.escapement {
        WishedEscapement::DeadBeat => "a dead-beat escapement",
        WishedEscapement::Recoil => "a recoil anchor",
        WishedEscapement::PinPallet => "pin pallets",
    };
    lines.replace(
        "# A weight-driven pendulum clock.",
        "#",
        &format!(
            "# A weight-driven pendulum clock for a wish: a beat of {} s, {} days on a fall of {}, {escapement}, parts for a bed of\n\
             # {}. Counts, drum, lock, depth of the bob and weight are solved; the weight is {} times the least with the margin.\n\
             # Sizes of the pendulum and masses are in proportion to a seconds clock: change them to what you make, and ask\n\
             # `beatwright predict` again. Lines that begin with # are comments.",
            wish.beat(),
            to_six_decimals(wish.run_s / SECONDS_PER_DAY),
            mm(wish.fall_m),
            bed_words(&wish.bed),
            WEIGHT_RESERVE,
        ),
    );
    lines.set("", "name", &quoted(&wish.name));
}

fn pendulum(lines: &mut StarterLines, wish: &Wish, plan: &WishPlan) {
    let below_m = plan.depth_m + 0.5 * plan.bob_diameter_m;
    let (outer_m, inner_m) = if wish.beat() < THICK_ROD_BEAT_S { (8e-3, 6e-3) } else { (12e-3, 10e-3) };
    let scale = plan.scale();
    let rod_m = round(below_m + ROD_BELOW_BOB_M - SPRING_M, 1e-3);
    for (table, key, value) in [
        ("[pendulum.rod]", "outer_diameter", mm(outer_m)),
        ("[pendulum.rod]", "inner_diameter", mm(inner_m)),
        ("[pendulum.rod]", "length", mm(rod_m)),
        ("[pendulum.rod]", "top", mm(SPRING_M)),
        ("[pendulum.bob]", "diameter", mm(plan.bob_diameter_m)),
        ("[pendulum.bob]", "thickness", mm(plan.bob_thickness_m)),
        ("[pendulum.bob]", "below_axis", mm(plan.depth_m)),
        ("[pendulum.bob]", "mass", format!("{} kg", to_six_decimals(plan.bob_kg))),
        ("[pendulum.bob]", "material", "steel shot".to_owned()),
        ("[pendulum.nut]", "mass", grams(round(0.01 * plan.bob_kg, 1e-4))),
        ("[pendulum.nut]", "below_axis", mm(round(below_m + NUT_BELOW_BOB_M, 1e-3))),
        ("[[pendulum.part]]", "mass", grams(round(60e-3 * scale.powi(2), 1e-4))),
        ("[[pendulum.part]]", "below_axis", mm(round(20e-3 * scale, 1e-4))),
        ("[[pendulum.part]]", "inertia", format!("{:.2e} kg m^2", 8e-5 * scale.powi(4))),
    ] {
        lines.set(table, key, &quoted(&value));
    }
    lines.set("[[pendulum.part]]", "name", "\"crutch and pallets\"");
    let (thickness_m, width_m) = plan.spring_m();
    lines.replace(
        "kind = \"ball_bearing\"",
        "# kind = \"knife_edge\"",
        &format!(
            "kind = \"strip_spring\"                   # loses least; 0.05 mm to 0.15 mm thick: too thick wastes swing, too thin breaks\n\
             width = \"{}\"\n\
             thickness = \"{}\"\n\
             length = \"{}\"                         # 5 mm to 15 mm is usual\n\
             material = \"spring steel\"\n\
             loss_factor = 0.002                     # 0.001 to 0.005 with its clamps\n\
             # kind = \"ball_bearing\"                 # bore, friction (or a bearing by name), drag, bearings",
            mm(width_m),
            mm(thickness_m),
            mm(SPRING_M)
        ),
    );
    lines.replace(
        "# [pendulum.pallets]",
        "# [pendulum.extra_damping]",
        &format!(
            "[pendulum.pallets]                      # bearing of the pallet arbor, which the crutch turns, and the mass that it carries\n\
             mass = \"{}\"\n\
             pivot = {{ kind = \"plain\", diameter = \"1.5 mm\", friction = \"steel in brass, oiled\" }}\n\n",
            grams(round(60e-3 * scale.powi(2), 1e-4))
        ),
    );
}

fn train(lines: &mut StarterLines, wish: &Wish, plan: &WishPlan) {
    let gears = &plan.gears;
    lines.set("[train]", "beat", &quoted(&format!("{} s", wish.beat())));
    lines.set("[train]", "pressure_angle", &quoted(&format!("{} deg", to_six_decimals(PRESSURE_ANGLE_DEG))));
    let mut arbors = String::new();
    let names =
        std::iter::once("great").chain(std::iter::repeat_n(SECOND_NAME, gears.great.len() - 1)).chain(GOING_NAMES);
    let meshes: Vec<(MeshCounts, f64)> = gears
        .great
        .iter()
        .map(|&mesh| (mesh, gears.great_module_m))
        .chain(gears.going.iter().map(|&mesh| (mesh, gears.module_m)))
        .collect();
    let mut driven = None;
    for (place, (name, &(mesh, module_m))) in names.zip(&meshes).enumerate() {
        let is_great = place < gears.great.len();
        let (bore, why_name) = match (place, name) {
            (0, _) => ("8 mm", "carries the drum; nothing drives it"),
            (_, "centre") => ("5 mm", "turns once an hour"),
            (_, SECOND_NAME) => ("6 mm", "for the long run"),
            _ => ("4 mm", ""),
        };
        let mass = grams(plan.arbor_kg(tip_diameter_m(module_m, mesh.wheel), is_great));
        let _ = writeln!(arbors, "[[train.arbor]]\n{}", with_comment(&format!("name = {}", quoted(name)), why_name));
        if let Some(leaves) = driven {
            let _ = writeln!(
                arbors,
                "{}",
                with_comment(&format!("pinion_teeth = {leaves}"), "below 12 leaves they are undercut at 25 deg")
            );
        }
        let _ = writeln!(
            arbors,
            "wheel_teeth = {}\n{}\npivot = {{ kind = \"ball\", diameter = \"{bore}\", friction = \"ball bearing, oiled\" }}\nmass = {}\nnext = \"{} deg\"\n",
            mesh.wheel,
            with_comment(
                &format!("module = {}", quoted(&mm(module_m))),
                "of this wheel and the next pinion; from four radii of the bead up"
            ),
            quoted(&mass),
            DIRECTIONS_DEG[place % DIRECTIONS_DEG.len()],
        );
        driven = Some(mesh.pinion);
    }
    let _ = writeln!(
        arbors,
        "[[train.arbor]]\n{}\npinion_teeth = {}\npivot = {{ kind = \"ball\", diameter = \"3 mm\", friction = \"ball bearing, oiled\" }}\nmass = {}\n\
         # inertia = \"5e-5 kg m^2\"               # if left out: that of [escapement.wheel], or of a solid disc of the wheel's radius\n",
        with_comment("name = \"escape\"", "its wheel is the escapement's, below"),
        driven.unwrap_or(12),
        quoted(&grams(round(30e-3 * plan.scale().powi(2), 1e-4))),
    );
    lines.replace("[[train.arbor]]", "[train.hands]", &arbors);
    lines.replace(
        "# cut = ",
        "",
        "# cut = \"flat_sawn\"                     # of wooden ones, or \"quarter_sawn\"\n\
         bottom_clearance = \"40 %\"               # room below the tips for the fillets that the bead leaves: 25 % to 40 %\n\
         backlash = \"0.35 mm\"                    # play along the pitch circle for what printers are off by: 0.2 mm to 0.4 mm",
    );
    let pair = |mesh: MeshCounts| format!("[{}, {}]", mesh.pinion, mesh.wheel);
    let [first, second] = gears.motion_work;
    lines.set("[train.hands]", "motion_work", &format!("[{}, {}]", pair(first), pair(second)));
}

fn drive(lines: &mut StarterLines, wish: &Wish, plan: &WishPlan) {
    let gears = &plan.gears;
    let drum = mm(gears.drum_m);
    lines.set("[drive]", "weight", &quoted(&format!("{} kg", to_six_decimals(plan.weight_kg))));
    lines.set("[drive]", "drum_diameter", &quoted(&drum));
    lines.set("[drive]", "cord_diameter", &quoted(&mm(CORD_M)));
    lines.set("[drive]", "falls", &gears.falls.to_string());
    lines.set("[drive]", "drop", &quoted(&mm(wish.fall_m)));
    lines.leave_out("[drive]", "drum_turns");
    if gears.falls > 1 {
        let pivot = "{ kind = \"ball\", diameter = \"5 mm\", friction = \"ball bearing, oiled\" }";
        lines.set("[drive]", "pulley", &format!("{{ diameter = {}, pivot = {pivot} }}", quoted(&drum)));
    } else {
        lines.leave_out("[drive]", "pulley");
    }
}

fn escapement(lines: &mut StarterLines, plan: &WishPlan) {
    let scale = plan.scale();
    let size = |at_seconds_m: f64| mm(round(at_seconds_m * scale, 0.05e-3));
    let deg = |angle_deg: f64| format!("{} deg", to_six_decimals(angle_deg));
    let lock = with_comment(
        &format!("lock = {}", quoted(&deg(plan.lock_deg))),
        "as drawn, for 0.7 deg as printed: the bead takes the rest; 0.5 deg to 1 deg is usual",
    );
    let (table, own) = match plan.escapement {
        WishedEscapement::DeadBeat => (
            "dead_beat",
            format!(
                "{lock}\n\
                 tooth = {{ form = \"uniform\", depth = \"{}\", width = \"{}\", slope = \"20 deg\", undercut = \"10 deg\", root_fillet = \"{}\" }}\n\
                 friction = \"PLA on PLA, greased\"        # tooth on pallet\n\
                 face_length = \"7 deg\"                   # swing for which the locking faces are long enough, from where they release",
                size(10e-3),
                mm(round((1.2e-3 * scale).max(0.8e-3), 0.05e-3)),
                size(1e-3),
            ),
        ),
        WishedEscapement::Recoil => (
            "recoil_anchor",
            format!(
                "tooth = {{ depth = \"{}\", tip_width = \"{}\", undercut = \"0 deg\", wedge = \"10 deg\" }}\n\
                 friction = \"steel in PLA, oiled\"        # pallets faced with steel strip, for a recoil rubs under load\n\
                 face_length = \"4 deg\"                   # swing for which the faces are long enough: 3 deg to 5 deg",
                size(10e-3),
                size(0.8e-3),
            ),
        ),
        WishedEscapement::PinPallet => {
            let pitch_m = std::f64::consts::TAU * plan.escape_radius_m / f64::from(plan.gears.escape_teeth);
            (
                "pin_pallet",
                format!(
                    "{lock}\n\
                     pin_diameter = \"{}\"                   # an eighth to a sixth of the pitch\n\
                     tooth = {{ depth = \"{}\", undercut = \"3 deg\", wedge = \"10 deg\" }}   # lift and drop give its end face\n\
                     friction = \"steel in PLA, oiled\"        # tooth on pin\n\
                     face_length = \"5 deg\"",
                    mm(round(plan.pin * pitch_m, 0.05e-3)),
                    size(12e-3),
                ),
            )
        }
    };
    let text = format!(
        "[escapement.{table}]\n\
         teeth = {}\n\
         radius = \"{}\"                         # over the tips; a smaller wheel is easier to set going, a larger one minds the bead less\n\
         spaces = {}                            # tooth spaces that the pallets embrace: a whole number and a half\n\
         lift = \"{}\"                           # pallet angle over which a tooth drives each pallet: 1.5 deg to 2.5 deg, of a recoil anchor 3 deg to 5 deg\n\
         drop = \"{}\"                           # angle over which the wheel turns freely: 1 deg to 2.5 deg, the less the less noise and loss\n\
         {own}",
        plan.gears.escape_teeth,
        mm(plan.escape_radius_m),
        plan.spaces,
        deg(plan.lift_deg),
        deg(plan.drop_deg),
    );
    lines.replace("[escapement.dead_beat]", "# restitution", &text);
    if plan.escapement == WishedEscapement::PinPallet {
        lines.replace("# [escapement.pin_pallet]", "", "# [escapement.dead_beat] and [escapement.recoil_anchor] have their lift on the pallets, and teeth of other forms");
    }
}
