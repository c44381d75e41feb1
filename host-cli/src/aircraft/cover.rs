//! A power table that covers a curve: nowhere below it, and little above.

use pinfold_core::model::limits::POWER_POINTS;

use super::table::{Point, PowerTable, watts_ceil};

/// A table with fewer points is taken where it is nowhere further above the curve than this part of it.
const CLOSE: f64 = 0.02;
/// Points stand at multiples of this, 0.01 m/s, or of a multiple of it; the last one at the end of the curve.
const RASTER: u16 = 50;
/// So many places for points are tried, about.
const PLACES: u16 = 40;
/// The curve is looked at in so small steps, 0.01 m/s.
const FINE: u16 = 5;
/// What a curve may do between two of these steps, W: with a bend of 10 W per (m/s)^2 it is 0.004.
const BETWEEN: f64 = 0.01;

/// The table with the fewest points that covers `curve` closely from 0 to `end` (0.01 m/s), or with just so many.
pub(crate) fn cover(curve: impl Fn(f64) -> f64, end: u16, points: Option<usize>) -> PowerTable {
    let curve = Curve::new(curve, end);
    let most = POWER_POINTS.min(curve.knots.len());
    let counts = points.map_or(2..=most, |points| points.min(most)..=points.min(most));
    let mut tables = counts.map(|points| curve.raised(&curve.chosen(points))).peekable();
    let mut last = None;
    while let Some(table) = tables.next() {
        if tables.peek().is_none() || curve.excess(&table) <= CLOSE {
            return table;
        }
        last = Some(table);
    }
    last.unwrap_or(PowerTable(Vec::new()))
}

/// The largest part that a table is above a curve.
pub(crate) fn excess(table: &PowerTable, curve: impl Fn(f64) -> f64) -> f64 {
    Curve::new(curve, table.0.last().map_or(0, |point| point.airspeed)).excess(table)
}

/// A curve, looked at in fine steps.
struct Curve {
    /// Airspeed, 0.01 m/s, and W.
    fine: Vec<(u16, f64)>,
    /// Where points may stand: indices of `fine`.
    knots: Vec<usize>,
    /// What the chord from one knot to a later one costs.
    costs: Vec<Vec<f64>>,
}

impl Curve {
    fn new(curve: impl Fn(f64) -> f64, end: u16) -> Self {
        let speeds = (0..end).step_by(usize::from(FINE)).chain([end]);
        let fine: Vec<_> = speeds.map(|speed| (speed, curve(f64::from(speed) / 100.0))).collect();
        let raster = RASTER * end.div_ceil(RASTER * PLACES).max(1);
        let mut knots: Vec<_> = (0..fine.len() - 1).step_by(usize::from(raster / FINE)).collect();
        // The last point is not crowded.
        if knots.len() > 1 && knots.last().is_some_and(|knot| fine[*knot].0 + raster / 2 > end) {
            knots.pop();
        }
        knots.push(fine.len() - 1);
        let mut whole = Self { fine, knots, costs: Vec::new() };
        whole.costs = whole.knots.iter().map(|from| whole.costs_from(*from)).collect();
        whole
    }

    fn costs_from(&self, from: usize) -> Vec<f64> {
        let cost = |to: &usize| if *to > from { self.cost(from, *to) } else { f64::INFINITY };
        self.knots.iter().map(cost).collect()
    }

    /// How far the curve is above the chord between two knots at most, and below it at most, W.
    fn bulges(&self, from: usize, to: usize) -> (f64, f64) {
        let ((start, low), (end, high)) = (self.fine[from], self.fine[to]);
        let chord = |at: u16| low + (high - low) * f64::from(at - start) / f64::from(end - start);
        let off = self.fine[from..=to].iter().map(|(at, value)| value - chord(*at));
        off.fold((0.0, 0.0), |(above, below): (f64, f64), off| (above.max(off), below.max(-off)))
    }

    /// What a chord costs: how much must be added to its ends, or how far it is above, as part of the lower end.
    fn cost(&self, from: usize, to: usize) -> f64 {
        let (above, below) = self.bulges(from, to);
        above.max(below) / self.fine[from].1.min(self.fine[to].1).max(1.0)
    }

    /// The knots of the cheapest chain of so many: each chain ends in its last chord.
    fn chosen(&self, points: usize) -> Vec<usize> {
        let count = self.knots.len();
        let first = |knot: usize| if knot == 0 { (0.0, vec![0]) } else { (f64::INFINITY, Vec::new()) };
        let mut chains: Vec<(f64, Vec<usize>)> = (0..count).map(first).collect();
        for _ in 1..points {
            chains = (0..count).map(|knot| self.lengthened(&chains, knot)).collect();
        }
        chains.pop().map(|(_, chain)| chain).unwrap_or_default()
    }

    /// The cheapest of the chains that end before `knot`, with a chord to it.
    fn lengthened(&self, chains: &[(f64, Vec<usize>)], knot: usize) -> (f64, Vec<usize>) {
        let costs = chains[..knot].iter().enumerate().filter(|(_, (cost, _))| cost.is_finite());
        let costs = costs.map(|(from, (cost, _))| (from, cost.max(self.costs[from][knot])));
        match costs.min_by(|a, b| a.1.total_cmp(&b.1)) {
            Some((from, cost)) => (cost, [&chains[from].1[..], &[self.knots[knot]]].concat()),
            None => (f64::INFINITY, Vec::new()),
        }
    }

    /// The table through knots, raised at both ends of a chord by what the curve bulges above it.
    fn raised(&self, knots: &[usize]) -> PowerTable {
        let above: Vec<f64> = knots.windows(2).map(|pair| self.bulges(pair[0], pair[1]).0 + BETWEEN).collect();
        let lift = |at: usize| {
            let before = at.checked_sub(1).and_then(|before| above.get(before));
            before.into_iter().chain(above.get(at)).fold(0.0_f64, |most, above| most.max(*above))
        };
        let point = |(at, knot): (usize, &usize)| {
            let (airspeed, value) = self.fine[*knot];
            Point { airspeed, watts: watts_ceil(value + lift(at)) }
        };
        PowerTable(knots.iter().enumerate().map(point).collect())
    }

    fn excess(&self, table: &PowerTable) -> f64 {
        let parts = self
            .fine
            .iter()
            .filter_map(|(at, value)| table.at(f64::from(*at) / 100.0).map(|watts| (watts - value) / value));
        parts.fold(0.0, f64::max)
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    /// Whether a table is nowhere below a curve, looked at between the steps as well.
    fn covers(table: &PowerTable, curve: impl Fn(f64) -> f64) -> bool {
        let speeds = (0..=u32::from(table.0.last().unwrap().airspeed) * 10).map(|count| f64::from(count) / 1000.0);
        speeds.into_iter().all(|speed| table.at(speed).is_none_or(|watts| watts >= curve(speed)))
    }

    #[test]
    fn a_straight_curve_needs_two_points() {
        let table = cover(|speed| 100.0 + 10.0 * speed, 1200, None);
        assert_eq!(table.0, [(0, 101), (1200, 221)].map(|(airspeed, watts)| Point { airspeed, watts }));
    }

    #[test]
    fn a_curve_that_bends_up_is_covered_by_its_chords_and_one_that_bends_down_by_raised_ones() {
        for bend in [2.0, -2.0] {
            let curve = |speed: f64| 200.0 + bend * (speed - 3.0).powi(2);
            let table = cover(curve, 800, None);
            assert!(covers(&table, curve), "{table}");
            assert!(excess(&table, curve) <= CLOSE, "{table}");
        }
    }

    #[test]
    fn so_many_points_are_given_as_are_asked_for() {
        for points in 2..=8 {
            let table = cover(|speed| 150.0 + speed.powi(3) / 10.0, 1000, Some(points));
            assert_eq!(table.0.len(), points);
            assert_eq!((table.0[0].airspeed, table.end()), (0, 10.0));
        }
        assert_eq!(cover(|_| 100.0, 60, Some(8)).0.len(), 2, "there is no room for more");
    }

    #[test]
    fn the_end_is_where_it_is_asked_for() {
        assert_eq!(cover(|speed| 100.0 + speed, 1234, None).end(), 12.34);
    }

    proptest! {
        #[test]
        fn no_curve_is_above_its_table(
            hover in 20.0..5000.0, valley in 0.0..0.5, deepest in 2.0..12.0, rise in 0.0..0.05, end in 100_u16..3000,
        ) {
            let curve = |speed: f64| {
                let off: f64 = (speed - deepest) / deepest;
                let dip = valley * (-off.powi(2)).exp();
                hover * (1.0 - dip + rise * speed.powi(2) / 50.0)
            };
            prop_assert!(covers(&cover(curve, end, None), curve));
        }
    }
}
