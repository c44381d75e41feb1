//! How long the command takes, from start to end. Prints; asserts only that it gives the answers that it should.

use std::{
    fs,
    path::Path,
    process::{Command, Stdio},
    time::{Duration, Instant},
};

/// How often the example is checked; the middle one counts.
const ROUNDS: usize = 31;
/// Routes in a folder.
const ROUTES: usize = 2_000;
/// What a check of the example should take at most.
const HOPED_FOR: Duration = Duration::from_millis(50);

fn main() {
    let mut times: Vec<Duration> =
        (0..ROUNDS).map(|_| run(&["check", "route.toml", "--limits", "limits.toml"])).collect();
    times.sort_unstable();
    let middle = times[times.len() / 2];
    println!(
        "Start and check of the example: {}, the middle of {ROUNDS} runs; {} are hoped for.",
        ms(middle),
        ms(HOPED_FOR)
    );
    let folder = tempfile::tempdir().expect("a folder");
    let route = example().join("route.toml");
    (0..ROUTES).for_each(|number| {
        fs::copy(&route, folder.path().join(format!("{number}.toml"))).expect("a copy");
    });
    let folder = folder.path().to_str().expect("UTF-8");
    for jobs in ["1", "2", "4"] {
        let time = run(&["batch", folder, "--limits", "limits.toml", "--jobs", jobs]);
        #[expect(clippy::cast_precision_loss, reason = "some thousand")]
        let rate = ROUTES as f64 / time.as_secs_f64();
        println!("batch of {ROUTES} such routes with {jobs} jobs: {} in all, {rate:.0} routes a second.", ms(time));
    }
}

fn ms(time: Duration) -> String {
    format!("{:.1} ms", time.as_secs_f64() * 1e3)
}

fn example() -> std::path::PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("example")
}

/// Runs the command beside the example, which is Go: how long it takes.
fn run(arguments: &[&str]) -> Duration {
    let mut command = Command::new(env!("CARGO_BIN_EXE_pinfold"));
    command.args(arguments).current_dir(example()).stdout(Stdio::null()).stderr(Stdio::null());
    let start = Instant::now();
    let status = command.status().expect("the command starts");
    let time = start.elapsed();
    assert!(status.success(), "{arguments:?}: {status}");
    time
}
