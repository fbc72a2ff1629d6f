//! The years of a clock under their keys.

use serde::Serialize;

use crate::answers::life::{AgedSwing, AgeingParts, LONGEST_YEARS, Lasting, Life};
use crate::answers::prediction::Prediction;
use crate::clock::design::Ageing;
use crate::report::words::parts::{lubrication_name, rubbing_part_name};

/// How a clock does over the years, at the means of its frictions and neither cleaned nor oiled.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct LifeRecord {
    /// Years for which it keeps the margin asked for; `null` where it has not got it, or keeps it beyond `longest_years`.
    pub margin_lasts_years: Option<f64>,
    /// The same with frictions that grow so much faster and slower as the rates may be off; `null` for rates taken as known.
    pub margin_lasts_within_years: Option<[f64; 2]>,
    /// Years for which it goes; `null` where it goes beyond `longest_years`.
    pub goes_for_years: Option<f64>,
    /// As that of the margin.
    pub goes_for_within_years: Option<[f64; 2]>,
    /// Years beyond which nothing was asked.
    pub longest_years: f64,
    /// How frictions grow.
    pub growth: GrowthRecord,
    /// Swing over the years while it goes, new first.
    pub course: Vec<AgedSwingRecord>,
    /// What ages, that first whose first year takes most.
    pub parts: Vec<AgeingPartsRecord>,
}

/// Share of its value when new by which a friction grows in a year.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct GrowthRecord {
    /// Of oiled parts.
    pub oiled_per_year: f64,
    /// Of greased and waxed ones.
    pub greased_per_year: f64,
    /// Of dry ones.
    pub dry_per_year: f64,
    /// Factor by which all may be off either way.
    pub within_factor: f64,
}

impl From<Ageing> for GrowthRecord {
    fn from(ageing: Ageing) -> Self {
        Self {
            oiled_per_year: ageing.oiled_per_year,
            greased_per_year: ageing.greased_per_year,
            dry_per_year: ageing.dry_per_year,
            within_factor: ageing.within,
        }
    }
}

/// A clock at an age.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct AgedSwingRecord {
    /// Age.
    pub years: f64,
    /// Mean of both sides.
    pub semi_arc_deg: f64,
    /// By how much the swing exceeds the escaping arcs.
    pub arc_margin_deg: f64,
    /// Rate, positive gains.
    pub rate_s_per_day: Option<f64>,
}

impl From<&AgedSwing> for AgedSwingRecord {
    fn from(aged: &AgedSwing) -> Self {
        Self {
            years: aged.years,
            semi_arc_deg: aged.semi_arc_rad.to_degrees(),
            arc_margin_deg: aged.arc_margin_rad.to_degrees(),
            rate_s_per_day: aged.rate_s_per_day,
        }
    }
}

/// Parts that age alike.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct AgeingPartsRecord {
    /// What they are.
    pub part: &'static str,
    /// Oiled, greased or dry.
    pub lubrication: &'static str,
    /// Share by which their frictions grow in a year.
    pub growth_per_year: f64,
    /// Swing that the first year of these parts alone takes; `null` where the clock does not settle with them a year older.
    pub first_year_takes_deg: Option<f64>,
}

impl From<&AgeingParts> for AgeingPartsRecord {
    fn from(ageing: &AgeingParts) -> Self {
        Self {
            part: rubbing_part_name(ageing.parts.part),
            lubrication: lubrication_name(ageing.parts.lubrication),
            growth_per_year: ageing.growth_per_year,
            first_year_takes_deg: ageing.first_year_rad.map(f64::to_degrees),
        }
    }
}

impl From<&Life> for LifeRecord {
    fn from(life: &Life) -> Self {
        let margin = life.margin.and_then(Lasting::years);
        let goes = life.going.years();
        Self {
            margin_lasts_years: margin,
            margin_lasts_within_years: life.either_way(margin),
            goes_for_years: goes,
            goes_for_within_years: life.either_way(goes),
            longest_years: LONGEST_YEARS,
            growth: life.ageing.into(),
            course: life.course.iter().map(Into::into).collect(),
            parts: life.parts.iter().map(Into::into).collect(),
        }
    }
}

/// The years of a predicted clock; `None` where it stops as it is, and where nobody asked.
#[must_use]
pub fn record(prediction: &Prediction) -> Option<LifeRecord> {
    prediction.life.as_ref().ok().map(Into::into)
}
