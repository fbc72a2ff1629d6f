//! One tooth primitive against one pallet primitive.
//!
//! The gap between the two is a trigonometric polynomial in the pallet angle `theta`, the wheel advance `phi` and their
//! sum, whatever the kinds of the two (arc on arc, arc on line, line on arc), because a pallet point is
//! `A + p e^(i theta)` and a tooth point `q e^(-i phi)`, with `A = (0, C)`. All that contact needs follows from it:
//!
//! | symbol | meaning | from the gap `g` |
//! |---|---|---|
//! | `n`   | unit normal out of the wheel into the pallet | |
//! | `a_n` | lever arm of `n` about the pallet arbor, m | `dg/dtheta` |
//! | `b_n` | lever arm of `n` about the wheel arbor, m (positive: resists the advance) | `-dg/dphi` |
//! | `a_t`, `b_t` | the same of the tangent `t = n` turned a quarter anticlockwise | polynomials of their own |
//! | `F'`  | `dphi/dtheta` along the contact | `a_n / b_n` |

use super::outline::Point;
use super::primitive::{Primitive, cross};

/// `k[0] + k[1] cos(theta) + k[2] sin(theta) + k[3] cos(phi) + k[4] sin(phi) + k[5] cos(theta + phi) + k[6] sin(theta + phi)`.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Trig {
    /// Coefficients, m.
    pub k: [f64; 7],
}

/// Sines and cosines of `theta`, `phi` and `theta + phi`.
#[derive(Debug, Clone, Copy)]
pub struct Angles {
    /// `[1, cos theta, sin theta, cos phi, sin phi, cos psi, sin psi]`, `psi = theta + phi`.
    pub basis: [f64; 7],
}

impl Angles {
    /// At pallet angle `theta_rad` and wheel advance `phi_rad`.
    #[inline]
    #[must_use]
    pub fn at(theta_rad: f64, phi_rad: f64) -> Self {
        let (s, c) = theta_rad.sin_cos();
        let (u, v) = phi_rad.sin_cos();
        Self::from_parts(c, s, v, u)
    }

    #[inline]
    pub(super) fn from_parts(c: f64, s: f64, cos_phi: f64, sin_phi: f64) -> Self {
        Self { basis: [1.0, c, s, cos_phi, sin_phi, c * cos_phi - s * sin_phi, s * cos_phi + c * sin_phi] }
    }
}

/// How far pallet and wheel get: the pallet from 0 to `theta_rad`, the wheel no further than the two of `phi_rad`, back and
/// forth.
#[derive(Debug, Clone, Copy)]
pub struct Reach {
    /// Pallet angle, signed.
    pub theta_rad: f64,
    /// Wheel advance: least (0 or negative) and most (0 or positive).
    pub phi_rad: (f64, f64),
}

impl Trig {
    /// Value.
    #[inline]
    #[must_use]
    pub fn value(&self, angles: &Angles) -> f64 {
        self.k.iter().zip(&angles.basis).map(|(k, b)| k * b).sum()
    }

    /// Derivative by `theta`, as another polynomial.
    #[inline]
    #[must_use]
    pub fn by_theta(&self) -> Self {
        let k = &self.k;
        Self { k: [0.0, k[2], -k[1], 0.0, 0.0, k[6], -k[5]] }
    }

    /// Derivative by `phi`, as another polynomial.
    #[inline]
    #[must_use]
    pub fn by_phi(&self) -> Self {
        let k = &self.k;
        Self { k: [0.0, 0.0, 0.0, k[4], -k[3], k[6], -k[5]] }
    }

    /// The polynomial for a tooth behind by an advance of which sine and cosine are given: `self(theta, phi - advance)` as a polynomial
    /// in `theta` and `phi`.
    #[inline]
    #[must_use]
    pub fn behind(&self, (s, c): (f64, f64)) -> Self {
        if s == 0.0 && c == 1.0 {
            return *self;
        }
        let k = &self.k;
        Self {
            k: [k[0], k[1], k[2], k[3] * c - k[4] * s, k[3] * s + k[4] * c, k[5] * c - k[6] * s, k[5] * s + k[6] * c],
        }
    }

    /// The polynomial over an angle that is behind the pallets' by one of which sine and cosine are given: `self(theta + angle, phi)` as a
    /// polynomial in `theta` and `phi`.
    #[must_use]
    pub fn ahead(&self, (s, c): (f64, f64)) -> Self {
        let k = &self.k;
        Self {
            k: [k[0], k[1] * c + k[2] * s, k[2] * c - k[1] * s, k[3], k[4], k[5] * c + k[6] * s, k[6] * c - k[5] * s],
        }
    }

    /// A bound that the polynomial does not fall below within a reach of `angles`: its tangent there less the most that its
    /// bend can take off.
    #[inline]
    #[must_use]
    pub fn lowest(&self, angles: &Angles, reach: &Reach) -> f64 {
        let k = &self.k;
        let [_, c, s, v, u, y, x] = angles.basis;
        let (of_turn, of_wheel, of_joint) = (k[2] * c - k[1] * s, k[4] * v - k[3] * u, k[6] * y - k[5] * x);
        let (by_theta, by_phi) = (of_turn + of_joint, of_wheel + of_joint);
        let (back, forth) = reach.phi_rad;
        let swing = reach.theta_rad.abs();
        let advance = forth.max(-back);
        let both = swing + advance;
        // The amplitude of `k1 cos + k2 sin` is at most `|k1| + |k2|`.
        let bend = (k[1].abs() + k[2].abs()) * swing * swing
            + (k[3].abs() + k[4].abs()) * advance * advance
            + (k[5].abs() + k[6].abs()) * both * both;
        self.value(angles) + (by_theta * reach.theta_rad).min(0.0) + (by_phi * back).min(by_phi * forth) - 0.5 * bend
    }

    /// `self + factor * other`.
    #[inline]
    #[must_use]
    pub fn plus(&self, factor: f64, other: &Self) -> Self {
        Self { k: std::array::from_fn(|i| self.k[i] + factor * other.k[i]) }
    }
}

/// Contact of one tooth primitive with one pallet primitive.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ContactPair {
    /// Signed distance (to first order), m: positive apart, zero touching.
    pub gap: Trig,
    /// `a_t`.
    pub pallet_tangent: Trig,
    /// `b_t`.
    pub wheel_tangent: Trig,
    tooth: Primitive,
    pallet: Primitive,
    centre_distance_m: f64,
    /// Whether it stands over an angle other than the one in which its ends were found, to which rounding then no longer is true.
    is_moved: bool,
}

/// Lever arms and derivatives of a contact at one place.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ContactPlace {
    /// Wheel advance, rad.
    pub phi_rad: f64,
    /// Arms of the normal about pallet and wheel arbor, m.
    pub normal_arms_m: (f64, f64),
    /// Arms of the tangent, m.
    pub tangent_arms_m: (f64, f64),
    /// `F' = dphi/dtheta`.
    pub slope: f64,
    /// `F''`.
    pub second_derivative: f64,
}

/// Distance of an arc's centre from the pallet arbor below which the arc counts as concentric: rounding of the bulge.
const CONCENTRIC_M: f64 = 1e-12;

/// Share of the gap's size by which rounding may put a fold out of reach.
const FOLD_ROUNDING: f64 = 1e-14;

/// Which of the two contacts of a pair: where an advancing wheel first touches, or where a wheel turned back does.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Flank {
    /// The tooth's front meets the pallet (`b_n > 0`).
    Front,
    /// The tooth's back meets the pallet (`b_n < 0`).
    Back,
}

impl ContactPair {
    /// The contact of a tooth primitive (wheel frame) with a pallet primitive (front view at `theta = 0`); `None` where
    /// the two cannot touch along a line of contact: line on line, corner on corner, a hollow tighter than the arc in it.
    #[must_use]
    pub fn new(tooth: Primitive, pallet: Primitive, centre_distance_m: f64) -> Option<Self> {
        let arbor = Point::new(0.0, centre_distance_m);
        let pair = |gap, pallet_tangent, wheel_tangent| {
            Some(Self { gap, pallet_tangent, wheel_tangent, tooth, pallet, centre_distance_m, is_moved: false })
        };
        // Re(conj(q) p e^(i psi)) and Im-free products of the two bodies' vectors.
        let joint = |wheel: Point, body: Point| (wheel.dot(&body), -cross(wheel, body));
        match (tooth, pallet) {
            (
                Primitive::Arc { centre: q, radius_m: tooth_radius, .. },
                Primitive::Arc { centre, radius_m: pallet_radius, .. },
            ) => {
                let p = concentric_snapped(centre - arbor);
                let reach = tooth_radius + pallet_radius;
                let nests = match (tooth_radius < 0.0, pallet_radius < 0.0) {
                    (false, false) => reach > 0.0,
                    (true, true) => false,
                    _ => reach < 0.0,
                };
                if !nests {
                    return None;
                }
                let (jc, js) = joint(q, p);
                let c = centre_distance_m;
                let wheel_on_arbor = [c * q.y, -c * q.x];
                let body_on_arbor = [c * p.y, c * p.x];
                let squares = q.norm_squared() + c * c + p.norm_squared();
                let r = reach;
                let gap = Trig {
                    k: [
                        (squares - r * r) / (2.0 * r),
                        body_on_arbor[0] / r,
                        body_on_arbor[1] / r,
                        -wheel_on_arbor[0] / r,
                        -wheel_on_arbor[1] / r,
                        -jc / r,
                        -js / r,
                    ],
                };
                let pallet_tangent = Trig {
                    k: [
                        p.norm_squared() / r - pallet_radius,
                        body_on_arbor[0] / r,
                        body_on_arbor[1] / r,
                        0.0,
                        0.0,
                        -jc / r,
                        -js / r,
                    ],
                };
                let wheel_tangent = Trig {
                    k: [
                        q.norm_squared() / r - tooth_radius,
                        0.0,
                        0.0,
                        -wheel_on_arbor[0] / r,
                        -wheel_on_arbor[1] / r,
                        -jc / r,
                        -js / r,
                    ],
                };
                pair(gap, pallet_tangent, wheel_tangent)
            }
            (Primitive::Arc { centre: q, radius_m, .. }, Primitive::Line { from, along, .. }) => {
                if radius_m < 0.0 {
                    return None;
                }
                let outward = Point::new(along.y, -along.x);
                let offset = outward.dot(&(from - arbor));
                let (jc, js) = joint(q, outward);
                let c = centre_distance_m;
                let gap = Trig { k: [-offset - radius_m, -c * outward.y, -c * outward.x, 0.0, 0.0, jc, js] };
                let pallet_tangent = Trig { k: [-offset, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0] };
                let wheel_tangent = Trig { k: [-radius_m, 0.0, 0.0, 0.0, 0.0, jc, js] };
                pair(gap, pallet_tangent, wheel_tangent)
            }
            (Primitive::Line { from, along, .. }, Primitive::Arc { centre, radius_m, .. }) => {
                if radius_m < 0.0 {
                    return None;
                }
                let p = concentric_snapped(centre - arbor);
                let outward = Point::new(along.y, -along.x);
                let offset = outward.dot(&from);
                let (jc, js) = joint(outward, p);
                let c = centre_distance_m;
                let gap = Trig { k: [-offset - radius_m, 0.0, 0.0, c * outward.y, -c * outward.x, jc, js] };
                let pallet_tangent = Trig { k: [-radius_m, 0.0, 0.0, 0.0, 0.0, jc, js] };
                let wheel_tangent = Trig { k: [-offset, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0] };
                pair(gap, pallet_tangent, wheel_tangent)
            }
            (Primitive::Line { .. }, Primitive::Line { .. }) => None,
        }
    }

    /// Sine and cosine of the wheel advance at which the pair touches on the given flank, both primitives prolonged for ever:
    /// lines to infinity, arcs to circles; `None` if it does not at this angle.
    #[inline]
    pub(super) fn touching_unchecked(&self, flank: Flank, turn: (f64, f64)) -> Option<(f64, f64)> {
        let (sine, cosine, size) = self.touching_unscaled(flank, turn).or_else(|| self.touching_at_fold(turn))?;
        Some((sine / size, cosine / size))
    }

    /// The touch at a fold that rounding puts out of reach, as it may at the end of a moved curve: the gap is least there.
    #[cold]
    fn touching_at_fold(&self, turn: (f64, f64)) -> Option<(f64, f64, f64)> {
        if !self.is_moved {
            return None;
        }
        let (constant, by_cos, by_sin) = self.by_wheel(turn);
        let size_squared = by_cos * by_cos + by_sin * by_sin;
        let short = constant * constant - size_squared;
        (size_squared > 0.0 && short >= 0.0 && short <= FOLD_ROUNDING * size_squared).then_some((
            -constant * by_sin,
            -constant * by_cos,
            size_squared,
        ))
    }

    /// The gap at a pallet angle, of which sine and cosine are given: constant, and factors of cosine and sine of the wheel's advance.
    #[inline]
    fn by_wheel(&self, (sine, cosine): (f64, f64)) -> (f64, f64, f64) {
        let k = &self.gap.k;
        (k[0] + k[1] * cosine + k[2] * sine, k[3] + k[5] * cosine + k[6] * sine, k[4] - k[5] * sine + k[6] * cosine)
    }

    /// The same, both times the third number, which is positive.
    #[inline]
    pub(super) fn touching_unscaled(&self, flank: Flank, turn: (f64, f64)) -> Option<(f64, f64, f64)> {
        let (constant, by_cos, by_sin) = self.by_wheel(turn);
        let size_squared = by_cos * by_cos + by_sin * by_sin;
        let discriminant = size_squared - constant * constant;
        if !(discriminant >= 0.0) || size_squared == 0.0 {
            return None;
        }
        let root = match flank {
            Flank::Front => discriminant.sqrt(),
            Flank::Back => -discriminant.sqrt(),
        };
        Some((-constant * by_sin + root * by_cos, -constant * by_cos - root * by_sin, size_squared))
    }

    /// The pair over an angle that is behind the pallets' by `angle_rad`.
    #[must_use]
    pub fn ahead(&self, angle_rad: f64) -> Self {
        let turn = angle_rad.sin_cos();
        Self {
            gap: self.gap.ahead(turn),
            pallet_tangent: self.pallet_tangent.ahead(turn),
            wheel_tangent: self.wheel_tangent.ahead(turn),
            pallet: self.pallet.turned_about(Point::new(0.0, self.centre_distance_m), angle_rad),
            is_moved: true,
            ..*self
        }
    }

    /// Lever arms and derivatives where the pair touches at `theta_rad`, `phi_rad`.
    ///
    /// `F'' = -(g_tt + 2 g_tp F' + g_pp F'^2) / g_p` by differentiating `g(theta, F(theta)) = 0` twice.
    #[must_use]
    pub fn place(&self, theta_rad: f64, phi_rad: f64) -> ContactPlace {
        let angles = Angles::at(theta_rad, phi_rad);
        let by_theta = self.gap.by_theta();
        let by_phi = self.gap.by_phi();
        let (a_n, b_n) = (by_theta.value(&angles), -by_phi.value(&angles));
        let slope = a_n / b_n;
        let second = by_theta.by_theta().value(&angles)
            + 2.0 * by_theta.by_phi().value(&angles) * slope
            + by_phi.by_phi().value(&angles) * slope * slope;
        ContactPlace {
            phi_rad,
            normal_arms_m: (a_n, b_n),
            tangent_arms_m: (self.pallet_tangent.value(&angles), self.wheel_tangent.value(&angles)),
            slope,
            second_derivative: second / b_n,
        }
    }

    /// Touching point, world frame, m.
    #[must_use]
    pub fn touching_point(&self, theta_rad: f64, phi_rad: f64) -> Point {
        // The arms fix the point x in the frame (n, t): x.n = -b_t and x cross n = -b_n.
        let place = self.place(theta_rad, phi_rad);
        let normal = self.normal(theta_rad, phi_rad);
        let tangent = Point::new(-normal.y, normal.x);
        let (b_n, b_t) = (place.normal_arms_m.1, place.tangent_arms_m.1);
        normal * (-b_t) + tangent * b_n
    }

    /// Unit normal out of the tooth into the pallet, world frame.
    #[must_use]
    pub fn normal(&self, theta_rad: f64, phi_rad: f64) -> Point {
        let (s, c) = theta_rad.sin_cos();
        let (sin_phi, cos_phi) = phi_rad.sin_cos();
        let pallet = |p: Point| Point::new(c * p.x - s * p.y, s * p.x + c * p.y);
        let wheel = |q: Point| Point::new(cos_phi * q.x + sin_phi * q.y, -sin_phi * q.x + cos_phi * q.y);
        let arbor = Point::new(0.0, self.centre_distance_m);
        match (self.tooth, self.pallet) {
            (Primitive::Arc { centre: q, radius_m: r_t, .. }, Primitive::Arc { centre, radius_m: r_p, .. }) => {
                (pallet(centre - arbor) + arbor - wheel(q)) / (r_t + r_p)
            }
            (_, Primitive::Line { along, .. }) => {
                let along = pallet(along);
                Point::new(-along.y, along.x)
            }
            (Primitive::Line { along, .. }, _) => {
                let along = wheel(along);
                Point::new(along.y, -along.x)
            }
        }
    }
}

fn concentric_snapped(arm: Point) -> Point {
    if arm.norm() < CONCENTRIC_M { Point::zeros() } else { arm }
}
