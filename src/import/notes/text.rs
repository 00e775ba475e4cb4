//! The bytes of a note as text, or why they are none.
//!
//! The text keeps its words; only line ends become `\n` and a mark of byte order goes.

use crate::import::encoding::EncodedText;

/// The longest note that is read, in bytes: more than anybody writes in an evening.
pub const LONGEST_NOTE: usize = 1 << 20;

/// The text of a note.
///
/// # Errors
/// When it is no text, empty, damaged or too long: why, in words.
pub fn note_text(bytes: &[u8]) -> Result<String, &'static str> {
    if bytes.len() > LONGEST_NOTE {
        return Err("longer than 1 MB, which is more than a note; part it");
    }
    let encoded = EncodedText::read(bytes).map_err(|_| "it is no text")?;
    if encoded.bytes.contains(&0) {
        return Err("it is no text: it holds zero bytes");
    }
    let text = encoded
        .text(&encoded.bytes)
        .ok_or("some of its bytes are damaged; save it as UTF-8 in an editor")?;
    let text = text.replace("\r\n", "\n").replace('\r', "\n");
    match text.trim().is_empty() {
        true => Err("it is empty"),
        false => Ok(text),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn odd_bytes_are_text_or_say_why_not() {
        let utf16: Vec<u8> = "\u{feff}Tank\r\nout"
            .encode_utf16()
            .flat_map(u16::to_le_bytes)
            .collect();
        for (bytes, expected) in [
            (&utf16[..], Ok("Tank\nout")),
            (b"\xef\xbb\xbfTank\rout\r\n", Ok("Tank\nout\n")),
            (b"K\xfchler", Ok("Kühler")),
            (b" \n\t", Err("empty")),
            (b"\x7fELF\x00\x01", Err("zero")),
            (b"\xc3\xa4 \xc3", Err("damaged")),
            (b"PK\x03\x04abc", Err("no text")),
        ] {
            match (note_text(bytes), expected) {
                (Ok(text), Ok(expected)) => assert_eq!(text, expected),
                (Err(why), Err(expected)) => assert!(why.contains(expected), "{why}"),
                (found, expected) => panic!("{found:?}, not {expected:?}"),
            }
        }
        assert!(note_text(&vec![b'a'; LONGEST_NOTE + 1]).is_err());
    }
}
