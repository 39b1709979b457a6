//! The one table of codes. A name that was once published is never used again for something else.

/// How much a finding matters.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Severity {
    /// Nothing is published while one stands.
    Error,
    /// Worth a look; does not hold up publishing.
    Note,
}

impl Severity {
    /// `error` or `note`.
    pub fn as_str(self) -> &'static str {
        match self {
            Severity::Error => "error",
            Severity::Note => "note",
        }
    }
}

macro_rules! codes {
    ($($name:literal $variant:ident $severity:ident $meaning:literal;)*) => {
        /// What kind of fault a finding is about.
        #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
        pub enum Code { $(#[doc = $meaning] $variant,)* }

        impl Code {
            /// All codes, in table order.
            pub const ALL: &[Code] = &[$(Code::$variant,)*];

            /// The name a cook can say aloud, such as `disagrees`.
            pub fn name(self) -> &'static str {
                match self { $(Code::$variant => $name,)* }
            }

            /// Whether it stops publishing.
            pub fn severity(self) -> Severity {
                match self { $(Code::$variant => Severity::$severity,)* }
            }

            /// What it means, in one line.
            pub fn meaning(self) -> &'static str {
                match self { $(Code::$variant => $meaning,)* }
            }
        }
    };
}

codes! {
    // Agreement of words and model.
    "disagrees"          Disagrees         Error "the words state one figure and the recipe another";
    "pair-apart"         PairApart         Error "two figures for one measure, in two units, do not belong together";
    "unknown-mention"    UnknownMention    Error "a figure in the words states no measure of this course";
    "no-unit"            NoUnit            Error "a figure has no unit where only a reading can stand";
    "unlisted"           Unlisted          Error "the words put in something with an allergen that nothing in the recipe has";
    "not-stated"         NotStated         Error "a step names another temperature or time but never its own";
    "unclear-mention"    UnclearMention    Note  "a figure could state two measures that behave differently";
    "stale-aside"        StaleAside        Error "an aside silences words that are not in the lesson";
    "risky-spelling"     RiskySpelling     Note  "a unit is spelt so that one slip of a letter changes it";

    // Consistency of the model itself.
    "not-used-up"        NotUsedUp         Error "the steps do not use exactly what the recipe lists";
    "share-apart"        ShareApart        Error "a share and the amounts it compares do not agree";
    "does-not-fit"       DoesNotFit        Error "a pot is too small for what goes in";
    "tight-fit"          TightFit          Note  "a pot that is heated is too full";

    "unbalanced"         Unbalanced        Error "what comes out does not match what goes in";
    "unaccounted"        Unaccounted       Note  "much of what goes in comes out nowhere";
    "over-session"       OverSession       Error "the steps take longer than the session";
    "tight-session"      TightSession      Note  "the steps may take longer than the session";
    "out-of-order"       OutOfOrder        Error "a step or an ingredient waits for something that comes later";
    "not-enough-left"    NotEnoughLeft     Error "an earlier lesson leaves less than this one takes";
    "not-pasteurised"    NotPasteurised    Error "a step claims to pasteurise and holds what no law accepts";
    "unclaimed-hold"     UnclaimedHold     Note  "a step pasteurises by its words, and its block does not say what";
    "unlikely-time"      UnlikelyTime      Note  "a pot takes far longer, or far shorter, to warm than its step says";
    "above-boiling"      AboveBoiling      Note  "a step is to reach a temperature at which its water has long boiled";
    "setting-point"      SettingPoint      Note  "a step looks for the setting point where jam does not set";
    "unclear-share"      UnclearShare      Note  "a strength of brine does not say what it is a share of";
    "dose-apart"         DoseApart         Error "a dose and the amounts it compares do not agree";
    "unlikely-dose"      UnlikelyDose      Note  "a dose lies outside of what is usual";
    "dilution-apart"     DilutionApart     Error "a dilution does not come to the strength it names";
    "unlikely-yield"     UnlikelyYield     Note  "what is made lies outside of what usually comes of so much";
    "not-reckoned"       NotReckoned       Error "figures are too large, or divided too finely, to be reckoned exactly";
    "kit-short"          KitShort          Error "a pack of the kit holds less than its batches take";

    // How it keeps.
    "keeps-unsaid"       KeepsUnsaid       Error "how long something keeps is said, and not how it is kept";
    "keeps-warm"         KeepsWarm         Error "something is kept in a fridge or freezer that is not cold enough";
    "keeps-long"         KeepsLong         Error "something chilled is kept for longer than the US code lets it";
    "wrong-mark"         WrongMark         Error "what spoils is marked “best before” where law asks for “use by”";
    "needless-mark"      NeedlessMark      Note  "bread that is eaten on its day bears a date that law does not ask for";

    // What can hurt.
    "danger"             Danger            Error "what a recipe says is dangerous, or is not known not to be";
    "idle-overrule"      IdleOverrule      Error "a caution is overruled that does not stop the lesson";

    // Shape of a lesson and its blocks.
    "bad-toml"           BadToml           Error "a block cannot be read as keys and values";
    "unknown-key"        UnknownKey        Error "a block has a key that means nothing here";
    "missing-key"        MissingKey        Error "a block lacks a key it needs";
    "wrong-type"         WrongType         Error "a key holds the wrong sort of value";
    "wrong-kind"         WrongKind         Error "a time stands where a temperature belongs, or the like";
    "bad-amount"         BadAmount         Error "an amount in a block cannot be read";
    "unknown-ingredient" UnknownIngredient Error "an ingredient is not in the pantry";
    "unknown-name"       UnknownName       Error "a key names an ingredient, pot or step that this lesson does not have";
    "duplicate-id"       DuplicateId       Error "two things bear the same id";
    "misplaced-block"    MisplacedBlock    Error "a block stands where it cannot be used";
    "unknown-block"      UnknownBlock      Error "a fenced block looks like one of ours, misspelt";
    "open-fence"         OpenFence         Error "a fenced block is never closed";
    "missing-title"      MissingTitle      Error "a lesson has no title";
    "raw-html"           RawHtml           Error "HTML stands in a lesson";
    "too-deep"           TooDeep           Error "quotes or lists lie too deep in each other";
    "bad-picture"        BadPicture        Error "a picture is broken, far too large, or more than a picture";
    "broken-reference"   BrokenReference   Error "a link, footnote or picture leads nowhere";
    "bad-table"          BadTable          Error "an entry of a course table is incomplete or wrong";
    "not-utf8"           NotUtf8           Error "a file is not text in UTF-8";
    "too-large"          TooLarge          Error "a text is larger than any lesson";
    "unusable-name"      UnusableName      Error "a file or folder has a name that its page cannot bear everywhere";
    "left-out"           LeftOut           Note  "a link that leads out of the course, or no ordinary file, is left out";
    "no-lessons"         NoLessons         Error "the course folder holds no lesson";
    "unclear-lesson"     UnclearLesson     Error "a folder holds several texts and none of them is lesson.md";

    // Words of the trade.
    "unknown-term"       UnknownTerm       Error "a link or a lesson names a term that the glossary does not have";
    "untaught-term"      UntaughtTerm      Note  "a lesson uses a term that only a later lesson teaches";
    "unnamed-sign"       UnnamedSign       Note  "the sign that a step waits for is no term of the glossary";

    // Captions of the recording.
    "bad-captions"       BadCaptions       Error "captions cannot be read, or their times make no sense";
    "bad-chapter"        BadChapter        Error "a time fixed for a step does not fit the recording";
    "not-spoken"         NotSpoken         Note  "in the recording a step names another temperature or time but never its own";

    // Paper.
    "long-card"          LongCard          Note  "a step does not fit on one card and goes on";
    "no-paper"           NoPaper           Note  "a lesson cannot be set on paper";

    // The theme.
    "broken-template"    BrokenTemplate    Error "a template of the theme cannot be used";
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::collections::BTreeSet;

    #[test]
    fn names_are_kebab_case_and_unique() {
        let names: BTreeSet<_> = Code::ALL.iter().map(|code| code.name()).collect();
        assert_eq!(names.len(), Code::ALL.len());
        for name in names {
            assert!(name.chars().all(|c| c.is_ascii_lowercase() || c.is_ascii_digit() || c == '-'), "{name}");
        }
    }
}
