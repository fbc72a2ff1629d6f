//! Reads the play of the crutch: `pendulum.crutch_play`, an angle, or a way at the end of `pendulum.crutch_length`.

use crate::clock::design::CrutchPlay;
use crate::scenario::toml::numbers::Allowed;
use crate::scenario::toml::problem_code::ProblemCode;
use crate::scenario::toml::section::Section;
use crate::units::{Kind, number_and_unit, value_and_spread};

use super::friction::read_friction_quantity;

const KEY: &str = "crutch_play";

/// Most play that is taken for one: beyond it no pallet would be driven.
const MOST_RAD: f64 = 0.1;

const ANGLE: Allowed = Allowed::Between(0.0, MOST_RAD, "from 0 deg to 5.7 deg");
const WAY: Allowed = Allowed::Between(0.0, 0.1, "from 0 mm to 100 mm");

/// The play of a crutch of which the length, if any, has been read; `Some(None)` where there is none.
pub(in crate::scenario) fn read_crutch_play(
    pendulum: &mut Section<'_, '_>,
    length_m: Option<f64>,
) -> Option<Option<CrutchPlay>> {
    if !pendulum.has(KEY) {
        pendulum.entry(KEY);
        return Some(None);
    }
    let is_angle = pendulum.written_text(KEY).is_some_and(|text| {
        let value = value_and_spread(&text).map_or(text.as_str(), |both| both.0);
        number_and_unit(value).is_some_and(|(_, unit)| Kind::of_unit(unit) == Some(Kind::Angle))
    });
    if is_angle {
        let play = read_friction_quantity(pendulum, KEY, Kind::Angle, ANGLE)?;
        return Some(Some(CrutchPlay { play, at_m: None }));
    }
    let play = read_friction_quantity(pendulum, KEY, Kind::Length, WAY)?;
    let Some(at_m) = length_m else {
        let message = "`pendulum.crutch_play` is a length, and nothing says where along the crutch it is".to_owned();
        let help = "add pendulum.crutch_length, from the pallet arbor to the rod, or write the play as an angle, for \
                    example \"0.2 deg\""
            .to_owned();
        pendulum.report_at(KEY, ProblemCode::MissingKey, message, help);
        return None;
    };
    let found = CrutchPlay { play, at_m: Some(at_m) };
    if found.play_rad() > MOST_RAD {
        let message = format!("`pendulum.crutch_play` is {:.1} deg at this crutch", found.play_rad().to_degrees());
        let help = format!("write a play of at most \"{:.1} mm\", {}", 1e3 * MOST_RAD * at_m, ANGLE.words());
        pendulum.report_at(KEY, ProblemCode::ImpossibleValue, message, help);
        return None;
    }
    Some(Some(found))
}
