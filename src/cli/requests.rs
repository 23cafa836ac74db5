//! The jobs that a command line asks for: files, all jobs of folders, and streams with a job in each line.

use std::collections::BTreeMap;
use std::fs::File;
use std::io::{self, BufRead, BufReader, Read};
use std::path::{Path, PathBuf};
use std::sync::Arc;

use serde::Deserialize;

use crate::formats::readers;

use super::files::note_input;
use super::paths::{is_stdio, stem};
use super::shop::SHOP_FILE;

/// A job to be worked on, not read yet.
#[derive(Debug)]
pub(super) struct JobRequest {
    /// What the user calls it: `hall.toml`, or `orders.jsonl:7` for a line.
    pub(super) name: String,
    /// Where its text is.
    pub(super) origin: JobSource,
    /// The folder for its drawings below the folder for all drawings: that of the job below the folder that was named.
    pub(super) folder: PathBuf,
    /// What the names of its drawings begin with.
    pub(super) stem: String,
}

/// Where the text of a job is.
#[derive(Debug)]
pub(super) enum JobSource {
    /// In a file, or standard input for `-`.
    File(PathBuf),
    /// In a line of a file, counted from one.
    Line { file: Arc<Path>, number: usize, text: String },
    /// Nowhere, for this reason.
    Missing(String),
}

/// A line longer than this many bytes is not a job.
const LONGEST_LINE: u64 = 4 << 20;
/// The ending of files that hold a job in each line.
const LINES: &str = "jsonl";
/// Folders in folders are followed down to this depth.
const DEEPEST: usize = 32;
/// So many bytes at the start of a file say whether it is a drawing, which may end with `.json` too.
const LOOKED_AT: u64 = 256;
/// File names are cut off after so many letters of the name of a job.
const LONGEST_STEM: usize = 100;

/// Yields the jobs one by one, in the order of the command line; a stream is read as it is asked for.
pub(super) struct Requests {
    waiting: std::vec::IntoIter<ArgumentTarget>,
    lines: Option<JobLines>,
    /// Which job has taken a folder and a stem, both without regard to capitals; `None` if nothing is drawn.
    taken: Option<BTreeMap<String, String>>,
    one_file: bool,
}

/// What one word of the command line stands for.
enum ArgumentTarget {
    Job(JobRequest),
    Lines(PathBuf),
}

impl Requests {
    /// Finds the files in the folders among `paths`; with `lines` every file holds a job in each line.
    ///
    /// Jobs to be drawn must differ in the names of their drawings; those in the folder `output` are not taken for jobs.
    pub(super) fn new(paths: &[PathBuf], lines: bool, output: Option<&Path>) -> Self {
        let taken = output.map(|_| BTreeMap::new());
        paths.iter().for_each(|path| note_input(path));
        let output = output.and_then(|path| path.canonicalize().ok());
        let mut named = Vec::new();
        let mut one_file = paths.len() == 1;
        for path in paths {
            if lines || path.extension().is_some_and(|ending| ending == LINES) {
                one_file = false;
                named.push(ArgumentTarget::Lines(path.clone()));
            } else if path.is_dir() {
                one_file = false;
                let mut found = Vec::new();
                let mut walk = FolderWalk { top: path, output: output.as_deref(), found: &mut found };
                walk.folder(path, 0);
                if found.is_empty() {
                    found.push(JobRequest::missing(path, "the folder has no job files, which end with .toml or .json"));
                }
                named.extend(found.into_iter().map(ArgumentTarget::Job));
            } else {
                named.push(ArgumentTarget::Job(JobRequest::file(path.clone(), PathBuf::new())));
            }
        }
        Self { waiting: named.into_iter(), lines: None, taken, one_file }
    }

    /// Returns how many jobs there are, or nothing if that is not known before a stream ends.
    pub(super) fn known_count(&self) -> Option<usize> {
        let all = self.waiting.as_slice();
        let streams = self.lines.is_some() || all.iter().any(|named| matches!(named, ArgumentTarget::Lines(_)));
        (!streams).then_some(all.len())
    }

    /// Tells whether the command line names a single file with a single job.
    pub(super) fn is_one_file(&self) -> bool {
        self.one_file
    }

    /// Returns two files whose drawings would have the same names; lines of streams are not known yet.
    pub(super) fn same_names(&self) -> Option<(&str, &str)> {
        self.taken.as_ref()?;
        let mut taken = BTreeMap::new();
        self.waiting.as_slice().iter().find_map(|named| match named {
            ArgumentTarget::Job(request) => {
                Some((taken.insert(request.key(), request.name.as_str())?, request.name.as_str()))
            }
            ArgumentTarget::Lines(_) => None,
        })
    }

    /// Returns pairs of files whose drawings might have the same names because one has a board that is called as the other goes
    /// on: the longer name first. Lines of streams are not known yet.
    pub(super) fn alike(&self) -> Vec<(&JobRequest, &JobRequest)> {
        let known = self.waiting.as_slice().iter().filter_map(|named| match named {
            ArgumentTarget::Job(request) => Some(request),
            ArgumentTarget::Lines(_) => None,
        });
        let requests: Vec<&JobRequest> = known.collect();
        let by_key: BTreeMap<String, &JobRequest> = requests.iter().map(|request| (request.key(), *request)).collect();
        let mut pairs = Vec::new();
        for (key, longer) in &by_key {
            for (at, _) in key.match_indices('-') {
                let (start, rest) = key.split_at(at);
                // A board adds its number and its name.
                let number = rest.trim_start_matches('-').split('-').next().unwrap_or_default();
                if let (Some(shorter), true) = (by_key.get(start), number.parse::<u32>().is_ok()) {
                    pairs.push((*longer, *shorter));
                }
            }
        }
        pairs
    }

    /// Leaves it to the caller to tell the names of drawings apart, which are made by a pattern.
    pub(super) fn named_by_pattern(self) -> Self {
        Self { taken: None, ..self }
    }

    /// Gives the names of drawings to a job, or takes the job away if an earlier one has them.
    fn claim(&mut self, mut request: JobRequest) -> JobRequest {
        let Some(taken) = &mut self.taken else {
            return request;
        };
        match taken.get(&request.key()) {
            Some(earlier) => {
                let reason = format!(
                    "its drawings would have the same file names as those of {earlier}; give the job a `name` of its own"
                );
                request.origin = JobSource::Missing(reason);
            }
            None => {
                taken.insert(request.key(), request.name.clone());
            }
        }
        request
    }
}

impl Iterator for Requests {
    type Item = JobRequest;

    fn next(&mut self) -> Option<JobRequest> {
        loop {
            if let Some(lines) = &mut self.lines {
                match lines.next() {
                    Some(request) => return Some(self.claim(request)),
                    None => self.lines = None,
                }
            }
            match self.waiting.next()? {
                ArgumentTarget::Job(request) => return Some(self.claim(request)),
                ArgumentTarget::Lines(path) => match JobLines::open(&path) {
                    Ok(lines) => self.lines = Some(lines),
                    Err(error) => return Some(JobRequest::missing(&path, &format!("cannot read the file: {error}"))),
                },
            }
        }
    }
}

impl JobRequest {
    fn file(path: PathBuf, folder: PathBuf) -> Self {
        Self { name: path.display().to_string(), stem: safe_stem(&stem(&path)), origin: JobSource::File(path), folder }
    }

    fn missing(path: &Path, reason: &str) -> Self {
        Self { origin: JobSource::Missing(reason.to_owned()), ..Self::file(path.to_owned(), PathBuf::new()) }
    }

    /// File systems of some machines do not tell capitals from small letters.
    fn key(&self) -> String {
        self.folder.join(&self.stem).to_string_lossy().to_lowercase()
    }
}

/// Looks for job files in a folder and the folders in it.
struct FolderWalk<'w> {
    top: &'w Path,
    output: Option<&'w Path>,
    found: &'w mut Vec<JobRequest>,
}

impl FolderWalk<'_> {
    /// Tells whether a file really lies in the folder that was named.
    fn holds(&self, path: &Path) -> bool {
        let top = self.top.canonicalize();
        path.canonicalize().is_ok_and(|real| top.is_ok_and(|top| real.starts_with(top)))
    }

    /// Adds the job files of a folder in the order of their names. What is hidden is left out, and so are links to
    /// folders, which could lead round in circles.
    fn folder(&mut self, folder: &Path, depth: usize) {
        let entries = std::fs::read_dir(folder).and_then(Iterator::collect::<io::Result<Vec<_>>>);
        let mut entries = match entries {
            Ok(entries) => entries,
            Err(error) => {
                self.found.push(JobRequest::missing(folder, &format!("cannot read the folder: {error}")));
                return;
            }
        };
        entries.sort_by_key(std::fs::DirEntry::file_name);
        for entry in entries {
            let path = entry.path();
            if entry.file_name().to_string_lossy().starts_with('.') {
                continue;
            }
            if entry.file_type().is_ok_and(|kind| kind.is_dir()) {
                let is_output = self.output.is_some_and(|output| path.canonicalize().is_ok_and(|path| path == output));
                if depth < DEEPEST && !is_output {
                    self.folder(&path, depth + 1);
                }
            } else if is_job(&path) {
                if entry.file_type().is_ok_and(|kind| kind.is_symlink()) && !self.holds(&path) {
                    let reason = "it is a symbolic link to a file outside the folder; name that file itself";
                    self.found.push(JobRequest::missing(&path, reason));
                    continue;
                }
                let below = folder.strip_prefix(self.top).unwrap_or(Path::new("")).to_owned();
                self.found.push(JobRequest::file(path, below));
            }
        }
    }
}

/// Returns what the names of drawings begin with: never a hyphen, which would make options of them.
fn safe_stem(stem: &str) -> String {
    let safe = stem.trim_start_matches('-');
    if safe.is_empty() { "job".to_owned() } else { safe.to_owned() }
}

/// Tells whether a file in a folder is meant as a job.
fn is_job(path: &Path) -> bool {
    let ending = path.extension().unwrap_or_default();
    if !path.is_file() || path.file_name().is_some_and(|name| name == SHOP_FILE) {
        return false;
    }
    ending == "toml" || (ending == "json" && !is_drawing(path))
}

/// Tells whether a file looks like a drawing of a format with its ending.
fn is_drawing(path: &Path) -> bool {
    let mut start = Vec::new();
    if File::open(path).and_then(|file| file.take(LOOKED_AT).read_to_end(&mut start)).is_err() {
        return false;
    }
    let (start, ending) = (String::from_utf8_lossy(&start), path.extension().unwrap_or_default());
    readers().filter(|reader| reader.endings().iter().any(|own| ending == *own)).any(|reader| reader.recognises(&start))
}

/// The jobs of a stream.
struct JobLines {
    path: Arc<Path>,
    source: Box<dyn BufRead + Send>,
    number: usize,
}

/// The name of a job, whatever else is in it.
#[derive(Deserialize)]
struct JobName {
    name: String,
}

impl JobLines {
    fn open(path: &Path) -> io::Result<Self> {
        let source: Box<dyn BufRead + Send> = if is_stdio(path) {
            Box::new(BufReader::new(io::stdin()))
        } else {
            Box::new(BufReader::new(File::open(path)?))
        };
        Ok(Self { path: path.into(), source, number: 0 })
    }

    fn request(&self, origin: JobSource, name: Option<String>) -> JobRequest {
        let of_file = stem(&self.path);
        let numbered = || format!("{of_file}-{}", self.number);
        let stem = name.map(|name| safe_stem(&file_name(&name))).filter(|stem| stem.contains(char::is_alphanumeric));
        JobRequest {
            name: format!("{}:{}", self.path.display(), self.number),
            origin,
            folder: PathBuf::new(),
            stem: stem.unwrap_or_else(|| safe_stem(&numbered())),
        }
    }

    /// Reads the next line of at most so many bytes; `None` at the end.
    fn line(&mut self) -> io::Result<Option<Vec<u8>>> {
        let mut line = Vec::new();
        let read = (&mut self.source).take(LONGEST_LINE + 1).read_until(b'\n', &mut line)?;
        self.number += 1;
        if line.len() as u64 > LONGEST_LINE && !line.ends_with(b"\n") {
            self.source.skip_until(b'\n')?;
        }
        Ok((read > 0).then_some(line))
    }
}

impl Iterator for JobLines {
    type Item = JobRequest;

    fn next(&mut self) -> Option<JobRequest> {
        loop {
            let line = match self.line() {
                Ok(line) => line?,
                Err(error) => {
                    // Whatever comes after a fault of the device would be guesswork.
                    self.source = Box::new(io::empty());
                    let reason = format!("cannot read the rest of the stream: {error}");
                    return Some(self.request(JobSource::Missing(reason), None));
                }
            };
            if line.iter().all(u8::is_ascii_whitespace) {
                continue;
            }
            if line.len() as u64 > LONGEST_LINE {
                let reason = "the line is longer than the 4 MiB allowed for a job".to_owned();
                return Some(self.request(JobSource::Missing(reason), None));
            }
            let Ok(text) = String::from_utf8(line) else {
                return Some(self.request(JobSource::Missing("the line is not UTF-8 text".to_owned()), None));
            };
            let name = serde_json::from_str(&text).ok().map(|JobName { name }| name);
            let text = text.trim_end_matches(['\n', '\r']).to_owned();
            let origin = JobSource::Line { file: Arc::clone(&self.path), number: self.number, text };
            return Some(self.request(origin, name));
        }
    }
}

/// Makes a part of a file name from a name: letters and figures stay, everything else becomes a hyphen.
pub(super) fn file_name(name: &str) -> String {
    name.chars().take(LONGEST_STEM).map(|letter| if letter.is_alphanumeric() { letter } else { '-' }).collect()
}
