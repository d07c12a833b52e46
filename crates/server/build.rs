//! Makes the folder of the site, so that a check works before the site is built; the site itself is built elsewhere.

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let root = std::env::var("CARGO_MANIFEST_DIR")?;
    let site = std::path::Path::new(&root).join("../../target/site");
    std::fs::create_dir_all(&site)?;
    println!("cargo:rerun-if-changed={}", site.display());
    println!("cargo:rerun-if-changed=build.rs");
    Ok(())
}
