//! Files that appear whole or not at all.

use std::fs::TryLockError;
use std::io::{self, Write};
use std::path::Path;

use super::exit::Exit;

/// Start and end of the name of a file that is not whole yet.
const PART_PREFIX: &str = ".backline-";
const PART_SUFFIX: &str = ".part";

/// Writes a file under a temporary name beside its place and then gives it its name.
///
/// Without `replace` it fails if the place is taken, even if another program took it a moment ago.
pub(super) fn write_whole(path: &Path, bytes: &[u8], replace: bool) -> io::Result<()> {
    let folder = path.parent().filter(|folder| !folder.as_os_str().is_empty()).unwrap_or(Path::new("."));
    let mut builder = tempfile::Builder::new();
    builder.prefix(PART_PREFIX).suffix(PART_SUFFIX);
    // Like any new file, not private like a temporary one.
    #[cfg(unix)]
    builder.permissions(std::os::unix::fs::PermissionsExt::from_mode(0o666));
    let mut file = loop {
        let file = builder.tempfile_in(folder)?;
        // The lock tells `remove_left_over` that someone is at work on the file. If that was quicker, make another one;
        // where files cannot be locked, it removes none.
        match file.as_file().try_lock() {
            Err(TryLockError::WouldBlock) => {}
            Ok(()) if !file.path().exists() => {}
            _ => break file,
        }
    };
    file.write_all(bytes)?;
    if replace {
        file.persist(path)?;
    } else {
        file.persist_noclobber(path)?;
    }
    Ok(())
}

/// Removes the unfinished files that a run left in a folder when it was killed.
///
/// A file at which a run is at work is locked and stays.
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
        let Ok(file) = std::fs::File::open(entry.path()) else {
            continue;
        };
        if file.try_lock().is_ok() {
            // If it cannot be removed, it is only in the way of the eye.
            let _ = std::fs::remove_file(entry.path());
        }
    }
}

/// Writes to standard output; a reader that has gone away is no error.
pub(super) fn to_stdout(bytes: &[u8]) -> Exit {
    let mut stdout = io::stdout().lock();
    match stdout.write_all(bytes).and_then(|()| stdout.flush()) {
        Ok(()) => Exit::Good,
        Err(error) if error.kind() == io::ErrorKind::BrokenPipe => Exit::Good,
        Err(error) => {
            anstream::eprintln!("error: cannot write to standard output: {error}");
            Exit::JobWrong
        }
    }
}
