//! One part with all that is known of it, and lists of parts, for a terminal.

use unicode_width::UnicodeWidthStr;

use super::cautions::general;
use super::export::{Document, Exporter};
use super::find::standing_words;
use super::part_words::{
    by_key, distinct, hardware_words, in_bag, in_section, open_connections, torque_words, unit_line,
};
use super::terminal::Terminal;
use super::text::{StyledText, Text, TextStyle, counted, plain};
use crate::ledger::{Bagged, PlaceState, TimelineStep};
use crate::reports::cautions::{Raised, SAFETY};
use crate::reports::parts::{Listed, PartStanding};
use crate::vocabulary::money::sum_by_currency;

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
    let open = open_connections(state);
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
    line("hardware", hardware_words(state));
    for bagged in &part.sections {
        line(&in_bag(bagged), in_section(bagged));
    }
    line("number", distinct(&state.numbers));
    line("torque", torque_words(state));
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

/// The units, if there was more than one.
fn units(text: &mut Text, state: &PlaceState) {
    if state.units.len() < 2 {
        return;
    }
    text.gap();
    text.line(0, TextStyle::Title, "Units");
    for unit in &state.units {
        text.wrapped(2, 4, &[plain(unit_line(unit))]);
    }
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
