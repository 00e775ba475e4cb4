//! Where the lines of arrows run between rows and columns of boxes.

use super::layers::{BOX, BREAK, COLUMNS, Cell, GAP, POINT, TRACK};

/// On which line beside others each arrow runs, so that no two lie on each other but
/// those of the same box.
pub struct Tracks {
    /// For each row, the boxes above that send arrows into the gap above it, and then the
    /// boxes of the row into which arrows come from afar.
    pub above: Vec<(Vec<usize>, Vec<usize>)>,
    /// For each arrow that passes a row, the gutter and its line in it.
    pub gutter_of: Vec<Option<(usize, usize)>>,
    /// How many lines run in each gutter: left of the first column, between, and right.
    gutters: Vec<usize>,
    /// For each row, whether it does not hang together with the one above.
    breaks: Vec<bool>,
}

impl Tracks {
    /// The tracks of these arrows between boxes in these cells.
    #[must_use]
    pub fn of(arrows: &[(usize, usize)], cells: &[Cell]) -> Tracks {
        let rows = cells.iter().map(|(row, _)| row + 1).max().unwrap_or(0);
        let mut above: Vec<(Vec<usize>, Vec<usize>)> = vec![(Vec::new(), Vec::new()); rows];
        let mut gutter_of = vec![None; arrows.len()];
        // For each line of each gutter, the trunks on it: the box and its first and last row.
        let mut used: Vec<Vec<Vec<(usize, usize, usize)>>> = vec![Vec::new(); COLUMNS + 1];
        let mut in_order: Vec<usize> = (0..arrows.len()).collect();
        in_order.sort_by_key(|arrow| {
            let (first, then) = arrows[*arrow];
            (cells[first], cells[then])
        });
        for arrow in in_order {
            let (first, then) = arrows[arrow];
            let ((row, column), (below, target)) = (cells[first], cells[then]);
            let leaving = &mut above[row + 1].0;
            if !leaving.contains(&first) {
                leaving.push(first);
            }
            if below == row + 1 {
                continue;
            }
            let coming = &mut above[below].1;
            if !coming.contains(&then) {
                coming.push(then);
            }
            let gutter = match (column, target) {
                (0, 0) => 0,
                (one, other) if one == other => COLUMNS,
                _ => 1,
            };
            let lines = &mut used[gutter];
            let fits = |line: &Vec<(usize, usize, usize)>| {
                line.iter()
                    .all(|(node, from, to)| *node == first || below < *from || *to < row)
            };
            let line = lines.iter().position(fits).unwrap_or(lines.len());
            if line == lines.len() {
                lines.push(Vec::new());
            }
            lines[line].push((first, row, below));
            gutter_of[arrow] = Some((gutter, line));
        }
        Tracks {
            above,
            gutter_of,
            gutters: used.iter().map(Vec::len).collect(),
            breaks: breaks(arrows, cells, rows),
        }
    }

    /// The line of a box that sends arrows into the gap above a row.
    #[must_use]
    pub fn leaving(&self, node: usize, row: usize) -> usize {
        let own = self.above[row].0.iter().position(|one| *one == node);
        own.unwrap_or(0)
    }

    /// The line of a box of a row into which arrows come from afar.
    #[must_use]
    pub fn coming(&self, node: usize, row: usize) -> usize {
        let (leaving, coming) = &self.above[row];
        let own = coming.iter().position(|one| *one == node);
        leaving.len() + own.unwrap_or(0)
    }

    /// The room above a row.
    #[must_use]
    pub fn height_above(&self, row: usize) -> f32 {
        let (leaving, coming) = &self.above[row];
        match leaving.len() + coming.len() {
            0 if row == 0 => 0.0,
            0 if self.breaks[row] => BREAK,
            0 => GAP,
            lines => GAP + TRACK * (lines - 1) as f32 + POINT,
        }
    }

    /// The room of a gutter: at the edge only as much as its lines need.
    fn gutter(&self, gutter: usize) -> f32 {
        match self.gutters[gutter] {
            0 if gutter == 0 || gutter == COLUMNS => 1.0,
            lines => GAP + TRACK * lines as f32,
        }
    }

    /// The left edge of a column.
    #[must_use]
    pub fn left(&self, column: usize) -> f32 {
        let gutters: f32 = (0..=column).map(|gutter| self.gutter(gutter)).sum();
        gutters + BOX * column as f32
    }

    /// Where a line of a gutter runs.
    #[must_use]
    pub fn x(&self, (gutter, line): (usize, usize)) -> f32 {
        let left = match gutter {
            0 => 0.0,
            gutter => self.left(gutter - 1) + BOX,
        };
        left + GAP / 2.0 + TRACK * (line as f32 + 0.5)
    }
}

/// For each row, whether no arrow leads into it or past it from above; rows of boxes that
/// hang on nothing belong together.
fn breaks(arrows: &[(usize, usize)], cells: &[Cell], rows: usize) -> Vec<bool> {
    let mut breaks = vec![true; rows];
    for (first, then) in arrows {
        for passed in &mut breaks[cells[*first].0 + 1..=cells[*then].0] {
            *passed = false;
        }
    }
    let mut alone = vec![true; rows];
    for node in arrows.iter().flat_map(|(first, then)| [*first, *then]) {
        alone[cells[node].0] = false;
    }
    for row in 1..rows {
        breaks[row] &= !(alone[row] && alone[row - 1]);
    }
    breaks
}
