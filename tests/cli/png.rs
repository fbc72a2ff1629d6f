//! `--png`: with the feature `png` every picture also as PNG, without it a refusal that says so.

use crate::support::program::run;

fn beatwright(args: &[&str]) -> (i32, String) {
    let (code, _, complaint) = run(args);
    (code, complaint)
}

#[cfg(not(feature = "png"))]
#[test]
fn without_the_feature_it_is_refused_by_its_name_and_nothing_is_written() {
    let folder = tempfile::tempdir().unwrap();
    let out = folder.path().join("out");
    for command in ["predict", "inspect", "room", "page"] {
        let (code, told) =
            beatwright(&[command, "scenarios/wren.toml", "--png", "--quiet", "--out", out.to_str().unwrap()]);
        assert_eq!(code, 2, "{command}: {told}");
        assert!(told.contains("--features png"), "{command}: {told}");
        assert!(!out.exists(), "{command}");
    }
}

#[cfg(feature = "png")]
mod drawn {
    use std::fs;
    use std::path::Path;

    use super::beatwright;
    use beatwright::report::canvas::look::{MARGIN_MM, TITLE_MM, WIDTH_MM};
    use beatwright::report::canvas::png::{PngError, WIDTH_PX, png};
    use resvg::tiny_skia::Pixmap;

    /// Share of the pixels that are dark, between two heights in mm.
    fn darkness(picture: &Pixmap, from_mm: f64, to_mm: f64) -> f64 {
        let pixel = |mm: f64| (mm / WIDTH_MM * f64::from(WIDTH_PX)) as usize * WIDTH_PX as usize;
        let band = &picture.pixels()[pixel(from_mm)..pixel(to_mm).min(picture.pixels().len())];
        let dark = |colour: &&resvg::tiny_skia::PremultipliedColorU8| {
            [colour.red(), colour.green(), colour.blue()].iter().all(|&part| part < 0x60)
        };
        band.iter().filter(dark).count() as f64 / band.len() as f64
    }

    fn check(svg: &Path) {
        let name = svg.display();
        let bytes = fs::read(svg.with_extension("png")).unwrap_or_else(|error| panic!("{name}: {error}"));
        assert!(bytes.starts_with(b"\x89PNG\r\n\x1a\n"), "{name}");
        let picture = Pixmap::decode_png(&bytes).unwrap();
        let text = fs::read_to_string(svg).unwrap();
        let document = roxmltree::Document::parse(&text).unwrap();
        let sides: Vec<f64> = document
            .root_element()
            .attribute("viewBox")
            .unwrap()
            .split(' ')
            .map(|side| side.parse().unwrap())
            .collect();
        assert_eq!(picture.width(), WIDTH_PX, "{name}");
        let height = f64::from(WIDTH_PX) * sides[3] / sides[2];
        assert!((f64::from(picture.height()) - height).abs() <= 1.0, "{name}: {} {height}", picture.height());
        assert!(picture.pixels().iter().all(|colour| colour.alpha() == 255), "{name} has no ground");
        // Bold type covers a fifth to a third of its line; a title is at least a fifth of the width.
        let title = darkness(&picture, MARGIN_MM, MARGIN_MM + TITLE_MM);
        assert!((0.02..0.3).contains(&title), "{name}: title covers {title}");
        let rest = darkness(&picture, MARGIN_MM + 2.0 * TITLE_MM, 1e3);
        assert!((0.002..0.5).contains(&rest), "{name}: the rest covers {rest}");
    }

    #[test]
    fn every_picture_of_a_prediction_is_also_a_png_with_its_title() {
        let folder = tempfile::tempdir().unwrap();
        let out = folder.path().to_str().unwrap();
        let (code, told) = beatwright(&["predict", "scenarios/wren.toml", "--png", "--out", out]);
        assert_eq!(code, 0, "{told}");
        let files: Vec<_> = fs::read_dir(out).unwrap().map(|entry| entry.unwrap().path()).collect();
        let svgs: Vec<_> =
            files.iter().filter(|file| file.extension().is_some_and(|extension| extension == "svg")).collect();
        assert!(svgs.len() >= 8);
        svgs.iter().for_each(|svg| check(svg));
        let pngs = files.iter().filter(|file| file.extension().is_some_and(|extension| extension == "png")).count();
        assert_eq!(pngs, svgs.len());
        assert!(told.contains(&format!("wrote {} files", files.len())), "{told}");
    }

    #[test]
    fn the_same_picture_has_the_same_bytes_and_what_is_no_picture_is_an_error() {
        let svg = fs::read(concat!(env!("CARGO_MANIFEST_DIR"), "/notebooks-out/gallery/heron-tooth-tips.svg")).unwrap();
        assert_eq!(png(&svg).unwrap(), png(&svg).unwrap());
        assert!(matches!(png(b"no picture"), Err(PngError::Unreadable(_))));
        let tall = br#"<svg xmlns="http://www.w3.org/2000/svg" width="1" height="11"/>"#;
        assert!(matches!(png(tall), Err(PngError::TooTall(_))));
    }

    #[test]
    fn the_page_keeps_its_pictures_to_itself() {
        let folder = tempfile::tempdir().unwrap();
        let out = folder.path().join("out");
        let (code, told) =
            beatwright(&["page", "scenarios/wren.toml", "--draft", "--png", "--out", out.to_str().unwrap()]);
        assert_eq!(code, 2, "{told}");
        assert!(told.contains("--png") && !out.exists(), "{told}");
    }
}
