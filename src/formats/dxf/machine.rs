//! The work of machines as DXF, in the order and direction in which it is done.
//!
//! In polylines every stroke is one entity, so that its order, its direction and where it starts stay what they are. Where the
//! profile allows arcs, polylines have bulges; where it allows native curves, whole circles are circles, and in release 2000 whole
//! ellipses are ellipses.

use super::entities::Entities;
use super::figure::{CurveFigures, CurveStyle, lines};
use super::head::{DxfHeader, LayerRecord};
use super::release_12::Release12;
use super::release_2000::Release2000;
use crate::formats::ProgramFormat;
use crate::formats::about::{self, Flattener};
use crate::formats::{ExportError, Exported};
use crate::problem::{KeyPath, Problem};
use crate::program::{Controller, Curves, Program, Tool};

/// Writes the work of machines as DXF.
pub(in crate::formats) struct DxfProgram {
    release: DxfRelease,
    /// Whether the format has nothing but lines.
    lines_only: bool,
}

#[derive(Clone, Copy, PartialEq, Eq)]
enum DxfRelease {
    R12,
    R2000,
}

/// Release 12.
pub(in crate::formats) const R12: DxfProgram = DxfProgram { release: DxfRelease::R12, lines_only: false };
/// Release 12 with separate lines only.
pub(in crate::formats) const R12_LINES: DxfProgram = DxfProgram { release: DxfRelease::R12, lines_only: true };
/// Release 2000.
pub(in crate::formats) const R2000: DxfProgram = DxfProgram { release: DxfRelease::R2000, lines_only: false };

impl ProgramFormat for DxfProgram {
    fn name(&self) -> &'static str {
        match (self.release, self.lines_only) {
            (DxfRelease::R12, false) => "dxf-r12",
            (DxfRelease::R12, true) => "dxf-r12-lines",
            (DxfRelease::R2000, _) => "dxf-r2000",
        }
    }

    fn extension(&self) -> &'static str {
        "dxf"
    }

    fn summary(&self) -> &'static str {
        match (self.release, self.lines_only) {
            (DxfRelease::R12, false) => "DXF release 12 with polylines",
            (DxfRelease::R12, true) => "DXF release 12 with separate lines only, for the oldest readers",
            (DxfRelease::R2000, _) => "DXF release 2000: polylines with arcs, circles, ellipses",
        }
    }

    fn check(&self, controller: &Controller, tools: &[Tool]) -> Vec<Problem> {
        let mut problems = about::neither_words_nor_depths(controller, tools);
        if self.lines_only && controller.curves != Curves::Lines {
            let help = "set curves = \"lines\" or the format dxf-r12";
            let place = KeyPath::root().key("curves");
            problems.push(Problem::error("format", place, "the format dxf-r12-lines has no arcs", help));
        }
        problems
    }

    fn encode(&self, program: &Program) -> Result<Exported, ExportError> {
        let controller = &program.controller;
        let head = head(program);
        let mut flattener = Flattener::new(controller);
        let separate = self.lines_only || controller.dxf.separate;
        let bytes = match self.release {
            DxfRelease::R12 => {
                let mut file = Release12::new(&head);
                strokes(program, separate, &mut flattener, &mut file);
                file.finish()
            }
            DxfRelease::R2000 => {
                let mut file = Release2000::new(&head);
                strokes(program, separate, &mut flattener, &mut file);
                file.finish()
            }
        };
        flattener.refuse()?;
        Ok(Exported::new(bytes, flattener.notes()))
    }
}

fn head(program: &Program) -> DxfHeader<'_> {
    let controller = &program.controller;
    let mut layers: Vec<LayerRecord<'_>> = Vec::new();
    for tool in program.passes.iter().map(|pass| &pass.tool) {
        // Tools may share a layer.
        if !layers.iter().any(|layer| layer.name == tool.layer) {
            layers.push(LayerRecord { name: tool.layer.as_str().into(), color: tool.dxf_color, dash: None });
        }
    }
    DxfHeader {
        comments: about::cautioned(program),
        grid: (&controller.unit).into(),
        states_unit: controller.dxf.unit_variables,
        extent: Some(program.extent),
        layers,
        likely_size: 8 * 1024,
    }
}

fn strokes(program: &Program, separate: bool, flattener: &mut Flattener<'_>, file: &mut impl Entities) {
    let controller = &program.controller;
    let best = if controller.curves == Curves::Native { CurveFigures::Native } else { CurveFigures::Arcs };
    let curved = CurveStyle { best, separate, tolerance: controller.tolerance };
    for pass in &program.passes {
        file.set_layer(&pass.tool.layer);
        for stroke in &pass.strokes {
            if controller.curves != Curves::Lines {
                curved.write(&stroke.segments, stroke.closed, file);
                continue;
            }
            let points = flattener.points(stroke).into_iter();
            if separate {
                lines(points, stroke.closed, file);
            } else {
                file.polyline(points.map(|point| (point, 0.0)), stroke.closed);
            }
        }
    }
}
