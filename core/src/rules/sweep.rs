//! What passes over the ground on a leg: the aircraft itself, the rises that could begin a return anywhere on it, or all the
//! ways home from there, which fill a triangle. And what is demanded of it.

use super::{Scene, leg::Leg};
use crate::{
    arithmetic::{clamp_i32, divide_ceil, divide_floor, divisor},
    geometry::{
        plane::{PART_BITS, Part, WHOLE},
        predicate::Point,
        separation::Line,
        shape::{Approach, Place, Shape},
        straightness::point_between,
    },
    verdict::Place as Reported,
};

/// Which heights are taken where the leg itself has a height h. The figure is the return height, 0.01 m above launch.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Heights {
    /// h.
    Own,
    /// From h up to the return height, where that is higher.
    Rise(i32),
    /// The higher of h and the return height, all the way to launch.
    Home(i32),
}

impl Heights {
    pub(crate) fn lowest(self, own: i32) -> i32 {
        match self {
            Self::Own | Self::Rise(_) => own,
            Self::Home(height) => own.max(height),
        }
    }

    pub(crate) fn highest(self, own: i32) -> i32 {
        match self {
            Self::Own => own,
            Self::Rise(height) | Self::Home(height) => own.max(height),
        }
    }

    /// The least height that all of these reach at least, whatever the leg's own is.
    const fn always(self) -> Option<i32> {
        match self {
            Self::Own => None,
            Self::Rise(height) | Self::Home(height) => Some(height),
        }
    }
}

/// What passes, and the margins that it must keep, 0.01 m.
#[derive(Clone)]
pub(crate) struct Sweep<'a> {
    pub(crate) scene: &'a Scene<'a>,
    pub(crate) leg: &'a Leg,
    /// All of the ground that is passed over.
    pub(crate) shape: Shape,
    pub(crate) heights: Heights,
    pub(crate) horizontal: i32,
    /// What of the horizontal margin is for the readings of "straight", rounded up.
    pub(crate) apart: i32,
    pub(crate) up: i32,
    pub(crate) down: i32,
}

impl<'a> Sweep<'a> {
    /// The leg itself.
    pub(crate) fn of_leg(scene: &'a Scene<'a>, leg: &'a Leg) -> Self {
        let margins = &scene.around.margins;
        Self {
            scene,
            leg,
            shape: Shape::of_line(leg.line),
            heights: Heights::Own,
            horizontal: margins.horizontal_ceil(leg.piece.margin_speed.max(0), leg.apart),
            apart: centimetres_ceil(leg.apart),
            up: margins.up_ceil(leg.piece.speed.max(0)),
            down: margins.down(),
        }
    }

    /// The rises that could begin a return on it.
    pub(crate) fn of_rises(scene: &'a Scene<'a>, leg: &'a Leg) -> Self {
        let heights = Heights::Rise(scene.figures().homeward.height.get());
        Self { heights, up: scene.around.margins.up_ceil(0), ..Self::of_leg(scene, leg) }
    }

    /// The ways home. One without length is no flight: nothing runs on.
    pub(crate) fn of_ways_home(scene: &'a Scene<'a>, leg: &'a Leg) -> Self {
        let homeward = &scene.figures().homeward;
        let margins = &scene.around.margins;
        let speed = if leg.at_launch() { 0 } else { homeward.speed.get() };
        let apart = leg.apart.saturating_add(leg.home_apart_ceil(&scene.around.frame));
        let [from, to] = leg.ends();
        Self {
            scene,
            leg,
            shape: Shape::triangle(&scene.around.frame, from, to, Place::LAUNCH),
            heights: Heights::Home(homeward.height.get()),
            horizontal: margins.horizontal_ceil(speed, apart),
            apart: centimetres_ceil(apart),
            up: margins.up_ceil(speed),
            down: margins.down(),
        }
    }

    /// Whether place and height change together. Where the highest heights of what passes differ the lowest do.
    pub(crate) fn slanted(&self) -> bool {
        let (leg, lowest) = (self.leg, |own: i32| self.heights.lowest(own));
        leg.line.from != leg.line.to && lowest(leg.lowest()) != lowest(leg.highest())
    }

    /// The ground that is passed over on a part of the leg.
    pub(crate) fn shape_over(&self, stretch: Stretch) -> Shape {
        if stretch.is_all() {
            return self.shape.clone();
        }
        let frame = &self.scene.around.frame;
        let [from, to] = [stretch.start, stretch.end].map(|part| Place::new(frame, self.leg.point(part)));
        match self.heights {
            Heights::Own | Heights::Rise(_) => Shape::of_line(from.line_to(frame, to)),
            Heights::Home(_) => Shape::triangle(frame, from, to, Place::LAUNCH),
        }
    }

    /// The heights of the leg (0.01 m, both included) at which what passes is neither surely up to `low` nor surely from `high`
    /// (above launch, 0.01 m), if there are any.
    pub(crate) fn between(&self, low: i64, high: i64) -> Option<(i64, i64)> {
        let air = self.scene.around.air;
        let (mut from, mut to) = (air.surely_up_to(low), air.surely_from(high));
        if let Some(always) = self.heights.always() {
            if i64::from(always) > from {
                from = i64::MIN;
            }
            if matches!(self.heights, Heights::Home(_)) && i64::from(always) >= to {
                to = i64::MIN;
            }
        }
        let (lowest, highest) = (i64::from(self.leg.lowest()), i64::from(self.leg.highest()));
        (from < highest && to > lowest && from < to).then(|| (from.max(lowest), to.min(highest)))
    }

    /// Where an approach to the shape over a stretch was, to tell a person.
    pub(crate) fn place(&self, shape: &Shape, stretch: Stretch, approach: Approach) -> Reported {
        let own = self.leg.height_at(stretch.part(Shape::part_of_base(approach)));
        Reported {
            position: self.scene.around.frame.position(shape.place(approach)),
            height: if matches!(self.heights, Heights::Home(_)) { self.heights.highest(own) } else { own },
        }
    }
}

/// mm to 0.01 m, rounded up, for values from 0.
fn centimetres_ceil(millimetres: i64) -> i32 {
    clamp_i32(millimetres.saturating_add(9) / 10)
}

/// A part of a leg.
#[derive(Clone, Copy)]
pub(crate) struct Stretch {
    pub(crate) start: Part,
    pub(crate) end: Part,
}

impl Stretch {
    /// The whole leg.
    pub(crate) const ALL: Self = Self { start: 0, end: WHOLE };

    pub(crate) const fn is_all(self) -> bool {
        self.start == 0 && self.end == WHOLE
    }

    /// The part of a slanted leg with these heights, made longer by half the bow at both ends: "linear with the distance covered"
    /// means something slightly different along each reading of a straight line.
    ///
    /// With L and α the leg's length and azimuth, a place that is a share t of the way in longitude and latitude is shifted
    /// along the leg against the share t of the distance covered, and against that of the chord, by tan φ L² / (2 R) times
    /// sin² α cos α t (1 - t): at most 0.385 tan φ L² / (8 R), where the bow is 1.10 tan φ L² / (8 R).
    pub(crate) fn with_heights(leg: &Leg, (from, to): (i64, i64)) -> Self {
        if leg.rise() == 0 {
            return Self::ALL;
        }
        let half_bow = leg.line.bow.unsigned_abs().div_ceil(2);
        let shift = divide_ceil(half_bow << PART_BITS, divisor(leg.length_floor.unsigned_abs()));
        let shift = u32::try_from(shift).unwrap_or(WHOLE).saturating_add(1);
        let (one, two) = (part_at(leg, clamp_i32(from)), part_at(leg, clamp_i32(to)));
        let end = one.max(two).saturating_add(shift).saturating_add(1).min(WHOLE);
        Self { start: one.min(two).saturating_sub(shift), end }
    }

    /// A part of the stretch as a part of the leg, rounded down.
    pub(crate) fn part(self, within: Part) -> Part {
        let size = u64::from(self.end.saturating_sub(self.start));
        let way = size.saturating_mul(u64::from(within)) >> PART_BITS;
        self.start.saturating_add(u32::try_from(way).unwrap_or(0))
    }
}

/// Where along a leg it has a height that is between those of its ends, rounded down.
fn part_at(leg: &Leg, height: i32) -> Part {
    let done = u64::from(height.abs_diff(leg.piece.from.height));
    let part = divide_floor(done << PART_BITS, divisor(u64::from(leg.rise().unsigned_abs())));
    u32::try_from(part).unwrap_or(WHOLE).min(WHOLE)
}

/// The vertical gap that leaves `spare` more than `margin`, 0.01 m. Zones and the ground are closed: a gap of nothing is a touch,
/// and counts as 1 cm less than nothing.
pub(crate) fn gap_to_keep(margin: i32, spare: i64) -> i64 {
    match i64::from(margin).saturating_add(spare) {
        0 => 1,
        gap => gap,
    }
}

/// What trying a value showed.
pub(crate) enum Trial {
    /// It is kept.
    Kept,
    /// It isn't, but `from` is, and from `to` on nothing is; the second may be a guess.
    Not { from: i64, to: i64 },
}

/// The largest value from `low` (known to be kept) up to `high` for which `trial` showed that it is kept, to 1 where what it
/// says of others is right.
pub(crate) fn search(low: i64, high: i64, trial: impl Fn(i64) -> Trial) -> i64 {
    /// Twice what halving takes for the largest interval of heights.
    const TRIALS: u32 = 48;
    let (mut low, mut high) = (low, high);
    let mut guess = Some(high.saturating_sub(1));
    for _ in 0..TRIALS {
        if high.saturating_sub(low) <= 1 {
            break;
        }
        // By turns what the last trial suggests, and the middle.
        let suggested = guess.is_some();
        let value = guess.take().unwrap_or(low.saturating_add(high) / 2);
        match trial(value) {
            Trial::Kept => low = value,
            Trial::Not { from, to } => {
                low = low.max(from);
                high = value.min(to.max(low.saturating_add(1)));
                guess = Some(high.saturating_sub(1)).filter(|_| !suggested);
            }
        }
    }
    low
}

impl Leg {
    /// Whether it stays at the launch point.
    pub(crate) fn at_launch(&self) -> bool {
        self.line.from == Place::LAUNCH.point && self.line.to == Place::LAUNCH.point
    }

    /// Its ends.
    fn ends(&self) -> [Place; 2] {
        let Line { from, to, chord, .. } = self.line;
        [Place { point: from, plane: chord.from }, Place { point: to, plane: chord.to }]
    }

    /// The point that part of the way along.
    pub(crate) fn point(&self, part: Part) -> Point {
        point_between(self.piece.from.place, self.piece.to.place, part)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{
        geometry::{frame::Frame, position::Position},
        model::path::{Motion, Piece, Spot},
    };
    use core::cell::Cell;

    #[test]
    fn heights_are_those_of_what_passes() {
        let home = Heights::Home(2000);
        assert_eq!([1000, 3000].map(|own| (home.lowest(own), home.highest(own))), [(2000, 2000), (3000, 3000)]);
        let rise = Heights::Rise(2000);
        assert_eq!([1000, 3000].map(|own| (rise.lowest(own), rise.highest(own))), [(1000, 2000), (3000, 3000)]);
        assert_eq!((Heights::Own.lowest(1000), Heights::Own.highest(1000)), (1000, 1000));
        assert_eq!([home, rise, Heights::Own].map(Heights::always), [Some(2000), Some(2000), None]);
    }

    #[test]
    fn millimetres_are_rounded_up_to_centimetres() {
        assert_eq!([0, 1, 9, 10, 11, 20].map(centimetres_ceil), [0, 1, 1, 1, 2, 2]);
    }

    /// A quarter and a half of the way up are a quarter and a half of the way along, less and more half the bow, to three parts.
    #[test]
    fn a_stretch_holds_its_heights_whichever_way_straight_is_read() {
        let frame = Frame::new(Position::new(600_000_000, 0).unwrap()).unwrap();
        let spot = |x: i32, height: i32| Spot { place: Point { x: x.saturating_mul(16), y: 160_000 }, height };
        for (near, far) in [(0, 100_000), (-300_000, 700_001), (5, 3_000_000)] {
            let (from, to) = (spot(near, 1000), spot(far, 9000));
            let piece = Piece { motion: Motion::Fly, from, to, speed: 100, margin_speed: 100, time: 0 };
            let leg = Leg::new(&frame, 1, piece);
            let stretch = Stretch::with_heights(&leg, (3000, 5000));
            let [bow, length] = [leg.line.bow, leg.length_floor].map(|mm| f64::from(clamp_i32(mm)));
            let off = bow / 2.0 / length;
            let exact = [0.25 - off, 0.5 + off].map(|share| share * f64::from(WHOLE));
            let (start, end) = (f64::from(stretch.start), f64::from(stretch.end));
            assert!(start <= exact[0] && end >= exact[1], "{start} {end} for {exact:?}");
            let mm = f64::from(WHOLE) / length;
            assert!(exact[0] - start <= 3.0 + mm && end - exact[1] <= 3.0 + mm, "{start} {end} for {exact:?}");
        }
    }

    #[test]
    fn a_part_of_a_stretch_is_a_part_of_the_leg() {
        let stretch = Stretch { start: WHOLE / 4, end: WHOLE / 2 };
        assert_eq!([0, WHOLE / 2, WHOLE].map(|within| stretch.part(within)), [WHOLE / 4, WHOLE / 8 * 3, WHOLE / 2]);
        assert!(Stretch::ALL.is_all());
        assert!(!Stretch { start: 1, ..Stretch::ALL }.is_all() && !Stretch { end: WHOLE - 1, ..Stretch::ALL }.is_all());
    }

    /// A stretch with heights is longer by half the bow at both ends, as a share of the length, and by what was cut.
    #[test]
    fn a_stretch_is_longer_by_half_the_bow() {
        let frame = Frame::new(Position::new(600_000_000, 0).unwrap()).unwrap();
        let leg = |half: i32, heights: (i32, i32)| {
            let spot = |x: i32, height: i32| Spot { place: Point { x, y: 0 }, height };
            let (from, to) = (spot(-half, heights.0), spot(half, heights.1));
            Leg::new(&frame, 1, Piece { motion: Motion::Fly, from, to, speed: 100, margin_speed: 100, time: 0 })
        };
        for half in [16 * 50_000, 16 * 1_792_000] {
            for (heights, start, end) in [((0, 8000), 1, 3), ((8000, 0), 5, 7)] {
                let leg = leg(half, heights);
                let (length, bow) = (u32::try_from(leg.length_floor).unwrap(), u32::try_from(leg.line.bow).unwrap());
                let shift = bow.div_ceil(2) * (WHOLE / 1024) / (length / 1024);
                let found = Stretch::with_heights(&leg, (1000, 3000));
                let (before, after) = (WHOLE / 8 * start - found.start, found.end - WHOLE / 8 * end);
                // To a thousandth of the shift, and up to 3 parts of 2^-24 more.
                assert!(before >= shift - shift / 1000 && before <= shift + shift / 500 + 3, "{before} for {shift}");
                assert!(after >= before && after <= before + 2, "{after} for {before}");
            }
        }
        let clipped = Stretch::with_heights(&leg(16 * 50_000, (0, 8000)), (0, 8000));
        assert!(clipped.is_all());
        assert!(Stretch::with_heights(&leg(16 * 50_000, (500, 500)), (500, 500)).is_all());
    }

    /// What a search finds, and how many trials it takes, where values up to one are kept and a trial tells `from` and `to`.
    fn find(low: i64, high: i64, kept: i64, tell: impl Fn(i64) -> (i64, i64)) -> (i64, u32) {
        let trials = Cell::new(0);
        let found = search(low, high, |value| {
            trials.set(u32::saturating_add(trials.get(), 1));
            assert!(low < value && value < high, "{value} between {low} and {high}");
            let (from, to) = tell(value);
            if value <= kept { Trial::Kept } else { Trial::Not { from, to } }
        });
        (found, trials.get())
    }

    #[test]
    fn a_search_finds_the_last_value_that_is_kept_whatever_it_is_told() {
        for kept in (-50..1000).step_by(7) {
            for off in [0, 1, 5, 900] {
                // What is told is right, too low, too high, or nothing.
                let right = find(-50, 1000, kept, |_| (kept, kept + 1));
                assert!(right.0 == kept && right.1 <= 2, "{right:?} for {kept}");
                let near = find(-50, 1000, kept, |_| (kept - off, kept + 1 + off));
                assert!(near.0 == kept && near.1 <= 22, "{near:?} for {kept} to within {off}");
                let nothing = find(-50, 1000, kept, |value| (-50, value));
                assert!(nothing.0 == kept && nothing.1 <= 22, "{nothing:?} for {kept}");
                // From a wrong guess on nothing is asked: what is found is kept, but may be too low.
                let low = find(-50, 1000, kept, |_| (-50, kept - off));
                assert!(low.0 <= kept, "{low:?} for {kept}");
            }
        }
        assert_eq!(find(0, 1000, 5000, |_| (0, 0)), (999, 1), "all of them");
        assert_eq!(find(0, 1000, 0, |_| (0, 1)), (0, 1), "none of them");
        assert_eq!(find(7, 8, 7, |_| (0, 0)), (7, 0), "nothing to try");
    }
}
