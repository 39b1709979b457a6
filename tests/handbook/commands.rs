//! Every command and every option of the command line stands in the chapter of commands.

use super::{chapter, codes, project, section};
use std::process::Command;

/// What is told once, for all commands.
const COMMON: [&str; 3] = ["--help", "--version", "--quiet"];

fn help(arguments: &[&str]) -> String {
    let output = Command::new(env!("CARGO_BIN_EXE_pottle")).args(arguments).arg("--help").output().expect("it runs");
    assert!(output.status.success(), "{arguments:?}");
    String::from_utf8(output.stdout).expect("help is text")
}

/// The names under `Commands:`.
fn commands() -> Vec<String> {
    let help = help(&[]);
    let (_, list) = help.split_once("\nCommands:\n").expect("help lists commands");
    let (list, _) = list.split_once("\n\n").expect("the list ends");
    let names = list.lines().filter_map(|line| line.strip_prefix("  ")).filter(|line| !line.starts_with(' '));
    names.map(|line| line.split(' ').next().unwrap_or(line).to_owned()).collect()
}

/// The options of a command, and the values that they may have.
fn options(command: &str) -> Vec<String> {
    let mut found = Vec::new();
    for line in help(&[command]).lines() {
        let line = line.trim_start();
        if let Some(at) = line.find("--").filter(|_| line.starts_with('-') && !line.starts_with("- ")) {
            found.push(line[at..].split([' ', ',']).next().unwrap_or("").to_owned());
        } else if let Some((value, _)) = line.strip_prefix("- ").and_then(|line| line.split_once(':')) {
            found.push(value.to_owned());
        }
    }
    found
}

#[test]
fn every_command_and_option_is_told() {
    let project = project();
    let text = chapter(&project, "08-commands");
    let all = commands();
    assert!(all.len() > 8 && options("cards").len() > 20, "{all:?} {:?}", options("cards"));
    for command in &all {
        let told = section(text, &format!("pottle {command}"));
        assert!(told.contains(&format!("pottle {command}")), "{command}");
        if command == "help" {
            continue;
        }
        for option in options(command).iter().filter(|option| !COMMON.contains(&option.as_str())) {
            assert!(codes(told).contains(&option.as_str()), "`pottle {command}` has `{option}`, and no page says so");
        }
    }
    for option in COMMON {
        assert!(codes(text).contains(&option), "{option}");
    }
}

#[test]
fn no_command_or_option_is_told_that_is_not_there() {
    let project = project();
    let text = chapter(&project, "08-commands");
    for heading in text.lines().filter_map(|line| line.strip_prefix("## pottle ")) {
        assert!(commands().iter().any(|command| command == heading), "there is no `pottle {heading}`");
        let all = if heading == "help" { Vec::new() } else { options(heading) };
        let told = codes(section(text, &format!("pottle {heading}")));
        for option in told.iter().filter(|code| code.starts_with("--") && !COMMON.contains(code)) {
            assert!(all.iter().any(|known| known == option), "`pottle {heading}` has no {option}");
        }
    }
}

#[test]
fn what_is_typed_in_examples_can_be_typed() {
    let project = project();
    let mut seen = 0;
    for (path, text) in super::chapters(&project) {
        let mut rest = text;
        while let Some((_, after)) = rest.split_once("\n```sh\n") {
            let (lines, after) = after.split_once("\n```").expect("the fence is closed");
            rest = after;
            for line in lines.lines().filter_map(|line| line.strip_prefix("pottle ")) {
                let words: Vec<&str> = line.split_whitespace().collect();
                seen += 1;
                if words == ["--version"] {
                    continue;
                }
                assert!(commands().iter().any(|command| command == words[0]), "{path}: pottle {line}");
                for option in words.iter().filter(|word| word.starts_with("--")) {
                    assert!(options(words[0]).iter().any(|known| known == option), "{path}: pottle {line}");
                }
            }
        }
    }
    assert!(seen > 12, "{seen}");
}
