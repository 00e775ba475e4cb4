//! The states of places as the index keeps them, looked up as in a ledger.
//!
//! How the index is brought up to date is not known here.

use std::borrow::Cow;
use std::collections::{BTreeMap, BTreeSet};

use super::failure::Failure;
use super::fresh_index::Fresh;
use crate::entry::{Entry, decode};
use crate::index::{IndexError, ShareKind, shares};
use crate::journal::{Contents, Journal, Walked};
use crate::ledger::{Aliases, Ledger, PlaceHardware, PlaceKey, PlaceState, States};
use crate::parallel;
use crate::reports::kept_entry::KeptEntry;
use crate::reports::known_names::{KnownNames, UsedName};
use crate::reports::whole_journal::{EntryShare, WholeJournal};

impl Fresh {
    /// The state of a place.
    #[must_use]
    pub fn place(&self, key: &PlaceKey) -> Option<PlaceState> {
        let bytes = self.index.place(&key.to_string()).ok().flatten()?;
        PlaceState::from_bytes(&bytes)
    }

    /// The places of one name, or of one it is joined with.
    #[must_use]
    pub fn places_named(&self, vehicle: &str, name: &str) -> Vec<PlaceState> {
        let name = self.aliases.resolve(vehicle, name);
        let places = self.index.places(&PlaceKey::prefix(vehicle, name));
        let mut known: Vec<PlaceState> = places
            .unwrap_or_default()
            .iter()
            .filter_map(|(_, bytes)| PlaceState::from_bytes(bytes))
            .collect();
        known.sort_by(|a, b| a.key.cmp(&b.key));
        known
    }

    /// The keys of these places, without a look at what is kept of them.
    #[must_use]
    pub fn keys_named(&self, vehicle: &str, name: &str) -> Vec<String> {
        let name = self.aliases.resolve(vehicle, name);
        let keys = self.index.place_keys(&PlaceKey::prefix(vehicle, name));
        keys.unwrap_or_default()
    }

    /// All places.
    ///
    /// # Errors
    /// When the index is damaged.
    pub fn keys(&self) -> Result<Vec<PlaceKey>, Failure> {
        let keys = self.index.place_keys("")?;
        Ok(keys
            .iter()
            .filter_map(|key| PlaceKey::from_text(key))
            .collect())
    }

    /// What reports are made from, as it was kept. Of each place it holds the
    /// [lean](PlaceState::lean) state.
    ///
    /// # Errors
    /// When the index is damaged.
    pub fn whole_journal(&self, hardware: HardwareScope) -> Result<WholeJournal, Failure> {
        let entries = self.index.pages(ShareKind::File)?;
        let mut shares: Vec<(&str, EntryShare)> = decoded(&entries, EntryShare::from_bytes)?;
        shares.sort_by_key(|(path, _)| *path);
        let (mut bag_sections, mut session_words) = (Vec::new(), Vec::new());
        let (mut tools, mut beside) = (Vec::new(), Vec::new());
        for (_, share) in shares {
            bag_sections.extend(share.bag_sections);
            session_words.extend(share.session_words);
            tools.extend(share.tools);
            beside.extend(share.beside);
        }
        Ok(WholeJournal {
            ledger: Ledger::of(
                self.places_with(hardware)?,
                self.aliases.clone(),
                bag_sections,
                session_words,
            ),
            tools,
            beside,
        })
    }

    /// What all files but `except` know of these names. If one of them is new, all of its
    /// kind, as one of those may be near.
    ///
    /// # Errors
    /// When the index is damaged.
    pub fn known_names(
        &self,
        asked: &[UsedName],
        except: &BTreeSet<&str>,
    ) -> Result<KnownNames, Failure> {
        let used = self.index.names_besides(except)?;
        let mut known = KnownNames::default();
        let mut whole = BTreeSet::new();
        for name in asked {
            if whole.contains(name.group()) {
                continue;
            }
            let mut found = used.beginning(&name.same())?;
            if found.is_empty() {
                whole.insert(name.group());
                found = used.beginning(name.group())?;
            }
            found.iter().for_each(|text| known.add_text(text));
        }
        Ok(known)
    }

    /// All places with their [lean](PlaceState::lean) states, without hardware.
    ///
    /// # Errors
    /// When the index is damaged.
    pub fn states(&self) -> Result<BTreeMap<PlaceKey, PlaceState>, Failure> {
        self.places_with(HardwareScope::Left)
    }

    fn places_with(
        &self,
        hardware: HardwareScope,
    ) -> Result<BTreeMap<PlaceKey, PlaceState>, Failure> {
        let more = match hardware {
            HardwareScope::Whole => return self.whole_states(),
            HardwareScope::Taken => self.index.pages(ShareKind::PlaceMore)?,
            HardwareScope::Left => Vec::new(),
        };
        let pages = self.index.pages(ShareKind::Place)?;
        // Two processors are enough for what is read here.
        let mut states = decoded(&pages, PlaceState::from_bytes)?;
        let mut more = decoded(&more, PlaceHardware::from_bytes)?;
        more.sort_unstable_by_key(|(key, _)| *key);
        states.sort_unstable_by_key(|(key, _)| *key);
        let mut more = more.into_iter().peekable();
        let states = states.into_iter().map(|(key, state)| {
            let state = match more.next_if(|(of, _)| *of == key) {
                Some((_, hardware)) => state.with(hardware),
                None => state,
            };
            (state.key.clone(), state)
        });
        Ok(states.collect())
    }

    fn whole_states(&self) -> Result<BTreeMap<PlaceKey, PlaceState>, Failure> {
        let kept = self.index.places("")?;
        let places = kept
            .iter()
            .filter(|(key, _)| PlaceKey::from_text(key).is_some());
        let places: Vec<&[u8]> = places.map(|(_, bytes)| &bytes[..]).collect();
        let states = read_each(&places, PlaceState::from_bytes)?;
        let states = states.into_iter().map(|state| (state.key.clone(), state));
        Ok(states.collect())
    }

    /// All entries as they were read, without their texts, by path.
    ///
    /// # Errors
    /// When the index is damaged.
    pub fn kept_entries(&self) -> Result<Vec<KeptEntry>, Failure> {
        let kept = self.index.looks()?;
        let kept: Vec<&[u8]> = kept.iter().map(|bytes| &bytes[..]).collect();
        let mut entries = read_each(&kept, KeptEntry::from_bytes)?;
        entries.sort_unstable_by(|a, b| a.entry.path.cmp(&b.entry.path));
        Ok(entries)
    }

    /// The whole journal with its texts: of the entries that `walked` found only those are
    /// read anew whose text has changed since. `None` where one cannot be read.
    #[must_use]
    pub fn contents(&self, journal: &Journal, walked: &Walked) -> Option<Contents> {
        let kept = self.kept_entries().ok()?;
        if kept.len() != walked.files.len() {
            return None;
        }
        let texts = parallel::each(2, &kept, |kept| {
            let bytes = journal.bytes(&kept.entry.path).ok()?;
            Some(decode(bytes).text)
        });
        let context = journal.context();
        let entries = kept.into_iter().zip(texts).map(|(kept, text)| {
            let path = kept.entry.path.clone();
            let entry = kept.with(text?);
            entry.or_else(|| Some(journal.entry_with(&path, &context).ok()?.0))
        });
        let entries: Option<Vec<Entry>> = entries.collect();
        journal.load_around(walked, entries?).ok()
    }
}

/// Each of these as it was kept, read by two threads.
fn read_each<T: Send>(
    kept: &[&[u8]],
    read: impl Fn(&[u8]) -> Option<T> + Sync,
) -> Result<Vec<T>, IndexError> {
    let read = |bytes: &&[u8]| {
        read(bytes).ok_or_else(|| IndexError::Damaged("what is kept of one".to_owned()))
    };
    parallel::each(2, kept, read).into_iter().collect()
}

/// Whether the hardware of places is read too.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum HardwareScope {
    /// It is: for answers about bags, purchases and refitting.
    Taken,
    /// It is not.
    Left,
    /// Nothing is left out, and each place is read alone: for `check`.
    Whole,
}

/// What some pages hold, read by two threads.
fn decoded<T: Send>(
    pages: &[Vec<u8>],
    read: impl Fn(&[u8]) -> Option<T> + Sync,
) -> Result<Vec<(&str, T)>, IndexError> {
    let (first, rest) = pages.split_at(pages.len() / 2);
    let (first, rest) = parallel::both(|| one_by_one(first, &read), || one_by_one(rest, &read));
    let mut all = first?;
    all.extend(rest?);
    Ok(all)
}

/// What some pages hold, read.
fn one_by_one<'p, T>(
    pages: &'p [Vec<u8>],
    read: &impl Fn(&[u8]) -> Option<T>,
) -> Result<Vec<(&'p str, T)>, IndexError> {
    let mut all = Vec::new();
    for page in pages {
        for (key, bytes) in shares(page)? {
            let share = read(bytes);
            let share = share.ok_or_else(|| IndexError::Damaged("a share of a page".to_owned()))?;
            all.push((key, share));
        }
    }
    Ok(all)
}

impl States for Fresh {
    fn aliases(&self) -> &Aliases {
        &self.aliases
    }

    fn state(&self, key: &PlaceKey) -> Option<Cow<'_, PlaceState>> {
        self.place(key).map(Cow::Owned)
    }

    fn named(&self, vehicle: &str, name: &str) -> Vec<Cow<'_, PlaceState>> {
        let known = self.places_named(vehicle, name);
        let recorded = known.into_iter().filter(|state| state.recorded);
        recorded.map(Cow::Owned).collect()
    }
}
