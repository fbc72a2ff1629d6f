//! Copies whose searches begin where they are foreseen to end, against copies that are searched as if nothing were known.

use beatwright::answers::solve::{Solver, Wanted};
use beatwright::answers::verdict::Verdict;
use beatwright::study::spread::Run;
use beatwright::study::spread::copy::CopyResult;

use crate::support::demo;

/// Most that the least drive of a copy may be off that of a search of all starts, relative, and share of the copies that may be off by more
/// than a third of that.
const LEAST_OFF: f64 = 3e-4;
const FEW: f64 = 0.1;

#[test]
fn crosscheck_copies_end_where_a_search_from_nothing_does() {
    for name in ["heron.toml", "heron-three-quarter.toml", "wren.toml"] {
        let design = demo::loaded(name, &[]).in_room();
        let run = Run::of(&design, 11).unwrap();
        let (count, mut off) = (24, 0);
        for number in 1..=count {
            let copy: CopyResult = run.copy(number).outcome.unwrap();
            let built = run.built(number).unwrap();
            let cold = Solver::new(&built).wanted(Wanted::LEAST).solve().unwrap();
            assert_eq!(copy.stops.is_none(), matches!(cold.verdict, Verdict::KeepsGoing(_)), "{name}, copy {number}");
            let (least, cold_least) = (copy.least_drive.unwrap().value(), cold.least.unwrap().bare.value());
            let difference = (least / cold_least - 1.0).abs();
            assert!(difference < LEAST_OFF, "{name}, copy {number}: {least} against {cold_least}");
            off += usize::from(difference > LEAST_OFF / 3.0);
            let (Some(swing), Ok(steady)) = (copy.swing, cold.steady) else { continue };
            assert!((swing.semi_arc_rad / steady.measured.semi_arc_rad() - 1.0).abs() < 1e-8, "{name}, copy {number}");
            assert!((swing.period_s / steady.measured.period_s - 1.0).abs() < 1e-11, "{name}, copy {number}");
        }
        assert!((off as f64) < FEW * f64::from(count), "{name}: {off} of {count}");
    }
}
