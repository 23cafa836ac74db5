//! SVG files where nothing reads them: the feature `svg-import` is off.

use super::drawn::DrawnPaths;
use super::remark::Remark;

impl DrawnPaths {
    /// Refuses every file.
    pub(super) fn read(_: &str, file: &str, _: Option<&str>, _: bool) -> Result<Self, Remark> {
        let message = format!("{file} cannot be used: SVG files are not read by this build");
        Err(Remark::new(message, "build it with the feature `svg-import`, or give the outline as a path"))
    }
}
