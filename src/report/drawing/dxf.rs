//! DXF in ASCII, release R2000, with only what that release requires.

use std::fmt::Write as _;

use crate::geometry::Outline;

use super::labelled::{DrawnLabel, LABELS, LabelledDrawing};
use super::{MM_PER_M, names};

/// Handles below this one belong to the tables and blocks that every drawing has.
const FIRST_FREE_HANDLE: u32 = 0x100;

/// Handle of the block of the model, owner of the entities.
const MODEL_SPACE: &str = "1F";

/// The text of a DXF file of outlines (m) in the layers given: closed LWPOLYLINEs in mm with full precision, arcs as bulges.
/// Characters that layer names may not have become `_`.
#[must_use]
pub fn dxf_text(drawn: &[(&str, &Outline)]) -> String {
    written(drawn, &[])
}

/// The same of a drawing with labels, which are TEXT entities on a layer of their own.
#[must_use]
pub fn dxf_of(drawing: &LabelledDrawing) -> String {
    written(&drawing.drawn(), &drawing.labels)
}

fn written(drawn: &[(&str, &Outline)], labels: &[DrawnLabel]) -> String {
    let mut writer = Writer { text: String::new(), next_handle: FIRST_FREE_HANDLE };
    // The header names the first handle that is free, so the rest is written before it.
    let mut layers = names(drawn);
    if !labels.is_empty() {
        layers.push(LABELS);
    }
    writer.tables(&layers);
    writer.blocks();
    writer.section("ENTITIES");
    for (layer, outline) in drawn {
        writer.polyline(layer, outline);
    }
    for label in labels {
        writer.label(label);
    }
    writer.group(0, "ENDSEC");
    writer.objects();
    writer.group(0, "EOF");
    let body = std::mem::take(&mut writer.text);
    writer.header();
    writer.text + &body
}

struct Writer {
    text: String,
    next_handle: u32,
}

impl Writer {
    fn group(&mut self, code: u16, value: &str) {
        let _ = writeln!(self.text, "{code:>3}\n{value}");
    }

    fn groups(&mut self, groups: &[(u16, &str)]) {
        for &(code, value) in groups {
            self.group(code, value);
        }
    }

    fn number(&mut self, code: u16, value: f64) {
        // Adding zero makes -0 plain; the shortest text that reads back as the same number.
        self.group(code, &format!("{:?}", value + 0.0));
    }

    fn section(&mut self, name: &str) {
        self.groups(&[(0, "SECTION"), (2, name)]);
    }

    fn handle(&mut self) -> String {
        let handle = format!("{:X}", self.next_handle);
        self.next_handle += 1;
        handle
    }

    fn header(&mut self) {
        let seed = format!("{:X}", self.next_handle);
        self.section("HEADER");
        self.groups(&[(9, "$ACADVER"), (1, "AC1015"), (9, "$DWGCODEPAGE"), (3, "ANSI_1252")]);
        self.groups(&[(9, "$HANDSEED"), (5, &seed), (9, "$INSUNITS"), (70, "4"), (9, "$MEASUREMENT"), (70, "1")]);
        self.group(0, "ENDSEC");
    }

    fn table(&mut self, name: &str, handle: &str, entries: usize) {
        self.groups(&[(0, "TABLE"), (2, name), (5, handle), (330, "0"), (100, "AcDbSymbolTable")]);
        self.group(70, &entries.to_string());
    }

    fn record(&mut self, kind: &str, subclass: &str, owner: &str, name: &str) {
        let handle = self.handle();
        let handle_code = if kind == "DIMSTYLE" { 105 } else { 5 };
        self.groups(&[(0, kind), (handle_code, &handle), (330, owner), (100, "AcDbSymbolTableRecord")]);
        self.groups(&[(100, subclass), (2, name)]);
    }

    fn tables(&mut self, layers: &[&str]) {
        self.section("TABLES");
        self.table("VPORT", "8", 0);
        self.group(0, "ENDTAB");
        self.table("LTYPE", "5", 3);
        for name in ["ByBlock", "ByLayer", "Continuous"] {
            self.record("LTYPE", "AcDbLinetypeTableRecord", "5", name);
            self.groups(&[(70, "0"), (3, ""), (72, "65"), (73, "0"), (40, "0.0")]);
        }
        self.group(0, "ENDTAB");
        self.table("LAYER", "2", layers.len() + 1);
        let own = layers.iter().map(|layer| layer_name(layer)).filter(|name| name != "0");
        for name in std::iter::once("0".to_owned()).chain(own) {
            self.record("LAYER", "AcDbLayerTableRecord", "2", &name);
            self.groups(&[(70, "0"), (62, "7"), (6, "Continuous"), (370, "-3"), (390, "F")]);
        }
        self.group(0, "ENDTAB");
        self.table("STYLE", "3", 1);
        self.record("STYLE", "AcDbTextStyleTableRecord", "3", "Standard");
        self.groups(&[(70, "0"), (40, "0.0"), (41, "1.0"), (50, "0.0"), (71, "0"), (42, "2.5"), (3, "txt"), (4, "")]);
        self.group(0, "ENDTAB");
        self.table("VIEW", "6", 0);
        self.group(0, "ENDTAB");
        self.table("UCS", "7", 0);
        self.group(0, "ENDTAB");
        self.table("APPID", "9", 1);
        self.record("APPID", "AcDbRegAppTableRecord", "9", "ACAD");
        self.groups(&[(70, "0"), (0, "ENDTAB")]);
        self.table("DIMSTYLE", "A", 1);
        self.group(100, "AcDbDimStyleTable");
        self.record("DIMSTYLE", "AcDbDimStyleTableRecord", "A", "Standard");
        self.groups(&[(70, "0"), (0, "ENDTAB")]);
        self.table("BLOCK_RECORD", "1", 2);
        for (handle, name) in [(MODEL_SPACE, "*Model_Space"), ("1B", "*Paper_Space")] {
            self.groups(&[(0, "BLOCK_RECORD"), (5, handle), (330, "1"), (100, "AcDbSymbolTableRecord")]);
            self.groups(&[(100, "AcDbBlockTableRecord"), (2, name), (340, "0")]);
        }
        self.groups(&[(0, "ENDTAB"), (0, "ENDSEC")]);
    }

    fn blocks(&mut self) {
        self.section("BLOCKS");
        for (owner, name) in [(MODEL_SPACE, "*Model_Space"), ("1B", "*Paper_Space")] {
            let (begin, end) = (self.handle(), self.handle());
            self.groups(&[(0, "BLOCK"), (5, &begin), (330, owner), (100, "AcDbEntity"), (8, "0")]);
            self.groups(&[(100, "AcDbBlockBegin"), (2, name), (70, "0"), (10, "0.0"), (20, "0.0"), (30, "0.0")]);
            self.groups(&[(3, name), (1, ""), (0, "ENDBLK"), (5, &end), (330, owner), (100, "AcDbEntity")]);
            self.groups(&[(8, "0"), (100, "AcDbBlockEnd")]);
        }
        self.group(0, "ENDSEC");
    }

    fn polyline(&mut self, layer: &str, outline: &Outline) {
        let handle = self.handle();
        self.groups(&[(0, "LWPOLYLINE"), (5, &handle), (330, MODEL_SPACE), (100, "AcDbEntity")]);
        self.groups(&[(8, &layer_name(layer)), (100, "AcDbPolyline")]);
        self.group(90, &outline.vertices().len().to_string());
        self.groups(&[(70, "1"), (43, "0.0")]);
        for vertex in outline.vertices() {
            self.number(10, vertex.at.x * MM_PER_M);
            self.number(20, vertex.at.y * MM_PER_M);
            if vertex.bulge != 0.0 {
                self.number(42, vertex.bulge);
            }
        }
    }

    fn label(&mut self, label: &DrawnLabel) {
        let handle = self.handle();
        self.groups(&[(0, "TEXT"), (5, &handle), (330, MODEL_SPACE), (100, "AcDbEntity"), (8, LABELS)]);
        self.group(100, "AcDbText");
        self.number(10, label.at.x * MM_PER_M);
        self.number(20, label.at.y * MM_PER_M);
        self.number(30, 0.0);
        self.number(40, label.height_m * MM_PER_M);
        self.group(1, &plain_text(&label.text));
        self.group(100, "AcDbText");
    }

    /// The root dictionary with the plot style that layers refer to.
    fn objects(&mut self) {
        self.section("OBJECTS");
        self.groups(&[(0, "DICTIONARY"), (5, "C"), (330, "0"), (100, "AcDbDictionary"), (281, "1")]);
        self.groups(&[(3, "ACAD_GROUP"), (350, "D"), (3, "ACAD_PLOTSTYLENAME"), (350, "E")]);
        self.groups(&[(0, "DICTIONARY"), (5, "D"), (330, "C"), (100, "AcDbDictionary"), (281, "1")]);
        self.groups(&[(0, "ACDBDICTIONARYWDFLT"), (5, "E"), (330, "C"), (100, "AcDbDictionary"), (281, "1")]);
        self.groups(&[(3, "Normal"), (350, "F"), (100, "AcDbDictionaryWithDefault"), (340, "F")]);
        self.groups(&[(0, "ACDBPLACEHOLDER"), (5, "F"), (330, "E"), (0, "ENDSEC")]);
    }
}

/// A name that a layer may have.
fn layer_name(name: &str) -> String {
    let allowed = |c: char| c.is_ascii_graphic() && !"<>/\\\":;?*|=`,'".contains(c);
    name.chars().map(|c| if allowed(c) { c } else { '_' }).collect()
}

/// Text in one line of the file, characters beyond ASCII by their numbers.
fn plain_text(text: &str) -> String {
    let character = |c: char| match c {
        ' '..='~' => c.to_string(),
        c if c.is_control() => " ".to_owned(),
        c => format!("\\U+{:04X}", u32::from(c)),
    };
    text.chars().map(character).collect()
}
