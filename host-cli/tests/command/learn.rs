//! `pinfold learn`: what a flight log gives.

use crate::{
    flight::{CLIMB, Curve, Flight, LIFT, rising, steep, valley},
    support::{Copy, Run, has},
};

/// How far below the truth a table may be, and how far above, where there are 30 s of data.
const BELOW: f64 = 0.98;
const ABOVE: f64 = 1.10;

fn learn(csv: &str, more: &[&str]) -> Run {
    Copy::new().with("log.csv", csv).run(&[&["learn", "log.csv"], more].concat())
}

/// The power table of a text.
struct Learned {
    table: Vec<(f64, f64)>,
    climb: f64,
}

impl Learned {
    fn from(text: &str) -> Self {
        let parsed: toml::Table = text.parse().expect("TOML");
        let power = parsed["power"].as_table().expect("[power]");
        let pair = |row: &toml::Value| {
            let row = row.as_array().expect("a pair");
            (row[0].as_float().expect("m/s"), row[1].as_float().expect("W"))
        };
        let table: Vec<_> = power["table"].as_array().expect("points").iter().map(pair).collect();
        assert!((2..=8).contains(&table.len()) && table[0].0 == 0.0, "{text}");
        assert!(table.windows(2).all(|pair| pair[0].0 < pair[1].0), "{text}");
        Self { table, climb: power["climb_w"].as_float().expect("W") }
    }

    fn end(&self) -> f64 {
        self.table[self.table.len() - 1].0
    }

    fn at(&self, airspeed: f64) -> f64 {
        let pair = self.table.windows(2).find(|pair| airspeed <= pair[1].0).expect("within the table");
        let part = (airspeed - pair[0].0) / (pair[1].0 - pair[0].0);
        pair[0].1 + (pair[1].1 - pair[0].1) * part
    }
}

/// Demands that a flight's table is as near to the curve as is promised, and the climb too; gives the lowest and the highest
/// ratio.
fn is_near(flight: &Flight, more: &[&str]) -> [f64; 2] {
    let run = learn(&flight.csv(), more);
    assert_eq!(run.code, 0, "{}", run.err);
    let learned = Learned::from(&run.out);
    let hover = (flight.curve)(0.0);
    let mut ratios = vec![learned.climb / (hover + LIFT * CLIMB), learned.at(0.0) / hover];
    for (speed, _) in flight.legs.iter().filter(|(_, seconds)| *seconds >= 30.0) {
        ratios.push(learned.at(speed.min(learned.end())) / (flight.curve)(*speed));
        assert!(learned.end() > speed - 0.2, "{}", run.out);
    }
    let (least, most) = ratios.iter().fold((f64::INFINITY, 0.0_f64), |(l, m), r| (l.min(*r), m.max(*r)));
    assert!(least >= BELOW && most <= ABOVE, "seed {}: {ratios:?}\n{}", flight.seed, run.out);
    [least, most]
}

const CURVES: [Curve; 3] = [valley, rising, steep];

#[test]
fn a_table_is_never_below_the_truth_nor_far_above_at_any_sample_rate() {
    let mut all = [f64::INFINITY, 0.0];
    for curve in CURVES {
        for rate in [1.0, 5.0, 10.0, 50.0] {
            for seed in 0..4 {
                for noise in [0.03, 0.05] {
                    let [least, most] = is_near(&Flight { rate, noise, ..Flight::new(seed, curve) }, &[]);
                    all = [all[0].min(least), all[1].max(most)];
                }
            }
        }
    }
    println!("speeds: {all:?}");
}

#[test]
fn positions_and_heights_alone_are_enough() {
    let mut all = [f64::INFINITY, 0.0];
    for curve in CURVES {
        for positions in [0.3, 1.0] {
            for seed in 0..4 {
                let flight = Flight { positions: Some(positions), ..Flight::new(seed, curve) };
                let [least, most] = is_near(&flight, &[]);
                all = [all[0].min(least), all[1].max(most)];
            }
        }
    }
    println!("positions: {all:?}");
}

#[test]
fn a_speed_that_slowly_grows_gives_every_speed() {
    let legs: Vec<(f64, f64)> = (1..=120).map(|step| (f64::from(step) / 10.0, 8.0)).collect();
    for curve in CURVES {
        let flight = Flight { legs: legs.clone(), ..Flight::new(7, curve) };
        let run = learn(&flight.csv(), &[]);
        let learned = Learned::from(&run.out);
        assert!(learned.end() > 11.0, "{}", run.out);
        for speed in (0..=110).map(|step| f64::from(step) / 10.0) {
            let ratio = learned.at(speed) / curve(speed);
            // Nearer than is promised: a bin's own slope must not count as noise.
            assert!((BELOW..=1.05).contains(&ratio), "{ratio} at {speed}\n{}", run.out);
        }
    }
}

#[test]
fn between_speeds_that_were_flown_it_holds_too() {
    for curve in CURVES {
        let flight = Flight::new(3, curve);
        let learned = Learned::from(&learn(&flight.csv(), &[]).out);
        for speed in (0..=119).map(|step| f64::from(step) / 10.0) {
            let ratio = learned.at(speed) / curve(speed);
            assert!((BELOW..=ABOVE).contains(&ratio), "{ratio} at {speed}");
        }
    }
}

#[test]
fn out_and_back_in_wind_the_way_that_takes_more_counts() {
    for curve in CURVES {
        let flight = Flight { wind: 3.0, ..Flight::new(4, curve) };
        let learned = Learned::from(&learn(&flight.csv(), &[]).out);
        for speed in [4.0, 6.0, 8.0, 10.0, 11.9] {
            let ratio = learned.at(speed) / curve(speed);
            assert!(ratio >= BELOW, "{ratio} at {speed}");
        }
    }
}

/// What the output warns of: no way of reading a log can mend it.
#[test]
fn in_wind_hover_seems_to_take_less_than_it_does() {
    let run = learn(&Flight { wind: 5.0, ..Flight::new(4, valley) }.csv(), &[]);
    assert!(Learned::from(&run.out).at(0.0) < BELOW * valley(0.0), "{}", run.out);
    has(&run.out, &["Learn on a calm day: in wind, hovering is flying"]);
}

#[test]
fn a_row_in_two_seconds_is_the_least() {
    is_near(&Flight { rate: 0.5, ..Flight::new(1, valley) }, &[]);
    let run = learn(&Flight { rate: 0.4, ..Flight::new(1, valley) }.csv(), &[]);
    is_refused(&run, &["from row to row are 2.5", "at least every 2 s", "--time-unit"]);
}

#[test]
fn waiting_on_the_ground_is_no_hover() {
    is_near(&Flight { ground: 900.0, ..Flight::new(1, valley) }, &[]);
}

#[test]
fn what_is_not_counted_is_said() {
    let run = learn(&Flight::new(1, valley).csv(), &[]);
    let parts = [
        "# Learned from log.csv: ",
        "5.0 a second; columns time_s, ground_speed_m_s, climb_rate_m_s, volts, amperes.",
        "a log knows no wind",
        "out and back",
        "rows with an empty cell or no number",
        "rows with the time of the row before",
        "Not counted: 1 pause, 45.2 s.",
        "s on the ground",
        "climb_w is for climbing at 2.0 m/s (",
        "The table ends at 12.0 m/s.",
    ];
    has(&run.out, &parts);
}

#[test]
fn what_is_learned_can_be_pasted_into_limits() {
    let run = learn(&Flight { legs: vec![(3.0, 40.0), (6.0, 40.0), (9.0, 40.0)], ..Flight::new(1, rising) }.csv(), &[]);
    let copy = Copy::new();
    let limits = std::fs::read_to_string(copy.path().join("limits.toml")).expect("text");
    let (before, after) = limits.split_once("[power]").expect("a section");
    let after = &after[after.find("\n# With").expect("the next section")..];
    let check = copy.with("limits.toml", format!("{before}{}{after}", run.out)).check();
    assert!(check.code < 2, "{}", check.err);
}

/// Demands exit code 2 and a message with all these parts.
fn is_refused(run: &Run, parts: &[&str]) {
    assert_eq!((run.code, run.out.as_str()), (2, ""), "{}", run.err);
    // The message is wrapped; what is looked for may be, too.
    has(&run.err.split_whitespace().collect::<Vec<_>>().join(" "), parts);
}

#[test]
fn too_little_data_is_said_and_not_invented() {
    let flight = |legs: &[(f64, f64)]| Flight { legs: legs.to_vec(), ..Flight::new(2, valley) };
    let run = learn(&flight(&[(3.0, 40.0), (6.0, 40.0), (9.0, 8.0)]).csv(), &[]);
    assert!((Learned::from(&run.out).end() - 6.0).abs() < 0.15, "{}", run.out);
    has(&run.out, &["Too little to count at", "9 m/s (", "10 s are needed"]);
    let run = learn(&flight(&[(3.0, 40.0), (8.0, 40.0)]).csv(), &[]);
    assert!((Learned::from(&run.out).end() - 3.0).abs() < 0.15, "{}", run.out);
    has(&run.out, &["Not joined", "8 m/s ("]);
}

#[test]
fn without_a_climb_limits_stay_incomplete() {
    let run = learn(&Flight { climb: 0.0, ..Flight::new(2, valley) }.csv(), &[]);
    assert_eq!(run.code, 0, "{}", run.err);
    has(&run.out, &["climb_w isn't known", "Climb for 15 s", "\n[power]\ntable = "]);
    assert!(!run.out.contains("\nclimb_w"), "{}", run.out);
}

#[test]
fn without_a_hover_there_is_no_table() {
    let run = learn(&Flight { hover: 0.0, ..Flight::new(2, valley) }.csv(), &[]);
    is_refused(&run, &["a power table begins at 0 m/s", "10 s are needed", "Hover for 30 s", "s at 6 m/s"]);
    let run = learn(&Flight { legs: Vec::new(), ..Flight::new(2, valley) }.csv(), &[]);
    is_refused(&run, &["no speed but hover", "straight and level, out and back"]);
    let run = learn(&Flight { legs: vec![(9.0, 60.0)], ..Flight::new(2, valley) }.csv(), &[]);
    is_refused(&run, &["no speed but hover", "within 3 m/s of the next", "s at 9 m/s"]);
}

/// A log of a small flight, its header and cells changed.
fn changed(header: &str, cells: impl Fn(Vec<&str>) -> String) -> String {
    let csv = Flight { faults: false, ..Flight::new(5, valley) }.csv();
    let rows = csv.lines().skip(1).map(|row| cells(row.split(',').collect()));
    std::iter::once(header.to_owned()).chain(rows).collect::<Vec<_>>().join("\n")
}

fn joined(cells: &[&str]) -> String {
    cells.join(",")
}

#[test]
fn other_names_units_and_separators_are_understood() {
    let plain = learn(&changed("time_s,ground_speed_m_s,climb_rate_m_s,volts,amperes", |cells| joined(&cells)), &[]);
    assert_eq!(plain.code, 0, "{}", plain.err);
    let table = |run: &Run| run.out[run.out.find("[power]").unwrap_or_else(|| panic!("{}", run.err))..].to_owned();
    let is_same = |csv: &str, more: &[&str]| assert_eq!(table(&learn(csv, more)), table(&plain), "{more:?}");
    let semicolons = |cells: Vec<&str>| cells.join(";").replace('.', ",");
    is_same(&changed("Time (s);Speed [m/s];Climb;Voltage;Current", semicolons), &[]);
    is_same(&changed("t_s\tGroundSpeed\tvertical_speed\tbattery_voltage_v\tcurrent_a", |cells| cells.join("\t")), &[]);
    let thousandths = |cells: Vec<&str>| {
        let number = |at: usize| cells[at].parse::<f64>().expect("a number");
        let [time, amperes] = [number(0), number(4)].map(|number| (number * 1000.0).round());
        format!("{time},{},{},{},{amperes}", cells[1], cells[2], cells[3])
    };
    is_same(&changed("timestamp_ms,speed,climb_rate,volts,current (mA)", thousandths), &[]);
    is_same(
        &changed("clock,speed,climb_rate,volts,current_ma", thousandths),
        &["--time", "clock", "--time-unit", "ms"],
    );
    let named =
        ["--time", "A", "--time-unit", "s", "--speed", "b", "--climb-rate", "C", "--volts", "D", "--amperes", "E"];
    is_same(&changed("A,B,C,D,E", |cells| joined(&cells)), &named);
}

#[test]
fn a_missing_column_is_named_with_its_option_and_the_columns_there_are() {
    for (header, option) in [
        ("x,ground_speed,climb_rate,volts,amperes", "--time COLUMN"),
        ("time_s,x,climb_rate,volts,amperes", "--speed COLUMN, or --lat COLUMN --lon COLUMN"),
        ("time_s,lat,climb_rate,volts,amperes", "--lon COLUMN"),
        ("time_s,ground_speed,x,volts,amperes", "--climb-rate COLUMN, or --height COLUMN"),
        ("time_s,ground_speed,climb_rate,x,amperes", "--volts COLUMN"),
        ("time_s,ground_speed,climb_rate,volts,x", "--amperes COLUMN"),
    ] {
        let run = learn(&changed(header, |cells| joined(&cells)), &[]);
        let columns = header.replace(',', ", ");
        is_refused(
            &run,
            &["no column is obviously", &format!("the columns are {columns}: give {option}"), "log.csv:1:1"],
        );
    }
}

#[test]
fn a_column_that_is_asked_for_must_be_there_and_be_one() {
    let csv = changed("time_s,ground_speed,climb_rate,volts,amperes", |cells| joined(&cells));
    is_refused(
        &learn(&csv, &["--volts", "volt"]),
        &["there is no column `volt`, which --volts names", "did you mean `volts`?"],
    );
    let csv = changed("time_s,speed,speed_m_s,volts,amperes", |cells| joined(&cells));
    is_refused(&learn(&csv, &[]), &["several columns may be the ground speed: `speed`, `speed_m_s`", "--speed COLUMN"]);
    let csv = changed("time,ground_speed,climb_rate,volts,amperes", |cells| joined(&cells));
    is_refused(&learn(&csv, &[]), &["doesn't say what unit its times have", "--time-unit s, ms or us"]);
}

#[test]
fn a_cell_that_is_no_number_is_shown() {
    let header = "time_s,ground_speed,climb_rate,volts,amperes";
    let csv = changed(header, |cells| joined(&cells)).replacen('\n', "\ns,m/s,m/s,V,A\n", 1);
    is_refused(&learn(&csv, &[]), &["log.csv:2:1", "`s` in column `time_s` is no number", "a row of units"]);
    let csv = changed(header, |cells| joined(&cells)).replacen("100.400,", "12:30:00,", 1);
    is_refused(&learn(&csv, &[]), &["log.csv:3:1", "`12:30:00`"]);
}

#[test]
fn numbers_that_cannot_be_meant_are_refused() {
    let header = "time_s,ground_speed,climb_rate,volts,amperes";
    let negative =
        changed(header, |cells| format!("{},{},{},{},-{}", cells[0], cells[1], cells[2], cells[3], cells[4]));
    is_refused(&learn(&negative, &[]), &["too few rows can be used", "amperes above 0 while the pack is discharged"]);
    let empty = changed(header, |cells| format!("{},{},{},,{}", cells[0], cells[1], cells[2], cells[4]));
    is_refused(&learn(&empty, &[]), &["too few rows can be used: 0;", "fill gaps with the last value"]);
    let none = changed(header, |cells| format!("{},{},{},{},0", cells[0], cells[1], cells[2], cells[3]));
    is_refused(&learn(&none, &[]), &["0.000 W, which carries no aircraft", "volts and amperes"]);
    let much = changed(header, |cells| {
        format!("{},{},{},{},{}000", cells[0], cells[1], cells[2], cells[3], cells[4].replace('.', ""))
    });
    is_refused(&learn(&much, &[]), &["too few rows can be used"]);
    let more = changed(header, |cells| {
        format!("{},{},{},{}000,{}", cells[0], cells[1], cells[2], cells[3].replace('.', ""), cells[4])
    });
    is_refused(&learn(&more, &[]), &["too few rows can be used"]);
    is_refused(&learn("", &[]), &["no column is obviously the time"]);
    is_refused(&learn("time_s,speed,climb,volts,amps\n", &[]), &["too few rows can be used: 0"]);
}

#[test]
fn time_that_goes_backwards_is_said_or_refused() {
    let csv = Flight { faults: false, ..Flight::new(5, valley) }.csv();
    let restarted =
        csv.lines().map(|row| row.replacen("30", "29", usize::from(row.starts_with("30")))).collect::<Vec<_>>();
    let run = learn(&restarted.join("\n"), &[]);
    has(&run.out, &["1 jump back in time"]);
    let turned: Vec<&str> = std::iter::once(csv.lines().next().expect("a header"))
        .chain(csv.lines().skip(1).collect::<Vec<_>>().into_iter().rev())
        .collect();
    is_refused(&learn(&turned.join("\n"), &[]), &["time goes backwards", "in the order of time"]);
    let shuffled = changed("time_s,ground_speed,climb_rate,volts,amperes", |cells| {
        let time: f64 = cells[0].parse().expect("a number");
        format!("{},{}", (time * 0.7) % 5.0, cells[1..].join(","))
    });
    is_refused(&learn(&shuffled, &[]), &["time goes backwards", "is `time_s` the time?"]);
}

#[test]
fn a_picture_has_title_axes_and_samples() {
    let copy = Copy::new().with("log.csv", Flight::new(1, valley).csv());
    let run = copy.run(&["learn", "log.csv", "--plot", "power.svg"]);
    assert_eq!(run.code, 0, "{}", run.err);
    let svg = std::fs::read_to_string(copy.path().join("power.svg")).expect("text");
    has(
        &svg,
        &["<svg", "Power learned from log.csv", "speed, m/s", "power from the pack, W", "power table", "<polyline"],
    );
    assert!(svg.matches("<circle").count() > 500, "samples");
}

#[test]
fn files_are_written_whole_or_not_at_all() {
    let copy = Copy::new().with("log.csv", Flight::new(1, valley).csv());
    let printed = copy.run(&["learn", "log.csv"]);
    let run = copy.run(&["learn", "log.csv", "-o", "power.toml"]);
    assert_eq!(run.code, 0, "{}", run.err);
    has(&run.out, &["power table up to 12.0 m/s: power.toml"]);
    let written = || std::fs::read_to_string(copy.path().join("power.toml")).expect("text");
    assert_eq!(written(), printed.out);
    let run = copy.run(&["learn", "log.csv", "--plot", "new.svg", "-o", "power.toml"]);
    is_refused(&run, &["left as it is"]);
    assert!(!copy.path().join("new.svg").exists(), "both files or none");
    assert_eq!(written(), printed.out);
    is_refused(&copy.run(&["learn", "log.csv", "--plot", "one.svg", "-o", "one.svg"]), &["already"]);
    is_refused(&copy.run(&["learn", "none.csv"]), &["can't be read"]);
}

#[test]
fn a_column_cannot_move_the_cursor_nor_end_a_comment() {
    let csv = changed("time_s,ground_speed,climb_rate,volts,\"amperes\u{202e}\n[x]\"", |cells| joined(&cells));
    let run = learn(&csv, &["--amperes", "amperes\u{202e}\n[x]"]);
    assert_eq!(run.code, 0, "{}", run.err);
    assert!(!run.out.contains('\u{202e}') && !run.out.contains("\n[x]"), "{}", run.out);
}
