//! The bytes that a terminal sends for a key.
//!
//! Where they come from is not known here.

use crate::import::narration::sheet_walk::WalkKey;

/// What stands at the beginning of the bytes that were read.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum KeyRead {
    /// A key, and how many bytes it took.
    Key(WalkKey, usize),
    /// Ctrl-C or Ctrl-D.
    End,
    /// Ctrl-L.
    Redraw,
    /// Ctrl-Z.
    Stop,
    /// Nothing yet; the number of bytes read that mean nothing.
    Nothing(usize),
}

/// Reads one key. `is_all` says that no more bytes follow, so that a lone Escape is one.
#[must_use]
pub fn read_key(bytes: &[u8], is_all: bool) -> KeyRead {
    let key = |key: WalkKey, length: usize| KeyRead::Key(key, length);
    match bytes {
        [] => KeyRead::Nothing(0),
        [0x03 | 0x04, ..] => KeyRead::End,
        [0x0c, ..] => KeyRead::Redraw,
        [0x1a, ..] => KeyRead::Stop,
        [b'\r' | b'\n', ..] => key(WalkKey::Enter, 1),
        [0x7f | 0x08, ..] => key(WalkKey::Rub, 1),
        [0x15, ..] => key(WalkKey::Clear, 1),
        [0x17, ..] => key(WalkKey::RubWord, 1),
        [b'\t', ..] => key(WalkKey::Tab, 1),
        [0x1b] if is_all => key(WalkKey::Escape, 1),
        [0x1b] => KeyRead::Nothing(0),
        [0x1b, b'[' | b'O', rest @ ..] => {
            let Some(end) = rest.iter().position(|byte| (0x40..=0x7e).contains(byte)) else {
                return KeyRead::Nothing(if is_all || rest.len() > 16 {
                    bytes.len()
                } else {
                    0
                });
            };
            let length = end + 3;
            let named = match (rest[end], &rest[..end]) {
                (b'A', _) => WalkKey::Up,
                (b'B', _) => WalkKey::Down,
                (b'C', _) | (b'~', b"6") => WalkKey::On,
                (b'D', _) | (b'~', b"5") => WalkKey::Back,
                (b'Z', _) => WalkKey::BackTab,
                (b'H', _) | (b'~', b"1" | b"7") => WalkKey::Home,
                (b'F', _) | (b'~', b"4" | b"8") => WalkKey::End,
                (_, _) => return KeyRead::Nothing(length),
            };
            key(named, length)
        }
        [0x1b, ..] => key(WalkKey::Escape, 1),
        [first, ..] if first.is_ascii_control() => KeyRead::Nothing(1),
        [first, ..] => {
            let length = match first {
                0x00..=0x7f => 1,
                0x80..=0xdf => 2,
                0xe0..=0xef => 3,
                0xf0..=0xff => 4,
            };
            match bytes.get(..length).map(str::from_utf8) {
                Some(Ok(sign)) => key(WalkKey::Sign(sign.chars().next().unwrap_or(' ')), length),
                Some(Err(_)) => KeyRead::Nothing(1),
                None if is_all => KeyRead::Nothing(bytes.len()),
                None => KeyRead::Nothing(0),
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn keys_are_told_by_their_bytes() {
        let key = |key: WalkKey, length: usize| KeyRead::Key(key, length);
        for (bytes, is_all, expected) in [
            (&b" x"[..], false, key(WalkKey::Sign(' '), 1)),
            (b"\x1b[A", false, key(WalkKey::Up, 3)),
            (b"\x1bOBj", false, key(WalkKey::Down, 3)),
            (b"\x1b[6~", false, key(WalkKey::On, 4)),
            (b"\x1b[1;5C", false, key(WalkKey::On, 6)),
            (b"\x1b[", false, KeyRead::Nothing(0)),
            (b"\x1b", false, KeyRead::Nothing(0)),
            (b"\x1b", true, key(WalkKey::Escape, 1)),
            (b"\x1b[15~q", false, KeyRead::Nothing(5)),
            ("é".as_bytes(), false, key(WalkKey::Sign('é'), 2)),
            (b"\xff\xff\xff\xff", false, KeyRead::Nothing(1)),
            (b"\x03", false, KeyRead::End),
            (b"\x1a", false, KeyRead::Stop),
            (b"\x7f", false, key(WalkKey::Rub, 1)),
            (b"\x15", false, key(WalkKey::Clear, 1)),
            (b"\x17", false, key(WalkKey::RubWord, 1)),
            (b"\t", false, key(WalkKey::Tab, 1)),
            (b"\x1b[Z", false, key(WalkKey::BackTab, 3)),
            (b"\x07", false, KeyRead::Nothing(1)),
        ] {
            assert_eq!(read_key(bytes, is_all), expected, "{bytes:?}");
        }
    }
}
