//! What ornaments the face of a board: V-grooves, ruled lines and bands of wash.

use std::collections::BTreeMap;

use super::{Band, Groove, Opening, with_name};
use crate::colour::Colour;
use crate::geometry::Outline;
use crate::length::{Ruler, exact_mm};
use crate::mat::GroovePath;

/// The ornaments in the face of one board.
#[derive(Debug, Clone, PartialEq, Default)]
#[non_exhaustive]
pub struct Decoration {
    /// V-grooves.
    pub grooves: Vec<Groove>,
    /// Lines drawn with a pen.
    pub lines: Vec<RuledLine>,
    /// Bands filled with a wash of colour.
    pub washes: Vec<Wash>,
}

/// A pen line round an opening, parallel to its outline in the face, with mitred corners.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct RuledLine {
    /// Number of the opening.
    pub opening: usize,
    /// Distance in millimetres from the outline in the face to the middle of the line.
    pub distance: f64,
    /// Width of the line in millimetres.
    pub width: f64,
    /// What the framer calls the colour of the ink; may be empty.
    pub ink: String,
    /// The colour of the ink, if the name is that of one.
    pub tint: Option<Colour>,
    /// The middle of the line, in the frame of reference of the mat.
    pub outline: Outline,
}

/// A band of colour round an opening, between two parallels of its outline in the face.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct Wash {
    /// Number of the opening.
    pub opening: usize,
    /// Distance in millimetres from the outline in the face to the inner edge.
    pub from: f64,
    /// Distance in millimetres from the outline in the face to the outer edge.
    pub to: f64,
    /// What the framer calls the colour.
    pub colour: String,
    /// The colour, if the name is that of one.
    pub tint: Option<Colour>,
    /// Its two edges.
    pub edges: Band,
}

impl Decoration {
    /// Tells whether the face is plain.
    #[must_use]
    pub const fn is_empty(&self) -> bool {
        self.grooves.is_empty() && !self.has_pen_work()
    }

    /// Tells whether there is anything for a pen to draw.
    #[must_use]
    pub const fn has_pen_work(&self) -> bool {
        !self.lines.is_empty() || !self.washes.is_empty()
    }

    /// Lists the inks of the ruled lines, each once, in the order of the lines; those without a name are left out.
    #[must_use]
    pub fn inks(&self) -> Vec<&str> {
        let mut inks: Vec<&str> = Vec::new();
        for line in self.lines.iter().filter(|line| !line.ink.is_empty()) {
            if !inks.contains(&line.ink.as_str()) {
                inks.push(&line.ink);
            }
        }
        inks
    }

    /// Describes the ornaments in words, one sentence a kind, with distances as read off a ruler; `openings` are those of the board, in
    /// the order of their numbers.
    #[must_use]
    pub fn describe(&self, ruler: Ruler, openings: &[Opening]) -> Vec<String> {
        let read = |mm: f64| ruler.read(mm).to_string();
        let mut kinds = Kinds::default();
        let mut alone = Vec::new();
        for groove in &self.grooves {
            let (depth, width) = (exact_mm(groove.depth), exact_mm(groove.width()));
            let size = format!("{}°, {depth} deep, {width} wide", groove.angle_deg);
            match &groove.course {
                GroovePath::Round { opening, distance, .. } => {
                    kinds.add(["V-groove", "V-grooves"], size, *opening, read(*distance));
                }
                GroovePath::Closed { .. } => alone.push(format!("V-groove on a closed line of its own ({size})")),
                GroovePath::Open { .. } => alone.push(format!("V-groove on an open line of its own ({size})")),
            }
        }
        for line in &self.lines {
            let ink = if line.ink.is_empty() { String::new() } else { format!(", in {}", line.ink) };
            let width = format!("{} wide{ink}", exact_mm(line.width));
            kinds.add(["ruled line", "ruled lines"], width, line.opening, read(line.distance));
        }
        for wash in &self.washes {
            let reach = format!("{} to {}", read(wash.from), read(wash.to));
            kinds.add(["band", "bands"], wash.colour.clone(), wash.opening, reach);
        }
        kinds.shared().iter().map(|kind| kind.sentence(openings)).chain(alone).collect()
    }
}

/// What the ornaments of one kind round one opening have in common, and their distances from its face outline.
struct OrnamentGroup {
    names: [&'static str; 2],
    look: String,
    openings: Vec<usize>,
    distances: Vec<String>,
}

/// Kinds of ornament in the order in which they first appear.
#[derive(Default)]
struct Kinds {
    all: Vec<OrnamentGroup>,
    /// Where each stands, by its opening, name and look.
    places: BTreeMap<(usize, &'static str, String), usize>,
}

impl Kinds {
    fn add(&mut self, names: [&'static str; 2], look: String, opening: usize, distance: String) {
        let place = *self.places.entry((opening, names[0], look.clone())).or_insert(self.all.len());
        match self.all.get_mut(place) {
            Some(kind) => kind.distances.push(distance),
            None => self.all.push(OrnamentGroup { names, look, openings: vec![opening], distances: vec![distance] }),
        }
    }

    /// Brings together what several openings share.
    fn shared(self) -> Vec<OrnamentGroup> {
        let mut shared: Vec<OrnamentGroup> = Vec::new();
        let mut places = BTreeMap::new();
        for kind in self.all {
            let alike = (kind.names[0], kind.look.clone(), kind.distances.clone());
            let place = *places.entry(alike).or_insert(shared.len());
            match shared.get_mut(place) {
                Some(known) => known.openings.extend(kind.openings),
                None => shared.push(kind),
            }
        }
        shared
    }
}

impl OrnamentGroup {
    /// Says where the ornaments are; `known` are the openings of the board, in the order of their numbers.
    fn sentence(&self, known: &[Opening]) -> String {
        let [one, several] = self.names;
        let name = if self.distances.len() == 1 { one } else { several };
        let distances = self.distances.join(", ");
        let named = |number: usize| {
            let place = known.binary_search_by_key(&number, |opening| opening.number).ok();
            with_name(number, place.and_then(|place| known.get(place)).map_or("", |opening| &opening.name))
        };
        let numbers: Vec<String> = self.openings.iter().map(|number| named(*number)).collect();
        let openings = if numbers.len() == 1 { "opening" } else { "openings" };
        let look = &self.look;
        format!("{name} {distances} from the face edge of {openings} {} ({look})", numbers.join(", "))
    }
}
