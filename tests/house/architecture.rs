//! Dependencies point one way: a folder uses only the folders before it, and geometry and physics know nothing of files,
//! plots or the command line.

use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};

const ORDER: [&str; 11] =
    ["units", "numerics", "geometry", "clock", "dynamics", "scenario", "answers", "study", "report", "browser", "cli"];

pub fn rust_files(folder: &Path, found: &mut Vec<PathBuf>) {
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

/// The TOML engine takes what it has to know of a clock's keys as arguments.
#[test]
fn the_toml_engine_knows_no_clock() {
    let engine = Path::new(env!("CARGO_MANIFEST_DIR")).join("src/scenario/toml");
    let mut files = Vec::new();
    rust_files(&engine, &mut files);
    assert!(files.len() > 10, "the engine was not found");
    for file in files {
        let text = fs::read_to_string(&file).unwrap();
        assert!(!text.contains("super::super"), "{} reaches out of the engine", file.display());
        for used in text.split("crate::").skip(1) {
            // `pub(in crate::scenario)` uses nothing.
            let own = ["units::", "scenario::toml::", "scenario)"].iter().any(|start| used.starts_with(start));
            let name: String = used.chars().take_while(|c| !matches!(c, ';' | '{' | '\n')).collect();
            assert!(own, "{} uses {name}", file.display());
        }
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
            for outside in [
                "std::fs",
                "std::path",
                "std::thread",
                "std::time",
                "rayon",
                "plotters",
                "clap",
                "println!",
                "eprintln!",
            ] {
                assert!(!text.contains(outside), "{} uses {outside}", file.display());
            }
        }
    }
}

/// The only files outside the command line that open files: a browser has none, and reads its scenarios as text.
const FILES_OPENED: [&str; 4] =
    ["scenario/sound/mod.rs", "scenario/toml/reach.rs", "scenario/toml/text_file.rs", "scenario/toml/written.rs"];

/// The only file outside the command line that starts threads, and only in a build with the feature for it.
const THREADS_STARTED: &str = "study/parallel.rs";

#[test]
fn what_runs_in_a_browser_has_no_threads_files_or_clock_time() {
    let source = Path::new(env!("CARGO_MANIFEST_DIR")).join("src");
    let mut files = Vec::new();
    for folder in ORDER.into_iter().filter(|folder| *folder != "cli") {
        rust_files(&source.join(folder), &mut files);
    }
    let mut used = Vec::new();
    for file in files {
        let text = fs::read_to_string(&file).unwrap();
        let name = file.strip_prefix(&source).unwrap().to_str().unwrap().to_owned();
        let all =
            ["std::fs", "std::thread", "rayon", "std::time", "SystemTime", "Instant::", "std::env", "std::process"];
        used.extend(all.into_iter().filter(|outside| text.contains(outside)).map(|outside| (name.clone(), outside)));
    }
    let mut known: Vec<(String, &str)> = FILES_OPENED.iter().map(|name| ((*name).to_owned(), "std::fs")).collect();
    known.push((THREADS_STARTED.to_owned(), "rayon"));
    used.sort();
    assert_eq!(used, known);
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

/// Folders whose functions solve; what a report takes from them is a value that was found.
const SOLVING: [&str; 4] = ["answers", "dynamics", "study", "clock::build"];

/// Functions of these folders that only read what was found.
const READING: [&str; 4] = [
    "study::levers::resolution",
    "study::map::lines::same_course",
    "study::portrait::touch",
    "study::spread::plan::place",
];

/// Modules of which nothing, and types of which no value, gets into a report: they are asked, and then they solve.
const ASKED: [&str; 14] = [
    "answers::compensation",
    "answers::cycle",
    "answers::drivable",
    "answers::gain_scan",
    "answers::least_drive",
    "answers::solve::Scanned",
    "answers::solve::Solver",
    "answers::return_map",
    "answers::warm_start",
    "dynamics::motion",
    "study::jobs",
    "study::season::Walk",
    "study::spread::Run",
    "study::trade::Trader",
];

/// All paths below `crate::` in a source text, those of a braced `use` one by one.
fn crate_paths(text: &str) -> Vec<String> {
    let code: String =
        text.lines().map(|line| line.split("//").next().unwrap_or_default()).collect::<Vec<_>>().join(" ");
    code.split("crate::").skip(1).flat_map(|rest| expanded(&mut rest.chars().peekable())).collect()
}

/// The paths of one path or braced tree at the head of `rest`.
fn expanded(rest: &mut std::iter::Peekable<std::str::Chars<'_>>) -> Vec<String> {
    let mut head = String::new();
    while let Some(&letter) = rest.peek() {
        match letter {
            '{' => {
                rest.next();
                let mut found = Vec::new();
                loop {
                    while rest.next_if(|letter| letter.is_whitespace() || *letter == ',').is_some() {}
                    if rest.next_if_eq(&'}').is_some() || rest.peek().is_none() {
                        return found;
                    }
                    found.extend(expanded(rest).into_iter().map(|tail| format!("{head}{tail}")));
                    while rest.next_if(|letter| !matches!(letter, ',' | '}')).is_some() {}
                }
            }
            _ if letter.is_alphanumeric() || matches!(letter, '_' | ':' | '*') => head.push(letter),
            _ => break,
        }
        rest.next();
    }
    vec![head.trim_end_matches(':').to_owned()]
}

/// What a report may not have in it, of a source text.
fn solving(text: &str) -> Vec<String> {
    let threads = ["rayon", "std::thread", "thread::spawn"].into_iter().filter(|name| text.contains(name));
    let within = |path: &str, folder: &str| path == folder || path.starts_with(&format!("{folder}::"));
    let paths = crate_paths(text).into_iter().filter(|path| {
        let value = path.split("::").any(|part| part.starts_with(|first: char| first.is_ascii_uppercase()));
        let function = !value && !READING.contains(&path.as_str());
        ASKED.iter().any(|asked| within(path, asked)) || SOLVING.iter().any(|folder| within(path, folder)) && function
    });
    threads.map(str::to_owned).chain(paths).collect()
}

#[test]
fn a_report_neither_solves_nor_runs_threads() {
    let source = Path::new(env!("CARGO_MANIFEST_DIR")).join("src");
    let mut files = Vec::new();
    rust_files(&source.join("report"), &mut files);
    assert!(files.len() > 60, "the sources were not found");
    let mut used = Vec::new();
    let mut wrong = Vec::new();
    for file in &files {
        let text = fs::read_to_string(file).unwrap();
        used.extend(crate_paths(&text));
        wrong.extend(solving(&text).into_iter().map(|path| format!("{} uses {path}", file.display())));
    }
    assert!(wrong.is_empty(), "{wrong:#?}");
    // What is let through is there, and used.
    for path in READING.into_iter().chain(["answers::prediction::Prediction", "answers::verdict::Reason"]) {
        assert!(used.iter().any(|known| known == path), "{path}");
    }
}

#[test]
fn what_solves_is_told_from_what_was_found() {
    let text = "use crate::answers::{cycle::{FixedPoint, least_start_rad}, prediction::{Prediction, predict}};\n\
                use crate::study::spread::plan::{Draw, place};\n\
                use crate::study::trade::{Trade, Trader};\n\
                use crate::clock::build::{Built, build};\n\
                // crate::answers::verdict::verdict_of in a remark\n\
                let stops = crate::answers::regulation::regulation(design, prediction);\n\
                let reason = crate::answers::verdict::Reason::Jams;\n\
                let all = rayon::join(one, other);";
    assert_eq!(
        solving(text),
        [
            "rayon",
            "answers::cycle::FixedPoint",
            "answers::cycle::least_start_rad",
            "answers::prediction::predict",
            "study::trade::Trader",
            "clock::build::build",
            "answers::regulation::regulation",
        ]
    );
}

#[test]
fn no_two_types_share_a_name() {
    let source = Path::new(env!("CARGO_MANIFEST_DIR")).join("src");
    let mut files = Vec::new();
    rust_files(&source, &mut files);
    let mut homes: BTreeMap<String, Vec<String>> = BTreeMap::new();
    for file in files {
        for line in fs::read_to_string(&file).unwrap().lines() {
            let Some(name) = declared_type(line) else { continue };
            homes.entry(name.to_owned()).or_default().push(file.display().to_string());
        }
    }
    assert!(homes.len() > 500, "the sources were not found");
    homes.retain(|_, files| files.len() > 1);
    assert!(homes.is_empty(), "{homes:#?}");
}

/// The name of the struct, enum, trait or alias that a line outside any block declares.
fn declared_type(line: &str) -> Option<&str> {
    let words: Vec<&str> = line.split_whitespace().collect();
    let at = words.iter().position(|word| !word.starts_with("pub") && *word != "in" && !word.ends_with(')'))?;
    let declared = !line.starts_with(' ') && ["struct", "enum", "trait", "type"].contains(&words[at]);
    words.get(at + 1).filter(|_| declared)?.split(|letter: char| !letter.is_alphanumeric()).next()
}

#[test]
fn declared_types_are_found() {
    assert_eq!(declared_type("pub(in crate::report) struct Sheet<'s> {"), Some("Sheet"));
    assert_eq!(declared_type("enum Mark {"), Some("Mark"));
    assert_eq!(declared_type("pub type Action = PerPallet<PalletAction>;"), Some("Action"));
    assert_eq!(declared_type("    type Item = Mark;"), None);
    assert_eq!(declared_type("pub fn structure() {"), None);
}
