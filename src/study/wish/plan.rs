//! All numbers of a clock for a wish, those that nothing asks for in proportion to a seconds clock that is known to go.

use std::f64::consts::PI;

use crate::clock::materials::material_named;

use super::gears::{WishedGears, room_m};
use super::{NotGranted, Wish, WishedEscapement};

/// Standard gravity, m/s^2: a first guess of the pendulum's length, no more.
const GUESSED_GRAVITY_M_S2: f64 = 9.80665;

/// Escape wheel of a seconds clock and slower ones, m; it shrinks with the beat, for it has to be set going at each.
const ESCAPE_RADIUS_M: f64 = 60e-3;

/// Smallest escape wheel, m: the bead takes an angle from lock and lift that grows as the wheel shrinks.
const LEAST_ESCAPE_RADIUS_M: f64 = 30e-3;

/// Bob of a seconds pendulum, kg, and the power of the beat with which it shrinks: a half-seconds pendulum has a tenth.
const BOB_KG: f64 = 2.0;
const BOB_POWER: f64 = 3.3;

/// Thickness of a disc bob over its diameter.
const BOB_THICKNESS: f64 = 1.0 / 6.0;

/// Length of the suspension spring, m.
pub(super) const SPRING_M: f64 = 8e-3;

/// Thickness and width of the suspension spring of a bob of [`SPRING_BOB_KG`], m; both grow with the cube root of the bob.
const SPRING_THICKNESS_M: f64 = 0.05e-3;
const SPRING_WIDTH_M: f64 = 4e-3;
const SPRING_BOB_KG: f64 = 0.2;

/// Thickness of wheels, m, and the share of their disc that is filled.
const WHEEL_M: f64 = 6e-3;
const GREAT_WHEEL_M: f64 = 8e-3;
const FILLED: f64 = 0.8;

/// Mass of an arbor without its wheel, and of the drum, kg.
const ARBOR_KG: f64 = 0.02;
const DRUM_KG: f64 = 0.06;

/// Another size of an escapement.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Variant {
    /// Radius of the escape wheel over the first.
    larger: f64,
    /// Tooth spaces that the pallets embrace.
    spaces: f64,
    /// Diameter of a pallet pin over the pitch.
    pin: f64,
}

impl Variant {
    /// Those that are tried, the first choice first: larger wheels mind the bead less and take more to set going; smaller
    /// ones stay clear of other arbors.
    pub(super) fn all(escapement: WishedEscapement) -> Vec<Self> {
        let pins: &[f64] = if escapement == WishedEscapement::PinPallet { &[0.16, 0.14, 0.12] } else { &[0.16] };
        let mut all = Vec::new();
        for larger in [1.0, 1.2, 1.45, 0.8, 0.65] {
            for spaces in [7.5, 6.5] {
                all.extend(pins.iter().map(|&pin| Self { larger, spaces, pin }));
            }
        }
        all
    }
}

/// Numbers of a clock; lengths in metres, angles in degrees as they are written.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct WishPlan {
    pub(super) gears: WishedGears,
    pub(super) escapement: WishedEscapement,
    pub(super) escape_radius_m: f64,
    /// Of a locking face, as drawn; without meaning for a recoil anchor.
    pub(super) lock_deg: f64,
    pub(super) spaces: f64,
    /// Diameter of a pallet pin over the pitch.
    pub(super) pin: f64,
    pub(super) lift_deg: f64,
    pub(super) drop_deg: f64,
    pub(super) bob_kg: f64,
    pub(super) bob_diameter_m: f64,
    pub(super) bob_thickness_m: f64,
    /// Depth of the bob's centre.
    pub(super) depth_m: f64,
    pub(super) weight_kg: f64,
}

impl WishPlan {
    /// The plan to begin with.
    pub(super) fn first(wish: &Wish, gears: WishedGears, variant: Variant) -> Result<Self, NotGranted> {
        let beat_s = wish.beat();
        let room_m = room_m(wish);
        let first_m = (ESCAPE_RADIUS_M * beat_s.min(1.0)).max(LEAST_ESCAPE_RADIUS_M);
        let escape_radius_m = (variant.larger * first_m).max(LEAST_ESCAPE_RADIUS_M).min(0.5 * room_m);
        if escape_radius_m < LEAST_ESCAPE_RADIUS_M {
            return Err(NotGranted::Bed {
                part: "the escape wheel".to_owned(),
                needed_m: 2.0 * LEAST_ESCAPE_RADIUS_M + wish.bed.width_m.min(wish.bed.depth_m) - room_m,
                bed: wish.bed,
                bead_radius_m: None,
                nearest: None,
            });
        }
        let bob_kg = round(BOB_KG * beat_s.powf(BOB_POWER), 0.01).max(0.02);
        let density_kg_m3 = density("steel shot");
        let volume_m3 = bob_kg / density_kg_m3;
        // A disc of this proportion, thicker where the bed takes no larger one.
        let bob_diameter_m = (4.0 * volume_m3 / (PI * BOB_THICKNESS)).cbrt().min(room_m);
        let (lift_deg, drop_deg) = match wish.escapement {
            WishedEscapement::DeadBeat | WishedEscapement::PinPallet => (2.0, 2.0),
            WishedEscapement::Recoil => (4.0, 2.0),
        };
        Ok(Self {
            gears,
            escapement: wish.escapement,
            // Down to half a millimetre, so that it stays on the bed.
            escape_radius_m: (2e3 * escape_radius_m + 1e-9).floor() / 2e3,
            lock_deg: 1.3,
            spaces: variant.spaces,
            pin: variant.pin,
            lift_deg,
            drop_deg,
            bob_kg,
            bob_diameter_m: (1e4 * bob_diameter_m + 1e-9).floor() / 1e4,
            bob_thickness_m: round(4.0 * volume_m3 / (PI * bob_diameter_m * bob_diameter_m), 0.1e-3),
            depth_m: GUESSED_GRAVITY_M_S2 * (beat_s / PI).powi(2),
            weight_kg: 1.0,
        })
    }

    /// The escape wheel over that of a seconds clock.
    pub(super) fn scale(&self) -> f64 {
        self.escape_radius_m / ESCAPE_RADIUS_M
    }

    /// Thickness and width of the suspension spring.
    pub(super) fn spring_m(&self) -> (f64, f64) {
        let heavier = (self.bob_kg / SPRING_BOB_KG).cbrt().max(1.0);
        (round(SPRING_THICKNESS_M * heavier, 0.01e-3), round(SPRING_WIDTH_M * heavier, 0.5e-3))
    }

    /// Mass of an arbor of the train with its wheel, kg.
    pub(super) fn arbor_kg(&self, diameter_m: f64, is_great: bool) -> f64 {
        let (thickness_m, more_kg) = if is_great { (GREAT_WHEEL_M, DRUM_KG) } else { (WHEEL_M, 0.0) };
        let disc_kg = FILLED * density("PLA") * 0.25 * PI * diameter_m * diameter_m * thickness_m;
        round(disc_kg + ARBOR_KG + more_kg, 1e-3)
    }
}

/// To the nearest step.
pub(super) fn round(value: f64, step: f64) -> f64 {
    (value / step).round() * step
}

fn density(name: &str) -> f64 {
    material_named(name).map_or(1000.0, |material| material.density_kg_m3.value)
}
