//! The lines of a table and their cells, each with its place in the text.

/// A cell and its place in the text.
#[derive(Debug, Clone, Copy)]
pub(super) struct Cell<'t> {
    pub text: &'t str,
    pub start: usize,
    pub end: usize,
}

impl Cell<'_> {
    /// From the first of some cells to the last.
    pub fn around<'t>(cells: &[Cell<'t>]) -> Cell<'t> {
        let (first, last) = (cells.first(), cells.last());
        Cell {
            text: first.map_or("", |cell| cell.text),
            start: first.map_or(0, |cell| cell.start),
            end: last.map_or(0, |cell| cell.end),
        }
    }
}

/// A line with something on it.
#[derive(Debug, Clone, Copy)]
pub(super) struct TableLine<'t> {
    pub text: &'t str,
    /// Byte of the whole text at which it begins.
    pub start: usize,
    /// From 1.
    pub number: usize,
}

/// The lines of a text that are neither blank nor remarks.
pub(super) fn lines(text: &str) -> impl Iterator<Item = TableLine<'_>> {
    let mut start = 0;
    let mut number = 0;
    std::iter::from_fn(move || {
        let rest = text.get(start..).filter(|rest| !rest.is_empty())?;
        let end = rest.find(['\n', '\r']).unwrap_or(rest.len());
        let line = TableLine { text: &rest[..end], start, number: number + 1 };
        // A carriage return with a line feed is one end of a line.
        let step = if rest[end..].starts_with("\r\n") { 2 } else { 1 };
        (start, number) = (start + end + step, number + 1);
        Some(line)
    })
    .filter(|line| !line.text.trim().is_empty() && !line.text.starts_with('#'))
}

/// The remarks with which a text begins, each with its line.
pub(super) fn remarks(text: &str) -> Vec<(usize, String)> {
    let numbered = text.lines().enumerate().map(|(index, line)| (index + 1, line.trim()));
    let leading = numbered.take_while(|(_, line)| line.is_empty() || line.starts_with('#'));
    leading
        .filter(|(_, line)| !line.is_empty())
        .map(|(line, text)| (line, text.trim_start_matches('#').trim().to_owned()))
        .collect()
}

/// What separates the cells of a table: whatever its header has, a comma last, for semicolons come with decimal commas.
pub(super) fn separator_of(header: &str) -> char {
    [';', '\t'].into_iter().find(|&separator| header.contains(separator)).unwrap_or(',')
}

/// The separator that a spreadsheet declares in a first line of its own ("sep=;").
pub(super) fn declared_separator(line: &str) -> Option<char> {
    let mut letters = line.trim().strip_prefix("sep=")?.chars();
    letters.next().filter(|_| letters.next().is_none())
}

/// The cells of a line, without blanks and quotes around them.
pub(super) fn cells<'t>(line: &TableLine<'t>, separator: char) -> Vec<Cell<'t>> {
    let text = line.text;
    let mut cells = Vec::new();
    let (mut begin, mut quoted) = (0, false);
    for (at, letter) in text.char_indices() {
        if letter == '"' {
            quoted = !quoted;
        } else if letter == separator && !quoted {
            cells.push(trimmed(text, begin, at, line.start));
            begin = at + letter.len_utf8();
        }
    }
    cells.push(trimmed(text, begin, text.len(), line.start));
    cells
}

fn trimmed(line: &str, begin: usize, end: usize, offset: usize) -> Cell<'_> {
    let raw = &line[begin.min(end)..end];
    let text = raw.trim().trim_matches('"').trim();
    let start = offset + begin + raw.find(text).unwrap_or(0);
    Cell { text, start, end: start + text.len() }
}

/// Whether a cell says that there is no reading.
pub(super) fn is_missing(cell: &str) -> bool {
    cell.is_empty() || ["-", "--", "na", "n/a", "nan", "null"].iter().any(|written| cell.eq_ignore_ascii_case(written))
}

/// The number of a cell; a decimal comma is one where commas do not separate the cells.
pub(super) fn number_in(cell: &str, separator: char) -> Option<f64> {
    let with_point = (separator != ',' && !cell.contains('.')).then(|| cell.replacen(',', ".", 1));
    with_point.as_deref().unwrap_or(cell).parse::<f64>().ok().filter(|number| number.is_finite())
}

/// At most thirty characters of a cell.
pub(super) fn short(text: &str) -> String {
    text.chars().take(30).collect()
}
