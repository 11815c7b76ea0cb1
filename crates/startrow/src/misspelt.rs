//! A command that is not there: named as such, with the one that was likely meant.

use crate::args::Args;
use clap::CommandFactory;
use clap::error::{ContextKind, ContextValue, ErrorKind};
use std::ffi::OsString;
use std::io::Write;
use std::path::Path;

/// Ends the program on words that are no call of it. An option that is not there is named with what mends it: the library's
/// own tip, to hide it behind `--`, would only have it taken for a plan's name.
pub(crate) fn refuse(error: &clap::Error) -> ! {
    let Some(said) = option(error) else { error.exit() };
    // With standard error closed there is no one left to tell.
    let _ = writeln!(std::io::stderr(), "startrow: {}", crate::printable(&said));
    std::process::exit(i32::from(crate::BAD_INPUT))
}

/// What to say of an option that a command does not have; `None` where that is not what is wrong.
fn option(error: &clap::Error) -> Option<String> {
    if error.kind() != ErrorKind::UnknownArgument {
        return None;
    }
    let text = |kind| match error.get(kind) {
        Some(ContextValue::String(text)) => Some(text.clone()),
        Some(ContextValue::StyledStr(text)) => Some(text.to_string()),
        _ => None,
    };
    let wrong = text(ContextKind::InvalidArg)?;
    // The usage begins `Usage: startrow COMMAND`; without a command what is in brackets comes next.
    let usage = text(ContextKind::Usage).unwrap_or_default();
    let called = usage.split_whitespace().skip_while(|word| *word != "startrow").skip(1);
    let command = called.take(1).find(|word| word.starts_with(|first: char| first.is_ascii_lowercase()));
    let (who, help) = match command {
        Some(command) => (format!("`{command}`"), format!("startrow {command} --help")),
        None => ("startrow".to_owned(), "startrow --help".to_owned()),
    };
    let near = text(ContextKind::SuggestedArg).map(|near| format!("did you mean `{near}`? "));
    let what = if wrong.starts_with('-') {
        format!("{who} has no option `{wrong}`")
    } else {
        format!("{who} has no place for `{wrong}`")
    };
    Some(format!("{what}; {}`{help}` lists what it takes", near.unwrap_or_default()))
}

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
    fn an_option_that_is_not_there_is_told_with_its_mend() {
        use clap::Parser;
        let said = |words: &[&str]| option(&Args::try_parse_from(words).expect_err("refused"));
        let told = said(&["startrow", "order", "house.ron", "--allow", "5"]).expect("told");
        assert_eq!(told, "`order` has no option `--allow`; `startrow order --help` lists what it takes");
        let told = said(&["startrow", "search", "house.ron", "--move", "5"]).expect("told");
        assert!(told.contains("did you mean `--moves`?"), "{told}");
        let told = said(&["startrow", "setout", "house.ron", "other.ron"]).expect("told");
        assert!(told.starts_with("`setout` has no place for `other.ron`; "), "{told}");
        // A number under nought is the option's own affair, and is refused with what it takes.
        let error =
            Args::try_parse_from(["startrow", "search", "house.ron", "--moves", "-3"]).expect_err("refused");
        assert!(error.to_string().contains("give a number of moves from 1 to"), "{error}");
        assert_eq!(option(&error), None);
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
