//! Words for quantities, counts and numbers.

use beatwright::report::words::numbers::counted;
use beatwright::report::words::quantities::{paths_in_words, quantity_in_words};
use beatwright::report::words::spans::span_in_words;

#[test]
fn quantities_are_named_by_what_they_belong_to() {
    for (path, words) in [
        ("escapement.dead_beat.lock", "lock of the pallets"),
        ("escapement.recoil_anchor.tooth.tip_width", "tip width of the escape teeth"),
        ("train.arbor.centre.pinion_teeth", "pinion teeth of the centre arbor"),
        ("train.arbor.third.pivot.friction", "pivot friction of the third arbor"),
        ("pendulum.part.crutch and pallets.mass", "mass of the crutch and pallets"),
        ("pendulum.nut.pitch", "pitch of the rating nut"),
        ("printer.bead_radius", "bead radius of the printer"),
        ("scale.pendulum", "scale of the pendulum"),
        ("escapement.dead_beat.spaces", "tooth spaces embraced by the pallets"),
        ("drive.weight", "driving weight"),
        ("margin", "arc margin"),
        ("pendulum.suspension.drag", "drag of the suspension"),
        ("train.arbor.escape.pivot.drag", "pivot drag of the escape arbor"),
        ("printer.centre_distance_error", "error of the centre distances"),
        ("unheard_of", "unheard of"),
    ] {
        assert_eq!(quantity_in_words(path), words);
    }
}

#[test]
fn paths_within_a_text_are_told_in_words() {
    assert_eq!(
        paths_in_words("`escapement.dead_beat.lock` cannot be \"-1 deg\", nor `drive.falls` 0"),
        "lock of the pallets cannot be \"-1 deg\", nor falls of the cord 0"
    );
}

#[test]
fn spans_are_told_as_one_says_them() {
    for (days, words) in [
        (365.25, "a year"),
        (365.0, "a year"),
        (3652.5, "10 years"),
        (21.0, "3 weeks"),
        (20.96, "3 weeks"),
        (7.0, "a week"),
        (1.0, "a day"),
        (0.5, "12 hours"),
        (12.5, "12.5 days"),
        (100.0, "100 days"),
        (363.0, "363 days"),
    ] {
        assert_eq!(span_in_words(days), words, "{days}");
    }
}

#[test]
fn counts_agree_with_their_nouns() {
    assert_eq!([0, 1, 2].map(|count| counted(count, "file", "files")), ["0 files", "1 file", "2 files"]);
}

// A name that a spreadsheet would have run as a formula.
#[test]
fn regress_a_text_cell_of_a_csv_file_is_no_formula() {
    for (cell, written) in [
        ("=1+1", "'=1+1"),
        ("-3.1", "-3.1"),
        ("-x", "'-x"),
        ("@SUM", "'@SUM"),
        ("+2", "+2"),
        ("\tx", "'\tx"),
        ("wing", "wing"),
    ] {
        assert_eq!(beatwright::report::csv_table::shown_only(cell), written);
    }
}
