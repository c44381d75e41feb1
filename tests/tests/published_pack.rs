//! Published open-circuit voltages of cells, and what the checker makes of a voltage.

use pinfold_core::{
    model::{limits::ChargePoint, limits::Figures, route::Step, zone::ZoneKind},
    rules::{PackReading, Readings, energy::charge::charge_table},
    units::{Capacity, CellVoltage, Health, Reserve, StateOfCharge, Voltage},
    verdict::Rule,
};
use pinfold_tests::sample::{Site, climb, figures, found, judge_with, launch};

/// Volts of a cell that holds 0, 10, ... 100 %.
struct Cell {
    source: &'static str,
    volts: [f64; 11],
}

/// Electrode curves read in the parameter sets of PyBaMM (BSD); the pairing of the electrodes is a charge balance with each set's
/// volumes and concentrations, worked out with them.
const CELLS: [Cell; 2] = [
    Cell {
        source: "Ai et al. 2020, LCO and graphite, pouch cell (parameter set Ai2020)",
        volts: [3.000, 3.639, 3.695, 3.733, 3.762, 3.793, 3.836, 3.909, 3.994, 4.088, 4.200],
    },
    Cell {
        source: "Chen et al. 2020, J. Electrochem. Soc. 167, 080534, NMC811 and graphite-SiOx, 21700 cell (parameter set Chen2020)",
        volts: [2.498, 3.258, 3.449, 3.548, 3.634, 3.708, 3.809, 3.924, 4.022, 4.094, 4.193],
    },
];

/// Linear between points of volts and per cent; full above the last.
fn between(points: &[(f64, f64)], volts: f64) -> f64 {
    let pair = points.windows(2).find(|pair| pair[0].0 <= volts && volts <= pair[1].0);
    pair.map_or(if volts < points[0].0 { 0.0 } else { 100.0 }, |pair| {
        pair[0].1 + (pair[1].1 - pair[0].1) * (volts - pair[0].0) / (pair[1].0 - pair[0].0)
    })
}

#[test]
fn the_built_in_table_is_nowhere_above_a_published_cell() {
    let built_in: Vec<(f64, f64)> = charge_table(&figures())
        .map(|point| (f64::from(point.cell.get()) / 1000.0, f64::from(point.charge.get())))
        .collect();
    assert_eq!(built_in.last().map(|point| point.1), Some(100.0), "a full pack is full");
    for Cell { source, volts } in CELLS {
        let cell: Vec<(f64, f64)> = volts.into_iter().zip((0..=10).map(|tenth| f64::from(tenth) * 10.0)).collect();
        for millivolts in 3000..=4200 {
            let at = f64::from(millivolts) / 1000.0;
            let (ours, theirs) = (between(&built_in, at), between(&cell, at));
            assert!(ours <= theirs + 1e-9, "{source}: {ours} % at {at} V, where the cell holds {theirs} %");
        }
    }
}

/// A pack of four cells, 5 Ah and 14.8 V.
fn pack(reserve: i32) -> Figures {
    let mut figures = figures();
    figures.battery.capacity = Capacity::new(5000).expect("in range");
    figures.battery.health = Health::new(100).expect("in range");
    figures.battery.reserve = Reserve::new(reserve).expect("in range");
    figures
}

/// What may be used of a pack, 0.001 Wh.
fn usable(figures: Figures, volts: Option<i32>) -> i32 {
    let voltage = |volts| PackReading { voltage: Voltage::new(volts).expect("in range"), rested: None };
    let ring = vec![(-20_000, -20_000), (-20_000, 20_000), (20_000, 20_000), (20_000, -20_000)];
    let site = Site::new(figures).polygon("around", ZoneKind::KeepIn, None, &[ring]).expect("room");
    let readings = Readings { pack: volts.map(voltage), ..Readings::default() };
    let verdict = judge_with(&site.seal().expect("sound"), launch(0, 0), readings, &[climb(2000), Step::Land]);
    found(&verdict, Rule::Reserve, None).and_then(|finding| finding.measure).expect("a measure").clearance
}

#[test]
fn a_table_of_a_published_cell_tells_its_charge() {
    for Cell { source, volts } in CELLS {
        let points = volts.into_iter().zip(0_u8..).map(|(volts, tenth)| {
            #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "some thousand")]
            let cell = CellVoltage::new((volts * 1000.0).round() as u16).expect("in range");
            ChargePoint { cell, charge: StateOfCharge::new(tenth * 10).expect("in range") }
        });
        let with = Figures { charge: Some(points.collect()), ..pack(0) };
        for tenth in 1..10 {
            // The reading's 0.01 V are rounded up: a little more than so many tenths of 74 Wh.
            #[expect(clippy::cast_possible_truncation, reason = "some thousand")]
            let volts = (volts[tenth] * 400.0).ceil() as i32;
            let expected = 7_400 * i32::try_from(tenth).expect("small");
            let found = usable(with.clone(), Some(volts));
            // 0.01 V of four cells are at most 8 per cent of the charge, where the curve is flattest.
            assert!((expected..expected + 600).contains(&found), "{source}: {found} at {volts}, and {expected}");
        }
    }
}

/// 4 cells of 5 Ah: 74.0 Wh nominal and 59.2 Wh at 80 % (elementary; planning on 80 % is common practice, no source).
#[test]
fn a_pack_by_plan_gives_its_nominal_energy_less_the_reserve() {
    assert_eq!([usable(pack(0), None), usable(pack(20), None)], [74_000, 59_200]);
}
