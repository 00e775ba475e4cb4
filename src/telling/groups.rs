//! What belongs into one chapter: a system, an entry, a month.

use jiff::civil::Date;

use super::draft::Chapter;
use super::material::Source;
use super::speech::{capitalised, month_and_year};

/// What the moments of a chapter have in common.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Group {
    /// The system.
    System(String),
    /// The entry, by its title.
    Entry(String),
    /// The month, by its first day, and the last one that joined it.
    Month(Date, Date),
}

impl Group {
    /// The group of a source.
    #[must_use]
    pub fn of(source: &Source) -> Group {
        let month = source.when.date.first_of_month();
        match (&source.system, &source.title) {
            (Some(system), _) => Group::System(system.clone()),
            (None, Some(title)) => Group::Entry(title.clone()),
            (None, None) => Group::Month(month, month),
        }
    }

    /// How its chapter is called.
    #[must_use]
    pub fn title(&self) -> String {
        match self {
            Group::System(system) => capitalised(system),
            Group::Entry(title) => title.clone(),
            Group::Month(first, last) if first == last => month_and_year(*first),
            Group::Month(first, last) => {
                format!("{} to {}", month_and_year(*first), month_and_year(*last))
            }
        }
    }

    /// Both as one.
    fn and(&self, other: &Group) -> Group {
        match (self, other) {
            (Group::Month(first, _), Group::Month(_, last)) => Group::Month(*first, *last),
            (Group::System(one), Group::System(other)) => {
                Group::System(format!("{one} and {other}"))
            }
            (_, _) => Group::Entry(format!("{}; {}", self.title(), other.title())),
        }
    }
}

/// Chapters of which each can have a mark of its own: one shorter than ten
/// seconds (common practice, no source) joins the one before it.
#[must_use]
pub fn long_enough(chapters: Vec<(Group, Chapter)>, pace: u32) -> Vec<Chapter> {
    let least = usize::try_from(pace.div_ceil(6)).unwrap_or(usize::MAX) + 1;
    let mut kept: Vec<(Group, Chapter)> = Vec::new();
    for (group, chapter) in chapters {
        match kept.last_mut() {
            Some((own, last)) if chapter.words() < least || last.words() < least => {
                *own = own.and(&group);
                last.title = own.title();
                last.paragraphs.extend(chapter.paragraphs);
                last.photos.extend(chapter.photos);
            }
            Some(_) | None => kept.push((group, chapter)),
        }
    }
    kept.into_iter().map(|(_, chapter)| chapter).collect()
}
