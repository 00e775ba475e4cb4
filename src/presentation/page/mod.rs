//! Pages: one HTML file each, nothing loaded from anywhere, one style for all.

pub mod article;
pub mod labels;
pub mod picture;
pub mod refit;
pub mod replaced;
pub(super) mod written;

use maud::{DOCTYPE, Markup, PreEscaped, html};

/// Stands in every page, so that a page is only ever written over a page.
pub const MADE_BY: &str = "<meta name=\"generator\" content=\"matchmark\">";

/// What a page is: it decides on its width and on how it is printed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum PageKind {
    /// Text to read on any screen.
    Article,
    /// A table: rows on paper, one below the other on a phone.
    Table,
    /// Boxes to tick, large enough for the bench.
    Checklist,
    /// Sheets of this width and height, in millimetres, printed edge to edge.
    Sheets(String, String),
}

impl PageKind {
    fn class(&self) -> &'static str {
        match self {
            PageKind::Article => "article",
            PageKind::Table => "table",
            PageKind::Checklist => "checklist",
            PageKind::Sheets(_, _) => "sheets",
        }
    }

    fn paper(&self) -> String {
        match self {
            PageKind::Article | PageKind::Table | PageKind::Checklist => {
                "@page { margin: 15mm; }\n".to_owned()
            }
            PageKind::Sheets(width, height) => {
                format!("@page {{ size: {width}mm {height}mm; margin: 0; }}\n")
            }
        }
    }
}

/// The one style of all pages.
pub(super) const STYLE: &str = "
:root { color-scheme: light dark; --ink: #1c1a17; --soft: #5c564c; --line: #cfc8bb; --paper: #fdfcfa; --link: #7a4b1e; }
@media screen and (prefers-color-scheme: dark) {
  :root { --ink: #e8e4dc; --soft: #aaa294; --line: #4a453c; --paper: #1b1a18; --link: #d9a066; }
}
body { font: 1.125rem/1.5 Georgia, serif; margin: 0 auto; max-width: 38rem; padding: 1.5rem 1.1rem 4rem; color: var(--ink); background: var(--paper); overflow-wrap: break-word; }
h1 { font-size: 2rem; line-height: 1.2; margin: 1rem 0 .2rem; }
h2 { font-size: 1.3rem; line-height: 1.3; margin: 2.6rem 0 .6rem; border-bottom: 1px solid var(--line); padding-bottom: .3rem; }
h3 { font-size: 1.1rem; line-height: 1.3; margin: 2rem 0 .4rem; }
a { color: var(--link); }
p.about { color: var(--soft); margin-top: 0; }
small, .of { color: var(--soft); font-size: .85rem; font-weight: normal; }
small { display: block; }
table { border-collapse: collapse; display: block; overflow-x: auto; }
th, td { border-bottom: 1px solid var(--line); padding: .3rem .8rem .3rem 0; text-align: left; vertical-align: top; }
blockquote { border-left: 3px solid var(--line); margin: 1rem 0; padding-left: 1rem; }
pre { overflow-x: auto; }
figure { margin: 1.6rem 0; }
img { display: block; max-width: 100%; height: auto; }
figcaption, ol.sources { font-size: .85rem; color: var(--soft); }
ol.sources { padding-left: 1.6rem; overflow-wrap: anywhere; }
.when { font-style: italic; color: var(--soft); }
sup { line-height: 0; }
sup a { font: .7rem/1 system-ui, sans-serif; padding: .3rem .15rem; text-decoration: none; }
.article li { margin-bottom: .6rem; }
.article img { width: 100%; }

body.table { max-width: 60rem; }
.table table { display: table; width: 100%; margin-top: 1.5rem; }
.table th { font-size: .85rem; }
.table td.day { white-space: nowrap; }
.table tr { break-inside: avoid; }
@media (max-width: 45rem) {
  .table table, .table tbody, .table tr, .table td { display: block; }
  .table thead { display: none; }
  .table td { border: 0; padding: .1rem 0; }
  .table td[data-is]::before { content: attr(data-is) ': '; color: var(--soft); font-size: .85rem; }
  .table tr { border-bottom: 1px solid var(--line); padding: .6rem 0; }
}

body.checklist { max-width: 48rem; }
.checklist p { margin: .2rem 0; }
.checklist ol { list-style: none; margin: 0; padding: 0; }
.checklist li { display: flex; gap: .8rem; padding: .55rem 0; border-bottom: 1px solid var(--line); break-inside: avoid; }
.checklist li > div { flex: 1; min-width: 0; overflow-wrap: anywhere; }
.box { flex: none; width: 1.1em; height: 1.1em; border: 2px solid var(--ink); margin-top: .15em; }
.small .box { width: .8em; height: .8em; border-width: 1.5px; display: inline-block; margin-right: .4em; vertical-align: -.05em; }
.number { flex: none; width: 2.2em; text-align: right; }
.part { font-weight: bold; font-size: 1.15rem; }
.caution, .general { border-left: 4px solid var(--ink); padding-left: .5rem; margin: .4rem 0; }
.caution { font-weight: bold; }
.waits { font-style: italic; }
.checklist img { max-height: 70mm; margin-top: .3rem; }

body.sheets { margin: 0; padding: 0; max-width: none; background: #bbb; }
.sheets svg { display: block; background: #fff; margin: 4mm auto; max-width: 100%; height: auto; }

@media print {
  body { font-size: 11pt; margin: 0; max-width: none; padding: 0; background: none; }
  body.checklist { font-size: 13pt; }
  .checklist section { break-before: page; }
  .checklist section.first { break-before: auto; }
  body.sheets { background: none; }
  .sheets svg { margin: 0; max-width: none; break-after: page; break-inside: avoid; }
  .sheets svg:last-child { break-after: auto; }
}
";

/// A page by itself: its title, the one style, what stands on it.
#[must_use]
pub fn whole(title: &str, kind: &PageKind, inside: &Markup) -> String {
    let style = html! { style { (PreEscaped(STYLE)) (PreEscaped(kind.paper())) } };
    document(
        title,
        &style,
        &html! { body class=(kind.class()) { (inside) } },
    )
}

/// The shell of every page: `head` stands below its title.
pub(super) fn document(title: &str, head: &Markup, body: &Markup) -> String {
    let page = html! {
        (DOCTYPE)
        html lang="en" {
            head {
                meta charset="utf-8";
                meta name="viewport" content="width=device-width, initial-scale=1";
                (PreEscaped(MADE_BY))
                title { (title) }
                (head)
            }
            (body)
        }
    };
    page.into_string()
}
