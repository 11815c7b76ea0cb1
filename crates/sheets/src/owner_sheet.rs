//! The floor for who will live on it: in the colours of wood, with names and sizes of the rooms, in everyday words.

use crate::floor_sheet::fitted_either;
use crate::page::{Page, Type};
use crate::paper::{LEFT, MARGIN};
use crate::told::Told;
use crate::words::along;
use crate::{Paper, flow};
use drawing::Options;
use pipeline::House;
use plan::{Pattern, Units};

/// Room under the floor for the size in large letters, and for each line of words under it, mm.
const SIZE: f64 = 13.2;
const LINE: f64 = 5.4;
/// The words under the size.
const SAID: Type = Type { size: 4.2, bold: false, colour: drawing::Rgb::INK };

/// The page; none where no boards lie.
pub(crate) fn owner_sheet(house: &Told<'_>, paper: Paper) -> Vec<Page> {
    if house.floor.boards.is_empty() {
        return Vec::new();
    }
    let (short, long) = paper.size();
    let text = words(house);
    let lines = |w: f64| SAID.wrapped(&text, w - LEFT - MARGIN);
    let under = |w: f64| SIZE + LINE * lines(w).len() as f64;
    let area = |w: f64, h: f64| (w - LEFT - MARGIN, h - MARGIN - flow::HEAD - flow::FOOT - under(w));
    let (plan, stands) = fitted_either(house, area(long, short), area(short, long), Options::owner);
    let (width, height) = if stands { (short, long) } else { (long, short) };
    let mut page = Page::new(width, height, "Your floor");
    page.sheets.push(("Your floor".into(), 0.0));
    page.scale = Some(plan.scale_name());
    crate::page_head::head(&mut page, &house.plan.name);
    let (room_w, room_h) = area(width, height);
    let x = LEFT + (room_w - plan.extent.width()) / 2.0;
    let top = MARGIN + flow::HEAD;
    let y = top + (room_h - plan.extent.height()) / 2.0;
    page.figure("The rooms with their floor of boards".into(), plan.marks_at(x, y));
    let big = Type::bold(6.0);
    let y = height - flow::FOOT - under(width) + 7.0;
    let size = size_in_words(house);
    page.write(&size, LEFT, y, big);
    // The rooms' own sizes come to a little more: nobody should wonder why.
    let kind = Type::quiet(3.6);
    let room = width - LEFT - MARGIN - big.width(&size) - 6.0;
    let notes = [
        "rooms from wall to wall; wood without the space at the walls and what stands in it",
        "rooms are measured from wall to wall",
    ];
    if let Some(note) = notes.into_iter().find(|note| kind.width(note) <= room) {
        page.write_as(note, width - MARGIN, y, kind, drawing::Anchor::End);
    }
    page.write_lines(&lines(width), LEFT, y + 6.8, LINE, SAID);
    vec![page]
}

/// What is said under the floor.
fn words(house: &House) -> String {
    format!(
        "{}. {} No two boards of wood are alike: shade and grain differ from board to board, and the \
         colours here are only a likeness.",
        house.plan.stock.name.trim_end_matches('.'),
        pattern_in_words(house)
    )
}

/// How the boards lie.
fn pattern_in_words(house: &House) -> String {
    match house.plan.pattern {
        Pattern::Irregular | Pattern::Half | Pattern::Third => format!("The boards run {}.", along(house)),
        Pattern::Herringbone { .. } => "The boards lie in a herringbone.".to_owned(),
        Pattern::Chevron { .. } => "The boards lie in a chevron.".to_owned(),
    }
}

/// How much floor there is, in how many rooms.
fn size_in_words(house: &House) -> String {
    let count = house.plan.rooms.iter().filter(|room| room.covering == plan::Covering::Boards).count();
    // What is boarded: no island, no gap.
    let area = house.site.boarded_area();
    let size = match house.plan.units {
        Units::Metric => format!("{:.1} m²", area / 1e6),
        // A foot is 304.8 mm.
        Units::FeetInches => format!("{:.0} sq ft", area / (304.8 * 304.8)),
    };
    match count {
        1 => format!("{size} of wood in one room"),
        _ => format!("{size} of wood in {count} rooms"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::Mark;
    use crate::testing::small_house;

    #[test]
    fn it_speaks_without_jargon_and_says_the_size() {
        let house = small_house("Hut");
        let pages = owner_sheet(&Told::new(&house), Paper::A4);
        let texts: Vec<&str> = pages
            .iter()
            .flat_map(|page| &page.marks)
            .filter_map(|mark| match mark {
                Mark::Text { text, .. } => Some(text.as_str()),
                _ => None,
            })
            .collect();
        // 4000 × 3000 mm are 12 m²: by hand.
        // The room is 4 m by 3 m; less a gap of 10 mm all round, 3.98 × 2.98 = 11.86.
        assert!(texts.contains(&"12.0 m²") && texts.contains(&"11.9 m² of wood in one room"), "{texts:?}");
        let all = texts.join(" ").to_lowercase();
        for word in ["rip", "sliver", "set-out", "pull", "notch", "stagger", "kerf", "flag"] {
            let is_said = all.split(|c: char| !c.is_alphanumeric() && c != '-').any(|said| said == word);
            assert!(!is_said, "{word} in {all}");
        }
    }
}
