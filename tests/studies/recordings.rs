//! Clocks heard: recordings synthesised here, read from files as a telephone writes them.

use std::f64::consts::TAU;
use std::path::{Path, PathBuf};

use beatwright::scenario::sound::{SoundError, read_sound};
use beatwright::study::fit::ticks::onsets::{BANDS, OnsetFinder};
use beatwright::study::fit::ticks::{HeardTick, NoTicks, TickingKind, fit_ticks};

use crate::support::dice::Dice;

const RATE_HZ: u32 = 44_100;

/// Sound in the making.
struct Tape {
    samples: Vec<f64>,
    dice: Dice,
}

impl Tape {
    fn of_noise(duration_s: f64, noise: f64, seed: u64) -> Self {
        let mut dice = Dice(seed);
        let count = (duration_s * f64::from(RATE_HZ)) as usize;
        Self { samples: (0..count).map(|_| noise * dice.normal()).collect(), dice }
    }

    /// A damped ring at a moment between samples, its phase at random.
    fn tick(&mut self, at_s: f64, loud: f64, pitch_hz: f64, ring_s: f64) {
        let rate = f64::from(RATE_HZ);
        let phase = TAU * self.dice.even();
        let from = (at_s * rate).ceil() as usize;
        for (index, sample) in self.samples.iter_mut().enumerate().skip(from).take((10.0 * ring_s * rate) as usize) {
            let t = index as f64 / rate - at_s;
            *sample += loud * (-t / ring_s).exp() * (TAU * pitch_hz * t + phase).sin();
        }
    }

    /// Vowels, a row of harmonics each, some with a hiss before it.
    fn speech(&mut self, loud: f64) {
        let rate = f64::from(RATE_HZ);
        let mut at_s = 0.2;
        let end_s = self.samples.len() as f64 / rate - 0.5;
        while at_s < end_s {
            let long_s = 0.05 + 0.12 * self.dice.even();
            let pitch_hz = 110.0 + 80.0 * self.dice.even();
            let hiss = if self.dice.even() < 0.4 { 0.7 } else { 0.05 };
            let from = (at_s * rate) as usize;
            let count = (long_s * rate) as usize;
            for index in 0..count {
                let (t, share) = (index as f64 / rate, index as f64 / count as f64);
                let swell = (0.5 * TAU * share).sin();
                let vowel: f64 = (1..25).map(|n| (TAU * pitch_hz * f64::from(n) * t).sin() / f64::from(n)).sum();
                self.samples[from + index] += loud * swell * (vowel + hiss * self.dice.normal());
            }
            at_s += long_s + 0.03 + 0.15 * self.dice.even();
            if self.dice.even() < 0.12 {
                at_s += 0.7 * self.dice.even();
            }
        }
    }

    fn write(&self, path: &Path) {
        let spec = hound::WavSpec {
            channels: 1,
            sample_rate: RATE_HZ,
            bits_per_sample: 16,
            sample_format: hound::SampleFormat::Int,
        };
        let mut file = hound::WavWriter::create(path, spec).unwrap();
        for sample in &self.samples {
            file.write_sample((32_767.0 * sample.clamp(-1.0, 1.0)) as i16).unwrap();
        }
        file.finalize().unwrap();
    }
}

/// Onsets of a file in the bands of wood and metal.
fn onsets(path: &Path) -> [Vec<HeardTick>; 2] {
    let mut finders: Option<Vec<OnsetFinder>> = None;
    read_sound(path, |rate_hz, samples| {
        let finders = finders.get_or_insert_with(|| BANDS.map(|band| OnsetFinder::new(band, rate_hz).unwrap()).into());
        finders.iter_mut().for_each(|finder| finder.hear(samples));
    })
    .unwrap();
    let mut found = finders.unwrap().into_iter().map(OnsetFinder::finish);
    [found.next().unwrap(), found.next().unwrap()]
}

fn recorded(tape: &Tape) -> [Vec<HeardTick>; 2] {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("clock.wav");
    tape.write(&path);
    onsets(&path)
}

#[test]
fn exact_ticks_in_room_noise_are_heard_to_a_tenth_of_a_millisecond() {
    let mut tape = Tape::of_noise(120.0, 0.01, 5);
    // Every tick has a faint unlocking before it.
    for beat in 0..118 {
        let at_s = 0.7 + f64::from(beat) * 1.000_02 + if beat % 2 == 1 { 0.01 } else { 0.0 };
        tape.tick(at_s, 0.3, 3100.0, 0.004);
        tape.tick(at_s - 0.035, 0.04, 2500.0, 0.003);
    }
    let fit = fit_ticks(&recorded(&tape)[1], None).unwrap();
    assert_eq!(fit.deviations.len(), 118);
    assert!(fit.missed_s.is_empty());
    assert!((fit.period_s.value - 2.000_04).abs() < 4.0 * fit.period_s.sigma, "{:?}", fit.period_s);
    assert!(fit.period_s.sigma < 1e-6, "{:?}", fit.period_s);
    assert!((fit.beat_error_s.value - 0.01).abs() < 1e-4, "{:?}", fit.beat_error_s);
    assert!(fit.scatter_s < 1e-4, "{}", fit.scatter_s);
    assert!(fit.loudness.unwrap() > 3.0);
    // The place of the ticks themselves, not of their echo or of the windows.
    assert!((fit.deviations[0].time_s - 0.7).abs() < 1e-3, "{:?}", fit.deviations[0]);
}

#[test]
fn a_second_clock_in_the_room_is_told_apart() {
    let mut tape = Tape::of_noise(120.0, 0.004, 6);
    for beat in 0..118 {
        tape.tick(0.7 + f64::from(beat) * 1.000_02, 0.3, 3100.0, 0.004);
    }
    for beat in 0..290 {
        tape.tick(0.3 + f64::from(beat) * 0.4003, 0.12, 4400.0, 0.002);
    }
    let heard = recorded(&tape);
    let fit = fit_ticks(&heard[1], None).unwrap();
    assert!((fit.period_s.value - 2.000_04).abs() < 4.0 * fit.period_s.sigma, "{:?}", fit.period_s);
    let other = fit.others.iter().find(|other| other.kind == TickingKind::AnotherClock).unwrap();
    assert!((other.beat_s - 0.4003).abs() < 1e-4, "{other:?}");
    assert!(fit.heard_share() > 0.9);
}

#[test]
fn speech_is_refused_and_speech_over_a_clock_is_not() {
    let mut tape = Tape::of_noise(90.0, 0.002, 8);
    tape.speech(0.1);
    for heard in recorded(&tape) {
        assert!(matches!(fit_ticks(&heard, None), Err(NoTicks::NoEvenPace { .. })));
    }
    for beat in 0..178 {
        tape.tick(0.4 + f64::from(beat) * 0.5, 0.5, 3300.0, 0.003);
    }
    let fit = fit_ticks(&recorded(&tape)[1], None).unwrap();
    assert!((fit.period_s.value - 1.0).abs() < 5.0 * fit.period_s.sigma, "{:?}", fit.period_s);
}

#[test]
fn noise_and_silence_are_refused() {
    let noise = Tape::of_noise(60.0, 0.05, 9);
    let silence = Tape::of_noise(60.0, 0.0, 9);
    for tape in [noise, silence] {
        for heard in recorded(&tape) {
            assert!(fit_ticks(&heard, None).is_err());
        }
    }
}

/// The same seven and a half seconds of ticks, 0.25 s apart and every other one 4 ms late, as other programs have compressed them:
/// libsndfile 1.2 (FLAC, Vorbis, MP3) and FFmpeg 7 (AAC).
#[test]
fn crosscheck_every_kind_of_file_is_heard_alike() {
    for (ending, accuracy_s) in [("flac", 1e-4), ("ogg", 1e-3), ("mp3", 1e-3), ("m4a", 1e-3)] {
        let path = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("tests/data/sound/ticks").with_extension(ending);
        let fit = fit_ticks(&onsets(&path)[1], None).unwrap_or_else(|error| panic!("{ending}: {error}"));
        assert_eq!(fit.deviations.len(), 31, "{ending}");
        assert!((fit.period_s.value - 0.5).abs() < 4.0 * fit.period_s.sigma + 1e-7, "{ending}: {:?}", fit.period_s);
        assert!((fit.beat_error_s.value.abs() - 4e-3).abs() < accuracy_s, "{ending}: {:?}", fit.beat_error_s);
        assert!(fit.scatter_s < accuracy_s, "{ending}: {}", fit.scatter_s);
    }
}

#[test]
fn what_is_no_recording_says_so() {
    let folder = tempfile::tempdir().unwrap();
    let read = |name: &str, bytes: &[u8]| {
        let path = folder.path().join(name);
        std::fs::write(&path, bytes).unwrap();
        read_sound(&path, |_, _| ()).unwrap_err()
    };
    assert!(matches!(read("empty.wav", b""), SoundError::Unknown { .. }));
    assert!(matches!(
        read("text.mp3", b"these are words and no sound, whatever the file is called"),
        SoundError::Unknown { .. }
    ));
    let missing = read_sound(&folder.path().join("none.wav"), |_, _| ()).unwrap_err();
    assert!(matches!(missing, SoundError::File { .. }));
    assert!(matches!(read_sound(folder.path(), |_, _| ()).unwrap_err(), SoundError::File { .. }));
    // A recording that breaks off is heard as far as it goes.
    let tape = Tape::of_noise(3.0, 0.01, 1);
    let path = folder.path().join("whole.wav");
    tape.write(&path);
    let bytes = std::fs::read(&path).unwrap();
    let cut = folder.path().join("cut.wav");
    std::fs::write(&cut, &bytes[..bytes.len() / 2]).unwrap();
    let facts = read_sound(&cut, |_, _| ()).unwrap();
    assert!((facts.duration_s - 1.5).abs() < 0.1, "{facts:?}");
}
