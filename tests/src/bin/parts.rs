//! Prints what the program is built from: every crate of its build with version, licence and checksum, as a CycloneDX
//! 1.5 list in JSON. It asks cargo; the same lock file gives the same list.
#![allow(clippy::print_stdout)]

use startrow_tests::parts::{Part, parts};

fn main() {
    let components: Vec<serde_json::Value> = parts("startrow").into_iter().map(component).collect();
    let list = serde_json::json!({
        "bomFormat": "CycloneDX",
        "specVersion": "1.5",
        "version": 1,
        "metadata": { "component": {
            "type": "application", "name": "startrow", "version": env!("CARGO_PKG_VERSION"),
            "licenses": [{ "expression": "MIT OR Apache-2.0" }],
        } },
        "components": components,
    });
    println!("{}", serde_json::to_string_pretty(&list).unwrap_or_default());
}

fn component(part: Part) -> serde_json::Value {
    let url = format!("pkg:cargo/{}@{}", part.name, part.version);
    let mut component = serde_json::json!({
        "type": "library", "name": part.name, "version": part.version, "purl": url, "bom-ref": url,
        "licenses": [{ "expression": part.licence.replace('/', " OR ") }],
    });
    if let Some(checksum) = part.checksum {
        component["hashes"] = serde_json::json!([{ "alg": "SHA-256", "content": checksum }]);
    }
    component
}
