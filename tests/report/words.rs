//! Words for quantities, counts and numbers.

use beatwright::report::words::numbers::counted;
use beatwright::report::words::quantities::quantity_in_words;

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
        ("unheard_of", "unheard of"),
    ] {
        assert_eq!(quantity_in_words(path), words);
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
