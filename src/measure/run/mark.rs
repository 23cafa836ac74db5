//! By what machines tell the tool of a stroke.

use super::found::FoundStroke;
use crate::formats::reading::LineColor;
use crate::formats::{Facts, ToolMark};
use crate::program::Tool;

/// Tells whether a stroke is marked as one of a tool, by what machines go by.
pub(super) fn has_mark(found: &FoundStroke, tool: &Tool, format: &Facts) -> bool {
    match format.tools {
        ToolMark::Layer => found.layer.eq_ignore_ascii_case(&tool.layer),
        ToolMark::Color => found.run.color.is_none_or(|color| color == LineColor::Rgb(tool.color)),
        ToolMark::Pen => found.run.tool == Some(u32::from(tool.number)),
        ToolMark::Number => {
            found.run.tool.is_none_or(|number| number == u32::from(tool.number))
                && &*found.layer == tool.work.role().name()
        }
        // Stops say that there is another tool, and not which one.
        ToolMark::Change => found.run.tool.is_none_or(|number| number == u32::from(tool.number)),
        ToolMark::Nothing => true,
    }
}
