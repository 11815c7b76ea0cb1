//! Flags as pennants; where they crowd, one pennant stands for several flags of a kind.

use crate::geometry::at;
use crate::place::{Taken, leaning_pole_shifts, long_pole_shifts, pole_shifts};
use crate::{Anchor, Label, Options, Role, label_extent, rough_width};
use findings::{Flag, FlagKind, Severity};
use pipeline::House;
use plan::{Units, format_length};
use std::collections::BTreeMap;

/// How far apart flags of one kind may stand and still share a pennant, paper mm: the first is used where
/// every pennant finds a place, the next where one does not.
const REACHES: [f64; 6] = [4.0, 14.0, 28.0, 56.0, 112.0, f64::INFINITY];

/// More flags of a kind than this are not tried one by one.
const CROWD: usize = 60;

/// What shares a pennant.
type Kind = (Severity, FlagKind);

/// Places the pennants. Each label's subject is the worst of its flags, the others are beside it.
pub(crate) fn place(house: &House, options: &Options, taken: &mut Taken) -> Vec<Label> {
    let mut kinds: BTreeMap<Kind, Vec<usize>> = BTreeMap::new();
    for (i, flag) in house.flags.iter().enumerate() {
        kinds.entry((flag.severity, flag.kind)).or_default().push(i);
    }
    let view = View::of(house, options);
    let mut labels = Vec::new();
    for flags in kinds.values() {
        let first = usize::from(flags.len() > CROWD) * 2;
        let placed = REACHES[first..].iter().find_map(|reach| {
            let mut trial = taken.clone();
            let labels: Option<Vec<Label>> = groups(&house.flags, flags, reach * options.scale)
                .iter()
                .map(|group| trial.first_free_pole(places(&house.flags, group, options, &view)?))
                .collect();
            labels.map(|labels| (labels, trial))
        });
        match placed {
            Some((placed, now)) => {
                labels.extend(placed);
                *taken = now;
            }
            None => {
                if let Some(group) = groups(&house.flags, flags, f64::INFINITY).first()
                    && let Some(mut all) = places(&house.flags, group, options, &view)
                {
                    // Where the last one finds no place, a longer pole is better than cloth over figures.
                    if let Some(label) = all.first().filter(|_| !options.leaders).cloned() {
                        all.extend(long_pole_shifts().map(|shift| Label { shift, ..label.clone() }));
                        view.keep_in(&mut all);
                    }
                    let free = taken.first_free_pole(all.iter().cloned());
                    labels.extend(free.or_else(|| taken.least_over(&all)));
                }
            }
        }
    }
    labels
}

/// Where the view ends on which the floor is drawn.
struct View {
    /// Plan mm to one paper mm.
    scale: f64,
    /// Its right and its upper edge, paper mm.
    right: f64,
    top: f64,
}

impl View {
    fn of(house: &House, options: &Options) -> Self {
        let corners = || house.plan.rooms.iter().flat_map(|room| &room.walls).map(|wall| wall.corner);
        let most = |of: fn(plan::Point) -> f64| corners().map(of).fold(f64::NEG_INFINITY, f64::max);
        Self {
            scale: options.scale,
            right: most(|corner| corner.x) / options.scale + options.beyond,
            top: most(|corner| corner.y) / options.scale + options.above,
        }
    }

    /// Whether a pennant would be cut off at one of them.
    fn cuts(&self, label: &Label) -> bool {
        let cloth = label_extent(label, rough_width(&label.text, label.size));
        label.at.x / self.scale + cloth.x1 > self.right || label.at.y / self.scale + cloth.y1 > self.top
    }

    /// Leaves out the places where a pennant would be cut off, unless there are no others.
    fn keep_in(&self, places: &mut Vec<Label>) {
        if places.iter().any(|label| !self.cuts(label)) {
            places.retain(|label| !self.cuts(label));
        }
    }
}

/// Flags of one kind, those within `reach` (plan mm) of a group's first joining it.
fn groups(flags: &[Flag], of_kind: &[usize], reach: f64) -> Vec<Vec<usize>> {
    let mut groups: Vec<(plan::Point, Vec<usize>)> = Vec::new();
    for &i in of_kind {
        let Some(flag) = flags.get(i) else { continue };
        match groups.iter_mut().find(|(first, _)| first.distance(flag.at) <= reach) {
            Some((_, group)) => group.push(i),
            None => groups.push((flag.at, vec![i])),
        }
    }
    groups.into_iter().map(|(_, group)| group).collect()
}

/// A group's pennant in every place it may take; it stands at the worst flag. `None` for no flag.
fn places(flags: &[Flag], group: &[usize], options: &Options, view: &View) -> Option<Vec<Label>> {
    let of = |i: &usize| flags.get(*i).map(|flag| (*i, flag));
    let (worst, flag) = group.iter().filter_map(of).min_by(|(_, a), (_, b)| {
        let by = a.figure.total_cmp(&b.figure);
        if a.kind.is_over() { by.reverse() } else { by }
    })?;
    let role = match flag.severity {
        Severity::Fault => Role::Fault,
        Severity::Look => Role::Look,
    };
    let mut label = Label::new(role, words(flag, group.len(), options.units), at(flag.at));
    label.subject = Some(worst);
    label.also = group.iter().copied().filter(|i| *i != worst).collect();
    label.anchor = Anchor::Start;
    let more = long_pole_shifts().filter(|_| options.leaders);
    let shifts = pole_shifts().chain(more);
    let mut all: Vec<Label> = shifts.map(|shift| Label { shift, ..label.clone() }).collect();
    // A pennant by the right or the upper edge of the view would be cut off there: it leans into the view, or hangs, instead.
    if all.first().is_some_and(|label| view.cuts(label)) {
        all.extend(leaning_pole_shifts().map(|shift| Label { shift, ..label.clone() }));
    }
    view.keep_in(&mut all);
    Some(all)
}

/// What a pennant says of so many flags, the worst of them given.
fn words(worst: &Flag, count: usize, units: Units) -> String {
    let figure = worst.kind.figure_in_words(worst.told(units), units, |mm| match units {
        Units::Metric => format_length(plan::nearest_whole(mm), units),
        Units::FeetInches => format_length(mm, units),
    });
    if count == 1 {
        return format!("{} {figure}", worst.kind.word());
    }
    let which = if worst.kind.is_over() { "most" } else { "least" };
    format!("{count} {}, {which} {figure}", worst.kind.plural())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::testing::small_house;
    use findings::Subject;
    use kurbo::Rect;
    use plan::Point;

    /// A house whose only flags are slivers in a row, 200 apart, of 30 and up.
    fn crowded(count: usize) -> House {
        let mut house = small_house("Hut");
        house.flags = (0..count)
            .map(|i| Flag {
                cause: None,
                kind: FlagKind::Sliver,
                severity: Severity::Fault,
                subject: Subject::Board(0),
                at: Point::new(100.0 + 200.0 * i as f64, 1000.0),
                place: "Hut".into(),
                figure: 30.0 + ((i + 5) % count) as f64,
                limit: 50.0,
                mend: "move the line".into(),
            })
            .collect();
        house
    }

    fn pennants(house: &House, scale: f64) -> Vec<Label> {
        let options = Options { boards: crate::Boards::Hidden, ..Options::all(scale, Units::Metric) };
        let drawing = crate::floor_drawing(house, &options);
        drawing.labels().filter(|label| label.role == Role::Fault).cloned().collect()
    }

    #[test]
    fn each_flag_has_its_pennant_where_there_is_room() {
        let placed = pennants(&crowded(6), 5.0);
        assert_eq!(placed.len(), 6);
        assert!(placed.iter().all(|label| label.also.is_empty() && label.text.starts_with("sliver 3")));
    }

    #[test]
    fn crowded_flags_share_pennants_that_keep_apart() {
        let house = crowded(19);
        let scale = 60.0;
        let placed = pennants(&house, scale);
        assert!(placed.len() < 19, "{placed:?}");
        let mut stood_for: Vec<usize> =
            placed.iter().flat_map(|label| label.subject.into_iter().chain(label.also.clone())).collect();
        stood_for.sort_unstable();
        assert_eq!(stood_for, (0..19).collect::<Vec<_>>(), "each flag once");
        for label in &placed {
            let all = label.subject.iter().chain(&label.also);
            let least = all.map(|i| house.flags[*i].figure).fold(f64::MAX, f64::min);
            let expected = match label.also.len() {
                0 => format!("sliver {least}"),
                more => format!("{} slivers, least {least}", more + 1),
            };
            assert_eq!(label.text, expected);
        }
        let taken = Taken::new(scale);
        let boxes: Vec<Rect> = placed.iter().map(|label| taken.box_of(label)).collect();
        for (i, a) in boxes.iter().enumerate() {
            for b in &boxes[i + 1..] {
                let common = a.intersect(*b);
                assert!(common.width() <= 0.0 || common.height() <= 0.0, "{a:?} {b:?}");
            }
        }
    }

    #[test]
    fn at_a_street_s_distance_one_pennant_stands_for_all() {
        let placed = pennants(&crowded(150), 2000.0);
        assert_eq!(placed.len(), 1);
        assert_eq!(placed[0].text, "150 slivers, least 30");
    }

    /// A flag 10 from the right wall, in a view that ends 10 mm of paper past it: a pennant of 15 mm or so would be cut off
    /// there, and leans into the view.
    #[test]
    fn a_pennant_by_the_edge_of_the_view_leans_into_it() {
        let mut house = crowded(1);
        house.flags[0].at = Point::new(3990.0, 2000.0);
        let (scale, beyond) = (60.0, 10.0);
        let ends = |beyond: f64| {
            let boards = crate::Boards::Hidden;
            let options = Options { boards, beyond, ..Options::all(scale, Units::Metric) };
            let drawing = crate::floor_drawing(&house, &options);
            let label = drawing.labels().find(|label| label.role == Role::Fault).expect("a pennant");
            Taken::new(scale).box_of(label).x1
        };
        let edge = 4000.0 / scale + beyond;
        assert!(ends(f64::INFINITY) > edge, "where there is room it stands upright");
        assert!(ends(beyond) <= edge, "{} past {edge}", ends(beyond));
    }

    /// Flags 10 below the upper wall, in a view that ends 4 mm of paper over it: a pennant stands 6 over its flag at the least, and
    /// hangs there instead, one by one and where several share one.
    #[test]
    fn a_pennant_by_the_upper_edge_of_the_view_stays_in_it() {
        let scale = 60.0;
        let highest = |count: usize, above: f64| {
            let mut house = crowded(count);
            house.flags.iter_mut().for_each(|flag| flag.at = Point::new(flag.at.x, 4990.0));
            let boards = crate::Boards::Hidden;
            let options = Options { boards, above, ..Options::all(scale, Units::Metric) };
            let drawing = crate::floor_drawing(&house, &options);
            let of = |label: &Label| Taken::new(scale).box_of(label).y1;
            let all: Vec<f64> = drawing.labels().filter(|label| label.role == Role::Fault).map(of).collect();
            assert!(!all.is_empty());
            all.into_iter().fold(f64::NEG_INFINITY, f64::max)
        };
        let edge = 5000.0 / scale + 4.0;
        for count in [1, 3, 9] {
            assert!(highest(count, f64::INFINITY) > edge, "where there is room they stand upright");
            assert!(highest(count, 4.0) <= edge, "{count}: {} past {edge}", highest(count, 4.0));
        }
    }
}
