//! Which key of a job sets a size, and where its number comes from.

use super::dimension::{Axis, DimensionKind, DimensionSource, Side};
use super::given::GivenKeys;
use super::measured::MeasuredSize;
use crate::mat::{Edge, Mat, PlacedGroup, UsualLengths};
use crate::problem::{KeyPath, KeyStep};
use crate::tolerance::SAME_STOP_MM;

/// What the keys of sizes are found from.
pub(super) struct DimensionKeys<'a> {
    pub(super) mat: &'a Mat,
    /// The path in the job of each opening, in the order of their numbers.
    pub(super) places: &'a [KeyPath],
    pub(super) given: GivenKeys,
}

/// The keys that may set a size.
struct KeyChoice {
    /// The one for this size alone.
    key: KeyPath,
    /// Others that set it together with other sizes.
    others: Vec<KeyPath>,
    /// The length in millimetres that is taken when none of them is given; `None` where it then follows from others.
    usual: Option<f64>,
}

impl KeyChoice {
    const fn follows(key: KeyPath) -> Self {
        Self { key, others: Vec::new(), usual: None }
    }

    fn usual(key: KeyPath, mm: f64) -> Self {
        Self { usual: Some(mm), ..Self::follows(key) }
    }

    fn or(self, others: impl IntoIterator<Item = KeyPath>) -> Self {
        Self { others: others.into_iter().collect(), ..self }
    }
}

impl DimensionKeys<'_> {
    /// Returns the key that sets a size, and where its number comes from.
    pub(super) fn of(&self, size: &MeasuredSize) -> (KeyPath, DimensionSource) {
        let KeyChoice { key, others, usual } = self.find(size.kind);
        // A margin is a negative overlap.
        let mm = if matches!(size.kind, DimensionKind::Overlap { .. }) { size.mm.abs() } else { size.mm };
        let all = std::iter::once(&key).chain(&others);
        let present: Vec<&KeyPath> = all.filter(|path| self.given.has(path)).collect();
        let exact = present.iter().find(|path| self.given.is(path, mm));
        let source = match (exact, present.is_empty()) {
            (Some(path), _) => DimensionSource::Given((**path).clone()),
            // A key that has another number tells of another opening, or is one of several.
            (None, true) if usual.is_some_and(|usual| (usual - mm).abs() < SAME_STOP_MM) => DimensionSource::Default,
            (None, _) => DimensionSource::WorkedOut,
        };
        (key, source)
    }

    fn find(&self, kind: DimensionKind) -> KeyChoice {
        let root = KeyPath::root();
        let frame = root.key("frame");
        match kind {
            DimensionKind::Outer { axis } => KeyChoice::follows(root.key("outer").index(axis.index())),
            DimensionKind::Board { board, .. } => KeyChoice::follows(root.key("layer").index(board - 1).key("smaller")),
            DimensionKind::Rabbet { axis } => KeyChoice::follows(frame.key("rabbet").index(axis.index())),
            DimensionKind::FrameSight { .. } => KeyChoice::follows(frame.key("lip")),
            DimensionKind::FrameOutside { .. } => KeyChoice::follows(frame.key("moulding").key("width")),
            DimensionKind::Lip => KeyChoice::usual(frame.key("lip"), self.usual().lip),
            DimensionKind::Moulding => KeyChoice::follows(frame.key("moulding").key("width")),
            DimensionKind::Border { side, opening: Some(number), .. } => KeyChoice::follows(self.at(number, side)),
            DimensionKind::Border { side, opening: None, board }
            | DimensionKind::SightBorder { side, opening: None, board } => {
                self.border(side, self.group_of_board(board))
            }
            DimensionKind::Opening { axis, opening } => {
                KeyChoice::follows(self.place(opening).key("size").index(axis.index()))
            }
            DimensionKind::Art { axis, opening } => {
                KeyChoice::follows(self.place(opening).key("art").index(axis.index()))
            }
            DimensionKind::Overlap { side, opening } => self.overlap(side, opening),
            DimensionKind::Bar { axis, between, .. } => self.bar(axis, between),
            DimensionKind::Reveal { board } => {
                KeyChoice::usual(root.key("layer").index(board - 1).key("reveal"), self.usual().reveal)
            }
            DimensionKind::Sight { axis, opening, .. } => {
                let axis = if self.lies_crosswise(opening) { axis.other() } else { axis };
                KeyChoice::follows(self.place(opening).key("size").index(axis.index()))
            }
            DimensionKind::SightBorder { side, opening: Some(number), .. }
            | DimensionKind::CutBorder { side, opening: number, .. } => self.side_of(number, side),
            DimensionKind::SightBar { axis, between, .. } => self.bar(axis, between),
            DimensionKind::SightGroup { board, .. } => {
                KeyChoice::follows(self.table(self.group_of_board(board)).key("opening"))
            }
            DimensionKind::Section { from, to } => Self::section(from, to),
        }
    }

    fn section((left, _): (usize, Edge), (right, _): (usize, Edge)) -> KeyChoice {
        let board = KeyPath::root().key("layer").index(left.max(right) - 1);
        KeyChoice::follows(board.key(if left == right { "bevel" } else { "reveal" }))
    }

    fn at(&self, number: usize, side: Side) -> KeyPath {
        self.place(number).key("at").key(side.name())
    }

    /// The keys of the distance of an opening to the edge of its board.
    fn side_of(&self, number: usize, side: Side) -> KeyChoice {
        let group = self.mat.groups.iter().find(|group| group.numbers.contains(&number));
        if group.is_some_and(|group| group.is_by_hand(number)) {
            KeyChoice::follows(self.at(number, side))
        } else {
            self.border(side, group)
        }
    }

    /// The keys of the borders round a group.
    fn border(&self, side: Side, group: Option<&PlacedGroup>) -> KeyChoice {
        let border = self.table(group).key("border");
        let both = (side.axis() == Axis::Width).then(|| border.key("sides"));
        KeyChoice::follows(border.key(side.name())).or(both.into_iter().chain([border.key("all")]))
    }

    /// The keys of how far a work reaches beyond its opening.
    fn overlap(&self, side: Side, number: usize) -> KeyChoice {
        let place = self.place(number);
        let margin = self.mat.art_behind(number).is_some_and(|art| art.margin);
        let word = if margin { "margin" } else { "overlap" };
        let own = place.key(word);
        // With a size of its own beside the art, the overlap follows from the two.
        let both = self.given.has(&place.key("size"));
        let key = own.key(side.name());
        let found = if both { KeyChoice::follows(key) } else { KeyChoice::usual(key, self.usual().overlap) };
        found.or([own.key("all"), place.key(format!("{word}_total"))])
    }

    /// The keys of the bars of a group. Where the job says nothing they are the usual ones in rows and columns; in a ring, or
    /// between openings placed by hand, they follow.
    fn bar(&self, axis: Axis, [first, second]: [usize; 2]) -> KeyChoice {
        let above = self.place(first);
        if self.place(second) == above.key("title") {
            return KeyChoice::usual(above.key("title_gap"), self.usual().title_gap);
        }
        let group = self.mat.groups.iter().find(|group| group.numbers.contains(&first));
        let arrangement = self.table(group).key("arrangement");
        let own = arrangement.key(if axis == Axis::Width { "column_gap" } else { "row_gap" });
        let by_hand = group.is_some_and(|group| !group.by_hand.is_empty());
        let follows = by_hand || self.given.has(&arrangement.key("ring"));
        let found = if follows { KeyChoice::follows(own) } else { KeyChoice::usual(own, self.usual().gap) };
        found.or([arrangement.key("gap")])
    }

    fn usual(&self) -> &'static UsualLengths {
        UsualLengths::of(self.mat.ruler.unit())
    }

    fn place(&self, number: usize) -> KeyPath {
        number.checked_sub(1).and_then(|index| self.places.get(index)).cloned().unwrap_or_default()
    }

    /// Tells whether an opening is turned by one or three quarters.
    fn lies_crosswise(&self, number: usize) -> bool {
        let quarters = self.mat.lowest(number).and_then(crate::mat::Opening::quarter_turns);
        quarters.is_some_and(|quarters| quarters % 2 == 1)
    }

    fn group_of_board(&self, board: usize) -> Option<&PlacedGroup> {
        self.mat.groups.iter().find(|group| group.boards.contains(&(board - 1)))
    }

    /// Returns the table of the job whose openings a group has: the job itself, or one of its boards.
    fn table(&self, group: Option<&PlacedGroup>) -> KeyPath {
        let first = group.and_then(|group| self.places.get(group.numbers.start.checked_sub(1)?));
        let mut table = KeyPath::root();
        let mut at = first;
        while let Some((parent, step)) = at.and_then(KeyPath::split_last) {
            if matches!(step, KeyStep::Key(key) if key == "opening") {
                table = parent.clone();
            }
            at = Some(parent);
        }
        table
    }
}
