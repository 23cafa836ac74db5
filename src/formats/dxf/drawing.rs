//! Drawings as DXF: outlines on a layer for each role, y up from the bottom left corner of the sheet, and no words, for a
//! cutter would cut their strokes.
//!
//! Release 12 knows only ASCII, so comments (group code 999) at the top name the drawing, the unit, the sheet and the tolerance.

use std::borrow::Cow;

use kurbo::{Point, Rect, Vec2};

use super::entities::Entities;
use super::figure::{CurveFigures, CurveStyle, lines};
use super::head::{DxfHeader, LayerRecord};
use super::release_12::Release12;
use super::release_2000::Release2000;
use crate::drawing::{DrawingLayer, Mark, Role};
use crate::formats::coordinate::CoordinateGrid;
use crate::formats::number;
use crate::formats::{DxfFigures, ExportError, Exported, Exporter, FileUnit, Source};
use crate::geometry::Segment;

/// Writes DXF of release 12.
#[derive(Debug, Clone, Copy)]
pub(in crate::formats) struct R12;

/// Writes DXF of release 2000.
#[derive(Debug, Clone, Copy)]
pub(in crate::formats) struct R2000;

impl Exporter for R12 {
    fn name(&self) -> &'static str {
        "dxf"
    }

    fn extension(&self) -> &'static str {
        "dxf"
    }

    fn has_unit(&self) -> bool {
        true
    }

    fn summary(&self) -> &'static str {
        "DXF release 12, which every cutter and CAD program reads; curves as short lines, or as arcs with --dxf-figures, no words"
    }

    fn encode(&self, source: &Source<'_>) -> Result<Exported, ExportError> {
        let content =
            DxfContent::new(source, source.options.dxf_figures.unwrap_or(DxfFigures::Polylines), CurveFigures::Arcs);
        let head = content.head();
        let mut file = Release12::new(&head);
        content.write(&mut file);
        Ok(Exported::new(file.finish(), Vec::new()))
    }
}

impl Exporter for R2000 {
    fn name(&self) -> &'static str {
        "dxf-r2000"
    }

    fn extension(&self) -> &'static str {
        "dxf"
    }

    fn tag(&self) -> &'static str {
        "r2000"
    }

    fn has_unit(&self) -> bool {
        true
    }

    fn summary(&self) -> &'static str {
        "DXF release 2000, the best for CAD and CAM programs: true arcs, circles and ellipses, no words"
    }

    fn encode(&self, source: &Source<'_>) -> Result<Exported, ExportError> {
        let content =
            DxfContent::new(source, source.options.dxf_figures.unwrap_or(DxfFigures::Bulges), CurveFigures::Native);
        let head = content.head();
        let mut file = Release2000::new(&head);
        content.write(&mut file);
        Ok(Exported::new(file.finish(), Vec::new()))
    }
}

/// What is written of a drawing.
struct DxfContent<'s, 'a> {
    source: &'s Source<'a>,
    /// How curves are written; `None` if they are flattened.
    curved: Option<CurveStyle>,
    /// Whether each straight piece is a line of its own.
    separate: bool,
}

impl<'s, 'a> DxfContent<'s, 'a> {
    fn new(source: &'s Source<'a>, figures: DxfFigures, best: CurveFigures) -> Self {
        let separate = matches!(figures, DxfFigures::Lines | DxfFigures::Arcs);
        // Where every piece is an entity of its own, a whole circle may as well be one.
        let best = if separate { CurveFigures::Native } else { best };
        let curved = CurveStyle { best, separate, tolerance: source.options.tolerance };
        let is_curved = matches!(figures, DxfFigures::Bulges | DxfFigures::Arcs);
        Self { source, curved: is_curved.then_some(curved), separate }
    }

    fn drawn_layers(&self) -> impl Iterator<Item = &DrawingLayer> {
        let strokes = |layer: &&DrawingLayer| {
            layer.marks.iter().any(|mark| matches!(mark, Mark::Outline { .. } | Mark::Line { .. }))
        };
        self.source.drawing.layers.iter().filter(strokes)
    }

    fn head(&self) -> DxfHeader<'static> {
        let Source { drawing, options, .. } = self.source;
        let layers = self.drawn_layers().map(|layer| {
            let style = layer.role.style();
            LayerRecord { name: Cow::Owned(layer_name(layer.role)), color: style.dxf_color, dash: style.dash }
        });
        DxfHeader {
            comments: comments(self.source),
            grid: options.unit.into(),
            states_unit: true,
            extent: self.extent().map(|sheet| upright(sheet, drawing.sheet.height)),
            layers: layers.collect(),
            likely_size: self.likely_size(),
        }
    }

    /// Returns the smallest upright rectangle round everything that is drawn, in millimetres on the sheet.
    fn extent(&self) -> Option<Rect> {
        let mut marks = self.drawn_layers().flat_map(|layer| &layer.marks).filter_map(bounds);
        let first = marks.next()?;
        Some(marks.fold(first, |all, bounds| all.union(bounds)))
    }

    /// Returns about how many bytes the file will have, rather more than fewer.
    fn likely_size(&self) -> usize {
        if self.curved.is_some() {
            return 16 * 1024;
        }
        let all = self.source.polylines().layers.iter().flat_map(|layer| &layer.polylines);
        4096 + all.map(|polyline| 100 + 56 * polyline.points.len()).sum::<usize>()
    }

    fn write(&self, file: &mut impl Entities) {
        match self.curved {
            Some(curved) => self.write_curves(curved, file),
            None => self.write_polylines(file),
        }
    }

    fn write_polylines(&self, file: &mut impl Entities) {
        let height = self.source.drawing.sheet.height;
        let up = |point: &Point| Point::new(point.x, height - point.y);
        for layer in self.source.polylines().layers.iter().filter(|layer| !layer.polylines.is_empty()) {
            file.set_layer(&layer_name(layer.role));
            for polyline in &layer.polylines {
                let points = polyline.points.iter().map(up);
                if self.separate {
                    lines(points, polyline.closed, file);
                } else {
                    file.polyline(points.map(|point| (point, 0.0)), polyline.closed);
                }
            }
        }
    }

    fn write_curves(&self, curved: CurveStyle, file: &mut impl Entities) {
        let height = self.source.drawing.sheet.height;
        for layer in self.drawn_layers() {
            file.set_layer(&layer_name(layer.role));
            for mark in &layer.marks {
                match mark {
                    Mark::Outline { outline, .. } => {
                        let segments: Vec<Segment> =
                            outline.segments().iter().map(|segment| upright_segment(segment, height)).collect();
                        curved.write(&segments, true, file);
                    }
                    Mark::Line { points, .. } => {
                        let points = points.iter().map(|point| Point::new(point.x, height - point.y));
                        if self.separate {
                            lines(points, false, file);
                        } else {
                            file.polyline(points.map(|point| (point, 0.0)), false);
                        }
                    }
                    Mark::Text(_) | Mark::Area(_) | Mark::Image(_) => {}
                }
            }
        }
    }
}

/// Returns the comments at the top of a file.
fn comments(source: &Source<'_>) -> Vec<String> {
    let (drawing, grid) = (source.drawing, CoordinateGrid::from(source.options.unit));
    let unit = match source.options.unit {
        FileUnit::Millimetre => "unit: mm (one drawing unit is one millimetre)",
        FileUnit::Inch => "unit: in (one drawing unit is one inch)",
    };
    let (width, height) = (grid.text(drawing.sheet.width), grid.text(drawing.sheet.height));
    vec![
        drawing.title.clone(),
        unit.to_owned(),
        format!("sheet: {width} x {height}, origin at its bottom left corner"),
        format!("tolerance of curves: {} mm", number::text::<9>(source.options.tolerance)),
    ]
}

fn layer_name(role: Role) -> String {
    role.name().to_ascii_uppercase()
}

/// Returns the smallest upright rectangle round what is drawn of a mark, in millimetres on the sheet.
fn bounds(mark: &Mark) -> Option<Rect> {
    match mark {
        Mark::Outline { outline, .. } => Some(outline.bounds()),
        Mark::Line { points, .. } => {
            let first = *points.first()?;
            Some(points.iter().fold(Rect::from_points(first, first), |all, point| all.union_pt(*point)))
        }
        Mark::Text(_) | Mark::Area(_) | Mark::Image(_) => None,
    }
}

/// Takes a rectangle from the sheet, y down, to a sheet of the same height with y up.
fn upright(rect: Rect, height: f64) -> Rect {
    Rect::new(rect.x0, height - rect.y1, rect.x1, height - rect.y0)
}

/// Takes a piece from the sheet, y down, to a sheet of the same height with y up; the direction of travel stays.
fn upright_segment(segment: &Segment, height: f64) -> Segment {
    let mirrored = segment.mirrored(0.0).reversed();
    mirrored.turned(Vec2::new(-1.0, 0.0), Point::ORIGIN).translated(Vec2::new(0.0, height))
}

#[cfg(test)]
mod tests {
    use super::Role;

    #[test]
    fn all_dashed_roles_share_the_one_dashed_line_type() {
        let mut dashes: Vec<_> = Role::ALL.iter().filter_map(|role| role.style().dash).collect();
        dashes.dedup();
        assert!(dashes.len() <= 1);
    }
}
