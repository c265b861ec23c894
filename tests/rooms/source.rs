//! The source as modules with their imports, read with `syn`. A module is named by its path without `crate`.

use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::Path;
use syn::visit::{self, Visit};
use syn::{Attribute, Item, UseTree};

/// One import: the module that imports, the module that is meant, and the module as it was written.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct Import {
    pub from: Vec<String>,
    pub to: Vec<String>,
    pub named: Vec<String>,
}

/// All modules that have a file.
#[derive(Default)]
pub struct Source {
    modules: BTreeSet<Vec<String>>,
    /// Modules that are only there for tests.
    tests: BTreeSet<Vec<String>>,
    /// What a module imports, as written, made absolute.
    paths: BTreeSet<(Vec<String>, Vec<String>)>,
    /// The names that a module has from elsewhere.
    names: BTreeMap<(Vec<String>, String), Vec<String>>,
}

impl Source {
    /// The whole of `src`, without the files that start a program.
    pub fn read() -> Source {
        let mut source = Source::default();
        let src = Path::new(env!("CARGO_MANIFEST_DIR")).join("src");
        source.folder(&src, &[]);
        source
    }

    fn folder(&mut self, folder: &Path, above: &[String]) {
        for entry in fs::read_dir(folder).unwrap() {
            let path = entry.unwrap().path();
            let stem = path.file_stem().unwrap().to_str().unwrap().to_string();
            if above.is_empty() && ["lib", "main", "bin"].contains(&stem.as_str()) {
                continue;
            }
            let mut module = above.to_vec();
            if stem != "mod" {
                module.push(stem);
            }
            if path.is_dir() {
                self.folder(&path, &module);
            } else if path.extension().is_some_and(|e| e == "rs") {
                self.add(module, &fs::read_to_string(&path).unwrap());
            }
        }
    }

    /// Takes in one file.
    pub fn add(&mut self, module: Vec<String>, text: &str) {
        let file = syn::parse_file(text).unwrap_or_else(|e| panic!("{module:?}: {e}"));
        self.modules.insert(module.clone());
        let mut reader = Reader {
            file: module.clone(),
            at: module,
            source: self,
        };
        reader.visit_file(&file);
    }

    /// Every import between modules, of what is not a test.
    pub fn imports(&self) -> Vec<Import> {
        let mut found = BTreeSet::new();
        for (from, path) in &self.paths {
            let is_test = (1..=from.len()).any(|n| self.tests.contains(&from[..n]));
            let named = self.module(path, 0);
            let to = self.module(path, 8);
            if !is_test && !to.is_empty() && !named.is_empty() && *from != to {
                found.insert(Import {
                    from: from.clone(),
                    to,
                    named,
                });
            }
        }
        found.into_iter().collect()
    }

    /// The module that a path leads to, through at most `steps` names that are handed on.
    fn module(&self, path: &[String], steps: u32) -> Vec<String> {
        let mut at = Vec::new();
        for (place, name) in path.iter().enumerate() {
            at.push(name.clone());
            if self.modules.contains(&at) {
                continue;
            }
            at.pop();
            if let Some(elsewhere) = self.names.get(&(at.clone(), name.clone()))
                && steps > 0
            {
                let rest = path[place + 1..].iter().cloned();
                let whole: Vec<String> = elsewhere.iter().cloned().chain(rest).collect();
                return self.module(&whole, steps - 1);
            }
            break;
        }
        at
    }
}

/// Reads one file; `at` is the module inside which it is, `file` that of the whole file.
struct Reader<'a> {
    file: Vec<String>,
    at: Vec<String>,
    source: &'a mut Source,
}

impl Reader<'_> {
    /// A path from the root; `None` where it begins with a crate or something local.
    fn absolute(&self, path: &[String]) -> Option<Vec<String>> {
        let mut base = match path.first()?.as_str() {
            "crate" => return Some(path[1..].to_vec()),
            "self" | "super" => self.at.clone(),
            _ => return None,
        };
        let mut rest = path;
        while let Some((first, after)) = rest.split_first() {
            match first.as_str() {
                "super" => drop(base.pop()),
                "self" => {}
                _ => break,
            }
            rest = after;
        }
        base.extend(rest.iter().cloned());
        Some(base)
    }

    fn found(&mut self, path: &[String]) {
        if let Some(path) = self.absolute(path) {
            self.source.paths.insert((self.file.clone(), path));
        }
    }

    fn tree(&mut self, before: &[String], tree: &UseTree) {
        let with = |name: &syn::Ident| [before, &[name.to_string()]].concat();
        match tree {
            UseTree::Path(path) => self.tree(&with(&path.ident), &path.tree),
            UseTree::Group(group) => group.items.iter().for_each(|t| self.tree(before, t)),
            UseTree::Glob(_) => self.found(before),
            UseTree::Name(name) if name.ident == "self" => self.found(before),
            UseTree::Name(name) => self.name(&with(&name.ident), name.ident.to_string()),
            UseTree::Rename(name) => self.name(&with(&name.ident), name.rename.to_string()),
        }
    }

    fn name(&mut self, path: &[String], name: String) {
        self.found(path);
        // Without `crate` or `super` the path begins at a child.
        let child = || [&self.at[..], path].concat();
        let whole = self.absolute(path).unwrap_or_else(child);
        self.source.names.insert((self.at.clone(), name), whole);
    }
}

fn is_test(attributes: &[Attribute]) -> bool {
    attributes.iter().any(|a| {
        a.path().is_ident("cfg")
            && a.parse_args::<syn::Path>()
                .is_ok_and(|p| p.is_ident("test"))
    })
}

fn attributes(item: &Item) -> &[Attribute] {
    match item {
        Item::Fn(i) => &i.attrs,
        Item::Mod(i) => &i.attrs,
        Item::Use(i) => &i.attrs,
        Item::Impl(i) => &i.attrs,
        Item::Struct(i) => &i.attrs,
        Item::Enum(i) => &i.attrs,
        Item::Const(i) => &i.attrs,
        _ => &[],
    }
}

impl<'ast> Visit<'ast> for Reader<'_> {
    fn visit_item(&mut self, item: &'ast Item) {
        let test = is_test(attributes(item));
        match item {
            Item::Mod(module) if test && module.content.is_none() => {
                let name = module.ident.to_string();
                let whole = [&self.at[..], &[name]].concat();
                self.source.tests.insert(whole);
            }
            _ if test => {}
            Item::Mod(module) => {
                self.at.push(module.ident.to_string());
                visit::visit_item(self, item);
                self.at.pop();
            }
            _ => visit::visit_item(self, item),
        }
    }

    fn visit_item_use(&mut self, item: &'ast syn::ItemUse) {
        self.tree(&[], &item.tree);
    }

    fn visit_path(&mut self, path: &'ast syn::Path) {
        let names: Vec<String> = path.segments.iter().map(|s| s.ident.to_string()).collect();
        self.found(&names);
        visit::visit_path(self, path);
    }

    fn visit_macro(&mut self, call: &'ast syn::Macro) {
        self.visit_path(&call.path);
        let text: String = call.tokens.to_string().split_whitespace().collect();
        for start in ["crate::", "super::"] {
            for (at, _) in text.match_indices(start) {
                if text[..at].ends_with("super::") {
                    continue;
                }
                let ends = |c: char| !(c.is_alphanumeric() || c == '_' || c == ':');
                let path = text[at..].split(ends).next().unwrap_or("");
                let names: Vec<String> = path.split("::").map(str::to_string).collect();
                self.found(&names);
            }
        }
    }
}
