//! How far an aircraft can be seen, against the published rule for its size.
//!
//! Source: 327 x largest dimension + 20 m for multirotors, attributed by public texts to EASA's guidance to SORA 2.5 (part of
//! the AMC since ED Decision 2025/018/R), which could not be opened. Of the examples, those at 0.35 m (134 m) and at 1 m
//! (347 m) are published there, the others computed.

use pinfold_core::{
    model::{route::Step, zone::ZoneKind},
    verdict::{Rule, Severity},
};
use pinfold_tests::sample::{Site, climb, figures, found, height, judge, launch, length};

const EXAMPLES: [(i32, i32); 6] =
    [(25, 10_175), (35, 13_445), (50, 18_350), (100, 34_700), (150, 51_050), (300, 100_100)];

/// The headroom (0.01 m) of a climb with an aircraft of a size, and how bad it is.
fn headroom(size: i32, top: i32) -> (i32, Option<Severity>) {
    let mut figures = figures();
    figures.aircraft.size = length(size);
    figures.heights.ceiling = height(200_000);
    let ring = vec![(-900, -900), (-900, 900), (900, 0)];
    let site = Site::new(figures).polygon("a", ZoneKind::KeepIn, None, &[ring]);
    let store = site.and_then(Site::seal).expect("sound limits");
    let verdict = judge(&store, launch(0, 0), &[climb(top), Step::Land]);
    let finding = found(&verdict, Rule::Sight, None).expect("sight is judged");
    (finding.measure.expect("measured").spare(), finding.severity())
}

#[test]
fn an_aircraft_is_not_thought_visible_beyond_the_published_distance() {
    for (size, published) in EXAMPLES {
        // The slant distance is rounded up: by 1 cm here, where a place may be 3 mm beside launch.
        assert_eq!(headroom(size, published - 1), (0, None), "{size} cm");
        let (spare, severity) = headroom(size, published + 1);
        assert!((-2..0).contains(&spare) && severity == Some(Severity::Caution), "{size} cm: {spare} cm");
    }
}
