//! Files as they are opened: what the user names, what a job names and may name, and which of them a run has read.

use std::collections::BTreeSet;
use std::fs::{File, Metadata, OpenOptions};
use std::io::{self, Read};
use std::path::{Component, Path, PathBuf};
use std::sync::{Mutex, OnceLock, PoisonError};

use super::paths::is_stdio;

/// Said of every file that a job may not read, so that nothing tells whether there is one.
const REFUSED: &str = "a job may not read this file here";

/// The folder below which the files lie that jobs name; set once, before the command runs.
static BELOW: OnceLock<PathBuf> = OnceLock::new();

/// What this run has read: no output may replace it.
static INPUTS: Mutex<InputFiles> = Mutex::new(InputFiles { named: Vec::new(), real: BTreeSet::new() });

/// Files that were read.
struct InputFiles {
    /// By their names, until somebody asks: to find where a file really is takes a call for each folder above it, and most runs
    /// replace nothing.
    named: Vec<PathBuf>,
    /// By where they really are.
    real: BTreeSet<PathBuf>,
}

/// Confines the files that jobs name to a folder and those below it.
///
/// # Errors
///
/// Returns the reason if there is no such folder.
pub(super) fn confine(folder: &Path) -> io::Result<()> {
    let real = folder.canonicalize()?;
    if !real.is_dir() {
        return Err(io::Error::new(io::ErrorKind::NotADirectory, "it is not a folder"));
    }
    // The command line is read once.
    let _ = BELOW.set(real);
    Ok(())
}

/// Where a job comes from, which says what it may read.
#[derive(Debug, Clone, Copy)]
pub(super) enum JobOrigin<'p> {
    /// A file of its own, at this path.
    File(&'p Path),
    /// A line of a file or of standard input, or standard input as a whole: from a program, and so perhaps from a stranger.
    Stream(&'p Path),
}

/// Reads a file that a job names, from the folder of the job file; at most one byte more than the `largest`, which tells that it
/// is too large.
///
/// # Errors
///
/// Returns the reason in words: it cannot be read, is not a regular file, or may not be read.
pub(super) fn read_named(job: JobOrigin<'_>, file: &str, largest: u64) -> Result<Vec<u8>, String> {
    let opened = match (BELOW.get(), job) {
        (Some(below), _) => open_below(below, folder_of(job), file).map_err(|_| REFUSED.to_owned())?,
        (None, JobOrigin::Stream(_)) => {
            return Err(format!("{REFUSED}: name the folder for such files with --files-below"));
        }
        (None, JobOrigin::File(_)) => open_regular(&folder_of(job).join(file)).map_err(|error| error.to_string())?,
    };
    read_at_most(opened, largest + 1).map_err(|error| error.to_string())
}

/// Reads a file that the command line names and that is no job, such as a font.
///
/// # Errors
///
/// Fails if it cannot be read, is not a regular file, or is larger than so many bytes.
pub(super) fn read_regular(path: &Path, largest: u64) -> io::Result<Vec<u8>> {
    let bytes = read_at_most(open_regular(path)?, largest + 1)?;
    if bytes.len() as u64 > largest {
        return Err(io::Error::new(io::ErrorKind::FileTooLarge, format!("it is larger than {} MiB", largest >> 20)));
    }
    Ok(bytes)
}

/// Remembers that a file is read in this run.
pub(super) fn note_input(path: &Path) {
    if !is_stdio(path) {
        INPUTS.lock().unwrap_or_else(PoisonError::into_inner).named.push(path.to_owned());
    }
}

/// Tells whether this run has read a file, by whatever name.
pub(super) fn is_input(path: &Path) -> bool {
    let Ok(asked) = path.canonicalize() else { return false };
    let mut inputs = INPUTS.lock().unwrap_or_else(PoisonError::into_inner);
    let InputFiles { named, real } = &mut *inputs;
    // What is not there any more is replaced by nothing.
    real.extend(named.drain(..).filter_map(|path| path.canonicalize().ok()));
    real.contains(&asked)
}

/// Returns the folder in which the files lie that a job names.
fn folder_of(job: JobOrigin<'_>) -> &Path {
    match job {
        JobOrigin::File(path) | JobOrigin::Stream(path) => {
            path.parent().filter(|_| !is_stdio(path)).unwrap_or(Path::new(""))
        }
    }
}

/// Opens a file below a folder. Every refusal is alike: the caller tells none from another.
fn open_below(below: &Path, folder: &Path, file: &str) -> io::Result<File> {
    let refused = || io::Error::from(io::ErrorKind::PermissionDenied);
    let named = Path::new(file);
    if file.is_empty() || !named.components().all(|part| matches!(part, Component::Normal(_) | Component::CurDir)) {
        return Err(refused());
    }
    // A job from standard input lies in the folder itself.
    let folder = if folder.as_os_str().is_empty() && !Path::new(".").canonicalize()?.starts_with(below) {
        below.to_owned()
    } else {
        folder.join(".").canonicalize()?
    };
    let real = folder.join(named).canonicalize()?;
    if !folder.starts_with(below) || !real.starts_with(below) {
        return Err(refused());
    }
    let opened = open_regular(&real)?;
    // Whoever puts a link in the place of the file after it was looked at is found out here.
    if !is_same(&opened.metadata()?, &std::fs::symlink_metadata(&real)?) {
        return Err(refused());
    }
    Ok(opened)
}

/// Opens a regular file for reading; a pipe or a device is refused without waiting for it.
fn open_regular(path: &Path) -> io::Result<File> {
    let mut options = OpenOptions::new();
    options.read(true);
    #[cfg(any(target_os = "linux", target_os = "android"))]
    std::os::unix::fs::OpenOptionsExt::custom_flags(&mut options, 0o4000);
    #[cfg(any(target_os = "macos", target_os = "freebsd", target_os = "netbsd", target_os = "openbsd"))]
    std::os::unix::fs::OpenOptionsExt::custom_flags(&mut options, 0x4);
    let opened = options.open(path)?;
    let kind = opened.metadata()?.file_type();
    if !kind.is_file() {
        let what = if kind.is_dir() { "it is a folder" } else { "it is a pipe or a device, not a file" };
        return Err(io::Error::new(io::ErrorKind::InvalidInput, what));
    }
    note_input(path);
    Ok(opened)
}

fn read_at_most(file: File, most: u64) -> io::Result<Vec<u8>> {
    let mut bytes = Vec::new();
    file.take(most).read_to_end(&mut bytes)?;
    Ok(bytes)
}

#[cfg(unix)]
fn is_same(a: &Metadata, b: &Metadata) -> bool {
    use std::os::unix::fs::MetadataExt;
    (a.dev(), a.ino()) == (b.dev(), b.ino())
}

#[cfg(not(unix))]
fn is_same(a: &Metadata, b: &Metadata) -> bool {
    a.is_file() && b.is_file() && a.len() == b.len()
}

#[cfg(test)]
mod tests {
    use std::fs;

    use super::{is_input, note_input, open_below, open_regular, read_regular};

    #[test]
    fn nothing_outside_a_folder_is_opened_and_all_refusals_are_alike() {
        let place = tempfile::tempdir().unwrap();
        let below = place.path().join("below").canonicalize().unwrap_or_else(|_| {
            fs::create_dir_all(place.path().join("below/jobs")).unwrap();
            place.path().join("below").canonicalize().unwrap()
        });
        fs::write(below.join("jobs/in.svg"), "in").unwrap();
        fs::write(below.join("up.svg"), "up").unwrap();
        fs::write(place.path().join("out.svg"), "out").unwrap();
        let jobs = below.join("jobs");
        assert!(open_below(&below, &jobs, "in.svg").is_ok() && open_below(&below, &jobs, "./in.svg").is_ok());
        let outside = place.path().join("out.svg").display().to_string();
        for file in ["../up.svg", "../../out.svg", &outside, "none.svg", "", ".", "/dev/zero", "/etc/passwd"] {
            assert!(open_below(&below, &jobs, file).is_err(), "{file}");
        }
        assert!(open_below(&below, place.path(), "out.svg").is_err());
        #[cfg(unix)]
        {
            std::os::unix::fs::symlink(place.path().join("out.svg"), jobs.join("link.svg")).unwrap();
            std::os::unix::fs::symlink(jobs.join("in.svg"), jobs.join("good.svg")).unwrap();
            std::os::unix::fs::symlink(place.path(), jobs.join("way")).unwrap();
            for file in ["link.svg", "way/out.svg", "jobs"] {
                assert!(open_below(&below, &jobs, file).is_err(), "{file}");
            }
            assert!(open_below(&below, &jobs, "good.svg").is_ok());
        }
    }

    #[test]
    #[cfg(unix)]
    fn devices_and_folders_are_no_files() {
        for path in ["/dev/zero", "/dev/stdin", "/"] {
            assert!(open_regular(path.as_ref()).is_err(), "{path}");
        }
    }

    #[test]
    fn what_was_read_is_known_by_every_name() {
        let place = tempfile::tempdir().unwrap();
        let file = place.path().join("a.svg");
        fs::write(&file, "a").unwrap();
        assert!(!is_input(&file));
        note_input(&file);
        assert!(is_input(&place.path().join("./a.svg")));
        assert!(read_regular(&file, 1).is_ok_and(|bytes| bytes == b"a"));
        fs::write(&file, "ab").unwrap();
        assert!(read_regular(&file, 1).is_err());
    }
}
