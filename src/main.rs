//! The command line of Beatwright.

use std::process::ExitCode;

use clap::Parser as _;

use beatwright::cli::{Cli, run};

fn main() -> ExitCode {
    match run(Cli::parse()) {
        Ok(()) => ExitCode::SUCCESS,
        Err(failure) => {
            failure.tell();
            ExitCode::from(failure.exit_code)
        }
    }
}
