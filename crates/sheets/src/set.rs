//! The whole set of sheets.

use crate::bound::{Sheaf, bind};
use crate::control_sheet::control_sheet;
use crate::doorways_sheet::doorways_sheet;
use crate::fit_sheet::fit_sheet;
use crate::flags_sheet::flags_sheet;
use crate::floor_sheet::floor_sheet;
use crate::laid_sheet::laid_sheet;
use crate::lay_sheet::lay_sheet;
use crate::materials_sheet::materials_sheet;
use crate::movement_sheet::movement_sheet;
use crate::owner_sheet::owner_sheet;
use crate::page::{Page, Part, Type};
use crate::paper::{LEFT, MARGIN, scale_words};
use crate::saw_sheet::saw_lists;
use crate::setout_sheet::setout_sheet;
use crate::slab_sheet::slab_sheet;
use crate::stages_sheet::stages_sheet;
use crate::told::Told;
use crate::{Paper, Sheet, font};
use drawing::Anchor;
use pipeline::House;
use std::collections::BTreeSet;
use std::thread::Builder;

/// What a set is written on and marked with.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct SetOptions {
    /// Paper.
    pub paper: Paper,
    /// Date printed at the foot, in the user's words.
    pub date: Option<String>,
    /// Revision printed at the foot; [`revision`] of the plan's text where there is none.
    pub revision: Option<String>,
    /// Scale, 1 to so much, at which the floor is drawn over several pages too; without it one is taken only where a
    /// single page shows the boards' labels too small.
    pub floor_scale: Option<f64>,
    /// A saw list for each stage, on pages of its own; one for all of them without it.
    pub saw_by_stage: bool,
    /// Sheets that are set; all of them where none is named.
    pub only: BTreeSet<Sheet>,
}

/// So many sheets of the set are read before what is read at the doorways.
const BEFORE: usize = 6;

/// A short mark of a plan's text: the same text always gives the same eight hexadecimal digits, another
/// text hardly ever. FNV-1a in 64 bits (Fowler, Noll and Vo; constants from memory, checked in a test
/// against the published value for `a`), folded to 32.
pub fn revision(plan_text: &str) -> String {
    mark(plan_text.as_bytes())
}

/// The same mark of any bytes.
pub fn mark(bytes: &[u8]) -> String {
    let hash = fnv_1a(bytes);
    format!("{:08x}", (hash >> 32) ^ (hash & 0xffff_ffff))
}

fn fnv_1a(bytes: &[u8]) -> u64 {
    bytes
        .iter()
        .fold(0xcbf2_9ce4_8422_2325, |hash, byte| (hash ^ u64::from(*byte)).wrapping_mul(0x0100_0000_01b3))
}

/// Sets every sheet of a house: the slab's list, set-out and its control, movement, floor, doorways and edges, what to
/// undercut and shave, saw list, lay list, flags and packs, materials, stages, and the floor for who will live on it.
pub fn set(house: &House, options: &SetOptions) -> Vec<Page> {
    set_of(&Told::new(house), options)
}

/// Who reads a sheet, and where. Sheets of one reader follow one another and may share a page; what is carried to the saw, to
/// the doorways or to the rows holds nothing else.
#[derive(Clone, Copy, PartialEq)]
enum Reader {
    /// Who readies the slab and signs for it.
    Slab,
    /// Who snaps the line.
    Line,
    /// Who is at the line, checks it and keeps rows true to it.
    Control,
    /// All of them.
    All,
    /// Who works at doorways and jambs before boards come there.
    Doorways,
    Saw,
    Rows,
    /// Who buys and plans the days.
    Buyer,
    Owner,
}

fn reader(sheet: Sheet) -> Reader {
    match sheet {
        Sheet::Slab => Reader::Slab,
        Sheet::SetOut => Reader::Line,
        Sheet::Control | Sheet::Laid | Sheet::Movement => Reader::Control,
        Sheet::Floor => Reader::All,
        Sheet::Doorways | Sheet::Fitting => Reader::Doorways,
        Sheet::SawList => Reader::Saw,
        Sheet::LayList => Reader::Rows,
        Sheet::Flags | Sheet::Materials | Sheet::Stages => Reader::Buyer,
        Sheet::Owner => Reader::Owner,
    }
}

/// The same of a house of which something may have been asked already.
pub(crate) fn set_of(house: &Told<'_>, options: &SetOptions) -> Vec<Page> {
    let paper = options.paper;
    let wants = |sheet: &Sheet| options.only.is_empty() || options.only.contains(sheet);
    let of = |sheet: Sheet| -> Sheaf<'_> {
        match sheet {
            Sheet::Slab => slab_sheet(house).into(),
            Sheet::SetOut => setout_sheet(house, paper).into(),
            Sheet::Control => control_sheet(house, paper),
            Sheet::Laid => laid_sheet(house).into(),
            Sheet::Movement => movement_sheet(house).into(),
            Sheet::Floor => floor_sheet(house, paper, options.floor_scale).into(),
            Sheet::Doorways => doorways_sheet(house).into(),
            // Each is handed out on its own day.
            Sheet::SawList => {
                let lists = saw_lists(house, options.saw_by_stage);
                lists.iter().flat_map(|list| list.alone(paper)).collect::<Vec<Page>>().into()
            }
            Sheet::Fitting => fit_sheet(house).into(),
            Sheet::LayList => lay_sheet(house).into(),
            Sheet::Flags => flags_sheet(house).into(),
            Sheet::Materials => materials_sheet(house).into(),
            Sheet::Stages => stages_sheet(house, paper),
            Sheet::Owner => owner_sheet(house, paper).into(),
        }
    };
    let set = |sheets: &[Sheet]| -> Vec<Page> {
        let of_one = |own: &[Sheet]| bind(paper, own.iter().copied().filter(wants).map(of).collect());
        sheets.chunk_by(|a, b| reader(*a) == reader(*b)).flat_map(of_one).collect()
    };
    let (early, late) = Sheet::ALL.split_at(BEFORE);
    let (before, after) = (|| set(early), || set(late));
    // What is read before laying, while what is read at the saw is set.
    let mut pages = std::thread::scope(|scope| {
        let thread = Builder::new().name("sheets".into()).spawn_scoped(scope, after);
        let mut pages = before();
        pages.extend(match thread {
            Ok(thread) => thread.join().unwrap_or_else(|panic| std::panic::resume_unwind(panic)),
            // Without a second thread it takes longer.
            Err(_) => after(),
        });
        pages
    });
    put_feet(&mut pages, house, options);
    pages
}

fn put_feet(pages: &mut [Page], house: &House, options: &SetOptions) {
    let revision = options.revision.clone().unwrap_or_else(|| revision(&plan::write(&house.plan)));
    let count = pages.len();
    let kind = Type::quiet(3.2);
    for (i, page) in pages.iter_mut().enumerate() {
        let mut parts = vec![format!("revision {revision}")];
        parts.extend(options.date.clone());
        parts.push(match &page.scale {
            Some(scale) => {
                let number = scale.strip_prefix("1:").and_then(|number| number.parse().ok());
                let words = number.map(|number| scale_words(number, house.plan.units));
                format!("{} on {}", words.as_ref().unwrap_or(scale), options.paper.name())
            }
            None => options.paper.name().to_owned(),
        });
        parts.push(format!("page {} of {count}", i + 1));
        let right = crate::page::clean(&parts.join(" · "));
        let y = page.height - 7.0;
        page.begin(Part::Aside);
        let room = page.width - LEFT - MARGIN - kind.width(&right) - 6.0;
        let name = font::fitted(&crate::page::clean(&house.plan.name), kind.size, kind.bold, room);
        page.write(&name, LEFT, y, kind);
        page.write_as(&right, page.width - MARGIN, y, kind, Anchor::End);
        page.marks.shrink_to_fit();
        page.parts.shrink_to_fit();
    }
}
