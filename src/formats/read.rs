//! Files read by what they look like.

use std::borrow::Cow;

use kurbo::Rect;

use super::exporter::FileUnit;
use super::reading::{LARGEST, ReadDrawing, Unreadable};
use super::table::readers;

/// Larger files than this many bytes are refused.
const LARGEST_FILE: usize = 256 << 20;

/// A format that is not read back, known by how its files start.
struct UnreadFormat {
    start: &'static [u8],
    message: &'static str,
    help: &'static str,
}

const UNREAD: [UnreadFormat; 5] = [
    UnreadFormat {
        start: b"%PDF-",
        message: "PDF files are not measured",
        help: "draw the same job as SVG or DXF and measure that; on paper, hold a ruler against the scale bar",
    },
    UnreadFormat {
        start: b"\x89PNG",
        message: "the file is a picture, made of dots and not of lines",
        help: "measure the SVG or DXF file that it was made from",
    },
    UnreadFormat {
        start: b"\xFF\xD8\xFF",
        message: "the file is a picture, made of dots and not of lines",
        help: "measure the SVG or DXF file that it was made from",
    },
    // The signature of the binary drawing format whose text form is DXF.
    UnreadFormat { start: b"AC10", message: "the file is a binary drawing", help: "save it as DXF in text form" },
    UnreadFormat {
        start: b"PK\x03\x04",
        message: "the file is an archive",
        help: "unpack it, and measure the files in it",
    },
];

/// Reads a file: by what it looks like, or by its ending if it looks like nothing in particular.
///
/// `unit` overrules what the file says of its unit.
///
/// # Errors
///
/// Returns the reason and its place if no reader knows the file or it is broken.
pub fn read(bytes: &[u8], ending: &str, unit: Option<FileUnit>) -> Result<ReadDrawing, Unreadable> {
    if bytes.len() > LARGEST_FILE {
        return Err(Unreadable::new("the file is larger than 256 MiB", "check that it is the right file"));
    }
    if let Some(other) = UNREAD.iter().find(|other| bytes.starts_with(other.start)) {
        return Err(Unreadable::new(other.message, other.help));
    }
    // What is not UTF-8 is from the time of single-byte letters, of which Latin-1 is the plainest.
    let text = match std::str::from_utf8(bytes) {
        Ok(text) => Cow::Borrowed(text),
        Err(_) => bytes.iter().map(|byte| char::from(*byte)).collect(),
    };
    let text = text.strip_prefix('\u{FEFF}').unwrap_or(&text);
    let ending = ending.to_ascii_lowercase();
    let by_ending = readers().find(|reader| reader.endings().contains(&ending.as_str()));
    let (others, easily_pleased): (Vec<_>, Vec<_>) = readers().partition(|reader| !reader.is_easily_pleased());
    // The ending decides between formats that a text could belong to.
    let reader = by_ending
        .filter(|reader| reader.recognises(text))
        .or_else(|| others.into_iter().chain(easily_pleased).find(|reader| reader.recognises(text)))
        .or(by_ending);
    match reader {
        Some(reader) => reader.read(text, unit).and_then(checked),
        None => {
            let known: Vec<&str> = readers().map(|reader| reader.facts().name).collect();
            Err(Unreadable::new(
                "the file is in none of the formats that can be measured",
                format!("give one of {}", known.join(", ")),
            ))
        }
    }
}

/// Refuses strokes that turn, stretch or unit have carried beyond all measure.
fn checked(reading: ReadDrawing) -> Result<ReadDrawing, Unreadable> {
    let within = |rect: Rect| [rect.x0, rect.y0, rect.x1, rect.y1].iter().all(|number| number.abs() <= LARGEST);
    let mut pieces = reading.paths.iter().flat_map(|path| &path.pieces);
    if pieces.all(|piece| within(piece.bounds())) {
        return Ok(reading);
    }
    Err(Unreadable::new(
        "some coordinates are too large for a drawing",
        "check scale and units in the program that wrote it",
    ))
}
