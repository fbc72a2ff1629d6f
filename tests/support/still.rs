//! Clocks of which neither heat nor damp moves a part.

use beatwright::clock::design::{Design, DriveDesign};

/// Without a material train, escapement and frame keep their sizes.
pub fn still_works(design: &mut Design) {
    design.frame = None;
    design.pallets = None;
    for arbor in design.train.iter_mut().flat_map(|train| &mut train.arbors) {
        (arbor.wheel, arbor.pinion) = (None, None);
    }
    if let Some(body) = &mut design.escape_wheel {
        body.material = body.material.unmoved();
    }
    if let Some(DriveDesign::Weight(weight)) = &mut design.drive {
        weight.drum = None;
    }
}
