//! Files for machines as other readers and small simulators find them: the lines that the tools make, in order.
#![allow(dead_code, reason = "each test program uses a part of it")]

use dxf::entities::EntityType;
use kurbo::{Affine, Arc, BezPath, Circle, ParamCurve, PathSeg, Point, Shape, Vec2};

/// Largest distance in millimetres between an arc and the Bézier curves that stand for it here.
const ARC_MM: f64 = 1e-7;

/// A line that a tool makes without being lifted, in millimetres in the coordinates of the machine.
#[derive(Debug, Clone)]
pub(crate) struct Made {
    /// Layer, group, pen or tool.
    pub(crate) tool: String,
    pub(crate) path: BezPath,
    /// Kind of entity, or empty.
    pub(crate) kind: &'static str,
    /// How deep below the surface, if the file says so.
    pub(crate) depth: Option<f64>,
}

impl Made {
    pub(crate) fn segments(&self) -> Vec<PathSeg> {
        self.path.segments().collect()
    }

    pub(crate) fn start(&self) -> Point {
        self.segments()[0].start()
    }

    pub(crate) fn end(&self) -> Point {
        self.segments().last().unwrap().end()
    }

    pub(crate) fn is_closed(&self) -> bool {
        self.start().distance(self.end()) < 1e-3
    }

    /// Twice the area that it goes round, above zero against the clock if y runs up.
    pub(crate) fn winding(&self) -> f64 {
        self.segments().iter().map(|segment| segment.start().to_vec2().cross(segment.end().to_vec2())).sum()
    }
}

fn append_arc(path: &mut BezPath, center: Point, from: Point, sweep: f64) {
    let spoke = from - center;
    let arc = Arc::new(center, (spoke.hypot(), spoke.hypot()), spoke.atan2(), sweep, 0.0);
    arc.to_cubic_beziers(ARC_MM, |a, b, to| path.curve_to(a, b, to));
}

/// Reads DXF with the crate `dxf`; `unit` is the length of one unit in millimetres.
pub(crate) fn read_dxf(bytes: &[u8], unit: f64) -> (dxf::Drawing, Vec<Made>) {
    let file = dxf::Drawing::load(&mut std::io::Cursor::new(bytes)).unwrap();
    let made = file.entities().map(|entity| {
        let (kind, path) = figure(&entity.specific);
        Made { tool: entity.common.layer.clone(), path: Affine::scale(unit) * path, kind, depth: None }
    });
    let made = made.collect();
    (file, made)
}

fn figure(entity: &EntityType) -> (&'static str, BezPath) {
    let point = |point: &dxf::Point| Point::new(point.x, point.y);
    match entity {
        EntityType::Line(line) => {
            let mut path = BezPath::new();
            path.move_to(point(&line.p1));
            path.line_to(point(&line.p2));
            ("LINE", path)
        }
        EntityType::Polyline(line) => {
            let vertices: Vec<(Point, f64)> = line.vertices().map(|v| (point(&v.location), v.bulge)).collect();
            ("POLYLINE", bulged(&vertices, line.is_closed()))
        }
        EntityType::LwPolyline(line) => {
            let vertices: Vec<(Point, f64)> = line.vertices.iter().map(|v| (Point::new(v.x, v.y), v.bulge)).collect();
            ("LWPOLYLINE", bulged(&vertices, line.is_closed()))
        }
        EntityType::Circle(circle) => ("CIRCLE", Circle::new(point(&circle.center), circle.radius).to_path(ARC_MM)),
        EntityType::Arc(arc) => {
            let sweep = (arc.end_angle - arc.start_angle).rem_euclid(360.0).to_radians();
            let (center, start) = (point(&arc.center), arc.start_angle.to_radians());
            let from = center + Vec2::from_angle(start) * arc.radius;
            let mut path = BezPath::new();
            path.move_to(from);
            append_arc(&mut path, center, from, sweep);
            ("ARC", path)
        }
        EntityType::Ellipse(ellipse) => {
            let major = Vec2::new(ellipse.major_axis.x, ellipse.major_axis.y);
            let radii = Vec2::new(major.hypot(), major.hypot() * ellipse.minor_axis_ratio);
            let (start, sweep) = (ellipse.start_parameter, ellipse.end_parameter - ellipse.start_parameter);
            assert!(start >= 0.0 && sweep > 0.0 && sweep <= std::f64::consts::TAU + 1e-12, "{start} {sweep}");
            let arc = Arc::new(point(&ellipse.center), radii, start, sweep, major.atan2());
            ("ELLIPSE", arc.to_path(ARC_MM))
        }
        other => panic!("{other:?}"),
    }
}

/// Follows vertices with bulges: the tangent of a quarter of the turn to the next vertex, above zero against the clock.
fn bulged(vertices: &[(Point, f64)], closed: bool) -> BezPath {
    let mut path = BezPath::new();
    path.move_to(vertices[0].0);
    let count = vertices.len();
    for place in 0..if closed { count } else { count - 1 } {
        let ((from, bulge), (to, _)) = (vertices[place], vertices[(place + 1) % count]);
        if bulge == 0.0 {
            path.line_to(to);
            continue;
        }
        let (chord, turn) = (to - from, 4.0 * bulge.atan());
        let height = 0.5 * chord.hypot() / (0.5 * turn).tan();
        let left = Vec2::new(-chord.y, chord.x) / chord.hypot();
        append_arc(&mut path, from.midpoint(to) + left * height, from, turn);
    }
    path
}

/// A plotter in software that obeys IN, IP, SC, SP, VS, FS, PU, PD and AA; panics at anything else, and at instructions longer
/// and numbers larger than it takes.
pub(crate) fn plot(bytes: &[u8], unit: f64, longest: usize, largest: f64) -> Vec<Made> {
    let (mut made, mut path): (Vec<Made>, Option<BezPath>) = (Vec::new(), None);
    let (mut pen, mut at, mut step, mut scaled) = (0, Point::ORIGIN, unit, 0.0);
    let text = std::str::from_utf8(bytes).unwrap();
    let mut finish = |path: &mut Option<BezPath>, pen: i32| {
        if let Some(path) = path.take() {
            made.push(Made { tool: format!("{pen}"), path, kind: "", depth: None });
        }
    };
    for instruction in text.split_inclusive(';').map(str::trim_start).filter(|words| !words.is_empty()) {
        assert!(instruction.len() <= longest, "{instruction} has {} bytes", instruction.len());
        let (mnemonic, rest) = instruction.strip_suffix(';').unwrap().split_at(2);
        let numbers: Vec<f64> =
            if rest.is_empty() { Vec::new() } else { rest.split(',').map(|n| n.parse().unwrap()).collect() };
        assert!(numbers.iter().all(|number| number.abs() <= largest), "{instruction}");
        match mnemonic {
            "IN" | "VS" | "FS" => {}
            "IP" => scaled = numbers[2],
            "SC" => step = unit * scaled / numbers[1],
            "SP" => {
                finish(&mut path, pen);
                pen = numbers[0] as i32;
            }
            "PU" => {
                finish(&mut path, pen);
                if let [x, y] = numbers[..] {
                    at = Point::new(x * step, y * step);
                }
            }
            "PD" => {
                assert!(pen > 0, "there is a pen in the holder");
                let path = path.get_or_insert_with(|| BezPath::from_vec(vec![kurbo::PathEl::MoveTo(at)]));
                for pair in numbers.chunks(2) {
                    at = Point::new(pair[0] * step, pair[1] * step);
                    path.line_to(at);
                }
            }
            "AA" => {
                let center = Point::new(numbers[0] * step, numbers[1] * step);
                append_arc(path.as_mut().expect("the pen is down"), center, at, numbers[2].to_radians());
                at = Affine::rotate_about(numbers[2].to_radians(), center) * at;
            }
            other => panic!("{other}"),
        }
    }
    assert!(path.is_none() && pen == 0, "the pen is put away at the end");
    made
}

/// A router in software that obeys G0 to G3; panics at moves that would cut where they must not.
pub(crate) fn route(bytes: &[u8], safe_height: f64) -> Vec<Made> {
    let mut made: Vec<Made> = Vec::new();
    let (mut at, mut z, mut unit, mut tool, mut feed) = (Point::ORIGIN, f64::NAN, f64::NAN, String::new(), 0.0);
    let text = std::str::from_utf8(bytes).unwrap();
    assert!(text.is_ascii() && text.contains("CAUTION") && text.ends_with("M2\n"));
    for line in text.lines() {
        if let Some(comment) = line.strip_prefix('(') {
            let harmless = |inner: &str| inner.is_ascii() && !inner.contains(['(', ')', ';', '%', '!', '?', '~', '*']);
            assert!(comment.strip_suffix(')').is_some_and(harmless), "{line}");
            if let Some(name) = comment.strip_prefix("tool ") {
                tool = name.split(':').next().unwrap().to_owned();
            }
            continue;
        }
        let words: Vec<(char, f64)> =
            line.split(' ').map(|word| (word.chars().next().unwrap(), word[1..].parse().unwrap())).collect();
        let get = |letter: char| words.iter().find(|(found, _)| *found == letter).map(|(_, value)| *value);
        let to = Point::new(get('X').map_or(at.x, |x| x * unit), get('Y').map_or(at.y, |y| y * unit));
        let to_z = get('Z').map_or(z, |z| z * unit);
        feed = get('F').unwrap_or(feed);
        match words[0] {
            ('G', 20.0) => unit = 25.4,
            ('G', 21.0) => unit = 1.0,
            ('G', 90.0 | 91.1 | 17.0 | 40.0 | 49.0 | 80.0 | 94.0 | 61.0) | ('M', 0.0 | 2.0) => {}
            ('G', 0.0) => {
                assert!(to == at || (z >= safe_height - 1e-9 && to_z >= safe_height - 1e-9), "{line} travels low");
                assert!(to_z > 0.0, "{line}");
            }
            ('G', 1.0) if to == at => {
                assert!(to_z < 0.0 && feed > 0.0, "{line}");
                made.push(Made {
                    tool: tool.clone(),
                    path: BezPath::from_vec(vec![kurbo::PathEl::MoveTo(at)]),
                    kind: "",
                    depth: Some(-to_z),
                });
            }
            ('G', 1.0) => {
                assert!(z < 0.0);
                made.last_mut().unwrap().path.line_to(to);
            }
            ('G', way @ (2.0 | 3.0)) => {
                assert!(z < 0.0);
                let center = at + Vec2::new(get('I').unwrap(), get('J').unwrap()) * unit;
                let (first, last) = (at - center, to - center);
                assert!(
                    (first.hypot() - last.hypot()).abs() < 0.001,
                    "{line}: radii {} {}",
                    first.hypot(),
                    last.hypot()
                );
                let turn = first.cross(last).atan2(first.dot(last));
                let turn = if way > 2.5 {
                    turn.rem_euclid(std::f64::consts::TAU)
                } else {
                    -(-turn).rem_euclid(std::f64::consts::TAU)
                };
                append_arc(&mut made.last_mut().unwrap().path, center, at, turn);
            }
            other => panic!("{other:?}"),
        }
        (at, z) = (to, to_z);
    }
    made.retain(|line| line.path.elements().len() > 1);
    made
}

/// Reads SVG for cutters.
pub(crate) fn read_svg(bytes: &[u8]) -> Vec<Made> {
    let reading = super::svg_reader::read(bytes);
    assert!(reading.texts.is_empty());
    reading.paths.into_iter().map(|(tool, path)| Made { tool, path, kind: "", depth: None }).collect()
}

/// The pieces of what was made, each with a rectangle round it, to measure distances from.
pub(crate) struct Pieces(Vec<(kurbo::Rect, PathSeg)>);

impl Pieces {
    pub(crate) fn new(made: &[Made]) -> Self {
        let all = made.iter().flat_map(Made::segments);
        Self(all.map(|segment| (segment.bounding_box().inset(NEAR_MM), segment)).collect())
    }

    /// Returns how far a point is from the nearest piece; infinite beyond a millimetre.
    pub(crate) fn distance(&self, point: Point) -> f64 {
        use kurbo::ParamCurveNearest;
        let near = self.0.iter().filter(|(bounds, _)| bounds.contains(point));
        near.map(|(_, segment)| segment.nearest(point, 1e-7).distance_sq).fold(f64::INFINITY, f64::min).sqrt()
    }
}

/// Pieces farther away than this are not measured.
const NEAR_MM: f64 = 1.0;

/// Returns places on a path, its ends among them.
pub(crate) fn places(path: &BezPath) -> impl Iterator<Item = Point> + '_ {
    path.segments().flat_map(|segment| (0..=6).map(move |place| segment.eval(f64::from(place) / 6.0)))
}
