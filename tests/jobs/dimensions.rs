//! Sizes as data: complete, true to the numbers that the job gives, and ready to be given.
#![allow(clippy::unwrap_used, clippy::panic, clippy::indexing_slicing, reason = "a test fails by panicking")]

use std::collections::{BTreeMap, BTreeSet};

use crate::common::framed_jobs::framed_job;
use crate::common::random_jobs::random_job;
use backline::dimensions::{Dimension, DimensionKind, DimensionSource};
use backline::length::{Unit, parse};
use backline::{Job, Mat};

fn jobs() -> impl Iterator<Item = (String, Job, Mat)> {
    let texts = (0..120).map(|seed| (format!("framed job {seed}"), framed_job(seed)));
    let texts = texts.chain((0..60).map(|seed| (format!("random job {seed}"), random_job(seed))));
    texts.filter_map(|(name, text)| {
        let job = Job::parse(&text).unwrap_or_else(|error| panic!("{name}: {error}\n{text}"));
        let mat = job.mat().ok()?;
        Some((name, job, mat))
    })
}

fn kind(size: &Dimension) -> String {
    let data = serde_json::to_value(size).unwrap();
    data["kind"]["what"].as_str().unwrap().to_owned()
}

/// The number at a path of a job, as the TOML crate reads the text.
fn number_at(text: &str, path: &str) -> Option<f64> {
    let table: toml::Table = text.parse().unwrap();
    let unit = if table.get("unit")?.as_str()? == "in" { Unit::Inch } else { Unit::Millimetre };
    let mut at = &toml::Value::Table(table);
    for step in path.split('.') {
        let (key, index) = step.split_once('[').map_or((step, None), |(key, rest)| (key, rest.strip_suffix(']')));
        at = match (at.get(key), at) {
            (Some(found), _) => found,
            // A short form: `border = 3` has `border.all`.
            (None, toml::Value::String(_) | toml::Value::Array(_)) => at,
            _ => return None,
        };
        if let Some(index) = index {
            let index: usize = index.split(']').next()?.parse().ok()?;
            at = match at {
                toml::Value::Array(items) => items.get(index)?,
                other => other,
            };
        }
    }
    let length = match at {
        toml::Value::String(text) => parse(text, Some(unit)).ok()?,
        toml::Value::Integer(number) => parse(&number.to_string(), Some(unit)).ok()?,
        toml::Value::Float(number) => parse(&number.to_string(), Some(unit)).ok()?,
        _ => return None,
    };
    Some(length)
}

#[test]
fn what_counts_as_given_is_the_number_of_the_text() {
    let mut given = BTreeMap::new();
    let mut sources = BTreeMap::new();
    for (name, job, _) in jobs() {
        for size in job.dimensions() {
            let ends = size.from.distance(size.to);
            assert!((ends - size.mm.abs()).abs() < 1e-9, "{name}: {size:?}");
            assert!((size.figure.distance(size.from) - size.figure.distance(size.to)).abs() < 1e-9, "{name}: {size:?}");
            let source = match &size.source {
                DimensionSource::Given(path) => {
                    let Some(number) = number_at(job.text(), &path.to_string()) else {
                        panic!("{name}: {path} of {size:?}\n{}", job.text())
                    };
                    // What is given for both sides together is half of it on each.
                    let halves = if path.to_string().ends_with("_total") { 2.0 } else { 1.0 };
                    let difference = (number / halves - size.mm.abs()).abs();
                    assert!(difference < 1e-6, "{name}: {number} mm at {path}, {size:?}");
                    *given.entry(kind(&size)).or_insert(0) += 1;
                    "given"
                }
                DimensionSource::Default => "default",
                _ => "worked out",
            };
            *sources.entry(source).or_insert(0) += 1;
        }
    }
    println!("{given:?}, {sources:?}");
    for kind in ["rabbet", "border", "opening", "art", "overlap", "bar", "reveal", "lip", "moulding"] {
        assert!(given.contains_key(kind), "{kind}: {given:?}");
    }
    assert!(sources.len() == 3 && sources.values().all(|count| *count > 50), "{sources:?}");
}

/// Everything that a mat has is among its sizes.
#[test]
fn nothing_of_a_mat_is_left_out() {
    for (name, job, mat) in jobs() {
        let sizes = job.dimensions();
        let count = |pick: &dyn Fn(DimensionKind) -> bool| sizes.iter().filter(|size| pick(size.kind)).count();
        assert_eq!(count(&|kind| matches!(kind, DimensionKind::Outer { .. })), 2, "{name}");
        let frame = mat.package().frame.as_ref();
        let of_frame =
            |kind| matches!(kind, DimensionKind::Rabbet { .. } | DimensionKind::FrameSight { .. } | DimensionKind::Lip);
        assert_eq!(count(&of_frame), frame.map_or(0, |_| 5), "{name}");
        let of_moulding = |kind| matches!(kind, DimensionKind::FrameOutside { .. } | DimensionKind::Moulding);
        assert_eq!(count(&of_moulding), frame.and_then(|frame| frame.moulding.as_ref()).map_or(0, |_| 3), "{name}");
        let openings: usize = mat.groups().iter().map(|group| group.numbers.len()).sum();
        assert_eq!(count(&|kind| matches!(kind, DimensionKind::Opening { .. })), 2 * openings, "{name}");
        assert_eq!(count(&|kind| matches!(kind, DimensionKind::Art { .. })), 2 * mat.art().len(), "{name}");
        assert_eq!(count(&|kind| matches!(kind, DimensionKind::Overlap { .. })), 4 * mat.art().len(), "{name}");
        let arranged = mat.groups().iter().filter(|group| group.by_hand.len() < group.numbers.len()).count();
        let by_hand: usize = mat.groups().iter().map(|group| group.by_hand.len()).sum();
        assert_eq!(count(&|kind| matches!(kind, DimensionKind::Border { .. })), 4 * (arranged + by_hand), "{name}");
        let cut: usize = mat.layers().iter().map(|layer| layer.openings.len()).sum();
        assert_eq!(count(&|kind| matches!(kind, DimensionKind::CutBorder { .. })), 4 * cut, "{name}");
        let reveals: usize = mat.groups().iter().map(|group| group.boards.len() - 1).sum();
        assert_eq!(count(&|kind| matches!(kind, DimensionKind::Reveal { .. })), reveals, "{name}");
    }
}

/// A size that the job gives can be given again as the number that is shown, and the same mat follows.
#[test]
fn sizes_can_be_given_as_they_are() {
    let mut set = BTreeMap::new();
    for (name, job, mat) in jobs().step_by(3) {
        let mut paths = BTreeSet::new();
        for size in job.dimensions() {
            let DimensionSource::Given(path) = &size.source else { continue };
            // Several sizes may be given by one key.
            if *path != size.key || !job.has(&path.to_string()) || !paths.insert(path.to_string()) {
                continue;
            }
            let mut same = job.clone();
            same.set(&path.to_string(), format!("{} mm", size.mm.abs()))
                .unwrap_or_else(|error| panic!("{name}: {path}: {error}\n{}", job.text()));
            let again = same.mat().unwrap_or_else(|error| panic!("{name}: {path}: {error}\n{}", same.text()));
            for (a, b) in mat.layers().iter().zip(again.layers()).flat_map(|(a, b)| a.openings.iter().zip(&b.openings))
            {
                let (a, b) = (a.sight.bounds(), b.sight.bounds());
                let off = (a.origin() - b.origin()).hypot().max((a.size() - b.size()).to_vec2().hypot());
                assert!(off < 1e-6, "{name}: {path}: {off}\n{}", same.text());
            }
            *set.entry(kind(&size)).or_insert(0) += 1;
        }
    }
    println!("{set:?}");
    assert!(set.values().sum::<usize>() > 200, "{set:?}");
}
