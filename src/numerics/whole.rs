//! Whole numbers: their prime factors, their divisors, and the simplest fraction of an interval.

use num_rational::Ratio;
use num_traits::CheckedAdd;

/// Prime factors of `number` up to `largest`, each with its power, rising, and what is left when they are taken out: 1 where they
/// are all.
///
/// By trial division: `largest` steps at most.
#[must_use]
pub fn prime_factors(number: u64, largest: u32) -> (Vec<(u32, u32)>, u64) {
    let (mut left, mut factors) = (number, Vec::new());
    for candidate in 2..=largest {
        let prime = u64::from(candidate);
        if prime * prime > left {
            break;
        }
        let mut power = 0;
        while left.is_multiple_of(prime) && left > 0 {
            left /= prime;
            power += 1;
        }
        if power > 0 {
            factors.push((candidate, power));
        }
    }
    if left > 1 && left <= u64::from(largest) {
        factors.push((left as u32, 1));
        left = 1;
    }
    (factors, left)
}

/// The divisors from `least` to `largest` of the number with these prime factors, rising.
#[must_use]
pub fn divisors_within(factors: &[(u32, u32)], least: u32, largest: u32) -> Vec<u32> {
    let mut divisors = vec![1_u32];
    for &(prime, power) in factors {
        for index in 0..divisors.len() {
            let mut divisor = divisors[index];
            for _ in 0..power {
                match divisor.checked_mul(prime).filter(|&next| next <= largest) {
                    Some(next) => divisor = next,
                    None => break,
                }
                divisors.push(divisor);
            }
        }
    }
    divisors.retain(|&divisor| divisor >= least);
    divisors.sort_unstable();
    divisors
}

/// The fraction with the smallest denominator from `low` to `high`, both above 0; `None` where they are the wrong way round.
///
/// Down the Stern-Brocot tree by whole stretches, as continued fractions go (Graham, Knuth, Patashnik, Concrete Mathematics, section
/// 4.5, recalled).
#[must_use]
pub fn simplest_between(low: Ratio<u128>, high: Ratio<u128>) -> Option<Ratio<u128>> {
    if low > high || *low.numer() == 0 {
        return None;
    }
    let whole = low.ceil();
    if whole <= high {
        return Some(whole);
    }
    let floor = low.floor();
    let deeper = simplest_between((high - floor).recip(), (low - floor).recip())?;
    floor.checked_add(&deeper.recip())
}
