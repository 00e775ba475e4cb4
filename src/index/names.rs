//! The names that files use, listed by how they begin.
//!
//! What a name stands for is not known here.

use std::collections::{BTreeSet, HashSet};

use tantivy::{DocAddress, Searcher};

use super::error::{IndexError, reading};
use super::places;
use super::schema::{DocumentMark, IndexFields};

/// The names that files use besides some.
pub struct NamesUsed {
    searcher: Searcher,
    fields: IndexFields,
    left_out: HashSet<DocAddress>,
}

impl NamesUsed {
    /// The names in all files but those at the paths `except`.
    pub(super) fn besides(
        searcher: Searcher,
        fields: IndexFields,
        except: &BTreeSet<&str>,
    ) -> Result<NamesUsed, IndexError> {
        let mut left_out = HashSet::new();
        for path in except {
            let term = fields.mark(DocumentMark::File, path);
            left_out.extend(reading(|| places::with_term(&searcher, &term))?);
        }
        Ok(NamesUsed {
            searcher,
            fields,
            left_out,
        })
    }

    /// The names that begin with `prefix`.
    ///
    /// # Errors
    /// [`IndexError::Damaged`].
    pub fn beginning(&self, prefix: &str) -> Result<BTreeSet<String>, IndexError> {
        let mut found = BTreeSet::new();
        let mark = DocumentMark::Name.with(prefix);
        places::marked(&self.searcher, &self.fields, &mark, &mut |rest, docs| {
            let mut others = docs.filter(|address| !self.left_out.contains(address));
            if others.next().is_some() {
                found.insert(format!("{prefix}{rest}"));
            }
        })?;
        Ok(found)
    }
}
