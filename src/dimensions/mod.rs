//! The sizes of a mat as data: what each measures, where it stands on the drawing, and the key of the job that sets it.
//!
//! A program draws its own dimensions from them, or makes them fields: [`Dimension::key`] is what to set in a
//! [`JobText`](crate::job::JobText) when a framer types another number, and [`Dimension::source`] tells whether the number was
//! given or follows from others.
//!
//! ```
//! use backline::dimensions::{DimensionSource, dimensions};
//! use backline::job::{Job, Syntax};
//!
//! # fn main() -> Result<(), Box<dyn std::error::Error>> {
//! let job = Job::read("unit = 'in'\nframe = [16, 20]\nborder.left = 4\nopening.art = [8, 10]", Syntax::Toml)?;
//! let all = dimensions(&job);
//!
//! let left = all.iter().find(|dimension| dimension.id == "border-left").ok_or("no left border")?;
//! assert_eq!((left.text.as_str(), left.key.to_string().as_str()), ("4 in", "border.left"));
//! assert_eq!(left.source, DimensionSource::Given("border.left".parse()?));
//!
//! let right = all.iter().find(|dimension| dimension.id == "border-right").ok_or("no right border")?;
//! assert_eq!((right.text.as_str(), &right.source), ("4 1/8 in", &DimensionSource::WorkedOut));
//! # Ok(())
//! # }
//! ```

mod bars;
mod boards;
mod given;
mod openings;
mod outer;

use kurbo::{Point, Rect};
use serde::{Serialize, Serializer};

use crate::job::Job;
use crate::length::Ruler;
use crate::mat::{Mat, Opening};
use crate::problem::{KeyPath, Step};

use given::GivenKeys;

/// A size of a mat and where it stands on a drawing of it.
///
/// Points are in millimetres on the mat as it hangs: the origin is its top left corner, x runs to the right and y down.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[non_exhaustive]
pub struct Dimension {
    /// A name that is the same for the same size of the same job, for example `border-left` or `opening-2-width`: lower case
    /// words and numbers joined by hyphens.
    pub id: String,
    /// What is measured.
    pub kind: DimensionKind,
    /// Where it begins: the left or the upper end.
    #[serde(serialize_with = "as_pair")]
    pub from: Point,
    /// Where it ends.
    #[serde(serialize_with = "as_pair")]
    pub to: Point,
    /// The middle of the place where its figure belongs.
    #[serde(serialize_with = "as_pair")]
    pub figure: Point,
    /// The size in millimetres.
    pub mm: f64,
    /// The size as the framer reads it on the ruler of the job.
    pub text: String,
    /// The key of the job that sets it.
    #[serde(serialize_with = "as_text")]
    pub key: KeyPath,
    /// Where the number comes from.
    pub source: DimensionSource,
}

/// What a [`Dimension`] measures.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case", tag = "what")]
#[non_exhaustive]
pub enum DimensionKind {
    /// Width or height of the mat.
    Outer {
        /// Which of the two.
        axis: Axis,
    },
    /// Width or height of the rabbet of the frame.
    Rabbet {
        /// Which of the two.
        axis: Axis,
    },
    /// From the edge of the mat to the openings of a group, or to one that is placed by hand.
    Border {
        /// Which of the four.
        side: Side,
        /// The opening, if it is one placed by hand.
        opening: Option<usize>,
    },
    /// Width or height of an opening, to the outline that the sizes of the job refer to.
    Opening {
        /// Which of the two.
        axis: Axis,
        /// Number of the opening.
        opening: usize,
    },
    /// Width or height of the work behind an opening.
    Art {
        /// Which of the two.
        axis: Axis,
        /// Number of the opening.
        opening: usize,
    },
    /// How far the work reaches beyond the sight opening on its left; below zero where paper shows.
    Overlap {
        /// Number of the opening.
        opening: usize,
    },
    /// The strip between two openings beside or above each other.
    Bar {
        /// Along x for one between openings beside each other.
        axis: Axis,
        /// Numbers of the two openings.
        between: [usize; 2],
    },
    /// How far a lower board shows inside the one above, as the job measures it.
    Reveal {
        /// Which board, counted from the top, the top one being 1.
        board: usize,
    },
}

/// A direction on the mat as it hangs.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Axis {
    /// From left to right.
    Width,
    /// From the top down.
    Height,
}

/// A side of the mat as it hangs.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Side {
    /// The left side.
    Left,
    /// The right side.
    Right,
    /// The top.
    Top,
    /// The bottom.
    Bottom,
}

/// Where the number of a [`Dimension`] comes from.
#[derive(Debug, Clone, PartialEq, Eq)]
#[non_exhaustive]
pub enum DimensionSource {
    /// The job gives it, at this path: that of the dimension itself, or one for several, such as `border.all`.
    Given(KeyPath),
    /// The job says nothing, and the usual value is taken.
    Default,
    /// It follows from other numbers.
    WorkedOut,
}

impl Serialize for DimensionSource {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        match self {
            Self::Given(path) => serializer.collect_str(&format_args!("given by {path}")),
            Self::Default => serializer.serialize_str("default"),
            Self::WorkedOut => serializer.serialize_str("worked out"),
        }
    }
}

impl Axis {
    /// Both directions, in the order in which sizes name them.
    pub const ALL: [Self; 2] = [Self::Width, Self::Height];

    const fn index(self) -> usize {
        match self {
            Self::Width => 0,
            Self::Height => 1,
        }
    }

    const fn name(self) -> &'static str {
        match self {
            Self::Width => "width",
            Self::Height => "height",
        }
    }

    /// Returns the ends of a rectangle in this direction, halfway up or across.
    fn ends(self, rect: Rect) -> [Point; 2] {
        let middle = rect.center();
        match self {
            Self::Width => [Point::new(rect.x0, middle.y), Point::new(rect.x1, middle.y)],
            Self::Height => [Point::new(middle.x, rect.y0), Point::new(middle.x, rect.y1)],
        }
    }
}

impl Side {
    /// The four sides, in the order in which borders are listed.
    pub const ALL: [Self; 4] = [Self::Left, Self::Right, Self::Top, Self::Bottom];

    /// Returns its name as in a job: `left`, `right`, `top` or `bottom`.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Left => "left",
            Self::Right => "right",
            Self::Top => "top",
            Self::Bottom => "bottom",
        }
    }

    /// Returns the ends of the distance between this side of a rectangle and of one round it, the left or upper one first.
    fn between(self, inner: Rect, outer: Rect) -> [Point; 2] {
        let middle = inner.center();
        match self {
            Self::Left => [Point::new(outer.x0, middle.y), Point::new(inner.x0, middle.y)],
            Self::Right => [Point::new(inner.x1, middle.y), Point::new(outer.x1, middle.y)],
            Self::Top => [Point::new(middle.x, outer.y0), Point::new(middle.x, inner.y0)],
            Self::Bottom => [Point::new(middle.x, inner.y1), Point::new(middle.x, outer.y1)],
        }
    }
}

/// Lists the sizes of the mat that a job describes; none if the job cannot be worked out.
#[must_use]
pub fn dimensions(job: &Job) -> Vec<Dimension> {
    let (resolved, places) = job.resolve_with_places();
    resolved.mat.as_ref().map(|mat| dimensions_of(job, mat, &places)).unwrap_or_default()
}

/// Lists the sizes of a mat; `places` has the path in the job of each opening, in the order of their numbers.
#[must_use]
pub fn dimensions_of(job: &Job, mat: &Mat, places: &[KeyPath]) -> Vec<Dimension> {
    let subject = Subject { job, mat, given: GivenKeys::of(job), groups: Group::find_all(mat, places) };
    let mut found = Vec::new();
    outer::add(&subject, &mut found);
    for group in &subject.groups {
        openings::add(&subject, group, &mut found);
        bars::add(&subject, group, &mut found);
        boards::add(&subject, group, &mut found);
    }
    found
}

/// What dimensions are worked out from.
struct Subject<'a> {
    job: &'a Job,
    mat: &'a Mat,
    given: GivenKeys,
    groups: Vec<Group<'a>>,
}

/// Openings that are laid out together.
struct Group<'a> {
    /// The table of the job whose openings they are: the job itself, or one of its boards.
    table: KeyPath,
    /// Its boards, counted from the top.
    boards: Vec<usize>,
    /// The openings in its top board, to which borders are measured, with their places in the job.
    openings: Vec<(&'a Opening, KeyPath)>,
}

impl<'a> Group<'a> {
    fn find_all(mat: &'a Mat, places: &[KeyPath]) -> Vec<Self> {
        let mut groups: Vec<Self> = Vec::new();
        for (index, layer) in mat.layers.iter().enumerate() {
            let with_places = layer.openings.iter().filter_map(|opening| {
                let place = places.get(opening.number.checked_sub(1)?)?;
                Some((opening, place.clone()))
            });
            let openings: Vec<_> = with_places.collect();
            let Some(table) = openings.first().map(|(_, place)| table_of(place)) else { continue };
            match groups.iter_mut().find(|group| group.table == table) {
                Some(group) => group.boards.push(index),
                None => groups.push(Self { table, boards: vec![index], openings }),
            }
        }
        groups
    }

    /// Begins the names of its dimensions: nothing for the openings of the job itself.
    fn prefix(&self) -> String {
        match self.boards.first() {
            Some(top) if self.table != KeyPath::root() => format!("board-{}-", top + 1),
            _ => String::new(),
        }
    }
}

/// Returns the table in which the key `opening` of a place stands.
fn table_of(place: &KeyPath) -> KeyPath {
    let mut at = place;
    let mut table = KeyPath::root();
    while let Some((parent, step)) = at.split_last() {
        if matches!(step, Step::Key(key) if key == "opening") {
            table = parent.clone();
        }
        at = parent;
    }
    table
}

/// Makes a dimension between two points, its figure in the middle.
fn dimension(
    ruler: Ruler,
    id: String,
    kind: DimensionKind,
    [from, to]: [Point; 2],
    mm: f64,
    (key, source): (KeyPath, DimensionSource),
) -> Dimension {
    Dimension { id, kind, from, to, figure: from.midpoint(to), mm, text: ruler.show(mm), key, source }
}

fn as_pair<S: Serializer>(point: &Point, serializer: S) -> Result<S::Ok, S::Error> {
    [point.x, point.y].serialize(serializer)
}

fn as_text<S: Serializer>(path: &KeyPath, serializer: S) -> Result<S::Ok, S::Error> {
    serializer.collect_str(path)
}
