//! The blocks of DXF: drawings of their own that are inserted by name, moved, turned, stretched, mirrored and in rows.

use std::collections::BTreeMap;
use std::rc::Rc;

use kurbo::{Affine, Point, Vec2};

use super::canvas::Canvas;
use super::records::Record;
use crate::formats::reading::{ReadPath, ReadText, Unreadable};

/// Draws an entity, which may insert blocks in its turn.
type DrawEntity = fn(&Record<'_>, &mut Canvas, &mut Blocks<'_>) -> Result<(), Unreadable>;

/// Blocks in blocks are followed down to this depth.
const DEEPEST: usize = 40;
/// Blocks are drawn no more often than this makes so many strokes in all.
const MOST_INSERTED: usize = 200_000;

/// A block as it is written.
#[derive(Debug)]
pub(super) struct Block<'t> {
    name: String,
    base: Result<Point, Unreadable>,
    pub(super) records: Vec<Record<'t>>,
}

/// The blocks of a file. Each is drawn once, when it is asked for: the blocks that it inserts may stand behind it.
#[derive(Debug, Default)]
pub(super) struct Blocks<'t> {
    written: BTreeMap<String, Block<'t>>,
    /// What is drawn about the base point; `None` where there is nothing to be had.
    drawn: BTreeMap<String, Option<Rc<DrawnBlock>>>,
}

/// Strokes and lines of text.
#[derive(Debug)]
struct DrawnBlock {
    paths: Vec<ReadPath>,
    texts: Vec<ReadText>,
}

impl<'t> Block<'t> {
    pub(super) fn new(record: &Record<'t>) -> Self {
        Self { name: key(record.text(2)), base: record.point(10, 20), records: Vec::new() }
    }
}

/// Names of blocks are the same in capitals.
fn key(name: &str) -> String {
    name.to_ascii_uppercase()
}

impl<'t> Blocks<'t> {
    pub(super) fn add(&mut self, block: Option<Block<'t>>) {
        if let Some(block) = block {
            self.written.insert(block.name.clone(), block);
        }
    }

    /// Draws a block; nothing of one that is missing, inserts itself, or lies too deep.
    fn drawn(
        &mut self,
        name: &str,
        outer: &mut Canvas,
        draw: DrawEntity,
    ) -> Result<Option<Rc<DrawnBlock>>, Unreadable> {
        let name = key(name);
        if let Some(drawn) = self.drawn.get(&name) {
            return Ok(drawn.clone());
        }
        if outer.depth >= DEEPEST {
            return Ok(None);
        }
        // While it is drawn it is nowhere to be found.
        let Some(block) = self.written.remove(&name) else {
            return Ok(None);
        };
        let base = block.base?;
        let mut canvas = Canvas { inserted: outer.inserted, depth: outer.depth + 1, ..Canvas::default() };
        for record in &block.records {
            draw(record, &mut canvas, self)?;
        }
        canvas.end_polyline();
        outer.inserted = canvas.inserted;
        outer.curves += canvas.curves;
        for (what, count) in canvas.left_out {
            (0..count.min(1000)).for_each(|_| outer.leave_out(&what));
        }
        let (mut paths, mut texts) = (canvas.pen.into_paths(), canvas.texts);
        let way = Affine::translate(-base.to_vec2());
        paths.iter_mut().for_each(|path| path.transform(way));
        texts.iter_mut().for_each(|text| text.transform(way));
        let drawn = Some(Rc::new(DrawnBlock { paths, texts }));
        self.drawn.insert(name, drawn.clone());
        Ok(drawn)
    }

    /// Draws a block where an INSERT says, once or in rows and columns; its entities by `draw`.
    pub(super) fn insert(
        &mut self,
        record: &Record<'_>,
        canvas: &mut Canvas,
        mirrored: bool,
        draw: DrawEntity,
    ) -> Result<(), Unreadable> {
        let Some(drawn) = self.drawn(record.text(2), canvas, draw)? else {
            canvas.leave_out("INSERT");
            return Ok(());
        };
        let count = |code| Ok::<_, Unreadable>(usize::try_from(record.flags(code)?).unwrap_or(0).max(1));
        let (columns, rows) = (count(70)?, count(71)?);
        let one = drawn.paths.iter().map(|path| path.pieces.len()).sum::<usize>() + drawn.texts.len();
        // Empty blocks cost time too.
        let all = columns.saturating_mul(rows).saturating_mul(one.max(1)).saturating_add(canvas.inserted);
        if all > MOST_INSERTED {
            canvas.leave_out("INSERT");
            return Ok(());
        }
        canvas.inserted = all;
        // Seen from behind, x runs the other way (the arbitrary axis algorithm of the DXF reference, for a normal of -z).
        let seen = if mirrored { Affine::FLIP_X } else { Affine::IDENTITY };
        let place = seen
            * Affine::translate(record.point(10, 20)?.to_vec2())
            * Affine::rotate(record.number_or(50, 0.0)?.to_radians());
        let size = Affine::scale_non_uniform(record.number_or(41, 1.0)?, record.number_or(42, 1.0)?);
        let apart = Vec2::new(record.number_or(44, 0.0)?, record.number_or(45, 0.0)?);
        canvas.pen.lift();
        for (row, column) in (0..rows).flat_map(|row| (0..columns).map(move |column| (row, column))) {
            let step = Vec2::new(apart.x * column as f64, apart.y * row as f64);
            let way = place * Affine::translate(step) * size;
            for text in &drawn.texts {
                let mut text = text.clone();
                text.transform(way);
                canvas.texts.push(text);
            }
            for path in &drawn.paths {
                let mut path = path.clone();
                path.transform(way);
                // Layer 0 of a block is the layer of the place where it is inserted.
                if &*path.layer == "0" {
                    path.layer = canvas.pen.shared_layer();
                }
                canvas.pen.paths.push(path);
            }
        }
        Ok(())
    }
}
