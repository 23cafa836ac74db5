//! A drawing divided into pages, as PDF: the whole drawing once, and on each page a window through which it shows.

use super::content::ContentStream;
use super::document::{PdfPage, SHARED, Shared, check_size, document};
use super::images::Images;
use super::letters::DocumentFonts;
use crate::formats::exporter::refuse_endless;
use crate::formats::{ExportError, Exported, Options};
use crate::tiling::Tiled;

/// Writes a drawing divided into pages as one PDF file, to be printed at 100 %.
///
/// The drawing is in the file once, however many pages there are. What stands on a page is scaled against the stretch of
/// the printer, the page itself is not. See [`tiling`](crate::tiling) for an example.
///
/// # Errors
///
/// Returns an [`ExportError`] if a page has a side of more than 200 in, or a font cannot be used.
pub fn tiled_pdf(tiled: &Tiled, options: &Options) -> Result<Exported, ExportError> {
    refuse_endless(&tiled.whole)?;
    check_size(tiled.page)?;
    let mut letters = DocumentFonts::new(options.font.as_deref());
    let mut images = Images::default();
    let mut whole = ContentStream::default();
    whole.layers(&tiled.whole, &mut letters, &mut images)?;
    let whole = Shared { drawing: &tiled.whole, content: whole.finish() };
    let mut pages = Vec::with_capacity(tiled.pages.len());
    for page in &tiled.pages {
        let mut content = ContentStream::new(tiled.page);
        if let Some(correction) = tiled.correction() {
            content.transform(correction);
        }
        content.show(SHARED, page.shift, &tiled.windows(page));
        content.layers(&page.surround, &mut letters, &mut images)?;
        pages.push(PdfPage { drawing: &page.surround, content: content.finish() });
    }
    let bytes = document(&tiled.whole.title, &pages, Some(&whole), &letters, &images)?;
    Ok(Exported::new(bytes, letters.notes()))
}
