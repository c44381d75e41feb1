//! A picture of what was learned.

use std::path::Path;

use plotters::prelude::*;

use super::{fit::Learned, steady::Flight};
use crate::problem::Problem;

/// Most dots: more make a large file and no other picture.
const DOTS: usize = 4000;
const SIZE: (u32, u32) = (900, 600);

/// The picture, as SVG.
pub(crate) fn svg(path: &Path, title: &str, flight: &Flight, learned: &Learned) -> Result<String, Problem> {
    let mut text = String::new();
    draw(&mut text, title, flight, learned)
        .map_err(|error| Problem::file(path, format!("the picture can't be drawn: {error}")))?;
    Ok(text)
}

type Drawn = Result<(), Box<dyn std::error::Error>>;

fn draw(text: &mut String, title: &str, flight: &Flight, learned: &Learned) -> Drawn {
    let area = SVGBackend::with_string(text, SIZE).into_drawing_area();
    area.fill(&WHITE)?;
    let points: Vec<(f64, f64)> = flight.level.iter().map(|sample| (sample.speed, sample.watts)).collect();
    let table: Vec<(f64, f64)> = learned.table.0.iter().map(|point| (point.speed(), point.watts.into())).collect();
    let most = |value: fn(&(f64, f64)) -> f64| points.iter().chain(&table).map(value).fold(1.0, f64::max) * 1.05;
    let mut chart = ChartBuilder::on(&area)
        .caption(title, ("sans-serif", 20))
        .margin(15)
        .x_label_area_size(45)
        .y_label_area_size(60)
        .build_cartesian_2d(0.0..most(|point| point.0), 0.0..most(|point| point.1))?;
    chart.configure_mesh().max_light_lines(0).x_desc("speed, m/s").y_desc("power from the pack, W").draw()?;
    let every = points.len().div_ceil(DOTS).max(1);
    let dots = points.iter().step_by(every).map(|point| Circle::new(*point, 2, BLUE.mix(0.25).filled()));
    chart.draw_series(dots)?.label("steady level flight").legend(|(x, y)| Circle::new((x + 10, y), 3, BLUE.filled()));
    chart
        .draw_series(LineSeries::new(table.clone(), RED.stroke_width(2)))?
        .label("power table")
        .legend(|(x, y)| PathElement::new(vec![(x, y), (x + 20, y)], RED.stroke_width(2)));
    chart.draw_series(table.iter().map(|point| Circle::new(*point, 4, RED.filled())))?;
    chart
        .configure_series_labels()
        .position(SeriesLabelPosition::LowerRight)
        .background_style(WHITE.mix(0.8))
        .border_style(BLACK)
        .draw()?;
    area.present()?;
    Ok(())
}
