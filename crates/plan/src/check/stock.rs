//! The plan's own values, the boards and the rules.

use super::{Checker, Place};
use crate::backdrop::SCALES;
use crate::blocks::LONGEST;
use crate::{KindGaps, Pattern};

/// More moves than a search makes in a night.
const MOST_EFFORT: u64 = 10_000_000_000;

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
    layout(checker);
    stock(checker);
    rules(checker);
}

fn layout(checker: &mut Checker<'_>) {
    let plan = checker.plan;
    let mut named = std::collections::BTreeSet::new();
    for own in &plan.own_lines {
        let place = Place::Plan("own_lines");
        match plan.room_index(&own.room).map(|index| &plan.rooms[index]) {
            None => checker.add(
                place,
                format!("there is no room `{}`", own.room),
                "name a boarded room, or take the line out",
            ),
            Some(room) if !room.is_boarded() => {
                checker.add(place, format!("{} is not boarded", room.name), "name a boarded room");
            }
            Some(_) if !named.insert(own.room.as_str()) => {
                checker.add(place, format!("{} has two lines of its own", own.room), "take one of them out");
            }
            Some(_) => {}
        }
    }
    pattern(checker);
    if let Some(border) = plan.border.filter(|border| !(1..=10).contains(&border.boards)) {
        checker.add(
            Place::Plan("border"),
            format!("the border is {} boards wide", border.boards),
            "type 1 to 10, or take the border out",
        );
    }
    backdrop(checker);
    if plan.light_from.is_some_and(|angle| !(-360.0..=360.0).contains(&angle)) {
        checker.add(
            Place::Plan("light_from"),
            "the light comes from no direction",
            "type degrees between -360 and 360",
        );
    }
    if plan.effort > MOST_EFFORT {
        checker.add(
            Place::Plan("effort"),
            format!("the search may take {} moves", plan.effort),
            format!("type at most {MOST_EFFORT}"),
        );
    }
}

/// Longest path of a picture, letters.
const LONGEST_PATH: usize = 1000;
/// Most pixels of a picture to a side; larger scans are cut down before they are set under a plan.
const MOST_PIXELS: u32 = 20_000;

fn backdrop(checker: &mut Checker<'_>) {
    let Some(picture) = checker.plan.backdrop.as_ref() else { return };
    let (w, h) = picture.pixels;
    let faults = [
        (
            picture.file.trim().is_empty()
                || picture.file.chars().count() > LONGEST_PATH
                || picture.file.chars().any(char::is_control),
            "its path is empty, too long or has more than one line".to_owned(),
            "name a picture, or take the backdrop out",
        ),
        (
            !(1..=MOST_PIXELS).contains(&w) || !(1..=MOST_PIXELS).contains(&h),
            format!("it has {w} × {h} pixels"),
            "use a picture of 1 to 20000 pixels to a side",
        ),
        (
            picture.mark.chars().count() > 40,
            "the mark of its bytes is too long".to_owned(),
            "take the mark out",
        ),
        (
            !SCALES.contains(&picture.scale),
            format!("a pixel of it is {} mm", picture.scale),
            "set it to scale by two points whose distance you know",
        ),
        (
            !(-360.0..=360.0).contains(&picture.turn),
            format!("it is turned by {} degrees", picture.turn),
            "type degrees between -360 and 360",
        ),
        (
            !(0.0..=1.0).contains(&picture.dim),
            format!("it is faded by {}", picture.dim),
            "type 0, as it is, to 1, not seen",
        ),
    ];
    for (_, what, mend) in faults.into_iter().filter(|(is_wrong, ..)| *is_wrong) {
        checker.add(Place::Plan("backdrop"), what, mend);
    }
}

fn pattern(checker: &mut Checker<'_>) {
    let plan = checker.plan;
    let (stock, place) = (&plan.stock, || Place::Plan("pattern"));
    if stock.random.is_some() && !(plan.pattern.is_irregular() && plan.border.is_none()) {
        checker.add(
            place(),
            "the boards are of random lengths, which make no pattern and no border",
            "give fixed lengths, or lay irregular rows without a border",
        );
    }
    match plan.pattern {
        Pattern::Herringbone { abreast, .. } if !(1..=4).contains(&abreast) => {
            checker.add(
                place(),
                format!("{abreast} blocks lie side by side"),
                "type 1 for single or 2 for double, at most 4",
            );
            return;
        }
        Pattern::Chevron { mitre, .. } if !(15.0..=75.0).contains(&mitre) => {
            checker.add(
                place(),
                format!("its mitre is {mitre} degrees"),
                "type one between 15 and 75; 45 and 30 are usual",
            );
            return;
        }
        _ => {}
    }
    let Some(blocks) = plan.pattern.blocks(stock) else { return };
    if !checker.within(place(), "block", blocks.length, blocks.least, LONGEST) {
        return;
    }
    if stock.random.is_none() && !blocks.are_in(stock) {
        let block = checker.length(blocks.length);
        checker.add(
            place(),
            format!("no board of the stock is a block {block} long, or may be cut to one"),
            "give the stock the block's length, or longer boards whose ends do not join",
        );
    }
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
    if let Some(random) = stock.random {
        let shortest =
            checker.within(Place::Stock("random"), "shortest board", random.shortest, 100.0, 20_000.0);
        if shortest {
            checker.within(
                Place::Stock("random"),
                "longest board",
                random.longest,
                random.shortest,
                20_000.0,
            );
        }
        if !(1..=10_000).contains(&random.per_pack) {
            checker.add(
                Place::Stock("random"),
                format!("a pack holds {} boards", random.per_pack),
                "type the boards in one pack, 1 to 10000",
            );
        }
        if !stock.lengths.is_empty() {
            checker.add(
                Place::Stock("random"),
                "the stock has both fixed and random lengths",
                "take one of them out",
            );
        }
    } else if !stock.lengths.iter().any(|length| length.per_pack > 0) {
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
    if let Some(layer) = stock.wear_layer {
        checker.within(Place::Stock("wear_layer"), "wear layer", layer, 0.1, stock.thickness);
    }
    if let Some(bed) = stock.bed {
        checker.within(Place::Stock("bed"), "bed", bed, 0.0, 50.0);
    }
    checker.within(Place::Stock("tongue"), "tongue", stock.tongue, 0.0, 30.0);
    checker.within(Place::Stock("kerf"), "kerf", stock.kerf, 0.0, 20.0);
    if stock.packs.is_some_and(|packs| !(1..=100_000).contains(&packs)) {
        checker.add(
            Place::Stock("packs"),
            "the packs on hand are none or too many",
            "type 1 to 100000, or take the field out where more can be had",
        );
    }
    if stock.pack_price.is_some_and(|price| price < 0.0) {
        checker.add(Place::Stock("pack_price"), "the price is negative", "type the price of one pack");
    }
    if stock.currency.chars().count() > 10 || stock.currency.chars().any(char::is_control) {
        checker.add(Place::Stock("currency"), "the currency is too long", "use at most 10 letters");
    }
}

fn rules(checker: &mut Checker<'_>) {
    let (stock, rules) = (&checker.plan.stock, &checker.plan.rules);
    let (shortest, longest) = (stock.shortest(), stock.longest());
    checker.gap(Place::Rules("wall_gap"), "wall gap", rules.wall_gap);
    checker.within(Place::Rules("tile_end_gap"), "tile end gap", rules.tile_end_gap, 0.0, 100.0);
    checker.within(Place::Rules("in_line"), "distance in line", rules.in_line, 0.0, 100.0);
    checker.within(Place::Rules("line_tolerance"), "line tolerance", rules.line_tolerance, 0.0, 20.0);
    for ((_, what), gap) in KindGaps::FIELDS.iter().zip(rules.gaps.all()) {
        if let Some(gap) = gap {
            checker.gap(Place::Rules("gaps"), what, gap);
        }
    }
    let cover = &rules.cover;
    for (what, value) in [
        ("skirting", cover.skirting),
        ("architrave", cover.architrave),
        ("least cover", cover.least),
        ("tolerance", cover.tolerance),
    ] {
        if let Some(value) = value {
            checker.within(Place::Rules("cover"), what, value, 0.0, 100.0);
        }
    }
    levels(checker);
    for (field, what, value) in [
        ("travel", "travel of a folded board", rules.travel),
        ("tilt_room", "room to tilt a board in", rules.tilt_room),
        ("slide_room", "room to slide a board in", rules.slide_room),
    ] {
        checker.within(Place::Rules(field), what, value.unwrap_or(0.0), 0.0, 100.0);
    }
    for (field, what, value) in [
        ("greatest_width", "greatest width", rules.greatest_width),
        ("greatest_length", "greatest length", rules.greatest_length),
    ] {
        checker.within(Place::Rules(field), what, value, 500.0, 1_000_000.0);
    }
    // Where the boards are none that are sold, that is told, and nothing is held to them.
    let sold = |size: f64, least: f64| if size < least { 0.0 } else { size };
    let (width, shortest) = (sold(stock.face_width, 20.0), sold(shortest, 100.0));
    for (field, what, value, least, greatest, because) in [
        ("least_rip", "least rip", rules.least_rip, 1.0, width, "the face width"),
        ("least_leg", "least leg", rules.least_leg, 0.0, width, "the face width"),
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

/// Limits on levels: each in its bounds, and the steps in order.
fn levels(checker: &mut Checker<'_>) {
    let levels = checker.plan.rules.levels;
    let mut sound = true;
    for (what, value) in levels.all() {
        sound &= checker.within(Place::Rules("levels"), what, value, 0.0, 100.0);
    }
    let steps = [levels.flush(), levels.upright(), levels.bevelled()];
    if sound && !steps.is_sorted() {
        let [flush, upright, bevelled] = steps.map(|step| checker.length(step));
        checker.add(
            Place::Rules("levels"),
            format!("its steps are flush to {flush}, upright to {upright}, bevelled to {bevelled}"),
            "type them so that none is less than the one before",
        );
    }
}

#[cfg(test)]
mod tests {
    use super::super::tests::{accept, expect};
    use crate::{BoardLength, Border, Corners, GapRange, OwnLine, Pattern, RandomLengths, StartLine};

    #[test]
    fn rows_turn_half_way_round_at_most() {
        expect(|plan| plan.rows_at = 90.5, "plan, rows at", "90.5 degrees");
        accept(|plan| plan.rows_at = -90.0);
    }

    #[test]
    fn patterns_borders_and_lines_of_their_own_are_sane() {
        let own = |room: &str| OwnLine { room: room.into(), line: StartLine::Best };
        expect(|plan| plan.own_lines = vec![own("Attic")], "plan, own lines", "no room `Attic`");
        expect(|plan| plan.own_lines = vec![own("Left"), own("Left")], "plan, own lines", "two lines");
        accept(|plan| plan.own_lines = vec![own("Left")]);
        let herringbone = |block, abreast| Pattern::Herringbone { block, abreast };
        expect(|plan| plan.pattern = herringbone(90.0, 1), "plan, pattern", "its block is 90 mm");
        expect(|plan| plan.pattern = herringbone(600.0, 0), "plan, pattern", "0 blocks");
        expect(|plan| plan.pattern = herringbone(600.0, 1), "plan, pattern", "no board of the stock");
        let cut = |pattern| {
            move |plan: &mut crate::Plan| {
                plan.stock.end_match = false;
                plan.pattern = pattern;
            }
        };
        accept(cut(herringbone(600.0, 2)));
        expect(cut(herringbone(600.0, 4)), "plan, pattern", "its block is 600 mm");
        accept(|plan| plan.pattern = herringbone(1250.0, 2));
        let chevron = |mitre| Pattern::Chevron { block: 1250.0, mitre };
        expect(|plan| plan.pattern = chevron(80.0), "plan, pattern", "80 degrees");
        accept(|plan| plan.pattern = chevron(30.0));
        let border = |boards| Some(Border { boards, corners: Corners::Mitred });
        expect(|plan| plan.border = border(0), "plan, border", "0 boards wide");
        accept(|plan| plan.border = border(2));
        expect(|plan| plan.light_from = Some(400.0), "plan, light from", "no direction");
        let picture = crate::Backdrop::new("plans/scan.png", (800, 600), "1a2b3c4d");
        accept(|plan| plan.backdrop = Some(picture.clone()));
        let wrong = |what: &str, change: fn(&mut crate::Backdrop)| {
            let mut wrong = picture.clone();
            change(&mut wrong);
            expect(|plan| plan.backdrop = Some(wrong), "plan, backdrop", what);
        };
        wrong("path is empty", |p| p.file = " ".into());
        wrong("path is empty", |p| p.file = "a\nb".into());
        wrong("0 × 600 pixels", |p| p.pixels.0 = 0);
        wrong("mark", |p| p.mark = "x".repeat(41));
        wrong("a pixel of it is 0 mm", |p| p.scale = 0.0);
        wrong("scale is NaN", |p| p.scale = f64::NAN);
        wrong("turned by 400", |p| p.turn = 400.0);
        wrong("faded by 2", |p| p.dim = 2.0);
        expect(|plan| plan.effort = u64::MAX, "plan, effort", "moves");
    }

    #[test]
    fn random_lengths_stand_alone() {
        let random = |shortest, longest, per_pack| RandomLengths { shortest, longest, per_pack };
        expect(|plan| plan.stock.random = Some(random(400.0, 2000.0, 8)), "stock, random", "both");
        let only = |with: RandomLengths| {
            move |plan: &mut crate::Plan| {
                plan.stock.lengths.clear();
                plan.stock.random = Some(with);
            }
        };
        accept(only(random(400.0, 2000.0, 8)));
        expect(only(random(400.0, 300.0, 8)), "stock, random", "longest board is 300 mm");
        expect(only(random(400.0, 2000.0, 0)), "stock, random", "0 boards");
        expect(|plan| plan.stock.packs = Some(0), "stock, packs", "none");
    }

    #[test]
    fn boards_are_boards() {
        expect(|plan| plan.stock.name.clear(), "stock, name", "no name");
        expect(|plan| plan.stock.thickness = 2.0, "stock, thickness", "2 mm");
        expect(|plan| plan.stock.face_width = 19.0, "stock, face width", "19 mm");
        expect(|plan| plan.stock.face_width = 0.0001, "stock, face width", "is 0.0001 mm");
        expect(|plan| plan.stock.face_width = 19.9999, "stock, face width", "is 19.9999 mm");
        // That the least rip is wider than such a board is not told besides.
        let mut plan = crate::check::tests::two_rooms();
        plan.stock.face_width = 0.0001;
        let places: Vec<String> = crate::check::problems(&plan).into_iter().map(|p| p.place_name).collect();
        assert!(!places.iter().any(|place| place.starts_with("rules")), "{places:?}");
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
        expect(|plan| plan.stock.wear_layer = Some(15.5), "stock, wear layer", "15.5 mm");
        accept(|plan| plan.stock.wear_layer = Some(4.0));
        expect(|plan| plan.stock.bed = Some(50.5), "stock, bed", "bed is 50.5 mm");
        accept(|plan| plan.stock.bed = Some(2.0));
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
        expect(|plan| plan.rules.gaps.glazing = Some(gap), "rules, gaps", "gap at glazing goes from 12 mm");
        expect(|plan| plan.rules.cover.skirting = Some(101.0), "rules, cover", "skirting is 101 mm");
        expect(|plan| plan.rules.cover.least = Some(-1.0), "rules, cover", "least cover is −1 mm");
        expect(|plan| plan.rules.levels.leaf = Some(-1.0), "rules, levels", "leaf is −1 mm");
        expect(|plan| plan.rules.levels.upright = Some(20.0), "rules, levels", "upright to 20 mm, bevelled");
        accept(|plan| plan.rules.levels.flush = Some(0.0));
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
        expect(|plan| plan.rules.travel = Some(101.0), "rules, travel", "101 mm");
        expect(|plan| plan.rules.tilt_room = Some(-1.0), "rules, tilt room", "−1 mm");
        expect(|plan| plan.rules.slide_room = Some(101.0), "rules, slide room", "101 mm");
        accept(|plan| plan.rules.slide_room = Some(6.0));
    }
}
