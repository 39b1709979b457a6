//! The command `pottle`: arguments in, exit status out. Everything else is in the library and in [`cli`].

mod cli;

use std::process::ExitCode;

fn main() -> ExitCode {
    match cli::understood() {
        Ok(args) => cli::exit_code(cli::run(&args)),
        Err(status) => status,
    }
}
