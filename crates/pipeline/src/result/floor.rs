//! The boards' part of the result.

use super::flags::FlagPart;
use super::stock::{PiecePart, StockPart, UsePart};
use super::{Xy, xy};
use crate::House;
use lay::{End, Hand, Taper};
use serde::Serialize;
use site::{Region, Ring};

/// Everything laid.
#[derive(Debug, Serialize)]
pub struct FloorPart {
    /// Bare floor, mm².
    pub bare_area: f64,
    /// Floor inside the gaps, mm².
    pub boarded_area: f64,
    /// Regions.
    pub regions: Vec<RegionPart>,
    /// Boards.
    pub boards: Vec<BoardPart>,
    /// Where the pattern repeats from: a joint of a bond, a point of herringbone or chevron; `null` where
    /// joints are irregular.
    pub anchor: Option<Xy>,
    /// End joints.
    pub joints: Vec<JointPart>,
    /// Flags.
    pub flags: Vec<FlagPart>,
    /// Boards opened.
    pub stock: Vec<StockPart>,
    /// Counts.
    pub use_of_stock: UsePart,
    /// How irregular the floor looks.
    pub look: LookPart,
}

/// How irregular a floor looks, see [`findings::Look`].
#[derive(Debug, Serialize)]
pub struct LookPart {
    /// Joints against those of the next row.
    pub spacing: Option<SpacingPart>,
    /// Pairs of joints in line two rows apart.
    pub h_joints: usize,
    /// Joints that step evenly over four rows.
    pub stairs: usize,
    /// Longest visible repeat, rows.
    pub repeat: usize,
    /// Share of neighbouring boards from one pack.
    pub same_pack: Option<f64>,
    /// Most whole boards of the shortest length end to end in one row.
    pub short_boards: Option<usize>,
}

/// Distances between joints of neighbouring rows, mm.
#[derive(Debug, Serialize)]
pub struct SpacingPart {
    /// Joints with a joint in the row above.
    pub joints: usize,
    /// Least.
    pub least: f64,
    /// Mean.
    pub mean: f64,
    /// Standard deviation.
    pub spread: f64,
    /// 0 for even steps, 1 for steps of every size.
    pub irregularity: f64,
}

/// A region.
#[derive(Debug, Serialize)]
pub struct RegionPart {
    /// Outline, then holes.
    pub rings: Vec<Vec<EdgePart>>,
    /// mm².
    pub area: f64,
    /// What stands before its rows' numbers; left out where they are counted from the house's line.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub letter: String,
}

/// An edge of a region; it ends where the next begins.
#[derive(Debug, Serialize)]
pub struct EdgePart {
    /// Its start.
    pub from: Xy,
    /// What the boards meet.
    pub edge: &'static str,
    /// What it belongs to.
    pub place: String,
    /// Gap, mm; negative under a kick.
    pub gap: f64,
    /// How much the gap closes at the dampest, mm; left out where that is not known.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub closes: Option<f64>,
    /// How much it opens at the driest, mm; left out where that is not known.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub opens: Option<f64>,
}

/// A board.
#[derive(Debug, Serialize)]
pub struct BoardPart {
    /// Label.
    pub label: String,
    /// Region.
    pub region: usize,
    /// Row, from 1.
    pub row: i32,
    /// Run.
    pub run: usize,
    /// Outline, then holes.
    pub outline: Vec<Vec<Xy>>,
    /// Length, mm.
    pub length: f64,
    /// Kept width, mm.
    pub width: f64,
    /// Its widths where its rip tapers; left out for others.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub taper: Option<TaperPart>,
    /// Direction of its long edges, degrees anticlockwise from the rows.
    pub angle: f64,
    /// Hand of a block; left out where blocks lie either way.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub hand: Option<&'static str>,
    /// Whether it belongs to the border.
    #[serde(skip_serializing_if = "std::ops::Not::not")]
    pub border: bool,
    /// Whether it lies already.
    #[serde(skip_serializing_if = "std::ops::Not::not")]
    pub laid: bool,
    /// Whether it lies turned by 180°.
    pub turned: bool,
    /// How its own left end is made.
    pub left_end: &'static str,
    /// How its own right end is made.
    pub right_end: &'static str,
    /// Stock board.
    pub stock: usize,
    /// Place on the stock board from its left end, mm.
    pub stock_from: f64,
}

/// A tapered rip.
#[derive(Debug, Serialize)]
pub struct TaperPart {
    /// `groove` or `tongue`: the long edge it keeps.
    pub keeps: &'static str,
    /// Widths at its left end, where the sawn edge bends, and at its right end.
    pub marks: Vec<RipMarkPart>,
}

/// A width of a tapered rip.
#[derive(Debug, Serialize)]
pub struct RipMarkPart {
    /// From the board's own left end, mm.
    pub at: f64,
    /// Width kept, mm.
    pub width: f64,
}

fn taper_part(taper: Taper) -> TaperPart {
    let marks = taper.marks.iter().map(|mark| RipMarkPart { at: mark.at, width: mark.width }).collect();
    TaperPart { keeps: taper.keeps.word(), marks }
}

/// An end joint.
#[derive(Debug, Serialize)]
pub struct JointPart {
    /// One end of the joint.
    pub from: Xy,
    /// The other.
    pub to: Xy,
    /// Row, from 1.
    pub row: i32,
    /// Boards that meet.
    pub boards: [usize; 2],
}

impl House {
    pub(super) fn floor_part(&self) -> FloorPart {
        let on_plan = |p: site::Uv| xy(self.site.frame.plan_from_row(p));
        let floor = &self.floor;
        let end = |end: End| match end {
            End::Factory => "factory",
            End::Cut => "cut",
        };
        FloorPart {
            bare_area: self.site.bare_area,
            boarded_area: self.site.boarded_area(),
            regions: self
                .site
                .regions
                .iter()
                .enumerate()
                .map(|(i, region)| self.region_part(i, region))
                .collect(),
            boards: floor
                .boards
                .iter()
                .enumerate()
                .map(|(index, b)| BoardPart {
                    label: b.label.clone(),
                    region: b.region,
                    row: floor.row_number(b.row),
                    run: b.run,
                    outline: b.outline.rings().map(|r| r.iter().map(|p| on_plan(*p)).collect()).collect(),
                    length: b.length(),
                    width: b.width,
                    taper: b.taper(floor.pitch).map(taper_part),
                    angle: b.angle(),
                    hand: b.hand.map(hand_key),
                    border: b.in_border,
                    laid: floor.is_laid(index),
                    turned: b.turned,
                    left_end: end(b.left_end),
                    right_end: end(b.right_end),
                    stock: b.stock,
                    stock_from: b.from,
                })
                .collect(),
            anchor: floor.anchor.map(on_plan),
            joints: floor
                .joints
                .iter()
                .map(|j| JointPart {
                    from: on_plan(site::Uv::new(j.u, j.low)),
                    to: on_plan(site::Uv::new(j.u, j.high)),
                    row: floor.row_number(j.row),
                    boards: [j.left, j.right],
                })
                .collect(),
            flags: self.flags.iter().map(|flag| self.flag_part(flag)).collect(),
            stock: floor
                .stock
                .iter()
                .map(|s| StockPart {
                    length: s.length,
                    pack: s.pack + 1,
                    pieces: s
                        .pieces
                        .iter()
                        .map(|p| PiecePart {
                            board: p.board,
                            from: p.from,
                            to: p.to,
                            shift: p.shift,
                            right_shift: Some(p.right_shift).filter(|shift| *shift != p.shift),
                            strip: p.strip,
                        })
                        .collect(),
                    left_over: s.left_over(self.plan.stock.kerf),
                })
                .collect(),
            use_of_stock: self.use_part(),
            look: self.look_part(),
        }
    }

    fn look_part(&self) -> LookPart {
        let look = findings::look(&self.plan, &self.floor);
        LookPart {
            spacing: look.spacing.map(|s| SpacingPart {
                joints: s.joints,
                least: s.least,
                mean: s.mean,
                spread: s.spread,
                irregularity: s.irregularity,
            }),
            h_joints: look.h_joints,
            stairs: look.stairs,
            repeat: look.repeat,
            same_pack: look.same_pack,
            short_boards: look.short_boards,
        }
    }

    fn region_part(&self, index: usize, region: &Region) -> RegionPart {
        let moved = |ring: usize, edge: usize| self.fit.movement.as_ref()?.at_edge(index, ring, edge);
        let ring = |(number, ring): (usize, &Ring)| {
            ring.edges
                .iter()
                .enumerate()
                .map(|(i, edge)| EdgePart {
                    from: xy(self.site.frame.plan_from_row(edge.a)),
                    edge: edge.kind.word(),
                    place: edge.source.name(&self.plan),
                    gap: edge.gap,
                    closes: moved(number, i).map(|moved| moved.closes),
                    opens: moved(number, i).map(|moved| moved.opens),
                })
                .collect()
        };
        let letter = self.floor.letter(index).to_owned();
        RegionPart { rings: region.rings().enumerate().map(ring).collect(), area: region.area, letter }
    }
}

pub(super) fn hand_key(hand: Hand) -> &'static str {
    match hand {
        Hand::Left => "left",
        Hand::Right => "right",
    }
}
