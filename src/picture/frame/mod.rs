//! The sheet around a drawing: ground, title, moment, caption, legend, code and the sentence at the foot.
//!
//! Pixels of the picture. Every text has more room than it needs, so that another font than ours neither cuts nor covers
//! anything. Whoever draws asks [`Frame::room`] first, and hands over what came of it.

mod foot;
mod panel;

use super::legend::Sign;
use super::markup::{Ink, allowed, classes, escaped};
use super::pen::{Area, rect, round, text};
use super::qr::Qr;
use super::settings::{Drawn, LeftOut, Picture, Size, What};
use super::style::{Look, sheet};
use super::words::lines;
use crate::plan::Plan;
use crate::sheet::day_picture::ACROSS;
use crate::sheet::figure::Px;

/// Who asks for no motion sees the beginning: what moves is not shown, and what is shown and hidden stays as it was.
const RULES_OF_MOTION: &str = "@media (prefers-reduced-motion:reduce){.moves{display:none}.still{display:inline}\
.first{visibility:visible!important}.later{visibility:hidden!important}}\n";

/// The most lines of a title and of a caption.
const TITLE_LINES: usize = 2;
const CAPTION_LINES: usize = 14;

/// The sizes of texts and spaces at a unit of 1.
const TITLE: f64 = 30.0;
const TEXT: f64 = 16.0;
const SMALL: f64 = 13.0;
const MARGIN: f64 = 48.0;
const CLOCK: f64 = 140.0;
const GAP: f64 = 24.0;
const LINE: f64 = 24.0;

/// A drawing that is to be framed.
#[derive(Clone, Debug)]
pub(super) struct Drawing {
    /// Its markup, in pixels of its own.
    pub markup: String,
    /// What of it is to be seen.
    pub area: Area,
    /// How many pixels of the picture one of its own is.
    pub scale: f64,
    /// How many times as wide as high it is drawn: 1 where nothing in it has a shape that one knows.
    pub stretch: f64,
    /// How much larger words and lines of cards and wires are than at life size.
    pub far: f64,
    /// On what it stands.
    pub ground: Ground,
    /// What is said beside the title: the moment.
    pub line: String,
    /// What is said to who can't see it.
    pub describes: String,
    /// What is explained.
    pub signs: Vec<Sign>,
    /// What stands at the right end of the title's line, and its width at a unit of 1.
    pub corner: Option<(String, f64)>,
}

/// On what a drawing stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Ground {
    /// Squared paper, as the board has it; nothing where the picture has no ground.
    Squared,
    /// Plain paper; a plaque of it where the picture has no ground.
    Plain,
}

/// The sheet.
#[derive(Clone, Debug)]
pub(super) struct Frame<'a> {
    picture: &'a Picture,
    plan: &'a Plan,
    title: Vec<String>,
    caption: Vec<String>,
    code: Option<(Qr, f64)>,
    /// The whole width; and the whole height, where that is fixed.
    wide: f64,
    high: Option<f64>,
    /// How large texts are.
    unit: f64,
    margin: f64,
    /// What stands between title and drawing, and its height, in units of which the picture is [`ACROSS`] wide.
    band: Option<(String, f64)>,
    /// What was asked for and is not in it.
    pub left_out: Vec<LeftOut>,
}

impl<'a> Frame<'a> {
    /// The sheet for a picture of a plan.
    pub fn new(picture: &'a Picture, plan: &'a Plan) -> Frame<'a> {
        let (wide, high, unit) = match picture.size {
            Size::Thumbnail => (640.0, Some(360.0), 0.75),
            Size::Page => (1600.0, None, 1.0),
            Size::Poster => (4000.0, None, 2.0),
        };
        let is_small = picture.size == Size::Thumbnail;
        let mut frame = Frame {
            picture,
            plan,
            title: Vec::new(),
            caption: Vec::new(),
            code: None,
            wide,
            high,
            unit,
            margin: if is_small { 12.0 } else { MARGIN * unit },
            band: None,
            left_out: Vec::new(),
        };
        frame.put_code();
        frame.put_words();
        frame
    }

    fn is_small(&self) -> bool {
        self.picture.size == Size::Thumbnail
    }

    /// The link as a code, where there is a page's address and room.
    fn put_code(&mut self) {
        let Some(base) = self.picture.base.as_deref().filter(|base| !base.is_empty()) else {
            return self.left_out.push(LeftOut::NoBase);
        };
        let link = super::qr::link_of(self.plan, base);
        let Some(code) = Qr::of(&link) else {
            return self
                .left_out
                .push(LeftOut::LinkTooLong { bytes: link.len() });
        };
        let squares = code.squares() as f64;
        // A square has whole pixels, and enough of them for a reader.
        let square = match self.picture.size {
            Size::Thumbnail => (240.0 / squares).floor().min(4.0),
            _ => (220.0 * self.unit / squares).floor().max(3.0 * self.unit),
        };
        match square < 2.0 {
            true => self.left_out.push(LeftOut::LinkTooSmall),
            false => self.code = Some((code, square)),
        }
    }

    fn put_words(&mut self) {
        let title = self.picture.title.as_ref().unwrap_or(&self.plan.title);
        let most = if self.is_small() { 1 } else { TITLE_LINES };
        // Beside the title of a moving picture stands its clock.
        let beside = match self.picture.what {
            What::Motion { .. } => CLOCK * self.unit,
            _ => 0.0,
        };
        let room = (self.inner() - beside) / (TITLE * self.unit * 1.08);
        let (title, is_cut) = lines(title, room, most);
        if is_cut {
            self.left_out.push(LeftOut::EndOfTitle);
        }
        self.title = title;
        if self.is_small() {
            return;
        }
        let caption = self.picture.caption.as_ref().unwrap_or(&self.plan.notes);
        let (caption, is_cut) = lines(caption, self.left() / (TEXT * self.unit), CAPTION_LINES);
        if is_cut {
            self.left_out.push(LeftOut::EndOfCaption);
        }
        self.caption = caption;
    }

    /// How large its words are, against a page's.
    pub fn unit(&self) -> f64 {
        self.unit
    }

    /// Puts something between title and drawing.
    pub fn put_band(&mut self, band: Option<(String, f64)>) {
        self.band = band;
    }

    /// How high that is, with what is free below it.
    fn band_high(&self) -> f64 {
        let high = |(_, high): &(String, f64)| high * self.inner() / ACROSS + GAP / 2.0 * self.unit;
        self.band.as_ref().map_or(0.0, high)
    }

    /// The width between the margins.
    fn inner(&self) -> f64 {
        self.wide - 2.0 * self.margin
    }

    /// The code's side with what is free beside it.
    fn beside(&self) -> f64 {
        let gap = if self.is_small() {
            8.0
        } else {
            2.0 * GAP * self.unit
        };
        let side = |(code, square): &(Qr, f64)| code.squares() as f64 * square + gap;
        self.code.as_ref().map_or(0.0, side)
    }

    /// The width of caption and legend, beside the code.
    fn left(&self) -> f64 {
        self.inner() - self.beside()
    }

    /// Where the drawing begins.
    fn top(&self) -> f64 {
        self.below_title() + self.band_high()
    }

    fn below_title(&self) -> f64 {
        let title = self.title.len() as f64 * TITLE * 1.25;
        let line = if self.is_small() {
            0.0
        } else {
            LINE + GAP / 2.0
        };
        match self.is_small() {
            true => self.margin / 2.0 + title * self.unit + 6.0,
            false => self.margin + (title + line) * self.unit,
        }
    }

    /// The room for the drawing: its width, and the most of its height.
    pub fn room(&self) -> (f64, f64) {
        match self.high {
            Some(high) => (self.left(), high - self.top() - 26.0),
            None => (self.inner(), self.inner() * 1.5),
        }
    }

    /// The largest scale at which all of an area has room, but no more than `most` for each unit.
    pub fn scale(&self, (_, _, wide, high): Area, most: f64) -> f64 {
        let room = self.room();
        let fits = (room.0 / wide.max(1.0)).min(room.1 / high.max(1.0));
        fits.min(most * self.unit)
    }

    /// The picture with this drawing in it.
    pub fn around(mut self, drawing: &Drawing) -> Drawn {
        let (room_wide, room_high) = self.room();
        let tall = match self.high {
            Some(_) => room_high,
            None => (drawing.area.3 * drawing.scale).ceil(),
        };
        let panel = (self.margin, self.top().round(), room_wide, tall);
        let mut ink = Ink::default();
        self.head(&mut ink, drawing);
        self.draw_band(&mut ink);
        panel::place(&mut ink, drawing, panel, self.picture.theme.is_clear());
        let high = self.foot(&mut ink, drawing, panel.1 + panel.3);
        let high = self.high.unwrap_or(high).ceil();
        self.left_out.sort();
        self.left_out.dedup();
        let svg = self.document(&ink.finish(), drawing, high);
        Drawn {
            svg,
            wide: self.wide as u32,
            high: high as u32,
            left_out: self.left_out,
        }
    }

    /// What stands between title and drawing.
    fn draw_band(&self, ink: &mut Ink) {
        let Some((band, high)) = &self.band else {
            return;
        };
        let (top, scale) = (self.below_title(), self.inner() / ACROSS);
        if self.picture.theme.is_clear() {
            let plaque = (self.margin - 12.0, top, self.inner() + 24.0, high * scale);
            rect(ink, "pic-plaque", plaque, 3.0);
        }
        let at = format!(
            "translate({} {}) scale({})",
            Px(self.margin),
            Px(round(top)),
            Px(scale)
        );
        ink.group(&[("transform", &at)], |ink| ink.raw(band));
    }

    /// Title and moment.
    fn head(&self, ink: &mut Ink, drawing: &Drawing) {
        let (x, unit) = (self.margin, self.unit);
        let mut y = match self.is_small() {
            true => self.margin / 2.0,
            false => self.margin,
        };
        for line in &self.title {
            y += TITLE * 1.25 * unit;
            text(ink, "pic-title", (x, y - TITLE * 0.25 * unit), line);
        }
        if !self.is_small() {
            y += LINE * unit;
            text(ink, "pic-line", (x, y - 4.0 * unit), &drawing.line);
        }
        if let Some((corner, wide)) = &drawing.corner {
            let scale = if self.is_small() { 0.6 } else { unit };
            let (x, y) = (self.wide - self.margin - wide * scale, y - 34.0 * scale);
            let at = format!("translate({} {}) scale({})", Px(x), Px(y), Px(scale));
            ink.group(&[("transform", &at)], |ink| ink.raw(corner));
        }
    }

    /// The whole document.
    fn document(&self, content: &str, drawing: &Drawing, high: f64) -> String {
        let theme = self.picture.theme;
        let mut body = Ink::default();
        if !theme.is_clear() {
            rect(&mut body, "pic-ground", (0.0, 0.0, self.wide, high), 0.0);
        }
        body.raw(content);
        let body = body.finish();
        let root = format!("picture {}", theme.class());
        let mut all = classes(&body);
        all.extend(root.split(' '));
        let moves = all.contains("moves");
        let look = Look {
            theme,
            far: drawing.far,
            unit: self.unit,
        };
        let title = self.title_said();
        let mut says = vec![drawing.describes.clone()];
        let missed = self.left_out.iter().filter(|l| **l != LeftOut::NoBase);
        says.extend(missed.map(LeftOut::says));
        let wide = Px(self.wide);
        let high = Px(high);
        let document = format!(
            "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{wide}\" height=\"{high}\" viewBox=\"0 0 {wide} {high}\" \
             role=\"img\" class=\"{root}\">\n<title>{}</title>\n<desc>{}</desc>\n<style>\n{}</style>\n{body}\n</svg>\n",
            escaped(&title),
            escaped(&says.join(" ")),
            sheet(look, &all) + if moves { RULES_OF_MOTION } else { "" },
        );
        allowed(&document)
    }

    fn title_said(&self) -> String {
        let title = self
            .picture
            .title
            .as_ref()
            .filter(|title| !title.is_empty());
        match title.unwrap_or(&self.plan.title).as_str() {
            "" => "A plan without a title".into(),
            title => title.into(),
        }
    }
}
