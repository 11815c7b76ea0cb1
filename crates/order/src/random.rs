//! Boards of random lengths: what the lists can tell of them before the packs are open, in words.

use plan::{Plan, format_length};

/// That the lengths told are drawn by chance, which of what is told holds all the same, and by what the rows are laid instead;
/// `None` where the lengths are known.
///
/// Nobody knows which boards a pack of random lengths holds: they are counted as drawn evenly over their range.
pub fn drawn_words(plan: &Plan) -> Option<String> {
    let random = plan.stock.random?;
    let length = |mm: f64| format_length(mm, plan.units);
    let rules = &plan.rules;
    Some(format!(
        "Boards come in random lengths, {} to {}, and which shows only in the opened packs. Those told here are drawn by chance, to count \
         the packs: the rips hold, where joints and ends lie does not. Lay each row from the boards at hand, joints {} or more from \
         those of the row before, ends {} or longer, and measure last boards and notches in place.",
        length(random.shortest),
        length(random.longest),
        length(rules.least_stagger),
        length(rules.least_end),
    ))
}

/// What boards of a line of the order are called by: their length, or the range in which they come.
pub fn line_words(plan: &Plan, longest: f64) -> String {
    let length = |mm: f64| format_length(mm, plan.units);
    match plan.stock.random {
        Some(random) => format!("{} to {}", length(random.shortest), length(random.longest)),
        None => length(longest),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use plan::RandomLengths;

    #[test]
    fn random_lengths_are_told_to_be_drawn() {
        let mut plan = Plan::new("House");
        assert_eq!(drawn_words(&plan), None);
        assert_eq!(line_words(&plan, 2200.0), format_length(2200.0, plan.units));
        plan.stock.lengths.clear();
        plan.stock.random = Some(RandomLengths { shortest: 600.0, longest: 2200.0, per_pack: 8 });
        let words = drawn_words(&plan).unwrap();
        assert!(words.contains("600 to 2\u{a0}200") && words.contains("joints 300 or more"), "{words}");
        assert_eq!(line_words(&plan, 2200.0), "600 to 2\u{a0}200");
    }
}
