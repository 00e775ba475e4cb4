//! Pages to print: one HTML file each, nothing loaded from anywhere.

pub mod article;
pub mod labels;
pub mod picture;
pub mod refit;
pub mod replaced;
mod written;

use maud::{DOCTYPE, Markup, PreEscaped, html};

/// Stands in every page, so that a page is only ever written over a page.
pub const MADE_BY: &str = "<meta name=\"generator\" content=\"matchmark\">";

/// How a printed page looks: one column on a phone, a table on paper.
const STYLE: &str = "
body { font: 11pt/1.4 Georgia, serif; margin: 2rem auto; max-width: 60rem; padding: 0 1rem; color: #111; }
h1 { font-size: 1.5rem; margin-bottom: 0; }
p.about { color: #444; margin-top: .3rem; }
table { border-collapse: collapse; width: 100%; margin-top: 1.5rem; }
th { text-align: left; border-bottom: 2px solid #111; padding: .3rem .6rem .3rem 0; font-size: .85rem; }
td { vertical-align: top; border-bottom: 1px solid #bbb; padding: .45rem .6rem .45rem 0; overflow-wrap: break-word; }
td.day { white-space: nowrap; }
td small { color: #444; display: block; }
tr { break-inside: avoid; }
@media (max-width: 45rem) {
  table, tbody, tr, td { display: block; }
  thead { display: none; }
  td { border: 0; padding: .1rem 0; }
  td[data-is]::before { content: attr(data-is) ': '; color: #444; font-size: .85rem; }
  tr { border-bottom: 1px solid #bbb; padding: .6rem 0; display: block; }
}
@page { margin: 15mm; }
";

/// A page by itself: its title, its style, what stands on it.
#[must_use]
pub fn whole(title: &str, style: &str, inside: &Markup) -> String {
    let page = html! {
        (DOCTYPE)
        html lang="en" {
            head {
                meta charset="utf-8";
                meta name="viewport" content="width=device-width, initial-scale=1";
                (PreEscaped(MADE_BY))
                title { (title) }
                style { (PreEscaped(style)) }
            }
            body { (inside) }
        }
    };
    page.into_string()
}
