//! The cable plate.

pub mod layout;
pub mod outline;
pub mod packing;
pub mod plan;
pub mod shape;
pub mod shell;
pub mod sizing;
pub mod spec;

#[cfg(test)]
mod tests {
    use super::spec::Plate;
    use super::*;
    use crate::job::workshop::Workshop;

    fn plate(words: &[&str]) -> Plate {
        use clap::{Args, FromArgMatches};
        let command = Plate::augment_args(clap::Command::new("plate"));
        let all = std::iter::once("plate").chain(words.iter().copied());
        Plate::from_arg_matches(&command.try_get_matches_from(all).unwrap()).unwrap()
    }

    #[test]
    fn tryout() {
        let shop = Workshop::find("bed-220", "PLA", 0.01).unwrap();
        for words in [
            &["--hole", "60", "--cable", "8.2x3", "--cable", "6:signal"][..],
            &["--hole", "60", "--cable", "8.2x3", "--cable", "6:signal", "--anchors", "off"],
            &["--hole", "60", "--cable", "8.2x3", "--cable", "6:signal", "--anchors", "margin"],
            &["--hole", "80x40", "--cable", "3G1.5", "--cable", "9.5:mains:plug=28", "--cable", "5x3"],
            &["--hole", "40x80:r=4", "--cable", "9.5:mains:plug=28", "--cable", "5x3", "--cable", "6:motor:plug=12"],
            &["--hole", "70", "--cable", "9.5:mains:plug=28", "--cable", "5x3", "--cable", "6:motor:plug=12"],
            &["--hole", "60", "--cable", "9.5:mains:plug=28x", "--split", "never"],
            &["--hole", "90", "--cable", "9x6:plug=28", "--split", "three", "--cord", "2"],
        ] {
            let t = std::time::Instant::now();
            let run = || -> crate::error::Result<()> {
                let spec = {
                    use clap::{Args, FromArgMatches};
                    let command = Plate::augment_args(clap::Command::new("plate"));
                    let all = std::iter::once("plate").chain(words.iter().copied());
                    match command.try_get_matches_from(all) { Ok(m) => Plate::from_arg_matches(&m).unwrap(), Err(e) => { println!("{e}"); return Ok(()); } }
                };
                let sizing = sizing::Sizing::new(&spec, &shop)?;
                let plan = plan::Plan::new(&spec, &sizing)?;
                println!("  plan {:?} lines {:?} margin {} posts {}", t.elapsed(), plan.lines, plan.margin, plan.holds.iter().flatten().filter(|h| matches!(h, plan::Hold::Post(_))).count());
                let shape = shape::Shape { sizing: &sizing, plan: &plan, cutouts: vec![], hollow: false };
                for body in shape.bodies()? {
                    let mesh = body.mesh(0.01)?;
                    println!("  volume {:.3} mesh {:.3} open {} triangles {}", body.volume(), mesh.volume(), mesh.open_edges(), mesh.triangles.len());
                }
                Ok(())
            };
            println!("{words:?}");
            if let Err(e) = run() { println!("  ERROR {e}"); }
            println!("  {:?}", t.elapsed());
        }
        let _ = plate;
    }
}
