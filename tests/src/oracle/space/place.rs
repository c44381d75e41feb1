//! Zones put beside a path: each is pushed until what it has to spare is a few centimetres, on one side or the other.

use pinfold_core::model::{
    route::Step,
    zone::{HeightBand, ZoneKind},
};

use super::{
    compare::Judge,
    dice::Dice,
    scene::{Draft, Plane, Scene, away, bearing},
};
use crate::{
    oracle::sketch::{Chart, Drawn},
    sample::band,
};

/// Which zones must have room for the most of 256 vertices.
const MOST_ZONES: usize = 13;

/// A zone in the making: where it points, and how far it is pushed from there.
#[derive(Clone, Copy)]
struct Peg {
    anchor: Plane,
    bearing: f64,
    gap: f64,
    look: Look,
    size: f64,
    width: f64,
    /// How far the path reaches from launch.
    reach: f64,
}

#[derive(Clone, Copy)]
enum Look {
    Corner,
    Wall,
    Needle,
    Hook,
    Circle,
    Spark,
    /// Many corners, the first the nearest.
    Star,
    /// A zone around the whole path, with a hole for it.
    Moat,
}

impl Peg {
    fn new(dice: &mut Dice, path: &[Plane], reach: f64) -> Self {
        use Look::{Circle, Corner, Hook, Moat, Needle, Spark, Star, Wall};
        let (anchor, bearing) = anchor(dice, path);
        let look = dice.pick(&[Corner, Corner, Wall, Wall, Needle, Hook, Circle, Circle, Spark, Star, Moat]);
        let most = (3.0 * reach).clamp(30.0, 8000.0);
        let (size, width) = (dice.magnitude(0.3, most), dice.magnitude(0.3, most));
        Self { anchor, bearing, gap: 0.0, look, size, width, reach }
    }

    /// A point that far ahead and to the right of the anchor, as the peg is pushed.
    fn point(&self, ahead: f64, right: f64) -> Plane {
        away(away(self.anchor, self.bearing, self.gap + ahead), self.bearing + 90.0, right)
    }

    fn draw(&self, chart: Chart) -> Drawn {
        let (size, width) = (self.size, self.width);
        let ring = |points: &[(f64, f64)]| {
            let place = |(ahead, right): &(f64, f64)| chart.counts(self.point(*ahead, *right));
            Drawn::Rings(vec![points.iter().map(place).collect()])
        };
        match self.look {
            Look::Corner => ring(&[(0.0, 0.0), (size, width), (size, -0.7 * width)]),
            Look::Wall => ring(&[(0.0, -width), (0.0, 0.6 * width), (size, 0.6 * width), (size, -width)]),
            Look::Needle => ring(&[(0.0, 0.0), (size, 0.05), (size, -0.05)]),
            Look::Spark => ring(&[(0.0, 0.0), (0.06, 0.06), (0.06, -0.06)]),
            Look::Hook => ring(&[
                (0.0, 0.0),
                (0.5 * size, width),
                (2.0 * size, width),
                (2.0 * size, -width),
                (0.3 * size, -width),
                (0.6 * size, -0.3 * width),
            ]),
            Look::Star => {
                let point = |number: u8| {
                    let turn = f64::from(number) * std::f64::consts::TAU / 16.0;
                    // Every other corner is nearer to the middle; the first is at the anchor.
                    let radius =
                        size * if number.is_multiple_of(2) { 1.0 } else { 0.4 + 0.5 * (width / (width + size)) };
                    (size - radius * turn.cos(), radius * turn.sin())
                };
                ring(&(0..16).map(point).collect::<Vec<_>>())
            }
            Look::Moat => {
                let wide = 2.0 * self.reach + 20.0 + width.min(500.0);
                let far = wide + 5.0 + size.min(500.0);
                let hole = [(0.0, -wide), (0.0, wide), (-2.0 * wide, 1.2 * wide), (-1.7 * wide, -wide)];
                let outer = [(far - wide, -far), (far - wide, far), (-2.0 * far, 1.2 * far), (-2.0 * far, -far)];
                match (ring(&outer), ring(&hole)) {
                    (Drawn::Rings(mut rings), Drawn::Rings(hole)) => {
                        rings.extend(hole);
                        Drawn::Rings(rings)
                    }
                    (other, _) => other,
                }
            }
            Look::Circle => {
                let radius = size.min(20_000.0);
                #[expect(clippy::cast_possible_truncation, reason = "a few kilometres in centimetres")]
                Drawn::Circle(chart.counts(self.point(radius, 0.0)), (radius * 100.0) as i32)
            }
        }
    }
}

/// A place on the outline of what passes, and a way out from there.
fn anchor(dice: &mut Dice, path: &[Plane]) -> (Plane, f64) {
    let number = dice.whole(1, i32::try_from(path.len()).unwrap_or(2) - 1);
    let number = usize::try_from(number).unwrap_or(1);
    let (from, to) = (path[number - 1], path[number]);
    let (a, b) = dice.pick(&[(from, to), ((0.0, 0.0), to), ((0.0, 0.0), from), (from, to)]);
    let share = dice.pick(&[0.0, 1.0, 0.5, 2.0, 2.0]);
    let share = if share > 1.0 { dice.share() } else { share };
    let place = (a.0 + share * (b.0 - a.0), a.1 + share * (b.1 - a.1));
    let along = (b.0 - a.0).atan2(b.1 - a.1).to_degrees();
    let bearing = match dice.whole(0, 5) {
        0 => bearing(dice),
        1 if share == 0.0 => along + 180.0,
        1 => along,
        _ => along + dice.pick(&[90.0, -90.0]),
    };
    if dice.chance(0.05) {
        let inside = ((from.0 + to.0) / 3.0, (from.1 + to.1) / 3.0);
        return (inside, bearing);
    }
    (place, bearing)
}

/// Puts a keep-in zone and others about a route.
pub(super) fn place_zones(scene: &mut Scene, dice: &mut Dice, chart: Chart, path: &[Plane]) {
    let reach = path.iter().map(|(east, north)| east.hypot(*north)).fold(1.0, f64::max);
    let edge = Peg { look: Look::Wall, ..Peg::new(dice, path, reach) };
    let wide = 3.0 * reach + 150.0;
    let outer = |gap: f64| {
        let peg = Peg { gap, ..edge };
        let corner = |ahead: f64, right: f64| chart.counts(peg.point(ahead, right));
        let slant = 0.2 * wide;
        vec![
            corner(0.0, -wide.min(4000.0)),
            corner(0.0, wide.min(4000.0)),
            corner(-slant - wide, wide + slant),
            corner(-1.5 * wide, -wide),
        ]
    };
    let ring = |ring: Vec<(i32, i32)>| Draft { kind: ZoneKind::KeepIn, drawn: Drawn::Rings(vec![ring]), heights: None };
    let judge = scene.judge();
    let (wanted, own) = (target(dice), dice.chance(0.5));
    match engulfed(dice, reach) {
        Some(gap) => scene.zones.push(ring(outer(gap))),
        None => push(scene, &judge, own, wanted, |gap| ring(outer(gap))),
    }
    let count = usize::try_from(dice.whole(3, 12)).unwrap_or(3).min(MOST_ZONES);
    for _ in 0..count {
        let peg = Peg::new(dice, path, reach);
        add(scene, &judge, dice, chart, peg);
    }
    holes(scene, &judge, dice, chart, path, reach);
}

/// How many metres to spare.
fn target(dice: &mut Dice) -> f64 {
    match dice.whole(0, 9) {
        0 => dice.between(-0.01, 0.01),
        1..=6 => dice.between(-0.12, 0.14),
        7 => dice.between(-1.0, 1.0),
        _ => dice.between(0.0, 30.0),
    }
}

fn add(scene: &mut Scene, judge: &Judge, dice: &mut Dice, chart: Chart, peg: Peg) {
    let kind = dice.pick(&[ZoneKind::KeepOut, ZoneKind::KeepOut, ZoneKind::People]);
    let heights = (kind == ZoneKind::KeepOut && dice.chance(0.4)).then(|| heights(scene, dice));
    let draft = |gap: f64| Draft { kind, drawn: Peg { gap, ..peg }.draw(chart), heights };
    if let Some(gap) = engulfed(dice, peg.reach) {
        let wall = Peg {
            look: Look::Wall,
            gap,
            size: dice.magnitude(300.0, 9000.0),
            width: dice.magnitude(300.0, 9000.0),
            ..peg
        };
        return scene.zones.push(Draft { kind, drawn: wall.draw(chart), heights });
    }
    let (wanted, own) = (target(dice), dice.chance(0.5));
    push(scene, judge, own, wanted, draft);
}

/// Now and then: how far a wall is pulled back behind the whole path, so that its long edge is just beyond.
fn engulfed(dice: &mut Dice, reach: f64) -> Option<f64> {
    (reach < 2000.0 && dice.chance(0.06)).then(|| -dice.pick(&[0.0, 1.0, 2.0]) * reach - dice.magnitude(0.02, 60.0))
}

/// Heights that begin or end near those of the route.
fn heights(scene: &Scene, dice: &mut Dice) -> HeightBand {
    let mut levels = vec![scene.figures.homeward.height.get()];
    levels.extend(scene.steps.iter().filter_map(|step| match step {
        Step::Climb { height } | Step::Fly { height, .. } => Some(height.get()),
        _ => None,
    }));
    let (one, two) = (dice.pick(&levels), dice.pick(&levels));
    let level = one + f64_to(dice.share() * f64::from(two - one));
    let (little, much) = (dice.whole(-15, 15), dice.whole(-2000, 2000));
    let near = dice.pick(&[0, 0, little, much]);
    let margin = dice.pick(&[0, scene.figures.margins.up_fixed.get()]);
    let deep = dice.whole(1, 3000);
    match dice.whole(0, 3) {
        0 => band(Some(level + margin + near), None),
        1 => band(None, Some(level - margin + near)),
        2 => band(Some(level + margin + near), Some(level + margin + near + deep)),
        _ => band(Some(level - margin + near - deep), Some(level - margin + near)),
    }
}

#[expect(clippy::cast_possible_truncation, reason = "a height in centimetres")]
const fn f64_to(value: f64) -> i32 {
    value as i32
}

/// Adds a zone and pushes it until it leaves what is wanted.
fn push(scene: &mut Scene, judge: &Judge, own: bool, wanted: f64, draft: impl Fn(f64) -> Draft) {
    let (number, mut gap) = (scene.zones.len(), 8.0);
    scene.zones.push(draft(gap));
    for _ in 0..3 {
        let step = wanted - judge.spare_of(&scene.zone(number), own);
        if !step.is_finite() || step.abs() < 0.004 {
            break;
        }
        gap = (gap + step).clamp(-500.0, 6000.0);
        scene.zones[number] = draft(gap);
    }
}

/// Holes in the keep-in zone, where they fit: each is put like a zone to keep out of.
fn holes(scene: &mut Scene, judge: &Judge, dice: &mut Dice, chart: Chart, path: &[Plane], reach: f64) {
    for _ in 0..dice.pick(&[0, 1, 2]) {
        let small = (0.2 * reach).clamp(1.0, 200.0);
        let peg = Peg::new(dice, path, reach);
        let mut peg = Peg { size: peg.size.min(small), width: peg.width.min(small), ..peg };
        if matches!(peg.look, Look::Circle | Look::Moat) {
            peg.look = Look::Corner;
        }
        let (own, wanted) = (dice.chance(0.5), target(dice));
        let draft = |gap: f64| Draft { kind: ZoneKind::KeepOut, drawn: Peg { gap, ..peg }.draw(chart), heights: None };
        push(scene, judge, own, wanted, draft);
        let hole = scene.zones.pop();
        let before = scene.zones[0].clone();
        if let (Some(Draft { drawn: Drawn::Rings(hole), .. }), Drawn::Rings(rings)) = (hole, &mut scene.zones[0].drawn)
        {
            rings.extend(hole);
        }
        if scene.store().is_err() {
            scene.zones[0] = before;
        }
    }
}
