//! `--watch`: an answer whenever a file of the scenario is saved.

mod saves;
pub(super) mod screen;
pub(super) mod served;

use std::path::PathBuf;

use crate::scenario::files_of;

use super::Common;
use super::failure::Failure;
use super::progress;
use saves::Saves;
use screen::Screen;

/// Gives an answer, shows it, waits until a file of `scenarios` is saved, and begins again, until Ctrl-C. `answer` gets the screen and tells
/// what it has found; `failed` hears why there is no answer, which leaves the last one where it is.
pub(super) fn on_every_save(
    scenarios: &[PathBuf],
    common: &Common,
    mut answer: impl FnMut(&mut Screen) -> Result<(), Failure>,
    mut failed: impl FnMut(&Failure),
) -> Result<(), Failure> {
    if let Some(input) = scenarios.iter().find(|file| file.as_os_str() == "-") {
        return Err(Failure::arguments(format!(
            "--watch: {} is standard input, which nobody saves; give a file",
            input.display()
        )));
    }
    let mut saves = Saves::new()?;
    let mut screen = Screen::new();
    loop {
        let files: Vec<PathBuf> = scenarios.iter().flat_map(|file| files_of(file, common.named_files())).collect();
        saves.follow(&files)?;
        progress::begin_anew();
        let found = answer(&mut screen);
        let ended = progress::is_ended();
        if !ended && !progress::is_overtaken() {
            if let Err(failure) = &found {
                failed(failure);
                screen.fail(failure)?;
            }
            screen.tell_how_to_go_on(files.len())?;
        }
        if ended || !saves.wait() {
            return Err(Failure::interrupted("no longer waiting for files to be saved"));
        }
    }
}
