//! A small house set out by hand, for tests of drawings and sheets: a boarded room of 4000 × 3000 with a
//! tiled room behind its top wall, boards 190 wide, gap 10 all round, start line at y = 1055.

use findings::{Flag, FlagKind, Severity, Subject};
use lay::{Board, End, Floor, Joint, Outline, Piece, Run, StockBoard};
use order::{Notch, Order, PackLine, SawEntry, SawList, YieldBar};
use pipeline::House;
use plan::{Beyond, Covering, Doorway, Fixture, FixtureKind, Leaf, Lining, Plan, Point, Room, Side};
use setout::{Candidate, EdgeRef, Profile, Pull, Rip, SetOut, SnapLine, Value};
use site::{Edge, EdgeKind, Frame, Region, Ring, RoomArea, Site, Source, Uv};

const PITCH: f64 = 190.0;
const LINE: f64 = 1055.0;

/// The house, with this name.
pub(crate) fn small_house(name: &str) -> House {
    let plan = plan(name);
    let site = site();
    let floor = floor();
    let order = order(&floor);
    let setout = setout(&site);
    House {
        plan,
        surveyed: site.clone(),
        site,
        setout,
        floor,
        fit: fit::Fit::default(),
        flags: vec![flag()],
        order,
    }
}

fn corners(x0: f64, y0: f64, x1: f64, y1: f64) -> [Point; 4] {
    [Point::new(x0, y0), Point::new(x1, y0), Point::new(x1, y1), Point::new(x0, y1)]
}

fn plan(name: &str) -> Plan {
    let mut plan = Plan::new(name);
    plan.rooms.push(Room::boarded("Snug", corners(0.0, 0.0, 4000.0, 3000.0)));
    let mut bath = Room::boarded("Bath", corners(0.0, 3092.0, 2400.0, 5000.0));
    bath.covering = Covering::Other("stone".into());
    plan.rooms.push(bath);
    plan.doorways.push(Doorway {
        wall_thickness: 92.0,
        leaf: Some(Leaf::swinging(Side::Far, 40.0)),
        lining: Lining::Fitted,
        beyond: Beyond::UnderLeaf,
        ..Doorway::plain("Bath door", "Snug", 2, 2600.0, 820.0)
    });
    plan.fixtures.push(Fixture::plain(
        "Low spot",
        FixtureKind::LowSpot { depth: 4.0 },
        corners(2600.0, 300.0, 3600.0, 900.0).to_vec(),
    ));
    plan
}

fn site() -> Site {
    let corners =
        [Uv::new(10.0, 10.0), Uv::new(3990.0, 10.0), Uv::new(3990.0, 2990.0), Uv::new(10.0, 2990.0)];
    let edges = (0..4)
        .map(|i| Edge {
            a: corners[i],
            b: corners[(i + 1) % 4],
            kind: EdgeKind::Wall,
            source: Source::Wall { room: 0, wall: i },
            gap: 10.0,
            play: 0.0,
        })
        .collect();
    let area = 3980.0 * 2980.0;
    Site {
        frame: Frame::new(0.0),
        regions: vec![Region { outer: Ring { edges }, holes: Vec::new(), area }],
        bare_area: 4000.0 * 3000.0,
        rooms: vec![RoomArea { room: 0, area: 12e6 }, RoomArea { room: 1, area: 2400.0 * 1908.0 }],
        field: None,
    }
}

fn floor() -> Floor {
    let mut floor = Floor {
        pitch: PITCH,
        lines: vec![LINE],
        first_row: -6,
        runs: vec![],
        boards: vec![],
        joints: vec![],
        stock: vec![],
        ..Floor::default()
    };
    for row in -6_i32..=10 {
        let low = (LINE + f64::from(row) * PITCH).max(10.0);
        let high = (LINE + f64::from(row + 1) * PITCH).min(2990.0);
        let cut = 10.0 + [1300.0, 2000.0, 1650.0][row.rem_euclid(3) as usize];
        let first = floor.boards.len();
        for (n, (left, right)) in [(10.0, cut), (cut, 3990.0)].into_iter().enumerate() {
            let board = floor.boards.len();
            let outer = [(left, low), (right, low), (right, high), (left, high)];
            floor.boards.push(Board {
                label: format!("{}-{}", row + 7, n + 1),
                region: 0,
                row,
                run: floor.runs.len(),
                along: Uv::new(1.0, 0.0),
                left,
                right,
                base: LINE + f64::from(row) * PITCH,
                lean: 0.0,
                hand: None,
                in_border: false,
                outline: Outline { outer: outer.map(|(u, v)| Uv::new(u, v)).to_vec(), holes: vec![] },
                area: (right - left) * (high - low),
                turned: row < 0,
                left_end: if (n == 0) == (row < 0) { End::Factory } else { End::Cut },
                right_end: if (n == 0) == (row < 0) { End::Cut } else { End::Factory },
                starts_run: (n == 0) != (row < 0),
                ends_run: (n == 0) == (row < 0),
                shaped: high - low < PITCH - 0.1,
                width: high - low,
                stock: board,
                from: 0.0,
            });
            let pieces = vec![Piece { board, from: 0.0, to: right - left, ..Piece::default() }];
            floor.stock.push(StockBoard { length: 2700.0, pack: board / 6, pieces });
        }
        floor.joints.push(Joint { row, u: cut, low, high, left: first, right: first + 1 });
        floor.runs.push(Run {
            region: 0,
            row,
            left: 10.0,
            right: 3990.0,
            boards: first..first + 2,
            ..Run::default()
        });
    }
    floor
}

/// The bottom rip is 1055 − 10 − 5 · 190 = 95 kept; the top one 2990 − 1055 − 10 · 190 = 35, a sliver.
fn setout(site: &Site) -> SetOut {
    let rip = |edge: usize, width: f64, y: f64| Rip {
        edge: EdgeRef { region: 0, ring: 0, edge },
        kind: EdgeKind::Wall,
        source: site.regions[0].outer.edges[edge].source,
        length: 3980.0,
        least: width,
        greatest: width,
        hidden: 0.0,
        seen: width,
        play: 0.0,
        most_play: 0.0,
        facing: None,
        weight: 1.0,
        keeps: Profile::Groove,
        at: Point::new(2000.0, y),
    };
    let chosen = Candidate {
        offset: LINE % PITCH,
        value: Value::default(),
        narrowest: 35.0,
        narrowest_within_tolerance: 34.0,
        short_length: 3980.0,
        safe_by: 35.0,
        binding: vec![EdgeRef { region: 0, ring: 0, edge: 2 }],
        rips: vec![rip(0, 95.0, 10.0), rip(2, 35.0, 2990.0)],
    };
    let pull = |letter: char, wall: usize, x: f64, y: f64| Pull {
        letter,
        room: 0,
        wall,
        corner: Point::new(x, y),
        foot: Point::new(x, LINE),
        distance: (LINE - y).abs(),
    };
    SetOut {
        pitch: PITCH,
        least: 50.0,
        curve: Vec::new(),
        lines: vec![chosen.clone()],
        best: chosen.clone(),
        runner_up: None,
        chosen,
        line: Some(SnapLine {
            v: LINE,
            region: 0,
            from: Point::new(10.0, LINE),
            to: Point::new(3990.0, LINE),
            room: Some(0),
            pulls: vec![pull('A', 0, 0.0, 0.0), pull('B', 1, 4000.0, 0.0)],
            check: Some(pull('C', 2, 4000.0, 3000.0)),
            first_rip: Some(0),
            rows_to_wall: 5,
            last_rip: Some(1),
        }),
        region_lines: vec![LINE],
        laid: Vec::new(),
        regions: Vec::new(),
        shifts: vec![0.0],
        eases: Vec::new(),
        along: None,
        points: None,
        tried: None,
    }
}

fn flag() -> Flag {
    Flag {
        cause: None,
        kind: FlagKind::Sliver,
        severity: Severity::Fault,
        subject: Subject::Board(33),
        at: Point::new(3000.0, 2970.0),
        place: "Snug, row 17, board 17-2".into(),
        figure: 35.0,
        limit: 50.0,
        mend: "Move the start line by 40.".into(),
    }
}

fn order(floor: &Floor) -> Order {
    let entry = |setting: f64, boards: &[usize]| SawEntry {
        setting,
        boards: boards.to_vec(),
        run: boards.iter().filter_map(|i| floor.boards.get(*i)).map(Board::length).sum(),
    };
    // Board 3 with a corner taken out: 70 deep from the tongue side, 140 long.
    let (length, notch) = (floor.boards[3].length(), 70.0);
    let outline = vec![
        (0.0, 0.0),
        (length, 0.0),
        (length, PITCH - notch),
        (length - 140.0, PITCH - notch),
        (length - 140.0, PITCH),
        (0.0, PITCH),
    ];
    Order {
        saw: SawList {
            rips_keep_groove: vec![entry(95.0, &[0, 1]), entry(35.0, &[32, 33])],
            crosscuts_keep_right: vec![entry(1300.0, &[0, 6, 12]), entry(2000.0, &[2, 8, 14])],
            notches: vec![Notch {
                board: 3,
                outline,
                holes: vec![],
                round: "Bath door, jamb".into(),
                alike: vec![],
            }],
            ..SawList::default()
        },
        packs: 6,
        lines: vec![PackLine { length: 2700.0, opened: 34, bought: 36, ..PackLine::default() }],
        opened: 34,
        opened_area: 17.4,
        laid_area: 11.86,
        price: None,
        yields: (0..8).map(|stock| YieldBar { stock, left_over: 500.0 }).collect(),
        ..Order::default()
    }
}
