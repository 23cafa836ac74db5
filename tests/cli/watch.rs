//! `backline watch`, driven by the ways in which editors save.
#![cfg(unix)]
#![allow(clippy::unwrap_used, clippy::panic, reason = "a test fails by panicking")]

use std::fs;
use std::io::{BufRead, BufReader, Write};
use std::path::{Path, PathBuf};
use std::process::{Child, Command, Stdio};
use std::sync::mpsc::{self, Receiver};
use std::time::{Duration, Instant};

/// Nothing takes as long on any machine.
const LONGEST: Duration = Duration::from_secs(30);

struct Watched {
    child: Child,
    lines: Receiver<String>,
    folder: tempfile::TempDir,
}

impl Drop for Watched {
    fn drop(&mut self) {
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}

fn job(width: u32) -> String {
    format!("unit = 'mm'\nborder = 50\nopening.size = [{width}, 100]\n")
}

impl Watched {
    fn start(jobs: &str) -> Self {
        let folder = tempfile::tempdir().unwrap();
        fs::create_dir(folder.path().join("jobs")).unwrap();
        fs::write(folder.path().join("jobs/a.toml"), job(100)).unwrap();
        let mut child = Command::new(env!("CARGO_BIN_EXE_backline"))
            .args(["watch", jobs, "-o", "out", "--format", "svg", "--view", "cut"])
            .current_dir(folder.path())
            .env("XDG_CONFIG_HOME", folder.path().join("settings"))
            .env_remove("BACKLINE_SHOP")
            .stderr(Stdio::piped())
            .spawn()
            .unwrap();
        let (sender, lines) = mpsc::channel();
        let errors = BufReader::new(child.stderr.take().unwrap());
        std::thread::spawn(move || errors.lines().map_while(Result::ok).try_for_each(|line| sender.send(line)));
        let watched = Self { child, lines, folder };
        watched.wait_for("watching ");
        watched
    }

    fn at(&self, name: &str) -> PathBuf {
        self.folder.path().join(name)
    }

    /// Waits for a line with some words and returns it.
    fn wait_for(&self, words: &str) -> String {
        let until = Instant::now() + LONGEST;
        let mut seen = Vec::new();
        while let Ok(line) = self.lines.recv_timeout(until.saturating_duration_since(Instant::now())) {
            if line.contains(words) {
                return line;
            }
            seen.push(line);
        }
        panic!("`{words}` was not said: {seen:?}")
    }

    /// Waits until a drawing has the width of a job, and returns how long that took.
    fn wait_for_width(&self, width: u32) -> Duration {
        let (begun, wanted) = (Instant::now(), format!("width=\"{}mm\"", width + 100));
        while begun.elapsed() < LONGEST {
            if fs::read_to_string(self.at("out/a-cut.svg")).is_ok_and(|text| text.contains(&wanted)) {
                return begun.elapsed();
            }
            std::thread::sleep(Duration::from_millis(2));
        }
        panic!("no drawing {wanted}")
    }
}

fn truncate_and_write_slowly(path: &Path, text: &str) {
    let mut file = fs::File::create(path).unwrap();
    let (first, second) = text.split_at(text.len() / 2);
    for part in [first, second] {
        std::thread::sleep(Duration::from_millis(5));
        file.write_all(part.as_bytes()).unwrap();
        file.flush().unwrap();
    }
}

fn rename_over(path: &Path, text: &str) {
    let new = path.with_extension("toml.tmp");
    fs::write(&new, text).unwrap();
    fs::rename(new, path).unwrap();
}

fn with_backup(path: &Path, text: &str) {
    let backup = path.with_extension("toml~");
    fs::rename(path, &backup).unwrap();
    fs::write(path, text).unwrap();
    fs::remove_file(backup).unwrap();
}

fn remove_and_write(path: &Path, text: &str) {
    fs::remove_file(path).unwrap();
    fs::write(path, text).unwrap();
}

#[test]
fn every_way_of_saving_is_seen() {
    let watched = Watched::start("jobs/a.toml");
    watched.wait_for_width(100);
    let ways: [fn(&Path, &str); 5] = [
        |path, text| fs::write(path, text).unwrap(),
        truncate_and_write_slowly,
        rename_over,
        with_backup,
        remove_and_write,
    ];
    for round in 0..2 {
        for (number, save) in (0..).zip(ways) {
            let width = 110 + 50 * round + 10 * number;
            save(&watched.at("jobs/a.toml"), &job(width));
            let took = watched.wait_for_width(width);
            println!("way {number}: {} ms", took.as_millis());
        }
    }
}

#[test]
fn a_half_saved_job_leaves_the_drawing_and_is_said() {
    let watched = Watched::start("jobs/a.toml");
    fs::write(watched.at("jobs/a.toml"), "unit = 'mm'\nborder = 50\nopening.size = [12").unwrap();
    watched.wait_for("error[unreadable]");
    watched.wait_for("not drawn; its drawings stay");
    watched.wait_for_width(100);
    fs::write(watched.at("jobs/a.toml"), job(120)).unwrap();
    watched.wait_for_width(120);
    fs::write(watched.at("jobs/a.toml"), "").unwrap();
    watched.wait_for("not drawn");
    fs::write(watched.at("jobs/a.toml"), job(130)).unwrap();
    watched.wait_for_width(130);
}

#[test]
fn outlines_and_the_shop_file_are_watched_too() {
    let watched = Watched::start("jobs/a.toml");
    fs::write(watched.at("jobs/a.toml"), "unit = 'mm'\nopening.size = [140, 100]\nborder = 50\n").unwrap();
    watched.wait_for_width(140);
    fs::write(watched.at("jobs/a.toml"), "unit = 'mm'\nopening.size = [140, 100]\n").unwrap();
    watched.wait_for("not drawn");
    fs::write(watched.at("shop.toml"), "unit = 'mm'\n[job]\nborder = 55\n").unwrap();
    watched.wait_for_width(150);
    rename_over(&watched.at("shop.toml"), "unit = 'mm'\n[job]\nborder = 60\n");
    watched.wait_for_width(160);
    let outline = |side: u32| {
        format!("<svg xmlns='http://www.w3.org/2000/svg' viewBox='0 0 100 100'><path d='M0 0H{side}V100H0Z'/></svg>")
    };
    fs::write(watched.at("jobs/leaf.svg"), outline(50)).unwrap();
    fs::write(
        watched.at("jobs/a.toml"),
        "unit = 'mm'\nborder = 50\nopening.shape.svg = { file = 'leaf.svg', height = 100 }\n",
    )
    .unwrap();
    watched.wait_for_width(50);
    fs::write(watched.at("jobs/leaf.svg"), outline(80)).unwrap();
    watched.wait_for_width(80);
}

#[test]
fn a_new_job_in_a_folder_is_drawn_and_others_are_left_alone() {
    let watched = Watched::start("jobs");
    let before = fs::metadata(watched.at("out/a-cut.svg")).unwrap().modified().unwrap();
    fs::write(watched.at("jobs/b.toml"), job(200)).unwrap();
    watched.wait_for("b.toml: drawn");
    assert!(watched.at("out/b-cut.svg").exists());
    assert_eq!(fs::metadata(watched.at("out/a-cut.svg")).unwrap().modified().unwrap(), before);
    // A file that this run has not written is not replaced.
    fs::write(watched.at("out/a-cut.svg"), "mine").unwrap();
    fs::write(watched.at("jobs/a.toml"), job(210)).unwrap();
    watched.wait_for("exists");
    assert_eq!(fs::read_to_string(watched.at("out/a-cut.svg")).unwrap(), "mine");
}
