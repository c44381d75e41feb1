//! Keep-in and keep-out: clearance, required, what is to spare, and the refusal.

use pinfold_core::{
    model::zone::ZoneKind,
    verdict::{Finding, Rule},
};

use super::{COUNT, Comparison, NUMERIC, reported, stops};
use crate::oracle::{
    course::{Course, Reading},
    flight::Piece,
    tally::Fault,
    zones::{Gap, Spare, Zone, tolerance, zones},
};

impl Comparison<'_> {
    pub(super) fn zones(&mut self, pieces: &[Piece]) {
        let margins = self.limits.figures().margins;
        for zone in zones(self.limits, self.launch, self.home) {
            let rule = if zone.kind == ZoneKind::KeepIn { Rule::KeepIn } else { Rule::KeepOut };
            let Some(finding) = self.finding(rule, Some(zone.number)) else {
                self.hold(Fault::Unsound, rule, false, || format!("nothing said of zone {}", zone.number));
                continue;
            };
            if zone.band.is_some() {
                let spares: Vec<_> = pieces.iter().filter_map(|piece| zone.spare(&margins, self.home, piece)).collect();
                self.band(rule, &finding, &spares);
            } else {
                let gaps: Vec<_> = pieces.iter().map(|piece| zone.gap(&margins, self.home, piece)).collect();
                self.plain(rule, &finding, &gaps);
                self.readings(rule, &finding, &zone, pieces, &gaps);
            }
        }
    }

    /// A zone without heights: clearance and required each, what is to spare, and the refusal.
    fn plain(&mut self, rule: Rule, finding: &Finding, gaps: &[Gap]) {
        let Some((clearance, required, spare)) = reported(finding) else { return };
        let show = || format!("reported {clearance} of {required}, step {}; {gaps:#?}", finding.step);
        let least = |value: &dyn Fn(&Gap) -> f64| gaps.iter().map(value).fold(f64::INFINITY, f64::min);
        let stop = stops(Some(finding));
        let touches = gaps.iter().any(|gap| gap.touches);
        self.note(stop, least(&|gap| gap.meters - gap.margin.0 - gap.apart.from_degrees));

        self.hold(Fault::Unsound, rule, stop || !touches, show);
        let most = least(&|gap| gap.meters - gap.margin.0 - gap.apart.from_degrees);
        self.hold(Fault::Unsound, rule, spare <= most + NUMERIC, show);
        let own = || gaps.iter().filter(|gap| gap.step == finding.step);
        let sound = |gap: &Gap| {
            clearance <= gap.meters + NUMERIC && required >= gap.margin.0 + gap.apart.from_degrees - NUMERIC
        };
        self.hold(Fault::Unsound, rule, own().any(sound), show);

        let tight = |gap: &Gap| {
            let wide = gap.margin.1 + 1.1 * gap.apart.sideways + 0.02;
            let near = gap.touches || clearance >= gap.meters - tolerance(gap.meters, gap.length, &gap.apart) - COUNT;
            near && required <= wide + COUNT
        };
        self.hold(Fault::Loose, rule, own().any(tight), show);
        let eased =
            |gap: &Gap| gap.meters - tolerance(gap.meters, gap.length, &gap.apart) - gap.margin.1 - gap.apart.sideways;
        self.hold(Fault::Needless, rule, touches || !stop || least(&eased) <= COUNT, show);
    }

    /// If the zone is kept, so it is by every reading of every leg.
    fn readings(&mut self, rule: Rule, finding: &Finding, zone: &Zone, pieces: &[Piece], gaps: &[Gap]) {
        if stops(Some(finding)) {
            return;
        }
        for (piece, gap) in pieces.iter().zip(gaps) {
            if gap.length == 0.0 || gap.meters - gap.margin.0 > 2.0 * gap.apart.sideways + 0.01 {
                continue;
            }
            for reading in [Reading::Geodesic, Reading::Tangent] {
                let course = Course::new(self.home, piece.from, piece.to, reading);
                let meters = zone.outline_distance(&course);
                self.tally.count("other readings walked");
                let show = || format!("{reading:?} is {meters} away; {gap:#?}");
                self.hold(Fault::Unsound, rule, meters >= gap.margin.0 - NUMERIC, show);
            }
        }
    }

    /// A zone with heights: what is to spare, and the refusal.
    fn band(&mut self, rule: Rule, finding: &Finding, spares: &[Spare]) {
        let Some((clearance, required, spare)) = reported(finding) else { return };
        let least = |value: &dyn Fn(&Spare) -> f64| spares.iter().map(value).fold(f64::INFINITY, f64::min);
        let show = || format!("reported {clearance} of {required}, step {}; {spares:#?}", finding.step);
        let stop = stops(Some(finding));
        self.note(stop, least(&|spare| spare.worst));
        self.hold(Fault::Unsound, rule, spare <= least(&|spare| spare.most) + NUMERIC, show);
        self.hold(Fault::Unsound, rule, stop || least(&|spare| spare.worst) >= -NUMERIC, show);
        self.hold(Fault::Loose, rule, spare >= least(&|spare| spare.least) - NUMERIC, show);
        self.hold(Fault::Needless, rule, !stop || least(&|spare| spare.needless) <= NUMERIC, show);
    }

    fn note(&mut self, stop: bool, spare: f64) {
        self.tally.count(if stop { "zone refused" } else { "zone kept" });
        if spare.abs() < 0.1 {
            self.tally.count(if stop {
                "zone refused within 10 cm of the margin"
            } else {
                "zone kept within 10 cm of the margin"
            });
        }
    }
}
