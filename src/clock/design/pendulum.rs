//! The pendulum as designed.

use super::{Friction, MaterialRef, Pivot};

/// The pendulum by parts or by its bare numbers.
#[derive(Debug, Clone, PartialEq)]
pub enum PendulumDesign {
    /// By parts.
    Parts(PendulumParts),
    /// By bare numbers.
    Lumped(LumpedPendulum),
}

/// The pendulum's bare numbers; see `PendulumModel` for their meaning. Gravity is the place's.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LumpedPendulum {
    /// Inertia about the axis.
    pub inertia_kg_m2: f64,
    /// Mass.
    pub mass_kg: f64,
    /// Centre of mass below the axis.
    pub centre_of_mass_m: f64,
    /// Stiffness of the suspension.
    pub stiffness_n_m_per_rad: f64,
    /// Torque per angular speed.
    pub damping_linear_n_m_s: Friction,
    /// Torque per square of the angular speed.
    pub damping_quadratic_n_m_s2: Friction,
    /// Constant friction torque.
    pub friction_torque_n_m: Friction,
}

/// A pendulum made of parts.
#[derive(Debug, Clone, PartialEq)]
pub struct PendulumParts {
    /// The rod.
    pub rod: Rod,
    /// What lies between the rod's lower end and the bob, in order; empty where the rod itself carries the bob.
    pub columns: Vec<Column>,
    /// The bob.
    pub bob: Bob,
    /// The rating nut, which carries the bob.
    pub nut: Option<RatingNut>,
    /// Anything else that swings: crutch, pallet arbor with pallets, hook.
    pub extras: Vec<ExtraMass>,
    /// How the pendulum hangs.
    pub suspension: Suspension,
    /// Bearing of the pallet arbor, which the pendulum turns; `None` if the pallets sit on the pendulum's own axis.
    pub pallet_pivot: Option<Pivot>,
    /// Mass that the pallet pivots carry.
    pub pallet_mass_kg: f64,
    /// Length of the crutch from its axis to where it meets the rod; `None` where the scenario does not say.
    pub crutch_m: Option<f64>,
    /// Linear damping stated by the maker on top of what the parts give (crutch, guide, air at the case).
    pub extra_damping_linear_n_m_s: f64,
    /// Quadratic damping stated by the maker.
    pub extra_damping_quadratic_n_m_s2: f64,
    /// Constant friction torque stated by the maker.
    pub extra_friction_torque_n_m: Friction,
    /// Losses measured of the whole pendulum, in place of all that its parts and its maker give; `None` where none were measured.
    pub measured_damping: Option<MeasuredDamping>,
}

/// Losses of a whole pendulum as a ring-down gives them: suspension, pallets' bearing, air and whatever else.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MeasuredDamping {
    /// Torque per angular speed.
    pub linear_n_m_s: Friction,
    /// Torque per square of the angular speed.
    pub quadratic_n_m_s2: Friction,
    /// Constant friction torque.
    pub friction_torque_n_m: Friction,
    /// How their uncertainties hang together.
    pub correlations: LossCorrelations,
}

/// Correlations of the uncertainties of the three losses, each from -1 to 1.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct LossCorrelations {
    /// Of friction and linear damping.
    pub friction_linear: f64,
    /// Of friction and quadratic damping.
    pub friction_quadratic: f64,
    /// Of linear and quadratic damping.
    pub linear_quadratic: f64,
}

impl LossCorrelations {
    /// Below 0 no three quantities are correlated so: the determinant of their matrix.
    #[must_use]
    pub fn determinant(&self) -> f64 {
        let Self { friction_linear: a, friction_quadratic: b, linear_quadratic: c } = *self;
        1.0 + 2.0 * a * b * c - a * a - b * b - c * c
    }

    /// Deviations, each in its own spread, that hang together so, from ones that do not: friction, linear, quadratic (by the
    /// Cholesky factor of the matrix).
    fn of_independent(&self, [friction, linear, quadratic]: [f64; 3]) -> [f64; 3] {
        let Self { friction_linear: a, friction_quadratic: b, linear_quadratic: c } = *self;
        let own_linear = (1.0 - a * a).max(0.0).sqrt();
        let of_linear = if own_linear > 0.0 { (c - a * b) / own_linear } else { 0.0 };
        let own_quadratic = (1.0 - b * b - of_linear * of_linear).max(0.0).sqrt();
        [friction, a * friction + own_linear * linear, b * friction + of_linear * linear + own_quadratic * quadratic]
    }
}

impl MeasuredDamping {
    /// The losses of a copy whose values were drawn independently of each other about these, hanging together as these do; none below 0.
    #[must_use]
    pub fn together(&self, drawn: &Self) -> Self {
        let losses = |of: &Self| [of.friction_torque_n_m, of.linear_n_m_s, of.quadratic_n_m_s2];
        let (mean, drawn) = (losses(self), losses(drawn));
        let deviation = |number: usize| {
            let Friction { value, spread, .. } = mean[number];
            if spread > 0.0 { (drawn[number].value - value) / spread } else { 0.0 }
        };
        let deviations = self.correlations.of_independent([deviation(0), deviation(1), deviation(2)]);
        let with = |number: usize| {
            let Friction { value, spread, .. } = mean[number];
            Friction { value: (value + deviations[number] * spread).max(0.0), ..drawn[number] }
        };
        Self { friction_torque_n_m: with(0), linear_n_m_s: with(1), quadratic_n_m_s2: with(2), ..*self }
    }
}

impl PendulumParts {
    /// The parts with the rating nut, and the bob on it, higher by `height_m`; the same parts where there is no nut.
    #[must_use]
    pub fn with_nut_raised(&self, height_m: f64) -> Self {
        let mut raised = self.clone();
        if let Some(nut) = &mut raised.nut {
            nut.place_m -= height_m;
            raised.bob.centre_m -= height_m;
        }
        raised
    }
}

/// Cross-section of a rod.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum RodSection {
    /// Solid round.
    Round {
        /// Diameter.
        diameter_m: f64,
    },
    /// Round tube.
    Tube {
        /// Outer diameter.
        outer_m: f64,
        /// Inner diameter.
        inner_m: f64,
    },
    /// Rectangular strip.
    Flat {
        /// Width across the air stream (fore and aft).
        depth_m: f64,
        /// Thickness along the motion.
        width_m: f64,
    },
}

/// The pendulum rod.
#[derive(Debug, Clone, PartialEq)]
pub struct Rod {
    /// Cross-section.
    pub section: RodSection,
    /// Length.
    pub length_m: f64,
    /// Depth of its upper end below the axis (negative: above it).
    pub top_m: f64,
    /// Material.
    pub material: MaterialRef,
}

/// A rod or tube that carries the bob, or the next column, from where the one before ends.
///
/// The rod counts down from the axis (from a strip spring's lower end) to where the first column begins. Its share is what the columns leave:
/// depth of the bob's seat, less the columns that lead down, and those that lead up added.
#[derive(Debug, Clone, PartialEq)]
pub struct Column {
    /// Name.
    pub name: String,
    /// Material, along its grain.
    pub material: MaterialRef,
    /// Length; `None` while that of a column that compensates is still to be solved.
    pub length_m: Option<f64>,
    /// Whether it leads up from where it begins.
    pub up: bool,
    /// Mass, spread evenly over its length; it meets no air.
    pub mass_kg: f64,
    /// Whether its length is the one at which temperature moves the rate as little as can be.
    pub compensates: bool,
}

impl Column {
    /// Way down from its beginning to its end, m; negative where it leads up, nothing while its length is to be solved.
    #[must_use]
    pub fn down_m(&self) -> f64 {
        let length_m = self.length_m.unwrap_or(0.0);
        if self.up { -length_m } else { length_m }
    }
}

/// Where a bob sits on what carries it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Seat {
    /// On its lower edge, as on a rating nut.
    #[default]
    Bottom,
    /// At its middle.
    Middle,
    /// At its upper edge.
    Top,
}

/// Shape of a bob.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum BobShape {
    /// Flat disc whose axis points fore and aft.
    Disc {
        /// Diameter.
        diameter_m: f64,
        /// Thickness fore and aft.
        thickness_m: f64,
    },
    /// Lens of two spherical caps, axis fore and aft.
    Lens {
        /// Diameter.
        diameter_m: f64,
        /// Thickness at the middle.
        thickness_m: f64,
    },
    /// Upright cylinder.
    Cylinder {
        /// Diameter.
        diameter_m: f64,
        /// Height.
        height_m: f64,
    },
    /// Sphere.
    Sphere {
        /// Diameter.
        diameter_m: f64,
    },
}

/// The bob.
#[derive(Debug, Clone, PartialEq)]
pub struct Bob {
    /// Shape.
    pub shape: BobShape,
    /// Depth of its centre below the axis.
    pub centre_m: f64,
    /// Material (density for buoyancy and for the mass if none is given).
    pub material: MaterialRef,
    /// Mass; `None`: from shape and density.
    pub mass_kg: Option<f64>,
    /// Where it is carried.
    pub seat: Seat,
    /// Material of the shell that gives the bob its size; `None`: `material` does.
    pub shell: Option<MaterialRef>,
}

/// The rating nut.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RatingNut {
    /// Mass.
    pub mass_kg: f64,
    /// Depth below the axis.
    pub place_m: f64,
    /// Thread pitch.
    pub pitch_m: f64,
}

/// A further swinging mass.
#[derive(Debug, Clone, PartialEq)]
pub struct ExtraMass {
    /// Name.
    pub name: String,
    /// Mass.
    pub mass_kg: f64,
    /// Depth of its centre of mass below the axis (negative: above it).
    pub place_m: f64,
    /// Inertia about its own centre of mass.
    pub inertia_kg_m2: f64,
}

/// How the pendulum hangs.
#[derive(Debug, Clone, PartialEq)]
pub enum Suspension {
    /// Knife edge rolling in a groove or on a plane.
    KnifeEdge {
        /// Radius of the edge.
        edge_radius_m: f64,
        /// Coefficient of rolling friction as a length (lever arm of the resistance).
        rolling_friction_m: Friction,
    },
    /// Ball bearing.
    BallBearing {
        /// Bore diameter.
        bore_m: f64,
        /// Friction coefficient referred to the bore.
        friction: Friction,
        /// Friction torque that no load changes, N m.
        drag_n_m: Friction,
    },
    /// Strip spring, clamped at the top.
    StripSpring {
        /// Width (of both strips together).
        width_m: f64,
        /// Thickness.
        thickness_m: f64,
        /// Free length.
        length_m: f64,
        /// Material.
        material: MaterialRef,
        /// Loss factor of the bending (2 pi times it: lost share of the elastic energy per cycle, as 1/Q of the spring).
        loss_factor: Friction,
    },
    /// Cord or thread loop: no stiffness, loses by internal friction.
    Cord {
        /// Diameter.
        diameter_m: f64,
        /// Coefficient of internal friction, referred to the cord's radius.
        friction: Friction,
    },
}
