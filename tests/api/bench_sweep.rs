//! Sweeps from the bench as they are read: what is taken, what is doubted, what is refused.

use yokewright::Error;
use yokewright::axis::{
    BenchAngleUnit, BenchFormat, BenchLog, BenchSweep, DoubtReason, SweepDirection,
};
use yokewright::units::DEG;

use crate::noise::noise;

fn read(text: &str) -> yokewright::Result<BenchLog> {
    BenchLog::read(text, &BenchFormat::new(12))
}

/// Reasons by line.
fn doubts(log: &BenchLog) -> Vec<(u64, DoubtReason)> {
    let doubts = log.doubts().iter();
    doubts.map(|doubt| (doubt.line, doubt.reason)).collect()
}

/// Angles from -10 to 10 deg in so many steps, and the same way back.
fn there_and_back(steps: i32) -> Vec<f64> {
    let up = (0..=steps).map(|i| (-10.0 + 20.0 * f64::from(i) / f64::from(steps)) * DEG);
    let up: Vec<f64> = up.collect();
    up.iter().chain(up.iter().rev()).copied().collect()
}

#[test]
fn every_way_of_writing_gives_the_same_rows() {
    let angles = [-10.0, -2.5, 3.0, 10.5].map(|angle| angle * DEG);
    let texts = [
        "angle_deg,count\n-10,100\n-2.5,1200\n3,2000\n10.5,3100\n",
        "angle_deg;count\r\n-10,0;100\r\n-2,5;1200\r\n3,0;2000\r\n10,5;3100\r\n",
        "\u{feff}Angle (°)\tADC\n-10\t100\n-2.5\t1200\n3\t2000\n10.5\t3100",
        "count,note,position deg\n100,a,-10\n1200,,-2.5\n2000,c,3\n3100,d,10.5\n",
        "\n\nangle [deg] , count \n\n -10 , 100 \n,,\n-2.5,1200\n3,2000\n\"10.5\",\"3100\"\n,\n",
    ];
    for text in texts {
        let log = read(text).unwrap_or_else(|error| panic!("{text:?}: {error}"));
        assert_eq!(log.doubts(), [], "{text:?}");
        let sweep = log.sweep(&[]).unwrap();
        assert_eq!(sweep.angle(), angles, "{text:?}");
        assert_eq!(sweep.count(), [100.0, 1200.0, 2000.0, 3100.0], "{text:?}");
    }
    let plain = "-10,100\n-2.5,1200\n3,2000\n10.5,3100\n";
    let format = BenchFormat {
        angle_unit: Some(BenchAngleUnit::Degrees),
        ..BenchFormat::new(12)
    };
    let log = BenchLog::read(plain, &format).unwrap();
    assert_eq!(log.sweep(&[]).unwrap().angle(), angles);
    assert_eq!(log.rows()[0].line, 1);
    let radians = read("angle_rad,count\n-0.1,100\n0,2000\n0.1,3900\n").unwrap();
    assert_eq!(radians.sweep(&[]).unwrap().angle(), [-0.1, 0.0, 0.1]);
}

#[test]
fn headings_may_be_named() {
    let format = BenchFormat {
        angle_heading: Some("stick".into()),
        count_heading: Some("a1".into()),
        angle_unit: Some(BenchAngleUnit::Radians),
        ..BenchFormat::new(12)
    };
    let log = BenchLog::read("a0,a1,stick\n1,2,-0.1\n3,400,0\n5,900,0.1\n", &format).unwrap();
    assert_eq!(log.sweep(&[]).unwrap().count(), [2.0, 400.0, 900.0]);
    let error = BenchLog::read("a0,a2,stick\n1,2,-0.1\n", &format).unwrap_err();
    assert!(
        error
            .to_string()
            .contains("'a1' is not known; nearest to it: a0, a2, stick")
    );
    // Three columns, and nothing says which is which.
    assert!(matches!(
        read("a,b,c\n1,2,3\n"),
        Err(Error::UnknownName { .. })
    ));
}

#[test]
fn what_cannot_be_read_is_said() {
    for text in ["", "\n\n", ",\n,,\n", "angle_deg,count\n", "\u{feff}"] {
        assert!(
            matches!(read(text), Err(Error::Count { count: 0, .. })),
            "{text:?}: {:?}",
            read(text)
        );
    }
    let error = read("-10,100\n0,2000\n10,3900\n").unwrap_err();
    assert!(
        error
            .to_string()
            .starts_with("the bench sweep has no unit of its angles; write")
    );
    let one = read("angle_deg,count\n1,100\n").unwrap();
    assert!(matches!(one.sweep(&[]), Err(Error::Count { count: 1, .. })));
    let error = BenchLog::read("angle_deg,count\n1,2\n", &BenchFormat::new(40)).unwrap_err();
    assert!(matches!(error, Error::Count { count: 40, .. }));
}

#[test]
fn exchanged_columns_are_told() {
    let format = BenchFormat {
        angle_unit: Some(BenchAngleUnit::Degrees),
        ..BenchFormat::new(12)
    };
    let text = "512,-10\n1280,-5\n2048,0\n2816,5\n3584,10\n";
    let error = BenchLog::read(text, &format).unwrap_err();
    assert!(matches!(error, Error::Exchanged { .. }), "{error}");
    let counts = [512.0, 1280.0, 2048.0, 2816.0, 3584.0];
    let angles = [-0.2, -0.1, 0.0, 0.1, 0.2];
    let error = BenchLog::of(&counts, &angles, 12).unwrap_err();
    assert!(error.to_string().contains("exchanged"), "{error}");
    assert!(BenchLog::of(&angles, &counts, 12).is_ok());
}

#[test]
fn every_doubtful_row_is_named_by_its_line() {
    let mut text = String::from("angle_deg;count\n");
    for i in 0..40 {
        let angle = -10.0 + 0.5 * f64::from(i);
        let count = 2048.0 + 150.0 * angle;
        let cell = match i {
            3 => String::new(),
            7 => "12O0".into(),
            9 => "99999".into(),
            15 => "4000".into(),
            // Three rows stand still, and one stands twice.
            20..=22 => "2048".into(),
            _ => count.to_string(),
        };
        text += &format!("{angle};{cell}\n");
        if i == 30 {
            text += &format!("{angle};{cell}\n\n");
        }
    }
    text += "10;-1\n-400;100\n";
    let log = read(&text).unwrap();
    use DoubtReason as R;
    let expected = [
        (5, R::Missing),
        (9, R::NotANumber),
        (11, R::Impossible),
        (17, R::Outlier),
        (22, R::Stuck),
        (23, R::Stuck),
        (23, R::Outlier),
        (24, R::Stuck),
        (24, R::Outlier),
        (33, R::Duplicate),
        (44, R::Impossible),
        (45, R::Impossible),
    ];
    assert_eq!(doubts(&log), expected);
    let error = log.sweep(&[R::Missing]).unwrap_err();
    let Error::UnusableRows { count, line, .. } = error else {
        panic!("{error}")
    };
    assert_eq!((count, line), (4, 9));
    let unusable = [R::Missing, R::NotANumber, R::Impossible];
    // The outlier is in it still, and turns the curve back where it stands.
    let error = log.sweep(&unusable).unwrap_err();
    assert!(
        matches!(error, Error::TurnsBack { from, .. } if (from + 2.5).abs() < 1.1),
        "{error}"
    );
    let sweep = log.sweep(&DoubtReason::ALL).unwrap();
    assert_eq!(sweep.rows(), 43 - 10);
}

#[test]
fn a_row_of_several_doubts_is_left_out_for_one() {
    let log = read("angle_deg,count\n-10,100\n,\nx,y\n0,2000\n10,3900\n").unwrap();
    use DoubtReason as R;
    let each = [(3, R::Missing), (4, R::NotANumber), (4, R::NotANumber)];
    // A line without anything in it is passed over, so that only the other is doubted.
    assert_eq!(doubts(&log), each[1..]);
    assert_eq!(log.sweep(&[R::NotANumber]).unwrap().rows(), 3);
    let mixed = read("angle_deg,count\n-10,100\n,y\n0,2000\n10,3900\n").unwrap();
    assert_eq!(doubts(&mixed), [(3, R::Missing), (3, R::NotANumber)]);
    assert_eq!(mixed.sweep(&[R::NotANumber]).unwrap().rows(), 3);
    assert_eq!(mixed.sweep(&[R::Missing]).unwrap().rows(), 3);
    assert!(mixed.sweep(&[R::Stuck]).is_err());
}

#[test]
fn a_rail_is_not_a_stuck_sensor() {
    let angles: Vec<f64> = (-20..=20).map(|i| f64::from(i) * DEG).collect();
    let clipped = angles
        .iter()
        .map(|angle| (2048.0 + 9000.0 * angle).clamp(200.0, 3900.0));
    let counts: Vec<f64> = clipped.map(f64::round).collect();
    let log = BenchLog::of(&angles, &counts, 12).unwrap();
    assert!(!log.doubts().is_empty());
    assert!(
        log.doubts()
            .iter()
            .all(|doubt| doubt.reason == DoubtReason::Clipped)
    );
    assert!(
        log.doubts()[0]
            .detail
            .contains("the count stands at 200 from -20 to -12 deg")
    );
}

#[test]
fn repeated_readings_at_held_angles_are_no_duplicates() {
    let angles: Vec<f64> = (-10..=10).flat_map(|i| [f64::from(i) * DEG; 5]).collect();
    let counts: Vec<f64> = angles
        .iter()
        .map(|angle| (2048.0 + 9000.0 * angle).round())
        .collect();
    let log = BenchLog::of(&angles, &counts, 12).unwrap();
    assert_eq!(log.doubts(), []);
    assert!(log.sweep(&[]).is_ok());
}

#[test]
fn clean_noisy_sweeps_raise_no_doubt() {
    let mut random = noise(7);
    let angles = there_and_back(500);
    let counts = angles
        .iter()
        .map(|angle| (2048.0 + 8000.0 * angle - 9000.0 * angle.powi(3) + 2.0 * random()).round());
    let counts: Vec<f64> = counts.collect();
    let log = BenchLog::of(&angles, &counts, 12).unwrap();
    assert_eq!(log.doubts(), []);
    let sweep = log.sweep(&[]).unwrap();
    // 1002 rows tell a standard deviation to about 4 % by the median; 2 counts and those of rounding.
    let noise = sweep.noise().unwrap();
    assert!((noise - 4.083_f64.sqrt()).abs() < 0.25, "{noise}");
    assert_eq!(sweep.passes(), 2);
    let direction = sweep.direction();
    assert_eq!(direction[..501], [SweepDirection::Rising; 501]);
    assert_eq!(direction[502..], [SweepDirection::Falling; 500]);
}

#[test]
fn jitter_of_the_protractor_is_no_turn() {
    let mut random = noise(3);
    let angles: Vec<f64> = there_and_back(300)
        .iter()
        .map(|a| a + 0.1 * DEG * random())
        .collect();
    let counts: Vec<f64> = angles.iter().map(|angle| 2048.0 + 8000.0 * angle).collect();
    assert_eq!(BenchSweep::new(12, angles, counts).unwrap().passes(), 2);
}

#[test]
fn lost_motion_is_measured_and_not_averaged_away() {
    let mut random = noise(11);
    let angles = there_and_back(400);
    for sense in [1.0, -1.0] {
        let lagging = angles.iter().enumerate().map(|(i, angle)| {
            // 0.1 deg of play behind the control, at 8000 counts for a radian.
            let behind = if i <= 400 { -0.05 } else { 0.05 } * DEG;
            2048.0 + sense * 8000.0 * (angle + behind) + 1.5 * random()
        });
        let sweep = BenchSweep::new(12, angles.clone(), lagging.collect()).unwrap();
        assert_eq!(sweep.is_rising(), sense > 0.0);
        let found = sweep.hysteresis().unwrap().unwrap();
        // 401 differences of readings with 1.5 counts of noise, straight between two: 0.1 counts on their mean.
        assert!((found.mean - 800.0 * DEG).abs() < 0.5, "{found:?}");
        assert!(
            (found.mean_angle - 0.1 * DEG).abs() < 0.004 * DEG,
            "{found:?}"
        );
        assert!(found.greatest >= found.mean && found.greatest < found.mean + 4.0);
    }
    let one_way = BenchSweep::new(
        12,
        angles[..401].to_vec(),
        (0..401).map(f64::from).collect(),
    );
    assert_eq!(one_way.unwrap().hysteresis().unwrap(), None);
}

#[test]
fn a_curve_that_turns_back_is_refused_where_it_does() {
    let angles: Vec<f64> = (-30..=30).map(|i| f64::from(i) * DEG).collect();
    // Least at -18 deg, greatest at 18 deg.
    let counts: Vec<f64> = angles
        .iter()
        .map(|a| 2048.0 + 1800.0 * (5.0 * a).sin())
        .collect();
    let error = BenchSweep::new(12, angles, counts).unwrap_err();
    let Error::TurnsBack { from, to, .. } = error else {
        panic!("{error}")
    };
    assert!((-30.0..=-18.0).contains(&from) && to > from, "{from} {to}");
    let text = error.to_string();
    assert!(
        text.starts_with("the counts of the bench sweep turn back between -"),
        "{text}"
    );
}

#[test]
fn nothing_that_moves_is_refused() {
    let three = [-0.1, 0.0, 0.1];
    let refused = |angles: &[f64], counts: &[f64]| {
        BenchSweep::new(12, angles.to_vec(), counts.to_vec()).unwrap_err()
    };
    let still = refused(&three, &[7.0; 3]).to_string();
    assert!(
        still.starts_with("range of the counts of the bench sweep = 0 counts"),
        "{still}"
    );
    let still = refused(&[0.1; 3], &[1.0, 2.0, 3.0]).to_string();
    assert!(
        still.starts_with("range of the angles of the bench sweep = 0 rad"),
        "{still}"
    );
    assert!(matches!(
        refused(&three, &[1.0, 2.0]),
        Error::LengthMismatch { .. }
    ));
    assert!(matches!(
        refused(&three[..2], &[1.0, 2.0]),
        Error::Count { count: 2, .. }
    ));
    for bad in [f64::NAN, f64::INFINITY, -1.0, 4096.0, 1e160, -1e-160] {
        let error = refused(&three, &[1.0, bad, 3.0]);
        assert!(
            matches!(error, Error::NotFinite { .. } | Error::OutOfRange { .. }),
            "{bad}"
        );
        let error = refused(&[-0.1, bad.max(10.0), 0.1], &[1.0, 2.0, 3.0]);
        assert!(
            matches!(error, Error::NotFinite { .. } | Error::OutOfRange { .. }),
            "{bad}"
        );
    }
    assert!(BenchSweep::new(12, three.to_vec(), vec![0.0, -0.0, 4095.0]).is_ok());
}

#[test]
fn hostile_arrays_are_doubted_not_repaired() {
    let angles = [-0.2, f64::NAN, f64::INFINITY, 1e160, 0.0, 0.1, 0.2];
    let counts = [0.0, 1.0, 2.0, 3.0, f64::NEG_INFINITY, 2000.0, 4095.0];
    let log = BenchLog::of(&angles, &counts, 12).unwrap();
    use DoubtReason as R;
    let found = [
        (2, R::Missing),
        (3, R::Impossible),
        (4, R::Impossible),
        (5, R::Impossible),
    ];
    assert_eq!(doubts(&log), found);
    let sweep = log.sweep(&[R::Missing, R::Impossible]).unwrap();
    assert_eq!(sweep.count(), [0.0, 2000.0, 4095.0]);
}

#[test]
fn a_million_rows_are_read_in_linear_work() {
    // Each row with a doubt of its own: whatever looked back over the text for a line would not end today.
    let mut text = String::from("angle_deg,count\n");
    for i in 0..1_000_000 {
        text += if i % 2 == 0 { "1.5,x\n" } else { "\n,2000\n" };
    }
    let log = read(&text).unwrap();
    assert_eq!(log.rows().len(), 1_000_000);
    assert_eq!(log.doubts().len(), 1_000_000);
    assert_eq!(log.doubts().last().unwrap().line, 1 + 1_500_000);
}

#[test]
fn logs_and_sweeps_are_stored_and_checked_when_read() {
    let log = read("angle_deg,count\n-10,100\n-5,x\n0,2000\n10,3900\n").unwrap();
    let text = serde_json::to_string(&log).unwrap();
    assert_eq!(serde_json::from_str::<BenchLog>(&text).unwrap(), log);
    let sweep = log.sweep(&[DoubtReason::NotANumber]).unwrap();
    let text = serde_json::to_string(&sweep).unwrap();
    assert_eq!(serde_json::from_str::<BenchSweep>(&text).unwrap(), sweep);
    let broken = text.replace("3900", "5000");
    assert!(serde_json::from_str::<BenchSweep>(&broken).is_err());
}
