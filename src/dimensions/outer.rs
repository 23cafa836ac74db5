//! The size of the mat and of the rabbet that it goes into.

use kurbo::Rect;

use super::dimension::{Axis, Dimension, DimensionKind, DimensionSource};
use super::subject::{Subject, dimension};
use crate::problem::KeyPath;

pub(super) fn add(subject: &Subject<'_>, found: &mut Vec<Dimension>) {
    let mat = subject.mat;
    let rect = mat.outer.to_rect();
    for axis in Axis::ALL {
        let key = KeyPath::root().key("outer").index(axis.index());
        let source = subject.given.source(std::slice::from_ref(&key), DimensionSource::WorkedOut);
        let [x, y] = [rect.width(), rect.height()];
        let mm = if axis == Axis::Width { x } else { y };
        let id = format!("outer-{}", axis.name());
        found.push(dimension(mat.ruler, id, DimensionKind::Outer { axis }, axis.ends(rect), mm, (key, source)));
    }
    let Some(frame) = &mat.package.frame else { return };
    let rabbet = Rect::from_center_size(rect.center(), frame.rabbet);
    for axis in Axis::ALL {
        let key = KeyPath::root().key("frame").key("rabbet").index(axis.index());
        let source = subject.given.source(std::slice::from_ref(&key), DimensionSource::WorkedOut);
        let mm = if axis == Axis::Width { rabbet.width() } else { rabbet.height() };
        let id = format!("rabbet-{}", axis.name());
        found.push(dimension(mat.ruler, id, DimensionKind::Rabbet { axis }, axis.ends(rabbet), mm, (key, source)));
    }
}
