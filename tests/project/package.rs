//! What goes to the registry is whole: no link of a document and no included file leads out of it.
#![allow(clippy::unwrap_used, clippy::panic, clippy::indexing_slicing, reason = "a test fails by panicking")]

use std::collections::BTreeSet;
use std::fs;
use std::path::{Component, Path, PathBuf};
use std::process::Command;

fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

/// Returns the files of the package.
fn packaged() -> BTreeSet<PathBuf> {
    let list = Command::new(env!("CARGO"))
        .current_dir(root())
        .args(["package", "--list", "--allow-dirty", "--offline"])
        .output()
        .unwrap();
    assert!(list.status.success(), "{}", String::from_utf8_lossy(&list.stderr));
    String::from_utf8(list.stdout).unwrap().lines().map(PathBuf::from).collect()
}

/// Returns where a path leads that stands in a file.
fn led_from(file: &Path, path: &str) -> PathBuf {
    let mut led = file.parent().unwrap().to_owned();
    for part in Path::new(path).components() {
        match part {
            Component::ParentDir => assert!(led.pop(), "{path} leaves the package"),
            Component::CurDir => {}
            part => led.push(part),
        }
    }
    led
}

/// Returns what stands between two marks, each time.
fn between<'t>(text: &'t str, start: &'t str, end: &'t str) -> impl Iterator<Item = &'t str> {
    text.split(start).skip(1).filter_map(move |rest| rest.split(end).next())
}

#[test]
fn no_path_leads_out_of_the_package() {
    let files = packaged();
    let is_there = |path: &Path| files.contains(path) || files.iter().any(|file| file.starts_with(path));
    let mut followed = 0;
    for file in &files {
        let text = |()| fs::read_to_string(root().join(file)).unwrap();
        let paths: Vec<String> = match file.extension().and_then(|ending| ending.to_str()) {
            Some("md") => {
                let text = text(());
                let links = between(&text, "](", ")").filter(|link| !link.contains("://") && !link.starts_with('#'));
                links.filter_map(|link| link.split('#').next()).map(str::to_owned).collect()
            }
            // What a test includes goes with it, so everything of `src` counts.
            Some("rs") => {
                let text = text(());
                let included = ["include_str!(\"", "include_bytes!(\""];
                included
                    .iter()
                    .flat_map(|start| between(&text, start, "\"").map(str::to_owned).collect::<Vec<_>>())
                    .collect()
            }
            _ => continue,
        };
        for path in paths {
            let led = led_from(file, &path);
            assert!(is_there(&led), "{} leads to {path}, which is not in the package", file.display());
            followed += 1;
        }
    }
    assert!(followed > 30, "{followed}");
}

#[test]
fn tests_and_their_files_stay_out_together() {
    let files = packaged();
    for folder in ["tests", "golden-files", "benches", "fuzz", ".ci"] {
        assert!(!files.iter().any(|file| file.starts_with(folder)), "{folder}");
    }
    for file in ["src/lib.rs", "src/main.rs", "README.md", "LICENSE-MIT", "LICENSE-APACHE", "examples/embed.rs"] {
        assert!(files.contains(Path::new(file)), "{file}");
    }
}

/// Pictures of documents that are outputs of the program are those of today.
#[test]
fn the_picture_of_the_readme_is_what_is_drawn() {
    let drawn = fs::read(root().join("golden-files/workshop/framed-double-mat/picture.svg")).unwrap();
    let shown = fs::read(root().join("docs/pictures/framed-double-mat.svg")).unwrap();
    assert!(drawn == shown, "copy the golden file to docs/pictures");
}
