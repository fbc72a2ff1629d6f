//! Answers anew when a file is saved: what was changed and what came of it, errors at their place, and a page served on this machine alone.

use std::fs;
use std::io::{BufRead as _, BufReader, Read as _, Write as _};
use std::net::TcpStream;
use std::path::Path;
use std::process::{Child, Command, Stdio};
use std::sync::mpsc::{Receiver, channel};
use std::time::Duration;

use crate::support::plain;
use crate::support::program::beatwright;

/// Longest wait for a line; a debug build on a busy machine answers within a tenth of it.
const PATIENCE: Duration = Duration::from_secs(120);

/// The program beside an editor.
struct Beside {
    program: Child,
    lines: Receiver<String>,
}

impl Beside {
    fn start(folder: &Path, arguments: &[&str]) -> Self {
        let mut program = Command::new(assert_cmd::cargo::cargo_bin!("beatwright"))
            .current_dir(folder)
            .args(arguments)
            .stdout(Stdio::piped())
            .stderr(Stdio::null())
            .spawn()
            .unwrap();
        let (tell, lines) = channel();
        let out = BufReader::new(program.stdout.take().unwrap());
        std::thread::spawn(move || out.lines().map_while(Result::ok).all(|line| tell.send(line).is_ok()));
        Self { program, lines }
    }

    /// All lines up to the one that says that it waits for the next save.
    fn answer(&self) -> String {
        let mut all = String::new();
        loop {
            let line = self.lines.recv_timeout(PATIENCE).unwrap_or_else(|_| panic!("no answer, only:\n{all}"));
            all.push_str(&line);
            all.push('\n');
            if line.contains("Ctrl-C ends") {
                return all;
            }
        }
    }
}

impl Drop for Beside {
    fn drop(&mut self) {
        let _ = self.program.kill();
        let _ = self.program.wait();
    }
}

#[test]
fn a_save_tells_what_was_changed_and_what_came_of_it() {
    let folder = tempfile::tempdir().unwrap();
    let file = |name: &str| folder.path().join(name);
    fs::write(file("wren.toml"), plain::WREN).unwrap();
    fs::write(file("mine.toml"), "from = \"wren.toml\"\n").unwrap();
    let beside = Beside::start(folder.path(), &["predict", "mine.toml", "--watch"]);
    let first = beside.answer();
    assert!(first.contains("keeps going") && first.contains("one of 2 files"), "{first}");

    fs::write(file("mine.toml"), "from = \"wren.toml\"\n[drive]\nweight = \"2 kg\"\n").unwrap();
    let second = beside.answer();
    assert!(second.contains("drive.weight") && second.contains("semi-arc (deg)"), "{second}");
    assert!(!second.contains("run time"), "a figure that stayed is told: {second}");

    // The lower file; an error keeps the last good answer, on the screen and in the folder.
    let results = || fs::read_to_string(file("notebooks-out/mine/results.json")).unwrap();
    let good = results();
    fs::write(file("wren.toml"), format!("nonsense = 1\n{}", plain::WREN)).unwrap();
    let third = beside.answer();
    assert!(third.contains("nonsense") && third.contains("wren.toml:"), "{third}");
    assert!(third.contains("Last good answer:\nAnswer 2"), "{third}");
    assert_eq!(results(), good);

    // An editor that writes beside and renames.
    fs::write(file("wren.toml~"), plain::WREN).unwrap();
    fs::rename(file("wren.toml~"), file("wren.toml")).unwrap();
    assert!(beside.answer().contains("Answer 3"));
}

#[test]
fn a_page_is_served_on_this_machine_alone() {
    let folder = tempfile::tempdir().unwrap();
    fs::write(folder.path().join("wren.toml"), plain::WREN).unwrap();
    let beside = Beside::start(folder.path(), &["page", "wren.toml", "--draft", "--watch"]);
    let told = beside.answer();
    let host = told.split_once("http://").unwrap().1.split('/').next().unwrap().to_owned();
    assert!(host.starts_with("127.0.0.1:"), "{host}");
    let ask = |path: &str, name: &str| {
        let mut stream = TcpStream::connect(&host).unwrap();
        write!(stream, "GET {path} HTTP/1.1\r\nHost: {name}\r\nConnection: close\r\n\r\n").unwrap();
        let mut answer = String::new();
        stream.read_to_string(&mut answer).unwrap();
        answer
    };
    let file = fs::read_to_string(folder.path().join("notebooks-out/wren/page.html")).unwrap();
    let body = |answer: &str| answer.split_once("\r\n\r\n").unwrap().1.to_owned();
    assert_eq!(body(&ask("/page.html?1", &host)), file);
    assert!(ask("/", &host).contains("<iframe"));
    assert_eq!(body(&ask("/state.json", &host)), r#"{"number":1,"error":null}"#);
    assert!(ask("/page.html", "clock.example").starts_with("HTTP/1.1 403"), "another host's name leads to the page");
    assert!(ask("/../wren.toml", &host).starts_with("HTTP/1.1 404"));

    fs::write(folder.path().join("wren.toml"), "nonsense").unwrap();
    beside.answer();
    let state = ask("/state.json", &host);
    assert!(state.contains(r#""number":1"#) && state.contains("wren.toml:1"), "{state}");
    assert_eq!(body(&ask("/page.html?2", &host)), file, "the last good page is gone");
}

#[test]
fn what_is_no_file_cannot_be_waited_for() {
    let refused = |arguments: &[&str]| {
        let output = beatwright().args(arguments).output().unwrap();
        assert_eq!(output.status.code(), Some(2), "{arguments:?}");
        String::from_utf8(output.stderr).unwrap()
    };
    assert!(refused(&["predict", "-", "--watch"]).contains("give a file"));
    assert!(refused(&["predict", "heron.toml", "--watch", "--json"]).contains("--json"));
}
