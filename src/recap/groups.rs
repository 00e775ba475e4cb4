//! What belongs into one chapter: a system, an entry, a month.

use jiff::civil::Date;

use super::draft::Chapter;
use super::material::Source;
use super::speech::{capitalised, listed, month, month_and_year};

/// What the moments of a chapter have in common.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Group {
    /// The system.
    System(String),
    /// The entry, by its title.
    Entry(String),
    /// The month, by its first day.
    Month(Date),
}

impl Group {
    /// The group of a source.
    #[must_use]
    pub fn of(source: &Source) -> Group {
        match (&source.system, &source.title) {
            (Some(system), _) => Group::System(system.clone()),
            (None, Some(title)) => Group::Entry(title.clone()),
            (None, None) => Group::month(source),
        }
    }

    /// The month of a source.
    #[must_use]
    pub fn month(source: &Source) -> Group {
        Group::Month(source.when.date.first_of_month())
    }
}

/// A chapter with what its moments have in common, and their days.
#[derive(Clone, Debug)]
pub struct Grouped {
    /// The groups, each once.
    pub groups: Vec<Group>,
    /// The first and the last day.
    pub days: (Date, Date),
    /// The chapter; its title is not decided yet.
    pub chapter: Chapter,
}

impl Grouped {
    fn title(&self) -> String {
        match &self.groups[..] {
            [Group::Entry(title)] => title.clone(),
            [Group::System(one)] => capitalised(one),
            [Group::System(one), Group::System(other)] => {
                capitalised(&listed(&[one.clone(), other.clone()]))
            }
            // Three names in a row promise nothing any more.
            [..] => months(self.days),
        }
    }
}

/// "March 2025", "March to May 2025", "December 2025 to January 2026".
#[must_use]
pub fn months((first, last): (Date, Date)) -> String {
    if (first.year(), first.month()) == (last.year(), last.month()) {
        month_and_year(first)
    } else if first.year() == last.year() {
        format!("{} to {}", month(first), month_and_year(last))
    } else {
        format!("{} to {}", month_and_year(first), month_and_year(last))
    }
}

/// Chapters of which each can have a mark of its own, with their titles: one
/// shorter than ten seconds (common practice, no source) joins the one before
/// it. A title that was there before says its month as well.
#[must_use]
pub fn titled(chapters: Vec<Grouped>, pace: u32) -> Vec<Chapter> {
    let least = usize::try_from(pace.div_ceil(6)).unwrap_or(usize::MAX) + 1;
    let mut kept: Vec<Grouped> = Vec::new();
    for next in chapters {
        match kept.last_mut() {
            Some(last) if next.chapter.words() < least || last.chapter.words() < least => {
                for group in next.groups {
                    if !last.groups.contains(&group) {
                        last.groups.push(group);
                    }
                }
                last.days.1 = next.days.1;
                last.chapter.paragraphs.extend(next.chapter.paragraphs);
                last.chapter.photos.extend(next.chapter.photos);
            }
            Some(_) | None => kept.push(next),
        }
    }
    let mut chapters: Vec<Chapter> = Vec::new();
    for own in kept {
        let mut title = own.title();
        if chapters.iter().any(|other| other.title == title) {
            let months = months(own.days);
            if title != months {
                title = format!("{title}, {months}");
            }
        }
        let mut chapter = own.chapter;
        chapter.title = title;
        chapters.push(chapter);
    }
    chapters
}
