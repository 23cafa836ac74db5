//! Files that appear whole or not at all.

use std::collections::BTreeSet;
use std::io::{self, IsTerminal, Write};
use std::path::{Path, PathBuf};

use crate::formats::{Exported, is_ending};
use crate::shown::shown_lines;

use super::exit::Exit;
use super::files::is_input;
use super::paths::is_stdio;
use super::say;

/// Start and end of the name of a file that is not whole yet.
const PART_PREFIX: &str = ".backline-";
const PART_SUFFIX: &str = ".part";
/// How often a file is written again because its temporary one was removed.
const TRIES: usize = 8;

/// Writes a file under a temporary name beside its place and then gives it its name. It may be one that the run has read and changes;
/// what a command draws goes through [`write_all`].
///
/// Without `replace` it fails if the place is taken, even if another program took it a moment ago.
pub(super) fn write_whole(path: &Path, bytes: &[u8], replace: bool) -> io::Result<()> {
    persist(stage(path, bytes)?, &Due { path, bytes, replace })
}

/// Said of an output that would replace what the run has read.
const IS_INPUT: &str =
    "this run reads it, and an output never replaces an input, not even with --force; draw to another folder";

/// A file that is to appear.
#[derive(Debug, Clone, Copy)]
pub(super) struct Due<'f> {
    pub(super) path: &'f Path,
    pub(super) bytes: &'f [u8],
    /// Whether a file that is there gives way.
    pub(super) replace: bool,
}

/// Writes several files that belong together: all are written beside their places before the first gets its name, so that a
/// full disk leaves none of them.
///
/// # Errors
///
/// Returns which one failed and why. New ones that had got their names already are taken away again.
pub(super) fn write_together<'f>(files: &[Due<'f>]) -> Result<(), (&'f Path, io::Error)> {
    // What may not be replaced takes no place that is taken, and so none of an input.
    if let Some(file) = files.iter().find(|file| file.replace && is_input(file.path)) {
        return Err((file.path, io::Error::other(IS_INPUT)));
    }
    let mut staged = Vec::with_capacity(files.len());
    for file in files {
        staged.push((file, stage(file.path, file.bytes).map_err(|error| (file.path, error))?));
    }
    let mut new: Vec<&Path> = Vec::new();
    for (file, temporary) in staged {
        let was_there = file.replace && file.path.exists();
        if let Err(error) = persist(temporary, file) {
            for path in new {
                // What cannot be taken away is whole, if not wanted.
                let _ = std::fs::remove_file(path);
            }
            return Err((file.path, error));
        }
        if !was_there {
            new.push(file.path);
        }
    }
    Ok(())
}

/// Writes files that a command makes: all of them or none, into folders that are made if they are missing.
///
/// # Errors
///
/// Returns what to say if a place is taken and nothing may be replaced, or if something cannot be written.
pub(super) fn write_all<'f>(files: impl IntoIterator<Item = (&'f Path, &'f [u8])>, force: bool) -> Result<(), String> {
    let due: Vec<Due<'_>> = files.into_iter().map(|(path, bytes)| Due { path, bytes, replace: force }).collect();
    if let Some(taken) = due.iter().find(|file| !force && file.path.exists()) {
        return Err(format!("{} exists; nothing was written. Use --force to replace files", taken.path.display()));
    }
    let folders: BTreeSet<&Path> = due.iter().filter_map(|file| file.path.parent()).collect();
    for folder in folders.into_iter().filter(|folder| !folder.as_os_str().is_empty()) {
        std::fs::create_dir_all(folder)
            .map_err(|error| format!("cannot make the folder {}: {error}", folder.display()))?;
    }
    write_together(&due).map_err(|(path, error)| format!("cannot write {}: {error}", path.display()))
}

/// Writes bytes under a temporary name beside their place.
fn stage(path: &Path, bytes: &[u8]) -> io::Result<tempfile::NamedTempFile> {
    let folder = path.parent().filter(|folder| !folder.as_os_str().is_empty()).unwrap_or(Path::new("."));
    let mut builder = tempfile::Builder::new();
    builder.prefix(PART_PREFIX).suffix(PART_SUFFIX);
    // Like any new file, not private like a temporary one.
    #[cfg(unix)]
    builder.permissions(std::os::unix::fs::PermissionsExt::from_mode(0o666));
    let mut file = builder.tempfile_in(folder)?;
    file.write_all(bytes)?;
    Ok(file)
}

/// Gives a temporary file its name; it is written again if another run that starts in the folder took it for one left over.
fn persist(mut temporary: tempfile::NamedTempFile, due: &Due<'_>) -> io::Result<()> {
    let mut tries = 0;
    loop {
        let persisted = if due.replace { temporary.persist(due.path) } else { temporary.persist_noclobber(due.path) };
        match persisted {
            Err(error) if error.error.kind() == io::ErrorKind::NotFound && tries < TRIES => tries += 1,
            Err(error) if error.error.kind() == io::ErrorKind::AlreadyExists => {
                return Err(io::Error::other(
                    "another run has written it in the meantime; use --force to replace files",
                ));
            }
            Err(error) => return Err(error.error),
            Ok(_) => return Ok(()),
        }
        temporary = stage(due.path, due.bytes)?;
    }
}

/// Removes the unfinished files that a run left in a folder when it was killed.
///
/// A run that is at work on one of them writes it again.
pub(super) fn remove_left_over(folder: &Path) {
    let Ok(entries) = std::fs::read_dir(folder) else {
        return;
    };
    for entry in entries.flatten() {
        let name = entry.file_name();
        let name = name.to_string_lossy();
        if !(name.starts_with(PART_PREFIX) && name.ends_with(PART_SUFFIX)) {
            continue;
        }
        // If it cannot be removed, it is only in the way of the eye.
        let _ = std::fs::remove_file(entry.path());
    }
}

/// Writes to standard output; a reader that has gone away is not an error.
///
/// A terminal gets nothing that it would obey, whatever a file holds; a pipe or a file gets the bytes as they are.
pub(super) fn to_stdout(bytes: &[u8]) -> Exit {
    let mut stdout = io::stdout().lock();
    let text = stdout.is_terminal().then(|| String::from_utf8_lossy(bytes));
    let shown = text.as_ref().map(|text| shown_lines(text));
    let bytes = shown.as_ref().map_or(bytes, |shown| shown.as_bytes());
    match stdout.write_all(bytes).and_then(|()| stdout.flush()) {
        Ok(()) => Exit::Good,
        Err(error) if error.kind() == io::ErrorKind::BrokenPipe => Exit::Good,
        Err(error) => {
            say::error!("cannot write to standard output: {error}");
            Exit::JobWrong
        }
    }
}

/// Tells whether an output names a single file: by its ending, unless there is a folder of that name.
pub(super) fn is_file(output: &Path) -> bool {
    output.extension().and_then(|ending| ending.to_str()).is_some_and(is_ending) && !output.is_dir()
}

/// Tells whether an output takes one file only: standard output, or a file that is named.
pub(super) fn is_single(output: &Path) -> bool {
    is_stdio(output) || is_file(output)
}

/// Names an output that takes one file only in a sentence.
pub(super) fn single_name(output: &Path) -> String {
    if is_stdio(output) { "standard output".to_owned() } else { output.display().to_string() }
}

/// Tells whether a path has an ending, in letters of either case.
pub(super) fn ends_with(path: &Path, ending: &str) -> bool {
    path.extension().is_some_and(|found| found.eq_ignore_ascii_case(ending))
}

/// Where the only file of a command goes, and how.
#[derive(Debug, Clone, Copy)]
pub(super) struct Single<'a> {
    /// `-`, or the name of the file.
    pub(super) output: &'a Path,
    /// Whether a file that exists is replaced.
    pub(super) force: bool,
    /// Whether the file is named.
    pub(super) verbose: bool,
}

impl Single<'_> {
    /// Writes the bytes of a file that in a folder would have the name `usual`.
    pub(super) fn write(&self, usual: &Path, bytes: &[u8]) -> Result<Exit, (String, Exit)> {
        let path = self.output;
        if is_stdio(path) {
            return Ok(to_stdout(bytes));
        }
        let ending = usual.extension().unwrap_or_default().to_string_lossy();
        if !ends_with(path, &ending) {
            let message = format!(
                "{} has the ending of another format, but the output is .{ending}; change the name or --format",
                path.display()
            );
            return Err((message, Exit::Usage));
        }
        write_all([(path, bytes)], self.force).map_err(|message| (message, Exit::JobWrong))?;
        if self.verbose {
            say::line(path.display());
        }
        Ok(Exit::Good)
    }
}

/// Where the files of a command go, and how.
#[derive(Debug, Clone, Copy)]
pub(super) struct Target<'a> {
    /// The folder, created if missing, or a single file; `-` is standard output, which takes one, too.
    pub(super) output: &'a Path,
    /// Whether files that exist are replaced.
    pub(super) force: bool,
    /// Whether each file is named.
    pub(super) verbose: bool,
}

impl Target<'_> {
    /// Writes files as [`write`](Self::write) does, and says why they could not be written.
    pub(super) fn write_or_say(&self, files: &[(String, Exported)]) -> Exit {
        self.write(files).unwrap_or_else(|(message, exit)| {
            say::error!("{message}");
            exit
        })
    }

    /// Writes files by their names, none of them if one is there already.
    pub(super) fn write(&self, files: &[(String, Exported)]) -> Result<Exit, (String, Exit)> {
        for (name, exported) in files {
            exported.notes.iter().for_each(|note| say::note!("{name}: {note}"));
        }
        if is_single(self.output) {
            let [(name, exported)] = files else {
                let (single, count) = (single_name(self.output), files.len());
                let message = format!(
                    "{single} is one file, but there are {count} to write; name a folder, or choose one --format"
                );
                return Err((message, Exit::Usage));
            };
            let single = Single { output: self.output, force: self.force, verbose: self.verbose };
            return single.write(Path::new(name), &exported.bytes);
        }
        let paths: Vec<PathBuf> = files.iter().map(|(name, _)| self.output.join(name)).collect();
        let named = paths.iter().zip(files).map(|(path, (_, exported))| (path.as_path(), exported.bytes.as_slice()));
        write_all(named, self.force).map_err(|message| (message, Exit::JobWrong))?;
        if self.verbose {
            paths.iter().for_each(|path| say::line(path.display()));
        }
        Ok(Exit::Good)
    }
}

#[cfg(test)]
mod tests {
    use std::sync::atomic::{AtomicBool, Ordering};

    use super::{remove_left_over, write_whole};

    #[test]
    fn a_run_that_tidies_up_takes_no_file_from_another_one() {
        let folder = tempfile::tempdir().unwrap();
        let done = AtomicBool::new(false);
        std::thread::scope(|scope| {
            scope.spawn(|| {
                while !done.load(Ordering::Relaxed) {
                    remove_left_over(folder.path());
                }
            });
            for number in 0..300 {
                write_whole(&folder.path().join(number.to_string()), b"whole", false).unwrap();
            }
            done.store(true, Ordering::Relaxed);
        });
        for number in 0..300 {
            assert_eq!(std::fs::read(folder.path().join(number.to_string())).unwrap(), b"whole");
        }
    }
}
