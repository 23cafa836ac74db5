//! Reads PDF files of this crate: lopdf for the structure and the encodings, content tokens in `f64`.
#![allow(dead_code, reason = "each test program uses a part of it")]

use std::collections::BTreeMap;

use kurbo::{Affine, BezPath, Point, Size};
use lopdf::{Dictionary, Document, Encoding, Object, ObjectId, decode_text_string};

use super::reading::Reading;

const MM_PER_POINT: f64 = 25.4 / 72.0;

/// Reads the one page of a file; panics with the reason if it is not one that this crate writes.
pub(crate) fn read(bytes: &[u8]) -> Reading {
    let mut pages = read_pages(bytes);
    assert_eq!(pages.len(), 1);
    pages.remove(0)
}

/// Reads the pages of a file; panics with the reason if they are not such as this crate writes.
pub(crate) fn read_pages(bytes: &[u8]) -> Vec<Reading> {
    let document = Document::load_mem(bytes).unwrap();
    document.get_pages().into_values().map(|page| read_page(&document, page)).collect()
}

fn read_page(document: &Document, page: ObjectId) -> Reading {
    let sheet = media_box(document, page);
    // Millimetres from the top left corner, y down.
    let to_sheet = Affine::new([MM_PER_POINT, 0.0, 0.0, -MM_PER_POINT, 0.0, sheet.height]);
    let fonts = document.get_page_fonts(page).unwrap();
    let fonts = fonts.iter().map(|(name, font)| (name.clone(), font.get_font_encoding(document).unwrap()));
    let mut interpreter = Interpreter {
        layers: layers(document, page),
        fonts: fonts.collect(),
        matrix: to_sheet,
        font: Vec::new(),
        text_at: Point::ORIGIN,
        path: BezPath::new(),
        role: None,
        reading: Reading { title: title(document), sheet, paths: Vec::new(), texts: Vec::new() },
    };
    interpreter.run(&document.get_page_content(page));
    assert!(interpreter.role.is_none(), "every BDC has its EMC");
    interpreter.reading
}

fn title(document: &Document) -> String {
    let info = document.trailer.get(b"Info").and_then(Object::as_reference).unwrap();
    decode_text_string(document.get_dictionary(info).unwrap().get(b"Title").unwrap()).unwrap()
}

fn media_box(document: &Document, page: ObjectId) -> Size {
    let sides = document.get_dictionary(page).unwrap().get(b"MediaBox").unwrap().as_array().unwrap();
    let sides: Vec<f64> = sides.iter().map(|side| f64::from(side.as_float().unwrap())).collect();
    assert_eq!(sides[..2], [0.0, 0.0]);
    Size::new(sides[2], sides[3]) * MM_PER_POINT
}

/// Returns the name of each optional content group by its name in the resources, and checks that the document lists it.
fn layers(document: &Document, page: ObjectId) -> BTreeMap<String, String> {
    let catalog = document.catalog().unwrap();
    let listed = document.get_dict_in_dict(catalog, b"OCProperties").unwrap();
    let shown = document.get_dict_in_dict(listed, b"D").unwrap();
    let references = |dict: &Dictionary, key: &[u8]| -> Vec<ObjectId> {
        dict.get(key).unwrap().as_array().unwrap().iter().map(|object| object.as_reference().unwrap()).collect()
    };
    let groups = references(listed, b"OCGs");
    assert_eq!(references(shown, b"ON"), groups);
    assert_eq!(references(shown, b"Order"), groups);
    let resources = document.get_page_resources(page).unwrap().0.unwrap();
    let properties = document.get_dict_in_dict(resources, b"Properties").unwrap();
    let layer = |(name, object): (&Vec<u8>, &Object)| {
        let id = object.as_reference().unwrap();
        assert!(groups.contains(&id));
        let group = document.get_dictionary(id).unwrap();
        assert_eq!(group.get(b"Type").unwrap().as_name().unwrap(), b"OCG");
        (String::from_utf8(name.clone()).unwrap(), decode_text_string(group.get(b"Name").unwrap()).unwrap())
    };
    properties.iter().map(layer).collect()
}

/// One word of a content stream.
#[derive(Debug, Clone)]
enum Token {
    Number(f64),
    Name(String),
    String(Vec<u8>),
    Bracket,
    Operator(String),
}

struct Interpreter<'a> {
    layers: BTreeMap<String, String>,
    fonts: BTreeMap<Vec<u8>, Encoding<'a>>,
    matrix: Affine,
    font: Vec<u8>,
    text_at: Point,
    path: BezPath,
    role: Option<String>,
    reading: Reading,
}

impl Interpreter<'_> {
    fn run(&mut self, content: &[u8]) {
        let mut operands = Vec::new();
        let mut rest = content;
        while let Some(token) = next_token(&mut rest) {
            match token {
                Token::Operator(operator) => {
                    self.execute(&operator, &operands);
                    operands.clear();
                }
                operand => operands.push(operand),
            }
        }
    }

    fn execute(&mut self, operator: &str, operands: &[Token]) {
        let numbers: Vec<f64> = operands
            .iter()
            .filter_map(|operand| match operand {
                Token::Number(number) => Some(*number),
                _ => None,
            })
            .collect();
        let matrix = self.matrix;
        let point = |index: usize| matrix * Point::new(numbers[2 * index], numbers[2 * index + 1]);
        match (operator, operands) {
            ("cm", _) => self.matrix *= Affine::new(numbers.try_into().unwrap()),
            ("BDC", [Token::Name(kind), Token::Name(layer)]) if kind == "OC" => {
                assert!(self.role.replace(self.layers[layer].clone()).is_none(), "layers do not nest");
            }
            ("EMC", []) => assert!(self.role.take().is_some()),
            ("m", _) => self.path.move_to(point(0)),
            ("l", _) => self.path.line_to(point(0)),
            ("c", _) => self.path.curve_to(point(0), point(1), point(2)),
            ("h", []) => self.path.close_path(),
            ("S", []) => self.reading.paths.push((self.role.clone().unwrap(), std::mem::take(&mut self.path))),
            ("RG" | "rg" | "w" | "d", _) => {}
            ("BT" | "ET", []) => {}
            ("Tf", [Token::Name(font), Token::Number(_)]) => self.font = font.clone().into_bytes(),
            ("Tm", _) => {
                let upright = matrix * Affine::new(numbers.try_into().unwrap());
                assert!(upright.determinant() < 0.0, "text is upright on a sheet whose y runs down");
                self.text_at = upright * Point::ORIGIN;
            }
            ("Tj", [Token::String(bytes)]) => {
                let words = Document::decode_text(&self.fonts[&self.font], bytes).unwrap();
                self.reading.texts.push((self.role.clone().unwrap(), words, self.text_at));
            }
            other => panic!("unexpected operator {other:?}"),
        }
    }
}

/// Takes the next token from a content stream without comments and inline images.
fn next_token(rest: &mut &[u8]) -> Option<Token> {
    *rest = rest.trim_ascii_start();
    let (&first, after) = rest.split_first()?;
    match first {
        b'[' | b']' => {
            *rest = after;
            Some(Token::Bracket)
        }
        b'(' => Some(Token::String(literal_string(rest))),
        b'<' => {
            let end = rest.iter().position(|byte| *byte == b'>').unwrap();
            let hex = std::str::from_utf8(&rest[1..end]).unwrap();
            *rest = &rest[end + 1..];
            let byte = |at: usize| u8::from_str_radix(&hex[at..at + 2], 16).unwrap();
            Some(Token::String((0..hex.len()).step_by(2).map(byte).collect()))
        }
        _ => {
            let ends = |byte: &u8| byte.is_ascii_whitespace() || b"()<>[]/".contains(byte);
            let end = 1 + after.iter().position(ends).unwrap_or(after.len());
            let word = std::str::from_utf8(&rest[..end]).unwrap();
            *rest = &rest[end..];
            Some(match word.strip_prefix('/') {
                Some(name) => Token::Name(name.to_owned()),
                None => word.parse().map_or_else(|_| Token::Operator(word.to_owned()), Token::Number),
            })
        }
    }
}

/// Takes a string between round brackets, with its escapes undone.
fn literal_string(rest: &mut &[u8]) -> Vec<u8> {
    let mut string = Vec::new();
    let mut at = 1;
    loop {
        match rest[at] {
            b')' => break,
            b'\\' if rest[at + 1].is_ascii_digit() => {
                let octal = std::str::from_utf8(&rest[at + 1..at + 4]).unwrap();
                string.push(u8::from_str_radix(octal, 8).unwrap());
                at += 4;
            }
            b'\\' => {
                string.push(rest[at + 1]);
                at += 2;
            }
            byte => {
                assert!(byte != b'(', "brackets are escaped");
                string.push(byte);
                at += 1;
            }
        }
    }
    *rest = &rest[at + 1..];
    string
}
