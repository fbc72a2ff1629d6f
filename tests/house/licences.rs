//! Licences of all packages that a build of this program brings along, on this kind of machine and with every feature.
//!
//! The packages' own statements are read without a network. Known security advisories are another matter: they take a database
//! that changes daily, so nothing here asks for them (`cargo audit` or `cargo deny check advisories` does, with a network).

use std::process::Command;

use serde_json::Value;

/// Licences under which code may go along with a program under MIT or Apache-2.0. All ask for no more than their notice, and MPL-2.0 (the
/// readers of sound, `symphonia`, unchanged) for saying where the source of its own files is to be had: the package registry.
const ALLOWED: [&str; 13] = [
    "0BSD",
    "Apache-2.0",
    "Apache-2.0 WITH LLVM-exception",
    "BSD-2-Clause",
    "BSD-3-Clause",
    "BSL-1.0",
    "CC0-1.0",
    "ISC",
    "MIT",
    "MPL-2.0",
    "Unicode-3.0",
    "Unlicense",
    "Zlib",
];

/// Whether the licence expression (SPDX, or the older `A/B` for either) can be met by allowed licences alone.
fn is_allowed(expression: &str) -> bool {
    let spaced = expression.replace('/', " OR ").replace('(', " ( ").replace(')', " ) ");
    let words: Vec<&str> = spaced.split_whitespace().collect();
    let mut rest = &words[..];
    either(&mut rest) == Some(true) && rest.is_empty()
}

/// Several joined by OR; `None` where the text is no expression.
fn either(rest: &mut &[&str]) -> Option<bool> {
    let mut allowed = both(rest)?;
    while rest.first() == Some(&"OR") {
        *rest = &rest[1..];
        allowed |= both(rest)?;
    }
    Some(allowed)
}

/// Several joined by AND.
fn both(rest: &mut &[&str]) -> Option<bool> {
    let mut allowed = single(rest)?;
    while rest.first() == Some(&"AND") {
        *rest = &rest[1..];
        allowed &= single(rest)?;
    }
    Some(allowed)
}

/// One licence, or an expression in brackets.
fn single(rest: &mut &[&str]) -> Option<bool> {
    let (first, others) = rest.split_first()?;
    *rest = others;
    if *first == "(" {
        let allowed = either(rest)?;
        let (last, others) = rest.split_first()?;
        *rest = others;
        return (*last == ")").then_some(allowed);
    }
    if let ["WITH", exception, others @ ..] = *rest {
        *rest = others;
        return Some(ALLOWED.contains(&format!("{first} WITH {exception}").as_str()));
    }
    Some(ALLOWED.contains(first))
}

#[test]
fn reads_licence_expressions() {
    for good in [
        "MIT",
        "GPL-3.0-only OR MIT",
        "MIT/Apache-2.0",
        "(MIT OR Apache-2.0) AND Unicode-3.0",
        "GPL-3.0 OR (MIT AND Zlib)",
    ] {
        assert!(is_allowed(good), "{good}");
    }
    for bad in
        ["", "GPL-3.0-only", "MIT AND GPL-3.0-only", "(MIT", "MIT OR", "MIT MIT", "MIT WITH GPL-exception", "OR MIT"]
    {
        assert!(!is_allowed(bad), "{bad}");
    }
}

/// What cargo knows of the packages built on this kind of machine, from what has been downloaded; `None` where some of them
/// have not.
fn metadata(features: &str) -> Option<Value> {
    let cargo = env!("CARGO");
    let about = Command::new(cargo).args(["-vV"]).output().unwrap();
    let about = String::from_utf8(about.stdout).unwrap();
    let host = about.lines().find_map(|line| line.strip_prefix("host: ")).unwrap();
    let output = Command::new(cargo)
        .current_dir(env!("CARGO_MANIFEST_DIR"))
        .args(["metadata", "--offline", "--locked", "--format-version", "1", "--filter-platform", host, features])
        .output()
        .unwrap();
    output.status.success().then(|| serde_json::from_slice(&output.stdout).unwrap())
}

#[test]
fn every_package_may_go_along() {
    let metadata = metadata("--all-features").or_else(|| {
        println!("the packages of the feature `png` have not been downloaded: only the others were looked at");
        metadata("--features=cli")
    });
    let packages = metadata.as_ref().and_then(|all| all["packages"].as_array()).unwrap();
    assert!(packages.len() > 50, "only {} packages were found", packages.len());
    let refused: Vec<String> = packages
        .iter()
        .filter(|package| !package["license"].as_str().is_some_and(is_allowed))
        .map(|package| format!("{} {}: {}", package["name"], package["version"], package["license"]))
        .collect();
    assert!(refused.is_empty(), "licences to look at: {refused:#?}");
}
