//! The source in C: C99, `<stdint.h>` and nothing else.

use std::fmt::Write;

use crate::axis::bench::firmware::Firmware;
use crate::axis::bench::firmware::side::Side;

/// Numbers of a table on a line.
const ON_A_LINE: usize = 6;

impl Firmware {
    /// A function `int32_t axis_<name>_output(uint32_t code)` in C99: no floating point, no heap, no library but
    /// `<stdint.h>`.
    #[must_use]
    pub fn c_source(&self) -> String {
        let id = self.identifier();
        let mut text = String::from("/*\n");
        for line in self.origin() {
            let _ = writeln!(text, " * {line}");
        }
        text += " */\n#include <stdint.h>\n\n";
        for (side, name) in self.sides.iter().zip(["below", "above"]) {
            if let Some(side) = side {
                text += &tables(id, name, side);
            }
        }
        let _ = write!(
            text,
            "/* Size of the output at a distance in codes from the first code of a side. */\n\
             static uint32_t {id}_size(uint32_t distance, const uint32_t *at, const uint32_t *base,\n\
             {pad}const uint32_t *slope, uint32_t knots)\n\
             {{\n\
             \x20   uint32_t k = 0;\n\
             \x20   uint32_t size;\n\
             \n\
             \x20   while (k + 1 < knots && distance >= at[k + 1]) {{\n\
             \x20       k++;\n\
             \x20   }}\n\
             \x20   size = (base[k] + slope[k] * (distance - at[k]) + UINT32_C({half})) >> {shift};\n\
             \x20   return size > UINT32_C({full}) ? UINT32_C({full}) : size;\n\
             }}\n\n\
             int32_t {id}_output(uint32_t code);\n\n\
             /* From -{full} to {full}. */\n\
             int32_t {id}_output(uint32_t code)\n\
             {{\n\
             \x20   if (code > UINT32_C({max})) {{\n\
             \x20       code = UINT32_C({max});\n\
             \x20   }}\n",
            pad = " ".repeat(id.len() + 22),
            half = 1_u32 << (self.shift - 1),
            shift = self.shift,
            full = self.full_output(),
            max = self.max_code(),
        );
        let [lower, upper] = &self.sides;
        let minus = |positive: bool| if positive == (self.sign > 0) { "" } else { "-" };
        if let Some(side) = lower {
            let sign = minus(false);
            let _ = write!(
                text,
                "    if (code < UINT32_C({last})) {{\n\
                 \x20       return {sign}INT32_C({full});\n\
                 \x20   }}\n\
                 \x20   if (code <= UINT32_C({first})) {{\n\
                 \x20       return {sign}(int32_t){call};\n\
                 \x20   }}\n",
                last = side.last,
                first = side.first,
                full = self.full_output(),
                call = call(
                    id,
                    "below",
                    &format!("UINT32_C({}) - code", side.first),
                    side
                ),
            );
        }
        if let Some(side) = upper {
            let sign = minus(true);
            let _ = write!(
                text,
                "    if (code > UINT32_C({last})) {{\n\
                 \x20       return {sign}INT32_C({full});\n\
                 \x20   }}\n\
                 \x20   if (code >= UINT32_C({first})) {{\n\
                 \x20       return {sign}(int32_t){call};\n\
                 \x20   }}\n",
                last = side.last,
                first = side.first,
                full = self.full_output(),
                call = call(
                    id,
                    "above",
                    &format!("code - UINT32_C({})", side.first),
                    side
                ),
            );
        }
        text + "    return 0;\n}\n"
    }
}

fn call(id: &str, name: &str, distance: &str, side: &Side) -> String {
    let tables = ["at", "base", "slope"].map(|table| format!("{id}_{name}_{table}"));
    let knots = side.at.len();
    format!(
        "{id}_size({distance}, {}, UINT32_C({knots}))",
        tables.join(", ")
    )
}

fn tables(id: &str, name: &str, side: &Side) -> String {
    let mut text = String::new();
    for (table, values) in [
        ("at", &side.at),
        ("base", &side.base),
        ("slope", &side.slope),
    ] {
        let knots = values.len();
        let _ = writeln!(
            text,
            "static const uint32_t {id}_{name}_{table}[{knots}] = {{"
        );
        for line in values.chunks(ON_A_LINE) {
            let numbers: Vec<String> = line.iter().map(|v| format!("UINT32_C({v})")).collect();
            let _ = writeln!(text, "    {},", numbers.join(", "));
        }
        text += "};\n";
    }
    text + "\n"
}
