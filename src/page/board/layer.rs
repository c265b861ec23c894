//! A group of the board's figures, kept in step with as few touches of the document as there are differences.
//!
//! New figures are parsed together, which costs a browser much less than element by element. They stand in blocks, an SVG
//! each: a browser paints a block anew whole, and leaves all others as they are.

use crate::gather::Gather;
use crate::sheet::figure::{Content, Figure};
use leptos::prelude::document;
use std::collections::{BTreeMap, BTreeSet};
use web_sys::Element;

const SVG: &str = "http://www.w3.org/2000/svg";
/// About so many figures stand in a block.
const BLOCK: usize = 24;

/// Figures by their ids.
pub struct Layer {
    root: Element,
    blocks: BTreeMap<usize, Element>,
    drawn: BTreeMap<String, Drawn>,
    order: Vec<String>,
}

struct Drawn {
    block: usize,
    element: Element,
    figure: Figure,
}

impl Layer {
    /// Nothing yet, in this element.
    pub fn new(root: Element) -> Layer {
        Layer {
            root,
            blocks: BTreeMap::new(),
            drawn: BTreeMap::new(),
            order: Vec::new(),
        }
    }

    /// Takes everything away.
    pub fn clear(&mut self) {
        self.root.set_inner_html("");
        self.blocks.clear();
        self.drawn.clear();
        self.order.clear();
    }

    /// Draws what `ids` names, in that order, and nothing else; each comes with its place among all there are. Answers with
    /// how many are new.
    pub fn show(
        &mut self,
        ids: Vec<(usize, String)>,
        figure: impl Fn(&str) -> Option<Figure>,
    ) -> usize {
        let wanted: BTreeSet<&str> = ids.iter().map(|(_, id)| id.as_str()).gather();
        self.drawn.retain(|id, drawn| {
            let stays = wanted.contains(id.as_str());
            if !stays {
                drawn.element.remove();
            }
            stays
        });
        let known = |id: &&String| self.has(id);
        let before = self.order.iter().filter(known);
        if !before.eq(ids.iter().map(|(_, id)| id).filter(known)) {
            // Others stand before others now. That is rare, and drawing all again is right whatever has moved.
            self.clear();
        }
        let new = ids.iter().filter(|(_, id)| !self.has(id));
        let new: Vec<(&String, Figure)> =
            new.filter_map(|(_, id)| Some((id, figure(id)?))).collect();
        let elements = parsed(new.iter().map(|(_, figure)| figure));
        let made: BTreeMap<&String, (Figure, Element)> = (new.into_iter().zip(elements))
            .map(|((id, figure), element)| (id, (figure, element)))
            .gather();
        let count = made.len();
        self.put(&ids, made);
        self.order = ids.into_iter().map(|(_, id)| id).collect();
        count
    }

    /// Puts new elements among those that stand already, from the last to the first.
    fn put(&mut self, ids: &[(usize, String)], mut made: BTreeMap<&String, (Figure, Element)>) {
        let mut least: Vec<usize> = Vec::with_capacity(ids.len());
        for (_, id) in ids {
            let block = self.drawn.get(id).map(|drawn| drawn.block);
            least.push(block.or(least.last().copied()).unwrap_or(0));
        }
        let mut next: Option<(usize, Element)> = None;
        for ((at, id), least) in ids.iter().zip(least).rev() {
            if let Some((figure, element)) = made.remove(id) {
                let most = next.as_ref().map_or(usize::MAX, |(block, _)| *block);
                // Blocks follow each other as the figures do.
                let block = (at / BLOCK).clamp(least.min(most), most);
                let before = next.as_ref().filter(|(b, _)| *b == block);
                insert(&self.block(block), &element, before.map(|(_, e)| e));
                let drawn = Drawn {
                    block,
                    element,
                    figure,
                };
                self.drawn.insert(id.clone(), drawn);
            }
            if let Some(drawn) = self.drawn.get(id) {
                next = Some((drawn.block, drawn.element.clone()));
            }
        }
    }

    /// The SVG of a block.
    fn block(&mut self, block: usize) -> Element {
        if let Some(svg) = self.blocks.get(&block) {
            return svg.clone();
        }
        let Ok(svg) = document().create_element_ns(Some(SVG), "svg") else {
            return self.root.clone();
        };
        let _ = svg.set_attribute("class", "block");
        let after = self.blocks.range(block..).next();
        insert(&self.root, &svg, after.map(|(_, svg)| svg));
        self.blocks.insert(block, svg.clone());
        svg
    }

    /// Whether it is drawn.
    pub fn has(&self, id: &str) -> bool {
        self.drawn.contains_key(id)
    }

    /// Draws a figure otherwise, if it is drawn at all.
    pub fn update(&mut self, id: &str, figure: impl FnOnce() -> Option<Figure>) {
        if let Some(drawn) = self.drawn.get_mut(id)
            && let Some(figure) = figure()
        {
            patch(&drawn.element, &drawn.figure, &figure);
            drawn.figure = figure;
        }
    }
}

/// Puts an element into another, before one that is in it, or last. Among our own elements that can't fail.
fn insert(into: &Element, element: &Element, before: Option<&Element>) {
    let _ = into.insert_before(element, before.map(AsRef::as_ref));
}

/// The elements of figures.
fn parsed<'a>(figures: impl Iterator<Item = &'a Figure>) -> Vec<Element> {
    let mut markup = String::new();
    figures.for_each(|figure| figure.write(&mut markup));
    if markup.is_empty() {
        return Vec::new();
    }
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
            more.iter().for_each(|child| insert(element, child, None));
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
