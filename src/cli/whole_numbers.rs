//! Whole numbers as typed: 30, 30,32,36 or 24..40.

use super::failure::Failure;

/// The numbers that a text lists, rising, none twice, each from `least` to `most`.
pub(super) fn whole_numbers(flag: &str, text: &str, (least, most): (u32, u32)) -> Result<Vec<u32>, Failure> {
    let refuse = |what: String| Failure::arguments(format!("{flag} {text}: {what}"));
    let number = |word: &str| {
        let word = word.trim();
        match word.parse::<u32>() {
            Ok(number) if (least..=most).contains(&number) => Ok(number),
            Ok(number) => Err(refuse(format!("{number} is not possible; give whole numbers from {least} to {most}"))),
            Err(_) => Err(refuse(format!(
                "\"{word}\" is not a whole number from {least} to {most}; write 30, 30,32 or 24..40"
            ))),
        }
    };
    let mut numbers = Vec::new();
    for part in text.split(',') {
        match part.split_once("..") {
            Some((low, high)) => {
                let (low, high) = (number(low)?, number(high)?);
                if low > high {
                    return Err(refuse(format!("the range runs from {low} down to {high}; write {high}..{low}")));
                }
                numbers.extend(low..=high);
            }
            None => numbers.push(number(part)?),
        }
    }
    numbers.sort_unstable();
    numbers.dedup();
    Ok(numbers)
}
