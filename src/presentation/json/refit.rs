//! The refit plan as JSON. The keys are a promise; `docs/json.md` lists them.

use serde_json::{Value, json};

use super::part::{general_cautions, torques};
use super::{Json, document, said};
use crate::presentation::export::{Document, Exporter};
use crate::presentation::refit::words::{
    bags, connect_words, hardware_words, label, new_words, open_words, shelf, wait_words, why_word,
};
use crate::presentation::refit::{RefitView, blockers, wanted};
use crate::reports::cautions::of_step;
use crate::reports::refit::{
    Assumed, Connect, OrderConstraint, PartRemark, RefitReport, lacks_torque,
};

impl Exporter<[RefitView<'_>]> for Json {
    fn export(&self, plans: &[RefitView<'_>]) -> Document {
        document(&refit(plans))
    }
}

/// The plans, one for each vehicle, in one.
fn refit(plans: &[RefitView<'_>]) -> Value {
    let all = |list: &dyn Fn(&RefitView<'_>) -> Vec<Value>| -> Vec<Value> {
        plans.iter().flat_map(list).collect()
    };
    json!({
        "steps": all(&|shown| shown.steps.iter().map(|number| step(shown, *number)).collect()),
        "tonight": all(&|shown| short(shown, &shown.answer.now.tonight)),
        "bench": all(&|shown| short(shown, &shown.answer.now.bench)),
        "then": all(&|shown| short(shown, &shown.answer.now.then)),
        "perhaps": all(&perhaps),
        "blocked": all(&blocked),
        "blocking": all(&blocking),
        "loose": all(&|shown| shown.loose.iter().map(|place| name(shown.answer, *place)).collect()),
        "loops": all(&|shown| loops(shown.answer)),
    })
}

/// Some of the steps that are asked about.
fn short(shown: &RefitView<'_>, steps: &[usize]) -> Vec<Value> {
    wanted(shown, steps)
        .iter()
        .map(|number| {
            let place = shown.answer.plan.steps[*number];
            let mut value = name(shown.answer, place);
            let state = shown.answer.plan.places.states[place];
            let system = shown.answer.plan.places.system(place);
            value["step"] = json!(number + 1);
            value["torque_missing"] = json!(lacks_torque(state, system));
            value
        })
        .collect()
}

/// What only the assumed order holds back, with the step it puts first.
fn perhaps(shown: &RefitView<'_>) -> Vec<Value> {
    let now = &shown.answer.now;
    let steps = wanted(shown, &now.perhaps);
    let mut list = short(shown, &now.perhaps);
    for (value, number) in list.iter_mut().zip(steps) {
        let (after, same) = match now.steps[number].assumed {
            Some(Assumed::Step {
                before,
                same_corner: true,
            }) => (before, "corner"),
            Some(Assumed::Step {
                before,
                same_corner: false,
            }) => (before, "system"),
            Some(Assumed::Surface(area)) => (area, "surface"),
            None => continue,
        };
        value["after"] = name(shown.answer, after);
        value["same"] = json!(same);
    }
    list
}

/// Which place.
fn name(answer: &RefitReport<'_>, place: usize) -> Value {
    let state = answer.plan.places.states[place];
    json!({
        "vehicle": state.vehicle,
        "part": state.name,
        "at": said(&state.at.to_string()),
    })
}

fn step(shown: &RefitView<'_>, number: usize) -> Value {
    let answer = shown.answer;
    let place = answer.plan.steps[number];
    let state = answer.plan.places.states[place];
    let now = &answer.now.steps[number];
    let waits: Vec<String> = now
        .waits
        .iter()
        .map(|wait| wait_words(answer, wait, shown.today))
        .collect();
    let (after, before): (Vec<&OrderConstraint<'_>>, Vec<&OrderConstraint<'_>>) = answer
        .plan
        .known_of(place)
        .partition(|known| known.then == place);
    let told = |list: Option<&Vec<PartRemark<'_>>>| -> Vec<Value> {
        list.into_iter()
            .flatten()
            .map(|told| {
                json!({
                    "text": told.said.value,
                    "of": told.of.map(|of| label(answer, of)),
                    "entry": told.said.spot.file,
                    "line": told.said.spot.line,
                })
            })
            .collect()
    };
    let implied = |before: bool| -> Vec<String> {
        let all = answer.plan.small_parts.get(&place).into_iter().flatten();
        all.filter(|implied| implied.before == before)
            .map(|implied| implied.part.written())
            .collect()
    };
    let texts = |list: &[crate::ledger::Dated<String>]| -> Vec<String> {
        list.iter().map(|said| said.value.clone()).collect()
    };
    let mut value = name(answer, place);
    let more = json!({
        "step": number + 1,
        "system": answer.plan.places.system(place),
        "system_assumed": answer.plan.places.system_is_assumed(place),
        "unit": state.unit().number,
        "ready": answer.plan.is_ready(place),
        "waits": waits,
        "known": answer.plan.is_known(place),
        "after": after.iter().map(|known| other(answer, known, known.first)).collect::<Vec<_>>(),
        "before": before.iter().map(|known| other(answer, known, known.then)).collect::<Vec<_>>(),
        "small_parts": {"first": implied(true), "then": implied(false)},
        "hands": state.hands,
        "bags": bags(answer, place),
        "hardware": hardware_words(answer, place),
        "new": new_words(answer, place),
        "stored": shelf(answer, place),
        "torque": torques(state),
        "torque_missing": lacks_torque(state, answer.plan.places.system(place)),
        "manual": texts(&state.manuals),
        "lessons": told(answer.lessons.get(&place)),
        "cautions": told(answer.cautions.get(&place)),
        "general_cautions": general_cautions(&of_step(state)),
        "photos": texts(&state.photos),
        "connect": connects(answer, place),
    });
    if let (Value::Object(value), Value::Object(more)) = (&mut value, more) {
        value.extend(more);
    }
    value
}

/// The other place of a known order, and the record that says so.
fn other(answer: &RefitReport<'_>, known: &OrderConstraint<'_>, place: usize) -> Value {
    let mut value = name(answer, place);
    value["step"] = json!(answer.step_of(place));
    value["why"] = json!(why_word(known.why));
    value["entry"] = json!(known.spot.file);
    value["line"] = json!(known.spot.line);
    value
}

/// Places that cannot be put back.
fn blocked(shown: &RefitView<'_>) -> Vec<Value> {
    let answer = shown.answer;
    let waiting = answer.plan.waiting(&shown.blocked);
    shown
        .blocked
        .iter()
        .zip(waiting)
        .map(|(place, waiting)| {
            let by: Vec<String> = answer
                .plan
                .own_waits(*place)
                .iter()
                .map(|wait| wait_words(answer, wait, shown.today))
                .chain(answer.plan.knots.snared[*place].then(|| "a loop".to_owned()))
                .collect();
            let mut value = name(answer, *place);
            value["by"] = json!(by.join("; "));
            value["waiting"] = json!(waiting.all);
            value["connect"] = json!(connects(answer, *place));
            value
        })
        .collect()
}

/// The connections that are made once a place is on.
fn connects(answer: &RefitReport<'_>, place: usize) -> Vec<Value> {
    let connects = answer.connections.get(&place).into_iter().flatten();
    let value = |connect: &Connect<'_>| {
        json!({
            "connect": connect_words(answer, connect),
            "what": connect.what.written(),
            "to": connect.to.map(|to| to.written()),
            "entry": connect.spot.file,
            "line": connect.spot.line,
        })
    };
    connects.map(value).collect()
}

/// Everything open, what blocks most first.
fn blocking(shown: &RefitView<'_>) -> Vec<Value> {
    let answer = shown.answer;
    blockers(shown)
        .into_iter()
        .map(|blocker| {
            let mut value = name(answer, blocker.place);
            value["open"] = json!(open_words(answer, blocker, shown.today));
            value["direct"] = json!(blocker.waiting.direct);
            value["waiting"] = json!(blocker.waiting.all);
            value
        })
        .collect()
}

/// Loops: each link with the part that goes first and the record that says so.
fn loops(answer: &RefitReport<'_>) -> Vec<Value> {
    let link = |edge: &usize| {
        let known = &answer.plan.order.known[*edge];
        let mut value = name(answer, known.first);
        value["before"] = name(answer, known.then);
        value["why"] = json!(why_word(known.why));
        value["entry"] = json!(known.spot.file);
        value["line"] = json!(known.spot.line);
        value
    };
    answer
        .plan
        .knots
        .loops
        .iter()
        .map(|found| Value::Array(found.iter().map(link).collect()))
        .collect()
}
