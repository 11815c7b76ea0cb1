//! What moves in the result: moisture, swelling and shrinkage, movement joints and proposals.

use super::{Xy, xy};
use crate::House;
use fit::{Change, Proposal, Stretch};
use plan::Places;
use serde::Serialize;
use site::Uv;

/// What the seasons do to the floor, and its movement joints.
#[derive(Debug, Serialize)]
pub struct MovementPart {
    /// What follows from the wood and the air; `null` while the plan names one of them not.
    pub seasons: Option<SeasonsPart>,
    /// Movement joints, in the plan's order.
    pub joints: Vec<MovementJointPart>,
    /// Joints that would bring the floor within its limits; left out where that was not asked for.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub proposals: Option<Vec<ProposalPart>>,
}

/// What the seasons do.
#[derive(Debug, Serialize)]
pub struct SeasonsPart {
    /// Moisture content when laid, at its driest and at its dampest, percent.
    pub moisture: MoisturePart,
    /// Parts by which the boards change for each percent.
    pub coefficients: CoefficientsPart,
    /// For each region the widest stretch across the boards, then the one with least to spare where that is another.
    pub widths: Vec<StretchPart>,
    /// The same along them.
    pub lengths: Vec<StretchPart>,
    /// How far the joints between boards open at the driest where every board is held, mm.
    pub opening: f64,
    /// How far they may, mm.
    pub greatest_opening: f64,
    /// Stretches that movement joints do not serve.
    pub beyond_joints: Vec<BeyondPart>,
}

/// A stretch that movement joints do not serve.
#[derive(Debug, Serialize)]
pub struct BeyondPart {
    /// Region.
    pub region: usize,
    /// Whether it runs across the boards.
    pub across: bool,
    /// Extent, mm.
    pub extent: f64,
    /// How far apart joints of a sensible width would have to lie, mm.
    pub apart: f64,
    /// Why joints do not help, in words.
    pub why: String,
    /// What does.
    pub mend: &'static str,
}

/// Moisture contents, percent.
#[derive(Debug, Serialize)]
pub struct MoisturePart {
    /// When laid.
    pub laid: f64,
    /// At its driest.
    pub driest: f64,
    /// At its dampest.
    pub dampest: f64,
}

/// Coefficients, parts for each percent of moisture content.
#[derive(Debug, Serialize)]
pub struct CoefficientsPart {
    /// The face's wood, free.
    pub free: f64,
    /// As the boards are built.
    pub built: f64,
    /// Along them.
    pub along: f64,
    /// Share the adhesive is taken to hold back.
    pub held_back: f64,
    /// Where the figure used stands.
    pub source: &'static str,
    /// Where the figure along the boards is from.
    pub along_source: &'static str,
}

/// A change, mm.
#[derive(Debug, Serialize)]
pub struct ChangePart {
    /// Of the face's wood, free.
    pub free: f64,
    /// Of the boards as built.
    pub built: f64,
    /// With what is held back taken off.
    pub expected: f64,
}

/// A stretch of floor from edge to edge.
#[derive(Debug, Serialize)]
pub struct StretchPart {
    /// Region.
    pub region: usize,
    /// Extent, mm.
    pub extent: f64,
    /// One end.
    pub from: Xy,
    /// The other.
    pub to: Xy,
    /// The edges at its ends.
    pub ends: Vec<EndPart>,
    /// How much it swells.
    pub swells: ChangePart,
    /// How much it shrinks.
    pub shrinks: ChangePart,
    /// What its gaps take, mm; `null` without a bound.
    pub room: Option<f64>,
    /// What is left of that, mm.
    pub left: Option<f64>,
    /// The gap published for each of its ends.
    pub published_gap: PublishedGapPart,
}

/// A gap as published.
#[derive(Debug, Serialize)]
pub struct PublishedGapPart {
    /// At least, mm.
    pub least: f64,
    /// At most, mm; `null` where none is given.
    pub greatest: Option<f64>,
    /// Where it is from, and what it is given for.
    pub source: &'static str,
}

/// An end of a stretch.
#[derive(Debug, Serialize)]
pub struct EndPart {
    /// What stands there.
    pub edge: &'static str,
    /// What it belongs to.
    pub place: String,
    /// Room to swell into, mm; `null` without a bound.
    pub room: Option<f64>,
}

/// A movement joint as it lies.
#[derive(Debug, Serialize)]
pub struct MovementJointPart {
    /// Its name, or `movement joint` and its number.
    pub name: String,
    /// Visible width, mm.
    pub width: f64,
    /// Whether it lies along the rows.
    pub along_rows: bool,
    /// Its stretches on the floor, each from end to end along its middle.
    pub stretches: Vec<[Xy; 2]>,
    /// Their length together, mm.
    pub length: f64,
    /// How far across the rows it lies from where it is drawn, mm.
    pub moved: f64,
    /// The row, from 1, whose whole boards end at its lower side; `null` where boards are ripped along it.
    pub above_row: Option<i32>,
    /// Ends in the floor.
    pub open_ends: Vec<Xy>,
    /// How much it closes at the dampest, mm; `null` where that is not known.
    pub closes: Option<f64>,
    /// How much it opens at the driest.
    pub opens: Option<f64>,
}

/// A joint that would help.
#[derive(Debug, Serialize)]
pub struct ProposalPart {
    /// One end.
    pub from: Xy,
    /// The other.
    pub to: Xy,
    /// Width, mm.
    pub width: f64,
    /// Where and why there, in words.
    pub place: String,
    /// Whether it lies along the rows.
    pub along_rows: bool,
    /// Region it parts.
    pub region: usize,
    /// The stretch that is too long, mm.
    pub before: f64,
    /// The longer one it becomes.
    pub after: f64,
    /// The limit.
    pub limit: f64,
    /// Length on the floor, mm.
    pub length: f64,
    /// How it is found with a tape, in words.
    pub marks: Vec<String>,
    /// What it brings with it, in words.
    pub comes_with: Vec<String>,
}

impl House {
    /// The result with movement alone, and the proposals where they are given.
    pub fn movement_document(&self, proposals: Option<&[Proposal]>) -> super::Document {
        let mut part = self.movement_part();
        part.proposals = proposals.map(|all| all.iter().map(|one| self.proposal_part(one)).collect());
        super::Document { movement: Some(part), ..self.setout_document() }
    }

    /// What moves; `None` where the plan has neither joints nor wood and air.
    pub(super) fn any_movement_part(&self) -> Option<MovementPart> {
        let has_any = self.fit.movement.is_some() || !self.fit.joints.is_empty();
        has_any.then(|| self.movement_part())
    }

    fn movement_part(&self) -> MovementPart {
        let seasons = self.fit.movement.as_ref().map(|movement| SeasonsPart {
            moisture: MoisturePart {
                laid: movement.moisture.laid,
                driest: movement.moisture.driest,
                dampest: movement.moisture.dampest,
            },
            coefficients: CoefficientsPart {
                free: movement.coefficients.free,
                built: movement.coefficients.built,
                along: movement.coefficients.along,
                held_back: movement.coefficients.held_back,
                source: self.plan.stock.wood.as_ref().map_or("", fit::source),
                along_source: fit::ALONG_SOURCE,
            },
            widths: movement.widths.iter().map(|stretch| self.stretch_part(stretch)).collect(),
            lengths: movement.lengths.iter().map(|stretch| self.stretch_part(stretch)).collect(),
            opening: movement.opening,
            greatest_opening: movement.greatest_opening,
            beyond_joints: movement.beyond.iter().map(|beyond| self.beyond_part(beyond)).collect(),
        });
        let joint = |joint: &fit::JointLaid| {
            let moves = self.fit.movement.as_ref().and_then(|movement| movement.joints.get(joint.joint));
            MovementJointPart {
                name: site::Source::Joint(joint.joint).name(&self.plan),
                width: joint.width,
                along_rows: joint.along_rows,
                stretches: joint.stretches.iter().map(|s| [s.from, s.to].map(|p| self.xy_of(p))).collect(),
                length: joint.length,
                moved: joint.moved,
                above_row: joint.above_row.map(|row| self.floor.row_number(row)),
                open_ends: joint.open_ends.iter().map(|p| self.xy_of(*p)).collect(),
                closes: moves.map(|moved| moved.closes),
                opens: moves.map(|moved| moved.opens),
            }
        };
        MovementPart { seasons, joints: self.fit.joints.iter().map(joint).collect(), proposals: None }
    }

    fn beyond_part(&self, beyond: &fit::Beyond) -> BeyondPart {
        BeyondPart {
            region: beyond.stretch.region,
            across: beyond.across,
            extent: beyond.stretch.extent,
            apart: beyond.apart,
            why: beyond.why(&self.plan),
            mend: beyond.mend(),
        }
    }

    /// Stretches that movement joints do not serve, in words: the first of them, as many as are asked for.
    pub fn beyond_joints(&self, most: usize) -> Vec<String> {
        let beyond = self.fit.movement.iter().flat_map(|movement| &movement.beyond).take(most);
        let places = Places::new(&self.plan);
        let words = |beyond: &fit::Beyond| {
            let (a, b) = (beyond.stretch.from, beyond.stretch.to);
            let middle = Uv::new(f64::midpoint(a.u, b.u), f64::midpoint(a.v, b.v));
            let at = self.site.frame.plan_from_row(middle);
            let place = places.place_at(at);
            let place = place.map_or_else(|| format!("region {}", beyond.stretch.region + 1), str::to_owned);
            beyond.words(&self.plan, &place)
        };
        beyond.map(words).collect()
    }

    fn xy_of(&self, p: Uv) -> Xy {
        xy(self.site.frame.plan_from_row(p))
    }

    fn stretch_part(&self, stretch: &Stretch) -> StretchPart {
        let change = |c: &Change| ChangePart { free: c.free, built: c.built, expected: c.expected };
        StretchPart {
            region: stretch.region,
            extent: stretch.extent,
            from: self.xy_of(stretch.from),
            to: self.xy_of(stretch.to),
            ends: stretch
                .ends
                .iter()
                .map(|end| EndPart {
                    edge: end.kind.word(),
                    place: end.source.name(&self.plan),
                    room: end.room,
                })
                .collect(),
            swells: change(&stretch.swells),
            shrinks: change(&stretch.shrinks),
            room: stretch.room(),
            left: stretch.left(),
            published_gap: {
                let published = stretch.published_gap();
                let (least, greatest, source) = (published.least, published.greatest, published.source);
                PublishedGapPart { least, greatest, source }
            },
        }
    }

    fn proposal_part(&self, proposal: &Proposal) -> ProposalPart {
        ProposalPart {
            from: xy(proposal.joint.from),
            to: xy(proposal.joint.to),
            width: proposal.joint.width,
            place: proposal.place(&self.plan),
            along_rows: proposal.along_rows,
            region: proposal.region,
            before: proposal.before,
            after: proposal.after,
            limit: proposal.limit,
            length: proposal.length,
            marks: proposal.marks.clone(),
            comes_with: proposal.comes_with.clone(),
        }
    }
}
