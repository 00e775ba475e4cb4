//! What came of making a book, for a terminal and as JSON.

use serde_json::{Value, json};

use crate::presentation::export::{Document, Exporter};
use crate::presentation::json::{Json, document};
use crate::presentation::labels::code::{code_of, on_screen};
use crate::presentation::terminal::Terminal;
use crate::presentation::text::{Text, TextStyle, counted};

/// What came of making a book.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct BookMade {
    /// Where it is.
    pub folder: String,
    /// When it was made.
    pub time: String,
    /// How many pages it has.
    pub pages: usize,
    /// How many pictures.
    pub pictures: usize,
    /// How many files are new or changed.
    pub written: usize,
    /// How many stood there as they should be.
    pub unchanged: usize,
    /// How many were taken away.
    pub removed: usize,
    /// Pictures that are not shown, each with the reason.
    pub left_out: Vec<(String, String)>,
    /// How many entries, records, paragraphs and lines were left out.
    pub withheld: usize,
    /// Whether it is for anybody.
    pub public: bool,
    /// Where a browser finds it, while it is shown to one.
    pub address: Option<String>,
    /// Whether the address is shown as a code to scan too.
    pub shows_code: bool,
    /// Whether pages are written again as entries change.
    pub watches: bool,
}

/// How many pictures that are not shown are named.
const FEW: usize = 5;

impl Exporter<BookMade> for Terminal {
    fn export(&self, made: &BookMade) -> Document {
        let mut text = Text::new(self.width);
        let mut holds = counted(made.pages, "page", "pages");
        if made.pictures > 0 {
            holds.push_str(&format!(
                " and {}",
                counted(made.pictures, "picture", "pictures")
            ));
        }
        text.line(
            0,
            TextStyle::Plain,
            &format!("{holds}; open {}/index.html", made.folder),
        );
        let removed = match made.removed {
            0 => String::new(),
            removed => format!(", {removed} taken away"),
        };
        let changed = format!(
            "{} written{removed}, {} as they were",
            counted(made.written, "file", "files"),
            made.unchanged
        );
        text.line(2, TextStyle::Faint, &changed);
        if made.withheld > 0 {
            let who = match made.public {
                true => "private, about money, or about people to be asked first",
                false => "private",
            };
            let said = format!(
                "left out: {} of text, {who}",
                counted(made.withheld, "piece", "pieces")
            );
            text.line(2, TextStyle::Plain, &said);
        }
        for (path, why) in made.left_out.iter().take(FEW) {
            let said = format!("picture left out: {path}: {why}");
            text.line(2, TextStyle::Plain, &said);
        }
        let more = made.left_out.len().saturating_sub(FEW);
        if more > 0 {
            let said = format!("and {} (`--json` names all)", counted(more, "more", "more"));
            text.line(2, TextStyle::Plain, &said);
        }
        if let Some(address) = &made.address {
            text.line(0, TextStyle::Plain, &format!("shown at {address}"));
        }
        if made.watches {
            let said = "pages are written again as entries change";
            text.line(0, TextStyle::Plain, said);
        }
        if made.address.is_some() || made.watches {
            text.line(0, TextStyle::Faint, "Ctrl-C ends it");
        }
        let mut document = self.document(&text);
        let code = made.address.as_deref().filter(|_| made.shows_code);
        if let (Some(code), Some(sheet)) = (code.and_then(code_of), document.sheets.first_mut()) {
            sheet.push_str(&on_screen(&code, self.colours));
        }
        document
    }
}

impl Exporter<BookMade> for Json {
    fn export(&self, made: &BookMade) -> Document {
        let left_out: Vec<Value> = made
            .left_out
            .iter()
            .map(|(path, why)| json!({ "picture": path, "why": why }))
            .collect();
        document(&json!({
            "folder": made.folder,
            "made": made.time,
            "pages": made.pages,
            "pictures": made.pictures,
            "written": made.written,
            "unchanged": made.unchanged,
            "removed": made.removed,
            "withheld": made.withheld,
            "pictures_left_out": left_out,
            "public": made.public,
            "address": made.address,
        }))
    }
}
