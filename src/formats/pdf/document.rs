//! PDF at full scale: pages of the size of their sheets, each layer optional content, curves as Bézier curves.

use kurbo::Size;
use pdf_writer::writers::Resources;
use pdf_writer::{Finish, Name, Pdf as Document, Rect, Ref, TextStr};

use super::content::ContentStream;
use super::images::Images;
use super::letters::DocumentFonts;
use super::units::{ObjectNumbers, POINTS_PER_MM};
use crate::drawing::{Drawing, Role};
use crate::formats::exporter::refuse_endless;
use crate::formats::{ExportError, Exported, Exporter, Options, Source};

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

    fn encode(&self, source: &Source<'_>) -> Result<Exported, ExportError> {
        pdf_pages(&source.drawing.title, [source.drawing], source.options)
    }
}

/// Writes drawings as the pages of one PDF file, each at full scale on a page of the size of its sheet.
///
/// The pages share one set of layers: switching a kind of line off switches it off on every page. `title` is the title of
/// the document. The bytes depend on nothing but the arguments.
///
/// ```
/// use backline::drawing::Drawing;
/// use backline::formats::{Options, pdf_pages};
///
/// let page = |title: &str| Drawing {
///     title: title.to_owned(),
///     view: "example",
///     sheet: kurbo::Size::new(210.0, 297.0),
///     layers: Vec::new(),
/// };
/// let pages = [page("first"), page("second")];
/// let pdf = pdf_pages("Both", &pages, &Options::default())?.bytes;
/// assert!(pdf.starts_with(b"%PDF"));
/// # Ok::<(), backline::formats::ExportError>(())
/// ```
///
/// # Errors
///
/// Returns an [`ExportError`] if there is no page, a page has a side of more than 200 in, or a font cannot be used.
pub fn pdf_pages<'d>(
    title: &str,
    pages: impl IntoIterator<Item = &'d Drawing>,
    options: &Options,
) -> Result<Exported, ExportError> {
    let mut letters = DocumentFonts::new(options.font.as_deref());
    let mut images = Images::default();
    let mut written = Vec::new();
    for drawing in pages {
        refuse_endless(drawing)?;
        check_size(drawing.sheet)?;
        let mut content = ContentStream::new(drawing.sheet);
        content.layers(drawing, &mut letters, &mut images)?;
        written.push(PdfPage { drawing, content: content.finish() });
    }
    if written.is_empty() {
        return Err(ExportError {
            message: "there is no page, and a PDF file needs at least one".to_owned(),
            help: "give it a drawing".to_owned(),
        });
    }
    let bytes = document(title, &written, None, &letters, &images)?;
    Ok(Exported::new(bytes, letters.notes()))
}

/// A page on its way into the document.
pub(super) struct PdfPage<'d> {
    pub(super) drawing: &'d Drawing,
    pub(super) content: Vec<u8>,
}

/// A drawing that pages show parts of, on its way into the document.
pub(super) struct Shared<'d> {
    pub(super) drawing: &'d Drawing,
    pub(super) content: Vec<u8>,
}

/// Name of the shared drawing in the content of the pages.
pub(super) const SHARED: Name<'static> = Name(b"Whole");

pub(super) fn check_size(sheet: Size) -> Result<(), ExportError> {
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

/// Puts the pages into a document.
pub(super) fn document(
    title: &str,
    pages: &[PdfPage<'_>],
    shared: Option<&Shared<'_>>,
    letters: &DocumentFonts<'_>,
    images: &Images,
) -> Result<Vec<u8>, ExportError> {
    let mut pdf = Document::new();
    let mut numbers = ObjectNumbers::new();
    let [catalog, tree] = [(); 2].map(|()| numbers.next());
    let places: Vec<[Ref; 2]> = pages.iter().map(|_| [(); 2].map(|()| numbers.next())).collect();
    let info = numbers.next();
    let drawings = shared.iter().map(|shared| shared.drawing).chain(pages.iter().map(|page| page.drawing));
    let layers: Vec<(Role, Ref)> = drawn_roles(drawings).into_iter().map(|role| (role, numbers.next())).collect();

    write_catalog(&mut pdf, catalog, tree, &layers);
    let count = i32::try_from(pages.len()).unwrap_or(i32::MAX);
    pdf.pages(tree).kids(places.iter().map(|[page, _]| *page)).count(count);
    let fonts = letters.write(&mut pdf, &mut numbers)?;
    let pictures = images.write(&mut pdf, &mut numbers);
    let mut used = Used { layers: &layers, fonts: &fonts, pictures: &pictures, form: None };
    if let Some(shared) = shared {
        let form = numbers.next();
        write_form(&mut pdf, form, shared, &used);
        used.form = Some(form);
    }
    for (page, [id, stream]) in pages.iter().zip(&places) {
        write_page(&mut pdf, *id, tree, *stream, page.drawing.sheet, &used);
    }
    for (role, id) in &layers {
        let mut group = pdf.indirect(*id).dict();
        group.pair(Name(b"Type"), Name(b"OCG")).pair(Name(b"Name"), TextStr(role.name()));
    }
    for (page, [_, stream]) in pages.iter().zip(&places) {
        pdf.stream(*stream, &page.content);
    }
    pdf.document_info(info).title(TextStr(title)).producer(TextStr("Backline"));
    Ok(pdf.finish())
}

/// Returns the roles of drawings, in the order in which they are first drawn.
fn drawn_roles<'d>(drawings: impl IntoIterator<Item = &'d Drawing>) -> Vec<Role> {
    let mut roles = Vec::new();
    for layer in drawings.into_iter().flat_map(|drawing| &drawing.layers).filter(|layer| !layer.marks.is_empty()) {
        if !roles.contains(&layer.role) {
            roles.push(layer.role);
        }
    }
    roles
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

/// What content refers to by name.
struct Used<'a> {
    layers: &'a [(Role, Ref)],
    fonts: &'a [(Name<'static>, Ref)],
    pictures: &'a [(String, Ref)],
    form: Option<Ref>,
}

impl Used<'_> {
    fn write(&self, mut resources: Resources<'_>) {
        resources.fonts().pairs(self.fonts.iter().copied());
        if !self.pictures.is_empty() || self.form.is_some() {
            let pictures = self.pictures.iter().map(|(name, id)| (Name(name.as_bytes()), *id));
            resources.x_objects().pairs(pictures.chain(self.form.map(|form| (SHARED, form))));
        }
        let names = self.layers.iter().map(|(role, id)| (Name(role.name().as_bytes()), *id));
        resources.insert(Name(b"Properties")).dict().pairs(names);
    }
}

fn write_page(pdf: &mut Document, id: Ref, pages: Ref, stream: Ref, sheet: Size, used: &Used<'_>) {
    let side = |mm: f64| (mm * POINTS_PER_MM) as f32;
    let mut page = pdf.page(id);
    page.parent(pages).media_box(Rect::new(0.0, 0.0, side(sheet.width), side(sheet.height))).contents(stream);
    used.write(page.resources());
}

/// Writes a drawing once, in its own millimetres, for the pages to show.
fn write_form(pdf: &mut Document, id: Ref, shared: &Shared<'_>, used: &Used<'_>) {
    // Wider than the sheet, so that it cuts nothing off.
    let sheet = shared.drawing.sheet.to_rect().inflate(LONGEST_SIDE_MM, LONGEST_SIDE_MM);
    let [x0, y0, x1, y1] = [sheet.x0, sheet.y0, sheet.x1, sheet.y1].map(|side| side as f32);
    let mut form = pdf.form_xobject(id, &shared.content);
    form.bbox(Rect::new(x0, y0, x1, y1));
    used.write(form.resources());
}
