//! Every friction of a clock, in one list: what a study of them walks over.

use crate::units::Kind;

use super::design::{
    DriveDesign, Friction, MotorClock, PendulumClock, PendulumDesign, PendulumParts, Pivot, PivotKind, Suspension,
    Train,
};

/// Where a friction is in a clock.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum RubbingPart {
    /// Teeth of the train.
    Teeth,
    /// Bearings of the train's arbors; whether balls run in this one.
    TrainBearing {
        /// Balls, or a plain hole.
        ball: bool,
    },
    /// Fit of the hands and their motion work.
    Hands,
    /// Bearing of the weight's pulley.
    Pulley {
        /// Balls, or a plain hole.
        ball: bool,
    },
    /// All that a torque in place of a weight leaves in the train.
    LumpedDrive,
    /// Knife edge or bearing from which the pendulum hangs.
    Suspension {
        /// Balls, or an edge.
        ball: bool,
    },
    /// Inside a spring or cord that bends, where neither dirt nor oil comes.
    Bending,
    /// Bearing of the pallets' arbor.
    PalletBearing {
        /// Balls, or a plain hole.
        ball: bool,
    },
    /// Friction of the pendulum that is stated for the whole of it.
    WholePendulum,
    /// Damping, which goes with the speed.
    Air,
    /// Play of the crutch, no friction.
    CrutchPlay,
    /// Faces of the pallets.
    PalletFaces,
}

/// One friction of a clock.
#[derive(Debug, PartialEq)]
pub struct FrictionAt<'c> {
    /// Its dotted path in the scenario.
    pub path: String,
    /// What it is measured in; `None` for a plain number.
    pub kind: Option<Kind>,
    /// Where it rubs.
    pub part: RubbingPart,
    /// The friction.
    pub friction: &'c mut Friction,
}

/// A friction of a clock, as it stands.
#[derive(Debug, Clone, PartialEq)]
pub struct KnownFriction {
    /// Its dotted path in the scenario.
    pub path: String,
    /// What it is measured in; `None` for a plain number.
    pub kind: Option<Kind>,
    /// Where it rubs.
    pub part: RubbingPart,
    /// The friction.
    pub friction: Friction,
}

impl FrictionAt<'_> {
    /// Whether it is none that dirt, wear and thick oil make larger in proportion: a damping, which goes with the speed, or a play.
    fn keeps_its_size(&self) -> bool {
        matches!(self.part, RubbingPart::Air | RubbingPart::CrutchPlay)
    }
}

impl<S> PendulumClock<S> {
    /// All frictions, always in the same order: teeth and bearings of the train, hands, drive, pendulum with its pallets' bearing, play of
    /// its crutch (no friction, but known as badly and driving the same losses), pallets. The pendulum's damping is among them where it can have a spread; where its losses were measured they stand for those of
    /// its parts.
    pub fn frictions_mut(&mut self) -> Vec<FrictionAt<'_>> {
        let mut list = Vec::new();
        if let Some(train) = &mut self.train {
            of_train(train, &mut list);
        }
        match &mut self.drive {
            Some(DriveDesign::Weight(weight)) => {
                if let Some(pulley) = &mut weight.pulley {
                    let part = RubbingPart::Pulley { ball: is_ball(&pulley.pivot) };
                    of_pivot(part, &mut pulley.pivot, "drive.pulley.pivot", &mut list);
                }
                let stiffness = weight.cord.stiffness.as_mut();
                list.extend(stiffness.map(|friction| number(RubbingPart::Bending, "drive.cord_stiffness", friction)));
            }
            Some(DriveDesign::Lumped(lumped)) => {
                let friction = &mut lumped.friction_torque_n_m;
                list.push(torque(RubbingPart::LumpedDrive, "drive.lumped.friction_torque", friction));
            }
            None => {}
        }
        match &mut self.pendulum {
            PendulumDesign::Lumped(lumped) => {
                let linear = &mut lumped.damping_linear_n_m_s;
                list.push(of_kind(RubbingPart::Air, "pendulum.lumped.damping_linear", Kind::DampingLinear, linear));
                let quadratic = &mut lumped.damping_quadratic_n_m_s2;
                let path = "pendulum.lumped.damping_quadratic";
                list.push(of_kind(RubbingPart::Air, path, Kind::DampingQuadratic, quadratic));
                let friction = &mut lumped.friction_torque_n_m;
                list.push(torque(RubbingPart::WholePendulum, "pendulum.lumped.friction_torque", friction));
            }
            PendulumDesign::Parts(PendulumParts { measured_damping: Some(measured), .. }) => {
                let linear = &mut measured.linear_n_m_s;
                let path = "pendulum.measured_damping.linear";
                list.push(of_kind(RubbingPart::Air, path, Kind::DampingLinear, linear));
                let quadratic = &mut measured.quadratic_n_m_s2;
                let path = "pendulum.measured_damping.quadratic";
                list.push(of_kind(RubbingPart::Air, path, Kind::DampingQuadratic, quadratic));
                let friction = &mut measured.friction_torque_n_m;
                list.push(torque(RubbingPart::WholePendulum, "pendulum.measured_damping.friction_torque", friction));
            }
            PendulumDesign::Parts(parts) => {
                of_suspension(&mut parts.suspension, &mut list);
                if let Some(pivot) = &mut parts.pallet_pivot {
                    let part = RubbingPart::PalletBearing { ball: is_ball(pivot) };
                    of_pivot(part, pivot, "pendulum.pallets.pivot", &mut list);
                }
                let friction = &mut parts.extra_friction_torque_n_m;
                list.push(torque(RubbingPart::WholePendulum, "pendulum.extra_damping.friction_torque", friction));
            }
        }
        if let Some(crutch) = &mut self.crutch_play {
            let kind = crutch.kind();
            list.push(of_kind(RubbingPart::CrutchPlay, "pendulum.crutch_play", kind, &mut crutch.play));
        }
        let form = self.escapement.form();
        let path = format!("escapement.{form}.friction");
        list.extend(self.escapement.friction_mut().map(|friction| number(RubbingPart::PalletFaces, &path, friction)));
        list
    }

    /// The same list, to be read.
    #[must_use]
    pub fn frictions(&self) -> Vec<KnownFriction>
    where
        S: Clone,
    {
        known(self.clone().frictions_mut())
    }

    /// The clock with every friction so many times as large, load or none. Damping by the air is no friction: dirt, wear and thick oil
    /// leave it as it is.
    #[must_use]
    pub fn with_frictions_times(&self, factor: f64) -> Self
    where
        S: Clone,
    {
        let mut rougher = self.clone();
        let frictions = rougher.frictions_mut().into_iter().filter(|at| !at.keeps_its_size());
        frictions.for_each(|at| *at.friction = at.friction.times(factor));
        rougher
    }
}

impl MotorClock {
    /// All frictions, always in the same order: teeth and bearings of the train, hands.
    pub fn frictions_mut(&mut self) -> Vec<FrictionAt<'_>> {
        let mut list = Vec::new();
        of_train(&mut self.train, &mut list);
        list.push(torque(RubbingPart::Hands, "hands.friction", &mut self.hands.friction_n_m));
        list
    }

    /// The clock with every friction so many times as large, load or none.
    #[must_use]
    pub fn with_frictions_times(&self, factor: f64) -> Self {
        let mut rougher = self.clone();
        rougher.frictions_mut().into_iter().for_each(|at| *at.friction = at.friction.times(factor));
        rougher
    }

    /// The same list, to be read.
    #[must_use]
    pub fn frictions(&self) -> Vec<KnownFriction> {
        known(self.clone().frictions_mut())
    }
}

fn known(list: Vec<FrictionAt<'_>>) -> Vec<KnownFriction> {
    let known =
        |at: FrictionAt<'_>| KnownFriction { path: at.path, kind: at.kind, part: at.part, friction: *at.friction };
    list.into_iter().map(known).collect()
}

fn number<'c>(part: RubbingPart, path: &str, friction: &'c mut Friction) -> FrictionAt<'c> {
    FrictionAt { path: path.to_owned(), kind: None, part, friction }
}

fn torque<'c>(part: RubbingPart, path: &str, friction: &'c mut Friction) -> FrictionAt<'c> {
    of_kind(part, path, Kind::Torque, friction)
}

fn of_kind<'c>(part: RubbingPart, path: &str, kind: Kind, friction: &'c mut Friction) -> FrictionAt<'c> {
    FrictionAt { path: path.to_owned(), kind: Some(kind), part, friction }
}

fn of_train<'c>(train: &'c mut Train, list: &mut Vec<FrictionAt<'c>>) {
    let Train { tooth_friction, arbors, hands, .. } = train;
    list.push(number(RubbingPart::Teeth, "train.tooth_friction", tooth_friction));
    for arbor in arbors {
        let part = RubbingPart::TrainBearing { ball: is_ball(&arbor.pivot) };
        of_pivot(part, &mut arbor.pivot, &format!("train.arbor.{}.pivot", arbor.name), list);
    }
    list.extend(hands.as_mut().map(|hands| torque(RubbingPart::Hands, "hands.friction", &mut hands.friction_n_m)));
}

fn is_ball(pivot: &Pivot) -> bool {
    pivot.kind == PivotKind::Ball
}

fn of_pivot<'c>(part: RubbingPart, pivot: &'c mut Pivot, path: &str, list: &mut Vec<FrictionAt<'c>>) {
    list.push(number(part, &format!("{path}.friction"), &mut pivot.friction));
    list.push(torque(part, &format!("{path}.drag"), &mut pivot.drag_n_m));
}

fn of_suspension<'c>(suspension: &'c mut Suspension, list: &mut Vec<FrictionAt<'c>>) {
    let (edge, balls) = (RubbingPart::Suspension { ball: false }, RubbingPart::Suspension { ball: true });
    match suspension {
        Suspension::KnifeEdge { rolling_friction_m, .. } => {
            list.push(of_kind(edge, "pendulum.suspension.rolling_friction", Kind::Length, rolling_friction_m));
        }
        Suspension::BallBearing { friction, drag_n_m, .. } => {
            list.push(number(balls, "pendulum.suspension.friction", friction));
            list.push(torque(balls, "pendulum.suspension.drag", drag_n_m));
        }
        Suspension::StripSpring { loss_factor, .. } => {
            list.push(number(RubbingPart::Bending, "pendulum.suspension.loss_factor", loss_factor));
        }
        Suspension::Cord { friction, .. } => {
            list.push(number(RubbingPart::Bending, "pendulum.suspension.friction", friction));
        }
    }
}
