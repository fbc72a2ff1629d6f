//! Files of a command: all of them or none.

use std::ffi::{OsStr, OsString};
use std::fs;
use std::io::Write as _;
use std::path::{Path, PathBuf};

use serde::Serialize;

use crate::report::words::numbers::counted;

use super::failure::Failure;
use super::{Common, earlier_files, png};

/// Writes text to standard output. A reader that has gone away (a pager, `head`) is no failure.
pub(super) fn print(text: &str) -> Result<(), Failure> {
    let mut out = std::io::stdout().lock();
    match out.write_all(text.as_bytes()).and_then(|()| out.flush()) {
        Err(error) if error.kind() != std::io::ErrorKind::BrokenPipe => {
            Err(Failure::numeric(format!("cannot write to standard output: {error}")))
        }
        _ => Ok(()),
    }
}

/// Writes a remark to standard error, if anyone is there to read it.
pub(super) fn remark(text: &str) {
    let _ = writeln!(std::io::stderr().lock(), "{text}");
}

/// A file to be written: name and content.
pub(super) struct OutputFile {
    pub name: String,
    pub content: Vec<u8>,
}

impl OutputFile {
    /// `name`.svg.
    pub fn svg(name: &str, picture: String) -> Self {
        Self::text(format!("{name}.svg"), picture)
    }

    /// `name`.csv.
    pub fn csv(name: &str, table: String) -> Self {
        Self::text(format!("{name}.csv"), table)
    }

    /// `name`.json.
    pub fn json(name: &str, text: &str) -> Self {
        Self::text(format!("{name}.json"), text.to_owned())
    }

    /// Text under its whole name.
    pub fn text(name: String, text: String) -> Self {
        Self { name, content: text.into_bytes() }
    }
}

/// Results as JSON for a reader's eye, with a line end.
pub(super) fn json_of(results: &impl Serialize) -> Result<String, Failure> {
    serde_json::to_string_pretty(results)
        .map(|json| format!("{json}\n"))
        .map_err(|error| Failure::numeric(error.to_string()))
}

/// What the results of `study` on a scenario file are called.
pub(super) fn study_name(scenario: &Path, study: &str) -> OsString {
    let mut name = scenario.file_stem().unwrap_or_default().to_owned();
    name.push("-");
    name.push(study);
    name
}

/// Scenario files that a name has in it at most.
const NAMED: usize = 4;

/// What the results of `study` on several scenario files are called: after all of them, so that other clocks' results stay.
pub(super) fn joint_name(scenarios: &[PathBuf], study: &str) -> OsString {
    let mut name = OsString::new();
    for scenario in scenarios.iter().take(NAMED) {
        name.push(scenario.file_stem().unwrap_or_default());
        name.push("-");
    }
    if scenarios.len() > NAMED {
        name.push(format!("and-{}-more-", scenarios.len() - NAMED));
    }
    name.push(study);
    name
}

/// Writes all files of `command`, with `--png` the pictures as PNG too, and says how many and where; of an interrupted study the
/// failure that ends it says so.
pub(super) fn write_files(
    command: &str,
    folder: &Path,
    mut files: Vec<OutputFile>,
    common: &Common,
    interrupted: bool,
) -> Result<(), Failure> {
    if common.png {
        let pictures = png::beside(&files)?;
        files.extend(pictures);
    }
    write_all(folder, &files)?;
    earlier_files::clear(folder, command, &files.iter().map(|file| file.name.as_str()).collect::<Vec<_>>());
    if common.remarks_on_files() && !interrupted {
        remark(&format!("wrote {} to {}", counted(files.len(), "file", "files"), folder.display()));
    }
    Ok(())
}

/// Writes all files of a command that has no scenario.
pub(super) fn write_plain(folder: &Path, files: &[OutputFile]) -> Result<(), Failure> {
    write_all(folder, files)?;
    remark(&format!("wrote {} to {}", counted(files.len(), "file", "files"), folder.display()));
    Ok(())
}

/// Folder for the results: `--out`, or `name` below notebooks-out, under overrides that of a trial, which leaves the design's own results as
/// they are; `None` where nothing is to be written.
pub(super) fn folder(common: &Common, name: &OsStr) -> Option<PathBuf> {
    match (&common.out, common.json) {
        (Some(out), _) => Some(out.clone()),
        (None, true) => None,
        (None, false) => {
            let name = if common.set.is_empty() { name.to_owned() } else { trial_name(name) };
            Some(Path::new("notebooks-out").join(name))
        }
    }
}

/// What the results of a trial with another value are called.
pub(super) fn trial_name(name: &OsStr) -> OsString {
    let mut name = name.to_owned();
    name.push("-trial");
    name
}

/// Writes all files into `folder`: first under passing names, then all renamed, so that none is left half written.
fn write_all(folder: &Path, files: &[OutputFile]) -> Result<(), Failure> {
    let cannot = |path: &Path, error: std::io::Error| {
        Failure::numeric(format!("cannot write to {}: {error}; choose another folder with --out", path.display()))
    };
    fs::create_dir_all(folder).map_err(|error| cannot(folder, error))?;
    let mut written: Vec<(PathBuf, PathBuf)> = Vec::new();
    let discard = |written: &[(PathBuf, PathBuf)]| {
        for (passing, _) in written {
            let _ = fs::remove_file(passing);
        }
    };
    for file in files {
        let passing = folder.join(format!(".{}.part", file.name));
        let result = fs::write(&passing, &file.content);
        written.push((passing, folder.join(&file.name)));
        if let Err(error) = result {
            discard(&written);
            return Err(cannot(folder, error));
        }
    }
    for index in 0..written.len() {
        let (passing, place) = &written[index];
        if let Err(error) = fs::rename(passing, place) {
            discard(&written[index..]);
            return Err(cannot(place, error));
        }
    }
    Ok(())
}
