//! What several test programs share: jobs, random numbers, independent readers of our files.
#![allow(dead_code, reason = "each test program uses a part of it")]
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::indexing_slicing,
    reason = "a test may fail by panic"
)]
#![allow(clippy::float_cmp, reason = "readers compare what was written")]

pub(crate) mod bench_replay;
pub(crate) mod drawn_cuts;
pub(crate) mod dxf_reader;
pub(crate) mod every_plan;
pub(crate) mod fitted;
pub(crate) mod framed_jobs;
pub(crate) mod goldens;
pub(crate) mod hand_cutter;
pub(crate) mod hpgl_reader;
pub(crate) mod jobs;
pub(crate) mod kept;
pub(crate) mod machine_goldens;
pub(crate) mod machine_jobs;
pub(crate) mod machine_reader;
pub(crate) mod marks;
pub(crate) mod mutations;
pub(crate) mod nests;
pub(crate) mod pdf_reader;
pub(crate) mod polylines_reader;
pub(crate) mod program_text;
pub(crate) mod random;
pub(crate) mod random_jobs;
pub(crate) mod reading;
pub(crate) mod reversed_text;
pub(crate) mod samples;
pub(crate) mod shapes;
pub(crate) mod strokes;
pub(crate) mod svg_reader;
