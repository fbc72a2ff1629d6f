//! The clock in other materials.

use crate::clock::design::{
    Design, DriveDesign, FrameMaterial, Friction, Grain, MadeOf, MaterialRef, Moisture, PendulumDesign,
};
use crate::clock::materials::{FRICTION_PAIRS, FrictionPair, friction_pair_named};

/// Name of the pendulum's part that weighs what the pallets weigh.
const PALLETS: &str = "pallets";

/// New materials of groups of parts; `None` leaves a group as it is.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Port {
    /// Wheels of the train.
    pub wheels: Option<MaterialRef>,
    /// Pinions.
    pub pinions: Option<MaterialRef>,
    /// Escape wheel.
    pub escape_wheel: Option<MaterialRef>,
    /// Pallets.
    pub pallets: Option<MaterialRef>,
    /// Drum.
    pub drum: Option<MaterialRef>,
    /// Frame.
    pub frame: Option<MaterialRef>,
    /// Rod of the pendulum.
    pub pendulum_rod: Option<MaterialRef>,
    /// What is on the surfaces, as pairs of materials are called: "waxed", "oiled"; `None`: nothing.
    pub surface: Option<String>,
    /// Whether the friction of the train's teeth goes by the new pair of materials.
    pub tooth_friction: bool,
    /// Whether the friction on the pallets does.
    pub pallet_friction: bool,
}

/// Why a clock cannot be ported.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum PortError {
    /// Masses go with the density, and the old one is not known.
    #[error("the material of {part} is not known, so neither is its mass in another material")]
    Unknown {
        /// The part.
        part: String,
        /// Key of the port that asks for it.
        key: &'static str,
    },
}

/// The design in other materials.
///
/// Stated masses and inertias of an arbor go with the density of its wheel, those of the pendulum's part called "pallets" and the
/// mass on the pallets' own pivots with that of the pallets. A rod's mass follows from its material; drum and frame have none.
/// Friction is that of the pair of materials where the table has it (any wood counts as wood), and stays where it has none.
///
/// # Errors
/// [`PortError`].
pub fn ported(design: &Design, port: &Port) -> Result<Design, PortError> {
    let mut ported = design.clone();
    port_train(&mut ported, port)?;
    port_escape_wheel(&mut ported, port)?;
    port_pallets(&mut ported, port)?;
    if let (Some(material), Some(DriveDesign::Weight(drive))) = (&port.drum, &mut ported.drive) {
        drive.drum = Some(material.clone());
    }
    if let Some(material) = &port.frame {
        let grain = ported.frame.as_ref().map_or(Grain::default(), |frame| frame.grain);
        ported.frame = Some(FrameMaterial { material: material.clone(), grain });
    }
    if let (Some(material), PendulumDesign::Parts(parts)) = (&port.pendulum_rod, &mut ported.pendulum) {
        parts.rod.material = material.clone();
    }
    port_friction(&mut ported, port);
    Ok(ported)
}

/// The part in its new material, and the ratio of the new density to the old.
fn remade(old: Option<&MadeOf>, new: &MaterialRef, part: &str, key: &'static str) -> Result<(MadeOf, f64), PortError> {
    let old = old.ok_or_else(|| PortError::Unknown { part: part.to_owned(), key })?;
    Ok((MadeOf { material: new.clone(), cut: old.cut }, new.density_kg_m3 / old.material.density_kg_m3))
}

fn port_train(design: &mut Design, port: &Port) -> Result<(), PortError> {
    let Some(train) = &mut design.train else { return Ok(()) };
    for arbor in &mut train.arbors {
        // The wheel of the last arbor is the escape wheel.
        if let (Some(new), Some(_)) = (&port.wheels, arbor.wheel_teeth) {
            let (wheel, ratio) = remade(arbor.wheel.as_ref(), new, &format!("the {} wheel", arbor.name), "wheels")?;
            arbor.wheel = Some(wheel);
            arbor.mass_kg *= ratio;
            arbor.inertia_kg_m2 *= ratio;
        }
        if let (Some(new), Some(_)) = (&port.pinions, arbor.pinion_teeth) {
            let cut = arbor.pinion.as_ref().map_or_else(Default::default, |old| old.cut);
            arbor.pinion = Some(MadeOf { material: new.clone(), cut });
        }
    }
    Ok(())
}

fn port_escape_wheel(design: &mut Design, port: &Port) -> Result<(), PortError> {
    let Some(new) = &port.escape_wheel else { return Ok(()) };
    let last = design.train.as_mut().and_then(|train| train.arbors.last_mut());
    let body = design.escape_wheel.as_mut();
    let of_body = body.as_ref().map(|body| MadeOf { material: body.material.clone(), cut: body.cut });
    let of_arbor = last.as_ref().and_then(|arbor| arbor.wheel.clone());
    if last.is_none() && body.is_none() {
        return Ok(());
    }
    let (made, ratio) = remade(of_body.or(of_arbor).as_ref(), new, "the escape wheel", "escape_wheel")?;
    if let Some(body) = body {
        body.material = new.clone();
    }
    if let Some(arbor) = last {
        arbor.wheel = Some(made);
        arbor.mass_kg *= ratio;
        arbor.inertia_kg_m2 *= ratio;
    }
    Ok(())
}

fn port_pallets(design: &mut Design, port: &Port) -> Result<(), PortError> {
    let Some(new) = &port.pallets else { return Ok(()) };
    let cut = design.pallets.as_ref().map_or_else(Default::default, |old| old.cut);
    if let PendulumDesign::Parts(parts) = &mut design.pendulum {
        let named = parts.extras.iter().any(|extra| extra.name == PALLETS);
        if named || parts.pallet_mass_kg > 0.0 {
            let (_, ratio) = remade(design.pallets.as_ref(), new, "the pair of pallets", "pallets")?;
            parts.pallet_mass_kg *= ratio;
            for extra in parts.extras.iter_mut().filter(|extra| extra.name == PALLETS) {
                extra.mass_kg *= ratio;
                extra.inertia_kg_m2 *= ratio;
            }
        }
    }
    design.pallets = Some(MadeOf { material: new.clone(), cut });
    Ok(())
}

fn port_friction(design: &mut Design, port: &Port) {
    let surface = port.surface.as_deref();
    if let (true, Some(train)) = (port.tooth_friction, &mut design.train) {
        let wheel = train.arbors.iter().find_map(|arbor| arbor.wheel.as_ref().filter(|_| arbor.wheel_teeth.is_some()));
        let pinion =
            train.arbors.iter().find_map(|arbor| arbor.pinion.as_ref().filter(|_| arbor.pinion_teeth.is_some()));
        if let Some(friction) =
            wheel.zip(pinion).and_then(|(wheel, pinion)| pair_friction(&wheel.material, &pinion.material, surface))
        {
            train.tooth_friction = friction;
        }
    }
    let wheel = design.escape_wheel.as_ref().map(|body| &body.material);
    let pallets = design.pallets.as_ref().map(|made| &made.material);
    let Some(friction) = wheel.zip(pallets).and_then(|(wheel, pallets)| pair_friction(wheel, pallets, surface)) else {
        return;
    };
    if let (true, Some(own)) = (port.pallet_friction, design.escapement.friction_mut()) {
        *own = friction;
    }
}

/// Friction of two materials on one another, with something on them or dry; `None` where the table has no such pair.
#[must_use]
pub fn pair_friction(one: &MaterialRef, other: &MaterialRef, surface: Option<&str>) -> Option<Friction> {
    let endings =
        surface.map_or_else(|| vec![String::new(), ", dry".to_owned()], |surface| vec![format!(", {surface}")]);
    let ways = ways_to_name(one, other);
    let mut names = ways.iter().flat_map(|way| endings.iter().map(move |ending| format!("{way}{ending}")));
    names.find_map(|name| friction_pair_named(&name)).map(FrictionPair::friction)
}

/// All pairs of the table that two materials make, whatever is on them.
pub(in crate::clock) fn pairs_of(one: &MaterialRef, other: &MaterialRef) -> Vec<&'static FrictionPair> {
    let ways = ways_to_name(one, other);
    let bare = |name: &'static str| name.split_once(", ").map_or(name, |(materials, _)| materials);
    FRICTION_PAIRS.iter().filter(|pair| ways.iter().any(|way| way == bare(pair.name))).collect()
}

/// The ways in which a pair of materials may be called; any wood is wood.
fn ways_to_name(one: &MaterialRef, other: &MaterialRef) -> [String; 4] {
    let name = |material: &MaterialRef| match material.moisture {
        Moisture::Wood(_) => "wood".to_owned(),
        _ => material.name.clone(),
    };
    let (one, other) = (name(one), name(other));
    [format!("{one} on {other}"), format!("{one} in {other}"), format!("{other} on {one}"), format!("{other} in {one}")]
}
