//! Materials and friction pairs under their keys.

use serde::Serialize;

use crate::clock::materials::{
    BEARINGS, CORDS, FRICTION_PAIRS, FrictionPair, Known, Material, NamedBearing, NamedCord, materials,
};

use super::rows::{SHOWN_BORES_MM, rows, status_key};

/// A value under its key.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
struct KnownRecord {
    value: f64,
    spread: f64,
    status: &'static str,
    source: &'static str,
}

impl From<&Known> for KnownRecord {
    fn from(known: &Known) -> Self {
        let (status, source) = (status_key(known.source.status), known.source.text);
        Self { value: known.value, spread: known.spread, status, source }
    }
}

/// A material under its keys, in the units of the table.
#[derive(Debug, Clone, Serialize)]
pub struct MaterialRecord {
    name: &'static str,
    note: &'static str,
    values: Vec<ValueRecord>,
}

#[derive(Debug, Clone, Serialize)]
struct ValueRecord {
    quantity: String,
    unit: &'static str,
    #[serde(flatten)]
    known: KnownRecord,
}

impl MaterialRecord {
    /// The keys of a material, in the units of the table.
    #[must_use]
    pub fn of(material: &Material) -> Self {
        let values = rows(material).into_iter().flat_map(|row| {
            row.values.into_iter().map(move |(grain, known)| {
                let quantity = format!("{} {grain}", row.name).trim_end().to_owned();
                ValueRecord { quantity, unit: row.unit, known: KnownRecord::from(&known.times(row.factor)) }
            })
        });
        Self { name: material.name, note: material.note, values: values.collect() }
    }
}

#[derive(Debug, Clone, Serialize)]
struct PairRecord {
    name: &'static str,
    #[serde(flatten)]
    sliding: KnownRecord,
}

/// A ball bearing under its keys.
#[derive(Debug, Clone, Serialize)]
struct BearingRecord {
    name: &'static str,
    rolling: KnownRecord,
    /// Bores and drags that no load changes.
    drag: Vec<BoreRecord>,
    drag_source: &'static str,
    breakaway_over_running: KnownRecord,
}

#[derive(Debug, Clone, Copy, Serialize)]
struct BoreRecord {
    bore_mm: f64,
    drag_n_m: f64,
    spread_n_m: f64,
}

impl BearingRecord {
    fn of(bearing: &NamedBearing) -> Self {
        let at = |bore_mm: f64| {
            let drag = bearing.drag_n_m(1e-3 * bore_mm, 1);
            BoreRecord { bore_mm, drag_n_m: drag.value, spread_n_m: drag.spread }
        };
        Self {
            name: bearing.name,
            rolling: KnownRecord::from(&bearing.rolling),
            drag: SHOWN_BORES_MM.map(at).to_vec(),
            drag_source: bearing.drag.source.text,
            breakaway_over_running: KnownRecord::from(&bearing.breakaway),
        }
    }
}

/// A cord under its keys.
#[derive(Debug, Clone, Serialize)]
struct CordKindRecord {
    name: &'static str,
    stiffness: KnownRecord,
    density_kg_m3: KnownRecord,
    least_drum_over_diameter: KnownRecord,
}

impl CordKindRecord {
    fn of(cord: &NamedCord) -> Self {
        Self {
            name: cord.name,
            stiffness: KnownRecord::from(&cord.stiffness),
            density_kg_m3: KnownRecord::from(&cord.density_kg_m3),
            least_drum_over_diameter: KnownRecord::from(&cord.least_bend),
        }
    }
}

/// All materials, friction pairs, bearings and cords.
#[derive(Debug, Clone, Default, Serialize)]
pub struct MaterialsRecord {
    materials: Vec<MaterialRecord>,
    friction_pairs: Vec<PairRecord>,
    ball_bearings: Vec<BearingRecord>,
    cords: Vec<CordKindRecord>,
}

/// All materials, or one, with the friction pairs and bearings.
#[must_use]
pub fn record(only: Option<&Material>) -> MaterialsRecord {
    let wanted = materials().filter(|material| only.is_none_or(|only| only.name == material.name));
    MaterialsRecord {
        materials: wanted.map(MaterialRecord::of).collect(),
        friction_pairs: FRICTION_PAIRS
            .iter()
            .map(|pair| PairRecord { name: pair.name, sliding: KnownRecord::from(&pair.sliding) })
            .collect(),
        ball_bearings: BEARINGS.iter().map(BearingRecord::of).collect(),
        cords: CORDS.iter().map(CordKindRecord::of).collect(),
    }
}

/// One friction pair.
#[must_use]
pub fn pair(pair: &FrictionPair) -> MaterialsRecord {
    let record = PairRecord { name: pair.name, sliding: KnownRecord::from(&pair.sliding) };
    MaterialsRecord { friction_pairs: vec![record], ..MaterialsRecord::default() }
}

/// One ball bearing.
#[must_use]
pub fn bearing(bearing: &NamedBearing) -> MaterialsRecord {
    MaterialsRecord { ball_bearings: vec![BearingRecord::of(bearing)], ..MaterialsRecord::default() }
}

/// One cord.
#[must_use]
pub fn cord(cord: &NamedCord) -> MaterialsRecord {
    MaterialsRecord { cords: vec![CordKindRecord::of(cord)], ..MaterialsRecord::default() }
}
