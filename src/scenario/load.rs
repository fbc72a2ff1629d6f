//! From a path, or a text, to a checked scenario.

use std::path::{Path, PathBuf};
use std::sync::Arc;

use crate::clock::design::{Design, MotorClock, Town};
use crate::clock::environment::InRoom;
use crate::clock::environment::weather::SeasonPlan;
use crate::clock::printing::bed::Bed;

use super::joined_problems::{merge, tell_how_to_leave_out};
use super::load_error::LoadError;
use super::read::design::{DesignRead, read_design};
use super::read::motor_clock::{AnyDesign, read_any_design};
use super::read::overlaying::OVERLAYING;
use super::toml::fingerprint::fingerprint_of;
use super::toml::nearest::nearest;
use super::toml::overrides::{apply, element_index, path_steps};
use super::toml::problem::{Problem, Problems};
use super::toml::problem_code::ProblemCode;
use super::toml::reach::NamedFiles;
use super::toml::reader::Reader;
use super::toml::section::Section;
use super::toml::source::{SourceId, Sources, Span};
use super::toml::text_file::{STANDARD_INPUT, read_standard_input, read_text, without_mark};
use super::toml::tree::{Node, Table, Value};
use super::toml::written::{Written, written, written_in_texts};

/// A scenario as it is written, without overrides.
pub const NO_OVERRIDES: [&str; 0] = [];

/// A scenario that reads without a problem. Nothing is solved yet: a column that is to compensate has no length
/// (`study::prepare` gives it one).
#[derive(Debug, Clone, PartialEq)]
pub struct Scenario<D = Design> {
    /// The clock as its maker wrote it down.
    pub design: D,
    /// Other places where it is to hang.
    pub towns: Vec<Town>,
    /// The maker's note, if any.
    pub note: Option<String>,
    /// Beds of the printer on which the parts are to fit.
    pub beds: Vec<Bed>,
    /// What it says of the seasons, the rest as usual; `None` where the place has no air.
    pub season: Option<SeasonPlan>,
    /// What its page asks its readers, a path with a range or choices each; `None` where it says nothing of it.
    pub page_asks: Option<Vec<String>>,
    /// Name of the file as given.
    pub file_name: String,
    /// The files that it starts from, the nearest first; empty where it stands alone.
    pub starts_from: Vec<String>,
    /// Text of the file, overrides not applied.
    pub source_text: String,
    /// The overrides, in order.
    pub overrides: Vec<String>,
    /// Fingerprint of all its files, overrides and files that they name, sixteen hexadecimal digits: tells whether two results are of the same input.
    pub hash: String,
    sources: Sources,
    pub(super) tree: Table,
    written: Arc<Written>,
}

/// A scenario of any clock.
#[derive(Debug, Clone, PartialEq)]
pub enum AnyScenario {
    /// With pendulum and escapement.
    Pendulum(Scenario),
    /// With a motor: `[motor]`.
    Motor(Scenario<MotorClock>),
}

/// The scenario in the file `path` ("-": on standard input, in no folder), of a clock with a pendulum, laid over the file that it starts from if it does, with `overrides`
/// ("drive.weight=3 kg") applied in order.
///
/// # Errors
/// [`LoadError`]: unreadable, a directory, larger than [`super::LARGEST_FILE_BYTES`], not UTF-8, empty, or with problems, all of
/// which are told at once; a clock driven by a motor is one.
pub fn load(path: &Path, overrides: &[impl AsRef<str>]) -> Result<Scenario, LoadError> {
    load_naming(path, overrides, NamedFiles::InItsFolder)
}

/// The same with files from where they may be.
///
/// # Errors
/// As [`load`].
pub fn load_naming(path: &Path, overrides: &[impl AsRef<str>], files: NamedFiles) -> Result<Scenario, LoadError> {
    read_written(in_file(path, files)?, texts_of(overrides), read_design)
}

/// The scenario in the file `path`, of any clock, as [`load`].
///
/// # Errors
/// As [`load`], a motor being no problem.
pub fn load_any(path: &Path, overrides: &[impl AsRef<str>]) -> Result<AnyScenario, LoadError> {
    load_any_naming(path, overrides, NamedFiles::InItsFolder)
}

/// The same with files from where they may be.
///
/// # Errors
/// As [`load_any`].
pub fn load_any_naming(
    path: &Path,
    overrides: &[impl AsRef<str>],
    files: NamedFiles,
) -> Result<AnyScenario, LoadError> {
    read_written(in_file(path, files)?, texts_of(overrides), read_any_design).map(AnyScenario::of)
}

fn in_file(path: &Path, files: NamedFiles) -> Result<Arc<Written>, LoadError> {
    if path == Path::new(STANDARD_INPUT) {
        return in_text("standard input", &read_standard_input()?);
    }
    let text = read_text(path)?;
    let name = path.display().to_string();
    check_that_it_says_something(&name, &text)?;
    Ok(Arc::new(written(Some(path), &name, &text, &OVERLAYING, files)))
}

/// The scenario in `text`, called `file_name` in messages, with `overrides` applied in order. It cannot name other files,
/// for a text is in no folder.
///
/// # Errors
/// [`LoadError::Empty`] and [`LoadError::Problems`].
pub fn read(file_name: &str, text: &str, overrides: &[impl AsRef<str>]) -> Result<Scenario, LoadError> {
    read_written(in_text(file_name, text)?, texts_of(overrides), read_design)
}

/// The scenario in these texts, each with its name, that which is asked for first and each of the others what the one before it starts from.
///
/// # Errors
/// [`LoadError::Empty`] and [`LoadError::Problems`].
pub fn read_texts(texts: &[(String, String)], overrides: &[impl AsRef<str>]) -> Result<Scenario, LoadError> {
    for (name, text) in texts {
        check_that_it_says_something(name, text)?;
    }
    read_written(Arc::new(written_in_texts(texts, &OVERLAYING)), texts_of(overrides), read_design)
}

/// The scenario of any clock in `text`, as [`read`].
///
/// # Errors
/// [`LoadError::Empty`] and [`LoadError::Problems`].
pub fn read_any(file_name: &str, text: &str, overrides: &[impl AsRef<str>]) -> Result<AnyScenario, LoadError> {
    read_written(in_text(file_name, text)?, texts_of(overrides), read_any_design).map(AnyScenario::of)
}

fn in_text(file_name: &str, text: &str) -> Result<Arc<Written>, LoadError> {
    check_that_it_says_something(file_name, text)?;
    Ok(Arc::new(written(None, file_name, text, &OVERLAYING, NamedFiles::InItsFolder)))
}

fn check_that_it_says_something(name: &str, text: &str) -> Result<(), LoadError> {
    if without_mark(text).trim().is_empty() {
        return Err(LoadError::Empty { name: name.to_owned() });
    }
    Ok(())
}

fn texts_of(overrides: &[impl AsRef<str>]) -> Vec<String> {
    overrides.iter().map(|setting| setting.as_ref().to_owned()).collect()
}

/// `read_root` fills the design, with the name of the file without its ending for a clock without a name.
fn read_written<D>(
    written: Arc<Written>,
    overrides: Vec<String>,
    read_root: impl FnOnce(Section<'_, '_>, &str) -> Option<DesignRead<D>>,
) -> Result<Scenario<D>, LoadError> {
    let mut sources = written.sources.clone();
    let mut tree = written.tree.clone();
    let file_name = sources.get(Sources::FILE).name.clone();
    let (folders, lower) = (written.folders.clone(), written.lower.clone());
    let reader = Reader::in_folders(folders, lower, written.reach.clone(), !overrides.is_empty());
    for (index, setting) in overrides.iter().enumerate() {
        let id = sources.add(format!("--set {}", index + 1), setting);
        if let Err(problem) = apply(&mut tree, setting, id, &sources) {
            reader.add(*problem);
        }
    }
    let start = Span { source: Sources::FILE, start: 0, end: 0 };
    let stem =
        Path::new(&file_name).file_stem().map_or_else(|| file_name.clone(), |stem| stem.to_string_lossy().into());
    let read = read_root(Section::new(&reader, &tree, String::new(), start), &stem);
    let named_files = reader.named_files();
    let (found, left_out) = reader.into_problems();
    let (mut list, left_out) = merge(&sources, written.problems.clone(), found, left_out);
    match read {
        Some(DesignRead { design, note, towns, beds, season, page_asks }) if list.is_empty() => Ok(Scenario {
            design,
            note,
            towns,
            beds,
            season,
            page_asks,
            file_name,
            starts_from: written.lower_names(),
            source_text: sources.get(Sources::FILE).text.to_string(),
            hash: fingerprint(&written, &overrides, &named_files),
            overrides,
            sources,
            tree,
            written,
        }),
        _ => {
            for problem in &mut list {
                tell_how_to_leave_out(problem, &written, &tree);
            }
            Err(LoadError::Problems(Problems::new(sources, list, left_out)))
        }
    }
}

/// Fingerprint of the text, the overrides, the lower files and the files that they name.
fn fingerprint(written: &Written, overrides: &[String], named_files: &[Vec<u8>]) -> String {
    let text = |id: SourceId| written.sources.get(id).text.as_bytes();
    let texts = std::iter::once(text(Sources::FILE))
        .chain(overrides.iter().map(String::as_bytes))
        .chain(written.lower.iter().map(|&id| text(id)));
    fingerprint_of(texts.chain(named_files.iter().map(Vec::as_slice)))
}

impl Scenario {
    /// This scenario read again with further overrides applied after its own; what loading leaves to be solved is open again.
    ///
    /// # Errors
    /// [`LoadError::Problems`].
    pub fn with_overrides(&self, further: &[impl AsRef<str>]) -> Result<Self, LoadError> {
        let all = self.overrides.iter().cloned().chain(texts_of(further)).collect();
        read_written(Arc::clone(&self.written), all, read_design)
    }

    /// This scenario with another clock in place of the one that was read.
    #[must_use]
    pub fn with_design(self, design: Design) -> Self {
        self.of_clock(design)
    }

    /// The clock in the room where it hangs, in balance with its air.
    #[must_use]
    pub fn in_room(&self) -> InRoom {
        InRoom::at_home(&self.design)
    }
}

impl AnyScenario {
    fn of(scenario: Scenario<AnyDesign>) -> Self {
        match scenario.design.clone() {
            AnyDesign::Pendulum(design) => Self::Pendulum(scenario.of_clock(design)),
            AnyDesign::Motor(design) => Self::Motor(scenario.of_clock(design)),
        }
    }
}

impl<D> Scenario<D> {
    fn of_clock<E>(self, design: E) -> Scenario<E> {
        Scenario {
            design,
            towns: self.towns,
            note: self.note,
            beds: self.beds,
            season: self.season,
            page_asks: self.page_asks,
            file_name: self.file_name,
            starts_from: self.starts_from,
            source_text: self.source_text,
            overrides: self.overrides,
            hash: self.hash,
            sources: self.sources,
            tree: self.tree,
            written: self.written,
        }
    }

    /// Folder from which the path of a file starts that stands at a dotted path: that of the file in which it is written, and of
    /// the scenario's first file for an override; `None` for a text.
    #[must_use]
    pub fn folder_of(&self, path: &str) -> Option<&Path> {
        let folders = &self.written.folders;
        folders.get(&self.locate(path).source).or_else(|| folders.get(&Sources::FILE)).map(PathBuf::as_path)
    }

    /// What is wrong with a file at `path` that the scenario names as `named`, and what would be right: it is elsewhere.
    #[must_use]
    pub fn objection_to_file(&self, named: &str, path: &Path) -> Option<(String, &'static str)> {
        self.written.reach.objection(named, path)
    }

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

    /// Name and text of each of its files, for whoever has no folder to read them from ([`read_texts`]); `None` where they name files that
    /// are no scenarios.
    #[must_use]
    pub fn alone(&self) -> Option<Vec<(String, String)>> {
        let texts: Vec<_> = self.texts().map(|(name, text)| (name.to_owned(), text.to_owned())).collect();
        read_texts(&texts, &self.overrides).ok().map(|_| texts)
    }

    /// Its overrides as they are typed after a command, each with a blank before it.
    #[must_use]
    pub fn options(&self) -> String {
        self.overrides.iter().map(|setting| format!(" --set '{setting}'")).collect()
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

    /// Name and text of each of its files, the one that was asked for first.
    pub fn texts(&self) -> impl Iterator<Item = (&str, &str)> {
        std::iter::once(Sources::FILE).chain(self.written.lower.iter().copied()).map(|id| {
            let source = self.written.sources.get(id);
            (source.name.as_str(), &*source.text)
        })
    }

    /// A problem at the value of a dotted path, for what only a later step can tell.
    #[must_use]
    pub fn problem_at(&self, path: &str, code: ProblemCode, message: String, help: String) -> Problem {
        Problem { code, message, help, span: self.locate(path) }
    }

    /// Problems with this scenario's texts, ready to be shown.
    #[must_use]
    pub fn problems(&self, list: Vec<Problem>) -> Problems {
        Problems::new(self.sources.clone(), list, 0)
    }
}
