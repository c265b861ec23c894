//! A group of the board's SVG and the figures in it, kept in step with as few touches of the document as there are
//! differences. New figures are parsed together, which costs a browser much less than element by element.

use crate::gather::Gather;
use crate::sheet::figure::{Content, Figure};
use leptos::prelude::document;
use std::collections::{BTreeMap, BTreeSet};
use web_sys::Element;

const SVG: &str = "http://www.w3.org/2000/svg";

/// Figures by their ids, in a group.
pub struct Layer {
    group: Element,
    drawn: BTreeMap<String, (Element, Figure)>,
    order: Vec<String>,
}

impl Layer {
    /// An empty group.
    pub fn new(group: Element) -> Layer {
        Layer {
            group,
            drawn: BTreeMap::new(),
            order: Vec::new(),
        }
    }

    /// Takes everything away.
    pub fn clear(&mut self) {
        self.group.set_inner_html("");
        self.drawn.clear();
        self.order.clear();
    }

    /// Draws what `ids` names, in that order, and nothing else; answers with how many of them are new.
    pub fn show(&mut self, ids: Vec<String>, figure: impl Fn(&str) -> Option<Figure>) -> usize {
        let wanted: BTreeSet<&str> = ids.iter().map(String::as_str).gather();
        self.drawn.retain(|id, (element, _)| {
            let stays = wanted.contains(id.as_str());
            if !stays {
                element.remove();
            }
            stays
        });
        let known = |id: &&String| self.drawn.contains_key(*id);
        let is_in_order = (self.order.iter().filter(known)).eq(ids.iter().filter(known));
        let new = ids.iter().filter(|id| !known(id));
        let new: Vec<(String, Figure)> = new
            .filter_map(|id| Some((id.clone(), figure(id)?)))
            .collect();
        let count = new.len();
        let elements = parsed(new.iter().map(|(_, figure)| figure));
        let mut made = BTreeSet::new();
        for ((id, figure), element) in new.into_iter().zip(elements) {
            made.insert(id.clone());
            self.drawn.insert(id, (element, figure));
        }
        let mut next: Option<Element> = None;
        for id in ids.iter().rev() {
            let Some((element, _)) = self.drawn.get(id) else {
                continue;
            };
            if !is_in_order || made.contains(id) {
                put(&self.group, element, next.as_ref());
            }
            next = Some(element.clone());
        }
        self.order = ids;
        count
    }

    /// Draws a figure otherwise, if it is drawn at all.
    pub fn update(&mut self, id: &str, figure: impl FnOnce() -> Option<Figure>) {
        if let Some((element, drawn)) = self.drawn.get_mut(id)
            && let Some(figure) = figure()
        {
            patch(element, drawn, &figure);
            *drawn = figure;
        }
    }
}

/// Puts an element before another, or last. Neither can fail among elements of one group.
fn put(group: &Element, element: &Element, before: Option<&Element>) {
    let _ = group.insert_before(element, before.map(AsRef::as_ref));
}

/// The elements of figures.
fn parsed<'a>(figures: impl Iterator<Item = &'a Figure>) -> Vec<Element> {
    let mut markup = String::new();
    figures.for_each(|figure| figure.write(&mut markup));
    // Only within SVG is markup read as SVG.
    let Ok(holder) = document().create_element_ns(Some(SVG), "g") else {
        return Vec::new();
    };
    holder.set_inner_html(&markup);
    children(&holder)
}

fn children(of: &Element) -> Vec<Element> {
    std::iter::successors(of.first_element_child(), Element::next_element_sibling).collect()
}

/// Makes an element that shows `old` show `new`.
fn patch(element: &Element, old: &Figure, new: &Figure) {
    if old.attributes != new.attributes {
        set_attributes(element, old, new);
    }
    match (&old.content, &new.content) {
        (old, new) if old == new => {}
        (Content::Figures(old), Content::Figures(new)) => {
            let there = children(element);
            let both = there.iter().zip(old.iter().zip(new));
            both.for_each(|(element, (old, new))| patch(element, old, new));
            for element in there.iter().skip(new.len()) {
                element.remove();
            }
            let more = parsed(new.iter().skip(old.len()));
            more.iter().for_each(|child| put(element, child, None));
        }
        (_, new) => {
            let mut markup = String::new();
            new.write(&mut markup);
            element.set_inner_html(&markup);
        }
    }
}

fn set_attributes(element: &Element, old: &Figure, new: &Figure) {
    let value = |of: &Figure, name: &str| {
        let held = of.attributes.iter().find(|(n, _)| *n == name);
        held.map(|(_, value)| value.clone())
    };
    for (name, held) in &new.attributes {
        if value(old, name).as_ref() != Some(held) {
            // Names of attributes are ours, so none is refused.
            let _ = element.set_attribute(name, held);
        }
    }
    for (name, _) in &old.attributes {
        if value(new, name).is_none() {
            let _ = element.remove_attribute(name);
        }
    }
}
