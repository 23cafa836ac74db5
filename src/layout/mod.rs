//! From a job to a resolved mat: what the job leaves out is worked out, and contradictions are reported.
//!
//! ```
//! use backline::Job;
//!
//! let mat = Job::parse("unit = 'mm'\nframe = [300, 400]\nopening.art = [140, 190]")?.mat()?;
//! // 3 mm less than the rabbet, and 3 mm of overlap on every side of the art.
//! assert!((mat.outer().width - 297.0).abs() < 1e-9 && (mat.outer().height - 397.0).abs() < 1e-9);
//! let sight = mat.layers()[0].openings[0].sight.size();
//! assert!((sight.width - 134.0).abs() < 1e-9 && (sight.height - 184.0).abs() < 1e-9);
//! # Ok::<(), backline::Error>(())
//! ```

mod amount;
mod boards;
mod borders;
mod by_hand;
mod checks;
mod cluster;
mod colours;
mod cut;
mod decoration;
mod decoration_checks;
mod extras;
mod frame_checks;
mod given_art;
mod given_opening;
mod grid;
mod no_bevel;
mod opening_group;
mod opening_place;
mod outer;
mod package;
mod part;
mod placed_opening;
mod plausible;
mod proportioned;
mod ruled_patterns;
mod sized_opening;
mod solved;
mod standard_sizes;
mod trims;

pub use checks::Allowed;
pub use ruled_patterns::{RULED_PATTERNS, RuledPattern};
pub use standard_sizes::{BOARD_SHEET_SIZES, STANDARD_SIZES, StandardSizes};

use crate::checked::Checked;
use crate::fault::Certain;
use crate::job::{
    OUT_OF_RANGE, Scope, WrittenJob, WrittenOpening, check_ranges, doubtful_lengths, read_ruler, reported_unit,
};
use crate::length::Ruler;
use crate::mat::{Art, Decoration, Layer, Mat, PlacedGroup};
use crate::problem::{KeyPath, Problem};

use boards::ListedBoard;
use opening_group::OpeningGroup;
use outer::GivenOuter;
use placed_opening::PlacedOpening;

impl WrittenJob {
    /// Works the job out and checks the mat that comes of it; there is none if the job does not say enough to place its openings.
    pub fn resolve(&self) -> Checked<Mat> {
        self.resolve_with_places().0
    }

    /// Works the job out like [`WrittenJob::resolve`], and returns the path in the job of each opening, in the order of their numbers.
    pub fn resolve_with_places(&self) -> (Checked<Mat>, Vec<KeyPath>) {
        let mut problems = self.outline_warnings();
        problems.extend(doubtful_lengths(self));
        problems.extend(self.layout_without_shop());
        let scope = Scope::root(self.unit, self.ruler(&mut problems));
        problems.extend(self.names(&scope).into_iter().filter_map(|(name, scope)| scope.bad_name(name)));
        problems.extend(check_ranges(self, &scope));
        // What follows from an impossible length is not worth telling.
        if problems.iter().any(|problem| problem.code == OUT_OF_RANGE) {
            return (Checked::wrong(problems), Vec::new());
        }
        let laid_out = lay_out(self, &scope, &mut problems);
        once_each(&mut problems);
        let Some(LaidOut { mat, origins, ornaments }) = laid_out.filter(|_| !problems.iter().any(Problem::is_error))
        else {
            return (Checked::wrong(problems), Vec::new());
        };
        match Allowed::read(&self.limits, &scope.key("limits")) {
            Ok(allowed) => checks::check(&mat, &allowed, &origins, &scope, &mut problems),
            Err(problem) => problems.push(problem),
        }
        decoration_checks::check(&mat, &ornaments, &mut problems);
        let places = origins.iter().map(|origin| origin.path().clone()).collect();
        (Checked { value: Some(mat), problems }, places)
    }

    /// Refuses the name of a layout: where there is a shop file, the layout stands in its place.
    fn layout_without_shop(&self) -> Option<Problem> {
        (!self.layout.is_empty()).then(|| {
            Problem::error(
                "no-shop",
                KeyPath::root().key("layout"),
                format!("the layout `{}` is one of a shop file, and there is none here", self.layout),
                "name the file with --shop, put shop.toml beside the job or in the folder above, or write the layout into the job",
            )
        })
    }

    /// Lists the names that are written on drawings and screens, with their places.
    fn names(&self, scope: &Scope) -> Vec<(&str, Scope)> {
        let mut names = vec![(self.name.as_str(), scope.key("name"))];
        let spacers = scope.key("spacers");
        let (under_glass, under_mat) =
            self.spacers.as_ref().map_or((&None, &None), |spacers| (&spacers.under_glass, &spacers.under_mat));
        let parts = [
            (&self.glass, scope.key("glass")),
            (&self.mount, scope.key("mount")),
            (&self.backing, scope.key("backing")),
            (under_glass, spacers.key("under_glass")),
            (under_mat, spacers.key("under_mat")),
        ];
        names.extend(
            parts.into_iter().filter_map(|(part, scope)| Some((part.as_ref()?.name.as_str(), scope.key("name")))),
        );
        names.extend(self.colours.keys().map(|name| (name.as_str(), scope.key("colours").key(name.clone()))));
        let moulding = self.frame.as_ref().and_then(|frame| frame.moulding.as_ref());
        let moulding_scope = scope.key("frame").key("moulding").key("name");
        names.extend(moulding.map(|moulding| (moulding.name.as_str(), moulding_scope)));
        names.extend(opening_names(&self.opening, scope));
        for (index, layer) in self.layer.iter().enumerate() {
            let scope = scope.key("layer").index(index);
            names.push((layer.name.as_str(), scope.key("name")));
            names.extend(opening_names(&layer.opening, &scope));
        }
        names
    }

    /// Returns the ruler by which sizes are shown: that of the job's unit, else of the one in which its lengths are written.
    fn ruler(&self, problems: &mut Vec<Problem>) -> Ruler {
        let unit = reported_unit(self.unit, self);
        read_ruler(unit, self.ruler_parts).unwrap_or_else(|problem| {
            problems.push(problem);
            Ruler::usual(unit)
        })
    }
}

/// Lists the names of openings and of their titles, with their places.
fn opening_names<'j>(openings: &'j [WrittenOpening], scope: &Scope) -> Vec<(&'j str, Scope)> {
    let scope = scope.key("opening");
    let mut names = Vec::new();
    for (index, opening) in openings.iter().enumerate() {
        let scope = scope.index(index);
        names.push((opening.name.as_str(), scope.key("name")));
        names.extend(opening.title.iter().map(|title| (title.name.as_str(), scope.key("title").key("name"))));
    }
    names
}

/// A mat with the place in the job of each of its openings, and of the ornaments of each board.
struct LaidOut {
    mat: Mat,
    origins: Vec<Scope>,
    ornaments: Vec<decoration::Origins>,
}

/// Works out boards, outer size and openings; whatever fails is added to the problems.
fn lay_out(job: &WrittenJob, scope: &Scope, problems: &mut Vec<Problem>) -> Option<LaidOut> {
    let own = colours::own_colours(job, scope, problems);
    let sheets: Vec<ListedBoard> = keep_all(ListedBoard::read_all(job, &own, scope, problems), problems)?;
    let mut outer = keep(GivenOuter::read(job, &own, scope), problems)?;
    let groups = OpeningGroup::find_all(job, scope);
    let mut layers: Vec<Layer> = sheets.iter().map(empty_layer).collect();
    let mut art = Vec::new();
    let mut pictures = Vec::new();
    let mut origins: Vec<Scope> = Vec::new();
    let mut placed_groups = Vec::with_capacity(groups.len());
    if !job.opening.is_empty() && job.layer.first().is_some_and(|layer| !layer.opening.is_empty()) {
        let message = "both the job and its top layer have openings";
        problems.push(scope.key("opening").error(
            "contradiction",
            message,
            "put all openings of the top board in one place",
        ));
        return None;
    }
    for group in &groups {
        let boards = opening_group::boards_of(group, &sheets, job.sizes);
        let items = match group.items(origins.len() + 1, &boards) {
            Ok(items) if items.is_empty() => {
                problems.push(no_openings(group));
                return None;
            }
            Ok(items) => items,
            Err(found) => {
                problems.extend(found);
                continue;
            }
        };
        let (size, placed) = match group.place(items, &outer, &boards, origins.len() + 1) {
            Ok(placed) => placed,
            Err(found) => {
                problems.extend(found);
                continue;
            }
        };
        placed_groups.push(placed_group(group, &placed, origins.len() + 1));
        origins.extend(placed.iter().map(|placed| placed.item.scope.clone()));
        outer = GivenOuter { size: Some(size), choices: None, ..outer };
        cut_group(group, &placed, &mut layers, problems);
        let art_of_group = art_of(group, &placed, &layers);
        let base = layers.get(group.base_layer()).certain("board that the sizes are given for");
        pictures.extend(extras::pictures_of(&placed, base, &art_of_group, problems));
        art.extend(art_of_group);
    }
    let ornaments = decoration::decorate(job, &own, scope, &mut layers, problems);
    let size = outer.size?;
    for (index, layer) in layers.iter().enumerate() {
        if 2.0 * layer.inset >= size.width.min(size.height) {
            let message =
                format!("nothing is left of a board {} smaller on every side", scope.ruler().show(layer.inset));
            let place = scope.key("layer").index(index).key("smaller");
            problems.push(
                place
                    .error("does-not-fit", message, "reduce `smaller`; it applies to every side")
                    .with_mm("smaller", layer.inset),
            );
        }
    }
    let mat = Mat {
        name: job.name.clone(),
        outer: size,
        package: package::read(job, scope, (size, outer.frame), &layers, &art, problems),
        layers,
        art,
        pictures,
        quantity: keep(extras::read_quantity(job, scope), problems)?,
        extras: extras::read_extras(job, scope, problems),
        groups: placed_groups,
        sizes: job.sizes,
        ruler: scope.ruler(),
    };
    Some(LaidOut { mat, origins, ornaments })
}

fn empty_layer(sheet: &ListedBoard) -> Layer {
    Layer {
        name: sheet.name.clone(),
        board: sheet.board.clone(),
        bevel: sheet.bevel,
        inset: sheet.inset,
        fallout: sheet.fallout,
        openings: Vec::new(),
        decoration: Decoration::default(),
    }
}

fn no_openings(group: &OpeningGroup<'_>) -> Problem {
    let help = "add [opening] with `art` or `size`";
    group.scope().error("not-enough", "the mat has no opening", help)
}

/// Says how a group lies on the mat; its openings have the numbers from `first`.
fn placed_group(group: &OpeningGroup<'_>, openings: &[PlacedOpening<'_>], first: usize) -> PlacedGroup {
    let by_hand = openings.iter().filter(|placed| placed.item.at.is_some());
    PlacedGroup {
        boards: group.layers.clone(),
        base: group.base_layer(),
        numbers: first..first + openings.len(),
        by_hand: by_hand.map(|placed| placed.item.number).collect(),
        to_art: group.counts_to_art(),
    }
}

/// Cuts the openings of a group through all its boards.
fn cut_group(
    group: &OpeningGroup<'_>,
    placed: &[PlacedOpening<'_>],
    layers: &mut [Layer],
    problems: &mut Vec<Problem>,
) {
    for (within, layer) in
        layers.get_mut(group.layers.clone()).certain("board for each layer of the group").iter_mut().enumerate()
    {
        for opening in placed {
            match cut::cut(opening, within, (&layer.name, &layer.board), problems) {
                Ok(opening) => layer.openings.push(opening),
                Err(problem) => problems.push(problem),
            }
        }
    }
}

/// Returns the works behind the openings of a group, placed behind their sight openings.
fn art_of(group: &OpeningGroup<'_>, placed: &[PlacedOpening<'_>], layers: &[Layer]) -> Vec<Art> {
    let base = layers.get(group.base_layer()).certain("board that the sizes are given for");
    placed
        .iter()
        .filter_map(|placed| {
            let number = placed.item.number;
            let sight = &base.opening(number)?.sight;
            placed.item.art_behind(sight)
        })
        .collect()
}

/// Keeps the first of equal problems: what is wrong with the board of the job is wrong in every layer.
fn once_each(problems: &mut Vec<Problem>) {
    let mut seen = std::collections::BTreeSet::new();
    problems.retain(|problem| seen.insert(problem.to_string()));
}

fn keep<T>(result: Result<T, Problem>, problems: &mut Vec<Problem>) -> Option<T> {
    result.map_err(|problem| problems.push(problem)).ok()
}

fn keep_all<T>(results: Vec<Result<T, Problem>>, problems: &mut Vec<Problem>) -> Option<Vec<T>> {
    let count = results.len();
    let kept: Vec<T> = results.into_iter().filter_map(|result| keep(result, problems)).collect();
    (kept.len() == count).then_some(kept)
}

#[cfg(test)]
mod tests {
    use std::fmt::Write;

    use crate::job::{Syntax, WrittenJob};
    use crate::limits::steps;

    /// Counts the steps that the checks of a job take; `expected` are the codes of its problems.
    fn work(job: &str, expected: &[&str]) -> u64 {
        let job = WrittenJob::read(job, Syntax::Toml).unwrap();
        let before = steps();
        let resolved = job.resolve();
        let mut codes: Vec<&str> = resolved.problems.iter().map(|problem| problem.code).collect();
        // A board for so many openings is larger than any that is sold.
        codes.retain(|code| *code != "unusual-length");
        codes.dedup();
        assert_eq!(codes, expected);
        steps() - before
    }

    fn assert_in_proportion(what: &str, expected: &[&str], job: impl Fn(usize) -> String) {
        for count in [250, 500, 1000] {
            let (once, twice) = (work(&job(count), expected), work(&job(2 * count), expected));
            println!("{what}: {once} steps for {count}, {twice} for twice as many");
            assert!(once > count as u64 && twice as f64 <= 2.3 * once as f64, "{what}: {once}, {twice}");
        }
    }

    /// Openings in rows of 32 on a board of their own size.
    fn placed(count: usize, pitch: usize, head: &str) -> String {
        let mut job = format!("unit = 'mm'\nouter = [{}, {}]\n{head}\n", 32 * pitch + 200, count / 32 * pitch + 300);
        for index in 0..count {
            let (shape, left, top) =
                (["ellipse", "rectangle"][index % 2], 100 + index % 32 * pitch, 100 + index / 32 * pitch);
            let place = format!("at = {{ left = {left}, top = {top} }}");
            writeln!(job, "[[opening]]\nshape = '{shape}'\nsize = [9, 12]\nart = [11, 14]\n{place}").unwrap();
        }
        job
    }

    #[test]
    fn the_work_of_the_checks_grows_with_the_openings() {
        assert_in_proportion("apart", &[], |count| placed(count, 30, ""));
        assert_in_proportion("thin bars", &["thin-bar"], |count| placed(count, 22, ""));
        assert_in_proportion("double", &[], |count| placed(count, 40, "layer = [{}, { reveal = 3 }]"));
        let ornaments = "ruled = [{ lines = [4, 6] }]\ngroove = [{ distance = 9 }]";
        assert_in_proportion("ruled", &[], |count| placed(count, 40, ornaments));
        assert_in_proportion("ruled and meeting", &["ornaments-meet"], |count| placed(count, 32, ornaments));
    }

    /// A comb, whose teeth stand up from one long side.
    fn comb(corners: usize, teeth_across: bool) -> String {
        let teeth = corners / 4;
        let mut points = vec![(0, 0), (4 * teeth - 2, 0)];
        for tooth in (0..teeth).rev() {
            let left = 4 * tooth;
            points.extend([(left + 2, 20), (left + 2, 60), (left, 60), (left, 20)]);
        }
        // The outer teeth go down from the corners of the long side.
        points.pop();
        points.remove(2);
        let point = |&(along, across): &(usize, usize)| {
            if teeth_across { format!("[{across}, {along}]") } else { format!("[{along}, {across}]") }
        };
        points.iter().map(point).collect::<Vec<_>>().join(", ")
    }

    #[test]
    fn the_work_of_one_opening_grows_with_its_corners() {
        for teeth_across in [false, true] {
            let job = |count: usize| {
                let size = count + 300;
                let points = comb(count, teeth_across);
                format!(
                    "unit = 'mm'\nouter = [{size}, {size}]\nboard = '8-ply'\nbevel = 'straight'\n[opening]\nshape.polygon.corners = [{points}]\nat = {{ left = 100, top = 100 }}\n"
                )
            };
            assert_in_proportion("comb", &["sliver"], job);
        }
    }
}
