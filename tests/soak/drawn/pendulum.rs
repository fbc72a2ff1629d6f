//! Pendulums: by all kinds of parts, or by bare numbers.

use crate::dice::Dice;

use super::MATERIALS;

/// Standard gravity over pi squared: the length of a simple pendulum for a beat of one second, m.
const SECONDS_PENDULUM_M: f64 = 0.9936;

/// The tables of a pendulum for about this beat.
pub fn text(dice: &mut Dice, beat_s: f64) -> String {
    let length_mm = 1e3 * SECONDS_PENDULUM_M * beat_s * beat_s * dice.between(0.97, 1.05);
    if dice.percent(8) { lumped(dice, length_mm) } else { parts(dice, length_mm) }
}

fn lumped(dice: &mut Dice, length_mm: f64) -> String {
    let (mass, length) = (dice.magnitude(0.05, 5.0), 1e-3 * length_mm);
    let inertia = mass * length * length * dice.between(1.0, 1.05);
    let mut text = format!(
        "[pendulum.lumped]\ninertia = \"{inertia:.6} kg m^2\"\nmass = \"{mass:.4} kg\"\ncentre_of_mass = \"{length:.5} m\"\n"
    );
    // Damping for a quality of some tens to thousands: angular frequency over quality.
    let damping = inertia * 3.0 / dice.magnitude(30.0, 5000.0);
    if dice.percent(80) {
        text += &format!("damping_linear = \"{damping:.3e} N m s\"\n");
    }
    if dice.percent(40) {
        text += &format!("damping_quadratic = \"{:.3e} N m s^2\"\n", damping * dice.between(0.0, 3.0));
    }
    if dice.percent(40) {
        text += &format!("friction_torque = \"{:.3e} N m\"\n", damping * dice.between(0.0, 0.1));
    }
    if dice.percent(20) {
        text += &format!("stiffness = \"{:.4} N m\"\n", mass * length * dice.between(0.0, 1.0));
    }
    text
}

fn parts(dice: &mut Dice, length_mm: f64) -> String {
    let scale = (length_mm / 1000.0).sqrt();
    let mut text = "[pendulum.rod]\n".to_owned();
    text += &match dice.below(3) {
        0 => format!("shape = \"round\"\ndiameter = \"{:.2} mm\"\n", dice.between(1.5, 10.0)),
        1 => {
            let outer = dice.between(4.0, 14.0);
            format!(
                "shape = \"tube\"\nouter_diameter = \"{outer:.2} mm\"\ninner_diameter = \"{:.2} mm\"\n",
                outer * dice.between(0.3, 0.95)
            )
        }
        _ => format!(
            "shape = \"flat\"\nwidth = \"{:.2} mm\"\ndepth = \"{:.2} mm\"\n",
            dice.between(2.0, 20.0),
            dice.between(2.0, 12.0)
        ),
    };
    let top_mm = dice.pick(&[-10.0, 0.0, 5.0, 8.0]);
    text += &format!(
        "length = \"{:.1} mm\"\ntop = \"{top_mm} mm\"\nmaterial = \"{}\"\n",
        length_mm * dice.between(1.03, 1.12) + 10.0,
        dice.pick(&MATERIALS)
    );
    text += &bob(dice, length_mm, scale);
    if dice.percent(12) {
        text += &format!(
            "[[pendulum.column]]\nmaterial = \"{}\"\ndirection = \"up\"\nlength = \"{}\"\n",
            dice.pick(&["zinc", "brass", "aluminium"]),
            if dice.percent(60) {
                "compensating".to_owned()
            } else {
                format!("{:.1} mm", length_mm * dice.between(0.05, 0.4))
            }
        );
        if dice.percent(30) {
            text += &format!(
                "mass = \"{:.0} g\"\n[[pendulum.column]]\nmaterial = \"steel\"\ndirection = \"down\"\nlength = \"{:.1} mm\"\n",
                dice.between(0.0, 200.0),
                length_mm * dice.between(0.05, 0.4)
            );
        }
    }
    if dice.percent(60) {
        text += &format!(
            "[pendulum.nut]\nmass = \"{:.1} g\"\nbelow_axis = \"{:.1} mm\"\npitch = \"{:.2} mm\"\n",
            dice.magnitude(1.0, 50.0),
            length_mm * dice.between(1.0, 1.1),
            dice.between(0.3, 1.5)
        );
    }
    if dice.percent(70) {
        text += &format!(
            "[[pendulum.part]]\nname = \"pallets\"\nmass = \"{:.1} g\"\nbelow_axis = \"{:.1} mm\"\n",
            dice.magnitude(3.0, 80.0) * scale,
            dice.between(-20.0, 40.0)
        );
        if dice.percent(50) {
            text += &format!("inertia = \"{:.3e} kg m^2\"\n", dice.magnitude(1e-6, 1e-4));
        }
    }
    text += &suspension(dice);
    if dice.percent(30) {
        text += &format!(
            "[pendulum.pallets]\nmass = \"{:.0} g\"\npivot = {}\n",
            dice.between(2.0, 60.0),
            super::going::pivot(dice, 2.0)
        );
    }
    if dice.percent(15) {
        text += "[pendulum.extra_damping]\n";
        text += &format!("linear = \"{:.2e} N m s\"\n", dice.magnitude(1e-6, 1e-3));
        if dice.percent(50) {
            text += &format!("quadratic = \"{:.2e} N m s^2\"\n", dice.magnitude(1e-6, 1e-3));
        }
        if dice.percent(50) {
            text += &format!("friction_torque = \"{:.2e} N m\"\n", dice.magnitude(1e-7, 1e-4));
        }
    }
    text
}

fn bob(dice: &mut Dice, length_mm: f64, scale: f64) -> String {
    use std::f64::consts::FRAC_PI_4;
    let diameter_mm = scale * dice.between(50.0, 160.0);
    // Shape, and about the share of the block around it that it fills.
    let (shape, filled_mm3) = match dice.below(4) {
        0 => {
            let thickness = dice.between(8.0, 40.0);
            let text =
                format!("shape = \"disc\"\ndiameter = \"{diameter_mm:.1} mm\"\nthickness = \"{thickness:.1} mm\"\n");
            (text, FRAC_PI_4 * diameter_mm * diameter_mm * thickness)
        }
        1 => {
            let thickness = diameter_mm * dice.between(0.15, 0.9);
            let text =
                format!("shape = \"lens\"\ndiameter = \"{diameter_mm:.1} mm\"\nthickness = \"{thickness:.1} mm\"\n");
            (text, 0.5 * FRAC_PI_4 * diameter_mm * diameter_mm * thickness)
        }
        2 => {
            let across = diameter_mm * dice.between(0.3, 0.8);
            let text =
                format!("shape = \"cylinder\"\ndiameter = \"{across:.1} mm\"\nheight = \"{diameter_mm:.1} mm\"\n");
            (text, FRAC_PI_4 * across * across * diameter_mm)
        }
        _ => {
            let across = 0.7 * diameter_mm;
            (format!("shape = \"sphere\"\ndiameter = \"{across:.1} mm\"\n"), across * across * across / 1.91)
        }
    };
    let mut text = format!(
        "[pendulum.bob]\n{shape}below_axis = \"{length_mm:.2} mm\"\nmaterial = \"{}\"\n",
        dice.pick(&["brass", "steel", "steel shot", "PLA", "lead"])
    );
    if dice.percent(60) {
        text += &format!("mass = \"{:.4} kg\"\n", 1e-6 * filled_mm3 * dice.between(0.8, 9.0));
    }
    if dice.percent(20) {
        text += "shell = \"PETG\"\n";
    }
    if dice.percent(30) {
        text += &format!("carried_at = \"{}\"\n", dice.pick(&["bottom", "middle", "top"]));
    }
    text
}

fn suspension(dice: &mut Dice) -> String {
    let form = match dice.below(4) {
        0 => format!(
            "kind = \"ball_bearing\"\nbore = \"{:.1} mm\"\nfriction = {}\n",
            dice.between(2.0, 10.0),
            dice.pick(&[
                "0.002",
                "0.003",
                "\"0.002 +/- 0.001\"",
                "\"ball bearing, oiled\"",
                "\"ball bearing, greased\""
            ])
        ),
        1 => format!(
            "kind = \"strip_spring\"\nwidth = \"{:.1} mm\"\nthickness = \"{:.3} mm\"\nlength = \"{:.1} mm\"\nmaterial = \"{}\"\n\
                loss_factor = {}\n",
            dice.between(2.0, 15.0),
            dice.between(0.02, 0.2),
            dice.between(3.0, 20.0),
            dice.pick(&["spring steel", "PETG", "brass"]),
            dice.pick(&["0.0", "0.001", "\"0.002 +/- 0.001\"", "0.05"])
        ),
        2 => format!(
            "kind = \"knife_edge\"\nedge_radius = \"{:.3} mm\"\nrolling_friction = \"{:.4} mm\"\n",
            dice.between(0.0, 0.5),
            dice.between(0.0, 0.01)
        ),
        _ => format!(
            "kind = \"cord\"\ndiameter = \"{:.2} mm\"\nfriction = {:.3}\n",
            dice.between(0.1, 1.5),
            dice.between(0.0, 0.3)
        ),
    };
    format!("[pendulum.suspension]\n{form}")
}
