//! Escapements of every form, with every form of tooth, the body of the wheel, and what the pallets are made of.

use beatwright::clock::design::{DeadBeat, PalletPlan, TaperedTooth, ToothForm};
use beatwright::clock::escapement::dead_beat;
use beatwright::geometry::Outline;

use crate::dice::Dice;

use super::MATERIALS;
use super::going::friction;

/// An escapement and what the rest of the clock has to know of it.
#[derive(Debug)]
pub struct EscapementDrawn {
    pub text: String,
    pub teeth: u32,
    pub is_ideal: bool,
    /// About the swing that it needs, deg.
    pub swing_deg: f64,
}

impl EscapementDrawn {
    pub fn of(dice: &mut Dice, beat_s: f64) -> Self {
        match dice.below(100) {
            0..4 => Self::ideal_torque(dice, beat_s),
            4..8 => Self::ideal_kick(dice, beat_s),
            8..13 => Self::outline(dice),
            _ => Self::with_wheel(dice, beat_s),
        }
    }

    fn ideal_torque(dice: &mut Dice, beat_s: f64) -> Self {
        let (before, after) = (dice.between(-1.0, 4.0), dice.between(0.5, 4.0));
        let torque = dice.magnitude(1e-6, 2e-2) * beat_s;
        let outside = dice.pick(&["none", "reversed"]);
        let text = format!(
            "[escapement.ideal_torque]\ntorque = \"{torque:.4e} N m\"\nbefore = \"{before:.3} deg\"\nafter = \"{after:.3} deg\"\noutside = \"{outside}\"\n"
        );
        Self { text, teeth: 30, is_ideal: true, swing_deg: after.max(before) }
    }

    fn ideal_kick(dice: &mut Dice, beat_s: f64) -> Self {
        let at = dice.between(-3.0, 3.0);
        let size = if dice.percent(50) {
            format!("energy = \"{:.3e} J\"", dice.magnitude(1e-7, 1e-3) * beat_s)
        } else {
            format!("speed = \"{:.3e} rad/s\"", dice.magnitude(1e-5, 1e-2))
        };
        let sides = dice.pick(&["both", "right"]);
        let text = format!("[escapement.ideal_kick]\nat = \"{at:.3} deg\"\n{size}\nsides = \"{sides}\"\n");
        Self { text, teeth: 30, is_ideal: true, swing_deg: at.abs().max(0.3) }
    }

    /// The outlines of a dead-beat written out, as from a paper.
    fn outline(dice: &mut Dice) -> Self {
        let degree = std::f64::consts::PI / 180.0;
        let tooth = TaperedTooth {
            depth_m: dice.between(6e-3, 12e-3),
            tip_width_m: dice.between(0.3e-3, 1.2e-3),
            undercut_rad: dice.between(5.0, 14.0) * degree,
            wedge_rad: dice.between(6.0, 16.0) * degree,
        };
        let lift_deg = dice.between(1.0, 3.0);
        let plan = PalletPlan {
            teeth: 30,
            radius_m: dice.between(40e-3, 70e-3),
            spaces_embraced: 7.5,
            lift_rad: lift_deg * degree,
            drop_rad: dice.between(1.0, 3.0) * degree,
            centre_distance_m: None,
            tooth: ToothForm::Tapered(tooth),
            friction: 0.15.into(),
            restitution: 0.0,
            beat_error_rad: 0.0,
            face_length_rad: 6.0 * degree,
        };
        let Ok(drawn) = dead_beat(&DeadBeat { plan, lock_rad: dice.between(0.3, 1.5) * degree }) else {
            return Self::with_wheel(dice, 1.0);
        };
        let chain = |outline: &Outline| {
            let vertices = outline.vertices();
            let at = |index: usize| {
                let place = vertices[index % vertices.len()].at;
                format!("[{:.9}, {:.9}]", 1e3 * place.x, 1e3 * place.y)
            };
            let path: Vec<String> = (0..vertices.len())
                .map(|index| format!("{{ to = {}, bulge = {:.12} }}", at(index + 1), vertices[index].bulge))
                .collect();
            format!("{{ start = {}, path = [{}] }}", at(0), path.join(", "))
        };
        let text = format!(
            "[escapement.outline]\nteeth = 30\ncentre_distance = \"{:.6} mm\"\nfriction = {}\ntooth = {}\nentry = {}\nexit = {}\n",
            1e3 * drawn.centre_distance_m,
            friction(dice),
            chain(&drawn.tooth),
            chain(&drawn.pallets.entry),
            chain(&drawn.pallets.exit)
        );
        Self { text, teeth: 30, is_ideal: false, swing_deg: lift_deg }
    }

    fn with_wheel(dice: &mut Dice, beat_s: f64) -> Self {
        let form = dice.pick(&["dead_beat", "dead_beat", "recoil_anchor", "recoil_anchor", "pin_pallet"]);
        // Such that the wheel turns a whole number of times an hour: any train can make that.
        let fitting: Vec<u32> = [30_u32, 36, 24, 20, 15, 40]
            .into_iter()
            .filter(|teeth| (1800.0 / (f64::from(*teeth) * beat_s)).fract() == 0.0)
            .collect();
        let teeth = dice.pick(&fitting);
        let radius_mm = dice.between(20.0, 70.0) * if beat_s < 0.6 { 0.6 } else { 1.0 };
        let pitch_deg = 360.0 / f64::from(teeth);
        let spaces = dice.pick(&[4.5_f64, 5.5, 6.5, 7.5, 8.5]).min(f64::from(teeth) / 4.0 - 0.5).floor() + 0.5;
        let lift_deg = if form == "recoil_anchor" { dice.between(2.0, 7.0) } else { dice.between(0.8, 4.0) };
        let lock_deg = if form == "recoil_anchor" { 0.0 } else { dice.between(0.0, 1.5) };
        let pitch_mm = std::f64::consts::TAU * radius_mm / f64::from(teeth);
        let mut text = format!(
            "[escapement.{form}]\nteeth = {teeth}\nradius = \"{radius_mm:.2} mm\"\nspaces = {spaces}\nlift = \"{lift_deg:.3} deg\"\ndrop = \"{:.3} deg\"\nfriction = {}\n",
            pitch_deg * dice.between(0.08, 0.25),
            friction(dice)
        );
        if form != "recoil_anchor" {
            text += &format!("lock = \"{lock_deg:.3} deg\"\n");
        }
        if form == "pin_pallet" {
            text += &format!("pin_diameter = \"{:.2} mm\"\n", pitch_mm * dice.between(0.05, 0.2));
        }
        if dice.percent(70) {
            text += &format!("face_length = \"{:.2} deg\"\n", dice.between(2.0, 7.0));
        }
        if dice.percent(20) {
            text += &format!("restitution = {:.2}\n", dice.between(0.0, 0.8));
        }
        if dice.percent(15) {
            text += &format!("beat_error = \"{:.2} deg\"\n", dice.between(-0.8, 0.8));
        }
        if dice.percent(8) {
            text += &format!("centre_distance = \"{:.2} mm\"\n", radius_mm * dice.between(1.2, 1.7));
        }
        text += &tooth(dice, form, pitch_mm);
        if dice.percent(30) {
            text += &format!("[escapement.pallets]\nmaterial = \"{}\"\n", dice.pick(&MATERIALS));
        }
        if dice.percent(35) {
            text += &wheel_body(dice, radius_mm);
        }
        Self { text, teeth, is_ideal: false, swing_deg: 0.7 * lift_deg + lock_deg }
    }
}

fn tooth(dice: &mut Dice, form: &str, pitch_mm: f64) -> String {
    let depth_mm = pitch_mm * dice.between(0.7, 1.2);
    // The front leans back from a locking face, and may stand upright before one that recoils.
    let undercut = match form {
        "dead_beat" => dice.between(5.0, 14.0),
        "pin_pallet" => dice.between(0.0, 6.0),
        _ => dice.between(-1.0, 9.0),
    };
    let wedge = dice.between(4.0, 14.0);
    let shank = format!("depth = \"{depth_mm:.3} mm\", undercut = \"{undercut:.2} deg\", wedge = \"{wedge:.2} deg\"");
    let width_mm = pitch_mm * dice.between(0.01, 0.08);
    if form == "pin_pallet" {
        return format!("tooth = {{ {shank} }}\n");
    }
    match dice.below(6) {
        0 | 1 => format!("tooth = {{ {shank}, tip_width = \"{width_mm:.3} mm\" }}\n"),
        2 => format!("tooth = {{ form = \"pointed\", {shank} }}\n"),
        3 => format!(
            "tooth = {{ form = \"uniform\", depth = \"{depth_mm:.3} mm\", width = \"{width_mm:.3} mm\", slope = \"{:.1} deg\", \
                undercut = \"{undercut:.2} deg\", root_fillet = \"{:.2} mm\" }}\n",
            dice.between(5.0, 35.0),
            dice.between(0.0, 0.1) * pitch_mm
        ),
        4 => format!(
            "tooth = {{ form = \"club\", {shank}, tip_width = \"{:.3} mm\", tooth_lift = \"{:.2} deg\" }}\n",
            1.3 * width_mm,
            dice.between(0.05, 0.8)
        ),
        _ => format!("tooth = {{ form = \"pin\", diameter = \"{:.3} mm\" }}\n", pitch_mm * dice.between(0.05, 0.2)),
    }
}

fn wheel_body(dice: &mut Dice, radius_mm: f64) -> String {
    let spokes = dice.pick(&[0, 3, 4, 5, 6]);
    let mut text = format!(
        "[escapement.wheel]\nmaterial = \"{}\"\nthickness = \"{:.1} mm\"\nbore = \"{:.1} mm\"\nspokes = {spokes}\n",
        dice.pick(&MATERIALS),
        dice.between(0.8, 6.0),
        dice.between(1.5, 5.0)
    );
    if spokes > 0 {
        text += &format!(
            "rim = \"{:.2} mm\"\nspoke_width = \"{:.2} mm\"\nhub_diameter = \"{:.2} mm\"\n",
            radius_mm * dice.between(0.05, 0.15),
            radius_mm * dice.between(0.05, 0.12),
            6.0 + radius_mm * dice.between(0.05, 0.2)
        );
    }
    text
}
