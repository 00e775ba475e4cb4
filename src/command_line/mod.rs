//! The command line: one file a verb, errors and exit codes in one place.
//!
//! Only this room prints, reads the clock or asks the environment. A verb
//! computes its whole answer, renders it, and returns it as a [`Reply`].

mod adopt;
mod arguments;
mod bags;
mod begin;
mod book;
mod check;
mod destination;
mod echo;
mod entry_problems;
mod failure;
mod find;
mod fresh_index;
mod index_documents;
mod keep;
mod kept_answer;
mod kept_reply;
mod kept_states;
mod kept_texts;
mod manual;
mod needs;
mod offers;
mod opened;
mod part;
mod past;
mod picture_sums;
mod pictures;
mod question_scope;
#[cfg(unix)]
mod raw_terminal;
mod recap;
mod refit;
mod replaced;
mod scope;
mod shell;
mod tally;
#[cfg(unix)]
mod terminal_keys;
mod torque;
mod tour;
mod uncounted;
mod whole_journal;
mod world;
mod write;

use std::io::{self, ErrorKind, Write};
use std::panic;
use std::process::ExitCode;

use arguments::{Arguments, Verb, renamed};
use failure::Failure;
use world::World;

use crate::presentation::text::{Text, TextStyle, plain, shown};

/// What a verb answers.
struct Reply {
    /// What goes to standard output.
    out: String,
    /// What a person is told besides, on standard error.
    said: Vec<String>,
    /// Whether the answer is yes: something was found, no problem was.
    yes: bool,
    /// What remains to be done when the answer has been shown.
    afterwards: Option<Box<dyn FnOnce()>>,
}

impl Reply {
    fn new(out: String) -> Reply {
        Reply {
            out,
            said: Vec::new(),
            yes: true,
            afterwards: None,
        }
    }

    fn answering(mut self, yes: bool) -> Reply {
        self.yes = yes;
        self
    }
}

/// Runs the verb that the arguments name. Exit status: 0 done, 1 the answer is
/// no, 2 misuse or failure.
#[must_use]
pub fn run() -> ExitCode {
    shell::complete();
    let arguments = match arguments::parse() {
        Ok(arguments) => arguments,
        Err(error) => {
            let mut code = if error.use_stderr() { 2 } else { 0 };
            if let Some((old, new)) = renamed(&error) {
                let failure = Failure::misuse(
                    format!("`{old}` has another name here"),
                    format!("write `{new}`"),
                );
                complain(&failure, &World::look());
                code = 2;
            } else {
                // Help that nobody reads to the end is no failure.
                let _ = error.print();
            }
            if error.use_stderr()
                && std::env::args_os().any(|word| word == "write")
                && let Some(said) = write::rescued(&World::look())
            {
                let _ = writeln!(io::stderr(), "{}", shown(&said));
            }
            return ExitCode::from(code);
        }
    };
    let tell = panic::take_hook();
    panic::set_hook(Box::new(move |fall| {
        if !crate::index::expects_damage() {
            #[cfg(unix)]
            raw_terminal::put_back();
            tell(fall);
        }
    }));
    let world = World::look();
    match answer(&arguments, &world) {
        Ok(mut reply) => {
            reply.said.extend(world.take_said());
            deliver(reply, &world)
        }
        Err(failure) => {
            complain(&failure, &world);
            ExitCode::from(2)
        }
    }
}

fn answer(arguments: &Arguments, world: &World) -> Result<Reply, Failure> {
    let frame = &arguments.common;
    match &arguments.verb {
        Verb::Tour(verb) => tour::run(verb, frame, world),
        Verb::Begin(verb) => begin::run(verb, frame, world),
        Verb::Write(verb) => write::run(verb, frame, world),
        Verb::Keep(verb) => keep::run(verb, frame, world),
        Verb::Adopt(verb) => adopt::run(verb, frame, world),
        Verb::Find(verb) => find::run(verb, frame, world),
        Verb::Part(verb) => part::run(verb, frame, world),
        Verb::Replaced(verb) => replaced::run(verb, frame, world),
        Verb::Needs(verb) => needs::run(verb, frame, world),
        Verb::Bags(verb) => bags::run(verb, frame, world),
        Verb::Refit(verb) => refit::run(verb, frame, world),
        Verb::Recap(verb) => recap::run(verb, frame, world),
        Verb::Torque(verb) => torque::run(verb, frame, world),
        Verb::Tally(verb) => tally::run(verb, frame, world),
        Verb::Past(verb) => past::run(verb, frame, world),
        Verb::Check(verb) => check::run(verb, frame, world),
        Verb::Book(verb) => book::run(verb, frame, world),
        Verb::Completions(verb) => shell::completions(verb),
        Verb::Manual => Ok(Reply::new(manual::page(world.today()))),
    }
}

/// Shows an answer. A reader who has seen enough is no failure.
fn deliver(reply: Reply, world: &World) -> ExitCode {
    let mut out = io::stdout().lock();
    let delivered = out
        .write_all(reply.out.as_bytes())
        .and_then(|()| out.flush());
    drop(out);
    for said in &reply.said {
        let mut text = Text::new(world.width);
        text.line(0, TextStyle::Plain, said);
        let _ = io::stderr().write_all(text.render(false).as_bytes());
    }
    if let Some(afterwards) = reply.afterwards {
        afterwards();
    }
    match delivered {
        Err(error) if error.kind() != ErrorKind::BrokenPipe => {
            let _ = writeln!(io::stderr(), "the answer could not be shown: {error}");
            ExitCode::from(2)
        }
        Ok(()) | Err(_) if reply.yes => ExitCode::SUCCESS,
        Ok(()) | Err(_) => ExitCode::from(1),
    }
}

/// Says on standard error what went wrong and what to do.
fn complain(failure: &Failure, world: &World) {
    let mut text = Text::new(world.width);
    text.wrapped(
        0,
        2,
        &[
            (TextStyle::Error, "error: ".into()),
            plain(failure.to_string()),
        ],
    );
    if let Some(hint) = failure.hint() {
        text.wrapped(2, 2, &[plain(hint)]);
    }
    let mut said = text.render(world.colours);
    if let Failure::NowhereToWrite { text, .. } = failure {
        // Line for line, so that it can be copied from the screen.
        for line in text.lines() {
            said.push_str(&shown(line));
            said.push('\n');
        }
    }
    let _ = io::stderr().write_all(said.as_bytes());
}
