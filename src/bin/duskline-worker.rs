//! The second program: in a browser's worker it answers what takes long, beside the page. Elsewhere it says so.

#[cfg(target_arch = "wasm32")]
fn main() {
    duskline::worker::serve();
}

#[cfg(not(target_arch = "wasm32"))]
fn main() -> std::process::ExitCode {
    eprintln!("duskline-worker works beside the page, in a browser. In a terminal use `duskline`.");
    std::process::ExitCode::from(2)
}
