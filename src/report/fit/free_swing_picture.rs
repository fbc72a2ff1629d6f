//! The picture of a ring-down.

use crate::report::canvas::look::significant;
use crate::report::figures::{FitPicture, FitSeries};
use crate::study::fit::course::AmplitudeCourse;
use crate::study::fit::free_swing::FreeSwing;
use crate::study::fit::loss_shapes::LOSSES;
use crate::study::fit::ring_down::FittedLosses;

use super::free_swing::{DEG, kind_name, shown};

/// The curve of a fit over its readings: 200 points, of the side of the first reading where there are two.
fn curve(found: &FreeSwing) -> Vec<(f64, f64)> {
    let readings = &found.readings;
    let (Some(&from), Some(&to)) = (readings.at.first(), readings.at.last()) else { return Vec::new() };
    let coefficients = course_coefficients(&found.losses);
    let course = AmplitudeCourse::of(&found.shapes, found.losses.first_rad.value, &coefficients, from, to);
    (0..=200)
        .map(|point| {
            let at = from + (to - from) * f64::from(point) / 200.0;
            (at, course.at(at).amplitude_rad.to_degrees())
        })
        .collect()
}

/// The coefficients of a course by what was fitted: all, or the one that fits best.
fn course_coefficients(losses: &FittedLosses) -> [f64; LOSSES + 1] {
    let mut out = [0.0; LOSSES + 1];
    match &losses.coefficients {
        Some(all) => all.iter().zip(&mut out).for_each(|(one, place)| *place = one.value),
        None => {
            let best = losses.alone.iter().enumerate().filter_map(|(number, alone)| Some((number, (*alone)?)));
            if let Some((number, (one, _))) = best.min_by(|(_, (_, one)), (_, (_, other))| one.total_cmp(other)) {
                out[number] = one.value;
            }
        }
    }
    out
}

/// The picture of a ring-down: sizes of the readings, zero taken off, the curve, and what is left.
#[must_use]
pub fn picture(name: &str, found: &FreeSwing) -> FitPicture {
    let readings = &found.readings;
    let zero_rad = found.losses.zero_rad.map_or(0.0, |zero| zero.value);
    let sizes = readings.angles_rad.iter().map(|angle| (angle - zero_rad).abs().to_degrees());
    let measured: Vec<(f64, f64)> = readings.at.iter().copied().zip(sizes).collect();
    let left: Vec<(f64, f64)> =
        readings.at.iter().copied().zip(found.losses.residuals_rad.iter().map(|left| left.to_degrees())).collect();
    let per = if found.is_by_second() { "second" } else { "period" };
    let loss = shown(found.losses.middle_loss_rad, DEG);
    let mut subtitle = format!("Loses {loss} deg a {per} at {} deg.", significant(found.losses.middle_rad * DEG, 3));
    if !found.losses.apart.is_empty() {
        let kinds: Vec<&str> = found.losses.apart.iter().map(|kind| kind_name(*kind)).collect();
        subtitle.push_str(&format!(" The readings show losses that are {}.", kinds.join(" and ")));
    }
    let x = if readings.in_periods { "periods" } else { "time (s)" };
    FitPicture {
        title: format!("{name}: ring-down"),
        subtitle,
        x: x.to_owned(),
        y: "amplitude (deg)".to_owned(),
        left: "measured less fitted (deg)".to_owned(),
        series: vec![FitSeries {
            name: String::new(),
            measured,
            curve: vec![curve(found)],
            left,
            standing_out: found.losses.standing_out.clone(),
        }],
    }
}
