//! Pictures keep curves: in SVG and PDF as figures and cubics, in PNG to within a quarter of a pixel.
#![allow(clippy::unwrap_used, clippy::panic, clippy::indexing_slicing, reason = "a test fails by panicking")]

use crate::common::jobs::mat;
use backline::drawing::{Area, Mark};
use backline::formats::png;
use backline::geometry::Segment;
use backline::picture::{Scene, draw};

/// A long oval in a board and on a ground that differ as much as can be, cut straight so that no bevel blurs its edge.
const OVAL: &str = "unit = 'mm'\nouter = [420, 60]\nboard = 'black'\nbevel = 'straight'\nopening.shape = 'ellipse'\nopening.size = [400, 40]\n";

fn areas(job: &str) -> Vec<Area> {
    let drawing = draw(&mat(job), &Scene::default()).drawing;
    let marks = drawing.layers.into_iter().flat_map(|layer| layer.marks);
    marks.filter_map(|mark| if let Mark::Area(area) = mark { Some(area) } else { None }).collect()
}

/// The sight edge of an oval of 400 × 500 mm was a polygon with sides of 22 mm.
#[test]
fn the_edges_of_an_oval_are_arcs() {
    for bevel in ["standard", "reverse"] {
        let job = format!(
            "unit = 'mm'\nouter = [500, 600]\nbevel = '{bevel}'\nopening.shape = 'ellipse'\nopening.size = [400, 500]\n"
        );
        // Long straight pieces are those of the board and of the ground, which lie beyond the oval on all sides.
        let oval = areas(&job)
            .into_iter()
            .flat_map(|area| area.outlines)
            .filter(|outline| outline.segments().iter().any(|segment| matches!(segment, Segment::Arc(_))));
        let mut arcs = 0;
        for outline in oval {
            for segment in outline.segments() {
                match segment {
                    Segment::Line(line) => assert!((line.p1 - line.p0).hypot() < 3.0, "{bevel}: {line:?}"),
                    Segment::Arc(_) => arcs += 1,
                }
            }
        }
        assert!(arcs > 0, "{bevel}");
        // No small straight-sided piece is left of the bevel or of the shadow.
        let polygons = areas(&job)
            .into_iter()
            .flat_map(|area| area.outlines)
            .filter_map(|outline| Some((outline.as_polygon()?.len(), outline.size())));
        let near = polygons.filter(|(_, size)| size.width < 300.0).count();
        assert_eq!(near, 0, "{bevel}");
    }
}

/// The edge of the oval in a picture of pixels, found from how much of each pixel it covers, against the ellipse itself. A
/// renderer that makes one cubic of a quarter misses it by 0.47 pixels here.
#[test]
fn the_edge_of_an_oval_lies_within_a_quarter_of_a_pixel() {
    const PIXELS_PER_INCH: f64 = 200.0;
    let mat = mat(OVAL);
    let file = png(&draw(&mat, &Scene::default()).drawing, PIXELS_PER_INCH).unwrap();
    let picture = image::load_from_memory(&file.bytes).unwrap().into_luma8();
    let (columns, rows) = picture.dimensions();
    let (across, down) = (f64::from(columns) / 420.0, f64::from(rows) / 60.0);
    let at = |x: u32, y: u32| f64::from(picture.get_pixel(x, y).0[0]);
    let board = at(columns / 2, 5);
    let mut worst: f64 = 0.0;
    let mut count = 0;
    // At the lower right, where neither the shadow lies nor the stripe of the ground; the board is dark.
    for y in rows / 2 + 4..rows * 7 / 10 {
        let below = ((f64::from(y) + 0.5) / down - 30.0) / 20.0;
        let expected = (210.0 + 200.0 * (1.0 - below * below).sqrt()) * across;
        // The edge runs over some pixels of a row: what is light from well inside on says where it is on average.
        let inside = expected as u32 - 30;
        let ground = at(inside, y);
        let light: f64 = (inside..inside + 60).map(|x| (at(x, y) - board) / (ground - board)).sum();
        worst = worst.max((f64::from(inside) + light - expected).abs());
        count += 1;
    }
    assert!(count > 80 && worst < 0.25, "{worst} pixels off in {count} rows");
}
