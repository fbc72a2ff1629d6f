//! The action at every place of a turn of the wheel.

use crate::clock::mechanism::{ContactEscapement, EscapementModel};
use crate::clock::side::{PerPallet, Side};

use super::action::{Action, PalletAction, read_action};

/// A pallet with the teeth that take part: one on the entry pallet and the next on the exit pallet.
#[derive(Debug, Clone, Copy)]
pub(in crate::clock) struct ActingTeeth {
    pub pallet: Side,
    pub teeth: PerPallet<u32>,
    pub action: Action,
}

impl ActingTeeth {
    /// Every place of a turn of the wheel at which an action can be read; two where all teeth are alike.
    pub fn all_of(contact: &ContactEscapement) -> Vec<Self> {
        let turn = if contact.teeth_differ() { contact.teeth } else { 1 };
        let pair = |teeth: &PerPallet<u32>| ContactEscapement {
            curves: PerPallet::from_fn(|pallet| contact.curve(pallet, teeth[pallet].into()).clone()),
            other_teeth: Vec::new(),
            play: None,
            ..*contact
        };
        let mut places = Vec::new();
        for entry in 0..turn {
            let Some(exit) = next_on_exit(contact, entry, turn) else { continue };
            // The tooth that leaves the exit pallet is followed by the next one on the entry pallet.
            let after = (entry + 1) % turn;
            let pairs = [(Side::Entry, PerPallet { entry, exit }), (Side::Exit, PerPallet { entry: after, exit })];
            for (pallet, teeth) in pairs {
                if let Ok(action) = read_action(&pair(&teeth)) {
                    places.push(Self { pallet, teeth, action });
                }
            }
        }
        places
    }

    pub fn pallet_of(&self, action: &Action) -> PalletAction {
        action[self.pallet]
    }
}

/// The tooth that meets the exit pallet when `tooth` has left the entry pallet.
fn next_on_exit(contact: &ContactEscapement, tooth: u32, turn: u32) -> Option<u32> {
    let leaving = contact.curve(Side::Entry, tooth.into());
    let release_rad = contact.release_rad(Side::Entry, tooth.into())?;
    let pitch_rad = contact.pitch_rad();
    let ahead_rad = leaving.front_at(release_rad)?.phi_rad - contact.curves.exit.front_at(release_rad)?.phi_rad;
    // A tooth that already stands up to a quarter of a pitch in the pallet is the one, as in the drop that is read.
    let pitches = (ahead_rad / pitch_rad - 0.25).ceil() as i64;
    u32::try_from((i64::from(tooth) + pitches).rem_euclid(i64::from(turn))).ok()
}

/// A quantity of the action over a turn, rad, with the tooth for which it is least and most.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct OverTurn {
    /// Least value.
    pub least_rad: f64,
    /// Tooth for which it is least.
    pub least_tooth: u32,
    /// Largest value.
    pub most_rad: f64,
    /// Tooth for which it is largest.
    pub most_tooth: u32,
}

/// The action of one pallet over a turn of a wheel whose teeth differ.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PalletTurn {
    /// Lock.
    pub lock: OverTurn,
    /// Lift.
    pub lift: OverTurn,
    /// Drop, leaving this pallet.
    pub drop: OverTurn,
    /// Free way behind a tooth that has left.
    pub clearance: OverTurn,
    /// Teeth for which no action can be read.
    pub without_action: u32,
}

/// The action of both pallets over a turn, its quantities as in [`PalletAction`]; `None` where all teeth are alike,
/// for an ideal escapement, and where no tooth has an action.
#[must_use]
pub fn action_over_turn(escapement: &EscapementModel) -> Option<PerPallet<PalletTurn>> {
    let EscapementModel::Contact(contact) = escapement else { return None };
    if !contact.teeth_differ() {
        return None;
    }
    let places = ActingTeeth::all_of(contact);
    PerPallet::from_fn(|pallet| turn_of(contact, &places, pallet)).both()
}

fn turn_of(contact: &ContactEscapement, places: &[ActingTeeth], pallet: Side) -> Option<PalletTurn> {
    let own: Vec<(u32, PalletAction)> = places
        .iter()
        .filter(|place| place.pallet == pallet)
        .map(|place| (place.teeth[pallet], place.pallet_of(&place.action)))
        .collect();
    let over = |of: fn(&PalletAction) -> f64| {
        let values = || own.iter().map(|(tooth, action)| (*tooth, of(action)));
        let least = values().min_by(|a, b| a.1.total_cmp(&b.1))?;
        let most = values().max_by(|a, b| a.1.total_cmp(&b.1))?;
        Some(OverTurn { least_rad: least.1, least_tooth: least.0, most_rad: most.1, most_tooth: most.0 })
    };
    Some(PalletTurn {
        lock: over(|action| action.lock_rad)?,
        lift: over(|action| action.lift_rad)?,
        drop: over(|action| action.drop_rad)?,
        clearance: over(|action| action.clearance_rad)?,
        without_action: contact.teeth.saturating_sub(own.len() as u32),
    })
}
