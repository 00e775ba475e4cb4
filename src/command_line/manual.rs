//! The manual page as troff: one page, with the verbs as sections of it.
//!
//! It is made from the arguments themselves, names no other page, and is written
//! in the few requests that every formatter knows.

use clap::{Arg, Command, CommandFactory};
use jiff::civil::Date;

use super::arguments::Arguments;

/// Columns of a line of source.
const WIDTH: usize = 72;

/// The page, dated.
pub(super) fn page(today: Date) -> String {
    let mut command = Arguments::command();
    command.build();
    let mut out = format!(
        ".TH MATCHMARK 1 {today} \"matchmark {}\" \"Matchmark\"\n.SH NAME\nmatchmark \\- {}\n",
        env!("CARGO_PKG_VERSION"),
        escaped("a journal for taking an old vehicle apart, and back together"),
    );
    out.push_str(".SH SYNOPSIS\n.B matchmark\n[\\fB\\-j\\fR \\fIFOLDER\\fR] \\fIVERB\\fR ...\n");
    out.push_str(".SH DESCRIPTION\n");
    out.push_str(&filled(&about(&command)));
    out.push_str(".SH OPTIONS\n");
    for option in command.get_arguments() {
        out.push_str(&argument(option));
    }
    out.push_str(".SH VERBS\n");
    let verbs = command.get_subcommands();
    for verb in verbs.filter(|verb| verb.get_name() != "help") {
        out.push_str(&format!(".SS {}\n", escaped(verb.get_name())));
        out.push_str(&filled(&about(verb)));
        let own = verb.get_arguments().filter(|argument| {
            !argument.is_global_set() && argument.get_id() != "help" && !argument.is_hide_set()
        });
        for argument in own {
            out.push_str(&self::argument(argument));
        }
    }
    out.push_str(
        ".SH EXIT STATUS\n0: done. 1: the answer is no (nothing found, problems found).\n2: misuse or failure.\n",
    );
    out
}

fn about(command: &Command) -> String {
    let about = command.get_about().map(ToString::to_string);
    format!("{}.", about.unwrap_or_default().trim_end_matches('.'))
}

/// An option or a word of a verb, with its help and the values that it takes.
fn argument(argument: &Arg) -> String {
    let names = argument.get_value_names().unwrap_or_default();
    let takes = argument.get_action().takes_values();
    let values: Vec<String> = names
        .iter()
        .filter(|_| takes)
        .map(|name| format!("\\fI{}\\fR", escaped(name)))
        .collect();
    let short = argument.get_short().map(|short| format!("-{short}"));
    let long = argument.get_long().map(|long| format!("--{long}"));
    let switches: Vec<String> = short
        .into_iter()
        .chain(long)
        .map(|switch| format!("\\fB{}\\fR", escaped(&switch)))
        .collect();
    let head = [switches.join(", "), values.join(" ")];
    let head: Vec<&str> = head
        .iter()
        .map(String::as_str)
        .filter(|words| !words.is_empty())
        .collect();
    let mut help = argument
        .get_help()
        .map(ToString::to_string)
        .unwrap_or_default();
    let possible: Vec<String> = argument
        .get_possible_values()
        .iter()
        .filter(|_| takes)
        .map(|value| match value.get_help() {
            Some(help) => format!("{}: {help}", value.get_name()),
            None => value.get_name().to_owned(),
        })
        .collect();
    if !possible.is_empty() {
        help.push_str(&format!(" [{}]", possible.join("; ")));
    }
    format!(".TP\n{}\n{}", head.join(" "), filled(&help))
}

/// Text as source, in lines that any reader of source likes.
fn filled(text: &str) -> String {
    let mut out = String::new();
    let mut line = String::new();
    for word in text.split_whitespace() {
        if !line.is_empty() && line.len() + 1 + word.len() > WIDTH {
            out.push_str(&escaped(&line));
            out.push('\n');
            line.clear();
        }
        if !line.is_empty() {
            line.push(' ');
        }
        line.push_str(word);
    }
    out.push_str(&escaped(&line));
    out.push('\n');
    out
}

/// Text that is no request and no escape.
fn escaped(text: &str) -> String {
    let plain = text.replace('\\', "\\e").replace('-', "\\-");
    match plain.starts_with(['.', '\'']) {
        true => format!("\\&{plain}"),
        false => plain,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_word_of_it_is_a_request() {
        assert_eq!(escaped(".so a-file\\x"), "\\&.so a\\-file\\ex");
        assert!(
            filled(&".br word ".repeat(40))
                .lines()
                .all(|line| !line.starts_with('.'))
        );
    }

    #[test]
    fn it_names_no_page_but_itself() {
        let page = page(jiff::civil::date(2026, 3, 14));
        let named: Vec<&str> = page
            .split_whitespace()
            .filter(|word| word.ends_with("(1)") || word.contains("(1)"))
            .collect();
        assert!(named.is_empty(), "{named:?}");
        assert!(page.contains(".SS needs\n") && page.contains("calendar: "));
    }
}
