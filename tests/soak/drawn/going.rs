//! Frame, train, drive and hands; or a drive of bare numbers.

use crate::dice::Dice;

use super::MATERIALS;
use super::escapement::EscapementDrawn;

/// A pivot as an inline table.
pub fn pivot(dice: &mut Dice, diameter_mm: f64) -> String {
    let diameter_mm = diameter_mm * dice.between(0.6, 1.6);
    if dice.percent(40) {
        let friction = dice.pick(&[
            "0.0",
            "0.1",
            "0.15",
            "0.25",
            "\"0.15 +/- 0.05\"",
            "\"steel in brass, oiled\"",
            "\"steel in PLA\"",
        ]);
        return format!("{{ kind = \"plain\", diameter = \"{diameter_mm:.2} mm\", friction = {friction} }}");
    }
    let friction = dice.pick(&[
        "0.0015",
        "0.003",
        "\"0.0013 +/- 0.0005\"",
        "\"ball bearing, oiled\"",
        "\"ball bearing, greased\"",
        "\"ball bearing\"",
        "\"ball bearing, washed out\"",
    ]);
    let mut text = format!("{{ kind = \"ball\", diameter = \"{:.2} mm\", friction = {friction}", diameter_mm.max(1.0));
    if dice.percent(15) {
        text += &format!(", drag = \"{:.2} uN m\"", dice.magnitude(0.1, 50.0));
    }
    if dice.percent(15) {
        text += &format!(", breakaway = {:.2}", dice.between(1.0, 2.5));
    }
    text + " }"
}

/// Tables of whatever drives the wheel.
pub fn text(dice: &mut Dice, beat_s: f64, escapement: &EscapementDrawn) -> String {
    if escapement.is_ideal {
        return String::new();
    }
    if dice.percent(12) {
        return lumped(dice, beat_s);
    }
    let (stages, from_drum) = train_of(dice, beat_s, escapement.teeth);
    let mut text = String::new();
    if dice.percent(60) {
        text += &format!("[frame]\nmaterial = \"{}\"\n", dice.pick(&MATERIALS));
        if dice.percent(40) {
            text += &format!("arbors = \"{}\"\n", dice.pick(&["drilled", "printed"]));
        }
    }
    text += &format!("[train]\nbeat = \"{beat_s} s\"\ntooth_friction = {}\n", friction(dice));
    if dice.percent(70) {
        text += &format!("pressure_angle = \"{} deg\"\n", dice.pick(&[20.0, 25.0, 14.5]));
    }
    if dice.percent(70) {
        text += &format!("material = \"{}\"\n", dice.pick(&MATERIALS));
    }
    if dice.percent(40) {
        text += &format!("backlash = \"{:.2} mm\"\n", dice.between(0.05, 0.6));
    }
    text += &arbors(dice, &stages, from_drum);
    text += "[train.hands]\nminute = \"centre\"\nmotion_work = [[15, 45], [12, 48]]\n";
    text += &weight(dice, beat_s);
    if dice.percent(2) {
        text += "[hands]\nminute = { mass = \"4 g\", length = \"90 mm\" }\nhour = { mass = \"3 g\", length = \"60 mm\" }\n\
                 friction = \"0.5 mN m +/- 0.2 mN m\"\n";
    }
    text
}

pub fn friction(dice: &mut Dice) -> String {
    match dice.below(5) {
        0 => "\"0.2 +/- 0.08\"".to_owned(),
        1 => format!("\"{}\"", dice.pick(&["PLA on PLA", "PLA on PLA, greased", "steel in brass, oiled"])),
        _ => format!("{:.3}", dice.magnitude(0.02, 0.35)),
    }
}

fn lumped(dice: &mut Dice, beat_s: f64) -> String {
    let torque = dice.magnitude(2e-4, 2e-2) * beat_s;
    let mut text = format!(
        "[drive.lumped]\nescape_torque = \"{torque:.4e} N m\"\ninertia = \"{:.3e} kg m^2\"\n",
        dice.magnitude(1e-7, 1e-4)
    );
    if dice.percent(60) {
        text += &format!("friction_torque = \"{:.3e} N m\"\n", torque * dice.between(0.0, 0.4));
    }
    text
}

/// Wheel and pinion of each mesh from the minute hand's arbor on, and of the one before it.
fn train_of(dice: &mut Dice, beat_s: f64, teeth: u32) -> (Vec<(u32, u32)>, (u32, u32)) {
    // Turns of the escape wheel for one of the minute hand.
    let ratio = (3600.0 / (f64::from(teeth) * 2.0 * beat_s)).round() as u32;
    let mut found = Vec::new();
    for first_pinion in [8, 9, 10, 12, 14] {
        for second_pinion in [8, 9, 10, 12, 14] {
            for wheel in (60..=120).step_by(2) {
                let product = ratio * first_pinion * second_pinion;
                if product.is_multiple_of(wheel) && (50..=130).contains(&(product / wheel)) {
                    found.push(vec![(wheel, first_pinion), (product / wheel, second_pinion)]);
                }
            }
        }
    }
    let stages = if found.is_empty() { vec![(96, 12), (90, 12)] } else { found[dice.below(found.len())].clone() };
    let pinion = dice.pick(&[8, 10, 12, 14]);
    (stages, (pinion * dice.pick(&[4, 5, 6, 7]) + dice.pick(&[0, 1, 3]), pinion))
}

fn arbors(dice: &mut Dice, stages: &[(u32, u32)], (wheel, pinion): (u32, u32)) -> String {
    let names = ["great", "centre", "third", "escape"];
    let meshes = [(wheel, pinion), stages[0], stages[1]];
    let mut text = String::new();
    let mut module_mm = dice.between(1.0, 2.0);
    for (index, name) in names.into_iter().enumerate() {
        text += &format!("[[train.arbor]]\nname = \"{name}\"\n");
        if index > 0 {
            text += &format!("pinion_teeth = {}\n", meshes[index - 1].1);
        }
        if index < 3 {
            text += &format!("wheel_teeth = {}\nmodule = \"{module_mm:.2} mm\"\n", meshes[index].0);
            if dice.percent(80) {
                text += &format!("next = \"{:.0} deg\"\n", dice.between(0.0, 360.0));
            }
        }
        text += &format!("mass = \"{:.1} g\"\n", dice.magnitude(3.0, 60.0) * module_mm);
        if index == 3 && dice.percent(25) {
            text += &format!("inertia = \"{:.3e} kg m^2\"\n", dice.magnitude(1e-7, 1e-4));
        }
        text += &format!("pivot = {}\n", pivot(dice, 4.0 - index as f64 * 0.8));
        if dice.percent(10) {
            text += "pinion_material = \"steel\"\n".repeat(usize::from(index > 0)).as_str();
        }
        module_mm *= dice.between(0.6, 1.0);
    }
    text
}

fn weight(dice: &mut Dice, beat_s: f64) -> String {
    let falls = dice.pick(&[1, 1, 2, 2, 3]);
    let mut text = format!(
        "[drive]\nweight = \"{:.3} kg\"\ndrum_diameter = \"{:.1} mm\"\ncord_diameter = \"{:.2} mm\"\nfalls = {falls}\ndrop = \"{:.2} m\"\n",
        dice.magnitude(0.3, 8.0) * beat_s.max(0.3),
        dice.between(20.0, 60.0),
        dice.between(0.5, 2.0),
        dice.between(0.4, 1.8)
    );
    if falls > 1 {
        text += &format!(
            "pulley = {{ diameter = \"{:.0} mm\", pivot = {} }}\n",
            dice.between(20.0, 50.0),
            pivot(dice, 4.0)
        );
    }
    if dice.percent(30) {
        text += &format!("drum_material = \"{}\"\n", dice.pick(&MATERIALS));
    }
    if dice.percent(20) {
        text += &format!("drum_turns = \"{:.1} turns\"\n", dice.between(5.0, 25.0));
    }
    if dice.percent(30) {
        text +=
            dice.pick(&["maintaining = \"endless_cord\"\n", "maintaining = { share = \"60 %\", lasts = \"5 min\" }\n"]);
    }
    text
}
