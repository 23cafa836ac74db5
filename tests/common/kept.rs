//! Golden folders: every file in them is byte for byte what is made today, none is missing and none is left over.
//!
//! `BACKLINE_BLESS=1 cargo test golden` writes what differs, removes what is left over, and fails if it changed anything:
//! a blessing is never mistaken for a run that found nothing.
#![allow(clippy::unwrap_used, clippy::panic, reason = "a test fails by panicking")]

use std::collections::BTreeSet;
use std::fs;
use std::path::Path;

/// What golden folders hold, against what is made.
pub(crate) struct Kept {
    blessing: bool,
    complaints: Vec<String>,
}

impl Kept {
    pub(crate) fn new() -> Self {
        let blessing = std::env::var_os("BACKLINE_BLESS").is_some_and(|value| !value.is_empty() && value != "0");
        Kept { blessing, complaints: Vec::new() }
    }

    /// Compares the files of a folder, those in folders within it too; files that are `given` are written by hand.
    pub(crate) fn compare<N: Into<String>>(
        &mut self,
        folder: &Path,
        given: impl Fn(&str) -> bool,
        made: impl IntoIterator<Item = (N, Vec<u8>)>,
    ) {
        self.compare_by(folder, given, made, |_, kept, made| difference(kept, made));
    }

    /// Compares by a rule that says how two files of one name differ.
    pub(crate) fn compare_by<N: Into<String>>(
        &mut self,
        folder: &Path,
        given: impl Fn(&str) -> bool,
        made: impl IntoIterator<Item = (N, Vec<u8>)>,
        differ: impl Fn(&str, &[u8], &[u8]) -> Option<String>,
    ) {
        let mut left_over = BTreeSet::new();
        list(folder, "", &mut left_over);
        left_over.retain(|name| !given(name));
        for (name, bytes) in made {
            let name: String = name.into();
            let path = folder.join(&name);
            let complaint = match left_over.remove(&name) {
                false => Some("is missing".to_owned()),
                true => differ(&name, &fs::read(&path).unwrap(), &bytes),
            };
            if let Some(complaint) = complaint {
                if self.blessing {
                    fs::write(&path, bytes).unwrap();
                }
                self.complaints.push(format!("{} {complaint}", path.display()));
            }
        }
        for name in left_over {
            let path = folder.join(name);
            if self.blessing {
                fs::remove_file(&path).unwrap();
            }
            self.complaints.push(format!("{} is left over", path.display()));
        }
    }

    /// Fails if anything differed, or was blessed.
    pub(crate) fn end(self) {
        let cure = match self.blessing {
            true => "blessed: look at what changed before you keep it, then run the tests again",
            false => "if the change is meant: BACKLINE_BLESS=1 cargo test golden",
        };
        assert!(self.complaints.is_empty(), "{}\n{cure}", self.complaints.join("\n"));
    }
}

/// Adds the files in a folder and in those within it, by their paths from the outermost one; a README is for people.
fn list(folder: &Path, before: &str, names: &mut BTreeSet<String>) {
    for entry in fs::read_dir(folder).unwrap() {
        let entry = entry.unwrap();
        let name = format!("{before}{}", entry.file_name().into_string().unwrap());
        if entry.path().is_dir() {
            list(&entry.path(), &format!("{name}/"), names);
        } else if name != "README.md" {
            names.insert(name);
        }
    }
}

/// Describes the first line that differs.
pub(crate) fn difference(kept: &[u8], made: &[u8]) -> Option<String> {
    if kept == made {
        return None;
    }
    let line = kept.split(|byte| *byte == b'\n').zip(made.split(|byte| *byte == b'\n')).position(|(a, b)| a != b);
    Some(match line {
        Some(line) => format!("differs in line {}", line + 1),
        None => format!("has {} bytes, {} were made", kept.len(), made.len()),
    })
}
