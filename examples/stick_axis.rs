//! The main job from Rust alone: evaluate a design file and print the verdict.
//!
//! `cargo run --release --example stick_axis [-- DESIGN.toml]`

use std::process::ExitCode;

use yokewright::rig::{CAUTIONS, Design, VerdictState};
use yokewright::units::{DEG, MT};

fn main() -> ExitCode {
    let path = std::env::args().nth(1).unwrap_or_else(|| {
        concat!(env!("CARGO_MANIFEST_DIR"), "/examples/trainer_stick.toml").to_owned()
    });
    let evaluation = match Design::load(&path).and_then(|design| design.evaluate(1001)) {
        Ok(evaluation) => evaluation,
        Err(error) => {
            eprintln!("{error}");
            return ExitCode::from(2);
        }
    };
    println!("{evaluation}");
    for axis in evaluation.axes() {
        let figures = axis.figures();
        print!("{}: {} counts", axis.name(), figures.counts());
        // Of a sensor that reads one component of the field.
        if let (Some(span), Some(gain)) = (figures.flux_span(), figures.gain_flux()) {
            print!(
                ", {:.1} mT end to end, {:.2} mT a degree at the center",
                span / MT,
                gain * DEG / MT
            );
        }
        println!();
    }
    println!();
    for caution in CAUTIONS {
        println!("! {caution}");
    }
    ExitCode::from(u8::from(evaluation.state() == VerdictState::Missed))
}
