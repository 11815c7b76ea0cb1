//! The slab's list, materials and stages on the command line, on the sample house.
#![allow(clippy::unwrap_used)]

use serde_json::Value;
use std::path::{Path, PathBuf};
use std::process::{Command, Output};

fn sample() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../../sample-plans/hazel-court.ron")
}

fn startrow(args: &[&str], plan: &Path) -> Output {
    let (stage, rest) = args.split_first().unwrap();
    let output =
        Command::new(env!("CARGO_BIN_EXE_startrow")).arg(stage).arg(plan).args(rest).output().unwrap();
    assert_eq!(output.status.code(), Some(0), "{}", String::from_utf8_lossy(&output.stderr));
    output
}

fn text(args: &[&str], plan: &Path) -> String {
    String::from_utf8(startrow(args, plan).stdout).unwrap()
}

fn json(args: &[&str], plan: &Path) -> Value {
    serde_json::from_slice(&startrow(args, plan).stdout).unwrap()
}

#[test]
fn the_slabs_list_says_what_is_open_and_warns() {
    let said = text(&["slab"], &sample());
    for words in
        ["before a pack is opened", "within limit", "75 % RH (ASTM F710, BS 8201)", "asbestos", "silica"]
    {
        assert!(said.contains(words), "no {words:?} in\n{said}");
    }
    let result = json(&["slab", "--json", "-"], &sample());
    let points = result["slab"].as_array().unwrap();
    assert_eq!(points.len(), 10);
    assert!(result.get("boards").is_none());
    let states: Vec<&str> = points.iter().map(|point| point["state"].as_str().unwrap()).collect();
    assert!(!states.contains(&"open") && !states.contains(&"over"), "the sample's slab is ready: {states:?}");
    // A reading over its limit makes the floor faulty.
    let folder = tempfile::tempdir().unwrap();
    let damp = folder.path().join("damp.ron");
    std::fs::write(
        &damp,
        std::fs::read_to_string(sample()).unwrap().replace("reading: 73.5", "reading: 88.0"),
    )
    .unwrap();
    let check = Command::new(env!("CARGO_BIN_EXE_startrow")).arg("check").arg(&damp).output().unwrap();
    assert!(String::from_utf8_lossy(&check.stdout).contains("damp slab 88 % (limit 75 %)"));
}

#[test]
fn materials_stand_in_text_csv_and_result_alike() {
    let said = text(&["order"], &sample());
    assert!(said.contains("Materials — the makers' sheets come first"), "{said}");
    assert!(said.contains("π × 7² ÷ (4 × 64) = 0.601 L/m²"), "{said}");
    let table = text(&["order", "--materials", "-"], &sample());
    let result = json(&["lay", "--json", "-"], &sample());
    let lines = result["materials"]["lines"].as_array().unwrap();
    assert_eq!(table.lines().count(), lines.len() + 1);
    let adhesive = lines.iter().find(|line| line["material"] == "adhesive").unwrap();
    // 0.6013 L/m² by hand, in packs of 0.6 L.
    let litres = 0.601_320_5 * result["use_of_stock"]["laid_area"].as_f64().unwrap();
    assert!((adhesive["greatest"].as_f64().unwrap() - litres).abs() < 1e-3);
    assert_eq!(adhesive["bought"].as_f64().unwrap(), (litres / 0.6).ceil());
    for line in lines {
        // Prices are of what is bought; the allowance is in no other figure.
        assert!(said.contains(&format!("{}: ", line["material"].as_str().unwrap())), "{line}");
        let cut: f64 = line["lengths"]
            .as_array()
            .map_or(0.0, |lengths| lengths.iter().map(|length| length["length"].as_f64().unwrap()).sum());
        assert!(line["length_bound"].as_f64().unwrap_or(0.0) <= cut + 1e-6, "{line}");
    }
}

#[test]
fn stages_share_out_the_boards_and_the_materials() {
    let said = text(&["stages"], &sample());
    for words in ["Day plan", "may be walked on", "are laid with", "Check before"] {
        assert!(said.contains(words), "no {words:?} in\n{said}");
    }
    // The sample's slab has both its coats on. Before the first of them both are to come.
    assert!(!said.contains("moisture barrier, coat"), "{said}");
    let bare =
        std::fs::read_to_string(sample()).unwrap().replacen("barrier_coats: 2,", "barrier_coats: 0,", 1);
    let folder = tempfile::tempdir().unwrap();
    let plan = folder.path().join("bare.ron");
    std::fs::write(&plan, bare).unwrap();
    let said = text(&["stages"], &plan);
    for coat in ["moisture barrier, coat 1 of 2", "moisture barrier, coat 2 of 2"] {
        assert!(said.contains(coat), "no {coat:?} in\n{said}");
    }
    let result = json(&["lay", "--json", "-"], &sample());
    let stages = result["stages"]["stages"].as_array().unwrap();
    let boards: usize = stages.iter().map(|stage| stage["boards"].as_array().unwrap().len()).sum();
    assert_eq!(boards, result["boards"].as_array().unwrap().len());
    let total = |material: &str, of: &Value| {
        let lines = of["lines"].as_array().unwrap().iter();
        lines.filter(|l| l["material"] == material).map(|l| l["greatest"].as_f64().unwrap()).sum::<f64>()
    };
    for material in ["adhesive", "skirting", "sealant", "leveller"] {
        let parts: f64 = stages.iter().map(|stage| total(material, &stage["materials"])).sum();
        let whole = total(material, &result["materials"]);
        assert!((parts - whole).abs() < 1e-6 * whole.max(1.0), "{material}: {parts} of {whole}");
    }
}
