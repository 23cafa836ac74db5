//! The shop file of a run: where it is looked for, and what was read of it.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use std::sync::{Arc, Mutex, OnceLock, PoisonError};

use crate::job::{Defaults, Document};
use crate::shop::Shop;

use super::files::{self, JobOrigin};
use super::manifest::sha256;
use super::paths::is_stdio;
use super::text_file::{LARGEST_FILE, TextFile, UnreadableText};

/// The name of the file where it is looked for.
pub(super) const SHOP_FILE: &str = "shop.toml";
/// The variable of the environment that names one.
const VARIABLE: &str = "BACKLINE_SHOP";

/// How the file of the run is chosen; set once, before the command runs.
static CHOICE: OnceLock<ShopChoice> = OnceLock::new();
/// What was read already, by the path that names it.
static READ: Mutex<BTreeMap<PathBuf, ReadShop>> = Mutex::new(BTreeMap::new());

/// Where the shop file of a run is.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum ShopChoice {
    /// Nowhere: `--no-shop`.
    Nowhere,
    /// In this file: `--shop` or `$BACKLINE_SHOP`.
    File(PathBuf),
    /// Beside a job or in the folder above, else in the folder of the user's settings.
    Usual {
        /// Whether the folders of a job are looked at: not where jobs may come from strangers.
        beside: bool,
    },
}

type ReadShop = Result<Arc<FoundShop>, String>;

/// A shop file that was found and read.
#[derive(Debug)]
pub(super) struct FoundShop {
    pub(super) shop: Shop,
    /// The folder in which the files lie that it names.
    pub(super) folder: PathBuf,
    /// Of its text.
    pub(super) sha256: String,
}

impl FoundShop {
    pub(super) fn defaults(&self) -> Defaults {
        self.shop.defaults().clone()
    }

    pub(super) fn name(&self) -> &str {
        self.shop.defaults().name()
    }

    fn read(path: &Path) -> ReadShop {
        let name = path.display().to_string();
        let unreadable = |error: &dyn std::fmt::Display| {
            UnreadableText::new(&name, &format!("cannot read the shop file: {error}")).report
        };
        let bytes = files::read_regular(path, LARGEST_FILE).map_err(|error| unreadable(&error))?;
        let text = String::from_utf8(bytes).map_err(|_| unreadable(&"it is not UTF-8 text"))?;
        let hash = sha256(text.as_bytes());
        match Shop::parse(&*name, &*text) {
            Ok(shop) => {
                let folder = path.parent().map(Path::to_owned).unwrap_or_default();
                Ok(Arc::new(Self { shop, folder, sha256: hash }))
            }
            Err(error) => Err(TextFile::new(Document::new(name, text)).report_error(&error).report),
        }
    }
}

impl ShopChoice {
    /// Makes this the choice of the run, unless there was one.
    pub(super) fn keep(self) {
        // The command line is read once.
        let _ = CHOICE.set(self);
    }

    /// Returns what the options and the environment say.
    pub(super) fn of(named: Option<&Path>, no_shop: bool, beside: bool) -> Self {
        let variable = || std::env::var_os(VARIABLE).filter(|value| !value.is_empty()).map(PathBuf::from);
        match (no_shop, named.map(Path::to_owned).or_else(variable)) {
            (true, _) => Self::Nowhere,
            (false, Some(path)) => Self::File(path),
            (false, None) => Self::Usual { beside },
        }
    }

    /// Returns the file for a job, if there is one.
    fn file(&self, job: Option<JobOrigin<'_>>) -> Option<PathBuf> {
        match self {
            Self::Nowhere => None,
            Self::File(path) => Some(path.clone()),
            Self::Usual { beside } => {
                let beside = job.filter(|_| *beside).and_then(|job| match job {
                    JobOrigin::File(path) => beside_or_above(path),
                    JobOrigin::Stream(_) => None,
                });
                beside.or_else(in_settings)
            }
        }
    }
}

/// Looks in the folder of a job and in the one above it.
fn beside_or_above(job: &Path) -> Option<PathBuf> {
    if is_stdio(job) {
        return None;
    }
    folders_of(job).into_iter().map(|folder| folder.join(SHOP_FILE)).find(|path| path.is_file())
}

/// Returns the folder of a job and the one above it.
fn folders_of(job: &Path) -> [PathBuf; 2] {
    let folder = job.parent().unwrap_or(Path::new(""));
    let above = if folder.file_name().is_some() {
        folder.parent().map(Path::to_owned).unwrap_or_default()
    } else {
        folder.join("..")
    };
    [folder.to_owned(), above]
}

/// Looks in the folder of the user's settings.
fn in_settings() -> Option<PathBuf> {
    settings_folder().map(|folder| folder.join(SHOP_FILE)).filter(|path| path.is_file())
}

/// Returns the folder of the user's settings for this program, as the platform has it.
pub(super) fn settings_folder() -> Option<PathBuf> {
    let variable = |name| std::env::var_os(name).filter(|value| !value.is_empty()).map(PathBuf::from);
    let settings =
        variable("XDG_CONFIG_HOME").or_else(|| variable("APPDATA")).or_else(|| Some(variable("HOME")?.join(".config")));
    settings.map(|folder| folder.join("backline"))
}

/// Returns the shop file for a job, read once in a run; `None` if there is none. Without a job, only a file that is named or in the
/// user's settings counts.
///
/// # Errors
///
/// Returns the report of a file that cannot be read.
pub(super) fn for_job(job: Option<JobOrigin<'_>>) -> Result<Option<Arc<FoundShop>>, String> {
    let usual = ShopChoice::Usual { beside: true };
    let Some(path) = CHOICE.get().unwrap_or(&usual).file(job) else { return Ok(None) };
    let mut read = READ.lock().unwrap_or_else(PoisonError::into_inner);
    read.entry(path.clone()).or_insert_with(|| FoundShop::read(&path)).clone().map(Some)
}

/// Lists the places where a shop file for a job would count, whether or not there is one.
pub(super) fn places(job: JobOrigin<'_>) -> Vec<PathBuf> {
    let usual = ShopChoice::Usual { beside: true };
    match (CHOICE.get().unwrap_or(&usual), job) {
        (ShopChoice::Nowhere, _) => Vec::new(),
        (ShopChoice::File(path), _) => vec![path.clone()],
        (ShopChoice::Usual { beside: true }, JobOrigin::File(path)) => {
            let settings = settings_folder().map(|folder| folder.join(SHOP_FILE));
            folders_of(path).map(|folder| folder.join(SHOP_FILE)).into_iter().chain(settings).collect()
        }
        (ShopChoice::Usual { .. }, _) => settings_folder().map(|folder| folder.join(SHOP_FILE)).into_iter().collect(),
    }
}

/// Forgets what was read, so that changed files are read again.
pub(super) fn forget() {
    READ.lock().unwrap_or_else(PoisonError::into_inner).clear();
}
