//! Puts what is laid back among the boards laid from what was left: runs whole again, labels as they were.

use crate::cut::meeting;
use crate::ground::{Ground, TRUE, is_shaped};
use crate::slice::rise;
use crate::taken::Taken;
use crate::{Board, End, Floor, Joint, Piece, Run};
use setout::SetOut;
use site::Uv;
use std::collections::{BTreeMap, BTreeSet};

/// Boards of a run that may meet a board end to end: what lies further back ends sooner.
const BEHIND: usize = 8;

/// A board of a run: laid before, or now.
#[derive(Debug, Clone, Copy)]
enum Source {
    Laid(usize),
    Now(usize),
}

/// A floor laid on what was left of a ground, with what is laid.
pub(crate) fn weave(floor: Floor, ground: &Ground, setout: &SetOut) -> Floor {
    let Some(taken) = &ground.taken else { return floor };
    Weaver { taken, pitch: ground.pitch, floor, made: Floor::default(), place_of: Vec::new() }
        .weave(ground, setout)
}

struct Weaver<'g> {
    taken: &'g Taken<'g>,
    pitch: f64,
    /// What was laid now.
    floor: Floor,
    made: Floor,
    /// The new index of each board laid now.
    place_of: Vec<usize>,
}

impl Weaver<'_> {
    fn weave(mut self, ground: &Ground, setout: &SetOut) -> Floor {
        self.place_of = vec![usize::MAX; self.floor.boards.len()];
        // The run of each run laid now.
        let mut run_of = vec![0; self.floor.runs.len()];
        for (number, whole) in self.taken.runs.iter().enumerate() {
            let mut boards: Vec<(f64, Source)> = whole
                .laid
                .iter()
                .map(|index| (self.taken.boards[*index].left, Source::Laid(*index)))
                .collect();
            for rest in &whole.rests {
                if let Some(run) = self.floor.runs.get(*rest) {
                    run_of[*rest] = number;
                    let now =
                        run.boards.clone().map(|board| (self.floor.boards[board].left, Source::Now(board)));
                    boards.extend(now);
                }
            }
            boards.sort_by(|a, b| a.0.total_cmp(&b.0));
            let boards: Vec<Source> = boards.into_iter().map(|(_, source)| source).collect();
            self.run(whole.lie.run.clone(), &boards);
        }
        self.stranded(ground, setout);
        self.joints();
        self.stock();
        let Self { taken, mut floor, mut made, .. } = self;
        made.short = std::mem::take(&mut floor.short);
        for short in &mut made.short {
            short.run = run_of.get(short.run).copied().unwrap_or(0);
        }
        (made.pitch, made.moves, made.anchor) = (floor.pitch, floor.moves, floor.anchor);
        made.lines = floor.lines;
        made.first_row = taken.laid.first_row;
        made.laid.lines =
            setout.laid.iter().map(|lines| lines.clone().filter(|l| l.known().is_some())).collect();
        made.laid.opened = taken.laid.stock.len();
        label(&mut made, taken);
        made
    }

    /// Adds a run of boards, left to right.
    fn run(&mut self, run: Run, boards: &[Source]) {
        let (number, first) = (self.made.runs.len(), self.made.boards.len());
        for source in boards {
            let (board, of) = match source {
                Source::Now(index) => {
                    self.place_of[*index] = self.made.boards.len();
                    (self.floor.boards[*index].clone(), None)
                }
                Source::Laid(index) => (self.laid_board(*index, run.region), Some(*index)),
            };
            self.made.boards.push(Board { run: number, ..board });
            self.made.laid.of_board.push(of);
        }
        self.made.runs.push(Run { boards: first..self.made.boards.len(), ..run });
    }

    /// Laid boards on no run of the floor as it is drawn, each row of a part in a run of their own.
    fn stranded(&mut self, ground: &Ground, setout: &SetOut) {
        let taken = self.taken;
        let mut rows: BTreeMap<(usize, i32), Vec<usize>> = BTreeMap::new();
        let stranded = taken.boards.iter().enumerate().filter(|(_, piece)| piece.run.is_none());
        for (index, _) in stranded {
            let board = &taken.laid.boards[index];
            rows.entry((board.part, board.row)).or_default().push(index);
        }
        for ((part, row), mut boards) in rows {
            boards.sort_by(|a, b| taken.boards[*a].left.total_cmp(&taken.boards[*b].left));
            let line = taken.laid.parts.get(part).map(|part| part.line);
            let is_of = |lines: &Option<plan::RowLines>| lines.as_ref().map(|lines| lines.line) == line;
            let region =
                setout.laid.iter().position(is_of).unwrap_or(0).min(ground.lines.len().saturating_sub(1));
            let left = boards.iter().map(|b| taken.boards[*b].left).fold(f64::INFINITY, f64::min);
            let right = boards.iter().map(|b| taken.boards[*b].right).fold(f64::NEG_INFINITY, f64::max);
            let run = Run {
                region,
                row,
                left,
                right,
                width: self.pitch,
                keeps_groove: true,
                keeps_tongue: true,
                ..Run::default()
            };
            let sources: Vec<Source> = boards.into_iter().map(Source::Laid).collect();
            self.run(run, &sources);
        }
    }

    fn laid_board(&self, index: usize, region: usize) -> Board {
        let taken = self.taken;
        let (piece, marked) = (&taken.boards[index], &taken.laid.boards[index]);
        let lines = &taken.lines[marked.part.min(taken.lines.len().saturating_sub(1))];
        let (left, right) = (piece.left, piece.right);
        let (low, high) = rise(&piece.outline.outer);
        let turned = (marked.row < 0) != marked.backwards;
        let base = lines.at(marked.row);
        let height = lines.at(marked.row.saturating_add(1)) - base;
        let from = marked.at.unwrap_or(marked.from + marked.shifts.0.min(0.0));
        let length = taken.laid.stock.get(marked.stock).map_or(0.0, |stock| stock.length);
        let end =
            |is_factory: bool, shift: f64| if is_factory && shift == 0.0 { End::Factory } else { End::Cut };
        Board {
            label: String::new(),
            region,
            row: marked.row,
            run: 0,
            along: Uv::new(1.0, 0.0),
            left,
            right,
            base,
            lean: 0.0,
            hand: None,
            in_border: false,
            area: piece.outline.area(),
            turned,
            left_end: end(from < TRUE, marked.shifts.0),
            right_end: end(from + (right - left) > length - TRUE, marked.shifts.1),
            starts_run: marked.starts,
            ends_run: marked.ends,
            shaped: is_shaped(&piece.outline, piece.outline.area(), (left, low), (right, high)),
            width: if high - low > height - TRUE { self.pitch } else { high - low },
            outline: piece.outline.clone(),
            stock: marked.stock,
            from,
        }
    }

    /// Joints between the boards laid now, as they were found, and those that laid boards are part of.
    fn joints(&mut self) {
        let mut joints: Vec<(usize, Joint)> = Vec::new();
        for joint in &self.floor.joints {
            let (left, right) = (self.place_of[joint.left], self.place_of[joint.right]);
            joints.push((self.made.boards[left].run, Joint { left, right, ..*joint }));
        }
        let is_laid = |board: usize| self.made.laid.of_board[board].is_some();
        for (number, run) in self.made.runs.iter().enumerate() {
            for b in run.boards.clone() {
                for a in b.saturating_sub(BEHIND).max(run.boards.start)..b {
                    let (left, right) = (&self.made.boards[a], &self.made.boards[b]);
                    if !(is_laid(a) || is_laid(b)) || (right.left - left.right).abs() > TRUE {
                        continue;
                    }
                    for (low, high) in meeting(&left.outline, &right.outline, left.right) {
                        joints.push((
                            number,
                            Joint { row: left.row, u: left.right, low, high, left: a, right: b },
                        ));
                    }
                }
            }
        }
        joints.sort_by(|a, b| a.0.cmp(&b.0).then(a.1.u.total_cmp(&b.1.u)).then(a.1.left.cmp(&b.1.left)));
        self.made.joints = joints.into_iter().map(|(_, joint)| joint).collect();
    }

    /// Boards opened: those for what is laid first, with the pieces that lie and those cut from the rest now.
    fn stock(&mut self) {
        let mut stock = std::mem::take(&mut self.floor.stock);
        for piece in stock.iter_mut().flat_map(|board| &mut board.pieces) {
            piece.board = self.place_of[piece.board];
        }
        for (board, of) in self.made.laid.of_board.iter().enumerate() {
            let Some(marked) = of.map(|index| &self.taken.laid.boards[index]) else { continue };
            if let Some(opened) = stock.get_mut(marked.stock) {
                opened.pieces.push(Piece {
                    board,
                    from: marked.from,
                    to: marked.to,
                    shift: marked.shifts.0,
                    right_shift: marked.shifts.1,
                    strip: marked.strip,
                });
            }
        }
        for board in &mut stock {
            board.pieces.sort_by(|a, b| a.from.total_cmp(&b.from).then(a.strip.cmp(&b.strip)));
        }
        self.made.stock = stock;
        let boards: BTreeMap<usize, usize> = self
            .made
            .laid
            .of_board
            .iter()
            .enumerate()
            .filter_map(|(board, of)| of.map(|index| (index, board)))
            .collect();
        let misfits = self.taken.misfits.iter();
        self.made.laid.misfits = misfits
            .filter_map(|misfit| Some(crate::Misfit { board: *boards.get(&misfit.board)?, ..*misfit }))
            .collect();
    }
}

/// Labels boards row by row, left to right: laid ones keep their numbers, the others take those that are free.
fn label(floor: &mut Floor, taken: &Taken) {
    let mut used: BTreeMap<i32, BTreeSet<u32>> = BTreeMap::new();
    for board in &taken.laid.boards {
        used.entry(board.row).or_default().insert(board.number);
    }
    let mut order: Vec<usize> = (0..floor.boards.len()).collect();
    order.sort_by(|a, b| {
        let (a, b) = (&floor.boards[*a], &floor.boards[*b]);
        a.row.cmp(&b.row).then(a.left.total_cmp(&b.left)).then(a.region.cmp(&b.region))
    });
    let (mut previous, mut next) = (None, 1);
    for index in order {
        let row = floor.boards[index].row;
        if previous != Some(row) {
            (previous, next) = (Some(row), 1);
        }
        let number = match floor.laid.of_board[index] {
            Some(laid) => taken.laid.boards[laid].number,
            None => {
                while used.get(&row).is_some_and(|used| used.contains(&next)) {
                    next += 1;
                }
                next += 1;
                next - 1
            }
        };
        floor.boards[index].label = format!("{}-{number}", floor.row_number(row));
    }
}
