//! What the sizes are taken from: the mat, and the openings that are placed together.

use kurbo::Point;

use super::dimension::{Dimension, DimensionKind, DimensionSource};
use super::given::GivenKeys;
use crate::job::Job;
use crate::length::Ruler;
use crate::mat::{Mat, Opening};
use crate::problem::{KeyPath, Step};

/// What dimensions are worked out from.
pub(super) struct Subject<'a> {
    pub(super) job: &'a Job,
    pub(super) mat: &'a Mat,
    pub(super) given: GivenKeys,
    pub(super) groups: Vec<Group<'a>>,
}

/// Openings that are laid out together.
pub(super) struct Group<'a> {
    /// The table of the job whose openings they are: the job itself, or one of its boards.
    pub(super) table: KeyPath,
    /// Its boards, counted from the top.
    pub(super) boards: Vec<usize>,
    /// The openings in its top board, to which borders are measured, with their places in the job.
    pub(super) openings: Vec<(&'a Opening, KeyPath)>,
}

impl<'a> Group<'a> {
    pub(super) fn find_all(mat: &'a Mat, places: &[KeyPath]) -> Vec<Self> {
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
    pub(super) fn prefix(&self) -> String {
        match self.boards.first() {
            Some(top) if self.table != KeyPath::root() => format!("board-{}-", top + 1),
            _ => String::new(),
        }
    }
}

/// Returns the table in which the key `opening` of a place stands.
pub(super) fn table_of(place: &KeyPath) -> KeyPath {
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
pub(super) fn dimension(
    ruler: Ruler,
    id: String,
    kind: DimensionKind,
    [from, to]: [Point; 2],
    mm: f64,
    (key, source): (KeyPath, DimensionSource),
) -> Dimension {
    Dimension { id, kind, from, to, figure: from.midpoint(to), mm, text: ruler.show(mm), key, source }
}
