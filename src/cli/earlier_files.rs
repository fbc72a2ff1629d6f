//! Files of an earlier answer in the same folder that today's answer does not have: beside it they would be taken for its own.

use std::fs;
use std::path::Path;

/// What was written into a folder: a file a line, those written together in a group of their own.
const RECORD: &str = ".written";

/// Removes what was once written together with a file that is now written anew and is not written `now`, and remembers what is. Scenarios
/// stay: their maker may have gone on with them.
pub(super) fn clear(folder: &Path, now: &[&str]) {
    let record = folder.join(RECORD);
    let before = fs::read_to_string(&record).unwrap_or_default();
    let mut groups: Vec<Vec<&str>> = before.split("\n\n").map(|group| group.lines().collect()).collect();
    groups.retain(|group| !group.is_empty());
    let (same, mut others): (Vec<_>, Vec<_>) =
        groups.into_iter().partition(|group| group.iter().any(|name| now.contains(name)));
    for name in same.into_iter().flatten().filter(|name| !now.contains(name) && is_of_results(name)) {
        // A file that is gone already, or is held by another program, is no reason to fail: the answer is written.
        let _ = fs::remove_file(folder.join(name));
    }
    others.push(now.to_vec());
    let text: Vec<String> = others.iter().map(|group| group.join("\n")).collect();
    let _ = fs::write(record, text.join("\n\n") + "\n");
}

/// Whether a name, which somebody may have written into the record by hand, is that of a result in the folder itself.
fn is_of_results(name: &str) -> bool {
    let kinds = [".svg", ".png", ".csv", ".json", ".html", ".dxf"];
    !name.contains(['/', '\\']) && kinds.iter().any(|kind| name.ends_with(kind))
}
