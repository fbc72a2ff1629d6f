//! Damaged files for the three readers: scenarios, drawings and logs. None makes a reader panic, hang or flood, and every problem is told in its
//! place.

use std::sync::LazyLock;

use beatwright::clock::design::{Gravity, Place};
use beatwright::report::drawing::dxf_text;
use beatwright::scenario::drawing::{DrawingRequest, outlines_by_layer};
use beatwright::scenario::measured::TableError;
use beatwright::scenario::room_log::read_log;
use beatwright::scenario::{LoadError, MOST_PROBLEMS, NO_OVERRIDES, read_any, starter};

use crate::bounds::Complaints;
use crate::dice::Dice;
use crate::held::not_numbers;
use crate::support::clocks::dead_beat_clock;
use crate::support::demo::{HERON, PLOVER, WREN};

/// Longest report of a file's problems, bytes.
const LONGEST_REPORT: usize = 300_000;

const LOG: &str = include_str!("../../scenarios/autumn-room.csv");
const DRAWINGS: [&str; 2] =
    [include_str!("../data/drawing/ezdxf-1.4.5-R12.dxf"), include_str!("../data/drawing/ezdxf-1.4.5-R2010.dxf")];

/// A drawing of this program's own.
static OWN_DRAWING: LazyLock<String> = LazyLock::new(|| {
    let outlines = dead_beat_clock().outlines;
    dxf_text(&[("TOOTH", &outlines.tooth), ("ENTRY", &outlines.pallets.entry), ("EXIT", &outlines.pallets.exit)])
});

/// Logs of a few rows in other ways of writing; the long one is cut.
const LOGS: [&str; 3] = [
    "time,temperature_degC,humidity_%,pressure_hPa\n2025-10-06T00:00,18.5,57,1012.5\n2025-10-06T01:00,18.25,57.5,1011\n\
     2025-10-06T02:00,18,58,1010.25\n",
    "# ours\ntime_min,temperature [degF]\n0,65\n30,66.5\n60,\"66\"\n90,64\n",
    "pressure (inHg), time ,temperature_degC,note\n29.9,2025-10-06T00:00+02:00,18,a\n29.8,2025-10-06T00:10+02:00,18.1,\"b, c\"\n",
];

const PLACE: Place = Place {
    gravity: Gravity::ByPlace { latitude_rad: 0.9, height_m: 0.0 },
    temperature_c: 20.0,
    pressure_pa: None,
    relative_humidity: 0.5,
};

/// Pieces that break grammars and numbers.
const PIECES: [&str; 32] = [
    "\"",
    "'",
    "[",
    "]]",
    "{",
    "}",
    "=",
    ",",
    "\n",
    "\r",
    "\t",
    "\u{0}",
    "\u{feff}",
    "#",
    "nan",
    "-inf",
    "1e999",
    "1e-320",
    "-1",
    "0",
    "99999999999999999999999",
    "\"1e308 Gm\"",
    "ß𝄞",
    "+/-",
    "deg",
    "2025-02-30T25:61",
    "2025-10-06T00:00Z",
    "SECTION",
    "POLYLINE",
    "  0\n",
    "999999999\n",
    "\\u{110000}",
];

/// Number `number` of the storm of files, and what is wrong with its reading.
pub fn read(seed: u64, number: u64) -> Complaints {
    let mut dice = Dice::of(!seed, number);
    let (kind, bytes) = thrown(&mut dice);
    match kind {
        Kind::Scenario => scenario(&String::from_utf8_lossy(&bytes)),
        Kind::Drawing => drawing(&bytes),
        Kind::Log => log(&String::from_utf8_lossy(&bytes)),
    }
}

/// What a file is read as.
#[derive(Debug, Clone, Copy)]
pub enum Kind {
    Scenario,
    Drawing,
    Log,
}

/// A damaged file.
pub fn thrown(dice: &mut Dice) -> (Kind, Vec<u8>) {
    let (kind, text) = match dice.below(9) {
        0 => (Kind::Scenario, HERON),
        1 => (Kind::Scenario, WREN),
        2 => (Kind::Scenario, PLOVER),
        3 => (Kind::Scenario, starter()),
        4 => (Kind::Drawing, OWN_DRAWING.as_str()),
        5 => (Kind::Drawing, dice.pick(&DRAWINGS)),
        6 => (Kind::Log, dice.pick(&LOGS)),
        7 => (Kind::Log, dice.pick(&LOGS)),
        _ => (Kind::Log, &LOG[..LOG.char_indices().nth(3000).map_or(LOG.len(), |(end, _)| end)]),
    };
    let mut bytes = text.as_bytes().to_vec();
    for _ in 0..=dice.below(6) {
        damage(dice, &mut bytes);
    }
    (kind, bytes)
}

fn damage(dice: &mut Dice, bytes: &mut Vec<u8>) {
    let at = dice.below(bytes.len() + 1);
    let length = dice.below(40).min(bytes.len() - at);
    match dice.below(8) {
        0 => {
            bytes.splice(at..at + length, dice.pick(&PIECES).bytes());
        }
        1 => {
            bytes.splice(at..at, dice.pick(&PIECES).bytes());
        }
        2 => {
            bytes.drain(at..at + length);
        }
        3 if at < bytes.len() => bytes[at] = dice.next() as u8,
        4 => {
            let piece: Vec<u8> = bytes[at..at + length].to_vec();
            let to = dice.below(bytes.len() + 1);
            bytes.splice(to..to, piece);
        }
        5 => {
            // A line twice, or out of its place.
            let line: Vec<u8> = bytes.split(|&byte| byte == b'\n').nth(dice.below(40)).unwrap_or_default().to_vec();
            let start = bytes[at..].iter().position(|&byte| byte == b'\n').map_or(bytes.len(), |end| at + end + 1);
            bytes.splice(start..start, line.into_iter().chain([b'\n']));
        }
        6 => {
            let digits: Vec<usize> = (0..bytes.len()).filter(|&at| bytes[at].is_ascii_digit()).collect();
            if !digits.is_empty() {
                let at = digits[dice.below(digits.len())];
                bytes.splice(at..=at, dice.pick(&["", "9", "0", "-", "1e", ".", "7 "]).bytes());
            }
        }
        _ => bytes.truncate(bytes.len() - dice.below(bytes.len() / 4 + 1)),
    }
}

fn scenario(text: &str) -> Complaints {
    match read_any("thrown.toml", text, &NO_OVERRIDES) {
        Ok(_) => Vec::new(),
        Err(LoadError::Problems(problems)) => {
            let report = problems.render(false);
            let mut found = flooding(&report);
            if problems.count() == 0 || problems.list().len() > MOST_PROBLEMS {
                found.push(format!("{} problems, {} of them told", problems.count(), problems.list().len()));
            }
            found.extend(crate::thrown::without_place(&LoadError::Problems(problems)));
            found
        }
        Err(LoadError::Empty { .. }) if text.trim_start_matches('\u{feff}').trim().is_empty() => Vec::new(),
        Err(other) => vec![format!("not a problem of the file: {other}")],
    }
}

fn drawing(bytes: &[u8]) -> Complaints {
    let request = DrawingRequest { layers: &["TOOTH", "ENTRY", "EXIT"], join_m: 1e-5, unit: None };
    match outlines_by_layer(bytes, &request) {
        Ok(layers) => not_numbers(&format!("{layers:?}")),
        Err(problems) => {
            let mut found = flooding(&problems.to_string());
            let lines = bytes.split(|&byte| byte == b'\n').count();
            if problems.list().is_empty() {
                found.push("refused without a problem".to_owned());
            }
            if problems
                .list()
                .iter()
                .any(|problem| problem.line > lines || problem.message.is_empty() || problem.help.is_empty())
            {
                found.push(format!("a problem without its place or help: {problems}"));
            }
            found
        }
    }
}

fn log(text: &str) -> Complaints {
    match read_log("room.csv", text, &PLACE) {
        Ok(log) => not_numbers(&format!("{:?}", log.moments)),
        Err(TableError::Problems(problems)) => {
            let mut found = flooding(&problems.render(false));
            found.extend(crate::thrown::without_place(&LoadError::Problems(problems)));
            found
        }
        Err(TableError::Empty { .. }) => Vec::new(),
        Err(other) => vec![format!("not a problem of the file: {other}")],
    }
}

fn flooding(report: &str) -> Complaints {
    if report.len() > LONGEST_REPORT { vec![format!("a report of {} bytes", report.len())] } else { Vec::new() }
}
