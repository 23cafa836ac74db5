//! The resolved mat in words, as `check` prints it.

use std::fmt::{self, Write};

use kurbo::Rect;

use super::suggestions::suggest;
use crate::mat::{Art, Borders, FalloutUse, Layer, Mat, Opening};

impl Mat {
    /// Describes the mat for a framer: sizes, borders, openings and bevels, in the unit of the job.
    ///
    /// A size that lies between two marks of the ruler is followed by what is left over in millimetres.
    #[must_use]
    pub fn describe(&self) -> String {
        let mut text = String::new();
        // Writing to a string cannot fail.
        let _ = Describer { mat: self, out: &mut text }.mat();
        text
    }
}

struct Describer<'a> {
    mat: &'a Mat,
    out: &'a mut String,
}

impl Describer<'_> {
    fn read(&self, mm: f64) -> String {
        self.mat.ruler.read(mm).to_string()
    }

    /// Puts words and lengths in turn: a word before each length.
    fn lengths<const N: usize>(&self, lengths: [(&str, f64); N]) -> String {
        let mut text = String::with_capacity(32 * N);
        for (word, mm) in lengths {
            text.push_str(word);
            self.mat.ruler.read(mm).push_to(&mut text);
        }
        text
    }

    fn size(&self, rect: Rect) -> String {
        self.lengths([("", rect.width()), (" × ", rect.height())])
    }

    fn line(&mut self, name: &str, value: &str) -> fmt::Result {
        writeln!(self.out, "    {name:<10} {value}")
    }

    fn mat(&mut self) -> fmt::Result {
        writeln!(self.out, "{}", self.mat.name)?;
        if self.mat.quantity > 1 {
            writeln!(self.out, "  {} mats of this kind", self.mat.quantity)?;
        }
        writeln!(self.out, "  mat {}", self.size(self.mat.outer.to_rect()))?;
        let framed = self.mat.package.describe(self.mat.ruler);
        for (index, sentence) in framed.iter().enumerate() {
            writeln!(self.out, "  {}{sentence}", if index == 0 { "frame: " } else { "  " })?;
        }
        for layer in &self.mat.layers {
            self.layer(layer)?;
        }
        for suggestion in suggest(self.mat) {
            writeln!(self.out, "  {}", suggestion.message)?;
        }
        Ok(())
    }

    fn layer(&mut self, layer: &Layer) -> fmt::Result {
        let several = self.mat.layers.len() > 1;
        let which = if several { format!("{} board", layer.name) } else { "board".to_owned() };
        let bevel = layer.bevel.describe(layer.board.thickness);
        writeln!(self.out, "  {which}: {}; {bevel}", layer.board.describe())?;
        if layer.inset > 0.0 {
            let size = self.size(self.mat.extent(layer));
            writeln!(self.out, "    smaller than the mat: {size}, {} less on every side", self.read(layer.inset))?;
        }
        if layer.fallout == FalloutUse::Keep {
            writeln!(self.out, "    keep the fallout of its openings")?;
        }
        for sentence in layer.decoration.describe(self.mat.ruler, &layer.openings) {
            writeln!(self.out, "    {sentence}")?;
        }
        for opening in &layer.openings {
            self.opening(layer, opening)?;
        }
        Ok(())
    }

    fn opening(&mut self, layer: &Layer, opening: &Opening) -> fmt::Result {
        writeln!(self.out, "  {}: {}", opening.title(), opening.shape.replace('_', " "))?;
        self.line("sight", &self.size(opening.sight.bounds()))?;
        if opening.face != opening.sight {
            self.line("face", &self.size(opening.face.bounds()))?;
        }
        if opening.back != opening.sight {
            self.line("back", &self.size(opening.back.bounds()))?;
        }
        if opening.bevel != layer.bevel {
            self.line("bevel", &opening.bevel.describe(layer.board.thickness))?;
        }
        let borders = opening.borders(self.mat.extent(layer));
        self.line("borders", &self.borders(borders))?;
        if self.mat.package.frame.is_some() {
            self.line("visible", &self.borders(self.mat.package.visible(opening.sight.bounds())))?;
        }
        match self.mat.art_behind(opening.number) {
            Some(art) if self.mat.lowest(opening.number).is_some_and(|lowest| std::ptr::eq(lowest, opening)) => {
                self.art(art, opening)
            }
            _ => Ok(()),
        }
    }

    fn art(&mut self, art: &Art, opening: &Opening) -> fmt::Result {
        let sight = art.bounds_of(&opening.sight);
        let reach = Borders {
            left: sight.x0 - art.rect.x0,
            right: art.rect.x1 - sight.x1,
            top: sight.y0 - art.rect.y0,
            bottom: art.rect.y1 - sight.y1,
        };
        let turned =
            if art.turn == 0.0 { "" } else { ", turned with the opening; its sides are named as before the turn" };
        self.line("art", &format!("{}{turned}", self.size(art.rect)))?;
        if art.margin {
            let Borders { left, right, top, bottom } = reach;
            let margin = Borders { left: -left, right: -right, top: -top, bottom: -bottom };
            self.line("margin", &format!("per side: {}", self.borders(margin)))
        } else {
            self.line("overlap", &format!("per side: {}", self.borders(reach)))
        }
    }

    fn borders(&self, Borders { left, right, top, bottom }: Borders) -> String {
        let same = |a: f64, b: f64| (a - b).abs() <= crate::tolerance::SAME_LENGTH_MM;
        if same(left, right) && same(top, bottom) && same(left, top) {
            return format!("{} all round", self.read(left));
        }
        self.lengths([("left ", left), (", right ", right), (", top ", top), (", bottom ", bottom)])
    }
}
