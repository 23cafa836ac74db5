//! The golden folders: the job in each, and every file that ought to lie beside it.
#![allow(dead_code, reason = "each test program uses a part of it")]

use std::path::{Path, PathBuf};

use backline::checked::Checked;
use backline::drawing::Drawing;
use backline::formats::{Exporter, Options, Source, drawing_formats};
use backline::job::{Syntax, WrittenJob};
use backline::mat::{Layer, Mat};
use backline::summary::MatSummary;
use backline::view::{VIEWS, View};

/// The views that are kept of a plain board; of one with ornaments all are kept.
const PLAIN_VIEWS: [&str; 3] = ["back", "face", "cut"];

/// Letters drawn as strokes are most of a file: of the back template they are kept as text and HP-GL, of the face view,
/// which is for people, not at all.
fn is_kept(view: &str, format: &dyn Exporter) -> bool {
    match view {
        "back" => !matches!(format.name(), "dxf" | "dxf-r2000" | "json"),
        "face" => matches!(format.name(), "svg" | "pdf"),
        _ => true,
    }
}

/// One golden folder.
#[derive(Debug)]
pub(crate) struct Golden {
    pub(crate) folder: PathBuf,
    pub(crate) resolved: Checked<Mat>,
}

/// One drawing of a golden folder.
pub(crate) struct Drawn<'g> {
    /// Start of the name of its files, for example `back`, or `1-top-back` where there are several boards.
    pub(crate) stem: String,
    pub(crate) view: &'static View,
    pub(crate) layer: &'g Layer,
    pub(crate) drawing: Drawing,
}

/// Returns all golden folders in the order of their names.
pub(crate) fn all() -> Vec<Golden> {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("golden-files/mats");
    let mut folders: Vec<PathBuf> =
        std::fs::read_dir(root).unwrap().map(|entry| entry.unwrap().path()).filter(|path| path.is_dir()).collect();
    folders.sort();
    folders.into_iter().map(Golden::read).collect()
}

impl Golden {
    fn read(folder: PathBuf) -> Self {
        let text = std::fs::read_to_string(folder.join("job.toml")).unwrap();
        let mut job =
            WrittenJob::read(&text, Syntax::Toml).unwrap_or_else(|error| panic!("{}: {error}", folder.display()));
        job.load_outlines(&mut |file| std::fs::read(folder.join(file)).map_err(|error| error.to_string()));
        let resolved = job.resolve();
        Self { folder, resolved }
    }

    /// Name of the folder.
    pub(crate) fn name(&self) -> String {
        self.folder.file_name().unwrap().to_string_lossy().into_owned()
    }

    /// The mat, which every golden job must have.
    pub(crate) fn mat(&self) -> &Mat {
        self.resolved.sound().unwrap_or_else(|| panic!("{}: {:?}", self.name(), self.resolved.problems))
    }

    /// Draws every board in the views that are kept.
    pub(crate) fn drawings(&self) -> Vec<Drawn<'_>> {
        self.drawings_where(|view, layer| !layer.decoration.is_empty() || PLAIN_VIEWS.contains(&view.name))
    }

    /// Draws every board in those of the views that show something of it and that are wanted.
    pub(crate) fn drawings_where(&self, wanted: impl Fn(&View, &Layer) -> bool) -> Vec<Drawn<'_>> {
        let mat = self.mat();
        let mut drawings = Vec::new();
        for (index, layer) in mat.layers().iter().enumerate() {
            let board = match mat.layers().len() {
                1 => String::new(),
                _ => format!("{}-{}-", index + 1, layer.name.replace(' ', "-")),
            };
            for view in VIEWS.iter().filter(|view| view.applies(layer) && wanted(view, layer)) {
                let drawing = view.draw(mat, layer);
                drawings.push(Drawn { stem: format!("{board}{}", view.name), view, layer, drawing });
            }
        }
        drawings
    }

    /// Returns the name and the bytes of every file that belongs into the folder, apart from what the job reads.
    pub(crate) fn files(&self) -> Vec<(String, Vec<u8>)> {
        let summary = MatSummary::new(self.mat().name(), &self.resolved);
        let summary = serde_json::to_string_pretty(&summary).unwrap() + "\n";
        let mut files = vec![("check.json".to_owned(), summary.into_bytes())];
        for drawn in self.drawings() {
            for format in drawing_formats().filter(|format| is_kept(drawn.view.name, *format)) {
                files.push((format!("{}{}", drawn.stem, format.file_end(&Options::default())), drawn.bytes(format)));
            }
        }
        files
    }
}

impl Drawn<'_> {
    /// Writes the drawing in a format, with the usual options.
    pub(crate) fn bytes(&self, format: &dyn Exporter) -> Vec<u8> {
        format.export(&Source::new(&self.drawing, &Options::default())).unwrap().bytes
    }
}
