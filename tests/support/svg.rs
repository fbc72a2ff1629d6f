//! What every picture of ours has to fulfil, read off its SVG.

/// Well-formed, with title, description and a white ground, all numbers finite, all lines and texts on the canvas and no text
/// below 7 pt. Returns the texts.
pub fn check_well_formed(name: &str, svg: &str) -> Vec<String> {
    let document = roxmltree::Document::parse(svg).unwrap_or_else(|error| panic!("{name}: {error}"));
    let root = document.root_element();
    assert_eq!(root.attribute("width"), Some("90mm"), "{name}");
    let box_: Vec<f64> = root.attribute("viewBox").unwrap().split(' ').map(|side| side.parse().unwrap()).collect();
    let child = |tag| root.children().find(|node| node.has_tag_name(tag)).and_then(|node| node.text());
    assert!(child("title").is_some_and(|title| title.len() > 8), "{name} has no title");
    assert!(child("desc").is_some_and(|text| text.ends_with('.')), "{name} has no description");
    let background = root
        .children()
        .find(roxmltree::Node::is_element)
        .and_then(|_| root.children().find(|node| node.has_tag_name("rect")).and_then(|node| node.attribute("fill")));
    assert_eq!(background, Some("#FFFFFF"), "{name} has no white background");
    for node in document.descendants() {
        for attribute in ["x", "y", "cx", "cy", "r", "width", "height", "stroke-width", "font-size"] {
            if node == root {
                continue;
            }
            if let Some(value) = node.attribute(attribute) {
                assert!(value.parse::<f64>().is_ok_and(f64::is_finite), "{name}: {attribute}={value}");
            }
        }
        for pair in node.attribute("points").unwrap_or_default().split_whitespace() {
            let (x, y) = pair.split_once(',').unwrap();
            let (x, y): (f64, f64) = (x.parse().unwrap(), y.parse().unwrap());
            assert!((0.0..=box_[2]).contains(&x) && (0.0..=box_[3]).contains(&y), "{name}: {pair} is off the canvas");
        }
    }
    let texts: Vec<_> = document.descendants().filter(|node| node.has_tag_name("text")).collect();
    for text in &texts {
        let number = |attribute| text.attribute(attribute).unwrap().parse::<f64>().unwrap();
        let written = text.text().unwrap().trim();
        assert!(!written.contains("NaN") && !written.contains("inf"), "{name}: {written}");
        assert!(!written.contains("-") || written.chars().any(char::is_alphabetic), "{name}: {written}");
        // Mean width of a letter of running text in the usual faces is half its size.
        let size = number("font-size");
        assert!(size >= 247.0, "{name}: {written} is smaller than 7 pt");
        let width = 0.5 * size * written.chars().count() as f64;
        let left = match text.attribute("text-anchor") {
            Some("end") => number("x") - width,
            Some("middle") => number("x") - 0.5 * width,
            _ => number("x"),
        };
        let (top, bottom) = (number("y") - 0.5 * size, number("y") + 0.5 * size);
        assert!(left >= 0.0 && left + width <= box_[2], "{name}: {written} is cut off at the side");
        assert!(top >= 0.0 && bottom <= box_[3], "{name}: {written} is cut off above or below");
    }
    texts.iter().map(|text| text.text().unwrap().trim().to_owned()).collect()
}

/// A sheet at full size: one unit of the picture is a millimetre, and all words are on the paper.
pub fn check_sheet(name: &str, svg: &str) {
    let document = roxmltree::Document::parse(svg).unwrap_or_else(|error| panic!("{name}: {error}"));
    let root = document.root_element();
    let paper: Vec<f64> = root.attribute("viewBox").unwrap().split(' ').map(|side| side.parse().unwrap()).collect();
    for (attribute, side) in [("width", paper[2]), ("height", paper[3])] {
        assert_eq!(root.attribute(attribute), Some(format!("{side}mm").as_str()), "{name} is not at full size");
    }
    assert!(root.attribute("style").unwrap().contains("background:white"), "{name} has no white background");
    assert!(!svg.contains("NaN") && !svg.contains("inf"), "{name}");
    for text in document.descendants().filter(|node| node.has_tag_name("text")) {
        let number = |attribute| text.attribute(attribute).unwrap().parse::<f64>().unwrap();
        let written = text.text().unwrap();
        let right = number("x") + 0.5 * number("font-size") * written.chars().count() as f64;
        assert!(number("x") >= paper[0] && right <= paper[0] + paper[2], "{name}: {written} is cut off at the side");
        assert!(
            number("y") - number("font-size") >= paper[1] && number("y") <= paper[1] + paper[3],
            "{name}: {written}"
        );
    }
}

/// A line as it is drawn: colour, width and places in hundredths of a millimetre.
pub struct DrawnLine {
    pub stroke: String,
    pub width: f64,
    pub points: Vec<(f64, f64)>,
}

/// All lines of a picture.
pub fn lines(svg: &str) -> Vec<DrawnLine> {
    let document = roxmltree::Document::parse(svg).unwrap();
    let number = |text: &str| text.parse::<f64>().unwrap();
    let line = |node: roxmltree::Node<'_, '_>| DrawnLine {
        stroke: node.attribute("stroke").unwrap().to_owned(),
        width: number(node.attribute("stroke-width").unwrap()),
        points: node
            .attribute("points")
            .unwrap()
            .split_whitespace()
            .map(|pair| pair.split_once(',').map(|(x, y)| (number(x), number(y))).unwrap())
            .collect(),
    };
    document.descendants().filter(|node| node.has_tag_name("polyline")).map(line).collect()
}

/// No text covers another one. `name` tells which picture.
pub fn check_texts_apart(name: &str, svg: &str) {
    let boxes = text_boxes(svg);
    for (index, (one, a)) in boxes.iter().enumerate() {
        for (other, b) in &boxes[index + 1..] {
            let apart = a[2] <= b[0] || b[2] <= a[0] || a[3] <= b[1] || b[3] <= a[1];
            assert!(apart, "{name}: {one:?} and {other:?}");
        }
    }
}

/// Texts with the rectangles that they cover: left, top, right, bottom.
pub fn text_boxes(svg: &str) -> Vec<(String, [f64; 4])> {
    let document = roxmltree::Document::parse(svg).unwrap();
    document
        .descendants()
        .filter(|node| node.has_tag_name("text"))
        .map(|text| {
            let number = |attribute| text.attribute(attribute).unwrap().parse::<f64>().unwrap();
            let written = text.text().unwrap().trim().to_owned();
            let size = number("font-size");
            let width = 0.45 * size * written.chars().count() as f64;
            let left = match text.attribute("text-anchor") {
                Some("end") => number("x") - width,
                Some("middle") => number("x") - 0.5 * width,
                _ => number("x"),
            };
            (written, [left, number("y") - 0.35 * size, left + width, number("y") + 0.35 * size])
        })
        .collect()
}
