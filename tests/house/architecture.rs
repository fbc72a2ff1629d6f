//! Dependencies point one way: a folder uses only the folders before it, and geometry and physics know nothing of files,
//! plots or the command line.

use std::fs;
use std::path::{Path, PathBuf};

const ORDER: [&str; 10] =
    ["units", "numerics", "geometry", "clock", "dynamics", "scenario", "answers", "study", "report", "cli"];

fn rust_files(folder: &Path, found: &mut Vec<PathBuf>) {
    for entry in fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() {
            rust_files(&path, found);
        } else if path.extension().is_some_and(|extension| extension == "rs") {
            found.push(path);
        }
    }
}

#[test]
fn folders_use_only_those_before_them() {
    let source = Path::new(env!("CARGO_MANIFEST_DIR")).join("src");
    let mut files = Vec::new();
    rust_files(&source, &mut files);
    assert!(files.len() > 30, "the sources were not found");
    let mut wrong = Vec::new();
    for file in files {
        let inside = file.strip_prefix(&source).unwrap();
        let folder = inside.components().next().unwrap().as_os_str().to_string_lossy().into_owned();
        let Some(rank) = ORDER.iter().position(|name| *name == folder) else { continue };
        for used in fs::read_to_string(&file).unwrap().split("crate::").skip(1) {
            let name: String = used.chars().take_while(|c| c.is_alphanumeric() || *c == '_').collect();
            if ORDER.iter().position(|known| *known == name).is_some_and(|used_rank| used_rank > rank) {
                wrong.push(format!("{} uses {name}", inside.display()));
            }
        }
    }
    assert!(wrong.is_empty(), "{wrong:#?}");
}

/// Loading does not solve, and what solves is asked with designs: neither knows the other.
#[test]
fn answers_know_no_scenarios() {
    let source = Path::new(env!("CARGO_MANIFEST_DIR")).join("src");
    let mut files = Vec::new();
    rust_files(&source.join("answers"), &mut files);
    for file in files {
        let text = fs::read_to_string(&file).unwrap();
        assert!(!text.contains("crate::scenario"), "{} uses scenario", file.display());
    }
}

#[test]
fn physics_knows_no_files_plots_or_arguments() {
    let source = Path::new(env!("CARGO_MANIFEST_DIR")).join("src");
    for folder in ["units", "numerics", "geometry", "clock", "dynamics", "answers"] {
        let mut files = Vec::new();
        rust_files(&source.join(folder), &mut files);
        for file in files {
            let text = fs::read_to_string(&file).unwrap();
            for outside in ["std::fs", "std::path", "plotters", "clap", "println!", "eprintln!"] {
                assert!(!text.contains(outside), "{} uses {outside}", file.display());
            }
        }
    }
}

#[test]
fn files_are_readable_in_one_sitting() {
    let source = Path::new(env!("CARGO_MANIFEST_DIR")).join("src");
    let mut files = Vec::new();
    rust_files(&source, &mut files);
    for file in files {
        let lines = fs::read_to_string(&file).unwrap().lines().count();
        assert!(lines <= 400, "{} has {lines} lines", file.display());
    }
}
