//! `pinfold board`, with a real board in memory at the other end of the line.

mod served;

use std::{
    io::{BufRead as _, BufReader},
    net::TcpListener,
    process::{Child, Command, Stdio},
};

use pinfold_core::{
    interlock::Flight,
    link::{Ask, Report},
    verdict::Energy,
    wire::{Kind, verdict::unpack_verdict},
};
use pinfold_tests::{
    board::sample::now,
    packed::packed_verdict,
    sample::{height, position},
};
use serde_json::Value;

use crate::support::{Copy, Run, shown_in_guide};
use served::Served;

/// A copy of the example, and a board.
struct Field {
    copy: Copy,
    board: Served,
}

impl Field {
    fn new() -> Self {
        Self { copy: Copy::new(), board: Served::over_tcp() }
    }

    /// With the example's limits on the board.
    fn loaded() -> Self {
        let field = Self::new();
        field.board.desk().bench.hardware.held = true;
        let run = field.run(&["limits", "limits.toml"]);
        assert_eq!(run.code, 0, "{}", run.err);
        field.board.desk().bench.hardware.held = false;
        field
    }

    fn run(&self, arguments: &[&str]) -> Run {
        self.copy.run(&[&["board"], arguments, &["--port", &self.board.port]].concat())
    }

    fn json(&self, arguments: &[&str]) -> (i32, Value) {
        let run = self.run(&[arguments, &["--json"]].concat());
        (run.code, serde_json::from_str(&run.out).unwrap_or_else(|_| panic!("no JSON: {}{}", run.out, run.err)))
    }

    fn route(&self, file: &str) -> Run {
        self.run(&["route", file, "--limits", "limits.toml"])
    }

    /// Whether the aircraft flies, by a wire, and what else the board reads by itself.
    fn wire(&self, report: Report) {
        self.board.desk().wired = report;
    }

    /// The fingerprint of a file, as `pack` prints it.
    fn fingerprint(&self, file: &str) -> String {
        let run = self.copy.run(&["pack", file, "-o", "some.packed"]);
        run.out.split([' ', ',']).nth(1).expect("a fingerprint").to_owned()
    }

    /// Demands trouble with all these parts, also for programs.
    fn is_trouble(&self, arguments: &[&str], parts: &[&str]) {
        let run = self.run(arguments);
        let (code, json) = self.json(arguments);
        assert_eq!((run.code, code), (2, 2), "{}{}", run.out, run.err);
        let (said, err) = (json["error"]["say"].as_str().expect("a text"), run.err.split_whitespace());
        let err = err.filter(|word| *word != "|").collect::<Vec<_>>().join(" ");
        for part in parts {
            assert!(said.contains(part), "no «{part}» in {said}");
            assert!(err.contains(part), "no «{part}» in {err}");
        }
    }
}

const ROUTE: [&str; 4] = ["route", "route.toml", "--limits", "limits.toml"];
const COMPARE: [&str; 4] = ["compare", "route.toml", "--limits", "limits.toml"];

/// A text without its lines' ends.
fn unfolded(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

fn on_ground() -> Report {
    Report { flight: now(Flight::Ground), ..Report::default() }
}

#[test]
fn limits_go_on_the_board_only_while_its_input_is_held() {
    let field = Field::new();
    field
        .is_trouble(&["limits", "limits.toml"], &["takes limits only while its load input is held", "hold the button"]);
    assert_eq!(field.board.desk().bench.status().limits, None);
    field.board.desk().bench.hardware.held = true;
    let fingerprint = field.fingerprint("limits.toml");
    let run = field.run(&["limits", "limits.toml"]);
    assert_eq!(run.code, 0, "{}", run.err);
    assert!(run.out.starts_with("Hold the board's load input"), "{}", run.out);
    assert!(run.out.contains(&format!("\nfile     {fingerprint}\nboard    {fingerprint}\nThe same: ")), "{}", run.out);
    let held = field.board.desk().bench.status().limits.expect("limits").to_string();
    assert_eq!(held, fingerprint);
    // A line for each quarter, since this is no terminal.
    let lines: Vec<&str> = run.err.lines().filter(|line| line.starts_with("limits: ")).collect();
    assert_eq!(lines.len(), 4, "{}", run.err);
    let last = lines[3].trim_start_matches("limits: ").split(' ').collect::<Vec<_>>();
    assert!(last.len() == 4 && last[0] == last[2], "{last:?}");
}

#[test]
fn packed_limits_are_loaded_as_their_text_is() {
    let field = Field::new();
    field.board.desk().bench.hardware.held = true;
    assert_eq!(field.copy.run(&["pack", "limits.toml", "-o", "limits.packed"]).code, 0);
    let (code, json) = field.json(&["limits", "limits.packed"]);
    let fingerprint = field.fingerprint("limits.toml");
    assert_eq!((code, &json["same"], json["board"].as_str()), (0, &Value::Bool(true), Some(&*fingerprint)));
}

#[test]
fn a_route_is_not_sent_to_a_board_with_other_limits_or_none() {
    let field = Field::new();
    field.is_trouble(
        &ROUTE,
        &["the board holds no limits", "the route was not sent", "pinfold board limits limits.toml"],
    );
    let field = Field { copy: Copy::new(), ..Field::loaded() };
    let held = field.fingerprint("limits.toml");
    let field =
        Field { copy: field.copy.edit("limits.toml", "ceiling_m = 60.0", "ceiling_m = 59.0"), board: field.board };
    let file = field.fingerprint("limits.toml");
    let said = format!("the board holds other limits, {held}; limits.toml is {file}; the route was not sent");
    field.is_trouble(&ROUTE, &[&said]);
    let sent = field.board.desk().questions.contains(&Ask::Begin(Kind::Route));
    assert!(!sent && field.board.desk().bench.verdict().is_empty());
}

#[test]
fn a_go_stands_beside_the_one_made_here_with_what_its_permit_waits_for() {
    let field = Field::loaded();
    let run = field.route("route.toml");
    assert_eq!(run.code, 0, "{}{}", run.out, run.err);
    assert!(run.out.starts_with("GO  \"Sallow Holm, morning count\""), "{}", run.out);
    let [route, limits] = ["route.toml", "limits.toml"].map(|file| field.fingerprint(file));
    let rows = format!(
        "\nhere     GO         {route}  {limits}\nboard    GO         {route}  {limits}\nThe same, byte for byte"
    );
    assert!(run.out.contains(&rows), "no {rows} in {}", run.out);
    assert!(run.out.contains("inactive; the board is waiting"), "{}", run.out);
    let out = unfolded(&run.out);
    let waits = "waits for launch: the limits ask for a reading of where the aircraft stands of the last 5.00 s, and there is none: send it";
    assert!(out.contains(waits), "{out}");
    for line in run.out.lines() {
        assert!(line.chars().count() <= 80, "{line}");
    }
    shown_in_guide("board route route.toml --limits limits.toml --port 127.0.0.1:7373", &run);
}

#[test]
fn both_verdicts_are_there_for_programs() {
    let field = Field::loaded();
    let (code, json) = field.json(&ROUTE);
    let (_, checked) = field.copy.check_json();
    assert_eq!(code, 0);
    assert_eq!((&json["verdict"], &json["agree"], &json["in_flight"]), (&"go".into(), &true.into(), &false.into()));
    assert_eq!((&json["here"], &json["board"], &json["difference"]), (&checked, &checked, &Value::Null));
    assert_eq!((&json["status"]["stage"], &json["status"]["permit"]), (&"waiting".into(), &false.into()));
    assert_eq!(json["status"]["waits"]["rule"], "launch");
}

#[test]
fn a_no_go_says_what_check_says() {
    let field = Field::loaded();
    let field = Field { copy: field.copy.edit("route.toml", "height_m = 20.0", "height_m = 59.0"), board: field.board };
    let run = field.route("route.toml");
    assert_eq!(run.code, 1, "{}{}", run.out, run.err);
    assert!(run.out.starts_with("NO-GO  ") && run.out.contains("the board is no-go"), "{}", run.out);
    let stops = |text: &str| {
        let from = text.find("\nStops\n").expect("stops");
        let list = text[from..].split("\n\n").next().expect("a list");
        // Only `check` says where the rules are explained.
        list.lines().filter(|line| !line.contains("`pinfold rules")).collect::<Vec<_>>().join("\n")
    };
    assert_eq!(stops(&run.out), stops(&field.copy.check().out));
}

#[test]
fn a_verdict_that_differs_by_one_count_is_a_loud_disagreement() {
    let field = Field::loaded();
    assert_eq!(field.route("route.toml").code, 0);
    let mut verdict = unpack_verdict(&field.board.desk().bench.verdict()).expect("a verdict");
    let energy = verdict.energy.expect("a flight");
    verdict.energy = Some(Energy { needed: energy.needed - 1, ..energy });
    field.board.desk().forged = Some(packed_verdict(&verdict));
    let run = field.route("route.toml");
    assert_eq!(run.code, 2, "{}{}", run.out, run.err);
    assert!(run.out.starts_with("DISAGREEMENT  ") && run.out.contains("don't fly"), "{}", run.out);
    let first = format!("the charge needed in 0.001 Wh: {} here, {} on the board", energy.needed, energy.needed - 1);
    let out = unfolded(&run.out);
    assert!(out.contains(&format!("First difference: {first}.")), "{out}");
    let (code, json) = field.json(&ROUTE);
    assert_eq!((code, &json["verdict"], &json["agree"]), (2, &"disagreement".into(), &false.into()));
    assert_eq!(json["difference"].as_str(), Some(&*first));
}

#[test]
fn a_verdict_about_another_route_is_trouble() {
    let field = Field::loaded();
    assert_eq!(field.route("route.toml").code, 0);
    let other = field.board.desk().bench.verdict();
    field.board.desk().forged = Some(other);
    let field = Field { copy: field.copy.edit("route.toml", "morning", "evening"), board: field.board };
    field
        .is_trouble(&ROUTE, &["the board's verdict is about another route", "does another program talk to the board?"]);
}

/// What a permit needs, said on the command line.
const READY: [&str; 7] = ["readings", "--here", "46.2,-17.4", "--pack-volts", "12.6", "--flight", "ground"];

#[test]
fn readings_bring_the_permit_and_status_and_compare_tell_it() {
    let field = Field::loaded();
    assert_eq!(field.run(&COMPARE).code, 1, "no route yet");
    field.wire(on_ground());
    assert_eq!(field.route("route.toml").code, 0);
    let (_, before) = field.json(&["status"]);
    assert_eq!((&before["stage"], &before["flight"]), (&"waiting".into(), &"ground".into()));
    let (code, json) = field.json(&READY);
    assert_eq!((code, &json["waits"]), (0, &Value::Null), "{json:#}");
    // The next look of the board, some milliseconds later, gives it at the latest.
    let (code, json) = field.json(&["status"]);
    assert_eq!((code, &json["stage"], &json["permit"]), (0, &"permitted".into(), &true.into()), "{json:#}");
    assert_eq!(json["route"].as_str(), Some(&*field.fingerprint("route.toml")));
    let run = field.run(&COMPARE);
    assert_eq!(run.code, 0, "{}", run.out);
    assert_eq!(run.out.matches("the same").count(), 2, "{}", run.out);
    let field =
        Field { copy: field.copy.edit("limits.toml", "ceiling_m = 60.0", "ceiling_m = 59.0"), board: field.board };
    let (code, json) = field.json(&COMPARE);
    assert_eq!((code, &json["same"]), (1, &false.into()));
    assert_eq!((&json["route"]["same"], &json["limits"]["same"]), (&true.into(), &false.into()));
}

#[test]
fn status_says_what_a_permit_waits_for_without_the_limits() {
    let field = Field::loaded();
    let said = |field: &Field| unfolded(&field.run(&["status"]).out);
    let idle = said(&field);
    assert!(idle.starts_with("stage: idle (no route is held that was judged) permit: inactive limits: "), "{idle}");
    assert!(idle.ends_with("route: - waits for: nothing flight: not known advice: none"), "{idle}");
    assert_eq!(field.route("route.toml").code, 0);
    assert!(
        said(&field).contains("waits for: launch: The limits ask for a fresh reading of where the aircraft stands")
    );
    // 1000 counts of latitude are 11.12 m, rounded up; 5 m are allowed.
    assert_eq!(field.run(&["readings", "--here", "46.2001,-17.4"]).code, 0);
    let waits = said(&field);
    assert!(
        waits.contains("waits for: pack: The limits ask for a fresh reading of the pack's resting voltage"),
        "{waits}"
    );
    field.wire(on_ground());
    let run = field.run(&["readings", "--here", "46.2001,-17.4", "--pack-volts", "12.6", "--flight", "ground"]);
    assert!(
        unfolded(&run.out).contains("The aircraft stands 6.12 m farther from the planned launch point"),
        "{}",
        run.out
    );
    let run = field.run(&["readings", "--here", "46.2,-17.4", "--pack-volts", "12.6", "--pack-rested-s", "60"]);
    assert!(unfolded(&run.out).contains("The pack hasn't rested as long as the limits ask for"), "{}", run.out);
}

#[test]
fn a_route_in_flight_is_advice_and_is_not_compared() {
    let field = Field::loaded();
    field.wire(on_ground());
    assert_eq!(field.route("route.toml").code, 0);
    assert_eq!(field.run(&READY).code, 0);
    let flying = Report {
        flight: now(Flight::Flying),
        position: now(position(462_001_980, -173_995_720)),
        height: now(height(2_000)),
        left: now(pinfold_core::units::Charge::new(18_000).expect("in range")),
        ..Report::default()
    };
    // The permit first, then the flight.
    assert_eq!(field.json(&["status"]).1["stage"], "permitted");
    field.wire(flying);
    let run = field.route("in-flight.toml");
    assert_eq!(run.code, 0, "{}{}", run.out, run.err);
    assert!(run.out.contains("the board's advice") && !run.out.contains("\nhere "), "{}", run.out);
    let out = unfolded(&run.out);
    assert!(out.contains("can't compare") && out.contains("Permit active; the board is latched"), "{out}");
    let (code, json) = field.json(&["route", "route.toml", "--limits", "limits.toml"]);
    // It begins with a climb: that is no route for an aircraft at 20 m already.
    assert_eq!((&json["in_flight"], &json["agree"], &json["here"]), (&true.into(), &Value::Null, &Value::Null));
    assert_eq!(code, i32::from(json["verdict"] == "no-go"), "{json:#}");
    assert_eq!(json["status"]["permit"], true, "no verdict takes it");
    field
        .is_trouble(&["limits", "limits.toml"], &["the aircraft flies, for all that the board knows", "on the ground"]);
}

#[test]
fn a_permit_without_any_wire_says_that_it_stays_until_a_restart() {
    let asks = "position_within_s = 5.0\npack_within_s = 600.0\nflight_within_s = 2.0\n";
    let field = Field::new();
    let field = Field { copy: field.copy.edit("limits.toml", asks, ""), board: field.board };
    field.board.desk().bench.hardware.held = true;
    assert_eq!(field.run(&["limits", "limits.toml"]).code, 0);
    let first = field.route("route.toml");
    assert_eq!(first.code, 0, "{}{}", first.out, first.err);
    let out = unfolded(&first.out);
    assert!(out.contains("The same, byte for byte.") && out.contains("Permit active; the board is latched"), "{out}");
    assert!(out.contains("No wire tells the board that the aircraft is on the ground."), "{out}");
    // It doesn't know where the aircraft is, and so judges nothing that comes now.
    let again = field.route("route.toml");
    assert_eq!(again.code, 1, "{}{}", again.out, again.err);
    let out = unfolded(&again.out);
    assert!(out.contains("can't compare") && out.contains("advice: don't follow the route"), "{out}");
    field.board.desk().bench.restart();
    assert_eq!(field.route("route.toml").code, 0);
}

#[test]
fn a_faulty_board_is_not_sent_anything() {
    let field = Field::loaded();
    field.board.desk().bench.board.fault();
    field.is_trouble(&ROUTE, &["something is wrong with the board", "start it again"]);
    assert!(!field.board.desk().questions.contains(&Ask::Begin(Kind::Route)));
}

/// A command that goes on until it is ended.
struct Endless(Child);

impl Endless {
    fn start(field: &Field, arguments: &[&str]) -> Self {
        let all = [&["board"], arguments, &["--port", &field.board.port]].concat();
        let mut command = Command::new(env!("CARGO_BIN_EXE_pinfold"));
        Self(command.args(all).stdout(Stdio::piped()).stderr(Stdio::null()).spawn().expect("it starts"))
    }

    fn lines(&mut self) -> impl Iterator<Item = String> + use<> {
        BufReader::new(self.0.stdout.take().expect("a pipe")).lines().map(|line| line.expect("a line"))
    }
}

impl Drop for Endless {
    fn drop(&mut self) {
        // It may have ended by itself.
        let _ = self.0.kill();
        self.0.wait().expect("it ends");
    }
}

#[test]
fn watch_prints_a_line_for_each_change() {
    let field = Field::loaded();
    let mut watch = Endless::start(&field, &["watch", "--json"]);
    let mut lines = watch.lines();
    let mut next = || serde_json::from_str::<Value>(&lines.next().expect("a line")).expect("JSON");
    let first = next();
    assert_eq!((&first["stage"], &first["flight"]), (&"idle".into(), &Value::Null));
    // Time for some looks at which nothing has changed.
    std::thread::sleep(std::time::Duration::from_secs(1));
    field.wire(on_ground());
    assert_eq!(next()["flight"], "ground");
    field.wire(Report { flight: now(Flight::Flying), ..Report::default() });
    let third = next();
    assert_eq!(third["flight"], "flying", "a line for each change, and none between");
    assert!(third["after_s"].is_number());
}

#[test]
fn watch_ends_with_its_reader_and_with_its_board() {
    let field = Field::loaded();
    let mut watch = Endless::start(&field, &["watch"]);
    let line = watch.lines().next().expect("a line");
    assert!(line.contains("s  stage: idle (") && line.contains("; permit: inactive; "), "{line}");
    // Nobody reads any more; the next change tells it.
    field.wire(on_ground());
    assert_eq!(watch.0.wait().expect("it ends").code(), Some(0));
    let mut watch = Endless::start(&field, &["watch"]);
    let mut lines = watch.lines();
    assert!(lines.next().is_some());
    drop(field);
    assert!(lines.next().is_none());
    assert_eq!(watch.0.wait().expect("it ends").code(), Some(2));
}

#[test]
fn readings_are_sent_again_and_again() {
    let field = Field::loaded();
    let mut readings = Endless::start(&field, &["readings", "--height-m", "3", "--every-s", "0.05", "--json"]);
    let mut lines = readings.lines();
    assert!(lines.next().is_some());
    let sent = || field.board.desk().questions.iter().filter(|asked| matches!(asked, Ask::Readings(_))).count();
    let deadline = std::time::Instant::now() + std::time::Duration::from_secs(30);
    while sent() < 3 && std::time::Instant::now() < deadline {
        std::thread::sleep(served::TURN);
    }
    assert!(sent() >= 3);
    let held = field.board.desk().bench.board.readings().height;
    assert_eq!(held.map(|held| held.value), Some(height(300)));
}

#[test]
fn readings_that_say_nothing_or_make_no_sense_are_refused() {
    let field = Field::new();
    field.is_trouble(&["readings"], &["--here <LAT,LON>"]);
    for (arguments, part) in [
        (["--pack-rested-s", "5", "--height-m", "1"], "--pack-volts"),
        (["--every-s", "0", "--height-m", "1"], "write 0.01 or more"),
        (["--flight", "hovering", "--height-m", "1"], "flying"),
        (["--baud", "0", "--height-m", "1"], "--baud"),
    ] {
        field.is_trouble(&[&["readings"], &arguments[..]].concat(), &[part]);
    }
    assert!(field.board.desk().questions.is_empty());
}

#[test]
fn without_a_port_the_ports_are_listed_with_what_to_write() {
    let run = Copy::new().run(&["board", "status"]);
    assert_eq!((run.code, run.out.as_str()), (2, ""));
    assert!(run.err.contains("`--port` is missing") && run.err.contains("--port HOST:PORT"), "{}", run.err);
    let listed = Copy::new().run(&["board", "ports", "--json"]);
    let json: Value = serde_json::from_str(&listed.out).expect("JSON");
    let ports = json["ports"].as_array().expect("a list");
    assert_eq!(listed.code, 0);
    for port in ports.iter().map(|port| port["port"].as_str().expect("a name")) {
        assert!(run.err.contains(&format!("--port {port} (")), "{}", run.err);
    }
    let lines = Copy::new().run(&["board", "ports"]).out.lines().count();
    assert!(lines >= ports.len().max(1));
}

#[test]
fn a_port_that_is_not_there_is_told() {
    let at = |port: &str| {
        let run = Copy::new().run(&["board", "status", "--port", port]);
        assert_eq!((run.code, run.out.as_str()), (2, ""));
        run.err
    };
    let listener = TcpListener::bind(("127.0.0.1", 0)).expect("a free port");
    let address = listener.local_addr().expect("a bound port").to_string();
    drop(listener);
    let err = at(&address);
    assert!(err.contains("no connection") && err.contains("start the emulated board first"), "{err}");
    let err = at("/dev/no-such-port");
    assert!(
        err.contains("/dev/no-such-port") && err.contains("can't be opened") && err.contains("board ports"),
        "{err}"
    );
}

#[test]
fn a_port_that_never_answers_is_given_up() {
    let listener = TcpListener::bind(("127.0.0.1", 0)).expect("a free port");
    let address = listener.local_addr().expect("a bound port").to_string();
    let run = Copy::new().run(&["board", "status", "--port", &address, "--json"]);
    let json: Value = serde_json::from_str(&run.out).expect("JSON");
    let said = json["error"]["say"].as_str().expect("a text");
    assert_eq!(run.code, 2);
    assert!(said.contains("no answer to hello: asked 8 times, 1.0 s each; nothing came"), "{said}");
    assert!(said.contains("is this the port of the link"), "{said}");
}

#[cfg(target_os = "linux")]
#[test]
fn a_serial_port_works_as_a_connection_does() {
    use serialport::{SerialPort as _, TTYPort};
    let (mut master, mut slave) = TTYPort::pair().expect("a pair of terminals");
    master.set_timeout(served::TURN).expect("a time");
    slave.set_exclusive(false).expect("for others, too");
    let port = slave.name().expect("a name");
    let field = Field { copy: Copy::new(), board: Served::over(port, master) };
    drop(slave);
    field.board.desk().bench.hardware.held = true;
    let run = field.run(&["limits", "limits.toml"]);
    assert_eq!(run.code, 0, "{}{}", run.out, run.err);
    let run = field.run(&[&ROUTE[..], &["--baud", "57600"]].concat());
    assert_eq!(run.code, 0, "{}{}", run.out, run.err);
    assert!(run.out.contains("The same, byte for byte"), "{}", run.out);
}
