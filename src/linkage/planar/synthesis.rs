//! Link lengths of a four-bar for wanted pairs of angles: exactly at three points, or as nearly as limits allow over a
//! whole range.

use std::f64::consts::{FRAC_PI_2, PI, TAU};

use nalgebra::{Matrix3, Vector3};
use serde::{Deserialize, Serialize};

use crate::error::{Error, Result, ascending, counted, within};
use crate::linkage::{
    Branch, CenteredFourBar, FourBar, check_angle, check_length, requirement, wrapped,
};
use crate::numeric::least_squares::{LeastSquares, Parameter, spread_place};
use crate::numeric::spacing::spaced;
use crate::parallel;
use crate::search::{SearchResult, Shortfall, Shortfalls, Tally};

/// Most points, pairs and starts that make sense.
const MOST: usize = 1000;

/// A four-bar that passes through three wanted pairs of angles.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[non_exhaustive]
pub struct ThreePointFourBar {
    /// The lengths.
    pub linkage: FourBar,
    /// What to add to a wanted crank angle to get that of the linkage, rad: zero, or pi where the equation gives the
    /// crank a negative length, which is the same crank drawn the other way.
    pub crank_offset: f64,
    /// The same for the rocker.
    pub rocker_offset: f64,
    /// On which branch each of the three pairs lies.
    pub branches: [Branch; 3],
    /// Whether the linkage gets from the first pair to the last without being taken apart, all on one branch. If not,
    /// it is of no use.
    pub connected: bool,
}

/// What a four-bar should do; [`search_four_bars`] finds the lengths.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct FourBarDemand {
    /// Turns of the crank from its center, rad, ascending: 4 to 1000.
    pub crank_turns: Vec<f64>,
    /// The turn of the rocker wanted at each, rad, counterclockwise like the crank's. From any zero: the rocker may be
    /// clocked on its shaft.
    pub rocker_turns: Vec<f64>,
    /// Distance of the pivots, m.
    pub ground: f64,
    /// The shortest and the longest that crank, coupler and rocker may be, m.
    pub lengths: [f64; 2],
    /// The least transmission angle allowed over the range of the crank, rad, 0 to 85 degrees; see
    /// [`TRANSMISSION_LIMIT`](crate::linkage::TRANSMISSION_LIMIT).
    pub min_transmission_angle: f64,
    /// How many starts to search from, 1 to 1000; 16 are enough as a rule.
    pub starts: usize,
    /// The same seed gives the same starts.
    pub seed: u64,
}

/// A four-bar for a [`FourBarDemand`].
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[non_exhaustive]
pub struct FourBarFit {
    /// The linkage with its branch and the angle of its centered crank.
    pub built: CenteredFourBar,
    /// Angle of the rocker, from the ground line, that serves as zero of its turns, rad.
    pub rocker_zero: f64,
    /// Root of the mean square of rocker turn less wanted turn, rad.
    pub rms_error: f64,
    /// The largest such difference, rad.
    pub largest_error: f64,
    /// The least transmission angle over the range of the crank, rad.
    pub min_transmission_angle: f64,
    /// `rms_error` of the best linkage through three points of the demand that keeps its limits, if any was found, rad.
    /// The fit is never worse.
    pub three_point_rms_error: Option<f64>,
}

/// The middles of `count` equal sectors of a half circle over a range, where a function is best met exactly to be off
/// little elsewhere.
///
/// x_j = (from + to) / 2 - (to - from) / 2 cos((2 j - 1) pi / (2 count)).
///
/// # Errors
/// [`Error::NotAscending`] unless `from` is below `to`, [`Error::Count`] unless there are 1 to 1000 points.
///
/// # References
/// F. Freudenstein, Trans. ASME 77 (1955) 853; Uicker, Pennock, Shigley, *Theory of Machines and Mechanisms*, Oxford.
pub fn chebyshev_spacing(from: f64, to: f64, count: usize) -> Result<Vec<f64>> {
    ascending("range to be spaced", [from, to], "(its own unit)")?;
    counted("points to be spaced", count, [1, MOST])?;
    // Halved first: the sum of two great numbers may be beyond any.
    let (middle, half) = (0.5 * from + 0.5 * to, 0.5 * to - 0.5 * from);
    let sector = FRAC_PI_2 / count as f64;
    Ok((0..count)
        .map(|j| middle - half * ((2 * j + 1) as f64 * sector).cos())
        .collect())
}

/// The link ratios K1, K2, K3 of Freudenstein's equation K1 cos(rocker) - K2 cos(crank) + K3 = cos(crank - rocker)
/// through three pairs of angles (rad).
///
/// # Errors
/// [`Error::OutOfRange`] for an angle beyond two turns; [`Error::NoLinkage`] if the pairs do not determine the ratios,
/// as equal ones do not.
///
/// # References
/// F. Freudenstein, Trans. ASME 77 (1955) 853.
pub fn freudenstein_ratios(crank_angles: [f64; 3], rocker_angles: [f64; 3]) -> Result<[f64; 3]> {
    /// Determinant, of numbers up to 1, below which the digits of the ratios are gone.
    const LEAST: f64 = 1e-10;
    for angle in crank_angles {
        check_angle("crank angle", angle)?;
    }
    for angle in rocker_angles {
        check_angle("rocker angle", angle)?;
    }
    let matrix = Matrix3::from_fn(|i, j| match j {
        0 => rocker_angles[i].cos(),
        1 => -crank_angles[i].cos(),
        _ => 1.0,
    });
    let right = Vector3::from_fn(|i, _| (crank_angles[i] - rocker_angles[i]).cos());
    let determinant = matrix.determinant().abs();
    let solved = matrix.lu().solve(&right).filter(|_| determinant >= LEAST);
    solved.map(Into::into).ok_or(Error::NoLinkage {
        quantity: "determinant of the three pairs of angles",
        value: determinant,
        limit: LEAST,
        unit: "(no unit)",
    })
}

/// The four-bar on a ground link of the given length (m) that passes through three pairs of crank and rocker angles
/// (rad, from the ground line).
///
/// The equation knows neither branch nor way between the points: look at [`ThreePointFourBar::connected`].
///
/// # Errors
/// As [`freudenstein_ratios`] and [`FourBar::new`], and [`Error::NoLinkage`] if the coupler would have to be imaginary.
///
/// # Example
/// ```
/// use yokewright::linkage::three_point_four_bar;
/// use yokewright::units::{DEG, MM};
///
/// // The trim wheel of the club's trainer: 40, 70, 100 degrees shall turn a sensor to 60, 85, 115.
/// let [crank, rocker] = [[40.0, 70.0, 100.0], [60.0, 85.0, 115.0]].map(|pair| pair.map(|angle| angle * DEG));
/// let found = three_point_four_bar(crank, rocker, 80.0 * MM)?;
/// let pose = found.linkage.pose(crank[1] + found.crank_offset, found.branches[1])?;
/// assert!((pose.rocker_angle - found.rocker_offset - rocker[1]).sin().abs() < 1e-12);
/// # Ok::<(), yokewright::Error>(())
/// ```
pub fn three_point_four_bar(
    crank_angles: [f64; 3],
    rocker_angles: [f64; 3],
    ground: f64,
) -> Result<ThreePointFourBar> {
    check_length("ground link", ground)?;
    let [k1, k2, k3] = freudenstein_ratios(crank_angles, rocker_angles)?;
    let (a, c) = (ground / k1, ground / k2);
    let square = a * a + c * c + ground * ground - 2.0 * a * c * k3;
    if square <= 0.0 {
        return Err(Error::NoLinkage {
            quantity: "square of the coupler's length",
            value: square,
            limit: 0.0,
            unit: "m^2",
        });
    }
    let linkage = FourBar::new(ground, a.abs(), square.sqrt(), c.abs())?;
    let turned = |length: f64| if length < 0.0 { PI } else { 0.0 };
    let (crank_offset, rocker_offset) = (turned(a), turned(c));
    let branches = [0, 1, 2].map(|i| {
        let off = |branch| {
            let pose = linkage.pose(wrapped(crank_angles[i] + crank_offset), branch);
            let rocker = rocker_angles[i] + rocker_offset;
            pose.map_or(f64::INFINITY, |pose| {
                wrapped(pose.rocker_angle - rocker).abs()
            })
        };
        if off(Branch::Open) <= off(Branch::Crossed) {
            Branch::Open
        } else {
            Branch::Crossed
        }
    });
    let least = crank_angles.into_iter().fold(f64::INFINITY, f64::min);
    let most = crank_angles.into_iter().fold(f64::NEG_INFINITY, f64::max);
    let start = wrapped(least + crank_offset);
    let passes = linkage
        .min_transmission_angle(start, start + (most - least))
        .is_ok();
    Ok(ThreePointFourBar {
        linkage,
        crank_offset,
        rocker_offset,
        branches,
        connected: passes && branches[0] == branches[1] && branches[1] == branches[2],
    })
}

/// The lengths, the branch and the centered crank angle with which a four-bar comes nearest to a demand, in the
/// least-squares sense, within its limits.
///
/// Levenberg-Marquardt from seeded starts on both branches, from linkages through three points of the demand, and from
/// the linkages that suit Freudenstein's equation best over all pairs, one for each of a grid of directions of crank
/// and rocker; lengths are kept in their bounds by a smooth transform, transmission angle and closing by penalties, and
/// what is returned has been checked against the limits themselves. Found is the best of all, or nothing; it is not
/// proven to be the best there is: more starts may find a better one. Counted is every linkage that was checked.
///
/// # Errors
/// [`Error::LengthMismatch`], [`Error::Count`], [`Error::NotAscending`], [`Error::OutOfRange`] for values that
/// [`FourBarDemand`] does not allow. That nothing within the limits was found is no error here; [`SearchResult::best`]
/// makes it one.
///
/// # Example
/// ```
/// use yokewright::linkage::{FourBarDemand, search_four_bars};
/// use yokewright::units::{DEG, MM};
///
/// // A pedal crank that turns 20 degrees either way shall turn a sensor twice as far.
/// let demand = FourBarDemand::ratio(2.0, -20.0 * DEG, 20.0 * DEG, 100.0 * MM)?;
/// let four_bars = search_four_bars(&FourBarDemand { starts: 4, ..demand })?;
/// let fit = four_bars.best()?;
/// assert!(fit.largest_error < 0.1 * DEG);
/// assert!(fit.min_transmission_angle >= 40.0 * DEG);
/// # Ok::<(), yokewright::Error>(())
/// ```
pub fn search_four_bars(demand: &FourBarDemand) -> Result<SearchResult<FourBarFit>> {
    let task = Task::new(demand)?;
    let closed_forms = task.closed_form_starts()?;
    let numbers: Vec<_> = (0..demand.starts).collect();
    let trials = parallel::map(&numbers, |&number| {
        task.try_start(number, closed_forms.get(number))
    })?;
    let trials = trials.into_iter().collect::<Result<Vec<Trial>>>()?;
    let better = |one: &&FourBarFit, other: &&FourBarFit| one.rms_error.total_cmp(&other.rms_error);
    let three_points = trials.iter().flat_map(|trial| &trial.three_point);
    let three_point_rms_error = three_points.clone().min_by(better).map(|fit| fit.rms_error);
    let all = trials.iter().flat_map(|trial| &trial.found);
    let best = all.chain(three_points).min_by(better);
    let best = best.map(|fit| FourBarFit {
        three_point_rms_error,
        ..*fit
    });
    let found = best.map(|fit| (fit.rms_error, fit)).into_iter().collect();
    let mut tally = Tally::default();
    for trial in trials {
        tally.add(trial.tally);
    }
    Ok(tally.result("four-bars", found))
}

impl FourBarDemand {
    /// Wanted pairs of turns (rad) on a ground link of the given length (m), with the usual limits: lengths from 0.1 to
    /// 3 times the ground, a transmission angle of 40 degrees at least, 16 starts. [`search_four_bars`] checks the
    /// turns.
    ///
    /// # Errors
    /// [`Error::OutOfRange`] for a ground link beyond 0.1 mm to 3 m.
    pub fn new(crank_turns: Vec<f64>, rocker_turns: Vec<f64>, ground: f64) -> Result<Self> {
        check_length("ground link", ground)?;
        let [least, most] = crate::linkage::LENGTH_RANGE;
        Ok(Self {
            crank_turns,
            rocker_turns,
            ground,
            lengths: [(0.1 * ground).max(least), (3.0 * ground).min(most)],
            min_transmission_angle: crate::linkage::TRANSMISSION_LIMIT,
            starts: 16,
            seed: 0,
        })
    }

    /// A constant ratio of rocker to crank turn between two turns of the crank (rad), with the limits of
    /// [`FourBarDemand::new`].
    ///
    /// # Errors
    /// [`Error::OutOfRange`] for a ratio beyond 20 or a ground link beyond 0.1 mm to 3 m, [`Error::NotAscending`]
    /// unless `from` is below `to`.
    pub fn ratio(ratio: f64, from: f64, to: f64, ground: f64) -> Result<Self> {
        within("ratio of rocker to crank", ratio, -20.0, 20.0, "(no unit)")?;
        ascending("range of the crank", [from, to], "rad")?;
        let step = (to - from) / 32.0;
        let crank_turns: Vec<f64> = (0..=32).map(|i| from + f64::from(i) * step).collect();
        let rocker_turns = crank_turns.iter().map(|turn| ratio * turn).collect();
        Self::new(crank_turns, rocker_turns, ground)
    }
}

/// A checked demand.
struct Task<'a> {
    demand: &'a FourBarDemand,
    from: f64,
    to: f64,
    /// Turns at which closing and transmission angle are looked at.
    looks: Vec<f64>,
}

/// Where a search begins: branch, crank, coupler and rocker, angle of the centered crank.
type Start = (Branch, [f64; 3], f64);

/// By how much the transmission angle is kept clear of its limit, rad, one after the other until the limit itself is
/// kept: a penalty gives in a little, the more the farther the demand is from what is possible.
const MARGINS: [f64; 4] = [0.0, 2e-3, 1e-2, 5e-2];

/// What came of one start.
#[derive(Default)]
struct Trial {
    found: Vec<FourBarFit>,
    three_point: Option<FourBarFit>,
    tally: Tally<FourBarFit>,
}

impl<'a> Task<'a> {
    fn new(demand: &'a FourBarDemand) -> Result<Self> {
        let (crank, rocker) = (&demand.crank_turns, &demand.rocker_turns);
        if crank.len() != rocker.len() {
            return Err(Error::LengthMismatch {
                first: "turns of the crank",
                first_len: crank.len(),
                second: "turns of the rocker",
                second_len: rocker.len(),
            });
        }
        counted("wanted pairs of angles", crank.len(), [4, MOST])?;
        for (crank, rocker) in crank.iter().zip(rocker) {
            within("turn of the crank", *crank, -TAU, TAU, "rad")?;
            within("turn of the rocker", *rocker, -TAU, TAU, "rad")?;
        }
        for pair in crank.windows(2) {
            ascending("turns of the crank", [pair[0], pair[1]], "rad")?;
        }
        check_length("ground link", demand.ground)?;
        let [least, most] = demand.lengths;
        check_length("shortest link allowed", least)?;
        check_length("longest link allowed", most)?;
        ascending("lengths allowed", [least, most], "m")?;
        within(
            "least transmission angle",
            demand.min_transmission_angle,
            0.0,
            85.0 * crate::units::DEG,
            "rad",
        )?;
        counted("starts", demand.starts, [1, MOST])?;
        let (from, to) = (crank[0], crank[crank.len() - 1]);
        let looks = spaced([from, to], 32).collect();
        Ok(Self {
            demand,
            from,
            to,
            looks,
        })
    }

    fn try_start(&self, number: usize, closed_form: Option<&Start>) -> Result<Trial> {
        let shares = spread_place(&offsets(self.demand.seed), number);
        let crank_center = TAU * shares[3];
        let mut trial = Trial::default();
        // From within the bounds, not at them, where the transform is flat.
        let [least, most] = self.demand.lengths;
        let lengths = [0, 1, 2].map(|i| least * (most / least).powf(0.1 + 0.8 * shares[i]));
        let mut starts: Vec<Start> = Branch::ALL
            .map(|branch| (branch, lengths, crank_center))
            .into();
        starts.extend(closed_form);
        if let Some(exact) = self.through_three_points(crank_center, TAU * shares[4]) {
            let (branch, lengths, center) = exact;
            trial.three_point = self.checked(exact, &mut trial.tally);
            starts.push((branch, self.well_within(lengths), center));
        }
        for mut start in starts {
            for margin in MARGINS {
                start = self.fitted(start, margin)?;
                if let Some(fit) = self.checked(start, &mut trial.tally) {
                    trial.found.push(fit);
                    break;
                }
            }
        }
        Ok(trial)
    }

    /// Linkages that suit the wanted pairs, one for each start at most, the best first.
    ///
    /// For given directions of crank and rocker at zero Freudenstein's equation is linear in the link ratios, so least
    /// squares give them at once. The directions come from a grid over half a turn each, as a link the other way round
    /// is one of negative length. Kept are the best of their neighborhood.
    fn closed_form_starts(&self) -> Result<Vec<Start>> {
        /// Directions to half a turn: 7.5 degrees apart.
        const GRID: usize = 24;
        let mut found: Vec<Option<(f64, Start)>> = Vec::with_capacity(GRID * GRID);
        for i in 0..GRID {
            crate::observer::check()?;
            for j in 0..GRID {
                let [crank, rocker] = [i, j].map(|k| PI * k as f64 / GRID as f64);
                let starts = self.closed_form(crank, rocker);
                let judged = starts.into_iter().flatten().map(|start| {
                    let residuals = self.residuals(&start, 0.0);
                    let squares: f64 = residuals.iter().map(|residual| residual * residual).sum();
                    (squares, start)
                });
                found.push(judged.min_by(|one, other| one.0.total_cmp(&other.0)));
            }
        }
        let value = |i: usize, j: usize| {
            let at = &found[i % GRID * GRID + j % GRID];
            at.as_ref().map_or(f64::INFINITY, |(value, _)| *value)
        };
        let is_best = |i: usize, j: usize| {
            let around = (0..9).map(|k| value(i + GRID + k / 3 - 1, j + GRID + k % 3 - 1));
            around.fold(f64::INFINITY, f64::min) >= value(i, j)
        };
        let mut best: Vec<_> = (0..GRID * GRID)
            .filter(|k| is_best(k / GRID, k % GRID))
            .filter_map(|k| found[k])
            .filter(|(value, _)| value.is_finite())
            .collect();
        best.sort_by(|one, other| one.0.total_cmp(&other.0));
        best.truncate(self.demand.starts);
        Ok(best.into_iter().map(|(_, start)| start).collect())
    }

    /// The linkage, on either branch, whose link ratios suit the pairs best for given directions of crank and rocker at
    /// zero, its lengths brought within their bounds.
    fn closed_form(&self, crank: f64, rocker: f64) -> Option<[Start; 2]> {
        let pairs = self
            .demand
            .crank_turns
            .iter()
            .zip(&self.demand.rocker_turns);
        // K1 cos(rocker) - K2 cos(crank) + K3 = cos(crank - rocker), less its mean.
        let rows = pairs.map(|(crank_turn, rocker_turn)| {
            let (crank, rocker) = (crank + crank_turn, rocker + rocker_turn);
            Vector3::new(rocker.cos(), -crank.cos(), (crank - rocker).cos())
        });
        let mean = rows.clone().sum::<Vector3<f64>>() / self.demand.crank_turns.len() as f64;
        let products: Matrix3<f64> = rows
            .map(|row| row - mean)
            .map(|row| row * row.transpose())
            .sum();
        let determinant = products[(0, 0)] * products[(1, 1)] - products[(0, 1)].powi(2);
        let k1 = (products[(0, 2)] * products[(1, 1)] - products[(0, 1)] * products[(1, 2)])
            / determinant;
        let k2 = (products[(0, 0)] * products[(1, 2)] - products[(0, 1)] * products[(0, 2)])
            / determinant;
        let k3 = mean[2] - k1 * mean[0] - k2 * mean[1];
        let ground = self.demand.ground;
        let (a, c) = (ground / k1, ground / k2);
        let square = a * a + c * c + ground * ground - 2.0 * a * c * k3;
        let lengths = [a.abs(), square.max(0.0).sqrt(), c.abs()];
        if !lengths.iter().all(|length| length.is_finite()) {
            return None;
        }
        let lengths = self.well_within(lengths);
        let center = if a < 0.0 { crank + PI } else { crank };
        Some(Branch::ALL.map(|branch| (branch, lengths, center)))
    }

    /// The lengths brought within their bounds, and not to them, where the transform is flat.
    fn well_within(&self, lengths: [f64; 3]) -> [f64; 3] {
        let [least, most] = self.demand.lengths;
        let rim = (most / least).powf(0.01);
        lengths.map(|length| length.max(least * rim).min(most / rim))
    }

    /// A linkage through three points of the demand, with its branch and centered crank angle, for given directions of
    /// crank and rocker at zero.
    fn through_three_points(&self, crank: f64, rocker: f64) -> Option<(Branch, [f64; 3], f64)> {
        let turns: [f64; 3] = chebyshev_spacing(self.from, self.to, 3)
            .ok()?
            .try_into()
            .ok()?;
        let crank_angles = turns.map(|turn| wrapped(crank + turn));
        let rocker_angles = turns.map(|turn| wrapped(rocker + self.wanted(turn)));
        let exact = three_point_four_bar(crank_angles, rocker_angles, self.demand.ground).ok()?;
        let bar = exact.linkage;
        Some((
            exact.branches[0],
            [bar.crank(), bar.coupler(), bar.rocker()],
            crank + exact.crank_offset,
        ))
    }

    /// The rocker turn wanted at a crank turn, on a straight line between the pairs.
    fn wanted(&self, turn: f64) -> f64 {
        let (crank, rocker) = (&self.demand.crank_turns, &self.demand.rocker_turns);
        let after = crank
            .partition_point(|other| *other < turn)
            .clamp(1, crank.len() - 1);
        let share = (turn - crank[after - 1]) / (crank[after] - crank[after - 1]);
        rocker[after - 1] + share * (rocker[after] - rocker[after - 1])
    }

    /// The linkage to which least squares leads from a start.
    fn fitted(&self, (branch, lengths, crank_center): Start, margin: f64) -> Result<Start> {
        let length = Parameter::Ratio(self.demand.lengths);
        let [a, b, c] = self.well_within(lengths).map(|own| length.variable(own));
        let at = |variables: &[f64]| match *variables {
            [a, b, c, center] => Some((branch, [a, b, c].map(|own| length.value(own)), center)),
            _ => None,
        };
        let start = vec![a, b, c, crank_center];
        let found = LeastSquares::default().minimize(start, |variables| {
            Some(self.residuals(&at(variables)?, margin))
        })?;
        Ok(at(&found).unwrap_or((branch, lengths, crank_center)))
    }

    /// Errors of the rocker angle, then what breaks the limits, the transmission angle by a margin (rad).
    fn residuals(
        &self,
        (branch, [crank, coupler, rocker], center): &Start,
        margin: f64,
    ) -> Vec<f64> {
        /// Weight of what breaks a limit against a radian of error: enough that the limit is missed by less than a
        /// margin.
        const PENALTY: f64 = 30.0;
        let bar = FourBar::unchecked(self.demand.ground, *crank, *coupler, *rocker);
        let (mut values, _) = self.errors(&bar, *branch, *center);
        let cos_limit = (self.demand.min_transmission_angle + margin).cos();
        for turn in &self.looks {
            // The cosine of the angle between coupler and rocker also says, by being beyond 1, how far they are from
            // meeting.
            let beyond = bar.transmission_cosine(center + turn).abs() - cos_limit;
            values.push(PENALTY * beyond.max(0.0));
        }
        values
    }

    /// Rocker angle less wanted turn at each pair, and the mean of that, which serves as zero.
    fn errors(&self, bar: &FourBar, branch: Branch, crank_center: f64) -> (Vec<f64>, f64) {
        let pairs = self
            .demand
            .crank_turns
            .iter()
            .zip(&self.demand.rocker_turns);
        let mut errors: Vec<f64> = pairs
            .map(|(crank, rocker)| bar.continuous_angles(crank_center + crank, branch)[1] - rocker)
            .collect();
        let zero = errors.iter().sum::<f64>() / errors.len() as f64;
        errors.iter_mut().for_each(|error| *error -= zero);
        (errors, zero)
    }

    /// A linkage with its figures, if it keeps the limits; counted.
    fn checked(&self, start: Start, tally: &mut Tally<FourBarFit>) -> Option<FourBarFit> {
        let (fit, shortfalls) = self.judged(start)?;
        match fit {
            Some(fit) if shortfalls.is_empty() => {
                tally.accept();
                Some(fit)
            }
            _ => {
                tally.reject(shortfalls, || fit);
                None
            }
        }
    }

    /// A linkage with its figures, if it closes, and what it falls short in. None for one with lengths that no linkage
    /// has.
    fn judged(&self, (branch, lengths, center): Start) -> Option<(Option<FourBarFit>, Shortfalls)> {
        let [crank, coupler, rocker] = lengths;
        let bar = FourBar::new(self.demand.ground, crank, coupler, rocker).ok()?;
        let crank_center = wrapped(center);
        let (from, to) = (crank_center + self.from, crank_center + self.to);
        let Ok(transmission_angle) = bar.min_transmission_angle(from, to) else {
            let cosine = self.greatest_cosine(&bar, [from, to]);
            return Some((
                None,
                Shortfall::of_no_use(requirement::MEETS, cosine, 1.0).into(),
            ));
        };
        let mut shortfalls = Shortfalls::default();
        let [least, most] = self.demand.lengths;
        for length in lengths {
            let limit = length.clamp(least, most);
            if length != limit {
                shortfalls.push(Shortfall::new(requirement::LINK_LENGTH, length, limit));
            }
        }
        let limit = self.demand.min_transmission_angle;
        if transmission_angle < limit {
            let angle = requirement::TRANSMISSION_ANGLE;
            shortfalls.push(Shortfall::by(angle, transmission_angle, limit, 1.0));
        }
        let (errors, zero) = self.errors(&bar, branch, crank_center);
        let squares: f64 = errors.iter().map(|error| error * error).sum();
        let built = CenteredFourBar::new(bar, branch, crank_center).ok()?;
        let fit = FourBarFit {
            built,
            rocker_zero: wrapped(zero),
            rms_error: (squares / errors.len() as f64).sqrt(),
            largest_error: errors.iter().fold(0.0, |most, error| error.abs().max(most)),
            min_transmission_angle: transmission_angle,
            three_point_rms_error: None,
        };
        Some((Some(fit), shortfalls))
    }

    /// The greatest size of the cosine of the angle between coupler and rocker between two angles of the crank: it is
    /// one at an end of them, or where the crank lies along the ground.
    fn greatest_cosine(&self, bar: &FourBar, [from, to]: [f64; 2]) -> f64 {
        let (first, last) = ((from / PI).ceil() as i32, (to / PI).floor() as i32);
        let along = (first..=last).map(|halves| f64::from(halves) * PI);
        let cosines = along
            .chain([from, to])
            .map(|angle| bar.transmission_cosine(angle).abs());
        cosines.fold(0.0, f64::max)
    }
}

/// Where the places to start from begin, by the seed: five numbers in [0, 1).
fn offsets(seed: u64) -> [f64; 5] {
    let mut state = seed;
    std::array::from_fn(|_| {
        // SplitMix64 (Steele, Lea, Flood 2014).
        state = state.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut mixed = state;
        mixed = (mixed ^ (mixed >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        mixed = (mixed ^ (mixed >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        mixed ^= mixed >> 31;
        (mixed >> 11) as f64 / (1_u64 << 53) as f64
    })
}
