//! Bending of the teeth under the hanging weight: an estimate after Lewis, no design code.

use std::f64::consts::PI;

use super::losses::DriveReport;
use crate::clock::design::{MadeOf, Train};
use crate::clock::materials::tooth_strength_pa;

/// Strength over stress that a tooth should have while the weight hangs, so that a jerk on the winding stop, dirt between the teeth and
/// the plastic's creep do not break it: common practice, no source.
pub const ASKED_TOOTH_FACTOR: f64 = 5.0;

/// Teeth and form factor of full-depth teeth at 20 degrees loaded at the tip: Shigley's Mechanical Engineering Design (Budynas, Nisbett,
/// 9th edition, 2011), Table 14-2, recalled.
const FULL_DEPTH_20: [(f64, f64); 24] = [
    (12.0, 0.245),
    (13.0, 0.261),
    (14.0, 0.277),
    (15.0, 0.290),
    (16.0, 0.296),
    (17.0, 0.303),
    (18.0, 0.309),
    (19.0, 0.314),
    (20.0, 0.322),
    (21.0, 0.328),
    (22.0, 0.331),
    (24.0, 0.337),
    (26.0, 0.346),
    (28.0, 0.353),
    (30.0, 0.359),
    (34.0, 0.371),
    (38.0, 0.384),
    (43.0, 0.397),
    (50.0, 0.409),
    (60.0, 0.422),
    (75.0, 0.435),
    (100.0, 0.447),
    (150.0, 0.460),
    (300.0, 0.472),
];

/// That of a rack, from the same table.
const RACK: f64 = 0.485;

/// Fewest teeth for which a form factor is given: below it Lewis's formula comes to nothing.
pub const FEWEST_TEETH: u32 = 6;

/// Lewis's form factor `Y` of a tooth of module `m` and face width `b` loaded at its tip: stress = force / (b m Y).
///
/// From twelve teeth on the handbook's table, interpolated in 1/teeth; below Lewis's own formula for 20 degrees, `Y = pi (0.154 -
/// 0.912 / N)` (W. Lewis, "Investigation of the strength of gear teeth", Proc. Engineers' Club of Philadelphia 10 (1893) 16, recalled),
/// which meets it there. `None` below [`FEWEST_TEETH`].
#[must_use]
pub fn lewis_form_factor(teeth: u32) -> Option<f64> {
    if teeth < FEWEST_TEETH {
        return None;
    }
    let count = f64::from(teeth);
    let (first, last) = (FULL_DEPTH_20[0], FULL_DEPTH_20[FULL_DEPTH_20.len() - 1]);
    if count < first.0 {
        return Some(PI * (0.154 - 0.912 / count));
    }
    if count >= last.0 {
        return Some(RACK - (RACK - last.1) * last.0 / count);
    }
    let above = FULL_DEPTH_20.iter().position(|(teeth, _)| *teeth > count)?;
    let ((low, at_low), (high, at_high)) = (FULL_DEPTH_20[above - 1], FULL_DEPTH_20[above]);
    let share = (1.0 / low - 1.0 / count) / (1.0 / low - 1.0 / high);
    Some(at_low + share * (at_high - at_low))
}

/// A gear whose teeth bend.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ToothLoad {
    /// Index of its arbor.
    pub arbor: usize,
    /// Whether it is the pinion, driven by the arbor before.
    pub is_pinion: bool,
    /// Teeth.
    pub teeth: u32,
    /// Tangential force of the mesh, all of it on one tooth, N.
    pub force_n: f64,
    /// Face width on which it acts, that of the wheel in the mesh; `None` where the scenario does not say.
    pub face_width_m: Option<f64>,
    /// Stress at the root, Pa; `None` without a face width.
    pub stress_pa: Option<f64>,
    /// Strength of its material, Pa; `None` where there is none in the table.
    pub strength_pa: Option<f64>,
    /// Strength over stress.
    pub factor: Option<f64>,
    /// Face width at which that would be [`ASKED_TOOTH_FACTOR`].
    pub asked_width_m: Option<f64>,
}

impl ToothLoad {
    /// "wheel" or "pinion".
    #[must_use]
    pub const fn gear_name(&self) -> &'static str {
        if self.is_pinion { "pinion" } else { "wheel" }
    }
}

/// The teeth of all meshes under the hanging weight, losses before them taken off, at teeth of 20 degrees; none where a mesh has no
/// module.
#[must_use]
pub fn tooth_loads(train: &Train, drive: &DriveReport) -> Vec<ToothLoad> {
    let mut found = Vec::new();
    for (index, pair) in train.arbors.windows(2).enumerate() {
        let (Some(wheel_teeth), Some(pinion_teeth)) = (pair[0].wheel_teeth, pair[1].pinion_teeth) else { continue };
        let (Some(module_m), Some(losses)) = (pair[0].module_m, drive.arbors.get(index)) else { continue };
        let force_n = losses.torque_n_m.abs() / (0.5 * module_m * f64::from(wheel_teeth));
        let face_width_m = pair[0].sizes.wheel_thickness_m;
        let gears = [(index, false, wheel_teeth, &pair[0].wheel), (index + 1, true, pinion_teeth, &pair[1].pinion)];
        for (arbor, is_pinion, teeth, made_of) in gears {
            let Some(form) = lewis_form_factor(teeth) else { continue };
            let strength_pa = made_of.as_ref().and_then(strength_of);
            let stress_pa = face_width_m.map(|width_m| force_n / (width_m * module_m * form));
            let factor = strength_pa.zip(stress_pa).map(|(strength, stress)| strength / stress);
            let asked_width_m = strength_pa.map(|strength| ASKED_TOOTH_FACTOR * force_n / (strength * module_m * form));
            found.push(ToothLoad {
                arbor,
                is_pinion,
                teeth,
                force_n,
                face_width_m,
                stress_pa,
                strength_pa,
                factor: factor.filter(|factor| factor.is_finite()),
                asked_width_m,
            });
        }
    }
    found
}

fn strength_of(made_of: &MadeOf) -> Option<f64> {
    let material = &made_of.material;
    tooth_strength_pa(material.like.unwrap_or(&material.name)).map(|known| known.value)
}
