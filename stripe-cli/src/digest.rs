//! Digests: a plan can tell which text it was made from, a list of files whether they
//! are as they were written.

/// FNV-1a over 64 bits, hexadecimal: it tells texts apart, it guards no secret.
///
/// # Source
/// Fowler, Noll and Vo's hash; constants from memory.
pub(crate) fn digest(text: &str) -> String {
    digest_of(text.as_bytes())
}

/// The same of any bytes.
pub(crate) fn digest_of(bytes: &[u8]) -> String {
    let hash = bytes.iter().fold(0xcbf2_9ce4_8422_2325_u64, |hash, &byte| {
        (hash ^ u64::from(byte)).wrapping_mul(0x0100_0000_01b3)
    });
    format!("{hash:016x}")
}

#[cfg(test)]
mod tests {
    // Published test vectors of the hash, from memory.
    #[test]
    fn known_digests() {
        assert_eq!(super::digest(""), "cbf29ce484222325");
        assert_eq!(super::digest("a"), "af63dc4c8601ec8c");
        assert_eq!(super::digest("foobar"), "85944171f73967e8");
    }
}
