//! Doorways: openings in a wall of a boarded room.

use crate::{Plan, Point, Room, Surface, shape};
use serde::{Deserialize, Serialize};

/// How far the far room's face may stand from where the typed wall thickness puts it, mm: plaster, bows and
/// measuring. A wall is never known better in a drawing, and no two walls stand this close.
pub(crate) const FAR_WALL_PLAY: f64 = 60.0;

/// A doorway in a wall of a boarded room, the near room. What lies on its far side is found from
/// the drawing: a room whose wall stands one wall thickness away, or the outside.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Doorway {
    /// Name, unique among the doorways.
    pub name: String,
    /// The near room.
    pub room: String,
    /// Wall of the near room, counted from 0 here and from 1 in the file and on paper.
    #[serde(with = "one_based")]
    pub wall: usize,
    /// Distance from the wall's corner along its straight line to the nearer jamb, mm.
    pub at: f64,
    /// Finished opening between the linings, mm.
    pub width: f64,
    /// Opening in the wall before lining, mm.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub rough_width: Option<f64>,
    /// Thickness of the wall, face to face, mm.
    pub wall_thickness: f64,
    /// The door leaf, if there is one.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub leaf: Option<Leaf>,
    /// Whether the lining (jambs) stands already.
    pub lining: Lining,
    /// How far the boards go under the lining at each jamb, once that is undercut, mm; `None` keeps the gap before it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub under_lining: Option<f64>,
    /// How the boards end, or do not, in the opening.
    pub beyond: Beyond,
    /// How the upper edge of the boards' ends is finished; `None` leaves it as the saw does.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub arris: Option<Arris>,
    /// What lies outside, where no room is drawn beyond.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub outside: Option<Surface>,
    /// Where rows run on through it into a room in which more of them lie behind: whether those are laid back from here,
    /// turned, on a slip tongue, instead of being begun anew before.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub slip_tongue: bool,
    /// Where the boards stop instead of under the leaf, from the near wall face, mm: before a track, a frame or a sill. It
    /// counts where boards end in the opening; left out, they stop under the leaf, or in the middle of the wall.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub stop: Option<f64>,
}

/// A door leaf.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Leaf {
    /// The face of the wall with which the closed leaf is flush.
    pub closes_on: Side,
    /// Thickness, mm.
    pub thickness: f64,
    /// Height of its lower edge above the slab of the room it opens into, mm: the one on whose face it closes.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub above_slab: Option<f64>,
    /// It slides into the wall instead of swinging: closed, it stands in the middle of the wall's thickness.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub slides: bool,
}

impl Leaf {
    /// A leaf that swings, `thickness` mm thick, whose height over the slab is not known.
    pub fn swinging(closes_on: Side, thickness: f64) -> Self {
        Self { closes_on, thickness, above_slab: None, slides: false }
    }
}

/// How the upper edge of the boards' ends in an opening is finished, mm.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub enum Arris {
    /// Left square.
    Square,
    /// Rounded over to this radius.
    Eased(f64),
    /// Cut off at 45°, this much of the face and as much of the end.
    Chamfered(f64),
}

impl Arris {
    /// How deep below the face it cuts, mm.
    pub fn depth(self) -> f64 {
        match self {
            Self::Square => 0.0,
            Self::Eased(depth) | Self::Chamfered(depth) => depth,
        }
    }
}

/// A face of a doorway's wall.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub enum Side {
    /// The face towards the doorway's own room.
    Near,
    /// The face towards what lies beyond.
    Far,
}

/// Whether door linings stand when the floor is laid.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub enum Lining {
    /// In place: boards go under it after an undercut.
    Fitted,
    /// Not in place yet.
    ToCome,
}

/// How the boards finish in an opening.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub enum Beyond {
    /// Boards run through into the next boarded room.
    RunThrough,
    /// Boards stop in the middle of the closed leaf's thickness.
    UnderLeaf,
    /// Boards stop either side of a trim of this visible width (mm), centred under the leaf or, with no leaf,
    /// in the middle of the wall.
    Trim(f64),
}

impl Doorway {
    /// An open doorway in a wall 100 mm thick: no leaf, boards running through, the lining to come. `wall` counts from 0; `at`
    /// and `width` are mm.
    pub fn plain(name: impl Into<String>, room: impl Into<String>, wall: usize, at: f64, width: f64) -> Self {
        Self {
            name: name.into(),
            room: room.into(),
            wall,
            at,
            width,
            rough_width: None,
            wall_thickness: 100.0,
            leaf: None,
            lining: Lining::ToCome,
            under_lining: None,
            beyond: Beyond::RunThrough,
            arris: None,
            outside: None,
            slip_tongue: false,
            stop: None,
        }
    }

    /// Distance from the near wall face to the middle of the closed leaf, or to the middle of the
    /// wall where there is no leaf or it slides, mm. Half the leaf in from the face on which it closes: common
    /// practice, no source.
    pub fn leaf_line(&self) -> f64 {
        match self.leaf {
            Some(Leaf { slides: true, .. }) => self.wall_thickness / 2.0,
            Some(Leaf { closes_on: Side::Near, thickness, .. }) => thickness / 2.0,
            Some(Leaf { closes_on: Side::Far, thickness, .. }) => self.wall_thickness - thickness / 2.0,
            None => self.wall_thickness / 2.0,
        }
    }

    /// Distance from the near wall face to the line at which boards that end in the opening stop, mm: the one given, else
    /// the leaf's.
    pub fn stop_line(&self) -> f64 {
        self.stop.unwrap_or_else(|| self.leaf_line())
    }

    /// Distance from the near wall face to the nearer face of the closed leaf, mm; `None` without one.
    pub fn leaf_from(&self) -> Option<f64> {
        self.leaf.map(|leaf| self.leaf_line() - leaf.thickness / 2.0)
    }

    /// The room on the far side: the other room whose outline is met first going outwards from the middle of
    /// the opening, where that is within 60 mm of the wall's thickness. `None` where there is none (the
    /// outside), or no such wall.
    pub fn far_room(&self, plan: &Plan) -> Option<usize> {
        let far = self.far_wall(plan, self.width / 2.0)?;
        ((far.distance - self.wall_thickness).abs() <= FAR_WALL_PLAY).then_some(far.room)
    }

    /// The four corners of the opening through the wall's thickness: along the near face, then back along the
    /// far one. `None` where the room or the wall does not exist.
    pub fn throat(&self, plan: &Plan) -> Option<[Point; 4]> {
        self.throat_from(&plan.rooms[plan.room_index(&self.room)?])
    }

    /// The same for a doorway whose near room is known.
    pub(crate) fn throat_from(&self, near: &Room) -> Option<[Point; 4]> {
        let (corner, _) = near.wall_line(self.wall)?;
        let (along, away) = near.wall_axes(self.wall)?;
        let at = |u: f64, v: f64| corner.moved(along.x * u + away.x * v, along.y * u + away.y * v);
        let (from, to, through) = (self.at, self.at + self.width, self.wall_thickness);
        Some([at(from, 0.0), at(to, 0.0), at(to, through), at(from, through)])
    }

    /// The first outline of another room met going outwards from `offset` (mm) along the opening.
    pub(crate) fn far_wall(&self, plan: &Plan, offset: f64) -> Option<FarWall> {
        let near = plan.room_index(&self.room)?;
        let way = self.way_out(&plan.rooms[near], offset)?;
        let others = plan.rooms.iter().enumerate().filter(|&(room, _)| room != near);
        let outlines: Vec<(usize, Vec<Point>)> = others
            .map(|(room, other)| (room, other.outline().into_iter().map(|(p, _)| p).collect()))
            .collect();
        way.first_met(outlines.iter().map(|(room, outline)| (*room, outline.as_slice())))
    }

    /// The way that is looked along from the near room outwards.
    pub(crate) fn way_out(&self, near: &Room, offset: f64) -> Option<WayOut> {
        let (corner, _) = near.wall_line(self.wall)?;
        let (along, away) = near.wall_axes(self.wall)?;
        let at = self.at + offset;
        let from = corner.moved(along.x * at - away.x * BEFORE, along.y * at - away.y * BEFORE);
        Some(WayOut { from, to: from.moved(away.x * REACH, away.y * REACH) })
    }
}

/// The way outwards starts this far inside the near face: rooms may share a wall's face, and then measuring
/// puts the far one either side of it, mm.
const BEFORE: f64 = 1.0;
/// The far room is looked for as far as this, mm.
const REACH: f64 = 2000.0;

/// A straight way outwards through a doorway.
#[derive(Debug, Clone, Copy)]
pub(crate) struct WayOut {
    pub(crate) from: Point,
    pub(crate) to: Point,
}

impl WayOut {
    /// The first of some rooms' outlines that the way meets; of two met at one place the one given first.
    pub(crate) fn first_met<'a>(self, rooms: impl Iterator<Item = (usize, &'a [Point])>) -> Option<FarWall> {
        let mut first: Option<FarWall> = None;
        for (room, outline) in rooms {
            for (a, b) in shape::sides(outline) {
                let Some(t) = shape::crossing(self.from, self.to, a, b) else { continue };
                let distance = t * REACH - BEFORE;
                if first.is_none_or(|first| distance < first.distance) {
                    first = Some(FarWall { room, distance });
                }
            }
        }
        first
    }
}

/// Another room's outline met behind a wall.
#[derive(Debug, Clone, Copy)]
pub(crate) struct FarWall {
    /// The room.
    pub(crate) room: usize,
    /// Distance from the near face's straight line, mm.
    pub(crate) distance: f64,
}

pub(crate) mod one_based {
    //! People count walls and corners from one.
    use serde::{Deserialize, Deserializer, Serializer, de::Error};

    pub(crate) fn serialize<S: Serializer>(index: &usize, out: S) -> Result<S::Ok, S::Error> {
        out.serialize_u64(*index as u64 + 1)
    }

    pub(crate) fn deserialize<'de, D: Deserializer<'de>>(input: D) -> Result<usize, D::Error> {
        match usize::deserialize(input)? {
            0 => Err(D::Error::custom("walls and corners are counted from 1")),
            number => Ok(number - 1),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::check::tests::two_rooms;

    /// In a wall of 100 a leaf of 40: flush with a face its middle is 20 in, sliding it is in the wall's middle.
    #[test]
    fn the_leafs_line_follows_how_it_is_hung() {
        let mut plan = two_rooms();
        let lines = |door: &Doorway| (door.leaf_line(), door.leaf_from());
        assert_eq!(lines(&plan.doorways[0]), (20.0, Some(0.0)));
        crate::edit::turn_leaf(&mut plan, 0).unwrap();
        assert_eq!(lines(&plan.doorways[0]), (80.0, Some(60.0)));
        plan.doorways[0].leaf.iter_mut().for_each(|leaf| leaf.slides = true);
        assert_eq!(lines(&plan.doorways[0]), (50.0, Some(30.0)));
        assert!(crate::edit::turn_leaf(&mut plan, 0).is_err(), "there is no other face to close on");
        plan.doorways[0].leaf = None;
        assert_eq!(lines(&plan.doorways[0]), (50.0, None));
        assert_eq!(plan.doorways[0].stop_line(), 50.0);
        plan.doorways[0].stop = Some(35.0);
        assert_eq!((plan.doorways[0].stop_line(), plan.doorways[0].leaf_line()), (35.0, 50.0));
        assert!(crate::edit::turn_leaf(&mut plan, 0).is_err());
    }
}
