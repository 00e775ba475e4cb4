//! A part as a box, and an arrow to it.

use maud::{Markup, html};

use super::layers::BOX;
use super::{BOLD, LEADING, Letters, TEXT, hatching, number, words};
use crate::presentation::letters::{cut, lines};
use crate::presentation::text::shown;
use crate::reports::refit::DrawnStanding;

/// A part as a box.
#[derive(Clone, Debug)]
pub struct PartBox {
    /// How it stands, for its frame.
    standing: DrawnStanding,
    /// The part, with its step.
    pub name: String,
    /// How it stands, in words.
    pub said: Vec<String>,
    /// The name in lines.
    head: Vec<String>,
    /// What is said in lines.
    small: Vec<String>,
}

/// Room between the frame of a box and its words.
const PAD: f32 = 9.0;

/// Size of what is said below a name.
const SMALL: f32 = 12.0;

/// Most lines of a name, and of what is said below it.
const MOST_LINES: (usize, usize) = (3, 4);

impl PartBox {
    /// A part, with its step, and how it stands.
    #[must_use]
    pub fn new(standing: DrawnStanding, name: String, said: Vec<String>) -> PartBox {
        let room = BOX - 2.0 * PAD;
        PartBox {
            standing,
            head: in_lines(&name, room / TEXT / BOLD, MOST_LINES.0),
            small: in_lines(&shown(&said.join("; ")), room / SMALL, MOST_LINES.1),
            name,
            said,
        }
    }

    /// How high it is.
    #[must_use]
    pub fn height(&self) -> f32 {
        LEADING * self.head.len() as f32 + (LEADING - 1.0) * self.small.len() as f32 + 2.0 * PAD
            - 2.0
    }

    /// The box, its upper left corner at a place, in the drawing of this name.
    #[must_use]
    pub fn drawn(&self, (x, y): (f32, f32), id: &str) -> Markup {
        let height = self.height();
        let lines = self.head.iter().map(|line| (line, true));
        let lines = lines.chain(self.small.iter().map(|line| (line, false)));
        let mut foot = y + PAD - 5.0;
        let set: Vec<Markup> = lines
            .map(|(line, is_bold)| {
                foot += if is_bold { LEADING } else { LEADING - 1.0 };
                let letters = Letters {
                    size: if is_bold { TEXT } else { SMALL },
                    is_bold,
                    room: Some(BOX - 2.0 * PAD),
                };
                words(line, x + PAD, foot, &letters)
            })
            .collect();
        html! {
            (self.frame((x, y), height, id))
            @for line in &set { (line) }
        }
    }

    /// The frame, which tells by its shape and its line how the part stands.
    fn frame(&self, (x, y): (f32, f32), height: f32, id: &str) -> Markup {
        let frame = |inset: f32, line: &str, dashes: Option<&str>, round: f32| {
            html! {
                rect x=(number(x + inset)) y=(number(y + inset)) width=(number(BOX - 2.0 * inset))
                    height=(number(height - 2.0 * inset)) rx=[(round > 0.0).then(|| number(round))]
                    fill="none" stroke="currentColor" stroke-width=(line) stroke-dasharray=[dashes] {}
            }
        };
        match self.standing {
            DrawnStanding::Tonight => frame(1.5, "3", None, 0.0),
            DrawnStanding::Bench => html! {
                (frame(1.0, "2", None, 0.0))
                (frame(4.5, "1", None, 0.0))
            },
            DrawnStanding::Then => frame(0.8, "1.5", None, 0.0),
            DrawnStanding::Perhaps => frame(0.8, "1.5", Some("2 3"), 0.0),
            DrawnStanding::Waits => frame(0.8, "1.5", Some("8 5"), 0.0),
            DrawnStanding::Blocked => html! {
                (frame(0.8, "1.5", Some("8 5"), 0.0))
                rect x=(number(x)) y=(number(y)) width="6" height=(number(height))
                    fill={ "url(#" (hatching(id)) ")" } {}
            },
            DrawnStanding::Elsewhere => html! {
                path d={ "M" (number(x + 6.0)) " " (number(y + 1.0)) "H" (number(x + 1.0)) "V"
                    (number(y + height - 1.0)) "H" (number(x + 6.0)) }
                    fill="none" stroke="currentColor" {}
            },
            DrawnStanding::On => frame(0.5, "1", None, 16.0),
        }
    }
}

/// A text in lines of so many ems, the last cut where it has more.
fn in_lines(text: &str, room: f32, most: usize) -> Vec<String> {
    let mut all = lines(text, room);
    if all.len() > most {
        all.truncate(most);
        if let Some(last) = all.last_mut() {
            *last = cut(&format!("{last}…"), room, false);
        }
    }
    all
}

/// A line with its point.
#[must_use]
pub fn arrow(line: &[(f32, f32)]) -> Markup {
    let Some(((x, y), rest)) = line.split_last() else {
        return html! {};
    };
    let corners = rest
        .iter()
        .map(|(x, y)| format!("{},{}", number(*x), number(*y)));
    let mut corners: Vec<String> = corners.collect();
    corners.push(format!("{},{}", number(*x), number(y - 6.0)));
    let point = format!(
        "M{} {}L{} {}L{} {}Z",
        number(*x),
        number(*y),
        number(x - 4.0),
        number(y - 8.0),
        number(x + 4.0),
        number(y - 8.0)
    );
    html! {
        polyline points=(corners.join(" ")) fill="none" stroke="currentColor" stroke-width="1.3" {}
        path d=(point) {}
    }
}
