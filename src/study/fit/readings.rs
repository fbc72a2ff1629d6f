//! Readings of an amplitude over time: which columns they come from, and what is asked of them.

use crate::numerics::least_squares::robust_deviation;
use crate::scenario::measured::{ColumnMeasure, MeasuredTable, WantedColumn, WantedTable, WantedTime};
use crate::units::Kind;

use super::NoFit;
use super::loss_shapes::circular_factor;

const AMPLITUDE: WantedColumn = WantedColumn {
    names: &["amplitude", "semi-arc", "semi arc", "semi_arc", "semiarc"],
    measure: ColumnMeasure::Quantity(Kind::Angle),
};
const ANGLE: WantedColumn =
    WantedColumn { names: &["angle", "deflection"], measure: ColumnMeasure::Quantity(Kind::Angle) };
const PERIODS: WantedColumn = WantedColumn { names: &["periods", "period number"], measure: ColumnMeasure::Plain };

/// What is looked for in a ring-down.
pub const RING_DOWN: WantedTable = WantedTable {
    what: "ring-down",
    example: "time_s,amplitude_deg",
    time: WantedTime { bare_unit: None, dates: true, even_steps: false },
    columns: &[AMPLITUDE, ANGLE, PERIODS],
    needed: &[&["amplitude", "angle"], &["time", "periods"]],
    least_rows: 1,
};

/// What is looked for in a recovery.
pub const RECOVERY: WantedTable = WantedTable { what: "recovery", ..RING_DOWN };

/// Largest angle of a swing that is fitted, rad: beyond it a pendulum goes over the top.
const MOST_RAD: f64 = 3.0;

/// Largest difference of a count of half periods from a whole number for it to count as one.
const OFF_WHOLE: f64 = 0.2;

/// Amplitudes over time.
#[derive(Debug, Clone, PartialEq)]
pub struct AmplitudeReadings {
    /// Time from the first row of the file, s, or number of the period; rising.
    pub at: Vec<f64>,
    /// Whether they are numbers of periods.
    pub in_periods: bool,
    /// Readings, rad: amplitudes, or angles of the extremes on either side with their sign.
    pub angles_rad: Vec<f64>,
    /// Whether they are angles on either side, whose zero may be off.
    pub either_side: bool,
    /// Line of each in the file.
    pub lines: Vec<usize>,
}

impl AmplitudeReadings {
    /// The readings of a table; rows without one are left out.
    ///
    /// # Errors
    /// [`NoFit`]: angles that are none of a swing, period numbers that do not rise.
    pub fn of(table: &MeasuredTable) -> Result<Self, NoFit> {
        let column = |number: usize| table.columns.get(number).and_then(Option::as_ref);
        let (angles, either_side) = match (column(0), column(1)) {
            (Some(amplitudes), _) => (amplitudes, false),
            (None, Some(angles)) => (angles, true),
            (None, None) => return Err(NoFit::NotSuch("the table has neither amplitudes nor angles".to_owned())),
        };
        let periods = column(2);
        let at = |row: usize| periods.map_or_else(|| table.times_s.get(row).copied(), |periods| periods[row]);
        let mut found = Self {
            at: Vec::new(),
            in_periods: periods.is_some(),
            angles_rad: Vec::new(),
            either_side,
            lines: Vec::new(),
        };
        for (row, angle) in angles.iter().enumerate() {
            let (Some(at), Some(angle)) = (at(row), *angle) else { continue };
            let line = table.lines[row];
            if found.at.last().is_some_and(|last| at <= *last) {
                return Err(NoFit::NotSuch(format!("line {line}: the number of periods does not rise")));
            }
            if angle.abs() > MOST_RAD || (!either_side && angle < 0.0) {
                let shown = angle.to_degrees();
                return Err(NoFit::NotSuch(format!(
                    "line {line}: {shown:.1} deg is no amplitude of a pendulum; angles on either side go in a column `angle`"
                )));
            }
            found.at.push(at);
            found.angles_rad.push(angle);
            found.lines.push(line);
        }
        Ok(found)
    }

    /// Sizes of the readings, rad.
    #[must_use]
    pub fn sizes_rad(&self) -> Vec<f64> {
        self.angles_rad.iter().map(|angle| angle.abs()).collect()
    }

    /// Largest size, rad.
    #[must_use]
    pub fn largest_rad(&self) -> f64 {
        self.sizes_rad().into_iter().fold(0.0, f64::max)
    }

    /// Whether there are rows enough for so many values, and whether the amplitude changes by more than its readings scatter from row to
    /// row.
    ///
    /// # Errors
    /// [`NoFit::TooFewRows`] and [`NoFit::Flat`].
    pub fn check(&self, needed: usize, what: &'static str) -> Result<(), NoFit> {
        if self.at.len() < needed {
            return Err(NoFit::TooFewRows { rows: self.at.len(), needed, what });
        }
        // A third from each end: their means differ, or nothing does.
        let sizes = self.sizes_rad();
        let third = (sizes.len() / 3).max(1);
        let mean = |part: &[f64]| part.iter().sum::<f64>() / part.len() as f64;
        let change = (mean(&sizes[..third]) - mean(&sizes[sizes.len() - third..])).abs();
        let bends: Vec<f64> = sizes.windows(3).map(|three| three[2] - 2.0 * three[1] + three[0]).collect();
        // Second differences of white readings scatter by sqrt(6) of one of them.
        let scatter = robust_deviation(&bends) / 6.0_f64.sqrt();
        let certain = 4.0 * scatter * (2.0 / third as f64).sqrt();
        if self.either_side || (change > certain && change > 1e-9 * self.largest_rad()) {
            return Ok(());
        }
        Err(NoFit::Flat { what: "the amplitude" })
    }

    /// Period of a small swing, s, by the times of extremes on both sides: successive rows on one side are a whole number of periods
    /// apart, those on different sides half a period more. `None` where the rows are not so.
    #[must_use]
    pub fn small_period_s(&self) -> Option<f64> {
        if !self.either_side || self.in_periods || self.at.len() < 4 {
            return None;
        }
        let steps: Vec<(f64, bool, f64)> = (self.at.windows(2).zip(self.angles_rad.windows(2)))
            .map(|(at, angles)| {
                let factor = circular_factor(0.5 * (angles[0].abs() + angles[1].abs()));
                (at[1] - at[0], angles[0] * angles[1] < 0.0, 0.5 * factor)
            })
            .collect();
        let shortest = steps.iter().filter(|step| step.1).map(|step| step.0 / step.2).min_by(f64::total_cmp)?;
        [1.0, 3.0, 5.0, 7.0].into_iter().find_map(|odd| {
            let guess = shortest / odd;
            let (mut time, mut halves) = (0.0, 0.0);
            for (step, changes_side, factor) in &steps {
                let count = step / (guess * factor);
                let whole = count.round();
                let is_odd = whole.rem_euclid(2.0) == 1.0;
                if (count - whole).abs() > OFF_WHOLE || is_odd != *changes_side {
                    return None;
                }
                time += step;
                halves += whole * factor;
            }
            (halves > 0.0).then(|| time / halves)
        })
    }
}
