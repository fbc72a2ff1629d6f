//! Every friction of a clock, in one list: what a study of them walks over.

use crate::units::Kind;

use super::design::{
    DriveDesign, Friction, MotorClock, PendulumClock, PendulumDesign, PendulumParts, Pivot, Suspension, Train,
};

/// Path of the play of a crutch.
const CRUTCH_PLAY: &str = "pendulum.crutch_play";

/// One friction of a clock.
#[derive(Debug, PartialEq)]
pub struct FrictionAt<'c> {
    /// Its dotted path in the scenario.
    pub path: String,
    /// What it is measured in; `None` for a plain number.
    pub kind: Option<Kind>,
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
    /// The friction.
    pub friction: Friction,
}

impl FrictionAt<'_> {
    /// Whether it is none that dirt, wear and thick oil make larger in proportion: a damping, which goes with the speed, or a play.
    fn keeps_its_size(&self) -> bool {
        matches!(self.kind, Some(Kind::DampingLinear | Kind::DampingQuadratic)) || self.path == CRUTCH_PLAY
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
                    of_pivot(&mut pulley.pivot, "drive.pulley.pivot", &mut list);
                }
                list.extend(weight.cord.stiffness.as_mut().map(|friction| number("drive.cord_stiffness", friction)));
            }
            Some(DriveDesign::Lumped(lumped)) => {
                list.push(torque("drive.lumped.friction_torque", &mut lumped.friction_torque_n_m));
            }
            None => {}
        }
        match &mut self.pendulum {
            PendulumDesign::Lumped(lumped) => {
                let linear = &mut lumped.damping_linear_n_m_s;
                list.push(of_kind("pendulum.lumped.damping_linear", Kind::DampingLinear, linear));
                let quadratic = &mut lumped.damping_quadratic_n_m_s2;
                list.push(of_kind("pendulum.lumped.damping_quadratic", Kind::DampingQuadratic, quadratic));
                list.push(torque("pendulum.lumped.friction_torque", &mut lumped.friction_torque_n_m));
            }
            PendulumDesign::Parts(PendulumParts { measured_damping: Some(measured), .. }) => {
                let linear = &mut measured.linear_n_m_s;
                list.push(of_kind("pendulum.measured_damping.linear", Kind::DampingLinear, linear));
                let quadratic = &mut measured.quadratic_n_m_s2;
                list.push(of_kind("pendulum.measured_damping.quadratic", Kind::DampingQuadratic, quadratic));
                let friction = &mut measured.friction_torque_n_m;
                list.push(torque("pendulum.measured_damping.friction_torque", friction));
            }
            PendulumDesign::Parts(parts) => {
                of_suspension(&mut parts.suspension, &mut list);
                if let Some(pivot) = &mut parts.pallet_pivot {
                    of_pivot(pivot, "pendulum.pallets.pivot", &mut list);
                }
                list.push(torque("pendulum.extra_damping.friction_torque", &mut parts.extra_friction_torque_n_m));
            }
        }
        if let Some(crutch) = &mut self.crutch_play {
            let kind = crutch.kind();
            list.push(of_kind(CRUTCH_PLAY, kind, &mut crutch.play));
        }
        let form = self.escapement.form();
        list.extend(
            self.escapement.friction_mut().map(|friction| number(&format!("escapement.{form}.friction"), friction)),
        );
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
        list.push(torque("hands.friction", &mut self.hands.friction_n_m));
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
    list.into_iter().map(|at| KnownFriction { path: at.path, kind: at.kind, friction: *at.friction }).collect()
}

fn number<'c>(path: &str, friction: &'c mut Friction) -> FrictionAt<'c> {
    FrictionAt { path: path.to_owned(), kind: None, friction }
}

fn torque<'c>(path: &str, friction: &'c mut Friction) -> FrictionAt<'c> {
    FrictionAt { path: path.to_owned(), kind: Some(Kind::Torque), friction }
}

fn of_kind<'c>(path: &str, kind: Kind, friction: &'c mut Friction) -> FrictionAt<'c> {
    FrictionAt { path: path.to_owned(), kind: Some(kind), friction }
}

fn of_train<'c>(train: &'c mut Train, list: &mut Vec<FrictionAt<'c>>) {
    let Train { tooth_friction, arbors, hands, .. } = train;
    list.push(number("train.tooth_friction", tooth_friction));
    for arbor in arbors {
        of_pivot(&mut arbor.pivot, &format!("train.arbor.{}.pivot", arbor.name), list);
    }
    list.extend(hands.as_mut().map(|hands| torque("hands.friction", &mut hands.friction_n_m)));
}

fn of_pivot<'c>(pivot: &'c mut Pivot, path: &str, list: &mut Vec<FrictionAt<'c>>) {
    list.push(number(&format!("{path}.friction"), &mut pivot.friction));
    list.push(torque(&format!("{path}.drag"), &mut pivot.drag_n_m));
}

fn of_suspension<'c>(suspension: &'c mut Suspension, list: &mut Vec<FrictionAt<'c>>) {
    match suspension {
        Suspension::KnifeEdge { rolling_friction_m, .. } => list.push(FrictionAt {
            path: "pendulum.suspension.rolling_friction".to_owned(),
            kind: Some(Kind::Length),
            friction: rolling_friction_m,
        }),
        Suspension::BallBearing { friction, drag_n_m, .. } => {
            list.push(number("pendulum.suspension.friction", friction));
            list.push(torque("pendulum.suspension.drag", drag_n_m));
        }
        Suspension::StripSpring { loss_factor, .. } => {
            list.push(number("pendulum.suspension.loss_factor", loss_factor));
        }
        Suspension::Cord { friction, .. } => list.push(number("pendulum.suspension.friction", friction)),
    }
}
