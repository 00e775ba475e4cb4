//! The block of YAML between two `---` lines at the top of an entry.
//!
//! Scalars stay the text that was written: nothing becomes a number, a date or
//! a truth value. What a key means is decided in `understand`.

use std::ops::Range;

use saphyr_parser::{Event, Parser, ScalarStyle, ScanError, Span};

use super::item::{Item, trim};
use super::source::Lines;
use crate::problem::Problem;

/// Where the front matter stands.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct FrontMatterSpan {
    /// The lines between the `---` lines.
    pub inside: Range<usize>,
    /// Where the rest of the entry begins.
    pub end: usize,
    /// Whether a `---` line closes it.
    pub closed: bool,
}

/// Finds the block; `None` if the text does not begin with a `---` line. An
/// unclosed block ends before the first empty line or heading.
#[must_use]
pub fn find(lines: &Lines<'_>) -> Option<FrontMatterSpan> {
    let is_fence = |index: usize| {
        let line = lines.line(index);
        let line = if index == 0 {
            line.trim_start_matches('\u{feff}')
        } else {
            line
        };
        line.trim_end() == "---"
    };
    if !is_fence(0) {
        return None;
    }
    let start = lines.range(0).end;
    if let Some(close) = (1..lines.count()).find(|index| is_fence(*index)) {
        return Some(FrontMatterSpan {
            inside: start..lines.range(close).start,
            end: lines.range(close).end,
            closed: true,
        });
    }
    let stop = (1..lines.count())
        .find(|index| {
            let line = lines.line(*index);
            line.trim().is_empty() || line.starts_with("# ") || line.starts_with("---")
        })
        .unwrap_or(lines.count());
    let end = lines.range(stop).start;
    Some(FrontMatterSpan {
        inside: start..end,
        end,
        closed: false,
    })
}

/// More than any session says of itself.
const MOST_ITEMS: usize = 1_000;

/// Reads the block as YAML; where YAML refuses it, line by line as `key:
/// value`, with a problem.
pub fn read(lines: &Lines<'_>, inside: Range<usize>, problems: &mut Vec<Problem>) -> Vec<Item> {
    let mut items = as_yaml_or_lines(lines, inside, problems);
    if let Some(first) = items.get(MOST_ITEMS) {
        problems.push(
            Problem::error(
                lines.spot(first.span.clone()),
                format!(
                    "the front matter says more than {MOST_ITEMS} things; the rest is left out"
                ),
            )
            .hint("write what belongs to parts under headings of their own"),
        );
        items.truncate(MOST_ITEMS);
    }
    items
}

fn as_yaml_or_lines(
    lines: &Lines<'_>,
    inside: Range<usize>,
    problems: &mut Vec<Problem>,
) -> Vec<Item> {
    let text = &lines.text()[inside.clone()];
    if let Some(conflict) = conflict_marker(text) {
        let at = inside.start + conflict;
        problems.push(
            Problem::error(
                lines.spot(at..at + 7),
                "a conflict of a git merge is still in this text",
            )
            .hint("keep the lines you want and delete the markers `<<<<<<<`, `=======`, `>>>>>>>`"),
        );
        return by_line(lines, inside);
    }
    match Yaml::new(text).mapping() {
        Ok(items) => {
            let items: Vec<Item> = items
                .into_iter()
                .map(|item| shifted(item, inside.start))
                .collect();
            report_dropped(lines, &inside, problems);
            items
        }
        Err(refused) => {
            let at = (inside.start + refused.at).min(inside.end.saturating_sub(1));
            let at = floor_boundary(lines.text(), at.max(inside.start));
            let (message, hint) = match refused.why {
                YamlFailure::Yaml if text[refused.at.min(text.len())..].starts_with('\t')
                    || line_has_tab(lines, at) =>
                {
                    (
                        "a tab cannot indent YAML; the front matter was read line by line".to_owned(),
                        "use blanks instead of the tab",
                    )
                }
                YamlFailure::Yaml => (
                    "YAML refuses this line; the front matter was read line by line as `key: value`"
                        .to_owned(),
                    "put the value in quotes",
                ),
                YamlFailure::Alias => (
                    "`&`, `*` and `!` have a meaning of their own in YAML; the front matter was read line by line as `key: value`"
                        .to_owned(),
                    "put the value in quotes",
                ),
                YamlFailure::NoMapping => (
                    "the front matter is no list of `key: value` in YAML; it was read line by line"
                        .to_owned(),
                    "write one `key: value` a line",
                ),
            };
            let spot = lines.spot(at..lines.range(lines.index_of(at)).end);
            let line = lines.line(lines.index_of(at)).trim();
            let shown: String = line.chars().take(MOST_SHOWN).collect();
            problems.push(Problem::warning(spot, message).hint(format!("{hint}: {shown}")));
            by_line(lines, inside)
        }
    }
}

/// Characters of a line quoted in a problem.
const MOST_SHOWN: usize = 80;

/// The byte of a line that a git merge left behind.
fn conflict_marker(text: &str) -> Option<usize> {
    let mut at = 0;
    for line in text.split_inclusive('\n') {
        if ["<<<<<<< ", "======= ", ">>>>>>> "]
            .iter()
            .any(|marker| line.starts_with(marker))
        {
            return Some(at);
        }
        at += line.len();
    }
    None
}

fn line_has_tab(lines: &Lines<'_>, at: usize) -> bool {
    let line = lines.line(lines.index_of(at));
    line.starts_with('\t') || line.trim_start_matches(' ').starts_with('\t')
}

/// The nearest character boundary not after `at`.
fn floor_boundary(text: &str, at: usize) -> usize {
    (0..=at.min(text.len()))
        .rev()
        .find(|at| text.is_char_boundary(*at))
        .unwrap_or(0)
}

fn shifted(mut item: Item, by: usize) -> Item {
    item.span = item.span.start + by..item.span.end + by;
    item.children = item
        .children
        .into_iter()
        .map(|child| shifted(child, by))
        .collect();
    item
}

/// `key: value` line by line; lines beginning with `-` or a blank belong to
/// the key above.
fn by_line(lines: &Lines<'_>, inside: Range<usize>) -> Vec<Item> {
    let mut items: Vec<Item> = Vec::new();
    let first = lines.index_of(inside.start);
    for index in first..lines.count() {
        let range = lines.range(index);
        if range.start >= inside.end {
            break;
        }
        let line = lines.line(index);
        let text = trim(line);
        let is_marker = ["<<<<<<<", "=======", ">>>>>>>"]
            .iter()
            .any(|marker| text.starts_with(marker));
        if text.is_empty() || text.starts_with('#') || is_marker {
            continue;
        }
        let start = range.start + line.find(text).unwrap_or(0);
        let nested = line.starts_with([' ', '\t', '-']);
        let bare = text.strip_prefix("- ").unwrap_or(text);
        let mut item = Item::of_text(bare, start..start + text.len());
        let stands_alone = !line.starts_with('-') && item.key.as_deref().is_some_and(is_key);
        item.value = unquoted(&item.value).to_owned();
        match items.last_mut() {
            Some(above) if nested && !stands_alone => above.children.push(item),
            Some(_) | None => items.push(item),
        }
    }
    items
}

fn is_key(word: &str) -> bool {
    super::key::Key::read(word).is_some()
}

/// A value without one pair of quotes around it.
fn unquoted(value: &str) -> &str {
    ['"', '\'']
        .iter()
        .find_map(|quote| value.strip_prefix(*quote)?.strip_suffix(*quote))
        .unwrap_or(value)
}

/// Reports text that YAML takes for a comment although it stands behind a
/// value: a person who writes `rack 2 #lower` means all of it.
fn report_dropped(lines: &Lines<'_>, inside: &Range<usize>, problems: &mut Vec<Problem>) {
    for (span, comment) in Yaml::new(&lines.text()[inside.clone()]).comments() {
        let span = inside.start + span.start..inside.start + span.end;
        problems.push(
            Problem::warning(
                lines.spot(span),
                format!("YAML takes `{comment}` for a comment and drops it"),
            )
            .hint("put the whole value in quotes if the text after ` #` belongs to it"),
        );
    }
}

/// Why YAML was given up.
enum YamlFailure {
    Yaml,
    Alias,
    NoMapping,
}

/// Where YAML was given up, in bytes of the block.
struct Refused {
    at: usize,
    why: YamlFailure,
}

/// The events of a block, with places in bytes. Aliases are never followed:
/// an entry has no use for them, and they are how a small file grows huge.
struct Yaml<'a> {
    text: &'a str,
    events: Parser<'a, saphyr_parser::StrInput<'a>>,
    bytes: Vec<usize>,
    depth: usize,
    /// Where lists and mappings that are not closed yet began.
    open: Vec<usize>,
}

/// Deeper than any person nests.
const DEEPEST: usize = 24;

impl<'a> Yaml<'a> {
    fn new(text: &'a str) -> Yaml<'a> {
        Yaml {
            text,
            events: Parser::new_from_str(text),
            bytes: text.char_indices().map(|(at, _)| at).collect(),
            depth: 0,
            open: Vec::new(),
        }
    }

    fn byte(&self, character: usize) -> usize {
        self.bytes
            .get(character)
            .copied()
            .unwrap_or(self.text.len())
    }

    fn range(&self, span: Span) -> Range<usize> {
        let start = self.byte(span.start.index());
        start..self.byte(span.end.index()).max(start)
    }

    fn refused(&self, at: usize, why: YamlFailure) -> Refused {
        Refused { at, why }
    }

    fn next(&mut self) -> Result<(Event<'a>, Range<usize>), Refused> {
        match self.events.next_event() {
            Some(Ok((event, span))) => {
                let range = self.range(span);
                match event {
                    Event::SequenceStart(..) | Event::MappingStart(..) => {
                        self.open.push(range.start);
                    }
                    Event::SequenceEnd | Event::MappingEnd => {
                        self.open.pop();
                    }
                    Event::Nothing
                    | Event::StreamStart
                    | Event::StreamEnd
                    | Event::DocumentStart(_)
                    | Event::DocumentEnd
                    | Event::Alias(_)
                    | Event::Scalar(..) => {}
                }
                Ok((event, range))
            }
            Some(Err(error)) => Err(self.refused(self.place_of(&error), YamlFailure::Yaml)),
            None => Err(self.refused(self.text.len(), YamlFailure::Yaml)),
        }
    }

    /// Where a scan error points: an unclosed bracket or brace is found out
    /// below it, and said where it stands.
    fn place_of(&self, error: &ScanError) -> usize {
        let bracket = self
            .open
            .iter()
            .copied()
            .find(|at| self.text[*at..].starts_with(['[', '{']));
        bracket.unwrap_or_else(|| self.byte(error.marker().index()))
    }

    /// The block as one mapping.
    fn mapping(&mut self) -> Result<Vec<Item>, Refused> {
        let mut items = Vec::new();
        loop {
            let (event, range) = self.next()?;
            match event {
                Event::StreamStart | Event::DocumentStart(_) | Event::Nothing => {}
                Event::MappingStart(anchor, tag) => {
                    if anchor != 0 || tag.is_some() {
                        return Err(self.refused(range.start, YamlFailure::Alias));
                    }
                    items = self.entries()?;
                }
                Event::DocumentEnd => {}
                Event::StreamEnd => return Ok(items),
                // An empty block is one empty scalar.
                Event::Scalar(text, ..) if text.is_empty() && items.is_empty() => {}
                Event::Alias(_)
                | Event::Scalar(..)
                | Event::SequenceStart(..)
                | Event::SequenceEnd
                | Event::MappingEnd => {
                    return Err(self.refused(range.start, YamlFailure::NoMapping));
                }
            }
        }
    }

    /// The entries of a mapping up to its end.
    fn entries(&mut self) -> Result<Vec<Item>, Refused> {
        self.deeper()?;
        let mut items = Vec::new();
        loop {
            let (event, range) = self.next()?;
            if matches!(event, Event::MappingEnd) {
                self.depth -= 1;
                return Ok(items);
            }
            let key = self.node(event, range)?;
            let (event, range) = self.next()?;
            let value = self.node(event, range.clone())?;
            let end = if value.value.is_empty() && value.children.is_empty() {
                key.span.end
            } else {
                value.span.end.max(key.span.end)
            };
            items.push(Item {
                span: key.span.start..end,
                key: Some(key.whole()),
                value: value.value,
                children: value.children,
            });
        }
    }

    /// A value: text, or nested items.
    fn node(&mut self, event: Event<'a>, range: Range<usize>) -> Result<Item, Refused> {
        let plain = |value: String, span: Range<usize>| Item {
            key: None,
            value,
            span,
            children: Vec::new(),
        };
        match event {
            Event::Scalar(text, style, anchor, tag) => {
                if anchor != 0 || tag.is_some() {
                    return Err(self.refused(range.start, YamlFailure::Alias));
                }
                // YAML writes "nothing" as `~`; a person who writes it means it.
                let value = match style {
                    ScalarStyle::Plain if text == "~" && range.is_empty() => String::new(),
                    ScalarStyle::Plain
                    | ScalarStyle::SingleQuoted
                    | ScalarStyle::DoubleQuoted
                    | ScalarStyle::Literal
                    | ScalarStyle::Folded => text.split_whitespace().collect::<Vec<_>>().join(" "),
                };
                Ok(plain(value, range))
            }
            Event::SequenceStart(anchor, tag) => {
                if anchor != 0 || tag.is_some() {
                    return Err(self.refused(range.start, YamlFailure::Alias));
                }
                self.deeper()?;
                let mut list = plain(String::new(), range);
                loop {
                    let (event, range) = self.next()?;
                    if matches!(event, Event::SequenceEnd) {
                        self.depth -= 1;
                        list.span.end = list.span.end.max(range.start);
                        return Ok(list);
                    }
                    let mut child = self.node(event, range)?;
                    // `- kind: used` inside a list is one keyed item.
                    if child.value.is_empty() && !child.children.is_empty() {
                        list.children.append(&mut child.children);
                    } else {
                        list.children.push(child);
                    }
                }
            }
            Event::MappingStart(anchor, tag) => {
                if anchor != 0 || tag.is_some() {
                    return Err(self.refused(range.start, YamlFailure::Alias));
                }
                let children = self.entries()?;
                let mut list = plain(String::new(), range);
                list.span.end = children.last().map_or(list.span.end, |last| last.span.end);
                list.children = children;
                Ok(list)
            }
            Event::Alias(_) => Err(self.refused(range.start, YamlFailure::Alias)),
            Event::Nothing
            | Event::StreamStart
            | Event::StreamEnd
            | Event::DocumentStart(_)
            | Event::DocumentEnd
            | Event::SequenceEnd
            | Event::MappingEnd => Err(self.refused(range.start, YamlFailure::Yaml)),
        }
    }

    fn deeper(&mut self) -> Result<(), Refused> {
        self.depth += 1;
        if self.depth > DEEPEST {
            return Err(self.refused(0, YamlFailure::Yaml));
        }
        Ok(())
    }

    /// Comments that stand behind a plain value on its line.
    fn comments(&mut self) -> Vec<(Range<usize>, String)> {
        let mut found = Vec::new();
        while let Ok((event, range)) = self.next() {
            if matches!(event, Event::StreamEnd) {
                break;
            }
            let Event::Scalar(_, ScalarStyle::Plain, ..) = event else {
                continue;
            };
            let behind = self.text[range.end..].trim_start_matches([' ', '\t']);
            if behind.starts_with('#') {
                let start = self.text.len() - behind.len();
                let end = behind.find(['\n', '\r']).unwrap_or(behind.len());
                found.push((start..start + end, behind[..end].trim_end().to_owned()));
            }
        }
        found
    }
}

/// Front matter of a text that is no entry: a vehicle, an episode. Keys are
/// whatever the file says.
#[derive(Clone, Debug, Default)]
pub struct FrontMatterFields {
    items: Vec<Item>,
    /// Where the text below begins.
    pub end: usize,
    /// What is wrong with it.
    pub problems: Vec<Problem>,
}

impl FrontMatterFields {
    /// Reads the front matter of `text`; none where there is none.
    #[must_use]
    pub fn read(text: &str) -> FrontMatterFields {
        let lines = Lines::new(text);
        let Some(block) = find(&lines) else {
            return FrontMatterFields::default();
        };
        let mut problems = Vec::new();
        FrontMatterFields {
            items: read(&lines, block.inside, &mut problems),
            end: block.end,
            problems,
        }
    }

    /// The value under a key, nested values joined with `; `.
    #[must_use]
    pub fn get(&self, key: &str) -> Option<String> {
        let item = self.items.iter().find(|item| {
            item.key
                .as_deref()
                .is_some_and(|word| word.eq_ignore_ascii_case(key))
        })?;
        let mut values = vec![item.value.clone()];
        values.extend(item.children.iter().map(Item::whole));
        values.retain(|value| !value.is_empty());
        Some(values.join("; "))
    }

    /// The values of a list under a key, each as it was written.
    #[must_use]
    pub fn list(&self, key: &str) -> Vec<String> {
        let is_meant = |item: &&Item| {
            item.key
                .as_deref()
                .is_some_and(|word| word.eq_ignore_ascii_case(key))
        };
        let Some(item) = self.items.iter().find(is_meant) else {
            return Vec::new();
        };
        let alone = Some(item.value.clone()).filter(|value| !value.is_empty());
        alone
            .into_iter()
            .chain(item.children.iter().map(Item::whole))
            .collect()
    }
}
