//! How well a figure is known.

/// Where the confidence in a figure comes from.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, serde::Deserialize)]
pub enum Status {
    /// Read in its source.
    #[serde(rename = "published")]
    Published,
    /// What the trade does, with no single source.
    #[serde(rename = "common practice")]
    CommonPractice,
    /// Not read again in a source.
    #[serde(rename = "from memory")]
    FromMemory,
}

impl Status {
    /// The words of the tables.
    pub const NAMES: [&str; 3] = ["published", "common practice", "from memory"];

    /// As the tables write it.
    pub fn name(self) -> &'static str {
        Status::NAMES[self as usize]
    }

    /// Reads the words of the tables.
    pub fn from_name(name: &str) -> Option<Status> {
        [Status::Published, Status::CommonPractice, Status::FromMemory].into_iter().find(|status| status.name() == name)
    }
}
