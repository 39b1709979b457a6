//! A picture of a course, as it was read.

use std::hash::{DefaultHasher, Hash, Hasher};
use std::ops::Deref;
use std::sync::Arc;

/// The bytes of a picture. A copy of it is the same bytes, not other ones.
#[derive(Clone)]
pub struct Picture {
    bytes: Arc<[u8]>,
    digest: u64,
}

impl Picture {
    /// A number that tells it from others.
    pub(crate) fn digest(&self) -> u64 {
        self.digest
    }
}

impl From<Vec<u8>> for Picture {
    fn from(bytes: Vec<u8>) -> Picture {
        let mut hasher = DefaultHasher::new();
        bytes.hash(&mut hasher);
        Picture { bytes: bytes.into(), digest: hasher.finish() }
    }
}

impl From<&str> for Picture {
    fn from(drawing: &str) -> Picture {
        drawing.as_bytes().to_vec().into()
    }
}

impl Deref for Picture {
    type Target = [u8];

    fn deref(&self) -> &[u8] {
        &self.bytes
    }
}

impl PartialEq for Picture {
    fn eq(&self, other: &Picture) -> bool {
        Arc::ptr_eq(&self.bytes, &other.bytes) || self.bytes == other.bytes
    }
}

impl Eq for Picture {}

impl std::fmt::Debug for Picture {
    fn fmt(&self, out: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(out, "Picture of {} bytes", self.bytes.len())
    }
}
