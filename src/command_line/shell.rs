//! Completions: the script for a shell, and the answers to what it asks.

use std::io;

use clap::CommandFactory;
use clap_complete::CompleteEnv;
use clap_complete::env::Shells;

use super::Reply;
use super::arguments::{Arguments, CompletionsArgs};
use super::failure::Failure;

/// By this variable a shell asks what could be typed next.
const ASKED_BY: &str = "MATCHMARK_COMPLETE";

/// Answers a shell that asks what could be typed next, and ends the process;
/// returns if none does.
pub(super) fn complete() {
    CompleteEnv::with_factory(Arguments::command)
        .var(ASKED_BY)
        .complete();
}

/// The script by which a shell asks this program for what could be typed next.
pub(super) fn completions(verb: &CompletionsArgs) -> Result<Reply, Failure> {
    let failed = |error| Failure::file("completions".as_ref(), error);
    let shells = Shells::builtins();
    let shell = shells
        .completer(&verb.shell.to_string())
        .ok_or_else(|| failed(io::ErrorKind::Unsupported.into()))?;
    let mut out = Vec::new();
    shell
        .write_registration(ASKED_BY, "matchmark", "matchmark", "matchmark", &mut out)
        .map_err(failed)?;
    Ok(Reply::new(String::from_utf8_lossy(&out).into_owned()))
}
