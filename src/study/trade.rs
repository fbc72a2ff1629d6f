//! Run time against driving weight: what other drums and falls of the cord ask for.

use crate::answers::dial::dial_solved;
use crate::answers::measure::Measured;
use crate::answers::solve::Solver;
use crate::clock::build::{BuildError, Built, build};
use crate::clock::design::{DriveDesign, Pulley, WeightDrive};
use crate::clock::drive_level::DriveLevel;
use crate::clock::environment::InRoom;
use crate::clock::rate_s_per_day;
use crate::clock::train::drive::{DriveError, PreparedDrive};
use crate::clock::train::losses::{DriveReport, RunTime, drive_report};
use crate::clock::train::train_made::TrainMade;

use super::jobs::{Watch, each};

/// Drums tried where none are asked for, as shares of the scenario's own.
const DRUM_SHARES: [f64; 7] = [0.6, 0.75, 0.9, 1.0, 1.25, 1.5, 2.0];

/// Falls tried where none are asked for.
pub const USUAL_FALLS: [u32; 3] = [1, 2, 3];

/// Drive over the least one at which a steady swing is first looked for.
const SURE_TO_GO: f64 = 1.3;

/// What weight a point is to have.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Reserve {
    /// The steady swing clears the escaping arc by the scenario's margin.
    Margin,
    /// So many times the bare least weight.
    Ratio(f64),
}

/// Drums and falls, and the reserve of the weight.
#[derive(Debug, Clone, PartialEq)]
pub struct TradeAsk {
    /// Drum diameters, m.
    pub drums_m: Vec<f64>,
    /// Falls of the cord.
    pub falls: Vec<u32>,
    /// Reserve.
    pub reserve: Reserve,
}

/// Why a drum and falls have no weight.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum NoTrade {
    /// The drive cannot be made.
    #[error(transparent)]
    Drive(DriveError),
    /// No weight keeps it going.
    #[error("no weight up to a thousand times the present one keeps the clock going")]
    NeverGoes,
    /// No weight has the margin.
    #[error("no weight up to a thousand times the least one leaves the arc margin asked for")]
    NoMargin,
    /// Without a minute hand the run time needs a steady swing.
    #[error("neither the train nor a steady swing gives the speed of the drum")]
    NoTimeBase,
}

/// A weight and the run that it gives.
#[derive(Debug, Clone, PartialEq)]
pub struct Traded {
    /// Bare least weight, kg.
    pub least_kg: f64,
    /// Weight with the reserve, kg.
    pub weight_kg: f64,
    /// Run from one winding to the next.
    pub run: RunTime,
    /// Losses and loads under that weight.
    pub report: DriveReport,
    /// Mean semi-arc under it, rad; `None` where it does not keep going.
    pub semi_arc_rad: Option<f64>,
    /// Rate under it, s/day, positive gains; `None` without a train.
    pub rate_s_per_day: Option<f64>,
}

/// A drum and falls.
#[derive(Debug, Clone, PartialEq)]
pub struct TradePoint {
    /// Falls of the cord.
    pub falls: u32,
    /// Drum diameter, m.
    pub drum_diameter_m: f64,
    /// The weight, or why there is none.
    pub found: Result<Traded, NoTrade>,
}

/// A clock as it is, and what other drums and falls ask for.
#[derive(Debug, Clone, PartialEq)]
pub struct Trade {
    /// The scenario's own drum, m.
    pub own_drum_m: f64,
    /// Its own falls.
    pub own_falls: u32,
    /// Its own drum and falls under its own weight.
    pub today: Option<Traded>,
    /// The pulley taken for several falls where the scenario has none; `None` where it has one, or none was needed.
    pub assumed_pulley: Option<Pulley>,
    /// Reserve of the weight at every point.
    pub reserve: Reserve,
    /// Points by falls, then drums; those not reached when the study was stopped are missing.
    pub points: Vec<TradePoint>,
}

impl Trade {
    /// Whether a point is the scenario's own drum and falls.
    #[must_use]
    pub fn is_own(&self, point: &TradePoint) -> bool {
        self.own_falls == point.falls && (point.drum_diameter_m - self.own_drum_m).abs() < 1e-9
    }
}

/// A clock driven by a weight, made ready for other drums.
#[derive(Debug)]
pub struct Trader<'d> {
    design: &'d InRoom,
    weight: &'d WeightDrive,
    /// The clock as it is.
    pub built: Built,
    /// The scenario's own drum and falls under its own weight.
    pub today: Option<Traded>,
    least_kg: Option<f64>,
}

/// Why a design cannot be traded.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum NoTrader {
    /// Driven by bare numbers, or not at all.
    #[error("the clock has no weight drive, so it has no drum and no run time to vary")]
    NoWeightDrive,
    /// There is no such clock.
    #[error(transparent)]
    Build(BuildError),
}

impl<'d> Trader<'d> {
    /// The design made ready.
    ///
    /// # Errors
    /// [`NoTrader`].
    pub fn of(design: &'d InRoom) -> Result<Self, NoTrader> {
        let weight = design.weight_drive().ok_or(NoTrader::NoWeightDrive)?;
        let built = dial_solved(build(design).map_err(NoTrader::Build)?);
        if built.own_drive().and_then(DriveLevel::kg).is_none() {
            return Err(NoTrader::NoWeightDrive);
        }
        let least_kg = Solver::new(&built).bare_least().ok().and_then(DriveLevel::kg);
        let mut trader = Self { design, weight, built, today: None, least_kg };
        trader.today =
            least_kg.and_then(|least_kg| trader.traded(weight, Reserve::Ratio(weight.weight_kg / least_kg)).ok());
        // The ratio is of the least weight as that search found it: as good, but not the same to the last digits.
        if let Some(today) = &mut trader.today {
            today.weight_kg = weight.weight_kg;
        }
        Ok(trader)
    }

    /// The clock as it is, and its points as asked.
    #[must_use]
    pub fn trade(&self, ask: &TradeAsk, watch: &dyn Watch) -> Trade {
        Trade {
            own_drum_m: self.weight.drum_diameter_m,
            own_falls: self.weight.falls,
            today: self.today.clone(),
            assumed_pulley: self
                .pulley(2)
                .filter(|_| self.weight.pulley.is_none() && ask.falls.iter().any(|&falls| falls > 1)),
            reserve: ask.reserve,
            points: self.points(ask, watch),
        }
    }

    /// Drums around the scenario's own, to the millimetre, its own among them, rising, m.
    #[must_use]
    pub fn usual_drums_m(&self) -> Vec<f64> {
        let own = self.weight.drum_diameter_m;
        let rounded = |share: f64| if share == 1.0 { own } else { (1e3 * share * own).round().max(1.0) / 1e3 };
        let mut drums: Vec<f64> = DRUM_SHARES.into_iter().map(rounded).collect();
        drums.sort_by(f64::total_cmp);
        drums.dedup();
        drums
    }

    /// The pulley of so many falls: the scenario's own, and where it has none one that is assumed.
    fn pulley(&self, falls: u32) -> Option<Pulley> {
        let first = self.design.train.as_ref().and_then(|train| train.arbors.first());
        let assumed = || first.filter(|_| falls > 1).map(|arbor| self.weight.assumed_pulley(arbor.pivot));
        self.weight.pulley.or_else(assumed)
    }

    /// Points by falls, then drums, as asked; the same numbers on any number of threads. Points not reached when `watch` stops are
    /// missing.
    #[must_use]
    pub fn points(&self, ask: &TradeAsk, watch: &dyn Watch) -> Vec<TradePoint> {
        let jobs: Vec<(u32, f64)> =
            ask.falls.iter().flat_map(|&falls| ask.drums_m.iter().map(move |&drum| (falls, drum))).collect();
        let found = each(&jobs, "drums", watch, |&(falls, drum_diameter_m)| {
            let other = WeightDrive { falls, drum_diameter_m, pulley: self.pulley(falls), ..self.weight.clone() };
            TradePoint { falls, drum_diameter_m, found: self.traded(&other, ask.reserve) }
        });
        found.into_iter().flatten().collect()
    }

    /// The weight that another drive asks for, and the run that it gives. All losses are those under that weight.
    fn traded(&self, drive: &WeightDrive, reserve: Reserve) -> Result<Traded, NoTrade> {
        let Some(train) = &self.design.train else { return Err(NoTrade::NeverGoes) };
        let (gravity_m_s2, made) = (self.built.gravity_m_s2, &TrainMade::mean_of(self.design));
        let prepared = PreparedDrive::new(drive, train, made, gravity_m_s2).map_err(NoTrade::Drive)?;
        // The torque at the drum that did for the design's own does about as well here.
        let arm = |drive: &WeightDrive| (drive.drum_diameter_m + drive.cord_diameter_m) / f64::from(drive.falls);
        let around_kg = self.least_kg.unwrap_or(self.weight.weight_kg) * arm(self.weight) / arm(drive);
        let solver = Solver::new(&self.built).driven_by(&prepared, around_kg);
        let least = solver.bare_least().map_err(|_| NoTrade::NeverGoes)?;
        let least_kg = least.value();
        let weight_kg = match reserve {
            Reserve::Ratio(ratio) => ratio * least_kg,
            Reserve::Margin => {
                let going = solver.going_at(DriveLevel::Weight(SURE_TO_GO * least_kg)).ok_or(NoTrade::NoMargin)?;
                solver.margin_least(least, going).ok_or(NoTrade::NoMargin)?.value()
            }
        };
        let measured = solver.under(DriveLevel::Weight(weight_kg)).any_swing().ok().map(|swing| swing.measured);
        let drive = WeightDrive { weight_kg, ..drive.clone() };
        let report = drive_report(&prepared, &drive, train);
        let period_s = measured.as_ref().map(|measured| measured.period_s);
        let run = self.built.run_time_with(&drive, period_s).ok_or(NoTrade::NoTimeBase)?;
        let required_s = self.built.train_period_s();
        Ok(Traded {
            least_kg,
            weight_kg,
            run,
            report,
            semi_arc_rad: measured.as_ref().map(Measured::semi_arc_rad),
            rate_s_per_day: required_s.zip(period_s).map(|(required, own)| rate_s_per_day(required, own)),
        })
    }

    /// Design and clock with a point's drive, for what is told of a drive.
    #[must_use]
    pub fn with(&self, point: &TradePoint) -> Option<(InRoom, Built)> {
        let traded = point.found.as_ref().ok()?;
        let drive = WeightDrive {
            weight_kg: traded.weight_kg,
            falls: point.falls,
            drum_diameter_m: point.drum_diameter_m,
            pulley: self.pulley(point.falls),
            ..self.weight.clone()
        };
        let built =
            Built { drive: Some(traded.report.clone()), weight_drive: Some(drive.clone()), ..self.built.clone() };
        Some((InRoom { drive: Some(DriveDesign::Weight(drive)), ..self.design.clone() }, built))
    }
}
