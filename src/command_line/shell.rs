//! Completions and the manual page, made from the arguments themselves.

use clap::CommandFactory;

use super::Reply;
use super::arguments::{Arguments, Completions};
use super::failure::Failure;

/// The completions of a shell.
pub(super) fn completions(verb: &Completions) -> Reply {
    let mut out = Vec::new();
    clap_complete::generate(verb.shell, &mut Arguments::command(), "matchmark", &mut out);
    Reply::new(String::from_utf8_lossy(&out).into_owned())
}

/// The manual page with a section for each verb.
pub(super) fn manual() -> Result<Reply, Failure> {
    let mut out = Vec::new();
    let command = Arguments::command();
    let written = clap_mangen::Man::new(command.clone()).render(&mut out);
    written.map_err(|error| Failure::file("manual".as_ref(), error))?;
    for verb in command.get_subcommands() {
        out.extend_from_slice(format!(".SH {}\n", verb.get_name().to_uppercase()).as_bytes());
        let page = clap_mangen::Man::new(verb.clone());
        page.render_description_section(&mut out)
            .and_then(|()| page.render_options_section(&mut out))
            .map_err(|error| Failure::file("manual".as_ref(), error))?;
    }
    Ok(Reply::new(String::from_utf8_lossy(&out).into_owned()))
}
