//! Reads DXF files of this crate with the crate `dxf`; unit and sheet come from the comments.

use dxf::entities::EntityType;
use kurbo::{Point, Rect, Size};

use super::strokes::{Stroke, from_bottom_left};

/// What is in a file, lengths in millimetres.
#[derive(Debug)]
pub(crate) struct DxfReading {
    pub(crate) comments: Vec<String>,
    pub(crate) sheet: Size,
    /// The extents of the header, y up from the bottom left corner.
    pub(crate) extents: Rect,
    /// Name, number of the colour and line type of each layer.
    pub(crate) layers: Vec<(String, u8, String)>,
    pub(crate) strokes: Vec<Stroke>,
}

/// Reads a file; panics with the reason if it is not one that this crate writes.
pub(crate) fn read(bytes: &[u8]) -> DxfReading {
    let comments = comments(bytes);
    let unit = mm_per_unit(&comments);
    let sheet = sheet(&comments) * unit;
    let file = dxf::Drawing::load(&mut std::io::Cursor::new(bytes)).unwrap();
    assert_eq!(file.header.version, dxf::enums::AcadVersion::R12);
    let corner = |point: &dxf::Point| Point::new(point.x * unit, point.y * unit);
    let extents =
        Rect::from_points(corner(&file.header.minimum_drawing_extents), corner(&file.header.maximum_drawing_extents));
    let layers =
        file.layers().map(|layer| (layer.name.clone(), layer.color.index().unwrap(), layer.line_type_name.clone()));
    let strokes = file.entities().map(|entity| match &entity.specific {
        EntityType::Polyline(line) => Stroke {
            role: entity.common.layer.to_ascii_lowercase(),
            opening: None,
            closed: line.is_closed(),
            points: line.vertices().map(|vertex| from_bottom_left(corner(&vertex.location), sheet)).collect(),
        },
        other => panic!("{other:?} is not a polyline"),
    });
    DxfReading { layers: layers.collect(), strokes: strokes.collect(), comments, sheet, extents }
}

fn comments(bytes: &[u8]) -> Vec<String> {
    let lines: Vec<&str> = std::str::from_utf8(bytes).unwrap().lines().collect();
    lines.chunks(2).filter(|pair| pair[0] == "999").map(|pair| pair[1].to_owned()).collect()
}

fn mm_per_unit(comments: &[String]) -> f64 {
    if comments.iter().any(|comment| comment.starts_with("unit: mm ")) {
        1.0
    } else if comments.iter().any(|comment| comment.starts_with("unit: in ")) {
        25.4
    } else {
        panic!("no unit in {comments:?}")
    }
}

/// Returns the size of the sheet in the unit of the file.
fn sheet(comments: &[String]) -> Size {
    let size = comments.iter().find_map(|comment| comment.strip_prefix("sheet: ")).unwrap();
    let (width, height) = size.split(',').next().unwrap().split_once(" x ").unwrap();
    Size::new(width.parse().unwrap(), height.parse().unwrap())
}
