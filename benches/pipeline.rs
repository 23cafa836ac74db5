//! Times each step from a job file to the bytes of every format: `cargo bench --bench pipeline`.

#![allow(clippy::expect_used, reason = "the jobs below are sound, or there is nothing to time")]

use std::fmt::{self, Write};

use backline::checked::Checked;
use backline::formats::{Exporter, Options, Source, drawing_formats};
use backline::geometry::Outline;
use backline::job::{Syntax, WrittenJob};
use backline::machine::{Machine, STARTERS, Starter};
use backline::mat::Mat;
use backline::tolerance::{CURVE_FIT_MM, FLATTEN_MM};
use backline::view::{VIEWS, View};
use divan::{Bencher, black_box};
use kurbo::{Point, Vec2};

fn main() {
    divan::main();
}

const SAMPLES: [Sample; 3] = [Sample::Rectangle, Sample::TwentyFour, Sample::Ellipse];

/// A job to be timed.
#[derive(Clone, Copy, Debug)]
enum Sample {
    /// One rectangle.
    Rectangle,
    /// Rectangles, ellipses, octagons and free polygons in four rows of six, placed by hand.
    TwentyFour,
    /// One ellipse.
    Ellipse,
}

impl Sample {
    fn text(self) -> String {
        match self {
            Self::Rectangle => "unit = \"in\"\nouter = [16, 20]\nopening.size = [10, 14]\n".to_owned(),
            Self::Ellipse => {
                "unit = \"in\"\nouter = [16, 20]\nopening = { shape = \"ellipse\", size = [10, 14] }\n".to_owned()
            }
            Self::TwentyFour => twenty_four(),
        }
    }

    fn job(self) -> WrittenJob {
        WrittenJob::read(&self.text(), Syntax::Toml).expect("a job")
    }

    fn resolved(self) -> Checked<Mat> {
        self.job().resolve()
    }
}

fn twenty_four() -> String {
    let shapes = [
        "size = [90, 70]",
        "shape = \"ellipse\"\nsize = [90, 60]",
        "shape = { regular_polygon = { across_flats = 70 } }",
        "shape = { polygon = { corners = [[0, 20], [40, 0], [90, 10], [60, 35], [80, 70], [10, 65]] } }",
    ];
    let mut text = "unit = \"mm\"\nouter = [800, 550]\n".to_owned();
    for (place, shape) in shapes.iter().cycle().take(24).enumerate() {
        let (left, top) = (60 + 115 * (place % 6), 60 + 110 * (place / 6));
        write!(text, "\n[[opening]]\n{shape}\nat = {{ left = {left}, top = {top} }}\n").expect("memory");
    }
    text
}

fn mat(resolved: &Checked<Mat>) -> &Mat {
    resolved.sound().expect("a sound job")
}

#[divan::bench(args = SAMPLES)]
fn read(bencher: Bencher<'_, '_>, sample: Sample) {
    let text = sample.text();
    bencher.bench(|| WrittenJob::read(black_box(&text), Syntax::Toml));
}

#[divan::bench(args = SAMPLES)]
fn resolve(bencher: Bencher<'_, '_>, sample: Sample) {
    let job = sample.job();
    bencher.bench(|| black_box(&job).resolve());
}

/// A view of a sample.
#[derive(Clone, Copy)]
struct Seen(Sample, &'static View);

impl fmt::Display for Seen {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{:?}, {}", self.0, self.1.name)
    }
}

fn seen() -> impl Iterator<Item = Seen> {
    SAMPLES.into_iter().flat_map(|sample| VIEWS.iter().map(move |view| Seen(sample, view)))
}

#[divan::bench(args = seen())]
fn draw(bencher: Bencher<'_, '_>, Seen(sample, view): Seen) {
    let resolved = sample.resolved();
    let mat = mat(&resolved);
    bencher.bench(|| mat.layers().iter().map(|layer| black_box(view).draw(mat, layer)).collect::<Vec<_>>());
}

/// A back template of a sample in a format.
#[derive(Clone, Copy)]
struct Written(Sample, &'static dyn Exporter);

impl fmt::Display for Written {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{:?}, {}", self.0, self.1.name())
    }
}

fn written() -> impl Iterator<Item = Written> {
    SAMPLES.into_iter().flat_map(|sample| drawing_formats().map(move |format| Written(sample, format)))
}

#[divan::bench(args = written())]
fn export(bencher: Bencher<'_, '_>, Written(sample, format): Written) {
    let resolved = sample.resolved();
    let mat = mat(&resolved);
    let layer = mat.layers().first().expect("a board");
    let drawing = View::by_name("back").expect("the view").draw(mat, layer);
    let options = Options::default();
    bencher.bench(|| format.export(&Source::new(black_box(&drawing), &options)));
}

/// A sample for a machine that comes with the program.
#[derive(Clone, Copy)]
struct Cut(Sample, &'static Starter);

impl Cut {
    fn machine(self) -> Machine {
        self.1.machine()
    }
}

impl fmt::Display for Cut {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{:?}, {}", self.0, self.1.name)
    }
}

/// Every sample for every machine that can cut it.
fn cut() -> impl Iterator<Item = Cut> {
    let all = SAMPLES.into_iter().flat_map(|sample| STARTERS.iter().map(move |starter| Cut(sample, starter)));
    all.filter(|cut| {
        let resolved = cut.0.resolved();
        let mat = mat(&resolved);
        let program = mat.layers().first().and_then(|layer| cut.machine().plan(mat, layer).value);
        program.is_some_and(|program| !program.passes.is_empty())
    })
}

/// From the resolved board to the order of the strokes.
#[divan::bench(args = cut())]
fn plan(bencher: Bencher<'_, '_>, cut: Cut) {
    let (resolved, machine) = (cut.0.resolved(), cut.machine());
    let mat = mat(&resolved);
    let layer = mat.layers().first().expect("a board");
    bencher.bench(|| black_box(&machine).plan(mat, layer));
}

/// From the strokes to the bytes; the throughput is that of the bytes of one file.
#[divan::bench(args = cut())]
fn write_program(bencher: Bencher<'_, '_>, cut: Cut) {
    let (resolved, machine) = (cut.0.resolved(), cut.machine());
    let mat = mat(&resolved);
    let layer = mat.layers().first().expect("a board");
    let program = machine.plan(mat, layer).value.expect("a program");
    let Some(format) = machine.format().value else { return };
    let bytes = format.write(&program).map_or(0, |written| written.bytes.len());
    bencher.counter(divan::counter::BytesCount::new(bytes)).bench(|| format.write(black_box(&program)));
}

/// An outline to be moved sideways and reduced to simpler curves.
#[derive(Clone, Copy, Debug)]
enum Figure {
    Circle,
    /// An ellipse ten times as long as wide.
    FlatEllipse,
    /// What a bevel makes of that ellipse: its parallel curve.
    Parallel,
    /// Forty corners, every second one pointing inwards.
    Star,
}

const FIGURES: [Figure; 4] = [Figure::Circle, Figure::FlatEllipse, Figure::Parallel, Figure::Star];
/// Width in millimetres of the bevel of a 4-ply board at 45 degrees.
const BEVEL: f64 = 1.4;

impl Figure {
    fn outline(self) -> Outline {
        let ellipse = |rx, ry| Outline::ellipse(Point::new(200.0, 200.0), rx, ry, 0.0);
        let outline = match self {
            Self::Circle => ellipse(150.0, 150.0),
            Self::FlatEllipse => ellipse(150.0, 15.0),
            Self::Parallel => ellipse(150.0, 15.0).and_then(|outline| outline.offset(BEVEL).ok()),
            Self::Star => {
                let spoke = |k: i32| Vec2::from_angle(f64::from(k) * 9f64.to_radians());
                let corners: Vec<Point> =
                    (0..40).map(|k| (spoke(k) * if k % 2 == 0 { 150.0 } else { 120.0 }).to_point()).collect();
                Outline::polygon(&corners)
            }
        };
        outline.expect("an outline")
    }
}

#[divan::bench(args = FIGURES)]
fn offset(bencher: Bencher<'_, '_>, figure: Figure) {
    let outline = figure.outline();
    bencher.bench(|| black_box(&outline).offset(BEVEL));
}

#[divan::bench(args = FIGURES)]
fn flatten(bencher: Bencher<'_, '_>, figure: Figure) {
    let outline = figure.outline();
    bencher.bench(|| black_box(&outline).flatten(FLATTEN_MM));
}

#[divan::bench(args = FIGURES)]
fn to_bezier(bencher: Bencher<'_, '_>, figure: Figure) {
    let outline = figure.outline();
    bencher.bench(|| black_box(&outline).to_bezier(CURVE_FIT_MM));
}
