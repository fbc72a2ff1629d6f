//! `new`: a scenario to start from.

use std::io::{ErrorKind, Write as _};
use std::path::Path;

use crate::scenario::starter;

use super::failure::Failure;
use super::output::print;

pub(super) fn run(file: &Path) -> Result<(), Failure> {
    let shown = file.display();
    let mut handle = std::fs::File::create_new(file).map_err(|error| match error.kind() {
        ErrorKind::AlreadyExists => {
            Failure::arguments(format!("{shown} already exists and was not changed; choose another name"))
        }
        _ => Failure::arguments(format!("cannot write {shown}: {error}")),
    })?;
    handle
        .write_all(starter().as_bytes())
        .map_err(|error| Failure::numeric(format!("cannot write {shown}: {error}")))?;
    print(&format!("wrote {shown}; next: beatwright predict {shown}\n"))
}
