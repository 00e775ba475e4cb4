//! Filters that a repository brings along in its own settings.
//!
//! A filter is a program. One in the person's own settings is theirs; one in the
//! repository's came with it, and is not run. Only says which files it would get.

use gix::{
    attrs::{StateRef, search::Outcome},
    bstr::{BStr, BString},
    config::Source,
    index::State,
};

use super::{History, HistoryError, Result};

/// The filters of the repository's own settings, with git's attributes.
pub(super) struct OwnFilters<'h> {
    names: Vec<BString>,
    attributes: gix::AttributeStack<'h>,
    found: Outcome,
}

impl<'h> OwnFilters<'h> {
    /// `None` if there are none, as nearly always.
    pub(super) fn of(history: &'h History, index: &State) -> Result<Option<Self>> {
        use gix::worktree::stack::state::attributes::Source as Attributes;
        let config = history.repo.config_snapshot();
        let sections = config.plumbing().sections_by_name("filter");
        let names: Vec<BString> = sections
            .into_iter()
            .flatten()
            .filter(|section| matches!(section.meta().source, Source::Local | Source::Worktree))
            .filter(|section| {
                ["clean", "process"]
                    .iter()
                    .any(|key| section.value(key).is_some())
            })
            .filter_map(|section| section.header().subsection_name().map(ToOwned::to_owned))
            .collect();
        if names.is_empty() {
            return Ok(None);
        }
        let attributes = history
            .repo
            .attributes_only(index, Attributes::WorktreeThenIdMapping)
            .map_err(HistoryError::git("read git's attributes"))?;
        let found = attributes.selected_attribute_matches(["filter"]);
        Ok(Some(OwnFilters {
            names,
            attributes,
            found,
        }))
    }

    /// The one that would be run for the file at this path.
    pub(super) fn for_file(&mut self, path: &BStr) -> Result<Option<String>> {
        let platform = self
            .attributes
            .at_entry(path, None)
            .map_err(HistoryError::git("read git's attributes"))?;
        platform.matching_attributes(&mut self.found);
        let name = self.found.iter_selected().find_map(|found| {
            if let StateRef::Value(name) = found.assignment.state {
                Some(name.as_bstr().to_owned())
            } else {
                None
            }
        });
        Ok(name
            .filter(|name| self.names.contains(name))
            .map(|name| name.to_string()))
    }
}
