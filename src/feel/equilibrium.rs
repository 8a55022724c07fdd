//! One angle of a control moving while the other, if there is one, is held: where forces jump, and where the control
//! stays when it is let go.

use std::cell::{Cell, OnceCell};

use serde::{Deserialize, Serialize};

use crate::error::{Error, Result, counted, finite};
use crate::feel::body::{Body, Scene};
use crate::feel::control::{Control, check_angle, check_arm};
use crate::feel::elements::{AT_JUMP, Between, Element, Load, Many};
use crate::feel::followers::{Followers, LANES};
use crate::numeric::root::{between, edge, edge_near};
use crate::numeric::spacing::spaced;
use crate::observer;

/// Steps in which the travel is looked through for jumps and rests: what is narrower than a four-hundredth of the
/// travel may be overlooked.
const STEPS: usize = 400;
/// A slope that sums up to less than so much of energy and stiffness may be none but for rounding, so that it is summed
/// up once more, element by element.
const ROUNDED: f64 = 1e-9;

/// Which angle moves, and where the other one is held.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub enum Way {
    /// The only angle, or the outer one of a gimbal with the inner one at this angle, rad.
    Outer(f64),
    /// The inner angle of a gimbal with the outer one at this angle, rad.
    Inner(f64),
}

impl Way {
    /// The only angle, or the outer one of a gimbal with the inner one at zero.
    pub const FIRST: Self = Self::Outer(0.0);
}

/// A place or a stretch where the control stays.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[non_exhaustive]
pub struct EquilibriumBand {
    /// Where it begins, rad.
    pub lower: f64,
    /// Where it ends, rad; the same for a single place.
    pub upper: f64,
    /// Whether the control comes back when it is moved a little to either side.
    pub stable: bool,
    /// What keeps it there.
    pub kind: EquilibriumKind,
}

/// What keeps a control where it stays.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[non_exhaustive]
pub enum EquilibriumKind {
    /// Its springs and weights, and friction if that is counted.
    Free,
    /// A force that jumps, as at a breakout.
    Jump,
    /// A stop.
    Stop,
}

impl EquilibriumBand {
    /// Middle of the stretch, rad.
    #[must_use]
    pub fn middle(&self) -> f64 {
        0.5 * (self.lower + self.upper)
    }
}

/// Energy and its derivatives by the one angle.
#[derive(Debug, Clone, Copy)]
pub(super) struct Along {
    pub(super) energy: f64,
    pub(super) slope: f64,
    pub(super) bend: f64,
}

/// What resists motion at one angle.
#[derive(Debug, Clone, Copy)]
pub(super) struct Drag {
    /// Moment of inertia, kg m^2, and its derivative by the angle.
    pub(super) inertia: [f64; 2],
    /// N m s/rad.
    pub(super) damping: f64,
    /// Coulomb friction, N m.
    pub(super) friction: f64,
}

/// A control of which one angle moves. What takes hundreds of looks along its travel it remembers.
#[derive(Debug, Clone)]
pub(crate) struct Track<'a> {
    control: &'a Control,
    pub(super) axis: usize,
    held: f64,
    pub(super) travel: [f64; 2],
    /// Distance of the grip from the pivot, m: it does not change while only this angle does.
    pub(super) arm: f64,
    magnets: bool,
    rubs: bool,
    /// Friction where it is the same at every angle, N m.
    steady: Option<f64>,
    jumps: OnceCell<Vec<f64>>,
    slopes: OnceCell<Vec<(f64, f64)>>,
}

impl<'a> Track<'a> {
    pub(crate) fn new(control: &'a Control, way: Way) -> Result<Self> {
        let (axis, held) = match way {
            Way::Outer(held) => (0, held),
            Way::Inner(held) => (1, held),
        };
        let axes = control.axes();
        let spec = control.spec();
        let Some(travel) = spec.travel.get(axis) else {
            return Err(Error::NotAChoice {
                quantity: "angle that moves",
                given: "inner".to_owned(),
                choices: "outer (the only one of this control)".to_owned(),
            });
        };
        if axes == 2 {
            check_angle(held, &spec.travel[1 - axis])?;
        } else if held != 0.0 {
            // There is no other angle that could be held.
            check_angle(held, &[0.0, 0.0])?;
        }
        let any = |is: fn(&Element) -> bool| spec.elements.iter().any(is);
        let mut track = Self {
            control,
            axis,
            held,
            travel: *travel,
            arm: 0.0,
            magnets: any(|element| matches!(element, Element::Magnets(_))),
            rubs: any(|element| matches!(element, Element::Friction(_))),
            steady: None,
            jumps: OnceCell::new(),
            slopes: OnceCell::new(),
        };
        (track.arm, track.steady) = if axes == 1 {
            (track.arm_of::<1>()?, track.steady_friction::<1>()?)
        } else {
            (track.arm_of::<2>()?, track.steady_friction::<2>()?)
        };
        Ok(track)
    }

    /// The friction at any angle, if only bearings rub that turn as the control does.
    fn steady_friction<const N: usize>(&self) -> Result<Option<f64>> {
        let even = |element: &Element| match element {
            Element::Friction(friction) => {
                matches!(friction.body(), Some(Body::Lever | Body::Ring))
            }
            _ => true,
        };
        let elements = &self.control.spec().elements;
        if !elements.iter().all(even) {
            return Ok(None);
        }
        let scene: Scene<N> = self.control.scene(self.place(0.0))?;
        let all = elements.iter().map(|one| one.friction(&scene, self.axis));
        all.sum::<Result<f64>>().map(Some)
    }

    fn arm_of<const N: usize>(&self) -> Result<f64> {
        let scene = self.control.scene(self.place::<N>(0.0))?;
        let grip = scene.of(Body::Lever).point(&self.control.spec().grip);
        check_arm(grip.first[self.axis].norm())
    }

    pub(super) fn place<const N: usize>(&self, q: f64) -> [f64; N] {
        let mut place = [self.held; N];
        place[self.axis] = q;
        place
    }

    /// From where the place is approached: along the moving angle, while the other one is held.
    fn sides<const N: usize>(&self, side: f64) -> [f64; N] {
        let mut sides = [0.0; N];
        sides[self.axis] = side;
        sides
    }

    /// At an angle; `side` +1 or -1: from where it is approached. The stiffness of magnets is left out.
    pub(super) fn at(&self, q: f64, side: f64) -> Result<Along> {
        if self.control.axes() == 1 {
            self.at_one(self.control.load([q], [side])?)
        } else {
            let place: [f64; 2] = self.place(q);
            self.at_one(self.control.load(place, self.sides(side))?)
        }
    }

    fn at_one<const N: usize>(&self, load: Load<N>) -> Result<Along> {
        Ok(Along {
            energy: load.energy,
            slope: load.slope[self.axis],
            bend: load.bend[self.axis][self.axis],
        })
    }

    /// The same with the stiffness of magnets.
    pub(super) fn with_stiffness(&self, q: f64, side: f64) -> Result<Along> {
        let mut along = self.at(q, side)?;
        if self.magnets {
            along.bend += if self.control.axes() == 1 {
                self.differences::<1>(q)?
            } else {
                self.differences::<2>(q)?
            };
        }
        Ok(along)
    }

    /// What acts, for [`along_many`](Self::along_many).
    pub(super) fn many(&self) -> Result<Many<'a>> {
        if self.control.axes() == 1 {
            self.many_in::<1>()
        } else {
            self.many_in::<2>()
        }
    }

    fn many_in<const N: usize>(&self) -> Result<Many<'a>> {
        let spec = self.control.spec();
        let scene = self.control.scene(self.place::<N>(0.0))?;
        let followers = self.followers(&scene);
        Ok(Many::new(&spec.elements, &spec.gravity, followers, &scene))
    }

    fn followers<const N: usize>(&self, scene: &Scene<N>) -> Followers<'a> {
        let spec = self.control.spec();
        Followers::new(&spec.bearing, &spec.driven, scene, self.axis)
    }

    /// As [`with_stiffness`](Self::with_stiffness) at up to [`LANES`] angles, each with its side; `None` where physics
    /// refuses, and in the places beyond.
    pub(super) fn along_many(
        &self,
        many: &Many<'_>,
        places: &[(f64, f64)],
    ) -> [Option<Along>; LANES] {
        let sums = many.sums(places);
        let mut found = [None; LANES];
        for (i, (found, (q, side))) in found.iter_mut().zip(places).enumerate() {
            let [energy, slope, bend] = sums.map(|sum| sum[i]);
            let summed = Along {
                energy,
                slope,
                bend,
            };
            *found = if !(energy + slope + bend).is_finite() {
                // Off the range of a spring, or nearly: one by one it is told.
                self.with_stiffness(*q, *side).ok()
            } else if many.rest.is_empty() {
                Some(summed)
            } else if self.control.axes() == 1 {
                self.with_rest::<1>(summed, many, *q, *side).ok()
            } else {
                self.with_rest::<2>(summed, many, *q, *side).ok()
            };
        }
        found
    }

    fn with_rest<const N: usize>(
        &self,
        summed: Along,
        many: &Many<'_>,
        q: f64,
        side: f64,
    ) -> Result<Along> {
        // Forces between magnets take their time.
        observer::check()?;
        let place = self.place::<N>(q);
        let scene = self.control.scene(place)?;
        let mut load = Load::ZERO;
        for element in &many.rest {
            let gravity = &self.control.spec().gravity;
            element.add(&scene, gravity, &self.sides(side), &mut load)?;
        }
        if self.magnets {
            self.control.add_differences(place, &mut load)?;
        }
        let rest = self.at_one(load)?;
        let energy = finite("energy of the control", summed.energy + rest.energy, "J")?;
        Ok(Along {
            energy,
            slope: summed.slope + rest.slope,
            bend: summed.bend + rest.bend,
        })
    }

    fn differences<const N: usize>(&self, q: f64) -> Result<f64> {
        let mut load = Load::<N>::ZERO;
        self.control.add_differences(self.place(q), &mut load)?;
        Ok(load.bend[self.axis][self.axis])
    }

    pub(super) fn drag(&self, q: f64) -> Result<Drag> {
        if self.control.axes() == 1 {
            self.drag_in::<1>(q)
        } else {
            self.drag_in::<2>(q)
        }
    }

    fn drag_in<const N: usize>(&self, q: f64) -> Result<Drag> {
        let scene: Scene<N> = self.control.scene(self.place(q))?;
        let mut drag = Drag {
            inertia: [0.0; 2],
            damping: 0.0,
            friction: 0.0,
        };
        for element in &self.control.spec().elements {
            let [inertia, slope] = element.inertia(&scene, self.axis);
            drag.inertia[0] += inertia;
            drag.inertia[1] += slope;
            drag.damping += element.damping(&scene, self.axis);
            drag.friction += element.friction(&scene, self.axis)?;
        }
        Ok(drag)
    }

    pub(super) fn friction(&self, q: f64) -> Result<f64> {
        match self.steady {
            Some(friction) => Ok(friction),
            None if self.rubs => Ok(self.drag(q)?.friction),
            None => Ok(0.0),
        }
    }

    /// Angles within the travel at which a force jumps, ascending.
    pub(super) fn jumps(&self) -> Result<&[f64]> {
        once(&self.jumps, || self.find_jumps()).map(Vec::as_slice)
    }

    fn find_jumps(&self) -> Result<Vec<f64>> {
        if self.control.axes() == 1 {
            self.find_jumps_in::<1>()
        } else {
            self.find_jumps_in::<2>()
        }
    }

    fn find_jumps_in<const N: usize>(&self) -> Result<Vec<f64>> {
        let elements = self.control.spec().elements.iter();
        let elements: Vec<&Element> = elements.filter(|element| element.jumps()).collect();
        let mut all = Vec::new();
        if elements.is_empty() {
            return Ok(all);
        }
        let [least, greatest] = self.travel;
        let scene = |q: f64| self.control.scene(self.place::<N>(q));
        let still = scene(0.0)?;
        let followers = self.followers(&still);
        let mut uneven = Vec::new();
        for element in elements {
            let way = match element {
                Element::Line { law, a, b } => law
                    .jump()
                    .map(|jump| (Between::new(&followers, &still, [a, b]), jump)),
                _ => None,
            };
            match way
                .as_ref()
                .and_then(|(way, jump)| Some((way.even()?, jump)))
            {
                Some((way, jump)) => {
                    // From one turning point to the next its length only grows or only falls.
                    let mut places = vec![least];
                    places.extend(way.turning(self.travel));
                    places.push(greatest);
                    all.extend(jumps_among(places, |q| Ok(way.length(q) - jump))?);
                }
                None => uneven.push((element, way)),
            }
        }
        let looked = if uneven.is_empty() { 0 } else { STEPS + 1 };
        let places: Vec<f64> = spaced(self.travel, STEPS).take(looked).collect();
        let mut distances = vec![Vec::with_capacity(looked); uneven.len()];
        for block in places.chunks(LANES) {
            observer::check()?;
            let mut angles = [0.0; LANES];
            angles[..block.len()].copy_from_slice(block);
            let lanes = followers.at(&angles, followers.last());
            for ((element, way), distances) in uneven.iter().zip(&mut distances) {
                let told = match (way, element) {
                    (Some((way, jump)), _) => Some(way.lengths(&lanes).map(|length| length - jump)),
                    (None, Element::Breakout(breakout)) => {
                        let number = followers.number(breakout.body(), &still);
                        number.map(|number| {
                            lanes[number].angle.map(|angle| angle - breakout.center())
                        })
                    }
                    _ => None,
                };
                for (i, q) in block.iter().enumerate() {
                    let told = told.map(|told| told[i]).filter(|told| told.is_finite());
                    distances.push(match told {
                        Some(distance) => distance,
                        None => element
                            .distance_from_jump(&scene(*q)?)
                            .unwrap_or(f64::INFINITY),
                    });
                }
            }
        }
        for ((element, _), distances) in uneven.iter().zip(distances) {
            let distance = |q: f64| {
                let distance = element.distance_from_jump(&scene(q)?);
                Ok(distance.unwrap_or(f64::INFINITY))
            };
            let looked = places.iter().copied().zip(distances);
            all.extend(jumps_between(looked, distance)?);
        }
        Ok(in_order(all))
    }

    /// Where the control stays, ascending; with or without friction.
    pub(super) fn equilibrium_bands(&self, with_friction: bool) -> Result<Vec<EquilibriumBand>> {
        let mut rests = Vec::new();
        // Below the lowest place the stop drives the control up.
        let mut last = (self.travel[0], -1);
        let mut still: Option<[f64; 2]> = None;
        let end = (self.travel[1], 1);
        let slopes = once(&self.slopes, || self.find_slopes())?;
        let nodes = slopes
            .iter()
            .map(|(q, slope)| Ok((*q, self.driven(*q, *slope, with_friction)?)));
        for node in nodes.chain([Ok(end)]) {
            let (q, drive) = node?;
            if drive == 0 {
                let from = still.map_or(q, |[from, _]| from);
                still = Some([from, q]);
                continue;
            }
            if let Some([from, to]) = still.take() {
                // From the last place that moves to the first that does not, and the same on the other side.
                let from = if from > last.0 {
                    self.border([last.0, from], last.1, with_friction, |drive| drive != 0)?
                } else {
                    from
                };
                let to = if to < q {
                    self.stays_until([to, q], drive, with_friction)?
                } else {
                    to
                };
                rests.push(self.rest(from, to, last.1, drive));
            } else if drive != last.1 {
                rests.push(self.turn(last, (q, drive), with_friction)?);
            }
            last = (q, drive);
        }
        Ok(rests)
    }

    /// Where the drive changes its sign between two places, with a stretch of none between them if there is one.
    fn turn(
        &self,
        (a, before): (f64, i8),
        (b, after): (f64, i8),
        with_friction: bool,
    ) -> Result<EquilibriumBand> {
        // At a jump the same place stands for both sides.
        if a == b {
            return Ok(self.rest(a, a, before, after));
        }
        let from = self.border([a, b], before, with_friction, |drive| drive == before)?;
        let [from, to] = if self.drive(from, 1.0, with_friction)? == 0 {
            [from, self.stays_until([from, b], after, with_friction)?]
        } else {
            let place = if from.abs() <= AT_JUMP { 0.0 } else { from };
            [place, place]
        };
        Ok(self.rest(from, to, before, after))
    }

    /// Where it stays no longer that stays at `a` and is driven `after` at `b`.
    fn stays_until(&self, [a, b]: [f64; 2], after: i8, with_friction: bool) -> Result<f64> {
        let end = self.border([a, b], after, with_friction, |drive| drive == 0)?;
        Ok(if end <= a + AT_JUMP { a } else { end })
    }

    /// Where a property of the drive that holds at `a` and not at `b` above it ends, to the last bit: about where the
    /// slope, counted towards `sign`, passes the friction. Within [`AT_JUMP`] of either place it is looked for no
    /// closer: about a rest at the angle zero there is no last bit to come down to.
    fn border(
        &self,
        [a, b]: [f64; 2],
        sign: i8,
        with_friction: bool,
        holds: impl Fn(i8) -> bool,
    ) -> Result<f64> {
        observer::check()?;
        let holds_at = |q: f64, side: f64| Ok(holds(self.drive(q, side, with_friction)?));
        if b - a > 2.0 * AT_JUMP {
            // A jump at either place counts from within.
            if !holds_at(a + AT_JUMP, 1.0)? {
                return Ok(a + AT_JUMP);
            }
            if holds_at(b - AT_JUMP, -1.0)? {
                return Ok(b);
            }
        }
        let failed = Cell::new(None);
        let margin = |q: f64| {
            let side = if q == b { -1.0 } else { 1.0 };
            let friction = || {
                if with_friction {
                    self.friction(q)
                } else {
                    Ok(0.0)
                }
            };
            let margin = self
                .at(q, side)
                .and_then(|along| Ok(f64::from(sign) * along.slope - friction()?));
            margin.unwrap_or_else(|error| {
                failed.set(Some(error));
                0.0
            })
        };
        let opposed = margin(a) * margin(b) < 0.0;
        let guess = if opposed {
            between(margin, a, b)
        } else {
            0.5 * (a + b)
        };
        if let Some(error) = failed.take() {
            return Err(error);
        }
        edge_near(a, b, guess, |q| {
            observer::check()?;
            holds_at(q, 1.0)
        })
    }

    fn rest(&self, from: f64, to: f64, before: i8, after: i8) -> EquilibriumBand {
        let at_jump = || {
            let jumps = self.jumps().unwrap_or_default();
            jumps.iter().any(|jump| (from..=to).contains(jump))
        };
        let kind = if from <= self.travel[0] || to >= self.travel[1] {
            EquilibriumKind::Stop
        } else if at_jump() {
            EquilibriumKind::Jump
        } else {
            EquilibriumKind::Free
        };
        EquilibriumBand {
            lower: from,
            upper: to,
            stable: before < 0 && after > 0,
            kind,
        }
    }

    /// Which way the control is pushed: -1 where it wants to go up (the energy falls), +1 where it wants to go down, 0
    /// where it stays.
    fn drive(&self, q: f64, side: f64, with_friction: bool) -> Result<i8> {
        self.driven(q, self.at(q, side)?.slope, with_friction)
    }

    /// The same where the slope is known.
    fn driven(&self, q: f64, slope: f64, with_friction: bool) -> Result<i8> {
        let friction = if with_friction {
            self.friction(q)?
        } else {
            0.0
        };
        Ok(if slope > friction {
            1
        } else if slope < -friction {
            -1
        } else {
            0
        })
    }

    /// The slope over the travel: every jump comes twice, from below and from above.
    fn find_slopes(&self) -> Result<Vec<(f64, f64)>> {
        let mut places = Vec::new();
        for [from, to] in self.pieces()? {
            let steps_here =
                (STEPS as f64 * (to - from) / (self.travel[1] - self.travel[0])).ceil();
            for q in spaced([from, to], (steps_here as usize).max(8)) {
                places.push((q, if q == to { -1.0 } else { 1.0 }));
            }
        }
        let one = |(q, side): (f64, f64)| Ok((q, self.at(q, side)?.slope));
        let mut slopes = Vec::with_capacity(places.len());
        if self.magnets {
            // Their stiffness, which would be found along with the others', takes its time.
            for place in places {
                observer::check()?;
                slopes.push(one(place)?);
            }
            return Ok(slopes);
        }
        let many = self.many()?;
        for block in places.chunks(LANES) {
            observer::check()?;
            for (place, along) in block.iter().zip(self.along_many(&many, block)) {
                let told = along.filter(|along| {
                    along.slope.abs() > ROUNDED * (along.energy.abs() + along.bend.abs())
                });
                slopes.push(match told {
                    Some(along) => (place.0, along.slope),
                    None => one(*place)?,
                });
            }
        }
        Ok(slopes)
    }

    /// The travel cut where forces jump.
    pub(super) fn pieces(&self) -> Result<Vec<[f64; 2]>> {
        let [least, greatest] = self.travel;
        let jumps = self.jumps()?.iter().copied();
        let inside = jumps.filter(|jump| least < *jump && *jump < greatest);
        let cuts: Vec<f64> = [least]
            .into_iter()
            .chain(inside)
            .chain([greatest])
            .collect();
        Ok(cuts.windows(2).map(|pair| [pair[0], pair[1]]).collect())
    }
}

impl Control {
    /// Where the control comes to rest without friction, along one angle, ascending: stable and unstable equilibria,
    /// breakouts, and stops that springs or weights push it against.
    ///
    /// Looked for in steps of a four-hundredth of the travel, then narrowed down to the last bit.
    ///
    /// # Errors
    /// [`Error::NotAChoice`] for an angle that the control does not have; as [`state`](Self::state) for every angle of
    /// the travel.
    pub fn equilibrium_bands(&self, way: Way) -> Result<Vec<EquilibriumBand>> {
        Track::new(self, way)?.equilibrium_bands(false)
    }
}

/// What is known, or is found now.
fn once<T>(known: &OnceCell<T>, find: impl FnOnce() -> Result<T>) -> Result<&T> {
    if let Some(known) = known.get() {
        return Ok(known);
    }
    let found = find()?;
    Ok(known.get_or_init(|| found))
}

/// Where a distance from a jump changes its sign over ascending places.
fn jumps_among(places: Vec<f64>, distance: impl Fn(f64) -> Result<f64>) -> Result<Vec<f64>> {
    let mut looked = Vec::with_capacity(places.len());
    for q in places {
        looked.push((q, distance(q)?));
    }
    jumps_between(looked.into_iter(), distance)
}

/// The same of places with their distances: what is nearer than [`AT_JUMP`] is on neither side.
fn jumps_between(
    looked: impl Iterator<Item = (f64, f64)>,
    distance: impl Fn(f64) -> Result<f64>,
) -> Result<Vec<f64>> {
    let mut jumps = Vec::new();
    // The last place that was not on the jump, and on which side.
    let mut before: Option<(f64, f64)> = None;
    for (q, here) in looked {
        if here.abs() <= AT_JUMP {
            continue;
        }
        if let Some((from, sign)) = before
            && sign * here < 0.0
        {
            let jump = edge(from, q, |q| {
                observer::check()?;
                Ok::<_, Error>(distance(q)? * sign > 0.0)
            })?;
            jumps.push(if jump.abs() <= AT_JUMP { 0.0 } else { jump });
        }
        before = Some((q, here));
    }
    Ok(jumps)
}

fn in_order(mut jumps: Vec<f64>) -> Vec<f64> {
    jumps.sort_by(f64::total_cmp);
    jumps.dedup_by(|b, a| *b - *a <= AT_JUMP);
    jumps
}

pub(super) fn check_points(points: usize) -> Result<usize> {
    counted("points of the curve", points, [2, 100_000])
}
