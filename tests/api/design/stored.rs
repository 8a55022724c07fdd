//! Designs and evaluations are read back as they were.

use yokewright::rig::{Design, Evaluation};

const FILES: [&str; 2] = [
    include_str!("../../../examples/trainer_stick.toml"),
    include_str!("../../../examples/training_rig.toml"),
];

#[test]
fn a_design_is_stored_as_its_file() {
    for text in FILES {
        let design = Design::parse(text, "rig.toml").unwrap_or_else(|error| panic!("{error}"));
        let stored = serde_json::to_string(&design).expect("text");
        let read: Design = serde_json::from_str(&stored).expect("as it was");
        assert_eq!(read, design);
        assert_eq!((read.text(), read.file()), (text, "rig.toml"));
        // What is read back passes the checks of a file.
        let bad = stored.replace("reference_V = 3.3", "reference_V = 330");
        if bad != stored {
            let error = serde_json::from_str::<Design>(&bad).expect_err("330 V");
            assert!(error.to_string().contains("reference_V = 330"), "{error}");
        }
    }
}

#[test]
fn an_evaluation_is_read_back_to_the_last_bit() {
    for text in FILES {
        let design = Design::parse(text, "rig.toml").unwrap_or_else(|error| panic!("{error}"));
        let evaluation = design.evaluate(41).expect("it sweeps");
        assert_eq!(evaluation.broken(), []);
        let json = evaluation.to_json().expect("numbers");
        let read: Evaluation = serde_json::from_str(&json).expect("as it was");
        assert_eq!(read.to_json().expect("numbers"), json);
        assert_eq!(read, evaluation);
        assert_eq!(read.to_string(), evaluation.to_string());
        // A verdict that does not follow from its figures is none.
        let bad = json.replacen("\"state\": \"met\"", "\"state\": \"missed\"", 1);
        assert_ne!(bad, json);
        assert!(serde_json::from_str::<Evaluation>(&bad).is_err());
    }
}
