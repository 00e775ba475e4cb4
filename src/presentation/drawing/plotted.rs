//! The marks of a strip of months, by `plotters`.
//!
//! The library knows colours only: two of them stand for the colour of the text and for a
//! hatching of it, and are exchanged afterwards. The words that it sets are figures and
//! names of months.

use std::io;

use plotters::backend::SVGBackend;
use plotters::chart::{ChartBuilder, ChartContext};
use plotters::coord::Shift;
use plotters::coord::cartesian::Cartesian2d;
use plotters::coord::types::RangedCoordf64;
use plotters::drawing::{DrawingArea, DrawingAreaErrorKind, IntoDrawingArea};
use plotters::element::{Circle, Rectangle, Text};
use plotters::series::{DashedLineSeries, LineSeries};
use plotters::style::text_anchor::{HPos, Pos, VPos};
use plotters::style::{Color, IntoFont, RGBColor, ShapeStyle, TextStyle};

use super::chart::{FOOT, HEAD, Mark, MonthChart, MonthValues, PLOT, SCALE, slot, width};
use super::{LETTERS, hatching};
use crate::presentation::letters::widest_ems;
use crate::vocabulary::calendar_words::MONTHS;

const INK: RGBColor = RGBColor(0, 0, 1);
const HATCHING: RGBColor = RGBColor(0, 0, 2);

/// Size of figures.
const SMALL: f32 = 12.0;

type Area<'a> = DrawingArea<SVGBackend<'a>, Shift>;
type Strip<'a> = ChartContext<'a, SVGBackend<'a>, Cartesian2d<RangedCoordf64, RangedCoordf64>>;
type Plotted = Result<(), DrawingAreaErrorKind<io::Error>>;

/// The marks of a strip, as the inside of an SVG element.
#[must_use]
pub fn plotted(chart: &MonthChart<'_>) -> String {
    let mut text = String::new();
    let size = (width(chart.months.len()), HEAD + PLOT + FOOT);
    let area = SVGBackend::with_string(&mut text, (size.0 as u32, size.1 as u32));
    let done = marks(chart, &area.into_drawing_area());
    // Into a text nothing can fail to be written.
    debug_assert!(done.is_ok());
    let inside = text.split_once('\n').map_or("", |(_, inside)| inside);
    let inside = inside.trim_end().trim_end_matches("</svg>");
    let hatched = format!("url(#{})", hatching(chart.id));
    inside
        .replace(&hex(INK), "currentColor")
        .replace(&hex(HATCHING), &hatched)
}

fn marks(chart: &MonthChart<'_>, area: &Area<'_>) -> Plotted {
    let (low, high) = chart.range();
    let count = chart.months.len();
    let right = area.dim_in_pixel().0 as f32 - SCALE - slot(count) * count as f32;
    let mut strip = ChartBuilder::on(area)
        .margin_top(HEAD as u32)
        .margin_right(right as u32)
        .x_label_area_size(FOOT as u32)
        .y_label_area_size(SCALE as u32)
        .build_cartesian_2d(0.0..count as f64, low..high)?;
    strip
        .configure_mesh()
        .disable_x_mesh()
        .disable_x_axis()
        .max_light_lines(0)
        .bold_line_style(INK.mix(0.25))
        .axis_style(INK)
        .y_labels(4)
        .y_label_style(letters(Pos::default()))
        .y_label_formatter(&|value| scale_words(*value, high - low))
        .draw()?;
    strip.draw_series(LineSeries::new([(0.0, 0.0), (count as f64, 0.0)], INK))?;
    let (lines, columns): (Vec<&MonthValues>, Vec<&MonthValues>) =
        chart.rows.iter().partition(|row| row.mark == Mark::Line);
    for (number, row) in columns.iter().enumerate() {
        columns_of(row, (number, columns.len()), &mut strip, area)?;
    }
    for row in lines {
        line_of(row, &mut strip, area)?;
    }
    if let Some(limit) = &chart.limit {
        let line = [(0.0, limit.value), (count as f64, limit.value)];
        strip.draw_series(DashedLineSeries::new(line, 6, 4, INK.stroke_width(2)))?;
    }
    names(chart, area)?;
    area.present()
}

/// A row of columns, the `number`th of `all` that stand beside each other.
fn columns_of(
    row: &MonthValues,
    (number, all): (usize, usize),
    strip: &mut Strip<'_>,
    area: &Area<'_>,
) -> Plotted {
    let wide = 0.8 / all as f64;
    let left = |month: usize| month as f64 + 0.1 + wide * number as f64;
    for (month, value) in row
        .values
        .iter()
        .enumerate()
        .filter(|(_, value)| **value != 0.0)
    {
        let corners = [(left(month), 0.0), (left(month) + wide, *value)];
        if row.mark == Mark::Hatched {
            strip.draw_series([Rectangle::new(corners, HATCHING.filled())])?;
            strip.draw_series([Rectangle::new(corners, ShapeStyle::from(INK))])?;
        } else {
            strip.draw_series([Rectangle::new(corners, INK.filled())])?;
        }
    }
    for month in labelled(row, slot(row.values.len()) * wide as f32) {
        let top = (left(month) + wide / 2.0, row.values[month].max(0.0));
        let (x, y) = strip.backend_coord(&top);
        figure(&row.figures[month], (x, y - 3), VPos::Bottom, area)?;
    }
    Ok(())
}

fn line_of(row: &MonthValues, strip: &mut Strip<'_>, area: &Area<'_>) -> Plotted {
    let points = row.values.iter().enumerate();
    let points: Vec<(f64, f64)> = points
        .map(|(at, value)| (at as f64 + 0.5, *value))
        .collect();
    strip.draw_series(LineSeries::new(points.clone(), INK.stroke_width(2)))?;
    strip.draw_series(
        points
            .iter()
            .map(|point| Circle::new(*point, 3, INK.filled())),
    )?;
    for month in labelled(row, slot(row.values.len())) {
        let (x, y) = strip.backend_coord(&points[month]);
        // Where the line comes down from the left, there is room below.
        let falls = month > 0 && row.values[month - 1] > row.values[month];
        match falls && row.values[month] > 0.0 {
            true => figure(&row.figures[month], (x, y + 6), VPos::Top, area)?,
            false => figure(&row.figures[month], (x, y - 5), VPos::Bottom, area)?,
        }
    }
    Ok(())
}

/// A figure over or under a point, inside of the drawing.
fn figure(text: &str, (x, y): (i32, i32), side: VPos, area: &Area<'_>) -> Plotted {
    let half = (widest(text) / 2.0) as i32 + 1;
    let wide = area.dim_in_pixel().0 as i32;
    let x = x.clamp(half, (wide - half).max(half));
    let place = Pos::new(HPos::Center, side);
    area.draw(&Text::new(text.to_owned(), (x, y), letters(place)))
}

/// How wide a figure is at most.
fn widest(figure: &str) -> f32 {
    widest_ems(figure) * SMALL
}

/// The months whose figures are written on the marks: all where there is room, else the
/// highest, and the last of a line.
fn labelled(row: &MonthValues, room: f32) -> Vec<usize> {
    let has_room = |figure: &String| widest(figure) <= room;
    let marked = (0..row.values.len()).filter(|month| row.values[*month] != 0.0);
    let marked: Vec<usize> = marked.collect();
    if marked.iter().all(|month| has_room(&row.figures[*month])) {
        return marked;
    }
    let higher = |one: usize, other: usize| match row.values[other] > row.values[one] {
        true => other,
        false => one,
    };
    let highest = marked.into_iter().reduce(higher);
    let last = row
        .values
        .len()
        .checked_sub(1)
        .filter(|_| row.mark == Mark::Line);
    // Two that are near each other would stand on each other.
    let is_apart = |month: &usize| last.is_none_or(|last| last - month >= 5);
    highest.filter(is_apart).into_iter().chain(last).collect()
}

/// The names of the months below, as many as there is room for, and the years.
fn names(chart: &MonthChart<'_>, area: &Area<'_>) -> Plotted {
    let slot = slot(chart.months.len());
    let every = if slot >= 28.0 { 1 } else { 3 };
    let foot = (HEAD + PLOT) as i32;
    let mut year = None;
    for (at, month) in chart.months.iter().enumerate() {
        if (month.month() - 1) % every != 0 {
            continue;
        }
        let x = (SCALE + slot * (at as f32 + 0.5)) as i32;
        let name = MONTHS[usize::from(month.month().unsigned_abs()) - 1];
        figure(&capital(&name[..3]), (x, foot + 5), VPos::Top, area)?;
        if year != Some(month.year()) {
            year = Some(month.year());
            figure(&month.year().to_string(), (x, foot + 20), VPos::Top, area)?;
        }
    }
    Ok(())
}

fn capital(word: &str) -> String {
    let (first, rest) = word.split_at(1);
    format!("{}{rest}", first.to_ascii_uppercase())
}

/// A figure of the scale: whole, unless the whole scale is small.
fn scale_words(value: f64, span: f64) -> String {
    match value.abs() {
        _ if span < 3.0 => format!("{value:.1}"),
        large if large >= 10_000_000.0 => format!("{:.0}M", value / 1_000_000.0),
        large if large >= 100_000.0 => format!("{:.0}k", value / 1_000.0),
        _ => format!("{value:.0}"),
    }
}

/// How the library sets words; it divides each size by 1.24.
fn letters(place: Pos) -> TextStyle<'static> {
    let font = (LETTERS, f64::from(SMALL) * 1.24).into_font();
    TextStyle::from(font).color(&INK).pos(place)
}

/// A colour as the library writes it.
fn hex(RGBColor(red, green, blue): RGBColor) -> String {
    format!("#{red:02X}{green:02X}{blue:02X}")
}
