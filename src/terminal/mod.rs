//! The command line.
/// Runs the program on this process's arguments.
pub fn main() -> std::process::ExitCode {
    std::process::ExitCode::SUCCESS
}
