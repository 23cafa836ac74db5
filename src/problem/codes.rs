//! The codes of all problems, each with what it means.

/// A code that problems have, and what it means whatever the numbers are.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[non_exhaustive]
pub struct ProblemCode {
    /// The fixed name, such as `thin-border`.
    pub code: &'static str,
    /// What it means, in one sentence.
    pub meaning: &'static str,
}

/// Every code of a [`super::Problem`] that this crate makes, in the order of the alphabet.
///
/// A code keeps its meaning; new ones may come. `docs/problems.md` shows an example of each.
pub const PROBLEM_CODES: &[ProblemCode] = &[
    ProblemCode { code: "arch", meaning: "An arch is not possible with that rise or radius." },
    ProblemCode { code: "area", meaning: "An area or a share of the mat cannot be read." },
    ProblemCode { code: "arrangement", meaning: "The grid of openings is not possible." },
    ProblemCode { code: "art-beyond-mat", meaning: "The art reaches beyond the edge of the mat." },
    ProblemCode { code: "art-overlaps", meaning: "Two works behind one mat overlap." },
    ProblemCode { code: "art-too-small", meaning: "The art is smaller than its opening and would fall through." },
    ProblemCode { code: "bed", meaning: "The bed of a machine has no area." },
    ProblemCode { code: "bevel", meaning: "No blade leans at such an angle." },
    ProblemCode {
        code: "board",
        meaning: "The board is not known well enough: its thickness, or which of several it is.",
    },
    ProblemCode { code: "border", meaning: "The weight of the bottom border is not possible." },
    ProblemCode {
        code: "bound",
        meaning: "A bound in a table of signs sets no limit, or has the wrong kind of number.",
    },
    ProblemCode {
        code: "closure",
        meaning: "Borders, opening and blank do not add up, or the diagonals do not fit the sides.",
    },
    ProblemCode { code: "color", meaning: "A colour of a layer is not known." },
    ProblemCode {
        code: "command",
        meaning: "A command cannot do what it is asked: a file exists or cannot be written, or options do not go together.",
    },
    ProblemCode { code: "contradiction", meaning: "Two keys say different things, or the same thing twice." },
    ProblemCode { code: "corner", meaning: "Worked corners do not fit on the sides of the opening." },
    ProblemCode { code: "corner-radius", meaning: "Rounded corners are larger than half of the shorter side." },
    ProblemCode { code: "depth", meaning: "The depth of a tool cannot be read, or is not possible." },
    ProblemCode { code: "depth-not-checked", meaning: "It cannot be told whether everything fits into the rabbet." },
    ProblemCode {
        code: "direction",
        meaning: "Travelling that way, a blade would leave a different bevel from the one that the profile says.",
    },
    ProblemCode { code: "does-not-fit", meaning: "What is asked for leaves nothing, or does not fit on the mat." },
    ProblemCode { code: "doubtful-length", meaning: "A length can be read but looks like a slip." },
    ProblemCode { code: "drift", meaning: "The guide is not parallel to the rail." },
    ProblemCode {
        code: "format",
        meaning: "The format of a machine does not exist, or does not go with the rest of its profile.",
    },
    ProblemCode { code: "groove", meaning: "A groove cannot be cut like this." },
    ProblemCode { code: "groove-too-deep", meaning: "A groove goes through the board." },
    ProblemCode { code: "heart", meaning: "A heart is too low for its width." },
    ProblemCode { code: "hidden-bevel", meaning: "The board above covers a part of a bevel." },
    ProblemCode {
        code: "hidden-by-lip",
        meaning: "The lip of the frame hides the edge of an opening, or may hide it.",
    },
    ProblemCode { code: "hides-art", meaning: "The mat hides much of the art." },
    ProblemCode { code: "impossible", meaning: "A measurement is not possible." },
    ProblemCode { code: "known", meaning: "What a profile says is known about a scale is impossible." },
    ProblemCode { code: "layer", meaning: "A layer has a name that not every program accepts." },
    ProblemCode { code: "lead", meaning: "A blade does not over-run or fall short by that much." },
    ProblemCode { code: "lead-without-stop", meaning: "The over-run of a cut was measured, but not the stop." },
    ProblemCode { code: "length", meaning: "A length cannot be read, or is not possible for its key." },
    ProblemCode { code: "longest-cut", meaning: "A sheet cannot be trimmed, because the cut is longer than the arm." },
    ProblemCode { code: "machine-bed", meaning: "The drawing is larger than the bed of the machine." },
    ProblemCode {
        code: "machine-bevel",
        meaning: "An opening gets a different bevel from the one that the job asks for, or none, or cannot be cut by the blade of the machine.",
    },
    ProblemCode { code: "machine-curve", meaning: "The board has curves, and the machine cuts only straight lines." },
    ProblemCode {
        code: "machine-depth",
        meaning: "A tool would not cut through the board, would go too far below it, or would make a groove of the wrong depth.",
    },
    ProblemCode {
        code: "machine-groove",
        meaning: "A groove differs from what the job asks for, or cannot be made by the tool of the machine.",
    },
    ProblemCode { code: "machine-label", meaning: "An opening cannot be labelled." },
    ProblemCode { code: "machine-lead-in", meaning: "An opening has no room for the lead-in of the machine." },
    ProblemCode { code: "machine-left-out", meaning: "The machine has no tool for something that the job asks for." },
    ProblemCode { code: "machine-number", meaning: "A number of a machine profile is out of range." },
    ProblemCode {
        code: "machine-order",
        meaning: "On a sheet of several mats the machine would cut the outer edges before the rest.",
    },
    ProblemCode { code: "machine-over-run", meaning: "A cut cannot over-run a corner as far as it should." },
    ProblemCode { code: "machine-thickness", meaning: "The board is thicker than the tool of the machine cuts." },
    ProblemCode {
        code: "machine-width",
        meaning: "The width of a tool is too large for an opening, or leaves its corners round.",
    },
    ProblemCode { code: "machine-words", meaning: "A profile's own line of machine code cannot be written." },
    ProblemCode { code: "meets-opening", meaning: "An ornament of one opening runs into another opening." },
    ProblemCode { code: "missing", meaning: "A measurement means nothing without another one." },
    ProblemCode { code: "name", meaning: "A name or note is too long, has control characters, or is given twice." },
    ProblemCode {
        code: "nest-size",
        meaning: "A mat is larger than a sheet of the stock, or than the part of it that the machine can reach.",
    },
    ProblemCode {
        code: "no-bevel",
        meaning: "A bevel or reveal is wider than a curve or a side of the opening allows.",
    },
    ProblemCode { code: "no-overlap", meaning: "The art is exactly as large as its opening." },
    ProblemCode {
        code: "no-parallel",
        meaning: "A groove or ruled line cannot run at that distance from the opening.",
    },
    ProblemCode {
        code: "no-scatter",
        meaning: "Measurements agree to the last digit, so nothing says how far they may be off.",
    },
    ProblemCode { code: "no-sheet", meaning: "The stock has no sheet of a board that the order needs." },
    ProblemCode { code: "no-shop", meaning: "The job names a layout of a shop file, and there is no shop file." },
    ProblemCode { code: "no-thickness", meaning: "Measured bevels mean nothing without the thickness of the board." },
    ProblemCode {
        code: "not-enough",
        meaning: "Something is missing that is needed to work out the mat or a part of it.",
    },
    ProblemCode { code: "not-inside", meaning: "An opening of a lower board is not inside one of the board above it." },
    ProblemCode { code: "nothing-measured", meaning: "A record of test pieces has no measurement." },
    ProblemCode { code: "number", meaning: "A table of signs names a number that is not known." },
    ProblemCode { code: "off-board", meaning: "An opening or an ornament reaches the edge of the board." },
    ProblemCode { code: "offset", meaning: "The offset of a scale is more than its reach." },
    ProblemCode { code: "openings-overlap", meaning: "Two openings run into each other." },
    ProblemCode { code: "order", meaning: "The order of work of a machine is not possible." },
    ProblemCode { code: "origin", meaning: "The axes of a machine contradict each other." },
    ProblemCode { code: "ornaments-meet", meaning: "Two ornaments run into each other." },
    ProblemCode { code: "out-of-range", meaning: "A length is not possible for its key." },
    ProblemCode { code: "outlier", meaning: "A measurement is farther from the others than chance can explain." },
    ProblemCode { code: "outline", meaning: "An outline encloses no area, or crosses or touches itself." },
    ProblemCode { code: "over-run", meaning: "The keys of the over-run of a machine contradict each other." },
    ProblemCode { code: "paper", meaning: "The paper of a printer is not known." },
    ProblemCode { code: "part", meaning: "A part of the package is said to be there, but not which." },
    ProblemCode { code: "path", meaning: "A path has a point or an arc that is not possible." },
    ProblemCode {
        code: "picture",
        meaning: "A picture file cannot be used, or its proportions differ from those of its art.",
    },
    ProblemCode { code: "polygon", meaning: "A polygon crosses itself, or has too few or too many corners." },
    ProblemCode {
        code: "poor-hold",
        meaning: "The lip of the frame holds little of a mat that is pushed to one side.",
    },
    ProblemCode {
        code: "price",
        meaning: "Prices in the stock cannot be read, or are given for only some sheets of a board.",
    },
    ProblemCode { code: "printer-scale", meaning: "The printer prints too large or too small." },
    ProblemCode { code: "quantity", meaning: "That many mats or blanks cannot be made in one go." },
    ProblemCode { code: "reach", meaning: "A scale has no length." },
    ProblemCode { code: "ruled", meaning: "A band has no width." },
    ProblemCode { code: "ruler", meaning: "A ruler in this unit cannot have that many parts." },
    ProblemCode { code: "short-bar", meaning: "A bar is too short to show how true the printer is." },
    ProblemCode {
        code: "slip-sheet",
        meaning: "The slip sheet is too thick, or the blade goes deeper than its thickness.",
    },
    ProblemCode { code: "slips-out", meaning: "The mat can slip out behind the lip of the frame." },
    ProblemCode {
        code: "sliver",
        meaning: "A part of the opening, or of the board beside it, is narrower than the board is thick.",
    },
    ProblemCode { code: "square", meaning: "An arm is never that far out of square." },
    ProblemCode { code: "stages", meaning: "No level of cuts is allowed." },
    ProblemCode { code: "star", meaning: "A star cannot have that many points, or inner corners that far out." },
    ProblemCode { code: "stretch", meaning: "A scale never stretches that much." },
    ProblemCode { code: "svg", meaning: "An outline cannot be taken from the SVG file." },
    ProblemCode { code: "thickness", meaning: "The thickness of a part of the package is not clear." },
    ProblemCode {
        code: "thin-bar",
        meaning: "The bar between two openings is narrower than can be handled; `limits.bar` sets the bound.",
    },
    ProblemCode {
        code: "thin-border",
        meaning: "A border is narrower than can be handled; `limits.border` sets the bound.",
    },
    ProblemCode { code: "tolerance", meaning: "The tolerance is not one that a machine can cut with." },
    ProblemCode { code: "too-deep", meaning: "What lies in the rabbet is deeper than the rabbet." },
    ProblemCode { code: "too-few-cuts", meaning: "A scale was measured too few times to determine all of it." },
    ProblemCode { code: "too-much", meaning: "There are more ornaments than can be cut or drawn." },
    ProblemCode {
        code: "too-near-opening",
        meaning: "An ornament is so close to its opening that it runs into the bevel.",
    },
    ProblemCode { code: "tools", meaning: "A machine has no tool for what its profile asks for." },
    ProblemCode { code: "touches-glass", meaning: "Art that stands out from its mount touches the glass." },
    ProblemCode { code: "touches-mat", meaning: "Art that stands out from its mount touches the mat." },
    ProblemCode { code: "trim", meaning: "A trim is not wider than the kerf, or leaves nothing of a sheet." },
    ProblemCode {
        code: "trimmed",
        meaning: "A board or an ornament leaves out a part of an opening that it has no room for, or a curve runs straight there.",
    },
    ProblemCode { code: "turn", meaning: "An opening cannot be turned by that angle." },
    ProblemCode { code: "unit", meaning: "The unit of a machine is not possible." },
    ProblemCode { code: "unknown-colour", meaning: "A colour is not known by that name." },
    ProblemCode { code: "unknown-list", meaning: "There is no list of standard sizes of that name." },
    ProblemCode { code: "unknown-opening", meaning: "The board has no opening of that number." },
    ProblemCode { code: "unknown-pattern", meaning: "There is no pattern of ruled lines of that name." },
    ProblemCode {
        code: "unreadable",
        meaning: "The file cannot be read: a slip in its syntax, a key that does not exist, a value of the wrong kind.",
    },
    ProblemCode {
        code: "unusual-length",
        meaning: "A length is possible but outside the usual range of its key; the unit may be wrong.",
    },
];

impl ProblemCode {
    /// Finds what a code means.
    #[must_use]
    pub fn by_name(code: &str) -> Option<&'static Self> {
        PROBLEM_CODES.iter().find(|known| known.code == code)
    }
}
