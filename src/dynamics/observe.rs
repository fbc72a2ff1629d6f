//! What watches the motion: nothing, the energy ledger, the trace.

use crate::clock::side::Side;

use super::segment::{State, TaylorSegment};

/// What holds during a smooth stretch.
#[derive(Debug, Clone, Copy, PartialEq, Eq, serde::Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Mode {
    /// Pendulum and wheel move alone.
    Apart,
    /// A tooth rests on a pallet and the wheel stands.
    Locked(Side),
    /// A tooth and a pallet move in contact.
    Sliding(Side),
    /// An ideal torque acts.
    Driven,
}

/// What the train does during a smooth stretch.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum WheelWay {
    /// Forward resistance.
    Forward,
    /// Pushed backwards.
    Backward,
    /// Standing.
    Still,
}

/// A smooth stretch as it was taken.
#[derive(Debug)]
pub struct TakenSegment<'a> {
    /// The series.
    pub series: &'a TaylorSegment,
    /// Time of the start, s.
    pub start_s: f64,
    /// Length, s.
    pub duration_s: f64,
    /// Mode.
    pub mode: Mode,
    /// Way of the wheel.
    pub way: WheelWay,
    /// Sign of the pendulum's motion.
    pub direction: f64,
}

/// An instant at which speeds jump.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Jump {
    /// What happened.
    pub kind: JumpKind,
    /// State just after.
    pub state: State,
    /// Kinetic energy gained (a kick) or, negative, lost (an impact), J.
    pub energy_j: f64,
}

/// Why speeds jumped.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum JumpKind {
    /// A tooth struck a pallet.
    Impact(Side),
    /// A tooth that has pushed a pallet across the play of its crutch met the rod.
    PlayTaken(Side),
    /// An ideal kick.
    Kick,
}

/// Watches the motion.
pub trait Observer {
    /// Called after every smooth stretch.
    fn segment(&mut self, taken: &TakenSegment<'_>);
    /// Called at every jump of the speeds.
    fn jump(&mut self, jump: &Jump);
}

/// Watches nothing.
#[derive(Debug, Clone, Copy, Default)]
pub struct Unobserved;

impl Observer for Unobserved {
    fn segment(&mut self, _: &TakenSegment<'_>) {}
    fn jump(&mut self, _: &Jump) {}
}

impl<A: Observer, B: Observer> Observer for (&mut A, &mut B) {
    fn segment(&mut self, taken: &TakenSegment<'_>) {
        self.0.segment(taken);
        self.1.segment(taken);
    }
    fn jump(&mut self, jump: &Jump) {
        self.0.jump(jump);
        self.1.jump(jump);
    }
}
