//! One label as a drawing: number or words in large type, what it is about,
//! the code at its right.
//!
//! All lengths are millimetres.

use super::LabelContent;
use super::code::code;
use super::words::list;
use crate::presentation::letters::{cut, ems, lines};
use crate::presentation::text::shown;

/// Type of the small print: the largest in which all of it fits, as a label is
/// read at arm's length.
const SIZES: [f32; 7] = [4.2, 3.8, 3.4, 3.0, 2.7, 2.4, SMALLEST];

/// Six points: smaller nobody reads it.
const SMALLEST: f32 = 2.1;

/// From the foot of one line to that of the next, in ems.
const LEADING: f32 = 1.22;

/// Room between the edge and what is printed.
fn pad(height: f32) -> f32 {
    (height * 0.06).clamp(0.8, 2.4)
}

/// The side of the square in which the code stands, its quiet zone included.
#[must_use]
pub fn code_side(width: f32, height: f32) -> f32 {
    let pad = pad(height);
    (height - 1.2 * pad).min((width - 2.0 * pad) * 0.45)
}

/// A label of this size, as the inside of an SVG group.
#[must_use]
pub fn drawing(content: &LabelContent, width: f32, height: f32) -> String {
    let pad = pad(height);
    let side = code_side(width, height);
    let mut out = String::new();
    let mut right = width - pad;
    if let Some(code) = code(content, side) {
        let x = width - side - 0.6 * pad;
        let y = (height - side) / 2.0;
        out.push_str(&format!(
            "<g transform=\"translate({} {}) scale({:.5})\"><path d=\"{}\"/></g>",
            number(x),
            number(y),
            side / code.whole() as f32,
            code.path()
        ));
        right = x;
    }
    let column = right - pad;
    // On a tape there is room beside, on a label below.
    if width / height > 3.2 {
        let wide = (column * 0.36).min(height * 1.5);
        let head = head(content, wide, height - 2.0 * pad, 0.8 * height);
        let used = head.width.min(wide);
        let rest = Column {
            x: pad + used + 1.5 * pad,
            width: column - used - 1.5 * pad,
            top: pad,
            bottom: height - pad,
        };
        let top = (height - head.height) / 2.0;
        out.push_str(&head.draw(pad, top));
        out.push_str(&small_print(content, &rest));
    } else {
        let head = head(content, column, height * 0.36, height * 0.36);
        out.push_str(&head.draw(pad, pad));
        let rest = Column {
            x: pad,
            width: column,
            top: pad + head.height + 0.3 * pad,
            bottom: height - pad,
        };
        out.push_str(&small_print(content, &rest));
    }
    out
}

/// The bag's number or words in large type.
struct LabelHeading {
    lines: Vec<String>,
    size: f32,
    width: f32,
    height: f32,
}

/// The label as large as the room allows: on one line, or on as many as make it
/// clearly larger.
fn head(content: &LabelContent, width: f32, height: f32, most: f32) -> LabelHeading {
    const MOST_LINES: usize = 4;
    let label = shown(&content.label);
    let sized = |lines: &[String]| {
        let widest = lines.iter().map(|line| ems(line, true)).fold(0.1, f32::max);
        let tall = height / (lines.len() as f32 * 0.95);
        (width / widest).min(tall).min(most)
    };
    let mut best = vec![label.split_whitespace().collect::<Vec<_>>().join(" ")];
    for count in 2..=MOST_LINES {
        let even = ems(&label, false) / count as f32 * 1.12;
        let parted = lines(&label, even);
        if parted.len() <= MOST_LINES && sized(&parted) > sized(&best) * 1.15 {
            best = parted;
        }
    }
    let size = sized(&best).max(SMALLEST);
    let wide = width / size;
    if best.iter().any(|line| ems(line, true) > wide) {
        // Smaller nobody reads it: its beginning, then.
        best = lines(&label, wide / 1.08);
        let more = best.len() > MOST_LINES;
        best.truncate(MOST_LINES);
        if let Some(last) = best.last_mut().filter(|_| more) {
            last.push_str("……");
        }
    }
    let lines: Vec<String> = best.iter().map(|line| cut(line, wide, true)).collect();
    LabelHeading {
        size,
        width: size * lines.iter().map(|line| ems(line, true)).fold(0.0, f32::max),
        height: size * 0.95 * lines.len() as f32,
        lines,
    }
}

impl LabelHeading {
    fn draw(&self, x: f32, top: f32) -> String {
        let mut out = String::new();
        for (at, line) in self.lines.iter().enumerate() {
            // Capitals and figures stand a little over seven tenths of an em.
            let foot = top + self.size * (0.78 + 0.95 * at as f32);
            out.push_str(&text(line, x, foot, self.size, true));
        }
        out
    }
}

/// Where the small print may stand.
struct Column {
    x: f32,
    width: f32,
    top: f32,
    bottom: f32,
}

/// Vehicle, day, parts, contents.
fn small_print(content: &LabelContent, column: &Column) -> String {
    let room = column.bottom - column.top;
    let clean = |items: &[String]| items.iter().map(|item| shown(item)).collect::<Vec<_>>();
    let (parts, mut pieces) = (clean(&content.parts), clean(&content.pieces));
    for piece in &mut pieces {
        // A size is read in one go.
        *piece = piece.replace(" x ", "\u{a0}x\u{a0}");
    }
    let about: Vec<String> = [content.vehicle.clone(), content.date.clone()]
        .into_iter()
        .flatten()
        .map(|words| shown(&words))
        .collect();
    let together = about.join(", ");
    let fits = |size: f32| {
        let wide = column.width / size;
        let about = (ems(&together, true) / wide).ceil();
        let whole = |items: &[String]| lines(&items.join("; "), wide).len() as f32;
        (about + whole(&parts) + whole(&pieces)) * size * LEADING <= room
    };
    let size = SIZES
        .into_iter()
        .find(|size| fits(*size))
        .unwrap_or(SMALLEST);
    let wide = column.width / size;
    let most = (room / (size * LEADING)).floor() as usize;
    let head: Vec<String> = if ems(&together, true) <= wide || most < 4 {
        vec![together]
    } else {
        about
    };
    let head: Vec<String> = head
        .iter()
        .filter(|line| !line.is_empty())
        .map(|line| cut(line, wide, true))
        .collect();
    let rest = most.saturating_sub(head.len());
    // What is in it matters most; whose it is may take half, or what is left.
    let pieces_need = list(&pieces, wide, rest).len();
    let for_parts = (rest / 2).max(rest.saturating_sub(pieces_need)).max(1);
    let parts = list(&parts, wide, for_parts.min(rest));
    let pieces = list(&pieces, wide, rest.saturating_sub(parts.len()));
    let mut out = String::new();
    let bold = head.iter().map(|line| (line, true));
    let parts = parts.iter().map(|line| (line, false));
    let pieces = pieces.iter().map(|line| (line, false));
    for (at, (line, bold)) in bold.chain(parts).chain(pieces).enumerate() {
        let foot = column.top + size * (0.85 + LEADING * at as f32);
        out.push_str(&text(line, column.x, foot, size, bold));
    }
    out
}

/// A line of text. Where the letters of the page are wider than thought, it is
/// held to the width that was reckoned with.
fn text(words: &str, x: f32, foot: f32, size: f32, bold: bool) -> String {
    let weight = if bold { " font-weight=\"bold\"" } else { "" };
    format!(
        "<text x=\"{}\" y=\"{}\" font-size=\"{}\"{weight} textLength=\"{}\" lengthAdjust=\"spacingAndGlyphs\">{}</text>",
        number(x),
        number(foot),
        number(size),
        number(ems(words, bold) * size * 0.92),
        escaped(words)
    )
}

/// A length as SVG writes it.
#[must_use]
pub fn number(value: f32) -> String {
    let text = format!("{value:.2}");
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}

/// Words as the text of an element.
#[must_use]
pub fn escaped(words: &str) -> String {
    let mut out = String::with_capacity(words.len());
    for c in shown(words).chars() {
        match c {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            // No XML may hold these.
            '\u{fffe}' | '\u{ffff}' => out.push('\u{fffd}'),
            c => out.push(c),
        }
    }
    out
}
