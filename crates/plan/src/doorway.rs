//! Doorways: openings in a wall of a boarded room.

use serde::{Deserialize, Serialize};

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
    /// How the boards end, or do not, in the opening.
    pub beyond: Beyond,
}

/// A door leaf.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Leaf {
    /// The face of the wall with which the closed leaf is flush.
    pub closes_on: Side,
    /// Thickness, mm.
    pub thickness: f64,
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
    /// Distance from the near wall face to the middle of the closed leaf, or to the middle of the
    /// wall where there is no leaf, mm. Half the leaf in from the face on which it closes: common
    /// practice, no source.
    pub fn leaf_line(&self) -> f64 {
        match self.leaf {
            Some(Leaf { closes_on: Side::Near, thickness }) => thickness / 2.0,
            Some(Leaf { closes_on: Side::Far, thickness }) => self.wall_thickness - thickness / 2.0,
            None => self.wall_thickness / 2.0,
        }
    }
}

mod one_based {
    //! People count walls from one.
    use serde::{Deserialize, Deserializer, Serializer, de::Error};

    pub(super) fn serialize<S: Serializer>(index: &usize, out: S) -> Result<S::Ok, S::Error> {
        out.serialize_u64(*index as u64 + 1)
    }

    pub(super) fn deserialize<'de, D: Deserializer<'de>>(input: D) -> Result<usize, D::Error> {
        match usize::deserialize(input)? {
            0 => Err(D::Error::custom("walls are counted from 1")),
            number => Ok(number - 1),
        }
    }
}

impl Doorway {
    /// TEMP
    pub fn far_room(&self, plan: &crate::Plan) -> Option<usize> {
        let room = &plan.rooms[plan.room_index(&self.room)?];
        let (a, _) = room.wall_line(self.wall)?;
        let (d, n) = room.wall_axes(self.wall)?;
        let s = self.at + self.width / 2.0;
        let m = a.moved(d.x * s, d.y * s);
        for (i, r) in plan.rooms.iter().enumerate() {
            if r.name == self.room { continue; }
            let o = r.outline();
            for k in 0..o.len() {
                let (p, q) = (o[k].0, o[(k + 1) % o.len()].0);
                let (ps, pt) = ((p.x - m.x) * d.x + (p.y - m.y) * d.y, (p.x - m.x) * n.x + (p.y - m.y) * n.y);
                let (qs, qt) = ((q.x - m.x) * d.x + (q.y - m.y) * d.y, (q.x - m.x) * n.x + (q.y - m.y) * n.y);
                if ps * qs < 0.0 {
                    let t = pt + (qt - pt) * ps / (ps - qs);
                    if (t - self.wall_thickness).abs() < 60.0 { return Some(i); }
                }
            }
        }
        None
    }
}
