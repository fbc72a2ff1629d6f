//! Notes and remarks in words: the one place of each wording.

use crate::answers::friction_reserve::LARGEST_FACTOR;
use crate::answers::life::LONGEST_YEARS;
use crate::answers::remarks::Remark;
use crate::clock::escapement::clearance_notes::MarginKind;
use crate::clock::notes::Note;
use crate::clock::printing::out_of_true::ToothPlace;
use crate::clock::side::Side;
use crate::clock::train::motion_work::TwoPairs;

use super::meshes::jam_words;
use crate::report::words::numbers::{number, telling_apart};
use crate::report::words::workshop::workshop_words;

/// Notes on a clock as sentences.
#[must_use]
pub fn notes_in_words(notes: &[Note]) -> Vec<String> {
    notes.iter().map(note_words).collect()
}

/// Remarks on a prediction as sentences.
#[must_use]
pub fn remarks_in_words(remarks: &[Remark]) -> Vec<String> {
    remarks.iter().map(remark_words).collect()
}

/// A note on a clock as a sentence.
#[must_use]
pub fn note_words(note: &Note) -> String {
    match note {
        Note::BobOverfilled { mass_kg, material, needed_m3, shape_m3 } => format!(
            "the bob's mass does not fit its shape: {mass_kg:.3} kg of {material} fills {:.0} cm3, but the shape \
                holds {:.0} cm3",
            1e6 * needed_m3,
            1e6 * shape_m3
        ),
        Note::RodShortOfBob { gap_m } => format!("the rod ends {:.1} mm above the bob", 1e3 * gap_m),
        Note::RodShortOfColumn { gap_m, column, begins_m } => format!(
            "the rod ends {:.1} mm above where \"{column}\" begins, {:.1} mm below the axis",
            1e3 * gap_m,
            1e3 * begins_m
        ),
        Note::NutBelowRod { .. }
        | Note::DrumWithinBearing { .. }
        | Note::CordBentSharply { .. }
        | Note::CordInLayers { .. }
        | Note::CordIsHeavy { .. }
        | Note::CordNotStated { .. }
        | Note::TeethTooFine { .. }
        | Note::WheelOverArbor { .. } => workshop_words(note),
        Note::BallBearingLightlyLoaded => {
            "the ball bearing's friction is that of a well loaded bearing; at a pendulum's load grease and seals usually \
             cost more"
                .to_owned()
        }
        Note::MeshJams { mesh, tightness, module_m, place, remedies } => {
            jam_words(mesh, *tightness, *module_m, (*place, remedies))
        }
        Note::TipOnFillet { mesh } => format!(
            "{mesh}: a tip works on the fillet that the bead leaves at the other's root, above where its flank begins; a finer \
                bead, a larger module or more room below the tips cures it"
        ),
        Note::Undercut { mesh } => format!(
            "{mesh}: at this pressure angle a tip reaches below the other's base circle, so the teeth are undercut or \
                foul; more teeth, a larger pressure angle or profile shift cures it"
        ),
        Note::ContactRatioBelowOne { mesh, contact_ratio } => {
            format!("{mesh}: contact ratio {contact_ratio:.2} is below 1, a problem of the design: one pair of teeth \
                parts before the next has met, and the drive is not continuous")
        }
        Note::ContactRatioAboveTwo { mesh, contact_ratio } => {
            format!("{mesh}: contact ratio {contact_ratio:.2} is above 2, outside the range of the loss formula: the \
                loss is a rough estimate")
        }
        Note::MinuteHandBackwards => {
            "an odd number of meshes lies between the minute hand and the escape wheel: the hand would turn backwards \
                when the wheel turns clockwise"
                .to_owned()
        }
        Note::HourHandBackwards => {
            "an odd number of meshes in the motion work turns the hour hand backwards".to_owned()
        }
        Note::PeriodMismatch { train_period_s, small_swing_period_s } => {
            let gain = train_period_s / small_swing_period_s - 1.0;
            format!(
                "the train requires a beat of {:.4} s but the pendulum beats every {:.4} s: the hands would {} {:.1} \
                    min an hour; change the bob's depth, or the counts (`beatwright counts` lists those for a beat)",
                0.5 * train_period_s,
                0.5 * small_swing_period_s,
                if gain > 0.0 { "gain" } else { "lose" },
                60.0 * gain.abs()
            )
        }
        Note::MotionWorkNotCoaxial { pairs, modules_m, counts } => motion_work_words(*pairs, *modules_m, *counts),
        Note::NothingDrivesWhileWound => {
            "winding removes the drive: the clock loses amplitude and may run backwards or stop; a maintaining spring \
                or \
             an endless cord prevents it"
                .to_owned()
        }
        Note::MaintainingSpringShort { lasts_s } => {
            format!("the maintaining spring lasts {lasts_s:.0} s; winding usually takes longer")
        }
        Note::FrictionTakesAll => {
            "friction uses up all of the drive's torque: the escape wheel does not turn".to_owned()
        }
        Note::TrainSticks { torque_n_m, friction_n_m } => format!(
            "the train sticks: cord and meshes leave {:.4} mN m at the escape wheel, and its bearings take {:.4} mN m to start from \
                rest",
            1e3 * torque_n_m,
            1e3 * friction_n_m
        ),
        Note::FrictionOffItsPair { path, value, pair, pair_value, pair_spread } => format!(
            "{path} = {value} is not what these materials have on one another: {pair} is {pair_value} +/- {pair_spread} (see \
                `beatwright materials`); write \"{pair}\", or keep a number that you have measured"
        ),
        Note::InPieces { part, pieces, lost_m2 } => format!(
            "{}: the bead breaks the outline into {pieces} pieces; only the largest was kept, and {:.3} mm2 of the \
                others was lost",
            part.name(),
            1e6 * lost_m2
        ),
        Note::BeadShortensTeeth { off_tip_m } => format!(
            "the bead takes {} off the tip of the tooth: the wheel acts as if it were {} smaller in diameter",
            mm(*off_tip_m),
            mm(2.0 * off_tip_m)
        ),
        Note::LockMissed { pallet, tooth, past_rad } => {
            let tooth = tooth.map_or_else(|| "a tooth".to_owned(), |tooth| tooth.to_string());
            let deg = past_rad.to_degrees();
            format!("{pallet} pallet: {tooth} lands {deg:.2} deg past the lock, straight on the impulse face")
        }
        Note::NoDrop { pallet, tooth } => no_drop(*pallet, *tooth),
        Note::BackFouls { pallet, tooth: None } => {
            format!("the back of the {pallet} pallet fouls the tooth that has just left it")
        }
        Note::BackFouls { pallet, tooth: Some(tooth) } => {
            format!("the back of the {pallet} pallet fouls {tooth} just after it has left")
        }
        Note::TeethWithoutAction { pallet, teeth } => {
            match teeth { 1 => format!("{pallet} pallet: 1 tooth of the wheel has no action"), _ => format!("{pallet} \
                pallet: {teeth} teeth of the wheel have no action") }
        }
        Note::PlayTakesLift { pallet, play_rad, lift_rad } => format!(
            "the crutch's play of {} deg takes that much of the {pallet} pallet's lift of {} deg: the wheel crosses it alone and strikes \
             the rod, and the tooth unlocks half of it later; close the fork on the rod, or lengthen the crutch",
            number(play_rad.to_degrees(), 2),
            number(lift_rad.to_degrees(), 2)
        ),
        Note::MarginNotHeld { kind, pallet, least_rad, wheel_m, arbors_m, edges_m } => {
            margin_words(*kind, *pallet, *least_rad, [*wheel_m, *arbors_m, *edges_m])
        }
        Note::BeadBluntsLock { smaller_m } => {
            let smaller = mm(*smaller_m);
            format!("the bead blunts tooth and pallets: the lock is that of a wheel {smaller} smaller in diameter")
        }
    }
}

/// A remark on a prediction as a sentence.
#[must_use]
pub fn remark_words(remark: &Remark) -> String {
    let fixed = match remark {
        Remark::Wanders { least_rad, largest_rad } => {
            let (least_deg, largest_deg) = (least_rad.to_degrees(), largest_rad.to_degrees());
            let decimals = telling_apart(least_deg, largest_deg);
            return format!(
                "the swing does not settle on one amplitude but wanders between {} and {} deg",
                number(least_deg, decimals),
                number(largest_deg, decimals)
            );
        }
        Remark::Clock(note) => return note_words(note),
        Remark::BelowMargin { arc_margin_rad, asked_rad } => {
            let (has, asked) = (arc_margin_rad.to_degrees(), asked_rad.to_degrees());
            let decimals = telling_apart(has, asked);
            return format!(
                "the swing exceeds the escaping arc by {} deg, less than the arc margin of {} deg asked for",
                number(has, decimals),
                number(asked, decimals)
            );
        }
        Remark::FrictionNeverStopsIt => {
            return format!(
                "it goes with all frictions {} times as large: the friction reserve is not given",
                number(LARGEST_FACTOR, 0)
            );
        }
        Remark::OutlastsTheYears => {
            return format!(
                "frictions that grow with the years do not stop it within {} years: how long it goes is not given",
                number(LONGEST_YEARS, 0)
            );
        }
        Remark::StopsAsTheWeightSinks { days, hangs_m } => {
            let when = days.map(|days| format!("{} days after winding, ", number(days, 2))).unwrap_or_default();
            return format!(
                "it stops {when}where the weight hangs {} m below the drum and swings with the pendulum: the verdict is that with the weight wound up",
                number(*hangs_m, 2)
            );
        }
        Remark::StopsAboveLeast { ratio, start_rad, going_rad } => {
            return above_least_words(*ratio, *start_rad, *going_rad);
        }
        Remark::GoesInBands { sure_ratio } => {
            let sure = sure_ratio.map_or_else(
                || "the highest that was tried does not".to_owned(),
                |ratio| format!("from {} times the least one on all that were tried do", number(ratio, 3)),
            );
            return format!(
                "the least drive keeps it going, but not every drive above it, for its teeth fall now on one part of a pallet and now on another: {sure}"
            );
        }
        Remark::KickWithoutTorque => "a kick has no drive torque: there is no least torque and no least weight",
        Remark::NoWeightFreesTheTrain => {
            "no weight turns a train that jams: least torque and least weight are not given"
        }
        Remark::LeastDriveNotSettled => {
            "the least drive was not found within the work that one question may take: least torque and least weight are not given"
        }
        Remark::NoLeastDrive => "no drive up to a thousand times the present one keeps the clock going",
        Remark::NoDriveWithMargin => {
            "no drive was found whose swing exceeds the escaping arc by the arc margin asked for"
        }
        Remark::WithoutWeight => {
            "the scenario has no weight: weights and run time are not given; see the least torque instead"
        }
        Remark::WithoutMinuteHand => "the scenario has no train with a minute hand: the rate is not given",
        Remark::WithoutPallets => "an ideal escapement has no pallets: the action is not given",
        Remark::MeansOfWandering => "amplitude, period, rate and energies are means over a swing that does not settle",
        Remark::WithoutSteadySwing => {
            "there is no steady swing: its amplitude, period, rate and energies are not given"
        }
    };
    fixed.to_owned()
}

/// What keeps a clock from going that is driven by more than the least.
fn above_least_words(ratio: f64, start_rad: Option<f64>, going_rad: Option<(f64, f64)>) -> String {
    let stops =
        format!("it stops although its drive is {} times the least one: ", number(ratio, telling_apart(1.0, ratio)));
    let Some((low_rad, high_rad)) = going_rad else {
        return stops + "under so much drive no swing lasts, whatever the start";
    };
    let [low, high] = [low_rad, high_rad].map(f64::to_degrees);
    let decimals = telling_apart(low, high);
    let starts =
        format!("starts from {} deg to {} deg end in a steady swing", number(low, decimals), number(high, decimals));
    match start_rad.map(f64::to_degrees) {
        Some(start) if start < low => {
            format!("{stops}{starts}, and {} deg is too small a start", number(start, decimals))
        }
        Some(start) if start > high => {
            format!("{stops}{starts}, and {} deg is too large a start", number(start, decimals))
        }
        _ => format!("{stops}{starts}, but not all between them"),
    }
}

/// Why both pairs of the motion work cannot share their arbors, and which counts or modules could.
fn motion_work_words(pairs: TwoPairs, modules_m: Option<[f64; 2]>, counts: Option<TwoPairs>) -> String {
    let [first, second] = pairs;
    let [one, other] = pairs.map(|(driver, driven)| driver + driven);
    let named = |(driver, driven): (u32, u32)| format!("{driver}/{driven}");
    let asked = match modules_m {
        Some([one_m, other_m]) => format!(
            "but ask for {:.2} mm and {:.2} mm between them",
            500.0 * one_m * f64::from(one),
            500.0 * other_m * f64::from(other)
        ),
        None => format!("but their teeth add up to {one} and {other}, which one module cannot fit"),
    };
    let ratio = f64::from(one) / f64::from(other);
    let module = match modules_m {
        Some([one_m, _]) => format!("a module of {:.3} mm for {}", 1e3 * one_m * ratio, named(second)),
        None => format!("{ratio:.3} times the module of {} for {}", named(first), named(second)),
    };
    let counts = counts.map_or_else(String::new, |[a, b]| {
        format!("{} and {} ({} teeth each) at one module, or ", named(a), named(b), a.0 + a.1)
    });
    format!(
        "the motion work's pairs {} and {} share their two arbors, {asked}: use {counts}{module}",
        named(first),
        named(second)
    )
}

fn no_drop(pallet: Side, tooth: Option<ToothPlace>) -> String {
    match tooth {
        Some(tooth) => {
            format!("when {tooth} leaves the {pallet} pallet, the other pallet already holds a tooth: there is no drop")
        }
        None => {
            format!("when a tooth leaves the {pallet} pallet, the other pallet already holds one: there is no drop")
        }
    }
}

/// A margin with the changes that leave nothing of it: of the wheel's diameter, the arbors' distance and the edges, m.
fn margin_words(kind: MarginKind, pallet: Side, least_rad: f64, changes_m: [Option<f64>; 3]) -> String {
    let what = match kind {
        MarginKind::Lock => "lock",
        MarginKind::Hold => "hold on a landed tooth",
        MarginKind::Drop => "drop",
        MarginKind::Clearance => "clearance behind the tooth",
    };
    let [wheel, arbors, edges] = match kind {
        MarginKind::Lock | MarginKind::Hold => ["too small in diameter", "too far apart", "missing from every edge"],
        MarginKind::Drop | MarginKind::Clearance => {
            ["too large in diameter", "too close", "of growth on tooth and pallets"]
        }
    };
    let [wheel_m, arbors_m, edges_m] = changes_m;
    let reasons: Vec<String> = [
        wheel_m.map(|change_m| format!("a wheel {} {wheel}", mm(change_m))),
        arbors_m.map(|change_m| format!("arbors {} {arbors}", mm(change_m))),
        edges_m.map(|change_m| format!("{} {edges}", mm(change_m))),
    ]
    .into_iter()
    .flatten()
    .collect();
    format!("{pallet} {what}, {:.2} deg, is used up by {}", least_rad.to_degrees(), reasons.join(", or by "))
}

fn mm(length_m: f64) -> String {
    format!("{:.2} mm", 1e3 * length_m)
}
