//! Cards, wires and what stands on wires, drawn from what the editor says of them.

use super::layer::Layer;
use crate::editor::Editor;
use crate::page::store::Redraw;
use crate::plan::{PartId, WireId};
use web_sys::Element;

/// The three groups of the board, the lowest first.
pub struct Scene {
    wires: Layer,
    parts: Layer,
    labels: Layer,
}

impl Scene {
    /// Nothing drawn yet, in these groups.
    pub fn new(wires: Element, parts: Element, labels: Element) -> Scene {
        Scene {
            wires: Layer::new(wires),
            parts: Layer::new(parts),
            labels: Layer::new(labels),
        }
    }

    /// Draws what is to be drawn anew; answers with how many cards and wires were made.
    pub fn draw(&mut self, editor: &Editor, redraw: Redraw) -> usize {
        if redraw.all {
            for layer in [&mut self.wires, &mut self.parts, &mut self.labels] {
                layer.clear();
            }
        }
        for id in &redraw.parts {
            let card = || Some(editor.card(id)?.figure(id));
            self.parts.update(id.as_str(), card);
        }
        for id in &redraw.wires {
            if !self.wires.has(id.as_str()) {
                continue;
            }
            let Some(view) = editor.wire_view(id) else {
                continue;
            };
            self.wires.update(id.as_str(), || Some(view.line(id)));
            self.labels.update(id.as_str(), || Some(view.label(id)));
        }
        let mut made = 0;
        if redraw.part_list || redraw.all {
            let ids = editor.drawn_parts().into_iter();
            let ids = ids.map(|(at, id)| (at, id.to_string())).collect();
            made += self.parts.show(ids, |id| {
                let id = PartId::from(id);
                Some(editor.card(&id)?.figure(&id))
            });
        }
        if redraw.wire_list || redraw.all {
            let ids = editor.drawn_wires().into_iter();
            let ids: Vec<_> = ids.map(|(at, id)| (at, id.to_string())).collect();
            made += self.wires.show(ids.clone(), |id| {
                let id = WireId::from(id);
                Some(editor.wire_view(&id)?.line(&id))
            });
            self.labels.show(ids, |id| {
                let id = WireId::from(id);
                Some(editor.wire_view(&id)?.label(&id))
            });
        }
        made
    }
}
