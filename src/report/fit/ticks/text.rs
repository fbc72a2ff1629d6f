//! What the ticks of a clock say, as text.

use std::fmt::Write as _;

use crate::clock::SECONDS_PER_HOUR;
use crate::report::words::numbers::{counted, line, number};
use crate::study::fit::Estimate;
use crate::study::fit::ticks::{ArborPattern, NoWheelPattern, TickingKind, TicksFit};

use super::sentences::diagnosis_in_words;
use super::{TickSource, TicksView};

/// Deviations of an amplitude above which it is more than chance.
const MORE_THAN_CHANCE: f64 = 3.5;

/// How far the clock of a telephone may be off, parts in a million: common practice, no source.
const SOUND_CLOCK_PPM: f64 = 20.0;

/// Times that are listed at most.
const LISTED: usize = 5;

/// The findings as a table and sentences.
#[must_use]
pub fn table(view: &TicksView<'_>) -> String {
    let fit = view.fit;
    let mut out = format!("{}: what its ticks say\n\n", view.name);
    line(&mut out, "ticks used", &format!("{} in {}", fit.deviations.len(), duration(fit.span_s)));
    sound(&mut out, view);
    let period = fit.period_s;
    let digits = decimals_for(period.sigma);
    line(&mut out, "period", &format!("{} s +/- {} s", number(period.value, digits), number(period.sigma, digits)));
    if let Some(rate) = fit.rate_s_per_day {
        line(&mut out, "rate", &format!("{} s/day (positive: gains)", with_sigma(rate, 1.0)));
    }
    line(&mut out, "out of beat by", &out_of_beat(fit));
    line(&mut out, "scatter of a tick", &format!("{} ms", significant_ms(fit.scatter_s)));
    line(&mut out, "missed", &listed(&fit.missed_s));
    line(&mut out, "double", &listed(&fit.double_s));
    if !fit.left_out_s.is_empty() {
        line(&mut out, "too far off to be used", &listed(&fit.left_out_s));
    }
    if fit.strays > 0 {
        line(&mut out, "other sounds", &fit.strays.to_string());
    }
    for other in &fit.others {
        let ticks = counted(other.ticks, "tick", "ticks");
        match other.kind {
            TickingKind::AnotherClock => {
                line(
                    &mut out,
                    "another clock",
                    &format!("beats every {} s; {ticks} left out", number(other.beat_s, 4)),
                );
            }
            TickingKind::InStep { after_s } => {
                let side = if after_s < 0.0 { "before" } else { "after" };
                let place = format!("{} ms {side} the tick; {ticks} left out", number(1e3 * after_s.abs(), 0));
                line(&mut out, "a second sound in step", &place);
            }
        }
    }
    remarks(&mut out, view);
    wheel(&mut out, view);
    arbors(&mut out, &fit.arbors);
    out
}

fn sound(out: &mut String, view: &TicksView<'_>) {
    let TickSource::Sound { rate_hz, duration_s, damaged, band_hz } = view.source else { return };
    let band = match band_hz {
        (from, Some(to)) => format!("{} Hz to {} Hz", number(from, 0), number(to, 0)),
        (from, None) => format!("above {} Hz", number(from, 0)),
    };
    line(out, "recording", &format!("{}, {rate_hz} samples a second, heard {band}", duration(duration_s)));
    let heard = 1e2 * view.fit.heard_share();
    let above = view.fit.loudness.map_or_else(String::new, |loudness| {
        format!(", {} dB above the noise of the room", number(20.0 * loudness.max(1e-9).log10(), 0))
    });
    line(out, "quality", &format!("{} % of the beats heard{above}", number(heard, 1)));
    if damaged > 0 {
        line(out, "damaged", &format!("{}, taken for silence", counted(damaged, "piece", "pieces")));
    }
}

fn out_of_beat(fit: &TicksFit) -> String {
    let error = fit.beat_error_s;
    let mut text = format!("{} ms +/- {} ms", number(1e3 * error.value.abs(), 2), number(1e3 * error.sigma, 2));
    let pallets = fit.diagnosis.as_ref().and_then(|diagnosis| diagnosis.pallets_rad);
    if let Some(angle) = pallets {
        let degrees = number(angle.value.to_degrees().abs(), 3);
        let _ = write!(text, "; to correct, turn the pallets on the pendulum by {degrees} deg");
    }
    text
}

fn remarks(out: &mut String, view: &TicksView<'_>) {
    let fit = view.fit;
    let mut say = |text: &str| {
        let _ = writeln!(out, "  {text}");
    };
    if fit.wanders {
        say("The pace wanders; the period's uncertainty follows from the parts of the record, not from single ticks.");
    }
    if let TickSource::Sound { .. } = view.source {
        let per_day = number(SOUND_CLOCK_PPM * 0.0864, 1);
        say(&format!(
            "A telephone's own clock may be off by {} parts in a million: {per_day} s/day of the rate may be its.",
            number(SOUND_CLOCK_PPM, 0)
        ));
    }
    let together: usize = fit.others.iter().map(|other| other.together).sum();
    if together > 0 {
        let ticks = counted(together, "tick that fell", "ticks that fell");
        say(&format!("{ticks} together with another clock's were left out."));
    }
    if fit.others.iter().any(|other| matches!(other.kind, TickingKind::InStep { .. })) {
        say("A sound in step with the ticks is a part of every beat, or another clock that cannot be told from it.");
    }
}

fn wheel(out: &mut String, view: &TicksView<'_>) {
    let fit = view.fit;
    match &fit.by_beat_s {
        Err(NoWheelPattern::TeethUnknown) if view.scenario.is_none() => {
            out.push_str("\nTeeth and arbors are not told apart without a scenario: give it before --ticks.\n");
        }
        Err(NoWheelPattern::TeethUnknown) => {
            out.push_str("\nThe scenario has no escape wheel, so that teeth are not told apart.\n");
        }
        Err(NoWheelPattern::TooShort { turns, turn_s }) => {
            let _ = writeln!(
                out,
                "\nTeeth are not told apart: the record holds {} turns of the escape wheel, which turns in {} s; three are needed.",
                number(*turns, 1),
                number(*turn_s, 0)
            );
        }
        Ok(by_beat_s) => {
            let squares: f64 = by_beat_s.iter().map(|beat| beat.value * beat.value).sum();
            let mean_ms = 1e3 * (squares / by_beat_s.len().max(1) as f64).sqrt();
            let sigma_ms = 1e3 * by_beat_s.first().map_or(0.0, |beat| beat.sigma);
            let _ = writeln!(
                out,
                "\nWith the turn of the escape wheel\n  Its {} beats depart by {} ms on the mean (root mean square), each known to {} ms.",
                by_beat_s.len(),
                number(mean_ms, 2),
                number(sigma_ms, 2)
            );
            match (&fit.diagnosis, view.scenario) {
                (Some(diagnosis), _) => {
                    for sentence in diagnosis_in_words(diagnosis) {
                        let _ = writeln!(out, "  {sentence}");
                    }
                }
                (None, Some(Some(reason))) => {
                    let _ = writeln!(out, "  Milliseconds are not turned into millimetres: {reason}.");
                }
                (None, _) => {
                    let _ = writeln!(out, "  The scenario's motion does not say what teeth would do to the beats.");
                }
            }
        }
    }
}

fn arbors(out: &mut String, arbors: &[ArborPattern]) {
    if arbors.is_empty() {
        return;
    }
    out.push_str("\nWith the turns of the arbors above\n");
    for arbor in arbors {
        let said = match arbor.amplitude_s {
            None => "not told: the record is too short, or it keeps step with another".to_owned(),
            Some(amplitude) => {
                let value =
                    format!("{} ms +/- {} ms", significant_ms(amplitude.value), significant_ms(amplitude.sigma));
                let chance = amplitude.value < MORE_THAN_CHANCE * amplitude.sigma;
                if chance { format!("{value}, no more than chance") } else { format!("early and late by {value}") }
            }
        };
        line(out, &format!("{}, once in {}", arbor.name, duration(arbor.turn_s)), &said);
    }
}

/// "12 min 30 s".
fn duration(time_s: f64) -> String {
    let whole = time_s.round();
    let (hours, minutes) = ((whole / SECONDS_PER_HOUR).floor(), (whole % SECONDS_PER_HOUR / 60.0).floor());
    if hours > 0.0 {
        format!("{} h {} min", number(hours, 0), number(minutes, 0))
    } else if minutes > 0.0 {
        format!("{} min {} s", number(minutes, 0), number(whole % 60.0, 0))
    } else {
        format!("{} s", number(time_s, 1))
    }
}

/// Decimals that show two figures of an uncertainty.
fn decimals_for(sigma: f64) -> usize {
    if sigma > 0.0 { (1.0 - sigma.log10().floor()).clamp(0.0, 9.0) as usize } else { 6 }
}

fn with_sigma(value: Estimate, scale: f64) -> String {
    let decimals = decimals_for(scale * value.sigma).min(4);
    format!("{} +/- {}", number(scale * value.value, decimals), number(scale * value.sigma, decimals))
}

fn significant_ms(time_s: f64) -> String {
    let time_ms = 1e3 * time_s;
    number(
        time_ms,
        if time_ms.abs() < 0.1 {
            4
        } else if time_ms.abs() < 10.0 {
            2
        } else {
            1
        },
    )
}

/// "none", "3: at 1.2 s, 3.4 s, 5.6 s".
fn listed(times_s: &[f64]) -> String {
    if times_s.is_empty() {
        return "none".to_owned();
    }
    let first: Vec<String> = times_s.iter().take(LISTED).map(|&time_s| format!("{} s", number(time_s, 1))).collect();
    let more = if times_s.len() > LISTED { ", ..." } else { "" };
    format!("{}: at {}{more}", times_s.len(), first.join(", "))
}
