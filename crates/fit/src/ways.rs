//! The way in of a board, from its lock and what stands at its sides.

use crate::contact::Contact;
use crate::{Meets, Motion, Part, Tight, TuckWay, WayIn};
use lay::Board;
use plan::{Lock, Plan};

/// Rooms are held to limits to this accuracy, mm.
const EXACT: f64 = 1e-6;
/// A side misses this much of the factory edge before it counts as taken off, mm.
const TRUE: f64 = 0.1;

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
    groove_joint: bool,
    left_joint: bool,
}

impl<'a> Around<'a> {
    pub(crate) fn new(
        board: &'a Board,
        contacts: &'a [Contact],
        kicks: Vec<Option<TuckWay>>,
        needs: &Needs,
    ) -> Self {
        Self {
            board,
            contacts,
            kicks,
            groove_joint: joins_laid_row(board, contacts, needs.pitch),
            left_joint: needs.end_match && !board.starts_run,
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
        let held = |part| self.at(part).any(|c| c.over && c.at.gap < 0.0 && c.across.0 < half);
        held(Part::Left) && held(Part::Right)
    }

    /// What stands nearest at a side without standing over the board.
    fn nearest(&self, part: Part) -> Option<&Contact> {
        self.at(part).filter(|contact| !contact.over).min_by(|a, b| a.room.total_cmp(&b.room))
    }

    fn joints(&self, groove: bool, left: bool) -> Vec<Part> {
        let mut parts = Vec::new();
        parts.extend((groove && self.groove_joint).then_some(Part::Groove));
        parts.extend((left && self.left_joint).then_some(Part::Left));
        parts
    }
}

/// Whether a board meets boards laid before it along its groove edge: it keeps some of that edge where nothing stands.
fn joins_laid_row(board: &Board, contacts: &[Contact], pitch: f64) -> bool {
    // Above the start line the first row is laid on its own.
    if board.row == 0 && !board.is_block() && !board.in_border {
        return false;
    }
    let mut kept = 0.0;
    for ring in board.outline.rings() {
        for (i, p) in ring.iter().enumerate() {
            let ((x, y), (to_x, to_y)) = (board.own(*p, pitch), board.own(ring[(i + 1) % ring.len()], pitch));
            if y.abs() < TRUE && to_y.abs() < TRUE {
                kept += (to_x - x).abs();
            }
        }
    }
    let along = |c: &&Contact| c.at.part == Part::Groove && c.across.1 < TRUE + 0.5;
    let covered: f64 = contacts.iter().filter(along).map(|c| c.shared).sum();
    kept - covered > 1.0
}

/// The way in of a board; `None` where it goes in as its lock asks for.
pub(crate) fn way_in(needs: &Needs, index: usize, around: &Around<'_>) -> Option<WayIn> {
    let under: Vec<Meets> = around.contacts.iter().filter(|c| c.over).map(|c| c.at).collect();
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
        });
    }
    let tuck = around.kicks.iter().copied().flatten().max();
    let lock = needs.has_lock();
    let [groove, tongue, left, right] = Part::ALL.map(|part| around.is_under(part));
    let tight_across =
        around.nearest(Part::Tongue).is_some_and(|c| c.room < needs.across(around.board) - EXACT);
    let is_held = tuck.is_none() && around.is_held_at_both_ends();
    let (motion, from, shaved) = match (tongue, groove) {
        // Pushed home from the open side, its ends go under as it comes.
        (false, _) if around.is_open(Part::Tongue) => {
            (Motion::Slide, Some(Part::Tongue), around.joints(lock, lock))
        }
        (false, _) if left && right && is_held => (Motion::Blocked, None, Vec::new()),
        (false, _) if left && right => (Motion::Slide, Some(Part::Groove), around.joints(true, true)),
        (false, _) if right => (Motion::Slide, Some(Part::Left), around.joints(lock || tight_across, true)),
        (false, _) => (Motion::Slide, Some(Part::Right), around.joints(lock || tight_across, lock)),
        (true, false) if is_held => (Motion::Blocked, None, Vec::new()),
        (true, false) => (Motion::Slide, Some(Part::Groove), around.joints(true, lock || right)),
        // Under things at both long edges it can come lengthways only, from where the floor is still bare.
        (true, true) if tuck.is_some() || (!right && around.is_open(Part::Right)) => {
            (Motion::Slide, Some(Part::Right), around.joints(lock, lock))
        }
        (true, true) => (Motion::Blocked, None, Vec::new()),
    };
    // Slid along under a kick it comes from past the kick's end.
    let from = if tuck == Some(TuckWay::Along) { None } else { from };
    Some(WayIn { board: index, motion, from, shaved, under, tuck, tight: Vec::new() })
}

/// The way in of a board that nothing stands over.
fn beside(needs: &Needs, index: usize, around: &Around<'_>) -> Option<WayIn> {
    let tight = |contact: &Contact, need: f64| Tight { at: contact.at, need, edge: contact.edge };
    let mut shaved = Vec::new();
    let mut found = Vec::new();
    let need = needs.across(around.board);
    if let Some(contact) =
        around.nearest(Part::Tongue).filter(|c| around.groove_joint && c.room < need - EXACT)
    {
        shaved.push(Part::Groove);
        found.push(tight(contact, need));
    }
    if let Some(contact) = around.nearest(Part::Right).filter(|_| around.left_joint)
        && let Some(need) = needs.end_is_tight(contact.room)
    {
        shaved.push(Part::Left);
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
    };
    (!is_usual).then_some(way)
}
