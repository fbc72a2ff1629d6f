//! `improved.toml`: a scenario that starts from the maker's own, read again and judged before anything is said of it.

use std::collections::BTreeMap;
use std::ffi::OsStr;
use std::fs;
use std::path::{Path, PathBuf};

use crate::report::improve::overlay_toml::{HEAD, OverlayValue, leaf_as_toml, text};
use crate::scenario::{Scenario, load_naming, typed_as_toml};
use crate::study::prepare::prepared;

use super::Common;
use super::failure::Failure;
use super::output::OutputFile;
use super::scenario_files::{NewScenario, copies, home_of, is_same_place};

/// Values of a scenario by their paths.
type Leaves = BTreeMap<String, String>;

/// How often the text of a file is mended until it reads as it is to.
const MENDED: usize = 3;

/// What is to be written.
pub(super) struct Overlay<'a> {
    /// The maker's scenario.
    pub scenario: &'a Scenario,
    /// Its file.
    pub file: &'a Path,
    /// Where the new one goes.
    pub folder: &'a Path,
    pub common: &'a Common,
}

impl Overlay<'_> {
    /// The files that the new ones start from, as far as they are not in the folder already.
    pub fn beside(&self, name: &str) -> Result<Vec<OutputFile>, Failure> {
        if is_same_place(self.folder, home_of(self.file)) {
            return Ok(Vec::new());
        }
        copies(self.scenario, self.file, self.folder, name)
    }

    /// Files of these names stay that were not written here, or that the design itself starts from.
    pub fn refuse_to_lose(&self, names: &[String]) -> Result<(), Failure> {
        names.iter().try_for_each(|name| {
            let new = NewScenario { folder: self.folder, name, head: HEAD, command: "improve" };
            new.refuse_to_lose(Some(self.file), self.scenario)
        })
    }

    /// The text of a file called `name` under which the scenario has the values, and what is read of it, made ready: the same values, path by
    /// path, as the scenario under the overrides. It is read in a folder of its own beside the place where it is to stand.
    pub fn written(
        &self,
        name: &str,
        called: &str,
        values: &[OverlayValue],
    ) -> Result<(OutputFile, Scenario), Failure> {
        let settings: Vec<String> = values.iter().map(|(path, value)| format!("{path}={value}")).collect();
        let wanted = self.scenario.with_overrides(&settings).map_err(Failure::unreadable)?;
        let from = self.file.file_name().unwrap_or_else(|| OsStr::new("scenario.toml")).to_string_lossy().into_owned();
        let wanted = leaves_of(&wanted);
        let mut all: Vec<OverlayValue> = overrides_of(self.scenario);
        all.extend(values.iter().cloned());
        let mut all = last_of_each(all);
        let mut left_out: Vec<String> = Vec::new();
        let trial = TrialFolder::of(self, &self.beside(name)?)?;
        for _ in 0..MENDED {
            let content = text(self.scenario, &from, called, &all, &left_out).map_err(Failure::arguments)?;
            let read = trial.read(name, &content, self.common)?;
            let found = leaves_of(&read);
            let extra: Vec<&String> = found.keys().filter(|path| !wanted.contains_key(*path)).collect();
            let other: Vec<(&String, &String)> =
                wanted.iter().filter(|(path, text)| found.get(*path) != Some(text)).collect();
            if extra.is_empty() && other.is_empty() {
                let scenario = prepared(read).map_err(Failure::unreadable)?;
                return Ok((OutputFile::text(name.to_owned(), content), scenario));
            }
            left_out.extend(extra.into_iter().cloned());
            all.extend(other.into_iter().map(|(path, text)| (path.clone(), leaf_as_toml(text))));
            all = last_of_each(all);
        }
        Err(Failure::numeric(format!(
            "no file that starts from {from} gives the clock these values ({}); give them with --set",
            settings.join(", ")
        )))
    }
}

/// The values that a scenario was typed with.
fn overrides_of(scenario: &Scenario) -> Vec<OverlayValue> {
    let typed = scenario.overrides.iter().filter_map(|setting| setting.split_once('='));
    typed.map(|(path, value)| (path.trim().to_owned(), typed_as_toml(value.trim()))).collect()
}

/// Of values at one path the last.
fn last_of_each(values: Vec<OverlayValue>) -> Vec<OverlayValue> {
    let mut kept: Vec<OverlayValue> = Vec::new();
    for (path, value) in values {
        match kept.iter_mut().find(|(known, _)| *known == path) {
            Some((_, known)) => *known = value,
            None => kept.push((path, value)),
        }
    }
    kept
}

/// What a scenario says, but for its name.
fn leaves_of(scenario: &Scenario) -> Leaves {
    scenario.leaves().into_iter().filter(|(path, _)| path != "name" && path != "note").collect()
}

/// A folder in which a file is read before it is written where it belongs; it goes when nobody holds it any more.
struct TrialFolder(PathBuf);

impl TrialFolder {
    fn of(overlay: &Overlay<'_>, beside: &[OutputFile]) -> Result<Self, Failure> {
        if beside.is_empty() {
            fs::create_dir_all(overlay.folder).map_err(|error| cannot(overlay.folder, &error))?;
            return Ok(Self(overlay.folder.to_owned()));
        }
        let folder = overlay.folder.join(".improve-trial");
        fs::create_dir_all(&folder).map_err(|error| cannot(&folder, &error))?;
        let trial = Self(folder);
        for file in beside {
            fs::write(trial.0.join(&file.name), &file.content).map_err(|error| cannot(&trial.0, &error))?;
        }
        Ok(trial)
    }

    /// A text read as a file of the folder.
    fn read(&self, name: &str, content: &str, common: &Common) -> Result<Scenario, Failure> {
        let path = self.0.join(format!(".{name}.toml"));
        fs::write(&path, content).map_err(|error| cannot(&path, &error))?;
        let read = load_naming(&path, &[] as &[&str], common.named_files());
        let _ = fs::remove_file(&path);
        read.map_err(|error| {
            let why = error.to_string();
            let first = why.lines().next().unwrap_or_default().to_owned();
            Failure::arguments(format!(
                "{name} does not read in {} ({first}); give the scenario's own folder with --out",
                self.0.display()
            ))
        })
    }
}

impl Drop for TrialFolder {
    fn drop(&mut self) {
        if self.0.ends_with(".improve-trial") {
            let _ = fs::remove_dir_all(&self.0);
            // Goes only if nothing else is in it.
            let _ = self.0.parent().map(fs::remove_dir);
        }
    }
}

fn cannot(path: &Path, error: &std::io::Error) -> Failure {
    Failure::numeric(format!("cannot write to {}: {error}; choose another folder with --out", path.display()))
}
