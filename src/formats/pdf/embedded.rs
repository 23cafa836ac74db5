//! A font inside the file, cut down to the letters in use.

use pdf_writer::types::{CidFontType, FontFlags, SystemInfo, UnicodeCmap};
use pdf_writer::{Finish, Name, Pdf, Rect, Ref, Str};
use subsetter::GlyphRemapper;
use ttf_parser::{Face, GlyphId, Permissions, Tag, name_id};

use super::units::ObjectNumbers;
use crate::formats::ExportError;
use crate::formats::letters::note_once;

/// The order in which the letters are numbered: as they come.
const IDENTITY: SystemInfo<'static> = SystemInfo { registry: Str(b"Adobe"), ordering: Str(b"Identity"), supplement: 0 };
const CFF: Tag = Tag::from_bytes(b"CFF ");

/// A font and the letters of it that are in use.
pub(super) struct Embedded<'a> {
    data: &'a [u8],
    face: Face<'a>,
    glyphs: GlyphRemapper,
    /// The letter of each glyph in the file, by its number; the first is the box for letters that are missing.
    letters: Vec<char>,
    missing: String,
}

impl<'a> Embedded<'a> {
    /// Opens a font file; `None` for DejaVu Sans.
    pub(super) fn new(given: Option<&'a [u8]>) -> Result<Self, ExportError> {
        let data = given.unwrap_or_else(|| dejavu::sans::regular());
        let face = Face::parse(data, 0).map_err(|error| unusable(&format!("cannot be read: {error}")))?;
        if face.permissions() == Some(Permissions::Restricted) || !face.is_subsetting_allowed() {
            return Err(unusable("does not allow itself to be embedded in other files"));
        }
        Ok(Self { data, face, glyphs: GlyphRemapper::new(), letters: vec!['\u{FFFD}'], missing: String::new() })
    }

    /// Returns a line as a string of the page and its width as a share of the font size.
    pub(super) fn set(&mut self, content: &str) -> (Vec<u8>, f64) {
        let mut string = Vec::with_capacity(4 * content.len() + 2);
        let mut width = 0.0;
        string.push(b'<');
        for letter in content.chars() {
            let glyph = self.face.glyph_index(letter).unwrap_or_else(|| {
                note_once(&mut self.missing, letter);
                GlyphId(0)
            });
            let number = self.glyphs.remap(glyph.0);
            if usize::from(number) == self.letters.len() {
                self.letters.push(letter);
            }
            string.extend_from_slice(format!("{number:04X}").as_bytes());
            width += self.advance(glyph.0);
        }
        string.push(b'>');
        (string, width / 1000.0)
    }

    /// Returns the height of the capitals as a share of the font size.
    pub(super) fn cap_share(&self) -> f64 {
        let measured = || Some(self.face.glyph_bounding_box(self.face.glyph_index('H')?)?.y_max);
        let height = self.face.capital_height().filter(|height| *height > 0).or_else(measured);
        // Seven tenths is common practice for a font that does not say, no source.
        height.map_or(0.7, |height| self.thousandths(height) / 1000.0)
    }

    /// Returns the letters that the font does not have, once each.
    pub(super) fn missing(&self) -> &str {
        &self.missing
    }

    /// Writes the font and returns its number.
    pub(super) fn write(&self, pdf: &mut Pdf, numbers: &mut ObjectNumbers) -> Result<Ref, ExportError> {
        let subset = subsetter::subset(self.data, 0, &self.glyphs)
            .map_err(|error| unusable(&format!("cannot be cut down to the letters in use: {error}")))?;
        let name = format!("{}+{}", tag(&subset), self.postscript_name());
        let name = Name(name.as_bytes());
        let [font, cid_font, descriptor, file, cmap] = [(); 5].map(|()| numbers.next());

        pdf.type0_font(font)
            .base_font(name)
            .encoding_predefined(Name(b"Identity-H"))
            .descendant_font(cid_font)
            .to_unicode(cmap);
        pdf.cmap(cmap, self.to_unicode().as_slice());

        // An OpenType file keeps its outlines in a table of its own, which is all that PDF takes of it.
        let outlines = Face::parse(&subset, 0).ok().and_then(|face| face.raw_face().table(CFF));
        let mut cid = pdf.cid_font(cid_font);
        cid.base_font(name).system_info(IDENTITY).font_descriptor(descriptor);
        cid.widths().consecutive(0, self.glyphs.remapped_gids().map(|glyph| self.advance(glyph) as f32));
        match outlines {
            Some(_) => cid.subtype(CidFontType::Type0),
            None => cid.subtype(CidFontType::Type2).cid_to_gid_map_predefined(Name(b"Identity")),
        };
        cid.finish();

        self.write_descriptor(pdf, descriptor, name, file, outlines.is_some());
        let mut stream = pdf.stream(file, outlines.unwrap_or(&subset));
        if outlines.is_some() {
            stream.pair(Name(b"Subtype"), Name(b"CIDFontType0C"));
        } else {
            stream.pair(Name(b"Length1"), i32::try_from(subset.len()).unwrap_or(i32::MAX));
        }
        stream.finish();
        Ok(font)
    }

    fn write_descriptor(&self, pdf: &mut Pdf, id: Ref, name: Name<'_>, file: Ref, has_cff: bool) {
        let part = |value: i16| self.thousandths(value) as f32;
        let bounds = self.face.global_bounding_box();
        let mut descriptor = pdf.font_descriptor(id);
        descriptor
            .name(name)
            .flags(FontFlags::SYMBOLIC)
            .bbox(Rect::new(part(bounds.x_min), part(bounds.y_min), part(bounds.x_max), part(bounds.y_max)))
            .italic_angle(0.0)
            .ascent(part(self.face.ascender()))
            .descent(part(self.face.descender()))
            .cap_height((self.cap_share() * 1000.0) as f32)
            // Zero says that the width of the stems is not known (ISO 32000-2, table 120).
            .stem_v(0.0);
        if has_cff {
            descriptor.font_file3(file);
        } else {
            descriptor.font_file2(file);
        }
    }

    /// Returns the table from glyphs to letters by which readers find and copy text.
    fn to_unicode(&self) -> pdf_writer::Buf {
        let mut cmap = UnicodeCmap::<u16>::new(Name(b"Adobe-Identity-UCS"), IDENTITY);
        for (number, letter) in (0..).zip(&self.letters) {
            cmap.pair(number, *letter);
        }
        cmap.finish()
    }

    /// Returns how far a glyph moves on, in thousandths of the font size.
    fn advance(&self, glyph: u16) -> f64 {
        let units = self.face.glyph_hor_advance(GlyphId(glyph)).unwrap_or(0);
        f64::from(units) * 1000.0 / f64::from(self.face.units_per_em())
    }

    fn thousandths(&self, units: i16) -> f64 {
        f64::from(units) * 1000.0 / f64::from(self.face.units_per_em())
    }

    /// Returns the name of the font without characters that a name may not hold.
    fn postscript_name(&self) -> String {
        let names = self.face.names();
        let name = names.into_iter().filter(|name| name.name_id == name_id::POST_SCRIPT_NAME);
        let name = name.filter_map(|name| name.to_string()).next().unwrap_or_default();
        let name: String = name.chars().filter(|letter| letter.is_ascii_alphanumeric() || *letter == '-').collect();
        if name.is_empty() { "Font".to_owned() } else { name }
    }
}

/// Returns the six capitals that mark a cut-down font, worked out from its bytes (FNV-1a) so that they repeat.
fn tag(subset: &[u8]) -> String {
    let mut hash = subset
        .iter()
        .fold(0xCBF2_9CE4_8422_2325_u64, |hash, byte| (hash ^ u64::from(*byte)).wrapping_mul(0x0100_0000_01B3));
    (0..6)
        .map(|_| {
            let capital = b'A' + (hash % 26) as u8;
            hash /= 26;
            char::from(capital)
        })
        .collect()
}

fn unusable(reason: &str) -> ExportError {
    ExportError {
        message: format!("the font file for the letters of the PDF {reason}"),
        help: "give another TrueType or OpenType font with --font".to_owned(),
    }
}
