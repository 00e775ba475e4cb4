//! Pages: small shares of every place and every file, many in one document, so
//! that an answer about the whole journal reads some hundred documents and not
//! one for each place.
//!
//! A share lies in the page that its key's checksum names, so a change rewrites
//! few pages. What the bytes mean is not known here.

use std::collections::BTreeMap;

use tantivy::{Searcher, TantivyDocument};

use super::error::IndexError;
use super::places;
use super::schema::{self, IndexFields};
use super::stamps::checksum;

/// Of what the shares in a page are.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum ShareKind {
    /// Places, by key: what most answers need.
    Place,
    /// Places, by key: what some answers need besides.
    PlaceMore,
    /// Files, by path.
    File,
}

/// Pages of each sort: at 10,000 entries one of them has some ten kilobytes.
const PAGES: u64 = 128;

/// Key and bytes of each share in a page.
pub type Shares<'p> = Vec<(&'p str, &'p [u8])>;

/// Takes a page apart, in the order of the keys.
///
/// # Errors
/// [`IndexError::Damaged`].
pub fn shares(page: &[u8]) -> Result<Shares<'_>, IndexError> {
    schema::read(page)
}

/// The mark of the page in which the share with this key lies.
fn page_of(sort: ShareKind, key: &str) -> String {
    mark(sort, page_number(key))
}

/// The number of the page in which the share with this key lies.
#[must_use]
pub fn page_number(key: &str) -> u64 {
    // The low bits of this checksum tell less.
    (checksum(key.as_bytes()) >> 40) % PAGES
}

fn mark(sort: ShareKind, number: u64) -> String {
    match sort {
        ShareKind::Place => format!("place {number}"),
        ShareKind::PlaceMore => format!("more {number}"),
        ShareKind::File => format!("file {number}"),
    }
}

/// All pages of a sort.
pub(super) fn all(
    searcher: &Searcher,
    fields: &IndexFields,
    sort: ShareKind,
) -> Result<Vec<Vec<u8>>, IndexError> {
    let pages = (0..PAGES).map(|number| places::page(searcher, fields, &mark(sort, number)));
    pages.filter_map(Result::transpose).collect()
}

/// Shares that have changed, by page.
#[derive(Default)]
pub(super) struct ChangedPages {
    pages: BTreeMap<String, BTreeMap<String, Vec<u8>>>,
}

impl ChangedPages {
    /// Puts a share in, or takes it out if it is empty.
    pub(super) fn put(&mut self, sort: ShareKind, key: &str, share: Vec<u8>) {
        let page = self.pages.entry(page_of(sort, key)).or_default();
        page.insert(key.to_owned(), share);
    }

    /// The pages as they are now, each with its mark and whether there was one
    /// before; `before` is the state to which the changes apply, if any counts.
    pub(super) fn written(
        self,
        before: Option<&Searcher>,
        fields: &IndexFields,
    ) -> impl Iterator<Item = Result<(String, bool, Option<TantivyDocument>), IndexError>> {
        self.pages.into_iter().map(move |(mark, changed)| {
            let old = match before {
                Some(searcher) => places::page(searcher, fields, &mark)?,
                None => None,
            };
            let mut now: BTreeMap<&str, &[u8]> = match &old {
                Some(page) => shares(page)?.into_iter().collect(),
                None => BTreeMap::new(),
            };
            now.extend(changed.iter().map(|(key, share)| (&**key, &**share)));
            let now: Shares<'_> = now
                .into_iter()
                .filter(|(_, share)| !share.is_empty())
                .collect();
            let doc = match now.is_empty() {
                true => None,
                false => {
                    let bytes = postcard::to_stdvec(&now).map_err(IndexError::damaged)?;
                    Some(fields.page(&mark, &bytes))
                }
            };
            Ok((mark, old.is_some(), doc))
        })
    }
}
