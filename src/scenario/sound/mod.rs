//! Sound recordings, read piece by piece as mono: WAV, FLAC, MP3, M4A (AAC) and OGG.

use std::fs::File;
use std::io::ErrorKind;
use std::path::{Path, PathBuf};

use symphonia::core::audio::SampleBuffer;
use symphonia::core::codecs::{CODEC_TYPE_NULL, DecoderOptions};
use symphonia::core::errors::Error;
use symphonia::core::formats::FormatOptions;
use symphonia::core::io::MediaSourceStream;
use symphonia::core::meta::MetadataOptions;
use symphonia::core::probe::Hint;

/// Longest recording that is read, s: a day.
const LONGEST_S: f64 = crate::clock::SECONDS_PER_DAY;

/// Frames of silence that may stand for one damaged packet.
const LONGEST_GAP: u64 = 65_536;

/// Why a recording cannot be read.
#[derive(Debug, thiserror::Error)]
pub enum SoundError {
    /// The file cannot be opened.
    #[error("{}: cannot be read: {error}", path.display())]
    File {
        /// File.
        path: PathBuf,
        /// What the system says.
        error: std::io::Error,
    },
    /// The contents are no sound that is known here.
    #[error("{}: holds no sound that can be read ({reason}); save it as WAV, FLAC, MP3, M4A or OGG (Vorbis)", path.display())]
    Unknown {
        /// File.
        path: PathBuf,
        /// What the reader says.
        reason: String,
    },
    /// The contents break off or change their kind.
    #[error("{}: the recording is damaged {at_s:.1} s after its start: {reason}", path.display())]
    Damaged {
        /// File.
        path: PathBuf,
        /// Where, s.
        at_s: f64,
        /// What the reader says.
        reason: String,
    },
    /// No sample in it.
    #[error("{}: the recording is empty", path.display())]
    Empty {
        /// File.
        path: PathBuf,
    },
    /// Longer than a day.
    #[error("{}: the recording is longer than a day; cut it", path.display())]
    TooLong {
        /// File.
        path: PathBuf,
    },
}

/// What was read.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SoundFacts {
    /// Samples a second and channel.
    pub rate_hz: u32,
    /// Length, s.
    pub duration_s: f64,
    /// Damaged pieces that were taken for silence.
    pub damaged: usize,
}

/// Reads a recording and hands it on, `(samples a second, samples)`, the mean of its channels, a packet at a time: some thousand samples
/// are held at once, whatever its length.
///
/// # Errors
/// [`SoundError`].
pub fn read_sound(path: &Path, mut hear: impl FnMut(u32, &[f32])) -> Result<SoundFacts, SoundError> {
    let unknown = |reason: &dyn ToString| SoundError::Unknown { path: path.to_owned(), reason: reason.to_string() };
    let file = File::open(path).map_err(|error| SoundError::File { path: path.to_owned(), error })?;
    if let Ok(facts) = file.metadata()
        && facts.is_dir()
    {
        return Err(SoundError::File { path: path.to_owned(), error: ErrorKind::IsADirectory.into() });
    }
    let stream = MediaSourceStream::new(Box::new(file), symphonia::core::io::MediaSourceStreamOptions::default());
    let mut hint = Hint::new();
    if let Some(ending) = path.extension().and_then(|ending| ending.to_str()) {
        hint.with_extension(ending);
    }
    let probed = symphonia::default::get_probe()
        .format(
            &hint,
            stream,
            &FormatOptions { enable_gapless: true, ..FormatOptions::default() },
            &MetadataOptions::default(),
        )
        .map_err(|error| unknown(&error))?;
    let mut format = probed.format;
    let track = format.tracks().iter().find(|track| track.codec_params.codec != CODEC_TYPE_NULL);
    let track = track.ok_or_else(|| unknown(&"no track of sound"))?;
    let number = track.id;
    let mut decoder = symphonia::default::get_codecs()
        .make(&track.codec_params, &DecoderOptions::default())
        .map_err(|error| unknown(&error))?;
    let (mut rate_hz, mut frames, mut damaged) = (0_u32, 0_u64, 0_usize);
    let mut interleaved: Option<SampleBuffer<f32>> = None;
    let mut mono: Vec<f32> = Vec::new();
    let seconds = |frames: u64, rate_hz: u32| if rate_hz == 0 { 0.0 } else { frames as f64 / f64::from(rate_hz) };
    loop {
        let packet = match format.next_packet() {
            Ok(packet) => packet,
            // The end of the file is told as an error.
            Err(Error::IoError(error)) if error.kind() == ErrorKind::UnexpectedEof => break,
            Err(error) => {
                let at_s = seconds(frames, rate_hz);
                return Err(SoundError::Damaged { path: path.to_owned(), at_s, reason: error.to_string() });
            }
        };
        if packet.track_id() != number {
            continue;
        }
        let decoded = match decoder.decode(&packet) {
            Ok(decoded) => decoded,
            // A lost packet must not shift what follows.
            Err(Error::DecodeError(_) | Error::IoError(_)) => {
                damaged += 1;
                let lost = packet.dur().min(LONGEST_GAP);
                if rate_hz > 0 {
                    mono.clear();
                    mono.resize(lost as usize, 0.0);
                    hear(rate_hz, &mono);
                    frames += lost;
                }
                continue;
            }
            Err(error) => {
                let at_s = seconds(frames, rate_hz);
                return Err(SoundError::Damaged { path: path.to_owned(), at_s, reason: error.to_string() });
            }
        };
        let spec = *decoded.spec();
        if rate_hz == 0 {
            rate_hz = spec.rate;
        }
        if spec.rate != rate_hz || rate_hz == 0 {
            let reason = format!("the samples a second change from {rate_hz} to {}", spec.rate);
            return Err(SoundError::Damaged { path: path.to_owned(), at_s: seconds(frames, rate_hz), reason });
        }
        let channels = spec.channels.count().max(1);
        let room = decoded.capacity() as u64;
        let buffer = match &mut interleaved {
            Some(buffer) if buffer.capacity() >= decoded.capacity() * channels => buffer,
            _ => interleaved.insert(SampleBuffer::new(room, spec)),
        };
        buffer.copy_interleaved_ref(decoded);
        mono.clear();
        let share = 1.0 / channels as f32;
        mono.extend(buffer.samples().chunks_exact(channels).map(|frame| frame.iter().sum::<f32>() * share));
        frames += mono.len() as u64;
        hear(rate_hz, &mono);
        if seconds(frames, rate_hz) > LONGEST_S {
            return Err(SoundError::TooLong { path: path.to_owned() });
        }
    }
    if frames == 0 {
        return Err(SoundError::Empty { path: path.to_owned() });
    }
    Ok(SoundFacts { rate_hz, duration_s: seconds(frames, rate_hz), damaged })
}
