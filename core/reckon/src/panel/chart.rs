//! The sheets with their parts, to scale.

use super::cuts::Order;
use super::job::Layout;
use super::mm;
use super::read::Read;
use crate::drawing::{Drawing, Spot, Stand, Tone, spot};
use crate::number::of_count;

/// No more sheets than this are drawn.
const MOST: usize = 12;
const WIDTH: f64 = 620.0;
const LEFT: f64 = 10.0;

/// The sheets one below the other, all to one scale.
pub(super) fn chart(read: &Read, layout: &Layout, orders: &[Order]) -> Drawing {
    let longest = read
        .job
        .sheets
        .iter()
        .map(|sheet| mm(sheet.length))
        .fold(1.0, f64::max);
    let scale = WIDTH / longest;
    let drawn = layout.sheets.iter().zip(orders).take(MOST);
    let height: f64 = layout
        .sheets
        .iter()
        .take(MOST)
        .filter_map(|laid| read.job.sheets.get(laid.sheet_idx))
        .map(|sheet| mm(sheet.width) * scale + 34.0)
        .sum();
    let more = layout.sheets.len().saturating_sub(MOST);
    let beyond = if more > 0 {
        format!(" {more} more sheets are not drawn.")
    } else {
        String::new()
    };
    let parts: usize = layout.sheets.iter().map(|laid| laid.parts.len()).sum();
    let mut drawing = Drawing::new(
        "The sheets, to scale",
        format!(
            "{} sheets with {parts} parts; the sheet's length and its face grain run from left to right; offcuts are dashed.{beyond}",
            layout.sheets.len()
        ),
        height + 10.0,
    );
    let mut top = 24.0;
    for ((laid, order), number) in drawn.zip(1_usize..) {
        let Some(sheet) = read.job.sheets.get(laid.sheet_idx) else {
            continue;
        };
        let at = |along: i64, across: i64| -> Spot {
            spot(LEFT + mm(along) * scale, top + mm(across) * scale)
        };
        drawing.words(
            Stand::From,
            spot(LEFT, top - 6.0),
            format!(
                "Sheet {number}: {:.0} × {:.0} mm",
                mm(sheet.length),
                mm(sheet.width)
            ),
        );
        drawing.rectangle(Tone::Line, at(0, 0), at(sheet.length, sheet.width));
        for one in &order.offcuts {
            let to = at(one.along + one.length, one.across + one.width);
            drawing.rectangle(Tone::Offcut, at(one.along, one.across), to);
        }
        for one in &laid.parts {
            let (from, to) = (
                at(one.along, one.across),
                at(one.along + one.length, one.across + one.width),
            );
            drawing.rectangle(Tone::Body, from, to);
            let middle = spot(f64::midpoint(from.x, to.x), f64::midpoint(from.y, to.y));
            let (wide, high) = (to.x - from.x, to.y - from.y);
            let name = read.name(one.part_idx);
            let size = format!("{:.0} × {:.0}", mm(one.length), mm(one.width));
            let letters = of_count(name.chars().count().max(size.chars().count()));
            if wide > letters * 8.0 && high > 36.0 {
                drawing.words(Stand::Middle, spot(middle.x, middle.y - 3.0), name);
                drawing.words(Stand::Middle, spot(middle.x, middle.y + 14.0), size);
            } else if wide > 20.0 && high > 15.0 {
                let number = (one.part_idx + 1).to_string();
                drawing.words(Stand::Middle, spot(middle.x, middle.y + 5.0), number);
            }
        }
        top += mm(sheet.width) * scale + 34.0;
    }
    drawing
}
