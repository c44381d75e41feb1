use pinfold_core::geometry::position::Position;

use super::*;
use crate::read::ground::span::{Span, Spot, TURN};

/// All of the globe.
const ALL: Span = Span { west: -TURN / 2, east: TURN / 2, south: -TURN / 4, north: TURN / 4 };

fn read_text(text: &str) -> Result<Vec<Tile>, Problem> {
    read(&Source { path: "ground.asc".into(), text: text.into() }, ALL)
}

fn tile(text: &str) -> Tile {
    read_text(text).map_err(|problem| problem.summary().to_owned()).unwrap().remove(0)
}

fn height(tile: &Tile, latitude: i32, longitude: i32) -> Option<i32> {
    let position = Position::new(latitude, longitude).unwrap();
    tile.height_at(Spot::of(position, position))
}

fn refused(text: &str, parts: &[&str]) {
    let json = read_text(text).expect_err(text).json();
    for part in parts {
        assert!(json["error"].to_string().contains(part), "no «{part}» in {json}");
    }
}

const SMALL: &str = "ncols 3\nnrows 2\nxllcorner -17.5\nyllcorner 46\ncellsize 0.01\n";

/// Esri's page of the format: row 1 is the northernmost, a value stands for its cell, keys are in either case, line breaks don't
/// have to be those of the rows.
#[test]
fn the_first_row_is_the_northernmost_and_values_are_the_centres_of_cells() {
    let expected = tile(&format!("{SMALL}1 2 3\n4 5 6\n"));
    let centers =
        [(460_150_000, -174_950_000, 100), (460_050_000, -174_950_000, 400), (460_050_000, -174_750_000, 600)];
    for (latitude, longitude, metres) in centers {
        assert_eq!(height(&expected, latitude, longitude), Some(metres));
    }
    // In the middle of the four on the left; and outside the centres.
    assert_eq!(height(&expected, 460_100_000, -174_900_000), Some(300));
    assert_eq!(height(&expected, 460_049_999, -174_950_000), None);
    let other = "NCOLS 3 NROWS 2 XLLCENTER -17.495 YLLCENTER 46.005 CELLSIZE 1e-2\r\n1\r\n2 3 4 5\t6";
    assert_eq!(height(&tile(other), 460_100_000, -174_900_000), Some(300));
}

/// The header that Esri's page of the format prints as its example. It is in metres.
#[test]
fn the_printed_example_is_in_metres_and_refused() {
    let header = "ncols 480\nnrows 450\nxllcorner 378923\nyllcorner 4072345\ncellsize 30\nnodata_value -32768\n";
    refused(header, &["isn't in degrees", "EPSG:4326", "\"line\":5"]);
    refused(&header.replace("cellsize 30", "cellsize 0.1"), &["within 360 degrees of 0", "\"line\":3"]);
    let local = header.replace("378923", "0").replace("4072345", "0").replace("nrows 450", "nrows 4500");
    refused(&local.replace("cellsize 30", "cellsize 0.1"), &["beyond a pole"]);
}

#[test]
fn a_gap_is_known_by_its_number_or_its_letters() {
    let gaps = |header: &str, value: &str| {
        height(&tile(&format!("{SMALL}{header} {value} 2 3 4 5 6")), 460_100_000, -174_900_000)
    };
    assert_eq!(gaps("", "-9999"), None, "Esri's default");
    assert_eq!(gaps("", "-9999.0"), None);
    assert_eq!(gaps("nodata_value -32768", "-32768"), None);
    assert_eq!(gaps("nodata_value -3.40282e+38", "-3.40282e+38"), None);
    assert_eq!(gaps("nodata_value 0", "1"), Some(300));
    refused(
        &format!("{SMALL}nodata_value -32768 -9999 2 3 4 5 6"),
        &["no height of any land", "NODATA_VALUE", "\"line\":6"],
    );
    refused(&format!("{SMALL}nodata_value nan nan 2 3 4 5 6"), &["NODATA_VALUE is to be a finite number"]);
}

#[test]
fn a_height_is_kept_digit_by_digit_and_rounded_both_ways() {
    let corners = |value: &str| {
        let text = format!("{SMALL}{value} {value} {value} {value} {value} {value}");
        tile(&text).touching(ALL).next().unwrap().map(|post| (post.lowest, post.highest))
    };
    assert_eq!(corners("131.83"), Some((13_183, 13_183)));
    assert_eq!(corners("131.83000183105469"), Some((13_183, 13_184)));
    assert_eq!(corners("-0.001"), Some((-1, 0)));
    assert_eq!(corners("1.5e1"), Some((1500, 1500)));
}

#[test]
fn what_is_no_grid_is_told_with_the_line() {
    refused("", &["the file is empty"]);
    refused(" \n\n", &["the file is empty"]);
    refused("1 2 3\n", &["the header has no NCOLS"]);
    refused(SMALL, &["values end early: 0 of the 6"]);
    refused(&format!("{SMALL}1 2 3\n4 5\n"), &["values end early: 5 of the 6", "\"line\":7"]);
    refused(&format!("{SMALL}1 2 3\n4 5 6 7\n"), &["more values than the 2 rows of 3", "\"line\":7", "\"column\":7"]);
    refused(&format!("{SMALL}1 nan 3\n4 5 6\n"), &["no finite number", "NODATA_VALUE", "\"line\":6", "\"column\":3"]);
    refused(&format!("{SMALL}1 2,5 3\n4 5 6\n"), &["a point, not a comma"]);
    refused(&format!("{SMALL}1 0.00000000000000000000000000001 3\n4 5 6\n"), &["at most 28 digits"]);
    refused(&format!("{SMALL}1 1e30 3\n4 5 6\n"), &["no number that can be meant"]);
    refused(&format!("{SMALL}1 9001 3\n4 5 6\n"), &["no height of any land"]);
    refused(&format!("{SMALL}cellsize 1\n1 2 3\n4 5 6\n"), &["`cellsize` stands here twice"]);
    refused(&format!("{SMALL}dx 1\n"), &["`dx` is no key", "known here"]);
    refused(&SMALL.replace("ncols", "ncol"), &["did you mean `ncols`?"]);
    refused(&SMALL.replace("ncols 3", "ncols 1"), &["from 2 to"]);
    refused(&SMALL.replace("ncols 3", "ncols 4000000000"), &["from 2 to"]);
    refused(&SMALL.replace("ncols 3", "ncols 9999999").replace("nrows 2", "nrows 9999999"), &["beyond a pole"]);
    refused(&SMALL.replace("yllcorner", "yllcenter"), &["one way for x and another for y"]);
    refused(&format!("{SMALL}xllcenter 1\n"), &["both XLLCORNER and XLLCENTER"]);
    refused(&SMALL.replace("cellsize 0.01", "cellsize 0"), &["above 0"]);
    refused("ncols", &["the file ends after this key"]);
}
