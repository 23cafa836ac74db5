//! The golden folders for machines: the job in each, and for each machine the file that ought to lie beside it.
#![allow(dead_code, reason = "each test program uses a part of it")]

use std::path::{Path, PathBuf};

use backline::checked::Checked;
use backline::job::{Syntax, WrittenJob};
use backline::machine::{Machine, STARTERS, WrittenMachine};
use backline::mat::Mat;

/// One golden folder.
pub(crate) struct Golden {
    pub(crate) folder: PathBuf,
    pub(crate) resolved: Checked<Mat>,
    /// The machines that come with the program, and those of the folder.
    pub(crate) machines: Vec<Machine>,
}

/// Returns all golden folders in the order of their names.
pub(crate) fn all() -> Vec<Golden> {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("golden-files/machines");
    sorted(&root).into_iter().filter(|path| path.is_dir()).map(Golden::read).collect()
}

fn sorted(folder: &Path) -> Vec<PathBuf> {
    let mut paths: Vec<PathBuf> = std::fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().path()).collect();
    paths.sort();
    paths
}

impl Golden {
    fn read(folder: PathBuf) -> Self {
        let text = std::fs::read_to_string(folder.join("job.toml")).unwrap();
        let job = WrittenJob::read(&text, Syntax::Toml).unwrap_or_else(|error| panic!("{}: {error}", folder.display()));
        let mut machines: Vec<Machine> = STARTERS.iter().map(|starter| starter.machine()).collect();
        machines.extend(sorted(&folder).iter().filter(|path| is_profile(path)).map(|path| read_machine(path)));
        Self { folder, resolved: job.resolve(), machines }
    }

    /// Name of the folder.
    pub(crate) fn name(&self) -> String {
        self.folder.file_name().unwrap().to_string_lossy().into_owned()
    }

    /// The mat, which every golden job must have.
    pub(crate) fn mat(&self) -> &Mat {
        self.resolved.sound().unwrap_or_else(|| panic!("{}: {:?}", self.name(), self.resolved.problems))
    }

    /// Returns the name and the bytes of every file that belongs into the folder: what each machine gets for each board, or why
    /// it gets nothing.
    pub(crate) fn files(&self) -> Vec<(String, Vec<u8>)> {
        let mat = self.mat();
        let mut files = Vec::new();
        for (index, layer) in mat.layers().iter().enumerate() {
            let board = if mat.layers().len() == 1 { String::new() } else { format!("{}-", index + 1) };
            for machine in &self.machines {
                let Checked { value: program, problems, .. } = machine.plan(mat, layer);
                let mut words: String = problems.iter().map(|problem| format!("{problem}\n")).collect();
                let stem = format!("{board}{}", machine.name);
                if let Some(program) = program.filter(|program| !program.passes.is_empty()) {
                    let format = machine.format().into_result().unwrap();
                    match format.write(&program) {
                        Ok(written) => {
                            words.extend(written.notes.iter().map(|note| format!("note: {note}\n")));
                            files.push((format!("{stem}.{}", format.extension()), written.bytes));
                        }
                        Err(error) => words += &format!("error: {error}\n"),
                    }
                }
                if !words.is_empty() {
                    files.push((format!("{stem}.problems"), words.into_bytes()));
                }
            }
        }
        files
    }
}

/// Tells whether a file is a profile of the folder's own.
pub(crate) fn is_profile(path: &Path) -> bool {
    path.extension().is_some_and(|ending| ending == "toml") && path.file_name().is_some_and(|name| name != "job.toml")
}

fn read_machine(path: &Path) -> Machine {
    let text = std::fs::read_to_string(path).unwrap();
    let written =
        WrittenMachine::read(&text, Syntax::Toml).unwrap_or_else(|error| panic!("{}: {error}", path.display()));
    let name = path.file_stem().unwrap().to_string_lossy();
    written.resolve(&name).into_result().unwrap_or_else(|problems| panic!("{}: {problems:?}", path.display()))
}
