//! The public items of the crate as text, kept in `golden-files/public-api.txt`, so that no change of them goes unseen.
//!
//! It is read from the sources: every public module with what it defines and re-exports, then the public methods of every
//! type, then the traits that are implemented by hand. Private fields and bodies are left out. It is a text of declarations: whether a
//! change breaks a caller is for the reader to judge.
#![allow(clippy::unwrap_used, clippy::panic, clippy::indexing_slicing, reason = "a test fails by panicking")]

use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::{Path, PathBuf};

use quote::ToTokens;
use syn::{Attribute, Fields, ImplItem, Item, TraitItem, UseTree, Visibility};

/// A module of the sources, public or not.
struct Module {
    items: Vec<Item>,
    children: BTreeMap<String, Module>,
}

impl Module {
    /// Reads a module and all below it; `folder` is where the files of its children lie.
    fn read(file: &Path, folder: &Path) -> Self {
        let text = fs::read_to_string(file).unwrap();
        let parsed = syn::parse_file(&text).unwrap_or_else(|error| panic!("{}: {error}", file.display()));
        let mut children = BTreeMap::new();
        for item in &parsed.items {
            let Item::Mod(module) = item else { continue };
            if module.content.is_some() || is_left_out(&module.attrs) {
                continue;
            }
            let name = module.ident.to_string();
            let (flat, deep) = (folder.join(format!("{name}.rs")), folder.join(&name).join("mod.rs"));
            let file: PathBuf = if flat.is_file() { flat } else { deep };
            children.insert(name.clone(), Self::read(&file, &folder.join(&name)));
        }
        Self { items: parsed.items, children }
    }

    fn below(&self, path: &[String]) -> Option<&Self> {
        path.iter().try_fold(self, |module, name| module.children.get(name))
    }
}

/// Tests are no part of the crate, and the command line is none that others call.
fn is_left_out(attributes: &[Attribute]) -> bool {
    attributes.iter().any(|attribute| {
        let text = attribute.to_token_stream().to_string();
        attribute.path().is_ident("cfg") && (text.contains("test") || text.contains("\"cli\""))
    })
}

fn is_public(visibility: &Visibility) -> bool {
    matches!(visibility, Visibility::Public(_))
}

/// Returns the attributes that callers notice.
fn kept(attributes: &[Attribute]) -> Vec<Attribute> {
    let noticed = ["derive", "non_exhaustive", "must_use"];
    let is_noticed = |attribute: &&Attribute| noticed.iter().any(|name| attribute.path().is_ident(name));
    attributes.iter().filter(is_noticed).cloned().collect()
}

/// Writes tokens as one line, near to how they are written by hand.
fn line(tokens: &impl ToTokens) -> String {
    let mut text = tokens.to_token_stream().to_string().replace('\n', " ");
    for (from, to) in [
        (" :: ", "::"),
        (" < ", "<"),
        (" > ", "> "),
        (" >", ">"),
        ("& ", "&"),
        (" , ", ", "),
        (" : ", ": "),
        (" (", "("),
        ("( ", "("),
        (" )", ")"),
        ("# [", "#["),
        (" ;", ";"),
        ("' ", "'"),
        (" ! ", "!"),
        (" [", "["),
    ] {
        text = text.replace(from, to);
    }
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// Returns the declaration of a public item without its body and its private fields.
fn declaration(item: &Item) -> Option<(String, String)> {
    let (name, text) = match item {
        Item::Struct(item) if is_public(&item.vis) => {
            let mut item = item.clone();
            item.attrs = kept(&item.attrs);
            let mut hidden = false;
            if let Fields::Named(fields) = &mut item.fields {
                let all = std::mem::take(&mut fields.named);
                let count = all.len();
                fields.named = all.into_iter().filter(|field| is_public(&field.vis)).collect();
                fields.named.iter_mut().for_each(|field| field.attrs.clear());
                hidden = fields.named.len() != count;
            }
            if let Fields::Unnamed(fields) = &mut item.fields
                && fields.unnamed.iter().any(|field| !is_public(&field.vis))
            {
                hidden = true;
                fields.unnamed.clear();
            }
            (item.ident.to_string(), line(&item) + if hidden { " // and private fields" } else { "" })
        }
        Item::Enum(item) if is_public(&item.vis) => {
            let mut item = item.clone();
            item.attrs = kept(&item.attrs);
            for variant in &mut item.variants {
                variant.attrs = kept(&variant.attrs);
                variant.fields.iter_mut().for_each(|field| field.attrs.clear());
            }
            (item.ident.to_string(), line(&item))
        }
        Item::Trait(item) if is_public(&item.vis) => {
            let mut item = item.clone();
            item.attrs = kept(&item.attrs);
            for part in &mut item.items {
                if let TraitItem::Fn(function) = part {
                    function.attrs = kept(&function.attrs);
                    if function.default.take().is_some() {
                        function.semi_token = Some(Default::default());
                    }
                }
            }
            (item.ident.to_string(), line(&item))
        }
        Item::Fn(item) if is_public(&item.vis) => (item.sig.ident.to_string(), format!("pub {}", line(&item.sig))),
        Item::Const(item) if is_public(&item.vis) => {
            (item.ident.to_string(), format!("pub const {}: {}", item.ident, line(&item.ty)))
        }
        Item::Type(item) if is_public(&item.vis) => {
            let mut item = item.clone();
            item.attrs.clear();
            (item.ident.to_string(), line(&item))
        }
        _ => return None,
    };
    Some((name, text))
}

/// Lists the paths that a `use` brings in, with the name that each gets.
fn leaves(tree: &UseTree, before: &[String], into: &mut Vec<(Vec<String>, String)>) {
    let with = |name: String| before.iter().cloned().chain([name]).collect::<Vec<_>>();
    match tree {
        UseTree::Path(path) => leaves(&path.tree, &with(path.ident.to_string()), into),
        UseTree::Name(name) => into.push((with(name.ident.to_string()), name.ident.to_string())),
        UseTree::Rename(name) => into.push((with(name.ident.to_string()), name.rename.to_string())),
        UseTree::Group(group) => group.items.iter().for_each(|tree| leaves(tree, before, into)),
        UseTree::Glob(_) => panic!("globs hide what they bring in"),
    }
}

/// Finds what a path means that is written in a module.
fn resolve(root: &Module, place: &[String], path: &[String]) -> Option<String> {
    let (name, way) = path.split_last()?;
    let mut place = place.to_vec();
    for step in way {
        match step.as_str() {
            "crate" => place.clear(),
            "self" => {}
            "super" => drop(place.pop()),
            child => place.push(child.to_owned()),
        }
    }
    let module = root.below(&place)?;
    module.items.iter().find_map(|item| match item {
        Item::Use(item) => {
            let mut all = Vec::new();
            leaves(&item.tree, &[], &mut all);
            let (path, _) = all.into_iter().find(|(_, known)| known == name)?;
            // Another crate stands for itself.
            if path.len() == 1 { None } else { resolve(root, &place, &path) }
        }
        item => declaration(item).filter(|(known, _)| known == name).map(|(_, text)| text),
    })
}

/// Writes every public path of a module and of the public modules below it.
fn write_module(root: &Module, place: &[String], out: &mut BTreeSet<String>) {
    let Some(module) = root.below(place) else { return };
    let path = ["backline"].into_iter().chain(place.iter().map(String::as_str)).collect::<Vec<_>>().join("::");
    for item in &module.items {
        match item {
            Item::Mod(child) if is_public(&child.vis) && !is_left_out(&child.attrs) => {
                out.insert(format!("{path}::{} (module)", child.ident));
                let below: Vec<String> = place.iter().cloned().chain([child.ident.to_string()]).collect();
                write_module(root, &below, out);
            }
            Item::Use(item) if is_public(&item.vis) => {
                let mut all = Vec::new();
                leaves(&item.tree, &[], &mut all);
                for (from, name) in all {
                    let text = resolve(root, place, &from).unwrap_or_else(|| format!("pub use {}", from.join("::")));
                    out.insert(format!("{path}::{name}: {text}"));
                }
            }
            item => out.extend(declaration(item).map(|(name, text)| format!("{path}::{name}: {text}"))),
        }
    }
}

/// Writes the public methods and constants of all types, and the traits that are implemented by hand.
fn write_impls(module: &Module, methods: &mut BTreeSet<String>, traits: &mut BTreeSet<String>) {
    for item in &module.items {
        let Item::Impl(block) = item else { continue };
        let owner = line(&block.self_ty);
        if let Some((_, of, _)) = &block.trait_ {
            traits.insert(format!("{} for {owner}", line(of)));
            continue;
        }
        for part in &block.items {
            match part {
                ImplItem::Fn(function) if is_public(&function.vis) => {
                    methods.insert(format!("{owner}: pub {}", line(&function.sig)));
                }
                ImplItem::Const(constant) if is_public(&constant.vis) => {
                    methods.insert(format!("{owner}: pub const {}: {}", constant.ident, line(&constant.ty)));
                }
                _ => {}
            }
        }
    }
    module.children.values().for_each(|child| write_impls(child, methods, traits));
}

fn snapshot() -> String {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("src");
    let root = Module::read(&folder.join("lib.rs"), &folder);
    let (mut paths, mut methods, mut traits) = (BTreeSet::new(), BTreeSet::new(), BTreeSet::new());
    write_module(&root, &[], &mut paths);
    write_impls(&root, &mut methods, &mut traits);
    let part = |title: &str, lines: BTreeSet<String>| {
        format!("# {title}\n\n{}\n\n", lines.into_iter().collect::<Vec<_>>().join("\n"))
    };
    part("Paths", paths) + &part("Methods and constants of types, private ones too", methods) + &part("Traits", traits)
}

#[test]
fn the_public_api_is_the_one_on_file() {
    let file = Path::new(env!("CARGO_MANIFEST_DIR")).join("golden-files/public-api.txt");
    let now = snapshot();
    if std::env::var_os("BACKLINE_BLESS").is_some() {
        fs::write(&file, &now).unwrap();
    }
    let before = fs::read_to_string(&file).unwrap_or_default();
    let (old, new): (BTreeSet<&str>, BTreeSet<&str>) = (before.lines().collect(), now.lines().collect());
    let gone: Vec<&&str> = old.difference(&new).collect();
    let come: Vec<&&str> = new.difference(&old).collect();
    assert!(
        before == now,
        "the public API changed; bless golden-files/public-api.txt if it is meant\n- {gone:#?}\n+ {come:#?}"
    );
}
