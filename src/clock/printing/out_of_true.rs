//! Wheels that are not round about their arbor: each tooth has a place and a shape of its own.

use std::f64::consts::TAU;
use std::fmt;

use crate::clock::environment::expansion::EscapementStrain;
use crate::geometry::{Outline, Point};

use super::printed_outline::tooth_with_run_out;

/// How a wheel is out of true.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct OutOfTrue {
    /// Eccentricity, m. At advance 0 the wheel is displaced to the right.
    pub run_out_m: f64,
    /// By what share its radius along the grain is larger than the mean, and across the grain smaller; tooth no. 0 stands along
    /// the grain.
    pub oval: f64,
}

impl OutOfTrue {
    /// A wheel that has grown and runs out as stated.
    #[must_use]
    pub fn of(strain: &EscapementStrain, run_out_m: f64) -> Self {
        // (1 + mean)(1 + oval) is 1 + the strain along the grain.
        Self { run_out_m, oval: strain.wheel.half_difference() / (1.0 + strain.wheel.mean()) }
    }

    /// Whether all teeth are alike.
    #[must_use]
    pub fn is_true(&self) -> bool {
        self.run_out_m == 0.0 && self.oval == 0.0
    }

    /// Tooth no. `number` of a wheel whose mean tooth no. 0 is `tooth`, turned back into the place of tooth no. 0, as
    /// [`tooth_with_run_out`] has it.
    ///
    /// Tooth no. `k` stands `k` pitches anticlockwise from the grain; turned back, it has the grain `k` pitches clockwise.
    #[must_use]
    pub fn tooth(&self, tooth: &Outline, number: u32, teeth: u32) -> Outline {
        if self.oval == 0.0 || teeth == 0 {
            return tooth_with_run_out(tooth, self.run_out_m, 0.0, number, teeth);
        }
        let (sine, cosine) = from_grain_rad(number, teeth).sin_cos();
        let oval = tooth.stretched(1.0 + self.oval, 1.0 - self.oval, Point::new(sine, cosine), Point::zeros());
        tooth_with_run_out(&oval, self.run_out_m, 0.0, number, teeth)
    }

    /// Where tooth no. `number` stands.
    #[must_use]
    pub fn place(&self, number: u32, teeth: u32) -> ToothPlace {
        let grained = self.oval != 0.0 && teeth != 0;
        ToothPlace { number, from_grain_rad: grained.then(|| from_grain_rad(number, teeth)) }
    }
}

/// Where a tooth of the wheel stands; written "tooth 7, 48 deg from the grain", its number alone on a wheel without grain.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ToothPlace {
    /// Number of the tooth, counted from 0 anticlockwise.
    pub number: u32,
    /// Angle from the grain anticlockwise to the tooth, rad; `None` on a wheel that has grown alike in all directions.
    pub from_grain_rad: Option<f64>,
}

impl fmt::Display for ToothPlace {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        let number = self.number;
        let Some(from_grain_rad) = self.from_grain_rad else { return formatter.pad(&format!("tooth {number}")) };
        let apart_deg = from_grain_rad.to_degrees().rem_euclid(180.0);
        let off_deg = apart_deg.min(180.0 - apart_deg);
        formatter.pad(&match off_deg {
            ..22.5 => format!("tooth {number}, along the grain"),
            ..=67.5 => format!("tooth {number}, {off_deg:.0} deg from the grain"),
            _ => format!("tooth {number}, across the grain"),
        })
    }
}

fn from_grain_rad(number: u32, teeth: u32) -> f64 {
    TAU * f64::from(number % teeth) / f64::from(teeth)
}
