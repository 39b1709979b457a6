//! What was typed and cannot be understood, told in plain words: what is meant, how to write it, where more stands.

use super::args::Args;
use super::report;
use clap::error::{ContextKind, ContextValue, ErrorKind};
use clap::{CommandFactory, Parser};
use std::error::Error;
use std::process::ExitCode;

/// Understands what was typed, or tells why not. Help and the version are answers, and end well.
pub fn understood() -> Result<Args, ExitCode> {
    Args::try_parse().map_err(|error| {
        let words: Vec<String> = std::env::args().skip(1).collect();
        match told(&error, command_of(&words)) {
            Some(told) => report::tell(&format!("pottle: {told}")),
            None => drop(error.print()), // a terminal that has gone away needs no help
        }
        ExitCode::from(u8::try_from(error.exit_code()).unwrap_or(2))
    })
}

/// `pottle`, or `pottle` with the command that was meant.
fn command_of(words: &[String]) -> String {
    let known = Args::command();
    let command = words.iter().find(|word| known.find_subcommand(word).is_some());
    command.map_or_else(|| "pottle".to_owned(), |command| format!("pottle {command}"))
}

/// `None` for what explains itself, and for what we have no better words for.
fn told(error: &clap::Error, command: String) -> Option<String> {
    let get = |kind| error.get(kind).and_then(words);
    let arg = || get(ContextKind::InvalidArg);
    let meant = |kind| get(kind).map(|word| format!("; did you mean `{word}`?")).unwrap_or_default();
    let what = match error.kind() {
        ErrorKind::InvalidSubcommand => {
            format!(
                "there is no command `{}`{}",
                get(ContextKind::InvalidSubcommand)?,
                meant(ContextKind::SuggestedSubcommand)
            )
        }
        ErrorKind::UnknownArgument => match arg()? {
            option if option.starts_with('-') => {
                format!("`{command}` has no `{option}`{}", meant(ContextKind::SuggestedArg))
            }
            name => {
                format!(
                    "`{name}` is one word too many; if it belongs to a name, put the name between quotes: \"my course\""
                )
            }
        },
        ErrorKind::MissingRequiredArgument => {
            let form = get(ContextKind::Usage)?;
            let form = form.trim_start_matches("Usage:").trim();
            format!("what is missing: {}; write it like this:\n  {form}", arg()?)
        }
        ErrorKind::InvalidValue => match get(ContextKind::InvalidValue) {
            Some(value) if !value.is_empty() => {
                let one_of =
                    get(ContextKind::ValidValue).map(|all| format!("; it is one of {all}")).unwrap_or_default();
                format!("`{}` cannot be `{value}`{one_of}{}", option(&arg()?), meant(ContextKind::SuggestedValue))
            }
            _ => format!("nothing stands after `{}`; write `{}`", option(&arg()?), arg()?),
        },
        ErrorKind::ValueValidation => {
            let why = error.source().map(ToString::to_string)?;
            format!("`{}` cannot be `{}`; {why}", option(&arg()?), get(ContextKind::InvalidValue)?)
        }
        ErrorKind::ArgumentConflict => format!("`{}` stands there twice; once is enough", option(&arg()?)),
        _ => return None,
    };
    Some(format!("{what}\n`{command} --help` says more."))
}

/// `--to` of `--to <FOLDER>`.
fn option(arg: &str) -> &str {
    arg.split(' ').next().unwrap_or(arg)
}

fn words(value: &ContextValue) -> Option<String> {
    match value {
        ContextValue::String(word) => Some(word.clone()),
        ContextValue::Strings(all) => Some(all.join(", ")),
        ContextValue::StyledStr(text) => Some(text.to_string()),
        ContextValue::StyledStrs(all) => all.first().map(ToString::to_string),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_not_understood_is_told_with_its_mend() {
        for (typed, expected) in [
            ("bake", "there is no command `bake`\n`pottle --help` says more."),
            ("prof", "there is no command `prof`; did you mean `proof`?\n`pottle --help` says more."),
            (
                "publish",
                "what is missing: --to <FOLDER>; write it like this:\n  pottle publish --to <FOLDER> [COURSE]\n\
                 `pottle publish --help` says more.",
            ),
            ("publish --to", "nothing stands after `--to`; write `--to <FOLDER>`\n`pottle publish --help` says more."),
            (
                "proof --report song",
                "`--report` cannot be `song`; it is one of human, short, json, sarif; did you mean `json`?\n\
                 `pottle proof --help` says more.",
            ),
            (
                "proof --quite",
                "`pottle proof` has no `--quite`; did you mean `--quiet`?\n`pottle proof --help` says more.",
            ),
            (
                "proof my course",
                "`course` is one word too many; if it belongs to a name, put the name between quotes: \"my course\"\n\
                 `pottle proof --help` says more.",
            ),
            (
                "rehearse --port door",
                "`--port` cannot be `door`; write a number from 1 to 65535, such as 8000\n\
                 `pottle rehearse --help` says more.",
            ),
            (
                "cards curd --to c.pdf --scale 0",
                "`--scale` cannot be `0`; write it like `2`, `1/2` or `2.5`\n`pottle cards --help` says more.",
            ),
            (
                "cards curd --to a.pdf --to b.pdf",
                "`--to` stands there twice; once is enough\n`pottle cards --help` says more.",
            ),
        ] {
            let words: Vec<String> = typed.split(' ').map(str::to_owned).collect();
            let error = Args::try_parse_from(["pottle".to_owned()].iter().chain(&words)).expect_err(typed);
            assert_eq!(told(&error, command_of(&words)).as_deref(), Some(expected), "{typed}");
            assert_eq!(error.exit_code(), 2, "{typed}");
        }
        for answer in ["--help", "proof --help", "--version", "help"] {
            let error = Args::try_parse_from(["pottle"].into_iter().chain(answer.split(' '))).expect_err(answer);
            assert_eq!((told(&error, "pottle".to_owned()), error.exit_code()), (None, 0), "{answer}");
        }
    }
}
