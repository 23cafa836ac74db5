//! DXF of release 2000: the unit in the header, polylines with bulges, circles and ellipses.
//!
//! Whole circles and ellipses are entities of their own where the profile allows native curves; everything else is one polyline a
//! stroke, so that its order, its direction and where it starts stay what they are. Handles count up from one, and nothing in
//! the file comes from a clock or from chance.

use kurbo::{Point, Rect, Vec2};

use super::about::{self, Flattener};
use super::dxf_pairs::Pairs;
use super::dxf_r12::{layers, vertices, whole_circle};
use super::{ExportError, Exported, ProgramFormat};
use crate::geometry::Segment;
use crate::machine::{Curves, Machine, MachineUnit, Program, Stroke};
use crate::problem::Problem;

/// Writes DXF of release 2000.
pub(super) struct DxfR2000;

/// A full turn, to the last digit: with fewer some readers see an open arc.
const FULL_TURN: &str = "6.283185307179586";

impl ProgramFormat for DxfR2000 {
    fn name(&self) -> &'static str {
        "dxf-r2000"
    }

    fn extension(&self) -> &'static str {
        "dxf"
    }

    fn summary(&self) -> &'static str {
        "DXF release 2000: unit in the header, polylines with arcs, circles, ellipses"
    }

    fn check(&self, _: &Machine) -> Vec<Problem> {
        Vec::new()
    }

    fn write(&self, program: &Program, machine: &Machine) -> Result<Exported, ExportError> {
        let mut flattener = Flattener::new(machine);
        let mut body = Body::new(&machine.unit);
        body.tables(program);
        body.blocks();
        body.pairs.start_section("ENTITIES");
        for pass in &program.passes {
            for stroke in &pass.strokes {
                body.figure(stroke, &pass.tool.layer, machine, &mut flattener);
            }
        }
        body.pairs.end_section();
        body.objects();
        // The header names the first handle that is free, which is known only now.
        let free = body.pairs.new_handle();
        let mut pairs = Pairs::new(&machine.unit);
        pairs.comments(&about::lines(program, machine));
        header(&mut pairs, program.extent, &machine.unit, &free);
        pairs.out.append(&mut body.pairs.out);
        pairs.text("0", "EOF");
        Ok(Exported { bytes: pairs.out, notes: flattener.notes() })
    }
}

/// Returns the number of a unit in the variable `$INSUNITS` (DXF reference of release 2000, header section; from memory); 0 is no unit.
fn insert_units(unit: &MachineUnit) -> u8 {
    let known = [(25.4, 1), (1.0, 4), (10.0, 5), (1000.0, 6), (0.0254, 9), (0.001, 13), (100.0, 14)];
    let same = |mm: f64| (unit.millimetres / mm - 1.0).abs() < 1e-9;
    known.iter().find(|(mm, _)| same(*mm)).map_or(0, |(_, number)| *number)
}

fn header(pairs: &mut Pairs<'_>, extent: Rect, unit: &MachineUnit, free: &str) {
    pairs.start_section("HEADER");
    pairs.variable("$ACADVER");
    pairs.text("1", "AC1015");
    pairs.variable("$DWGCODEPAGE");
    pairs.text("3", "ANSI_1252");
    pairs.variable("$INSUNITS");
    pairs.integer("70", insert_units(unit));
    pairs.variable("$MEASUREMENT");
    pairs.text("70", if insert_units(unit) == 1 { "0" } else { "1" });
    for (name, corner) in [("$EXTMIN", extent.origin()), ("$EXTMAX", Point::new(extent.x1, extent.y1))] {
        pairs.variable(name);
        pairs.location(corner);
    }
    pairs.variable("$HANDSEED");
    pairs.text("5", free);
    pairs.end_section();
}

/// Everything after the header.
struct Body<'u> {
    pairs: Pairs<'u>,
    model_space: String,
    paper_space: String,
}

impl<'u> Body<'u> {
    fn new(unit: &'u MachineUnit) -> Self {
        let mut pairs = Pairs::new(unit);
        let (model_space, paper_space) = (pairs.new_handle(), pairs.new_handle());
        Self { pairs, model_space, paper_space }
    }

    fn tables(&mut self, program: &Program) {
        self.pairs.start_section("TABLES");
        self.table("VPORT", 1, |body, table| {
            body.record("VPORT", table, "AcDbViewportTableRecord", "*ACTIVE");
            body.viewport(program.extent);
        });
        self.table("LTYPE", 3, |body, table| {
            for name in ["ByBlock", "ByLayer", "Continuous"] {
                body.record("LTYPE", table, "AcDbLinetypeTableRecord", name);
                for (code, value) in [("3", ""), ("72", "65"), ("73", "0"), ("40", "0")] {
                    body.pairs.text(code, value);
                }
            }
        });
        let layers = layers(program);
        self.table("LAYER", layers.len() + 1, |body, table| {
            let own = layers.iter().map(|tool| (tool.layer.as_str(), tool.dxf_color));
            for (name, color) in [("0", 7)].into_iter().chain(own) {
                body.record("LAYER", table, "AcDbLayerTableRecord", name);
                body.pairs.integer("62", color);
                body.pairs.text("6", "Continuous");
            }
        });
        self.table("STYLE", 1, |body, table| {
            body.record("STYLE", table, "AcDbTextStyleTableRecord", "Standard");
            for (code, value) in
                [("40", "0"), ("41", "1"), ("50", "0"), ("71", "0"), ("42", "2.5"), ("3", "txt"), ("4", "")]
            {
                body.pairs.text(code, value);
            }
        });
        self.table("VIEW", 0, |_, _| ());
        self.table("UCS", 0, |_, _| ());
        self.table("APPID", 1, |body, table| body.record("APPID", table, "AcDbRegAppTableRecord", "ACAD"));
        self.table("DIMSTYLE", 1, |body, table| body.record("DIMSTYLE", table, "AcDbDimStyleTableRecord", "Standard"));
        self.table("BLOCK_RECORD", 2, |body, table| {
            for (name, handle) in
                [("*Model_Space", body.model_space.clone()), ("*Paper_Space", body.paper_space.clone())]
            {
                body.pairs.text("0", "BLOCK_RECORD");
                body.pairs.text("5", &handle);
                body.pairs.text("330", table);
                body.pairs.text("100", "AcDbSymbolTableRecord");
                body.pairs.text("100", "AcDbBlockTableRecord");
                body.pairs.text("2", name);
            }
        });
        self.pairs.end_section();
    }

    fn table(&mut self, name: &str, entries: usize, records: impl FnOnce(&mut Self, &str)) {
        let handle = self.pairs.new_handle();
        self.pairs.text("0", "TABLE");
        self.pairs.text("2", name);
        self.pairs.text("5", &handle);
        self.pairs.text("330", "0");
        self.pairs.text("100", "AcDbSymbolTable");
        self.pairs.integer("70", entries);
        if name == "DIMSTYLE" {
            self.pairs.text("100", "AcDbDimStyleTable");
        }
        records(self, &handle);
        self.pairs.text("0", "ENDTAB");
    }

    /// Starts a record of a table.
    fn record(&mut self, kind: &str, table: &str, class: &str, name: &str) {
        let handle = self.pairs.new_handle();
        self.pairs.text("0", kind);
        // Handles of dimension styles have a code of their own.
        self.pairs.text(if kind == "DIMSTYLE" { "105" } else { "5" }, &handle);
        self.pairs.text("330", table);
        self.pairs.text("100", "AcDbSymbolTableRecord");
        self.pairs.text("100", class);
        self.pairs.text("2", name);
        self.pairs.text("70", "0");
    }

    /// Shows the whole drawing when it is opened.
    fn viewport(&mut self, extent: Rect) {
        for (code, value) in [("10", "0"), ("20", "0"), ("11", "1"), ("21", "1")] {
            self.pairs.text(code, value);
        }
        self.pairs.point(["12", "22"], extent.center());
        for (code, value) in [
            ("13", "0"),
            ("23", "0"),
            ("14", "10"),
            ("24", "10"),
            ("15", "10"),
            ("25", "10"),
            ("16", "0"),
            ("26", "0"),
            ("36", "1"),
        ] {
            self.pairs.text(code, value);
        }
        for code in ["17", "27", "37"] {
            self.pairs.text(code, "0");
        }
        self.pairs.length("40", 1.1 * extent.height().max(extent.width()).max(1.0));
        self.pairs.text("41", "1");
    }

    fn blocks(&mut self) {
        self.pairs.start_section("BLOCKS");
        for (name, record) in [("*Model_Space", self.model_space.clone()), ("*Paper_Space", self.paper_space.clone())] {
            self.entity("BLOCK", "0", &record, "AcDbBlockBegin");
            self.pairs.text("2", name);
            self.pairs.text("70", "0");
            self.pairs.location(Point::ORIGIN);
            self.pairs.text("3", name);
            self.pairs.text("1", "");
            self.entity("ENDBLK", "0", &record, "AcDbBlockEnd");
        }
        self.pairs.end_section();
    }

    /// Starts an entity.
    fn entity(&mut self, kind: &str, layer: &str, owner: &str, class: &str) {
        let handle = self.pairs.new_handle();
        self.pairs.text("0", kind);
        self.pairs.text("5", &handle);
        self.pairs.text("330", owner);
        self.pairs.text("100", "AcDbEntity");
        self.pairs.text("8", layer);
        self.pairs.text("100", class);
    }

    fn figure(&mut self, stroke: &Stroke, layer: &str, machine: &Machine, flattener: &mut Flattener<'_>) {
        let owner = self.model_space.clone();
        if machine.curves == Curves::Native {
            if let Some((center, radius)) = whole_circle(stroke) {
                self.entity("CIRCLE", layer, &owner, "AcDbCircle");
                self.pairs.location(center);
                self.pairs.length("40", radius);
                return;
            }
            if let Some((center, major, ratio)) = whole_ellipse(stroke) {
                self.entity("ELLIPSE", layer, &owner, "AcDbEllipse");
                self.pairs.location(center);
                self.pairs.point(["11", "21"], major.to_point());
                self.pairs.text("31", "0");
                self.pairs.number("40", ratio);
                self.pairs.text("41", "0");
                self.pairs.text("42", FULL_TURN);
                return;
            }
        }
        let vertices = vertices(stroke, machine, flattener);
        self.entity("LWPOLYLINE", layer, &owner, "AcDbPolyline");
        self.pairs.integer("90", vertices.len());
        self.pairs.text("70", if stroke.closed { "1" } else { "0" });
        self.pairs.text("43", "0");
        for (point, bulge) in vertices {
            self.pairs.point(["10", "20"], point);
            if bulge != 0.0 {
                self.pairs.number("42", bulge);
            }
        }
    }

    /// The root dictionary, without which release 2000 does not open, with its one obligatory entry.
    fn objects(&mut self) {
        let (root, groups) = (self.pairs.new_handle(), self.pairs.new_handle());
        self.pairs.start_section("OBJECTS");
        for (handle, owner) in [(&root, "0"), (&groups, root.as_str())] {
            self.pairs.text("0", "DICTIONARY");
            self.pairs.text("5", handle);
            self.pairs.text("330", owner);
            self.pairs.text("100", "AcDbDictionary");
            self.pairs.text("281", "1");
            if owner == "0" {
                self.pairs.text("3", "ACAD_GROUP");
                self.pairs.text("350", &groups);
            }
        }
        self.pairs.end_section();
    }
}

/// Returns centre, longer half axis and ratio of the axes of a stroke that is a whole ellipse.
fn whole_ellipse(stroke: &Stroke) -> Option<(Point, Vec2, f64)> {
    match stroke.segments.as_slice() {
        [Segment::Arc(arc)] if stroke.closed && arc.is_full_turn() && arc.distance == 0.0 => {
            let across = Vec2::new(-arc.axis.y, arc.axis.x);
            Some(if arc.rx >= arc.ry {
                (arc.center, arc.axis * arc.rx, arc.ry / arc.rx)
            } else {
                (arc.center, across * arc.ry, arc.rx / arc.ry)
            })
        }
        _ => None,
    }
}
