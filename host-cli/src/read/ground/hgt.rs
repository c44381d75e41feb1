//! SRTM tiles: signed 16-bit big-endian metres, row by row from the north, their place in the file's name.
//!
//! Size, order of bytes and the mark of a gap are as public descriptions of the format have them; that rows go from the north
//! and that neighbours share their edge rows is from memory. Heights are above the EGM96 geoid, which stands for mean sea level.

use std::path::Path;

use pinfold_core::model::ground::Relief;

use super::{
    axis::Axis,
    span::Span,
    tile::{LAND, Post, Tile, cuts},
};
use crate::problem::Problem;

/// Posts on a side: every third second of arc, or every second.
const SIDES: [usize; 2] = [1201, 3601];
/// Nothing is known of this post.
const GAP: i16 = i16::MIN;
/// Counts of 1e-7 degree in a degree.
const DEGREE: i128 = 10_000_000;

/// What of a tile touches a window.
pub(super) fn read(path: &Path, bytes: &[u8], window: Span) -> Result<Vec<Tile>, Problem> {
    let side = side(path, bytes)?;
    let (latitude, longitude) = corner(path)?;
    let pairs = bytes.as_chunks::<2>().0;
    let take = |row, column| match pairs.get(row * side + column) {
        Some(pair) => post(*pair).map_err(|metres| no_land(path, row, column, metres)),
        None => Ok(None),
    };
    let cuts = cuts(axis(longitude, side), axis(latitude, side), window);
    cuts.into_iter().map(|cut| cut.filled(take)).collect()
}

fn side(path: &Path, bytes: &[u8]) -> Result<usize, Problem> {
    let [coarse, fine] = SIDES.map(|side| side * side * 2);
    SIDES.into_iter().find(|side| side * side * 2 == bytes.len()).ok_or_else(|| {
        Problem::file(path, format!("an SRTM tile has {coarse} or {fine} bytes; this file has {}", bytes.len()))
            .help("unpack it if it is an archive, get it again, or convert it to an Esri ASCII grid")
    })
}

fn axis(degrees: i128, side: usize) -> Axis {
    let parts = i128::try_from(side).unwrap_or(0) - 1;
    Axis { first: degrees * DEGREE * parts, step: DEGREE, parts, posts: side }
}

/// Latitude and longitude of the south-west post, from a name as N51E010.hgt.
fn corner(path: &Path) -> Result<(i128, i128), Problem> {
    let name = path.file_name().map(|name| name.to_string_lossy().to_uppercase()).unwrap_or_default();
    corner_of(&name).ok_or_else(|| {
        Problem::file(path, "the name of an SRTM tile says where it is, and this one doesn't")
            .help("name it after its south-west corner: N51E010.hgt, S33W071.hgt")
    })
}

fn corner_of(name: &str) -> Option<(i128, i128)> {
    let number = |digits: &str, hemispheres: [char; 2], most: i128| {
        let value = digits.get(1..).filter(|rest| rest.bytes().all(|byte| byte.is_ascii_digit()))?;
        let value = value.parse::<i128>().ok()?;
        let north_or_east = digits.starts_with(hemispheres[0]).then_some(value);
        let value = north_or_east.or_else(|| digits.starts_with(hemispheres[1]).then_some(-value))?;
        (-most..most).contains(&value).then_some(value)
    };
    let rest = name.get(7..)?;
    let (latitude, longitude) = (number(name.get(..3)?, ['N', 'S'], 90)?, number(name.get(3..7)?, ['E', 'W'], 180)?);
    rest.starts_with('.').then_some((latitude, longitude))
}

/// A post, or metres that are no height of any land.
fn post(pair: [u8; 2]) -> Result<Post, i16> {
    let metres = i16::from_be_bytes(pair);
    let height = i32::from(metres) * 100;
    match metres {
        GAP => Ok(None),
        _ if height < LAND.0 || height > LAND.1 => Err(metres),
        _ => Ok(Some(Relief { lowest: height, highest: height })),
    }
}

fn no_land(path: &Path, row: usize, column: usize, metres: i16) -> Problem {
    let say = format!("row {} from the north, column {}: {metres} m is no height of any land", row + 1, column + 1);
    Problem::file(path, say).help("get the tile again; a gap is marked with -32768")
}

#[cfg(test)]
mod tests {
    use pinfold_core::geometry::position::Position;

    use super::*;
    use crate::read::ground::span::Spot;

    fn tile(name: &str, side: usize, posts: &[(usize, [u8; 2])], window: Span) -> Result<Vec<Tile>, Problem> {
        let mut bytes = vec![0; side * side * 2];
        posts.iter().for_each(|(number, pair)| bytes[number * 2..][..2].copy_from_slice(pair));
        read(Path::new(name), &bytes, window)
    }

    fn spot(latitude: i32, longitude: i32) -> Spot {
        let position = Position::new(latitude, longitude).unwrap();
        Spot::of(position, position)
    }

    /// GDAL's documentation of its SRTMHGT driver and the descriptions of the format that quote the NASA/USGS document: big-endian
    /// 01 66 is 358 m; the name is the south-west post's place, which is the first of the last row (GRASS manual of r.in.srtm).
    #[test]
    fn the_name_says_where_the_first_post_of_the_last_row_is() {
        let here = spot(510_000_000, 100_000_000);
        for side in SIDES {
            let tiles = tile("maps/N51E010.hgt", side, &[(side * (side - 1), [0x01, 0x66])], Span::dot(here));
            let tiles = tiles.unwrap();
            assert_eq!(tiles.len(), 1);
            assert_eq!(tiles[0].height_at(here), Some(35_800));
        }
    }

    #[test]
    fn the_other_corners_are_where_they_belong() {
        let corners = [(520_000_000, 100_000_000, 0), (520_000_000, 110_000_000, 1200)];
        for (latitude, longitude, number) in corners {
            let here = spot(latitude, longitude);
            let tiles = tile("N51E010.hgt", 1201, &[(number, [0x01, 0x66])], Span::dot(here)).unwrap();
            assert_eq!(tiles[0].height_at(here), Some(35_800));
        }
        // Posts are 8333 1/3 counts apart: 358 m x (1 - 4166 / 8333.333) = 179.029 m.
        let tiles = tile("N51E010.hgt", 1201, &[(0, [0x01, 0x66])], Span::dot(spot(520_000_000, 100_000_000))).unwrap();
        assert_eq!(tiles[0].height_at(spot(520_000_000, 100_004_166)), Some(17_903));
    }

    /// GDAL's driver source: -32768 (80 00) is a gap.
    #[test]
    fn a_gap_is_no_height() {
        let here = spot(-329_999_999, -709_999_999);
        let span = Span::dot(here);
        let number = 1201 * 1200;
        assert_eq!(tile("S33W071.hgt", 1201, &[(number, [0, 0])], span).unwrap()[0].height_at(here), Some(0));
        assert_eq!(tile("S33W071.hgt", 1201, &[(number, [0x80, 0])], span).unwrap()[0].height_at(here), None);
    }

    #[test]
    fn a_tile_that_cannot_be_one_is_told() {
        let window = Span::dot(spot(510_000_000, 100_000_000));
        for name in ["N51E010", "hill.hgt", "N90E010.hgt", "N51E180.hgt", "N5XE010.hgt", "E010N51.hgt", "N+1E010.hgt"] {
            assert!(tile(name, 1201, &[], window).unwrap_err().summary().contains("says where it is"), "{name}");
        }
        let short = read(Path::new("N51E010.hgt"), &[0; 7], window).unwrap_err();
        assert!(short.summary().contains("2884802 or 25934402 bytes; this file has 7"));
        let number = 1201 * 1200;
        let high = tile("N51E010.hgt", 1201, &[(number, [0x7f, 0xff])], window).unwrap_err();
        assert!(high.summary().contains("row 1201 from the north, column 1: 32767 m"), "{}", high.summary());
    }

    #[test]
    fn a_tile_elsewhere_gives_nothing() {
        assert!(tile("N51E011.hgt", 1201, &[], Span::dot(spot(510_000_000, 100_000_000))).unwrap().is_empty());
    }
}
