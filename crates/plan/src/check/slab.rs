//! The slab's record: rooms that exist, figures that an instrument can show, points signed once.

use super::numbers::See;
use super::{Checker, Place};
use crate::{DrynessMethod, FlatnessLimit, OwnLimit, Places, Plan, Slab};
use std::collections::BTreeSet;

/// Thinner is a skim, thicker no slab of a house, mm.
const THICKNESS: (f64, f64) = (1.0, 2000.0);
/// Straightedges, mm.
const STRAIGHTEDGE: (f64, f64) = (50.0, 15_000.0);
/// No gap under a straightedge is wider, mm.
const WIDEST_GAP: f64 = 500.0;
/// Ages and times, days or hours.
const LONGEST: f64 = 100_000.0;
/// More coats than anyone puts on.
const MOST_COATS: u32 = 20;

pub(super) fn check(checker: &mut Checker<'_>, places: &Places<'_>) {
    let Some(slab) = checker.plan.slab.as_ref() else { return };
    if let Some(thickness) = slab.thickness {
        checker.within(Place::Slab("thickness"), "thickness", thickness, THICKNESS.0, THICKNESS.1);
    }
    amount(checker, "age", slab.age, LONGEST, "days");
    amount(checker, "acclimatised", slab.acclimatised, LONGEST, "hours");
    dryness(checker, slab, places);
    flatness(checker, slab, places);
    own_limit(checker, "humidity_limit", slab.humidity_limit.as_ref(), 100.0, "% RH");
    own_limit(checker, "carbide_limit", slab.carbide_limit.as_ref(), 20.0, "CM-%");
    own_limit(checker, "acclimatise", slab.acclimatise.as_ref(), LONGEST, "hours");
    if slab.barrier_coats.is_some_and(|coats| coats > MOST_COATS) {
        let mend = format!("type at most {MOST_COATS}");
        checker.add(Place::Slab("barrier_coats"), "there are more coats than can be put on", mend);
    }
    words(checker, "compatible", &slab.compatible);
    let mut seen = BTreeSet::new();
    for signed in &slab.signed {
        if !seen.insert(signed.point) {
            let what = format!("`{}` is signed twice", signed.point.name());
            checker.add(Place::Slab("signed"), what, "take one of them out");
        }
        words(checker, "signed", &signed.date);
        words(checker, "signed", &signed.by);
    }
}

fn dryness(checker: &mut Checker<'_>, slab: &Slab, places: &Places<'_>) {
    for reading in &slab.dryness {
        room(checker, "dryness", &reading.room, places);
        let greatest = match reading.method {
            DrynessMethod::Humidity => 100.0,
            DrynessMethod::Carbide => 20.0,
        };
        let unit = reading.method.unit();
        if !(0.0..=greatest).contains(&reading.reading) {
            checker.add(
                Place::Slab("dryness"),
                format!("a reading in {} is {} {unit}", reading.room, reading.reading),
                format!("type one between 0 and {greatest} {unit}"),
            );
        }
    }
}

fn flatness(checker: &mut Checker<'_>, slab: &Slab, places: &Places<'_>) {
    let place = || Place::Slab("flatness");
    for reading in &slab.flatness {
        room(checker, "flatness", &reading.room, places);
        checker.within(place(), "straightedge", reading.straightedge, STRAIGHTEDGE.0, STRAIGHTEDGE.1);
        checker.within(place(), "gap under the straightedge", reading.gap, 0.0, WIDEST_GAP);
    }
    if let Some(FlatnessLimit::Own { straightedge, gap }) = slab.flatness_limit {
        let place = || Place::Slab("flatness_limit");
        checker.within(place(), "straightedge", straightedge, STRAIGHTEDGE.0, STRAIGHTEDGE.1);
        checker.within(place(), "gap under the straightedge", gap, 0.0, WIDEST_GAP);
    }
}

fn room(checker: &mut Checker<'_>, field: &'static str, name: &str, places: &Places<'_>) {
    if places.room_index(name).is_none() && !checker.is_full() {
        let what = format!("there is no room `{name}`");
        checker.add(Place::Slab(field), what, "name the room in which the reading was taken, or take it out");
    }
}

fn amount(checker: &mut Checker<'_>, field: &'static str, value: Option<f64>, most: f64, unit: &str) {
    if let Some(value) = value.filter(|value| !(0.0..=most).contains(value)) {
        let what = format!("it is {value} {unit}");
        checker.add(Place::Slab(field), what, format!("type {unit} from 0 to {most}"));
    }
}

fn own_limit(
    checker: &mut Checker<'_>,
    field: &'static str,
    limit: Option<&OwnLimit>,
    most: f64,
    unit: &str,
) {
    let Some(limit) = limit else { return };
    amount(checker, field, Some(limit.at), most, unit);
    words(checker, field, &limit.from);
    if limit.from.trim().is_empty() {
        let what = "the limit does not say where it is from";
        checker.add(Place::Slab(field), what, "name the maker's sheet or code that gives it");
    }
}

fn words(checker: &mut Checker<'_>, field: &'static str, words: &str) {
    if words.chars().count() > 100 || words.chars().any(char::is_control) {
        checker.add(
            Place::Slab(field),
            "its words are too long or have more than one line",
            "use at most 100 letters on one line",
        );
    }
}

/// Every number of the record.
pub(super) fn numbers(plan: &Plan, see: See<'_>) {
    let Some(slab) = &plan.slab else { return };
    let limit = |limit: &Option<OwnLimit>| limit.as_ref().map_or(0.0, |limit| limit.at);
    let singles = [
        ("thickness", slab.thickness.unwrap_or(0.0)),
        ("age", slab.age.unwrap_or(0.0)),
        ("acclimatised", slab.acclimatised.unwrap_or(0.0)),
        ("humidity_limit", limit(&slab.humidity_limit)),
        ("carbide_limit", limit(&slab.carbide_limit)),
        ("acclimatise", limit(&slab.acclimatise)),
    ];
    for (field, value) in singles {
        see(&|| Place::Slab(field), &field.replace('_', " "), value);
    }
    for reading in &slab.dryness {
        see(&|| Place::Slab("dryness"), "reading", reading.reading);
    }
    for reading in &slab.flatness {
        see(&|| Place::Slab("flatness"), "straightedge", reading.straightedge);
        see(&|| Place::Slab("flatness"), "gap under the straightedge", reading.gap);
    }
    if let Some(FlatnessLimit::Own { straightedge, gap }) = slab.flatness_limit {
        see(&|| Place::Slab("flatness_limit"), "straightedge", straightedge);
        see(&|| Place::Slab("flatness_limit"), "gap under the straightedge", gap);
    }
}

#[cfg(test)]
mod tests {
    use super::super::tests::{accept, expect};
    use super::*;
    use crate::{DrynessReading, FlatnessReading, Mark, Signed, SlabPoint};

    fn dry(room: &str, reading: f64) -> DrynessReading {
        DrynessReading { room: room.into(), method: DrynessMethod::Humidity, reading }
    }

    #[test]
    fn readings_name_a_room_and_show_what_an_instrument_can() {
        let with = |slab: Slab| move |plan: &mut Plan| plan.slab = Some(slab);
        accept(with(Slab::default()));
        accept(with(Slab { dryness: vec![dry("Left", 82.0)], ..Slab::default() }));
        let attic = Slab { dryness: vec![dry("Attic", 70.0)], ..Slab::default() };
        expect(with(attic), "slab, dryness", "no room `Attic`");
        let wet = Slab { dryness: vec![dry("Left", 120.0)], ..Slab::default() };
        expect(with(wet), "slab, dryness", "120 % RH");
        let bent = FlatnessReading { room: "Left".into(), straightedge: 2000.0, gap: -1.0 };
        expect(with(Slab { flatness: vec![bent], ..Slab::default() }), "slab, flatness", "gap under");
        let nan = Slab { age: Some(f64::NAN), ..Slab::default() };
        expect(with(nan), "slab, age", "NaN");
        expect(with(Slab { age: Some(-3.0), ..Slab::default() }), "slab, age", "-3 days");
    }

    #[test]
    fn own_limits_say_where_they_are_from_and_points_are_signed_once() {
        let limit = |from: &str| Some(OwnLimit { at: 85.0, from: from.into() });
        let with = |slab: Slab| move |plan: &mut Plan| plan.slab = Some(slab);
        accept(with(Slab { humidity_limit: limit("barrier's sheet"), ..Slab::default() }));
        let silent = Slab { humidity_limit: limit(" "), ..Slab::default() };
        expect(with(silent), "slab, humidity limit", "where it is from");
        let clean =
            Signed { point: SlabPoint::Clean, mark: Mark::Done, date: "3 May".into(), by: "jm".into() };
        let twice = Slab { signed: vec![clean.clone(), clean], ..Slab::default() };
        expect(with(twice), "slab, signed", "signed twice");
    }
}
