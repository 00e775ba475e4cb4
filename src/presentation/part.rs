//! One part with all that is known of it, and lists of parts, for a terminal.

use unicode_width::UnicodeWidthStr;

use super::cautions::general;
use super::export::{Document, Exporter};
use super::find::standing_words;
use super::replaced::kind_and_words;
use super::terminal::Terminal;
use super::text::{StyledText, Text, TextStyle, counted, plain};
use crate::ledger::{Bagged, Dated, PlaceState, TimelineStep, Unit};
use crate::reports::cautions::{Raised, SAFETY};
use crate::reports::parts::{Listed, PartStanding};
use crate::reports::refit::{FIGURE_MISSING, WHOM_TO_ASK, lacks_torque};
use crate::reports::replaced::origin_words;
use crate::reports::torque::in_both_systems;
use crate::vocabulary::money::sum_by_currency;
use crate::vocabulary::reference::Reference;
use crate::vocabulary::status::Status;

/// One part.
#[derive(Clone, Debug)]
pub struct PartView<'a> {
    /// Its state.
    pub state: &'a PlaceState,
    /// Where it stands.
    pub standing: PartStanding,
    /// What sections about whole bags say of its hardware.
    pub sections: Vec<Bagged>,
    /// Its other names.
    pub also: Vec<String>,
    /// "as it stood on 2026-03-14", "as written on ...": said at the top.
    pub as_of: Option<String>,
    /// Hazards that its records raise.
    pub raised: Vec<Raised>,
}

/// One part with what its records say in prose.
pub struct OnePart<'a> {
    /// The part.
    pub part: &'a PartView<'a>,
    /// Gives the prose of a moment.
    pub prose_of: &'a dyn Fn(&TimelineStep) -> String,
}

/// Many parts.
#[derive(Clone, Copy, Debug)]
pub struct PartList<'a> {
    /// The parts under their headings.
    pub groups: &'a [(String, Vec<Listed<'a>>)],
    /// Whether the vehicle has to be said.
    pub several_vehicles: bool,
}

/// The parts that a name could mean; none if it means nothing.
#[derive(Clone, Copy, Debug)]
pub struct Candidates<'a> {
    /// The name as it was typed.
    pub asked: &'a str,
    /// The parts.
    pub found: &'a [Listed<'a>],
    /// Whether the vehicle has to be said.
    pub several_vehicles: bool,
}

impl Exporter<OnePart<'_>> for Terminal {
    fn export(&self, one: &OnePart<'_>) -> Document {
        self.document(&render(one.part, one.prose_of, self.width))
    }
}

impl Exporter<PartList<'_>> for Terminal {
    fn export(&self, parts: &PartList<'_>) -> Document {
        self.document(&list(parts.groups, parts.several_vehicles, self.width))
    }
}

impl Exporter<Candidates<'_>> for Terminal {
    fn export(&self, candidates: &Candidates<'_>) -> Document {
        self.document(&could_be(candidates, self.width))
    }
}

/// A part with its timeline. `prose_of` gives the prose of a moment.
fn render(part: &PartView<'_>, prose_of: &dyn Fn(&TimelineStep) -> String, width: usize) -> Text {
    let state = part.state;
    let mut text = Text::new(width);
    head(&mut text, part);
    open_work(&mut text, state);
    for caution in distinct(&state.cautions) {
        text.wrapped(
            2,
            4,
            &[(TextStyle::Caution, "caution: ".into()), plain(caution)],
        );
    }
    general(&mut text, "general caution", &part.raised, &|raised| {
        let day = state.timeline.iter().find(|m| m.spot == raised.spot);
        day.map_or(String::new(), |moment| moment.when.date.to_string())
    });
    if !(state.cautions.is_empty() && part.raised.is_empty()) {
        text.line(4, TextStyle::Faint, SAFETY);
    }
    details(&mut text, part);
    units(&mut text, state);
    text.gap();
    text.line(0, TextStyle::Title, "Timeline");
    for moment in &state.timeline {
        moment_lines(&mut text, moment, state, &prose_of(moment));
    }
    text
}

fn head(text: &mut Text, part: &PartView<'_>) {
    let state = part.state;
    let mut aside = vec![state.vehicle.clone()];
    aside.extend(state.system_words());
    if !part.also.is_empty() {
        aside.push(format!("also {}", part.also.join(", ")));
    }
    text.wrapped(
        0,
        2,
        &[
            (TextStyle::Part, state.label()),
            (TextStyle::Faint, format!(" ({})", aside.join(", "))),
        ],
    );
    if let Some(as_of) = &part.as_of {
        text.line(2, TextStyle::Note, as_of);
    }
    let mut now: Vec<StyledText> = vec![(TextStyle::Standing, standing_words(&part.standing))];
    if state.unit().number > 1 {
        now.push(plain(format!(", unit {}", state.unit().number)));
    }
    if let Some(surface) = state.surface {
        now.push(plain(format!(", surface {}", surface.word())));
    }
    if let Some(sent) = &state.sent {
        let back = sent
            .back_by
            .map(|day| format!(", back by {day}"))
            .unwrap_or_default();
        now.push(plain(format!(", sent to {}{back}", sent.to)));
    }
    text.wrapped(2, 4, &now);
}

/// What is still to be done about it.
fn open_work(text: &mut Text, state: &PlaceState) {
    for need in state.open_needs() {
        let by = need
            .need
            .by
            .map(|day| format!(", by {day}"))
            .unwrap_or_default();
        text.wrapped(
            2,
            4,
            &[
                (TextStyle::Warning, "needs: ".into()),
                plain(format!("{}{by} ", need.need.text)),
                (TextStyle::Faint, format!("(since {})", need.since)),
            ],
        );
    }
    for question in state
        .questions
        .iter()
        .filter(|asked| asked.answer.is_none())
    {
        text.wrapped(
            2,
            4,
            &[
                (TextStyle::Warning, "question: ".into()),
                plain(format!("{} ", question.text)),
                (TextStyle::Faint, format!("(since {})", question.since)),
            ],
        );
    }
    let open: Vec<String> = state
        .connections
        .iter()
        .filter(|link| link.open)
        .map(|link| match &link.to {
            Some(to) => format!("{} to {}", link.what.written(), to.written()),
            None => link.what.written(),
        })
        .collect();
    if !open.is_empty() {
        text.wrapped(
            2,
            4,
            &[
                (TextStyle::Faint, "to connect: ".into()),
                plain(open.join("; ")),
            ],
        );
    }
}

/// Hardware, figures, lessons.
fn details(text: &mut Text, part: &PartView<'_>) {
    let state = part.state;
    let mut line = |key: &str, values: Vec<String>| {
        if values.is_empty() {
            return;
        }
        text.wrapped(
            2,
            4,
            &[
                (TextStyle::Faint, format!("{key}: ")),
                plain(values.join("; ")),
            ],
        );
    };
    let latest = state.hardware.iter().map(|pieces| pieces.date).max();
    let hardware = state
        .hardware
        .iter()
        .filter(|pieces| pieces.used.is_none() || Some(pieces.date) == latest)
        .map(|pieces| {
            let bag = pieces
                .bag
                .as_ref()
                .map(|bag| format!(", bag {}", bag.written()))
                .unwrap_or_default();
            let marks: String = pieces
                .hardware
                .marks
                .iter()
                .map(|mark| format!(", {}", mark.word()))
                .collect();
            let used = if pieces.used.is_some() { ", used" } else { "" };
            format!(
                "{} {}{bag}{marks}{used}",
                pieces.hardware.count(),
                pieces.hardware.what
            )
        });
    line("hardware", hardware.collect());
    for bagged in &part.sections {
        line(&in_bag(bagged), in_section(bagged));
    }
    line("number", distinct(&state.numbers));
    let torques = distinct(&state.torques).into_iter();
    let mut torques: Vec<String> = torques.map(|written| in_both_systems(&written)).collect();
    let to_tighten = !state.is_on() || state.unit().status == Some(Status::Loose);
    if to_tighten && lacks_torque(state, state.system.as_deref()) {
        torques.push(format!("{FIGURE_MISSING}: {WHOM_TO_ASK}"));
    }
    line("torque", torques);
    line("manual", distinct(&state.manuals));
    if let Some(hands) = state.hands.filter(|hands| *hands > 1) {
        line("hands", vec![hands.to_string()]);
    }
    for lesson in distinct(&state.lessons) {
        line("lesson", vec![lesson]);
    }
    let pictures = state.photos.iter().map(|picture| picture.value.written());
    line("pictures", pictures.collect());
    let timed = clips(state).filter(|(_, clip)| clip.contains(':'));
    let filmed = timed.map(|(moment, clip)| format!("{clip} ({})", moment.when.date));
    line("filmed", filmed.collect());
    let costs = sum_by_currency(state.costs.iter().map(|spent| spent.cost.money));
    let costs = costs.iter().map(ToString::to_string).collect();
    line("spent", costs);
}

/// The clips that show a part, each with the record that names it.
pub(super) fn clips(state: &PlaceState) -> impl Iterator<Item = (&TimelineStep, &str)> {
    state.timeline.iter().flat_map(|moment| {
        let footage = moment.facts.iter().filter(|(key, _)| key == "footage");
        footage.map(move |(_, clip)| (moment, clip.as_str()))
    })
}

/// "in bag 12, with hub, right front": where pieces of several parts are.
fn in_bag(bagged: &Bagged) -> String {
    let of = if bagged.emptied.is_some() {
        "out of"
    } else {
        "in"
    };
    format!("{of} bag {}", bagged.bag.written())
}

/// The pieces of a bag's section, and the parts they are for.
fn in_section(bagged: &Bagged) -> Vec<String> {
    let Some(section) = &bagged.section else {
        return Vec::new();
    };
    let mut words: Vec<String> = section
        .hardware
        .iter()
        .map(|hardware| format!("{} {}", hardware.count(), hardware.what))
        .collect();
    let parts: Vec<String> = section.holds.iter().map(Reference::written).collect();
    if words.is_empty() {
        words.push("not counted".to_owned());
    }
    if let (Some(last), true) = (words.last_mut(), parts.len() > 1) {
        last.push_str(&format!(" (for {})", parts.join("; ")));
    }
    words
}

/// Values without those said twice, in their order.
fn distinct(values: &[Dated<String>]) -> Vec<String> {
    let mut seen: Vec<String> = Vec::new();
    for value in values {
        if !seen.contains(&value.value) {
            seen.push(value.value.clone());
        }
    }
    seen
}

/// The units, if there was more than one.
fn units(text: &mut Text, state: &PlaceState) {
    if state.units.len() < 2 {
        return;
    }
    text.gap();
    text.line(0, TextStyle::Title, "Units");
    for unit in &state.units {
        let mut words = vec![format!("unit {}", unit.number)];
        words.push(unit_words(unit));
        words.push(match (unit.from, unit.until) {
            (None, None) => "came with the vehicle".to_owned(),
            (None, Some(until)) => format!("came with the vehicle, until {until}"),
            (Some(from), None) => format!("since {from}"),
            (Some(from), Some(until)) => format!("{from} to {until}"),
        });
        words.extend(unit.cost.map(|cost| cost.to_string()));
        words.extend(unit.fate.map(|fate| format!("then {}", fate.word())));
        words.extend(unit.moved_to.as_ref().map(|to| format!("moved to {to}")));
        words.retain(|words| !words.is_empty());
        text.wrapped(2, 4, &[plain(words.join(", "))]);
    }
}

/// What a unit is: its kind, what was written, number, source.
fn unit_words(unit: &Unit) -> String {
    let mut words = kind_and_words(unit.kind, &unit.what);
    if let Some(code) = &unit.code {
        words.push(code.clone());
    }
    if let Some(source) = &unit.source {
        words.push(format!("from {}", origin_words(source)));
    }
    words.join(", ")
}

/// The most lines of prose that a moment shows.
const MOST_PROSE: usize = 600;

fn moment_lines(text: &mut Text, moment: &TimelineStep, state: &PlaceState, prose: &str) {
    let mut head: Vec<StyledText> = vec![(TextStyle::Title, moment.when.date.to_string())];
    let status = moment.status.map_or("at hand", |status| status.word());
    head.push((TextStyle::Standing, format!(" {status}")));
    if state.units.len() > 1 {
        head.push(plain(format!(", unit {}", moment.unit)));
    }
    head.push((
        TextStyle::Faint,
        format!(" ({}:{})", moment.spot.file, moment.spot.line),
    ));
    text.wrapped(2, 4, &head);
    for (key, values) in by_key(&moment.facts) {
        let key = if key.is_empty() {
            String::new()
        } else {
            format!("{key}: ")
        };
        text.wrapped(4, 6, &[(TextStyle::Faint, key), plain(values.join("; "))]);
    }
    let prose = prose.split_whitespace().collect::<Vec<_>>().join(" ");
    if !prose.is_empty() {
        text.line(4, TextStyle::Plain, &shortened(&prose));
    }
}

/// Facts with neighbours of the same key in one; the status stands above them.
fn by_key(facts: &[(String, String)]) -> Vec<(&str, Vec<&str>)> {
    let mut grouped: Vec<(&str, Vec<&str>)> = Vec::new();
    for (key, value) in facts.iter().filter(|(key, _)| key != "status") {
        match grouped.last_mut() {
            Some((last, values)) if *last == key.as_str() => values.push(value),
            Some(_) | None => grouped.push((key, vec![value])),
        }
    }
    grouped
}

/// Prose cut at a word, with a sign where it goes on.
fn shortened(prose: &str) -> String {
    if prose.chars().count() <= MOST_PROSE {
        return prose.to_owned();
    }
    let kept: String = prose.chars().take(MOST_PROSE).collect();
    let end = kept.rfind(' ').unwrap_or(kept.len());
    format!("{} …", &kept[..end])
}

/// All parts under their headings.
fn list(groups: &[(String, Vec<Listed<'_>>)], vehicles: bool, width: usize) -> Text {
    let mut text = Text::new(width);
    if groups.is_empty() {
        text.line(0, TextStyle::Plain, "no such parts");
        return text;
    }
    let mut total = 0;
    for (heading, parts) in groups {
        text.wrapped(
            0,
            2,
            &[
                (TextStyle::Title, heading.clone()),
                (
                    TextStyle::Faint,
                    format!(": {}", counted(parts.len(), "part", "parts")),
                ),
            ],
        );
        total += parts.len();
        rows(&mut text, parts.iter(), vehicles);
        text.gap();
    }
    text.line(0, TextStyle::Faint, &counted(total, "part", "parts"));
    text
}

/// A line for each part: its name in a column as wide as the names need, and
/// where it stands.
///
/// Where nobody said a part's system, its line says that it is assumed.
fn rows<'p>(text: &mut Text, parts: impl Iterator<Item = &'p Listed<'p>>, vehicles: bool) {
    let lines: Vec<(String, String)> = parts
        .map(|part| {
            let name = if vehicles {
                format!("{} ({})", part.state.label(), part.state.vehicle)
            } else {
                part.state.label()
            };
            let mut standing = standing_words(&part.standing);
            if let Some(sent) = &part.state.sent {
                standing.push_str(&format!(", {}", sent.to));
            }
            if let Some(system) = part
                .state
                .system_words()
                .filter(|_| part.state.system_is_assumed())
            {
                standing.push_str(&format!(", {system}"));
            }
            (name, standing)
        })
        .collect();
    let column = text.names_column(lines.iter().map(|(name, _)| name.width()), 44);
    for (name, standing) in lines {
        text.pair(
            2,
            column,
            (TextStyle::Part, name),
            &[(TextStyle::Standing, standing)],
        );
    }
}

fn could_be(candidates: &Candidates<'_>, width: usize) -> Text {
    let mut text = Text::new(width);
    let asked = candidates.asked;
    if candidates.found.is_empty() {
        text.line(0, TextStyle::Plain, &format!("no part is called `{asked}`"));
        text.line(
            2,
            TextStyle::Plain,
            "`matchmark part` lists all parts; `matchmark find` searches the text",
        );
        return text;
    }
    text.line(
        0,
        TextStyle::Note,
        &format!("`{asked}` could be any of these; name one with its position:"),
    );
    rows(
        &mut text,
        candidates.found.iter(),
        candidates.several_vehicles,
    );
    text
}
