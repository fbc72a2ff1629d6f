//! What a builder should see in each picture: the one home of the captions.

use crate::report::figures::Figure;

/// Captions by the pictures' names.
const CAPTIONS: &[(&str, &str)] = &[
    (
        "action",
        "Where a tooth would stand at every angle of the pendulum, and the path that it takes through a period.",
    ),
    ("escapement", "Wheel and pallets at four moments: compare them with the finished clock, moved by hand."),
    ("torque-over-swing", "What the escapement does to the pendulum over a swing: pushes, and drags on the locks."),
    (
        "amplitude-and-rate-against-weight",
        "Swing and rate over the weight, from the least that keeps it going; today's weight is marked.",
    ),
    (
        "amplitude-from-starts",
        "What becomes of several first pushes: where the lines meet is the swing that it settles on.",
    ),
    ("energy-flow", "The weight's energy of one beat on its way to the pendulum, and what is lost where."),
    ("phase-portrait", "Speed against angle through a period."),
    ("trade", "Run on a winding against weight for other drums and falls, at the margin asked for."),
    ("map", "What becomes of the clock for every weight and first push: keep well away from the strong line."),
    ("map-semi_arc_deg", "The swing that it settles on."),
    ("map-rate_s_per_day", "Its rate: close lines mean a rate that minds the weight."),
    ("map-weight_ratio", "Weight over the least weight: below 1 it stops."),
    (
        "tooth-tips",
        "How far the printed tip falls short of the drawn one: by so much less a tooth reaches into the pallets.",
    ),
    (
        "contact-curves",
        "Where tooth and pallet touch: a ring on the level part is a tooth that lands on the lock, as it should; one on the slope \
         has missed it.",
    ),
    (
        "least-weight-against-bead-radius",
        "How the least weight moves with the nozzle's roundness: a steep line asks for the bead that was planned, a cross is a \
         bead that no longer works.",
    ),
    (
        "spread-least-weight",
        "How many copies a weight keeps going: with the weight at the dot nearly all go, whatever the printer did.",
    ),
    (
        "spread-rate",
        "The rates at which the copies start out: what the rating nut has to take up between one copy and the next.",
    ),
    (
        "spread-explained",
        "Which dimension makes the copies differ: measure the one with the longest bar first, the short ones hardly matter.",
    ),
    (
        "levers",
        "What one small change does to the reserve of weight: the longest bars are worth the work, right is more reserve.",
    ),
    (
        "room",
        "Rate over temperature and over humidity: a steep line wants a steady room, or another material for rod and bob.",
    ),
    (
        "season",
        "A year on the wall: the rate as the room changes, the error if nobody touches it, and what is left once the nut is set \
         right.",
    ),
];

/// What is to be seen in a picture; its title where the table has nothing to say.
pub(super) fn caption(figure: &Figure) -> &str {
    caption_of(figure.name).unwrap_or(&figure.title)
}

/// What is to be seen in the picture of that name.
pub(super) fn caption_of(name: &str) -> Option<&'static str> {
    CAPTIONS.iter().find(|(known, _)| *known == name).map(|(_, caption)| *caption)
}
