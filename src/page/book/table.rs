//! The table of part types: searched, sorted by any column, several marked at once.

use super::Desk;
use super::field::main_number;
use crate::book::PartType;
use crate::limits::STAGE;
use crate::page::keeping::use_keeper;
use crate::plan::{BookError, BookRef, Edit, Plan};
use crate::sheet::{entry, search};
use leptos::prelude::*;

/// The columns, with how they sort.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Column {
    Book,
    Label,
    Does,
    Number,
    Stage,
    Used,
}

const COLUMNS: [(Column, &str); 5] = [
    (Column::Label, "Name"),
    (Column::Does, "What it does"),
    (Column::Number, "Number"),
    (Column::Stage, "Stage"),
    (Column::Used, "In this plan"),
];

/// One row.
#[derive(Clone, Debug, PartialEq)]
struct Row {
    kind: PartType,
    used: usize,
    number: (u64, String),
}

/// The table.
#[component]
pub(super) fn Types(desk: Desk, book: Memo<BookRef>) -> impl IntoView {
    let words = RwSignal::new(String::new());
    let sort = RwSignal::new((Column::Book, false));
    let rows = Memo::new(move |_| {
        let words = words.get();
        let (by, turned) = sort.get();
        book.track();
        let mut rows = desk.with_plan(|plan| {
            let unit = &plan.book.book.unit;
            let row = |kind: &PartType| Row {
                used: plan.parts_of_type(&kind.name).len(),
                number: main_number(kind, unit),
                kind: kind.clone(),
            };
            let found = search::found(&plan.book.book.types, &words);
            found.into_iter().map(row).collect::<Vec<_>>()
        });
        match by {
            Column::Book => {}
            Column::Label => rows.sort_by_key(|r| r.kind.label.to_lowercase()),
            Column::Does => rows.sort_by_key(|r| (does(&r.kind), r.kind.label.clone())),
            Column::Number => rows.sort_by_key(|r| (r.number.0, r.kind.label.clone())),
            Column::Stage => rows.sort_by_key(|r| r.kind.stage),
            Column::Used => rows.sort_by_key(|r| std::cmp::Reverse(r.used)),
        }
        if turned {
            rows.reverse();
        }
        rows
    });
    let head = move |(column, name): (Column, &'static str)| {
        let order = move || match sort.get() {
            (by, false) if by == column => "ascending",
            (by, true) if by == column => "descending",
            _ => "none",
        };
        let turn = move |_| {
            sort.update(|(by, turned)| {
                (*by, *turned) = match (*by == column, *turned) {
                    (false, _) => (column, false),
                    (true, false) => (column, true),
                    (true, true) => (Column::Book, false),
                }
            });
        };
        view! { <th scope="col" aria-sort=order><button type="button" on:click=turn>{name}</button></th> }
    };
    view! {
        <input type="search" aria-label="Search part types" placeholder="Search part types"
            prop:value=move || words.get()
            on:input=move |event| words.set(event_target_value(&event))/>
        <Marked desk/>
        <div class="book-table">
            <table>
                <thead><tr><td></td>{COLUMNS.map(head).collect_view()}</tr></thead>
                <tbody>
                    <For each=move || rows.get() key=|row| row.kind.name.clone() children=move |row| view! { <TypeRow desk rows row/> }/>
                </tbody>
            </table>
        </div>
    }
}

/// What a type does, in a word or two.
pub(super) fn does(kind: &PartType) -> String {
    use crate::book::Behaviour;
    match &kind.behaviour {
        Behaviour::Source { profile, .. } => format!("source, {}", profile.word()),
        Behaviour::Contact { function, .. } => format!("contact, {}", function.name()),
        other => other.name().into(),
    }
}

/// A row of the table. It stays while what it tells changes.
#[component]
fn TypeRow(
    desk: Desk,
    /// All rows.
    rows: Memo<Vec<Row>>,
    /// This one, as it is at first.
    row: Row,
) -> impl IntoView {
    let name = StoredValue::new(row.kind.name.clone());
    let row = Memo::new(move |before: Option<&Row>| {
        let found = rows.with(|rows| {
            let mut rows = rows.iter();
            rows.find(|r| name.with_value(|n| r.kind.name == *n))
                .cloned()
        });
        found.unwrap_or_else(|| before.unwrap_or(&row).clone())
    });
    let is_chosen = move || {
        desk.chosen
            .with(|c| name.with_value(|n| c.as_ref() == Some(n)))
    };
    let is_marked = move || desk.marked.with(|m| name.with_value(|n| m.contains(n)));
    let mark = move |event| {
        let on = event_target_checked(&event);
        let name = name.get_value();
        desk.marked.update(|marked| {
            marked.retain(|n| *n != name);
            if on {
                marked.push(name);
            }
        });
    };
    let choose = move |_| {
        desk.chosen.set(Some(name.get_value()));
        // On a narrow screen the form stands below the table.
        super::bring_into_sight(".book-form h3");
    };
    let label = move || row.with(|r| r.kind.label.clone());
    view! {
        <tr class:chosen=is_chosen>
            <td>
                <input type="checkbox" aria-label=move || format!("Mark {}", label()) prop:checked=is_marked on:change=mark/>
            </td>
            <th scope="row">
                <button type="button" class="type-name" aria-pressed=move || is_chosen().to_string() on:click=choose>
                    {move || row.with(|r| crate::page::shelf::drawing(&r.kind.symbol, None))}
                    <span>{label}</span>
                </button>
            </th>
            <td>{move || row.with(|r| does(&r.kind))}</td>
            <td>{move || row.with(|r| r.number.1.clone())}</td>
            <td>{move || row.with(|r| r.kind.stage)}</td>
            <td>{move || row.with(|r| (r.used > 0).then_some(r.used))}</td>
        </tr>
    }
}

/// What is done to one type of a plan's book, by its name.
type ChangeOne<'c> = dyn Fn(&Plan, &str) -> Result<Vec<Edit>, BookError> + 'c;

/// The edits that change types of these names, each from what the one before it left.
pub(super) fn one_by_one(
    plan: &Plan,
    names: &[String],
    change: &ChangeOne,
) -> Result<Vec<Edit>, BookError> {
    let (mut tried, mut all) = (plan.clone(), Vec::new());
    for name in names {
        let edits = change(&tried, name)?;
        // They were made from this very plan.
        let _ = tried.apply_all(edits.clone());
        all.extend(edits);
    }
    Ok(all)
}

/// What can be done with all types that are marked.
#[component]
fn Marked(desk: Desk) -> impl IntoView {
    let count = move || desk.marked.with(Vec::len);
    let stage = RwSignal::new(String::new());
    let group = RwSignal::new(String::new());
    // One step for all of them.
    let each = move |says: &str, change: &ChangeOne| {
        let names = desk.marked.get_untracked();
        let edits = desk.with_plan(|plan| one_by_one(plan, &names, change));
        desk.change(says, edits)
    };
    let set_stage = move |_| match entry::read(&STAGE, &stage.get_untracked()) {
        Ok(stage) => {
            each("set stages", &|plan, name| {
                plan.change_type_field(name, &["stage"], Some(stage.clone()))
            });
        }
        Err(said) => desk.refused.set(vec![said]),
    };
    let set_group = move |_| {
        let group = group.get_untracked().trim().to_string();
        each("set groups", &|plan, name| {
            plan.change_type_field(name, &["group"], Some(group.as_str().into()))
        });
    };
    let keeper = use_keeper();
    let delete = move |_| desk.delete(keeper, desk.marked.get_untracked());
    view! {
        <Show when=move || { count() > 0 }>
            <div class="fields marked" role="group" aria-label="Marked part types">
                <span>{move || format!("{} marked:", count())}</span>
                <label>"stage "<input type="text" inputmode="numeric" size="4" on:input=move |e| stage.set(event_target_value(&e))/></label>
                <button type="button" on:click=set_stage>"Set"</button>
                <label>"group "<input type="text" size="12" on:input=move |e| group.set(event_target_value(&e))/></label>
                <button type="button" on:click=set_group>"Set"</button>
                <button type="button" on:click=delete>"Delete"</button>
                <button type="button" on:click=move |_| desk.marked.set(Vec::new())>"Unmark"</button>
            </div>
        </Show>
    }
}
