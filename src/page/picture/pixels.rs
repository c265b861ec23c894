//! A picture as pixels: an SVG document painted on a canvas by the browser, and what the canvas holds as PNG.

use js_sys::Promise;
use leptos::prelude::*;
use wasm_bindgen::prelude::*;
use wasm_bindgen_futures::JsFuture;
use web_sys::{
    Blob, BlobPropertyBag, CanvasRenderingContext2d, HtmlCanvasElement, HtmlImageElement, Url,
};

/// An address of an SVG document for as long as it is not revoked.
pub fn address(svg: &str) -> Option<String> {
    let parts = js_sys::Array::of1(&JsValue::from_str(svg));
    let options = BlobPropertyBag::new();
    options.set_type("image/svg+xml");
    let blob = Blob::new_with_str_sequence_and_options(&parts, &options).ok()?;
    Url::create_object_url_with_blob(&blob).ok()
}

/// A bare canvas, in pixels.
///
/// # Errors
/// What the browser says.
pub fn canvas((wide, high): (u32, u32)) -> Result<HtmlCanvasElement, JsValue> {
    let canvas: HtmlCanvasElement = document().create_element("canvas")?.dyn_into()?;
    canvas.set_width(wide);
    canvas.set_height(high);
    Ok(canvas)
}

/// Paints an SVG document over the whole canvas, in place of what was there.
///
/// # Errors
/// What the browser says, where it can't read or paint it.
pub async fn paint(canvas: &HtmlCanvasElement, svg: &str) -> Result<(), JsValue> {
    let address = address(svg).ok_or(JsValue::NULL)?;
    let painted = paint_from(canvas, &address).await;
    Url::revoke_object_url(&address)?;
    painted
}

async fn paint_from(canvas: &HtmlCanvasElement, address: &str) -> Result<(), JsValue> {
    let image = HtmlImageElement::new()?;
    image.set_src(address);
    JsFuture::from(image.decode()).await?;
    let context = canvas.get_context("2d")?.ok_or(JsValue::NULL)?;
    let context: CanvasRenderingContext2d = context.dyn_into()?;
    let (wide, high) = (f64::from(canvas.width()), f64::from(canvas.height()));
    context.clear_rect(0.0, 0.0, wide, high);
    context.draw_image_with_html_image_element_and_dw_and_dh(&image, 0.0, 0.0, wide, high)
}

/// What a canvas holds as PNG.
///
/// # Errors
/// What the browser says, and nothing where it is too large for it.
pub async fn as_png(canvas: &HtmlCanvasElement) -> Result<Blob, JsValue> {
    let made = Promise::new(&mut |resolve, reject| {
        if let Err(why) = canvas.to_blob(&resolve) {
            // It is told by the promise.
            let _ = reject.call1(&JsValue::NULL, &why);
        }
    });
    JsFuture::from(made).await?.dyn_into()
}
