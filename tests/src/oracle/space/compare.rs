//! A verdict against what every obstacle leaves.

use pinfold_core::{
    geometry::position::Position,
    model::{
        limits::Figures,
        route::{Launch, Step},
        store::Limits,
        zone::ZoneKind,
    },
    verdict::{Finding, Rule, Verdict},
};

use super::{
    air::Air,
    decision::{Decision, decide},
    ground::Terrain,
    lay::Ground,
    levels::{above_floor, below_ceilings, fits_ground, in_range, stands_there},
    passage::{Kind, Passage, passages},
    zone::{Airs, Spare, Zone},
};
use crate::oracle::{
    exact::Local,
    flight::{Doing, home, hundredths, local, pieces},
};

/// What there is to be known of a case, but for its zones.
#[derive(Debug)]
pub struct Judge {
    figures: Figures,
    launch: Launch,
    passages: Vec<Passage>,
    airs: Airs,
    terrain: Option<Terrain>,
}

impl Judge {
    /// Of a flight.
    #[must_use]
    pub fn new(figures: &Figures, launch: &Launch, steps: &[Step], ground: Option<&Ground>) -> Self {
        let terrain = ground.map(|ground| Terrain::new(figures, launch, ground));
        let mut pieces = pieces(figures, launch, steps);
        let planned = launch.elevation.map(|height| hundredths(height.get())).map(|height| (height, height));
        let elevation = planned.or_else(|| terrain.as_ref()?.elevation);
        if let (Some(last), Some(Step::Land)) = (pieces.last_mut(), steps.last()) {
            let below = terrain.as_ref().filter(|_| last.to != (0, 0)).and_then(|terrain| terrain.at(last.to));
            last.heights.1 = below.zip(elevation).map_or(0.0, |(ground, launch)| ground.0 - launch.1);
        }
        let above = hundredths(figures.heights.ceiling.get()).max(0.0);
        let air = |above: f64| Air::new(figures.air, elevation.map_or(f64::NAN, |(launch, _)| launch), above);
        let airs = Airs { least: air(0.0), most: air(above) };
        let passages = passages(figures, home(launch), &pieces);
        Self { figures: figures.clone(), launch: launch.clone(), passages, airs, terrain }
    }

    /// Opposite corners of the box around everything that passes.
    #[must_use]
    pub fn extent(&self) -> (Local, Local) {
        let corners = || self.passages.iter().flat_map(|passage| passage.triangle);
        let low = corners().fold((0, 0), |low: Local, corner| (low.0.min(corner.0), low.1.min(corner.1)));
        let high = corners().fold((0, 0), |high: Local, corner| (high.0.max(corner.0), high.1.max(corner.1)));
        (low, high)
    }

    /// The widest horizontal margin.
    #[must_use]
    pub fn widest(&self) -> f64 {
        let margins = self.passages.iter().map(|passage| passage.across.0 + passage.spread.surely);
        margins.fold(0.0, f64::max)
    }

    /// What the pieces, or the returns, have to spare above the ground, or above one cell.
    #[must_use]
    pub fn above_ground(&self, own: bool, cell: Option<usize>) -> f64 {
        let Some(terrain) = &self.terrain else { return f64::INFINITY };
        let terrain = cell.map_or_else(|| terrain.clone(), |number| terrain.only(number));
        let asked = self.passages.iter().filter(|passage| (passage.kind == Kind::Own) == own);
        let spares = asked.flat_map(|passage| terrain.above(passage, &self.airs));
        spares.map(|spare| spare.most).fold(f64::INFINITY, f64::min)
    }

    /// What they have to spare below the ceiling above the ground.
    #[must_use]
    pub fn below_ground_ceiling(&self, own: bool) -> f64 {
        let Some(terrain) = &self.terrain else { return f64::INFINITY };
        let asked = self.passages.iter().filter(|passage| (passage.kind == Kind::Own) == own);
        let spares = asked.flat_map(|passage| terrain.below(passage, &self.airs));
        spares.map(|spare| spare.most).fold(f64::INFINITY, f64::min)
    }

    /// The lowest height that is flown and the highest that is reached, margins and air counted.
    #[must_use]
    pub fn levels(&self) -> (f64, f64) {
        let ends = |passage: &Passage| [passage.heights(0.0), passage.heights(1.0)];
        let own = || self.passages.iter().filter(|passage| passage.kind == Kind::Own && passage.doing == Doing::Fly);
        let lowest = own().flat_map(ends).map(|(low, _)| self.airs.least.lowest(low)).fold(f64::INFINITY, f64::min);
        let reached = self
            .passages
            .iter()
            .flat_map(|passage| ends(passage).map(|(_, high)| self.airs.least.highest(high) + passage.up.0));
        (lowest, reached.fold(0.0, f64::max))
    }

    /// How far the aircraft gets from a station, or from launch.
    #[must_use]
    pub fn farthest(&self, station: Option<Position>) -> f64 {
        let station = station.map_or((0, 0), |station| local(&self.launch, station));
        let spares = self.collect(
            |passage| passage.kind == Kind::Own,
            |passage| vec![in_range(home(&self.launch), station, 0.0, passage)],
        );
        -spares.iter().map(|spare| spare.most).fold(f64::INFINITY, f64::min)
    }

    /// What a zone leaves the pieces themselves, or the returns.
    #[must_use]
    pub fn spare_of(&self, zone: &Zone, own: bool) -> f64 {
        self.spares(zone, own).iter().map(|spare| spare.most).fold(f64::INFINITY, f64::min)
    }

    /// What a zone leaves of everything that one rule asks about.
    fn spares(&self, zone: &Zone, own: bool) -> Vec<Spare> {
        let asked = |passage: &&Passage| match passage.kind {
            Kind::Own => own,
            Kind::Home => !own,
            // Without heights the piece itself and the ways home say all.
            Kind::Rise | Kind::Column => !own && zone.has_heights(),
        };
        let spare = |passage: &Passage| eased(passage, zone.spare(passage, &self.airs));
        self.passages.iter().filter(asked).map(spare).collect()
    }

    /// Every decision of a verdict.
    #[must_use]
    pub fn decisions(&self, limits: Limits<'_>, here: Option<Position>, verdict: &Verdict) -> Vec<Decision> {
        let launch = &self.launch;
        let mut all = self.heights();
        let zones = limits.zones().map(|(number, zone)| Zone::of_limits(limits, launch, number, zone));
        for zone in &zones.collect::<Vec<_>>() {
            let rule = match zone.kind {
                ZoneKind::KeepIn => Rule::KeepIn,
                ZoneKind::KeepOut => Rule::KeepOut,
                ZoneKind::People => Rule::People,
            };
            for (rule, own) in [(rule, true), (Rule::ReturnPath, false)] {
                all.push((rule, Some(zone.number), self.spares(zone, own)));
            }
        }
        all.extend(self.ranges());
        all.extend(self.at_launch(here));
        let length = self.passages.iter().map(Passage::length).fold(0.0, f64::max);
        let asked = all.into_iter().filter(|(.., spares)| !spares.is_empty());
        asked.map(|(rule, zone, spares)| decide(rule, zone, &spares, finding(verdict, rule, zone), length)).collect()
    }

    fn collect(&self, asked: impl Fn(&Passage) -> bool, spares: impl Fn(&Passage) -> Vec<Spare>) -> Vec<Spare> {
        let eased = |passage| spares(passage).into_iter().map(|spare| eased(passage, spare)).collect::<Vec<_>>();
        self.passages.iter().filter(|passage| asked(passage)).flat_map(eased).collect()
    }

    fn above(&self, passage: &Passage) -> Vec<Spare> {
        self.terrain.as_ref().map_or_else(Vec::new, |terrain| terrain.above(passage, &self.airs))
    }

    fn below(&self, passage: &Passage) -> Vec<Spare> {
        let mut all = self.terrain.as_ref().map_or_else(Vec::new, |terrain| terrain.below(passage, &self.airs));
        let planned = self.launch.elevation.map(|height| hundredths(height.get())).map(|height| (height, height));
        let elevation = planned.or_else(|| self.terrain.as_ref()?.elevation);
        all.push(below_ceilings(&self.figures, elevation, passage, &self.airs));
        all
    }

    /// Rules about heights alone.
    fn heights(&self) -> Vec<Asked> {
        let own = |passage: &Passage| passage.kind == Kind::Own;
        let returns = |passage: &Passage| matches!(passage.kind, Kind::Home | Kind::Rise);
        let floor = |passage: &Passage| above_floor(&self.figures, passage, &self.airs).into_iter().collect();
        let mut returned = self.collect(returns, |passage| self.below(passage));
        returned.extend(self.collect(returns, |passage| self.above(passage)));
        vec![
            (Rule::Ceiling, None, self.collect(own, |passage| self.below(passage))),
            (Rule::Floor, None, self.collect(own, floor)),
            (Rule::Ground, None, self.collect(own, |passage| self.above(passage))),
            (Rule::ReturnPath, None, returned),
        ]
    }

    /// Rules about how far away the aircraft may be.
    fn ranges(&self) -> Vec<Asked> {
        let home = home(&self.launch);
        let own = |passage: &Passage| passage.kind == Kind::Own;
        let eye = 327.0 * hundredths(self.figures.aircraft.size.get()) + 20.0;
        let mut all =
            vec![(Rule::Sight, None, self.collect(own, |passage| vec![in_range(home, (0, 0), eye, passage)]))];
        if let Some(link) = self.figures.link {
            let station = link.station.map_or((0, 0), |station| local(&self.launch, station));
            let range = hundredths(link.range.get());
            all.push((Rule::Link, None, self.collect(own, |passage| vec![in_range(home, station, range, passage)])));
        }
        all
    }

    /// Where the aircraft stands, and how high the ground is there.
    fn at_launch(&self, here: Option<Position>) -> Option<Asked> {
        let stands = stands_there(&self.figures, &self.launch, home(&self.launch), here);
        let fits = self.terrain.as_ref().and_then(|terrain| fits_ground(&self.launch, terrain));
        let spare = |(most, least): (f64, f64)| Spare {
            step: 0,
            kind: Kind::Own,
            most,
            least,
            needless: least,
            flat: None,
            touched: most == f64::NEG_INFINITY,
        };
        let spares: Vec<Spare> = stands.into_iter().chain(fits).map(spare).collect();
        (!spares.is_empty()).then_some((Rule::Launch, None, spares))
    }
}

/// What an idle passage leaves needn't be reported.
fn eased(passage: &Passage, spare: Spare) -> Spare {
    if passage.is_idle() { Spare { most: f64::INFINITY, touched: false, flat: None, ..spare } } else { spare }
}

/// A rule, a zone, and what everything that it is about has to spare.
type Asked = (Rule, Option<u8>, Vec<Spare>);

/// What a rule found about a zone, or about none.
fn finding(verdict: &Verdict, rule: Rule, zone: Option<u8>) -> Option<&Finding> {
    verdict.findings.iter().find(|finding| finding.rule == rule && finding.zone == zone)
}
