//! Files of an earlier answer in the same folder that today's answer does not have: beside it they would be taken for its own.

use std::fs;
use std::path::Path;

/// What was written into a folder: for each command a group of lines, its name and the files that it wrote last.
const RECORD: &str = ".written";

/// Removes what `command` once wrote and does not write `now`, unless another command has written it too, and remembers what it
/// writes. Scenarios stay: their maker may have gone on with them.
pub(super) fn clear(folder: &Path, command: &str, now: &[&str]) {
    let record = folder.join(RECORD);
    let before = fs::read_to_string(&record).unwrap_or_default();
    let mut groups: Vec<Vec<&str>> = before.split("\n\n").map(|group| group.lines().collect()).collect();
    groups.retain(|group| !group.is_empty());
    let (own, mut others): (Vec<_>, Vec<_>) = groups.into_iter().partition(|group| group[0] == command);
    let stays = |name: &str| now.contains(&name) || others.iter().any(|group| group[1..].contains(&name));
    for name in own.iter().flat_map(|group| &group[1..]).filter(|name| !stays(name) && is_of_results(name)) {
        // A file that is gone already, or is held by another program, is no reason to fail: the answer is written.
        let _ = fs::remove_file(folder.join(name));
    }
    others.push(std::iter::once(command).chain(now.iter().copied()).collect());
    let text: Vec<String> = others.iter().map(|group| group.join("\n")).collect();
    let _ = fs::write(record, text.join("\n\n") + "\n");
}

/// Whether a name, which somebody may have written into the record by hand, is that of a result in the folder itself.
fn is_of_results(name: &str) -> bool {
    let kinds = [".svg", ".png", ".csv", ".json", ".html", ".dxf"];
    !name.contains(['/', '\\']) && kinds.iter().any(|kind| name.ends_with(kind))
}
