//! Which keys of a clock exclude one another where one scenario is laid over another.

use crate::scenario::toml::overlay::{Exclusion, FROM, LEAVE_OUT, OneOf, Overlaying};

use super::drive::WEIGHT_KEYS;
use super::escapement::{FORMS, IDEAL_FORMS};
use super::outline::PARTS;
use super::pendulum::PART_KEYS;

/// What gives way in the tables of a clock.
pub(in crate::scenario) const OVERLAYING: Overlaying = Overlaying {
    tables: &[
        FROM,
        LEAVE_OUT,
        "ageing",
        "bearings",
        "drive",
        "escapement",
        "frame",
        "made",
        "margin",
        "material",
        "motor",
        "oscillator",
        "page",
        "pendulum",
        "place",
        "port",
        "printer",
        "scale",
        "season",
        "start_arc",
        "supply",
        "town",
        "train",
    ],
    kind_keys: &["kind", "shape", "form"],
    one_of: &[OneOf { table: "escapement", keys: &FORMS }],
    exclusions: &[
        // An ideal escapement has no wheel whose body could stay.
        Exclusion { table: "escapement", given: &IDEAL_FORMS, excluded: &["wheel"] },
        Exclusion { table: "place", given: &["gravity"], excluded: &["latitude", "height"] },
        Exclusion { table: "place", given: &["latitude", "height"], excluded: &["gravity"] },
        Exclusion { table: "pendulum", given: &["lumped"], excluded: &PART_KEYS },
        Exclusion { table: "pendulum", given: &PART_KEYS, excluded: &["lumped"] },
        Exclusion { table: "drive", given: &["lumped"], excluded: &WEIGHT_KEYS },
        Exclusion { table: "drive", given: &WEIGHT_KEYS, excluded: &["lumped"] },
        Exclusion { table: "escapement.outline", given: &["drawing"], excluded: &PARTS },
        Exclusion { table: "escapement.outline", given: &PARTS, excluded: &["drawing"] },
        Exclusion { table: "escapement.ideal_kick", given: &["energy"], excluded: &["speed"] },
        Exclusion { table: "escapement.ideal_kick", given: &["speed"], excluded: &["energy"] },
    ],
};
