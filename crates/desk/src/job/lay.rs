//! Lay: the stock, the rules and the stagger.

use super::Facts;
use super::parts::{act, choose, heading, line, note, row, with, with_several};
use crate::action::Actions;
use crate::command::Command;
use crate::field;
use crate::names;
use egui::Ui;
use plan::{BoardLength, GapRange, Lock, Plan, RandomLengths, Rules, Stock};

pub(super) fn state(facts: &Facts<'_>) -> String {
    let Some(house) = facts.house else { return "waits for the set-out".into() };
    let opened = house.order.opened;
    match facts.bound.map(|bound| bound.gap(opened)) {
        Some(0) => format!("{opened} opened, as few as can be"),
        Some(over) => format!("{opened} opened, {over} over the bound"),
        None => names::count(opened, "board", "boards") + " opened",
    }
}

pub(super) fn show(ui: &mut Ui, facts: &Facts<'_>, actions: &mut Actions) {
    let plan = facts.plan;
    if let Some(house) = facts.house {
        line(ui, "Boards laid", house.floor.boards.len().to_string());
        line(ui, "Boards opened", house.order.opened.to_string());
        if let Some(bound) = facts.bound {
            line(ui, "No legal stagger opens fewer than", bound.boards.to_string());
        }
    }
    with_several(ui, "Stagger", |ui| {
        if let Some(seed) = field::whole(ui, "seed of the stagger", plan.seed) {
            actions.edit("stagger", move |plan| plan.seed = seed);
        }
        if act(ui, "another").on_hover_text(Command::AnotherStagger.tooltip(ui.ctx())).clicked() {
            actions.run(Command::AnotherStagger);
        }
    });
    with_several(ui, "Search", |ui| {
        if facts.search.is_none() {
            if let Some(effort) = field::whole(ui, "moves of the search", plan.effort) {
                actions.edit("search moves", move |plan| plan.effort = effort);
            }
            ui.label("moves");
        }
        let word = if facts.search.is_some() { "stop looking" } else { "look for better joints" };
        if act(ui, word).on_hover_text(Command::BetterJoints.tooltip(ui.ctx())).clicked() {
            actions.run(Command::BetterJoints);
        }
    });
    if let Some(now) = facts.search {
        let boards = names::count(now.opened, "board", "boards");
        note(
            ui,
            format!("{} moves of at most {}: {boards}", names::figure(now.moves), names::figure(now.of)),
        );
    }
    super::pattern::show(ui, plan, actions);
    stock(ui, plan, actions);
    match plan.stock.random {
        Some(random) => random_lengths(ui, plan, random, actions),
        None => lengths(ui, plan, actions),
    }
    on_hand(ui, plan, actions);
    rules(ui, plan, actions);
}

fn stock(ui: &mut Ui, plan: &Plan, actions: &mut Actions) {
    let (stock, units) = (&plan.stock, plan.units);
    heading(ui, "Boards");
    with(ui, "What they are", |ui| {
        if let Some(name) = field::words(ui, "what the boards are", &stock.name, 180.0) {
            actions.edit("name boards", move |plan| plan.stock.name = name);
        }
    });
    let mut figure = |label: &str, mm: f64, set: fn(&mut Stock, f64)| {
        with(ui, label, |ui| {
            if let Some(mm) = field::length(ui, label, mm, units) {
                actions.edit("change boards", move |plan| set(&mut plan.stock, mm));
            }
        });
    };
    figure("Thickness", stock.thickness, |s, mm| s.thickness = mm);
    figure("Face width as sold", stock.face_width, |s, mm| s.face_width = mm);
    figure("Tongue", stock.tongue, |s, mm| s.tongue = mm);
    figure("Kerf", stock.kerf, |s, mm| s.kerf = mm);
    with(ui, "Ten boards laid dry measure", |ui| {
        if let Some(width) =
            field::optional_length(ui, "width of ten boards laid dry", stock.ten_boards, units)
        {
            actions.edit("measured width", move |plan| plan.stock.ten_boards = width);
        }
    });
    super::levels::stock_levels(ui, plan, actions);
    with(ui, "Long edges", |ui| {
        const LOCKS: [Lock; 3] = [Lock::FoldDown, Lock::Angle, Lock::TongueAndGroove];
        let words = LOCKS.map(names::lock);
        if let Some(lock) = choose(ui, "how long edges join", names::lock(stock.lock), &words) {
            actions.edit("change lock", move |plan| plan.stock.lock = LOCKS[lock]);
        }
    });
    let mut end_match = stock.end_match;
    if ui.checkbox(&mut end_match, "ends match too").changed() {
        actions.edit("end-match", move |plan| plan.stock.end_match = end_match);
    }
    with_several(ui, "Price of a pack", |ui| {
        if let Some(price) = field::optional_number(ui, "price of a pack", stock.pack_price) {
            actions.edit("price", move |plan| plan.stock.pack_price = price);
        }
        if let Some(currency) = field::loose_words(ui, "currency", &stock.currency, 36.0) {
            actions.edit("currency", move |plan| plan.stock.currency = currency);
        }
    });
}

fn lengths(ui: &mut Ui, plan: &Plan, actions: &mut Actions) {
    heading(ui, "Lengths in a pack");
    for (index, length) in plan.stock.lengths.iter().copied().enumerate() {
        ui.push_id(index, |ui| {
            with_several(ui, "length · boards of it", |ui| {
                if let Some(mm) = field::length(ui, "board length", length.length, plan.units) {
                    actions.edit("board length", move |plan| plan.stock.lengths[index].length = mm);
                }
                let count = u64::from(length.per_pack);
                if let Some(count) = field::whole(ui, "boards of this length in a pack", count) {
                    let per_pack = u32::try_from(count).unwrap_or(u32::MAX);
                    actions.edit("boards in a pack", move |plan| {
                        plan.stock.lengths[index].per_pack = per_pack;
                    });
                }

                if act(ui, "remove").clicked() {
                    actions.edit("remove length", move |plan| {
                        plan.stock.lengths.remove(index);
                    });
                }
            });
        });
    }
    row(ui, |ui| {
        if act(ui, "add a length").clicked() {
            actions.edit("add length", |plan| {
                plan.stock.lengths.push(BoardLength { length: 1500.0, per_pack: 1 });
            });
        }
        if act(ui, "lengths are random").clicked() {
            actions.edit("random lengths", |plan| {
                let (shortest, longest) = (plan.stock.shortest(), plan.stock.longest());
                let per_pack = plan.stock.boards_per_pack().max(1);
                plan.stock.random = Some(RandomLengths { shortest, longest, per_pack });
                plan.stock.lengths.clear();
            });
        }
    });
}

fn random_lengths(ui: &mut Ui, plan: &Plan, random: RandomLengths, actions: &mut Actions) {
    heading(ui, "Random lengths");
    with_several(ui, "Shortest · longest", |ui| {
        if let Some(shortest) = field::length(ui, "shortest board", random.shortest, plan.units) {
            let random = RandomLengths { shortest, ..random };
            actions.edit("shortest board", move |plan| plan.stock.random = Some(random));
        }
        if let Some(longest) = field::length(ui, "longest board", random.longest, plan.units) {
            let random = RandomLengths { longest, ..random };
            actions.edit("longest board", move |plan| plan.stock.random = Some(random));
        }
    });
    with(ui, "Boards in a pack", |ui| {
        if let Some(count) = field::whole(ui, "boards in a pack", u64::from(random.per_pack)) {
            let random = RandomLengths { per_pack: u32::try_from(count).unwrap_or(u32::MAX), ..random };
            actions.edit("boards in a pack", move |plan| plan.stock.random = Some(random));
        }
    });
    note(
        ui,
        "What a pack holds shows when it is opened; until then its boards are drawn evenly over the range.",
    );
    if act(ui, "lengths are fixed").clicked() {
        actions.edit("fixed lengths", move |plan| {
            plan.stock.random = None;
            plan.stock.lengths = vec![BoardLength { length: random.longest, per_pack: random.per_pack }];
        });
    }
}

fn on_hand(ui: &mut Ui, plan: &Plan, actions: &mut Actions) {
    with(ui, "Packs on hand, if no more can be had", |ui| {
        let packs = plan.stock.packs.map(f64::from);
        if let Some(packs) = field::optional_number(ui, "packs on hand", packs) {
            let packs = packs.map(|packs| packs.round().clamp(0.0, f64::from(u32::MAX)) as u32);
            actions.edit("packs on hand", move |plan| plan.stock.packs = packs);
        }
    });
}

fn rules(ui: &mut Ui, plan: &Plan, actions: &mut Actions) {
    let (rules, units) = (&plan.rules, plan.units);
    heading(ui, "Rules");
    with_several(ui, "Wall gap, least · greatest", |ui| {
        let gap = rules.wall_gap;
        if let Some(least) = field::length(ui, "least wall gap", gap.least, units) {
            actions.edit("wall gap", move |plan| plan.rules.wall_gap = GapRange { least, ..gap });
        }
        if let Some(greatest) = field::length(ui, "greatest wall gap", gap.greatest, units) {
            actions.edit("wall gap", move |plan| plan.rules.wall_gap = GapRange { greatest, ..gap });
        }
    });
    let mut figure = |label: &str, mm: f64, set: fn(&mut Rules, f64)| {
        with(ui, label, |ui| {
            if let Some(mm) = field::length(ui, label, mm, units) {
                actions.edit("change rules", move |plan| set(&mut plan.rules, mm));
            }
        });
    };
    figure("Gap where ends meet tile", rules.tile_end_gap, |r, mm| r.tile_end_gap = mm);
    figure("Least rip", rules.least_rip, |r, mm| r.least_rip = mm);
    figure("Least end board", rules.least_end, |r, mm| r.least_end = mm);
    figure("Least stagger", rules.least_stagger, |r, mm| r.least_stagger = mm);
    figure("Joints count as in line within", rules.in_line, |r, mm| r.in_line = mm);
    figure("Least leg beside a notch", rules.least_leg, |r, mm| r.least_leg = mm);
    figure("Greatest continuous width", rules.greatest_width, |r, mm| r.greatest_width = mm);
    figure("Greatest continuous length", rules.greatest_length, |r, mm| r.greatest_length = mm);
    figure("The line is snapped true to", rules.line_tolerance, |r, mm| r.line_tolerance = mm);
    super::levels::rules(ui, plan, actions);
    note(
        ui,
        "Common practice unless the guide names a source. Local code and the makers' sheets come first.",
    );
    if *rules != Rules::default() && act(ui, "back to the usual rules").clicked() {
        actions.edit("usual rules", |plan| plan.rules = Rules::default());
    }
}
