//! What a framed package is, in words that the check and the workshop sheet share.

use kurbo::Size;

use super::package::{Package, PackagePart, PartKind, StandingWork};
use crate::length::{Ruler, exact_mm};
use crate::tolerance::SAME_LENGTH_MM;

impl Package {
    /// Says which frame it is, what it shows of the mat and what it hides, a sentence each; empty without a frame.
    #[must_use]
    pub fn describe(&self, ruler: Ruler) -> Vec<String> {
        let sizes = [self.describe_rabbet(ruler), self.describe_hidden(ruler), self.describe_moulding(ruler)];
        sizes.into_iter().flatten().chain(self.describe_depth()).collect()
    }

    /// Says how large the rabbet is, and how much of that the frame shows.
    pub(crate) fn describe_rabbet(&self, ruler: Ruler) -> Option<String> {
        let (frame, clearance) = (self.frame.as_ref()?, self.clearance()?);
        Some(format!(
            "rabbet {}, clearance {}, lip {}: shows {}",
            size(frame.rabbet, ruler),
            either(clearance, ruler),
            ruler.read(frame.lip),
            size(frame.sight(), ruler)
        ))
    }

    /// Says how much of the mat the frame hides.
    pub(crate) fn describe_hidden(&self, ruler: Ruler) -> Option<String> {
        let (frame, hidden, hold) = (self.frame.as_ref()?, self.hidden()?, self.hold()?);
        Some(format!(
            "hides {} of each border with the mat centred, {} to {} with the mat pushed to one side",
            either(hidden, ruler),
            ruler.read(hold),
            ruler.read(frame.lip)
        ))
    }

    /// Says how wide the moulding is, and how large the frame is outside.
    pub(crate) fn describe_moulding(&self, ruler: Ruler) -> Option<String> {
        let frame = self.frame.as_ref()?;
        let (moulding, outside) = (frame.moulding.as_ref()?, frame.outside()?);
        let name = if moulding.name.is_empty() { String::new() } else { format!(" {},", moulding.name) };
        Some(format!("moulding{name} {} wide, outside {}", ruler.read(moulding.width), size(outside, ruler)))
    }

    /// Says how deep the package is, and how much room standing works have; nothing without a frame.
    pub(crate) fn describe_depth(&self) -> Vec<String> {
        if self.frame.is_none() {
            return Vec::new();
        }
        let depth = self.depth_in_words().map(|depth| format!("depth: {depth}"));
        depth.into_iter().chain(self.standing.iter().filter_map(StandingWork::describe)).collect()
    }

    /// Lists the parts of known thickness, as in `glass 2 mm + board 1.5875 mm + art (taken as flat)`.
    #[must_use]
    pub fn sum_in_words(&self) -> String {
        let words = self.parts.iter().filter_map(|part| {
            let thickness = part.thickness?;
            let name = part.kind.name();
            if thickness == 0.0 && !part.assumed {
                return None;
            }
            Some(if part.assumed {
                format!("{name} (taken as flat)")
            } else {
                format!("{name} {}", exact_mm(thickness))
            })
        });
        words.collect::<Vec<_>>().join(" + ")
    }

    /// Lists the parts whose thickness is not known, as in `glass and backing`; `None` if there are none.
    #[must_use]
    pub fn unknown_in_words(&self) -> Option<String> {
        let names: Vec<&str> = self.unknown().map(|part| part.kind.name()).collect();
        let (last, before) = names.split_last()?;
        Some(if before.is_empty() { (*last).to_owned() } else { format!("{} and {last}", before.join(", ")) })
    }

    /// Says how much of the depth of the rabbet is taken and what is left, or why that is not known; `None` without a frame.
    #[must_use]
    pub fn depth_in_words(&self) -> Option<String> {
        let depth = self.frame.as_ref()?.depth;
        let sum = self.sum_in_words();
        let known = exact_mm(self.known_height());
        Some(match (depth, self.unknown_in_words()) {
            (Some(depth), None) => {
                let left = depth - self.known_height();
                let (left, word) = if left < 0.0 { (-left, "too deep") } else { (left, "left") };
                format!("{sum} = {known} of {} deep: {} {word}", exact_mm(depth), exact_mm(left))
            }
            (Some(depth), Some(unknown)) => {
                format!("{sum} = {known} of {} deep; not checked: no thickness of {unknown}", exact_mm(depth))
            }
            (None, None) => format!("{sum} = {known}; not checked: the frame has no `depth`"),
            (None, Some(unknown)) => {
                format!("{sum} = {known}; not checked: no `depth` of the frame, no thickness of {unknown}")
            }
        })
    }
}

impl PackagePart {
    /// Returns its name with its thickness, each once; empty if neither is known.
    #[must_use]
    pub fn describe(&self) -> String {
        match self.thickness {
            // A name with a figure in it has the thickness.
            Some(thickness) if !self.name.contains(char::is_numeric) => {
                let thickness = exact_mm(thickness);
                if self.name.is_empty() { thickness } else { format!("{}, {thickness}", self.name) }
            }
            _ => self.name.clone(),
        }
    }
}

/// Shows a size as read off the ruler, with the unit of each number.
fn size(size: Size, ruler: Ruler) -> String {
    format!("{} × {}", ruler.read(size.width), ruler.read(size.height))
}

/// Shows one number for width and height, or both where they differ.
fn either(size: Size, ruler: Ruler) -> String {
    let same = (size.width - size.height).abs() <= SAME_LENGTH_MM;
    let width = ruler.read(size.width).to_string();
    if same { width } else { format!("{width} across and {} down", ruler.read(size.height)) }
}

impl StandingWork {
    /// Says how much free space a work has; `None` if that depends on a thickness that is not known.
    #[must_use]
    pub fn describe(&self) -> Option<String> {
        let room = self.room?;
        let what = if self.below == PartKind::Glass { "glass" } else { "mat" };
        let (deep, room, left) = (exact_mm(self.depth), exact_mm(room), exact_mm(room - self.depth));
        Some(format!("the art of opening {} stands {deep} high in {room} under the {what}: {left} left", self.opening))
    }
}
