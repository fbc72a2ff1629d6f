//! Every train of an exact ratio, by the divisors of what its wheels must multiply to.

use num_rational::Ratio;

use crate::numerics::whole::{divisors_within, prime_factors};

use super::{CountsError, GearLimits, MeshCounts, TeethBounds, WorkLeft};

/// Calls `visit` with each train of so many meshes whose wheels over pinions are exactly `ratio`, every one once: the same meshes in
/// another order are the same train. The largest ratio stands first.
///
/// For every choice of pinions the wheels' product is `ratio` times the pinions'; where that is no whole number, or has a prime beyond
/// the most teeth, there is none. Otherwise each wheel is one of its divisors.
pub(super) fn each_train(
    ratio: Ratio<u128>,
    meshes: u32,
    gears: &GearLimits,
    work: &mut WorkLeft,
    visit: &mut dyn FnMut(&[MeshCounts]),
) -> Result<(), CountsError> {
    let mut search = TrainSearch { ratio, meshes: meshes as usize, gears, work, visit, pinions: Vec::new() };
    search.pinions(gears.leaves.least, 1)
}

struct TrainSearch<'s> {
    ratio: Ratio<u128>,
    meshes: usize,
    gears: &'s GearLimits,
    work: &'s mut WorkLeft,
    visit: &'s mut dyn FnMut(&[MeshCounts]),
    pinions: Vec<u32>,
}

impl TrainSearch<'_> {
    /// Chooses the pinions that are missing, none with fewer leaves than the one before.
    fn pinions(&mut self, least: u32, product: u64) -> Result<(), CountsError> {
        if self.pinions.len() == self.meshes {
            return self.wheels(product);
        }
        for leaves in least..=self.gears.leaves.most {
            self.work.steps(1)?;
            self.pinions.push(leaves);
            self.pinions(leaves, product * u64::from(leaves))?;
            self.pinions.pop();
        }
        Ok(())
    }

    /// All wheels for the pinions chosen.
    fn wheels(&mut self, pinions: u64) -> Result<(), CountsError> {
        let Some(wheels) = wheels_product(self.ratio, pinions) else { return Ok(()) };
        let TeethBounds { least, most } = self.gears.teeth;
        if !ProductReach::of(self.gears.teeth, self.meshes).holds(wheels) {
            return Ok(());
        }
        self.work.steps(u64::from(most) / 8)?;
        let (factors, left) = prime_factors(wheels, most);
        if left > 1 {
            return Ok(());
        }
        let divisors = divisors_within(&factors, least, most);
        let mut chosen = Vec::with_capacity(self.meshes);
        self.wheel(wheels, &divisors, &mut chosen)
    }

    /// Chooses the wheels that are missing from the divisors; behind a pinion like the one before, none with fewer teeth.
    fn wheel(&mut self, left: u64, divisors: &[u32], chosen: &mut Vec<MeshCounts>) -> Result<(), CountsError> {
        let place = chosen.len();
        let Some(&pinion) = self.pinions.get(place) else { return Ok(()) };
        let least = chosen.last().filter(|before| before.pinion == pinion).map_or(0, |before| before.wheel);
        self.work.steps(1)?;
        if place + 1 == self.meshes {
            if self.gears.teeth.holds(left) && left >= u64::from(least) {
                chosen.push(MeshCounts { wheel: left as u32, pinion });
                self.found(chosen)?;
                chosen.pop();
            }
            return Ok(());
        }
        let reach = ProductReach::of(self.gears.teeth, self.meshes - place - 1);
        for &wheel in divisors {
            let rest = left / u64::from(wheel);
            if wheel < least || !left.is_multiple_of(u64::from(wheel)) || !reach.holds(rest) {
                continue;
            }
            chosen.push(MeshCounts { wheel, pinion });
            self.wheel(rest, divisors, chosen)?;
            chosen.pop();
        }
        Ok(())
    }

    fn found(&mut self, chosen: &[MeshCounts]) -> Result<(), CountsError> {
        self.work.train()?;
        let mut meshes = chosen.to_vec();
        sort_falling(&mut meshes);
        (self.visit)(&meshes);
        Ok(())
    }
}

/// The largest ratio first; of equal ones the larger wheel.
pub(super) fn sort_falling(meshes: &mut [MeshCounts]) {
    let cross = |a: &MeshCounts, b: &MeshCounts| u64::from(a.wheel) * u64::from(b.pinion);
    meshes.sort_by(|a, b| cross(b, a).cmp(&cross(a, b)).then(b.wheel.cmp(&a.wheel)));
}

/// What the wheels must multiply to over pinions of that product; `None` where it is no whole number of 64 bits.
pub(super) fn wheels_product(ratio: Ratio<u128>, pinions: u64) -> Option<u64> {
    let pinions = u128::from(pinions);
    let wheels = ratio.numer().checked_mul(pinions)?;
    wheels.is_multiple_of(*ratio.denom()).then(|| u64::try_from(wheels / ratio.denom()).ok()).flatten()
}

/// What so many wheels can multiply to.
pub(super) struct ProductReach {
    low: u64,
    high: u64,
}

impl ProductReach {
    pub(super) fn of(teeth: TeethBounds, wheels: usize) -> Self {
        let power = |teeth: u32| u64::from(teeth).saturating_pow(u32::try_from(wheels).unwrap_or(u32::MAX));
        Self { low: power(teeth.least), high: power(teeth.most) }
    }

    pub(super) const fn holds(&self, product: u64) -> bool {
        product >= self.low && product <= self.high
    }
}
