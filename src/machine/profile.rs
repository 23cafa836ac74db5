//! A machine with nothing left to decide: every length in millimetres, a tool for each kind of work.

use kurbo::{Size, Vec2};

use super::written::{
    Corner, Curves, Head, Labels, LargeNumbers, ModalWord, PathMode, Round, SideUp, Toward, Turn, Work,
};
use crate::drawing::Role;
use crate::geometry::Flattening;
use crate::mat::Direction;

/// A machine that cuts boards or draws on them.
#[derive(Debug, Clone, PartialEq)]
pub struct Machine {
    /// Name by which it is chosen.
    pub name: String,
    /// What it is, in a sentence.
    pub about: String,
    /// Name of the format of its files.
    pub format: String,
    /// What one unit in its files stands for.
    pub unit: MachineUnit,
    /// Whether the unit is part of the file name.
    pub unit_in_name: bool,
    /// The side of the board that lies up.
    pub side_up: SideUp,
    /// Where its coordinates are zero and which way they run.
    pub origin: Origin,
    /// Its bed in millimetres along its own x and y; `None` is unlimited.
    pub bed: Option<Size>,
    /// Whether a board is laid on the bed turned by a quarter.
    pub turn: Turn,
    /// What curves become.
    pub curves: Curves,
    /// Largest distance in millimetres between a curve and what is written for it.
    pub tolerance: f64,
    /// On which side of a curve the chords lie that stand for it.
    pub flattening: Flattening,
    /// Strokes of a curve shorter than this many millimetres are joined to the next.
    pub smallest_segment: f64,
    /// How the head follows an outline.
    pub head: Head,
    /// Which way round the head travels at a standard bevel.
    pub standard: Round,
    /// Which way round the head travels at a reverse bevel.
    pub reverse: Round,
    /// Which way round the head travels at a straight cut and at the outer edge.
    pub straight: Round,
    /// How far cuts run on beyond corners.
    pub over_run: OverRun,
    /// Length in millimetres of the stroke that leads from the waste into a closed cut.
    pub lead_in: f64,
    /// How far in millimetres a closed cut runs on beyond its start.
    pub overlap: f64,
    /// What is written into the pieces that fall out.
    pub labels: Labels,
    /// Length in millimetres of a line beside the board that is checked with a ruler.
    pub reference_line: Option<f64>,
    /// The tools in the order in which they work; at most one for each kind of work.
    pub tools: Vec<Tool>,
    /// What only plotters have.
    pub plotter: Plotter,
    /// What only routers have.
    pub router: Router,
    /// What only files in DXF have.
    pub dxf: DxfChoices,
}

/// The tool for one kind of work.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct Tool {
    /// What it does.
    pub work: Work,
    /// Number of the pen or tool.
    pub number: u16,
    /// Name of the layer in drawings: printable ASCII without the signs that DXF forbids.
    pub layer: String,
    /// Red, green and blue, each from 0 to 255.
    pub color: [u8; 3],
    /// Number in the DXF colour table.
    pub dxf_color: u8,
    /// Speed, passed through.
    pub speed: Option<f64>,
    /// Force, passed through.
    pub force: Option<f64>,
    /// Depth in millimetres below the surface.
    pub depth: f64,
}

/// Where the coordinates of a machine are zero and which way they run, seen from above.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct Origin {
    /// The corner of the bed, or its centre, with the coordinates zero.
    pub at: Corner,
    /// Coordinates in millimetres of the same corner, or centre, of the board.
    pub offset: Vec2,
    /// Where x grows.
    pub x: Toward,
    /// Where y grows; across x.
    pub y: Toward,
}

/// How far cuts run on beyond the corners of openings. All lengths are millimetres.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct OverRun {
    /// Whether there is any.
    pub follows_bevel: bool,
    /// The lead of the blade, added at every corner.
    pub lead: f64,
    /// How far a cut may at most run into the board beyond its own bevel.
    pub into_bar: f64,
}

/// What only plotters have.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[non_exhaustive]
pub struct Plotter {
    /// The largest number that the device reads.
    pub largest_number: u32,
    /// What is done with a drawing that needs larger ones.
    pub beyond: LargeNumbers,
    /// The longest instruction in bytes that its buffer holds.
    pub longest_instruction: usize,
}

/// What only routers have.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct Router {
    /// Height in millimetres above the surface at which the tool travels.
    pub safe_height: f64,
    /// Speed into the material in file units a minute; `None` is that of the tool.
    pub plunge_speed: Option<f64>,
    /// How the controller passes from one move to the next.
    pub path_mode: PathMode,
    /// Settings that the file does not make, since the controller refuses their words.
    pub left_out_words: Vec<ModalWord>,
}

/// What only files in DXF have.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[non_exhaustive]
pub struct DxfChoices {
    /// Whether the header has the variables of the unit, `$INSUNITS` and `$MEASUREMENT`.
    pub unit_variables: bool,
    /// Whether every line and arc is an entity of its own, and not part of a polyline.
    pub separate: bool,
}

/// The length that one unit of a file stands for.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct MachineUnit {
    /// Its name as in the profile: `mm`, `in`, `0.025 mm`.
    pub name: String,
    /// Its length in millimetres, above zero.
    pub millimetres: f64,
}

impl MachineUnit {
    /// Returns the unit in words for a comment, for example `mm (one unit is one millimetre)`.
    #[must_use]
    pub fn describe(&self) -> String {
        match self.name.as_str() {
            "mm" => "mm (one drawing unit is one millimetre)".to_owned(),
            "cm" => "cm (one drawing unit is one centimetre)".to_owned(),
            "in" => "in (one drawing unit is one inch)".to_owned(),
            other => format!("{other} (one drawing unit is {other})"),
        }
    }

    /// Returns the unit as a part of a file name: letters, figures and points.
    #[must_use]
    pub fn file_part(&self) -> String {
        self.name.chars().filter(|letter| letter.is_ascii_alphanumeric() || *letter == '.').collect()
    }
}

impl Machine {
    /// Returns the place of a kind of work among the tools; `None` if the machine does not do it.
    #[must_use]
    pub fn tool(&self, work: Work) -> Option<usize> {
        self.tools.iter().position(|tool| tool.work == work)
    }

    /// Returns which way round the head travels at a bevel.
    #[must_use]
    pub const fn round(&self, bevel: Direction) -> Round {
        match bevel {
            Direction::Standard => self.standard,
            Direction::Reverse => self.reverse,
            Direction::Straight => self.straight,
        }
    }
}

impl Work {
    /// Every kind of work in the usual order: pen work on the whole board, grooves, openings, and the outer edge last.
    pub const ALL: [Self; 8] =
        [Self::Register, Self::Wash, Self::Ruling, Self::Label, Self::Scale, Self::Groove, Self::Cut, Self::Edge];

    /// Returns the role of its marks in drawings.
    #[must_use]
    pub const fn role(self) -> Role {
        match self {
            Self::Register => Role::Register,
            Self::Wash => Role::Wash,
            Self::Ruling => Role::Ruling,
            Self::Label => Role::Label,
            Self::Scale => Role::Scale,
            Self::Groove => Role::Groove,
            Self::Cut => Role::Cut,
            Self::Edge => Role::Edge,
        }
    }

    /// Returns its name as in a profile.
    #[must_use]
    pub const fn name(self) -> &'static str {
        self.role().name()
    }
}

impl ModalWord {
    /// Returns the word as it stands in a file.
    #[must_use]
    pub const fn text(self) -> &'static str {
        match self {
            Self::G20 => "G20",
            Self::G21 => "G21",
            Self::G90 => "G90",
            Self::G91p1 => "G91.1",
            Self::G17 => "G17",
            Self::G40 => "G40",
            Self::G49 => "G49",
            Self::G80 => "G80",
            Self::G94 => "G94",
        }
    }
}

impl Toward {
    /// Returns the direction as a unit vector on a sheet seen from above, y down.
    #[must_use]
    pub const fn vector(self) -> Vec2 {
        match self {
            Self::Right => Vec2::new(1.0, 0.0),
            Self::Left => Vec2::new(-1.0, 0.0),
            Self::Up => Vec2::new(0.0, -1.0),
            Self::Down => Vec2::new(0.0, 1.0),
        }
    }

    /// Returns its name as in a profile.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Right => "right",
            Self::Left => "left",
            Self::Up => "up",
            Self::Down => "down",
        }
    }
}
