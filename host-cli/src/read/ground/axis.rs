//! Equally spaced posts along one direction, exactly.

use std::ops::RangeInclusive;

/// Posts along a parallel or a meridian: post n stands at (first + n x step) / parts, counted in 1e-7 degree from 0 degrees.
///
/// All is exact for the numbers that are held. Degrees that were written with more digits than are kept are off by less than
/// 1e-18 degree, so a post is off by far less than a count: [`Self::touching`] looks a count farther for it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Axis {
    pub(super) first: i128,
    pub(super) step: i128,
    pub(super) parts: i128,
    pub(super) posts: usize,
}

/// How finely [`Axis::place`] tells where a point is between two posts.
pub(super) const FRACTION: i128 = 1 << 30;

impl Axis {
    /// The same posts, some whole counts farther.
    pub(super) fn shifted(self, counts: i64) -> Self {
        Self { first: self.first + i128::from(counts) * self.parts, ..self }
    }

    /// These of the posts.
    pub(super) fn cut(self, posts: &RangeInclusive<usize>) -> Self {
        let before = i128::try_from(*posts.start()).unwrap_or(0);
        Self { first: self.first + before * self.step, posts: posts.end() - posts.start() + 1, ..self }
    }

    /// From which to which count there are posts on both sides: rounded inwards.
    pub(super) fn extent(self) -> (i64, i64) {
        let last = self.first + self.last() * self.step;
        let low = -(-self.first).div_euclid(self.parts);
        (clamp(low), clamp(last.div_euclid(self.parts)))
    }

    /// The posts at the ends of every space between two posts that touches `low` to `high` or comes within a count of them.
    pub(super) fn touching(self, low: i64, high: i64) -> Option<RangeInclusive<usize>> {
        let number = |counts: i64| i128::from(counts) * self.parts - self.first;
        // The last post at or before the high end begins the last space; the first at or after the low end closes the first.
        let last = number(high + 1).div_euclid(self.step).min(self.last() - 1);
        let first = (-(-number(low - 1)).div_euclid(self.step) - 1).max(0);
        let (first, last) = (usize::try_from(first).ok()?, usize::try_from(last).ok()?);
        (first <= last).then_some(first..=last + 1)
    }

    /// The post before a place, and how far it is to the next, in [`FRACTION`]s; nothing outside.
    pub(super) fn place(self, counts: i64) -> Option<(usize, i128)> {
        let beyond = i128::from(counts) * self.parts - self.first;
        if beyond < 0 || beyond > self.last() * self.step {
            return None;
        }
        let post = (beyond / self.step).min(self.last() - 1);
        let fraction = (beyond - post * self.step) * FRACTION / self.step;
        Some((usize::try_from(post).ok()?, fraction))
    }

    /// The space between two posts, in counts, rounded up.
    pub(super) fn spacing(self) -> i64 {
        clamp(-(-self.step).div_euclid(self.parts))
    }

    fn last(self) -> i128 {
        i128::try_from(self.posts).unwrap_or(0) - 1
    }
}

/// Far beyond the globe all counts are alike.
fn clamp(counts: i128) -> i64 {
    i64::try_from(counts.clamp(-(1 << 40), 1 << 40)).unwrap_or(0)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Five posts, a third of a count before 0 and then 10 1/3 counts apart.
    const THIRDS: Axis = Axis { first: -1, step: 31, parts: 3, posts: 5 };

    #[test]
    fn the_extent_is_rounded_inwards() {
        assert_eq!(THIRDS.extent(), (0, 41));
        assert_eq!(Axis { first: 1, ..THIRDS }.extent(), (1, 41));
        assert_eq!(THIRDS.spacing(), 11);
    }

    #[test]
    fn every_space_that_is_touched_counts() {
        assert_eq!(THIRDS.touching(2, 5), Some(0..=1));
        assert_eq!(THIRDS.touching(12, 18), Some(1..=2));
        assert_eq!(THIRDS.touching(10, 10), Some(0..=2), "a post is at 10");
        assert_eq!(THIRDS.touching(-50, 90), Some(0..=4));
        assert_eq!(THIRDS.touching(44, 90), None);
        assert_eq!(THIRDS.touching(-90, -3), None);
    }

    #[test]
    fn a_place_is_between_two_posts() {
        assert_eq!(THIRDS.place(10), Some((1, 0)));
        assert_eq!(THIRDS.place(41), Some((3, FRACTION * 31 / 31)));
        assert_eq!(THIRDS.place(42), None);
        assert_eq!(THIRDS.place(-1), None);
    }

    #[test]
    fn cut_and_shifted_posts_stand_where_they_stood() {
        let cut = THIRDS.cut(&(1..=3));
        assert_eq!(cut, Axis { first: 30, posts: 3, ..THIRDS });
        assert_eq!(cut.shifted(-10).place(0), Some((0, 0)));
    }
}
