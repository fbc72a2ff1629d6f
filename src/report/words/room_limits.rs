//! What gives way at the edge of a room, in words.

use crate::report::words::reasons::reason_in_words;
use crate::study::room::limits::{Failing, LimitPlace, RoomLimit};

/// What gives way, with mesh, pallet and tooth, and whether the clock stops with it.
#[must_use]
pub fn room_limit_words(limit: &RoomLimit) -> String {
    match (limit.failing, limit.stops) {
        (Failing::Clock(Some(reason)), _) => format!("the clock stops: {}", reason_in_words(reason)),
        (Failing::Clock(None), _) => format!("the clock stops: {}", place_words(&limit.place)),
        (_, true) => format!("{}, and the clock stops", failing_words(limit.failing, &limit.place)),
        (_, false) => failing_words(limit.failing, &limit.place),
    }
}

fn failing_words(failing: Failing, place: &LimitPlace) -> String {
    let place = place_words(place);
    match failing {
        Failing::MeshJams => format!("{place} jams"),
        Failing::MeshLeaves => format!("the teeth of {place} no longer reach each other"),
        Failing::Hold(pallet) => format!("{place} lands past the lock of the {pallet} pallet"),
        Failing::Drop(pallet) => format!("{place} has no drop when it leaves the {pallet} pallet"),
        Failing::Clearance(pallet) => format!("the back of the {pallet} pallet fouls {place}"),
        Failing::Action => format!("the escapement does not act: {place}"),
        Failing::Clock(_) => place,
    }
}

fn place_words(place: &LimitPlace) -> String {
    match place {
        LimitPlace::Mesh(mesh) => mesh.to_string(),
        LimitPlace::Tooth(Some(tooth)) => tooth.to_string(),
        LimitPlace::Tooth(None) => "a tooth".to_owned(),
        LimitPlace::Teeth { pallet, count: 1 } => format!("a tooth has no action on the {pallet} pallet"),
        LimitPlace::Teeth { pallet, count } => format!("{count} teeth have no action on the {pallet} pallet"),
        LimitPlace::Unbuilt(error) => error.to_string(),
        LimitPlace::Unpredicted(error) => error.to_string(),
        LimitPlace::Whole => String::new(),
    }
}
