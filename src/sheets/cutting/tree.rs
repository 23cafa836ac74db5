//! A sheet while it is planned: a tree of edge-to-edge cuts that pieces are put into and taken out of.

#![allow(clippy::indexing_slicing, reason = "ids come from the tree itself, and axes are 0 and 1")]

use super::hole::{Hole, Id, NONE};
use super::task::Units;
use super::worth::{AreaScale, HoleAccount, HoleReach};

/// What a rectangle is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum NodeKind {
    /// Free to be used.
    Hole,
    /// A piece, by its place in the task, and whether it is turned.
    Piece(u32, bool),
    /// Cut across the given axis (0 divides x); its parts alternate the axis.
    Cut(usize),
    /// Not in use.
    Spare,
}

/// A rectangle. The order of parts does not matter while planning, so a cut has one hole at most, which is all that is left.
#[derive(Clone, Copy, Debug)]
struct TreeNode {
    size: [Units; 2],
    /// Of a cut: what its parts take along its axis, each with its kerf.
    used: Units,
    parent: Id,
    /// Neighbours among the parts that are not holes.
    next: Id,
    previous: Id,
    /// Of a cut: its first part that is not a hole.
    first: Id,
    /// Of a cut: its hole.
    hole: Id,
    /// Of a hole or piece: its place in the tree's list of holes or pieces.
    place: u32,
    kind: NodeKind,
}

/// How a piece is put into a hole.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct HolePlacement {
    /// The hole.
    pub(super) hole: Id,
    /// The piece's size as placed.
    pub(super) size: [Units; 2],
    /// Whether the piece is turned.
    pub(super) turned: bool,
    /// The axis that is divided first.
    pub(super) first_axis: usize,
}

/// A sheet's tree of cuts.
#[derive(Debug)]
pub(super) struct Tree {
    nodes: Vec<TreeNode>,
    /// Head of the list of spare nodes.
    spare: Id,
    root: Id,
    kerf: Units,
    areas: AreaScale,
    pub(super) holes: Vec<Hole>,
    /// What they come to.
    pub(super) account: HoleAccount,
    /// The rectangles that are pieces.
    pub(super) pieces: Vec<Id>,
}

impl Clone for Tree {
    fn clone(&self) -> Self {
        Self { nodes: self.nodes.clone(), holes: self.holes.clone(), pieces: self.pieces.clone(), ..*self }
    }

    fn clone_from(&mut self, other: &Self) {
        self.nodes.clone_from(&other.nodes);
        self.holes.clone_from(&other.holes);
        self.pieces.clone_from(&other.pieces);
        (self.spare, self.root, self.kerf, self.areas) = (other.spare, other.root, other.kerf, other.areas);
        self.account = other.account;
    }
}

impl Tree {
    /// A sheet without cuts.
    pub(super) fn new(size: [Units; 2], kerf: Units, areas: AreaScale) -> Self {
        let mut tree = Self {
            nodes: Vec::new(),
            spare: NONE,
            root: 0,
            kerf,
            areas,
            holes: Vec::new(),
            account: HoleAccount::NOTHING,
            pieces: Vec::new(),
        };
        tree.clear(size);
        tree
    }

    /// Starts anew with a sheet of this size.
    pub(super) fn clear(&mut self, size: [Units; 2]) {
        self.nodes.clear();
        self.holes.clear();
        self.pieces.clear();
        self.account = HoleAccount::NOTHING;
        self.spare = NONE;
        self.root = self.make(size, NONE, NodeKind::Hole);
        self.list_hole(self.root);
    }

    /// How far its holes reach.
    pub(super) fn reach(&mut self) -> HoleReach {
        self.account.reach(&self.holes)
    }

    pub(super) fn root(&self) -> Id {
        self.root
    }

    pub(super) fn kind(&self, id: Id) -> NodeKind {
        self.nodes[id as usize].kind
    }

    pub(super) fn size(&self, id: Id) -> [Units; 2] {
        self.nodes[id as usize].size
    }

    pub(super) fn parent(&self, id: Id) -> Id {
        self.nodes[id as usize].parent
    }

    /// The parts of a cut, the hole last.
    pub(super) fn parts(&self, id: Id) -> impl Iterator<Item = Id> + '_ {
        let node = self.nodes[id as usize];
        let mut next = node.first;
        let taken = std::iter::from_fn(move || {
            let here = next;
            (here != NONE).then(|| {
                next = self.nodes[here as usize].next;
                here
            })
        });
        taken.chain((node.hole != NONE).then_some(node.hole))
    }

    /// Puts a piece into a hole that it fits.
    pub(super) fn insert(&mut self, way: &HolePlacement, piece: u32) -> Id {
        let mut id = way.hole;
        for axis in [way.first_axis, 1 - way.first_axis] {
            if way.size[axis] < self.size(id)[axis] {
                id = self.split(id, axis, way.size[axis]);
            }
        }
        let place = self.nodes[id as usize].place;
        if place != NONE {
            self.take_hole(id);
        }
        let node = &mut self.nodes[id as usize];
        node.kind = NodeKind::Piece(piece, way.turned);
        node.place = self.pieces.len() as u32;
        self.pieces.push(id);
        id
    }

    /// Takes out a piece or a whole cut, and calls `freed` with every piece in it.
    pub(super) fn remove(&mut self, id: Id, freed: &mut impl FnMut(u32)) {
        let mut id = id;
        loop {
            let parent = self.parent(id);
            let alone = parent != NONE && {
                let above = self.nodes[parent as usize];
                above.first == id && self.nodes[id as usize].next == NONE
            };
            if !alone {
                break;
            }
            id = parent;
        }
        self.empty(id, freed);
        let parent = self.parent(id);
        if parent == NONE {
            self.nodes[id as usize].kind = NodeKind::Hole;
            self.list_hole(id);
        } else {
            self.unlink(id, parent);
            self.discard(id);
            self.fit_hole(parent);
        }
    }

    /// Parts off a strip of a hole, and gives the strip and what is left of the hole, if anything is.
    pub(super) fn part_off(&mut self, hole: Id, axis: usize, measure: Units) -> (Id, Id) {
        if measure >= self.size(hole)[axis] {
            return (hole, NONE);
        }
        let part = self.split(hole, axis, measure);
        let cut = self.parent(part);
        (part, self.nodes[cut as usize].hole)
    }

    /// Cuts a whole sheet that is longer than the arm, along its shorter side, to as much as the arm can cut, and gives that hole
    /// and the axis that was divided; none where this is not needed or cannot be done.
    ///
    /// The hole has to be divided along the other axis before anything else changes: a cut has one hole only.
    pub(super) fn shorten(&mut self, longest: Units) -> Option<(Id, usize)> {
        let axis = match self.size(self.root).map(|side| side > longest) {
            [true, false] => 0,
            [false, true] => 1,
            _ => return None,
        };
        let part = self.split(self.root, axis, longest);
        self.list_hole(part);
        Some((part, axis))
    }

    /// Divides a hole along an axis and gives the part of the asked measure, which is neither listed as a hole nor a piece yet.
    fn split(&mut self, hole: Id, axis: usize, measure: Units) -> Id {
        let parent = self.parent(hole);
        let cut = if parent != NONE && self.kind(parent) == NodeKind::Cut(axis) {
            parent
        } else {
            if self.nodes[hole as usize].place != NONE {
                self.unlist_hole(hole);
                // The hole turns into a cut and takes its place among the parts.
                if parent != NONE && self.nodes[parent as usize].hole == hole {
                    self.nodes[parent as usize].hole = NONE;
                    self.link(hole, parent);
                }
            }
            self.nodes[hole as usize].kind = NodeKind::Cut(axis);
            hole
        };
        let mut size = self.size(hole);
        size[axis] = measure;
        let part = self.make(size, cut, NodeKind::Hole);
        self.link(part, cut);
        self.fit_hole(cut);
        part
    }

    /// Makes the parent's hole a part like any other.
    fn take_hole(&mut self, id: Id) {
        self.unlist_hole(id);
        let parent = self.parent(id);
        if parent != NONE && self.nodes[parent as usize].hole == id {
            self.nodes[parent as usize].hole = NONE;
            self.link(id, parent);
        }
    }

    /// Makes a cut's hole as large as what its parts leave.
    fn fit_hole(&mut self, cut: Id) {
        let node = self.nodes[cut as usize];
        let NodeKind::Cut(axis) = node.kind else { return };
        let mut size = node.size;
        size[axis] -= node.used;
        match (node.hole, size[axis] > 0) {
            (NONE, true) => {
                let hole = self.make(size, cut, NodeKind::Hole);
                self.nodes[cut as usize].hole = hole;
                self.list_hole(hole);
            }
            (NONE, false) => {}
            (hole, true) => {
                let node = &mut self.nodes[hole as usize];
                node.size = size;
                let place = node.place as usize;
                let new = Hole { size, worth: self.areas.worth(size[0], size[1]), id: hole };
                self.account.add(&new);
                self.account.take(&std::mem::replace(&mut self.holes[place], new));
            }
            (hole, false) => {
                self.unlist_hole(hole);
                self.discard(hole);
                self.nodes[cut as usize].hole = NONE;
            }
        }
    }

    /// Discards everything inside a rectangle.
    fn empty(&mut self, id: Id, freed: &mut impl FnMut(u32)) {
        match self.kind(id) {
            NodeKind::Piece(piece, _) => {
                self.unlist_piece(id);
                freed(piece);
            }
            NodeKind::Cut(_) => {
                let node = self.nodes[id as usize];
                let mut part = node.first;
                while part != NONE {
                    let next = self.nodes[part as usize].next;
                    self.empty(part, freed);
                    self.discard(part);
                    part = next;
                }
                if node.hole != NONE {
                    self.unlist_hole(node.hole);
                    self.discard(node.hole);
                }
                let node = &mut self.nodes[id as usize];
                (node.first, node.hole, node.used) = (NONE, NONE, 0);
            }
            NodeKind::Hole | NodeKind::Spare => {}
        }
    }

    fn make(&mut self, size: [Units; 2], parent: Id, kind: NodeKind) -> Id {
        let node =
            TreeNode { size, used: 0, parent, next: NONE, previous: NONE, first: NONE, hole: NONE, place: NONE, kind };
        if self.spare == NONE {
            self.nodes.push(node);
            self.nodes.len() as Id - 1
        } else {
            let id = self.spare;
            self.spare = self.nodes[id as usize].next;
            self.nodes[id as usize] = node;
            id
        }
    }

    fn discard(&mut self, id: Id) {
        let node = &mut self.nodes[id as usize];
        node.kind = NodeKind::Spare;
        node.next = self.spare;
        self.spare = id;
    }

    fn link(&mut self, id: Id, cut: Id) {
        let NodeKind::Cut(axis) = self.kind(cut) else { return };
        let first = self.nodes[cut as usize].first;
        if first != NONE {
            self.nodes[first as usize].previous = id;
        }
        let measure = {
            let node = &mut self.nodes[id as usize];
            (node.next, node.previous) = (first, NONE);
            node.size[axis]
        };
        let above = &mut self.nodes[cut as usize];
        above.first = id;
        above.used += measure + self.kerf;
    }

    fn unlink(&mut self, id: Id, cut: Id) {
        let NodeKind::Cut(axis) = self.kind(cut) else { return };
        let TreeNode { next, previous, size, .. } = self.nodes[id as usize];
        if previous == NONE {
            self.nodes[cut as usize].first = next;
        } else {
            self.nodes[previous as usize].next = next;
        }
        if next != NONE {
            self.nodes[next as usize].previous = previous;
        }
        self.nodes[cut as usize].used -= size[axis] + self.kerf;
    }

    fn list_hole(&mut self, id: Id) {
        let node = &mut self.nodes[id as usize];
        node.place = self.holes.len() as u32;
        let hole = Hole { size: node.size, worth: self.areas.worth(node.size[0], node.size[1]), id };
        self.account.add(&hole);
        self.holes.push(hole);
    }

    fn unlist_hole(&mut self, id: Id) {
        let place = std::mem::replace(&mut self.nodes[id as usize].place, NONE) as usize;
        self.account.take(&self.holes.swap_remove(place));
        if let Some(moved) = self.holes.get(place) {
            self.nodes[moved.id as usize].place = place as u32;
        }
    }

    fn unlist_piece(&mut self, id: Id) {
        let place = std::mem::replace(&mut self.nodes[id as usize].place, NONE) as usize;
        self.pieces.swap_remove(place);
        if let Some(&moved) = self.pieces.get(place) {
            self.nodes[moved as usize].place = place as u32;
        }
    }
}
