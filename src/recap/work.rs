//! The chapters about the work: which moments stand in one, and in which order.

use std::collections::BTreeMap;

use jiff::civil::Date;

use super::compose::Desk;
use super::draft::{Chapter, Part};
use super::groups::{Group, Grouped, titled};
use super::moments::Voice;
use super::titles::pays;

/// Days without a word about them after which a listener asks what became of the rest.
const GAP: i64 = 150;

impl Desk<'_> {
    /// Chapters in the order of the work: a new one where another system comes
    /// in; what belongs to no system is under the title of its entry, or where
    /// that says nothing, under the month.
    pub(super) fn work(&self, moments: &[usize]) -> Vec<Chapter> {
        let of_entries = self.groups(moments);
        let mut runs: Vec<(&Group, Vec<usize>)> = Vec::new();
        for moment in moments {
            let group = &of_entries[self.source(*moment).when.entry.as_str()];
            match runs.last_mut() {
                Some((last, members)) if *last == group => members.push(*moment),
                Some(_) | None => runs.push((group, vec![*moment])),
            }
        }
        let chapters = runs.into_iter().filter_map(|(group, members)| {
            let day = |moment: &usize| self.source(*moment).when.date;
            Some(Grouped {
                groups: vec![group.clone()],
                days: (day(members.first()?), day(members.last()?)),
                chapter: self.chapter(Part::Work, "", &members, true),
            })
        });
        let mut chapters: Vec<Grouped> = chapters.collect();
        self.say_gaps(&mut chapters);
        let mut chapters = titled(chapters, self.frame.pace);
        for chapter in &mut chapters {
            // Nobody says the month twice.
            if let Some(first) = chapter.paragraphs.first_mut()
                && first.lead.as_ref() == Some(&chapter.title)
            {
                first.lead = None;
            }
        }
        chapters
    }

    /// Says where months of work lie between two chapters.
    fn say_gaps(&self, chapters: &mut [Grouped]) {
        let mut before: Option<Date> = None;
        for chapter in chapters {
            let (first, last) = chapter.days;
            let is_gap = |before: &Date| first.duration_since(*before).as_hours() / 24 >= GAP;
            if let Some(before) = before.filter(is_gap)
                && let Some(paragraph) = chapter.chapter.paragraphs.first_mut()
                && let Some(lead) = &mut paragraph.lead
            {
                let later = self.material.sources.iter().filter(|source| {
                    source.is_session() && source.when.date > before && source.when.date <= first
                });
                lead.push_str(&format!(", {} sessions later", later.count()));
            }
            before = before.max(Some(last));
        }
    }

    /// The group of each entry: that of most of its words that are told, so that
    /// what was written in one go is told in one go. A title is taken where what
    /// is told says it, or tells the entry from its beginning.
    fn groups(&self, moments: &[usize]) -> BTreeMap<&str, Group> {
        let mut by_entry: BTreeMap<&str, Vec<usize>> = BTreeMap::new();
        for moment in moments {
            let entry = self.source(*moment).when.entry.as_str();
            by_entry.entry(entry).or_default().push(*moment);
        }
        let group = |members: &[usize]| {
            let mut groups: Vec<(Group, usize)> = Vec::new();
            for moment in members {
                let (own, words) = (
                    Group::of(self.source(*moment)),
                    self.moment(*moment).words(),
                );
                match groups.iter_mut().find(|(group, _)| *group == own) {
                    Some((_, sum)) => *sum += words,
                    None => groups.push((own, words)),
                }
            }
            // The first of two with as many words.
            let (most, _) = groups.into_iter().rev().max_by_key(|(_, words)| *words)?;
            let Group::Entry(title) = &most else {
                return Some(most);
            };
            let told = members.iter().map(|moment| self.told(*moment));
            let month = || Group::month(self.source(members[0]));
            Some(if pays(title, told) || self.is_whole(members) {
                most
            } else {
                month()
            })
        };
        by_entry
            .into_iter()
            .filter_map(|(entry, members)| Some((entry, group(&members)?)))
            .collect()
    }

    /// Whether the entry's own words are told from their beginning, and half of
    /// them at least, by these moments of it.
    fn is_whole(&self, members: &[usize]) -> bool {
        let session = members
            .iter()
            .find(|member| self.source(**member).is_session());
        let Some(session) = session.map(|member| self.moment(*member).source) else {
            return false;
        };
        let first = self
            .material
            .moments
            .partition_point(|one| one.source < session);
        let own = self.material.moments[first..]
            .iter()
            .take_while(|one| one.source == session)
            .zip(first..)
            .filter(|(one, _)| one.voice == Voice::Prose);
        let (mut told, mut all, mut begun) = (0, 0, None);
        for (moment, index) in own {
            let is_told = members.contains(&index);
            begun = begun.or(Some(is_told));
            all += moment.words();
            told += if is_told { moment.words() } else { 0 };
        }
        begun == Some(true) && told * 2 >= all
    }
}
