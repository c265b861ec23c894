//! Pictures drawn by resvg with the page's font, pixels of what it drew, and codes read off it by rqrr.

use super::document::{number, place};
use resvg::tiny_skia::{Pixmap, Transform};
use resvg::usvg::roxmltree::Node;
use resvg::usvg::{Options, Tree, fontdb};
use std::sync::{Arc, LazyLock};

/// The page's font, unpacked.
static FONTS: LazyLock<Arc<fontdb::Database>> = LazyLock::new(|| {
    let packed = include_bytes!("../../assets/fonts/public-sans-latin.woff2");
    let mut fonts = fontdb::Database::new();
    fonts.load_font_data(wuff::decompress_woff2(packed).expect("a font"));
    // By the name of its thinnest weight, since all weights are in one file.
    let family = fonts.faces().next().map(|face| face.families[0].0.clone());
    fonts.set_sans_serif_family(family.expect("a face"));
    Arc::new(fonts)
});

/// resvg with that font and no other.
pub fn options() -> Options<'static> {
    Options {
        fontdb: FONTS.clone(),
        ..Options::default()
    }
}

/// A part of a picture, from a place on, so many times as large.
fn drawn(svg: &str, (x, y): (f64, f64), (wide, high): (f64, f64), scale: f64) -> Pixmap {
    let tree = Tree::from_str(svg, &options()).expect("an SVG");
    let pixels = |long: f64| (long * scale).ceil().max(1.0) as u32;
    let mut image = Pixmap::new(pixels(wide), pixels(high)).expect("an image");
    let moved =
        Transform::from_translate(-x as f32, -y as f32).post_scale(scale as f32, scale as f32);
    resvg::render(&tree, moved, &mut image.as_mut());
    image
}

/// A whole picture, so many times as large.
pub fn whole(svg: &str, scale: f64) -> Pixmap {
    let tree = Tree::from_str(svg, &options()).expect("an SVG");
    let size = (
        f64::from(tree.size().width()),
        f64::from(tree.size().height()),
    );
    drawn(svg, (0.0, 0.0), size, scale)
}

/// The rectangle of a picture in which this one lies, as large as it is.
pub fn crop(svg: &str, rect: Node) -> Pixmap {
    let size = (number(rect, "width"), number(rect, "height"));
    drawn(svg, place(rect, (0.0, 0.0)), size, 1.0)
}

/// The texts of all codes in an image.
pub fn codes(image: &Pixmap) -> Vec<String> {
    let (wide, high) = (image.width() as usize, image.height() as usize);
    let grey = |x: usize, y: usize| image.pixels()[y * wide + x].green();
    let mut image = rqrr::PreparedImage::prepare_from_greyscale(wide, high, grey);
    let grids = image.detect_grids();
    grids
        .iter()
        .map(|grid| grid.decode().expect("a code that can be read").1)
        .collect()
}

/// Red, green, blue and opacity of a pixel.
pub fn pixel(image: &Pixmap, (x, y): (f64, f64)) -> [u8; 4] {
    let pixel = image
        .pixel(x as u32, y as u32)
        .expect("a pixel of the image");
    [pixel.red(), pixel.green(), pixel.blue(), pixel.alpha()]
}

/// A colour such as `#f4efe2`, opaque.
pub fn rgb(colour: &str) -> [u8; 4] {
    let two = |at: usize| u8::from_str_radix(&colour[at..at + 2], 16).expect("a colour");
    [two(1), two(3), two(5), 255]
}
