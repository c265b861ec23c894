//! The program's two faces: in a browser it mounts the page, in a terminal it is the command line.

#[cfg(target_arch = "wasm32")]
fn main() {
    duskline::page::start();
}

#[cfg(not(target_arch = "wasm32"))]
fn main() -> std::process::ExitCode {
    duskline::terminal::main()
}
