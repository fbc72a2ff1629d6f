//! A time as the dial shows it.

/// A time after twelve, s, as hours and minutes, with seconds where there are any: `12:05`, `8:52:30`.
#[must_use]
pub fn dial_time(time_s: f64) -> String {
    let seconds = time_s.round() as u64;
    let (hour, minute, second) = (seconds / 3600 % 12, seconds / 60 % 60, seconds % 60);
    let hour = if hour == 0 { 12 } else { hour };
    if second == 0 { format!("{hour}:{minute:02}") } else { format!("{hour}:{minute:02}:{second:02}") }
}
