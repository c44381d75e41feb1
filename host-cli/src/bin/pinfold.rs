//! The command. What it does is in the library beside it, so that its readers can be fuzzed.

use std::process::ExitCode;

fn main() -> ExitCode {
    pinfold::run()
}
