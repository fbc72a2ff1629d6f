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
        "Swing and rate against the weight, from the least that keeps it going; today's weight is marked.",
    ),
    (
        "swing-and-rate-over-twelve-hours",
        "Swing and rate while the hands go round: least when they are lifted, and the clock then nearest to stopping; the \
            dashed rate is the mean.",
    ),
    (
        "wall-and-hanging-weight",
        "What the wall does to rate and loss while the weight sinks: at the dot it swings with the pendulum and takes the most from it; the \
            dashed rate is that with no weight on the cord.",
    ),
    (
        "swing-over-the-years",
        "What is left of the swing as dirt, wear and thick oil grow, at usual rates that are known badly: clean and oil it before it comes \
            down to the dashed line.",
    ),
    (
        "amplitude-from-starts",
        "What becomes of several starting swings: where the lines meet is the swing to which it settles.",
    ),
    ("energy-flow", "The weight's energy of one beat on its way to the pendulum, and what is lost where."),
    ("phase-portrait", "Speed against angle through a period."),
    ("trade", "Run time against weight for other drums and falls of the cord, at the margin asked for."),
    ("map", "What becomes of the clock for every weight and starting swing: keep well away from the bold line."),
    ("map-semi_arc_deg", "The swing to which it settles."),
    ("map-rate_s_per_day", "Its rate: close lines mean that the rate depends strongly on the weight."),
    ("map-weight_ratio", "Weight over the least weight: below 1 it stops."),
    (
        "tooth-tips",
        "How far the printed tip falls short of the drawn one: the tooth reaches that much less into the pallets.",
    ),
    (
        "contact-curves",
        "Where tooth and pallet touch: a ring on the level part is a tooth that lands on the lock, as it should; one on the slope \
         has missed it.",
    ),
    (
        "least-weight-against-bead-radius",
        "How the least weight depends on the radius of the bead: where the line is steep, keep to the planned bead; \
            at a cross the bead no longer works.",
    ),
    (
        "spread-least-weight",
        "How many copies a weight keeps going: with the weight at the dot nearly all go, whatever the printer does.",
    ),
    (
        "spread-rate",
        "The rates of the copies before they are regulated: what the rating nut has to take up from one copy to the \
            next.",
    ),
    (
        "spread-explained",
        "Which dimension makes the copies differ: measure the one with the longest bar first, the short ones hardly matter.",
    ),
    (
        "levers",
        "What one small change does to the weight reserve: the longest bars are worth the work; to the right is more \
            reserve.",
    ),
    (
        "room",
        "Rate over temperature and over humidity: a steep line calls for a steady room, or other materials for rod \
            and bob.",
    ),
    (
        "season",
        "A year on the wall: the rate as the room changes, the error if nobody touches it, and what is left once the \
            nut is set.",
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
