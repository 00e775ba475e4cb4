//! Drawings: months as columns and lines, the order back as boxes and arrows; as one SVG
//! file, or inside a page with a table beside each.
//!
//! Nothing is told by colour: marks differ in shape, hatching, line and in the words on
//! them, and take the colour of the text around them. Nothing is loaded from anywhere.
//! Which figures are drawn is decided in `reports`.
//!
//! Reading order: `months` and `order` (what is drawn), `chart`, `plotted`, `layers`
//! and `tracks` (where it stands on paper).

mod chart;
mod figures;
mod layers;
pub mod months;
pub mod order;
mod part_box;
mod plotted;
mod tracks;

use maud::{Markup, PreEscaped, html};

use super::export::Document;
use super::letters::{ems, lines, widest_ems};
use super::page::MADE_BY;
use super::text::shown;

/// A drawing with its words. Lengths are pixels of CSS.
#[derive(Clone, Debug)]
pub struct Drawing {
    /// Small letters, digits and hyphens; no other drawing of its page has it.
    pub id: String,
    /// What it shows.
    pub title: String,
    /// The same in words, for whoever cannot see it.
    pub about: String,
    /// What is not drawn, and whatever else stands below it.
    pub notes: Vec<String>,
    /// Its figures.
    pub table: Markup,
    /// Its width.
    pub width: f32,
    /// Its height.
    pub height: f32,
    /// The marks.
    pub inside: Markup,
}

/// What a drawing may be wide where it can choose: a phone of 390 pixels less the margins
/// of a page.
pub const USUAL_WIDTH: f32 = 350.0;

/// Size of the words in a drawing.
const TEXT: f32 = 13.0;

/// From the foot of one line to that of the next.
const LEADING: f32 = 17.0;

/// Size of a title in a file.
const TITLE: f32 = 17.0;

/// By how much more bold words are reckoned to need.
const BOLD: f32 = 1.12;

/// Room around and between drawings in a file.
const MARGIN: f32 = 16.0;

/// The letters of all drawings, of whatever the device has.
const LETTERS: &str = "system-ui, sans-serif";

/// The colours of a file that stands alone, on a light screen and on a dark one.
const FILE_STYLE: &str = "svg { color: #1c1a17; color-scheme: light dark; } .paper { fill: #fdfcfa; } \
@media screen and (prefers-color-scheme: dark) { svg { color: #e8e4dc; } .paper { fill: #1b1a18; } }";

impl Drawing {
    /// The drawing as an element, at a place in a larger one if one is given.
    fn element(&self, at: Option<(f32, f32)>) -> Markup {
        let (title, about) = (format!("{}-title", self.id), format!("{}-about", self.id));
        let hatching = hatching(&self.id);
        html! {
            svg class="drawing" xmlns="http://www.w3.org/2000/svg" role="img"
                aria-labelledby={ (title) " " (about) }
                x=[at.map(|(x, _)| number(x))] y=[at.map(|(_, y)| number(y))]
                width=(number(self.width)) height=(number(self.height))
                viewBox={ "0 0 " (number(self.width)) " " (number(self.height)) }
                font-family=(LETTERS) font-size=(number(TEXT)) fill="currentColor" {
                title id=(title) { (drawn(&self.title)) }
                desc id=(about) { (drawn(&self.about)) }
                pattern id=(hatching) width="6" height="6" patternUnits="userSpaceOnUse"
                    patternTransform="rotate(45)" {
                    path d="M1.5 0V6" stroke="currentColor" stroke-width="2.4" {}
                }
                (self.inside)
            }
        }
    }

    /// The drawing in a page, with its table beside; `is_open` shows the table at once.
    #[must_use]
    pub fn in_page(&self, is_open: bool) -> Markup {
        html! {
            div class="drawn" {
                div class="canvas" tabindex="0" role="group" aria-label=(drawn(&self.title)) {
                    (self.element(None))
                }
                div class="figures" {
                    @for note in &self.notes { p class="of" { (shown(note)) } }
                    details open[is_open] {
                        summary { "The same as a table" }
                        (self.table)
                    }
                }
            }
        }
    }
}

/// The name of a drawing's hatching.
fn hatching(id: &str) -> String {
    format!("{id}-hatching")
}

/// Drawings one below the other as one SVG file.
#[must_use]
pub fn file(title: &str, drawings: &[Drawing]) -> Document {
    let widest = drawings.iter().map(|own| own.width);
    let inner = widest.fold(USUAL_WIDTH, f32::max);
    let mut foot = MARGIN;
    let mut inside = Vec::new();
    for own in drawings {
        inside.push(paragraph(
            &own.title,
            (MARGIN, inner),
            TITLE,
            true,
            &mut foot,
        ));
        foot += 6.0;
        inside.push(own.element(Some((MARGIN, foot))));
        foot += own.height + 4.0;
        for note in &own.notes {
            inside.push(paragraph(note, (MARGIN, inner), TEXT, false, &mut foot));
        }
        foot += 2.0 * MARGIN;
    }
    let (width, height) = (number(inner + 2.0 * MARGIN), number(foot));
    let whole = html! {
        svg xmlns="http://www.w3.org/2000/svg" role="group" aria-labelledby="title"
            width=(width) height=(height) viewBox={ "0 0 " (width) " " (height) }
            font-family=(LETTERS) font-size=(number(TEXT)) fill="currentColor" {
            title id="title" { (drawn(title)) }
            style { (FILE_STYLE) }
            rect class="paper" width=(width) height=(height) {}
            @for own in &inside { (own) }
        }
    };
    let whole = whole.into_string();
    let text = format!("<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n<!-- {MADE_BY} -->\n{whole}\n");
    Document::marked(text, MADE_BY)
}

/// A text in lines from `x` on, not wider than a width; `foot` moves on.
fn paragraph(
    text: &str,
    (x, width): (f32, f32),
    size: f32,
    is_bold: bool,
    foot: &mut f32,
) -> Markup {
    let room = width / size / if is_bold { BOLD } else { 1.0 };
    let lines = lines(&shown(text), room);
    html! {
        @for line in &lines {
            @let own = { *foot += size * 1.3; *foot };
            (words(line, x, own, &Letters { size, is_bold, room: Some(width) }))
        }
    }
}

/// How words are set.
#[derive(Clone, Copy, Debug)]
struct Letters {
    /// Their size.
    size: f32,
    /// Whether they are bold.
    is_bold: bool,
    /// The room that they have, if it is bounded.
    room: Option<f32>,
}

impl Default for Letters {
    fn default() -> Letters {
        Letters {
            size: TEXT,
            is_bold: false,
            room: None,
        }
    }
}

/// A line of words, its foot at `y`. Where the letters of a device may be too wide for
/// their room, they are held to it.
fn words(text: &str, x: f32, y: f32, letters: &Letters) -> Markup {
    let said = shown(text);
    let (usual, widest) = (ems(&said, letters.is_bold), widest_ems(&said));
    let held = letters.room.filter(|room| widest * letters.size > *room);
    let held = held.map(|room| number(room.min(usual * letters.size)));
    html! {
        text x=(number(x)) y=(number(y)) font-size=[(letters.size != TEXT).then(|| number(letters.size))]
            font-weight=[letters.is_bold.then_some("bold")] textLength=[&held]
            lengthAdjust=[held.as_ref().map(|_| "spacingAndGlyphs")] {
            (drawn(text))
        }
    }
}

/// Words as they may stand in a drawing: XML holds fewer characters than a page.
fn drawn(text: &str) -> String {
    let is_kept = |c: char| !matches!(c, '\u{fffe}' | '\u{ffff}');
    shown(text)
        .chars()
        .map(|c| if is_kept(c) { c } else { '\u{fffd}' })
        .collect()
}

/// Marks that a library made.
fn made(text: String) -> Markup {
    PreEscaped(text)
}

/// A length as SVG writes it.
fn number(value: f32) -> String {
    let text = format!("{value:.1}");
    text.strip_suffix(".0").unwrap_or(&text).to_owned()
}
