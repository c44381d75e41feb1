//! Holds the rules about heights, speeds, order and charge to the oracle, with every figure varied.

use pinfold_core::{
    model::{limits::PowerPoint, route::Step, zone::ZoneKind},
    units::{Airspeed, Power},
};
use pinfold_tests::{
    oracle::{campaign::campaign, compare::disagreements, tally::Tally, vary::varied},
    sample::{Site, climb, figures, fly, judge, launch},
};

#[test]
fn another_aircraft_is_judged_by_the_wrong_figures() {
    let findings = campaign(&varied(), 300, 5);
    println!("{}", findings.tally.report());
    assert!(findings.wrong.is_empty(), "{}", findings.wrong.join("\n\n"));
    for what in [
        "Unsound excluded: Stray",
        "Loose excluded: Reserve",
        "Needless excluded: Sequence",
        "Loose excluded: ClimbRate",
    ] {
        assert!(findings.tally.of(what) > 30, "{what}: {}", findings.tally.of(what));
    }
}

#[test]
fn a_steep_power_table_makes_a_leg_look_dear() {
    let mut figures = figures();
    let point = |(airspeed, watts)| PowerPoint {
        airspeed: Airspeed::new(airspeed).expect("in range"),
        power: Power::new(watts).expect("in range"),
    };
    figures.power.points = [(0, 190), (480, 900), (500, 175)].into_iter().map(point).collect();
    let square = |half: i32| vec![(-half, -half), (-half, half), (half, half), (half, -half)];
    let site = Site::new(figures).polygon("in", ZoneKind::KeepIn, None, &[square(200_000)]).expect("room");
    let (store, launch) = (site.seal().expect("a polygon"), launch(0, 0));
    let steps = [climb(2000), fly((40_000, 0), 2000, 500), fly((0, 0), 2000, 500), Step::Land];
    let verdict = judge(&store, launch.clone(), &steps);
    let limits = store.limits().expect("sealed limits");
    let wrong = disagreements(limits, &launch, &steps, &verdict, &mut Tally::default());
    assert!(wrong.is_empty(), "{wrong:#?}");
}
