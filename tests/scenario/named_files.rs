//! What a stranger's scenario may make the program read, and show.

use std::fs;
use std::path::Path;

use beatwright::clock::design::{Gravity, Place};
use beatwright::scenario::measured::TableError;
use beatwright::scenario::room_log::{load_log, read_log};
use beatwright::scenario::{FileError, LoadError, NO_OVERRIDES, NamedFiles, load, load_naming};

use crate::support::demo::HERON;

const SECRET: &str = "[default]\nsecret_access_key = wJalrXUtnFEMI\n";

const PLACE: Place = Place {
    gravity: Gravity::ByPlace { latitude_rad: 0.9, height_m: 0.0 },
    temperature_c: 20.0,
    pressure_pa: None,
    relative_humidity: 0.5,
};

fn written(folder: &Path, name: &str, text: &str) -> std::path::PathBuf {
    let path = folder.join(name);
    fs::create_dir_all(path.parent().unwrap()).unwrap();
    fs::write(&path, text).unwrap();
    path
}

fn message(path: &Path) -> String {
    load(path, &NO_OVERRIDES).map_or_else(|error| error.to_string(), |scenario| scenario.hash)
}

#[test]
fn regress_a_file_elsewhere_is_read_only_where_the_user_allows_it() {
    let folder = tempfile::tempdir().unwrap();
    written(folder.path(), "heron.toml", HERON);
    let upper = written(folder.path(), "below/mine.toml", "from = \"../heron.toml\"\n");
    let refused = message(&upper);
    assert!(refused.contains("mine.toml:1:8") && refused.contains("--files-from-elsewhere"), "{refused}");
    assert!(load_naming(&upper, &NO_OVERRIDES, NamedFiles::Anywhere).is_ok());
    let beside = written(folder.path(), "mine.toml", "from = \"below/../heron.toml\"\n");
    assert!(load(&beside, &NO_OVERRIDES).is_ok());
}

#[cfg(unix)]
#[test]
fn regress_a_link_out_of_the_folder_leads_out_of_it() {
    let folder = tempfile::tempdir().unwrap();
    let secret = written(folder.path(), "home/credentials", SECRET);
    let upper = written(folder.path(), "clock/mine.toml", "from = \"base.toml\"\n");
    std::os::unix::fs::symlink(&secret, folder.path().join("clock/base.toml")).unwrap();
    let refused = message(&upper);
    assert!(refused.contains("not in the folder") && !refused.contains("secret"), "{refused}");
}

#[test]
fn regress_lines_of_a_file_that_is_no_scenario_are_not_shown() {
    let folder = tempfile::tempdir().unwrap();
    written(folder.path(), "credentials", SECRET);
    let upper = written(folder.path(), "mine.toml", "from = \"credentials\"\n");
    for files in [NamedFiles::InItsFolder, NamedFiles::Anywhere] {
        let refused = load_naming(&upper, &NO_OVERRIDES, files).unwrap_err().to_string();
        assert!(refused.contains("is no scenario") && !refused.contains("wJalr"), "{refused}");
    }
    let refused = read_log("credentials", SECRET, &PLACE).unwrap_err().to_string();
    assert!(refused.contains("credentials:1") && refused.contains("help"), "{refused}");
    assert!(!refused.contains("secret") && !refused.contains("wJalr"), "{refused}");
}

// A pipe that nobody writes to was waited for.
#[cfg(unix)]
#[test]
fn regress_a_pipe_or_device_is_not_waited_for() {
    let folder = tempfile::tempdir().unwrap();
    let pipe = folder.path().join("pipe");
    assert!(std::process::Command::new("mkfifo").arg(&pipe).status().unwrap().success());
    for path in [pipe.as_path(), Path::new("/dev/zero")] {
        assert!(matches!(load(path, &NO_OVERRIDES), Err(LoadError::File(FileError::NotRegular { .. }))));
        assert!(matches!(load_log(path, &PLACE), Err(TableError::NotRegular { .. })));
    }
    let upper = written(folder.path(), "mine.toml", "from = \"pipe\"\n");
    assert!(message(&upper).contains("no regular file"));
    let drawn = "[escapement.outline]\nteeth = 30\ncentre_distance = \"80 mm\"\nfriction = 0.2\n[escapement.outline.drawing]\nfile = \
                 \"pipe\"\ntooth = \"a\"\nentry = \"b\"\nexit = \"c\"\n";
    let drawing = written(folder.path(), "drawn.toml", drawn);
    assert!(message(&drawing).contains("pipe is not a file"));
}

/// Numbers that look random, the same every time (the MMIX generator: Knuth, TAOCP vol. 2, 3.3.4 table 1; recalled).
struct Dice(u64);

impl Dice {
    fn below(&mut self, end: usize) -> usize {
        self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        (self.0 >> 33) as usize % end
    }

    /// The bytes with some changed, swapped for others of the text, cut out, or the end cut off.
    fn mutated(&mut self, text: &str) -> Vec<u8> {
        let mut bytes = text.as_bytes().to_vec();
        for _ in 0..=self.below(4) {
            let (at, from) = (self.below(bytes.len()), self.below(bytes.len()));
            match self.below(5) {
                0 => bytes[at] = self.below(256) as u8,
                1 => bytes[at] = bytes[from],
                2 => bytes.truncate(at.max(1)),
                3 => drop(bytes.drain(at..(at + self.below(40)).min(bytes.len()))),
                _ => bytes.insert(at, b"\"'[]=,.-\n#"[self.below(10)]),
            }
            if bytes.is_empty() {
                bytes.push(b'\n');
            }
        }
        bytes
    }
}

/// A message says in which file and line, and what to do.
fn is_placed(name: &str, said: &str) {
    assert!(said.contains(&format!("{name}:")), "no place: {said}");
    let helps = ["help: ", "; save it as", "; `beatwright new", "its first line names the columns"];
    assert!(helps.iter().any(|help| said.contains(help)), "no help: {said}");
}

#[test]
fn regress_every_problem_of_a_mutated_file_has_its_place_and_help() {
    let folder = tempfile::tempdir().unwrap();
    let log = include_str!("../../scenarios/autumn-room.csv");
    let log: String = log.lines().take(60).map(|line| format!("{line}\n")).collect();
    let mut dice = Dice(17);
    for _ in 0..1500 {
        let path = folder.path().join("mine.toml");
        fs::write(&path, dice.mutated(HERON)).unwrap();
        if let Err(error) = load(&path, &NO_OVERRIDES) {
            is_placed("mine.toml", &error.to_string());
        }
        let path = folder.path().join("room.csv");
        fs::write(&path, dice.mutated(&log)).unwrap();
        if let Err(error) = load_log(&path, &PLACE) {
            is_placed("room.csv", &error.to_string());
        }
    }
}
