//! Suggests the known word nearest to a mistyped one.

/// Longest word that is compared, characters; no key is longer.
const LONGEST_WORD: usize = 60;

/// Words listed where none is near.
const MOST_LISTED: usize = 40;

/// The word of `known` nearest to `written`; `None` if all are too far to be meant.
#[must_use]
pub fn nearest<'w>(written: &str, known: &[&'w str]) -> Option<&'w str> {
    let length = written.chars().count();
    if length > LONGEST_WORD {
        return None;
    }
    let written = written.to_lowercase().replace([' ', '-'], "_");
    let farthest = (length / 3).max(1);
    let near = known
        .iter()
        .map(|&word| (strsim::osa_distance(&written, &word.to_lowercase()), word))
        .filter(|&(distance, _)| distance <= farthest)
        .min_by_key(|&(distance, _)| distance);
    // A word that is part of the other ("diameter" for "drum_diameter") is near whatever the distance.
    let contained = || {
        let part =
            |word: &&str| length > 3 && (word.contains(written.as_str()) || written.contains(*word) && word.len() > 3);
        known.iter().copied().find(part)
    };
    near.map(|(_, word)| word).or_else(contained)
}

/// A help line: the nearest word, or all words. `what` names them, "key" or "name".
#[must_use]
pub fn suggestion(written: &str, known: &[&str], what: &str) -> String {
    if let Some(near) = nearest(written, known) {
        return format!("did you mean `{near}`?");
    }
    if known.is_empty() {
        return format!("no {what} fits here");
    }
    let mut listed: Vec<String> = known.iter().take(MOST_LISTED).map(|word| format!("`{word}`")).collect();
    if known.len() > MOST_LISTED {
        listed.push("…".to_owned());
    }
    format!("the {what}s here are {}", listed.join(", "))
}
