//! The program's two faces: in a browser it mounts the page, in a terminal it is the command line.

#[cfg(target_arch = "wasm32")]
fn main() {
    duskline::page::start(|| Box::pin(async { second_part().await.ok() }));
}

/// Where the page's program is split in two: what is reached from here alone is in the second file, which the first call
/// fetches. It stands here and not in the library, which the worker's program is made of too.
#[cfg(target_arch = "wasm32")]
#[wasm_split_helpers::wasm_split(later, fallible)]
fn second_part() -> Result<duskline::page::later::Part, wasm_split_helpers::SplitLoaderError> {
    Ok(duskline::page::later::Part::whole())
}

#[cfg(not(target_arch = "wasm32"))]
fn main() -> std::process::ExitCode {
    duskline::terminal::main()
}
