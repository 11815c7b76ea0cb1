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
    let near =
        names().map(|name| (strsim::levenshtein(first, &name), name)).filter(|(apart, _)| *apart <= 2).min();
    let mend = near.map_or_else(
        || "`startrow --help` lists the commands".to_owned(),
        |(_, name)| format!("did you mean `{name}`?"),
    );
    Some(format!("there is no command `{first}`, and no plan file of that name; {mend}"))
}

#[cfg(test)]
mod tests {
    use super::*;

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
