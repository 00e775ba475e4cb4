//! The journal as a folder of pages for the phone in the shop: a page each for parts,
//! bags, systems, shelves and entries, and a front page with what matters today.
//!
//! Every page is one HTML file that reads without a program and loads nothing from
//! elsewhere; `book.js` adds search and keeps ticks on the device. What may be shown is
//! decided before: entries come without what is private. Nothing here opens or writes
//! files.
//!
//! Reading order: `names` (the files), `frame` (what pages share), `front`, `part`,
//! `bag`, `system`, `entry`, `lists`, and `search`.

mod bag;
mod entry;
mod frame;
mod front;
mod inputs;
mod lists;
pub mod made;
pub mod names;
mod part;
mod search;
mod system;

use std::collections::{BTreeMap, HashMap};

use jiff::civil::Date;

use crate::entry::{Context, Entry};
use crate::ledger::{Ledger, PlaceKey, PlaceState, TimelineStep};
use crate::parallel;
use crate::presentation::page::STYLE;
use crate::reports::bags::{Bag, PartSelection, bags};
use crate::reports::known_cautions::{FoundCautions, KnownCautions, PlaceCautions};
use crate::reports::needs::{OpenNeed, open};
use crate::reports::parts::{PartStanding, standing};
use crate::reports::purchases::{Purchase, purchases};
use crate::reports::refit::RefitReport;
use crate::reports::whole::{RecordSubject, about};
use crate::reports::whole_journal::WholeJournal;
use crate::vocabulary::words::fold;
pub use search::KnownWords;

/// What a book is made from.
pub struct BookContents<'b> {
    /// What the journal is called.
    pub name: &'b str,
    /// The vehicles, in the order in which they are shown.
    pub vehicles: &'b [BookVehicle],
    /// The entries, as far as they may be shown.
    pub entries: &'b [Entry],
    /// What follows from these entries.
    pub whole: &'b WholeJournal,
    /// What they were read with.
    pub context: &'b Context,
    /// The day against which days are held.
    pub today: Date,
    /// When the book is made, in words.
    pub made: &'b str,
    /// Whether it says what things cost.
    pub shows_money: bool,
    /// Where each picture of the journal lies in the book, by its path.
    pub pictures: &'b BTreeMap<String, String>,
    /// Words for the same thing, a group each.
    pub same_words: Vec<Vec<&'static str>>,
    /// Whether a page, by its path, stands as it was made from what has this sum.
    pub stands: &'b (dyn Fn(&str, u64) -> bool + Sync),
}

/// What was worked out for a book before and may be of use again.
#[derive(Default)]
pub struct BookKnown {
    /// The cautions of its parts.
    pub cautions: KnownCautions,
    /// The words of its pages.
    pub words: KnownWords,
}

/// A vehicle as the front page introduces it.
#[derive(Clone, Debug)]
pub struct BookVehicle {
    /// The name of its file.
    pub slug: String,
    /// Its full name.
    pub name: String,
    /// A sentence about it.
    pub about: Option<String>,
}

/// A file of the book.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct BookPage {
    /// Its path inside the book.
    pub path: String,
    /// The sum of what it is made from; `None` for one that is made each time.
    pub inputs: Option<u64>,
    /// Its text; `None` if it stands as it should.
    pub text: Option<String>,
}

impl BookPage {
    /// A page that is made each time.
    fn new(path: &str, text: String) -> BookPage {
        BookPage {
            path: path.to_owned(),
            inputs: None,
            text: Some(text),
        }
    }
}

/// What pages are made from, worked out once.
struct Book<'b> {
    contents: &'b BookContents<'b>,
    ledger: &'b Ledger,
    /// The plan of each vehicle, in the order of the vehicles.
    plans: Vec<RefitReport<'b>>,
    /// The parts by vehicle, system and name.
    parts: Vec<BookPart<'b>>,
    /// The cautions of each of them.
    cautions: Vec<FoundCautions>,
    /// The sum of what links and images in prose may lead to.
    leads_to: u64,
    /// Which of `parts` a place is.
    numbers: HashMap<&'b PlaceKey, usize>,
    bags: Vec<Bag>,
    needs: Vec<OpenNeed>,
    purchases: Vec<Purchase>,
    entries: HashMap<&'b str, &'b Entry>,
}

/// A place with a page of its own.
struct BookPart<'b> {
    state: &'b PlaceState,
    standing: PartStanding,
    /// The number of its vehicle.
    vehicle: usize,
    /// The system in whose steps it goes back.
    system: Option<String>,
}

/// All files of the book but its pictures, and whether more is `known` than before.
#[must_use]
pub fn pages(contents: &BookContents<'_>, known: &mut BookKnown) -> (Vec<BookPage>, bool) {
    let (book, has_new) = Book::new(contents, &mut known.cautions);
    let words = &mut known.words;
    let (search, mut pages) = parallel::both(|| search::index(&book, words), || reading(&book));
    let is_new = has_new || search.text.is_some();
    pages.push(search);
    (pages, is_new)
}

/// The pages that are read, with their style and their program.
fn reading(book: &Book<'_>) -> Vec<BookPage> {
    let mut pages = vec![
        front::front(book),
        front::open(book),
        front::buy(book),
        BookPage::new(names::STYLE, format!("{STYLE}{}", include_str!("book.css"))),
        BookPage::new(names::PROGRAM, include_str!("book.js").to_owned()),
    ];
    pages.extend(lists::lists(book));
    pages.extend(parallel::each(THREADS, &book.parts, |own| {
        part::page_of(book, own)
    }));
    pages.extend(book.bags.iter().map(|bag| bag::page_of(book, bag)));
    pages.extend(system::pages(book));
    let entries = &book.contents.entries;
    pages.extend(entries.iter().map(|own| entry::page_of(book, own)));
    pages
}

/// More threads than most people have processors would each take longer.
const THREADS: usize = 2;

impl<'b> Book<'b> {
    fn new(contents: &'b BookContents<'b>, known: &mut KnownCautions) -> (Book<'b>, bool) {
        let ledger = &contents.whole.ledger;
        let systems = &contents.context.systems;
        let plan = |vehicle: &BookVehicle| RefitReport::new(ledger, &vehicle.slug, systems, false);
        let tools = contents.whole.tools.clone();
        let of_bags = || {
            let everything = PartSelection {
                wanted: &|_| true,
                whole_vehicle: &|_| true,
                with_entries: true,
            };
            let needs = open(ledger, tools, contents.today, contents.context);
            let bags = bags(ledger, &everything).bags;
            (needs, bags, purchases(ledger, &|_| true))
        };
        let of_parts = || {
            let plans: Vec<RefitReport<'b>> = contents.vehicles.iter().map(plan).collect();
            let parts = parts(contents, &plans);
            (plans, parts)
        };
        let ((needs, bags, purchases), (plans, parts)) = parallel::both(of_bags, of_parts);
        let numbers = parts.iter().enumerate();
        let numbers = numbers.map(|(number, part)| (&part.state.key, number));
        let entries = contents.entries.iter();
        let mut book = Book {
            ledger,
            cautions: Vec::new(),
            leads_to: inputs::leads_to(contents),
            plans,
            numbers: numbers.collect(),
            parts,
            bags,
            needs,
            purchases,
            entries: entries.map(|entry| (entry.path.as_str(), entry)).collect(),
            contents,
        };
        let states: Vec<&PlaceState> = book.parts.iter().map(|part| part.state).collect();
        let prose = |at: &TimelineStep| book.prose(&at.spot.file, &at.prose).to_owned();
        let (cautions, is_new) = known.of(&states, &prose);
        book.cautions = cautions;
        (book, is_new)
    }

    /// The cautions that the handbook has for a part.
    fn cautions_of(&self, key: &PlaceKey) -> Option<&PlaceCautions> {
        let number = self.numbers.get(key)?;
        Some(&self.cautions[*number].cautions)
    }

    /// A page, made unless it stands as it was made from what has this sum.
    fn unless_it_stands(
        &self,
        path: &str,
        inputs: u64,
        make: impl FnOnce() -> BookPage,
    ) -> BookPage {
        let page = match (self.contents.stands)(path, inputs) {
            true => BookPage {
                path: path.to_owned(),
                inputs: None,
                text: None,
            },
            false => make(),
        };
        BookPage {
            inputs: Some(inputs),
            ..page
        }
    }

    /// The page of a part, if it has one.
    fn part(&self, key: &PlaceKey) -> Option<&BookPart<'b>> {
        self.numbers.get(key).map(|number| &self.parts[*number])
    }

    /// Whether the vehicle has to be said.
    fn has_several_vehicles(&self) -> bool {
        self.contents.vehicles.len() > 1
    }

    /// The plan of a vehicle.
    fn plan(&self, vehicle: usize) -> Option<&RefitReport<'b>> {
        self.plans.get(vehicle)
    }

    /// The full name of a vehicle.
    fn vehicle_name<'n>(&'n self, slug: &'n str) -> &'n str {
        let mut known = self.contents.vehicles.iter();
        let known = known.find(|vehicle| vehicle.slug == slug);
        known.map_or(slug, |vehicle| &vehicle.name)
    }

    /// The prose of a record.
    fn prose(&self, file: &str, bytes: &std::ops::Range<u32>) -> &str {
        let bytes = bytes.start as usize..bytes.end as usize;
        let entry = self.entries.get(file);
        let prose = entry.and_then(|entry| entry.text.get(bytes));
        prose.unwrap_or_default().trim()
    }
}

/// The parts by vehicle, system and name; systems and vehicles as a whole are none,
/// but have a page too where a record speaks of them.
fn parts<'b>(contents: &'b BookContents<'b>, plans: &[RefitReport<'b>]) -> Vec<BookPart<'b>> {
    let ledger = &contents.whole.ledger;
    let vehicle = |slug: &str| {
        let mut vehicles = contents.vehicles.iter();
        vehicles.position(|vehicle| vehicle.slug == slug)
    };
    let mut parts: Vec<BookPart<'b>> = ledger
        .recorded()
        .filter_map(|(key, state)| {
            let vehicle = vehicle(&state.vehicle)?;
            let places = &plans[vehicle].plan.places;
            let system = places.number(key).and_then(|place| places.system(place));
            Some(BookPart {
                standing: standing(state, ledger),
                vehicle,
                system: system.map(str::to_owned),
                state,
            })
        })
        .collect();
    let systems: Vec<String> = contents
        .context
        .systems
        .iter()
        .map(|one| fold(one))
        .collect();
    parts.sort_by_cached_key(|part| {
        let system = part.system.as_deref().map(fold);
        let rank = system
            .as_ref()
            .and_then(|system| systems.iter().position(|known| known == system));
        let is_part = about(part.state, contents.context) == RecordSubject::Part;
        (
            part.vehicle,
            !is_part,
            rank.unwrap_or(systems.len()),
            system,
            fold(&part.state.label()),
        )
    });
    parts
}
