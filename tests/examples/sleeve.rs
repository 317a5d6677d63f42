//! A sleeve made from Rust: the request, its findings, its files in the folder `sleeve`.

use fixwright::job::{Order, Shared};
use fixwright::output::write::{Batch, write_all};
use fixwright::output::{Format, make};
use fixwright::prelude::*;

fn main() -> Result<()> {
    let sleeve = Sleeve { bearing: Some("6204-2Z".into()), ..Sleeve::default() };
    let order = Order { kind: "sleeve", shared: Shared::default(), part: Box::new(sleeve), asked: vec![] };
    let made = make(&order, &[Format::Stl, Format::Step])?;
    for finding in made.design.findings.iter().filter(|finding| finding.level != Level::Ok) {
        println!("{}: {}", finding.check, finding.says);
    }
    let batch = Batch { part: "sleeve", request: made.request(), files: &made.files };
    write_all("sleeve".as_ref(), "sleeve", &[batch], false)?;
    Ok(())
}
