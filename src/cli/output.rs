//! Files that appear whole or not at all.

use std::io::{self, Write};
use std::path::Path;

use super::exit::Exit;

/// Writes a file under a temporary name beside its place and then gives it its name.
///
/// Without `replace` it fails if the place is taken, even if another program took it a moment ago.
pub(super) fn write_whole(path: &Path, bytes: &[u8], replace: bool) -> io::Result<()> {
    let folder = path.parent().filter(|folder| !folder.as_os_str().is_empty()).unwrap_or(Path::new("."));
    let mut builder = tempfile::Builder::new();
    builder.prefix(".backline-").suffix(".part");
    // Like any new file, not private like a temporary one.
    #[cfg(unix)]
    builder.permissions(std::os::unix::fs::PermissionsExt::from_mode(0o666));
    let mut file = builder.tempfile_in(folder)?;
    file.write_all(bytes)?;
    if replace {
        file.persist(path)?;
    } else {
        file.persist_noclobber(path)?;
    }
    Ok(())
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
