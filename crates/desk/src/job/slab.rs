//! Slab: what is gone through before a pack is opened, each point with its state and its figures.

use super::Facts;
use super::parts::{act, caution, choose, note, row, with, with_several};
use crate::action::Actions;
use crate::field;
use crate::palette::{Palette, strong_font, text_font};
use egui::{Align2, Sense, Shape, Stroke, Ui, pos2, vec2};
use findings::{CAUTIONS, PointState, SlabItem, slab_list};
use plan::{
    DrynessMethod, DrynessReading, FlatnessLimit, FlatnessReading, Mark, OwnLimit, Plan, Signed, Slab,
    SlabKind, SlabPoint, Units,
};

/// Straightedges a new reading starts with, mm and, where lengths are shown in feet, 6 ft.
const STRAIGHTEDGE: f64 = 2000.0;
const SIX_FEET: f64 = 1828.8;

fn list(facts: &Facts<'_>) -> Vec<SlabItem> {
    slab_list(facts.plan, facts.house.map_or(0.0, |house| house.site.bare_area))
}

pub(super) fn state(facts: &Facts<'_>) -> String {
    let list = list(facts);
    let count = |state| list.iter().filter(|item| item.state == state).count();
    match (facts.plan.slab.is_some(), count(PointState::Over), count(PointState::Open)) {
        (false, ..) => "nothing recorded".into(),
        (true, 0, 0) => "ready".into(),
        (true, 0, open) => format!("{open} open"),
        (true, over, open) => format!("{over} over limit, {open} open"),
    }
}

/// Changes the record, which is begun where there is none.
fn edit(actions: &mut Actions, name: &str, change: impl FnOnce(&mut Slab) + 'static) {
    actions.edit(name, move |plan| change(plan.slab.get_or_insert_default()));
}

pub(super) fn show(ui: &mut Ui, facts: &Facts<'_>, actions: &mut Actions) {
    note(
        ui,
        "Before a pack is opened. Local code and the makers' sheets come first; their limits can be typed over the \
         published ones.",
    );
    let empty = Slab::default();
    let slab = facts.plan.slab.as_ref().unwrap_or(&empty);
    for item in list(facts) {
        ui.push_id(item.point.name(), |ui| {
            head(ui, &item);
            for words in [&item.found, &item.missing].into_iter().filter(|words| !words.is_empty()) {
                note(ui, words.as_str());
            }
            if !item.limit.is_empty() {
                note(ui, format!("Held to {}", item.limit));
            }
            match item.point {
                SlabPoint::Age => age(ui, slab, facts.plan.units, actions),
                SlabPoint::Dryness => dryness(ui, slab, facts.plan, actions),
                SlabPoint::Flatness => flatness(ui, slab, facts.plan, actions),
                SlabPoint::Heating => heating(ui, slab, actions),
                SlabPoint::Barrier => barrier(ui, slab, &item, actions),
                SlabPoint::Compatible => compatible(ui, slab, &item, actions),
                SlabPoint::Acclimatised => acclimatised(ui, slab, actions),
                SlabPoint::OldAdhesive | SlabPoint::Filled | SlabPoint::Clean => {}
            }
            sign(ui, slab, &item, actions);
        });
    }
    for (of, words) in CAUTIONS {
        caution(ui, &format!("{of}: {words}"));
    }
    if facts.plan.slab.is_some() && act(ui, "forget the record").clicked() {
        actions.edit("forget the slab's record", |plan| plan.slab = None);
    }
}

/// A point's name with its state as a box and a word.
fn head(ui: &mut Ui, item: &SlabItem) {
    let palette = Palette::current(ui.ctx());
    ui.add_space(8.0);
    let (rect, response) = ui.allocate_exact_size(vec2(ui.available_width(), 20.0), Sense::hover());
    let (name, state) = (item.point.name(), item.state_word());
    response.widget_info(|| egui::WidgetInfo::labeled(egui::Role::Label, true, format!("{name}: {state}")));
    let painter = ui.painter_at(rect);
    let side = 12.0;
    let place = egui::Rect::from_min_size(pos2(rect.left(), rect.center().y - side / 2.0), vec2(side, side));
    let at = |x: f32, y: f32| place.left_top() + vec2(x, y);
    let ink = if item.state == PointState::Over { palette.fault } else { palette.ink };
    match item.state {
        PointState::Over => {
            painter.rect_filled(place, 1.0, ink);
            let stroke = Stroke::new(1.6, palette.on_fault);
            painter.line_segment([at(3.0, 3.0), at(9.0, 9.0)], stroke);
            painter.line_segment([at(3.0, 9.0), at(9.0, 3.0)], stroke);
        }
        _ => {
            painter.rect_stroke(place, 1.0, Stroke::new(1.2, ink), egui::StrokeKind::Inside);
        }
    }
    match item.state {
        PointState::Within => {
            let tick = vec![at(2.5, 6.2), at(5.0, 9.0), at(9.8, 2.6)];
            painter.add(Shape::line(tick, Stroke::new(1.6, ink)));
        }
        PointState::NotApplicable => {
            painter.hline(at(3.0, 0.0).x..=at(9.0, 0.0).x, place.center().y, Stroke::new(1.4, ink));
        }
        _ => {}
    }
    let left = pos2(rect.left() + side + 8.0, rect.center().y);
    painter.text(left, Align2::LEFT_CENTER, name, strong_font(13.5), palette.ink);
    let ink = if item.state == PointState::Over { palette.fault } else { palette.weak };
    painter.text(rect.right_center(), Align2::RIGHT_CENTER, state, text_font(12.5), ink);
}

fn age(ui: &mut Ui, slab: &Slab, units: Units, actions: &mut Actions) {
    with(ui, "It is", |ui| {
        const KINDS: [(SlabKind, &str); 2] =
            [(SlabKind::Cement, "concrete or cement"), (SlabKind::CalciumSulphate, "calcium sulphate")];
        let current = KINDS.iter().find(|(kind, _)| *kind == slab.kind).map_or("", |(_, word)| *word);
        if let Some(chosen) = choose(ui, "what the slab is", current, &KINDS.map(|(_, word)| word)) {
            edit(actions, "what the slab is", move |slab| slab.kind = KINDS[chosen].0);
        }
    });
    with(ui, "Thickness that has to dry", |ui| {
        if let Some(mm) = field::optional_length(ui, "thickness of the slab", slab.thickness, units) {
            edit(actions, "slab's thickness", move |slab| slab.thickness = mm);
        }
    });
    with(ui, "Drying since, days", |ui| {
        if let Some(age) = field::optional_number(ui, "days the slab has been drying", slab.age) {
            edit(actions, "slab's age", move |slab| slab.age = age);
        }
    });
}

/// Names of the boarded rooms, for a reading's place.
fn rooms(plan: &Plan) -> Vec<String> {
    plan.rooms.iter().filter(|room| room.is_boarded()).map(|room| room.name.clone()).collect()
}

/// A choice of room for a reading.
fn room(ui: &mut Ui, plan: &Plan, current: &str) -> Option<String> {
    let names = rooms(plan);
    let words: Vec<&str> = names.iter().map(String::as_str).collect();
    choose(ui, "room of the reading", current, &words).map(|chosen| names[chosen].clone())
}

fn dryness(ui: &mut Ui, slab: &Slab, plan: &Plan, actions: &mut Actions) {
    for (index, reading) in slab.dryness.iter().enumerate() {
        ui.push_id(("dryness", index), |ui| {
            row(ui, |ui| {
                if let Some(room) = room(ui, plan, &reading.room) {
                    edit(actions, "room of a reading", move |slab| slab.dryness[index].room = room);
                }
                if let Some(figure) = field::number(ui, "dryness reading", reading.reading) {
                    edit(actions, "dryness reading", move |slab| slab.dryness[index].reading = figure);
                }
                const METHODS: [DrynessMethod; 2] = [DrynessMethod::Humidity, DrynessMethod::Carbide];
                for method in METHODS {
                    if ui.selectable_label(reading.method == method, method.unit()).clicked() {
                        edit(actions, "how dryness is read", move |slab| slab.dryness[index].method = method);
                    }
                }
                if act(ui, "remove").clicked() {
                    edit(actions, "remove reading", move |slab| {
                        slab.dryness.remove(index);
                    });
                }
            });
        });
    }
    if let Some(room) = rooms(plan).into_iter().next()
        && act(ui, "add a dryness reading").clicked()
    {
        let method = slab.dryness.last().map_or(DrynessMethod::Humidity, |reading| reading.method);
        // The next room that has none yet.
        let room = rooms(plan)
            .into_iter()
            .find(|room| !slab.dryness.iter().any(|r| r.room == *room))
            .unwrap_or(room);
        edit(actions, "add dryness reading", move |slab| {
            slab.dryness.push(DrynessReading { room, method, reading: 0.0 });
        });
    }
    own_limit(ui, "% RH", &slab.humidity_limit, actions, |slab, limit| slab.humidity_limit = limit);
    own_limit(ui, "CM-%", &slab.carbide_limit, actions, |slab, limit| slab.carbide_limit = limit);
}

/// A limit typed over the published one, with where it is from; emptied, the published one holds again.
fn own_limit(
    ui: &mut Ui,
    unit: &str,
    own: &Option<OwnLimit>,
    actions: &mut Actions,
    set: impl Fn(&mut Slab, Option<OwnLimit>) + Copy + 'static,
) {
    with_several(ui, &format!("Own limit, {unit} · from"), |ui| {
        let at = own.as_ref().map(|own| own.at);
        if let Some(at) = field::optional_number(ui, &format!("own limit, {unit}"), at) {
            let from = own.as_ref().map_or_else(|| "maker's sheet".to_owned(), |own| own.from.clone());
            edit(actions, "own limit", move |slab| set(slab, at.map(|at| OwnLimit { at, from })));
        }
        if let Some(own) = own {
            let (at, shown) = (own.at, own.from.as_str());
            if let Some(from) = field::words(ui, &format!("where the limit in {unit} is from"), shown, 110.0)
            {
                edit(actions, "where a limit is from", move |slab| set(slab, Some(OwnLimit { at, from })));
            }
        }
    });
}

fn flatness(ui: &mut Ui, slab: &Slab, plan: &Plan, actions: &mut Actions) {
    let units = plan.units;
    let straightedge = if units == Units::Metric { STRAIGHTEDGE } else { SIX_FEET };
    let own = FlatnessLimit::Own { straightedge, gap: 3.0 };
    let limits = [
        FlatnessLimit::Sr1,
        FlatnessLimit::Sr2,
        FlatnessLimit::Sr3,
        FlatnessLimit::DinRow3,
        FlatnessLimit::DinRow4,
        FlatnessLimit::Dtu,
        FlatnessLimit::Nwfa,
        own,
    ];
    with(ui, "Limit", |ui| {
        let current = slab.flatness_limit.map_or("choose", FlatnessLimit::source);
        if let Some(chosen) = choose(ui, "limit on flatness", current, &limits.map(FlatnessLimit::source)) {
            let limit = limits[chosen];
            edit(actions, "limit on flatness", move |slab| slab.flatness_limit = Some(limit));
        }
    });
    if let Some(FlatnessLimit::Own { straightedge, gap }) = slab.flatness_limit {
        with_several(ui, "Gap · under", |ui| {
            if let Some(gap) = field::length(ui, "gap allowed under it", gap, units) {
                let limit = FlatnessLimit::Own { straightedge, gap };
                edit(actions, "limit on flatness", move |slab| slab.flatness_limit = Some(limit));
            }
            if let Some(straightedge) = field::length(ui, "straightedge of the limit", straightedge, units) {
                let limit = FlatnessLimit::Own { straightedge, gap };
                edit(actions, "limit on flatness", move |slab| slab.flatness_limit = Some(limit));
            }
        });
    }
    for (index, reading) in slab.flatness.iter().enumerate() {
        ui.push_id(("flatness", index), |ui| {
            row(ui, |ui| {
                if let Some(room) = room(ui, plan, &reading.room) {
                    edit(actions, "room of a reading", move |slab| slab.flatness[index].room = room);
                }
                if let Some(gap) = field::length(ui, "gap under the straightedge", reading.gap, units) {
                    edit(actions, "flatness reading", move |slab| slab.flatness[index].gap = gap);
                }
                ui.label("under");
                if let Some(edge) =
                    field::length(ui, "length of the straightedge", reading.straightedge, units)
                {
                    edit(actions, "straightedge", move |slab| slab.flatness[index].straightedge = edge);
                }
                if act(ui, "remove").clicked() {
                    edit(actions, "remove reading", move |slab| {
                        slab.flatness.remove(index);
                    });
                }
            });
        });
    }
    if let Some(first) = rooms(plan).into_iter().next()
        && act(ui, "add a flatness reading").clicked()
    {
        let straightedge = slab.flatness.last().map_or(straightedge, |reading| reading.straightedge);
        let room = rooms(plan)
            .into_iter()
            .find(|room| !slab.flatness.iter().any(|r| r.room == *room))
            .unwrap_or(first);
        edit(actions, "add flatness reading", move |slab| {
            slab.flatness.push(FlatnessReading { room, straightedge, gap: 0.0 });
        });
    }
}

fn heating(ui: &mut Ui, slab: &Slab, actions: &mut Actions) {
    let mut heated = slab.heated;
    if ui.checkbox(&mut heated, "heating lies in the slab").changed() {
        edit(actions, "heating in the slab", move |slab| slab.heated = heated);
    }
}

fn barrier(ui: &mut Ui, slab: &Slab, item: &SlabItem, actions: &mut Actions) {
    if item.state == PointState::NotApplicable && slab.barrier_coats.is_none() {
        return;
    }
    with(ui, "Coats that are on", |ui| {
        let coats = slab.barrier_coats.map(f64::from);
        if let Some(coats) = field::optional_number(ui, "coats of the barrier that are on", coats) {
            let coats = coats.map(|coats| coats.round().clamp(0.0, 1000.0) as u32);
            edit(actions, "coats of the barrier", move |slab| slab.barrier_coats = coats);
        }
    });
}

fn compatible(ui: &mut Ui, slab: &Slab, item: &SlabItem, actions: &mut Actions) {
    if item.state == PointState::NotApplicable {
        return;
    }
    with(ui, "Declared by", |ui| {
        if let Some(words) = field::loose_words(ui, "who declares it", &slab.compatible, 180.0) {
            edit(actions, "adhesive on the barrier", move |slab| slab.compatible = words);
        }
    });
}

fn acclimatised(ui: &mut Ui, slab: &Slab, actions: &mut Actions) {
    with(ui, "Hours in their rooms", |ui| {
        if let Some(hours) = field::optional_number(ui, "hours the boards have lain", slab.acclimatised) {
            edit(actions, "acclimatised", move |slab| slab.acclimatised = hours);
        }
    });
    let mut opened = slab.bundles_opened;
    if ui.checkbox(&mut opened, "bundles opened").changed() {
        edit(actions, "bundles opened", move |slab| slab.bundles_opened = opened);
    }
    own_limit(ui, "hours", &slab.acclimatise, actions, |slab, limit| slab.acclimatise = limit);
}

/// Signing a point off: date and initials in the user's words, or that it does not apply.
fn sign(ui: &mut Ui, slab: &Slab, item: &SlabItem, actions: &mut Actions) {
    let point = item.point;
    match slab.signature(point) {
        None => {
            if item.state == PointState::NotApplicable {
                return;
            }
            row(ui, |ui| {
                if act(ui, "sign it").clicked() {
                    put(actions, point, Mark::Done);
                }
                if act(ui, "does not apply").clicked() {
                    put(actions, point, Mark::NotApplicable);
                }
            });
        }
        Some(signed) => with_several(ui, "Date · initials", |ui| {
            if let Some(date) = field::loose_words(ui, &format!("date, {}", point.name()), &signed.date, 76.0)
            {
                change(actions, point, move |signed| signed.date = date);
            }
            if let Some(by) = field::loose_words(ui, &format!("initials, {}", point.name()), &signed.by, 44.0)
            {
                change(actions, point, move |signed| signed.by = by);
            }
            if act(ui, "take back").clicked() {
                edit(actions, "take a signature back", move |slab| {
                    slab.signed.retain(|signed| signed.point != point);
                });
            }
        }),
    }
}

fn put(actions: &mut Actions, point: SlabPoint, mark: Mark) {
    edit(actions, "sign a point", move |slab| {
        // Whoever signs goes on signing: the last date and initials are taken over.
        let (date, by) = slab.signed.last().map_or_else(Default::default, |s| (s.date.clone(), s.by.clone()));
        slab.signed.push(Signed { point, mark, date, by });
    });
}

fn change(actions: &mut Actions, point: SlabPoint, change: impl FnOnce(&mut Signed) + 'static) {
    edit(actions, "signature", move |slab| {
        if let Some(signed) = slab.signed.iter_mut().find(|signed| signed.point == point) {
            change(signed);
        }
    });
}
