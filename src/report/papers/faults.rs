//! Finding faults: what a swing says of friction, and tests on the bench.

use crate::answers::bench::DECAY_FROM_RAD;
use crate::report::words::numbers::number;
use crate::study::papers::Tested;

use super::PapersView;
use super::table::{PaperCell, PaperTable};

/// What stands in place of a spread, and what the spreads are.
const OPEN: &str = "+/- is what the scenario's spreads of its frictions leave open: two standard deviations, to first order; without a number \
                    where the clock may stop within them. `spread` varies the prints too.";
const NO_SPREADS: &str =
    "The scenario states no spread of any friction, so that nothing can be said of how far a test may be off.";

fn spread_note(any: bool) -> String {
    if any { OPEN } else { NO_SPREADS }.to_owned()
}

/// The swing over a factor on all frictions; `None` where the clock stops as it is, and where no friction bears on its swing.
pub(super) fn swing_table(view: &PapersView<'_>) -> Option<PaperTable> {
    let swings = &view.papers.swings;
    // A clock without frictions swings the same in every row.
    let changes = swings.rows.windows(2).any(|pair| pair[0].semi_arc_rad != pair[1].semi_arc_rad);
    if !changes {
        return None;
    }
    let rows = swings.rows.iter().map(|row| {
        let arc = match row.semi_arc_rad {
            Some(arc_rad) => PaperCell::Number(arc_rad.to_degrees(), 3, "deg"),
            None => PaperCell::Text("stops".to_owned()),
        };
        vec![
            PaperCell::Number(row.factor, 3, ""),
            arc,
            PaperCell::number(row.open_rad.map(f64::to_degrees), 3, "deg"),
            PaperCell::number(row.rate_change_s_per_day, 1, "s/day"),
        ]
    });
    let mut notes = Vec::new();
    if let Some(between) = swings.between {
        notes.push(format!(
            "A swing of only {} deg to each side {} means that friction is up by {} %{}{}.",
            number(between.semi_arc_rad.to_degrees(), 2),
            if view.in_room.has_weight() { "on this weight" } else { "on this drive" },
            number(1e2 * (between.factor - 1.0), 0),
            between.open.map_or_else(String::new, |open| format!(
                ", +/- {} % for what the scenario itself leaves open of its frictions",
                number(1e2 * open, 0)
            )),
            between.weight_kg.zip(view.design.weight_drive()).map_or_else(String::new, |(weight_kg, drive)| format!(
                ", or that it is driven as by {} kg in place of {} kg: weigh the weight, and look whether cord or pulley rubs",
                number(weight_kg, 2),
                number(drive.weight_kg, 2)
            ))
        ));
    }
    notes.push(match swings.stops_at {
        Some(factor) => format!("At {} times all frictions the clock stops.", number(factor, 2)),
        None => "No friction up to a hundred times these stops the clock.".to_owned(),
    });
    notes.push(
        "All frictions together, of teeth, bearings, hands, suspension, cord and pallets, so many times those of the scenario; each row is the \
         steady swing solved anew. Below 1 the clock is better than its scenario. Read the swing after it has settled; `fit --weights` \
         takes readings on several weights."
            .to_owned(),
    );
    notes.push(spread_note(swings.rows.iter().any(|row| row.open_rad.is_some())));
    let columns = [
        ("friction_factor", "all frictions times"),
        ("semi_arc", "swing to each side"),
        ("semi_arc_open", "+/-"),
        ("rate_change", "rate changes by"),
    ];
    Some(PaperTable::rows("swing-and-friction", "If it swings less than predicted", &columns, rows.collect(), notes))
}

/// Tests on the bench.
pub(super) fn bench_table(view: &PapersView<'_>) -> PaperTable {
    let bench = &view.papers.bench;
    let grams = |tested: Option<Tested>| tested.map(|tested| (tested, 1e3, 3, "g"));
    let minutes = bench.halving_s.map(|tested| (tested, 1.0 / 60.0, 1, "min"));
    let from_deg = DECAY_FROM_RAD.to_degrees();
    let free = format!(
        "escapement off: time in which the swing falls from {} to {} deg",
        number(from_deg, 0),
        number(0.5 * from_deg, 1)
    );
    let driven = if view.in_room.has_weight() { "weight on" } else { "drive on" };
    let tests = [
        (
            "escape wheel alone",
            "mass that sets the wheel going, out of mesh".to_owned(),
            grams(bench.moves_escape_wheel_kg),
        ),
        (
            "train alone",
            "mass that sets the whole train going, weight and hands off".to_owned(),
            grams(bench.moves_train_kg),
        ),
        ("lifted", format!("{driven}: largest mass that the wheel still lifts from rest"), grams(bench.is_lifted_kg)),
        ("driven back", format!("{driven}: mass that drives the train back"), grams(bench.drives_back_kg)),
        ("pendulum alone", free, minutes),
    ];
    let rows = tests.into_iter().filter_map(|(key, words, tested)| {
        let (Tested { value, open }, factor, decimals, unit) = tested?;
        Some(vec![
            PaperCell::Text(key.to_owned()),
            PaperCell::Text(words),
            PaperCell::Number(factor * value, decimals, ""),
            PaperCell::number(open.map(|open| factor * open), decimals, ""),
            PaperCell::Text(unit.to_owned()),
        ])
    });
    let rows: Vec<Vec<PaperCell>> = rows.collect();
    let any_open = bench_spreads(view).any(|tested| tested.open.is_some());
    let mut notes = vec![spread_note(any_open)];
    if bench.is_lifted_kg.is_some() {
        notes.insert(
            0,
            "Hang the masses by a thread from the tip of a horizontal tooth of the escape wheel, pallets taken out. If wheel or train \
             need more to start, a bearing or a mesh binds; if less is lifted, the drive does not reach the wheel. Losses of the teeth \
             come on top of what starts the train from this end."
                .to_owned(),
        );
    }
    let columns =
        [("test", "test"), ("what", "what it shows"), ("value", "should be"), ("open", "+/-"), ("unit", "unit")];
    PaperTable::rows("bench", "Tests on the bench", &columns, rows, notes)
}

fn bench_spreads<'p>(view: &PapersView<'p>) -> impl Iterator<Item = Tested> + use<'p> {
    let bench = &view.papers.bench;
    [bench.moves_escape_wheel_kg, bench.moves_train_kg, bench.is_lifted_kg, bench.drives_back_kg, bench.halving_s]
        .into_iter()
        .flatten()
}
