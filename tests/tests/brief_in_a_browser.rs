//! The brief as a person meets it: in a browser, on a phone, on a desk, in the dark and on paper.
//!
//! These tests need the command as released and Debian's chromium; `tests/run` sees to both. Every page is invented here.

use std::{
    env,
    fmt::Write as _,
    fs,
    path::{Path, PathBuf},
    process::Command,
    sync::atomic::{AtomicUsize, Ordering},
};

/// Looks at a page from within, in a copy of it: the page itself has no script.
const MEASURE: &str = include_str!("brief_in_a_browser/measure.js");

/// A folder that is gone when the test is over.
struct Folder(PathBuf);

impl Folder {
    fn new() -> Self {
        static COUNT: AtomicUsize = AtomicUsize::new(0);
        let count = COUNT.fetch_add(1, Ordering::Relaxed);
        let path = env::temp_dir().join(format!("pinfold-brief-{}-{count}", std::process::id()));
        fs::create_dir_all(&path).expect("a folder");
        Self(path)
    }

    fn at(&self, name: &str) -> PathBuf {
        self.0.join(name)
    }

    fn with(self, name: &str, text: &str) -> Self {
        fs::write(self.at(name), text).expect("written");
        self
    }
}

impl Drop for Folder {
    fn drop(&mut self) {
        // What is left of it is in the way of nobody.
        let _ = fs::remove_dir_all(&self.0);
    }
}

fn example(name: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../host-cli/example").join(name)
}

fn example_text(name: &str) -> String {
    fs::read_to_string(example(name)).expect("a text")
}

/// The example's limits and site with another route.
fn with_route(route: &str) -> Folder {
    ["limits.toml", "site.geojson", "ground.asc"]
        .into_iter()
        .fold(Folder::new(), |folder, name| folder.with(name, &example_text(name)))
        .with("route.toml", route)
}

const LAUNCH: &str = "[launch]\nlat = 46.2\nlon = -17.4\nelevation_m = 24.0\n\n[defaults]\nheights = \"above-launch\"\nspeed_m_s = 4.0\n";
const CLIMB: &str = "\n[[step]]\ndo = \"climb\"\nheight_m = 20.0\n";
const RETURN: &str = "\n[[step]]\ndo = \"return\"\n";

fn fly(text: &mut String, latitude: f64, longitude: f64, height: f64) {
    let _ =
        writeln!(text, "\n[[step]]\ndo = \"fly\"\nlat = {latitude:.7}\nlon = {longitude:.7}\nheight_m = {height:.1}");
}

/// To and fro over the meadow, in 300 steps.
fn long_route() -> Folder {
    let mut route = format!("name = \"three hundred steps of mowing\"\n\n{LAUNCH}{CLIMB}");
    for index in 0..298_u32 {
        let east = if index / 2 % 2 == 0 { -17.3999 } else { -17.3987 };
        let east = if index % 2 == 0 { east } else { -17.3999 - 17.3987 - east };
        fly(&mut route, 46.2000 + f64::from(index) * 3e-6, east, 20.0 + f64::from(index % 7));
    }
    with_route(&(route + RETURN))
}

/// A site of 5 km with as many zones as there may be, all with long names, and a route across it.
fn wide_site() -> Folder {
    let corner = |east: f64, north: f64| format!("[{:.6}, {:.6}]", -17.4 + east, 46.2 + north);
    let square = |east: f64, north: f64, half: f64| {
        [(-1.0, -1.0), (1.0, -1.0), (1.0, 1.0), (-1.0, 1.0), (-1.0, -1.0)]
            .map(|(right, up)| corner(east + right * half * 1.4, north + up * half))
            .join(",")
    };
    let zone = |properties: &str, ring: &str| {
        format!(
            "{{\"type\":\"Feature\",\"properties\":{{{properties}}},\"geometry\":{{\"type\":\"Polygon\",\"coordinates\":[[{ring}]]}}}}"
        )
    };
    let mut zones =
        vec![zone("\"zone\":\"keep-in\",\"name\":\"the great northern marsh\"", &square(0.02, 0.015, 0.025))];
    for index in 0..15_u32 {
        let (east, north) = (f64::from(index % 5) * 0.009, f64::from(index / 5) * 0.009 + 0.004);
        let kind = ["\"keep-out\"", "\"keep-out\",\"ceiling_m\":15.0,\"heights\":\"above-launch\"", "\"people\""]
            [index as usize % 3];
        let name = format!("\"zone\":{kind},\"name\":\"reservoir {index} of the marsh board\"");
        zones.push(zone(&name, &square(east, north, 0.0006)));
    }
    let site = format!("{{\"type\":\"FeatureCollection\",\"features\":[{}]}}", zones.join(",\n"));
    let mut route = format!("name = \"across the great northern marsh\"\n\n{LAUNCH}{CLIMB}");
    for (north, east) in [(0.007, 0.004), (0.018, 0.02), (0.03, 0.045), (0.012, 0.031), (0.001, 0.01)] {
        fly(&mut route, 46.2 + north, -17.4 + east, 30.0);
    }
    let ground = ["ceiling_above_ground_m = 70.0\n", "ground_clearance_m = 5.0\n", "ground = \"ground.asc\"\n"];
    let limits = ground.iter().fold(example_text("limits.toml"), |text, line| text.replace(line, ""));
    with_route(&(route + RETURN)).with("site.geojson", &site).with("limits.toml", &limits)
}

/// The pages that are looked at, with the exit code that the command must have.
fn inputs() -> [(&'static str, Folder, i32); 4] {
    [
        ("the example", with_route(&example_text("route.toml")), 0),
        ("a wide site", wide_site(), 1),
        ("300 steps", long_route(), 1),
        ("a No-go", with_route(&example_text("no-go/no-way-home.toml")), 1),
    ]
}

/// Writes a folder's brief and gives its text.
fn brief(folder: &Folder, code: i32) -> String {
    let command = env::var_os("PINFOLD_BIN").expect("PINFOLD_BIN must name the command; tests/run builds it");
    let run = Command::new(command)
        .args(["brief", "route.toml", "--limits", "limits.toml", "-o", "brief.html"])
        .current_dir(&folder.0)
        .output()
        .expect("the command runs");
    assert_eq!(run.status.code(), Some(code), "{}", String::from_utf8_lossy(&run.stderr));
    fs::read_to_string(folder.at("brief.html")).expect("a page")
}

/// What the browser prints for a page.
fn browser(folder: &Folder, page: &str, more: &[&str]) -> String {
    let profile = Folder::new();
    let run = Command::new("timeout")
        .args(["120", "chromium", "--headless", "--no-sandbox", "--disable-gpu", "--no-first-run"])
        .args(["--disable-background-networking", "--disable-component-update", "--disable-sync", "--hide-scrollbars"])
        .arg(format!("--user-data-dir={}", profile.0.display()))
        .args(more)
        .arg(format!("file://{}", folder.at(page).display()))
        .output()
        .expect("a browser: tests/run installs Debian's chromium");
    assert!(run.status.success(), "{}", String::from_utf8_lossy(&run.stderr));
    String::from_utf8(run.stdout).expect("UTF-8")
}

/// What is wrong with a page on a screen of this width; what was looked at must be there.
fn measured(folder: &Folder, page: &str, width: u32, scheme: &str) -> Vec<String> {
    let looked_at = page.replace("</body>", &format!("<script>{MEASURE}</script></body>"));
    fs::write(folder.at("measured.html"), looked_at).expect("written");
    // A window has a least width, a frame in it has none.
    let around = format!(
        "<!DOCTYPE html><iframe src=\"measured.html\" style=\"width:{width}px;height:1400px;border:0\"></iframe><pre id=\"measured\"></pre>
        <script>onmessage = event => document.getElementById('measured').textContent = event.data</script>"
    );
    fs::write(folder.at("around.html"), around).expect("written");
    let dom = browser(
        folder,
        "around.html",
        &["--dump-dom", "--virtual-time-budget=10000", "--window-size=1000,1500", scheme],
    );
    let (_, rest) = dom.split_once("<pre id=\"measured\">").expect("the script ran");
    let mut lines = rest.split("</pre>").next().unwrap_or_default().lines();
    let counts: Vec<u32> = lines.next().unwrap_or_default().split(' ').filter_map(|count| count.parse().ok()).collect();
    assert!(
        matches!(counts[..], [shown, elements, words] if shown == width && elements > 100 && words > 30),
        "{counts:?}"
    );
    lines.map(str::to_owned).collect()
}

const LIGHT: &str = "--blink-settings=preferredColorScheme=1";
const DARK: &str = "--blink-settings=preferredColorScheme=0";

#[test]
#[ignore = "needs the released command and a browser: tests/run runs it"]
fn nothing_overflows_overlaps_or_is_too_faint() {
    for (name, folder, code) in inputs() {
        let page = brief(&folder, code);
        for (width, scheme) in [(360, LIGHT), (794, LIGHT), (800, LIGHT), (800, DARK)] {
            let problems = measured(&folder, &page, width, scheme);
            assert!(problems.is_empty(), "{name}, {width} px, {scheme}:\n{}", problems.join("\n"));
        }
    }
}

#[test]
#[ignore = "needs the released command and a browser: tests/run runs it"]
fn what_looks_for_faults_finds_them() {
    let folder = with_route(&example_text("route.toml"));
    let page = brief(&folder, 0);
    let faults = [
        ("<header>", "<header><p style=\"width:2000px\">wide</p>", "overflows"),
        ("<header>", "<header><p style=\"color:#999999\">faint</p>", "faint"),
        ("</desc>", "</desc><text x=\"100\" y=\"100\">one</text><text x=\"104\" y=\"103\">two</text>", "overlap"),
        ("</desc>", "</desc><text x=\"5000\" y=\"100\">one</text>", "outside"),
    ];
    for (place, with, found) in faults {
        let problems = measured(&folder, &page.replacen(place, with, 1), 800, LIGHT);
        assert!(problems.iter().any(|problem| problem.contains(found)), "{found}: {problems:?}");
    }
    let dark =
        measured(&folder, &page.replacen("<header>", "<header><p style=\"color:#444444\">faint</p>", 1), 800, DARK);
    assert!(dark.iter().any(|problem| problem.contains("faint")), "the page wasn't dark: {dark:?}");
}

#[test]
#[ignore = "needs the released command and a browser: tests/run runs it"]
fn it_prints_and_is_seen() {
    for (name, folder, code) in inputs() {
        brief(&folder, code);
        let [pdf, png] = ["brief.pdf", "brief.png"].map(|file| folder.at(file));
        browser(&folder, "brief.html", &[&format!("--print-to-pdf={}", pdf.display()), "--no-pdf-header-footer"]);
        browser(&folder, "brief.html", &[&format!("--screenshot={}", png.display()), "--window-size=800,1200"]);
        let [pdf, png] = [pdf, png].map(|file| fs::read(file).expect("what the browser wrote"));
        assert!(pdf.starts_with(b"%PDF") && pdf.len() > 10_000, "{name}: {} bytes", pdf.len());
        assert!(png.starts_with(b"\x89PNG") && png.len() > 10_000, "{name}: {} bytes", png.len());
    }
}
