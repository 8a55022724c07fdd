//! The source in Rust, for `no_std`.

use std::fmt::Write;

use crate::axis::bench::firmware::Firmware;
use crate::axis::bench::firmware::side::Side;

/// Numbers of a table on a line.
const ON_A_LINE: usize = 8;

impl Firmware {
    /// A function `pub fn axis_<name>_output(code: u32) -> i32` in Rust: no floating point, no heap, nothing of `std`.
    #[must_use]
    pub fn rust_source(&self) -> String {
        let id = self.identifier();
        let upper_id = id.to_uppercase();
        let mut text = String::new();
        for line in self.origin() {
            let _ = writeln!(text, "// {line}");
        }
        text += "\n";
        for (side, name) in self.sides.iter().zip(["BELOW", "ABOVE"]) {
            if let Some(side) = side {
                text += &table(&upper_id, name, side);
            }
        }
        let (full, max) = (self.full_output(), self.max_code());
        let _ = write!(
            text,
            "/// Size of the output at a distance in codes from the first code of a side, whose table holds at which\n\
             /// distance a piece begins, its base and its slope.\n\
             fn {id}_size(distance: u32, table: &[[u32; 3]]) -> i32 {{\n\
             \x20   let mut piece = [0; 3];\n\
             \x20   for next in table {{\n\
             \x20       if distance >= next[0] {{\n\
             \x20           piece = *next;\n\
             \x20       }}\n\
             \x20   }}\n\
             \x20   let [at, base, slope] = piece;\n\
             \x20   let size = (base + slope * (distance - at) + {half}) >> {shift};\n\
             \x20   if size > {full} {{ {full} }} else {{ size as i32 }}\n\
             }}\n\n\
             /// From -{full} to {full}.\n\
             pub fn {id}_output(code: u32) -> i32 {{\n\
             \x20   let code = if code > {max} {{ {max} }} else {{ code }};\n",
            half = 1_u32 << (self.shift - 1),
            shift = self.shift,
        );
        let [lower, upper] = &self.sides;
        let minus = |positive: bool| if positive == (self.sign > 0) { "" } else { "-" };
        if let Some(side) = lower {
            let sign = minus(false);
            let (first, last) = (side.first, side.last);
            // No code is below 0.
            if last > 0 {
                let _ = write!(
                    text,
                    "    if code < {last} {{\n        return {sign}{full};\n    }}\n"
                );
            }
            let _ = write!(
                text,
                "    if code <= {first} {{\n\
                 \x20       return {sign}{id}_size({first} - code, &{upper_id}_BELOW);\n\
                 \x20   }}\n",
            );
        }
        if let Some(side) = upper {
            let sign = minus(true);
            let (first, last) = (side.first, side.last);
            let _ = write!(
                text,
                "    if code > {last} {{\n        return {sign}{full};\n    }}\n\
                 \x20   if code >= {first} {{\n\
                 \x20       return {sign}{id}_size(code - {first}, &{upper_id}_ABOVE);\n\
                 \x20   }}\n",
            );
        }
        text + "    0\n}\n"
    }
}

fn table(id: &str, name: &str, side: &Side) -> String {
    let mut text = String::new();
    let knots = side.at.len();
    let _ = writeln!(text, "const {id}_{name}: [[u32; 3]; {knots}] = [");
    let rows = side.at.iter().zip(&side.base).zip(&side.slope);
    let rows: Vec<String> = rows
        .map(|((at, base), slope)| format!("[{at}, {base}, {slope}]"))
        .collect();
    for line in rows.chunks(ON_A_LINE / 2) {
        let _ = writeln!(text, "    {},", line.join(", "));
    }
    text + "];\n\n"
}
