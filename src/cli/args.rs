//! What can be typed after `pottle`, and the help that explains it.

use clap::builder::{PossibleValue, StringValueParser, TypedValueParser};
use clap::{Arg, ArgAction, Parser, Subcommand, ValueEnum, ValueHint};
use clap_complete::Shell;
use pottle::diag::Code;
use pottle::kitchen::{Reader, Thermometer, Tool};
use pottle::quantity::Exact;
use pottle::render::{Edge, Paper};
use std::ffi::OsStr;
use std::path::PathBuf;

/// Checks a cooking course and publishes it.
///
/// Pottle reads your lessons as a careful colleague would: every weight, time and temperature in
/// your sentences is held against the recipe beside them. While one of them does not agree, nothing
/// is published, and you are shown the very words.
#[derive(Debug, Parser)]
#[command(name = "pottle", version, arg_required_else_help = true, verbatim_doc_comment)]
#[command(after_help = "New here? Start with `pottle begin my-course`.")]
#[command(disable_help_flag = true, disable_version_flag = true, max_term_width = 100)]
pub struct Args {
    /// What to do.
    #[command(subcommand)]
    pub command: Command,
    /// Leave out how far the work is and that it went well; what is wrong is always said
    #[arg(long, short, global = true)]
    pub quiet: bool,
    /// Show this help; `-h` keeps it short
    #[arg(long, short, global = true, action = ArgAction::Help)]
    help: Option<bool>,
    /// Say which pottle this is
    #[arg(long, short = 'V', action = ArgAction::Version)]
    version: Option<bool>,
}

/// What pottle can do.
#[derive(Debug, Subcommand)]
pub enum Command {
    /// Start a new course with two small lessons to write over
    Begin(BeginArgs),
    /// Check a course and say what does not agree; writes nothing
    Proof(ProofArgs),
    /// Write the recipe's figures into words that no longer agree, where there is no doubt
    Mend(MendArgs),
    /// Say what a kind of finding means and how to put it right
    Explain(ExplainArgs),
    /// Check a course and, if all agrees, make its pages
    Publish(PublishArgs),
    /// Show the pages in a browser while you write, and load them again after each change
    Rehearse(RehearseArgs),
    /// Make a lesson's step cards to print, for as many batches and in the units that you choose
    Cards(CardsArgs),
    /// Work out what a class needs: what to buy, what it costs, what must stand ready, who brings what
    Provision(ProvisionArgs),
    /// List every figure in the words and what it stands for
    Ledger(LedgerArgs),
    /// Let the Tab key finish commands and options in your shell
    Completions(CompletionsArgs),
    /// Write the pages that `man pottle` shows
    Manual(ManualArgs),
}

/// Arguments of `proof`.
#[derive(Debug, clap::Args)]
pub struct ProofArgs {
    /// The folder of the course [if you leave it out: `content` here, or else this very folder]
    #[arg(value_hint = ValueHint::DirPath)]
    pub course: Option<PathBuf>,
    /// How to show what was found
    #[arg(long, value_name = "HOW", value_enum, default_value_t = Report::Human)]
    pub report: Report,
}

/// Arguments of `mend`.
#[derive(Debug, clap::Args)]
pub struct MendArgs {
    /// The folder of the course [if you leave it out: `content` here, or else this very folder]
    #[arg(value_hint = ValueHint::DirPath)]
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
    #[arg(value_parser = KindOfFinding, hide_possible_values = true, value_name = "KIND")]
    pub code: Option<String>,
}

/// Arguments of `publish`.
#[derive(Debug, clap::Args)]
pub struct PublishArgs {
    /// The folder of the course [if you leave it out: `content` here, or else this very folder]
    #[arg(value_hint = ValueHint::DirPath)]
    pub course: Option<PathBuf>,
    /// The folder for the finished pages: a new one, an empty one, or the one you published to before
    #[arg(long, value_name = "FOLDER", value_hint = ValueHint::DirPath)]
    pub to: PathBuf,
    /// How to show what was found
    #[arg(long, value_name = "HOW", value_enum, default_value_t = Report::Human)]
    pub report: Report,
}

/// Arguments of `rehearse`.
#[derive(Debug, clap::Args)]
pub struct RehearseArgs {
    /// The folder of the course [if you leave it out: `content` here, or else this very folder]
    #[arg(value_hint = ValueHint::DirPath)]
    pub course: Option<PathBuf>,
    /// The number in the address, so that a bookmark stays good: `8000` [if you leave it out: any that is free]
    #[arg(long, value_name = "N", default_value = "0", hide_default_value = true, value_parser = port)]
    pub port: u16,
    /// How to show what was found
    #[arg(long, value_name = "HOW", value_enum, default_value_t = Report::Human)]
    pub report: Report,
}

/// Arguments of `cards`.
#[derive(Debug, clap::Args)]
pub struct CardsArgs {
    /// The lesson, by the name of its folder without the number: `pressed-curd`
    pub lesson: String,
    /// The folder of the course [if you leave it out: `content` here, or else this very folder]
    #[arg(value_hint = ValueHint::DirPath)]
    pub course: Option<PathBuf>,
    /// The PDF to make; it replaces another PDF of that name, and no other file
    #[arg(long, value_name = "FILE.pdf", value_hint = ValueHint::FilePath)]
    pub to: PathBuf,
    /// The size of a card
    #[arg(long, value_enum, default_value_t = CardPaper::A6)]
    pub paper: CardPaper,
    /// Several cards to a sheet, with marks to cut by [if you leave it out: each card is a page]. A6 and A5 fill A4 with no
    /// room between cards: cut them apart before you laminate
    #[arg(long, value_enum)]
    pub sheet: Option<SheetPaper>,
    /// Along which edge the printer turns a sheet for its other side
    #[arg(long, value_enum, default_value_t = TurnedEdge::Long)]
    pub edge: TurnedEdge,
    /// How many batches: `2`, `1/2`, `2.5`
    #[arg(long, value_name = "BATCHES", default_value = "1", value_parser = scale)]
    pub scale: Exact,
    /// The units [if you leave it out: as the lesson is written]
    #[arg(long, value_enum)]
    pub units: Option<System>,
    /// The thermometer [if you leave it out: as the lesson is written]
    #[arg(long, value_enum)]
    pub degrees: Option<Degrees>,
    /// Dry goods by weight or by spoon and cup [if you leave it out: as the lesson is written]
    #[arg(long, value_enum)]
    pub measure: Option<Measure>,
    /// The way to take where the lesson has several: `oven` [if you leave it out: cards for all of them]
    #[arg(long, value_name = "WAY")]
    pub way: Vec<String>,
    /// How to show what was found
    #[arg(long, value_name = "HOW", value_enum, default_value_t = Report::Human)]
    pub report: Report,
}

/// Arguments of `provision`.
#[derive(Debug, clap::Args)]
pub struct ProvisionArgs {
    /// The folder of the course [if you leave it out: `content` here, or else this very folder], then lessons by their
    /// number or name, such as `2` or `pressed-curd` [if you leave them out: all]
    #[arg(value_name = "COURSE or LESSON")]
    pub names: Vec<String>,
    /// How many students [if you leave it out: as course.toml says]
    #[arg(long, value_name = "N", value_parser = heads)]
    pub students: Option<usize>,
    /// How many groups, with a batch each [if you leave it out: as course.toml and the recipes say]
    #[arg(long, value_name = "N", value_parser = heads)]
    pub groups: Option<usize>,
    /// A table to write as well, for a spreadsheet
    #[arg(long, value_name = "FILE.csv", value_hint = ValueHint::FilePath)]
    pub csv: Option<PathBuf>,
    /// How to show what was found in a course that has errors
    #[arg(long, value_name = "HOW", value_enum, default_value_t = Report::Human)]
    pub report: Report,
}

/// Arguments of `ledger`.
#[derive(Debug, clap::Args)]
pub struct LedgerArgs {
    /// The folder of the course [if you leave it out: `content` here, or else this very folder]
    #[arg(value_hint = ValueHint::DirPath)]
    pub course: Option<PathBuf>,
    /// How to show the list
    #[arg(long, value_name = "HOW", value_enum, default_value_t = LedgerReport::Human)]
    pub report: LedgerReport,
}

/// Arguments of `begin`.
#[derive(Debug, clap::Args)]
pub struct BeginArgs {
    /// The folder to make; it must be new or empty
    #[arg(value_name = "FOLDER", value_hint = ValueHint::DirPath)]
    pub folder: PathBuf,
}

/// Arguments of `completions`.
#[derive(Debug, clap::Args)]
#[command(after_help = "\
Keep what is printed where your shell looks for it, then open a new window:
  bash  pottle completions bash > ~/.local/share/bash-completion/completions/pottle
  fish  pottle completions fish > ~/.config/fish/completions/pottle.fish
  zsh   pottle completions zsh > _pottle, in a folder that your fpath names")]
pub struct CompletionsArgs {
    /// The shell that you type commands into
    #[arg(value_name = "SHELL")]
    pub shell: Shell,
}

/// Arguments of `manual`.
#[derive(Debug, clap::Args)]
pub struct ManualArgs {
    /// The folder for the pages; it may hold those of other programs
    #[arg(long, value_name = "FOLDER", value_hint = ValueHint::DirPath)]
    pub to: PathBuf,
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

/// Sizes of cards.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum CardPaper {
    /// 105 × 148 mm
    A6,
    /// 148 × 210 mm
    A5,
    /// 4 × 6 in
    #[value(name = "4x6")]
    FourBySix,
    /// 5 × 8 in
    #[value(name = "5x8")]
    FiveByEight,
}

impl CardPaper {
    /// The paper.
    pub fn paper(self) -> Paper {
        match self {
            CardPaper::A6 => Paper::A6,
            CardPaper::A5 => Paper::A5,
            CardPaper::FourBySix => Paper::FourBySix,
            CardPaper::FiveByEight => Paper::FiveByEight,
        }
    }
}

/// Sizes of sheets.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum SheetPaper {
    /// 210 × 297 mm
    A4,
    /// 8½ × 11 in
    Letter,
}

impl SheetPaper {
    /// The paper.
    pub fn paper(self) -> Paper {
        match self {
            SheetPaper::A4 => Paper::A4,
            SheetPaper::Letter => Paper::Letter,
        }
    }
}

/// Along which edge paper is turned.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum TurnedEdge {
    /// The long edge, as most printers do unless told otherwise
    Long,
    /// The short edge
    Short,
}

impl TurnedEdge {
    /// The edge.
    pub fn edge(self) -> Edge {
        match self {
            TurnedEdge::Long => Edge::Long,
            TurnedEdge::Short => Edge::Short,
        }
    }
}

/// Systems of units.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum System {
    /// Grams and litres
    Metric,
    /// Ounces, US cups and quarts
    Us,
    /// Ounces and imperial pints
    Imperial,
}

impl System {
    /// Whose kitchen that is.
    pub fn reader(self) -> Reader {
        match self {
            System::Metric => Reader::Metric,
            System::Us => Reader::Us,
            System::Imperial => Reader::Imperial,
        }
    }
}

/// Thermometers.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum Degrees {
    /// °C
    C,
    /// °F
    F,
    /// °C and °F
    Both,
}

impl Degrees {
    /// The thermometer.
    pub fn thermometer(self) -> Thermometer {
        match self {
            Degrees::C => Thermometer::Celsius,
            Degrees::F => Thermometer::Fahrenheit,
            Degrees::Both => Thermometer::Both,
        }
    }
}

/// How dry goods are measured.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum Measure {
    /// On a scale
    Weigh,
    /// By spoon and cup
    Spoon,
}

impl Measure {
    /// The tool.
    pub fn tool(self) -> Tool {
        match self {
            Measure::Weigh => Tool::Scale,
            Measure::Spoon => Tool::Spoons,
        }
    }
}

/// Any word, so that `explain` itself can say that it knows none of that name; completions offer those there are.
#[derive(Debug, Clone, Copy)]
struct KindOfFinding;

impl TypedValueParser for KindOfFinding {
    type Value = String;

    fn parse_ref(&self, command: &clap::Command, arg: Option<&Arg>, value: &OsStr) -> Result<String, clap::Error> {
        StringValueParser::new().parse_ref(command, arg, value)
    }

    fn possible_values(&self) -> Option<Box<dyn Iterator<Item = PossibleValue> + '_>> {
        Some(Box::new(Code::ALL.iter().map(|code| PossibleValue::new(code.name()))))
    }
}

/// A number of batches that a kitchen could mean.
fn scale(text: &str) -> Result<Exact, String> {
    pottle::recipe::batches(text).ok_or_else(|| "write it like `2`, `1/2` or `2.5`".to_owned())
}

/// The number of a port; 0 is any that is free.
fn port(text: &str) -> Result<u16, String> {
    text.parse().map_err(|_| "write a number from 1 to 65535, such as 8000".to_owned())
}

/// A number of students or groups that a hall could hold.
fn heads(text: &str) -> Result<usize, String> {
    let count = text.parse().ok().filter(|count| (1..=10_000).contains(count));
    count.ok_or_else(|| "write a whole number, from 1 to 10000".to_owned())
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
