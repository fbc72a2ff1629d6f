//! `--png`: the pictures as PNG too. Their drawing is an optional feature of the build.

#[cfg(feature = "png")]
use rayon::prelude::*;

use super::Common;
use super::failure::Failure;
use super::output::OutputFile;

/// Refuses `--png` before anything is computed, where the build cannot draw it.
pub(super) fn check(common: &Common) -> Result<(), Failure> {
    if common.png && !cfg!(feature = "png") {
        return Err(Failure::arguments(
            "--png: this program was built without the feature `png`; with it: cargo run --release --features png -- ... --png, \
             or cargo install --path . --features png"
                .to_owned(),
        ));
    }
    Ok(())
}

/// Every picture of `files` as a PNG of the same name.
#[cfg(feature = "png")]
pub(super) fn beside(files: &[OutputFile]) -> Result<Vec<OutputFile>, Failure> {
    files
        .par_iter()
        .filter_map(|file| Some((file.name.strip_suffix(".svg")?, &file.content)))
        .map(|(name, svg)| {
            let content = crate::report::canvas::png::png(svg)
                .map_err(|error| Failure::numeric(format!("cannot draw {name}.png: {error}")))?;
            Ok(OutputFile { name: format!("{name}.png"), content })
        })
        .collect()
}

/// None: [`check`] has refused to come so far.
#[cfg(not(feature = "png"))]
pub(super) fn beside(_files: &[OutputFile]) -> Result<Vec<OutputFile>, Failure> {
    Ok(Vec::new())
}
