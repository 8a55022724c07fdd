//! Firmware constants: all codes of the generated C and Rust against the library, and what is refused.

use std::path::PathBuf;
use std::process::Command;

use yokewright::Error;
use yokewright::axis::{CalibrationCurve, Firmware, FirmwareSpec};
use yokewright::units::DEG;

/// A bent curve over 80 % of the codes of a converter.
fn curve(bits: u32, rising: bool) -> CalibrationCurve {
    let top = f64::from(1_u32 << bits);
    let points: Vec<[f64; 2]> = (0..=8)
        .map(|i| {
            let part = f64::from(i) / 8.0 - 0.5;
            let angle = (18.0 * part + 8.0 * part * part * part) * DEG;
            [
                (0.5 + 0.8 * part) * top,
                if rising { angle } else { -angle },
            ]
        })
        .collect();
    CalibrationCurve::monotone_cubic(&points).unwrap()
}

fn spec(name: &str) -> FirmwareSpec {
    FirmwareSpec {
        dead_zone: 0.15 * DEG,
        end_zone: 0.3 * DEG,
        ..FirmwareSpec::new(name, [-10.0 * DEG, 10.0 * DEG])
    }
}

/// The outputs of a program that prints one for each code.
fn run(program: &PathBuf) -> Vec<i32> {
    let done = Command::new(program).output().unwrap();
    assert!(done.status.success());
    let text = String::from_utf8(done.stdout).unwrap();
    text.lines().map(|line| line.parse().unwrap()).collect()
}

fn compile(command: &mut Command) {
    let done = command.output().unwrap();
    let (out, err) = (
        done.stdout,
        String::from_utf8_lossy(&done.stderr).into_owned(),
    );
    assert!(
        done.status.success(),
        "{}{err}",
        String::from_utf8_lossy(&out)
    );
}

/// A folder of its own for a test.
fn folder(name: &str) -> PathBuf {
    let folder = std::env::temp_dir().join(format!("{name}_{}", std::process::id()));
    std::fs::create_dir_all(&folder).unwrap();
    folder
}

/// Three converters, a falling characteristic, coarse output, a lever without lower side.
fn cases() -> Vec<Firmware> {
    let lever = FirmwareSpec {
        center: -10.0 * DEG,
        ..spec("throttle lever")
    };
    let coarse = FirmwareSpec {
        output_bits: 8,
        knots: 5,
        ..spec("brake.left")
    };
    let bare = FirmwareSpec {
        knots: 2,
        ..FirmwareSpec::new("2nd-pitch", [-12.0 * DEG, 9.0 * DEG])
    };
    [
        (10, true, spec("rudder")),
        (12, false, spec("roll")),
        (
            16,
            true,
            FirmwareSpec {
                knots: 33,
                ..spec("pitch")
            },
        ),
        (12, true, coarse),
        (12, true, lever),
        (16, false, bare),
    ]
    .into_iter()
    .map(|(bits, rising, spec)| Firmware::new(curve(bits, rising), bits, spec).unwrap())
    .collect()
}

#[test]
fn the_c_source_gives_every_code_the_output_of_the_library() {
    let folder = folder("yokewright_firmware_c");
    for firmware in cases() {
        let id = firmware.identifier();
        let source = folder.join(format!("{id}.c"));
        let main = folder.join(format!("{id}_main.c"));
        let program = folder.join(id);
        std::fs::write(&source, firmware.c_source()).unwrap();
        let max = firmware.max_code();
        let print = format!(
            "#include <stdint.h>\n#include <stdio.h>\nint32_t {id}_output(uint32_t code);\nint main(void)\n{{\n\
             uint32_t code;\nfor (code = 0; code <= UINT32_C({max}) + 2; code++) {{\n\
             printf(\"%ld\\n\", (long){id}_output(code));\n}}\nreturn 0;\n}}\n"
        );
        std::fs::write(&main, print).unwrap();
        let flags = [
            "-std=c99",
            "-Wall",
            "-Wextra",
            "-Werror",
            "-pedantic",
            "-Wconversion",
            "-Wmissing-prototypes",
        ];
        compile(
            Command::new("cc")
                .args(flags)
                .arg("-o")
                .arg(&program)
                .arg(&source)
                .arg(&main),
        );
        let wanted: Vec<i32> = (0..=max + 2).map(|code| firmware.output(code)).collect();
        assert!(run(&program) == wanted, "{id}");
        // Nothing but whole numbers.
        let text = firmware.c_source();
        let code = text.split_once("*/").unwrap().1;
        for word in ["float", "double", "malloc", "int64", "long", "math.h"] {
            assert!(!code.contains(word), "{id}: {word}");
        }
    }
    std::fs::remove_dir_all(folder).unwrap();
}

#[test]
fn the_rust_source_gives_every_code_the_output_of_the_library() {
    let folder = folder("yokewright_firmware_rust");
    for firmware in cases() {
        let id = firmware.identifier();
        let source = folder.join(format!("{id}.rs"));
        std::fs::write(&source, firmware.rust_source()).unwrap();
        let library = folder.join(format!("{id}_lib.rs"));
        std::fs::write(&library, format!("#![no_std]\n{}", firmware.rust_source())).unwrap();
        let rustc = || {
            let mut rustc = Command::new(std::env::var("RUSTC").unwrap_or_else(|_| "rustc".into()));
            rustc.args([
                "--edition",
                "2024",
                "-D",
                "warnings",
                "-C",
                "overflow-checks=on",
                "--out-dir",
            ]);
            rustc.arg(&folder);
            rustc
        };
        compile(
            rustc()
                .args(["--crate-type", "lib", "--emit", "metadata"])
                .arg(&library),
        );
        let main = folder.join(format!("{id}_main.rs"));
        let max = firmware.max_code();
        let print = format!(
            "#[path = \"{id}.rs\"]\nmod axis;\nfn main() {{\n\
             let lines: Vec<String> = (0..={max} + 2).map(|code| axis::{id}_output(code).to_string()).collect();\n\
             println!(\"{{}}\", lines.join(\"\\n\"));\n}}\n"
        );
        std::fs::write(&main, print).unwrap();
        compile(rustc().arg(&main));
        let wanted: Vec<i32> = (0..=max + 2).map(|code| firmware.output(code)).collect();
        assert!(run(&folder.join(format!("{id}_main"))) == wanted, "{id}");
    }
    std::fs::remove_dir_all(folder).unwrap();
}

#[test]
fn the_errors_told_are_those_of_all_codes() {
    for firmware in cases() {
        let all = 0..=firmware.max_code();
        let error = |code: u32| (f64::from(firmware.output(code)) - firmware.model(code)).abs();
        let worst = all.clone().map(error).fold(0.0, f64::max);
        assert_eq!(worst, firmware.worst_error());
        assert_eq!(error(firmware.worst_code()), worst);
        // It never goes back.
        let way = firmware.output(firmware.max_code()) - firmware.output(0);
        let mut steps = all.clone().skip(1);
        assert!(
            steps.all(
                |code| (firmware.output(code) - firmware.output(code - 1)) * way.signum() >= 0
            )
        );
        assert!(firmware.output(firmware.max_code() + 7) == firmware.output(firmware.max_code()));
        let text = serde_json::to_string(&firmware).unwrap();
        assert_eq!(serde_json::from_str::<Firmware>(&text).unwrap(), firmware);
    }
}

#[test]
fn more_knots_come_closer_down_to_rounding() {
    let of = |knots| {
        let spec = FirmwareSpec {
            knots,
            ..spec("roll")
        };
        Firmware::new(curve(16, true), 16, spec)
            .unwrap()
            .worst_error()
    };
    let errors = [3, 5, 9, 17, 33, 65, 129].map(of);
    // Twice the pieces, a quarter of the error, until half a step and what the slopes lose by rounding is left.
    assert!(
        errors.windows(2).all(|pair| pair[1] < pair[0].max(1.0)),
        "{errors:?}"
    );
    assert!(errors[0] > 100.0 && errors[6] < 1.5, "{errors:?}");
}

#[test]
fn zones_and_center_are_where_they_were_asked_for() {
    // One count is 0.01 deg.
    let straight = CalibrationCurve::table(&[[0.0, -10.0 * DEG], [2000.0, 10.0 * DEG]]).unwrap();
    let spec = FirmwareSpec {
        center: 1.0 * DEG,
        ends: [-9.0 * DEG, 9.5 * DEG],
        dead_zone: 0.505 * DEG,
        end_zone: 0.255 * DEG,
        ..FirmwareSpec::new("x", [-10.0 * DEG, 10.0 * DEG])
    };
    let firmware = Firmware::new(straight, 12, spec).unwrap();
    // Center at 1100; the dead zone holds 50 counts either way.
    let quiet: Vec<u32> = (0..4096)
        .filter(|code| firmware.output(*code) == 0)
        .collect();
    assert_eq!((quiet[0], quiet[quiet.len() - 1]), (1050, 1150));
    // Full from -8.745 deg, which is count 125.5, and from 9.245 deg, 1924.5.
    assert_eq!(firmware.output(125), -32767);
    assert!(firmware.output(126) > -32767);
    assert_eq!(firmware.output(1925), 32767);
    assert!(firmware.output(1924) < 32767);
    assert_eq!(firmware.reached(), [-32767, 32767]);
    // Halfway between the zones, each side by its own travel.
    assert!(
        (firmware.output(588) + 16383).abs() < 20,
        "{}",
        firmware.output(588)
    );
    assert!(firmware.worst_error() < 0.8, "{}", firmware.worst_error());
}

#[test]
fn names_become_identifiers_or_are_refused() {
    let id = |name: &str| {
        Firmware::new(curve(10, true), 10, spec(name)).map(|f| f.identifier().to_owned())
    };
    for (name, wanted) in [
        ("rudder", "axis_rudder"),
        (" Left-Brake.2 ", "axis_left_brake_2"),
        ("int", "axis_int"),
        ("fn", "axis_fn"),
        ("3", "axis_3"),
    ] {
        assert_eq!(id(name).unwrap(), wanted);
    }
    for name in [
        "",
        " ",
        "_",
        "-.-",
        "höhe",
        "a*/b",
        "a\nb",
        "a;b",
        "\u{202e}x",
    ] {
        let error = id(name).unwrap_err();
        assert!(
            matches!(error, Error::NotAChoice { .. } | Error::Count { .. }),
            "{name:?}: {error}"
        );
    }
    assert!(matches!(id(&"a".repeat(49)), Err(Error::Count { .. })));
}

#[test]
fn wrong_wishes_are_refused() {
    let make = |change: fn(&mut FirmwareSpec)| {
        let mut spec = spec("x");
        change(&mut spec);
        Firmware::new(curve(12, true), 12, spec)
    };
    let wrong: [fn(&mut FirmwareSpec); 12] = [
        |spec| spec.knots = 1,
        |spec| spec.knots = 130,
        |spec| spec.output_bits = 7,
        |spec| spec.output_bits = 17,
        |spec| spec.center = 11.0 * DEG,
        |spec| spec.center = f64::NAN,
        |spec| spec.ends = [0.1, -0.1],
        |spec| spec.ends = [f64::NEG_INFINITY, 0.1],
        |spec| spec.dead_zone = -1e-160,
        |spec| spec.dead_zone = 10.0 * DEG,
        |spec| spec.end_zone = 1e160,
        |spec| spec.end_zone = f64::NAN,
    ];
    for (i, change) in wrong.into_iter().enumerate() {
        assert!(make(change).is_err(), "{i}");
    }
    assert!(make(|spec| spec.dead_zone = -0.0).is_ok());
    assert!(matches!(
        Firmware::new(curve(12, true), 17, spec("x")),
        Err(Error::Count { .. })
    ));
    // All codes beyond the ends: there is nothing between.
    let far = CalibrationCurve::table(&[[0.0, 1.0], [4095.0, 2.0]]).unwrap();
    let none = Firmware::new(far, 12, FirmwareSpec::new("x", [-0.1, 0.1]));
    assert!(matches!(none, Err(Error::Absent { .. })), "{none:?}");
}

#[test]
fn json_and_csv_hold_what_the_sources_compute() {
    let firmware = Firmware::new(curve(10, true), 10, spec("rudder")).unwrap();
    let json: serde_json::Value = serde_json::from_str(&firmware.json().unwrap()).unwrap();
    let number = |value: &serde_json::Value| value.as_u64().unwrap();
    let (shift, full) = (number(&json["shift"]), number(&json["full_output"]));
    let above = &json["above"];
    for code in number(&above["first_code"])..=number(&above["last_code"]) {
        let distance = code - number(&above["first_code"]);
        let at = above["at"].as_array().unwrap();
        let k = (0..at.len())
            .rev()
            .find(|k| number(&at[*k]) <= distance)
            .unwrap();
        let part = |name: &str| number(&above[name][k]);
        let sum = part("base") + part("slope") * (distance - part("at")) + (1 << (shift - 1));
        assert!(sum < 1 << 32);
        assert_eq!(
            (sum >> shift).min(full) as i32,
            firmware.output(code as u32)
        );
    }
    let csv = firmware.csv();
    let lines: Vec<&str> = csv.lines().collect();
    assert_eq!((lines.len(), lines[0]), (1025, "code,position_deg,output"));
    let last: Vec<&str> = lines[1024].split(',').collect();
    assert_eq!((last[0], last[2]), ("1023", "32767"));
}
