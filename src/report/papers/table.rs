//! A table of the papers, as values: text, CSV, HTML and JSON show the same one.

use crate::report::words::numbers::number;

use super::units::PaperUnits;

/// What a cell without a value says where the scenario could have given it.
pub const NOT_STATED: &str = "not stated";

/// What a cell holds, or would hold: it settles the unit in the keys of JSON and CSV, whether or not there is a value.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum CellKind {
    /// Words.
    Words,
    /// A length.
    Length,
    /// A module.
    Module,
    /// A number in a unit.
    Number(&'static str),
}

impl CellKind {
    /// The unit of values, lengths in mm.
    pub(super) const fn unit(self) -> &'static str {
        match self {
            Self::Words => "",
            Self::Length | Self::Module => "mm",
            Self::Number(unit) => unit,
        }
    }
}

/// One value.
#[derive(Debug, Clone, PartialEq)]
pub enum PaperCell {
    /// Words.
    Text(String),
    /// A length, m, with decimals of a millimetre.
    Length(f64, usize),
    /// A module, m.
    Module(f64),
    /// A number in a unit, with decimals.
    Number(f64, usize, &'static str),
    /// A whole number.
    Count(u32),
    /// What the scenario does not say.
    NotStated(CellKind),
    /// What has no meaning here.
    Nothing(CellKind),
}

impl PaperCell {
    /// A length, where it is stated.
    pub(super) fn length(length_m: Option<f64>, decimals: usize) -> Self {
        length_m.map_or(Self::NotStated(CellKind::Length), |length_m| Self::Length(length_m, decimals))
    }

    /// A number, where it has a value.
    pub(super) fn number(value: Option<f64>, decimals: usize, unit: &'static str) -> Self {
        value.map_or(Self::Nothing(CellKind::Number(unit)), |value| Self::Number(value, decimals, unit))
    }

    /// Words, where there are any.
    pub(super) fn text(text: Option<&str>) -> Self {
        text.map_or(Self::NotStated(CellKind::Words), |text| Self::Text(text.to_owned()))
    }

    /// The cell as it is read.
    #[must_use]
    pub fn shown(&self, units: PaperUnits) -> String {
        match self {
            Self::Text(text) => text.clone(),
            Self::Length(length_m, _) | Self::Module(length_m) if !length_m.is_finite() => "-".to_owned(),
            Self::Length(length_m, decimals) => units.length(*length_m, *decimals),
            Self::Module(module_m) => units.module(*module_m),
            Self::Number(value, ..) if !value.is_finite() => "-".to_owned(),
            Self::Number(value, decimals, unit) => {
                format!("{} {unit}", number(*value, *decimals)).trim_end().to_owned()
            }
            Self::Count(count) => count.to_string(),
            Self::NotStated(_) => NOT_STATED.to_owned(),
            Self::Nothing(_) => "-".to_owned(),
        }
    }

    /// What it holds, or would hold.
    pub(super) const fn kind(&self) -> CellKind {
        match *self {
            Self::Text(_) => CellKind::Words,
            Self::Length(..) => CellKind::Length,
            Self::Module(_) => CellKind::Module,
            Self::Number(_, _, unit) => CellKind::Number(unit),
            Self::Count(_) => CellKind::Number(""),
            Self::NotStated(kind) | Self::Nothing(kind) => kind,
        }
    }

    /// Its number, lengths in mm; `None` of words and of what has no value.
    pub(super) fn value(&self) -> Option<f64> {
        let value = match *self {
            Self::Length(length_m, _) | Self::Module(length_m) => 1e3 * length_m,
            Self::Number(value, ..) => value,
            Self::Count(count) => f64::from(count),
            Self::Text(_) | Self::NotStated(_) | Self::Nothing(_) => return None,
        };
        value.is_finite().then_some(value)
    }
}

/// What a column of a table holds: the kind of its first cell that is none of words.
pub(super) fn column_kind(rows: &[Vec<PaperCell>], column: usize) -> CellKind {
    let mut kinds = rows.iter().filter_map(|row| row.get(column)).map(PaperCell::kind);
    kinds.find(|kind| *kind != CellKind::Words).unwrap_or(CellKind::Words)
}

/// A column: its key in JSON and CSV, and its head.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct PaperColumn {
    /// Key, without unit.
    pub key: &'static str,
    /// Head.
    pub head: &'static str,
}

/// A value with a name of its own.
#[derive(Debug, Clone, PartialEq)]
pub struct ListedValue {
    /// Key, without unit.
    pub key: String,
    /// What it is.
    pub label: String,
    /// The value.
    pub cell: PaperCell,
}

/// What a table holds.
#[derive(Debug, Clone, PartialEq)]
pub enum PaperBody {
    /// Rows of the same columns.
    Rows {
        /// The columns.
        columns: Vec<PaperColumn>,
        /// A cell for each column in every row.
        rows: Vec<Vec<PaperCell>>,
    },
    /// One value a line.
    List(Vec<ListedValue>),
    /// Steps to be taken in order.
    Steps(Vec<String>),
}

/// A table of the papers.
#[derive(Debug, Clone, PartialEq)]
pub struct PaperTable {
    /// Name of its file, and its key in JSON with `_` for `-`.
    pub name: &'static str,
    /// Heading.
    pub title: &'static str,
    /// What it holds.
    pub body: PaperBody,
    /// What to know of it: sources, what is left out, what is not stated.
    pub notes: Vec<String>,
}

impl PaperTable {
    /// A table of rows.
    pub(super) fn rows(
        name: &'static str,
        title: &'static str,
        columns: &[(&'static str, &'static str)],
        rows: Vec<Vec<PaperCell>>,
        notes: Vec<String>,
    ) -> Self {
        let columns = columns.iter().map(|&(key, head)| PaperColumn { key, head }).collect();
        Self { name, title, body: PaperBody::Rows { columns, rows }, notes }
    }

    /// A list of values.
    pub(super) fn list(
        name: &'static str,
        title: &'static str,
        values: Vec<(impl Into<String>, String, PaperCell)>,
        notes: Vec<String>,
    ) -> Self {
        let listed = values.into_iter().map(|(key, label, cell)| ListedValue { key: key.into(), label, cell });
        Self { name, title, body: PaperBody::List(listed.collect()), notes }
    }

    /// Whether it holds anything.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        match &self.body {
            PaperBody::Rows { rows, .. } => rows.is_empty(),
            PaperBody::List(values) => values.is_empty(),
            PaperBody::Steps(steps) => steps.is_empty(),
        }
    }
}
