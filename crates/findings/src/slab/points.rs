//! The state of every point of the slab's list.

use super::{PointState, SlabItem, days_to_dry, dryness_limit, readings_needed};
use plan::{DrynessMethod, Fixture, Mark, Plan, Room, Slab, SlabPoint, Units, format_length};

/// Hours boards lie in their rooms where the plan does not say: bundles opened, about three days (Wood Handbook, Forest
/// Products Laboratory, FPL-GTR-190, 2010, ch. 13).
const ACCLIMATISE: f64 = 72.0;
/// A gap this much over its limit is read off the same mark, mm; smaller, and rounding makes flags.
pub(super) const SAME_GAP: f64 = 1e-6;
/// Rooms named of those without a reading; more would bury the rest.
const NAMED: usize = 4;

/// Every point of the list in order, for a floor of `area` (mm²). A plan without a record has all that applies open.
pub fn slab_list(plan: &Plan, area: f64) -> Vec<SlabItem> {
    let empty = Slab::default();
    let slab = plan.slab.as_ref().unwrap_or(&empty);
    let list = List { plan, slab, area };
    SlabPoint::ALL.into_iter().map(|point| list.item(point)).collect()
}

/// What a point was found to be, before its signature is looked at.
#[derive(Default)]
struct Found {
    over: bool,
    found: String,
    limit: String,
    /// Missing however the point is signed.
    missing: String,
    /// Missing until the point is signed.
    unsigned: String,
    /// Why the point does not apply, if it does not.
    idle: Option<String>,
}

struct List<'a> {
    plan: &'a Plan,
    slab: &'a Slab,
    area: f64,
}

impl List<'_> {
    fn item(&self, point: SlabPoint) -> SlabItem {
        let signed = self.slab.signature(point).cloned();
        let mark = signed.as_ref().map(|signed| signed.mark);
        let found = self.found(point);
        let (state, missing) = match (found.over, found.idle, mark) {
            (true, ..) => (PointState::Over, found.missing),
            (_, Some(why), _) => (PointState::NotApplicable, why),
            (_, None, Some(Mark::NotApplicable)) => {
                (PointState::NotApplicable, "signed as not applicable".into())
            }
            _ if !found.missing.is_empty() => (PointState::Open, found.missing),
            (_, None, Some(Mark::Done)) => (PointState::Within, String::new()),
            _ if found.unsigned.is_empty() => (PointState::Within, String::new()),
            _ => (PointState::Open, found.unsigned),
        };
        SlabItem { point, state, found: found.found, limit: found.limit, missing, signed }
    }

    fn found(&self, point: SlabPoint) -> Found {
        match point {
            SlabPoint::Age => self.age(),
            SlabPoint::Dryness => self.dryness(),
            SlabPoint::Flatness => self.flatness(),
            SlabPoint::OldAdhesive => to_sign(
                "look for old adhesive and old floor; have what is found tested before anything is ground or scraped",
            ),
            SlabPoint::Heating => self.heating(),
            SlabPoint::Filled => self.filled(),
            SlabPoint::Clean => {
                to_sign("knock and look for hollow and loose places, see to cracks, vacuum; then sign")
            }
            SlabPoint::Barrier => self.barrier(),
            SlabPoint::Compatible => self.compatible(),
            SlabPoint::Acclimatised => self.acclimatised(),
        }
    }

    fn age(&self) -> Found {
        let (thickness, age) = (self.slab.thickness, self.slab.age);
        let limit = match thickness {
            Some(thickness) => format!(
                "about {:.0} days for {}, by rule of thumb (BS 5385-3:2014: a day a mm up to 40 mm)",
                days_to_dry(thickness),
                self.length(thickness)
            ),
            None => String::new(),
        };
        let found = match age {
            Some(age) => format!("{age:.0} days"),
            None if self.is_read_dry() => "readings have decided".into(),
            None => String::new(),
        };
        let unsigned = match (thickness, age) {
            (Some(thickness), Some(age)) if age < days_to_dry(thickness) && !self.is_read_dry() => format!(
                "about {:.0} more days by rule of thumb, in good drying conditions; a reading decides",
                (days_to_dry(thickness) - age).ceil()
            ),
            (Some(_), Some(_)) => String::new(),
            _ if self.is_read_dry() => String::new(),
            (None, Some(_)) => "type the slab's thickness".into(),
            (Some(_), None) => "type how many days it has been drying".into(),
            (None, None) => "type the slab's thickness and how many days it has been drying".into(),
        };
        Found { found, limit, unsigned, ..Found::default() }
    }

    /// Whether readings have decided, so that age and thickness no longer matter.
    fn is_read_dry(&self) -> bool {
        let dryness = self.dryness();
        !dryness.over && dryness.missing.is_empty()
    }

    fn dryness(&self) -> Found {
        let readings = &self.slab.dryness;
        let mut limits: Vec<DrynessMethod> = readings.iter().map(|reading| reading.method).collect();
        limits.sort();
        limits.dedup();
        if limits.is_empty() {
            limits.push(DrynessMethod::Humidity);
        }
        let highest = |method: DrynessMethod| {
            let of = readings.iter().filter(move |reading| reading.method == method);
            of.max_by(|a, b| a.reading.total_cmp(&b.reading))
        };
        let say_limit = |method: &DrynessMethod| {
            let (limit, source) = dryness_limit(self.slab, *method);
            format!("{limit} {} ({source})", method.unit())
        };
        let say_highest = |method: &DrynessMethod| {
            let reading = highest(*method)?;
            Some(format!("{} {} in {}", reading.reading, method.unit(), reading.room))
        };
        let found: Vec<String> = limits.iter().filter_map(say_highest).collect();
        let over: Vec<String> = readings
            .iter()
            .filter(|reading| reading.reading > dryness_limit(self.slab, reading.method).0)
            .map(|reading| format!("{} {} in {}", reading.reading, reading.method.unit(), reading.room))
            .collect();
        let probes = readings.iter().filter(|reading| reading.method == DrynessMethod::Humidity).count();
        let needed = readings_needed(self.area);
        let missing = if !over.is_empty() {
            format!("over: {}; let it dry and read again, or ask the maker of a barrier", listed(&over))
        } else if readings.is_empty() {
            format!("take readings: {needed} probes on this floor (ASTM F2170), or carbide samples")
        } else if probes < needed && probes == readings.len() {
            let first = "three for the first 100 m², one for each further 100 m², ASTM F2170";
            format!("{} more ({first})", count(needed - probes, "probe"))
        } else {
            String::new()
        };
        let found = match found.is_empty() {
            true => String::new(),
            false => format!("{}, highest {}", count(readings.len(), "reading"), found.join(" and ")),
        };
        let limit = limits.iter().map(say_limit).collect::<Vec<_>>().join("; ");
        Found { over: !over.is_empty(), found, limit, missing, ..Found::default() }
    }

    fn flatness(&self) -> Found {
        let readings = &self.slab.flatness;
        let widest = readings.iter().max_by(|a, b| a.gap.total_cmp(&b.gap));
        let found = widest.map_or_else(String::new, |reading| {
            format!(
                "{}, widest gap {} under {} in {}",
                count(readings.len(), "reading"),
                self.length(reading.gap),
                self.length(reading.straightedge),
                reading.room
            )
        });
        let Some(limit) = self.slab.flatness_limit else {
            let missing = "choose the limit that holds here: published ones differ".into();
            return Found { found, missing, ..Found::default() };
        };
        let mut over = Vec::new();
        let mut unread = Vec::new();
        for reading in readings {
            match limit.gap_under(reading.straightedge) {
                Some(allowed) if reading.gap > allowed + SAME_GAP => {
                    over.push(format!("{} in {}", self.length(reading.gap), reading.room));
                }
                Some(_) => {}
                None => unread.push(reading.room.clone()),
            }
        }
        let allowed = readings.iter().find_map(|reading| {
            limit.gap_under(reading.straightedge).map(|gap| (gap, self.length(reading.straightedge)))
        });
        let allowed = allowed.map_or_else(
            || format!("read under {} ({})", limit.edges(), limit.source()),
            |(gap, edge)| format!("{} under {edge} ({})", self.length(gap), limit.source()),
        );
        let bare = self.rooms_without(|room| readings.iter().any(|reading| reading.room == room.name));
        let (mut missing, mut unsigned) = (String::new(), String::new());
        if !over.is_empty() {
            missing = format!("over: {}; grind or fill, and read again", listed(&over));
        } else if !unread.is_empty() {
            missing = format!("in {} read it under {}", listed(&unread), limit.edges());
        } else if readings.is_empty() {
            missing = format!("lay {} over every room, both ways", limit.edges());
        } else if !bare.is_empty() {
            unsigned = format!("no reading yet in {}", listed(&bare));
        }
        Found { over: !over.is_empty(), found, limit: allowed, missing, unsigned, idle: None }
    }

    fn heating(&self) -> Found {
        if !self.slab.heated {
            return idle("no heating lies in the slab");
        }
        to_sign(
            "run it up and down by its maker's protocol before boards come; off or low while they are laid, as the \
             adhesive's maker says",
        )
    }

    fn filled(&self) -> Found {
        let fills: Vec<String> = self
            .plan
            .fixtures
            .iter()
            .filter(|fixture| fixture.kind.is_under_boards())
            .map(|fixture: &Fixture| fixture.name.clone())
            .collect();
        if fills.is_empty() {
            return idle("no low spot or rebate is drawn");
        }
        let found = format!("{} drawn: {}", fills.len(), listed(&fills));
        let unsigned =
            "fill them; cured before boards cover them, overnight at least (common practice)".into();
        Found { found, unsigned, ..Found::default() }
    }

    fn barrier(&self) -> Found {
        let needed = self.plan.materials.as_ref().and_then(|materials| materials.barrier.as_ref());
        let Some(needed) = needed.map(|barrier| barrier.coats.len()) else {
            return idle("no moisture barrier stands among the materials");
        };
        let on = self.plan.coats_on();
        let found = match self.slab.barrier_coats {
            Some(typed) => format!("{} on", count(typed as usize, "coat")),
            None => String::new(),
        };
        let missing = match on < needed {
            true => format!("{} to put on", count(needed - on, "coat")),
            false => String::new(),
        };
        let unsigned = "cured, and without a pinhole: look along it against the light, then sign".into();
        Found {
            found,
            limit: format!("{}, as the materials have it", count(needed, "coat")),
            missing,
            unsigned,
            ..Found::default()
        }
    }

    fn compatible(&self) -> Found {
        let materials = self.plan.materials.as_ref();
        if !materials.is_some_and(|all| all.adhesive.is_some() && all.barrier.is_some()) {
            return idle("no adhesive goes on a barrier");
        }
        let missing = match self.slab.compatible.trim().is_empty() {
            true => "have the makers declare adhesive and barrier compatible, and write down where".into(),
            false => String::new(),
        };
        Found { found: self.slab.compatible.clone(), missing, ..Found::default() }
    }

    fn acclimatised(&self) -> Found {
        let (needed, source) = match &self.slab.acclimatise {
            Some(own) => (own.at, own.from.as_str()),
            None => (ACCLIMATISE, "Wood Handbook, FPL-GTR-190, 2010: about three days"),
        };
        let hours = self.slab.acclimatised;
        let bundles = if self.slab.bundles_opened { "bundles opened" } else { "bundles closed" };
        let found = hours.map_or_else(String::new, |hours| format!("{hours:.0} h, {bundles}"));
        let mut missing = Vec::new();
        match hours {
            Some(hours) if hours < needed => missing.push(format!("{:.0} h more", (needed - hours).ceil())),
            Some(_) => {}
            None => missing.push("type how long the boards have lain in their rooms".into()),
        }
        if !self.slab.bundles_opened {
            missing.push("open the bundles, so that air gets to the boards".to_owned());
        }
        Found {
            found,
            limit: format!("{needed:.0} h with the bundles opened ({source})"),
            missing: missing.join("; "),
            ..Found::default()
        }
    }

    fn rooms_without(&self, is_read: impl Fn(&Room) -> bool) -> Vec<String> {
        let boarded = self.plan.rooms.iter().filter(|room| room.is_boarded());
        boarded.filter(|room| !is_read(room)).map(|room| room.name.clone()).collect()
    }

    fn length(&self, mm: f64) -> String {
        match self.plan.units {
            Units::Metric => format!("{} mm", format_length(mm, Units::Metric)),
            Units::FeetInches => format_length(mm, Units::FeetInches),
        }
    }
}

fn to_sign(unsigned: &str) -> Found {
    Found { unsigned: unsigned.to_owned(), ..Found::default() }
}

fn idle(why: &str) -> Found {
    Found { idle: Some(why.to_owned()), ..Found::default() }
}

fn count(number: usize, one: &str) -> String {
    if number == 1 { format!("1 {one}") } else { format!("{number} {one}s") }
}

/// Names with commas; of many the first few and how many more.
fn listed(names: &[String]) -> String {
    match names.len() {
        0..=NAMED => names.join(", "),
        more => format!("{} and {} more", names[..NAMED].join(", "), more - NAMED),
    }
}
