//! PDF at full scale: one page of the size of the sheet, each layer optional content, curves as Bézier curves.

mod content;
mod embedded;
mod helvetica;
mod letters;

use kurbo::Size;
use pdf_writer::{Finish, Name, Pdf as Document, Rect, Ref, TextStr};

use super::{ExportError, Exported, Exporter, Source};
use crate::drawing::{Drawing, Role};
use letters::Letters;

/// Length of a millimetre in points, the unit of PDF: 72 to the inch.
const POINTS_PER_MM: f64 = 72.0 / 25.4;
/// Longest side of a page in millimetres: 14,400 points (ISO 32000-1, annex C).
const LONGEST_SIDE_MM: f64 = 5080.0;

/// The exporter for PDF.
pub(super) struct Pdf;

impl Exporter for Pdf {
    fn name(&self) -> &'static str {
        "pdf"
    }

    fn extension(&self) -> &'static str {
        "pdf"
    }

    fn summary(&self) -> &'static str {
        "PDF, one page of the size of the sheet, to be printed at 100 %"
    }

    fn export(&self, source: &Source<'_>) -> Result<Exported, ExportError> {
        check_size(source.drawing.sheet)?;
        let mut letters = Letters::new(source.options.font.as_deref());
        let content = content::write(source.drawing, &mut letters)?;
        let bytes = document(source.drawing, &content, &letters)?;
        Ok(Exported { bytes, notes: letters.notes() })
    }
}

fn check_size(sheet: Size) -> Result<(), ExportError> {
    if sheet.width.max(sheet.height) <= LONGEST_SIDE_MM {
        return Ok(());
    }
    let round = |side: f64| (side * 1000.0).round() / 1000.0;
    Err(ExportError {
        message: format!(
            "the sheet is {} × {} mm, but a side of a PDF page is at most {LONGEST_SIDE_MM} mm (200 in)",
            round(sheet.width),
            round(sheet.height)
        ),
        help: "choose another format for a sheet of this size".to_owned(),
    })
}

/// Hands out the numbers of objects.
struct Numbers(Ref);

impl Numbers {
    fn next(&mut self) -> Ref {
        self.0.bump()
    }
}

/// Puts the content of the page into a document.
fn document(drawing: &Drawing, content: &[u8], letters: &Letters<'_>) -> Result<Vec<u8>, ExportError> {
    let mut pdf = Document::new();
    let mut numbers = Numbers(Ref::new(1));
    let [catalog, pages, page, stream, info] = [(); 5].map(|()| numbers.next());
    let layers: Vec<(Role, Ref)> = drawn_roles(drawing).map(|role| (role, numbers.next())).collect();

    write_catalog(&mut pdf, catalog, pages, &layers);
    pdf.pages(pages).kids([page]).count(1);
    let fonts = letters.write(&mut pdf, &mut numbers)?;
    write_page(&mut pdf, page, pages, stream, drawing.sheet, &layers, &fonts);
    for (role, id) in &layers {
        let mut group = pdf.indirect(*id).dict();
        group.pair(Name(b"Type"), Name(b"OCG")).pair(Name(b"Name"), TextStr(role.name()));
    }
    pdf.stream(stream, content);
    pdf.document_info(info).title(TextStr(&drawing.title)).producer(TextStr("Backline"));
    Ok(pdf.finish())
}

fn drawn_roles(drawing: &Drawing) -> impl Iterator<Item = Role> + '_ {
    drawing.layers.iter().filter(|layer| !layer.marks.is_empty()).map(|layer| layer.role)
}

fn write_catalog(pdf: &mut Document, id: Ref, pages: Ref, layers: &[(Role, Ref)]) {
    let mut catalog = pdf.catalog(id);
    catalog.pages(pages);
    let mut viewer = catalog.viewer_preferences();
    viewer.display_doc_title(true);
    // A drawing that is scaled to the paper, or printed on the wrong one, is a spoilt board.
    viewer.pair(Name(b"PrintScaling"), Name(b"None")).pair(Name(b"PickTrayByPDFSize"), true);
    viewer.finish();
    let groups = || layers.iter().map(|(_, id)| *id);
    let mut content = catalog.insert(Name(b"OCProperties")).dict();
    content.insert(Name(b"OCGs")).array().items(groups());
    let mut shown = content.insert(Name(b"D")).dict();
    shown.insert(Name(b"ON")).array().items(groups());
    shown.insert(Name(b"Order")).array().items(groups());
}

fn write_page(
    pdf: &mut Document,
    id: Ref,
    pages: Ref,
    stream: Ref,
    sheet: Size,
    layers: &[(Role, Ref)],
    fonts: &[(Name<'static>, Ref)],
) {
    let side = |mm: f64| (mm * POINTS_PER_MM) as f32;
    let mut page = pdf.page(id);
    page.parent(pages).media_box(Rect::new(0.0, 0.0, side(sheet.width), side(sheet.height))).contents(stream);
    let mut resources = page.resources();
    resources.fonts().pairs(fonts.iter().copied());
    let names = layers.iter().map(|(role, id)| (Name(role.name().as_bytes()), *id));
    resources.insert(Name(b"Properties")).dict().pairs(names);
}
