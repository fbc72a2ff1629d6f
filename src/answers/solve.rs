//! One clock solved: what its starts end in, its steady swing, its least drive. Every prediction and every study asks here.

use crate::clock::build::{BuildError, Built};
use crate::clock::design::DialShares;
use crate::clock::drive_level::DriveLevel;
use crate::clock::environment::surroundings::Surrounded;
use crate::clock::mechanism::PendulumModel;
use crate::clock::train::drive::PreparedDrive;

use super::cycle::{FixedPoint, fixed_point_near};
use super::drivable::Drivable;
use super::gain_scan::{GainScan, gain_scan};
use super::lasting_swing::{LastingSwing, stable_point};
use super::measure::measure;
use super::no_answer::NoAnswer;
use super::return_map::Clock;
use super::steady::SteadySwing;
use super::verdict::Reason;
use super::warm_start::WarmStart;
use super::{least_drive::least_drive_from, least_drive_with_margin::least_drive_with_margin};

pub use super::scanned::Scanned;
pub use super::solution::{Going, LeastDrive, Solution};
pub use super::wanted::Wanted;

/// Samples of the traced period.
const SAMPLES_PER_PERIOD: usize = 800;

/// Swing near which a steady one is looked for where nothing is known of it, rad.
pub(super) const FIRST_GUESS_RAD: f64 = 0.05;

/// Drive over the bare least one under which a clock surely goes.
pub(super) const SURE_TO_GO: f64 = 1.2;

/// Drive at which the search for the least one begins where the design has none above 0, kg or N m.
const SEARCH_FROM: f64 = 1e-3;

/// A built clock that is asked.
///
/// `Solver::new(&built).wanted(Wanted::LEAST).solve()` scans the gains of all starts, follows the maker's own to its verdict,
/// measures the steady period and looks for the least drive.
#[derive(Debug, Clone, Copy)]
pub struct Solver<'b> {
    pub(super) built: &'b Built,
    pub(super) clock: Option<Clock<'b>>,
    /// The same with hands that take the constant torque that stands for the twelve hours; `None` without hands.
    pub(super) dial_clock: Option<Clock<'b>>,
    pub(super) shares: Option<DialShares>,
    pub(super) jams: bool,
    pub(super) drivable: Option<Drivable<'b>>,
    pub(super) around: Option<DriveLevel>,
    pub(super) near_rad: Option<f64>,
    pub(super) wanted: Wanted,
    pub(super) warm: Option<&'b WarmStart>,
}

impl<'b> Solver<'b> {
    /// The clock as it was built, asked for no long part.
    #[must_use]
    pub fn new(built: &'b Built) -> Self {
        let solver = Self {
            built,
            clock: Clock::of(&built.mechanism),
            dial_clock: None,
            shares: None,
            jams: built.mechanism.jams,
            drivable: Drivable::of(built),
            around: built.own_drive(),
            near_rad: None,
            wanted: Wanted::NOTHING,
            warm: None,
        };
        let shares = solver.drivable.and_then(|drivable| drivable.prepared()?.hands()?.hands().dial_shares);
        solver.with_shares(shares)
    }

    /// Asked for these parts.
    #[must_use]
    pub fn wanted(self, wanted: Wanted) -> Self {
        Self { wanted, ..self }
    }

    /// With the searches begun where those of a clock much like it ended.
    #[must_use]
    pub fn warm(self, warm: Option<&'b WarmStart>) -> Self {
        Self { warm, ..self }
    }

    /// With the steady swing looked for near an amplitude first, rad.
    #[must_use]
    pub fn near(self, right_rad: f64) -> Self {
        Self { near_rad: Some(right_rad), ..self }
    }

    /// With another pendulum.
    #[must_use]
    pub fn with_pendulum(self, pendulum: &'b PendulumModel) -> Self {
        let with = |clock: Option<Clock<'b>>| clock.map(|clock| clock.with_pendulum(pendulum));
        Self { clock: with(self.clock), dial_clock: with(self.dial_clock), ..self }
    }

    /// In other surroundings, which leave the escapement as it is. The least drive stays that of the clock as built.
    #[must_use]
    pub fn in_surroundings(self, surrounded: &'b Surrounded) -> Self {
        let Surrounded { pendulum, drive, over_the_dial, jams } = surrounded;
        let clock = self.clock.and_then(|clock| clock.with_pendulum(pendulum).with_drive(*drive));
        let dial_clock = self.dial_clock.and_then(|clock| clock.with_pendulum(pendulum).with_drive(*over_the_dial));
        Self { clock, dial_clock, jams: *jams, ..self }
    }

    /// Driven by a weight on another drum or cord, the search for the least one beginning `around` so many kg. What is found under
    /// the clock's own drive stays.
    #[must_use]
    pub fn driven_by(self, prepared: &'b PreparedDrive, around_kg: f64) -> Self {
        let drivable = self.drivable.map(|drivable| drivable.driven_by(prepared));
        let shares = self.shares.or_else(|| prepared.hands()?.hands().dial_shares);
        Self { shares, drivable, around: Some(DriveLevel::Weight(around_kg)), ..self }
    }

    /// Under another drive of its kind; without a clock for a weight where a torque drives it, and the other way round.
    #[must_use]
    pub fn under(self, level: DriveLevel) -> Self {
        let over = |drivable: Option<Drivable<'b>>| drivable.and_then(|drivable| drivable.clock(level));
        Self { clock: over(self.drivable), dial_clock: over(self.over_the_dial(|shares| shares.bare)), ..self }
    }

    fn clock(&self) -> Result<Clock<'b>, BuildError> {
        self.clock.ok_or(BuildError::NoDrive)
    }

    /// The gains of all starts, from which everything about its own drive follows.
    ///
    /// # Errors
    /// [`BuildError::NoDrive`].
    pub fn scan(self) -> Result<Scanned<'b>, BuildError> {
        let clock = self.clock()?;
        let (scan, cut_short) = self
            .bounded(|| self.warm.map_or_else(|| gain_scan(&clock), |warm| warm.gain_scan(&clock, self.wanted.trace)));
        Ok(Scanned::of(self.dial_solved(), clock, scan, cut_short))
    }

    /// The same where the gains are known.
    ///
    /// # Errors
    /// [`BuildError::NoDrive`].
    pub fn scanned(self, scan: GainScan) -> Result<Scanned<'b>, BuildError> {
        Ok(Scanned::of(self.dial_solved(), self.clock()?, scan, false))
    }

    /// All that is wanted.
    ///
    /// # Errors
    /// [`BuildError::NoDrive`]: there is nothing to solve.
    pub fn solve(self) -> Result<Solution, BuildError> {
        let scanned = self.scan()?;
        let least = scanned.least();
        Ok(scanned.solution(scanned.verdict(), least))
    }

    /// The steady swing in which the clock ends from its start arc, or one near the amplitude given, if there is one: that is
    /// much quicker.
    ///
    /// # Errors
    /// [`NoAnswer`]: why there is none.
    pub fn steady_swing(&self) -> Result<SteadySwing, NoAnswer> {
        let clock = self.clock()?;
        let near = self.bounded(|| self.near_rad.and_then(|near_rad| fixed_point_near(&clock, near_rad))).0;
        let point = match near.filter(|point| point.multiplier.abs() < 1.0) {
            Some(point) if self.comes_round(point.right_rad) => point,
            Some(_) => return Err(NoAnswer::Stops(Reason::LosesAmplitude)),
            None => self.scan()?.verdict().point()?,
        };
        self.measured(&clock, point)
    }

    /// The steady swing near the amplitude given (else near 0.05 rad), or the smallest of all, whatever the start.
    ///
    /// # Errors
    /// [`NoAnswer::NeverGoes`], [`NoAnswer::Unmeasured`].
    pub fn any_swing(&self) -> Result<SteadySwing, NoAnswer> {
        self.measured(&self.clock()?, self.any_point()?)
    }

    /// The limit cycle of [`Self::any_swing`], its period not measured.
    ///
    /// # Errors
    /// [`NoAnswer::NeverGoes`].
    pub fn any_point(&self) -> Result<FixedPoint, NoAnswer> {
        let (clock, near_rad) = (self.clock()?, self.near_rad.unwrap_or(FIRST_GUESS_RAD));
        self.bounded_answer(|| stable_point(&clock, near_rad).ok_or(NoAnswer::NeverGoes))
    }

    pub(super) fn measured(&self, clock: &Clock<'_>, point: FixedPoint) -> Result<SteadySwing, NoAnswer> {
        let samples = self.wanted.trace.then_some(SAMPLES_PER_PERIOD);
        let measured = self
            .bounded(|| measure(clock, point.right_rad, samples))
            .0
            .map_err(|failure| NoAnswer::Unmeasured { amplitude_rad: point.right_rad, failure })?;
        Ok(SteadySwing { point, measured })
    }

    fn drivable(&self) -> Result<Drivable<'b>, NoAnswer> {
        self.drivable.ok_or(NoAnswer::NoDriveTorque)
    }

    pub(super) fn search_from(&self) -> f64 {
        self.around.map(DriveLevel::value).filter(|&drive| drive > 0.0).unwrap_or(SEARCH_FROM)
    }

    /// The bare least drive.
    ///
    /// # Errors
    /// [`NoAnswer::NoDriveTorque`], [`NoAnswer::Stops`] where the train jams, [`NoAnswer::NeverGoes`].
    pub fn bare_least(&self) -> Result<DriveLevel, NoAnswer> {
        let drivable = self.dial_solved().least_drivable().ok_or(NoAnswer::NoDriveTorque)?;
        // No weight turns a train that jams.
        if self.jams {
            return Err(NoAnswer::Stops(Reason::Jams));
        }
        let with = |drive: f64| drivable.clock_at(drive);
        self.bounded_answer(|| {
            let near = self.warm.and_then(WarmStart::least).and_then(|known| known.near(&with));
            let bare = least_drive_from(&with, near, self.search_from());
            bare.map(|bare| drivable.level(bare)).ok_or(NoAnswer::NeverGoes)
        })
    }

    /// A drive, if the clock goes under it.
    #[must_use]
    pub fn going_at(&self, drive: DriveLevel) -> Option<Going> {
        let swing = LastingSwing::near(&self.drivable?.clock(drive)?, FIRST_GUESS_RAD)?;
        Some(Going { drive, right_rad: swing.right_rad })
    }

    /// The least drive whose swing clears the escaping arcs by the margin asked for, the search beginning with a drive under which the
    /// clock goes; `None` where none up to a thousand times the bare least one does.
    #[must_use]
    pub fn margin_least(&self, bare: DriveLevel, going: Going) -> Option<DriveLevel> {
        let solved = self.dial_solved();
        let drivable = solved.over_the_dial(|shares| shares.with_margin).or(solved.drivable)?;
        let with = |drive: f64| drivable.clock_at(drive);
        let going = (going.drive.value(), going.right_rad);
        least_drive_with_margin(&with, bare.value(), going, self.built.margin_rad).map(|drive| drivable.level(drive))
    }

    /// The least drive as far as it is wanted. Its own drive matters for nothing but the accuracy of the search, so that a sweep over
    /// the drive asks once, without a scan.
    ///
    /// # Errors
    /// As [`Self::bare_least`]; [`NoAnswer::NotAsked`].
    pub fn least(&self) -> Result<LeastDrive, NoAnswer> {
        self.least_beginning(|drivable, bare| {
            let sure = SURE_TO_GO * bare;
            let own = self.built.own_drive().map(DriveLevel::value).filter(|&own| own > sure);
            self.going_at(drivable.level(own.unwrap_or(sure)))
        })
    }

    /// The least drive, that with the margin looked for from what `going` names for a bare one.
    pub(super) fn least_beginning(
        &self,
        going: impl FnOnce(&Drivable<'b>, f64) -> Option<Going>,
    ) -> Result<LeastDrive, NoAnswer> {
        if !(self.wanted.least || self.wanted.margin) {
            return Err(NoAnswer::NotAsked);
        }
        let solved = self.dial_solved();
        let bare = solved.bare_least()?;
        let drivable = self.drivable()?;
        let with_margin = self.bounded_answer(|| {
            let begin = if self.wanted.margin { going(&drivable, bare.value()) } else { None };
            Ok(begin.and_then(|begin| solved.margin_least(bare, begin)))
        })?;
        Ok(LeastDrive { bare, with_margin, torque_n_m: drivable.torque_n_m(bare).ok_or(NoAnswer::NoDriveTorque)? })
    }
}
