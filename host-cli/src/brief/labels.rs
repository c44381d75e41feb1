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

/// How wide a text is at most, in the letters of [`super::drawing::FONTS`].
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
}

/// The eight positions: to the right, left, above, below, and the corners between.
const POSITIONS: [(f64, f64); 8] =
    [(1.0, 0.0), (-1.0, 0.0), (0.0, -1.0), (0.0, 1.0), (0.7, -0.7), (0.7, 0.7), (-0.7, -0.7), (-0.7, 0.7)];

impl Labels {
    pub(super) const fn new(bounds: Area) -> Self {
        Self { bounds, taken: Vec::new() }
    }

    /// Takes a place that no text may cover.
    pub(super) fn take(&mut self, area: Area) {
        self.taken.push(area);
    }

    /// Finds a place for a text about a point, if there is any at one of these distances, and takes it.
    pub(super) fn place(&mut self, about: (f64, f64), text: &str, size: f64, gaps: &[f64]) -> Option<Placed> {
        let near = gaps.first().copied().unwrap_or(0.0);
        for gap in gaps {
            for position in POSITIONS {
                let placed = beside(about, text, size, *gap, position);
                let area = area(text, size, (placed.x, placed.y));
                if self.bounds.holds(&area) && !self.taken.iter().any(|taken| taken.overlaps(&area)) {
                    self.taken.push(area);
                    return Some(Placed { far: *gap > near, ..placed });
                }
            }
        }
        None
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
                let placed = labels.place((150.0, 100.0), text, 12.0, &[4.0, 20.0, 40.0])?;
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
        assert!(labels.place((150.0, 100.0), "A", 12.0, &[4.0]).is_none());
    }

    #[test]
    fn a_label_in_a_corner_stays_on_the_sheet() {
        let placed = Labels::new(SHEET).place((299.0, 1.0), "power line", 12.0, &[4.0]).expect("a place");
        assert!(SHEET.holds(&area("power line", 12.0, (placed.x, placed.y))), "{placed:?}");
    }
}
