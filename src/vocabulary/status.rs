//! Where a part stands, what its surface is, and the words people use for it.

use serde::{Deserialize, Serialize};

use super::words::{fold, one_slip};

/// Where a part stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
pub enum Status {
    /// On the vehicle: the silent beginning of every part.
    Fitted,
    /// On, not yet tightened.
    Loose,
    /// Disconnected, still in place.
    Undone,
    /// Off.
    Removed,
    /// Off, and itself dismantled.
    Apart,
    /// Away, at a plater or machine shop.
    Out,
    /// Said to be ready to go back.
    Ready,
    /// Will not go back, on purpose.
    LeftOff,
    /// This unit will not return.
    Replaced,
    /// Thrown away.
    Scrapped,
    /// Sold.
    Sold,
    /// Cannot be found.
    Missing,
}

impl Status {
    /// All of them, in the order of the work.
    pub const ALL: [Status; 12] = [
        Status::Fitted,
        Status::Loose,
        Status::Undone,
        Status::Removed,
        Status::Apart,
        Status::Out,
        Status::Ready,
        Status::LeftOff,
        Status::Replaced,
        Status::Scrapped,
        Status::Sold,
        Status::Missing,
    ];

    /// The word for it.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Status::Fitted => "fitted",
            Status::Loose => "loose",
            Status::Undone => "undone",
            Status::Removed => "removed",
            Status::Apart => "apart",
            Status::Out => "out",
            Status::Ready => "ready",
            Status::LeftOff => "left off",
            Status::Replaced => "replaced",
            Status::Scrapped => "scrapped",
            Status::Sold => "sold",
            Status::Missing => "missing",
        }
    }

    /// Whether the part is on the vehicle.
    #[must_use]
    pub const fn is_on(self) -> bool {
        match self {
            Status::Fitted | Status::Loose | Status::Undone => true,
            Status::Removed
            | Status::Apart
            | Status::Out
            | Status::Ready
            | Status::LeftOff
            | Status::Replaced
            | Status::Scrapped
            | Status::Sold
            | Status::Missing => false,
        }
    }

    /// Whether the unit is gone for good.
    #[must_use]
    pub const fn is_gone(self) -> bool {
        match self {
            Status::Replaced | Status::Scrapped | Status::Sold | Status::Missing => true,
            Status::Fitted
            | Status::Loose
            | Status::Undone
            | Status::Removed
            | Status::Apart
            | Status::Out
            | Status::Ready
            | Status::LeftOff => false,
        }
    }
}

/// How far the surface of an area or a part is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
pub enum Surface {
    /// Down to the metal.
    Bare,
    /// Rust converted or removed.
    RustTreated,
    /// In primer.
    Primed,
    /// Seams sealed.
    Sealed,
    /// In its colour.
    Painted,
    /// Zinc, nickel, chrome.
    Plated,
    /// Powder coated.
    PowderCoated,
}

impl Surface {
    /// All of them, from metal outwards.
    pub const ALL: [Surface; 7] = [
        Surface::Bare,
        Surface::RustTreated,
        Surface::Primed,
        Surface::Sealed,
        Surface::Painted,
        Surface::Plated,
        Surface::PowderCoated,
    ];

    /// The words for it.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Surface::Bare => "bare",
            Surface::RustTreated => "rust treated",
            Surface::Primed => "primed",
            Surface::Sealed => "sealed",
            Surface::Painted => "painted",
            Surface::Plated => "plated",
            Surface::PowderCoated => "powder coated",
        }
    }

    /// Whether nothing more has to be done before parts may cover it.
    #[must_use]
    pub const fn is_finished(self) -> bool {
        match self {
            Surface::Painted | Surface::Plated | Surface::PowderCoated => true,
            Surface::Bare | Surface::RustTreated | Surface::Primed | Surface::Sealed => false,
        }
    }
}

/// What a word in the place of a status says.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum StatusWord {
    /// Where the part stands.
    Standing(Status),
    /// What its surface is; the standing stays.
    Surface(Surface),
    /// Work done on it; the standing stays.
    Work(String),
}

/// Reads a status, a surface or a work word, also by its usual other names.
#[must_use]
pub fn read_status(text: &str) -> Option<StatusWord> {
    let word = fold(text);
    let word = word.as_str();
    if let Some(status) = Status::ALL.into_iter().find(|status| status.word() == word) {
        return Some(StatusWord::Standing(status));
    }
    if let Some(surface) = read_surface(word) {
        return Some(StatusWord::Surface(surface));
    }
    // "in!!": who puts it back says no more; "in bag 3" is no status.
    if matches!(
        word.trim_end_matches('!'),
        "in" | "both in" | "all in" | "back in"
    ) {
        return Some(StatusWord::Standing(Status::Fitted));
    }
    if let Some((_, status)) = OTHER_WORDS.iter().find(|(other, _)| *other == word) {
        return Some(StatusWord::Standing(*status));
    }
    WORK_WORDS
        .contains(&word)
        .then(|| StatusWord::Work(word.to_owned()))
}

/// Reads a surface, also by its usual other names.
#[must_use]
pub fn read_surface(text: &str) -> Option<Surface> {
    let word = fold(text).replace('-', " ");
    Surface::ALL
        .into_iter()
        .find(|surface| surface.word() == word)
        .or_else(|| {
            Some(match word.as_str() {
                "bare metal" | "stripped bare" => Surface::Bare,
                "rust converted" | "derusted" => Surface::RustTreated,
                "in primer" => Surface::Primed,
                "seam sealed" => Surface::Sealed,
                "in colour" | "in color" => Surface::Painted,
                "powdercoated" => Surface::PowderCoated,
                "chromed" | "zinc plated" | "nickel plated" | "galvanised" | "galvanized" => {
                    Surface::Plated
                }
                _ => return None,
            })
        })
}

/// The status or surface word one slip away from `text`.
#[must_use]
pub fn near_status(text: &str) -> Option<&'static str> {
    let word = fold(text);
    Status::ALL
        .iter()
        .map(|status| status.word())
        .chain(Surface::ALL.iter().map(|surface| surface.word()))
        .find(|known| known.len() >= 4 && one_slip(&word, known))
}

/// Other ways to say it (common practice, no source).
const OTHER_WORDS: [(&str, Status); 35] = [
    ("on", Status::Fitted),
    ("back on", Status::Fitted),
    ("installed", Status::Fitted),
    ("refitted", Status::Fitted),
    ("reinstalled", Status::Fitted),
    ("mounted", Status::Fitted),
    ("in place", Status::Fitted),
    ("finger tight", Status::Loose),
    ("loosely fitted", Status::Loose),
    ("not tightened", Status::Loose),
    ("disconnected", Status::Undone),
    ("unplugged", Status::Undone),
    ("unhooked", Status::Undone),
    ("off", Status::Removed),
    ("pulled", Status::Removed),
    ("taken off", Status::Removed),
    ("took off", Status::Removed),
    ("taken out", Status::Removed),
    ("dismounted", Status::Removed),
    ("unbolted", Status::Removed),
    ("dismantled", Status::Apart),
    ("disassembled", Status::Apart),
    ("stripped down", Status::Apart),
    ("in pieces", Status::Apart),
    ("away", Status::Out),
    ("sent out", Status::Out),
    ("sent away", Status::Out),
    ("ready to fit", Status::Ready),
    ("ready to go back", Status::Ready),
    ("deleted", Status::LeftOff),
    ("not going back", Status::LeftOff),
    ("binned", Status::Scrapped),
    ("thrown away", Status::Scrapped),
    ("lost", Status::Missing),
    ("gone missing", Status::Missing),
];

/// Work that people write where a status belongs (common practice, no source).
const WORK_WORDS: [&str; 22] = [
    "adjusted",
    "balanced",
    "blasted",
    "bored",
    "boiled out",
    "cleaned",
    "degreased",
    "freed",
    "ground",
    "honed",
    "machined",
    "polished",
    "rebuilt",
    "reconditioned",
    "relined",
    "repaired",
    "restored",
    "sharpened",
    "straightened",
    "tested",
    "turned",
    "welded",
];

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_status_reads_back() {
        for status in Status::ALL {
            assert_eq!(
                read_status(status.word()),
                Some(StatusWord::Standing(status))
            );
        }
        for surface in Surface::ALL {
            assert_eq!(
                read_status(surface.word()),
                Some(StatusWord::Surface(surface))
            );
        }
    }

    #[test]
    fn other_words_are_understood() {
        assert_eq!(
            read_status("Taken  off"),
            Some(StatusWord::Standing(Status::Removed))
        );
        assert_eq!(
            read_status("back on"),
            Some(StatusWord::Standing(Status::Fitted))
        );
        assert_eq!(
            read_status("blasted"),
            Some(StatusWord::Work("blasted".to_owned()))
        );
        assert_eq!(read_status("wobbly"), None);
        assert_eq!(near_status("remved"), Some("removed"));
        assert_eq!(near_status("wobbly"), None);
    }
}
