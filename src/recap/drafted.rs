//! The draft of an episode, and the outline to choose from: collect, rank, choose,
//! write.

use std::cell::OnceCell;
use std::collections::{BTreeMap, BTreeSet};

use super::choose::fit;
use super::compose::{ComposeContext, compose};
use super::draft::{EpisodeDraft, seconds};
use super::frame::Frame;
use super::material::Material;
use super::outline::{Outline, OutlineRow};
use super::people::introductions;
use super::ranking::Ranking;
use super::request::Request;
use super::ties::ties;
use crate::ledger::Ledger;
use crate::parallel;

/// A draft with the outline that it was chosen from.
pub struct Drafted<'s> {
    /// The draft.
    pub draft: EpisodeDraft,
    /// The moments that may be told, those that the draft tells ticked.
    pub outline: Outline<'s>,
    /// Ticked moments for which there was no room.
    pub too_much: Vec<OutlineRow<'s>>,
    /// Ticked moments without one that they need.
    pub alone: Vec<(OutlineRow<'s>, OutlineRow<'s>)>,
    /// How long all that is ticked would take.
    pub wanted: u64,
}

/// The draft that was asked for: of what the program proposes, or of the moments
/// that a person `ticked`, in their order.
#[must_use]
pub fn draft<'d>(
    material: &'d Material<'d>,
    request: &'d Request<'d>,
    ledger: &Ledger,
    ticked: Option<&[usize]>,
) -> Drafted<'d> {
    let (asked, may) = (material.marked(request.asked), material.marked(request.may));
    // The figures know nothing of the moments.
    let ((ranking, needs), frame) = parallel::both(
        || {
            let ranking = Ranking::of(material, &asked, &may);
            let needs = ties(material, ledger, request.scope.vehicle, &ranking);
            (ranking, needs)
        },
        || {
            let sources = material.sources.iter().zip(&asked);
            let sources =
                sources.filter(|(one, asked)| **asked && request.scope.has_day(one.when.date));
            let sessions: BTreeSet<&str> =
                sources.map(|(one, _)| one.entry.path.as_str()).collect();
            Frame::new(request, sessions.len())
        },
    );
    let minutes = usize::try_from(request.minutes).unwrap_or(usize::MAX);
    let pace = usize::try_from(request.pace).unwrap_or(usize::MAX);
    let target = minutes.saturating_mul(pace);
    let people = match request.omitted.people {
        true => BTreeMap::new(),
        false => introductions(material, &may),
    };
    let mut base = ComposeContext {
        request,
        material,
        ranking: &ranking,
        needs: &needs,
        hazards: vec![OnceCell::new(); material.sources.len()],
        frame,
        people: &people,
        is_ordered: false,
        // A chapter that takes less than ten seconds (common practice, no source),
        // or very little of the whole, is none.
        least: (target / 24).max(pace.div_ceil(6) + 1),
    };
    let beside = |base: &ComposeContext<'_>| compose(base, &[]).words();
    while beside(&base) * 3 > target && base.frame.shorten() {}
    let mut chosen = fit(&base, target, None);
    let mut wanted = compose(&base, &chosen).words();
    // What a person chose stands as it was chosen, and before figures; else it is
    // the proposal.
    if let Some(ticked) = ticked.filter(|ticked| *ticked != chosen) {
        base.is_ordered = true;
        let told = compose(&base, ticked).words().saturating_sub(beside(&base));
        while told + beside(&base) > target && base.frame.shorten() {}
        wanted = told + beside(&base);
        chosen = fit(&base, target, Some(ticked));
    }
    let draft = compose(&base, &chosen);
    let told: BTreeSet<usize> = chosen.iter().copied().collect();
    let ticks: BTreeSet<usize> = ticked.unwrap_or(&chosen).iter().copied().collect();
    let row = |index: usize| {
        let moment = &material.moments[index];
        let id = |need: &usize| material.moments[*need].id.as_str();
        OutlineRow {
            moment,
            source: &material.sources[moment.source],
            rank: ranking.rank[index],
            seconds: seconds(moment.words, request.pace),
            ticked: ticks.contains(&index),
            needs: needs[index].iter().map(id).collect(),
        }
    };
    let mut order = ranking.order.clone();
    order.sort_unstable();
    let ticked = ticked.unwrap_or_default().iter().copied();
    let alone = chosen.iter().flat_map(|moment| {
        let lacks = needs[*moment].iter().filter(|need| !told.contains(need));
        lacks.map(|need| (row(*moment), row(*need)))
    });
    Drafted {
        outline: Outline {
            request,
            seconds: draft.seconds(),
            beside: seconds(beside(&base), request.pace),
            rows: order.into_iter().map(row).collect(),
        },
        too_much: ticked
            .filter(|moment| !told.contains(moment))
            .map(row)
            .collect(),
        alone: alone.collect(),
        wanted: seconds(wanted, request.pace),
        draft,
    }
}
