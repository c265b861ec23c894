//! The readings as rows to be filled in: what was read, what it shows, on which day and when; what is wrong with an entry
//! by its field, and what the plan as it is drawn shows instead.

use super::job::use_faults;
use crate::diagnosis::{
    EntryRead, LEVEL_SAYS, Readable, ReadableGroup, ReadingField, ShowsEntry, drawn_says, is_level,
    readables,
};
use crate::limits::{Field, Kind};
use crate::page::build::readings::{BaseReadings, use_base_readings};
use crate::page::store::use_store;
use crate::sheet::entry;
use crate::worker::Task;
use leptos::prelude::*;
use wasm_bindgen::JsCast;

/// What a wire shows, as a setting would be entered.
const TAKE: Field = Field {
    key: "take",
    label: "Take",
    unit: "steps",
    kind: Kind::Whole(0, u64::MAX),
    optional: false,
};

/// The id of the button that adds a row, from which the keyboard goes on where a row went.
pub(super) const ADD: &str = "fault-add";

/// The rows.
#[component]
pub(super) fn Rows() -> impl IntoView {
    let (store, readings) = (use_store(), use_base_readings());
    let rows = readings.rows;
    let groups = Memo::new(move |_| {
        store.revision();
        store.with_plan(readables)
    });
    let numbers = Memo::new(move |_| {
        let numbers = |typed: &crate::diagnosis::ReadingEntries| {
            let rows = typed.rows().iter();
            rows.map(|(number, _)| *number).collect::<Vec<_>>()
        };
        rows.now().with(numbers)
    });
    // Whoever began a row goes on with its first field that is empty.
    Effect::new(move |_| {
        if let Some(number) = readings.wanted.get() {
            readings.wanted.set(None);
            request_animation_frame(move || lead_to(readings, number));
        }
    });
    view! {
        <ol class="fault-rows" aria-label="Readings" hidden=move || numbers.with(Vec::is_empty)>
            <For each=move || numbers.get() key=|number| *number children=move |number| {
                view! { <Row number groups/> }
            }/>
        </ol>
    }
}

/// The id of a row's field on the page.
fn id_of(number: u64, field: ReadingField) -> String {
    let name = match field {
        ReadingField::Of => "of",
        ReadingField::Shows => "shows",
        ReadingField::Day => "day",
        ReadingField::Time => "time",
    };
    format!("fault-{name}-{number}")
}

fn lead_to(readings: BaseReadings, number: u64) {
    let row = (readings.rows.now()).try_with_untracked(|all| all.row(number).cloned());
    let Some(Some(row)) = row else {
        return;
    };
    let fields = [ReadingField::Of, ReadingField::Shows, ReadingField::Time];
    let is_empty = |field: &ReadingField| row.text(*field).is_empty();
    let field = fields.into_iter().find(is_empty);
    let id = id_of(number, field.unwrap_or(ReadingField::Shows));
    focus(&id);
}

/// Puts the keyboard on an element.
fn focus(id: &str) {
    let found = document().get_element_by_id(id);
    if let Some(field) = found.and_then(|e| e.dyn_into::<web_sys::HtmlElement>().ok()) {
        // Focus may be refused, which harms nothing.
        let _ = field.focus();
    }
}

#[component]
fn Row(number: u64, groups: Memo<Vec<ReadableGroup>>) -> impl IntoView {
    let (store, readings) = (use_store(), use_base_readings());
    let rows = readings.rows;
    let read = Memo::new(move |_| {
        let read = readings.read.with(|all| all.get(&number).cloned());
        read.unwrap_or_default()
    });
    let place = Memo::new(move |_| {
        let place = |of: &(u64, _)| of.0 == number;
        rows.now()
            .with(|typed| typed.rows().iter().position(place))
            .map_or(0, |at| at + 1)
    });
    let text = move |field: ReadingField| {
        rows.now()
            .with(|typed| typed.row(number).map(|row| row.text(field).to_string()))
    };
    let of = Memo::new(move |_| rows.now().with(|typed| typed.row(number)?.of.clone()));
    let asks = Memo::new(move |_| {
        store.revision();
        let asks =
            |row: &crate::diagnosis::ReadingEntry| store.with_plan(|plan| row.shows_entry(plan));
        let asked = rows.now().with(|typed| typed.row(number).map(asks));
        asked.unwrap_or(ShowsEntry::Nothing)
    });
    let shows = Memo::new(move |_| text(ReadingField::Shows).unwrap_or_default());
    let entry_of_shows = move || match asks.get() {
        ShowsEntry::Steps => {
            let unit = entry::unit_of(&TAKE, &store.unit());
            view! { <Typed number read field=ReadingField::Shows label="Shows, in whole steps" unit/> }.into_any()
        }
        ShowsEntry::Words(words) => view! { <Word number read shows words/> }.into_any(),
        ShowsEntry::Nothing => view! { <Word number read shows words=Vec::new()/> }.into_any(),
    };
    let lacks = move || read.with(|read| read.lacks);
    let is_level = Memo::new(move |_| {
        let of = of.get();
        of.is_some_and(|of| store.with_plan(|plan| is_level(plan, &of)))
    });
    let remove = move |_| {
        rows.act(|entries, _| entries.remove(number));
        request_animation_frame(|| focus(ADD));
    };
    view! {
        <li>
            <div class="fault-row" role="group" aria-label=move || format!("Reading {}", place.get())>
                <Thing number read of groups/>
                {entry_of_shows}
                <Typed number read field=ReadingField::Day label="Day" holder="e.g. 1"/>
                <Typed number read field=ReadingField::Time label="Time" holder="e.g. 21:00"/>
                <button type="button" class="quiet" aria-label=move || format!("Remove reading {}", place.get())
                    on:click=remove>"Remove"</button>
                <p class="fault-drawn" hidden=move || !is_level.get()>{LEVEL_SAYS}</p>
                <p class="fault-drawn" hidden=move || lacks().is_none()>{lacks}</p>
                <Drawn read/>
            </div>
        </li>
    }
}

/// What the plan as it is drawn shows there, once that is known.
#[component]
fn Drawn(read: Memo<EntryRead>) -> impl IntoView {
    let (store, job) = (use_store(), use_faults().job());
    let says = Memo::new(move |_| {
        let reading = read.get().reading?;
        let answer = job.answer()?;
        let Some(Task::Diagnose(asked)) = answer.tasks.first() else {
            return None;
        };
        let found = answer.value.as_ref().ok()?;
        let at = asked
            .iter()
            .position(|r| r.of == reading.of && r.at == reading.at)?;
        let drawn = *found.drawn.get(at)?;
        let is_known = !job.is_out_of_date();
        is_known.then(|| store.with_plan(|plan| drawn_says(plan, &reading, drawn)))
    });
    view! { <p class="fault-drawn" hidden=move || says.with(Option::is_none)>{says}</p> }
}

/// What is wrong with a field, below it.
fn wrong_at(read: Memo<EntryRead>, field: ReadingField) -> Memo<Option<String>> {
    Memo::new(move |_| read.with(|read| read.wrong.get(&field).cloned()))
}

/// The sentence below a field that is wrong; the field names it by the id.
#[component]
fn Wrong(id: String, wrong: Memo<Option<String>>) -> impl IntoView {
    view! { <p class="wrong" id=id aria-live="polite" hidden=move || wrong.with(Option::is_none)>{wrong}</p> }
}

/// A field for text.
#[component]
fn Typed(
    number: u64,
    read: Memo<EntryRead>,
    field: ReadingField,
    label: &'static str,
    #[prop(optional)] holder: &'static str,
    #[prop(optional)] unit: String,
) -> impl IntoView {
    let rows = use_base_readings().rows;
    let wrong = wrong_at(read, field);
    let value = Memo::new(move |_| {
        let text = |typed: &crate::diagnosis::ReadingEntries| {
            Some(typed.row(number)?.text(field).to_string())
        };
        rows.now().with(text).unwrap_or_default()
    });
    let id = id_of(number, field);
    let (about, described) = (format!("{id}-wrong"), format!("{id}-wrong"));
    let is_number = field != ReadingField::Time;
    view! {
        <div class="field">
            <label for=id.clone()>{label}</label>
            <span class="value">
                <input id=id type="text" autocomplete="off" spellcheck="false" maxlength="40" placeholder=holder
                    inputmode=is_number.then_some("numeric")
                    prop:value=move || value.get()
                    on:input=move |event| {
                        let text = event_target_value(&event);
                        rows.enter((number, field), |entries| entries.enter(number, field, &text));
                    }
                    on:blur=move |_| rows.leave()
                    aria-invalid=move || wrong.with(Option::is_some).then_some("true")
                    aria-describedby=move || wrong.with(Option::is_some).then(|| described.clone())/>
                {(!unit.is_empty()).then(|| view! { <span class="unit">{unit}</span> })}
            </span>
            <Wrong id=about wrong/>
        </div>
    }
}

/// The choice of a word that it shows.
#[component]
fn Word(
    number: u64,
    read: Memo<EntryRead>,
    shows: Memo<String>,
    words: Vec<&'static str>,
) -> impl IntoView {
    let rows = use_base_readings().rows;
    let field = ReadingField::Shows;
    let wrong = wrong_at(read, field);
    let id = id_of(number, field);
    let (about, described) = (format!("{id}-wrong"), format!("{id}-wrong"));
    let is_off = words.is_empty();
    let options = move || {
        let now = shows.get();
        let option = |word: &'static str| {
            let selected = now == word;
            view! { <option value=word prop:selected=selected>{word}</option> }
        };
        let none = !words.contains(&now.as_str());
        view! {
            <option value="" prop:selected=none>"choose"</option>
            {words.iter().copied().map(option).collect_view()}
        }
    };
    let choose = move |event| {
        let word = event_target_value(&event);
        rows.act(|entries, _| entries.enter(number, field, &word));
    };
    view! {
        <div class="field">
            <label for=id.clone()>"Shows"</label>
            <span class="value">
                <select id=id disabled=is_off on:change=choose
                    aria-invalid=move || wrong.with(Option::is_some).then_some("true")
                    aria-describedby=move || wrong.with(Option::is_some).then(|| described.clone())>
                    {options}
                </select>
            </span>
            <Wrong id=about wrong/>
        </div>
    }
}

/// The choice of what was read.
#[component]
fn Thing(
    number: u64,
    read: Memo<EntryRead>,
    of: Memo<Option<Readable>>,
    groups: Memo<Vec<ReadableGroup>>,
) -> impl IntoView {
    let rows = use_base_readings().rows;
    let wrong = wrong_at(read, ReadingField::Of);
    let id = id_of(number, ReadingField::Of);
    let (about, described) = (format!("{id}-wrong"), format!("{id}-wrong"));
    let options = move || {
        let now = of.get();
        let option = |(thing, name): (Readable, String)| {
            let selected = now.as_ref() == Some(&thing);
            view! { <option value=value_of(&thing) prop:selected=selected>{name}</option> }
        };
        let groups = groups.get();
        let is_there = |of: &&Readable| {
            groups
                .iter()
                .flat_map(|group| &group.of)
                .any(|(thing, _)| thing == *of)
        };
        let gone = now.clone().filter(|of| !is_there(&of));
        let gone = gone.map(|of| option((of.clone(), of.id().to_string())));
        let group = |group: ReadableGroup| {
            let all = group.of.into_iter().map(option).collect_view();
            view! { <optgroup label=group.name>{all}</optgroup> }
        };
        view! {
            <option value="" prop:selected=now.is_none()>"choose"</option>
            {gone}
            {groups.clone().into_iter().map(group).collect_view()}
        }
    };
    let choose = move |event| {
        let value = event_target_value(&event);
        let found = groups.with_untracked(|groups| {
            let all = groups.iter().flat_map(|group| &group.of);
            all.map(|(thing, _)| thing)
                .find(|thing| value_of(thing) == value)
                .cloned()
        });
        rows.act(|entries, plan| entries.choose(plan, number, found));
    };
    view! {
        <div class="field fault-thing">
            <label for=id.clone()>"What"</label>
            <span class="value">
                <select id=id on:change=choose
                    aria-invalid=move || wrong.with(Option::is_some).then_some("true")
                    aria-describedby=move || wrong.with(Option::is_some).then(|| described.clone())>
                    {options}
                </select>
            </span>
            <Wrong id=about wrong/>
        </div>
    }
}

/// The value of a choice: a part and a wire may have one id.
fn value_of(of: &Readable) -> String {
    match of {
        Readable::Part(id) => format!("part/{id}"),
        Readable::Wire(id) => format!("wire/{id}"),
    }
}
