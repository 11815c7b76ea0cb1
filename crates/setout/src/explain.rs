//! Why this line and not another, in three sentences a person would say on site.

use crate::choose::{Work, field_of};
use crate::relief::relief;
use crate::robust::{Limits, keeps, stands_of};
use crate::speaker::{Speaker, seen};
use crate::way::Way;
use crate::{Candidate, Rip, Robust, SetOut};
use plan::{Plan, StartLine};
use site::{Site, Uv};
use std::fmt::Write;

/// Rips and lengths that differ by less look the same to a person, mm.
const ALIKE: f64 = 0.5;
/// A line that stands this much more error is worth a word, mm.
const SAFER: f64 = 1.0;

/// Three sentences on the line in use. Figures are in the plan's units.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Why {
    /// What the line leaves, and where it is narrowest.
    pub leaves: String,
    /// What the next best line, or the best one where this was set by hand, would do instead.
    pub instead: String,
    /// What would relieve the worst place, or how careful one must be.
    pub care: String,
}

impl Why {
    /// The sentences in order.
    pub fn sentences(&self) -> [&str; 3] {
        [&self.leaves, &self.instead, &self.care]
    }
}

/// Explains the line in use. `robust` is that line's.
pub fn explain(plan: &Plan, site: &Site, set: &SetOut, robust: &Robust) -> Why {
    explain_of(&Work::new(plan, &field_of(plan, site)), set, robust)
}

pub(crate) fn explain_of(work: &Work, set: &SetOut, robust: &Robust) -> Why {
    let (plan, site) = (work.plan, work.site);
    let speaker = Speaker { work, plan, site, set, robust, limits: Limits::of(work) };
    if set.line.is_none() {
        return nothing_to_snap(site);
    }
    let rows = speaker.rows();
    if set.chosen.rips.is_empty() {
        return Why {
            leaves: format!(
                "No wall runs along the {rows}, so every wall cuts the boards to points and none leaves a rip."
            ),
            instead: match speaker.when_laid() {
                Some(words) => format!("No other line leaves a rip either; the next best, laid, {words}."),
                None => "Any other line would do as well.".into(),
            },
            care: "Snap it where it is handy, and keep it straight.".into(),
        };
    }
    Why { leaves: speaker.leaves(), instead: speaker.instead(), care: speaker.care() }
}

/// Why there is no line.
fn nothing_to_snap(site: &Site) -> Why {
    let [leaves, instead, care] = match site.regions.is_empty() {
        true => [
            "No line lies on a boarded floor, so there is nothing to snap.",
            "No other line would change that.",
            "Draw a boarded room.",
        ],
        false => [
            "The floor is one row wide, or too short for a tape, so there is nothing to snap.",
            "No other line would leave more.",
            "Lay along a wall, and measure the width at both ends before a board is ripped; or turn the rows.",
        ],
    };
    Why { leaves: leaves.into(), instead: instead.into(), care: care.into() }
}

/// What a line leaves, in short.
struct Left<'a> {
    /// Edges under the least within the tolerance, narrowest first.
    under: Vec<&'a Rip>,
    /// Narrowest seen rip of the others, mm.
    others: Option<f64>,
    /// Edges that hold the narrowest of all.
    narrowest: Vec<&'a Rip>,
}

impl Speaker<'_> {
    fn left<'b>(&self, line: &'b Candidate) -> Left<'b> {
        let (mut under, mut others) = (Vec::new(), None);
        for rip in &line.rips {
            let offset = match self.set.has_own_line(rip.edge.region) {
                true => self.set.line_as_shared(rip.edge.region),
                false => line.offset,
            };
            let tooth = self.work.teeth.iter().find(|tooth| tooth.edge == rip.edge);
            let kept = match self.work.is_short_as_laid(rip) {
                Some(is_short) => !is_short,
                None => tooth.is_some_and(|tooth| keeps(tooth, offset, &self.limits)),
            };
            if kept {
                others = Some(seen(rip).min(others.unwrap_or(f64::INFINITY)));
            } else {
                under.push(rip);
            }
        }
        under.sort_by(|a, b| seen(a).total_cmp(&seen(b)));
        let least = line.rips.iter().map(seen).fold(f64::INFINITY, f64::min);
        let narrowest = line.rips.iter().filter(|rip| seen(rip) <= least + ALIKE).collect();
        Left { under, others, narrowest }
    }

    /// How far another line lies from this one, and which way: `33 up the plan`.
    fn away(&self, offset: f64) -> String {
        let pitch = self.set.pitch;
        let up = (offset - self.set.chosen.offset).rem_euclid(pitch);
        let (distance, sign) = if up <= pitch / 2.0 { (up, 1.0) } else { (pitch - up, -1.0) };
        format!("{} {}", self.mm(distance), Way::of(self.site, Uv::new(0.0, sign)).along())
    }

    fn leaves(&self) -> String {
        let left = self.left(&self.set.chosen);
        let narrowest = left.narrowest.first().map_or(0.0, |rip| seen(rip));
        let least = self.least();
        let Some(worst) = left.under.first() else {
            if narrowest >= self.set.pitch - ALIKE {
                return format!("Every edge along the {} ends in a whole {}.", self.rows(), self.board());
            }
            if self.set.chosen.rips.len() == 1 {
                let place = self.places(&left.narrowest);
                return format!(
                    "One edge runs along the {}, {place}, and it keeps {}.",
                    self.rows(),
                    self.mm(narrowest)
                );
            }
            let places = self.places(&left.narrowest);
            return format!(
                "This line keeps {} or more at every edge; it is narrowest at {places}.",
                self.mm(narrowest)
            );
        };
        let others = match left.others {
            Some(others) => format!("; every other edge keeps {} or more", self.mm(others)),
            None => String::new(),
        };
        let under = self.places(&left.under);
        if seen(worst) >= self.limits.least - ALIKE && self.work.is_short_as_laid(worst).is_none() {
            let out = self.mm(self.plan.rules.line_tolerance);
            let verb = if left.under.len() == 1 { "drops" } else { "drop" };
            return format!(
                "This line keeps {} or more as drawn, but {under} {verb} under {least} if it is snapped {out} out.",
                self.mm(narrowest)
            );
        }
        let length: f64 = left.under.iter().map(|rip| rip.length).sum();
        let is_drawn = |rip: &Rip| self.is_short_as_drawn(rip);
        let (drawn, if_out): (Vec<&Rip>, Vec<&Rip>) = left.under.iter().partition(|rip| is_drawn(rip));
        if !drawn.is_empty() && !if_out.is_empty() {
            let sum = |rips: &[&Rip]| self.mm(rips.iter().map(|rip| rip.length).sum());
            return format!(
                "This line leaves {} of edge under {least} as drawn, at {}, {} at its narrowest; snapped {} out, {} more \
                 would fall under it, at {}{others}.",
                sum(&drawn),
                self.places(&drawn),
                self.kept(seen(worst)),
                self.mm(self.plan.rules.line_tolerance),
                sum(&if_out),
                self.places(&if_out)
            );
        }
        if left.under.len() == 1 {
            let (kept, long) = (self.kept(seen(worst)), self.mm(length));
            return format!(
                "This line leaves {kept} along {under}, {long} long, where {least} is the least{others}."
            );
        }
        format!(
            "This line leaves {} of edge under {least}, at {under}, {} at its narrowest{others}.",
            self.mm(length),
            self.kept(seen(worst))
        )
    }

    /// Whether an edge is under the least with the line where it is drawn, and not only when that is snapped out.
    fn is_short_as_drawn(&self, rip: &Rip) -> bool {
        self.work.is_short_as_laid(rip).unwrap_or(seen(rip) < self.limits.least - 1e-6)
    }

    /// What is said beside lengths under the least that hold edges which fall under it only when the line is snapped out;
    /// nothing where this line has none.
    pub(crate) fn when_out(&self) -> String {
        match self.left(&self.set.chosen).under.iter().all(|rip| self.is_short_as_drawn(rip)) {
            true => String::new(),
            false => format!(", either {}", crate::line_out(self.plan)),
        }
    }

    /// A rip, or that it runs out. One under the least is never told as the least.
    fn kept(&self, rip: f64) -> String {
        if rip < ALIKE {
            return "a rip that runs out to nothing".into();
        }
        let is_nearly = rip < self.limits.least && rip >= self.limits.least - ALIKE;
        self.mm(if is_nearly { plan::judged(rip, self.limits.least, 1.0) } else { rip })
    }

    fn instead(&self) -> String {
        if self.set.line_lies() {
            return "Boards lie from it, so no other line is to be had.".into();
        }
        let chosen = &self.set.chosen;
        if off(chosen.offset, self.set.best.offset, self.set.pitch) > ALIKE {
            return match self.plan.start_line {
                StartLine::Safest => self.instead_of_safest(),
                _ => {
                    let away = self.away(self.set.best.offset);
                    format!("It was set by hand; the best line, {away}, {}.", self.does(&self.set.best))
                }
            };
        }
        let Some(next) = &self.set.runner_up else {
            return "No other line is far enough from it to be another choice.".into();
        };
        let laid = self.when_laid().map_or(String::new(), |words| format!("; laid, it {words}"));
        format!("The next best, {}, {}{laid}.", self.away(next.offset), self.does(next))
    }

    /// In what the next best is worse than the best where only laying them parts the two.
    fn when_laid(&self) -> Option<String> {
        let [mine, theirs] = self.set.tried?;
        if theirs.faults != mine.faults {
            let faults = if theirs.faults == 1 { "fault" } else { "faults" };
            let words = || format!("has {} {faults} instead of {}", theirs.faults, mine.faults);
            return (theirs.faults > mine.faults).then(words);
        }
        let words = || format!("opens {} boards instead of {}", theirs.opened, mine.opened);
        (theirs.opened > mine.opened).then(words)
    }

    fn instead_of_safest(&self) -> String {
        let best = &self.set.best;
        let left = self.left(best);
        let kept = left.narrowest.first().map_or(0.0, |rip| seen(rip));
        let own = self.robust.stands.map_or(String::new(), |own| format!(", {}", self.error(own)));
        let other = match stands_of(self.work, self.set, best) {
            Some(other) => format!(" but stands {}", self.error(other)),
            None => String::new(),
        };
        format!(
            "This is the line that stands the most tape error{own}; the best line for rips, {}, would leave {} at its \
             narrowest ({}){other}.",
            self.away(best.offset),
            self.kept(kept),
            self.places(&left.narrowest)
        )
    }

    /// What another line would do, against the one in use.
    fn does(&self, other: &Candidate) -> String {
        let (mine, theirs) = (self.left(&self.set.chosen), self.left(other));
        let sum = |left: &Left<'_>| left.under.iter().map(|rip| rip.length).sum::<f64>();
        let (my_short, their_short) = (sum(&mine), sum(&theirs));
        let narrow = |left: &Left<'_>| left.narrowest.first().map_or(0.0, |rip| seen(rip));
        let (my_narrow, their_narrow) = (narrow(&mine), narrow(&theirs));
        let at = self.places(&theirs.narrowest);
        let least = self.least();
        let kept = self.kept(their_narrow);
        if their_short > my_short + ALIKE {
            let places = self.places(&theirs.under);
            let length = self.mm(their_short);
            let than =
                if my_short > 0.0 { format!(" instead of {}", self.mm(my_short)) } else { String::new() };
            let when = self.when_out();
            return if theirs.under.iter().all(|rip| seen(rip) >= self.limits.least - ALIKE) {
                let out = self.mm(self.plan.rules.line_tolerance);
                format!("would drop {length} of edge under {least}{than} if snapped {out} out, at {places}")
            } else {
                format!(
                    "would leave {length} of edge under {least}{than}{when}, at {places}, {kept} at its narrowest"
                )
            };
        }
        let drawback = self.drawback(other);
        let but_with = drawback.as_ref().map_or(String::new(), |(_, text)| format!(", but with {text}"));
        if my_short > their_short + ALIKE {
            return match their_short > 0.0 {
                true => format!(
                    "would leave {} of edge under {least} instead of {}{}{but_with}",
                    self.mm(their_short),
                    self.mm(my_short),
                    self.when_out()
                ),
                false => format!("would keep {} or more at every edge{but_with}", self.mm(their_narrow)),
            };
        }
        match drawback {
            Some((1, _)) if their_narrow + ALIKE < my_narrow => {
                return format!("would leave only {kept} at {at}");
            }
            Some(_) => return format!("would leave {kept} at its narrowest ({at}){but_with}"),
            None => {}
        }
        let (my_safe, their_safe) = (self.set.chosen.safe_by, other.safe_by);
        let but = match their_safe + ALIKE < my_safe {
            true => {
                let (theirs, mine) = (self.error(their_safe), self.error(my_safe));
                format!(", but may be snapped only {theirs} out instead of {mine}")
            }
            false => String::new(),
        };
        if (their_narrow - my_narrow).abs() <= ALIKE {
            return format!("would leave as much, {kept}, at {at}{but}");
        }
        if their_narrow < my_narrow {
            return format!("would leave only {kept} at {at}");
        }
        format!("would leave {kept} at its narrowest ({at}){but}")
    }

    /// The first part of its value in which another line is worse than the one in use, if that is what parts them.
    fn drawback(&self, other: &Candidate) -> Option<(usize, String)> {
        let (mine, theirs) = (&self.set.chosen.value, &other.value);
        let (my_bands, their_bands) = (mine.bands(), theirs.bands());
        let part = (0..my_bands.len()).find(|i| my_bands[*i] != their_bands[*i])?;
        let text = match part {
            _ if their_bands[part] < my_bands[part] => return None,
            0 => format!(
                "more of it where it is seen ({} weighed by sight, instead of {})",
                self.mm(theirs.short),
                self.mm(mine.short)
            ),
            1 => format!("only {} in view when the line is a little out", self.kept(theirs.narrowest)),
            2 => "more taper showing beside a narrow rip".into(),
            3 => format!(
                "facing walls whose rips differ by {} instead of {}",
                self.mm(theirs.uneven),
                self.mm(mine.uneven)
            ),
            _ => format!("{} of edge to rip instead of {}", self.mm(theirs.ripped), self.mm(mine.ripped)),
        };
        Some((part, text))
    }

    fn care(&self) -> String {
        let left = self.left(&self.set.chosen);
        if self.set.line_lies() {
            // No gap, trim or turn of the rows is tried for a floor that lies in part: its line and its rows stay.
            let rows = "measure the rows that lie, and see what the rows to come would have to make up";
            return match left.under.first() {
                Some(worst) => format!(
                    "Glue what is left at {} to the board beside it before it goes in, or {rows}.",
                    self.rip_place(worst)
                ),
                None => "Measure the rows that lie now and then: the rips to come follow from them.".into(),
            };
        }
        let better = self.set.best.short_length + ALIKE < self.set.chosen.short_length;
        let Some(worst) = left.under.first().filter(|_| !better) else {
            let which = if left.under.is_empty() { "a rip" } else { "another rip" };
            return match self.tape(which) {
                Some(tape) => format!("Each measured length {tape}."),
                None if left.under.is_empty() => "Snap it true; no tape error makes a sliver here.".into(),
                None => {
                    format!("No edge keeps {} on it, so there is nothing for the tape to lose.", self.least())
                }
            };
        };
        if let Some(relief) = relief(self, &left.under) {
            return relief;
        }
        let place = self.rip_place(worst);
        let mut text = match seen(worst) < self.limits.least - ALIKE {
            true => format!("Glue what is left at {place} to the board beside it before it goes in"),
            false => format!("Snap the line true at {place}"),
        };
        if let Some(tape) = self.tape("another rip") {
            // Writing to a String cannot fail.
            let _ = write!(text, "; each measured length {tape}");
        }
        text + "."
    }

    /// How far the tape may be out: what follows on `each measured length`.
    fn tape(&self, which: &str) -> Option<String> {
        let (stands, worst) = (self.robust.stands?, self.robust.endangered.first()?);
        let place = self.place(worst.kind, worst.source);
        let mut text = format!(
            "may be {} out before {which} falls under {}, first at {place}",
            self.error(stands),
            self.least()
        );
        if let Some(measure) = self.robust.check_twice {
            let _ = write!(text, ": measure {} twice", measure.name(self.plan));
        }
        let safest = self.robust.safest.filter(|safest| safest.stands > stands + SAFER);
        if let Some(safest) = safest.filter(|_| self.plan.start_line != StartLine::Safest) {
            let (away, stands) = (self.away(safest.offset), self.error(safest.stands));
            let _ = write!(text, ", or take the safest line, {away}, which stands {stands}");
        }
        Some(text)
    }
}

/// Distance between two offsets on the circle of one pitch, mm.
fn off(a: f64, b: f64, pitch: f64) -> f64 {
    let d = (a - b).rem_euclid(pitch);
    d.min(pitch - d)
}

#[cfg(test)]
mod tests;
