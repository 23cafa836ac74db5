//! Release 2000: handles on everything, and circles, arcs of them, and ellipses.
//!
//! Handles count up from one, and nothing in the file comes from a clock or from chance.

use kurbo::{Point, Rect, Vec2};

use super::entities::Entities;
use super::head::DxfHeader;
use super::pairs::PairWriter;

/// A full turn, to the last digit: with fewer some readers see an open arc.
const FULL_TURN: &str = "6.283185307179586";
/// Name of the solid line type.
const SOLID: &str = "Continuous";
/// Name of the dashed line type.
const DASHED: &str = "Dashed";

/// A file of release 2000 that is being written: everything after the header.
pub(super) struct Release2000<'h> {
    head: &'h DxfHeader<'h>,
    pairs: PairWriter,
    model_space: String,
    paper_space: String,
    layer: String,
}

impl<'h> Release2000<'h> {
    /// Writes everything between the header and the entities.
    pub(super) fn new(head: &'h DxfHeader<'h>) -> Self {
        let mut pairs = PairWriter::new(Vec::with_capacity(head.likely_size), head.grid);
        let (model_space, paper_space) = (pairs.new_handle(), pairs.new_handle());
        let mut file = Self { head, pairs, model_space, paper_space, layer: String::new() };
        file.tables();
        file.blocks();
        file.pairs.start_section("ENTITIES");
        file
    }

    /// Writes what comes after the entities, and the header, which names the first handle that is free.
    pub(super) fn finish(mut self) -> Vec<u8> {
        self.pairs.end_section();
        self.objects();
        let free = self.pairs.new_handle();
        let mut pairs = PairWriter::new(Vec::with_capacity(1024 + self.pairs.out.len()), self.head.grid);
        pairs.comments(&self.head.comments);
        pairs.start_section("HEADER");
        pairs.variable("$ACADVER");
        pairs.text("1", "AC1015");
        pairs.variable("$DWGCODEPAGE");
        pairs.text("3", "ANSI_1252");
        self.head.variables(&mut pairs);
        pairs.variable("$HANDSEED");
        pairs.text("5", &free);
        pairs.end_section();
        pairs.out.append(&mut self.pairs.out);
        pairs.text("0", "EOF");
        pairs.out
    }

    fn tables(&mut self) {
        let head = self.head;
        self.pairs.start_section("TABLES");
        self.table("VPORT", 1, |body, table| {
            body.record("VPORT", table, "AcDbViewportTableRecord", "*ACTIVE");
            body.viewport(head.extent.unwrap_or_default());
        });
        let dash = head.dash();
        self.table("LTYPE", 3 + usize::from(dash.is_some()), |body, table| {
            for name in ["ByBlock", "ByLayer", SOLID] {
                body.record("LTYPE", table, "AcDbLinetypeTableRecord", name);
                body.pairs.texts(&[("3", ""), ("72", "65"), ("73", "0"), ("40", "0")]);
            }
            if let Some([stroke, gap]) = dash {
                body.record("LTYPE", table, "AcDbLinetypeTableRecord", DASHED);
                body.pairs.texts(&[("3", "Dashed line"), ("72", "65"), ("73", "2")]);
                body.pairs.length("40", stroke + gap);
                for dash in [stroke, -gap] {
                    body.pairs.length("49", dash);
                    body.pairs.text("74", "0");
                }
            }
        });
        self.table("LAYER", head.layers.len() + 1, |body, table| {
            let own = head.layers.iter().map(|layer| (&*layer.name, layer.color, layer.dash.is_some()));
            for (name, color, is_dashed) in [("0", 7, false)].into_iter().chain(own) {
                body.record("LAYER", table, "AcDbLayerTableRecord", name);
                body.pairs.integer("62", color);
                body.pairs.text("6", if is_dashed { DASHED } else { SOLID });
            }
        });
        self.table("STYLE", 1, |body, table| {
            body.record("STYLE", table, "AcDbTextStyleTableRecord", "Standard");
            body.pairs.texts(&[
                ("40", "0"),
                ("41", "1"),
                ("50", "0"),
                ("71", "0"),
                ("42", "2.5"),
                ("3", "txt"),
                ("4", ""),
            ]);
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
        self.pairs.texts(&[("10", "0"), ("20", "0"), ("11", "1"), ("21", "1")]);
        self.pairs.point(["12", "22"], extent.center());
        self.pairs.texts(&[("13", "0"), ("23", "0"), ("14", "10"), ("24", "10"), ("15", "10"), ("25", "10")]);
        self.pairs.texts(&[("16", "0"), ("26", "0"), ("36", "1"), ("17", "0"), ("27", "0"), ("37", "0")]);
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

    /// Starts an entity of the drawing.
    fn figure(&mut self, kind: &str, class: &str) {
        let (layer, owner) = (std::mem::take(&mut self.layer), std::mem::take(&mut self.model_space));
        self.entity(kind, &layer, &owner, class);
        (self.layer, self.model_space) = (layer, owner);
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

impl Entities for Release2000<'_> {
    fn set_layer(&mut self, name: &str) {
        name.clone_into(&mut self.layer);
    }

    fn polyline(&mut self, vertices: impl ExactSizeIterator<Item = (Point, f64)>, closed: bool) {
        self.figure("LWPOLYLINE", "AcDbPolyline");
        self.pairs.integer("90", vertices.len());
        self.pairs.text("70", if closed { "1" } else { "0" });
        self.pairs.text("43", "0");
        for (point, bulge) in vertices {
            self.pairs.vertex(b"10\r\n", point);
            if bulge != 0.0 {
                self.pairs.number("42", bulge);
            }
        }
    }

    fn line(&mut self, from: Point, to: Point) {
        self.figure("LINE", "AcDbLine");
        self.pairs.location(from);
        self.pairs.point(["11", "21"], to);
        self.pairs.text("31", "0");
    }

    fn circle(&mut self, center: Point, radius: f64) {
        self.figure("CIRCLE", "AcDbCircle");
        self.pairs.location(center);
        self.pairs.length("40", radius);
    }

    fn arc(&mut self, center: Point, radius: f64, angles: [f64; 2]) {
        self.figure("ARC", "AcDbCircle");
        self.pairs.location(center);
        self.pairs.length("40", radius);
        self.pairs.text("100", "AcDbArc");
        self.pairs.angles(angles);
    }

    fn ellipse(&mut self, center: Point, major: Vec2, ratio: f64) -> bool {
        self.figure("ELLIPSE", "AcDbEllipse");
        self.pairs.location(center);
        self.pairs.point(["11", "21"], major.to_point());
        self.pairs.text("31", "0");
        self.pairs.number("40", ratio);
        self.pairs.text("41", "0");
        self.pairs.text("42", FULL_TURN);
        true
    }
}
