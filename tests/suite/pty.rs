//! A terminal made for a test: what the program sees as one, and the side at which a
//! person would sit.
//!
//! The unit tests of the terminal use it too.

use std::os::fd::{FromRawFd, OwnedFd};
use std::ptr::null_mut;

/// The person's side, and the program's.
#[allow(
    unsafe_code,
    reason = "no safe call makes a terminal without rebuilding half of what git needs"
)]
pub fn open() -> (OwnedFd, OwnedFd) {
    let (mut ours, mut theirs) = (-1, -1);
    // SAFETY: both numbers are written to; no name, modes or size are asked for.
    let made = unsafe { libc::openpty(&mut ours, &mut theirs, null_mut(), null_mut(), null_mut()) };
    assert_eq!(made, 0, "no terminal: {}", std::io::Error::last_os_error());
    // SAFETY: the call has just made both, and nobody else has them.
    unsafe { (OwnedFd::from_raw_fd(ours), OwnedFd::from_raw_fd(theirs)) }
}
