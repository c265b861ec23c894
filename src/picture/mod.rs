//! Pictures of a plan that run anywhere: board, day, site, the explanation, and the board over a day in motion, each as one
//! SVG document.
//!
//! [`draw`] takes a plan and a [`Picture`], which says what it is to be, and gives a [`Drawn`]. A document holds its own
//! style sheet with literal colours, no script, no font, no id and no address, and every text of the plan in it is escaped;
//! the same plan gives the same bytes in a browser and in a terminal. What is drawn comes from [`crate::editor::scene`] and
//! [`crate::sheet`], so that a picture is never otherwise than the page. What was asked for and has no room is named in
//! [`Drawn::left_out`]. Sizes are pixels of the picture. It makes no PNG and no film, and proves nothing.

mod board;
mod css;
mod day;
mod explained;
mod frame;
mod legend;
mod markup;
mod motion;
mod pen;
mod qr;
mod settings;
mod site;
mod style;
mod value;
mod words;

pub use settings::{Drawn, LeftOut, Picture, PictureError, Size, Theme, What};

use crate::plan::Plan;
use frame::Frame;

/// Draws a plan.
pub fn draw(plan: &Plan, picture: &Picture) -> Result<Drawn, PictureError> {
    let mut frame = Frame::new(picture, plan);
    let drawing = match picture.what {
        What::Board => board::draw(plan, picture, &mut frame)?,
        What::Day => day::draw(plan, picture, &mut frame)?,
        What::Explanation => explained::draw(plan, picture, &mut frame)?,
        What::Site(storey) => site::draw(plan, picture, storey, &mut frame)?,
        What::Motion { seconds } => motion::draw(plan, picture, seconds, &mut frame)?,
    };
    Ok(frame.around(&drawing))
}

/// The link that a picture with this address holds as a code.
pub fn link(plan: &Plan, base: &str) -> String {
    qr::link_of(plan, base)
}

/// A link as a QR code: an SVG of its own, dark on light. None where the link is longer than a code holds.
pub fn code(link: &str) -> Option<String> {
    let code = qr::Qr::of(link)?;
    let mut ink = markup::Ink::default();
    code.draw(&mut ink, (0.0, 0.0), 4.0);
    let side = 4 * code.squares();
    Some(format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" class=\"code\" viewBox=\"0 0 {side} {side}\">{}</svg>",
        ink.finish()
    ))
}

/// What a colour of the page's tokens, such as `--paper`, is in a theme.
pub fn colour(theme: Theme, name: &str) -> Option<String> {
    style::colour(theme, name)
}
