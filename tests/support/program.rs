//! The program as its user runs it.

use std::collections::BTreeMap;
use std::ffi::OsStr;
use std::fmt::Debug;
use std::fs;
use std::process::Output;

use assert_cmd::Command;

/// The program in the folder of the project, without colours.
pub fn beatwright() -> Command {
    let mut command = Command::cargo_bin("beatwright").unwrap();
    command.env("NO_COLOR", "1").current_dir(env!("CARGO_MANIFEST_DIR"));
    command
}

pub fn output(arguments: &[&str]) -> Output {
    beatwright().args(arguments).output().unwrap()
}

/// Exit code, what is said and what is complained of.
pub fn run(arguments: &[&str]) -> (i32, String, String) {
    let output = output(arguments);
    let text = |bytes: Vec<u8>| String::from_utf8(bytes).unwrap();
    (output.status.code().unwrap(), text(output.stdout), text(output.stderr))
}

/// What a command says, and its files by their names.
#[derive(Debug, PartialEq)]
pub struct Written {
    pub said: String,
    pub files: BTreeMap<String, String>,
}

/// What a command writes, the same bytes on one thread and on three.
pub fn written_on_any_threads(arguments: &[impl AsRef<OsStr>]) -> Written {
    let run = |threads: &str| {
        let out = tempfile::tempdir().unwrap();
        let mut command = beatwright();
        command.args(arguments).args(["--threads", threads, "--quiet", "--out"]).arg(out.path());
        let output = command.output().unwrap();
        assert!(output.status.success() && output.stderr.is_empty(), "{}", String::from_utf8_lossy(&output.stderr));
        let files = fs::read_dir(out.path()).unwrap().map(|entry| {
            let entry = entry.unwrap();
            (entry.file_name().into_string().unwrap(), fs::read_to_string(entry.path()).unwrap())
        });
        // Not the program's own record of what it wrote.
        let files = files.filter(|(name, _)| !name.starts_with('.')).collect();
        Written { said: String::from_utf8(output.stdout).unwrap(), files }
    };
    let one = run("1");
    assert!(one == run("3"), "one thread and three differ");
    one
}

/// What is computed, the same on one thread and on three.
pub fn same_on_any_threads<T: Debug + PartialEq + Send>(compute: impl Fn() -> T + Sync) -> T {
    let run = |threads| rayon::ThreadPoolBuilder::new().num_threads(threads).build().unwrap().install(&compute);
    let one = run(1);
    assert_eq!(one, run(3));
    one
}
