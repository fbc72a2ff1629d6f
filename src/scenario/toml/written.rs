//! The files of a scenario: the one that was asked for, the one that it starts from, and so on down, in one tree.

use std::collections::HashMap;
use std::path::{Path, PathBuf};

use super::overlay::{FROM, LEAVE_OUT, Overlaying, leave_out, taken};
use super::problem::Problem;
use super::problem_code::ProblemCode;
use super::reach::{FolderReach, NamedFiles};
use super::source::{SourceId, Sources, Span};
use super::syntax::parse_file;
use super::text_file::{read_text, without_mark};
use super::tree::{Table, Value};

/// Files that a scenario may go through down to the one that starts from none.
pub const LONGEST_CHAIN: usize = 8;

/// A scenario as its files give it, before overrides.
#[derive(Debug, Clone, PartialEq)]
pub(in crate::scenario) struct Written {
    /// The texts, the file that was asked for first.
    pub(in crate::scenario) sources: Sources,
    /// The files laid over one another.
    pub(in crate::scenario) tree: Table,
    /// What is no TOML, and what keeps the files from one another.
    pub(in crate::scenario) problems: Vec<Problem>,
    /// Folder of each file.
    pub(in crate::scenario) folders: HashMap<SourceId, PathBuf>,
    /// Ids of the files below the first, in their order.
    pub(in crate::scenario) lower: Vec<SourceId>,
    /// Where its files have to be.
    pub(in crate::scenario) reach: FolderReach,
    /// Texts of the files below, with their names, where they are not to be looked for in a folder.
    pub(in crate::scenario) given: Vec<(String, String)>,
}

/// The scenario that begins with `text`, in the file `path` if it is in one, called `file_name` in messages, laid over the
/// files that it starts from as `overlaying` says.
pub(in crate::scenario) fn written(
    path: Option<&Path>,
    file_name: &str,
    text: &str,
    overlaying: &Overlaying,
    named_files: NamedFiles,
) -> Written {
    let reach = path.map(|path| FolderReach::of(path, named_files)).unwrap_or_default();
    laid_over_one_another(Written { reach, ..Written::begun(file_name, text) }, path, overlaying)
}

/// The scenario in these texts, each with its name: that which is asked for, what it starts from, and so on.
pub(in crate::scenario) fn written_in_texts(texts: &[(String, String)], overlaying: &Overlaying) -> Written {
    let mut given = texts.to_vec();
    given.reverse();
    let (name, text) = given.pop().unwrap_or_default();
    laid_over_one_another(Written { given, ..Written::begun(&name, &text) }, None, overlaying)
}

fn laid_over_one_another(mut all: Written, path: Option<&Path>, overlaying: &Overlaying) -> Written {
    let mut chain: Vec<PathBuf> = Vec::new();
    if let Some(path) = path {
        all.folders.insert(Sources::FILE, path.parent().unwrap_or(Path::new("")).to_owned());
        chain.push(true_place(path));
    }
    let mut trees = vec![all.parse(Sources::FILE)];
    let mut id = Sources::FILE;
    while let Some(entry) = trees.last_mut().and_then(|tree| taken(tree, FROM)) {
        let Some(lower) = all.step_down(id, &entry.node.value, entry.node.span, &mut chain) else { break };
        let Some(tree) = all.parse_lower(lower, entry.node.span, overlaying) else { break };
        trees.push(tree);
        id = lower;
    }
    all.tree = all.joined(trees, overlaying);
    all
}

/// A file's place whatever the way to it.
fn true_place(path: &Path) -> PathBuf {
    std::fs::canonicalize(path).unwrap_or_else(|_| path.to_owned())
}

impl Written {
    fn begun(file_name: &str, text: &str) -> Self {
        Self {
            sources: Sources::of_file(file_name.to_owned(), without_mark(text)),
            tree: Table::default(),
            problems: Vec::new(),
            folders: HashMap::new(),
            lower: Vec::new(),
            reach: FolderReach::default(),
            given: Vec::new(),
        }
    }

    fn parse(&mut self, id: SourceId) -> Table {
        let (tree, problems) = parse_file(&self.sources, id);
        self.problems.extend(problems);
        tree
    }

    /// The tree of a file that another starts from; `None` after a problem where it is no scenario, of which nothing is quoted: what a
    /// stranger's scenario points at may be anything.
    fn parse_lower(&mut self, id: SourceId, from: Span, overlaying: &Overlaying) -> Option<Table> {
        let (tree, problems) = parse_file(&self.sources, id);
        if !overlaying.tables.iter().any(|table| tree.get(table).is_some()) {
            let message = format!("there is nothing to start from: {} is no scenario", self.sources.get(id).name);
            let help = "name a file with the tables of a clock, [pendulum], [escapement], [train], [drive]".to_owned();
            self.problems.push(Problem { code: ProblemCode::NoBase, message, help, span: from });
            return None;
        }
        self.problems.extend(problems);
        Some(tree)
    }

    /// The file that `from` names, now one of the sources; `None` after a problem.
    fn step_down(&mut self, id: SourceId, from: &Value, span: Span, chain: &mut Vec<PathBuf>) -> Option<SourceId> {
        let mut refuse = |code: ProblemCode, message: String, help: &str| {
            self.problems.push(Problem { code, message, help: help.to_owned(), span });
            None
        };
        let Value::Text(name) = from else {
            let message = format!("`{FROM}` is {}, not text", from.type_name());
            return refuse(
                ProblemCode::WrongType,
                message,
                "write the file to start from in quotes: from = \"heron.toml\"",
            );
        };
        if let Some((name, text)) = self.given.pop() {
            let lower = self.sources.add(name, without_mark(&text));
            self.lower.push(lower);
            return Some(lower);
        }
        let Some(folder) = self.folders.get(&id) else {
            let message = format!("{name} cannot be found: this scenario is not in a folder");
            return refuse(ProblemCode::NoBase, message, "save the scenario first");
        };
        let path = folder.join(name);
        if let Some((message, help)) = self.reach.objection(name, &path) {
            return refuse(ProblemCode::NoBase, message, help);
        }
        let help = "the path is relative to the folder of this file";
        let text = match read_text(&path) {
            Ok(text) => text,
            Err(error) => return refuse(ProblemCode::NoBase, format!("there is nothing to start from: {error}"), help),
        };
        if text.trim().is_empty() {
            return refuse(
                ProblemCode::NoBase,
                format!("there is nothing to start from: {} is empty", path.display()),
                help,
            );
        }
        let place = true_place(&path);
        if chain.contains(&place) {
            let message = format!("{} is started from twice: the files form a circle", path.display());
            return refuse(ProblemCode::FromCircle, message, "one of them must not start from another");
        }
        if chain.len() >= LONGEST_CHAIN {
            let message =
                format!("this is file number {} of the chain; at most {LONGEST_CHAIN} are read", chain.len() + 1);
            return refuse(ProblemCode::FromChain, message, "combine the lower files into one");
        }
        chain.push(place);
        let lower = self.sources.add(path.display().to_string(), without_mark(&text));
        self.folders.insert(lower, path.parent().unwrap_or(Path::new("")).to_owned());
        self.lower.push(lower);
        Some(lower)
    }

    /// The trees, the uppermost first, laid over one another.
    fn joined(&mut self, trees: Vec<Table>, overlaying: &Overlaying) -> Table {
        let mut trees = trees.into_iter().rev();
        let mut tree = trees.next().unwrap_or_default();
        if let Some(entry) = taken(&mut tree, LEAVE_OUT)
            && self.problems.is_empty()
        {
            self.problems.push(Problem {
                code: ProblemCode::Conflict,
                message: format!("`{LEAVE_OUT}` is in a file that starts from no other"),
                help: "name the file with from = \"heron.toml\", or delete the line".to_owned(),
                span: entry.key_span,
            });
        }
        for mut upper in trees {
            self.problems.extend(leave_out(&mut tree, &mut upper));
            tree = overlaying.laid_over(tree, upper);
        }
        tree
    }

    /// Names of the files below the first.
    pub(in crate::scenario) fn lower_names(&self) -> Vec<String> {
        self.lower.iter().map(|&id| self.sources.get(id).name.clone()).collect()
    }
}
