//! Any bytes as edits of a small plan, its stock, its rules and the way it is laid; then the house is computed through
//! all stages. No figure is missing; one house in eight is read by the checker, too.
#![no_main]
#![allow(dead_code)]

mod computed;
mod hand;

use computed::compute;
use hand::{Hand, STARTS, change};
use plan::{Border, Corners, GapRange, Pattern, Plan, RandomLengths, StartLine, Wood};

/// One choice of how it is laid, within what the fields of the desk take.
fn choose(plan: &mut Plan, hand: &mut Hand) {
    match hand.byte() % 16 {
        0 => plan.rows_at = hand.between(-90.0, 90.0),
        1 => plan.rows_at = [0.0, 90.0, 45.0, 89.999_999, 1e-9, -90.0][hand.byte() % 6],
        2 => plan.start_line = [StartLine::Best, StartLine::Safest, StartLine::At(hand.number())][hand.byte() % 3],
        3 => {
            plan.pattern = match hand.byte() % 5 {
                0 => Pattern::Irregular,
                1 => Pattern::Half,
                2 => Pattern::Third,
                3 => Pattern::Herringbone {
                    block: hand.between(100.0, 1300.0),
                    abreast: 1 + hand.byte() as u32 % 2,
                },
                _ => Pattern::Chevron { block: hand.between(100.0, 1300.0), mitre: hand.between(25.0, 65.0) },
            }
        }
        4 => {
            let boards = hand.byte() as u32 % 4;
            let corners = if hand.yes() { Corners::Mitred } else { Corners::Butted };
            plan.border = (boards > 0).then_some(Border { boards, corners });
        }
        5 => plan.stock.face_width = hand.between(60.0, 320.0),
        6 => plan.stock.ten_boards = hand.yes().then(|| plan.stock.face_width * 10.0 + hand.between(-9.0, 9.0)),
        7 => {
            for board in &mut plan.stock.lengths {
                board.length = hand.between(500.0, 3100.0);
            }
        }
        8 => {
            let shortest = hand.between(300.0, 1200.0);
            let longest = shortest + hand.between(0.0, 1500.0);
            plan.stock.lengths.clear();
            plan.stock.random = Some(RandomLengths { shortest, longest, per_pack: 1 + hand.byte() as u32 % 9 });
        }
        9 => plan.stock.packs = hand.yes().then(|| hand.byte() as u32),
        10 => {
            plan.stock.end_match = hand.yes();
            plan.stock.kerf = hand.between(0.0, 8.0);
        }
        11 => {
            let least = hand.between(0.0, 30.0);
            plan.rules.wall_gap = GapRange { least, greatest: least + hand.between(0.0, 12.0) };
        }
        12 => (plan.rules.least_rip, plan.rules.least_end) = (hand.between(0.0, 120.0), hand.between(0.0, 700.0)),
        13 => (plan.rules.least_stagger, plan.rules.in_line) = (hand.between(0.0, 700.0), hand.between(0.0, 60.0)),
        14 => plan.stock.wood = hand.yes().then(Wood::default),
        _ => plan.effort = hand.byte() as u64 % 6,
    }
}

libfuzzer_sys::fuzz_target!(|bytes: &[u8]| {
    let hand = &mut Hand(bytes);
    let start = hand.byte() % 3;
    let mut plan = STARTS[start].clone();
    while !hand.0.is_empty() {
        if hand.byte() % 3 == 0 {
            choose(&mut plan, hand);
        } else {
            let _ = change(&mut plan, hand);
        }
    }
    // A plan that no edit changed has been computed before.
    if plan != STARTS[start] {
        compute(&plan, bytes);
    }
});
