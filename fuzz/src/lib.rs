//! What the fuzz targets do with bytes. The tests replay the corpus and the nasty files with any compiler.

pub mod job;
pub mod measured;
pub mod order;
pub mod outline;
pub mod photo;
pub mod printing;
pub mod profile;

/// A target: its name, and what it does with any bytes.
pub type Target = (&'static str, fn(&[u8]));

/// All targets.
pub const TARGETS: [Target; 7] = [
    ("job", job::run),
    ("measured", measured::run),
    ("order", order::run),
    ("svg_outline", outline::run),
    ("photo", photo::run),
    ("printing", printing::run),
    ("profile", profile::run),
];

#[cfg(test)]
mod tests {
    use std::fs;
    use std::path::{Path, PathBuf};

    use super::TARGETS;

    /// Larger files are for the fuzzer, not for a test that builds without optimisation.
    const LARGEST: u64 = 20_000;

    fn files(folder: &Path) -> Vec<PathBuf> {
        let mut found = Vec::new();
        let Ok(entries) = fs::read_dir(folder) else { return found };
        for path in entries.map(|entry| entry.unwrap().path()) {
            if path.is_dir() {
                found.extend(files(&path));
            } else if path.metadata().unwrap().len() <= LARGEST {
                found.push(path);
            }
        }
        found.sort();
        found
    }

    #[test]
    fn no_file_of_the_corpus_and_no_nasty_one_makes_a_target_panic() {
        let root = Path::new(env!("CARGO_MANIFEST_DIR"));
        let corpus = files(&root.join("corpus"));
        let nasty = files(&root.join("../tests/nasty"));
        assert!(corpus.len() >= TARGETS.len() && nasty.len() > 10, "{} {}", corpus.len(), nasty.len());
        for (name, run) in TARGETS {
            let own = root.join("corpus").join(name);
            assert!(corpus.iter().any(|file| file.starts_with(&own)), "{name} has no corpus");
            for file in corpus.iter().filter(|file| file.starts_with(&own)).chain(&nasty) {
                println!("{name} {}", file.display());
                run(&fs::read(file).unwrap());
            }
        }
    }

    /// Cargo names each target in the manifest, with a file that calls it.
    #[test]
    fn every_target_is_a_program() {
        let root = Path::new(env!("CARGO_MANIFEST_DIR"));
        let manifest = fs::read_to_string(root.join("Cargo.toml")).unwrap();
        for (name, _) in TARGETS {
            assert!(manifest.contains(&format!("path = \"fuzz_targets/{name}.rs\"")), "{name}");
        }
        assert_eq!(fs::read_dir(root.join("fuzz_targets")).unwrap().count(), TARGETS.len());
    }
}
