//! Closed lists of words: what a key may say, the variant that each word stands for, and back.

/// Makes an enum of the words that a key may say.
macro_rules! words {
    ($(#[$about:meta])* $name:ident { $($(#[$doc:meta])* $variant:ident $word:literal),* $(,)? }) => {
        $(#[$about])*
        #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
        pub enum $name { $($(#[$doc])* $variant,)* }

        impl $name {
            /// The words that a course may use, in order.
            pub const NAMES: &[&str] = &[$($word,)*];

            /// As a course writes it.
            pub fn name(self) -> &'static str {
                match self { $($name::$variant => $word,)* }
            }

            /// Reads the word of a course.
            pub fn from_name(name: &str) -> Option<$name> {
                match name { $($word => Some($name::$variant),)* _ => None }
            }
        }
    };
}

pub(super) use words;
