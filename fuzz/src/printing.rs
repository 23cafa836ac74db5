//! Any bytes as a size of paper and as a printer, with numbers for margin and overlap: a drawing is divided into pages.

use std::sync::LazyLock;

use backline::drawing::Drawing;
use backline::job::{Syntax, WrittenJob};
use backline::paper::{Paper, WrittenPrinter};
use backline::tiling::Tiling;
use backline::view::View;

static DRAWING: LazyLock<Option<Drawing>> = LazyLock::new(|| {
    let text = "unit = 'mm'\nouter = [300, 400]\nopening = { shape = 'ellipse', size = [150, 200] }";
    let mat = WrittenJob::read(text, Syntax::Toml).ok()?.resolve().value?;
    Some(View::BACK.draw(&mat, &mat.layers()[0]))
});

pub fn run(bytes: &[u8]) {
    let Ok(text) = std::str::from_utf8(bytes) else { return };
    for syntax in [Syntax::Toml, Syntax::Json] {
        if let Ok(printer) = WrittenPrinter::read(text, syntax) {
            let resolved = printer.resolve();
            assert!(resolved.value.is_some() || !resolved.problems.is_empty(), "{printer:?}");
        }
    }
    let mut lines = text.lines();
    let Some(Ok(paper)) = lines.next().map(str::parse::<Paper>) else { return };
    assert_eq!(paper.to_string().parse::<Paper>().as_ref(), Ok(&paper), "{paper}");
    let mut number = |usual: f64| lines.next().and_then(|line| line.parse::<f64>().ok()).unwrap_or(usual);
    let (margin, overlap) = (number(10.0), number(5.0));
    let Some(drawing) = DRAWING.as_ref() else { return };
    let tiling = Tiling { paper, margin, overlap, ..Tiling::default() };
    if let Ok(tiled) = tiling.lay_out(drawing) {
        assert!(!tiled.pages.is_empty());
    }
}
