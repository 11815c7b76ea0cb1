//! Which stages read the same of two plans, beside what stages before them give.
//!
//! Every value of a plan is taken apart by name: a new field does not compile until someone has said who reads it.

use plan::{
    Doorway, Fixture, FixtureKind, Laid, LaidPart, Leaf, MovementJoint, OwnLine, Plan, Room, Rules, Stock,
    Wall,
};
use std::collections::BTreeMap;

/// Which stages read the same of two plans.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Alike {
    pub(crate) setout: bool,
    pub(crate) lay: bool,
    pub(crate) fit: bool,
    /// The same is read for the order but for its price.
    pub(crate) flags: bool,
}

/// Who reads a value.
type Readers = [bool; 4];

/// Set-out, laying, fit, flags and order.
const ALL: Readers = [true, true, true, true];
/// The seed and the search's moves.
const FROM_LAYING: Readers = [false, true, true, true];
/// Units, and by which name a room is meant.
const BUT_LAYING: Readers = [true, false, true, true];
/// Levels, covers, seasons, ways in: what is read once the floor lies.
const FROM_FIT: Readers = [false, false, true, true];
/// Fixtures that stand in the way of boards.
const UP_TO_LAYING: Readers = [true, true, false, false];
/// Names; the slab's record and materials, which are reckoned beside the floor and change none of it.
const FLAGS: Readers = [false, false, false, true];

impl Alike {
    pub(crate) fn of(one: &Plan, other: &Plan) -> Self {
        let mut alike = Self { setout: true, lay: true, fit: true, flags: true };
        alike.plan(one, other);
        alike
    }

    fn read(&mut self, is_same: bool, [setout, lay, fit, flags]: Readers) {
        self.setout &= is_same || !setout;
        self.lay &= is_same || !lay;
        self.fit &= is_same || !fit;
        self.flags &= is_same || !flags;
    }

    /// Reads two lists item by item; of lists of unlike lengths nothing is the same.
    fn lists<'p, T: 'p>(
        &mut self,
        one: impl IntoIterator<Item = &'p T>,
        other: impl IntoIterator<Item = &'p T>,
        by: Readers,
        mut each: impl FnMut(&mut Self, &'p T, &'p T),
    ) {
        let (mut one, mut other) = (one.into_iter(), other.into_iter());
        loop {
            match (one.next(), other.next()) {
                (Some(one), Some(other)) => each(self, one, other),
                (None, None) => return,
                _ => return self.read(false, by),
            }
        }
    }

    fn plan(&mut self, one: &Plan, other: &Plan) {
        let Plan {
            // What is said of the whole, what is laid when, and a picture that is drawn over: read by nobody here.
            name: _,
            stages: _,
            waits: _,
            backdrop: _,
            units,
            rows_at,
            start_line,
            own_lines,
            pattern,
            border,
            light_from,
            seed,
            effort,
            stock,
            rules,
            slab,
            materials,
            air,
            rooms,
            doorways,
            fixtures,
            laid,
            joints,
            dimensions,
            pinned,
        } = one;
        let names = Names::of(rooms, &other.rooms);
        self.read(*units == other.units, BUT_LAYING);
        self.read((*rows_at, *start_line, *pattern) == (other.rows_at, other.start_line, other.pattern), ALL);
        self.read((*border, *light_from) == (other.border, other.light_from), ALL);
        self.read((*seed, *effort) == (other.seed, other.effort), FROM_LAYING);
        self.stock(stock, &other.stock);
        self.rules(rules, &other.rules);
        self.read((slab, materials) == (&other.slab, &other.materials), FLAGS);
        self.read(*air == other.air, FROM_FIT);
        self.lists(rooms, &other.rooms, ALL, Self::room);
        self.lists(doorways, &other.doorways, ALL, |alike, one, other| alike.doorway(one, other, &names));
        self.fixtures(fixtures, &other.fixtures);
        self.lists(joints, &other.joints, ALL, |alike, one, other| {
            let MovementJoint { name, from, to, width } = one;
            alike.read(*name == other.name, FLAGS);
            alike.read((from, to, width) == (&other.from, &other.to, &other.width), ALL);
        });
        self.lists(own_lines, &other.own_lines, ALL, |alike, one, other| {
            let OwnLine { room, line } = one;
            alike.named((room, &other.room), &names);
            alike.read(*line == other.line, ALL);
        });
        match (laid, &other.laid) {
            (Some(one), Some(other)) => self.laid(one, other, &names),
            (one, other) => self.read(one.is_none() && other.is_none(), ALL),
        }
        self.read((dimensions, pinned) == (&other.dimensions, &other.pinned), ALL);
    }

    /// The names by which both mean a room.
    fn named(&mut self, (one, other): (&str, &str), names: &Names) {
        self.read(one == other, FLAGS);
        let [setout, _, fit, _] = BUT_LAYING;
        self.read(names.mean_one(one, other), [setout, false, fit, false]);
    }

    fn stock(&mut self, one: &Stock, other: &Stock) {
        let Stock {
            name: _,
            pack_price: _,
            currency: _,
            thickness,
            wear_layer,
            bed,
            face_width,
            ten_boards,
            lengths,
            random,
            packs,
            lock,
            end_match,
            tongue,
            kerf,
            wood,
        } = one;
        let board = (thickness, face_width, ten_boards, tongue, kerf);
        self.read(
            board == (&other.thickness, &other.face_width, &other.ten_boards, &other.tongue, &other.kerf),
            ALL,
        );
        self.read((lengths, random, packs) == (&other.lengths, &other.random, &other.packs), ALL);
        self.read((lock, end_match) == (&other.lock, &other.end_match), ALL);
        self.read((wear_layer, bed, wood) == (&other.wear_layer, &other.bed, &other.wood), FROM_FIT);
    }

    fn rules(&mut self, one: &Rules, other: &Rules) {
        let Rules {
            wall_gap,
            tile_end_gap,
            least_rip,
            least_end,
            least_stagger,
            in_line,
            least_leg,
            greatest_width,
            greatest_length,
            line_tolerance,
            travel,
            tilt_room,
            slide_room,
            gaps,
            cover,
            levels,
        } = one;
        let least = (least_rip, least_end, least_stagger, in_line, least_leg);
        let others =
            (&other.least_rip, &other.least_end, &other.least_stagger, &other.in_line, &other.least_leg);
        self.read(least == others, ALL);
        let most = (greatest_width, greatest_length, line_tolerance);
        self.read(most == (&other.greatest_width, &other.greatest_length, &other.line_tolerance), ALL);
        self.read((wall_gap, tile_end_gap, gaps) == (&other.wall_gap, &other.tile_end_gap, &other.gaps), ALL);
        self.read(
            (travel, tilt_room, slide_room) == (&other.travel, &other.tilt_room, &other.slide_room),
            FROM_FIT,
        );
        self.read((cover, levels) == (&other.cover, &other.levels), FROM_FIT);
    }

    fn room(&mut self, one: &Room, other: &Room) {
        let Room { name, covering, sight, slab_level, surface, walls, tape } = one;
        self.read(*name == other.name, FLAGS);
        self.read((covering, sight, tape) == (&other.covering, &other.sight, &other.tape), ALL);
        self.read((slab_level, surface) == (&other.slab_level, &other.surface), FROM_FIT);
        self.lists(walls, &other.walls, ALL, |alike, one, other| {
            let Wall { corner, face, gap, skirting, bow } = one;
            alike.read((corner, face, gap, bow) == (&other.corner, &other.face, &other.gap, &other.bow), ALL);
            alike.read(*skirting == other.skirting, FROM_FIT);
        });
    }

    fn doorway(&mut self, one: &Doorway, other: &Doorway, names: &Names) {
        let Doorway {
            name,
            room,
            wall,
            at,
            width,
            rough_width,
            wall_thickness,
            leaf,
            lining,
            under_lining,
            beyond,
            arris,
            outside,
            slip_tongue,
            stop,
        } = one;
        self.read(*name == other.name, FLAGS);
        self.named((room, &other.room), names);
        let stands = (wall, at, width, rough_width, wall_thickness);
        let others = (&other.wall, &other.at, &other.width, &other.rough_width, &other.wall_thickness);
        self.read(stands == others, ALL);
        let made = (lining, under_lining, beyond, slip_tongue, stop);
        let others = (&other.lining, &other.under_lining, &other.beyond, &other.slip_tongue, &other.stop);
        self.read(made == others, ALL);
        self.read((arris, outside) == (&other.arris, &other.outside), FROM_FIT);
        match (leaf, &other.leaf) {
            (Some(one), Some(other)) => {
                let Leaf { closes_on, thickness, above_slab, slides } = one;
                self.read(
                    (closes_on, thickness, slides) == (&other.closes_on, &other.thickness, &other.slides),
                    ALL,
                );
                self.read(*above_slab == other.above_slab, FROM_FIT);
            }
            (one, other) => self.read(one.is_none() && other.is_none(), ALL),
        }
    }

    /// What boards pass over is read once the floor lies.
    fn fixtures(&mut self, one: &[Fixture], other: &[Fixture]) {
        let each = |by: Readers| {
            move |alike: &mut Self, one: &Fixture, other: &Fixture| {
                let Fixture { name, kind, gap, cover, appliance, outline } = one;
                let [.., fit, flags] = by;
                alike.read(*name == other.name, [false, false, false, flags]);
                alike.read((kind, gap, outline) == (&other.kind, &other.gap, &other.outline), by);
                let over = (cover, appliance) == (&other.cover, &other.appliance);
                alike.read(over, [false, false, fit, flags]);
            }
        };
        self.lists(one, other, FROM_FIT, each(FROM_FIT));
        let in_the_way = |fixture: &&Fixture| !is_passed_over(fixture);
        self.lists(
            one.iter().filter(in_the_way),
            other.iter().filter(in_the_way),
            UP_TO_LAYING,
            each(UP_TO_LAYING),
        );
    }

    fn laid(&mut self, one: &Laid, other: &Laid, names: &Names) {
        let Laid { rows_at, pitch, first_row, to_come, parts, stock, boards } = one;
        self.read((rows_at, pitch, first_row) == (&other.rows_at, &other.pitch, &other.first_row), ALL);
        self.read((to_come, stock, boards) == (&other.to_come, &other.stock, &other.boards), ALL);
        self.lists(parts, &other.parts, ALL, |alike, one, other| {
            let LaidPart { room, line, pulls, as_marked } = one;
            alike.named((room, &other.room), names);
            alike.read((line, pulls, as_marked) == (&other.line, &other.pulls, &other.as_marked), ALL);
        });
    }
}

fn is_passed_over(fixture: &Fixture) -> bool {
    matches!(fixture.kind, FixtureKind::Rebate { .. } | FixtureKind::LowSpot { .. })
}

/// The rooms of two plans by name: that a doorway stands in another room is read, not what either is called.
struct Names<'p> {
    /// Of both plans, unless every room is called as it was.
    numbers: Option<[BTreeMap<&'p str, usize>; 2]>,
}

impl<'p> Names<'p> {
    fn of(one: &'p [Room], other: &'p [Room]) -> Self {
        let is_same = one.len() == other.len() && one.iter().zip(other).all(|(a, b)| a.name == b.name);
        let numbers = |rooms: &'p [Room]| {
            // Of rooms of one name the first is meant.
            rooms.iter().enumerate().rev().map(|(number, room)| (room.name.as_str(), number)).collect()
        };
        Self { numbers: (!is_same).then(|| [one, other].map(numbers)) }
    }

    fn mean_one(&self, one: &str, other: &str) -> bool {
        let Some([ours, theirs]) = &self.numbers else { return one == other };
        match (ours.get(one), theirs.get(other)) {
            (None, None) => one == other,
            (one, other) => one == other,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use plan::{Point, Skirting};

    fn plan() -> Plan {
        let mut plan = Plan::new("t");
        let room = |name: &str, x: f64| {
            let corners = [(x, 0.0), (x + 4000.0, 0.0), (x + 4000.0, 3000.0), (x, 3000.0)];
            Room::boarded(name, corners.map(|(x, y)| Point::new(x, y)))
        };
        plan.rooms = vec![room("Hall", 0.0), room("Study", 4100.0)];
        plan.own_lines.push(OwnLine { room: "Hall".into(), line: plan::StartLine::Best });
        let spot = |name: &str, kind: FixtureKind| Fixture {
            name: name.into(),
            kind,
            gap: None,
            cover: None,
            appliance: None,
            outline: [(500.0, 500.0), (900.0, 500.0), (900.0, 900.0)].map(|(x, y)| Point::new(x, y)).to_vec(),
        };
        plan.fixtures =
            vec![spot("Dip", FixtureKind::LowSpot { depth: 3.0 }), spot("Post", FixtureKind::Column)];
        plan
    }

    /// Set-out, laying, fit and flags after one change.
    fn read_after(change: impl FnOnce(&mut Plan)) -> Readers {
        let (before, mut after) = (plan(), plan());
        change(&mut after);
        assert!(before != after, "nothing was changed");
        let Alike { setout, lay, fit, flags } = Alike::of(&before, &after);
        assert_eq!(Alike::of(&after, &before), Alike { setout, lay, fit, flags });
        [setout, lay, fit, flags].map(|is_same| !is_same)
    }

    #[test]
    fn each_stage_reads_what_it_is_computed_from() {
        let nobody = [false; 4];
        assert_eq!(read_after(|plan| plan.name = "Other".into()), nobody);
        assert_eq!(read_after(|plan| plan.stock.pack_price = Some(40.0)), nobody);
        assert_eq!(read_after(|plan| plan.fixtures[1].name = "Pillar".into()), FLAGS);
        assert_eq!(read_after(|plan| plan.slab = Some(plan::Slab::default())), FLAGS);
        assert_eq!(read_after(|plan| plan.air = Some(plan::Seasons::default())), FROM_FIT);
        assert_eq!(read_after(|plan| plan.rooms[1].slab_level = 4.0), FROM_FIT);
        assert_eq!(
            read_after(|plan| plan.rooms[0].walls[2].skirting = Some(Skirting::Thick(15.0))),
            FROM_FIT
        );
        assert_eq!(read_after(|plan| plan.fixtures[1].cover = Some(20.0)), FROM_FIT);
        assert_eq!(read_after(|plan| plan.seed += 1), FROM_LAYING);
        assert_eq!(read_after(|plan| plan.units = plan::Units::FeetInches), BUT_LAYING);
        assert_eq!(read_after(|plan| plan.rules.least_rip += 1.0), ALL);
        assert_eq!(read_after(|plan| plan.rooms[0].walls[1].corner.x += 1.0), ALL);
        assert_eq!(read_after(|plan| drop(plan.rooms.pop())), ALL);
        assert_eq!(read_after(|plan| plan.own_lines[0].line = plan::StartLine::At(20.0)), ALL);
    }

    /// Boards pass over a low spot: once they lie it is read, and where it becomes a column before that, too.
    #[test]
    fn what_boards_pass_over_is_read_once_they_lie() {
        assert_eq!(read_after(|plan| plan.fixtures[0].outline[0].x += 9.0), FROM_FIT);
        assert_eq!(read_after(|plan| drop(plan.fixtures.remove(0))), FROM_FIT);
        assert_eq!(read_after(|plan| plan.fixtures[1].outline[0].x += 9.0), ALL);
        assert_eq!(read_after(|plan| plan.fixtures[0].kind = FixtureKind::Column), ALL);
        assert_eq!(read_after(|plan| drop(plan.fixtures.pop())), ALL);
    }

    #[test]
    fn a_name_is_read_for_what_it_means() {
        // The room and all that is meant for it by another name, even a number.
        let renamed = |name: &'static str| {
            move |plan: &mut Plan| {
                plan.rooms[0].name = name.into();
                plan.own_lines[0].room = name.into();
            }
        };
        assert_eq!(read_after(renamed("Passage")), FLAGS);
        assert_eq!(read_after(renamed("1")), FLAGS);
        // The same names the other way round mean the other room, and so does another name alone.
        let swapped = |plan: &mut Plan| {
            (plan.rooms[0].name, plan.rooms[1].name) = ("Study".into(), "Hall".into());
        };
        assert_eq!(read_after(swapped), BUT_LAYING);
        assert_eq!(read_after(|plan| plan.own_lines[0].room = "Study".into()), BUT_LAYING);
    }
}
