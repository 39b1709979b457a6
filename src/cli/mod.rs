//! The commands. Uses nothing but the library's public face.

mod args;
mod begin;
mod cards;
mod completions;
mod course;
mod explain;
mod ledger;
mod ledger_table;
mod manual;
mod mend;
mod progress;
mod proof;
mod provision;
mod provision_table;
mod publish;
mod rehearse;
mod rehearse_http;
mod report;
mod typed;

pub use args::Args;
pub use typed::understood;

use args::Command;
use pottle::input::WatchError;
use pottle::{ReadError, WriteError};
use report::Voice;
use std::error::Error;
use std::io;
use std::path::PathBuf;
use std::process::ExitCode;

/// What a command found.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Verdict {
    /// Nothing that stops publishing.
    Clean,
    /// At least one error in the course.
    Findings,
}

/// Why a command could not do its work: the machine's fault, or that of what was typed; never the course's.
#[derive(Debug, thiserror::Error)]
pub enum Failure {
    /// The course cannot be read.
    #[error(transparent)]
    Read(#[from] ReadError),
    /// The target cannot be written.
    #[error(transparent)]
    Write(#[from] WriteError),
    /// The target would touch the course.
    #[error(
        "choose a folder beside the course: `{}` lies in the course's own folder or around it, and finished pages \
         must not be mixed with what they are made from",
        .0.display()
    )]
    InTheCourse(PathBuf),
    /// There is no such kind of finding.
    #[error("no finding is called `{typed}`{meant}\n`pottle explain` lists them all.")]
    NoSuchCode {
        /// What was asked for.
        typed: String,
        /// The names that it begins like, as a question.
        meant: String,
    },
    /// There is no such lesson.
    #[error("no lesson is called `{asked}`; this course has {}", .names.join(", "))]
    NoSuchLesson {
        /// What was typed.
        asked: String,
        /// The lessons there are.
        names: Vec<String>,
    },
    /// The lesson has no such way.
    #[error("the lesson has no way called `{asked}`{}", ways(.names))]
    NoSuchWay {
        /// What was typed.
        asked: String,
        /// The ways there are.
        names: Vec<String>,
    },
    /// Nobody said how large the class is.
    #[error("how many students? write `--students 12`, or put `[class]` and a line `students = 12` into course.toml")]
    NoStudents,
    /// A course cannot be watched.
    #[error(transparent)]
    Watch(#[from] WatchError),
    /// Pages cannot be served on a port.
    #[error("leave out `--port`, or choose another number: pages cannot be shown on port {port}")]
    Port {
        /// What was asked for.
        port: u16,
        /// What the machine said.
        source: io::Error,
    },
    /// The machine would not let us hear that we are to stop.
    #[error("pages cannot be shown here, because Ctrl-C would not be heard")]
    Signals(#[source] io::Error),
    /// The report cannot be printed.
    #[error("what was found cannot be printed")]
    Print(#[from] io::Error),
}

fn ways(names: &[String]) -> String {
    if names.is_empty() { "; it has one way only".to_owned() } else { format!("; it has {}", names.join(" and ")) }
}

/// Runs one command.
pub fn run(args: &Args) -> Result<Verdict, Failure> {
    let voice = if args.quiet { Voice::Quiet } else { Voice::Plain };
    match &args.command {
        Command::Proof(args) => proof::run(args, voice),
        Command::Mend(args) => mend::run(args, voice),
        Command::Completions(args) => completions::run(args),
        Command::Manual(args) => manual::run(args, voice),
        Command::Explain(args) => explain::run(args),
        Command::Publish(args) => publish::run(args, voice),
        Command::Ledger(args) => ledger::run(args, voice),
        Command::Begin(args) => begin::run(args, voice),
        Command::Rehearse(args) => rehearse::run(args, voice),
        Command::Cards(args) => cards::run(args, voice),
        Command::Provision(args) => provision::run(args, voice),
    }
}

/// 0 clean, 1 the course has errors, 2 we could not look or write. Tells a failure on the way.
pub fn exit_code(outcome: Result<Verdict, Failure>) -> ExitCode {
    match outcome {
        Ok(Verdict::Clean) => ExitCode::SUCCESS,
        Ok(Verdict::Findings) => ExitCode::from(1),
        // Whoever reads us has seen enough, as `head` does: no fault.
        Err(Failure::Print(error)) if error.kind() == io::ErrorKind::BrokenPipe => ExitCode::SUCCESS,
        Err(failure) => {
            let mut text = failure.to_string();
            let mut cause = failure.source();
            while let Some(error) = cause {
                text.push_str(&format!(": {}", in_words(error)));
                cause = error.source();
            }
            report::tell(&format!("pottle: {text}"));
            ExitCode::from(2)
        }
    }
}

/// Why the machine refused, in words that say what to look at. Where we have none, those of the machine.
fn in_words(error: &(dyn Error + 'static)) -> String {
    let kind = error.downcast_ref::<io::Error>().map(io::Error::kind);
    let words = kind.and_then(|kind| match kind {
        io::ErrorKind::NotFound => Some("the folder it should lie in is not there"),
        io::ErrorKind::PermissionDenied => {
            Some("you are not allowed to; look at the rights of the file and its folder")
        }
        io::ErrorKind::StorageFull => Some("the disk is full"),
        io::ErrorKind::ReadOnlyFilesystem => Some("nothing can be written to that disk"),
        io::ErrorKind::IsADirectory => Some("a folder of that name is there"),
        io::ErrorKind::NotADirectory => Some("a file stands where a folder is needed"),
        io::ErrorKind::AddrInUse => Some("something else is using it"),
        _ => None,
    });
    words.map_or_else(|| error.to_string(), str::to_owned)
}
