//! `fitted.toml`: where it goes, what it starts from, and that it predicts.

use std::ffi::OsStr;
use std::path::{Path, PathBuf};

use toml::Value;

use crate::report::fit::fitted_toml::{HEAD, WrittenValues, text, value_text, values_in, written};
use crate::scenario::{LoadError, STANDARD_INPUT, Scenario, load_naming};
use crate::study::fit::FittedValue;

use super::failure::Failure;
use super::output::{OutputFile, remark};
use super::scenario_files::{NewScenario, copies, home_of, is_same_place};
use super::{Common, output};

/// Name of the file.
const NAME: &str = "fitted.toml";

/// Writes `fitted.toml` and returns its path; `None` where nothing was settled, or nothing is to be written.
///
/// It stands beside the scenario, whose folder alone it may name, or in `--out`, then with copies of the files that it starts from. A
/// scenario that a fit has written keeps what it has, and the new values go in it.
pub(super) fn write_fitted(
    scenario: &Scenario,
    file: &Path,
    values: &[FittedValue],
    source: &str,
    common: &Common,
) -> Result<Option<PathBuf>, Failure> {
    if values.is_empty() || (common.json && common.out.is_none()) || file == Path::new(STANDARD_INPUT) {
        return Ok(None);
    }
    check_that_it_predicts(scenario, values)?;
    let home = home_of(file);
    let earlier = values_in(&scenario.source_text).unwrap_or_else(|| {
        let name = file.file_name().unwrap_or_else(|| OsStr::new("scenario.toml"));
        let called = Value::String(format!("{} as measured", scenario.design.name));
        Ok(WrittenValues { from: name.to_string_lossy().into_owned(), values: vec![("name".to_owned(), called)] })
    });
    let earlier = earlier.map_err(|why| Failure::arguments(format!("{}: {why}", file.display())))?;
    let folder = common.out.as_deref().unwrap_or(home);
    let path = folder.join(NAME);
    let own = if values_in(&scenario.source_text).is_some() { None } else { Some(file) };
    NewScenario { folder, name: NAME, head: HEAD, command: "fit" }.refuse_to_lose(own, scenario)?;
    let mut files = vec![OutputFile::text(NAME.to_owned(), text(&earlier, values, source))];
    if !is_same_place(folder, home) {
        files.extend(copies(scenario, file, folder, NAME)?);
    }
    output::write_files("fit, the scenario", folder, files, &Common { quiet: true, ..common.clone() }, false)?;
    if !scenario.overrides.is_empty() && !common.quiet {
        remark("the values set by --set are not in fitted.toml; give them again when you predict with it");
    }
    if let Err(error) = load_naming(&path, &[] as &[&str], common.named_files())
        && !common.quiet
    {
        let why = error.to_string();
        let first = why.lines().next().unwrap_or_default();
        remark(&format!("{} does not read where it is ({first}); put it beside {}", path.display(), file.display()));
    }
    Ok(Some(path))
}

/// Values that the scenario cannot take are no answer.
fn check_that_it_predicts(scenario: &Scenario, values: &[FittedValue]) -> Result<(), Failure> {
    let settings: Vec<String> =
        values.iter().map(|value| format!("{}={}", value.path, written(&value_text(value)))).collect();
    match scenario.with_overrides(&settings) {
        Ok(_) => Ok(()),
        Err(LoadError::Problems(problems)) => Err(Failure::problems(&problems)),
        Err(other) => Err(Failure::arguments(other.to_string())),
    }
}
