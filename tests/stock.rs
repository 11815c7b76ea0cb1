//! Boards opened against a general MILP solver (microlp), by another formulation than the counter's: which
//! piece is cut from which board.
#![allow(clippy::unwrap_used)]

use lay::End;
use microlp::{ComparisonOp, OptimizationDirection, Problem};
use order::{Demand, Ends, SawnAt, fewest_boards};

use plan::{BoardLength, Fixture, FixtureKind, Plan, Point, Room, Stock};
use startrow_tests::Dice;

/// The fewest boards by assignment: boards of one length, each used or not, each piece on one board.
fn by_assignment(demand: &[Demand], stock: &Stock) -> usize {
    let length = stock.lengths[0].length;
    let pieces: Vec<(f64, Ends)> =
        demand.iter().flat_map(|d| std::iter::repeat_n((d.length, d.ends), d.count)).collect();
    let boards = pieces.len();
    let mut problem = Problem::new(OptimizationDirection::Minimize);
    let used: Vec<_> = (0..boards).map(|_| problem.add_integer_var(1.0, (0, 1))).collect();
    let on: Vec<Vec<_>> = pieces
        .iter()
        .enumerate()
        .map(|(p, _)| (0..boards).map(|b| problem.add_integer_var(0.0, (0, i32::from(b <= p)))).collect())
        .collect();
    for row in &on {
        let once: Vec<_> = row.iter().map(|v| (*v, 1.0)).collect();
        problem.add_constraint(&once, ComparisonOp::Eq, 1.0);
    }
    for b in 0..boards {
        let mut room: Vec<_> = on.iter().zip(&pieces).map(|(row, (l, _))| (row[b], l + stock.kerf)).collect();
        room.push((used[b], -(length + stock.kerf)));
        problem.add_constraint(&room, ComparisonOp::Le, 0.0);
        if stock.end_match {
            for end in [Ends::Left, Ends::Right] {
                let mut once: Vec<_> = on
                    .iter()
                    .zip(&pieces)
                    .filter(|(_, (_, ends))| *ends == end || *ends == Ends::Both)
                    .map(|(row, _)| (row[b], 1.0))
                    .collect();
                once.push((used[b], -1.0));
                problem.add_constraint(&once, ComparisonOp::Le, 0.0);
            }
        }
    }
    problem.solve().unwrap().into_solution().unwrap().objective().round() as usize
}

fn one_length(length: f64, kerf: f64, end_match: bool) -> Stock {
    Stock { lengths: vec![BoardLength { length, per_pack: 1 }], kerf, end_match, ..Stock::default() }
}

#[test]
fn the_counter_agrees_with_the_solver_on_small_demands() {
    for seed in 0..40 {
        let dice = &mut Dice::new(seed);
        let stock = one_length(2000.0, 3.0, !dice.one_in(3));
        let demand: Vec<Demand> = (0..2 + dice.below(6))
            .map(|_| Demand {
                length: dice.mm(300.0, 1500.0),
                ends: [Ends::Neither, Ends::Left, Ends::Right][dice.below(3)],
                count: 1,
            })
            .collect();
        assert_eq!(
            fewest_boards(&demand, &stock).unwrap(),
            by_assignment(&demand, &stock),
            "demand {demand:?}"
        );
    }
}

fn closet(width: f64, height: f64, seed: u64) -> Plan {
    let mut plan = Plan::new("closet");
    plan.seed = seed;
    plan.rooms.push(Room::boarded(
        "Closet",
        [(0.0, 0.0), (width, 0.0), (width, height), (0.0, height)].map(|(x, y)| Point::new(x, y)),
    ));
    plan
}

/// A closet laid by the program opens just the fewest boards that the solver proves possible for its pieces.
#[test]
fn small_floors_open_the_proven_fewest_for_their_pieces() {
    for seed in 0..12 {
        let dice = &mut Dice::new(1000 + seed);
        let mut plan = closet(dice.mm(2300.0, 3600.0), dice.mm(600.0, 900.0), seed);
        plan.stock = Stock { face_width: 190.0, ..one_length(2000.0, 3.0, true) };
        plan.effort = 2000;
        let house = pipeline::run(&plan).unwrap();
        // Strips left from rips are had for nothing.
        let pieces = house.floor.stock.iter().flat_map(|b| &b.pieces).filter(|piece| !piece.strip);
        let demand: Vec<Demand> = pieces
            .map(|piece| &house.floor.boards[piece.board])
            .map(|b| Demand {
                length: b.length(),
                ends: match (b.starts_run, b.ends_run) {
                    (true, true) => Ends::Neither,
                    (true, false) => Ends::Right,
                    (false, true) => Ends::Left,
                    (false, false) => Ends::Both,
                },
                count: 1,
            })
            .collect();
        let proven = by_assignment(&demand, &plan.stock);
        assert_eq!(fewest_boards(&demand, &plan.stock).unwrap(), proven);
        assert!(house.bound().boards <= proven);
        assert_eq!(house.floor.stock.len(), proven, "seed {seed}");
    }
}

/// Every legal stagger of a closet of equal rows, joints on a grid: the fewest boards among those with the fewest
/// joints in line two rows apart. Legal staggers are bound by differences of joints alone, so where all measures lie
/// on the grid the fewest is reached on it.
fn fewest_of_all_staggers(
    run: i64,
    rows: usize,
    board: i64,
    least_end: i64,
    stagger: i64,
    grid: i64,
) -> usize {
    // Joints of one row: one, or two with a whole board between them.
    let mut ways: Vec<Vec<i64>> = Vec::new();
    for first in (least_end..=board.min(run - least_end)).step_by(grid as usize) {
        if run - first <= board {
            ways.push(vec![first]);
        }
        let second = first + board;
        if run - second >= least_end && run - second <= board {
            ways.push(vec![first, second]);
        }
    }
    let mut best = (usize::MAX, usize::MAX);
    let mut floor: Vec<usize> = Vec::new();
    all_floors(&ways, rows, stagger, &mut floor, &mut |floor| {
        let row = |i: usize| &ways[floor[i]];
        let in_line = (2..rows).map(|i| row(i).iter().filter(|u| row(i - 2).contains(u)).count()).sum();
        let whole: usize = (0..rows).map(|i| row(i).len() - 1).sum();
        // A starter and a closer share a board where both fit: the most pairs, shortest starters with
        // the longest closers they leave room for.
        let mut closers: Vec<i64> = (0..rows).map(|i| run - row(i)[row(i).len() - 1]).collect();
        let mut starters: Vec<i64> = (0..rows).map(|i| row(i)[0]).collect();
        starters.sort_unstable_by(|a, b| b.cmp(a));
        closers.sort_unstable();
        let mut pairs = 0;
        for starter in starters {
            // The longest starter takes the longest closer that still fits it: shorter ones have more choice.
            if let Some(fit) = closers.iter().rposition(|closer| starter + closer <= board) {
                closers.remove(fit);
                pairs += 1;
            }
        }
        best = best.min((in_line, whole + 2 * rows - pairs));
    });
    best.1
}

/// Calls `each` with every floor whose neighbouring rows keep their stagger.
fn all_floors(
    ways: &[Vec<i64>],
    rows: usize,
    stagger: i64,
    floor: &mut Vec<usize>,
    each: &mut dyn FnMut(&[usize]),
) {
    if floor.len() == rows {
        return each(floor);
    }
    for way in 0..ways.len() {
        let keeps =
            |last: &usize| ways[*last].iter().all(|a| ways[way].iter().all(|b| (a - b).abs() >= stagger));
        if floor.last().is_none_or(keeps) {
            floor.push(way);
            all_floors(ways, rows, stagger, floor, each);
            floor.pop();
        }
    }
}

/// Against every legal stagger there is, written out.
#[test]
fn tiny_floors_open_the_fewest_boards_of_all_legal_staggers() {
    for (number, run) in (2200..=3800).step_by(200).enumerate() {
        for rows in [2, 3] {
            let (pitch, gap) = (190.0, 10.0);
            let mut plan = closet(run as f64 + 2.0 * gap, rows as f64 * pitch + 2.0 * gap, number as u64);
            plan.stock = Stock { face_width: pitch, ..one_length(2000.0, 0.0, true) };
            plan.start_line = plan::StartLine::At(gap);
            (plan.rules.least_end, plan.rules.least_stagger) = (300.0, 300.0);
            // Joints nearer than the grid are in line.
            plan.rules.in_line = 49.999;
            plan.effort = 8000;
            let house = pipeline::run(&plan).unwrap();
            assert_eq!(house.floor.runs.len(), rows);
            let fewest = fewest_of_all_staggers(run, rows, 2000, 300, 300, 50);
            assert_eq!(house.floor.stock.len(), fewest, "run {run}, {rows} rows");
            assert!(house.flags.iter().all(|flag| flag.severity != findings::Severity::Fault), "run {run}");
        }
    }
}

/// A room whose end walls lean by half a row's width for each row, parallel to one another: `rows` rows of 190, from wall
/// to wall 2000 less one slanting saw cut, 3·√1.25, half-way across each. The walls' gap of 10 is 10·√1.25 along the rows.
fn leaning_room(rows: usize, line: f64) -> Plan {
    let (pitch, gap, lean) = (190.0, 10.0, 0.5);
    let along = (1.0_f64 + lean * lean).sqrt();
    let mut plan = closet(1.0, 1.0, 3);
    let (width, height) = (2000.0 - 3.0 * along + 2.0 * gap * along, rows as f64 * pitch + 2.0 * gap);
    let corners = [(0.0, 0.0), (width, 0.0), (width + lean * height, height), (lean * height, height)];
    plan.rooms[0] = plan::Room::boarded("Closet", corners.map(|(x, y)| Point::new(x, y)));
    plan.stock = Stock { face_width: pitch, ..one_length(2000.0, 3.0, true) };
    plan.start_line = plan::StartLine::At(line);
    plan.effort = 4000;
    plan
}

/// By hand: of one board a closer and a starter are parted by one cut of the walls' slant, and together they are a row. So
/// eight rows are eight boards. From rectangles they would be nine: 8 · (1996.6 + 95 + 3) over 2003 are 8.37. Rows below
/// the start line lie turned half round, and take the slant of the other wall: the same one.
#[test]
fn rows_between_leaning_walls_take_a_board_each() {
    for line in [10.0, 10.0 + 3.0 * 190.0] {
        let house = pipeline::run(&leaning_room(8, line)).unwrap();
        assert!(house.flags.iter().all(|flag| flag.severity != findings::Severity::Fault), "line {line}");
        assert_eq!((house.order.opened, house.bound().boards), (8, 8), "line {line}");
        let (parted, stock) = (&house.order.saw.parted, &house.floor.stock);
        assert_eq!(parted.len(), 8, "line {line}");
        for cut in parted {
            let [closer, starter] = stock[cut.stock].pieces[..] else { panic!("{:?}", stock[cut.stock]) };
            assert_eq!([closer.board, starter.board], [cut.left, cut.right]);
            // tan 26.6° is a half.
            assert!((cut.shift - 95.0).abs() < 1e-6 && cut.angle == 26.6, "{cut:?}");
            let apart = starter.from - closer.to;
            assert!((apart - 3.0 * 1.25_f64.sqrt()).abs() < 1e-3, "{apart}");
        }
        // On paper and in the result the floor keeps what it promises.
        let result = serde_json::to_value(house.document()).unwrap().to_string();
        let report = recheck::recheck(&plan::write(&house.plan), &result).unwrap();
        assert!(report.complaints.is_empty(), "{:?}", report.complaints);
    }
}

/// A fixture 20 mm wide along the middle of a row leaves 75 mm of it on either side: 190 − 20 less a gap of 10 on both
/// sides, halved. Between two joints both pieces keep both factory ends, so each asks for a whole board of that length;
/// 75 + 75 and a saw cut of 3 go into one of 190.
#[test]
fn what_lies_on_both_sides_of_a_wall_along_a_row_comes_from_one_board() {
    let (pitch, gap) = (190.0, 10.0);
    let mut plan = closet(9000.0, 3.0 * pitch + 2.0 * gap, 7);
    plan.stock = Stock { face_width: pitch, ..one_length(2000.0, 3.0, true) };
    plan.start_line = plan::StartLine::At(gap);
    let middle = gap + 1.5 * pitch;
    let outline = [(400.0, -10.0), (8600.0, -10.0), (8600.0, 10.0), (400.0, 10.0)];
    plan.fixtures.push(Fixture {
        gap: Some(plan::GapRange { least: gap, greatest: 2.0 * gap }),
        ..Fixture::plain(
            "Wing wall",
            FixtureKind::Island,
            outline.map(|(x, y)| Point::new(x, middle + y)).to_vec(),
        )
    });
    let house = pipeline::run(&plan).unwrap();
    let boards = &house.floor.boards;
    let between = boards.iter().filter(|b| (b.width - 75.0).abs() < 0.001 && !b.starts_run && !b.ends_run);
    let between: Vec<_> = between.collect();
    assert!(between.len() >= 4, "{} pieces between joints", between.len());
    for piece in &between {
        assert_eq!([piece.left_end, piece.right_end], [End::Factory; 2], "{}", piece.label);
        let beside = between.iter().filter(|other| (other.left - piece.left).abs() < 0.001);
        assert!(beside.clone().count() == 2 && beside.clone().all(|other| other.stock == piece.stock));
    }
    for joint in &house.floor.joints {
        let (left, right) = (&boards[joint.left], &boards[joint.right]);
        // A turned board's own left end lies at the right.
        let ends = match left.turned {
            true => [left.left_end, right.right_end],
            false => [left.right_end, right.left_end],
        };
        assert_eq!(ends, [End::Factory; 2], "{} and {}", left.label, right.label);
    }
}

fn packs_of(kinds: &[(f64, u32)]) -> Vec<BoardLength> {
    kinds.iter().map(|(length, per_pack)| BoardLength { length: *length, per_pack: *per_pack }).collect()
}

/// Forty rows of 1340 between walls 1360 apart, packs of one board of 1900 and four of 1250. A long board for each row would
/// be forty packs. Two pieces of short boards for each are 40 · 1340 / 1250 = 43 boards at the least, eleven packs, and no
/// pack has more than 1900 + 4 · 1250 = 6900 for the 53,600 mm of the rows: eight packs at the least. By hand.
#[test]
fn a_row_that_one_long_board_covers_is_laid_in_two_where_long_boards_run_out() {
    let mut plan = Plan::new("hall");
    plan.stock.lengths = packs_of(&[(1900.0, 1), (1250.0, 4)]);
    let height = 40.0 * plan.stock.pitch() + 20.0;
    let corners = [(0.0, 0.0), (1360.0, 0.0), (1360.0, height), (0.0, height)].map(|(x, y)| Point::new(x, y));
    plan.rooms.push(Room::boarded("Hall", corners));
    plan.start_line = plan::StartLine::At(10.0);
    let house = pipeline::run(&plan).unwrap();
    assert_eq!(house.floor.runs.len(), 40);
    assert!((8..=12).contains(&house.order.packs), "{} packs", house.order.packs);
    assert!(house.flags.is_empty(), "{:?}", house.flags);
}

/// Packs whose lengths are mixed are used up in proportion by the first floor already: against the bound on packs, below
/// which no floor goes, whatever its joints.
#[test]
fn packs_of_mixed_lengths_are_used_up_in_proportion() {
    let mixes: [&[(f64, u32)]; 4] = [
        &[(1900.0, 4), (1250.0, 1)],
        &[(1900.0, 1), (1250.0, 4)],
        &[(1800.0, 1), (1500.0, 1), (1200.0, 7)],
        &[(2300.0, 1), (1920.0, 2), (870.0, 2), (740.0, 3)],
    ];
    for mix in mixes {
        let (mut packs, mut bound) = (0, 0);
        for seed in 0..12 {
            let mut plan = startrow_tests::house(seed);
            plan.stock.lengths = packs_of(mix);
            let house = pipeline::run(&plan).unwrap();
            (packs, bound) = (packs + house.order.packs, bound + house.bound().packs);
        }
        assert!(100 * packs <= 112 * bound, "{mix:?}: {packs} packs, {bound} at the least");
    }
}

/// Boards of 2200 in a room 2218 long with gaps of 10 leave runs of 2198: each is cut 2 short, with a blade of 3. The last of
/// three rows is a millimetre narrower than a board. By hand. With a blade of 1 the cuts are as any.
#[test]
fn cuts_thinner_than_the_blade_are_told() {
    let mut plan = plan::Plan::new("Store");
    plan.stock.lengths = vec![plan::BoardLength { length: 2200.0, per_pack: 6 }];
    plan.stock.kerf = 3.0;
    let pitch = plan.stock.pitch();
    let (w, h) = (2218.0, 20.0 + 3.0 * pitch - 1.0);
    plan.rooms.push(plan::Room::boarded(
        "Store",
        [(0.0, 0.0), (w, 0.0), (w, h), (0.0, h)].map(|(x, y)| plan::Point::new(x, y)),
    ));
    plan.start_line = plan::StartLine::At(10.0);
    let (found, told) = skims(&plan);
    let off =
        |at: SawnAt| -> Vec<f64> { found.iter().filter(|skim| skim.at == at).map(|skim| skim.off).collect() };
    assert_eq!(off(SawnAt::RightEnd).len(), 3, "{found:?}");
    assert!(off(SawnAt::RightEnd).iter().all(|off| (off - 2.0).abs() < 1e-6), "{found:?}");
    assert!(off(SawnAt::Side).len() == 1 && (off(SawnAt::Side)[0] - 1.0).abs() < 0.06, "{found:?}");
    assert_eq!(off(SawnAt::LeftEnd), [0.0; 0]);
    assert!(told.unwrap().contains("(2 off its right end)"));
    plan.stock.kerf = 1.0;
    assert_eq!(skims(&plan).0.iter().filter(|skim| skim.at != SawnAt::Side).count(), 0);
}

fn skims(plan: &plan::Plan) -> (Vec<order::Skim>, Option<String>) {
    let house = pipeline::run(plan).unwrap();
    let told = order::skim_words(plan, &house.floor, &house.order.saw);
    (house.order.saw.skims.clone(), told)
}

/// Rows of 3996 from boards of 2000: one board stays whole, and the last and the first piece of a row, 1996 together, come from
/// another, 4 apart. A blade of 3 leaves 1 of them for a second cut, or 2 where both pieces are rounded down to whole millimetres
/// from fractions that make one together. With a blade of 2 the second cut takes what the first did. By hand.
#[test]
fn a_second_cut_between_two_pieces_is_told() {
    let mut plan = plan::Plan::new("Store");
    plan.stock.lengths = packs_of(&[(2000.0, 6)]);
    plan.stock.kerf = 3.0;
    let (w, h) = (4016.0, 20.0 + 6.0 * plan.stock.pitch());
    let corners = [(0.0, 0.0), (w, 0.0), (w, h), (0.0, h)].map(|(x, y)| Point::new(x, y));
    plan.rooms.push(Room::boarded("Store", corners));
    plan.start_line = plan::StartLine::At(10.0);
    let house = pipeline::run(&plan).unwrap();
    let floor = &house.floor;
    let (found, told) = skims(&plan);
    let shared: Vec<[usize; 2]> = floor
        .stock
        .iter()
        .filter_map(|stock| match stock.pieces.as_slice() {
            [left, right] => Some([left.board, right.board]),
            _ => None,
        })
        .collect();
    assert!(!shared.is_empty());
    let mut thin = 0;
    for [left, right] in shared {
        let [a, b] = [left, right].map(|board| floor.boards[board].length().floor());
        let off = 2000.0 - a - b - 3.0;
        let own: Vec<&order::Skim> =
            found.iter().filter(|skim| [left, right].contains(&skim.board)).collect();
        match off < 3.0 {
            true => {
                thin += 1;
                assert!(own.len() == 1 && own[0].board == right && own[0].at == SawnAt::LeftEnd, "{own:?}");
                assert!((own[0].off - off).abs() < 1e-6 && off >= 1.0, "{own:?}, {off}");
                let words = format!("{} ({off} off its left end)", floor.boards[right].label);
                assert!(told.as_ref().unwrap().contains(&words), "{told:?} without {words}");
            }
            false => assert!(own.is_empty(), "{off}: {own:?}"),
        }
    }
    assert!(thin > 0 && found.len() == thin, "{thin}: {found:?}");
    plan.stock.kerf = 2.0;
    assert_eq!(skims(&plan).0.iter().filter(|skim| skim.off < 1.0).count(), 0);
}

/// In houses, with a thick blade: of boards that give one piece, or the last of one row and the first of another, what comes off
/// is what the stops leave of the board's length, less a blade between two. Nothing else is told of them, and of straight rips
/// what the fence leaves of the pitch.
#[test]
fn thin_cuts_of_houses_are_what_stops_and_fences_leave() {
    let (mut ends, mut rips) = (0, 0);
    for seed in 0..90 {
        let mut plan = startrow_tests::house(seed);
        plan.stock.kerf = [3.0, 6.0, 10.0][seed as usize % 3];
        let kerf = plan.stock.kerf;
        let house = pipeline::run(&plan).unwrap();
        let (floor, saw) = (&house.floor, &house.order.saw);
        let is_thin = |off: f64| off > 0.05 && off < kerf - 0.05;
        let told = |board: usize, is_rip: bool| -> Vec<(SawnAt, f64)> {
            let of =
                saw.skims.iter().filter(|skim| skim.board == board && (skim.at == SawnAt::Side) == is_rip);
            of.map(|skim| (skim.at, skim.off)).collect()
        };
        let is_plain = |board: usize| !floor.boards[board].shaped && floor.boards[board].lean == 0.0;
        let stop = |board: usize| match (floor.boards[board].left_end, floor.boards[board].right_end) {
            (End::Factory, End::Factory) => floor.boards[board].length(),
            _ => (floor.boards[board].length() + 1e-6).floor(),
        };
        for stock in &floor.stock {
            let pieces: Vec<usize> = stock.pieces.iter().map(|piece| piece.board).collect();
            let is_simple =
                |piece: &lay::Piece| !piece.strip && piece.shift == 0.0 && piece.right_shift == 0.0;
            if !stock.pieces.iter().all(is_simple) || !pieces.iter().all(|board| is_plain(*board)) {
                continue;
            }
            let sides = |board: usize| (floor.boards[board].left_end, floor.boards[board].right_end);
            let expected: Vec<(usize, SawnAt, f64)> = match pieces.as_slice() {
                [one] => match sides(*one) {
                    (End::Factory, End::Cut) => vec![(*one, SawnAt::RightEnd, stock.length - stop(*one))],
                    (End::Cut, End::Factory) => vec![(*one, SawnAt::LeftEnd, stock.length - stop(*one))],
                    (End::Factory, End::Factory) => Vec::new(),
                    (End::Cut, End::Cut) => continue,
                },
                [left, right] if (sides(*left).0, sides(*right).1) == (End::Factory, End::Factory) => {
                    let gap = floor.boards[*right].from - floor.boards[*left].length();
                    let off = stock.length - stop(*left) - stop(*right) - kerf;
                    if gap > kerf + 0.1 { vec![(*right, SawnAt::LeftEnd, off)] } else { Vec::new() }
                }
                _ => continue,
            };
            for board in pieces {
                let expected: Vec<(SawnAt, f64)> = expected
                    .iter()
                    .filter(|(of, _, off)| *of == board && is_thin(*off))
                    .map(|(_, at, off)| (*at, *off))
                    .collect();
                let told = told(board, false);
                ends += expected.len();
                let are_same = told.len() == expected.len()
                    && told.iter().zip(&expected).all(|(a, b)| a.0 == b.0 && (a.1 - b.1).abs() < 1e-6);
                assert!(are_same, "house {seed}, {}: {told:?} for {expected:?}", floor.boards[board].label);
            }
        }
        for entry in saw.rips_keep_tongue.iter().chain(&saw.rips_keep_groove) {
            for board in entry.boards.iter().filter(|board| floor.strip_beside(**board).is_none()) {
                let off = floor.pitch - entry.setting;
                let told = told(*board, true);
                rips += usize::from(is_thin(off));
                assert_eq!(told.len(), usize::from(is_thin(off)), "house {seed}: {told:?}, {off}");
                assert!(told.iter().all(|(_, own)| (own - off).abs() < 1e-6));
            }
        }
    }
    assert!(ends > 20 && rips > 20, "{ends} ends, {rips} rips");
}
