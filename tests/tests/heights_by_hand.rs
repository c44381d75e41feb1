//! Slanted legs beside zones with heights and over ground, and what air does to heights: the numbers that are reported, against
//! what they are on paper. A leg at 2 m/s needs 7 + 2 + 0.204 m, upwards 1 + 1.4 + 0.204 m, downwards 1 m, with up to 1 cm
//! for the readings of "straight" and rounding. On the equator 10,000 counts of longitude are 111.3195 m.

use pinfold_core::{
    model::{
        ground::GroundCell,
        limits::{Air, Figures},
        route::{Launch, Step},
        store::LimitsStore,
        zone::{HeightBand, HeightReference, ZoneKind},
    },
    units::Temperature,
    verdict::{Cause, Finding, Measure, Rule, Unit, Verdict},
};
use pinfold_tests::{
    sample::{Site, band, climb, figures, fly, found, ground_plan, height, judge, launch},
    tried::{EAST, TwoLegs, lots},
};

fn wide(figures: Figures) -> Site {
    let ring = vec![(-200_000, -200_000), (-200_000, 200_000), (200_000, 200_000), (200_000, -200_000)];
    Site::new(figures).polygon("around", ZoneKind::KeepIn, None, &[ring]).expect("room")
}

fn at(elevation: i32) -> Launch {
    Launch { elevation: Some(height(elevation)), ..launch(0, 0) }
}

fn measure(verdict: &Verdict, rule: Rule, zone: Option<u8>) -> Measure {
    found(verdict, rule, zone).and_then(|finding: &Finding| finding.measure).expect("a measure")
}

/// The same with air from 15 degrees below to 35 above freezing: at the sea, below a ceiling of 120 m, 120 m may be 8.36 m more
/// and 12.53 m less (the standard atmosphere's formula, worked out beside `AirFactors`).
fn with_air() -> Figures {
    with_air_of(-150, 350)
}

/// From the coldest to the warmest air, 0.1 degree.
fn with_air_of(coldest: i32, warmest: i32) -> Figures {
    let temperature = |tenths: i32| Temperature::new(tenths).expect("in range");
    Figures { air: Some(Air { coldest: temperature(coldest), warmest: temperature(warmest) }), ..figures() }
}

/// A circle of 5 m, 111.3195 m from launch, that a leg of 333.96 m passes over.
fn mast(figures: Figures, heights: HeightBand) -> Box<LimitsStore> {
    wide(figures).circle("mast", Some(heights), (0, 10_000), 500).and_then(Site::seal).expect("sound")
}

/// What is to spare is up to 3 cm below a figure in m.
fn assert_just_below(spare: i32, exact: f64) {
    let spare = f64::from(spare) / 100.0;
    assert!(spare <= exact && spare >= exact - 0.03, "{spare} for {exact}");
}

#[test]
fn a_slanted_leg_passes_a_zone_as_near_as_its_heights_allow() {
    let flown = |zone: HeightBand, from: i32, to: i32| {
        let store = mast(figures(), zone);
        let verdict = judge(&store, at(0), &[climb(from), fly((0, 30_000), to, 200), Step::Land]);
        measure(&verdict, Rule::KeepOut, Some(1)).spare()
    };
    // x m from launch the zone is |x - 111.32| - 5 m away, for which 9.21 m are needed: 97.11 - x are to spare before it, and
    // x - 125.53 past it. The least of what the better of the two axes leaves is where both leave the same.
    let (before, past) = (111.3195 - 5.0 - 9.21, 111.3195 + 5.0 + 9.21);
    for rise in [40, 60, 70] {
        let (s, high) = (f64::from(rise) / 333.9585, 1000 + rise * 100);
        // Rising it is s x - 21 m over a ceiling of 30 m, which grows, and 17.39 - s x under a floor of 30 m, which shrinks.
        assert_just_below(flown(band(None, Some(3000)), 1000, high), before - (before + 21.0) / (1.0 + s));
        assert_just_below(flown(band(Some(3000), None), 1000, high), (past + 17.39) / (1.0 + s) - past);
        // Falling from a height to 10 m the same is left 20 m below it to a floor, and of a ceiling at 30 m.
        let from = f64::from(high) / 100.0;
        // Over the circle itself -1 cm less 9.21 m are left.
        let under = f64::max(before - (before + 22.61) / (1.0 + s), -9.22);
        assert_just_below(flown(band(Some(high - 2000), None), high, 1000), under);
        assert_just_below(flown(band(None, Some(3000)), high, 1000), (past + from - 31.0) / (1.0 + s) - past);
    }
}

#[test]
fn what_a_height_is_off_is_part_of_what_a_zone_requires() {
    let flown = |zone: HeightBand| {
        let verdict =
            judge(&mast(with_air(), zone), at(0), &[climb(12_000), fly((0, 30_000), 12_000, 200), Step::Land]);
        let Measure { clearance, required, unit } = measure(&verdict, Rule::KeepOut, Some(1));
        assert_eq!(unit, Unit::MetresVertical);
        // What is found is up to 2 cm less.
        ((clearance + 2).div_euclid(10), required)
    };
    assert_eq!(flown(band(Some(20_000), None)), (800, 261 + 836));
    assert_eq!(flown(band(None, Some(3000))), (900, 100 + 1253));
    assert_eq!(flown(band(Some(1000), Some(3000))), (900, 100 + 1253));
}

/// A clearance of nothing is a touch, and is told as 1 cm less, with what a height is off as without.
#[test]
fn what_is_exactly_at_a_height_touches_it() {
    let clearance = |store: &LimitsStore, rule: Rule, zone: Option<u8>| {
        let steps = [climb(12_000), fly((0, 12_000), 12_000, 200), fly((0, 0), 12_000, 200), Step::Land];
        measure(&judge(store, at(0), &steps), rule, zone).clearance
    };
    let under = |floor: i32| clearance(&mast(with_air_of(140, 160), band(Some(floor), None)), Rule::KeepOut, Some(1));
    // Rounding takes 1 cm.
    assert_eq!([11_998, 11_999, 12_000, 12_001, 12_002].map(under), [-3, -2, -1, -1, 1]);
    let mut low = with_air();
    low.heights.ground_clearance = Some(height(2000));
    let over = |far: u16| clearance(&ground(low.clone(), 0, far), Rule::Ground, None);
    assert_eq!([11_998, 11_999, 12_000, 12_001, 12_002].map(over), [2, 1, -1, -1, -2]);
    // A ceiling may be touched.
    let below = |ceiling: i32| {
        let mut high = with_air();
        (high.heights.ceiling, high.heights.ceiling_above_ground) = (height(20_000), Some(height(ceiling)));
        clearance(&ground(high, 0, 0), Rule::Ceiling, None)
    };
    assert_eq!([11_999, 12_000, 12_001].map(below), [-1, 0, 1]);
}

#[test]
fn a_zone_above_the_sea_reaches_from_the_highest_launch_to_the_lowest() {
    // Launch is somewhere between 50 m and 70 m above the sea: from 150 m to 200 m above the sea is from 80 m to 150 m above launch.
    let cells = [GroundCell::new(5000, 7000).expect("a low and a high")];
    let plan = ground_plan((-60_000, -60_000), (1, 1), (120_000, 120_000), (0, 1));
    let heights = HeightBand { reference: HeightReference::AboveSea, ..band(Some(15_000), Some(20_000)) };
    let store =
        wide(figures()).ground(plan, &cells).circle("mast", Some(heights), (0, 10_000), 500).and_then(Site::seal);
    let store = store.expect("sound");
    let clearance = |height: i32| {
        let verdict = judge(&store, launch(0, 0), &[climb(height), fly((0, 30_000), height, 200), Step::Land]);
        let measure = measure(&verdict, Rule::KeepOut, Some(1));
        assert_eq!(measure.unit, Unit::MetresVertical);
        measure.clearance
    };
    // What is found is up to 2 cm less.
    assert!((4998..=5000).contains(&clearance(3000)), "{}", clearance(3000));
    assert!((1998..=2000).contains(&clearance(17_000)), "{}", clearance(17_000));
}

/// Two cells: one from 55.66 m west to 55.66 m east of launch, one from there on, each level, in 0.01 m.
fn ground(figures: Figures, near: u16, far: u16) -> Box<LimitsStore> {
    let cells = [near, far].map(|count| GroundCell::new(count, count).expect("a low and a high"));
    let plan = ground_plan((-60_000, -5_000), (1, 2), (120_000, 10_000), (0, 1));
    // The second cell ends at 15,000 counts: 166.98 m.
    wide(figures).ground(plan, &cells).seal().expect("sound")
}

#[test]
fn a_slanted_leg_over_ground_is_held_to_it_where_it_is_near() {
    // Falling from 80 m to 40 m over 133.58 m; 9.21 m past its edge the near cell matters no more.
    let steps = [climb(8000), fly((0, 12_000), 4000, 200), Step::Land];
    let mut figures = figures();
    figures.heights.ground_clearance = Some(height(2000));
    let s = 40.0 / 133.5834;
    let over = judge(&ground(figures.clone(), 9000, 3000), at(9000), &steps);
    // 60 m below launch the far cell leaves 80 m.
    assert_just_below(measure(&over, Rule::Ground, None).spare(), 80.0 - s * (55.6597 + 9.21) - 20.0);
    figures.heights.ground_clearance = None;
    figures.heights.ceiling_above_ground = Some(height(10_000));
    let under = judge(&ground(figures, 9000, 6000), at(9000), &steps);
    // 30 m below launch the far cell matters from 9.21 m before its edge on; 2.61 m are needed.
    let ceiling = measure(&under, Rule::Ceiling, None);
    assert_just_below(ceiling.spare(), 100.0 - 2.61 - 30.0 - (80.0 - s * (55.6597 - 9.21)));
}

#[test]
fn what_a_height_is_off_is_part_of_what_ground_requires() {
    let steps = [climb(12_000), fly((0, 12_000), 12_000, 200), Step::Land];
    let mut low = with_air();
    low.heights.ground_clearance = Some(height(2000));
    let over = judge(&ground(low, 0, 0), at(0), &steps);
    let vertical = |clearance: i32, required: i32| Measure { clearance, required, unit: Unit::MetresVertical };
    assert_eq!(measure(&over, Rule::Ground, None), vertical(12_000, 2000 + 1253));
    let mut high = with_air();
    high.heights.ceiling_above_ground = Some(height(11_000));
    let under = judge(&ground(high, 0, 0), at(0), &steps);
    assert_eq!(measure(&under, Rule::Ceiling, None), vertical(-1000, 261 + 836));
}

/// Heights by the air, above the sea and over the ground can't be told without launch's elevation, which is given neither by the
/// route nor by the ground data.
#[test]
fn an_elevation_that_nobody_knows_is_no_go_where_heights_need_it() {
    let steps = [climb(3000), fly((0, 12_000), 3000, 200), Step::Land];
    let causes = |store: &LimitsStore, launch: Launch| {
        let verdict = judge(store, launch, &steps);
        [Rule::Ceiling, Rule::Ground].map(|rule| found(&verdict, rule, None).map(|finding| finding.cause))
    };
    let unknown = Some(Cause::NoElevation);
    let by_air = wide(with_air()).seal().expect("sound");
    assert_eq!(causes(&by_air, launch(0, 0)), [unknown, None]);
    assert_eq!(causes(&by_air, at(0)), [Some(Cause::Measured), None]);
    let mut sea = figures();
    sea.heights.ceiling_above_sea = Some(height(10_000));
    let above_sea = wide(sea).seal().expect("sound");
    assert_eq!(causes(&above_sea, launch(0, 0)), [unknown, None]);
    assert_eq!(causes(&above_sea, at(0)), [Some(Cause::Measured), None]);
    let mut ground = figures();
    ground.heights.ceiling_above_ground = Some(height(10_000));
    let plan = ground_plan((-60_000, -60_000), (1, 1), (120_000, 120_000), (0, 1));
    let no_data = wide(ground).ground(plan, &[GroundCell::UNKNOWN]).seal().expect("sound");
    assert_eq!(causes(&no_data, launch(0, 0)), [unknown, unknown]);
    assert_eq!(causes(&no_data, at(0)), [Some(Cause::GroundUnknown); 2]);
}

/// What a zone with heights leaves of ways home at 4 m/s, which need 7 + 4 + 0.82 m, or 1 + 2.8 + 0.82 m upwards and 1 m
/// downwards, and of the rises that begin them, which need 1 m either way: from the leg's height up to 20 m.
#[test]
fn ways_home_pass_a_zone_as_near_as_their_heights_allow() {
    let (mut next, mut met) = (lots(), 0);
    for _ in 0..2000 {
        let mut case = TwoLegs::any(&mut next);
        let (mut low, high) = (next(-3000, 9000), next(500, 4000));
        if next(0, 2) == 0 {
            // About the return height, where rises matter.
            (case.heights[1], low) = (next(200, 3000), next(800, 3200));
        }
        let heights = match next(0, 3) {
            0 => band(Some(low), None),
            1 => band(None, Some(low)),
            _ => band(Some(low), Some(low + high)),
        };
        let gap = |lowest: f64, highest: f64, up: f64| {
            let under = heights.floor.map_or(-1e6, |floor| f64::from(floor.get()) / 100.0 - up - highest);
            let over = heights.ceiling.map_or(-1e6, |ceiling| lowest - 1.0 - f64::from(ceiling.get()) / 100.0);
            under.max(over)
        };
        let flat = |distance: f64| distance - 11.82;
        let (home, _) = case.least(true, |distance, own| flat(distance).max(gap(own.max(20.0), own.max(20.0), 4.62)));
        let (rise, _) = case.least(false, |distance, own| flat(distance).max(gap(own, own.max(20.0), 1.0)));
        let store = wide(figures()).circle("zone", Some(heights), case.center, case.radius).and_then(Site::seal);
        let verdict = judge(&store.expect("sound"), at(0), &case.steps());
        let finding = found(&verdict, Rule::ReturnPath, Some(1)).expect("a finding");
        let (spare, exact) = (f64::from(finding.measure.expect("a measure").spare()) / 100.0, home.min(rise));
        assert!(spare <= exact + 0.005, "{spare} for {home} and {rise}: {case:?}, {heights:?}, {finding:?}");
        if finding.step == 3 {
            met += 1;
            let bound = exact - 0.08 - 1e-3 * exact.abs();
            assert!(spare >= bound, "{spare} for {home} and {rise}: {case:?}, {heights:?}, {finding:?}");
        }
    }
    assert!(met > 500, "{met}");
}

#[test]
fn a_cell_that_only_the_highest_end_is_near_leaves_what_that_leaves() {
    // The near cell ends 9.206 m west of launch, 60 m above it; 20 m are needed, and the leg falls from 80 m eastwards.
    let mut figures = figures();
    figures.heights.ground_clearance = Some(height(2000));
    let cells = [9000, 3000].map(|count| GroundCell::new(count, count).expect("a low and a high"));
    let plan = ground_plan((-60_000, -10_827), (1, 2), (120_000, 10_000), (0, 1));
    let store = wide(figures).ground(plan, &cells).seal().expect("sound");
    let verdict = judge(&store, at(3000), &[climb(8000), fly((0, 8000), 4000, 200), Step::Land]);
    assert!((-1..=0).contains(&measure(&verdict, Rule::Ground, None).spare()));
}

#[test]
fn the_place_where_a_leg_is_nearest_to_the_ground_is_its_lowest() {
    let mut figures = figures();
    figures.heights.ground_clearance = Some(height(2000));
    let verdict =
        judge(&ground(figures, 3000, 3000), at(3000), &[climb(8000), fly((0, 12_000), 4000, 200), Step::Land]);
    let finding = found(&verdict, Rule::Ground, None).expect("a finding");
    let place = finding.place.expect("a place");
    assert_eq!((finding.step, measure(&verdict, Rule::Ground, None).spare()), (2, 2000));
    assert!((f64::from(place.position.longitude.get() - 12_000) * EAST).abs() < 0.1, "{place:?}");
    assert!((4000..4004).contains(&place.height), "{place:?}");
}

/// From 5 m to 25 m over 331.7 m northwards; 10 m high, it passes a circle 10.6 m beside it that begins at 19 m. A way home from there
/// is at 20 m and needs 11.82 m. Higher up the leg isn't near it, and neither is it where the leg begins.
#[test]
fn ways_home_from_the_low_part_of_a_slanted_leg_are_at_the_return_height() {
    let beside = |floor: i32| {
        let zone = Some(band(Some(floor), Some(3000)));
        let site = wide(figures()).circle("mast", zone, (7_500, 21_400), 500).and_then(Site::seal).expect("sound");
        let steps = [climb(500), fly((0, 20_000), 500, 200), fly((30_000, 20_000), 2500, 200), Step::Land];
        let verdict = judge(&site, at(0), &steps);
        [Rule::KeepOut, Rule::ReturnPath]
            .map(|rule| found(&verdict, rule, Some(1)).and_then(Finding::severity).is_some())
    };
    assert_eq!(beside(1900), [false, true]);
    assert_eq!(beside(2470), [false, false], "4.62 m above the way home and more");
}

/// Along ground that begins 15 m beside a leg and is 60 m lower: at 8 m/s 18.26 m matter, of a way home at 4 m/s 11.82 m. 70 m above
/// that ground the leg needs 1 + 5.6 + 3.26 m, and its rise to 20 m above launch 1 m more than the 80 m that it reaches.
#[test]
fn rises_beside_low_ground_have_the_horizontal_margin_of_their_leg() {
    let own = |ceiling: i32| {
        let mut figures = figures();
        figures.heights.ceiling_above_ground = Some(height(ceiling));
        let beside = 5_000 - 1_347;
        let steps = [climb(1000), fly((0, beside), 1000, 200), fly((20_000, beside), 1000, 800), Step::Land];
        let verdict = judge(&ground(figures, 9000, 3000), at(9000), &steps);
        [Rule::Ceiling, Rule::ReturnPath].map(|rule| found(&verdict, rule, None).and_then(Finding::severity).is_some())
    };
    assert_eq!(own(8_050), [false, true]);
    assert_eq!(own(8_110), [false, false]);
    assert_eq!(own(7_980), [true, true]);
}

#[test]
fn what_a_height_is_off_is_part_of_what_the_floor_requires() {
    let steps = [climb(12_000), fly((0, 12_000), 12_000, 200), Step::Land];
    let verdict = judge(&wide(with_air()).seal().expect("sound"), at(0), &steps);
    let expected = Measure { clearance: 12_000, required: 100 + 1253, unit: Unit::MetresVertical };
    assert_eq!(measure(&verdict, Rule::Floor, None), expected);
}

/// The ground below a landing is that of its cell, but at launch: there it is what launch stands on, whatever its cell says.
#[test]
fn a_landing_goes_down_to_the_ground_below_it() {
    let cause = |near: u16, steps: &[Step]| {
        let verdict = judge(&ground(figures(), near, 12_000), at(9000), steps);
        found(&verdict, Rule::Sequence, None).map(|finding| finding.cause)
    };
    let far = |height: i32| [climb(4000), fly((0, 10_000), height, 200), Step::Land];
    assert_eq!(cause(9000, &far(2999)), Some(Cause::LandsBelowLaunch));
    assert_eq!(cause(9000, &far(3000)), None);
    assert_eq!(cause(12_000, &[climb(2000), Step::Land]), None);
}

/// A hill of 30 m between launch and the end of a leg at 80 m: a return that begins while the aircraft lands flies into it.
#[test]
fn returns_begin_while_landing() {
    let cells = [9000, 12_000, 9000].map(|count| GroundCell::new(count, count).expect("a low and a high"));
    let plan = ground_plan((-60_000, -5_000), (1, 3), (120_000, 10_000), (0, 1));
    let store = wide(figures()).ground(plan, &cells).seal().expect("sound");
    let leg = [climb(8000), fly((0, 20_000), 8000, 200)];
    let landing = judge(&store, at(9000), &[leg[0], leg[1], Step::Land]);
    let finding = found(&landing, Rule::ReturnPath, None).expect("a finding");
    assert_eq!((finding.step, measure(&landing, Rule::ReturnPath, None).spare()), (3, -1000), "20 m over 30 m");
    let returning = judge(&store, at(9000), &[leg[0], leg[1], Step::Return]);
    // From 80 m upwards the ceiling of 120 m is nearer than the hill: 4.62 m are needed.
    assert_eq!(measure(&returning, Rule::ReturnPath, None).spare(), 12_000 - 8000 - 462);
}

#[test]
fn a_return_height_may_be_exactly_as_high_as_a_zone_takes() {
    // Ways home at 20 m over a ceiling of 19 m, under a floor of 24.62 m: 1 m downwards and 4.62 m upwards.
    let spare = |heights: HeightBand| {
        let steps = [climb(4000), fly((0, 30_000), 1000, 400), Step::Land];
        measure(&judge(&mast(figures(), heights), at(0), &steps), Rule::ReturnPath, Some(1)).spare()
    };
    assert_eq!([1900, 1901].map(|ceiling| spare(band(None, Some(ceiling)))), [0, -1]);
    let climbs = |floor: i32| {
        let steps = [climb(1000), fly((0, 30_000), 1500, 400), Step::Land];
        measure(&judge(&mast(figures(), band(Some(floor), None)), at(0), &steps), Rule::ReturnPath, Some(1)).spare()
    };
    assert_eq!([2462, 2461].map(climbs), [0, -1]);
}
