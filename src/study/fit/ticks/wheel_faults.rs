//! What faults of the escape wheel do to the ticks, by the motion itself: the clock is run through a turn of a wheel that has them.

use crate::answers::measure::run_long;
use crate::answers::return_map::{Clock, PeriodOutcome};
use crate::answers::solve::Solver;
use crate::clock::build::{Built, contact_escapement};
use crate::clock::escapement::EscapementOutlines;
use crate::clock::mechanism::{ContactEscapement, DriveModel, EscapementModel, PendulumModel};
use crate::clock::pendulum::compound::small_swing_period_s;
use crate::clock::printing::printed_outline::tooth_with_run_out;
use crate::clock::side::{PerPallet, Side};
use crate::dynamics::observe::{Jump, JumpKind, Observer, TakenSegment};
use crate::dynamics::trace::{Tick, Trace};
use crate::geometry::{ContactCurve, Outline, Point};

/// Gain of amplitude over a turn that counts as none, rad: a tick shifts by some nanoseconds for it. Where the map has steps the least
/// gain may be larger; a hundred times as much still shifts a tick by less than a microsecond.
const STEADY_RAD: f64 = 1e-9;
const NEARLY_STEADY_RAD: f64 = 1e-7;

/// Share of the heaviest blow below which a touch is no tick: what a tooth does that settles on its pallet.
const INAUDIBLE: f64 = 0.02;

/// Secants after which a wheel counts as having no steady turn.
const MOST_SECANTS: usize = 20;

/// Faults of an escape wheel, its teeth counted from 0 against its sense of turning.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct WheelFaults {
    /// Eccentricity, m: the part towards tooth no. 0 and that towards the tooth a quarter of a turn on.
    pub run_out_m: [f64; 2],
    /// Teeth that are short, and by how much, m; negative for one that stands out.
    pub short_m: Vec<(u32, f64)>,
    /// Teeth that stand behind their places, and by how much along the tips' circle, m; negative for ahead.
    pub behind_m: Vec<(u32, f64)>,
}

/// Why milliseconds cannot be turned into millimetres.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
pub enum NoGeometry {
    /// An ideal escapement.
    #[error("the scenario's escapement has no teeth and pallets")]
    NoTeeth,
    /// No steady swing.
    #[error("the scenario's clock does not keep going")]
    DoesNotGo,
}

/// The ticks of one turn of the wheel.
#[derive(Debug, Clone, PartialEq)]
pub struct TurnOfTicks {
    /// Deviation from an even pace, s, the mean of each pallet taken off. The first is the fall of tooth no. 0 on the entry pallet, the second
    /// that on the exit pallet once this tooth has left; so they alternate through the turn.
    pub by_beat_s: Vec<f64>,
    /// Mean period, s.
    pub period_s: f64,
    /// Half the difference of the beats, entry to exit less exit to entry, s.
    pub beat_error_s: f64,
}

/// A steady clock of which the escape wheel can be changed.
#[derive(Debug, Clone)]
pub struct TickingClock {
    pendulum: PendulumModel,
    drive: DriveModel,
    even: ContactEscapement,
    outlines: EscapementOutlines,
    beat_error_rad: f64,
    right_rad: f64,
    /// Tooth that falls on the exit pallet when tooth no. 0 has left the entry pallet.
    exit_tooth: i64,
    /// Direction in which the tip of tooth no. 0 stands from the wheel's centre, rad, and its distance, m.
    tip_rad: f64,
    tip_m: f64,
}

impl TickingClock {
    /// The clock with an even wheel: its mean tooth all round, true to its arbor.
    ///
    /// # Errors
    /// [`NoGeometry`].
    pub fn of(built: &Built, beat_error_rad: f64) -> Result<Self, NoGeometry> {
        let (EscapementModel::Contact(contact), Some(outlines), Some(drive)) =
            (&built.mechanism.escapement, &built.outlines, built.mechanism.drive)
        else {
            return Err(NoGeometry::NoTeeth);
        };
        let even = contact_escapement(outlines, contact.friction, contact.restitution, beat_error_rad)
            .map_err(|_| NoGeometry::NoTeeth)?;
        let even = ContactEscapement { locks: contact.locks, ..even }.with_crutch_play(contact.crutch_play_rad());
        let right_rad = Solver::new(built).any_point().map_err(|_| NoGeometry::DoesNotGo)?.right_rad;
        let tip = outlines
            .tooth
            .vertices()
            .iter()
            .map(|vertex| vertex.at)
            .max_by(|a, b| a.norm().total_cmp(&b.norm()))
            .ok_or(NoGeometry::NoTeeth)?;
        let mut clock = Self {
            pendulum: built.mechanism.pendulum,
            drive,
            even,
            outlines: outlines.clone(),
            beat_error_rad,
            right_rad,
            exit_tooth: 0,
            tip_rad: tip.y.atan2(tip.x),
            tip_m: outlines.tooth.farthest_m(Point::zeros()),
        };
        clock.exit_tooth = clock.first_exit_tooth().ok_or(NoGeometry::DoesNotGo)?;
        Ok(clock)
    }

    /// Teeth of the wheel.
    #[must_use]
    pub const fn teeth(&self) -> u32 {
        self.even.teeth
    }

    /// Tooth that falls on the exit pallet when tooth no. 0 has left the entry pallet; below 0, for it has passed the entry pallet before.
    #[must_use]
    pub const fn exit_tooth(&self) -> i64 {
        self.exit_tooth
    }

    /// Radius of the circle of the tips, m.
    #[must_use]
    pub const fn tip_radius_m(&self) -> f64 {
        self.tip_m
    }

    /// Steady ticks with faults in the wheel; `None` where the clock then stops or ticks otherwise than twice a period.
    #[must_use]
    pub fn turn_with(&self, faults: &WheelFaults) -> Option<TurnOfTicks> {
        self.turn_of(&self.wheel_with(faults)?)
    }

    /// Steady ticks with the pallets turned on the pendulum by a further angle, rad.
    #[must_use]
    pub fn turn_with_pallets_at(&self, further_rad: f64) -> Option<TurnOfTicks> {
        let (friction, restitution) = (self.even.friction, self.even.restitution);
        let turned =
            contact_escapement(&self.outlines, friction, restitution, self.beat_error_rad + further_rad).ok()?;
        let turned = ContactEscapement { locks: self.even.locks, ..turned };
        self.turn_of(&turned.with_crutch_play(self.even.crutch_play_rad()))
    }

    fn clock<'c>(&'c self, escapement: &'c ContactEscapement) -> Clock<'c> {
        Clock::Contact { pendulum: &self.pendulum, escapement, drive: self.drive }
    }

    /// The wheel tooth by tooth.
    ///
    /// A short tooth is the drawn one moved towards the centre, which shifts its tip as filing it down does. A wheel turns clockwise, so that a
    /// tooth that stands behind stands further round anticlockwise.
    fn wheel_with(&self, faults: &WheelFaults) -> Option<ContactEscapement> {
        let teeth = self.even.teeth;
        let [along_m, across_m] = faults.run_out_m;
        let curves = |tooth: u32| {
            let of = |list: &[(u32, f64)]| -> f64 {
                list.iter().filter(|(number, _)| *number == tooth).map(|(_, by_m)| by_m).sum()
            };
            let (short_m, behind_m) = (of(&faults.short_m), of(&faults.behind_m));
            if along_m == 0.0 && across_m == 0.0 && short_m == 0.0 && behind_m == 0.0 {
                return Some(self.even.curves.clone());
            }
            let run_out_rad = self.tip_rad + across_m.atan2(along_m);
            let out = tooth_with_run_out(&self.outlines.tooth, along_m.hypot(across_m), run_out_rad, tooth, teeth);
            let (tip_sine, tip_cosine) = self.tip_rad.sin_cos();
            let moved = out.moved(-short_m * Point::new(tip_cosine, tip_sine));
            self.curves_of(&moved.turned_about(Point::zeros(), behind_m / self.tip_m))
        };
        let mut all = (0..teeth).map(curves);
        let first = all.next()??;
        let other_teeth = all.collect::<Option<Vec<_>>>()?;
        let uneven = ContactEscapement { curves: first, other_teeth, ..self.even.clone() };
        Some(uneven.with_crutch_play(self.even.crutch_play_rad()))
    }

    fn curves_of(&self, tooth: &Outline) -> Option<PerPallet<ContactCurve>> {
        let EscapementOutlines { centre_distance_m, pallets, .. } = &self.outlines;
        PerPallet::try_from_fn(|pallet: Side| {
            ContactCurve::build(tooth, &pallets[pallet], *centre_distance_m, self.beat_error_rad)
        })
        .ok()
    }

    /// The ticks of a turn on the limit cycle, after a turn that brings the motion onto it.
    fn turn_of(&self, escapement: &ContactEscapement) -> Option<TurnOfTicks> {
        let clock = self.clock(escapement);
        let start_rad = self.steady_start_rad(&clock)?;
        let beats = 2 * self.even.teeth as usize;
        let ticks = self.ticks_from(&clock, start_rad, 2 * beats + 2)?;
        // The very first tick follows tooth no. 0 from the entry pallet: one before it is the first of the turn.
        let turn = ticks.get(beats - 1..2 * beats)?;
        let (first, last) = (turn.first()?, turn.last()?);
        if first.pallet != Side::Entry || turn.len() != beats + 1 {
            return None;
        }
        let beat_s = (last.time_s - first.time_s) / beats as f64;
        let late_s: Vec<f64> = turn
            .iter()
            .take(beats)
            .enumerate()
            .map(|(beat, tick)| tick.time_s - first.time_s - beat as f64 * beat_s)
            .collect();
        let mean_of = |side: usize| late_s.iter().skip(side).step_by(2).sum::<f64>() * 2.0 / beats as f64;
        let means_s = [mean_of(0), mean_of(1)];
        Some(TurnOfTicks {
            by_beat_s: late_s.iter().enumerate().map(|(beat, late_s)| late_s - means_s[beat % 2]).collect(),
            period_s: 2.0 * beat_s,
            beat_error_s: means_s[1] - means_s[0],
        })
    }

    /// Amplitude that a turn of the wheel brings back, by secants: as near as its ticks need it. A wheel with faults has feeble blows that come
    /// and go with the amplitude, so that its map is less smooth than a limit cycle to the last digit asks for.
    fn steady_start_rad(&self, clock: &Clock<'_>) -> Option<f64> {
        let gain_rad = |at_rad: f64| match clock.period_from(at_rad) {
            PeriodOutcome::Returned(back) => Some(back.right_rad - at_rad),
            PeriodOutcome::Failed(_) => None,
        };
        let (mut before_rad, mut here_rad) = (self.right_rad * (1.0 - 1e-3), self.right_rad);
        let (mut gain_before_rad, mut here_gain_rad) = (gain_rad(before_rad)?, gain_rad(here_rad)?);
        let mut best = (here_gain_rad.abs(), here_rad);
        for _ in 0..MOST_SECANTS {
            if here_gain_rad.abs() <= STEADY_RAD {
                return Some(here_rad);
            }
            let slope = (here_gain_rad - gain_before_rad) / (here_rad - before_rad);
            let step_rad = (-here_gain_rad / slope).clamp(-0.2 * here_rad, 0.2 * here_rad);
            if !step_rad.is_finite() {
                break;
            }
            (before_rad, gain_before_rad) = (here_rad, here_gain_rad);
            here_rad += step_rad;
            here_gain_rad = gain_rad(here_rad)?;
            if here_gain_rad.abs() < best.0 {
                best = (here_gain_rad.abs(), here_rad);
            }
        }
        (best.0 <= NEARLY_STEADY_RAD).then_some(best.1)
    }

    /// Ticks of a clock let go: of all blows on one pallet in a row the heaviest is heard.
    fn ticks_from(&self, clock: &Clock<'_>, start_rad: f64, count: usize) -> Option<Vec<Tick>> {
        let mut blows = Blows(Trace::new(f64::INFINITY));
        let swing_s = small_swing_period_s(&self.pendulum)?;
        if run_long(clock, start_rad, 0.5 * swing_s * (1.02 * count as f64 + 4.0), &mut blows, |_| ()).is_some() {
            return None;
        }
        let loudest_j = blows.0.ticks.iter().map(|blow| blow.loss_j).fold(0.0, f64::max);
        let mut ticks: Vec<Tick> = Vec::with_capacity(count);
        // Before the first fall on the exit pallet tooth no. 0 only settles on the entry pallet.
        let audible = blows.0.ticks.into_iter().filter(|blow| blow.loss_j > INAUDIBLE * loudest_j);
        for blow in audible.skip_while(|blow| blow.pallet == Side::Entry) {
            match ticks.last_mut() {
                Some(last) if last.pallet == blow.pallet => {
                    if blow.loss_j > last.loss_j {
                        *last = blow;
                    }
                }
                _ => ticks.push(blow),
            }
        }
        Some(ticks)
    }

    /// Which tooth falls on the exit pallet first.
    fn first_exit_tooth(&self) -> Option<i64> {
        let mut fall = FirstFall(None);
        let clock = self.clock(&self.even);
        let swing_s = small_swing_period_s(&self.pendulum)?;
        if run_long(&clock, self.right_rad, 0.5 * swing_s, &mut fall, |_| ()).is_some() {
            return None;
        }
        let (theta_rad, phi_rad) = fall.0?;
        let advance_rad = self.even.curves.exit.front_at(theta_rad)?.phi_rad;
        Some(((phi_rad - advance_rad) / self.even.pitch_rad()).round() as i64)
    }
}

/// Keeps blows, no samples.
struct Blows(Trace);

impl Observer for Blows {
    fn segment(&mut self, _: &TakenSegment<'_>) {}
    fn jump(&mut self, jump: &Jump) {
        self.0.jump(jump);
    }
}

/// Pendulum angle and wheel advance at the first fall on the exit pallet.
struct FirstFall(Option<(f64, f64)>);

impl Observer for FirstFall {
    fn segment(&mut self, _: &TakenSegment<'_>) {}
    fn jump(&mut self, jump: &Jump) {
        if self.0.is_none() && jump.kind == JumpKind::Impact(Side::Exit) {
            self.0 = Some((jump.state.theta_rad, jump.state.phi_rad));
        }
    }
}
