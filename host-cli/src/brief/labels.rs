//! Where words go: never over each other, and the same way each time.

/// A rectangle on the sheet.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Area {
    pub(super) left: f64,
    pub(super) top: f64,
    pub(super) right: f64,
    pub(super) bottom: f64,
}

impl Area {
    fn overlaps(&self, other: &Self) -> bool {
        self.left < other.right && other.left < self.right && self.top < other.bottom && other.top < self.bottom
    }

    fn holds(&self, other: &Self) -> bool {
        self.left <= other.left && other.right <= self.right && self.top <= other.top && other.bottom <= self.bottom
    }

    /// About a point.
    pub(super) fn about((x, y): (f64, f64), reach: f64) -> Self {
        Self { left: x - reach, top: y - reach, right: x + reach, bottom: y + reach }
    }
}

/// How wide a text is at most, in the letters that drawings have: the widest of them.
pub(super) fn width(text: &str, size: f64) -> f64 {
    let of = |letter: char| match letter {
        'i' | 'j' | 'l' | 'I' | ' ' | '.' | ',' | ':' | ';' | '\'' | '|' => 0.36,
        'f' | 't' | 'r' | '(' | ')' | '-' | '/' | '"' => 0.48,
        'm' | 'M' | 'W' | 'w' | '@' | '%' => 1.02,
        'A'..='Z' => 0.79,
        ' '..='~' => 0.66,
        '\u{80}'..='\u{17f}' => 0.8,
        _ => 1.1,
    };
    text.chars().map(of).sum::<f64>() * size
}

/// A text's box: the baseline begins at `x`, `y`.
pub(super) fn area(text: &str, size: f64, (x, y): (f64, f64)) -> Area {
    Area { left: x - 1.0, top: y - size, right: x + width(text, size) + 1.0, bottom: y + 0.3 * size }
}

/// Where a text went, and whether it is so far from what it names that it needs a line there.
#[derive(Clone, Copy, Debug)]
pub(super) struct Placed {
    pub(super) x: f64,
    pub(super) y: f64,
    pub(super) far: bool,
    /// The middle of the text.
    pub(super) middle: (f64, f64),
}

/// What is taken of a sheet.
pub(super) struct Labels {
    bounds: Area,
    taken: Vec<Area>,
    /// What words cover only where there is no other place for them: lines.
    crossed: Vec<Area>,
}

/// Where words may go about a point, in the order of preference.
pub(super) struct Around<'a> {
    pub(super) point: (f64, f64),
    /// To the right and down, each from -1 to 1.
    pub(super) positions: &'a [(f64, f64)],
    /// How far away.
    pub(super) gaps: &'a [f64],
}

impl<'a> Around<'a> {
    /// At any of the eight positions.
    pub(super) const fn any(point: (f64, f64), gaps: &'a [f64]) -> Self {
        Self { point, positions: &POSITIONS, gaps }
    }
}

/// The eight positions: to the right, left, above, below, and the corners between.
pub(super) const POSITIONS: [(f64, f64); 8] =
    [(1.0, 0.0), (-1.0, 0.0), (0.0, -1.0), (0.0, 1.0), (0.7, -0.7), (0.7, 0.7), (-0.7, -0.7), (-0.7, 0.7)];

impl Labels {
    pub(super) const fn new(bounds: Area) -> Self {
        Self { bounds, taken: Vec::new(), crossed: Vec::new() }
    }

    /// Takes a place that no text may cover.
    pub(super) fn take(&mut self, area: Area) {
        self.taken.push(area);
    }

    /// Marks a line, which words should rather not cross.
    pub(super) fn avoid(&mut self, (x, y): (f64, f64), (to_x, to_y): (f64, f64)) {
        const APART: f64 = 5.0;
        let parts = ((to_x - x).hypot(to_y - y) / APART).ceil().clamp(1.0, 500.0);
        let shares = (0..=500_u16).map(f64::from).take_while(|part| *part <= parts).map(|part| part / parts);
        let places = shares.map(|share| (x + (to_x - x) * share, y + (to_y - y) * share));
        self.crossed.extend(places.map(|place| Area::about(place, 1.5)));
    }

    /// Finds a place for a text, and takes it: one that crosses no line, if there is any.
    pub(super) fn place(&mut self, text: &str, size: f64, around: &Around<'_>) -> Option<Placed> {
        let near = around.gaps.first().copied().unwrap_or(0.0);
        let all = around.gaps.iter().flat_map(|gap| around.positions.iter().map(move |position| (*gap, *position)));
        let all = all.map(|(gap, position)| {
            let placed = Placed { far: gap > near, ..beside(around.point, text, size, gap, position) };
            (placed, area(text, size, (placed.x, placed.y)))
        });
        let free = |taken: &[Area], area: &Area| !taken.iter().any(|taken| taken.overlaps(area));
        let possible: Vec<(Placed, Area)> =
            all.filter(|(_, area)| self.bounds.holds(area) && free(&self.taken, area)).collect();
        let best = possible.iter().find(|(_, area)| free(&self.crossed, area)).or_else(|| possible.first());
        let (placed, area) = *best?;
        self.taken.push(area);
        Some(placed)
    }
}

fn beside((x, y): (f64, f64), text: &str, size: f64, gap: f64, (right, down): (f64, f64)) -> Placed {
    let (half_width, half_height) = (width(text, size) / 2.0, 0.6 * size);
    let middle_x = x + right.signum() * if right == 0.0 { 0.0 } else { half_width + gap * right.abs() };
    let middle_y = y + down.signum() * if down == 0.0 { 0.0 } else { half_height + gap * down.abs() };
    Placed { x: middle_x - half_width, y: middle_y + 0.35 * size, far: false, middle: (middle_x, middle_y) }
}

#[cfg(test)]
mod tests {
    use super::*;

    const SHEET: Area = Area { left: 0.0, top: 0.0, right: 300.0, bottom: 200.0 };

    #[test]
    fn labels_about_one_point_neither_overlap_nor_leave_the_sheet() {
        let mut labels = Labels::new(SHEET);
        let texts = ["boat house", "12", "old chimney", "A", "13", "weather mast", "B", "14", "15", "C, D"];
        let placed: Vec<Area> = texts
            .iter()
            .filter_map(|text| {
                let placed = labels.place(text, 12.0, &Around::any((150.0, 100.0), &[4.0, 20.0, 40.0]))?;
                Some(area(text, 12.0, (placed.x, placed.y)))
            })
            .collect();
        assert!(placed.len() >= 8, "{placed:?}");
        for (index, one) in placed.iter().enumerate() {
            assert!(SHEET.holds(one), "{one:?}");
            assert!(placed[..index].iter().all(|other| !other.overlaps(one)), "{one:?} in {placed:?}");
        }
    }

    #[test]
    fn where_no_position_is_free_a_label_is_left_out() {
        let mut labels = Labels::new(SHEET);
        labels.take(SHEET);
        assert!(labels.place("A", 12.0, &Around::any((150.0, 100.0), &[4.0])).is_none());
    }

    #[test]
    fn a_label_crosses_a_line_only_where_it_must() {
        let around = Around::any((150.0, 100.0), &[4.0]);
        let mut labels = Labels::new(SHEET);
        labels.avoid((150.0, 100.0), (290.0, 100.0));
        assert!(labels.place("old chimney", 12.0, &around).expect("a place").x < 150.0);
        let mut narrow = Labels::new(Area { left: 140.0, ..SHEET });
        for to in [(290.0, 100.0), (290.0, 80.0), (290.0, 120.0), (150.0, 10.0), (150.0, 190.0)] {
            narrow.avoid((150.0, 100.0), to);
        }
        assert!(narrow.place("old chimney", 12.0, &around).is_some());
    }

    #[test]
    fn a_label_in_a_corner_stays_on_the_sheet() {
        let around = Around::any((299.0, 1.0), &[4.0]);
        let placed = Labels::new(SHEET).place("power line", 12.0, &around).expect("a place");
        assert!(SHEET.holds(&area("power line", 12.0, (placed.x, placed.y))), "{placed:?}");
    }
}
