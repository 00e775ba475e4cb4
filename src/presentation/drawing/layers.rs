//! Boxes in rows below each other and arrows down between them, in as many columns as a
//! phone has room for.
//!
//! Rows are layers: every box stands below all those from which an arrow leads to it. It
//! knows nothing of what a box holds; on which lines arrows run is `tracks`.

use super::tracks::Tracks;

/// Boxes of one width and the arrows between them.
#[derive(Clone, Debug)]
pub struct Layered<'b> {
    /// How high each box is; the first are to stand first.
    pub heights: &'b [f32],
    /// From which box to which; never round in a circle.
    pub arrows: &'b [(usize, usize)],
}

/// Where everything stands.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct LayeredPlaces {
    /// The upper left corner of each box.
    pub boxes: Vec<(f32, f32)>,
    /// The corners of each arrow's line, its point last.
    pub lines: Vec<Vec<(f32, f32)>>,
    /// How wide all of it is.
    pub width: f32,
    /// How high all of it is.
    pub height: f32,
}

/// How many boxes stand beside each other.
pub(super) const COLUMNS: usize = 2;

/// Width of a box.
pub const BOX: f32 = 146.0;

/// Room from line to line.
pub(super) const TRACK: f32 = 8.0;

/// Least room between two rows and beside a column.
pub(super) const GAP: f32 = 8.0;

/// Room between what does not hang together.
pub(super) const BREAK: f32 = 22.0;

/// Room for the point of an arrow.
pub(super) const POINT: f32 = 10.0;

/// How far from each other arrows come into a box, and in how much of its width.
const PORTS: (f32, f32) = (16.0, 60.0);

/// How often boxes of a row are exchanged where that makes arrows shorter.
const SWEEPS: usize = 4;

/// A box's row and its column.
pub(super) type Cell = (usize, usize);

impl Layered<'_> {
    /// Places boxes and arrows.
    #[must_use]
    pub fn placed(&self) -> LayeredPlaces {
        let mut cells = self.rows();
        self.sweep(&mut cells);
        self.drawn(&cells)
    }

    fn before(&self, node: usize) -> impl Iterator<Item = usize> {
        let arrows = self.arrows.iter().filter(move |(_, then)| *then == node);
        arrows.map(|(first, _)| *first)
    }

    fn beside(&self, node: usize) -> impl Iterator<Item = usize> {
        self.arrows
            .iter()
            .filter_map(move |(first, then)| match node {
                node if node == *first => Some(*then),
                node if node == *then => Some(*first),
                _ => None,
            })
    }

    /// For each box, the first of those with which it hangs together; `None` where no
    /// arrow joins it to another.
    fn groups(&self) -> Vec<Option<usize>> {
        let mut groups = vec![None; self.heights.len()];
        for start in 0..self.heights.len() {
            let mut open = vec![start];
            while let Some(node) = open.pop() {
                if groups[node].is_none() && self.beside(node).next().is_some() {
                    groups[node] = Some(start);
                    open.extend(self.beside(node));
                }
            }
        }
        groups
    }

    /// The boxes in their order, each right behind those that it needs.
    fn order(&self, groups: &[Option<usize>]) -> Vec<usize> {
        let count = self.heights.len();
        let mut seen = vec![false; count];
        let mut order = Vec::with_capacity(count);
        // What hangs together stays together; what hangs on nothing comes behind.
        let mut starts: Vec<usize> = (0..count).collect();
        starts.sort_by_key(|node| (groups[*node].is_none(), groups[*node]));
        for start in starts {
            let mut open = vec![start];
            while let Some(node) = open.last().copied() {
                let missing = self.before(node).filter(|first| !seen[*first]).min();
                match missing.filter(|_| !seen[node] && open.len() <= count) {
                    Some(first) => open.push(first),
                    None => {
                        open.pop();
                        if !std::mem::replace(&mut seen[node], true) {
                            order.push(node);
                        }
                    }
                }
            }
        }
        order
    }

    /// The cell of each box: below all that it needs, in the last row or in a new one.
    fn rows(&self) -> Vec<Cell> {
        let mut cells = vec![(0, 0); self.heights.len()];
        let mut last: Cell = (0, 0);
        let groups = self.groups();
        let mut group = None;
        for node in self.order(&groups) {
            let above = self.before(node).map(|first| cells[first].0 + 1).max();
            let (row, column) = last;
            let fits = column + 1 < COLUMNS
                && above.is_none_or(|above| above <= row)
                && group == Some(groups[node]);
            last = match fits {
                _ if group.is_none() => (0, 0),
                true => (row, column + 1),
                false => (row + 1, 0),
            };
            group = Some(groups[node]);
            cells[node] = last;
        }
        cells
    }

    /// Exchanges the boxes of a row, or moves one that stands alone, where that brings
    /// them nearer to those with which an arrow joins them.
    fn sweep(&self, cells: &mut [Cell]) {
        let rows = cells.iter().map(|(row, _)| row + 1).max().unwrap_or(0);
        let mut members: Vec<Vec<usize>> = vec![Vec::new(); rows];
        for (node, (row, _)) in cells.iter().enumerate() {
            members[*row].push(node);
        }
        let far = |cells: &[Cell], nodes: &[usize]| -> usize {
            let of = |node: usize| {
                let own = cells[node].1;
                self.beside(node)
                    .map(|other| own.abs_diff(cells[other].1))
                    .sum::<usize>()
            };
            nodes.iter().map(|node| of(*node)).sum()
        };
        for sweep in 0..SWEEPS {
            for row in 0..rows {
                let row = if sweep % 2 == 0 { row } else { rows - 1 - row };
                let nodes = &members[row];
                if nodes.iter().all(|node| self.beside(*node).next().is_none()) {
                    continue;
                }
                let before = far(cells, nodes);
                let mirror = |cells: &mut [Cell]| {
                    for node in nodes {
                        cells[*node].1 = COLUMNS - 1 - cells[*node].1;
                    }
                };
                mirror(cells);
                if far(cells, nodes) >= before {
                    mirror(cells);
                }
            }
        }
    }

    fn drawn(&self, cells: &[Cell]) -> LayeredPlaces {
        let tracks = Tracks::of(self.arrows, cells);
        let rows = tracks.above.len();
        let mut tops = Vec::with_capacity(rows);
        let mut y = 1.0;
        for row in 0..rows {
            y += tracks.height_above(row);
            tops.push(y);
            let own = cells
                .iter()
                .zip(self.heights)
                .filter(|(cell, _)| cell.0 == row);
            y += own.map(|(_, height)| *height).fold(0.0, f32::max);
        }
        let lefts: Vec<f32> = (0..COLUMNS).map(|column| tracks.left(column)).collect();
        let boxes: Vec<(f32, f32)> = cells
            .iter()
            .map(|(row, column)| (lefts[*column], tops[*row]))
            .collect();
        let foot = |node: usize| boxes[node].1 + self.heights[node];
        let middle = |node: usize| boxes[node].0 + BOX / 2.0;
        let ports = self.ports(cells, &tracks);
        let lines = self
            .arrows
            .iter()
            .enumerate()
            .map(|(arrow, (first, then))| {
                let ((row, _), (below, _)) = (cells[*first], cells[*then]);
                let (start, end) = (middle(*first), middle(*then) + ports[arrow]);
                // The gap below a row begins where its highest box ends.
                let gap = |row: usize| tops[row] - tracks.height_above(row) + GAP / 2.0;
                let leaving = gap(row + 1) + TRACK * tracks.leaving(*first, row + 1) as f32;
                let mut line = vec![(start, foot(*first)), (start, leaving)];
                if let Some(gutter) = tracks.gutter_of[arrow] {
                    let across = tracks.x(gutter);
                    let coming = gap(below) + TRACK * tracks.coming(*then, below) as f32;
                    line.extend([(across, leaving), (across, coming), (end, coming)]);
                } else {
                    line.push((end, leaving));
                }
                line.push((end, boxes[*then].1));
                line.dedup();
                line
            });
        LayeredPlaces {
            lines: lines.collect(),
            boxes,
            width: tracks.left(COLUMNS),
            height: y + 2.0,
        }
    }

    /// Where each arrow comes into its box, from the middle of it: straight down into the
    /// middle, else from the side from which it comes.
    fn ports(&self, cells: &[Cell], tracks: &Tracks) -> Vec<f32> {
        let mut ports = vec![0.0; self.arrows.len()];
        for node in 0..self.heights.len() {
            let own = (0..self.arrows.len()).filter(|arrow| self.arrows[*arrow].1 == node);
            let side = |arrow: &usize| -> f32 {
                let (column, from) = (cells[node].1, cells[self.arrows[*arrow].0].1);
                match tracks.gutter_of[*arrow] {
                    Some((gutter, _)) if gutter <= column => -1.0,
                    Some(_) => 1.0,
                    None if from == column => 0.0,
                    None if from < column => -1.0,
                    None => 1.0,
                }
            };
            for way in [-1.0, 1.0] {
                let of_side: Vec<usize> = own.clone().filter(|arrow| side(arrow) == way).collect();
                let apart = PORTS.0.min(PORTS.1 / of_side.len().max(1) as f32);
                for (number, arrow) in of_side.iter().enumerate() {
                    ports[*arrow] = way * apart * (number + 1) as f32;
                }
            }
        }
        ports
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    fn places(heights: &[f32], arrows: &[(usize, usize)]) -> LayeredPlaces {
        Layered { heights, arrows }.placed()
    }

    #[test]
    fn a_chain_runs_straight_down() {
        let placed = places(&[40.0, 40.0, 40.0], &[(0, 1), (1, 2)]);
        assert!(
            placed.boxes.iter().all(|(x, _)| *x == placed.boxes[0].0),
            "{placed:?}"
        );
        assert!(placed.boxes[0].1 < placed.boxes[1].1 && placed.boxes[1].1 < placed.boxes[2].1);
        assert!(
            placed
                .lines
                .iter()
                .flatten()
                .all(|(x, _)| *x == placed.lines[0][0].0)
        );
    }

    #[test]
    fn what_hangs_on_nothing_stands_behind() {
        let placed = places(&[40.0, 40.0, 40.0], &[(1, 2)]);
        assert!(placed.boxes[0].1 > placed.boxes[2].1, "{placed:?}");
    }

    #[test]
    fn nothing_is_placed_of_nothing() {
        let placed = places(&[], &[]);
        assert!(placed.boxes.is_empty() && placed.height < 10.0);
    }

    /// The pieces of a line, each as two corners in order.
    fn pieces(line: &[(f32, f32)]) -> Vec<((f32, f32), (f32, f32))> {
        let piece = |ends: &[(f32, f32)]| {
            let (one, other) = (ends[0], ends[1]);
            (
                (one.0.min(other.0), one.1.min(other.1)),
                (one.0.max(other.0), one.1.max(other.1)),
            )
        };
        line.windows(2).map(piece).collect()
    }

    fn graph() -> impl Strategy<Value = (Vec<f32>, Vec<(usize, usize)>)> {
        (1_usize..24).prop_flat_map(|count| {
            let heights = prop::collection::vec(30.0_f32..120.0, count);
            let arrow = (0..count, 0..count);
            let arrows = prop::collection::btree_set(arrow, 0..2 * count);
            // The order of the numbers is none of the arrows.
            let mix = Just((0..count).collect::<Vec<usize>>()).prop_shuffle();
            (heights, arrows, mix).prop_map(|(heights, arrows, mix)| {
                let down = arrows.into_iter().filter(|(one, other)| one < other);
                let down = down.map(|(one, other)| (mix[one], mix[other]));
                (heights, down.collect())
            })
        })
    }

    proptest! {
        /// Boxes lie beside each other, arrows lead down, no line runs through a box, and
        /// two lines lie on each other only where both are of the same box.
        #[test]
        fn any_graph_can_be_read((heights, arrows) in graph()) {
            let placed = places(&heights, &arrows);
            let (boxes, lines) = (&placed.boxes, &placed.lines);
            let end = |node: usize| (boxes[node].0 + BOX, boxes[node].1 + heights[node]);
            for node in 0..heights.len() {
                prop_assert!(boxes[node].0 >= 0.0 && end(node).0 <= placed.width);
                prop_assert!(end(node).1 <= placed.height);
                for other in 0..node {
                    let apart = boxes[node].0 >= end(other).0 || boxes[other].0 >= end(node).0
                        || boxes[node].1 >= end(other).1 || boxes[other].1 >= end(node).1;
                    prop_assert!(apart, "{node} and {other}: {placed:?}");
                }
            }
            for (number, (first, then)) in arrows.iter().enumerate() {
                prop_assert!(end(*first).1 < boxes[*then].1);
                let corners = &lines[number];
                prop_assert!(corners.windows(2).all(|two| two[0].1 <= two[1].1));
                prop_assert_eq!(corners[0].1, end(*first).1);
                prop_assert_eq!(corners[corners.len() - 1].1, boxes[*then].1);
                for (from, to) in pieces(corners) {
                    prop_assert!(from.0 == to.0 || from.1 == to.1, "slanted: {corners:?}");
                    prop_assert!(from.0 >= 0.0 && to.0 <= placed.width);
                    for (node, (left, top)) in boxes.iter().enumerate() {
                        let apart = to.0 <= *left || from.0 >= end(node).0
                            || to.1 <= *top || from.1 >= end(node).1;
                        prop_assert!(apart, "{number} through {node}: {placed:?}");
                    }
                    for (other, (begins, ends)) in arrows.iter().enumerate().take(number) {
                        if begins == first || ends == then {
                            continue;
                        }
                        for (start, stop) in pieces(&lines[other]) {
                            let along_x = from.1 == to.1 && start.1 == stop.1 && from.1 == start.1
                                && from.0 < stop.0 && start.0 < to.0;
                            let along_y = from.0 == to.0 && start.0 == stop.0 && from.0 == start.0
                                && from.1 < stop.1 && start.1 < to.1;
                            prop_assert!(!along_x && !along_y, "{number} on {other}: {placed:?}");
                        }
                    }
                }
            }
        }
    }
}
