//! The groups of a DXF file in ASCII: a line with a code, a line with the value.

/// A group.
#[derive(Debug, Clone, Copy)]
pub(super) struct CodeGroup<'t> {
    pub(super) code: i32,
    /// The value without the blanks around it.
    pub(super) value: &'t [u8],
    /// Line of the value, from 1.
    pub(super) line: usize,
}

impl CodeGroup<'_> {
    /// The value as text; bytes of an older file's code page that are no UTF-8 are replaced.
    pub(super) fn text(&self) -> String {
        String::from_utf8_lossy(self.value).into_owned()
    }

    /// The value as a whole number.
    pub(super) fn integer(&self) -> Option<i64> {
        std::str::from_utf8(self.value).ok()?.parse().ok()
    }
}

/// Why the groups end.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum End {
    /// The text is over.
    Text,
    /// This line should hold a code and does not.
    NoCode(usize),
}

/// Reads groups one after the other.
#[derive(Debug)]
pub(super) struct Groups<'t> {
    rest: &'t [u8],
    line: usize,
    pub(super) end: End,
}

impl<'t> Groups<'t> {
    pub(super) const fn of(bytes: &'t [u8]) -> Self {
        Self { rest: bytes, line: 0, end: End::Text }
    }

    fn next_line(&mut self) -> Option<&'t [u8]> {
        if self.rest.is_empty() {
            return None;
        }
        let (line, rest) = match self.rest.iter().position(|&byte| byte == b'\n') {
            Some(at) => (&self.rest[..at], &self.rest[at + 1..]),
            None => (self.rest, &self.rest[self.rest.len()..]),
        };
        self.rest = rest;
        self.line += 1;
        Some(line.trim_ascii())
    }

    /// Number of the last line that was read.
    pub(super) const fn line(&self) -> usize {
        self.line
    }
}

impl<'t> Iterator for Groups<'t> {
    type Item = CodeGroup<'t>;

    fn next(&mut self) -> Option<CodeGroup<'t>> {
        let code = self.next_line()?;
        let Some(code) = std::str::from_utf8(code).ok().and_then(|code| code.parse().ok()) else {
            // Empty lines after the last group are no harm.
            if !(code.is_empty() && self.rest.trim_ascii().is_empty()) {
                self.end = End::NoCode(self.line);
            }
            self.rest = &[];
            return None;
        };
        let value = self.next_line()?;
        Some(CodeGroup { code, value, line: self.line })
    }
}
