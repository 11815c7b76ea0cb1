//! How the boards lie: pattern and border.

use super::parts::{choose, heading, with, with_several};
use crate::action::Actions;
use crate::field;
use crate::names;
use egui::Ui;
use plan::{Border, Corners, Pattern, Plan};

pub(super) fn show(ui: &mut Ui, plan: &Plan, actions: &mut Actions) {
    heading(ui, "Pattern");
    let (block, mitre) = match plan.pattern {
        Pattern::Herringbone { block, .. } => (block, 45.0),
        Pattern::Chevron { block, mitre } => (block, mitre),
        Pattern::Irregular | Pattern::Half | Pattern::Third => (plan.stock.shortest(), 45.0),
    };
    let choices = [
        Pattern::Irregular,
        Pattern::Half,
        Pattern::Third,
        Pattern::Herringbone { block, abreast: 1 },
        Pattern::Herringbone { block, abreast: 2 },
        Pattern::Chevron { block, mitre },
    ];
    with(ui, "Boards lie in", |ui| {
        let words = choices.map(names::pattern);
        if let Some(index) = choose(ui, "pattern", names::pattern(plan.pattern), &words) {
            let pattern = choices[index];
            actions.edit("change pattern", move |plan| plan.pattern = pattern.fitted(&plan.stock));
        }
    });
    blocks(ui, plan, actions);
    border(ui, plan, actions);
}

fn blocks(ui: &mut Ui, plan: &Plan, actions: &mut Actions) {
    let block_field = |ui: &mut Ui, block: f64| {
        with(ui, "Length of a block", |ui| field::length(ui, "length of a block", block, plan.units))
    };
    match plan.pattern {
        Pattern::Irregular | Pattern::Half | Pattern::Third => {}
        Pattern::Herringbone { block, abreast } => {
            if let Some(block) = block_field(ui, block) {
                actions.edit("block length", move |plan| {
                    plan.pattern = Pattern::Herringbone { block, abreast };
                });
            }
        }
        Pattern::Chevron { block, mitre } => {
            if let Some(block) = block_field(ui, block) {
                actions.edit("block length", move |plan| plan.pattern = Pattern::Chevron { block, mitre });
            }
            with_several(ui, "Mitre", |ui| {
                if let Some(mitre) = field::number(ui, "mitre, degrees", mitre) {
                    actions.edit("mitre", move |plan| plan.pattern = Pattern::Chevron { block, mitre });
                }
                ui.label("°");
            });
        }
    }
}

fn border(ui: &mut Ui, plan: &Plan, actions: &mut Actions) {
    with_several(ui, "Border", |ui| {
        const CORNERS: [Corners; 2] = [Corners::Mitred, Corners::Butted];
        let boards = plan.border.map_or(0, |border| border.boards);
        if let Some(boards) = field::whole(ui, "boards in the border, 0 for none", u64::from(boards)) {
            let corners = plan.border.map_or(Corners::Mitred, |border| border.corners);
            let boards = u32::try_from(boards).unwrap_or(u32::MAX);
            actions.edit("border", move |plan| {
                plan.border = (boards > 0).then_some(Border { boards, corners });
            });
        }
        if let Some(border) = plan.border {
            let words = CORNERS.map(names::corners);
            if let Some(index) = choose(ui, "corners of the border", names::corners(border.corners), &words) {
                let border = Border { corners: CORNERS[index], ..border };
                actions.edit("border corners", move |plan| plan.border = Some(border));
            }
        }
        ui.label("boards");
    });
}
