//! Bending of the teeth under the hanging weight: an estimate after Lewis, no design code.

use std::f64::consts::PI;

use super::losses::DriveReport;
use crate::clock::design::Train;
use crate::clock::materials::tooth_strength_pa;

/// Strength over stress that a tooth should have while the weight hangs, so that a jerk ([`SUDDEN_LOAD_FACTOR`]), dirt between the teeth and
/// the plastic's creep do not break it: common practice, no source.
pub const ASKED_TOOTH_FACTOR: f64 = 5.0;

/// Stress of a load that is put on at once over that of the same load at rest, without a fall before it; more after a fall. Source: S.
/// Timoshenko, Strength of Materials (recalled): the work of the load over twice its stretch is the energy that the part then holds.
///
/// Where it acts: while a clock is wound, the click between drum and great wheel slips, so that teeth and arbors take the hanging weight's
/// torque at most, however hard the key is turned against the winding stop. Cord, drum and stop take what the hand gives, which no
/// scenario states. When the key is let go at the stop, or slips, the drum comes back to the next tooth of its click and stops there: the
/// weight is then put at once on cord, great wheel and all that stands between it and the locked escape wheel.
pub const SUDDEN_LOAD_FACTOR: f64 = 2.0;

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

/// Fewest teeth for which a form factor is given: below it Lewis's formulas come to nothing.
pub const FEWEST_TEETH: u32 = 8;

/// Pressure angles of Lewis's two systems of full-depth teeth, degrees.
const LEWIS_ANGLES_DEG: [f64; 2] = [14.5, 20.0];

/// Lewis's form factor `Y` of a tooth of module `m` and face width `b` loaded at its tip: stress = force / (b m Y).
///
/// At 20 degrees from twelve teeth on the handbook's table, interpolated in 1/teeth; below twelve Lewis's own formula, `Y = pi (0.154 -
/// 0.912 / N)`, which meets it there. At 14.5 degrees his `Y = pi (0.124 - 0.684 / N)` (W. Lewis, "Investigation of the strength of gear
/// teeth", Proc. Engineers' Club of Philadelphia 10 (1893) 16, recalled). In between linear in the angle; above 20 degrees, where teeth are
/// thicker at the root, as at 20, and below 14.5 as there. `None` below [`FEWEST_TEETH`].
#[must_use]
pub fn lewis_form_factor(teeth: u32, pressure_angle_rad: f64) -> Option<f64> {
    if teeth < FEWEST_TEETH {
        return None;
    }
    let [small, large] = LEWIS_ANGLES_DEG;
    let share = ((pressure_angle_rad.to_degrees() - small) / (large - small)).clamp(0.0, 1.0);
    let at_small = PI * (0.124 - 0.684 / f64::from(teeth));
    Some(at_small + share * (form_factor_at_20_deg(f64::from(teeth)) - at_small))
}

fn form_factor_at_20_deg(teeth: f64) -> f64 {
    let [first, .., last] = FULL_DEPTH_20;
    if teeth < first.0 {
        return PI * (0.154 - 0.912 / teeth);
    }
    let above = FULL_DEPTH_20.windows(2).find(|pair| pair[1].0 > teeth);
    match above {
        Some(&[(low, at_low), (high, at_high)]) => {
            at_low + (1.0 / low - 1.0 / teeth) / (1.0 / low - 1.0 / high) * (at_high - at_low)
        }
        _ => RACK - (RACK - last.1) * last.0 / teeth,
    }
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
    /// Strength over stress while the weight hangs; on a jerk it is less by [`SUDDEN_LOAD_FACTOR`].
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

/// The teeth of all meshes under the hanging weight, losses before them taken off, all of a mesh's force on one tooth's tip; none where a
/// mesh has no module or a gear fewer than [`FEWEST_TEETH`].
#[must_use]
pub fn tooth_loads(train: &Train, drive: &DriveReport) -> Vec<ToothLoad> {
    let mut found = Vec::new();
    for (index, pair) in train.arbors.windows(2).enumerate() {
        let (Some(wheel_teeth), Some(pinion_teeth)) = (pair[0].wheel_teeth, pair[1].pinion_teeth) else { continue };
        let (Some(module_m), Some(force_n)) = (pair[0].module_m, tangential_force_n(train, drive, index)) else {
            continue;
        };
        let face_width_m = pair[0].sizes.wheel_thickness_m;
        let gears = [(index, false, wheel_teeth, &pair[0].wheel), (index + 1, true, pinion_teeth, &pair[1].pinion)];
        for (arbor, is_pinion, teeth, made_of) in gears {
            let Some(form) = lewis_form_factor(teeth, train.pressure_angle_rad) else { continue };
            let strength_pa = made_of.as_ref().and_then(|made_of| tooth_strength_pa(&made_of.material));
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

/// Tangential force of the mesh of an arbor's wheel with the next pinion, N; `None` where it has no module or nothing follows.
pub(super) fn tangential_force_n(train: &Train, drive: &DriveReport, arbor: usize) -> Option<f64> {
    let wheel = train.arbors.get(arbor)?;
    let radius_m = 0.5 * wheel.module_m? * f64::from(wheel.wheel_teeth?);
    Some(drive.arbors.get(arbor)?.torque_n_m.abs() / radius_m)
}
