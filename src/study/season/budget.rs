//! Where the error comes from: what varies outside, through what it works, and what differs from copy to copy.

use crate::study::jobs::Watch;
use crate::study::spread::{Run, plan};

use super::error::{ErrorWindow, Share};
use super::path::{Path, Room};
use super::state::{Setting, SteadyState};
use super::walk::walk;

/// Copies that are printed for the spread of the rate.
const COPIES: u32 = 40;

/// What varies outside.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum SeasonCause {
    /// Temperature of air and parts.
    Temperature,
    /// Humidity of the air and of what the parts have come to terms with.
    Humidity,
    /// Pressure.
    Pressure,
    /// The weight's fall: the cord that hangs pulls too, and on a support the weight swings on a longer cord.
    Fall,
}

impl SeasonCause {
    /// All causes.
    pub const ALL: [Self; 4] = [Self::Temperature, Self::Humidity, Self::Pressure, Self::Fall];

    /// A room in which this alone is as in `room` and all else as in `mean`.
    const fn alone(self, room: &Room, mean: &Room) -> Room {
        match self {
            Self::Temperature => {
                Room { temperature_c: room.temperature_c, rod_temperature_c: room.rod_temperature_c, ..*mean }
            }
            Self::Humidity => Room { air_humidity: room.air_humidity, wood_humidity: room.wood_humidity, ..*mean },
            Self::Pressure => Room { pressure_pa: room.pressure_pa, ..*mean },
            Self::Fall => Room { fallen: room.fallen, ..*mean },
        }
    }
}

/// Through what the rate changes; the three rates add up to the whole.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Carrier {
    /// The pendulum alone in very small swings: its length, buoyancy and added mass.
    Pendulum,
    /// Circular error: the pendulum alone in swings of the semi-arc against very small ones.
    Circular,
    /// Escapement error: the clock against the pendulum alone in the same swings.
    Escapement,
}

impl Carrier {
    /// All carriers.
    pub const ALL: [Self; 3] = [Self::Pendulum, Self::Circular, Self::Escapement];

    /// Its share of the rate, s/day.
    #[must_use]
    pub fn rate_s_per_day(self, state: &SteadyState) -> f64 {
        match self {
            Self::Pendulum => state.small_swing_s_per_day,
            Self::Circular => state.free_s_per_day - state.small_swing_s_per_day,
            Self::Escapement => state.rate_s_per_day - state.free_s_per_day,
        }
    }
}

/// Rates of printed copies beside one another.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Print {
    /// Copies that were printed.
    pub copies: usize,
    /// Those of them that keep going.
    pub going: usize,
    /// Standard deviation of the rate of those, s/day; `None` of fewer than two.
    pub deviation_s_per_day: Option<f64>,
}

/// Where the error comes from.
#[derive(Debug, Clone, PartialEq)]
pub struct Budget {
    /// Causes that vary, each alone with the others at their means; `None` where the clock stops under it alone.
    pub causes: Vec<(SeasonCause, Option<Share>)>,
    /// What the causes together do beyond their sum; `None` where one of them is missing.
    pub together: Option<Share>,
    /// Through what the rate changes.
    pub carriers: Vec<(Carrier, Share)>,
    /// Copies of the clock in the mean room; `None` where its print has no spread.
    pub print: Option<Print>,
}

/// The budget of `states`, those before the clock stops; `None` if `watch` stopped it.
pub(super) fn budget(
    setting: &Setting<'_>,
    path: &Path,
    states: &[SteadyState],
    week: Option<ErrorWindow>,
    watch: &dyn Watch,
) -> Option<Budget> {
    let times_s = &path.times_s[..states.len()];
    let shared = |rates: &[f64]| Share::of(times_s, rates, week);
    let mut causes = Vec::new();
    let mut rest: Option<Vec<f64>> =
        setting.mean_state.map(|mean| states.iter().map(|state| state.rate_s_per_day - mean.rate_s_per_day).collect());
    for cause in SeasonCause::ALL {
        let alone: Vec<Room> =
            path.rooms[..states.len()].iter().map(|room| cause.alone(room, &setting.mean_room)).collect();
        if alone.windows(2).all(|pair| pair[0] == pair[1]) {
            continue;
        }
        let walked = walk(setting, &alone, watch)?;
        let rates: Option<Vec<f64>> = setting.mean_state.and_then(|mean| {
            walked.states.iter().map(|state| Some(state.as_ref().ok()?.rate_s_per_day - mean.rate_s_per_day)).collect()
        });
        rest = rest.zip(rates.as_ref()).map(|(rest, own)| rest.iter().zip(own).map(|(all, one)| all - one).collect());
        causes.push((cause, rates.and_then(|rates| shared(&rates))));
    }
    let carriers = Carrier::ALL
        .into_iter()
        .filter_map(|carrier| {
            let rates: Vec<f64> = states.iter().map(|state| carrier.rate_s_per_day(state)).collect();
            Some((carrier, shared(&rates)?))
        })
        .collect();
    let together = rest.and_then(|rates| shared(&rates));
    Some(Budget { causes, together, carriers, print: print(setting, watch)? })
}

/// Copies of the clock in the mean room; `None` if `watch` stopped it, `Some(None)` where nothing of the print varies.
fn print(setting: &Setting<'_>, watch: &dyn Watch) -> Option<Option<Print>> {
    let Ok(run) = Run::of(&setting.mean_design, 1) else { return Some(None) };
    let copies = run.copies(COPIES, watch);
    if copies.len() < COPIES as usize {
        return None;
    }
    let counted: Vec<_> = copies.iter().filter(|copy| plan::place(copy.number, run.inputs.len()).1.counts()).collect();
    let rates: Vec<f64> = counted.iter().filter_map(|copy| copy.swing()?.rate_s_per_day).collect();
    let count = rates.len() as f64;
    let mean = rates.iter().sum::<f64>() / count;
    let squares: f64 = rates.iter().map(|rate| (rate - mean).powi(2)).sum();
    Some(Some(Print {
        copies: counted.len(),
        going: counted.iter().filter(|copy| copy.keeps_going()).count(),
        deviation_s_per_day: (rates.len() > 1).then(|| (squares / (count - 1.0)).sqrt()),
    }))
}
