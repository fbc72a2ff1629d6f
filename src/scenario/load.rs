//! From a path, or a text, to a checked scenario.

use std::fs::File;
use std::io::Read;
use std::path::{Path, PathBuf};

use crate::clock::conditions::settled;
use crate::clock::design::{Conditions, Design, MotorClock};

use super::nearest::nearest;
use super::overrides::{apply, element_index, path_steps};
use super::problem::{Problem, Problems};
use super::read_design::read_design;
use super::read_motor_clock::{AnyDesign, read_any_design};
use super::reader::Reader;
use super::section::Section;
use super::source::{Sources, Span};
use super::syntax::parse_file;
use super::tree::{Node, Table, Value};

/// Largest scenario file that is read. The demo clocks have a thousandth of it.
pub const LARGEST_FILE_BYTES: u64 = 4 * 1024 * 1024;

/// A scenario that reads without a problem.
#[derive(Debug, Clone, PartialEq)]
pub struct Scenario<D = Design> {
    /// The clock in its room: parts as large as temperature and humidity of the place make them.
    pub design: D,
    /// The clock as it was made.
    pub made: D,
    /// The maker's note, if any.
    pub note: Option<String>,
    /// Name of the file as given.
    pub file_name: String,
    /// Text of the file, overrides not applied.
    pub source_text: String,
    /// The overrides, in order.
    pub overrides: Vec<String>,
    /// Fingerprint of text, overrides and files that it names, sixteen hexadecimal digits: tells whether two results are of the same input.
    pub hash: String,
    folder: Option<PathBuf>,
    sources: Sources,
    tree: Table,
}

/// A scenario of any clock.
#[derive(Debug, Clone, PartialEq)]
pub enum AnyScenario {
    /// With pendulum and escapement.
    Pendulum(Scenario),
    /// With a motor: `[motor]`.
    Motor(Scenario<MotorClock>),
}

/// Why there is no scenario.
#[derive(Debug, thiserror::Error)]
pub enum LoadError {
    /// The file cannot be opened or read.
    #[error("cannot read {}: {reason}", path.display())]
    Unreadable {
        /// The file.
        path: PathBuf,
        /// What the system says.
        reason: std::io::Error,
    },
    /// A directory instead of a file.
    #[error("{} is a directory; give the scenario file in it", path.display())]
    Directory {
        /// The path.
        path: PathBuf,
    },
    /// Too large.
    #[error("{} is larger than {} MB and is not read; a scenario has a few kB", path.display(), LARGEST_FILE_BYTES / 1024 / 1024)]
    TooLarge {
        /// The file.
        path: PathBuf,
    },
    /// Not text.
    #[error("{} is not a text file in UTF-8 (byte {at} of it is not); save it as UTF-8", path.display())]
    NotText {
        /// The file.
        path: PathBuf,
        /// First byte that is no UTF-8, from 1.
        at: usize,
    },
    /// Nothing in it.
    #[error("{name} is empty; `beatwright new FILE` writes a scenario to start from")]
    Empty {
        /// Name of the file.
        name: String,
    },
    /// Problems in its content or in an override.
    #[error("{}", .0.render(false))]
    Problems(Problems),
}

/// The scenario in the file `path`, of a clock with a pendulum, with `overrides` ("drive.weight=3 kg") applied in order.
///
/// # Errors
/// [`LoadError`]: unreadable, a directory, larger than [`LARGEST_FILE_BYTES`], not UTF-8, empty, or with problems, all of
/// which are told at once; a clock driven by a motor is one.
pub fn load(path: &Path, overrides: &[String]) -> Result<Scenario, LoadError> {
    read_in(Some(folder_of(path)), &path.display().to_string(), &read_text(path)?, overrides, read_design, in_its_room)
}

/// The scenario in the file `path`, of any clock, as [`load`].
///
/// # Errors
/// As [`load`], a motor being no problem.
pub fn load_any(path: &Path, overrides: &[String]) -> Result<AnyScenario, LoadError> {
    let name = path.display().to_string();
    read_in(Some(folder_of(path)), &name, &read_text(path)?, overrides, read_any_design, AnyDesign::clone)
        .map(AnyScenario::of)
}

fn folder_of(path: &Path) -> PathBuf {
    path.parent().unwrap_or(Path::new("")).to_owned()
}

fn read_text(path: &Path) -> Result<String, LoadError> {
    let unreadable = |reason| LoadError::Unreadable { path: path.to_owned(), reason };
    let about = std::fs::metadata(path).map_err(unreadable)?;
    if about.is_dir() {
        return Err(LoadError::Directory { path: path.to_owned() });
    }
    if about.len() > LARGEST_FILE_BYTES {
        return Err(LoadError::TooLarge { path: path.to_owned() });
    }
    let mut bytes = Vec::new();
    let file = File::open(path).map_err(unreadable)?;
    // A pipe or device tells no length: one byte beyond the limit is enough to know.
    file.take(LARGEST_FILE_BYTES + 1).read_to_end(&mut bytes).map_err(unreadable)?;
    if bytes.len() as u64 > LARGEST_FILE_BYTES {
        return Err(LoadError::TooLarge { path: path.to_owned() });
    }
    String::from_utf8(bytes)
        .map_err(|error| LoadError::NotText { path: path.to_owned(), at: error.utf8_error().valid_up_to() + 1 })
}

/// The scenario in `text`, called `file_name` in messages, with `overrides` applied in order. It cannot name other files,
/// for a text is in no folder.
///
/// # Errors
/// [`LoadError::Empty`] and [`LoadError::Problems`].
pub fn read(file_name: &str, text: &str, overrides: &[String]) -> Result<Scenario, LoadError> {
    read_in(None, file_name, text, overrides, read_design, in_its_room)
}

/// The scenario of any clock in `text`, as [`read`].
///
/// # Errors
/// [`LoadError::Empty`] and [`LoadError::Problems`].
pub fn read_any(file_name: &str, text: &str, overrides: &[String]) -> Result<AnyScenario, LoadError> {
    read_in(None, file_name, text, overrides, read_any_design, AnyDesign::clone).map(AnyScenario::of)
}

/// `read_root` fills the design, with the name of the file without its ending for a clock without a name.
fn read_in<D>(
    folder: Option<PathBuf>,
    file_name: &str,
    text: &str,
    overrides: &[String],
    read_root: impl FnOnce(Section<'_, '_>, &str) -> Option<(D, Option<String>)>,
    settle: impl FnOnce(&D) -> D,
) -> Result<Scenario<D>, LoadError> {
    // A byte order mark is no part of the text; kept, it would shift the columns of the first line.
    let text = text.strip_prefix('\u{feff}').unwrap_or(text);
    if text.trim().is_empty() {
        return Err(LoadError::Empty { name: file_name.to_owned() });
    }
    let mut sources = Sources::of_file(file_name.to_owned(), text);
    let (mut tree, syntax_problems) = parse_file(&sources);
    let reader = Reader::in_folder(folder.clone());
    for (index, setting) in overrides.iter().enumerate() {
        let id = sources.add(format!("--set {}", index + 1), setting);
        if let Err(problem) = apply(&mut tree, setting, id, &sources) {
            reader.add(*problem);
        }
    }
    let start = Span { source: Sources::FILE, start: 0, end: 0 };
    let stem =
        Path::new(file_name).file_stem().map_or_else(|| file_name.to_owned(), |stem| stem.to_string_lossy().into());
    let read = read_root(Section::new(&reader, &tree, String::new(), start), &stem);
    let named_files = reader.named_files();
    let (found, left_out) = reader.into_problems();
    let (list, left_out) = merge(&sources, syntax_problems, found, left_out);
    match read {
        Some((made, note)) if list.is_empty() => Ok(Scenario {
            design: settle(&made),
            made,
            note,
            file_name: file_name.to_owned(),
            source_text: text.to_owned(),
            overrides: overrides.to_vec(),
            hash: fingerprint(text, overrides, &named_files),
            folder,
            sources,
            tree,
        }),
        _ => Err(LoadError::Problems(Problems::new(sources, list, left_out))),
    }
}

/// Where the file is no TOML its tree has holes, so of what the reader found only that counts which stands on a line of
/// its own and is not about something missing.
fn merge(sources: &Sources, mut syntax: Vec<Problem>, found: Vec<Problem>, left_out: usize) -> (Vec<Problem>, usize) {
    if syntax.is_empty() {
        return (found, left_out);
    }
    let too_many = syntax.len().saturating_sub(super::MOST_PROBLEMS);
    syntax.truncate(super::MOST_PROBLEMS);
    let broken: Vec<usize> = syntax.iter().map(|problem| sources.line_column(problem.span).0).collect();
    let stands = |problem: &Problem| {
        let about_a_value = !matches!(problem.code, "missing_key" | "train_open" | "conflict");
        let in_file = problem.span.source == Sources::FILE;
        about_a_value && (!in_file || !broken.contains(&sources.line_column(problem.span).0))
    };
    let room = super::MOST_PROBLEMS - syntax.len();
    let kept: Vec<Problem> = found.into_iter().filter(stands).collect();
    let cut = kept.len().saturating_sub(room);
    syntax.extend(kept.into_iter().take(room));
    (syntax, too_many + cut)
}

/// FNV-1a over the text, the overrides and the files, each ended by a byte that UTF-8 never has.
/// Source: G. Fowler, L. C. Noll, K.-P. Vo, 64-bit offset basis and prime (from memory).
fn fingerprint(text: &str, overrides: &[String], named_files: &[Vec<u8>]) -> String {
    let mut hash: u64 = 0xcbf2_9ce4_8422_2325;
    let texts = std::iter::once(text.as_bytes()).chain(overrides.iter().map(String::as_bytes));
    for part in texts.chain(named_files.iter().map(Vec::as_slice)) {
        for byte in part.iter().copied().chain(std::iter::once(0xff)) {
            hash = (hash ^ u64::from(byte)).wrapping_mul(0x0000_0100_0000_01b3);
        }
    }
    format!("{hash:016x}")
}

impl Scenario {
    /// This scenario with further overrides applied after its own.
    ///
    /// # Errors
    /// [`LoadError::Problems`].
    pub fn with_overrides(&self, further: &[String]) -> Result<Self, LoadError> {
        let all: Vec<String> = self.overrides.iter().chain(further).cloned().collect();
        read_in(self.folder.clone(), &self.file_name, &self.source_text, &all, read_design, in_its_room)
    }
}

impl AnyScenario {
    fn of(scenario: Scenario<AnyDesign>) -> Self {
        let Scenario { design: _, made, note, file_name, source_text, overrides, hash, folder, sources, tree } =
            scenario;
        match made {
            AnyDesign::Pendulum(made) => {
                let design = in_its_room(&made);
                Self::Pendulum(Scenario {
                    design,
                    made,
                    note,
                    file_name,
                    source_text,
                    overrides,
                    hash,
                    folder,
                    sources,
                    tree,
                })
            }
            // Of a motor's train the room moves nothing that a torque or a count would feel.
            AnyDesign::Motor(made) => {
                let design = made.clone();
                Self::Motor(Scenario {
                    design,
                    made,
                    note,
                    file_name,
                    source_text,
                    overrides,
                    hash,
                    folder,
                    sources,
                    tree,
                })
            }
        }
    }
}

/// A clock with every part as large as its place makes it.
fn in_its_room(made: &Design) -> Design {
    settled(made, &Conditions::of(&made.place))
}

impl<D> Scenario<D> {
    /// Where the value at a dotted path stands: in the file or in the override that set it. Elements of lists go by name
    /// or number. Where the path or its end is absent, the place of the innermost table that is there.
    #[must_use]
    pub fn locate(&self, path: &str) -> Span {
        self.walk(path).0
    }

    /// Whether there is a value at a dotted path.
    #[must_use]
    pub fn has(&self, path: &str) -> bool {
        self.walk(path).1
    }

    /// Place of the last step of a path that is there, and whether all are.
    fn walk(&self, path: &str) -> (Span, bool) {
        let mut span = Span { source: Sources::FILE, start: 0, end: 0 };
        let steps = path_steps(path).unwrap_or_default();
        let mut steps = steps.iter().map(|step| step.name.as_str());
        let mut node: Option<&Node> = steps.next().and_then(|name| self.tree.get(name)).map(|entry| &entry.node);
        while let Some(here) = node {
            span = here.span;
            let Some(name) = steps.next() else { return (span, true) };
            node = match &here.value {
                Value::Table(table) => table.get(name).map(|entry| &entry.node),
                Value::Array(items) => element_index(items, name).map(|index| &items[index]),
                _ => None,
            };
        }
        (span, false)
    }

    /// Every value of the scenario as (dotted path, text), overrides applied, in the order of the text.
    #[must_use]
    pub fn leaves(&self) -> Vec<(String, String)> {
        self.tree.leaves()
    }

    /// Paths of the scenario that a mistyped one may mean, the nearest first, at most three.
    #[must_use]
    pub fn nearest_paths(&self, written: &str) -> Vec<String> {
        let leaves = self.leaves();
        let mut known: Vec<&str> = leaves.iter().map(|(path, _)| path.as_str()).collect();
        known.push("start_arc");
        let mut found = Vec::new();
        while found.len() < 3
            && let Some(near) = nearest(written, &known)
        {
            known.retain(|path| *path != near);
            found.push(near.to_owned());
        }
        found
    }

    /// A problem at the value of a dotted path, for what only a later step can tell.
    #[must_use]
    pub fn problem_at(&self, path: &str, code: &'static str, message: String, help: String) -> Problem {
        Problem { code, message, help, span: self.locate(path) }
    }

    /// Problems with this scenario's texts, ready to be shown.
    #[must_use]
    pub fn problems(&self, list: Vec<Problem>) -> Problems {
        Problems::new(self.sources.clone(), list, 0)
    }
}
