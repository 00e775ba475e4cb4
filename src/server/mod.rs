//! A small web server that hands out files and takes nothing.
//!
//! It answers GET and HEAD, one request a connection, and only for names that it is
//! given files of: no path of a request ever reaches the disk. What a stranger can cost
//! is bounded: bytes of a request, connections at once, seconds of silence. What the
//! files are is not known here.

mod answer;

use std::collections::HashMap;
use std::io::{self, ErrorKind, Read, Write};
use std::net::{IpAddr, Ipv4Addr, Shutdown, TcpListener, TcpStream};
use std::sync::Mutex;
use std::thread;
use std::time::Duration;

pub use answer::Site;

use answer::{Answer, answer};

/// The longest head of a request. Browsers send some hundred bytes.
const LONGEST_HEAD: usize = 8 * 1024;

/// How often the head of a request is read on.
const MOST_READS: usize = 24;

/// How long a read may take.
const PATIENCE: Duration = Duration::from_secs(2);

/// How long a write may take: a phone at the end of the garden is slow.
const PATIENCE_TO_SEND: Duration = Duration::from_secs(10);

/// How many connections are answered at once.
const MOST_AT_ONCE: usize = 64;

/// How many of them may come from one address.
const MOST_OF_ONE: usize = 16;

/// Finds a file by its name.
pub type Files = dyn Fn(&str) -> Option<Vec<u8>> + Send + Sync;

/// Answers whoever asks, until the process ends.
pub fn serve(listener: &TcpListener, site: &Site, files: &Files) {
    let open: Mutex<HashMap<IpAddr, usize>> = Mutex::default();
    thread::scope(|scope| {
        for stream in listener.incoming() {
            let Ok(stream) = stream else {
                // Too many files are open: it passes.
                thread::sleep(Duration::from_millis(50));
                continue;
            };
            let from = stream.peer_addr().map_or(UNKNOWN, |peer| peer.ip());
            if !enter(&open, from) {
                refuse(&stream);
                continue;
            }
            let open = &open;
            let spawned = thread::Builder::new().spawn_scoped(scope, move || {
                // A stranger who goes away is no failure.
                let _ = one(&stream, site, files);
                leave(open, from);
            });
            if spawned.is_err() {
                leave(open, from);
            }
        }
    });
}

/// Stands for an address that the system does not tell.
const UNKNOWN: IpAddr = IpAddr::V4(Ipv4Addr::UNSPECIFIED);

/// Counts a connection, unless there are too many.
fn enter(open: &Mutex<HashMap<IpAddr, usize>>, from: IpAddr) -> bool {
    let Ok(mut open) = open.lock() else {
        return false;
    };
    let all: usize = open.values().sum();
    let own = open.entry(from).or_default();
    let may = all < MOST_AT_ONCE && *own < MOST_OF_ONE;
    *own += usize::from(may);
    may
}

fn leave(open: &Mutex<HashMap<IpAddr, usize>>, from: IpAddr) {
    if let Ok(mut open) = open.lock()
        && let Some(own) = open.get_mut(&from)
    {
        *own -= 1;
        if *own == 0 {
            open.remove(&from);
        }
    }
}

/// Answers one connection.
fn one(mut stream: &TcpStream, site: &Site, files: &Files) -> io::Result<()> {
    stream.set_read_timeout(Some(PATIENCE))?;
    let mut head = Vec::new();
    let mut piece = [0; 2048];
    for _ in 0..MOST_READS {
        let read = match stream.read(&mut piece) {
            Ok(0) => return Ok(()),
            Ok(read) => read,
            Err(error) if error.kind() == ErrorKind::Interrupted => continue,
            Err(error) => return Err(error),
        };
        head.extend_from_slice(&piece[..read]);
        if let Some(answer) = answer(&head, site, files) {
            return send(stream, &answer);
        }
        if head.len() > LONGEST_HEAD {
            return send(stream, &Answer::too_long());
        }
    }
    Ok(())
}

/// Says that too many are there, without waiting for anything.
fn refuse(mut stream: &TcpStream) {
    let ready = stream.set_nonblocking(true);
    let _ = ready.and_then(|()| stream.write_all(Answer::busy().head.as_bytes()));
}

fn send(mut stream: &TcpStream, answer: &Answer) -> io::Result<()> {
    stream.set_write_timeout(Some(PATIENCE_TO_SEND))?;
    stream.write_all(answer.head.as_bytes())?;
    stream.write_all(&answer.body)?;
    stream.flush()?;
    stream.shutdown(Shutdown::Write)?;
    // What was not read would make the system break the answer off.
    stream.set_read_timeout(Some(Duration::from_millis(200)))?;
    let mut rest = [0; 2048];
    for _ in 0..MOST_READS {
        if !matches!(stream.read(&mut rest), Ok(read) if read > 0) {
            break;
        }
    }
    Ok(())
}
