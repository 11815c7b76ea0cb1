//! The plan's own values, the boards and the rules.

use super::{Checker, Place};

pub(super) fn check(checker: &mut Checker<'_>) {
    let plan = checker.plan;
    checker.name("plan", &plan.name, Place::Plan("name"));
    if !(-90.0..=90.0).contains(&plan.rows_at) {
        checker.add(
            Place::Plan("rows_at"),
            format!("the rows run at {} degrees", plan.rows_at),
            "type a direction between -90 and 90; the other half turn is the same floor",
        );
    }
    stock(checker);
    rules(checker);
}

fn stock(checker: &mut Checker<'_>) {
    let stock = &checker.plan.stock;
    checker.name("stock", &stock.name, Place::Stock("name"));
    checker.within(Place::Stock("thickness"), "thickness", stock.thickness, 3.0, 60.0);
    if checker.within(Place::Stock("face_width"), "face width", stock.face_width, 20.0, 1000.0)
        && let Some(ten) = stock.ten_boards
    {
        let ten_as_sold = 10.0 * stock.face_width;
        if (ten - ten_as_sold).abs() > 0.2 * ten_as_sold {
            let (ten, as_sold) = (checker.length(ten), checker.length(ten_as_sold));
            checker.add(
                Place::Stock("ten_boards"),
                format!("ten boards measure {ten}, ten face widths as sold are {as_sold}"),
                "lay ten boards dry and type the width of all ten together",
            );
        }
    }
    if !stock.lengths.iter().any(|length| length.per_pack > 0) {
        checker.add(Place::Stock("lengths"), "a pack holds no board", "give at least one length a count");
    }
    for (i, length) in stock.lengths.iter().enumerate() {
        checker.within(Place::Stock("lengths"), "board length", length.length, 100.0, 20_000.0);
        if stock.lengths[..i].iter().any(|earlier| earlier.length == length.length) {
            let length = checker.length(length.length);
            checker.add(
                Place::Stock("lengths"),
                format!("the length {length} stands twice"),
                "keep one, with the boards of both",
            );
        }
        if length.per_pack > 10_000 {
            checker.add(
                Place::Stock("lengths"),
                format!("a pack holds {} boards of one length", length.per_pack),
                "type the boards in one pack, at most 10000",
            );
        }
    }
    checker.within(Place::Stock("tongue"), "tongue", stock.tongue, 0.0, 30.0);
    checker.within(Place::Stock("kerf"), "kerf", stock.kerf, 0.0, 20.0);
    if stock.pack_price.is_some_and(|price| price < 0.0) {
        checker.add(Place::Stock("pack_price"), "the price is negative", "type the price of one pack");
    }
    if stock.currency.chars().count() > 10 || stock.currency.chars().any(char::is_control) {
        checker.add(Place::Stock("currency"), "the currency is too long", "use at most 10 letters");
    }
}

fn rules(checker: &mut Checker<'_>) {
    let (stock, rules) = (&checker.plan.stock, &checker.plan.rules);
    let in_packs = || stock.lengths.iter().filter(|length| length.per_pack > 0).map(|length| length.length);
    let shortest = in_packs().fold(f64::INFINITY, f64::min);
    let longest = in_packs().fold(0.0, f64::max);
    checker.gap(Place::Rules("wall_gap"), "wall gap", rules.wall_gap);
    checker.within(Place::Rules("tile_end_gap"), "tile end gap", rules.tile_end_gap, 0.0, 100.0);
    checker.within(Place::Rules("in_line"), "distance in line", rules.in_line, 0.0, 100.0);
    checker.within(Place::Rules("line_tolerance"), "line tolerance", rules.line_tolerance, 0.0, 20.0);
    for (field, what, value) in [
        ("greatest_width", "greatest width", rules.greatest_width),
        ("greatest_length", "greatest length", rules.greatest_length),
    ] {
        checker.within(Place::Rules(field), what, value, 500.0, 1_000_000.0);
    }
    for (field, what, value, least, greatest, because) in [
        ("least_rip", "least rip", rules.least_rip, 1.0, stock.face_width, "the face width"),
        ("least_leg", "least leg", rules.least_leg, 0.0, stock.face_width, "the face width"),
        ("least_end", "least end", rules.least_end, 1.0, shortest, "the shortest board"),
        ("least_stagger", "least stagger", rules.least_stagger, 1.0, longest / 2.0, "half the longest board"),
    ] {
        if value < least || (value > greatest && greatest > 0.0) {
            let (value, greatest) = (checker.length(value), checker.length(greatest));
            checker.add(
                Place::Rules(field),
                format!("its {what} is {value}"),
                format!("type one above 0 and at most {greatest}, {because}"),
            );
        }
    }
}

#[cfg(test)]
mod tests {
    use super::super::tests::{accept, expect};
    use crate::{BoardLength, GapRange};

    #[test]
    fn rows_turn_half_way_round_at_most() {
        expect(|plan| plan.rows_at = 90.5, "plan, rows at", "90.5 degrees");
        accept(|plan| plan.rows_at = -90.0);
    }

    #[test]
    fn boards_are_boards() {
        expect(|plan| plan.stock.name.clear(), "stock, name", "no name");
        expect(|plan| plan.stock.thickness = 2.0, "stock, thickness", "2 mm");
        expect(|plan| plan.stock.face_width = 19.0, "stock, face width", "19 mm");
        expect(|plan| plan.stock.ten_boards = Some(190.0), "stock, ten boards", "ten boards measure 190 mm");
        accept(|plan| plan.stock.ten_boards = Some(1902.0));
        expect(|plan| plan.stock.lengths.clear(), "stock, lengths", "no board");
        expect(
            |plan| plan.stock.lengths.iter_mut().for_each(|l| l.per_pack = 0),
            "stock, lengths",
            "holds no board",
        );
        expect(|plan| plan.stock.lengths[0].length = 99.0, "stock, lengths", "99 mm");
        expect(|plan| plan.stock.lengths[0].per_pack = 10_001, "stock, lengths", "10001 boards");
        let twice = BoardLength { length: 1900.0, per_pack: 0 };
        expect(|plan| plan.stock.lengths.push(twice), "stock, lengths", "stands twice");
        expect(|plan| plan.stock.tongue = -1.0, "stock, tongue", "−1 mm");
        expect(|plan| plan.stock.kerf = 20.5, "stock, kerf", "20.5 mm");
        expect(|plan| plan.stock.pack_price = Some(-1.0), "stock, pack price", "negative");
        expect(|plan| plan.stock.currency = "x".repeat(11), "stock, currency", "too long");
    }

    #[test]
    fn rules_are_sane() {
        let gap = GapRange { least: 12.0, greatest: 10.0 };
        expect(|plan| plan.rules.wall_gap = gap, "rules, wall gap", "from 12 mm to 10 mm");
        expect(|plan| plan.rules.wall_gap.least = -1.0, "rules, wall gap", "−1 mm");
        expect(|plan| plan.rules.wall_gap.greatest = 101.0, "rules, wall gap", "101 mm");
        expect(|plan| plan.rules.tile_end_gap = -1.0, "rules, tile end gap", "−1 mm");
        expect(|plan| plan.rules.least_rip = 0.0, "rules, least rip", "0 mm");
        expect(|plan| plan.rules.least_rip = 191.0, "rules, least rip", "191 mm");
        expect(|plan| plan.rules.least_leg = 200.0, "rules, least leg", "200 mm");
        expect(|plan| plan.rules.least_end = 1251.0, "rules, least end", "251 mm");
        expect(|plan| plan.rules.least_stagger = 1101.0, "rules, least stagger", "101 mm");
        expect(|plan| plan.rules.in_line = 101.0, "rules, in line", "101 mm");
        expect(|plan| plan.rules.greatest_width = 0.0, "rules, greatest width", "0 mm");
        expect(|plan| plan.rules.greatest_length = 1.0, "rules, greatest length", "1 mm");
        expect(|plan| plan.rules.line_tolerance = 21.0, "rules, line tolerance", "21 mm");
    }
}
