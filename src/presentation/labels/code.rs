//! The code on a label: the address of the bag's page where the journal has one, else
//! plain text that any phone shows without a network.
//!
//! By the text nothing is looked up: whoever scans it reads what the journal knew on the
//! day the label was printed.

use anstyle::{Color, RgbColor, Style};
use qrcodegen::{QrCode, QrCodeEcc, QrSegment, Version};

use super::LabelContent;

/// Light modules that the code needs on each side (ISO/IEC 18004, from
/// memory).
const QUIET: usize = 4;

/// The smallest module that a phone reads from a home printer's label: four
/// dots at 300 dots an inch. Common practice, no source.
const SMALLEST_MODULE: f32 = 0.34;

/// A code as its modules.
pub struct Code {
    /// What it says.
    pub text: String,
    /// Modules along a side, without the quiet zone.
    pub size: usize,
    dark: Vec<bool>,
}

impl Code {
    /// Modules along a side, the quiet zone included.
    #[must_use]
    pub fn whole(&self) -> usize {
        self.size + 2 * QUIET
    }

    /// Whether a module is dark; `x` and `y` count the quiet zone.
    #[must_use]
    pub fn is_dark(&self, x: usize, y: usize) -> bool {
        let inside = |at: usize| at.checked_sub(QUIET).filter(|at| *at < self.size);
        match (inside(x), inside(y)) {
            (Some(x), Some(y)) => self.dark[y * self.size + x],
            (_, _) => false,
        }
    }

    /// The dark modules as a path, a module one long.
    #[must_use]
    pub fn path(&self) -> String {
        let mut path = String::new();
        for y in 0..self.whole() {
            let mut x = 0;
            while x < self.whole() {
                let run = (x..self.whole())
                    .take_while(|at| self.is_dark(*at, y))
                    .count();
                if run > 0 {
                    path.push_str(&format!("M{x} {y}h{run}v1h-{run}z"));
                }
                x += run.max(1);
            }
        }
        path
    }
}

/// The code for a label, in a square of `side` millimetres: as much as can be
/// scanned at that size. `None` if not even the label can.
#[must_use]
pub fn code(content: &LabelContent, side: f32) -> Option<Code> {
    let room = (side / SMALLEST_MODULE).floor() as usize;
    let size = room.checked_sub(2 * QUIET)?;
    let version = u8::try_from(size.checked_sub(17)? / 4).ok()?.min(40);
    if version < 1 {
        return None;
    }
    // Its page, if there is one; else all of it; then less and less of the pieces, then
    // of the parts.
    let (parts, pieces) = (content.parts.len(), content.pieces.len());
    let fewer_pieces = (0..=pieces).rev().map(|pieces| (parts, pieces));
    let fewer_parts = (0..parts).rev().map(|parts| (parts, 0));
    let least = [
        format!("{}\nsee the journal", head(content).join("\n")),
        format!("Bag {}", content.label),
    ];
    let lists = fewer_pieces.chain(fewer_parts);
    let lists = lists.map(|(parts, pieces)| text(content, parts, pieces));
    let page = content.page.clone().into_iter();
    page.chain(lists)
        .chain(least)
        .find_map(|text| encode(&text, version))
}

/// Bag, vehicle, day.
fn head(content: &LabelContent) -> Vec<String> {
    let mut lines = vec![format!("Bag {}", content.label)];
    lines.extend(content.vehicle.clone());
    lines.extend(content.date.clone());
    lines
}

/// What the code says, with so many of the parts and pieces.
fn text(content: &LabelContent, parts: usize, pieces: usize) -> String {
    let mut lines = head(content);
    let mut list = |items: &[String], most: usize| {
        lines.extend(items.iter().take(most).cloned());
        if let Some(more) = items.len().checked_sub(most).filter(|more| *more > 0) {
            lines.push(super::more(more));
        }
    };
    list(&content.parts, parts);
    list(&content.pieces, pieces);
    lines.join("\n")
}

/// The code that says a text, as large as it has to be; `None` for a text that no code
/// holds.
#[must_use]
pub fn code_of(text: &str) -> Option<Code> {
    encode(text, 40)
}

/// A code for a screen: two rows of modules a line. With colours it is dark on light;
/// without, light modules are drawn, as most terminals are dark.
#[must_use]
pub fn on_screen(code: &Code, colours: bool) -> String {
    let light = |x: usize, y: usize| y < code.whole() && !code.is_dark(x, y);
    let style = Style::new()
        .fg_color(Some(Color::Rgb(RgbColor(255, 255, 255))))
        .bg_color(Some(Color::Rgb(RgbColor(0, 0, 0))));
    let mut lines = String::new();
    for y in (0..code.whole()).step_by(2) {
        let line: String = (0..code.whole())
            .map(|x| match (light(x, y), light(x, y + 1)) {
                (true, true) => '█',
                (true, false) => '▀',
                (false, true) => '▄',
                (false, false) => ' ',
            })
            .collect();
        match colours {
            true => lines.push_str(&format!("{style}{line}{style:#}\n")),
            false => lines.push_str(&format!("{line}\n")),
        }
    }
    lines
}

fn encode(text: &str, version: u8) -> Option<Code> {
    let mut segments = Vec::new();
    if !text.is_ascii() {
        // What follows is UTF-8: readers that do not assume it are told.
        segments.push(QrSegment::make_eci(26));
    }
    segments.push(QrSegment::make_bytes(text.as_bytes()));
    let made = QrCode::encode_segments_advanced(
        &segments,
        QrCodeEcc::Medium,
        Version::MIN,
        Version::new(version),
        None,
        true,
    )
    .ok()?;
    let size = made.size();
    let dark = (0..size)
        .flat_map(|y| (0..size).map(move |x| (x, y)))
        .map(|(x, y)| made.get_module(x, y))
        .collect();
    Some(Code {
        text: text.to_owned(),
        size: usize::try_from(size).ok()?,
        dark,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    /// What a reader that is not ours makes of a code as it stands on a screen.
    fn scanned(shown: &str) -> String {
        let rows: Vec<[Vec<bool>; 2]> = shown
            .lines()
            .map(|line| {
                let light = |sign: char| line.chars().map(|c| c == '█' || c == sign).collect();
                [light('▀'), light('▄')]
            })
            .collect();
        let rows: Vec<Vec<bool>> = rows.into_iter().flatten().collect();
        const PIXELS: usize = 4;
        let mut image = rqrr::PreparedImage::prepare_from_greyscale(
            rows[0].len() * PIXELS,
            rows.len() * PIXELS,
            |x, y| if rows[y / PIXELS][x / PIXELS] { 255 } else { 0 },
        );
        let grids = image.detect_grids();
        let (_, text) = grids[0].decode().expect("a code");
        text
    }

    #[test]
    fn an_address_on_a_screen_can_be_scanned() {
        let address = "http://192.168.178.123:8626/abcdefghijkmnpqrstuvwxyz/";
        let code = code_of(address).expect("a code");
        let shown = on_screen(&code, false);
        assert_eq!(scanned(&shown), address);
        assert!(
            shown.lines().all(|line| line.chars().count() < 60),
            "it fits a terminal"
        );
        let coloured = on_screen(&code, true);
        assert!(coloured.starts_with("\u{1b}[38;2;255;255;255m\u{1b}[48;2;0;0;0m█"));
    }
}
