//! Parts that are painted alike brought together into as few layers as the order of painting allows: of a street of houses
//! the openings of all doorways are one layer, and not one for each.

use super::scene::Part;
use super::view::Span;
use drawing::Role;
use std::mem::{Discriminant, discriminant};

/// Side of the squares in which it is kept what was painted last, mm. Smaller, and long parts touch many of them; larger,
/// and parts that only lie near each other keep their order for nothing.
const SIDE: f64 = 1000.0;
/// No more squares than this: a floor that covers more has larger ones.
const MOST: f64 = 250_000.0;
/// A part reaches so far beyond its corners, mm: its lines have a width.
const REACH: f64 = 60.0;

/// Groups of parts in the order in which they are painted, the parts of each alike. A part joins an earlier group where
/// nothing painted since has a square of the floor in common with it.
pub(super) fn together(parts: Vec<Part>) -> Vec<Vec<Part>> {
    let mut ground = Ground::under(&parts);
    let mut groups: Vec<Vec<Part>> = Vec::new();
    // Of each kind of role the numbers of its groups, from 1, ascending.
    let mut of_kind: Vec<(Discriminant<Role>, Vec<u32>)> = Vec::new();
    for part in parts {
        let kind = discriminant(&part.role);
        let place = match of_kind.iter().position(|(of, _)| *of == kind) {
            Some(place) => place,
            None => {
                of_kind.push((kind, Vec::new()));
                of_kind.len() - 1
            }
        };
        let numbers = &mut of_kind[place].1;
        let least = ground.last_painted(&part);
        let number = match numbers.get(numbers.partition_point(|number| *number < least)) {
            Some(number) => *number,
            None => {
                groups.push(Vec::new());
                let number = u32::try_from(groups.len()).unwrap_or(u32::MAX);
                numbers.push(number);
                number
            }
        };
        ground.paint(&part, number);
        if let Some(group) = groups.get_mut(number as usize - 1) {
            group.push(part);
        }
    }
    groups
}

/// Which group was painted last in each square of the floor: its number, from 1, and 0 where nothing was.
struct Ground {
    all: Option<Span>,
    side: f64,
    columns: usize,
    last: Vec<u32>,
}

impl Ground {
    fn under(parts: &[Part]) -> Self {
        let all = parts.iter().filter_map(|part| part.span).reduce(|all, span| all.with(&span));
        let all = all.map(|all| all.grown(REACH));
        let (across, up) = all.map_or((0.0, 0.0), |all| (all.max.x - all.min.x, all.max.y - all.min.y));
        let side = SIDE.max((across * up / MOST).sqrt()).max(across.max(up) / MOST);
        let count = |mm: f64| (mm / side) as usize + 1;
        Self { all, side, columns: count(across), last: vec![0; count(across) * count(up)] }
    }

    /// The places of the squares that a part touches.
    fn squares(&self, part: &Part) -> impl Iterator<Item = usize> + use<> {
        let (side, columns) = (self.side, self.columns);
        let touched = part.span.zip(self.all).map(|(span, all)| {
            let span = span.grown(REACH);
            let place = |mm: f64| (mm / side).max(0.0) as usize;
            let across = place(span.min.x - all.min.x)..=place(span.max.x - all.min.x);
            let up = place(span.min.y - all.min.y)..=place(span.max.y - all.min.y);
            up.flat_map(move |row| across.clone().map(move |column| row * columns + column))
        });
        touched.into_iter().flatten()
    }

    fn last_painted(&self, part: &Part) -> u32 {
        self.squares(part).filter_map(|square| self.last.get(square).copied()).max().unwrap_or(0)
    }

    fn paint(&mut self, part: &Part, number: u32) {
        for square in self.squares(part) {
            if let Some(last) = self.last.get_mut(square) {
                *last = number;
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use plan::Point;

    fn part(role: Role, x: f64) -> Part {
        let points = [(x, 0.0), (x + 500.0, 0.0), (x + 500.0, 500.0)].map(Point::from).to_vec();
        Part {
            role,
            board: None,
            span: Span::of(points.iter().copied()),
            fill: Vec::new(),
            lines: vec![(points, true)],
        }
    }

    fn roles(groups: &[Vec<Part>]) -> Vec<(Role, usize)> {
        groups.iter().map(|group| (group[0].role, group.len())).collect()
    }

    #[test]
    fn doorways_apart_from_each_other_share_their_layers() {
        let doors = (0..5).flat_map(|door| {
            let x = 10_000.0 * f64::from(door);
            [part(Role::Opening, x), part(Role::Leaf, x), part(Role::Stop, x)]
        });
        assert_eq!(roles(&together(doors.collect())), [(Role::Opening, 5), (Role::Leaf, 5), (Role::Stop, 5)]);
    }

    #[test]
    fn what_lies_over_another_thing_is_painted_after_it() {
        // A wall, a floor over its end, and a second wall: over that floor in one case, aside in the other.
        for (x, layers) in [(300.0, 3), (20_000.0, 2)] {
            let parts =
                vec![part(Role::WallBody, 0.0), part(Role::BareFloor, 300.0), part(Role::WallBody, x)];
            let groups = together(parts);
            assert_eq!(groups.len(), layers);
            let place = |role: Role, at: f64| {
                let is_it = |part: &Part| part.role == role && part.span.is_some_and(|span| span.min.x == at);
                groups.iter().position(|group| group.iter().any(is_it)).expect("it is painted")
            };
            assert!(place(Role::WallBody, 0.0) < place(Role::BareFloor, 300.0));
            if layers == 3 {
                assert!(place(Role::BareFloor, 300.0) < place(Role::WallBody, x));
            }
        }
    }
}
