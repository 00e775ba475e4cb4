//! The list of the journal's pictures with their sums, in the form of a BagIt manifest
//! (RFC 8493, section 2.1.3), which `sha256sum -c` reads.
//!
//! Only text: the pictures themselves are not looked at here.

/// The file of the list, inside the journal.
pub const MANIFEST: &str = "pictures-sha256.txt";

/// The list; lines that are none of it stay where they stand.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct PictureManifest {
    lines: Vec<ManifestLine>,
}

#[derive(Clone, Debug, PartialEq, Eq)]
struct ManifestLine {
    /// Path and sum in lower case; `None` for anything else.
    picture: Option<(String, String)>,
    text: String,
}

impl PictureManifest {
    /// Reads a list.
    #[must_use]
    pub fn read(text: &str) -> PictureManifest {
        let lines = text.split_inclusive('\n');
        PictureManifest {
            lines: lines
                .map(|line| ManifestLine {
                    picture: picture(line.trim_end_matches(['\r', '\n'])),
                    text: line.to_owned(),
                })
                .collect(),
        }
    }

    /// The list as text; what was read and not changed is the same byte for byte.
    #[must_use]
    pub fn text(&self) -> String {
        self.lines.iter().map(|line| line.text.as_str()).collect()
    }

    /// Paths and sums, as they stand.
    pub fn pictures(&self) -> impl Iterator<Item = (&str, &str)> {
        let lines = self.lines.iter();
        lines
            .filter_map(|line| Some(&line.picture).and_then(Option::as_ref))
            .map(|(path, sum)| (path.as_str(), sum.as_str()))
    }

    /// The numbers of the lines that say nothing.
    pub fn unread(&self) -> impl Iterator<Item = u32> {
        (1..)
            .zip(&self.lines)
            .filter(|(_, line)| line.picture.is_none() && !line.text.trim().is_empty())
            .map(|(number, _)| number)
    }

    /// Adds a picture that the list does not have, in order of path.
    pub fn add(&mut self, path: &str, sum: &str) {
        if let Some(last) = self
            .lines
            .last_mut()
            .filter(|line| !line.text.ends_with('\n'))
        {
            last.text.push('\n');
        }
        let is_behind = |line: &ManifestLine| {
            let picture = line.picture.as_ref();
            picture.is_some_and(|(other, _)| other.as_str() > path)
        };
        let at = self.lines.iter().position(is_behind);
        let line = ManifestLine {
            picture: Some((path.to_owned(), sum.to_owned())),
            text: format!("{sum}  {path}\n"),
        };
        self.lines.insert(at.unwrap_or(self.lines.len()), line);
    }

    /// Takes a picture out; whether it was there.
    pub fn remove(&mut self, path: &str) -> bool {
        let before = self.lines.len();
        let is_it = |line: &ManifestLine| line.picture.as_ref().is_some_and(|(own, _)| own == path);
        self.lines.retain(|line| !is_it(line));
        self.lines.len() < before
    }
}

/// Whether every reader of such a list understands this path alike: RFC 8493 encodes
/// line ends and `%`, `sha256sum` line ends and `\`, each in another way.
#[must_use]
pub fn is_listable(path: &str) -> bool {
    !path.contains(['%', '\\']) && !path.contains(char::is_control)
}

/// Path and sum of a line.
fn picture(line: &str) -> Option<(String, String)> {
    let (sum, path) = line.split_at_checked(64)?;
    let path = path.strip_prefix(' ')?.strip_prefix([' ', '*'])?;
    let is_sum = sum.bytes().all(|byte| byte.is_ascii_hexdigit());
    (is_sum && !path.is_empty()).then(|| (path.to_owned(), sum.to_ascii_lowercase()))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn sum(digit: char) -> String {
        digit.to_string().repeat(64)
    }

    #[test]
    fn lines_are_read_and_stay_as_they_are() {
        let (a, b) = (sum('a'), sum('b'));
        let text = format!(
            "{}  photos/a.jpg\r\n# mine\n\n{b} *photos/two words.jpg",
            a.to_uppercase()
        );
        let read = PictureManifest::read(&text);
        assert_eq!(read.text(), text);
        let pictures: Vec<_> = read.pictures().collect();
        assert_eq!(
            pictures,
            [("photos/a.jpg", &a[..]), ("photos/two words.jpg", &b[..])]
        );
        assert_eq!(read.unread().collect::<Vec<_>>(), [2]);
    }

    #[test]
    fn lines_that_say_nothing_are_known() {
        for line in [
            "abc  photos/a.jpg".to_owned(),
            format!("{} photos/a.jpg", sum('a')),
            format!("{}  ", sum('a')),
            format!("{}  photos/a.jpg", sum('g')),
            format!("\u{feff}{}  photos/a.jpg", sum('a')),
            format!("\\{}  photos/a.jpg", sum('a')),
        ] {
            let read = PictureManifest::read(&line);
            assert_eq!(read.pictures().count(), 0, "{line}");
            assert_eq!(read.unread().count(), 1, "{line}");
        }
    }

    #[test]
    fn pictures_are_added_in_order_and_taken_out() {
        let mut manifest = PictureManifest::read(&format!("{}  photos/b.jpg", sum('b')));
        manifest.add("photos/c.jpg", &sum('c'));
        manifest.add("photos/a.jpg", &sum('a'));
        let lines: Vec<String> = "abc"
            .chars()
            .map(|one| format!("{}  photos/{one}.jpg\n", sum(one)))
            .collect();
        assert_eq!(manifest.text(), lines.concat());
        assert!(manifest.remove("photos/b.jpg") && !manifest.remove("photos/b.jpg"));
        assert_eq!(manifest.text(), [&lines[0][..], &lines[2]].concat());
    }

    #[test]
    fn names_that_readers_take_for_others_are_not_listed() {
        for path in ["photos/a b.jpg", "photos/ä'\".jpg", "photos/#1.jpg"] {
            assert!(is_listable(path), "{path}");
        }
        for path in [
            "photos/50%.jpg",
            "photos/a\nb.jpg",
            "photos/a\rb.jpg",
            "photos/a\\b.jpg",
        ] {
            assert!(!is_listable(path), "{path}");
        }
    }
}
