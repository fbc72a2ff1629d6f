//! Collects problems while the tree is read; knows the materials.

use std::cell::RefCell;
use std::collections::HashMap;
use std::path::{Path, PathBuf};

use crate::clock::design::{Cut, MadeOf, MaterialRef};
use crate::clock::materials::{material_named, materials};

use super::nearest::suggestion;
use super::problem::{MOST_PROBLEMS, Problem};
use super::problem_code::ProblemCode;
use super::section::Section;
use super::source::{SourceId, Sources, Span};

/// What all sections of one reading share.
#[derive(Debug, Default)]
pub(in crate::scenario) struct Reader {
    found: RefCell<Found>,
    /// Folder of each file of the scenario; none where it is a text.
    folders: HashMap<SourceId, PathBuf>,
    /// Content of the files that the scenario names, in the order of their reading.
    named_files: RefCell<Vec<Vec<u8>>>,
    /// The scenario's own materials; `None` for one whose definition has a problem.
    own_materials: RefCell<Vec<(String, Option<MaterialRef>)>>,
}

#[derive(Debug, Default)]
struct Found {
    list: Vec<Problem>,
    left_out: usize,
}

impl Reader {
    /// A reader of a scenario whose files are in `folders`.
    pub(in crate::scenario) fn in_folders(folders: HashMap<SourceId, PathBuf>) -> Self {
        Self { folders, ..Self::default() }
    }

    /// Folder that a path written in `source` starts from: that of the file, and of the scenario's first file for an override;
    /// `None` for a text that is no file.
    pub(in crate::scenario) fn folder_of(&self, source: SourceId) -> Option<&Path> {
        self.folders.get(&source).or_else(|| self.folders.get(&Sources::FILE)).map(PathBuf::as_path)
    }

    /// Place of a source in the order in which they count, the uppermost first: overrides, the first file, those below it.
    pub(in crate::scenario) fn rank(&self, source: SourceId) -> (u8, SourceId) {
        let is_file = source == Sources::FILE || self.folders.contains_key(&source);
        if is_file { (1, source) } else { (0, Sources::FILE) }
    }

    /// Makes the content of a file that the scenario names part of its input.
    pub(in crate::scenario) fn keep_named_file(&self, content: Vec<u8>) {
        self.named_files.borrow_mut().push(content);
    }

    /// The contents kept.
    pub(in crate::scenario) fn named_files(&self) -> Vec<Vec<u8>> {
        self.named_files.take()
    }

    /// Keeps a problem, or counts it where there are too many already.
    pub(in crate::scenario) fn report(&self, code: ProblemCode, message: String, help: String, span: Span) {
        self.add(Problem { code, message, help, span });
    }

    /// Keeps a ready problem, or counts it.
    pub(in crate::scenario) fn add(&self, mut problem: Problem) {
        shorten(&mut problem.message);
        shorten(&mut problem.help);
        let mut found = self.found.borrow_mut();
        if found.list.len() < MOST_PROBLEMS {
            found.list.push(problem);
        } else {
            found.left_out += 1;
        }
    }

    /// Counts one more problem without wording it where there are enough; whether it did.
    pub(in crate::scenario) fn count_if_enough(&self) -> bool {
        let mut found = self.found.borrow_mut();
        let enough = found.list.len() >= MOST_PROBLEMS;
        found.left_out += usize::from(enough);
        enough
    }

    /// The problems so far and how many more there were.
    pub(in crate::scenario) fn into_problems(self) -> (Vec<Problem>, usize) {
        let found = self.found.into_inner();
        (found.list, found.left_out)
    }

    /// Makes a material of the scenario known.
    pub(in crate::scenario) fn define_material(&self, name: String, material: Option<MaterialRef>) {
        self.own_materials.borrow_mut().push((name, material));
    }

    /// What the flat part of a section is made of: `material`, or what the clock's other such parts are of, and `cut`.
    pub(in crate::scenario) fn made_of(
        &self,
        section: &mut Section<'_, '_>,
        otherwise: Option<&MadeOf>,
    ) -> Option<Option<MadeOf>> {
        let material = if section.has("material") {
            self.material(section, "material").map(Some)
        } else {
            section.entry("material");
            Some(otherwise.map(|other| other.material.clone()))
        };
        let cut = self.cut(section, otherwise.map_or(Cut::default(), |other| other.cut));
        let cut = cut?;
        Some(material?.map(|material| MadeOf { material, cut }))
    }

    /// How a flat part of wood was cut from the tree.
    pub(in crate::scenario) fn cut(&self, section: &mut Section<'_, '_>, otherwise: Cut) -> Option<Cut> {
        section.choice("cut", &[("flat_sawn", Cut::FlatSawn), ("quarter_sawn", Cut::QuarterSawn)], Some(otherwise))
    }

    /// The material that `section.key` names; the scenario's own come before the table.
    pub(in crate::scenario) fn material(
        &self,
        section: &mut Section<'_, '_>,
        key: &'static str,
    ) -> Option<MaterialRef> {
        let name = section.text(key)?;
        let own = self.own_materials.borrow();
        if let Some((_, material)) = own.iter().find(|(own_name, _)| *own_name == name) {
            return material.clone();
        }
        if let Some(material) = material_named(&name) {
            return Some(MaterialRef::from(material));
        }
        let mut known: Vec<&str> = own.iter().map(|(own_name, _)| own_name.as_str()).collect();
        known.extend(materials().map(|material| material.name));
        let message = format!("there is no material \"{name}\"");
        let help = format!(
            "{}; `beatwright materials` lists them; if it is a material of your own, define it: [material.\"{name}\"] with density = \"1240 kg/m^3\"",
            suggestion(&name, &known, "material")
        );
        section.report_at(key, ProblemCode::UnknownName, message, help);
        None
    }
}

/// Cuts a message that quotes an endless key or name.
fn shorten(text: &mut String) {
    const LONGEST: usize = 800;
    if let Some((end, _)) = text.char_indices().nth(LONGEST) {
        text.truncate(end);
        text.push('…');
    }
}
