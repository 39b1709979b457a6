//! `pottle manual`: the pages that `man` shows, one of pottle and one of each command.

use super::args::{Args, ManualArgs};
use super::report::{Stream, Voice, number_of};
use super::{Failure, Verdict};
use clap::{Command, CommandFactory};
use clap_mangen::Man;
use clap_mangen::roff::{Roff, bold, roman};
use pottle::output::write_manual;
use std::io;

pub(super) fn run(args: &ManualArgs, voice: Voice) -> Result<Verdict, Failure> {
    let pages = pages()?;
    write_manual(&args.to, &pages)?;
    let first = args.to.join(&pages[0].0);
    let text = format!("Wrote {}. Read them with: man {}\n", number_of(pages.len(), "page"), first.display());
    voice.done(Stream::Output, &text)?;
    Ok(Verdict::Clean)
}

/// The pages by the names of their files; that of pottle itself comes first.
fn pages() -> io::Result<Vec<(String, Vec<u8>)>> {
    let mut pottle = Args::command().disable_help_subcommand(true).subcommand_help_heading("COMMANDS");
    pottle.build();
    let commands: Vec<Command> = pottle.get_subcommands().cloned().collect();
    let others: Vec<String> = commands.iter().map(|command| format!("pottle-{}", command.get_name())).collect();
    let first = page(pottle, &others);
    let rest = commands.into_iter().map(|command| page(command, &["pottle".to_owned()]));
    [first].into_iter().chain(rest).collect()
}

fn page(command: Command, see: &[String]) -> io::Result<(String, Vec<u8>)> {
    let has_commands = command.has_subcommands();
    let after = command.get_after_help().map(ToString::to_string);
    let man = Man::new(command);
    let file = man.get_filename();
    // Man::render_title drops an empty date, and what follows would stand in its place.
    let title = file.trim_end_matches(".1").to_uppercase();
    let mut out = format!(".TH {title} 1 \"\" \"pottle {}\" \"Pottle\"\n", env!("CARGO_PKG_VERSION")).into_bytes();
    man.render_name_section(&mut out)?;
    man.render_synopsis_section(&mut out)?;
    man.render_description_section(&mut out)?;
    if let Some(after) = after {
        let mut roff = Roff::default();
        roff.control("PP", []);
        for line in after.lines() {
            roff.text([roman(line.trim_start())]).control("br", []);
        }
        roff.to_writer(&mut out)?;
    }
    if has_commands {
        man.render_subcommands_section(&mut out)?;
    }
    man.render_options_section(&mut out)?;
    closing(see).to_writer(&mut out)?;
    Ok((file, out))
}

/// What every page ends with.
fn closing(see: &[String]) -> Roff {
    let mut roff = Roff::default();
    roff.control("SH", ["EXIT STATUS"]);
    for (status, meaning) in [
        ("0", "Nothing is wrong."),
        ("1", "Something in the course is wrong, or a trial run would change something."),
        ("2", "The course could not be read, or something could not be written."),
    ] {
        roff.control("TP", []).text([bold(status)]).text([roman(meaning)]);
    }
    roff.control("SH", ["SEE ALSO"]);
    for (at, name) in see.iter().enumerate() {
        let end = if at + 1 < see.len() { "(1)," } else { "(1)" };
        roff.control("BR", [name.as_str(), end]);
    }
    roff
}
