//! The fold: a place's state, a fact, the state afterwards.
//!
//! Every fact is matched here, so that none is forgotten; what cannot be is a problem
//! and never stops the fold.

use super::event::{PlaceEvent, PlaceEventKind, PlaceRecord};
use super::needs;
use super::place::{PlaceKey, RecordTime};
use super::state::{Link, PlaceState, QuestionState, Relation, TimelineStep, Unit, dated};
use crate::entry::{Fact, Key, Stated};
use crate::problem::{Problem, Spot};
use crate::vocabulary::name::Name;
use crate::vocabulary::position::Position;
use crate::vocabulary::status::Status;
use crate::vocabulary::system_source::SystemSource;

impl PlaceState {
    /// A place without records yet: unit 1, on the vehicle.
    #[must_use]
    pub fn new(key: &PlaceKey) -> PlaceState {
        PlaceState {
            key: key.clone(),
            vehicle: key.vehicle.clone(),
            name: key.name.clone(),
            at: Position::default(),
            system: None,
            system_source: SystemSource::Assumed,
            recorded: false,
            units: vec![Unit {
                status: Some(Status::Fitted),
                was_on: true,
                ..Unit::new(1)
            }],
            surface: None,
            stored: None,
            sent: None,
            went_on: Vec::new(),
            bagged: Vec::new(),
            hardware: Vec::new(),
            counted: Vec::new(),
            connections: Vec::new(),
            relations: Vec::new(),
            holds_up: Vec::new(),
            needs: Vec::new(),
            ready_with: None,
            questions: Vec::new(),
            costs: Vec::new(),
            hours: Vec::new(),
            lessons: Vec::new(),
            cautions: Vec::new(),
            manuals: Vec::new(),
            torques: Vec::new(),
            tools: Vec::new(),
            photos: Vec::new(),
            numbers: Vec::new(),
            found: Vec::new(),
            hands: None,
            timeline: Vec::new(),
            problems: Vec::new(),
        }
    }

    /// The place after one more event. Events come in the order of [`RecordTime`].
    pub fn apply(&mut self, event: &PlaceEvent) {
        match &event.what {
            PlaceEventKind::Record(record) => self.record(record, &event.when),
            PlaceEventKind::MovedTo { to, spot } => self.moved(to, spot, &event.when),
            PlaceEventKind::InBag {
                bag,
                spot,
                section,
                kinds,
            } => self.put_in_section((bag, kinds), spot, section, &event.when),
        }
    }

    fn record(&mut self, record: &PlaceRecord, when: &RecordTime) {
        if !self.recorded {
            self.recorded = true;
            record.name.written().clone_into(&mut self.name);
            self.at = record.at.clone();
        } else if record.name.key() == self.key.name && Name::new(&self.name).key() != self.key.name
        {
            // Of joined names the one that stands for the others heads the answer.
            record.name.written().clone_into(&mut self.name);
        }
        if let Some((system, source)) = &record.system {
            self.belongs_to(system, *source, record);
        }
        // A status speaks of the unit that was there before; "fitted" beside
        // `replaced by` can only mean the new one.
        let replaces = record
            .facts
            .iter()
            .any(|stated| matches!(stated.fact, Fact::ReplacedBy(_)));
        let fits =
            |stated: &&Stated| matches!(stated.fact, Fact::Status(Status::Fitted | Status::Loose));
        let (last, first): (Vec<&Stated>, Vec<&Stated>) = record
            .facts
            .iter()
            .partition(|stated| replaces && fits(stated));
        let (status_first, rest): (Vec<&Stated>, Vec<&Stated>) = first
            .into_iter()
            .partition(|stated| matches!(stated.fact, Fact::Status(_)));
        // What the record says besides (shelf, number, cost) is about the new unit.
        let (replacing, rest): (Vec<&Stated>, Vec<&Stated>) = rest
            .into_iter()
            .partition(|stated| matches!(stated.fact, Fact::ReplacedBy(_)));
        let in_order = status_first.into_iter().chain(replacing).chain(rest);
        let (was_on, before) = (self.is_on(), self.needs.len());
        for stated in in_order.chain(last) {
            self.fact(stated, record, when);
        }
        self.without_status(record);
        let went_on = record.facts.iter().find_map(|stated| {
            if let Fact::Status(status @ (Status::Fitted | Status::Loose)) = stated.fact {
                Some((status, &stated.spot))
            } else {
                None
            }
        });
        if let Some((status, spot)) = went_on.filter(|_| !was_on || replaces) {
            self.fitted_with_work_open(status, spot, before);
        }
        self.timeline.push(TimelineStep {
            when: when.clone(),
            spot: record.spot.clone(),
            unit: self.unit().number,
            status: self.unit().status,
            facts: record
                .facts
                .iter()
                .map(|stated| {
                    let known = !matches!(stated.fact, Fact::Unknown(_));
                    let key = if known { stated.key.word() } else { "" };
                    (key.to_owned(), stated.written.clone())
                })
                .collect(),
            prose: record.prose.clone(),
        });
    }

    /// The first system that is stated counts; an inherited one only until then, and
    /// an assumed one only until either.
    fn belongs_to(&mut self, system: &str, source: SystemSource, record: &PlaceRecord) {
        match &self.system {
            Some(before) if self.system_source == SystemSource::Stated => {
                if source == SystemSource::Stated && before != system {
                    let is_system = |stated: &&Stated| matches!(stated.fact, Fact::System(_));
                    let stated = record.facts.iter().find(is_system);
                    let spot = stated.map_or(&record.spot, |stated| &stated.spot);
                    let text = format!(
                        "{} is of the system `{system}` here and of `{before}` before",
                        self.label()
                    );
                    self.problems.push(
                        Problem::warning(spot.clone(), text)
                            .hint(format!("`{before}` was taken; correct one of the two")),
                    );
                }
            }
            Some(_) if source <= self.system_source => {}
            Some(_) | None => {
                self.system = Some(system.to_owned());
                self.system_source = source;
            }
        }
    }

    /// One fact.
    fn fact(&mut self, stated: &Stated, record: &PlaceRecord, when: &RecordTime) {
        let date = when.date;
        let spot = &stated.spot;
        match &stated.fact {
            Fact::Status(status) => self.status(*status, stated, record, when),
            Fact::Surface(surface) => self.surface = Some(*surface),
            Fact::HoldsUp(part) => {
                if !self.holds_up.contains(part) {
                    self.holds_up.push(part.clone());
                }
            }
            Fact::After(part) | Fact::OffAfter(part) | Fact::RefitAfter(part) | Fact::Of(part) => {
                let moment = self.timeline.len();
                self.relations
                    .extend(stated.relation().map(|(key, _)| Relation {
                        key,
                        part: part.clone(),
                        date,
                        spot: spot.clone(),
                        moment,
                    }));
            }
            Fact::Undone(link) => self.connections.push(Link {
                what: link.what.clone(),
                to: link.to.clone(),
                open: true,
                spot: spot.clone(),
                date,
            }),
            Fact::Hands(hands) => self.hands = Some(*hands),
            Fact::Hardware(hardware) => self.hold_with(hardware, record, spot, when),
            Fact::Leftover(hardware) => self.count(true, hardware, spot, when),
            Fact::Short(hardware) => self.count(false, hardware, spot, when),
            Fact::Bag(label) => self.put_in_bag(label, record, spot, when),
            Fact::Holds(_) => {}
            Fact::Stored(shelf) => {
                if self.unit().status == Some(Status::Out) {
                    self.back();
                }
                self.stored = Some(shelf.clone());
            }
            Fact::SentTo(sent) => {
                self.sent = Some(sent.clone());
                if self.unit().status != Some(Status::Out) {
                    self.set(Status::Out, !stated.inherited);
                }
                self.stored = None;
            }
            Fact::Found(text) => self.found.push(dated(text, date, spot)),
            Fact::Needs(need) => needs::open(self, need, date, spot),
            Fact::Done(text) => needs::done(self, text, stated.key == Key::Done, date, spot),
            Fact::ReplacedBy(replacement) => self.replace(replacement, record, date, spot),
            Fact::Question(text) => self.questions.push(QuestionState {
                text: text.clone(),
                since: date,
                spot: spot.clone(),
                answer: None,
            }),
            Fact::Answer(text) => needs::answer(self, text, date, spot),
            Fact::Cost(cost) => self.spend(cost, stated, record, date),
            Fact::Hours(minutes) => self.hours.push(dated(minutes, date, spot)),
            Fact::Torque(text) => self.torques.push(dated(text, date, spot)),
            Fact::Manual(text) => self.manuals.push(dated(text, date, spot)),
            Fact::Tool(tool) => self.tools.push(dated(tool, date, spot)),
            Fact::Photo(picture) => self.photos.push(dated(picture, date, spot)),
            Fact::Footage(_) => {}
            Fact::Lesson(text) => self.lessons.push(dated(text, date, spot)),
            Fact::Caution(text) => self.cautions.push(dated(text, date, spot)),
            Fact::Number(text) => self.numbers.push(dated(text, date, spot)),
            Fact::Also(_) | Fact::System(_) | Fact::Tell(_) | Fact::Ask(_) | Fact::Unknown(_) => {}
        }
    }

    fn status(&mut self, status: Status, stated: &Stated, record: &PlaceRecord, when: &RecordTime) {
        let before = self.unit().status;
        let was_said = self.unit().said;
        if stated.inherited && status == Status::Removed {
            // A front matter speaks of the evening, not of this part: what is
            // off already stays as it is.
            let off_here = matches!(
                before,
                None | Some(Status::Removed | Status::Apart | Status::Ready)
            );
            if off_here || before.is_some_and(Status::is_gone) {
                return;
            }
        }
        if let Some(problem) = self.contradiction(status, before, was_said, stated) {
            self.problems.push(problem);
        }
        match status {
            Status::Fitted | Status::Loose => self.fit(status, stated, when),
            Status::Undone => self.set(status, !stated.inherited),
            Status::Removed | Status::Apart | Status::Ready => {
                self.sent = None;
                self.set(status, !stated.inherited);
            }
            Status::Out => {
                self.set(status, !stated.inherited);
                let stays = record
                    .facts
                    .iter()
                    .any(|other| matches!(other.fact, Fact::Stored(_)) && !other.inherited);
                if !stays {
                    self.stored = None;
                }
            }
            Status::LeftOff | Status::Replaced | Status::Missing => {
                self.set(status, !stated.inherited);
            }
            Status::Scrapped | Status::Sold => {
                self.set(status, !stated.inherited);
                self.stored = None;
                needs::close_work(self, when.date);
            }
        }
    }

    /// What is wrong with a status after the one before.
    fn contradiction(
        &self,
        status: Status,
        before: Option<Status>,
        was_said: bool,
        stated: &Stated,
    ) -> Option<Problem> {
        if stated.inherited {
            return None;
        }
        let last = self
            .timeline
            .last()
            .map(|moment| {
                format!(
                    " ({}, {}:{})",
                    moment.when.date, moment.spot.file, moment.spot.line
                )
            })
            .unwrap_or_default();
        let label = self.label();
        match (before, status) {
            (Some(Status::Fitted), Status::Fitted) if was_said => Some(
                Problem::warning(
                    stated.spot.clone(),
                    format!("{label} is fitted twice without being off in between"),
                )
                .hint(format!(
                    "it was fitted already{last}; was it removed and nobody wrote it down?"
                )),
            ),
            (Some(Status::Removed), Status::Removed) if was_said => Some(
                Problem::warning(
                    stated.spot.clone(),
                    format!("{label} is removed twice without being fitted in between"),
                )
                .hint(format!(
                    "it was off already{last}; was it fitted and nobody wrote it down?"
                )),
            ),
            (Some(gone), Status::Fitted | Status::Loose | Status::Removed) if gone.is_gone() => {
                let back = gone == Status::Missing;
                (!back).then(|| {
                    Problem::warning(
                        stated.spot.clone(),
                        format!(
                            "{label} is {}, but its unit was {}{last}",
                            status.word(),
                            gone.word()
                        ),
                    )
                    .hint("if another unit took its place, add `replaced by: ...`")
                })
            }
            (_, _) => None,
        }
    }

    /// Puts the unit on the vehicle.
    fn fit(&mut self, status: Status, stated: &Stated, when: &RecordTime) {
        let was_off = !self.is_on();
        self.set(status, !stated.inherited);
        self.sent = None;
        self.stored = None;
        self.use_hardware(was_off, when);
        for link in &mut self.connections {
            link.open = false;
        }
        if let Some(unit) = self.units.last_mut() {
            unit.was_on = true;
        }
    }

    /// Says that a part went on with work open that was open before this record
    /// and is not done in it.
    fn fitted_with_work_open(&mut self, status: Status, spot: &Spot, before: usize) {
        let open: Vec<&str> = self.needs[..before]
            .iter()
            .filter(|need| need.closed.is_none())
            .map(|need| need.need.text.as_str())
            .collect();
        if open.is_empty() {
            return;
        }
        let text = format!(
            "{} is {} with work open: {}",
            self.label(),
            status.word(),
            needs::some_of(&open)
        );
        self.problems.push(Problem::note(spot.clone(), text).hint(
            "write `- done: ...` when it is done; bleeding and aligning may well come later",
        ));
    }

    pub(super) fn set(&mut self, status: Status, said: bool) {
        if let Some(unit) = self.units.last_mut() {
            unit.status = Some(status);
            unit.said = said;
            unit.silent = false;
        }
        self.ready_with = (status == Status::Ready).then_some(self.needs.len());
    }

    /// Back from wherever it was sent.
    fn back(&mut self) {
        self.sent = None;
        self.set(Status::Removed, false);
    }

    fn moved(&mut self, to: &str, spot: &Spot, when: &RecordTime) {
        self.set(Status::LeftOff, true);
        if let Some(unit) = self.units.last_mut() {
            unit.until = Some(when.date);
            unit.moved_to = Some(to.to_owned());
        }
        self.stored = None;
        self.timeline.push(TimelineStep {
            when: when.clone(),
            spot: spot.clone(),
            unit: self.unit().number,
            status: Some(Status::LeftOff),
            facts: vec![("moved to".to_owned(), to.to_owned())],
            prose: 0..0,
        });
    }
}

/// What a record says once; `None` if it says nothing of the kind, or several.
pub(super) fn only<T>(record: &PlaceRecord, pick: impl Fn(&Fact) -> Option<&T>) -> Option<&T> {
    let mut picked = record.facts.iter().filter_map(|stated| pick(&stated.fact));
    let first = picked.next()?;
    picked.next().is_none().then_some(first)
}
