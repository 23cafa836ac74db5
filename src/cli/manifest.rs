//! The list of what a batch has drawn, by which another run goes on where the first one ended.
//!
//! A line is added as soon as the files of a job are in their places, so that the list never says more than is true,
//! whenever the program is stopped. At the end of a run it is written anew: a line for each job, in the order of the run.

use std::collections::BTreeMap;
use std::fs::{File, OpenOptions, TryLockError};
use std::io::{self, Read, Write};
use std::path::{Path, PathBuf};

use serde::{Deserialize, Serialize};
use sha2::{Digest, Sha256};

use crate::fault::Certain;
use crate::job::FoundProblem;
use crate::mat::OwnData;
use crate::program::WorkAccount;

use super::files::is_input;
use super::output::write_whole;

/// Name and version of a line; another version means that a key changed its meaning or went away.
const SCHEMA: &str = "backline-drawn/1";

/// What became of a job.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub(super) struct ManifestEntry {
    #[cfg_attr(feature = "schema", schemars(extend("const" = SCHEMA)))]
    schema: String,
    /// What the user calls the job: its file, or file and line.
    pub(super) job: String,
    /// Folder and start of the names of its drawings: by it a job is known from run to run.
    pub(super) output: String,
    /// What the job carries along, if anything.
    #[serde(default, skip_serializing_if = "OwnData::is_empty")]
    pub(super) own: OwnData,
    /// The `$schema` of the job, if it names one.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub(super) job_schema: String,
    /// How many such mats are to be made.
    pub(super) quantity: u32,
    /// Whether all its files are in their places.
    pub(super) drawn: bool,
    /// SHA-256 of all that its files depend on: the job, the shop file, the files it names, the options and the version of the program.
    pub(super) source: String,
    /// The shop file from which the job takes what it leaves out, if there is one.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub(super) shop: Option<ManifestShop>,
    /// Its files, in the order in which they were drawn.
    pub(super) files: Vec<WrittenFile>,
    /// What `check` says of the job.
    pub(super) problems: Vec<FoundProblem>,
    /// What is to be known about single files, or why there are none.
    pub(super) notes: Vec<String>,
}

/// The shop file of a job.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub(super) struct ManifestShop {
    pub(super) file: String,
    /// Of its text.
    pub(super) sha256: String,
}

/// A file that was written.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub(super) struct WrittenFile {
    pub(super) path: String,
    pub(super) bytes: u64,
    pub(super) sha256: String,
    /// What the file makes of the job, what it makes otherwise, and what it leaves out; of files for machines, and of views that leave
    /// something out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub(super) account: Option<WorkAccount>,
}

/// The entries of earlier runs, and the file to which new ones are added.
pub(super) struct Manifest {
    path: PathBuf,
    earlier: BTreeMap<String, ManifestEntry>,
    /// Locked until the end of the run.
    file: File,
}

/// The lines of this run by the place of their jobs in it.
#[derive(Default)]
pub(super) struct ManifestLines(BTreeMap<usize, (String, Vec<u8>)>);

/// Returns the JSON Schema of a line of a manifest.
#[must_use]
pub(super) fn entry_schema() -> serde_json::Value {
    crate::job::output_schema_of::<ManifestEntry>()
}

impl Manifest {
    /// Opens a list, or starts one. A last line without an end was cut off when a run was killed, and is forgotten.
    ///
    /// Fails with a message if the file is no such list or another run is using it.
    pub(super) fn open(path: &Path) -> Result<Self, String> {
        let shown = path.display();
        let unusable = |error: io::Error| format!("cannot use the manifest {shown}: {error}");
        // What is not a file of its own would be waited for, or put in the place of something else at the end.
        if let Ok(there) = std::fs::symlink_metadata(path)
            && !there.is_file()
        {
            let what = if there.is_symlink() {
                "a symbolic link; name the file that it leads to"
            } else if there.is_dir() {
                "a folder; name a file in it"
            } else {
                "a pipe or a device; name a file"
            };
            return Err(format!("cannot use the manifest {shown}: it is {what}"));
        }
        let mut file = OpenOptions::new().read(true).append(true).create(true).open(path).map_err(unusable)?;
        match file.try_lock() {
            Ok(()) => {}
            Err(TryLockError::WouldBlock) => {
                return Err(format!("another run is using the manifest {shown}; wait for it or name another file"));
            }
            // Some file systems cannot lock: then it is up to the user.
            Err(TryLockError::Error(_)) => {}
        }
        let mut bytes = Vec::new();
        file.read_to_end(&mut bytes).map_err(unusable)?;
        let whole = bytes.iter().rposition(|byte| *byte == b'\n').map_or(0, |end| end + 1);
        let mut earlier = BTreeMap::new();
        for (number, line) in bytes.split_inclusive(|byte| *byte == b'\n').enumerate() {
            match serde_json::from_slice::<ManifestEntry>(line) {
                Ok(entry) if entry.schema == SCHEMA => {
                    earlier.insert(entry.output.clone(), entry);
                }
                // The line that was cut off; it must at least look like the start of one.
                Err(_) if !line.ends_with(b"\n") && could_start_an_entry(line) => {}
                _ => {
                    return Err(format!(
                        "{shown} is not a manifest of this program: see its line {}; nothing was drawn. Name another file",
                        number + 1
                    ));
                }
            }
        }
        if is_input(path) {
            return Err(format!(
                "{shown} is not a manifest of this program: this run reads it as a job. Name another file"
            ));
        }
        if whole < bytes.len() {
            file.set_len(whole as u64).map_err(unusable)?;
        }
        Ok(Self { path: path.to_owned(), earlier, file })
    }

    /// Returns what is known of the job with this start of the names of its drawings.
    pub(super) fn earlier(&self, output: &str) -> Option<&ManifestEntry> {
        self.earlier.get(output)
    }

    /// Adds what became of a job to the file, unless it stands there already.
    pub(super) fn add(&self, index: usize, entry: &ManifestEntry, lines: &mut ManifestLines) -> Result<(), String> {
        let mut line = serde_json::to_vec(entry).certain("line of the manifest for this job");
        line.push(b'\n');
        let mut result = Ok(());
        if self.earlier(&entry.output) != Some(entry) {
            let failed = |error| format!("cannot write the manifest {}: {error}", self.path.display());
            result = (&self.file).write_all(&line).map_err(failed);
        }
        lines.0.insert(index, (entry.output.clone(), line));
        result
    }

    /// Brings the file into its final form: the jobs of this run in their order, then those of other runs.
    pub(super) fn finish(self, lines: ManifestLines) -> Result<(), String> {
        let Self { path, mut earlier, file } = self;
        let mut whole = Vec::new();
        for (output, line) in lines.0.into_values() {
            earlier.remove(&output);
            whole.extend(line);
        }
        for entry in earlier.into_values() {
            serde_json::to_writer(&mut whole, &entry).certain("line of the manifest for this job");
            whole.push(b'\n');
        }
        drop(file);
        write_whole(&path, &whole, true)
            .map_err(|error| format!("cannot write the manifest {}: {error}", path.display()))
    }
}

/// Tells whether a piece of a line may be the start of an entry.
fn could_start_an_entry(line: &[u8]) -> bool {
    let start = format!("{{\"schema\":\"{SCHEMA}\"");
    let length = line.len().min(start.len());
    line.get(..length) == start.as_bytes().get(..length)
}

impl ManifestEntry {
    /// Starts an entry for a job of which nothing is drawn yet.
    pub(super) fn new(job: &str, output: &Path) -> Self {
        Self {
            schema: SCHEMA.to_owned(),
            job: job.to_owned(),
            output: output.display().to_string(),
            own: OwnData::default(),
            job_schema: String::new(),
            quantity: 1,
            drawn: false,
            source: String::new(),
            shop: None,
            files: Vec::new(),
            problems: Vec::new(),
            notes: Vec::new(),
        }
    }

    /// Tells whether a file is one of its own, and is what it was.
    pub(super) fn has_unaltered(&self, path: &Path) -> bool {
        self.files.iter().any(|drawn| Path::new(&drawn.path) == path && drawn.is_unaltered())
    }

    /// Tells whether the work is done: drawn from the same source, and all files are what they were.
    pub(super) fn is_done(&self, source: &str) -> bool {
        self.drawn && self.source == source && self.files.iter().all(WrittenFile::is_unaltered)
    }
}

impl WrittenFile {
    /// Describes a file of these bytes.
    pub(super) fn new(path: &Path, bytes: &[u8], account: Option<WorkAccount>) -> Self {
        Self { path: path.display().to_string(), bytes: bytes.len() as u64, sha256: sha256(bytes), account }
    }

    /// Tells whether the file is there and has the bytes it had.
    pub(super) fn is_unaltered(&self) -> bool {
        let path = Path::new(&self.path);
        std::fs::metadata(path).is_ok_and(|data| data.len() == self.bytes)
            && std::fs::read(path).is_ok_and(|bytes| sha256(&bytes) == self.sha256)
    }
}

/// Returns the SHA-256 of bytes in hexadecimal figures.
pub(super) fn sha256(bytes: &[u8]) -> String {
    hex(Sha256::digest(bytes).as_slice())
}

/// A SHA-256 over several parts, each with its length, so that no two lists of parts are taken for the same.
#[derive(Clone, Default)]
pub(super) struct Fingerprint(Sha256);

impl Fingerprint {
    /// Adds a part.
    pub(super) fn add(&mut self, part: impl AsRef<[u8]>) {
        let part = part.as_ref();
        self.0.update((part.len() as u64).to_le_bytes());
        self.0.update(part);
    }

    /// Adds a value as JSON.
    pub(super) fn add_value(&mut self, value: &impl Serialize) {
        self.add(serde_json::to_vec(value).certain("JSON of what the files are made from"));
    }

    /// Returns the figures.
    pub(super) fn finish(self) -> String {
        hex(self.0.finalize().as_slice())
    }
}

fn hex(bytes: &[u8]) -> String {
    bytes.iter().map(|byte| format!("{byte:02x}")).collect()
}

#[cfg(test)]
mod tests {
    use super::{Fingerprint, could_start_an_entry, sha256};

    #[test]
    fn the_hash_is_that_of_the_standard() {
        // FIPS 180-4, the examples of NIST for SHA-256.
        assert_eq!(sha256(b"abc"), "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad");
        assert_eq!(sha256(b""), "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855");
    }

    #[test]
    fn parts_do_not_run_into_each_other() {
        let of = |parts: &[&str]| {
            let mut fingerprint = Fingerprint::default();
            parts.iter().for_each(|part| fingerprint.add(part));
            fingerprint.finish()
        };
        assert_ne!(of(&["ab", "c"]), of(&["a", "bc"]));
        assert_eq!(of(&["ab", "c"]), of(&["ab", "c"]));
    }

    #[test]
    fn only_the_start_of_an_entry_counts_as_cut_off() {
        assert!(could_start_an_entry(b"{\"sch"));
        assert!(could_start_an_entry(b"{\"schema\":\"backline-drawn/1\",\"job\":\"a"));
        assert!(!could_start_an_entry(b"unit = 'in'"));
    }
}
