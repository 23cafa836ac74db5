//! The size of the mat, of boards that are smaller, and of the frame that it goes into.

use kurbo::{Point, Rect};

use super::dimension::{Axis, DimensionKind};
use super::measured::MeasuredSize;
use crate::mat::{Frame, Mat};

pub(super) fn add(mat: &Mat, found: &mut Vec<MeasuredSize>) {
    for axis in Axis::ALL {
        found.push(MeasuredSize::across(DimensionKind::Outer { axis }, axis, mat.outer.to_rect()));
    }
    for (index, layer) in mat.layers.iter().enumerate().filter(|(_, layer)| layer.inset != 0.0) {
        let board = index + 1;
        for axis in Axis::ALL {
            found.push(MeasuredSize::across(DimensionKind::Board { axis, board }, axis, mat.extent(layer)));
        }
    }
    if let Some(frame) = &mat.package.frame {
        add_frame(mat.outer.to_rect().center(), frame, found);
    }
}

/// The mat hangs in the middle of its frame.
fn add_frame(middle: Point, frame: &Frame, found: &mut Vec<MeasuredSize>) {
    let rabbet = Rect::from_center_size(middle, frame.rabbet);
    let sight = Rect::from_center_size(middle, frame.sight());
    let outside = frame.outside().map(|size| Rect::from_center_size(middle, size));
    for axis in Axis::ALL {
        found.push(MeasuredSize::across(DimensionKind::Rabbet { axis }, axis, rabbet));
        found.push(MeasuredSize::across(DimensionKind::FrameSight { axis }, axis, sight));
        found.extend(outside.map(|outside| MeasuredSize::across(DimensionKind::FrameOutside { axis }, axis, outside)));
    }
    let from = |x: f64| [Point::new(x, middle.y), Point::new(sight.x0, middle.y)];
    found.push(MeasuredSize::new(DimensionKind::Lip, from(rabbet.x0)));
    found.extend(outside.map(|outside| MeasuredSize::new(DimensionKind::Moulding, from(outside.x0))));
}
