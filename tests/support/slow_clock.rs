//! The model once more, slow and plain: fixed steps of 1e-4 s by Dop853, conditions looked at where each step ends, bisection.
//! Its geometry is a tooth's tip corner against the straight and round edges of a pallet. It shares nothing with the crate
//! but the outlines' vertices and the numbers of pendulum and drive.

use beatwright::clock::escapement::EscapementOutlines;
use beatwright::clock::mechanism::{DriveModel, PendulumModel};
use beatwright::geometry::Point;
use ode_solvers::{Dop853, OutputType, System, Vector4};

const STEP_S: f64 = 1e-4;
/// Depth of a tip in a pallet that counts as inside, m.
const INSIDE_M: f64 = 1e-14;

#[derive(Debug, Clone, Copy)]
enum Edge {
    /// From, unit vector along, length; relative to the arbor, pallet angle 0.
    Line { from: Point, along: Point, length: f64 },
    /// Centre, radius, sign (+1 bulging out), direction to the middle, half angle.
    Arc { centre: Point, radius: f64, sign: f64, middle: Point, half: f64 },
}

#[derive(Debug, Clone, Copy, PartialEq)]
pub struct On {
    tooth: i64,
    pallet: usize,
    edge: usize,
}

#[derive(Debug, Clone)]
pub struct SlowClock {
    pendulum: PendulumModel,
    drive: DriveModel,
    friction: f64,
    pitch: f64,
    radius: f64,
    arbor: Point,
    pallets: [Vec<Edge>; 2],
    pub time: f64,
    /// theta, theta', phi, phi'.
    pub y: Vector4<f64>,
    pub on: Option<On>,
    way: f64,
    /// Half the play of the crutch, and by how much the pallets are ahead of the pendulum.
    half_play: f64,
    ahead: f64,
    /// Where the wheel rests on pallets that stand still, and their angle.
    pub standing: Option<(On, f64)>,
    pub impacts: usize,
}

/// Lever arms of normal and tangent and the contact's slope and bend.
struct Place {
    a_n: f64,
    b_n: f64,
    a_t: f64,
    b_t: f64,
    slope: f64,
    bend: f64,
}

fn cross(a: Point, b: Point) -> f64 {
    a.x * b.y - a.y * b.x
}

fn turned(p: Point, angle: f64) -> Point {
    let (s, c) = angle.sin_cos();
    Point::new(c * p.x - s * p.y, s * p.x + c * p.y)
}

impl SlowClock {
    pub fn new(pendulum: PendulumModel, drive: DriveModel, outlines: &EscapementOutlines, friction: f64) -> Self {
        let arbor = Point::new(0.0, outlines.centre_distance_m);
        let edges = |outline: &beatwright::geometry::Outline| {
            let corners = outline.vertices();
            (0..corners.len())
                .map(|k| {
                    let (from, to) = (corners[k].at - arbor, corners[(k + 1) % corners.len()].at - arbor);
                    let (chord, bulge) = ((to - from).norm(), corners[k].bulge);
                    let along = (to - from) / chord;
                    if bulge == 0.0 {
                        return Edge::Line { from, along, length: chord };
                    }
                    let radius = chord * (1.0 + bulge * bulge) / (4.0 * bulge.abs());
                    let right = Point::new(along.y, -along.x);
                    let sign = bulge.signum();
                    let top = 0.5 * (from + to) + 0.5 * bulge * chord * right;
                    let middle = right * sign;
                    Edge::Arc { centre: top - radius * middle, radius, sign, middle, half: 2.0 * bulge.abs().atan() }
                })
                .collect()
        };
        Self {
            pendulum,
            drive,
            friction,
            pitch: std::f64::consts::TAU / f64::from(outlines.teeth),
            radius: outlines.tooth.vertices()[0].at.norm(),
            arbor,
            pallets: [edges(&outlines.pallets.entry), edges(&outlines.pallets.exit)],
            time: 0.0,
            y: Vector4::zeros(),
            on: None,
            way: -1.0,
            half_play: 0.0,
            ahead: 0.0,
            standing: None,
            impacts: 0,
        }
    }

    /// The same with play at the crutch, in all, which leans on one side of it at the start: `side` +1 with the pallets ahead.
    pub fn with_play(self, play: f64, side: f64) -> Self {
        Self { half_play: 0.5 * play, ahead: 0.5 * play * side, ..self }
    }

    /// Lets the pendulum go at rest at `theta` with tooth no. 0 on the entry pallet.
    pub fn let_go(&mut self, theta: f64) {
        self.y = Vector4::new(theta, 0.0, -1.5, 0.0);
        let inside = |y: &Vector4<f64>| {
            (0..self.pallets[0].len()).find(|&edge| {
                let (depth, held) = self.depth(On { tooth: 0, pallet: 0, edge }, y);
                held && depth < 0.0 && depth > -1e-4
            })
        };
        let mut y = self.y;
        let edge = loop {
            y[2] += 1e-3;
            assert!(y[2] < 0.0, "tooth 0 never meets the entry pallet");
            if let Some(edge) = inside(&y) {
                break edge;
            }
        };
        let on = On { tooth: 0, pallet: 0, edge };
        y[2] = self.seated(on, theta, y[2]);
        (self.y, self.on) = (y, Some(on));
    }

    fn tip(&self, tooth: i64, phi: f64) -> Point {
        let bearing = phi - tooth as f64 * self.pitch;
        self.radius * Point::new(bearing.sin(), bearing.cos())
    }

    /// Distance of a tip outside an edge and whether its foot lies on the edge.
    fn depth(&self, on: On, y: &Vector4<f64>) -> (f64, bool) {
        let q = turned(self.tip(on.tooth, y[2]) - self.arbor, -(y[0] + self.ahead));
        match self.pallets[on.pallet][on.edge] {
            Edge::Line { from, along, length } => {
                let place = (q - from).dot(&along);
                ((q - from).dot(&Point::new(along.y, -along.x)), place >= 0.0 && place <= length)
            }
            Edge::Arc { centre, radius, sign, middle, half } => {
                let arm = q - centre;
                (sign * (arm.norm() - radius), cross(middle, arm).atan2(middle.dot(&arm)).abs() <= half)
            }
        }
    }

    fn place(&self, on: On, y: &Vector4<f64>) -> Place {
        let x = self.tip(on.tooth, y[2]);
        let arm = x - self.arbor;
        let line = matches!(self.pallets[on.pallet][on.edge], Edge::Line { .. });
        // Out of the wheel into the pallet.
        let n = match self.pallets[on.pallet][on.edge] {
            Edge::Line { along, .. } => turned(Point::new(-along.y, along.x), y[0] + self.ahead),
            Edge::Arc { centre, sign, .. } => {
                assert!(centre.norm() < 1e-12, "contact on an arc that is not about the arbor");
                -sign * arm / arm.norm()
            }
        };
        let t = Point::new(-n.y, n.x);
        let (a_n, b_n, a_t, b_t) = (cross(arm, n), -cross(x, n), cross(arm, t), -cross(x, t));
        if !line {
            return Place { a_n: 0.0, b_n, a_t, b_t, slope: 0.0, bend: 0.0 };
        }
        let slope = a_n / b_n;
        // Along the contact the tip goes on with the wheel, clockwise, and the normal turns with the pallet.
        let dx = slope * Point::new(x.y, -x.x);
        let da_n = cross(dx, n) + cross(arm, t);
        let db_n = -cross(dx, n) - cross(x, t);
        Place { a_n, b_n, a_t, b_t, slope, bend: (da_n * b_n - a_n * db_n) / (b_n * b_n) }
    }

    /// Wheel advance at which the tip lies on the edge, by Newton's method from `phi`.
    fn seated(&self, on: On, theta: f64, phi: f64) -> f64 {
        let mut y = Vector4::new(theta, 0.0, phi, 0.0);
        for _ in 0..50 {
            let step = self.depth(on, &y).0 / self.place(on, &y).b_n;
            y[2] += step;
            if step.abs() < 1e-16 {
                break;
            }
        }
        y[2]
    }

    fn pendulum_torque(&self, y: &Vector4<f64>) -> f64 {
        let p = &self.pendulum;
        -p.gravity_torque_n_m * y[0].sin()
            - p.stiffness_n_m_per_rad * y[0]
            - (p.air_linear_n_m_s + p.suspension_linear_n_m_s) * y[1]
            - p.air_quadratic_n_m_s2 * y[1] * y[1].abs()
            - p.friction_torque_n_m * self.way
    }

    fn wheel_torque(&self, wheel_way: f64) -> f64 {
        let d = &self.drive;
        let drive = d.ideal_torque_n_m - d.cord_loss_n_m - d.mesh_loss_n_m;
        if wheel_way < 0.0 { drive + d.friction_backward_n_m } else { drive - d.friction_forward_n_m }
    }

    /// Normal force and the pendulum's acceleration in contact.
    fn contact(&self, on: On, y: &Vector4<f64>) -> (f64, f64) {
        let place = self.place(on, y);
        let s = -(self.way * (place.a_t - place.b_t * place.slope)).signum();
        let (a, b) = (place.a_n + self.friction * s * place.a_t, place.b_n + self.friction * s * place.b_t);
        assert!(b > 0.0, "jammed");
        let (i, j) = (self.pendulum.inertia_kg_m2, self.drive.inertia_kg_m2);
        let d = self.wheel_torque(self.way * place.slope);
        let p = self.pendulum_torque(y);
        let n = (d - j * place.bend * y[1] * y[1] - j * place.slope / i * p) / (b + j * place.slope / i * a);
        (n, (p + n * a) / i)
    }

    /// The state `h` later in the present mode.
    fn stepped(&self, h: f64) -> Vector4<f64> {
        if h <= 0.0 {
            return self.y;
        }
        let mut solver = Dop853::new(self.clone(), 0.0, h, h, self.y, 1e-13, 1e-16);
        solver.set_output(OutputType::Sparse);
        solver.integrate().unwrap();
        let mut y = *solver.y_out().last().unwrap();
        if let Some(on) = self.on {
            y[2] = self.seated(on, y[0], y[2]);
            y[3] = self.place(on, &y).slope * y[1];
        }
        y
    }

    /// The edge that a tip has entered between the present state and `y`.
    fn entered(&self, y: &Vector4<f64>) -> Option<On> {
        let tooth = (y[2] / self.pitch).round() as i64;
        let edges = (tooth - 8..=tooth + 8)
            .flat_map(|tooth| (0..2).map(move |pallet| (tooth, pallet)))
            .flat_map(|(tooth, pallet)| (0..self.pallets[pallet].len()).map(move |edge| On { tooth, pallet, edge }));
        edges.filter(|&on| self.on.is_none_or(|held| (held.tooth, held.pallet) != (on.tooth, on.pallet))).find(|&on| {
            let (depth, held) = self.depth(on, y);
            held && depth < -INSIDE_M && self.depth(on, &self.y).0 > -10.0 * INSIDE_M
        })
    }

    /// Whether the rod has come to the other side of its play of pallets that stand still.
    fn crossed(&self, y: &Vector4<f64>) -> bool {
        self.standing.is_some_and(|(_, pallets)| self.way * (y[0] - pallets) >= self.half_play)
    }

    /// Lets pallets go that a torque of these arms pushes away from the rod; whether it did.
    fn gave_way(&mut self, on: On, a_n: f64, by_friction: f64) -> bool {
        if (a_n + by_friction) * self.ahead >= 0.0 {
            return false;
        }
        self.on = None;
        if a_n.abs() <= by_friction.abs() {
            self.y[3] = 0.0;
            self.standing = Some((on, self.y[0] + self.ahead));
        } else {
            self.ahead = self.half_play * a_n.signum();
        }
        true
    }

    fn left(&self, y: &Vector4<f64>) -> bool {
        self.on.is_some_and(|on| !self.depth(on, y).1 || self.contact(on, y).0 < 0.0)
    }

    fn happened(&self, y: &Vector4<f64>) -> bool {
        if self.standing.is_some() {
            return y[1] * self.way < 0.0 || self.crossed(y);
        }
        y[1] * self.way < 0.0
            || self.left(y)
            || self.entered(y).is_some()
            || (self.on.is_none() && self.y[3] * y[3] < 0.0)
    }

    /// Runs to the next turning point.
    pub fn run_to_turning(&mut self) {
        loop {
            let mut after = self.stepped(STEP_S);
            let mut high = STEP_S;
            if !self.happened(&after) {
                (self.y, self.time) = (after, self.time + STEP_S);
                continue;
            }
            let mut low = 0.0;
            while high - low > 1e-14 {
                let middle = 0.5 * (low + high);
                if middle <= low || middle >= high {
                    break;
                }
                let y = self.stepped(middle);
                if self.happened(&y) { (high, after) = (middle, y) } else { low = middle }
            }
            let (turned, left, entered) = (after[1] * self.way < 0.0, self.left(&after), self.entered(&after));
            let crossed = self.crossed(&after);
            (self.y, self.time) = (after, self.time + high);
            if let Some((on, _)) = self.standing.filter(|_| crossed || turned) {
                if turned {
                    self.y[1] = 0.0;
                    self.way = -self.way;
                    return;
                }
                (self.standing, self.ahead) = (None, -self.way * self.half_play);
                (self.on, self.y[2]) = (Some(on), self.seated(on, self.y[0], self.y[2]));
                continue;
            }
            if let Some(on) = entered {
                self.strike(on);
            } else if turned {
                self.y[1] = 0.0;
                self.way = -self.way;
                if let Some(on) = self.on {
                    let place = self.place(on, &self.y);
                    let s = -(self.way * (place.a_t - place.b_t * place.slope)).signum();
                    let loose = self.gave_way(on, place.a_n, self.friction * s * place.a_t);
                    if !loose && self.contact(on, &self.y).0 < 0.0 {
                        self.on = None;
                    }
                }
                return;
            } else if left {
                self.on = None;
            }
        }
    }

    /// An impact without rebound.
    fn strike(&mut self, on: On) {
        self.impacts += 1;
        self.y[2] = self.seated(on, self.y[0], self.y[2]);
        let place = self.place(on, &self.y);
        let s = -(place.a_t * self.y[1] - place.b_t * self.y[3]).signum();
        let (a, b) = (place.a_n + self.friction * s * place.a_t, place.b_n + self.friction * s * place.b_t);
        if self.gave_way(on, place.a_n, self.friction * s * place.a_t) {
            return;
        }
        let (i, j) = (self.pendulum.inertia_kg_m2, self.drive.inertia_kg_m2);
        let impulse = (self.y[3] - place.slope * self.y[1]) / (b / j + place.slope * a / i);
        self.y[1] += impulse * a / i;
        self.y[3] -= impulse * b / j;
        self.on = (self.contact(on, &self.y).0 >= 0.0).then_some(on);
    }
}

impl System<f64, Vector4<f64>> for SlowClock {
    fn system(&self, _: f64, y: &Vector4<f64>, dy: &mut Vector4<f64>) {
        dy[0] = y[1];
        if let Some(on) = self.on {
            let mut y = *y;
            y[2] = self.seated(on, y[0], y[2]);
            dy[1] = self.contact(on, &y).1;
            dy[2] = self.place(on, &y).slope * y[1];
            dy[3] = 0.0;
        } else {
            dy[1] = self.pendulum_torque(y) / self.pendulum.inertia_kg_m2;
            dy[2] = y[3];
            let stands = self.standing.is_some();
            dy[3] = if stands { 0.0 } else { self.wheel_torque(self.y[3]) / self.drive.inertia_kg_m2 };
        }
    }
}
