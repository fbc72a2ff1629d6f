//! Every train whose ratio lies in an interval.

use num_rational::Ratio;

use super::factored::sort_falling;
use super::{CountsError, GearLimits, MeshCounts, WorkLeft};

/// Calls `visit` with each train of so many meshes whose wheels over pinions are from `low` to `high`, both in it, every one once, the
/// largest ratio first.
///
/// The meshes before the last are chosen freely; for each pinion of the last one the wheels that do are an interval of whole numbers.
pub(super) fn each_train_within(
    (low, high): (Ratio<u128>, Ratio<u128>),
    meshes: u32,
    gears: &GearLimits,
    work: &mut WorkLeft,
    visit: &mut dyn FnMut(&[MeshCounts]),
) -> Result<(), CountsError> {
    let mut search = IntervalSearch { low, high, meshes: meshes as usize, gears, work, visit };
    search.mesh(&mut Vec::new(), 1, 1)
}

struct IntervalSearch<'s> {
    low: Ratio<u128>,
    high: Ratio<u128>,
    meshes: usize,
    gears: &'s GearLimits,
    work: &'s mut WorkLeft,
    visit: &'s mut dyn FnMut(&[MeshCounts]),
}

impl IntervalSearch<'_> {
    /// Chooses the meshes that are missing, by pinions, then wheels, none before the one chosen last.
    fn mesh(&mut self, chosen: &mut Vec<MeshCounts>, wheels: u128, pinions: u128) -> Result<(), CountsError> {
        let before = chosen.last().copied();
        let is_last = chosen.len() + 1 == self.meshes;
        for pinion in before.map_or(self.gears.leaves.least, |mesh| mesh.pinion)..=self.gears.leaves.most {
            let least = before.filter(|mesh| mesh.pinion == pinion).map_or(0, |mesh| mesh.wheel);
            let below = pinions * u128::from(pinion);
            let (mut first, mut last) = (self.gears.teeth.least.max(least), self.gears.teeth.most);
            if is_last {
                // low <= wheels w/below <= high, in whole numbers.
                let (Some(low), Some(high)) =
                    (self.low.numer().checked_mul(below), self.high.numer().checked_mul(below))
                else {
                    return Err(CountsError::OutOfRange);
                };
                let at_least = low.div_ceil(self.low.denom() * wheels);
                let at_most = high / (self.high.denom() * wheels);
                first = first.max(u32::try_from(at_least).unwrap_or(u32::MAX));
                last = last.min(u32::try_from(at_most).unwrap_or(u32::MAX));
            }
            for wheel in first..=last {
                self.work.steps(1)?;
                chosen.push(MeshCounts { wheel, pinion });
                if is_last {
                    self.work.train()?;
                    let mut meshes = chosen.clone();
                    sort_falling(&mut meshes);
                    (self.visit)(&meshes);
                } else {
                    self.mesh(chosen, wheels * u128::from(wheel), below)?;
                }
                chosen.pop();
            }
        }
        Ok(())
    }
}
