//! Release 12, the version that every cutter and every drawing program reads.
//!
//! A file has a header, the tables of line types and layers, and the entities, and nothing else. Only records of layers have
//! handles: there are readers that take the name of a layer for its handle where there is none.

use kurbo::{Point, Vec2};

use super::entities::Entities;
use super::head::DxfHeader;
use super::pairs::PairWriter;

/// Name of the solid line type.
const SOLID: &str = "CONTINUOUS";
/// Name of the dashed line type.
const DASHED: &str = "DASHED";

/// A file of release 12 that is being written.
pub(super) struct Release12 {
    pairs: PairWriter,
    layer: String,
    /// Everything in an open and in a closed polyline up to its first vertex.
    up_to_vertices: [Vec<u8>; 2],
    /// Everything in a vertex up to its x.
    up_to_x: Vec<u8>,
}

impl Release12 {
    /// Writes everything up to the entities.
    pub(super) fn new(head: &DxfHeader<'_>) -> Self {
        let mut pairs = PairWriter::new(Vec::with_capacity(head.likely_size), head.grid);
        pairs.comments(&head.comments);
        pairs.start_section("HEADER");
        pairs.variable("$ACADVER");
        pairs.text("1", "AC1009");
        head.variables(&mut pairs);
        // The first handle that is free: readers number what has none.
        pairs.variable("$HANDSEED");
        pairs.text("5", &format!("{:X}", head.layers.len() + 1));
        pairs.end_section();
        tables(&mut pairs, head);
        pairs.start_section("ENTITIES");
        Self { pairs, layer: String::new(), up_to_vertices: Default::default(), up_to_x: Vec::new() }
    }

    /// Writes what comes after the entities, and returns the file.
    pub(super) fn finish(mut self) -> Vec<u8> {
        self.pairs.end_section();
        self.pairs.text("0", "EOF");
        self.pairs.out
    }

    fn start(&mut self, kind: &str) {
        self.pairs.text("0", kind);
        self.pairs.text("8", &self.layer);
    }
}

fn tables(pairs: &mut PairWriter, head: &DxfHeader<'_>) {
    let start = |pairs: &mut PairWriter, name: &str, entries: usize| {
        pairs.text("0", "TABLE");
        pairs.text("2", name);
        pairs.integer("70", entries);
    };
    pairs.start_section("TABLES");
    start(pairs, "LTYPE", if head.dash().is_some() { 2 } else { 1 });
    line_type(pairs, SOLID, "Solid line", &[]);
    if let Some([stroke, gap]) = head.dash() {
        line_type(pairs, DASHED, "Dashed line", &[stroke, -gap]);
    }
    pairs.text("0", "ENDTAB");
    start(pairs, "LAYER", head.layers.len());
    for layer in &head.layers {
        pairs.text("0", "LAYER");
        let handle = pairs.new_handle();
        pairs.text("5", &handle);
        pairs.text("2", &layer.name);
        pairs.text("70", "0");
        pairs.integer("62", layer.color);
        pairs.text("6", if layer.dash.is_some() { DASHED } else { SOLID });
    }
    pairs.text("0", "ENDTAB");
    pairs.end_section();
}

/// Appends a line type; its dashes are lengths in millimetres, gaps below zero.
fn line_type(pairs: &mut PairWriter, name: &str, description: &str, dashes: &[f64]) {
    pairs.texts(&[("0", "LTYPE"), ("2", name), ("70", "0"), ("3", description), ("72", "65")]);
    pairs.integer("73", dashes.len());
    pairs.length("40", dashes.iter().map(|dash| dash.abs()).sum());
    dashes.iter().for_each(|&dash| pairs.length("49", dash));
}

impl Entities for Release12 {
    fn set_layer(&mut self, name: &str) {
        name.clone_into(&mut self.layer);
        // 66 says that vertices follow: without it programs of the time show nothing.
        let polyline = |flag: u8| {
            format!("0\r\nPOLYLINE\r\n8\r\n{name}\r\n66\r\n1\r\n10\r\n0\r\n20\r\n0\r\n30\r\n0\r\n70\r\n{flag}\r\n")
        };
        self.up_to_vertices = [polyline(0), polyline(1)].map(String::into_bytes);
        self.up_to_x = format!("0\r\nVERTEX\r\n8\r\n{name}\r\n10\r\n").into_bytes();
    }

    fn polyline(&mut self, vertices: impl ExactSizeIterator<Item = (Point, f64)>, closed: bool) {
        let [open, shut] = &self.up_to_vertices;
        self.pairs.out.extend_from_slice(if closed { shut } else { open });
        for (point, bulge) in vertices {
            self.pairs.vertex(&self.up_to_x, point);
            if bulge != 0.0 {
                self.pairs.number("42", bulge);
            }
        }
        self.start("SEQEND");
    }

    fn line(&mut self, from: Point, to: Point) {
        self.start("LINE");
        self.pairs.location(from);
        self.pairs.point(["11", "21"], to);
        self.pairs.text("31", "0");
    }

    fn circle(&mut self, center: Point, radius: f64) {
        self.start("CIRCLE");
        self.pairs.location(center);
        self.pairs.length("40", radius);
    }

    fn arc(&mut self, center: Point, radius: f64, angles: [f64; 2]) {
        self.start("ARC");
        self.pairs.location(center);
        self.pairs.length("40", radius);
        self.pairs.angles(angles);
    }

    fn ellipse(&mut self, _: Point, _: Vec2, _: f64) -> bool {
        false
    }
}
