//! Any number of a prediction by its dotted key: one table of what each is and what it takes.

use crate::answers::prediction::Prediction;
use crate::answers::solve::Wanted;
use crate::clock::environment::InRoom;
use crate::report::action::json::{ActionRecord, PalletRecord};
use crate::report::cord::json::CordRecord;
use crate::report::hands::json::HandsRecord;
use crate::report::life::json::LifeRecord;
use crate::report::prediction;
use crate::report::prediction::energy::EnergyRecord;
use crate::report::prediction::json::{Results, TurnRecord};
use crate::report::support::json::SupportRecord;
use crate::study::map::Pick;

/// The part of a prediction that a number needs.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Needs {
    /// None that takes long.
    Swing,
    /// The least drive.
    Least,
    /// The least drive with the margin.
    Margin,
    /// The smallest start.
    LeastStart,
    /// The friction reserve.
    FrictionReserve,
    /// The times at which teeth fall.
    Ticks,
    /// The twelve hours of the dial.
    Dial,
    /// Wall and hanging weight.
    Support,
    /// The years.
    Life,
}

/// A number of the results.
#[derive(Debug, Clone, Copy)]
pub struct Number {
    /// Its dotted key; entries of a list by their index.
    pub key: &'static str,
    needs: Needs,
    by_start: bool,
    of: fn(&Results) -> Option<f64>,
}

const fn swing(key: &'static str, of: fn(&Results) -> Option<f64>) -> Number {
    Number { key, needs: Needs::Swing, by_start: false, of }
}

const fn needing(needs: Needs, key: &'static str, of: fn(&Results) -> Option<f64>) -> Number {
    Number { needs, ..swing(key, of) }
}

/// A number that is another one for another start, though both end in the same swing.
const fn by_start(key: &'static str, of: fn(&Results) -> Option<f64>) -> Number {
    Number { by_start: true, ..swing(key, of) }
}

fn turn(results: &Results, pick: fn(&TurnRecord) -> f64) -> Option<f64> {
    results.turn.as_ref().map(pick)
}

fn energy(results: &Results, pick: fn(&EnergyRecord) -> Option<f64>) -> Option<f64> {
    pick(&results.energy_per_beat_j)
}

fn hands(results: &Results, pick: fn(&HandsRecord) -> Option<f64>) -> Option<f64> {
    results.hands.as_ref().and_then(pick)
}

fn cord(results: &Results, pick: fn(&CordRecord) -> Option<f64>) -> Option<f64> {
    results.cord_on_drum.as_ref().and_then(pick)
}

fn support(results: &Results, pick: fn(&SupportRecord) -> Option<f64>) -> Option<f64> {
    results.support.as_ref().and_then(pick)
}

fn life(results: &Results, pick: fn(&LifeRecord) -> Option<f64>) -> Option<f64> {
    results.life.as_ref().and_then(pick)
}

fn pallet(results: &Results, side: fn(&ActionRecord) -> &PalletRecord, pick: fn(&PalletRecord) -> f64) -> Option<f64> {
    results.action.as_ref().map(|action| pick(side(action)))
}

fn entry(results: &Results, pick: fn(&PalletRecord) -> f64) -> Option<f64> {
    pallet(results, |action| &action.entry, pick)
}

fn exit(results: &Results, pick: fn(&PalletRecord) -> f64) -> Option<f64> {
    pallet(results, |action| &action.exit, pick)
}

/// All numbers of the results, in their order.
pub const NUMBERS: [Number; 123] = [
    swing("semi_arc_deg", |of| of.semi_arc_deg),
    swing("semi_arc_left_deg", |of| of.semi_arc_left_deg),
    swing("semi_arc_right_deg", |of| of.semi_arc_right_deg),
    swing("period_s", |of| of.period_s),
    swing("beat_s.0", |of| of.beat_s.map(|beats| beats[0])),
    swing("beat_s.1", |of| of.beat_s.map(|beats| beats[1])),
    needing(Needs::Ticks, "tick_s.0", |of| of.tick_s.map(|ticks| ticks[0])),
    needing(Needs::Ticks, "tick_s.1", |of| of.tick_s.map(|ticks| ticks[1])),
    swing("train_period_s", |of| of.train_period_s),
    swing("rate_s_per_day", |of| of.rate_s_per_day),
    swing("multiplier", |of| of.multiplier),
    swing("turn.semi_arc_right_deg.0", |of| turn(of, |turn| turn.semi_arc_right_deg[0])),
    swing("turn.semi_arc_right_deg.1", |of| turn(of, |turn| turn.semi_arc_right_deg[1])),
    swing("turn.semi_arc_left_deg.0", |of| turn(of, |turn| turn.semi_arc_left_deg[0])),
    swing("turn.semi_arc_left_deg.1", |of| turn(of, |turn| turn.semi_arc_left_deg[1])),
    swing("turn.left_beat_s.0", |of| turn(of, |turn| turn.left_beat_s[0])),
    swing("turn.left_beat_s.1", |of| turn(of, |turn| turn.left_beat_s[1])),
    swing("turn.right_beat_s.0", |of| turn(of, |turn| turn.right_beat_s[0])),
    swing("turn.right_beat_s.1", |of| turn(of, |turn| turn.right_beat_s[1])),
    swing("q_factor", |of| of.q_factor),
    swing("weight_kg", |of| of.weight_kg),
    needing(Needs::Least, "least_weight_kg", |of| of.least_weight_kg),
    needing(Needs::Margin, "least_weight_with_margin_kg", |of| of.least_weight_with_margin_kg),
    needing(Needs::Least, "weight_ratio", |of| of.weight_ratio),
    needing(Needs::Dial, "arc_margin_deg", |of| of.arc_margin_deg),
    swing("margin_asked_deg", |of| Some(of.margin_asked_deg)),
    needing(Needs::FrictionReserve, "friction_reserve", |of| of.friction_reserve),
    needing(Needs::Least, "least_escape_torque_n_m", |of| of.least_escape_torque_n_m),
    needing(Needs::Margin, "least_escape_torque_with_margin_n_m", |of| of.least_escape_torque_with_margin_n_m),
    needing(Needs::LeastStart, "least_start_arc_deg", |of| of.least_start_arc_deg),
    by_start("start_arc_deg", |of| of.start_arc_deg),
    swing("escaping_arc_deg.0", |of| of.escaping_arc_deg.map(|arcs| arcs[0])),
    swing("escaping_arc_deg.1", |of| of.escaping_arc_deg.map(|arcs| arcs[1])),
    swing("run_time_days", |of| of.run_time_days),
    swing("escape_torque_n_m", |of| of.escape_torque_n_m),
    swing("escape_friction_torque_n_m", |of| of.escape_friction_torque_n_m),
    swing("escape_torque_backward_n_m", |of| of.escape_torque_backward_n_m),
    swing("escape_inertia_kg_m2", |of| of.escape_inertia_kg_m2),
    swing("energy_per_beat_j.weight", |of| energy(of, |beat| beat.weight)),
    swing("energy_per_beat_j.cord", |of| energy(of, |beat| beat.cord)),
    swing("energy_per_beat_j.bearings", |of| energy(of, |beat| beat.bearings)),
    swing("energy_per_beat_j.meshes", |of| energy(of, |beat| beat.meshes)),
    swing("energy_per_beat_j.hands", |of| energy(of, |beat| beat.hands)),
    swing("energy_per_beat_j.drop_and_impact", |of| energy(of, |beat| beat.drop_and_impact)),
    swing("energy_per_beat_j.crutch_play", |of| energy(of, |beat| beat.crutch_play)),
    swing("energy_per_beat_j.faces", |of| energy(of, |beat| beat.faces)),
    swing("energy_per_beat_j.recoil", |of| energy(of, |beat| beat.recoil)),
    swing("energy_per_beat_j.air", |of| energy(of, |beat| beat.air)),
    swing("energy_per_beat_j.suspension", |of| energy(of, |beat| beat.suspension)),
    swing("energy_per_beat_j.support", |of| energy(of, |beat| beat.support)),
    swing("energy_per_beat_j.residual", |of| energy(of, |beat| beat.residual)),
    swing("action.entry.lock_deg", |of| entry(of, |pallet| pallet.lock_deg)),
    swing("action.entry.lift_deg", |of| entry(of, |pallet| pallet.lift_deg)),
    swing("action.entry.drop_deg", |of| entry(of, |pallet| pallet.drop_deg)),
    by_start("action.entry.recoil_deg", |of| entry(of, |pallet| pallet.recoil_deg)),
    by_start("action.entry.recoil_wheel_deg", |of| entry(of, |pallet| pallet.recoil_wheel_deg)),
    swing("action.entry.clearance_wheel_deg", |of| entry(of, |pallet| pallet.clearance_wheel_deg)),
    swing("action.exit.lock_deg", |of| exit(of, |pallet| pallet.lock_deg)),
    swing("action.exit.lift_deg", |of| exit(of, |pallet| pallet.lift_deg)),
    swing("action.exit.drop_deg", |of| exit(of, |pallet| pallet.drop_deg)),
    by_start("action.exit.recoil_deg", |of| exit(of, |pallet| pallet.recoil_deg)),
    by_start("action.exit.recoil_wheel_deg", |of| exit(of, |pallet| pallet.recoil_wheel_deg)),
    swing("action.exit.clearance_wheel_deg", |of| exit(of, |pallet| pallet.clearance_wheel_deg)),
    swing("nut_s_per_day_per_turn", |of| of.nut_s_per_day_per_turn),
    swing("small_swing_period_s", |of| of.small_swing_period_s),
    swing("cord_tension_n", |of| of.cord_tension_n),
    swing("cord_breaking_strength_n", |of| of.cord_breaking_strength_n),
    swing("cord_on_drum.stiffness", |of| cord(of, |cord| cord.stiffness)),
    swing("cord_on_drum.bending_loss_share", |of| cord(of, |cord| cord.bending_loss_share)),
    swing("cord_on_drum.mass_kg_per_m", |of| cord(of, |cord| cord.mass_kg_per_m)),
    swing("cord_on_drum.length_m", |of| cord(of, |cord| Some(cord.length_m))),
    swing("cord_on_drum.turns", |of| cord(of, |cord| Some(cord.turns))),
    swing("cord_on_drum.turns_left", |of| cord(of, |cord| Some(cord.turns_left))),
    swing("cord_on_drum.turns_per_layer", |of| cord(of, |cord| cord.turns_per_layer.map(f64::from))),
    swing("cord_on_drum.layers", |of| cord(of, |cord| cord.layers.map(f64::from))),
    swing("cord_on_drum.drum_length_for_one_layer_mm", |of| cord(of, |cord| Some(cord.drum_length_for_one_layer_mm))),
    swing("cord_on_drum.drives_wound_up_kg", |of| cord(of, |cord| cord.drives_wound_up_kg)),
    swing("cord_on_drum.drives_run_down_kg", |of| cord(of, |cord| cord.drives_run_down_kg)),
    needing(Needs::Dial, "hands.semi_arc_least_deg", |of| hands(of, |hands| hands.semi_arc_least_deg)),
    needing(Needs::Dial, "hands.semi_arc_most_deg", |of| hands(of, |hands| hands.semi_arc_most_deg)),
    needing(Needs::Dial, "hands.rate_least_s_per_day", |of| hands(of, |hands| hands.rate_least_s_per_day)),
    needing(Needs::Dial, "hands.rate_most_s_per_day", |of| hands(of, |hands| hands.rate_most_s_per_day)),
    needing(Needs::Dial, "hands.rate_mean_s_per_day", |of| hands(of, |hands| hands.rate_mean_s_per_day)),
    needing(Needs::Dial, "hands.nearest_to_stopping_h", |of| hands(of, |hands| hands.nearest_to_stopping_h)),
    needing(Needs::Dial, "hands.least_margin_deg", |of| hands(of, |hands| hands.least_margin_deg)),
    needing(Needs::Dial, "hands.stops_at_h", |of| hands(of, |hands| hands.stops_at_h)),
    swing("hands.torque_mean_n_m", |of| hands(of, |hands| Some(hands.torque_mean_n_m))),
    swing("hands.torque_least_n_m", |of| hands(of, |hands| Some(hands.torque_least_n_m))),
    swing("hands.torque_most_n_m", |of| hands(of, |hands| Some(hands.torque_most_n_m))),
    needing(Needs::Support, "support.stiffness_n_per_m", |of| support(of, |on| Some(on.stiffness_n_per_m))),
    needing(Needs::Support, "support.stiffness_within_factor", |of| support(of, |on| on.stiffness_within_factor)),
    needing(Needs::Support, "support.loss_factor", |of| support(of, |on| Some(on.loss_factor))),
    needing(Needs::Support, "support.moving_mass_kg", |of| support(of, |on| Some(on.moving_mass_kg))),
    needing(Needs::Support, "support.weight_hangs_m", |of| support(of, |on| on.weight_hangs_m)),
    needing(Needs::Support, "support.weight_q", |of| support(of, |on| on.weight_q)),
    needing(Needs::Support, "support.rate_shift_s_per_day", |of| support(of, |on| Some(on.rate_shift_s_per_day))),
    needing(Needs::Support, "support.rate_shift_within_s_per_day.0", |of| {
        support(of, |on| on.rate_shift_within_s_per_day.map(|pair| pair[0]))
    }),
    needing(Needs::Support, "support.rate_shift_within_s_per_day.1", |of| {
        support(of, |on| on.rate_shift_within_s_per_day.map(|pair| pair[1]))
    }),
    needing(Needs::Support, "support.added_q", |of| support(of, |on| Some(on.added_q))),
    needing(Needs::Support, "support.own_q", |of| support(of, |on| on.own_q)),
    needing(Needs::Support, "support.rate_shift_without_weight_s_per_day", |of| {
        support(of, |on| Some(on.rate_shift_without_weight_s_per_day))
    }),
    needing(Needs::Support, "support.added_q_without_weight", |of| support(of, |on| Some(on.added_q_without_weight))),
    needing(Needs::Support, "support.rate_shift_over_run_s_per_day.0", |of| {
        support(of, |on| on.rate_shift_over_run_s_per_day.map(|pair| pair[0]))
    }),
    needing(Needs::Support, "support.rate_shift_over_run_s_per_day.1", |of| {
        support(of, |on| on.rate_shift_over_run_s_per_day.map(|pair| pair[1]))
    }),
    needing(Needs::Support, "support.passing_length_m", |of| support(of, |on| on.passing_length_m)),
    needing(Needs::Support, "support.passes_bob_after_days", |of| support(of, |on| on.passes_bob_after_days)),
    needing(Needs::Support, "support.worst_added_q", |of| support(of, |on| on.worst_added_q)),
    needing(Needs::Support, "support.worst_after_days", |of| support(of, |on| on.worst_after_days)),
    needing(Needs::Support, "support.worst_weight_hangs_m", |of| support(of, |on| on.worst_weight_hangs_m)),
    needing(Needs::Support, "support.semi_arc_there_deg", |of| support(of, |on| on.semi_arc_there_deg)),
    needing(Needs::Support, "stiffness_needed_n_per_m", |of| of.stiffness_needed_n_per_m),
    needing(Needs::Support, "stiffness_needed_once_regulated_n_per_m", |of| of.stiffness_needed_once_regulated_n_per_m),
    needing(Needs::Life, "life.margin_lasts_years", |of| life(of, |life| life.margin_lasts_years)),
    needing(Needs::Life, "life.margin_lasts_within_years.0", |of| {
        life(of, |life| life.margin_lasts_within_years.map(|pair| pair[0]))
    }),
    needing(Needs::Life, "life.margin_lasts_within_years.1", |of| {
        life(of, |life| life.margin_lasts_within_years.map(|pair| pair[1]))
    }),
    needing(Needs::Life, "life.goes_for_years", |of| life(of, |life| life.goes_for_years)),
    needing(Needs::Life, "life.goes_for_within_years.0", |of| {
        life(of, |life| life.goes_for_within_years.map(|pair| pair[0]))
    }),
    needing(Needs::Life, "life.goes_for_within_years.1", |of| {
        life(of, |life| life.goes_for_within_years.map(|pair| pair[1]))
    }),
    needing(Needs::Life, "life.longest_years", |of| life(of, |life| Some(life.longest_years))),
    needing(Needs::Life, "life.growth.oiled_per_year", |of| life(of, |life| Some(life.growth.oiled_per_year))),
    needing(Needs::Life, "life.growth.greased_per_year", |of| life(of, |life| Some(life.growth.greased_per_year))),
    needing(Needs::Life, "life.growth.dry_per_year", |of| life(of, |life| Some(life.growth.dry_per_year))),
    needing(Needs::Life, "life.growth.within_factor", |of| life(of, |life| Some(life.growth.within_factor))),
];

impl Number {
    /// The number of that key; `None` where the results have no such number.
    #[must_use]
    pub fn named(key: &str) -> Option<Self> {
        NUMBERS.into_iter().find(|number| number.key == key)
    }

    /// The number in results; `None` where they have none.
    #[must_use]
    pub fn value(&self, results: &Results) -> Option<f64> {
        (self.of)(results).filter(|value| value.is_finite())
    }
}

/// Numbers asked of predictions.
#[derive(Debug, Clone)]
pub struct Answers {
    numbers: Vec<Number>,
    /// Their keys.
    pub keys: Vec<String>,
}

impl Answers {
    /// Numbers in the order asked for, none twice.
    #[must_use]
    pub fn of_numbers(asked: impl IntoIterator<Item = Number>) -> Self {
        let mut numbers: Vec<Number> = Vec::new();
        for number in asked {
            if numbers.iter().all(|known| known.key != number.key) {
                numbers.push(number);
            }
        }
        let keys = numbers.iter().map(|number| number.key.to_owned()).collect();
        Self { numbers, keys }
    }

    /// The answers of a map that nobody asked anything else of: amplitude, rate (else period), margin.
    #[must_use]
    pub fn usual(design: &InRoom, prediction: &Prediction) -> Self {
        let found = prediction::json::record(design, prediction);
        let rate = if found.train_period_s.is_some() { "rate_s_per_day" } else { "period_s" };
        let margin = if found.weight_kg.is_some() { "weight_ratio" } else { "least_escape_torque_n_m" };
        Self::of_numbers(["semi_arc_deg", rate, margin].into_iter().filter_map(Number::named))
    }
}

impl Pick for Answers {
    fn wanted(&self) -> Wanted {
        let any = |needs: &[Needs]| self.numbers.iter().any(|number| needs.contains(&number.needs));
        Wanted {
            least: any(&[Needs::Least, Needs::Margin]),
            margin: any(&[Needs::Margin]),
            least_start: any(&[Needs::LeastStart]),
            trace: any(&[Needs::Ticks]),
            friction_reserve: any(&[Needs::FrictionReserve]),
            dial: any(&[Needs::Dial]),
            support: any(&[Needs::Support]),
            life: any(&[Needs::Life]),
        }
    }

    fn by_start(&self) -> bool {
        self.numbers.iter().any(|number| number.by_start)
    }

    fn of(&self, design: &InRoom, prediction: &Prediction) -> Vec<Option<f64>> {
        let found = prediction::json::record(design, prediction);
        self.numbers.iter().map(|number| number.value(&found)).collect()
    }
}
