//! How the characters of a table are stored: UTF-8, UTF-16 or code page 1252.
//!
//! It turns bytes into text and back; it knows nothing of rows and cells.

/// How characters are stored.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Encoding {
    /// UTF-8, also where some bytes are damaged.
    Utf8,
    /// UTF-16, the low byte first.
    Utf16Little,
    /// UTF-16, the high byte first.
    Utf16Big,
    /// Windows code page 1252, in which older spreadsheets of the West save.
    Windows1252,
}

/// The bytes of a file in a form in which commas, quotes and line ends are
/// single bytes.
#[derive(Clone, Debug)]
pub struct EncodedText {
    /// How the file stores characters.
    pub encoding: Encoding,
    /// Whether it begins with a byte-order mark.
    pub marked: bool,
    /// The file without its mark; UTF-16 as UTF-8, all else as it stands.
    pub bytes: Vec<u8>,
}

impl EncodedText {
    /// Recognises the encoding: by its mark, by zero bytes, else UTF-8 if any
    /// character beyond ASCII is well-formed UTF-8, else code page 1252.
    ///
    /// # Errors
    /// When the file is no text, or its UTF-16 is damaged.
    pub fn read(file: &[u8]) -> Result<EncodedText, String> {
        if file.starts_with(b"PK\x03\x04") || file.starts_with(b"\xd0\xcf\x11\xe0") {
            return Err("it is the file of a spreadsheet, not a table as text".to_owned());
        }
        if let Some(bytes) = file.strip_prefix(b"\xef\xbb\xbf") {
            return Ok(EncodedText {
                encoding: Encoding::Utf8,
                marked: true,
                bytes: bytes.to_vec(),
            });
        }
        if let Some((encoding, marked)) = utf16(file) {
            let units = file.get(if marked { 2 } else { 0 }..).unwrap_or_default();
            return Ok(EncodedText {
                encoding,
                marked,
                bytes: from_utf16(units, encoding == Encoding::Utf16Big)?.into_bytes(),
            });
        }
        let encoding = if holds_utf8(file) || file.iter().any(|byte| code_page(*byte).is_none()) {
            Encoding::Utf8
        } else {
            Encoding::Windows1252
        };
        Ok(EncodedText {
            encoding,
            marked: false,
            bytes: file.to_vec(),
        })
    }

    /// The text of a piece of [`EncodedText::bytes`]; `None` if it is damaged.
    #[must_use]
    pub fn text(&self, piece: &[u8]) -> Option<String> {
        match self.encoding {
            Encoding::Utf8 | Encoding::Utf16Little | Encoding::Utf16Big => {
                String::from_utf8(piece.to_vec()).ok()
            }
            Encoding::Windows1252 => piece.iter().map(|byte| code_page(*byte)).collect(),
        }
    }

    /// A piece of [`EncodedText::bytes`] as it stands in the file.
    #[must_use]
    pub fn as_in_file(&self, piece: &[u8]) -> Vec<u8> {
        let units = || {
            String::from_utf8_lossy(piece)
                .encode_utf16()
                .collect::<Vec<u16>>()
        };
        match self.encoding {
            Encoding::Utf8 | Encoding::Windows1252 => piece.to_vec(),
            Encoding::Utf16Little => units().into_iter().flat_map(u16::to_le_bytes).collect(),
            Encoding::Utf16Big => units().into_iter().flat_map(u16::to_be_bytes).collect(),
        }
    }

    /// The byte-order mark as it stands in the file, if it has one.
    #[must_use]
    pub fn mark(&self) -> Vec<u8> {
        if !self.marked {
            return Vec::new();
        }
        match self.encoding {
            Encoding::Utf8 => b"\xef\xbb\xbf".to_vec(),
            Encoding::Utf16Little => b"\xff\xfe".to_vec(),
            Encoding::Utf16Big => b"\xfe\xff".to_vec(),
            Encoding::Windows1252 => Vec::new(),
        }
    }

    /// Its name for a person.
    #[must_use]
    pub const fn name(&self) -> &'static str {
        match self.encoding {
            Encoding::Utf8 => "UTF-8",
            Encoding::Utf16Little | Encoding::Utf16Big => "UTF-16",
            Encoding::Windows1252 => "code page 1252",
        }
    }
}

/// UTF-16 by its mark, or by the zero bytes of its ASCII characters.
fn utf16(file: &[u8]) -> Option<(Encoding, bool)> {
    if file.starts_with(b"\xff\xfe") {
        return Some((Encoding::Utf16Little, true));
    }
    if file.starts_with(b"\xfe\xff") {
        return Some((Encoding::Utf16Big, true));
    }
    let start: Vec<&[u8]> = file.chunks_exact(2).take(16).collect();
    let all = |zero: usize| {
        !start.is_empty()
            && start
                .iter()
                .all(|pair| pair[zero] == 0 && pair[1 - zero] != 0)
    };
    if all(1) {
        Some((Encoding::Utf16Little, false))
    } else if all(0) {
        Some((Encoding::Utf16Big, false))
    } else {
        None
    }
}

fn from_utf16(bytes: &[u8], big: bool) -> Result<String, String> {
    let units: Vec<u16> = bytes
        .chunks(2)
        .map(|pair| match (pair, big) {
            ([high, low], true) => u16::from_be_bytes([*high, *low]),
            ([low, high], false) => u16::from_le_bytes([*low, *high]),
            // Half a unit at the end: no character, so the text is refused.
            (_, _) => 0xd800,
        })
        .collect();
    String::from_utf16(&units).map_err(|_| "its UTF-16 is damaged".to_owned())
}

/// Whether some character beyond ASCII is well-formed UTF-8, or there is none.
fn holds_utf8(bytes: &[u8]) -> bool {
    let wide = |text: &str| !text.is_ascii();
    bytes.utf8_chunks().any(|chunk| wide(chunk.valid())) || bytes.is_ascii()
}

/// A byte of code page 1252; `None` for the five that have no character
/// (Unicode Consortium, `MAPPINGS/VENDORS/MICSFT/WINDOWS/CP1252.TXT`).
fn code_page(byte: u8) -> Option<char> {
    const UPPER: [char; 32] = [
        '€', '\0', '‚', 'ƒ', '„', '…', '†', '‡', 'ˆ', '‰', 'Š', '‹', 'Œ', '\0', 'Ž', '\0', '\0',
        '‘', '’', '“', '”', '•', '–', '—', '˜', '™', 'š', '›', 'œ', '\0', 'ž', 'Ÿ',
    ];
    match byte {
        0x80..=0x9f => Some(UPPER[usize::from(byte - 0x80)]).filter(|c| *c != '\0'),
        byte => Some(char::from(byte)),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn units(text: &str, big: bool) -> Vec<u8> {
        let bytes = |unit: u16| {
            if big {
                unit.to_be_bytes()
            } else {
                unit.to_le_bytes()
            }
        };
        text.encode_utf16().flat_map(bytes).collect()
    }

    #[test]
    fn each_encoding_is_recognised_and_given_back() {
        let text = "day;text\n1;½ inch – “fine” €\n";
        let page: &[u8] = b"day;text\n1;\xbd inch \x96 \x93fine\x94 \x80\n";
        for (file, encoding) in [
            (text.as_bytes().to_vec(), Encoding::Utf8),
            ([b"\xef\xbb\xbf", text.as_bytes()].concat(), Encoding::Utf8),
            (
                [b"\xff\xfe".to_vec(), units(text, false)].concat(),
                Encoding::Utf16Little,
            ),
            (
                [b"\xfe\xff".to_vec(), units(text, true)].concat(),
                Encoding::Utf16Big,
            ),
            (page.to_vec(), Encoding::Windows1252),
        ] {
            let stored = EncodedText::read(&file).expect("a text");
            assert_eq!(stored.encoding, encoding);
            assert_eq!(stored.text(&stored.bytes).as_deref(), Some(text));
            let back = [stored.mark(), stored.as_in_file(&stored.bytes)].concat();
            assert_eq!(back, file, "{encoding:?}");
        }
        let unmarked =
            EncodedText::read(&units("day,text\n2026-03-14,plain\n", false)).expect("a text");
        assert_eq!(unmarked.encoding, Encoding::Utf16Little);
    }

    #[test]
    fn damage_is_not_taken_for_another_encoding() {
        // One bad byte beside well-formed UTF-8.
        let stored = EncodedText::read(b"a;\xc3\xa4\nb;\xe4\n").expect("a text");
        assert_eq!(stored.encoding, Encoding::Utf8);
        assert_eq!(stored.text(b"b;\xe4"), None);
        assert!(EncodedText::read(b"\xff\xfea\x00\x00\xd8").is_err());
        assert!(EncodedText::read(b"\xff\xfea\x00b").is_err());
        assert!(EncodedText::read(b"PK\x03\x04rest").is_err());
    }
}
