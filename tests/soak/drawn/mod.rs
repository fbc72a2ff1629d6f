//! Scenarios drawn anew from all that the grammar of the file has: every part in every kind, sizes mostly of a clock.

mod escapement;
mod going;
mod pendulum;

use crate::dice::Dice;

use escapement::EscapementDrawn;

/// Woods, metals and plastics of the table, for parts that may be of any.
pub const MATERIALS: [&str; 14] = [
    "PLA",
    "PETG",
    "ABS",
    "plywood",
    "MDF",
    "beech",
    "walnut",
    "oak",
    "ash",
    "brass",
    "steel",
    "aluminium",
    "stainless steel",
    "carbon fibre",
];

/// The text of a scenario with a pendulum.
pub fn scenario(dice: &mut Dice) -> String {
    let beat_s = dice.pick(&[1.0, 1.0, 0.5, 0.5, 0.75, 0.4, 0.3]);
    let escapement = EscapementDrawn::of(dice, beat_s);
    let mut text =
        format!("name = \"thrown\"\nstart_arc = \"{:.3} deg\"\n", escapement.swing_deg * dice.between(0.7, 2.5));
    if dice.percent(15) {
        text = "name = \"thrown\"\n".to_owned();
    }
    if dice.percent(50) {
        text += &format!("margin = \"{:.2} deg\"\n", dice.pick(&[0.0, 0.2, 0.5, 0.5, 1.0, 3.0]));
    }
    text += &place(dice);
    text += &pendulum::text(dice, beat_s);
    text += &going::text(dice, beat_s, &escapement);
    text += &escapement.text;
    if !escapement.is_ideal && dice.percent(45) {
        text += &printer(dice);
    }
    text += &town_and_season(dice);
    text += &wall_and_years(dice);
    text
}

fn wall_and_years(dice: &mut Dice) -> String {
    let mut text = String::new();
    if dice.percent(25) {
        let kind = dice.pick(&["brick wall", "drywall between studs", "free-standing case on a wooden floor"]);
        text += &format!("[support]\nkind = \"{kind}\"\n");
        if dice.percent(50) {
            text += &format!("stiffness = \"{:.2} kN/m\"\n", dice.magnitude(0.5, 1e5));
        }
    }
    if dice.percent(40) {
        text += &format!(
            "[ageing]\noiled = \"{:.1} %/year\"\ndry = \"{:.2} %/year\"\nwithin = {:.2}\n",
            dice.between(0.0, 40.0),
            dice.pick(&[0.0, 0.01, 1.0, 5.0, 300.0]),
            dice.between(1.0, 4.0)
        );
    }
    text
}

fn place(dice: &mut Dice) -> String {
    let mut text = "[place]\n".to_owned();
    if dice.percent(20) {
        text += &format!("gravity = \"{:.4} m/s^2\"\n", dice.between(9.78, 9.83));
        if dice.percent(5) {
            text = "[place]\ngravity = \"1.62 m/s^2\"\n".to_owned();
        }
    } else {
        text += &format!(
            "latitude = \"{:.1} deg\"\nheight = \"{:.0} m\"\n",
            dice.between(-80.0, 80.0),
            dice.between(-100.0, 4000.0)
        );
    }
    if dice.percent(70) {
        text += &format!("temperature = \"{:.1} degC\"\n", dice.between(-5.0, 40.0));
    }
    if dice.percent(70) {
        text += &format!(
            "humidity = \"{:.0} %\"\n",
            dice.pick(&[0.0, 20.0, 35.0, 45.0, 50.0, 55.0, 60.0, 70.0, 85.0, 100.0])
        );
    }
    if dice.percent(20) {
        text += &format!("pressure = \"{:.0} hPa\"\n", dice.between(600.0, 1060.0));
    }
    if dice.percent(30) {
        text += &format!(
            "[made]\ntemperature = \"{:.1} degC\"\nhumidity = \"{:.0} %\"\n",
            dice.between(10.0, 30.0),
            dice.between(20.0, 80.0)
        );
    }
    text
}

fn printer(dice: &mut Dice) -> String {
    let mut text = "[printer]\n".to_owned();
    let mut key = |dice: &mut Dice, percent: u64, key: &str, low: f64, high: f64, unit: &str| {
        if dice.percent(percent) {
            let value = dice.between(low, high);
            let spread = if dice.percent(40) {
                format!(" +/- {:.3} {unit}", dice.between(0.0, 0.3) * value.abs())
            } else {
                String::new()
            };
            text += &format!("{key} = \"{value:.3} {unit}{spread}\"\n");
        }
    };
    key(dice, 70, "bead_radius", 0.05, 0.35, "mm");
    key(dice, 40, "growth", -0.08, 0.1, "mm");
    key(dice, 30, "shrinkage", -0.1, 0.5, "%");
    key(dice, 20, "elephant_foot", 0.0, 0.15, "mm");
    key(dice, 30, "centre_distance_error", -0.2, 0.3, "mm");
    key(dice, 4, "run_out", 0.0, 0.1, "mm");
    key(dice, 20, "pivot_play", 0.0, 0.2, "mm");
    text
}

fn town_and_season(dice: &mut Dice) -> String {
    let mut text = String::new();
    if dice.percent(20) {
        text += &format!("[[town]]\nname = \"elsewhere\"\nheight = \"{:.0} m\"\n", dice.between(0.0, 3000.0));
    }
    if dice.percent(20) {
        text += &format!(
            "[season]\ntemperature_yearly = \"{:.1} K\"\nhumidity_yearly = \"{:.0} %\"\n",
            dice.between(0.0, 12.0),
            dice.between(0.0, 12.0)
        );
    }
    text
}
