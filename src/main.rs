//! The command `pottle`: arguments in, exit status out. Everything else is in the library and in [`cli`].

mod cli;

use std::process::ExitCode;

/// A page is thousands of short strings, made and thrown away.
#[global_allocator]
static MEMORY: mimalloc::MiMalloc = mimalloc::MiMalloc;

fn main() -> ExitCode {
    match cli::understood() {
        Ok(args) => cli::exit_code(cli::run(&args)),
        Err(status) => status,
    }
}
