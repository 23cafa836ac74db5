//! What the rules of the bench allow: cuts no longer than the arm, and no more levels of cuts than a person follows.

#![allow(clippy::indexing_slicing, reason = "axes are 0 and 1")]

use super::hole::{Id, NONE};
use super::task::Rules;
use super::tree::{HolePlacement, NodeKind, Tree};

impl Tree {
    /// How many cuts a rectangle lies in.
    fn depth(&self, id: Id) -> u32 {
        let mut depth = 0;
        let mut at = self.parent(id);
        while at != NONE {
            depth += 1;
            at = self.parent(at);
        }
        depth
    }

    /// Whether the rules of the bench allow a way of placing.
    pub(super) fn allows(&self, way: &HolePlacement, rules: &Rules) -> bool {
        let hole = self.size(way.hole);
        let (first, second) = (way.first_axis, 1 - way.first_axis);
        let cuts = [way.size[first] < hole[first], way.size[second] < hole[second]];
        if let Some(longest) = rules.longest_cut {
            // The first cut runs along the other side of the hole, the second along the strip that the first makes.
            if (cuts[0] && hole[second] > longest) || (cuts[1] && way.size[first] > longest) {
                return false;
            }
        }
        if let Some(stages) = rules.stages {
            let parent = self.parent(way.hole);
            let shared = match (cuts, parent) {
                (_, NONE) => 0,
                ([true, _], _) => u32::from(self.kind(parent) == NodeKind::Cut(first)),
                ([false, true], _) => u32::from(self.kind(parent) == NodeKind::Cut(second)),
                _ => 0,
            };
            let levels = u32::from(cuts[0]) + u32::from(cuts[1]);
            return levels == 0 || self.depth(way.hole) + levels - shared <= stages;
        }
        true
    }
}
