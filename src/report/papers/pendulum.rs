//! Sizes of the pendulum, downwards from its axis.

use crate::clock::design::{BobShape, PendulumDesign, RodSection, Seat, Suspension};

use super::PapersView;
use super::table::{CellKind, PaperCell, PaperTable};

/// What a value of the pendulum is: key, label, cell.
type PendulumLine = (String, String, PaperCell);

/// The pendulum's sizes.
pub(super) fn pendulum_table(view: &PapersView<'_>) -> Option<PaperTable> {
    let pivot_m = view.prediction.built.pendulum.as_ref().map(|pendulum| pendulum.pivot_depth_m);
    let (values, notes) = match &view.design.pendulum {
        PendulumDesign::Lumped(lumped) => (
            vec![
                line("mass", "mass", PaperCell::Number(lumped.mass_kg, 3, "kg")),
                line("centre_of_mass", "centre of mass, below the axis", PaperCell::Length(lumped.centre_of_mass_m, 2)),
                line(
                    "inertia",
                    "moment of inertia about the axis",
                    PaperCell::Number(lumped.inertia_kg_m2, 5, "kg m^2"),
                ),
            ],
            vec!["The pendulum is given by bare numbers: rod and bob are not stated.".to_owned()],
        ),
        PendulumDesign::Parts(parts) => {
            let mut values = suspension(&parts.suspension);
            values.extend([
                line("rod_top", "upper end of the rod, below the axis", PaperCell::Length(parts.rod.top_m, 2)),
                line("rod_length", "rod length", PaperCell::Length(parts.rod.length_m, 2)),
                line(
                    "rod_end",
                    "lower end of the rod, below the axis",
                    PaperCell::Length(parts.rod.top_m + parts.rod.length_m, 2),
                ),
                line("rod_section", "section of the rod", PaperCell::Text(section_name(&parts.rod.section).to_owned())),
            ]);
            values.extend(rod_sizes(&parts.rod.section));
            for (index, column) in parts.columns.iter().enumerate() {
                let way = if column.up { "up" } else { "down" };
                let label = format!("length of column {} ({way})", column.name);
                values.push((format!("column_{}_length", index + 1), label, PaperCell::length(column.length_m, 2)));
            }
            values.push(line(
                "bob_centre",
                "centre of the bob, below the axis",
                PaperCell::Length(parts.bob.centre_m, 2),
            ));
            if let Some(pivot_m) = pivot_m.filter(|pivot_m| *pivot_m > 0.0) {
                values.push(line(
                    "bob_centre_below_pivot",
                    "centre of the bob, below the bend of the spring",
                    PaperCell::Length(parts.bob.centre_m - pivot_m, 2),
                ));
            }
            values.extend(bob_sizes(&parts.bob.shape));
            let lower_edge_m = parts.bob.centre_m + 0.5 * bob_height_m(&parts.bob.shape);
            values.push(line(
                "bob_lower_edge",
                "lower edge of the bob, below the axis",
                PaperCell::Length(lower_edge_m, 2),
            ));
            values.push(line("bob_seat", "bob is held", PaperCell::Text(seat_name(parts.bob.seat).to_owned())));
            match &parts.nut {
                Some(nut) => values.extend([
                    line("nut", "rating nut, below the axis", PaperCell::Length(nut.place_m, 2)),
                    line("nut_pitch", "its pitch, a turn", PaperCell::Length(nut.pitch_m, 3)),
                    line(
                        "nut_rate",
                        "one turn up gains",
                        PaperCell::number(view.results.nut_s_per_day_per_turn, 1, "s/day"),
                    ),
                ]),
                None => values.push(line("nut", "rating nut", PaperCell::NotStated(CellKind::Length))),
            }
            for (index, extra) in parts.extras.iter().enumerate() {
                let label = format!("{}, centre of mass below the axis", extra.name);
                values.push((format!("part_{}_centre", index + 1), label, PaperCell::Length(extra.place_m, 2)));
            }
            values.push(line(
                "crutch_length",
                "crutch, from the pallet arbor to the rod",
                PaperCell::length(parts.crutch_m, 2),
            ));
            (
                values,
                vec![
                    "Depths are downwards from the pendulum's axis, at the size in which the parts are made."
                        .to_owned(),
                ],
            )
        }
    };
    Some(PaperTable::list("pendulum", "Pendulum", values, notes))
}

fn line(key: &str, label: &str, cell: PaperCell) -> PendulumLine {
    (key.to_owned(), label.to_owned(), cell)
}

fn suspension(suspension: &Suspension) -> Vec<PendulumLine> {
    let kind = |name: &str| line("suspension", "suspension", PaperCell::Text(name.to_owned()));
    match suspension {
        Suspension::KnifeEdge { edge_radius_m, .. } => vec![
            kind("knife edge; the axis is its line"),
            line("edge_radius", "radius of the edge", PaperCell::Length(*edge_radius_m, 3)),
        ],
        Suspension::BallBearing { bore_m, .. } => vec![
            kind("ball bearing; the axis is its middle"),
            line("suspension_bore", "its bore", PaperCell::Length(*bore_m, 2)),
        ],
        Suspension::StripSpring { width_m, thickness_m, length_m, .. } => vec![
            kind("strip spring; the axis is the lower edge of the upper clamp"),
            line("spring_width", "width of the spring, both strips together", PaperCell::Length(*width_m, 2)),
            line("spring_thickness", "thickness of the spring", PaperCell::Length(*thickness_m, 3)),
            line("spring_length", "free length of the spring", PaperCell::Length(*length_m, 2)),
        ],
        Suspension::Cord { diameter_m, .. } => vec![
            kind("cord; the axis is its upper end"),
            line("suspension_cord", "its diameter", PaperCell::Length(*diameter_m, 2)),
        ],
    }
}

const fn section_name(section: &RodSection) -> &'static str {
    match section {
        RodSection::Round { .. } => "round",
        RodSection::Tube { .. } => "tube",
        RodSection::Flat { .. } => "flat strip",
    }
}

fn rod_sizes(section: &RodSection) -> Vec<PendulumLine> {
    match *section {
        RodSection::Round { diameter_m } => {
            vec![line("rod_diameter", "rod diameter", PaperCell::Length(diameter_m, 2))]
        }
        RodSection::Tube { outer_m, inner_m } => vec![
            line("rod_outer_diameter", "outer diameter of the rod", PaperCell::Length(outer_m, 2)),
            line("rod_inner_diameter", "inner diameter of the rod", PaperCell::Length(inner_m, 2)),
        ],
        RodSection::Flat { depth_m, width_m } => vec![
            line("rod_width", "width of the rod, along the swing", PaperCell::Length(width_m, 2)),
            line("rod_depth", "depth of the rod, front to back", PaperCell::Length(depth_m, 2)),
        ],
    }
}

fn bob_sizes(shape: &BobShape) -> Vec<PendulumLine> {
    let diameter = |diameter_m| line("bob_diameter", "diameter of the bob", PaperCell::Length(diameter_m, 2));
    let shape_line = |name: &str| line("bob_shape", "shape of the bob", PaperCell::Text(name.to_owned()));
    match *shape {
        BobShape::Disc { diameter_m, thickness_m } => vec![
            shape_line("disc"),
            diameter(diameter_m),
            line("bob_thickness", "thickness of the bob", PaperCell::Length(thickness_m, 2)),
        ],
        BobShape::Lens { diameter_m, thickness_m } => vec![
            shape_line("lens"),
            diameter(diameter_m),
            line("bob_thickness", "thickness of the bob in the middle", PaperCell::Length(thickness_m, 2)),
        ],
        BobShape::Cylinder { diameter_m, height_m } => vec![
            shape_line("upright cylinder"),
            diameter(diameter_m),
            line("bob_height", "height of the bob", PaperCell::Length(height_m, 2)),
        ],
        BobShape::Sphere { diameter_m } => vec![shape_line("sphere"), diameter(diameter_m)],
    }
}

const fn bob_height_m(shape: &BobShape) -> f64 {
    match *shape {
        BobShape::Disc { diameter_m, .. } | BobShape::Lens { diameter_m, .. } | BobShape::Sphere { diameter_m } => {
            diameter_m
        }
        BobShape::Cylinder { height_m, .. } => height_m,
    }
}

const fn seat_name(seat: Seat) -> &'static str {
    match seat {
        Seat::Bottom => "at its lower edge, as on a nut",
        Seat::Middle => "at its middle",
        Seat::Top => "at its upper edge",
    }
}
