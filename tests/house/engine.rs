//! The engine compiled for a browser is that of today's sources.

use std::fs;
use std::path::Path;

use beatwright::browser::ENGINE;
use beatwright::scenario::fingerprint_of;

use crate::architecture::rust_files;

/// What its numbers come from; how they are worded comes from elsewhere and may be older.
const MADE_OF: [&str; 9] =
    ["units", "numerics", "geometry", "clock", "dynamics", "scenario", "answers", "study", "browser"];

/// `ENGINE=write cargo test --test house engine` takes today's sources as those of the engine: `src/browser/build` does so.
#[test]
fn the_engine_of_the_page_is_not_older_than_its_sources() {
    let source = Path::new(env!("CARGO_MANIFEST_DIR")).join("src");
    let mut files = Vec::new();
    for folder in MADE_OF {
        rust_files(&source.join(folder), &mut files);
    }
    files.sort();
    let texts: Vec<String> = files.iter().map(|file| fs::read_to_string(file).unwrap().replace('\r', "")).collect();
    let today = fingerprint_of(texts.iter().map(String::as_bytes));
    let record = source.join("browser/engine.sources");
    if std::env::var("ENGINE").is_ok_and(|wish| wish == "write") {
        fs::write(&record, format!("{today}\n")).unwrap();
    }
    let recorded = fs::read_to_string(&record).unwrap();
    assert_eq!(recorded.trim(), today, "the engine is older than its sources: run src/browser/build");
}

/// RFC 1952, 2.3.1: the two bytes that every gzip file begins with.
#[test]
fn the_engine_is_compressed() {
    assert_eq!(ENGINE.get(..2), Some(&[0x1f, 0x8b][..]));
    assert!(ENGINE.len() > 100_000, "{} bytes", ENGINE.len());
}
