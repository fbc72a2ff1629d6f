//! One mesh of involute teeth: how many teeth share the load, what their sliding costs, and what play they have where they stand.

use std::f64::consts::PI;

use super::gear_outline::{GearOutline, MadeGear, designed_tip, involute, tip_run};

/// Action of a pair of full-depth involute gears.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Mesh {
    /// Teeth of the pinion.
    pub pinion_teeth: u32,
    /// Teeth of the wheel.
    pub wheel_teeth: u32,
    /// Contact ratio `eps`: pairs in contact on average.
    pub contact_ratio: f64,
    /// Share of it run by the pinion's tip, `e1`.
    pub pinion_tip_share: f64,
    /// Share of it run by the wheel's tip, `e2`.
    pub wheel_tip_share: f64,
    /// Loss factor `H_v`: lost share of the power per unit of tooth friction.
    pub loss_factor: f64,
    /// Whether a tip reaches past the other gear's base circle: undercut when cut, fouling when moulded or printed.
    pub undercut: bool,
}

impl Mesh {
    /// Share of the power that passes, whichever gear drives, at most 1; at or below 0 the teeth hold each other fast.
    ///
    /// Going: torque behind the mesh = torque before it times `pinion/wheel` times this. Driven backwards the power
    /// enters at the pinion, and the same share of it is lost there: the torque that the pinion must be given
    /// = torque to be raised at the wheel times `pinion/wheel` over this.
    #[must_use]
    pub fn passed_share(&self, tooth_friction: f64) -> f64 {
        1.0 - tooth_friction * self.loss_factor
    }
}

/// Action of a full-depth involute pair (addendum one module, no profile shift).
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `pinion_teeth`, `wheel_teeth` | `z1`, `z2`, at least 1; their order does not change the loss | |
/// | `pressure_angle_rad` | `alpha`, between 0 and pi/2 | rad |
///
/// `eps = e1 + e2`, `e = (sqrt(ra^2 - rb^2) - r sin alpha)/(pi m cos alpha)` for each gear (Shigley; Niemann);
/// `H_v = pi (1/z1 + 1/z2) (1 - eps + e1^2 + e2^2)` (Niemann; ISO TR 14179-2; from memory, checked by integrating the
/// sliding along the path with the load shared equally), exact for `1 <= eps <= 2` and constant friction. Cycloidal
/// teeth lose less. Where `undercut` is set the figures are nominal: part of that action does not exist.
#[must_use]
pub fn involute_mesh(pinion_teeth: u32, wheel_teeth: u32, pressure_angle_rad: f64) -> Mesh {
    let (z1, z2) = (f64::from(pinion_teeth), f64::from(wheel_teeth));
    let (sine, cosine) = pressure_angle_rad.sin_cos();
    Runs {
        tips: [tip_run(0.5 * z1 * cosine, designed_tip(z1)), tip_run(0.5 * z2 * cosine, designed_tip(z2))],
        pitches: [0.5 * z1 * sine, 0.5 * z2 * sine],
        common_tangent: 0.5 * (z1 + z2) * sine,
        base_pitch: PI * cosine,
    }
    .mesh(pinion_teeth, wheel_teeth)
}

/// Lengths along the line of action, in modules; pinion first.
struct Runs {
    /// From the point of touch with a gear's base circle to where its tip crosses.
    tips: [f64; 2],
    /// From there to the pitch point.
    pitches: [f64; 2],
    /// From base circle to base circle.
    common_tangent: f64,
    /// From one flank to the next.
    base_pitch: f64,
}

impl Runs {
    fn mesh(&self, pinion_teeth: u32, wheel_teeth: u32) -> Mesh {
        let (z1, z2) = (f64::from(pinion_teeth), f64::from(wheel_teeth));
        let pinion_tip_share = (self.tips[0] - self.pitches[0]) / self.base_pitch;
        let wheel_tip_share = (self.tips[1] - self.pitches[1]) / self.base_pitch;
        let contact_ratio = pinion_tip_share + wheel_tip_share;
        Mesh {
            pinion_teeth,
            wheel_teeth,
            contact_ratio,
            pinion_tip_share,
            wheel_tip_share,
            loss_factor: PI
                * (1.0 / z1 + 1.0 / z2)
                * (1.0 - contact_ratio + pinion_tip_share.powi(2) + wheel_tip_share.powi(2)),
            undercut: self.tips.iter().any(|&tip| tip > self.common_tangent),
        }
    }
}

/// Two gears as designed, one module each; lengths in modules.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct GearPair {
    /// Teeth of the pinion.
    pub pinion_teeth: u32,
    /// Teeth of the wheel.
    pub wheel_teeth: u32,
    /// Pressure angle.
    pub pressure_angle_rad: f64,
    /// Play between the flanks along the pitch circle at the designed distance, `j`.
    pub backlash: f64,
    /// Room between a tip and the other gear's root at the designed distance.
    pub bottom_clearance: f64,
}

/// How two gears stand to each other.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Stance {
    /// The pinion as it has become.
    pub pinion: MadeGear,
    /// The wheel as it has become.
    pub wheel: MadeGear,
    /// Distance of the arbors, modules.
    pub centre_distance: f64,
}

/// A mesh where it stands; lengths in modules as designed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WorkingMesh {
    /// Action of the teeth.
    pub mesh: Mesh,
    /// Distance of the arbors.
    pub centre_distance: f64,
    /// Pressure angle there; 0 where the base circles overlap.
    pub pressure_angle_rad: f64,
    /// Play along the working pitch circle where it is least; below 0 the flanks do not fit.
    pub backlash: f64,
    /// Room between a tip and the other gear's root, the lesser of the two; below 0 they do not fit.
    pub bottom_clearance: f64,
    /// By how much the tip circles overlap; at or below 0 the teeth do not reach each other.
    pub depth: f64,
    /// Whether a tip works on the other gear's root fillet instead of its flank.
    pub on_fillet: bool,
}

impl GearPair {
    /// Distance of the arbors for which the gears are designed, modules: `(z1 + z2)/2`.
    #[must_use]
    pub fn designed_distance(&self) -> f64 {
        0.5 * (f64::from(self.pinion_teeth) + f64::from(self.wheel_teeth))
    }

    /// Gears of the size and at the distance for which they are designed.
    #[must_use]
    pub fn designed_stance(&self) -> Stance {
        Stance { pinion: MadeGear::DESIGNED, wheel: MadeGear::DESIGNED, centre_distance: self.designed_distance() }
    }

    /// The mesh of these gears as they were made and have grown or shrunk since, at some distance.
    ///
    /// | symbol | meaning | unit |
    /// |---|---|---|
    /// | `k` | size of a gear over that designed | |
    /// | `g` | distance by which its edges stand out beyond that | modules |
    /// | `rb = k z cos(alpha)/2`, `ra = k (z/2 + 1) + g` | radius of base and tip circle | modules |
    /// | `C` | distance of the arbors | modules |
    ///
    /// `cos alpha' = (rb1 + rb2)/C`; tip shares as in [`involute_mesh`] with `alpha'`, the mean base pitch, and the tips as far as
    /// their flanks reach ([`GearOutline::tip_run`]). A tooth midway in a space of the other gear has along the line of action, on
    /// both sides together, `j' cos alpha' = 2 (rb1 + rb2) inv alpha' - 2 rb1 psi1 - 2 rb2 psi2 + pb`,
    /// `psi = (pi - j)/(2 z) + inv alpha + g/rb` half the angle of a tooth at its base and `pb` the base pitch of the gear with
    /// the space. (From the geometry of involutes; half of `j` is taken off the teeth of each gear.) Gears that have not grown
    /// alike have unlike base pitches: with several pairs in contact the play then varies from pair to pair by their difference,
    /// and its least value is given.
    #[must_use]
    pub fn standing(&self, stance: &Stance) -> WorkingMesh {
        let distance = stance.centre_distance;
        if *stance == self.designed_stance() {
            return WorkingMesh {
                mesh: involute_mesh(self.pinion_teeth, self.wheel_teeth, self.pressure_angle_rad),
                centre_distance: distance,
                pressure_angle_rad: self.pressure_angle_rad,
                backlash: self.backlash,
                bottom_clearance: self.bottom_clearance,
                depth: 2.0,
                on_fillet: false,
            };
        }
        let outline = |teeth: u32, made: MadeGear| GearOutline::of(self, f64::from(teeth), made);
        let gears = [outline(self.pinion_teeth, stance.pinion), outline(self.wheel_teeth, stance.wheel)];
        let depth = gears[0].tip + gears[1].tip - distance;
        let base_sum = gears[0].base + gears[1].base;
        let pressure_angle_rad = (base_sum / distance).clamp(0.0, 1.0).acos();
        let tangent = pressure_angle_rad.tan();
        let base_pitches = gears.map(|gear| gear.base_pitch);
        let runs = Runs {
            tips: gears.map(|gear| gear.tip_run),
            pitches: gears.map(|gear| gear.base * tangent),
            common_tangent: base_sum * tangent,
            base_pitch: 0.5 * (base_pitches[0] + base_pitches[1]),
        };
        let mesh = runs.mesh(self.pinion_teeth, self.wheel_teeth);
        let at_base = gears[0].thickness_at_base + gears[1].thickness_at_base;
        let in_wheels_space = 2.0 * base_sum * involute(pressure_angle_rad) - at_base + base_pitches[1];
        let (least, most) = pairs_apart(&mesh);
        let difference = base_pitches[1] - base_pitches[0];
        let normal_play = (in_wheels_space - least * difference).min(in_wheels_space - most * difference);
        let [pinion, wheel] = gears;
        let rooms = [pinion.tip_room(&wheel, distance, normal_play), wheel.tip_room(&pinion, distance, normal_play)];
        let ends_on_fillet = |tip: &GearOutline, root: &GearOutline| {
            root.fillet_run > 0.0 && runs.common_tangent - tip.tip_run < root.fillet_run
        };
        WorkingMesh {
            mesh,
            centre_distance: distance,
            pressure_angle_rad,
            backlash: normal_play / pressure_angle_rad.cos(),
            bottom_clearance: rooms[0].min(rooms[1]),
            depth,
            on_fillet: ends_on_fillet(&pinion, &wheel) || ends_on_fillet(&wheel, &pinion),
        }
    }
}

/// By how many teeth the pair that touches behind can be ahead of the pair that touches in front, least and most: 0 is the two
/// sides of one tooth of the pinion, 1 those of one tooth of the wheel.
///
/// With teeth as wide as spaces a front is in contact from `e2` base pitches ahead of the pitch point to `e1` behind, a back
/// the other way round, and the two flanks of a tooth are half a pitch apart. The pinion is taken to drive, which by symmetry
/// changes nothing.
fn pairs_apart(mesh: &Mesh) -> (f64, f64) {
    let (ahead, behind) = (mesh.wheel_tip_share, mesh.pinion_tip_share);
    ((0.5 - 2.0 * behind).ceil().min(0.0), (0.5 + 2.0 * ahead).floor().max(1.0))
}
