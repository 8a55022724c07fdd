//! Latency against published values and facts of the trade.

use yokewright::axis::{CameraRuns, Delay, HidUsage, UsbSpeed, hid_logical_range, student_t};
use yokewright::units::MS;

use crate::cases::{Case, Cases};

const ROWS: &str = include_str!("latency.toml");

fn rows() -> Cases {
    Cases::parse(ROWS)
}

fn word<'a>(case: &'a Case, key: &str) -> &'a str {
    case.inputs[key].as_str().unwrap()
}

#[test]
fn every_row_is_used() {
    rows().assert_all_used_in(include_str!("latency.rs"));
}

#[test]
fn intervals_of_polls() {
    let rows = rows();
    for id in ["usb_low_interrupt", "usb_full_interrupt"] {
        let case = rows.get(id);
        let speed: UsbSpeed = word(case, "speed").parse().unwrap();
        let [least, most] = speed
            .intervals()
            .map(|count| speed.polling_interval(count).unwrap() / MS);
        case.check(&[("min_ms", least), ("max_ms", most)]);
    }
    for id in ["usb_high_4", "usb_high_8", "usb_high_16"] {
        let case = rows.get(id);
        let interval = UsbSpeed::High.polling_interval(case.input("bInterval") as usize);
        case.check(&[("interval_ms", interval.unwrap() / MS)]);
    }
}

#[test]
fn waits_for_a_display() {
    let rows = rows();
    for id in ["display_wait_60", "display_wait_144", "display_wait_240"] {
        let case = rows.get(id);
        let wait = Delay::frame_wait(case.input("rate_Hz"), 0.0).unwrap();
        case.check(&[
            ("mean_ms", wait.mean() / MS),
            ("sd_ms", wait.standard_deviation() / MS),
            ("max_ms", wait.range()[1] / MS),
        ]);
    }
}

#[test]
fn frames_of_a_camera() {
    let rows = rows();
    for id in ["camera_30", "camera_120", "camera_240", "camera_960"] {
        let case = rows.get(id);
        let runs = CameraRuns::new(case.input("rate_fps"), vec![10]).unwrap();
        case.check(&[
            ("sd_event_ms", runs.event_deviation() / MS),
            ("sd_interval_ms", runs.quantization_deviation() / MS),
            ("max_interval_error_ms", runs.quantization_limit() / MS),
        ]);
    }
}

#[test]
fn students_t() {
    let rows = rows();
    for id in [
        "t_975_df1",
        "t_975_df2",
        "t_975_df3",
        "t_975_df4",
        "t_975_df5",
        "t_975_df6",
        "t_975_df7",
        "t_975_df8",
        "t_975_df9",
        "t_975_df10",
        "t_975_df19",
        "t_975_df29",
        "t_975_df100",
        "t_995_df1",
        "t_995_df2",
        "t_995_df3",
        "t_995_df9",
        "t_995_df19",
        "t_995_df29",
    ] {
        let case = rows.get(id);
        let t = student_t(case.input("df"), 2.0 * case.input("probability") - 1.0);
        case.check(&[("t", t.unwrap())]);
    }
}

#[test]
fn interval_of_five_runs() {
    let rows = rows();
    let case = rows.get("ci_n5");
    // Whole frames about a mean, with a standard deviation of sqrt(10 / 4) steps.
    let step = case.input("sd_ms") / 2.5_f64.sqrt();
    let runs = CameraRuns::new(100.0 / (step * MS), vec![1000, 1100, 1200, 1300, 1400]).unwrap();
    assert_eq!(runs.count() as f64, case.input("n"));
    let [low, high] = runs.mean_interval(0.95).unwrap();
    case.check(&[("half_width_ms", 0.5 * (high - low) / MS)]);
}

#[test]
fn usages() {
    let rows = rows();
    for id in [
        "hid_joystick",
        "hid_gamepad",
        "hid_multi_axis_controller",
        "hid_x",
        "hid_y",
        "hid_z",
        "hid_rx",
        "hid_ry",
        "hid_rz",
        "hid_slider",
        "hid_dial",
        "hid_wheel",
        "hid_hat_switch",
        "hid_flight_simulation_device",
        "hid_flight_control_stick",
        "hid_flight_stick",
        "hid_cyclic_control",
        "hid_flight_yoke",
        "hid_aileron",
        "hid_aileron_trim",
        "hid_anti_torque_control",
        "hid_collective_control",
        "hid_dive_brake",
        "hid_elevator",
        "hid_elevator_trim",
        "hid_rudder",
        "hid_throttle",
        "hid_landing_gear",
        "hid_toe_brake",
        "hid_trigger",
        "hid_wing_flaps",
        "hid_accelerator",
        "hid_brake",
        "hid_clutch",
        "hid_shifter",
        "hid_steering",
    ] {
        let case = rows.get(id);
        let usage: HidUsage = word(case, "name").parse().unwrap();
        case.check(&[
            ("usage_page", f64::from(usage.page())),
            ("usage_id", f64::from(usage.id())),
        ]);
    }
    assert_eq!(HidUsage::ALL.len(), 36);
}

#[test]
fn logical_range_of_a_field() {
    let rows = rows();
    let case = rows.get("hid_logical_16");
    let bits = case.input("bits") as usize;
    let [signed, unsigned] = [true, false].map(|signed| hid_logical_range(bits, signed).unwrap());
    case.check(&[
        ("signed_min", signed[0] as f64),
        ("signed_max", signed[1] as f64),
        ("unsigned_max", unsigned[1] as f64),
        (
            "counts_12bit",
            (hid_logical_range(12, false).unwrap()[1] + 1) as f64,
        ),
    ]);
}
