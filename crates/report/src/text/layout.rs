//! Lines and columns of plain text.

use crate::Align;
use unicode_width::UnicodeWidthStr;

/// The space between columns.
const BETWEEN: usize = 2;

/// Returns how many columns a text takes.
pub fn width_of(text: &str) -> usize {
    text.width()
}

/// Returns the text in lines of at most `width` columns; spaces that do not break hold their words together as long
/// as these fit, and a word that is wider than a line is cut.
pub fn wrap(text: &str, width: usize) -> Vec<String> {
    let width = width.max(1);
    let mut lines = Vec::new();
    let mut line = String::new();
    for word in text.split(' ').filter(|word| !word.is_empty()) {
        if line.is_empty() {
            line = word.to_owned();
        } else if width_of(&line) + 1 + width_of(word) <= width {
            line.push(' ');
            line.push_str(word);
        } else {
            lines.push(core::mem::replace(&mut line, word.to_owned()));
        }
        while width_of(&line) > width {
            let rest = cut(&mut line, width);
            lines.push(core::mem::replace(&mut line, rest));
        }
    }
    lines.push(line);
    lines
}

/// Cuts a line at `width`, before the last space that does not break if there is one, and returns the rest.
fn cut(line: &mut String, width: usize) -> String {
    let (mut used, mut end, mut space) = (0, 0, None);
    for (at, c) in line.char_indices() {
        let wide = unicode_width::UnicodeWidthChar::width(c).unwrap_or(0);
        if used + wide > width && end > 0 {
            break;
        }
        if c == '\u{a0}' && at > 0 {
            space = Some(at);
        }
        used += wide;
        end = at + c.len_utf8();
    }
    let next_is_space = line[end..].starts_with('\u{a0}');
    let at = if next_is_space { end } else { space.unwrap_or(end) };
    let rest = line[at..].trim_start_matches('\u{a0}').to_owned();
    line.truncate(at);
    rest
}

/// Rows of cells in columns.
pub struct Grid {
    aligns: Vec<Align>,
    head: Option<Vec<String>>,
    rows: Vec<Vec<String>>,
    ruled: Vec<usize>,
}

impl Grid {
    pub fn new(aligns: Vec<Align>) -> Grid {
        Grid { aligns, head: None, rows: Vec::new(), ruled: Vec::new() }
    }

    pub fn head(&mut self, cells: Vec<String>) {
        self.head = Some(cells);
    }

    pub fn push(&mut self, cells: Vec<String>) {
        self.rows.push(cells);
    }

    /// Draws a line above the last row.
    pub fn rule_above_last(&mut self) {
        self.ruled.push(self.rows.len().saturating_sub(1));
    }

    /// Returns the lines of the heading and of each row; where the columns do not fit side by side, each row is a
    /// list of headings with their cells.
    pub fn lines(&self, width: usize) -> (Vec<String>, Vec<Vec<String>>) {
        match self.widths(width) {
            Some(widths) => self.side_by_side(&widths),
            None => self.stacked(width),
        }
    }

    /// The width of each column: what its widest cell needs, the wide ones shrunk until all fit.
    fn widths(&self, width: usize) -> Option<Vec<usize>> {
        let all = || self.head.iter().chain(&self.rows);
        let cells = |at: usize| all().filter_map(move |row| row.get(at));
        let longest = |cell: &String| cell.split(' ').map(width_of).max().unwrap_or(0);
        let columns = self.aligns.len();
        let mut widths: Vec<usize> = (0..columns)
            .map(|at| cells(at).map(|cell| width_of(cell).min(width)).max().unwrap_or(0))
            .collect();
        let least: Vec<usize> = (0..columns).map(|at| cells(at).map(longest).max().unwrap_or(0)).collect();
        let used = |widths: &[usize]| {
            let shown = widths.iter().filter(|width| **width > 0).count();
            widths.iter().sum::<usize>() + BETWEEN * shown.saturating_sub(1)
        };
        while used(&widths) > width {
            let widest = (0..columns).filter(|at| widths[*at] > least[*at]).max_by_key(|at| widths[*at])?;
            widths[widest] -= 1;
        }
        Some(widths)
    }

    fn side_by_side(&self, widths: &[usize]) -> (Vec<String>, Vec<Vec<String>>) {
        let mut head = Vec::new();
        let total = widths.iter().sum::<usize>()
            + BETWEEN * widths.iter().filter(|width| **width > 0).count().saturating_sub(1);
        if let Some(cells) = &self.head {
            head = self.row(cells, widths);
            head.push("-".repeat(total));
        }
        let rows = self.rows.iter().enumerate().map(|(index, cells)| {
            let mut lines = self.row(cells, widths);
            if self.ruled.contains(&index) {
                lines.insert(0, "-".repeat(total));
            }
            lines
        });
        (head, rows.collect())
    }

    fn row(&self, cells: &[String], widths: &[usize]) -> Vec<String> {
        let wrapped: Vec<Vec<String>> = widths
            .iter()
            .enumerate()
            .map(|(at, width)| cells.get(at).map_or(Vec::new(), |cell| wrap(cell, *width)))
            .collect();
        let height = wrapped.iter().map(Vec::len).max().unwrap_or(0);
        (0..height)
            .map(|line| {
                let mut text = String::new();
                for (at, width) in widths.iter().enumerate().filter(|(_, width)| **width > 0) {
                    let cell = wrapped[at].get(line).map_or("", String::as_str);
                    let space = " ".repeat(width.saturating_sub(width_of(cell)));
                    if !text.is_empty() {
                        text.push_str(&" ".repeat(BETWEEN));
                    }
                    match self.aligns[at] {
                        Align::Start => text.push_str(&format!("{cell}{space}")),
                        Align::End => text.push_str(&format!("{space}{cell}")),
                    }
                }
                text.trim_end_matches(' ').to_owned()
            })
            .collect()
    }

    fn stacked(&self, width: usize) -> (Vec<String>, Vec<Vec<String>>) {
        let rows = self.rows.iter().map(|cells| {
            let mut lines = Vec::new();
            for (at, cell) in cells.iter().take(self.aligns.len()).enumerate().filter(|(_, c)| !c.is_empty())
            {
                let name = self.head.as_ref().and_then(|head| head.get(at)).filter(|name| !name.is_empty());
                let text = name.map_or(cell.clone(), |name| format!("{name}: {cell}"));
                let before = if at == 0 { "" } else { "  " };
                let wrapped = wrap(&text, width.saturating_sub(before.len() + 2));
                for (index, line) in wrapped.into_iter().enumerate() {
                    let more = if index == 0 { "" } else { "  " };
                    lines.push(format!("{before}{more}{line}"));
                }
            }
            lines
        });
        (Vec::new(), rows.collect())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lines_break_at_spaces_that_break() {
        assert_eq!(wrap("weigh in 0.55\u{a0}kg more", 14), ["weigh in", "0.55\u{a0}kg more"]);
        assert_eq!(wrap("", 10), [""]);
        assert_eq!(wrap("abcdefgh", 3), ["abc", "def", "gh"]);
        assert_eq!(wrap("27\u{a0}lb\u{a0}5\u{a0}oz", 5), ["27\u{a0}lb", "5\u{a0}oz"]);
        assert_eq!(wrap("流体流体", 5), ["流体", "流体"]);
    }

    #[test]
    fn columns_line_up_and_shrink_and_stack() {
        let mut grid = Grid::new(vec![Align::Start, Align::End]);
        grid.head(vec!["place".into(), "kg".into()]);
        grid.push(vec!["under the insulation".into(), "1.1".into()]);
        let (head, rows) = grid.lines(30);
        assert_eq!(head, ["place                  kg", "-------------------------"]);
        assert_eq!(rows, [["under the insulation  1.1"]]);
        let (_, rows) = grid.lines(18);
        assert_eq!(rows, [["under the      1.1", "insulation"]]);
        let (head, rows) = grid.lines(14);
        assert!(head.is_empty());
        assert_eq!(rows, [["place: under", "  the", "  insulation", "  kg: 1.1"]]);
    }
}
