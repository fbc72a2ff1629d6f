//! The parts list: every part that the scenario knows, and what it does not say of each.

use std::f64::consts::FRAC_PI_4;

use crate::clock::design::{Arbor, Hand, MadeOf, MaterialRef, PendulumDesign, Pivot, PivotKind};
use crate::clock::escapement::escape_wheel;
use crate::clock::materials::{is_metal, is_printed, is_wood};
use crate::report::words::numbers::{counted, number};

use super::PapersView;
use super::anchor::anchor_mass;
use super::pendulum_parts::pendulum_parts;
use super::table::{CellKind, PaperCell, PaperTable};
use super::units::PaperUnits;

/// One line of the list.
pub(super) struct Listed {
    name: String,
    /// How many; `None` where the scenario does not say.
    count: Option<u32>,
    material: Option<MaterialRef>,
    /// What stands for the material where that is no single one.
    pub(super) material_words: Option<String>,
    /// How it is made where its material does not tell.
    pub(super) made_words: Option<&'static str>,
    mass: PaperCell,
    /// What it is, and how large.
    sizes: Vec<String>,
    missing: Vec<&'static str>,
}

impl Listed {
    pub(super) fn new(name: impl Into<String>, count: u32) -> Self {
        Self {
            name: name.into(),
            count: Some(count),
            material: None,
            material_words: None,
            made_words: None,
            mass: PaperCell::NotStated(CellKind::Number("g")),
            sizes: Vec::new(),
            missing: Vec::new(),
        }
    }

    /// Of this material; missing where there is none.
    pub(super) fn of(mut self, material: Option<&MaterialRef>) -> Self {
        self.material = material.cloned();
        if material.is_none() {
            self.missing.push("material");
        }
        self
    }

    pub(super) fn weighing(mut self, mass_kg: Option<f64>) -> Self {
        if let Some(mass_kg) = mass_kg {
            self.mass = PaperCell::Number(1e3 * mass_kg, 1, "g");
        }
        self
    }

    pub(super) fn sized(mut self, size: String) -> Self {
        self.sizes.push(size);
        self
    }

    /// A size where it is stated, else its name among what is missing.
    pub(super) fn sized_if(self, size: Option<String>, missing: &'static str) -> Self {
        match size {
            Some(size) => self.sized(size),
            None => self.without(missing),
        }
    }

    /// A size that follows from others, where it does.
    pub(super) fn sized_if_known(self, size: Option<String>) -> Self {
        match size {
            Some(size) => self.sized(size),
            None => self,
        }
    }

    pub(super) fn without(mut self, missing: &'static str) -> Self {
        self.missing.push(missing);
        self
    }

    fn cells(self) -> Vec<PaperCell> {
        let name = self.material.as_ref().map(|material| material.name.clone());
        let made = self.made_words.or_else(|| self.material.as_ref().and_then(making)).map(str::to_owned);
        let list = |items: &[String]| {
            if items.is_empty() { PaperCell::Nothing(CellKind::Words) } else { PaperCell::Text(items.join(", ")) }
        };
        let missing: Vec<String> = self.missing.iter().map(|&name| name.to_owned()).collect();
        vec![
            PaperCell::Text(self.name),
            self.count.map_or(PaperCell::NotStated(CellKind::Number("")), PaperCell::Count),
            PaperCell::text(self.material_words.or(name).as_deref()),
            made.map_or(PaperCell::NotStated(CellKind::Words), PaperCell::Text),
            self.mass,
            list(&self.sizes),
            list(&missing),
        ]
    }
}

/// How a part of a material is usually made; `None` where the material does not tell.
fn making(material: &MaterialRef) -> Option<&'static str> {
    if is_printed(material) {
        Some("printed")
    } else if is_wood(material) {
        Some("sawn or turned")
    } else if is_metal(material) {
        Some("cut, turned or bought")
    } else {
        None
    }
}

/// All parts.
pub(super) fn parts_table(view: &PapersView<'_>, units: PaperUnits) -> PaperTable {
    let mut parts = train_parts(view, units);
    parts.extend(escapement_parts(view, units));
    parts.extend(drive_parts(view, units));
    match &view.design.pendulum {
        PendulumDesign::Parts(pendulum) => parts.extend(pendulum_parts(view, pendulum, units)),
        PendulumDesign::Lumped(lumped) => parts.push(
            Listed::new("pendulum", 1)
                .of(None)
                .weighing(Some(lumped.mass_kg))
                .without("its parts: it is given by bare numbers"),
        ),
    }
    parts.extend(hand_parts(view, units));
    parts.extend(frame_parts(view, units));
    let columns = [
        ("part", "part"),
        ("count", "count"),
        ("material", "material"),
        ("made", "made"),
        ("mass", "mass"),
        ("sizes", "sizes"),
        ("not_stated", "not stated"),
    ];
    let notes = vec![
        "The mass of an arbor is that of all that turns with it; that of a wheel if solid is a disc of its pitch diameter, which windows make \
         lighter. How a part is made is what its material suggests. A swinging part may be listed under another name too, as pallets are. \
         Nothing here is guessed; screws, case and dial are left out."
            .to_owned(),
    ];
    PaperTable::rows("parts", "Parts", &columns, parts.into_iter().map(Listed::cells).collect(), notes)
}

fn material(made_of: &Option<MadeOf>) -> Option<&MaterialRef> {
    made_of.as_ref().map(|made_of| &made_of.material)
}

fn train_parts(view: &PapersView<'_>, units: PaperUnits) -> Vec<Listed> {
    let mut parts = Vec::new();
    let arbors = view.design.train.iter().flat_map(|train| train.arbors.iter().map(move |arbor| (train, arbor)));
    for (train, arbor) in arbors {
        let Arbor { name, sizes, pivot, .. } = arbor;
        let across = |what: &'static str| move |bore_m: f64| format!("{what} {}", units.length(bore_m, 2));
        parts.push(
            Listed::new(format!("{name} arbor"), 1)
                .of(train.arbor_material.as_ref())
                .weighing(Some(arbor.mass_kg))
                .sized_if(sizes.bore_m.map(across("diameter")), "diameter between the plates")
                .without("length"),
        );
        if let Some(teeth) = arbor.pinion_teeth {
            parts.push(
                Listed::new(format!("{name} pinion"), 1)
                    .of(material(&arbor.pinion))
                    .sized(counted(teeth as usize, "tooth", "teeth"))
                    .sized_if(sizes.bore_m.map(across("bore")), "bore")
                    .without("thickness"),
            );
        }
        if let Some(teeth) = arbor.wheel_teeth {
            parts.push(
                Listed::new(format!("{name} wheel"), 1)
                    .of(material(&arbor.wheel))
                    .sized(counted(teeth as usize, "tooth", "teeth"))
                    .sized_if(sizes.bore_m.map(across("bore")), "bore")
                    .sized_if(sizes.wheel_thickness_m.map(across("thickness")), "thickness")
                    .sized_if_known(solid_kg(arbor).map(|kg| format!("{} g if solid", number(1e3 * kg, 1)))),
            );
        }
        parts.push(bearing(format!("bearings of the {name} arbor"), 2, pivot, units));
    }
    parts
}

/// Mass of an arbor's wheel without windows: a disc of its pitch diameter with its bore, kg; `None` where a size is not stated.
fn solid_kg(arbor: &Arbor) -> Option<f64> {
    let diameter_m = arbor.module_m? * f64::from(arbor.wheel_teeth?);
    let area_m2 = FRAC_PI_4 * (diameter_m * diameter_m - arbor.sizes.bore_m?.powi(2));
    Some(area_m2 * arbor.sizes.wheel_thickness_m? * material(&arbor.wheel)?.density_kg_m3)
        .filter(|mass_kg| *mass_kg > 0.0)
}

/// Bearings of an arbor or a pulley.
pub(super) fn bearing(name: String, count: u32, pivot: &Pivot, units: PaperUnits) -> Listed {
    let size = units.length(pivot.diameter_m, 2);
    match pivot.kind {
        PivotKind::Ball => {
            let mut listed = Listed::new(name, count).sized(format!("bore {size}")).without("outer diameter and width");
            listed.material_words = Some(pivot.friction.named.unwrap_or("ball bearing").to_owned());
            listed.made_words = Some("bought");
            listed
        }
        PivotKind::Plain => {
            let mut listed = Listed::new(name, count).sized(format!("pivot {size}")).without("play of the hole");
            listed.material_words = Some("a hole in its plate".to_owned());
            listed.made_words = Some("drilled");
            listed
        }
    }
}

fn escapement_parts(view: &PapersView<'_>, units: PaperUnits) -> Vec<Listed> {
    let Some(drawn) = &view.prediction.built.drawn else { return Vec::new() };
    let design = view.design;
    let body = design.escape_wheel.as_ref();
    let mut wheel = Listed::new("escape wheel", 1)
        .of(body.map(|body| &body.material))
        .weighing(body.and_then(|body| escape_wheel(drawn, body).ok()).map(|wheel| wheel.mass_kg))
        .sized(counted(drawn.teeth as usize, "tooth", "teeth"));
    match body {
        Some(body) => {
            wheel = wheel
                .sized(format!("bore {}", units.length(body.bore_diameter_m, 2)))
                .sized(format!("thickness {}", units.length(body.thickness_m, 2)));
        }
        None => wheel = wheel.without("bore and thickness"),
    }
    let anchor = design.anchor;
    let thick = |length_m: f64| format!("thickness {}", units.length(length_m, 2));
    let body = view.papers.anchor.as_ref().and_then(|anchor| anchor.as_ref().ok());
    let pins = body.map_or(&[][..], |body| &body.pins);
    let name = if pins.is_empty() {
        "pallets, in one piece with hub and arms"
    } else {
        "plate of the pallets, with hub and arms"
    };
    let mut pallets = Listed::new(name, 1)
        .of(material(&design.pallets))
        .sized_if(anchor.bore_m.map(|bore_m| format!("bore {}", units.length(bore_m, 2))), "bore")
        .sized_if(anchor.thickness_m.map(thick), "thickness");
    if let Some(body) = body {
        pallets.mass = anchor_mass(view, body);
    }
    let mut parts = vec![wheel, pallets];
    if let [pin, ..] = pins {
        let diameter_m = (pin.vertices()[0].at - pin.vertices()[1].at).norm();
        let pins = Listed::new("pins of the pallets", pins.len() as u32).of(None);
        parts.push(pins.sized(format!("diameter {}", units.length(diameter_m, 2))).without("length"));
    }
    parts
}

fn drive_parts(view: &PapersView<'_>, units: PaperUnits) -> Vec<Listed> {
    let Some(drive) = view.design.weight_drive() else { return Vec::new() };
    let diameter = |length_m: f64| format!("diameter {}", units.length(length_m, 2));
    let holds = drive.drum_turns.map(|turns| format!("holds {} turns", number(turns, 1)));
    let mut cord =
        Listed::new("cord", 1).of(None).sized(format!("diameter {}", units.length(drive.cord_diameter_m, 2)));
    cord = cord.sized_if(
        drive.cord_breaking_strength_n.map(|strength_n| format!("breaks at {} N", number(strength_n, 0))),
        "breaking strength",
    );
    cord = cord.sized_if_known(drive.cord.name.map(str::to_owned));
    let mut parts = vec![
        Listed::new("drum", 1)
            .of(drive.drum.as_ref())
            .sized(diameter(drive.drum_diameter_m))
            .sized_if(holds, "turns that it holds")
            .without("ratchet and click"),
        cord,
        Listed::new("driving weight, its pulley included", 1).of(None).weighing(Some(drive.weight_kg)).without("shape"),
    ];
    if let Some(pulley) = &drive.pulley {
        let count = drive.falls.saturating_sub(1).max(1);
        parts.push(Listed::new("pulley", count).of(None).sized(diameter(pulley.diameter_m)));
        parts.push(bearing("bearing of the pulley".to_owned(), count, &pulley.pivot, units));
    }
    parts
}

fn hand_parts(view: &PapersView<'_>, units: PaperUnits) -> Vec<Listed> {
    let Some(train) = &view.design.train else { return Vec::new() };
    let hand = |name: &str, hand: &Hand| {
        let long = format!("length {}", units.length(hand.length_m, 1));
        Listed::new(name, 1).of(None).weighing(Some(hand.mass_kg)).sized(long)
    };
    let mut parts = Vec::new();
    if let Some(hands) = &train.hands {
        parts.push(hand("minute hand", &hands.minute));
        parts.extend(hands.hour.as_ref().map(|hour| hand("hour hand", hour)));
    } else if train.minute_arbor.is_some() {
        parts.push(Listed::new("hands", 1).of(None).without("all of them: they weigh nothing here"));
    }
    for (number, &(driver, driven)) in train.motion_work.iter().enumerate() {
        let teeth = format!("{driver} and {driven} teeth");
        let module_m = train.motion_work_modules_m.get(number);
        let module = module_m.map(|&module_m| format!("module {}", units.module(module_m)));
        let name = format!("motion work, pair {}", number + 1);
        parts.push(Listed::new(name, 2).of(None).sized(teeth).sized_if(module, "module"));
    }
    parts
}

fn frame_parts(view: &PapersView<'_>, units: PaperUnits) -> Vec<Listed> {
    let plates = &view.design.plates;
    let thick = plates.thickness_m.map(|thickness_m| format!("thickness {}", units.length(thickness_m, 2)));
    let frame = view.design.frame.as_ref().map(|frame| &frame.material);
    let mut parts =
        vec![Listed::new("plates, front and back", 2).of(frame).sized_if(thick, "thickness").without("outline")];
    match plates.pillars.as_slice() {
        [] => {
            let pillars = Listed { count: None, ..Listed::new("pillars", 0) };
            parts.push(pillars.of(None).without("number and places"));
        }
        pillars => {
            let sizes = pillars.iter().map(|pillar| units.length(pillar.diameter_m, 2));
            let mut sizes: Vec<String> = sizes.collect();
            sizes.dedup();
            let listed = Listed::new("pillars", pillars.len() as u32).of(None);
            let long =
                plates.distance_m.map(|distance_m| format!("{} between the plates", units.length(distance_m, 2)));
            parts.push(listed.sized(format!("diameter {}", sizes.join(", "))).sized_if(long, "length"));
        }
    }
    parts
}
