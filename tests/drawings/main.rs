//! Views and formats: golden files, and what other readers make of them.

#[path = "../common/mod.rs"]
mod common;

mod dimension_names;
mod face_work;
mod formats;
mod golden;
mod mirroring;
mod not_finite;
mod package_golden;
mod pdf_pages;
mod picture;
mod print_golden;
mod readback_dxf;
mod readback_golden;
mod readback_hpgl;
mod readback_pdf;
mod readback_polylines;
mod readback_svg;
mod tiling;
mod verify;
mod workshop_golden;
mod workshop_sheets;
