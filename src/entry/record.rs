//! A record while its facts are being collected.
//!
//! It knows what may be said once only, and what a section takes from the
//! front matter.

use std::collections::BTreeSet;
use std::ops::Range;

use jiff::civil::Date;

use super::context::Context;
use super::fact::Fact;
use super::fact_lines;
use super::item::Item;
use super::key::Key;
use super::model::{Passage, Record};
use super::placing;
use super::session::{self, Session};
use super::stated::Stated;
use super::understand::{FactContext, LONGEST_FACT, Value};
use crate::handbook::heading::{Heading, read_places};
use crate::handbook::parts::usual_system;
use crate::problem::Problem;
use crate::vocabulary::hedge::is_elsewhere;
use crate::vocabulary::name::Name;
use crate::vocabulary::position::{Driven, Position, places as places_of};
use crate::vocabulary::status::Status;
use crate::vocabulary::words::fold;

/// The usual system of a part at each of its places; none where one was said, and
/// none for a system or a vehicle as a whole.
fn usual_systems(
    name: &Name,
    at: &[Position],
    said: bool,
    context: &Context,
) -> Vec<Option<String>> {
    let written = name.written();
    if said || context.system(written).is_some() || context.vehicle(written).is_some() {
        return Vec::new();
    }
    let usual = |at| usual_system(written, at, &context.systems).map(str::to_owned);
    places_of(at).iter().map(usual).collect()
}

/// Facts of one section, before they are a record.
#[derive(Clone, Debug)]
pub(super) struct RecordBuilder {
    pub vehicle: Option<String>,
    pub date: Option<Date>,
    system: Option<(String, bool)>,
    name: Name,
    heading_at: Vec<Position>,
    at: Vec<Position>,
    spot: Range<usize>,
    own: Vec<Stated>,
    inherited: Vec<Stated>,
    said: KeysSaid,
}

/// Which keys were said, each once however often it was.
#[derive(Clone, Debug, Default)]
struct KeysSaid(Vec<Key>);

impl KeysSaid {
    fn contains(&self, key: Key) -> bool {
        self.0.contains(&key)
    }

    fn add(&mut self, key: Key) {
        if !self.contains(key) {
            self.0.push(key);
        }
    }
}

impl RecordBuilder {
    /// A section's record, with what stands above it.
    pub fn new(
        reader: &mut FactContext<'_>,
        session: &Session,
        heading: &Option<(String, u8)>,
        spot: Range<usize>,
    ) -> RecordBuilder {
        let system = match heading {
            Some((system, _)) => Some((system.clone(), false)),
            None => session.system.clone().map(|system| (system, true)),
        };
        RecordBuilder {
            vehicle: session.vehicle.clone(),
            date: session.date,
            system,
            name: Name::new(""),
            heading_at: Vec::new(),
            at: Vec::new(),
            spot: 0..0,
            own: Vec::new(),
            inherited: if reader.affords(session.inherited.len(), spot) {
                session.inherited.clone()
            } else {
                Vec::new()
            },
            said: KeysSaid::default(),
        }
    }

    /// The record that an entry with `part:` is.
    pub fn of_single(
        reader: &mut FactContext<'_>,
        session: &Session,
        spot: Range<usize>,
    ) -> RecordBuilder {
        let mut draft = RecordBuilder::new(reader, session, &None, spot);
        draft.own.clone_from(&session.part_facts);
        draft.system = session.system.clone().map(|system| (system, false));
        draft
            .inherited
            .retain(|stated| matches!(stated.fact, Fact::Footage(_)));
        draft
    }

    /// A draft of another part about which the same is said.
    pub fn copied(&self, reader: &mut FactContext<'_>, spot: Range<usize>) -> RecordBuilder {
        let copies = self.own.len() + self.inherited.len();
        let mut copy = RecordBuilder {
            own: Vec::new(),
            inherited: Vec::new(),
            name: self.name.clone(),
            heading_at: self.heading_at.clone(),
            at: self.at.clone(),
            spot: self.spot.clone(),
            vehicle: self.vehicle.clone(),
            date: self.date,
            system: self.system.clone(),
            said: self.said.clone(),
        };
        if reader.affords(copies + self.at.len(), spot) {
            copy.own.clone_from(&self.own);
            copy.inherited.clone_from(&self.inherited);
        }
        copy
    }

    /// Whether nothing was said yet.
    pub fn is_empty(&self) -> bool {
        self.own.is_empty() && self.said.0.is_empty()
    }

    /// The facts of its own.
    pub fn facts(&self) -> &[Stated] {
        &self.own
    }

    /// On which side the driver of its vehicle sits.
    pub fn driven(&self, reader: &FactContext<'_>) -> Driven {
        reader.context.driven(self.vehicle.as_deref())
    }

    /// Names the part.
    pub fn name(&mut self, reader: &mut FactContext<'_>, heading: Heading, spot: Range<usize>) {
        placing::report(reader, self.vehicle.as_deref(), &spot, heading.remarks);
        let contradiction = heading.at.iter().find_map(Position::contradiction);
        if let Some((one, other)) = contradiction {
            reader.error(
                spot.clone(),
                format!(
                    "a part cannot be {} and {} at once",
                    one.word(),
                    other.word()
                ),
                "write one position, or `at: left; right` for two places",
            );
        }
        self.name = Name::new(&heading.name);
        self.heading_at = heading.at;
        self.spot = spot;
    }

    /// Adds a fact that was understood elsewhere.
    pub fn push(&mut self, reader: &FactContext<'_>, key: Key, value: &Value, fact: Fact) {
        self.own.push(Stated {
            fact,
            key,
            written: value.text.clone(),
            spot: reader.lines.spot(value.span.clone()),
            inherited: false,
        });
    }

    /// Understands the items of a facts list.
    pub fn items(&mut self, reader: &mut FactContext<'_>, items: &[Item]) {
        let mut lines = Vec::new();
        for item in items {
            lines.extend(as_facts(reader, item));
        }
        let items = lines.as_slice();
        // The vehicle comes first: it decides what "driver's side" means.
        for item in items {
            if key_of(item) == Some(Key::Vehicle) && !self.said.contains(Key::Vehicle) {
                self.said.add(Key::Vehicle);
                if let Some(vehicle) = session::vehicle(reader, item) {
                    self.vehicle = Some(vehicle);
                }
            }
        }
        let outer = reader.driven;
        reader.driven = self.driven(reader);
        self.said.0.retain(|key| *key != Key::Vehicle);
        for item in items {
            self.item(reader, item);
        }
        reader.driven = outer;
    }

    fn item(&mut self, reader: &mut FactContext<'_>, item: &Item) {
        let Some((key, item)) = resolve(reader, item, &mut self.own) else {
            return;
        };
        let item = item.as_ref();
        if self.said.contains(key) && key.is_single() {
            return reader.error(
                item.span.clone(),
                format!("a second `{}` for the same record", key.word()),
                "the first one was taken; delete one of the two",
            );
        }
        self.said.add(key);
        if reader.is_too_long(item) {
            // What it says is left out.
        } else if key == Key::Vehicle {
            // Read before all others.
        } else if key == Key::Date {
            self.date = session::date(reader, item).or(self.date);
        } else if key == Key::At {
            self.at_of(reader, item);
        } else if key.is_of_entry_alone() {
            reader.warning(
                item.span.clone(),
                format!("`{}` belongs to the front matter", key.word()),
                "move it between the `---` lines at the top",
            );
        } else {
            for stated in reader.understand(key, item) {
                if let Fact::System(system) = &stated.fact {
                    self.system = Some((system.clone(), false));
                }
                self.own.push(stated);
            }
        }
    }

    fn at_of(&mut self, reader: &mut FactContext<'_>, item: &Item) {
        reader.ask_about_doubt(&item.value, item.span.clone());
        let folded = fold(&item.value);
        if is_elsewhere(&folded) || folded.contains("other side") || folded.contains("opposite") {
            reader.error(
                item.span.clone(),
                format!("`{}` does not say which side", item.whole()),
                "write the side: `at: left`",
            );
        }
        let values = reader.values(Key::At, item);
        if values.is_empty() {
            reader.warning(
                item.span.clone(),
                "`at` says nothing",
                "write the position, or delete the line",
            );
        }
        self.positions(reader, &values);
    }

    /// Adds the positions of `at:`.
    pub fn positions(&mut self, reader: &mut FactContext<'_>, values: &[Value]) {
        for value in values {
            let (places, remarks) = read_places(&value.text, self.driven(reader));
            placing::report(reader, self.vehicle.as_deref(), &value.span, remarks);
            let contradiction = places.iter().find_map(Position::contradiction);
            if let Some((one, other)) = contradiction {
                reader.error(
                    value.span.clone(),
                    format!(
                        "`{}` is {} and {} at once",
                        value.text,
                        one.word(),
                        other.word()
                    ),
                    "write one position, or `left; right` for two places",
                );
                continue;
            }
            self.at.extend(places);
            self.said.add(Key::At);
        }
        if let Some(value) = values.first() {
            self.at_spot(value);
        }
    }

    fn at_spot(&mut self, value: &Value) {
        if self.spot == (0..0) {
            self.spot = value.span.clone();
        }
    }

    /// Asks where a part lies that is said to lie in two places.
    fn one_shelf(&self, reader: &mut FactContext<'_>) {
        let mut shelves = self
            .own
            .iter()
            .filter(|stated| !stated.inherited && matches!(stated.fact, Fact::Stored(_)));
        let (Some(first), Some(second)) = (shelves.next(), shelves.next()) else {
            return;
        };
        if fold(&first.written) == fold(&second.written) {
            return;
        }
        let problem = Problem::warning(
            second.spot.clone(),
            format!("stored at `{}`, or at `{}`?", first.written, second.written),
        );
        reader
            .problems
            .push(problem.hint("delete the one that is not so"));
    }

    /// The record, with what it takes from the front matter.
    pub fn finish(
        mut self,
        reader: &mut FactContext<'_>,
        passage: Passage,
        short: Option<(usize, usize)>,
    ) -> Record {
        let spot = reader.lines.spot(self.spot.clone());
        let mut at = self.places(reader);
        self.one_status(reader);
        self.away_or_taken_out(reader);
        self.one_shelf(reader);
        self.not_itself(reader, &at);
        let status_not_taken = self.inherit();
        let on = self
            .own
            .iter()
            .any(|stated| matches!(stated.fact, Fact::Status(Status::Fitted | Status::Loose)));
        if on {
            for stated in &mut self.own {
                if let Fact::After(part) = &stated.fact {
                    stated.fact = Fact::RefitAfter(part.clone());
                }
            }
        }
        // Each place beyond the first gets a copy of the facts.
        let copies = at.len().saturating_sub(1) * (self.own.len() + 1);
        if !reader.affords(copies, self.spot.clone()) {
            at.truncate(1);
        }
        let usual_systems = usual_systems(&self.name, &at, self.system.is_some(), reader.context);
        Record {
            name: self.name,
            at,
            vehicle: self.vehicle,
            date: self.date,
            usual_systems,
            system: self.system,
            status_not_taken,
            facts: self.own,
            passage,
            spot,
            short,
        }
    }

    /// The positions of heading and `at:` together.
    fn places(&self, reader: &mut FactContext<'_>) -> Vec<Position> {
        if self.at.is_empty() {
            return self.heading_at.clone();
        }
        let heading = places_of(&self.heading_at);
        let mut places: Vec<Position> = Vec::new();
        let mut line = None;
        for at in &self.at {
            let both = heading.iter().map(|own| own.and(at));
            let possible: Vec<Position> =
                both.filter(|both| both.contradiction().is_none()).collect();
            if possible.is_empty() {
                let spot = line.get_or_insert_with(|| self.at_line(reader));
                let said: Vec<String> = heading.iter().map(ToString::to_string).collect();
                reader.error(
                    spot.clone(),
                    format!(
                        "`at: {at}` contradicts the heading, which says {}",
                        said.join(" and ")
                    ),
                    "the heading was taken; correct one of the two",
                );
                places.extend_from_slice(heading);
            } else {
                places.extend(possible);
            }
        }
        // A place that is named twice is still one place.
        let mut seen = BTreeSet::new();
        places.retain(|at| seen.insert(at.clone()));
        places
    }

    /// The bytes of the line `- at:` below the heading.
    fn at_line(&self, reader: &FactContext<'_>) -> Range<usize> {
        let heading = reader.lines.index_of(self.spot.start);
        (heading + 1..reader.lines.count())
            .find(|index| {
                let text = reader.lines.line(*index).to_lowercase();
                text.trim_start_matches(|c: char| !c.is_alphanumeric())
                    .starts_with("at")
            })
            .map_or(self.spot.clone(), |index| reader.lines.range(index))
    }

    /// Keeps the first standing of a record; a second contradicts it.
    fn one_status(&mut self, reader: &mut FactContext<'_>) {
        let mut first: Option<Status> = None;
        let mut problems = Vec::new();
        self.own.retain(|stated| {
            let Fact::Status(status) = stated.fact else {
                return true;
            };
            match first {
                None => {
                    first = Some(status);
                    true
                }
                Some(before) if before == status => false,
                Some(before) => {
                    problems.push(
                        crate::problem::Problem::error(
                            stated.spot.clone(),
                            format!(
                                "a second status: the part cannot be {} and {} at once",
                                before.word(),
                                status.word()
                            ),
                        )
                        .hint(
                            "the first one was taken; write a second section for what came later",
                        ),
                    );
                    false
                }
            }
        });
        reader.problems.extend(problems);
    }

    /// Asks about "out" alone: away at someone's, or taken out.
    fn away_or_taken_out(&self, reader: &mut FactContext<'_>) {
        if self.own.iter().any(|one| one.key == Key::SentTo) {
            return;
        }
        let bare = |one: &&Stated| {
            let word = one.written.trim_matches(|c: char| !c.is_alphanumeric());
            one.fact == Fact::Status(Status::Out) && word.eq_ignore_ascii_case("out")
        };
        let asked = self.own.iter().filter(bare).map(|one| {
            crate::problem::Problem::warning(
                one.spot.clone(),
                "`out`: away at someone's, or taken out of the vehicle? It was read as away",
            )
            .hint("write `sent to: NAME` below it, or `status: removed`")
        });
        reader.problems.extend(asked);
    }

    /// Drops relations of a part to itself.
    fn not_itself(&mut self, reader: &mut FactContext<'_>, at: &[Position]) {
        let name = self.name.clone();
        let mut problems = Vec::new();
        self.own.retain(|stated| {
            let Some((_, part)) = stated.relation() else {
                return true;
            };
            let same_place = part.at.is_empty() || at.contains(&part.at);
            if part.name != name || !same_place || name.is_empty() {
                return true;
            }
            problems.push(
                crate::problem::Problem::error(
                    stated.spot.clone(),
                    format!(
                        "`{}: {}` names the part itself",
                        stated.key.word(),
                        stated.written
                    ),
                )
                .hint("name the other part"),
            );
            false
        });
        reader.problems.extend(problems);
    }

    /// Takes over what the section does not say itself. A mere word about a
    /// part does not take it off: the status needs a sign that it came off. Returns a
    /// status that has none.
    fn inherit(&mut self) -> Option<Status> {
        let has = |wanted: &dyn Fn(&Stated) -> bool| self.own.iter().any(wanted);
        let surface_only = has(&|stated| {
            stated.key.is_about_a_surface() || matches!(stated.fact, Fact::Surface(_))
        });
        let came_off = has(&|stated| stated.key.comes_off());
        let says = |key: Key| has(&|stated| stated.key == key);
        let says_status = says(Key::Status);
        let mut taken: Vec<Stated> = self
            .inherited
            .iter()
            .filter(|stated| {
                if stated.key == Key::Status {
                    came_off && !surface_only && !says_status
                } else if stated.key == Key::Footage {
                    !says(Key::Footage)
                } else {
                    !surface_only && !says(stated.key)
                }
            })
            .cloned()
            .collect();
        for stated in &mut taken {
            stated.inherited = true;
        }
        let not_taken = !came_off && !surface_only && !says_status;
        let status = self.inherited.iter().find_map(|stated| {
            if let Fact::Status(status) = stated.fact {
                Some(status)
            } else {
                None
            }
        });
        taken.append(&mut self.own);
        self.own = taken;
        status.filter(|_| not_taken)
    }
}

/// An item as the facts that it says; one that says none stays as it is.
fn as_facts(reader: &mut FactContext<'_>, item: &Item) -> Vec<Item> {
    if is_elsewhere(&item.whole()) {
        reader.error(
            item.span.clone(),
            format!("`{}` leaves open which facts", item.whole()),
            "write the facts of this part here, or both places in its heading",
        );
        return Vec::new();
    }
    let key = item.key.as_deref().and_then(Key::read);
    if key == Some(Key::ReplacedBy) || item.span.len() > LONGEST_FACT {
        return vec![item.clone()];
    }
    let Some(line) = fact_lines::read(item) else {
        return vec![item.clone()];
    };
    if line.unticked {
        reader.warning(
            item.span.clone(),
            format!(
                "`{}`: still to be done, or done and not ticked?",
                item.whole()
            ),
            "tick the box, or write it without one",
        );
    }
    for (said, key) in line.guesses {
        reader.warning(
            item.span.clone(),
            format!(
                "`{}` was read as `{}`",
                said.trim_end_matches([':', '=', ' ']),
                key.word()
            ),
            &match Key::near(said.trim_end_matches([':', '=', ' '])) {
                Some(near) if near == key => format!("write `{}`", key.word()),
                Some(_) | None => {
                    "write the key you mean, or plain words below the facts".to_owned()
                }
            },
        );
    }
    line.items
}

fn key_of(item: &Item) -> Option<Key> {
    let word = item.key.as_deref()?;
    Key::read(word).or_else(|| Key::near(word))
}

/// The key of an item in a facts list. An unknown key is kept as it is.
fn resolve<'i>(
    reader: &mut FactContext<'_>,
    item: &'i Item,
    facts: &mut Vec<Stated>,
) -> Option<(Key, std::borrow::Cow<'i, Item>)> {
    use std::borrow::Cow;
    let whole = item.whole();
    let Some(word) = item.key.as_deref().filter(|word| !word.is_empty()) else {
        if whole.trim_matches([':', ' ']).is_empty() && item.children.is_empty() {
            reader.note(
                item.span.clone(),
                "an empty line among the facts",
                "delete it",
            );
            return None;
        }
        return without_colon(reader, item).map(|(key, item)| (key, Cow::Owned(item)));
    };
    if let Some(key) = Key::read(word) {
        return Some((key, Cow::Borrowed(item)));
    }
    if let Some(key) = Key::near(word) {
        reader.warning(
            item.span.clone(),
            format!("`{word}` was read as `{}`", key.word()),
            &format!("write `{}`", key.word()),
        );
        return Some((key, Cow::Borrowed(item)));
    }
    session::unknown_key(reader, word, item);
    facts.push(Stated {
        fact: Fact::Unknown(whole.clone()),
        key: Key::Found,
        written: whole,
        spot: reader.lines.spot(item.span.clone()),
        inherited: false,
    });
    None
}

/// An item without a colon: its first words may still be a key.
fn without_colon(reader: &mut FactContext<'_>, item: &Item) -> Option<(Key, Item)> {
    let text = item.value.clone();
    let key = Key::ALL
        .iter()
        .copied()
        .filter(|key| {
            text.get(..key.word().len())
                .is_some_and(|start| start.eq_ignore_ascii_case(key.word()))
                && text[key.word().len()..].starts_with(' ')
        })
        .max_by_key(|key| key.word().len());
    let Some(key) = key else {
        reader.warning(
            item.span.clone(),
            format!("`{text}` has no key"),
            "write `key: value`, or move it below the facts as prose",
        );
        return None;
    };
    reader.warning(
        item.span.clone(),
        format!("a colon is missing behind `{}`", key.word()),
        &format!("write `{}:{}`", key.word(), &text[key.word().len()..]),
    );
    Some((
        key,
        Item {
            key: Some(key.word().to_owned()),
            value: text[key.word().len()..].trim().to_owned(),
            span: item.span.clone(),
            children: item.children.clone(),
        },
    ))
}
