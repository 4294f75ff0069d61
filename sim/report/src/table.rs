//! Plain text tables, aligned by characters.

/// Rows of cells; the first column is set to the left, the others to the right.
pub(super) struct Table {
    rows: Vec<Vec<String>>,
    rules: Vec<usize>,
}

impl Table {
    /// A table with a heading row.
    pub fn new(heading: &[&str]) -> Self {
        Self { rows: vec![heading.iter().map(|&cell| cell.to_owned()).collect()], rules: vec![1] }
    }

    /// Adds a row.
    pub fn row(&mut self, cells: impl IntoIterator<Item = String>) {
        self.rows.push(cells.into_iter().collect());
    }

    /// Draws a rule before the next row.
    pub fn rule(&mut self) {
        self.rules.push(self.rows.len());
    }

    /// The table without its heading.
    pub fn body(&self, indent: usize) -> String {
        Self { rows: self.rows[1..].to_vec(), rules: Vec::new() }.text(indent)
    }

    /// The table as text, each line indented by `indent` spaces.
    pub fn text(&self, indent: usize) -> String {
        let columns = self.rows.iter().map(Vec::len).max().unwrap_or(0);
        let widths: Vec<usize> = (0..columns)
            .map(|c| {
                self.rows
                    .iter()
                    .filter_map(|row| row.get(c))
                    .map(|cell| cell.chars().count())
                    .max()
                    .unwrap_or(0)
            })
            .collect();
        let mut text = String::new();
        for (r, row) in self.rows.iter().enumerate() {
            if self.rules.contains(&r) && r > 0 {
                let line: Vec<String> = widths.iter().map(|&width| "─".repeat(width)).collect();
                text += &format!("{:indent$}{}\n", "", line.join("──"));
            }
            let mut line = String::new();
            for (c, cell) in row.iter().enumerate() {
                let pad = " ".repeat(widths[c] - cell.chars().count());
                if c > 0 {
                    line += "  ";
                }
                line += &if c == 0 { format!("{cell}{pad}") } else { format!("{pad}{cell}") };
            }
            text += &format!("{:indent$}{}\n", "", line.trim_end());
        }
        text
    }
}
