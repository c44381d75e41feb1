//! The brief: all that it must say, nothing from outside, and no file of a person's lost.

use std::{fs, path::Path};

use crate::support::{Copy, Run, example};

fn brief(copy: &Copy, more: &[&str]) -> Run {
    copy.run(&[&["brief", "route.toml", "--limits", "limits.toml"], more].concat())
}

/// The page of a copy, which must be written with this exit code.
fn page(copy: &Copy, code: i32) -> String {
    let run = brief(copy, &["-o", "brief.html"]);
    assert_eq!(run.code, code, "{}{}", run.out, run.err);
    text(copy, "brief.html")
}

fn text(copy: &Copy, file: &str) -> String {
    fs::read_to_string(copy.path().join(file)).expect("a text")
}

/// A page as it is read: without marks, and with what they hid.
fn read(page: &str) -> String {
    let body = page.split_once("<body>").expect("a body").1;
    let words: String = body.split('<').map(|part| part.split_once('>').map_or("", |(_, words)| words)).collect();
    [("&lt;", "<"), ("&gt;", ">"), ("&quot;", "\""), ("&amp;", "&")]
        .iter()
        .fold(words, |words, (mark, sign)| words.replace(mark, sign))
}

/// A copy whose route is one of those that are refused.
fn refused(name: &str) -> Copy {
    let route = fs::read(example().join("no-go").join(name)).expect("a route");
    Copy::new().with("route.toml", route)
}

/// All drawings of a page.
fn drawings(page: &str) -> Vec<&str> {
    let parts = page.split("<svg ").skip(1);
    parts.map(|part| part.split_once("</svg>").expect("an end").0).collect()
}

/// Demands that a page has all that the check says, and nothing from outside.
fn says_what_the_check_says(copy: &Copy, code: i32) {
    let page = page(copy, code);
    let (checked, json) = copy.check_json();
    assert_eq!(checked, code);
    let words = read(&page);
    let findings = json["findings"].as_array().expect("a list");
    let sentences = findings.iter().map(|finding| finding["say"].as_str().expect("a text"));
    let fingerprints = ["fingerprint", "limits_fingerprint"].map(|key| json[key].as_str().expect("a text"));
    for said in sentences.chain(fingerprints) {
        assert!(words.contains(said), "no «{said}» in {words}");
    }
    let (answer, other) = if code == 0 { ("GO", "NO-GO") } else { ("NO-GO", "No such text") };
    assert!(page.contains(&format!(">{answer}</span>")) && !page.contains(&format!(">{other}</span>")));
    for foreign in ["http", "src=", "<script", "@import", "<link", "<img", "<iframe"] {
        assert!(!page.contains(foreign), "{foreign}");
    }
    assert_eq!(page.matches("url(").count(), page.matches("url(#").count());
    for (index, _) in page.match_indices("url(#") {
        let (name, _) = page[index + 5..].split_once(')').expect("an end");
        assert_eq!(page.matches(&format!("id=\"{name}\"")).count(), 1, "one {name}");
    }
}

#[test]
fn a_go_and_every_no_go_have_all_sentences_and_nothing_from_outside() {
    says_what_the_check_says(&Copy::new(), 0);
    let mut names: Vec<String> = fs::read_dir(example().join("no-go"))
        .expect("a folder")
        .map(|entry| entry.expect("an entry").file_name().into_string().expect("a name"))
        .filter(|name| Path::new(name).extension().is_some_and(|extension| extension == "toml"))
        .collect();
    names.sort();
    assert!(names.len() > 5, "{names:?}");
    names.iter().for_each(|name| says_what_the_check_says(&refused(name), 1));
}

#[test]
fn every_step_every_figure_and_what_was_not_looked_at_is_on_the_page() {
    let copy = Copy::new();
    let words = read(&page(&copy, 0));
    let route = text(&copy, "route.toml");
    let of =
        |key: &str| route.lines().filter_map(|line| line.strip_prefix(key)?.parse::<f64>().ok()).collect::<Vec<_>>();
    let places: Vec<(f64, f64)> = of("lat = ").into_iter().zip(of("lon = ")).collect();
    assert_eq!(places.len(), 9, "launch and eight places");
    for (latitude, longitude) in places {
        assert!(words.contains(&format!("{latitude:.7}, {longitude:.7}")), "{latitude} {longitude}");
    }
    let limits = text(&copy, "limits.toml");
    let figures = limits.lines().filter(|line| !line.starts_with('#')).filter_map(|line| line.split_once(" = "));
    let figures: Vec<&str> =
        figures.map(|(key, _)| key).filter(|key| !["name", "file", "ground"].contains(key)).collect();
    assert!(figures.len() > 30, "{figures:?}");
    figures.into_iter().for_each(|key| assert!(words.contains(key), "{key}"));
    let checked = copy.check();
    let flat = checked.out.split_whitespace().collect::<Vec<_>>().join(" ");
    let unchecked = &flat[flat.find("Not looked at").expect("what wasn't looked at")..];
    assert!(words.contains(unchecked), "{unchecked}");
}

/// The last figures of each step's row, as many as there are columns of charge.
fn charges(page: &str) -> Vec<[Option<f64>; 2]> {
    let (_, table) = page.split_once("<table class=\"steps\">").expect("a table of steps");
    let (_, rows) = table.split_once("<tbody>").expect("rows");
    let rows = rows.split("</tbody>").next().expect("an end").split("</tr>").filter(|row| !row.is_empty());
    let cell = |cell: &str| cell.rsplit('>').next().and_then(|words| words.parse().ok());
    rows.map(|row| {
        let cells: Vec<&str> = row.split("</td>").filter(|cell| !cell.is_empty()).collect();
        [cells[cells.len() - 2], cells[cells.len() - 1]].map(cell)
    })
    .collect()
}

#[test]
fn what_is_used_ends_at_what_is_needed_and_no_turn_back_takes_more_than_the_most() {
    for (copy, code) in [(Copy::new(), 0), (refused("no-charge-to-come-home.toml"), 1)] {
        let charges = charges(&page(&copy, code));
        let (_, json) = copy.check_json();
        let used: Vec<f64> = charges.iter().filter_map(|[used, _]| *used).collect();
        assert_eq!(used.len() as u64, json["steps"].as_u64().expect("a number"));
        assert!(used.is_sorted(), "{used:?}");
        assert_eq!(used.last().copied(), json["energy"]["needed_wh"].as_f64());
        let closest = json["closest"].as_array().expect("a list");
        let most = closest.iter().find(|finding| finding["rule"] == "turn-back").expect("a turn-back");
        let most = most["required"].as_f64().expect("a number");
        let turned: Vec<(f64, f64)> = charges.iter().filter_map(|[used, turned]| used.zip(*turned)).collect();
        assert_eq!(turned.len(), charges.len() - 1, "all but the landing");
        assert!(turned.iter().all(|(used, turned)| used < turned && *turned <= most), "{most} {turned:?}");
    }
}

#[test]
fn every_letter_of_the_plan_is_in_the_table_and_the_other_way_round() {
    let page = page(&Copy::new(), 0);
    let plan = *drawings(&page).first().expect("a plan");
    let drawn = |letter: char| plan.contains(&format!("class=\"halo strong\">{letter}</text>"));
    let listed = |letter: char| page.contains(&format!("<td class=\"letter\">{letter}</td>"));
    let letters: Vec<char> = ('A'..='Z').filter(|letter| listed(*letter)).collect();
    assert!(letters.len() > 5, "{letters:?}");
    ('A'..='Z').for_each(|letter| assert_eq!(drawn(letter), listed(letter), "{letter}"));
}

#[test]
fn drawings_are_sound_and_say_in_words_what_they_show() {
    let copy = refused("short-cut.toml");
    let run = brief(&copy, &["-o", "brief.html", "--svg", "plan.svg"]);
    assert_eq!(run.code, 1);
    let page = text(&copy, "brief.html");
    let wholes: Vec<String> = drawings(&page).iter().map(|drawing| format!("<svg {drawing}</svg>")).collect();
    assert_eq!(wholes.len(), 6, "three drawings, for wide and for narrow pages");
    for whole in wholes.iter().chain([&text(&copy, "plan.svg")]) {
        let drawing = roxmltree::Document::parse(whole).expect("sound XML");
        let root = drawing.root_element();
        assert_eq!(root.attribute("role"), Some("img"));
        let names: Vec<&str> = root.attribute("aria-labelledby").expect("names").split(' ').collect();
        for name in names {
            let named = root.children().find(|part| part.attribute("id") == Some(name)).expect("a part of that name");
            assert!(named.text().is_some_and(|words| words.len() > 10), "{name}");
        }
    }
}

#[test]
fn a_name_is_shown_and_never_obeyed() {
    let copy = Copy::new()
        .edit("route.toml", "Sallow Holm, morning count", "<script>alert(1)</script>\\\"&'")
        .edit("limits.toml", "water meadow, small quad", "</style><b>")
        .edit("site.geojson", "boat house", "<svg onload=x>&amp;");
    let run = brief(&copy, &["-o", "brief.html", "--svg", "plan.svg"]);
    assert_eq!(run.code, 0, "{}", run.err);
    let page = text(&copy, "brief.html");
    for name in ["<script>alert(1)</script>\"&'", "</style><b>", "<svg onload=x>&amp;"] {
        assert!(!page.contains(name), "{name}");
        assert!(read(&page).contains(name), "{name} isn't shown");
    }
    assert_eq!(page.matches("<svg ").count(), 6, "no drawing but ours");
    assert!(!page.contains("<script") && !page.contains("<b>&") && page.matches("</style>").count() == 1);
    let plan = text(&copy, "plan.svg");
    assert!(
        roxmltree::Document::parse(&plan)
            .expect("sound XML")
            .descendants()
            .any(|part| part.text() == Some("<svg onload=x>&amp;"))
    );
}

#[test]
fn an_older_brief_is_replaced_and_a_persons_file_never() {
    let copy = Copy::new();
    let all = ["-o", "brief.html", "--svg", "plan.svg", "--png", "plan.png"];
    assert_eq!(brief(&copy, &all).code, 0);
    let [old_page, old_plan] = ["brief.html", "plan.svg"].map(|file| text(&copy, file));
    let other = copy.edit("route.toml", "morning count", "evening count");
    assert_eq!(brief(&other, &all).code, 0);
    assert!(text(&other, "brief.html") != old_page && text(&other, "plan.svg") != old_plan);
    for (option, file) in [("-o", "brief.html"), ("--svg", "plan.svg"), ("--png", "plan.png")] {
        fs::write(other.path().join(file), "a person's").expect("written");
        fs::remove_file(other.path().join("new.svg")).unwrap_or(());
        let run = brief(&other, &[option, file, if option == "--svg" { "--png" } else { "--svg" }, "new.svg"]);
        assert_eq!(run.code, 2, "{option}");
        assert!(run.err.contains("already") && run.err.contains(file), "{}", run.err);
        assert_eq!(text(&other, file), "a person's");
        assert!(!other.path().join("new.svg").exists(), "half of it was written");
    }
}

#[test]
fn a_page_is_not_replaced_by_a_plan_nor_one_file_written_twice() {
    let copy = Copy::new();
    assert_eq!(brief(&copy, &["-o", "brief.html"]).code, 0);
    assert_eq!(brief(&copy, &["--svg", "brief.html"]).code, 2);
    assert!(text(&copy, "brief.html").starts_with("<!DOCTYPE html>"));
    let twice = brief(&copy, &["--svg", "one", "--png", "one"]);
    assert_eq!((twice.code, copy.path().join("one").exists()), (2, false), "{}", twice.err);
    assert_eq!(brief(&copy, &[]).code, 2, "nothing is to be written");
}

#[test]
fn a_preset_that_tightens_is_named_with_its_source() {
    let copy = Copy::new();
    let run = brief(&copy, &["-o", "brief.html", "--preset", "small-site"]);
    assert!(run.code < 2, "{}", run.err);
    let checked = copy.check_with(&["--preset", "small-site", "--json"]);
    let json: serde_json::Value = serde_json::from_str(&checked.out).expect("JSON");
    assert_eq!(run.code, checked.code);
    let words = read(&text(&copy, "brief.html"));
    let figures = json["preset"]["figures"].as_array().expect("a list");
    let tightened: Vec<&str> = figures
        .iter()
        .filter(|figure| figure["tightens"] == true)
        .filter_map(|figure| figure["source"].as_str())
        .collect();
    assert!(!tightened.is_empty());
    tightened.into_iter().for_each(|source| assert!(words.contains(source), "{source}"));
    assert!(words.contains(json["limits_fingerprint"].as_str().expect("a text")));
}

#[test]
fn the_same_route_gives_the_same_bytes() {
    let copy = Copy::new();
    let all = |to: [&str; 3]| assert_eq!(brief(&copy, &["-o", to[0], "--svg", to[1], "--png", to[2]]).code, 0);
    all(["a.html", "a.svg", "a.png"]);
    all(["b.html", "b.svg", "b.png"]);
    for kind in ["html", "svg", "png"] {
        let [one, other] = ["a", "b"].map(|name| fs::read(copy.path().join(format!("{name}.{kind}"))).expect("bytes"));
        assert!(one == other, "{kind}");
    }
}

/// Width, height and colours of a PNG file.
fn pixels(bytes: &[u8]) -> (u32, u32, Vec<u8>) {
    let mut reader = png::Decoder::new(bytes).read_info().expect("a PNG");
    let mut pixels = vec![0; reader.output_buffer_size()];
    let frame = reader.next_frame(&mut pixels).expect("a picture");
    (frame.width, frame.height, pixels)
}

#[test]
fn the_picture_that_is_shown_is_the_examples() {
    let copy = Copy::new();
    assert_eq!(brief(&copy, &["--png", "brief.png"]).code, 0);
    let made = fs::read(copy.path().join("brief.png")).expect("a picture");
    assert!(made.len() < 150_000, "{} bytes", made.len());
    let (width, height, drawn) = pixels(&made);
    let shown = pixels(&fs::read(example().join("brief.png")).expect("the picture that the README shows"));
    // Another processor may round an edge's grey otherwise.
    let differ = drawn.iter().zip(&shown.2).filter(|(one, other)| one.abs_diff(**other) > 16).count();
    assert!(
        (width, height) == (shown.0, shown.1) && differ * 2000 < drawn.len(),
        "{differ} differ: make host-cli/example/brief.png anew with pinfold brief route.toml --limits limits.toml --png brief.png"
    );
}
