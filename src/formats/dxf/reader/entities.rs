//! The entities of DXF: lines, polylines with bulges, circles, arcs, ellipses, inserted blocks and text.

use std::f64::consts::TAU;

use kurbo::{Affine, Point, Vec2};

use super::blocks::Blocks;
use super::canvas::{Canvas, VertexPolyline};
use super::records::{Pair, Record};
use super::spline::Spline;
use super::texts;
use crate::formats::reading::{ConjugateArc, LineColor, ReadSegment, Unreadable};
use crate::tolerance::WHOLE_TURN_RAD;

/// Splines are drawn as long as they make no more curves than this in all.
const MOST_CURVES: usize = 500_000;

/// Bit of group 70 of polylines: closed.
const CLOSED: i64 = 1;
/// Bits of group 70 of POLYLINE: a mesh of any kind.
const MESH: i64 = 16 | 64;
/// Bit of group 70 of VERTEX: a control point that the line does not go through.
const CONTROL_POINT: i64 = 16;

/// Draws an entity; inserted blocks are looked up in `blocks`.
pub(super) fn draw(record: &Record<'_>, canvas: &mut Canvas, blocks: &mut Blocks<'_>) -> Result<(), Unreadable> {
    match record.kind {
        "VERTEX" => return canvas.vertex(record),
        "SEQEND" => {
            canvas.end_polyline();
            return Ok(());
        }
        _ => canvas.end_polyline(),
    }
    if record.flags(67)? == 1 {
        canvas.leave_out("paper space");
        return Ok(());
    }
    if record.flags(60)? == 1 {
        canvas.leave_out("invisible");
        return Ok(());
    }
    canvas.pen.layer = record.text(8).to_owned();
    canvas.pen.line = record.line;
    // 0 and 256 are the colour of the block or the layer.
    canvas.pen.run.color = u8::try_from(record.flags(62)?).ok().filter(|color| *color > 0).map(LineColor::Dxf);
    canvas.pen.run.is_undirected = matches!(record.kind, "CIRCLE" | "ARC" | "ELLIPSE");
    // What is seen from behind is mirrored (the arbitrary axis algorithm of the DXF reference, for a normal of -z).
    let mirrored = record.number_or(230, 1.0)? < 0.0;
    match record.kind {
        "LINE" => {
            canvas.pen.move_to(record.point(10, 20)?);
            canvas.pen.line_to(record.point(11, 21)?);
        }
        "CIRCLE" => canvas.circle(record, 0.0, TAU, mirrored)?,
        "ARC" => {
            let start = record.number_or(50, 0.0)?.to_radians();
            let sweep = (record.number_or(51, 360.0)?.to_radians() - start).rem_euclid(TAU);
            canvas.circle(record, start, if sweep == 0.0 { TAU } else { sweep }, mirrored)?;
        }
        "ELLIPSE" => canvas.ellipse(record, mirrored)?,
        "LWPOLYLINE" => {
            let vertices = light_vertices(record)?;
            canvas.polyline = Some(VertexPolyline { closed: record.flags(70)? & CLOSED != 0, mirrored, vertices });
            canvas.end_polyline();
        }
        "POLYLINE" => {
            let flags = record.flags(70)?;
            if flags & MESH == 0 {
                let closed = flags & CLOSED != 0;
                canvas.polyline = Some(VertexPolyline { closed, mirrored, vertices: Vec::new() });
            } else {
                canvas.leave_out("POLYLINE");
            }
        }
        "SPLINE" => canvas.spline(record)?,
        "INSERT" => blocks.insert(record, canvas, mirrored, draw)?,
        "TEXT" => canvas.texts.push(texts::line(record, mirrored)?),
        "MTEXT" => canvas.texts.push(texts::paragraph(record, mirrored)?),
        // Nothing is drawn of them.
        "POINT" | "VIEWPORT" | "ATTRIB" | "ATTDEF" => {}
        kind => canvas.leave_out(kind),
    }
    canvas.pen.lift();
    Ok(())
}

impl Canvas {
    fn circle(&mut self, record: &Record<'_>, start: f64, sweep: f64, mirrored: bool) -> Result<(), Unreadable> {
        let (center, radius) = (record.point(10, 20)?, record.number_or(40, 0.0)?);
        let arc = ConjugateArc { center, u: Vec2::new(radius, 0.0), v: Vec2::new(0.0, radius), start, sweep };
        self.stroke(arc.into(), mirrored);
        Ok(())
    }

    /// The second axis lies a quarter turn against the clock from the first, as seen from the side of the normal.
    fn ellipse(&mut self, record: &Record<'_>, mirrored: bool) -> Result<(), Unreadable> {
        let (center, u) = (record.point(10, 20)?, record.point(11, 21)?.to_vec2());
        let ratio = record.number_or(40, 1.0)? * if mirrored { -1.0 } else { 1.0 };
        let v = Vec2::new(-u.y, u.x) * ratio;
        let start = record.number_or(41, 0.0)?;
        let sweep = (record.number_or(42, TAU)? - start).rem_euclid(TAU);
        // A whole turn comes back to nothing, but for rounding.
        let sweep = if sweep < WHOLE_TURN_RAD { TAU } else { sweep };
        // The centre and the axis of an ellipse are never mirrored: they are given in the coordinates of the world.
        self.stroke(ConjugateArc { center, u, v, start, sweep }.into(), false);
        Ok(())
    }

    fn stroke(&mut self, piece: ReadSegment, mirrored: bool) {
        let piece = if mirrored { piece.transformed(Affine::FLIP_X) } else { piece };
        self.pen.move_to(piece.start());
        self.pen.draw(piece);
        self.pen.lift();
    }

    fn vertex(&mut self, record: &Record<'_>) -> Result<(), Unreadable> {
        let is_control_point = record.flags(70)? & CONTROL_POINT != 0;
        if let Some(polyline) = self.polyline.as_mut().filter(|_| !is_control_point) {
            polyline.vertices.push((record.point(10, 20)?, record.number_or(42, 0.0)?));
        }
        Ok(())
    }

    /// A spline by its control points; one that only has points to go through is not determined by them.
    fn spline(&mut self, record: &Record<'_>) -> Result<(), Unreadable> {
        let numbers = |code: i32| record.pairs.iter().filter(move |pair| pair.code == code).map(Pair::number);
        let knots = numbers(40).collect::<Result<Vec<_>, _>>()?;
        let weights = numbers(41).collect::<Result<Vec<_>, _>>()?;
        let points =
            numbers(10).zip(numbers(20)).map(|(x, y)| Ok(Point::new(x?, y?))).collect::<Result<Vec<_>, _>>()?;
        let degree = usize::try_from(record.flags(71)?).unwrap_or(0);
        let spline = Spline::new(degree, knots, &points, &weights).filter(|_| self.curves < MOST_CURVES);
        let mut pieces = Vec::new();
        if spline.and_then(|spline| spline.append_to(&mut pieces)).is_none() {
            self.leave_out(if points.is_empty() { "SPLINE without control points" } else { "SPLINE" });
            return Ok(());
        }
        self.curves += pieces.len();
        self.pen.lift();
        if let Some(first) = pieces.first() {
            self.pen.move_to(first.start());
        }
        pieces.into_iter().for_each(|piece| self.pen.draw(piece));
        self.pen.lift();
        Ok(())
    }
}

/// Returns the vertices of an LWPOLYLINE with the bulges of the strokes that follow them.
fn light_vertices(record: &Record<'_>) -> Result<Vec<(Point, f64)>, Unreadable> {
    let mut vertices: Vec<(Point, f64)> = Vec::new();
    for pair in &record.pairs {
        match (pair.code, vertices.last_mut()) {
            (10, _) => vertices.push((Point::new(pair.number()?, 0.0), 0.0)),
            (20, Some((point, _))) => point.y = pair.number()?,
            (42, Some((_, bulge))) => *bulge = pair.number()?,
            _ => {}
        }
    }
    Ok(vertices)
}
