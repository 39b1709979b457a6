//! What can be typed after `pottle`, and the help that explains it.

use clap::{Parser, Subcommand, ValueEnum};
use std::path::PathBuf;

/// Checks a cooking course and publishes it.
///
/// Pottle reads your lessons as a careful colleague would: every weight, time and temperature in
/// your sentences is held against the recipe beside them. While one of them does not agree, nothing
/// is published, and you are shown the very words.
#[derive(Debug, Parser)]
#[command(name = "pottle", version, arg_required_else_help = true, verbatim_doc_comment)]
#[command(after_help = "New here? Start with `pottle begin my-course`.")]
pub struct Args {
    /// What to do.
    #[command(subcommand)]
    pub command: Command,
}

/// What pottle can do.
#[derive(Debug, Subcommand)]
pub enum Command {
    /// Check a course and say what does not agree; writes nothing
    Proof(ProofArgs),
    /// Write the recipe's figures into words that no longer agree, where there is no doubt
    Mend(MendArgs),
    /// Say what a kind of finding means and how to put it right
    Explain(ExplainArgs),
    /// Check a course and, if all agrees, make its pages
    Publish(PublishArgs),
    /// List every figure in the words and what it stands for
    Ledger(LedgerArgs),
    /// Start a new course with one small lesson to write over
    Begin(BeginArgs),
}

/// Arguments of `proof`.
#[derive(Debug, clap::Args)]
pub struct ProofArgs {
    /// The folder of the course [if you leave it out: `content` here, or else this very folder]
    pub course: Option<PathBuf>,
    /// How to show what was found
    #[arg(long, value_name = "HOW", value_enum, default_value_t = Report::Human)]
    pub report: Report,
}

/// Arguments of `mend`.
#[derive(Debug, clap::Args)]
pub struct MendArgs {
    /// The folder of the course [if you leave it out: `content` here, or else this very folder]
    pub course: Option<PathBuf>,
    /// Only show what would change; write nothing
    #[arg(long)]
    pub dry_run: bool,
    /// How to show what is left
    #[arg(long, value_name = "HOW", value_enum, default_value_t = Report::Human)]
    pub report: Report,
}

/// Arguments of `explain`.
#[derive(Debug, clap::Args)]
pub struct ExplainArgs {
    /// The kind of finding, as it stands in the brackets: `disagrees` [if you leave it out: a list of all]
    pub code: Option<String>,
}

/// Arguments of `publish`.
#[derive(Debug, clap::Args)]
pub struct PublishArgs {
    /// The folder of the course [if you leave it out: `content` here, or else this very folder]
    pub course: Option<PathBuf>,
    /// The folder for the finished pages: a new one, an empty one, or the one you published to before
    #[arg(long, value_name = "DIR")]
    pub to: PathBuf,
    /// How to show what was found
    #[arg(long, value_name = "HOW", value_enum, default_value_t = Report::Human)]
    pub report: Report,
}

/// Arguments of `ledger`.
#[derive(Debug, clap::Args)]
pub struct LedgerArgs {
    /// The folder of the course [if you leave it out: `content` here, or else this very folder]
    pub course: Option<PathBuf>,
    /// How to show the list
    #[arg(long, value_name = "HOW", value_enum, default_value_t = LedgerReport::Human)]
    pub report: LedgerReport,
}

/// Arguments of `begin`.
#[derive(Debug, clap::Args)]
pub struct BeginArgs {
    /// The folder to make; it must be new or empty
    #[arg(value_name = "DIR")]
    pub folder: PathBuf,
}

/// How findings are shown.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum Report {
    /// With the words underlined, for reading
    Human,
    /// One line each, for an editor that jumps to the place
    Short,
    /// As JSON, for other programs
    Json,
    /// As SARIF, for editors and services that read this standard
    Sarif,
}

/// How the ledger is shown.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum LedgerReport {
    /// As a table for each lesson
    Human,
    /// As JSON, for other programs
    Json,
}

#[cfg(test)]
mod tests {
    use super::*;
    use clap::CommandFactory;

    #[test]
    fn the_arguments_hang_together() {
        Args::command().debug_assert();
    }
}
