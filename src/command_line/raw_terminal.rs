//! A terminal that hands over single keys, turned on for as long as somebody walks and
//! put back whatever happens: at the end, on a panic, on a signal.
//!
//! What a key does is not known here.

use std::ffi::c_int;
use std::io::{self, Read, Write};
use std::os::fd::{AsFd, BorrowedFd, OwnedFd};
use std::os::unix::net::UnixStream;
use std::sync::atomic::{AtomicBool, AtomicUsize, Ordering};
use std::sync::mpsc::{Receiver, RecvTimeoutError, Sender, channel};
use std::sync::{Arc, Mutex};
use std::thread;
use std::time::Duration;

use rustix::termios::{
    InputModes, LocalModes, OptionalActions, SpecialCodeIndex, Termios, tcgetattr, tcgetwinsize,
    tcsetattr,
};
use signal_hook::SigId;
use signal_hook::consts::{SIGCONT, SIGHUP, SIGINT, SIGQUIT, SIGTERM, SIGTSTP, SIGWINCH};
use signal_hook::low_level::{emulate_default_handler, pipe, unregister};

use super::terminal_keys::{KeyRead, read_key};
use crate::import::narration::sheet_walk::WalkKey;

/// A terminal as it was before, with what it takes to put it back.
struct TerminalBefore {
    input: OwnedFd,
    output: OwnedFd,
    modes: Termios,
}

/// The one terminal that is turned on, if any: a panic must find it.
static BEFORE: Mutex<Option<TerminalBefore>> = Mutex::new(None);

/// Shows the other screen, so that what stood on the first comes back afterwards.
const OTHER_SCREEN: &[u8] = b"\x1b[?1049h\x1b[2J\x1b[H";

/// Shows the first screen again.
const FIRST_SCREEN: &[u8] = b"\x1b[?1049l";

/// Puts the terminal back as it was, if it was turned on.
pub fn put_back() {
    let Ok(mut before) = BEFORE.try_lock() else {
        return;
    };
    if let Some(before) = before.take() {
        let _ = show(&before.output, FIRST_SCREEN);
        let _ = tcsetattr(&before.input, OptionalActions::Now, &before.modes);
    }
}

/// Has the terminal hand over each key at once, unseen. Signals from keys are turned
/// off: they come as keys.
fn turn_on(input: BorrowedFd<'_>, output: BorrowedFd<'_>) -> io::Result<()> {
    let modes = tcgetattr(input)?;
    let mut raw = modes.clone();
    raw.local_modes &=
        !(LocalModes::ICANON | LocalModes::ECHO | LocalModes::ISIG | LocalModes::IEXTEN);
    raw.input_modes &= !InputModes::IXON;
    raw.special_codes[SpecialCodeIndex::VMIN] = 1;
    raw.special_codes[SpecialCodeIndex::VTIME] = 0;
    if let Ok(mut before) = BEFORE.lock() {
        *before = Some(TerminalBefore {
            input: input.try_clone_to_owned()?,
            output: output.try_clone_to_owned()?,
            modes,
        });
    }
    tcsetattr(input, OptionalActions::Now, &raw)?;
    show(&output, OTHER_SCREEN)
}

fn show(output: &impl AsFd, mut bytes: &[u8]) -> io::Result<()> {
    while !bytes.is_empty() {
        match rustix::io::write(output, bytes) {
            Ok(count) => bytes = &bytes[count..],
            Err(rustix::io::Errno::INTR) => {}
            Err(error) => return Err(error.into()),
        }
    }
    Ok(())
}

/// What came from the terminal.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum TerminalEvent {
    /// A key.
    Key(WalkKey),
    /// The screen is to be drawn anew.
    Redraw,
    /// The person ends it with Ctrl-C or Ctrl-D, or the terminal is gone.
    Ended,
}

/// What wakes the program.
enum Woken {
    /// Bytes of keys.
    Typed(Vec<u8>),
    /// The terminal is gone.
    Gone,
    /// A signal came.
    Signal,
}

/// A terminal that is turned on; dropped, it is as it was.
pub struct RawTerminal {
    woken: Receiver<Woken>,
    /// The signal that ends the program, or 0.
    ended: Arc<AtomicUsize>,
    stopped: Arc<AtomicBool>,
    continued: Arc<AtomicBool>,
    registered: Vec<SigId>,
    /// What was typed and not read yet.
    bytes: Vec<u8>,
    is_gone: bool,
}

/// Signals that end the program.
const ENDING: [c_int; 4] = [SIGHUP, SIGINT, SIGQUIT, SIGTERM];

/// How long the rest of a key's bytes may take.
const REST_OF_KEY: Duration = Duration::from_millis(60);

impl RawTerminal {
    /// Turns the terminal on.
    ///
    /// # Errors
    /// When standard input and output are no terminal.
    pub fn new() -> io::Result<RawTerminal> {
        let (sender, woken) = channel();
        let mut terminal = RawTerminal {
            woken,
            ended: Arc::default(),
            stopped: Arc::default(),
            continued: Arc::default(),
            registered: Vec::new(),
            bytes: Vec::new(),
            is_gone: false,
        };
        terminal.watch_signals(sender.clone())?;
        turn_on(io::stdin().as_fd(), io::stdout().as_fd())?;
        thread::Builder::new().spawn(move || hand_over_keys(&sender))?;
        Ok(terminal)
    }

    fn watch_signals(&mut self, sender: Sender<Woken>) -> io::Result<()> {
        let (mut sink, source) = UnixStream::pair()?;
        for signal in ENDING {
            let number = usize::try_from(signal).unwrap_or_default();
            let ended = Arc::clone(&self.ended);
            self.registered
                .push(signal_hook::flag::register_usize(signal, ended, number)?);
        }
        for (signal, flag) in [(SIGTSTP, &self.stopped), (SIGCONT, &self.continued)] {
            self.registered
                .push(signal_hook::flag::register(signal, Arc::clone(flag))?);
        }
        // What wakes comes after what is looked at.
        for signal in ENDING.into_iter().chain([SIGTSTP, SIGCONT, SIGWINCH]) {
            self.registered
                .push(pipe::register(signal, source.try_clone()?)?);
        }
        thread::Builder::new().spawn(move || {
            let mut signals = [0; 64];
            while matches!(sink.read(&mut signals), Ok(count) if count > 0) {
                if sender.send(Woken::Signal).is_err() {
                    return;
                }
            }
        })?;
        Ok(())
    }

    /// Columns and rows of the terminal.
    #[must_use]
    pub fn size(&self) -> (usize, usize) {
        let (columns, rows) = tcgetwinsize(io::stdout())
            .map(|size| (usize::from(size.ws_col), usize::from(size.ws_row)))
            .unwrap_or_default();
        let told = |told: usize, usual: usize| if told == 0 { usual } else { told };
        (told(columns, 80), told(rows, 24))
    }

    /// Draws lines from the first row on, and nothing below them.
    ///
    /// # Errors
    /// When the terminal takes nothing.
    pub fn draw(&self, lines: &[String]) -> io::Result<()> {
        let mut out = String::from("\x1b[H");
        for (at, line) in lines.iter().enumerate() {
            out.push_str(if at == 0 { "" } else { "\r\n" });
            out.push_str(line);
            out.push_str("\x1b[K");
        }
        out.push_str("\x1b[J");
        let mut stdout = io::stdout().lock();
        stdout.write_all(out.as_bytes())?;
        stdout.flush()
    }

    /// Waits for a key, or for whatever else concerns the screen. A signal that ends the
    /// program ends it here, the terminal put back.
    ///
    /// # Errors
    /// When the program cannot be stopped as a signal asks.
    pub fn next_event(&mut self) -> io::Result<TerminalEvent> {
        let mut is_all = false;
        loop {
            if let Some(event) = self.after_signals()? {
                return Ok(event);
            }
            match read_key(&self.bytes, is_all) {
                KeyRead::Key(key, length) => {
                    self.bytes.drain(..length);
                    return Ok(TerminalEvent::Key(key));
                }
                KeyRead::End => {
                    self.bytes.remove(0);
                    return Ok(TerminalEvent::Ended);
                }
                KeyRead::Redraw => {
                    self.bytes.remove(0);
                    return Ok(TerminalEvent::Redraw);
                }
                KeyRead::Stop => {
                    self.bytes.remove(0);
                    return self.stop();
                }
                KeyRead::Nothing(0) => {}
                KeyRead::Nothing(length) => {
                    self.bytes.drain(..length);
                    continue;
                }
            }
            if self.is_gone {
                return Ok(TerminalEvent::Ended);
            }
            is_all = false;
            let woken = match self.bytes.is_empty() {
                true => self
                    .woken
                    .recv()
                    .map_err(|_| RecvTimeoutError::Disconnected),
                false => self.woken.recv_timeout(REST_OF_KEY),
            };
            match woken {
                Ok(Woken::Typed(bytes)) => self.bytes.extend(bytes),
                Ok(Woken::Signal) => {
                    let is_for_later = self.ended.load(Ordering::SeqCst) != 0
                        || self.stopped.load(Ordering::SeqCst);
                    if !is_for_later {
                        return self.redrawn();
                    }
                }
                Err(RecvTimeoutError::Timeout) => is_all = true,
                Ok(Woken::Gone) | Err(RecvTimeoutError::Disconnected) => self.is_gone = true,
            }
        }
    }

    fn after_signals(&mut self) -> io::Result<Option<TerminalEvent>> {
        let ended = self.ended.load(Ordering::SeqCst);
        if ended != 0 {
            put_back();
            emulate_default_handler(c_int::try_from(ended).unwrap_or(SIGTERM))?;
            return Ok(Some(TerminalEvent::Ended));
        }
        match self.stopped.swap(false, Ordering::SeqCst) {
            true => self.stop().map(Some),
            false => Ok(None),
        }
    }

    /// Steps aside for the shell, as Ctrl-Z asks.
    fn stop(&mut self) -> io::Result<TerminalEvent> {
        put_back();
        emulate_default_handler(SIGTSTP)?;
        self.continued.store(false, Ordering::SeqCst);
        turn_on(io::stdin().as_fd(), io::stdout().as_fd())?;
        Ok(TerminalEvent::Redraw)
    }

    /// After a stop that could not be seen coming, the shell has set its own modes.
    fn redrawn(&mut self) -> io::Result<TerminalEvent> {
        if self.continued.swap(false, Ordering::SeqCst) {
            put_back();
            turn_on(io::stdin().as_fd(), io::stdout().as_fd())?;
        }
        Ok(TerminalEvent::Redraw)
    }
}

/// Reads what is typed as long as somebody wants it.
fn hand_over_keys(sender: &Sender<Woken>) {
    let mut read = [0; 256];
    loop {
        // Not through the standard buffer: what is typed ahead stays the shell's.
        let woken = match rustix::io::read(io::stdin(), &mut read) {
            Ok(count) if count > 0 => Woken::Typed(read[..count].to_vec()),
            Err(rustix::io::Errno::INTR) => continue,
            Ok(_) | Err(_) => Woken::Gone,
        };
        let is_gone = matches!(woken, Woken::Gone);
        if sender.send(woken).is_err() || is_gone {
            return;
        }
    }
}

impl Drop for RawTerminal {
    fn drop(&mut self) {
        put_back();
        for id in self.registered.drain(..) {
            unregister(id);
        }
    }
}

#[cfg(test)]
#[path = "../../tests/suite/pty.rs"]
mod pty;

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_panic_leaves_the_terminal_as_it_was() {
        let (ours, theirs) = pty::open();
        let local = || tcgetattr(&theirs).expect("its modes").local_modes;
        let before = local();
        assert!(before.contains(LocalModes::ECHO | LocalModes::ICANON));
        turn_on(theirs.as_fd(), theirs.as_fd()).expect("turned on");
        assert!(!local().intersects(LocalModes::ECHO | LocalModes::ICANON | LocalModes::ISIG));
        put_back();
        assert_eq!(local(), before);
        let mut shown = [0; 64];
        let count = rustix::io::read(&ours, &mut shown).expect("what was shown");
        assert!(shown[..count].ends_with(FIRST_SCREEN), "{shown:?}");
    }
}
