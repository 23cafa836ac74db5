//! Grooves, ruled lines and bands of wash, run round the openings of a board.

use std::collections::{BTreeMap, BTreeSet};

use kurbo::Point;

use super::ruled_patterns::{RULED_PATTERNS, RuledPattern};
use crate::colour::{Colour, ColourTable};
use crate::fault::Certain;
use crate::geometry::{OffsetError, Outline, Trimmed, TrimmedStretch};
use crate::job::{
    Around, Measure, Scope, WrittenBand, WrittenGroove, WrittenJob, WrittenLayer, WrittenLine, WrittenRuling,
};
use crate::limits::spend;
use crate::mat::{Band, Groove, GroovePath, Layer, Opening, OpeningChoice, RuledLine, Wash};
use crate::problem::Problem;
use crate::tolerance::SAME_LENGTH_MM;

/// Width of a ruled line where a job does not say: a fine pen (common practice, no source).
const PEN_MM: f64 = 0.3;
/// What a band is called where a job names no colour.
const COLOUR: &str = "wash";
/// Most corners of the line of a groove: far more than a hand could make.
const MOST: usize = 10_000;
/// Most ornaments round one opening: ten times as many as in the richest French mat.
const MOST_ROUND_ONE: usize = 100;
/// Most pieces, straight or curved, of all ornaments of a board, so that a short job cannot fill the memory.
const MOST_PIECES: usize = 1_000_000;

/// The places in the job of the ornaments of one board, in the order of its [`crate::mat::Decoration`].
#[derive(Default)]
pub(super) struct Origins {
    pub(super) grooves: Vec<Scope>,
    pub(super) lines: Vec<Scope>,
    pub(super) washes: Vec<Scope>,
}

/// Ornaments every board; what the job itself lists belongs to the top one.
pub(super) fn decorate(
    job: &WrittenJob,
    colours: &ColourTable,
    scope: &Scope,
    layers: &mut [Layer],
    problems: &mut Vec<Problem>,
) -> Vec<Origins> {
    let plain = WrittenLayer::default();
    let mut all = Vec::with_capacity(layers.len());
    for (index, layer) in layers.iter_mut().enumerate() {
        let written = job.layer.get(index).unwrap_or(&plain);
        let own = scope.key("layer").index(index);
        let (origins, work) = (Origins::default(), OrnamentWork::default());
        let mut decorator = Decorator { layer, colours, origins, work, problems };
        if index == 0 {
            decorator.read(&job.groove, &job.ruled, scope);
        }
        decorator.read(&written.groove, &written.ruled, &own);
        all.push(decorator.origins);
    }
    all
}

struct Decorator<'a> {
    layer: &'a mut Layer,
    colours: &'a ColourTable,
    origins: Origins,
    work: OrnamentWork,
    problems: &'a mut Vec<Problem>,
}

/// How much a board has been ornamented.
#[derive(Default)]
struct OrnamentWork {
    /// Ornaments round each opening.
    round: BTreeMap<usize, usize>,
    /// Pieces of all of them.
    pieces: usize,
}

impl OrnamentWork {
    /// Counts ornaments that are to run round an opening, or complains of too many.
    fn add(&mut self, count: usize, opening: &Opening, scope: &Scope) -> Result<(), Problem> {
        let round = self.round.entry(opening.number).or_default();
        *round += count;
        self.pieces = self.pieces.saturating_add(count.saturating_mul(opening.face.segments().len()));
        // The answer to this is dropped: the work has gone beyond its limits.
        if !spend(count.saturating_mul(opening.face.segments().len()) as u64) {
            return Err(scope.error("too-much", "the ornaments take more work than is allowed", "give fewer of them"));
        }
        if *round > MOST_ROUND_ONE {
            let message = format!("{round} ornaments round {} are too many", opening.title());
            return Err(scope
                .error("too-much", message, format!("give it at most {MOST_ROUND_ONE}"))
                .with_count("ornaments", *round)
                .of_openings([opening.number])
                .with_count("most", MOST_ROUND_ONE));
        }
        if self.pieces > MOST_PIECES {
            let message = format!(
                "the ornaments of this board have more than {MOST_PIECES} lines and arcs, from {} on",
                opening.title()
            );
            return Err(scope
                .error("too-much", message, "ornament fewer openings, or give them fewer lines")
                .with_count("pieces", self.pieces)
                .of_openings([opening.number])
                .with_count("most", MOST_PIECES));
        }
        Ok(())
    }
}

impl Decorator<'_> {
    fn read(&mut self, grooves: &[WrittenGroove], ruled: &[WrittenRuling], scope: &Scope) {
        for (index, groove) in grooves.iter().enumerate() {
            let done = self.groove(groove, &scope.key("groove").index(index));
            self.problems.extend(done.err());
        }
        for (index, ruling) in ruled.iter().enumerate() {
            let done = self.ruling(ruling, &scope.key("ruled").index(index));
            self.problems.extend(done.err());
        }
    }

    fn groove(&mut self, written: &WrittenGroove, scope: &Scope) -> Result<(), Problem> {
        let angle_deg = written.angle.unwrap_or(Groove::USUAL_ANGLE_DEG);
        if !(angle_deg > 0.0 && angle_deg <= Groove::LARGEST_ANGLE_DEG) {
            let message = format!("a V cannot have an angle of {angle_deg} degrees between its walls");
            let help = format!("give more than 0 and at most {} degrees, 90 is usual", Groove::LARGEST_ANGLE_DEG);
            return Err(scope
                .key("angle")
                .error("groove", message, help)
                .with_degrees("angle", angle_deg)
                .with_degrees("most", Groove::LARGEST_ANGLE_DEG));
        }
        let depth = match &written.depth {
            Some(depth) => scope.key("depth").mm(depth)?,
            None => Groove::USUAL_SHARE * self.layer.board.thickness,
        };
        if depth <= 0.0 {
            let help = "give a depth above zero, or leave it out for a third of the board";
            return Err(scope.key("depth").error("groove", "a groove of no depth cannot be cut", help));
        }
        let width = Groove::width_of(angle_deg, depth);
        if !written.points.is_empty() {
            if !written.distance.is_empty() || written.around != Around::All {
                let message = "`points` give the groove a line of its own, so it runs round no opening";
                return Err(scope.key("points").error(
                    "contradiction",
                    message,
                    "remove `points`, or `around` and `distance`",
                ));
            }
            let course = free_course(&written.points, width, &scope.key("points"))?;
            self.layer.decoration.grooves.push(Groove { angle_deg, depth, course });
            self.origins.grooves.push(scope.clone());
            return Ok(());
        }
        let distances = match written.distance.as_slice() {
            [] => vec![(scope.usual().groove_distance, scope.clone())],
            listed => read_all(listed, &scope.key("distance"))?,
        };
        for place in chosen(&written.around, self.layer, scope)? {
            let opening = self.layer.openings.get(place).certain("opening at this place");
            self.work.add(distances.len(), opening, scope)?;
            for (distance, place) in &distances {
                let (course, lost) = GroovePath::round(opening.number, &opening.face, *distance, width)
                    .map_err(|error| no_parallel(&error, "groove", opening, *distance, place))?;
                self.problems.extend(left_out(&lost, "groove", opening, *distance, place));
                self.layer.decoration.grooves.push(Groove { angle_deg, depth, course });
                self.origins.grooves.push(place.clone());
            }
        }
        Ok(())
    }

    fn ruling(&mut self, written: &WrittenRuling, scope: &Scope) -> Result<(), Problem> {
        let pen = written.width.as_ref().map_or(Ok(PEN_MM), |width| scope.key("width").mm(width))?;
        let colour = if written.colour.is_empty() { COLOUR } else { &written.colour };
        let mut lines: Vec<(f64, f64, &str, Scope)> = Vec::new();
        let mut bands: Vec<(f64, f64, &str, Scope)> = Vec::new();
        if !written.pattern.is_empty() {
            let place = scope.key("pattern");
            let pattern =
                RuledPattern::by_name(&written.pattern).ok_or_else(|| unknown_pattern(&written.pattern, &place))?;
            lines.extend(pattern.lines.iter().map(|inches| (inches * 25.4, pen, written.ink.as_str(), place.clone())));
            bands.extend(pattern.bands.iter().map(|(from, to)| (from * 25.4, to * 25.4, colour, place.clone())));
        }
        for (index, WrittenLine { distance, width, ink }) in written.lines.iter().enumerate() {
            let place = scope.key("lines").index(index);
            let width = width.as_ref().map_or(Ok(pen), |width| place.key("width").mm(width))?;
            let ink = if ink.is_empty() { &written.ink } else { ink };
            lines.push((place.key("distance").mm(distance)?, width, ink, place));
        }
        for (index, WrittenBand { from, to, colour: own }) in written.bands.iter().enumerate() {
            let place = scope.key("bands").index(index);
            let (from, to) = (place.key("from").mm(from)?, place.key("to").mm(to)?);
            if to - from <= SAME_LENGTH_MM {
                let tell = |mm| scope.ruler().tell(mm);
                let message = format!("a band from {} to {} has no width", tell(from), tell(to));
                return Err(place
                    .error("ruled", message, "give the inner edge first: [from, to, \"colour\"]")
                    .with_mm("from", from)
                    .with_mm("to", to));
            }
            bands.push((from, to, if own.is_empty() { colour } else { own }, place));
        }
        if lines.is_empty() && bands.is_empty() {
            return Err(scope.error("not-enough", "there is nothing to rule", "give `pattern`, `lines` or `bands`"));
        }
        for place in chosen(&written.around, self.layer, scope)? {
            let cut = self.layer.openings.get(place).certain("opening at this place");
            self.work.add(lines.len() + bands.len(), cut, scope)?;
            let (opening, face) = (cut.number, &cut.face);
            for (distance, width, ink, place) in &lines {
                let (distance, width) = (*distance, *width);
                let [line] = face
                    .parallels([distance])
                    .map_err(|error| no_parallel(&error, "ruled line", cut, distance, place))?;
                let Trimmed { outline, lost, .. } = line;
                self.problems.extend(left_out(&lost, "ruled line", cut, distance, place));
                let tint = Colour::by_name(ink, self.colours);
                let ink = (*ink).to_owned();
                self.layer.decoration.lines.push(RuledLine { opening, distance, width, ink, tint, outline });
                self.origins.lines.push(place.clone());
            }
            for (from, to, colour, place) in &bands {
                let (from, to) = (*from, *to);
                let (edges, lost) =
                    Band::around(face, from, to).map_err(|error| no_parallel(&error, "band", cut, to, place))?;
                self.problems.extend(left_out(&lost, "band", cut, to, place));
                let tint = Colour::by_name(colour, self.colours);
                self.layer.decoration.washes.push(Wash {
                    opening,
                    from,
                    to,
                    colour: (*colour).to_owned(),
                    tint,
                    edges,
                });
                self.origins.washes.push(place.clone());
            }
        }
        Ok(())
    }
}

/// Reads a list of lengths; a single one falls back to the place of the list.
fn read_all(measures: &[Measure], scope: &Scope) -> Result<Vec<(f64, Scope)>, Problem> {
    let read = |(index, measure)| {
        let place = scope.index(index);
        Ok((place.mm(measure)?, place))
    };
    measures.iter().enumerate().map(read).collect()
}

/// Returns the places in the board's list of the openings that an ornament runs round.
fn chosen(around: &Around, layer: &Layer, scope: &Scope) -> Result<Vec<usize>, Problem> {
    let Around::Some(choices) = around else {
        return Ok((0..layer.openings.len()).collect());
    };
    let mut openings = Vec::with_capacity(choices.len());
    for choice in choices {
        let before = openings.len();
        match choice {
            OpeningChoice::Number(number) => openings.extend(layer.place_of(*number)),
            OpeningChoice::Name(_) => {
                let numbered = layer.openings.iter().enumerate();
                openings.extend(numbered.filter(|(_, opening)| choice.means(opening)).map(|(place, _)| place));
            }
        }
        if openings.len() == before {
            let message = format!("the {} board has no {choice}", layer.name);
            let help = format!("its openings are {}; \"all\" means every one", OpeningChoice::listed(&layer.openings));
            let asked = match choice {
                OpeningChoice::Number(number) => Some(*number),
                OpeningChoice::Name(_) => None,
            };
            return Err(scope.key("around").error("unknown-opening", message, help).of_openings(asked));
        }
    }
    let mut seen = BTreeSet::new();
    openings.retain(|place| seen.insert(*place));
    Ok(openings)
}

/// Reads the line of a groove that runs round no opening.
fn free_course(points: &[[Measure; 2]], width: f64, scope: &Scope) -> Result<GroovePath, Problem> {
    if points.len() > MOST {
        let message = format!("a groove cannot have {} corners", points.len());
        return Err(scope
            .error("groove", message, format!("give it at most {MOST} points"))
            .with_count("points", points.len())
            .with_count("most", MOST));
    }
    let mut line: Vec<Point> = Vec::with_capacity(points.len());
    for (index, [x, y]) in points.iter().enumerate() {
        let scope = scope.index(index);
        let point = Point::new(scope.index(0).signed_mm(x)?, scope.index(1).signed_mm(y)?);
        if line.last().is_none_or(|last| last.distance(point) > SAME_LENGTH_MM) {
            line.push(point);
        }
    }
    let ends = line.first().zip(line.last());
    let closed = line.len() > 2 && ends.is_some_and(|(first, last)| first.distance(*last) <= SAME_LENGTH_MM);
    let course = if closed {
        line.pop();
        Outline::polygon(&line).and_then(|centre| GroovePath::closed(centre, width).ok())
    } else {
        GroovePath::open(line, width)
    };
    course.filter(|course| free_crossing(course).is_none()).ok_or_else(|| {
        let help = "give at least two different points, and no turn that is tighter than the groove is wide";
        scope.error("groove", "no groove can be cut along these points", help)
    })
}

fn free_crossing(course: &GroovePath) -> Option<Point> {
    match course {
        GroovePath::Round { centre, .. } | GroovePath::Closed { centre, .. } => centre.crossing(),
        GroovePath::Open { edge, .. } => edge.crossing(),
    }
}

/// Warns of the parts of an opening that have no room in an ornament round it.
fn left_out(lost: &[TrimmedStretch], what: &str, opening: &Opening, distance: f64, scope: &Scope) -> Option<Problem> {
    let first = lost.first()?;
    let show = |mm| scope.ruler().show(mm);
    let others = match lost.len() - 1 {
        0 => String::new(),
        1 => " and at one other place".to_owned(),
        several => format!(" and at {several} other places"),
    };
    let message = format!(
        "the {what} {} from {} has no room to follow it round x {}, y {}{others}, where it runs straight past",
        show(distance),
        opening.title(),
        show(first.at.x),
        show(first.at.y)
    );
    let help = "choose a smaller distance, or check in the drawings whether you want it so";
    let problem = scope.warning("trimmed", message, help).of_openings([opening.number]).with_mm("distance", distance);
    Some(problem.with_mm("x", first.at.x).with_mm("y", first.at.y).with_count("places", lost.len()))
}

fn no_parallel(error: &OffsetError, what: &str, opening: &Opening, distance: f64, scope: &Scope) -> Problem {
    let shown = scope.ruler().show(distance);
    let message = format!("no {what} can run {shown} from {}: {error}", opening.title());
    let help = "choose another distance, or make the corners and curves of the opening wider";
    let problem = scope.error("no-parallel", message, help).of_openings([opening.number]).with_mm("distance", distance);
    error.numbers().into_iter().fold(problem, |problem, (name, mm)| problem.with_mm(name, mm))
}

fn unknown_pattern(name: &str, scope: &Scope) -> Problem {
    let known: Vec<&str> = RULED_PATTERNS.iter().map(|pattern| pattern.name).collect();
    let help = format!("use one of {}, or give `lines` of your own", known.join(", "));
    scope.error("unknown-pattern", format!("there is no pattern of ruled lines called \"{name}\""), help)
}
