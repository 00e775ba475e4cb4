//! Under which address a book is shown: which host and port, which path.

use std::io::ErrorKind;
use std::net::{IpAddr, Ipv4Addr, SocketAddr, TcpListener};

use crate::command_line::failure::Failure;
use crate::journal::{Journal, read_if_there, write_private};
use crate::server::Site;
use crate::vocabulary::refusal::plain_words;

/// The port, unless another is named: no service is registered for it (IANA).
const PORT: u16 = 8626;

/// A place where browsers are answered.
pub(super) struct OpenedSite {
    /// Where they come in.
    pub listener: TcpListener,
    /// What they may ask for.
    pub site: Site,
    /// What is typed into a browser.
    pub address: String,
    /// Whether it is for others than this computer alone.
    pub is_shared: bool,
}

/// Opens the place that was asked for: this computer alone, or one of its addresses.
///
/// # Errors
/// When the address is none of this computer's in its own network, or is taken.
pub(super) fn open(asked: Option<&str>, journal: &Journal) -> Result<OpenedSite, Failure> {
    let at = match asked {
        Some(text) => read(text)?,
        None => SocketAddr::new(IpAddr::V4(Ipv4Addr::LOCALHOST), PORT),
    };
    let listener = TcpListener::bind(at).map_err(|error| {
        Failure::misuse(
            format!("{at} cannot be used: {}", plain_words(&error)),
            match error.kind() == ErrorKind::AddrInUse {
                true => "another program uses it; name another port: --serve=ADDRESS:PORT",
                false => "name an address of this computer: --serve=192.168.1.20",
            },
        )
    })?;
    let at = listener.local_addr().unwrap_or(at);
    let is_shared = asked.is_some();
    let mut hosts = vec![at.to_string()];
    if at.ip().is_loopback() {
        hosts.push(format!("localhost:{}", at.port()));
    }
    let folder = match is_shared {
        true => secret(journal)?,
        false => String::new(),
    };
    let slash = if folder.is_empty() { "" } else { "/" };
    Ok(OpenedSite {
        address: format!("http://{at}/{folder}{slash}"),
        site: Site { hosts, folder },
        listener,
        is_shared,
    })
}

/// An address as it was typed, with or without a port. Only one that is of no use outside
/// of a network of one's own is taken.
fn read(text: &str) -> Result<SocketAddr, Failure> {
    let bare = text.trim_start_matches('[').trim_end_matches(']');
    let whole = text.parse().ok();
    let at = whole.or_else(|| Some(SocketAddr::new(bare.parse().ok()?, PORT)));
    let Some(at) = at else {
        return Err(Failure::misuse(
            format!("`{text}` after --serve is no address"),
            "write the address of this computer in your network: --serve=192.168.1.20, or with a port: --serve=192.168.1.20:9000",
        ));
    };
    if is_own_network(at.ip()) {
        return Ok(at);
    }
    let message = match at.ip().is_unspecified() {
        true => format!("`{text}` means every network, and a phone cannot find it"),
        false => format!("`{text}` is no address of a network of your own"),
    };
    Err(Failure::misuse(
        message,
        "name the one that this computer has in your network: --serve=192.168.1.20",
    ))
}

/// Whether an address is for a network of one's own (RFC 1918, RFC 3927, RFC 4193), or
/// for this computer alone.
fn is_own_network(ip: IpAddr) -> bool {
    match ip {
        IpAddr::V4(ip) => ip.is_private() || ip.is_link_local() || ip.is_loopback(),
        IpAddr::V6(ip) => ip.is_unique_local() || ip.is_unicast_link_local() || ip.is_loopback(),
    }
}

/// The path that nobody guesses: 120 random bits, kept so that a phone finds the book
/// again the next time.
fn secret(journal: &Journal) -> Result<String, Failure> {
    let file = journal.computed().join("book-path");
    let kept = read_if_there(&file)?.and_then(|bytes| String::from_utf8(bytes).ok());
    let is_one = |path: &String| path.len() == LENGTH && path.bytes().all(|b| LETTERS.contains(&b));
    if let Some(kept) = kept.filter(is_one) {
        return Ok(kept);
    }
    let mut random = [0; LENGTH];
    getrandom::fill(&mut random).map_err(|_| {
        Failure::misuse(
            "this system gives no random numbers, so no path can be made",
            "`--serve` without an address shows the book on this computer alone",
        )
    })?;
    let letters = random.iter().map(|byte| LETTERS[usize::from(byte % 32)]);
    let path: String = letters.map(char::from).collect();
    write_private(&file, path.as_bytes())?;
    Ok(path)
}

/// How many letters the path has.
const LENGTH: usize = 24;

/// Letters and digits that no one mistakes for each other.
const LETTERS: &[u8; 32] = b"abcdefghijkmnpqrstuvwxyz23456789";

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_networks_of_ones_own_are_taken() {
        for (text, expected) in [
            ("192.168.1.20", Some("192.168.1.20:8626")),
            ("192.168.1.20:9000", Some("192.168.1.20:9000")),
            ("10.0.0.7", Some("10.0.0.7:8626")),
            ("127.0.0.1:0", Some("127.0.0.1:0")),
            ("[fd00::7]", Some("[fd00::7]:8626")),
            ("fd00::7", Some("[fd00::7]:8626")),
            ("[::1]:9000", Some("[::1]:9000")),
            ("0.0.0.0", None),
            ("::", None),
            ("8.8.8.8", None),
            ("2001:db8::1", None),
            ("my-computer", None),
            ("", None),
        ] {
            let found = read(text).ok().map(|at| at.to_string());
            assert_eq!(found.as_deref(), expected, "{text}");
        }
    }
}
