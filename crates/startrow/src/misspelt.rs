//! A command that is not there: named as such, with the one that was likely meant.

use crate::args::Args;
use clap::CommandFactory;
use std::ffi::OsString;
use std::path::Path;

/// What to say where the first word is neither a command, an option nor a file; `None` where it is one of them, or looks
/// like a plan file.
pub(crate) fn command(words: &[OsString]) -> Option<String> {
    let first = words.get(1)?.to_str()?;
    let is_path = first.contains(['.', '/', '\\']) || Path::new(first).exists();
    if first.starts_with('-') || is_path {
        return None;
    }
    let all = Args::command();
    let names = || all.get_subcommands().map(|command| command.get_name().to_owned());
    if first == "help" || names().any(|name| name == first) {
        return None;
    }
    // A slip of the hand changes a letter or two of a short word.
    let near = names().map(|name| (apart(first, &name), name)).filter(|(apart, _)| *apart <= 2).min();
    let mend = near.map_or_else(
        || "`startrow --help` lists the commands".to_owned(),
        |(_, name)| format!("did you mean `{name}`?"),
    );
    Some(format!("there is no command `{first}`, and no plan file of that name; {mend}"))
}

/// Letters to change, add or leave out to make one word of the other (Levenshtein's distance, from memory).
fn apart(a: &str, b: &str) -> usize {
    let b: Vec<char> = b.chars().collect();
    let mut row: Vec<usize> = (0..=b.len()).collect();
    for (i, letter) in a.chars().enumerate() {
        let mut before = row[0];
        row[0] = i + 1;
        for (j, other) in b.iter().enumerate() {
            let kept = before + usize::from(letter != *other);
            before = row[j + 1];
            row[j + 1] = kept.min(row[j] + 1).min(before + 1);
        }
    }
    row[b.len()]
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_are_apart_by_the_letters_that_change() {
        // Counted by hand: an e for a t; two letters left out; one more.
        assert_eq!([apart("seout", "setout"), apart("lay", "laid"), apart("orders", "order")], [1, 2, 1]);
        assert_eq!([apart("", "fit"), apart("fit", "fit")], [3, 0]);
    }

    #[test]
    fn only_what_is_no_command_and_no_file_is_told() {
        let said = |words: &[&str]| command(&words.iter().map(OsString::from).collect::<Vec<_>>());
        let told = said(&["startrow", "seout", "house.ron"]).expect("told");
        assert!(told.contains("no command `seout`") && told.contains("`setout`"), "{told}");
        for words in
            [&["startrow"][..], &["startrow", "setout"], &["startrow", "house.ron"], &["startrow", "--help"]]
        {
            assert_eq!(said(words), None, "{words:?}");
        }
    }
}
