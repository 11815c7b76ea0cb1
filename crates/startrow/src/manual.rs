//! Manual pages and shell completions, made from the table of arguments.

use crate::args::Args;
use crate::load;
use clap::CommandFactory;
use std::path::Path;

/// The completion script of a shell.
pub(crate) fn completions(shell: clap_complete::Shell) -> anyhow::Result<String> {
    let mut script = Vec::new();
    clap_complete::generate(shell, &mut Args::command(), "startrow", &mut script);
    Ok(String::from_utf8(script)?)
}

/// Writes `startrow.1` and one page for each command; what was written.
pub(crate) fn pages(out: &Path) -> anyhow::Result<String> {
    std::fs::create_dir_all(out).map_err(|error| load::unmade(out, &error))?;
    let program = Args::command();
    let mut written = String::new();
    let mut page = |name: String, command: clap::Command| -> anyhow::Result<()> {
        let mut text = Vec::new();
        clap_mangen::Man::new(command).render(&mut text)?;
        let path = out.join(format!("{name}.1"));
        keep::write_whole(&path, &text)?;
        written += &format!("{}\n", path.display());
        Ok(())
    };
    for command in program.get_subcommands() {
        let name = format!("startrow-{}", command.get_name());
        page(name.clone(), command.clone().display_name(name))?;
    }
    page("startrow".into(), program.clone())?;
    Ok(written)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_command_has_its_page_and_is_completed() {
        let folder = tempfile::tempdir().unwrap();
        pages(folder.path()).unwrap();
        let whole = std::fs::read_to_string(folder.path().join("startrow.1")).unwrap();
        assert!(whole.contains(".TH startrow 1"), "{whole}");
        let script = completions(clap_complete::Shell::Bash).unwrap();
        for command in Args::command().get_subcommands() {
            let name = command.get_name();
            assert!(
                whole.contains(&format!("startrow\\-{}(1)", name.replace('-', "\\-"))),
                "{name} in {whole}"
            );
            assert!(
                folder.path().join(format!("startrow-{name}.1")).exists() && script.contains(name),
                "{name}"
            );
        }
    }
}
