//! The order: boards by length, and the figures about the whole.

use crate::told::Told;
use ::order::{Cell, Table};
use lay::Hand;
use pipeline::House;

/// One row a length of board: opened, bought, left whole, metres.
pub(super) fn order(house: &House) -> Table {
    let mut table = Table::new(
        "order",
        "Order",
        &[
            ("stock", "Boards"),
            ("length_mm", "Length"),
            ("opened", "Opened"),
            ("bought", "Bought"),
            ("left_whole", "Left whole"),
            ("opened_m", "Opened, m"),
            ("laid_m", "Laid, m"),
        ],
    );
    for line in &house.order.lines {
        table.rows.push(vec![
            Cell::text(house.plan.stock.name.as_str()),
            Cell::Length(line.length),
            Cell::count(line.opened),
            Cell::count(line.bought),
            Cell::count(line.bought.saturating_sub(line.opened)),
            Cell::Figure(line.opened_length, 2),
            Cell::Figure(line.laid_length, 2),
        ]);
    }
    table
}

/// One row a figure: packs, boards, areas, price.
pub(super) fn figures(house: &Told<'_>) -> Table {
    let mut table =
        Table::new("figures", "Figures", &[("what", "What"), ("figure", "Figure"), ("unit", "Unit")]);
    let order = &house.order;
    let mut add = |what: &str, figure: Cell, unit: &str| {
        table.rows.push(vec![Cell::text(what), figure, Cell::text(unit)]);
    };
    add("packs to buy", Cell::Count(order.packs.into()), "packs");
    for hand in &order.hands {
        let word = match hand.hand {
            Some(Hand::Left) => "left-hand",
            Some(Hand::Right) => "right-hand",
            None => continue,
        };
        add(&format!("{word} boards opened"), Cell::count(hand.opened), "boards");
        add(&format!("{word} packs"), Cell::Count(hand.packs.into()), "packs");
    }
    add("boards opened", Cell::count(order.opened), "boards");
    add("no legal stagger opens fewer than", Cell::count(house.bound().boards), "boards");
    add("boards laid", Cell::count(house.floor.boards.len()), "boards");
    add("area opened", Cell::Figure(order.opened_area, 2), "m²");
    add("area laid", Cell::Figure(order.laid_area, 2), "m²");
    let waste = (order.opened_area - order.laid_area).max(0.0);
    add("left over or cut off", Cell::Figure(waste, 2), "m²");
    if let Some(price) = order.price {
        add("price of the packs", Cell::Figure(price, 2), &house.plan.stock.currency);
    }
    add("leftovers worth keeping", Cell::count(order.leftovers.len()), "pieces");
    table
}
