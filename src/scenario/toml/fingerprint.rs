//! Tells whether two results are of the same input.

/// Fingerprint of texts: sixteen hexadecimal digits: FNV-1a over texts and files, each ended by a byte that UTF-8 never has.
/// Source: G. Fowler, L. C. Noll, K.-P. Vo, 64-bit offset basis and prime (from memory).
#[must_use]
pub fn fingerprint_of<'p>(parts: impl Iterator<Item = &'p [u8]>) -> String {
    let mut hash: u64 = 0xcbf2_9ce4_8422_2325;
    for part in parts {
        for byte in part.iter().copied().chain(std::iter::once(0xff)) {
            hash = (hash ^ u64::from(byte)).wrapping_mul(0x0000_0100_0000_01b3);
        }
    }
    format!("{hash:016x}")
}
