//! The name of one source of doubt. Builds that share a key share its draw.

use std::fmt;
use std::hash::{Hash, Hasher};
use std::sync::Arc;

/// Where one doubtful figure comes from, such as `media/foam-20/ppi` or `tamsin-1100/trays/3/seal`.
#[derive(Clone, Debug)]
pub struct Key {
    name: Arc<str>,
    hash: u64,
}

impl Key {
    /// A key of that name.
    pub fn new(name: &str) -> Self {
        Self { name: Arc::from(name), hash: fnv1a(name.as_bytes()) }
    }
    /// The name.
    pub fn name(&self) -> &str {
        &self.name
    }
    /// The same for the same name, on every machine: it starts the key's own draws.
    pub fn hash(&self) -> u64 {
        self.hash
    }
}

/// Fowler–Noll–Vo 1a, 64 bit (public domain): small, stable, the same everywhere.
fn fnv1a(bytes: &[u8]) -> u64 {
    bytes.iter().fold(0xcbf2_9ce4_8422_2325, |h, b| (h ^ u64::from(*b)).wrapping_mul(0x0100_0000_01b3))
}

impl PartialEq for Key {
    fn eq(&self, other: &Self) -> bool {
        self.hash == other.hash && self.name == other.name
    }
}
impl Eq for Key {}
impl Hash for Key {
    fn hash<H: Hasher>(&self, state: &mut H) {
        state.write_u64(self.hash);
    }
}
impl PartialOrd for Key {
    fn partial_cmp(&self, other: &Self) -> Option<std::cmp::Ordering> {
        Some(self.cmp(other))
    }
}
impl Ord for Key {
    fn cmp(&self, other: &Self) -> std::cmp::Ordering {
        self.name.cmp(&other.name)
    }
}
impl fmt::Display for Key {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.name)
    }
}

#[cfg(test)]
mod tests {
    use super::Key;

    #[test]
    fn the_hash_is_the_published_one() {
        // FNV-1a test vectors of the function's own page (landon curt noll, from memory): "" and "a".
        assert_eq!(Key::new("").hash(), 0xcbf2_9ce4_8422_2325);
        assert_eq!(Key::new("a").hash(), 0xaf63_dc4c_8601_ec8c);
    }
}
