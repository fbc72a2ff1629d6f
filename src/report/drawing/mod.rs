//! Drawings of outlines for other programs: DXF and SVG, at full size.

mod dxf;
mod labelled;
mod layers;
mod svg;

pub use dxf::{dxf_of, dxf_text};
pub use labelled::{DrawnLabel, LabelledDrawing};
pub use layers::escapement_layers;
pub use svg::{svg_of, svg_text};

/// Layer names of a drawing in order of appearance.
fn names<'a>(drawn: &[(&'a str, &crate::geometry::Outline)]) -> Vec<&'a str> {
    let mut names = Vec::new();
    for &(name, _) in drawn {
        if !names.contains(&name) {
            names.push(name);
        }
    }
    names
}

const MM_PER_M: f64 = 1e3;
