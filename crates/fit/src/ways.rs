//! The way in of a board, from its lock and what stands at its sides.

use crate::astride::astride;
use crate::contact::Contact;
use crate::{Astride, Meets, Motion, Part, Tight, TuckWay, WayIn};
use lay::Board;
use plan::{Lock, Plan};

/// Rooms are held to limits to this accuracy, mm.
const EXACT: f64 = 1e-6;
/// A side misses this much of the factory edge before it counts as taken off, mm.
const TRUE: f64 = 0.1;
/// A contact is looked for so much farther off, mm: an outline touches an edge within that.
const ALONG: f64 = 0.5;
/// A joint shorter than this is none, mm.
const SHORT: f64 = 1.0;

/// What the lock of a plan's boards needs.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Needs {
    lock: Lock,
    /// Whether ends join.
    end_match: bool,
    /// How far a folded board stands off its end joint, mm.
    travel: f64,
    /// Room to turn a board down in, mm; reckoned from the board where the plan gives none.
    tilt_room: Option<f64>,
    /// Room to push a board home in, mm.
    slide_room: f64,
    thickness: f64,
    pitch: f64,
}

impl Needs {
    pub(crate) fn of(plan: &Plan) -> Self {
        Self {
            lock: plan.stock.lock,
            end_match: plan.stock.end_match,
            travel: plan.rules.travel(),
            tilt_room: plan.rules.tilt_room,
            slide_room: plan.rules.slide_room.unwrap_or(plan.stock.tongue),
            thickness: plan.stock.thickness,
            pitch: plan.stock.pitch(),
        }
    }

    fn has_lock(&self) -> bool {
        self.lock != Lock::TongueAndGroove
    }

    /// Room needed beyond a board's side that lies away from the laid row, mm. Turned down about its groove edge, a
    /// board `w` wide and `t` thick reaches √(w² + t²) from it on the way, by Pythagoras.
    fn across(&self, board: &Board) -> f64 {
        if !self.has_lock() {
            return self.slide_room;
        }
        self.tilt_room.unwrap_or_else(|| {
            let w = board.width;
            (w * w + self.thickness * self.thickness).sqrt() - w
        })
    }

    /// Whether a gap at the far end leaves no room to close the end joint, and what it would need, mm. A folded
    /// board stands off by the travel, and the pull bar wants some of the gap for itself: the gap must be greater. A
    /// tongue is just drawn home.
    fn end_is_tight(&self, room: f64) -> Option<f64> {
        let (need, is_tight) = match self.has_lock() {
            true => (self.travel, room <= self.travel + EXACT),
            false => (self.slide_room, room < self.slide_room - EXACT),
        };
        is_tight.then_some(need)
    }
}

/// What stands at a board's sides, and which of its joints close when it goes in.
pub(crate) struct Around<'a> {
    board: &'a Board,
    contacts: &'a [Contact],
    /// How it gets under each kick that it goes under; `None` where it does not.
    kicks: Vec<Option<TuckWay>>,
    /// The long edge at the boards laid before, and the one away from them.
    home: Part,
    far: Part,
    /// The end at the board laid before, and the one away from it.
    near: Part,
    away: Part,
    home_joint: bool,
    near_joint: bool,
    /// What stands between its legs.
    astride: Vec<Astride>,
    /// How long the row goes on past the away end, over floor that is still bare, mm.
    ahead: f64,
}

impl<'a> Around<'a> {
    pub(crate) fn new(
        board: &'a Board,
        contacts: &'a [Contact],
        kicks: Vec<Option<TuckWay>>,
        ahead: f64,
        needs: &Needs,
    ) -> Self {
        // A border is laid on to the field, towards which its tongues point.
        let (home, far) =
            if board.in_border { (Part::Tongue, Part::Groove) } else { (Part::Groove, Part::Tongue) };
        // A turned block comes on to the block behind its right end.
        let (near, away) = match board.is_block() && board.turned {
            true => (Part::Right, Part::Left),
            false => (Part::Left, Part::Right),
        };
        let is_joined = if near == Part::Left { !board.starts_run } else { !board.ends_run };
        let home_joint = joins_laid_boards(board, contacts, home, needs.pitch);
        Self {
            board,
            contacts,
            kicks,
            home,
            far,
            near,
            away,
            home_joint,
            near_joint: needs.end_match && is_joined,
            astride: astride(board, contacts, needs.pitch),
            ahead,
        }
    }

    fn at(&self, part: Part) -> impl Iterator<Item = &Contact> {
        self.contacts.iter().filter(move |contact| contact.at.part == part)
    }

    fn is_under(&self, part: Part) -> bool {
        self.at(part).any(|contact| contact.over)
    }

    /// Whether nothing stands there: floor that is boarded later, or left to another trade under a leaf.
    fn is_open(&self, part: Part) -> bool {
        self.at(part).all(|contact| !contact.over && contact.room.is_infinite())
    }

    /// Whether both ends go under something right up to the laid row, so that neither can be lifted over it.
    fn is_held_at_both_ends(&self) -> bool {
        let half = self.board.width / 2.0;
        let held = |part| self.at(part).any(|c| c.over && c.at.gap < 0.0 && self.home_offset(c) < half);
        held(self.near) && held(self.away)
    }

    /// What stands nearest at a side without standing over the board.
    fn nearest(&self, part: Part) -> Option<&Contact> {
        self.at(part).filter(|contact| !contact.over).min_by(|a, b| a.room.total_cmp(&b.room))
    }

    /// How near to the boards laid before something at an end reaches, mm.
    fn home_offset(&self, contact: &Contact) -> f64 {
        match self.home {
            Part::Tongue => self.board.width - contact.across.1,
            _ => contact.across.0,
        }
    }

    /// Of the long edge and the end at boards laid before, those that are asked for and close a joint.
    fn joints(&self, home: bool, near: bool) -> Vec<Part> {
        let mut parts = Vec::new();
        parts.extend((home && self.home_joint).then_some(self.home));
        parts.extend((near && self.near_joint).then_some(self.near));
        parts.sort_unstable();
        parts
    }
}

/// Whether a board meets boards laid before it along a long edge: it keeps some of that edge where nothing stands.
fn joins_laid_boards(board: &Board, contacts: &[Contact], home: Part, pitch: f64) -> bool {
    // Above the start line the first row is laid on its own.
    if board.row == 0 && !board.is_block() && !board.in_border {
        return false;
    }
    let edge = if home == Part::Tongue { pitch } else { 0.0 };
    let mut kept = 0.0;
    for ring in board.outline.rings() {
        for (i, p) in ring.iter().enumerate() {
            let ((x, y), (to_x, to_y)) = (board.own(*p, pitch), board.own(ring[(i + 1) % ring.len()], pitch));
            if (y - edge).abs() < TRUE && (to_y - edge).abs() < TRUE {
                kept += (to_x - x).abs();
            }
        }
    }
    let on_edge = |y: f64| (y - edge).abs() < TRUE + ALONG;
    let along = |c: &&Contact| c.at.part == home && on_edge(c.across.0) && on_edge(c.across.1);
    let covered: f64 = contacts.iter().filter(along).map(|c| c.shared).sum();
    kept - covered > SHORT
}

/// The way in of a board; `None` where it goes in as its lock asks for.
pub(crate) fn way_in(needs: &Needs, index: usize, around: &Around<'_>) -> Option<WayIn> {
    let under: Vec<Meets> = around.contacts.iter().filter(|c| c.over).map(|c| c.at).collect();
    if let Some(way) = lengthways(needs, index, around, &under) {
        return Some(way);
    }
    if under.is_empty() {
        return beside(needs, index, around);
    }
    // How a kick's height and hollow let a board under is reckoned for each side of it.
    if around.kicks.iter().any(Option::is_none) {
        return Some(WayIn {
            board: index,
            motion: Motion::Blocked,
            from: None,
            shaved: Vec::new(),
            under,
            tuck: None,
            tight: Vec::new(),
            astride: Vec::new(),
        });
    }
    let tuck = around.kicks.iter().copied().flatten().max();
    let lock = needs.has_lock();
    let Around { home, far, near, away, .. } = *around;
    let [home_under, far_under, near_under, away_under] =
        [home, far, near, away].map(|part| around.is_under(part));
    let tight_across = around.nearest(far).is_some_and(|c| c.room < needs.across(around.board) - EXACT);
    let is_held = tuck.is_none() && around.is_held_at_both_ends();
    // One with legs comes lengthways, from its away end, or not at all.
    let is_astride = !around.astride.is_empty();
    let comes_along = !away_under && tuck.is_none_or(|tuck| tuck == TuckWay::Along);
    let (motion, from, shaved) = match (far_under, home_under) {
        _ if is_astride && !comes_along => (Motion::Blocked, None, Vec::new()),
        _ if is_astride => (Motion::Slide, Some(away), around.joints(lock || tight_across, lock)),
        // Pushed home from the open side, its ends go under as it comes.
        (false, _) if around.is_open(far) => (Motion::Slide, Some(far), around.joints(lock, lock)),
        (false, _) if near_under && away_under && is_held => (Motion::Blocked, None, Vec::new()),
        (false, _) if near_under && away_under => (Motion::Slide, Some(home), around.joints(true, true)),
        (false, _) if away_under => (Motion::Slide, Some(near), around.joints(lock || tight_across, true)),
        (false, _) => (Motion::Slide, Some(away), around.joints(lock || tight_across, lock)),
        (true, false) if is_held => (Motion::Blocked, None, Vec::new()),
        (true, false) => (Motion::Slide, Some(home), around.joints(true, lock || away_under)),
        // Under things at both long edges it can come lengthways only, from where the floor is still bare.
        (true, true) if tuck.is_some() || (!away_under && around.is_open(away)) => {
            (Motion::Slide, Some(away), around.joints(lock, lock))
        }
        (true, true) => (Motion::Blocked, None, Vec::new()),
    };
    // Slid along under a kick it comes from past the kick's end.
    let from = if tuck == Some(TuckWay::Along) { None } else { from };
    let astride = around.astride.clone();
    Some(WayIn { board: index, motion, from, shaved, under, tuck, tight: Vec::new(), astride })
}

/// The way in of a board with legs on both sides of something: it comes lengthways, from where the floor is still bare. At the
/// end of the boards laid before there is no room for that, nor where the row ends too soon. Where it goes under something and could
/// come, how is left to what it goes under.
fn lengthways(needs: &Needs, index: usize, around: &Around<'_>, under: &[Meets]) -> Option<WayIn> {
    let all = &around.astride;
    let farthest = all.iter().map(|between| between.reach).max_by(f64::total_cmp)?;
    let comes = all.iter().all(|between| between.end == around.near) && farthest <= around.ahead + EXACT;
    if comes && !under.is_empty() {
        return None;
    }
    let lock = needs.has_lock();
    // Where there is no room to draw it home either, the locks that this takes are shaved as well.
    let (mut shaved, tight) = match beside(needs, index, around) {
        Some(way) if comes => (way.shaved, way.tight),
        _ => (Vec::new(), Vec::new()),
    };
    if comes {
        shaved.extend(around.joints(lock, lock));
        shaved.sort_unstable();
        shaved.dedup();
    }
    let (motion, from) = if comes { (Motion::Slide, Some(around.away)) } else { (Motion::Blocked, None) };
    let (under, astride) = (under.to_vec(), all.clone());
    Some(WayIn { board: index, motion, from, shaved, under, tuck: None, tight, astride })
}

/// The way in of a board that nothing stands over.
fn beside(needs: &Needs, index: usize, around: &Around<'_>) -> Option<WayIn> {
    let tight = |contact: &Contact, need: f64| Tight { at: contact.at, need, edge: contact.edge };
    let mut shaved = Vec::new();
    let mut found = Vec::new();
    let need = needs.across(around.board);
    if let Some(contact) = around.nearest(around.far).filter(|c| around.home_joint && c.room < need - EXACT) {
        shaved.push(around.home);
        found.push(tight(contact, need));
    }
    if let Some(contact) = around.nearest(around.away).filter(|_| around.near_joint)
        && let Some(need) = needs.end_is_tight(contact.room)
    {
        shaved.push(around.near);
        found.push(tight(contact, need));
    }
    let is_usual = found.is_empty();
    let way = WayIn {
        board: index,
        motion: Motion::Drop,
        from: None,
        shaved,
        under: Vec::new(),
        tuck: None,
        tight: found,
        astride: Vec::new(),
    };
    (!is_usual).then_some(way)
}
