//! Several controls side by side: what each way to read one gives, and what it costs.

use std::fmt::{self, Write as _};

use serde::{Deserialize, Serialize};

use crate::axis::budget::{CalibrationMethod, ErrorBudget, ErrorBudgetSpec};
use crate::axis::evaluated::{EvaluatedAxis, POINTS};
use crate::axis::{Axis, AxisFigures};
use crate::error::{Result, counted, within};
use crate::observer;
use crate::stored::checked_when_read;
use crate::units::DEG;

/// Most controls of one table.
const CONTROLS: [usize; 2] = [1, 64];
/// Most letters of a name.
const NAME: [usize; 2] = [1, 60];
/// Most that a control may cost, in any currency.
const MAX_PRICE: f64 = 1e9;

/// A control to [`compare`].
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ComparedAxis {
    /// What the table calls it, 1 to 60 letters.
    pub name: String,
    /// The control.
    pub axis: Axis,
    /// What its parts cost, in whatever currency all are given; none if nobody asks.
    #[serde(default)]
    pub price: Option<f64>,
    /// Change of its reading over the whole travel of the other axis, counts; none for that of the budget asked for.
    #[serde(default)]
    pub crosstalk: Option<f64>,
}

impl ComparedAxis {
    /// A control without price.
    #[must_use]
    pub fn new(name: impl Into<String>, axis: Axis) -> Self {
        Self {
            name: name.into(),
            axis,
            price: None,
            crosstalk: None,
        }
    }
}

checked_when_read! {
    /// What a [`Comparison`] says of one control.
    #[derive(Debug, Clone, PartialEq, Serialize)]
    #[non_exhaustive]
    pub struct ComparedFigures {
        /// What it is called.
        pub name: String,
        /// Its figures over the throw.
        pub figures: AxisFigures,
        /// Greatest departure of the position read by the design alone, through the center with the gain there, as a
        /// share of the throw; `None` where the reading tells no position.
        pub departure_uncalibrated: Option<f64>,
        /// The same with the calibration that the budget asks for.
        pub departure_calibrated: Option<f64>,
        /// Its errors; `None` where the reading turns back or stands still, so that it tells no position.
        pub budget: Option<ErrorBudget>,
        /// Change of its reading over the whole travel of the other axis, counts, if it was given.
        pub crosstalk: Option<f64>,
        /// What it costs, if that was given.
        pub price: Option<f64>,
    }
}

impl ComparedFigures {
    fn check(&self) -> Result<()> {
        counted("letters of a name", self.name.chars().count(), NAME)?;
        for share in [self.departure_uncalibrated, self.departure_calibrated] {
            within(
                "departure",
                share.unwrap_or(0.0),
                0.0,
                f64::MAX,
                "of the throw",
            )?;
        }
        within(
            "crosstalk",
            self.crosstalk.unwrap_or(0.0),
            0.0,
            f64::MAX,
            "counts",
        )?;
        check_price(self.price)
    }

    /// `asked`: the control without its axis, which has been evaluated.
    fn new(asked: &Compared<'_>, of: &EvaluatedAxis<'_>, spec: &ErrorBudgetSpec) -> Result<Self> {
        let figures = of.figures();
        let [lower, upper] = of.axis().throw();
        let spec = ErrorBudgetSpec {
            crosstalk: asked.crosstalk.unwrap_or(spec.crosstalk),
            ..spec.clone()
        };
        let tells = figures.step_quantization_worst().is_some();
        let centered = figures.step_quantization_center().is_some();
        let share = |told: bool, method: CalibrationMethod| -> Result<Option<f64>> {
            if !told {
                return Ok(None);
            }
            let departure = of.error_by(&of.calibrated(method)?)?;
            Ok(Some(departure / (upper - lower)))
        };
        Ok(Self {
            name: asked.name.to_owned(),
            departure_uncalibrated: share(tells && centered, CalibrationMethod::None)?,
            departure_calibrated: share(tells, spec.calibration)?,
            budget: tells.then(|| of.error_budget(&spec)).transpose()?,
            figures: figures.clone(),
            crosstalk: asked.crosstalk,
            price: asked.price,
        })
    }
}

/// A control of a table, but for its axis.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Compared<'a> {
    pub(crate) name: &'a str,
    pub(crate) price: Option<f64>,
    pub(crate) crosstalk: Option<f64>,
}

impl Compared<'_> {
    fn check(&self) -> Result<()> {
        counted("letters of a name", self.name.chars().count(), NAME)?;
        check_price(self.price)
    }
}

fn check_price(price: Option<f64>) -> Result<()> {
    within("price", price.unwrap_or(0.0), 0.0, MAX_PRICE, "(no unit)")?;
    Ok(())
}

checked_when_read! {
    /// Controls side by side, in the order given. `Display` writes the table, a column for each.
    ///
    /// # Example
    /// ```
    /// use yokewright::axis::{Axis, AxisSpec, ComparedAxis, ErrorBudgetSpec, compare};
    /// use yokewright::hall::{Converter, Potentiometer, PotentiometerSpec, Rounding};
    /// use yokewright::units::DEG;
    ///
    /// let pot = Potentiometer::new(PotentiometerSpec::new(300.0 * DEG, 5.0))?;
    /// let converter = Converter::new(10, 5.0, Rounding::Nearest, 0.0)?;
    /// let axis = Axis::new(AxisSpec::on_shaft([-6.0 * DEG, 6.0 * DEG], pot, converter))?;
    /// let table = compare(&[ComparedAxis::new("potentiometer", axis)], &ErrorBudgetSpec::default())?;
    /// // Twelve of three hundred degrees: 4 % of 1023 counts.
    /// assert_eq!(table.controls()[0].figures.counts(), 40);
    /// assert!(table.to_string().contains("range used, %"));
    /// # Ok::<(), yokewright::Error>(())
    /// ```
    #[derive(Debug, Clone, PartialEq, Serialize)]
    pub struct Comparison {
        controls: Vec<ComparedFigures>,
    }
}

impl Comparison {
    fn check(&self) -> Result<()> {
        counted("controls to compare", self.controls.len(), CONTROLS)?;
        Ok(())
    }

    /// Tables of several controls as one, in the order given: each may have been asked for another error budget.
    ///
    /// # Errors
    /// [`Error::Count`](crate::Error::Count) unless there are 1 to 64 controls in all.
    pub(crate) fn joined(tables: impl IntoIterator<Item = Self>) -> Result<Self> {
        let controls = tables.into_iter().flat_map(|table| table.controls);
        let table = Self {
            controls: controls.collect(),
        };
        table.check().map(|()| table)
    }

    /// The table of one control that has been evaluated.
    ///
    /// # Errors
    /// As [`compare`].
    pub(crate) fn of_one(
        asked: &Compared<'_>,
        evaluated: &EvaluatedAxis<'_>,
        spec: &ErrorBudgetSpec,
    ) -> Result<Self> {
        asked.check()?;
        Ok(Self {
            controls: vec![ComparedFigures::new(asked, evaluated, spec)?],
        })
    }

    /// What is said of each, in the order given.
    #[must_use]
    pub fn controls(&self) -> &[ComparedFigures] {
        &self.controls
    }
}

/// Sets controls side by side: one table of counts, steps, departures, drift, errors and price.
///
/// # Errors
/// [`Error::Count`](crate::Error::Count) unless there are 1 to 64, each with a name of 1 to 60 letters;
/// [`Error::OutOfRange`](crate::Error::OutOfRange) for a price; as [`Axis::figures`] and [`Axis::error_budget`], but
/// for a reading that turns back or stands still: its control then has no budget.
pub fn compare(controls: &[ComparedAxis], spec: &ErrorBudgetSpec) -> Result<Comparison> {
    counted("controls to compare", controls.len(), CONTROLS)?;
    let asked = controls.iter().map(|control| Compared {
        name: &control.name,
        price: control.price,
        crosstalk: control.crosstalk,
    });
    let asked: Vec<Compared<'_>> = asked.collect();
    asked.iter().try_for_each(Compared::check)?;
    let figures = controls.iter().zip(&asked).map(|(control, asked)| {
        observer::check()?;
        let evaluated = EvaluatedAxis::new(&control.axis, POINTS)?;
        ComparedFigures::new(asked, &evaluated, spec)
    });
    Ok(Comparison {
        controls: figures.collect::<Result<_>>()?,
    })
}

/// What of a control stands in a row.
type Cell = fn(&ComparedFigures) -> Option<f64>;

/// The rows: what, with its unit, digits behind the point, the value.
const ROWS: &[(&str, usize, Cell)] = &[
    ("counts over the throw", 0, |c| {
        Some(c.figures.counts() as f64)
    }),
    ("range used, %", 1, |c| Some(100.0 * c.figures.range_used())),
    ("output span, V", 3, |c| c.figures.volts_span()),
    ("clipped part of the throw, %", 1, |c| {
        Some(100.0 * c.figures.clipped_share())
    }),
    ("step of one count, center, deg", 4, |c| {
        in_degrees(c.figures.step_quantization_center())
    }),
    ("step of one count, worst, deg", 4, |c| {
        in_degrees(c.figures.step_quantization_worst())
    }),
    ("rms noise, center, deg", 4, |c| {
        in_degrees(c.figures.step_noise_center())
    }),
    ("rms noise, worst, deg", 4, |c| {
        in_degrees(c.figures.step_noise_worst())
    }),
    ("effective bits", 2, |c| c.figures.effective_bits()),
    ("independent linearity, % of span", 3, |c| {
        Some(100.0 * c.figures.linearity()?.independent())
    }),
    ("departure uncalibrated, % of travel", 3, |c| {
        Some(100.0 * c.departure_uncalibrated?)
    }),
    ("departure calibrated, % of travel", 3, |c| {
        Some(100.0 * c.departure_calibrated?)
    }),
    ("drift over temperatures, deg", 4, |c| {
        in_degrees(Some(c.budget.as_ref()?.drift()))
    }),
    ("drift over temperatures, % of travel", 3, |c| {
        let budget = c.budget.as_ref()?;
        Some(100.0 * budget.share_of_travel(budget.drift()))
    }),
    ("crosstalk, counts", 1, |c| c.crosstalk),
    ("error, root sum square, deg", 4, |c| {
        in_degrees(Some(c.budget.as_ref()?.root_sum_square()))
    }),
    ("error, worst case, deg", 4, |c| {
        in_degrees(Some(c.budget.as_ref()?.worst_case()))
    }),
    ("price", 2, |c| c.price),
];

fn in_degrees(angle: Option<f64>) -> Option<f64> {
    angle.map(|angle| angle / DEG)
}

impl fmt::Display for Comparison {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let mut columns: Vec<Vec<String>> = vec![
            std::iter::once(String::new())
                .chain(ROWS.iter().map(|row| row.0.to_owned()))
                .collect(),
        ];
        for control in &self.controls {
            let cells = ROWS.iter().map(|(_, digits, cell)| {
                cell(control).map_or("-".to_owned(), |value| format!("{value:.digits$}"))
            });
            columns.push(std::iter::once(control.name.clone()).chain(cells).collect());
        }
        let wide = |column: &Vec<String>| column.iter().map(|cell| cell.chars().count()).max();
        let widths: Vec<usize> = columns.iter().map(|c| wide(c).unwrap_or(0)).collect();
        for row in 0..=ROWS.len() {
            let mut line = String::new();
            for (i, (column, &width)) in columns.iter().zip(&widths).enumerate() {
                if i == 0 {
                    write!(line, "{:<width$}", column[row])?;
                } else {
                    write!(line, "  {:>width$}", column[row])?;
                }
            }
            writeln!(f, "{}", line.trim_end())?;
        }
        Ok(())
    }
}
