//! The commands that take one plan or several.

use crate::args::Plans;
use crate::batch::{self, Said};
use crate::{load, words};
use anyhow::Context;
use findings::Severity;
use pipeline::House;
use std::path::{Path, PathBuf};
use std::process::ExitCode;

/// Takes as many threads as were asked for.
fn prepare(plans: &Plans) -> anyhow::Result<()> {
    let Some(threads) = plans.threads else { return Ok(()) };
    let pool = rayon::ThreadPoolBuilder::new().num_threads(usize::from(threads));
    pool.build_global().context("cannot start the threads")
}

/// A file for one result, asked for with several plans.
fn only_one(plans: &Plans, option: &str) -> anyhow::Error {
    anyhow::anyhow!(
        "{option} takes one plan, and {} are named; write to a folder with --out",
        plans.plans.len()
    )
}

/// One plan is told as it is, several each under its name.
fn titled(plans: &Plans, plan: &Path, text: String) -> String {
    match plans.only() {
        Some(_) => text,
        None => format!("{}\n{text}\n", plan.display()),
    }
}

/// Runs on one plan, whose trouble is then told as it is, or on several.
fn on_each(
    plans: &Plans,
    each: impl Fn(&House, &Path) -> anyhow::Result<Said> + Sync,
) -> anyhow::Result<ExitCode> {
    prepare(plans)?;
    match plans.only() {
        Some(plan) => {
            let said = each(&load::house(plan)?, plan)?;
            crate::print(&said.text)?;
            Ok(if said.faulty { ExitCode::from(crate::FAULTS) } else { ExitCode::SUCCESS })
        }
        None => batch::run(&plans.plans, each),
    }
}

pub(crate) fn lay(plans: &Plans, json: Option<PathBuf>, out: Option<PathBuf>) -> anyhow::Result<ExitCode> {
    if let Some(out) = out {
        batch::prepare(&out, &plans.plans)?;
        return on_each(plans, |house, plan| {
            let to = batch::place(&out, plan, ".json");
            load::write_bytes(&to, crate::json_text(&house.document())?.as_bytes())?;
            Ok(Said::sound(summary(house, &to)))
        });
    }
    match (json, plans.only()) {
        (Some(_), None) => Err(only_one(plans, "--json")),
        (Some(to), Some(_)) => on_each(plans, |house, _| {
            load::write(&to, &crate::json_text(&house.document())?)?;
            Ok(Said::sound(String::new()))
        }),
        (None, _) => on_each(plans, |house, plan| Ok(Said::sound(titled(plans, plan, words::lay(house))))),
    }
}

/// One line on a plan whose result went to a file.
fn summary(house: &House, to: &Path) -> String {
    let faults = house.flags.iter().filter(|flag| flag.severity == Severity::Fault).count();
    format!(
        "{}: {} boards, {:.2} m², {} opened, {}, {} worth a look\n",
        to.display(),
        house.floor.boards.len(),
        house.order.laid_area,
        house.order.opened,
        words::faults(faults),
        house.flags.len() - faults
    )
}

pub(crate) fn check(plans: &Plans) -> anyhow::Result<ExitCode> {
    on_each(plans, |house, plan| {
        let faulty = house.flags.iter().any(|flag| flag.severity == Severity::Fault);
        Ok(Said { text: titled(plans, plan, words::flags(house)), faulty })
    })
}

/// A plan's saw list as CSV.
fn saw_csv(house: &House) -> Result<String, order::ListError> {
    order::csv(&house.plan, &house.floor, &house.fit, &house.order, &house.stage_shares())
}

pub(crate) fn order(
    plans: &Plans,
    csv: Option<PathBuf>,
    materials: Option<PathBuf>,
    out: Option<PathBuf>,
    by_stage: bool,
) -> anyhow::Result<ExitCode> {
    if let Some(out) = out {
        batch::prepare(&out, &plans.plans)?;
        return on_each(plans, |house, plan| {
            let to = batch::place(&out, plan, ".csv");
            load::write_bytes(&to, saw_csv(house)?.as_bytes())?;
            if house.plan.materials.is_some() {
                let to = batch::place(&out, plan, "-materials.csv");
                load::write_bytes(&to, order::materials_csv(&house.materials())?.as_bytes())?;
            }
            let packs = house.order.packs;
            Ok(Said::sound(format!("{}: {packs} packs, {} opened\n", to.display(), house.order.opened)))
        });
    }
    if let Some(to) = materials {
        if plans.only().is_none() {
            return Err(only_one(plans, "--materials"));
        }
        return on_each(plans, |house, _| {
            load::write(&to, &order::materials_csv(&house.materials())?)?;
            Ok(Said::sound(String::new()))
        });
    }
    match (csv, plans.only()) {
        (Some(_), None) => Err(only_one(plans, "--csv")),
        (Some(to), Some(_)) => on_each(plans, |house, _| {
            load::write(&to, &saw_csv(house)?)?;
            Ok(Said::sound(String::new()))
        }),
        (None, _) => on_each(plans, |house, plan| {
            // Only small floors can be proven; on others the bound stands alone.
            let fewest = order::fewest(&house.plan, &house.floor).ok();
            let parts = match by_stage {
                true => house.saw_parts(),
                false => vec![order::whole_saw_list(&house.order)],
            };
            let of = (&house.order, parts.as_slice());
            let mut text = order::text(&house.plan, &house.floor, &house.fit, of, &house.bound(), fewest);
            let materials = order::materials_text(&house.plan, &house.materials());
            if !materials.is_empty() {
                text.push('\n');
                text.push_str(&materials);
            }
            Ok(Said::sound(titled(plans, plan, text)))
        }),
    }
}

pub(crate) fn sheets(plans: &Plans, out: &Path, options: &sheets::WriteOptions) -> anyhow::Result<ExitCode> {
    if plans.only().is_none() {
        batch::prepare(out, &plans.plans)?;
    }
    on_each(plans, |house, plan| {
        let own = plans.only().map_or_else(|| batch::place(out, plan, ""), |_| out.to_owned());
        load::write_sheets(house, &own, options).map(Said::sound)
    })
}
