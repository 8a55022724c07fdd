//! How a control moves when it is let go: real force curve, inertia, damping, Coulomb friction, stops.

use std::cell::RefCell;

use nalgebra::Vector2;
use ode_solvers::continuous_output_model::ContinuousOutputModel;
use ode_solvers::{Dopri5, System};
use serde::{Deserialize, Serialize};

use crate::error::{Error, Result, counted, finite, within};
use crate::feel::control::{Control, check_angle};
use crate::feel::equilibrium::{Track, Way};
use crate::numeric::spacing::spaced;
use crate::observer;

/// Share of the motion that a step of the integration may be off, and the same in rad and rad/s.
const RELATIVE: f64 = 1e-10;
const ABSOLUTE: f64 = 1e-12;
/// Turns nearer than this to a breakout are at rest in it, rad: a fiftieth of a second of arc.
const AT_REST: f64 = 1e-7;
/// Slower than this after a stop, the control stays there, rad/s.
const STOPPED: f64 = 1e-6;
/// Events (turns, breakouts passed, stops hit) after which a motion is given up.
const MOST_EVENTS: usize = 20_000;
/// Share of the duration that is too short to integrate over when an event leaves no more: some thousand roundings of
/// the time.
const AT_END: f64 = 1e-12;
/// Halvings that find an event.
const HALVINGS: usize = 100;

/// How a control is let go; [`Control::free_response`] checks it.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct FreeResponseSpec {
    /// Which angle moves.
    pub way: Way,
    /// Where it is let go at rest, rad.
    pub start: f64,
    /// How long to look, s, 1e-6 to 1000.
    pub duration: f64,
    /// Number of equally spaced times to report, 2 to 1000000.
    pub points: usize,
    /// Share of the speed with which it comes back from a stop, 0 to 1.
    pub rebound: f64,
}

impl FreeResponseSpec {
    /// Of the only angle, or the outer one of a gimbal; at 501 times, without rebound from the stops.
    #[must_use]
    pub fn new(start: f64, duration: f64) -> Self {
        Self {
            way: Way::FIRST,
            start,
            duration,
            points: 501,
            rebound: 0.0,
        }
    }
}

/// What a control does after it is let go.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct FreeResponse {
    /// Times, s.
    pub time: Vec<f64>,
    /// Angle, rad.
    pub angle: Vec<f64>,
    /// Speed, rad/s.
    pub speed: Vec<f64>,
    /// When and where it turned back between the stops: time, s, and angle, rad.
    pub turns: Vec<[f64; 2]>,
    /// When it hit which stop: time, s, and angle, rad.
    pub stops: Vec<[f64; 2]>,
    /// When and where it came to rest for good: time, s, and angle, rad; `None` if it still moves at the end.
    pub rest: Option<[f64; 2]>,
}

impl FreeResponse {
    /// How far it swung past `center` (rad), as a share of its distance when let go; 0 if it did not. `None` if it was
    /// let go at the center.
    ///
    /// # Errors
    /// [`Error::NotFinite`], also for a share beyond what numbers reach.
    pub fn overshoot(&self, center: f64) -> Result<Option<f64>> {
        finite("center of the swing", center, "rad")?;
        let Some(start) = self.angle.first().map(|angle| angle - center) else {
            return Ok(None);
        };
        if start == 0.0 {
            return Ok(None);
        }
        let past = self
            .angle
            .iter()
            .chain(self.turns.iter().map(|[_, angle]| angle));
        let most = past
            .map(|angle| -(angle - center) / start)
            .fold(0.0, f64::max);
        finite("overshoot", most, "(no unit)").map(Some)
    }

    /// Time, s, after which it stays within `band` (rad, 0 and more) of `center` (rad), by straight lines between the
    /// times reported; `None` if it does not.
    ///
    /// # Errors
    /// [`Error::NotFinite`], [`Error::OutOfRange`].
    pub fn settling_time(&self, center: f64, band: f64) -> Result<Option<f64>> {
        finite("center of the swing", center, "rad")?;
        within("band about the center", band, 0.0, f64::MAX, "rad")?;
        let out = |angle: &f64| (angle - center).abs() > band;
        let Some(last) = self.angle.iter().rposition(out) else {
            return Ok(self.time.first().copied());
        };
        let rows = self.time.iter().zip(&self.angle).skip(last).take(2);
        let rows: Vec<(&f64, &f64)> = rows.collect();
        let [(from, a), (to, b)] = rows.as_slice() else {
            return Ok(None);
        };
        let edge = center + band.copysign(**a - center);
        let share = (edge - **a) / (**b - **a);
        finite("settling time", **from + (**to - **from) * share, "s").map(Some)
    }
}

/// The motion between two events: one sign of the speed, one piece of the force curve.
struct Stretch<'a> {
    track: &'a Track<'a>,
    piece: [f64; 2],
    sign: f64,
    refused: &'a RefCell<Option<Error>>,
}

impl Stretch<'_> {
    /// Acceleration, rad/s^2.
    fn acceleration(&self, angle: f64, speed: f64) -> Result<f64> {
        observer::check()?;
        let [least, greatest] = self.piece;
        // A trial step may reach past the piece; what is found there is thrown away.
        let angle = angle.clamp(least, greatest);
        let side = if angle >= greatest { -1.0 } else { 1.0 };
        let slope = self.track.at(angle, side)?.slope;
        let drag = self.track.drag(angle)?;
        let [inertia, change] = drag.inertia;
        let resisting = drag.damping * speed + drag.friction * self.sign;
        Ok(-(slope + resisting + 0.5 * change * speed * speed) / inertia)
    }
}

impl System<f64, Vector2<f64>> for Stretch<'_> {
    fn system(&self, _time: f64, state: &Vector2<f64>, rate: &mut Vector2<f64>) {
        rate.x = state.y;
        rate.y = self.acceleration(state.x, state.y).unwrap_or_else(|error| {
            self.refused.borrow_mut().get_or_insert(error);
            0.0
        });
    }

    fn solout(&mut self, _time: f64, state: &Vector2<f64>, _rate: &Vector2<f64>) -> bool {
        let [least, greatest] = self.piece;
        state.y * self.sign < 0.0
            || state.x < least
            || state.x > greatest
            || self.refused.borrow().is_some()
    }
}

/// What ends a stretch of motion.
enum Event {
    Time,
    Turn,
    Edge(f64),
}

impl Control {
    /// Lets the control go at rest and follows it: energy, inertia, damping and Coulomb friction as they are at every
    /// angle.
    ///
    /// The equation J q'' + J' q'^2 / 2 + c q' + T sign(q') + dU/dq = 0 is integrated (Dormand and Prince, order 5)
    /// from event to event: a turn, a jump of the force, a stop. At a turn the control stays if the torque of springs
    /// and weights does not exceed the friction; nothing is smoothed.
    ///
    /// # Errors
    /// As [`state`](Self::state) over the travel; [`Error::NotFinite`], [`Error::OutOfRange`] for a value outside the
    /// range named in [`FreeResponseSpec`], or a control whose moment of inertia is not at least 1e-12 kg m^2;
    /// [`Error::Count`]; [`Error::Stalled`] if the motion cannot be followed.
    ///
    /// # References
    /// J. R. Dormand and P. J. Prince, J. Comput. Appl. Math. 6 (1980) 19; E. Hairer, S. P. Norsett and G. Wanner,
    /// *Solving Ordinary Differential Equations I*, Springer 1993, II.5 and II.6.
    pub fn free_response(&self, spec: &FreeResponseSpec) -> Result<FreeResponse> {
        let track = Track::new(self, spec.way)?;
        check_angle(spec.start, &track.travel)?;
        within("duration", spec.duration, 1e-6, 1000.0, "s")?;
        within("rebound from a stop", spec.rebound, 0.0, 1.0, "(no unit)")?;
        counted("times to report", spec.points, [2, 1_000_000])?;
        for angle in spaced(track.travel, 100) {
            let inertia = track.drag(angle)?.inertia[0];
            within(
                "moment of inertia of the control",
                inertia,
                1e-12,
                1e6,
                "kg m^2",
            )?;
            track.at(angle, 1.0)?;
        }
        let times = spaced([0.0, spec.duration], spec.points - 1).collect();
        Follower {
            track: &track,
            spec,
            pieces: track.pieces()?,
            release: FreeResponse {
                time: times,
                angle: Vec::with_capacity(spec.points),
                speed: Vec::with_capacity(spec.points),
                turns: Vec::new(),
                stops: Vec::new(),
                rest: None,
            },
        }
        .follow()
    }
}

/// Follows a motion from event to event.
struct Follower<'a> {
    track: &'a Track<'a>,
    spec: &'a FreeResponseSpec,
    pieces: Vec<[f64; 2]>,
    release: FreeResponse,
}

impl Follower<'_> {
    fn follow(mut self) -> Result<FreeResponse> {
        let [least, greatest] = self.track.travel;
        let end = self.spec.duration * (1.0 - AT_END);
        let (mut time, mut angle, mut speed) = (0.0, self.spec.start.clamp(least, greatest), 0.0);
        for _ in 0..MOST_EVENTS {
            if time >= end {
                break;
            }
            let Some((sign, piece)) = self.next_stretch(&mut angle, speed)? else {
                self.release.rest = Some([time, angle]);
                break;
            };
            let event = self.move_on(&mut time, &mut angle, &mut speed, sign, piece)?;
            match event {
                Event::Time => break,
                Event::Turn => {
                    speed = 0.0;
                    self.release.turns.push([time, angle]);
                }
                Event::Edge(edge) => {
                    angle = edge;
                    if edge == least || edge == greatest {
                        self.release.stops.push([time, edge]);
                        speed *= -self.spec.rebound;
                        if speed.abs() < STOPPED {
                            speed = 0.0;
                        }
                    }
                }
            }
        }
        if self.release.rest.is_none() && time < end {
            return Err(self.stalled(time));
        }
        let missing = self.release.time.len() - self.release.angle.len();
        self.release
            .angle
            .extend(std::iter::repeat_n(angle, missing));
        self.release
            .speed
            .extend(std::iter::repeat_n(speed, missing));
        Ok(self.release)
    }

    /// Which way the motion goes on, and on which piece of the force curve; `None` if it stays.
    fn next_stretch(&self, angle: &mut f64, speed: f64) -> Result<Option<(f64, [f64; 2])>> {
        if speed != 0.0 {
            let sign = speed.signum();
            return Ok(self.piece(*angle, sign).map(|piece| (sign, piece)));
        }
        // A turn next to a breakout that holds is a rest in it.
        let cuts = self.pieces.iter().skip(1).map(|piece| piece[0]);
        for cut in cuts {
            if (*angle - cut).abs() < AT_REST && self.way_from(cut)?.is_none() {
                *angle = cut;
                return Ok(None);
            }
        }
        let way = self.way_from(*angle)?;
        Ok(way.and_then(|sign| self.piece(*angle, sign).map(|piece| (sign, piece))))
    }

    /// Which way it leaves an angle where it is at rest.
    fn way_from(&self, angle: f64) -> Result<Option<f64>> {
        let friction = self.track.friction(angle)?;
        if self.piece(angle, 1.0).is_some() && self.track.at(angle, 1.0)?.slope < -friction {
            return Ok(Some(1.0));
        }
        if self.piece(angle, -1.0).is_some() && self.track.at(angle, -1.0)?.slope > friction {
            return Ok(Some(-1.0));
        }
        Ok(None)
    }

    /// The piece of the force curve that lies in a direction.
    fn piece(&self, angle: f64, sign: f64) -> Option<[f64; 2]> {
        let there = |[from, to]: &&[f64; 2]| {
            if sign > 0.0 {
                *from <= angle && angle < *to
            } else {
                *from < angle && angle <= *to
            }
        };
        self.pieces.iter().find(there).copied()
    }

    /// Integrates to the next event, and reports the times on the way.
    fn move_on(
        &mut self,
        time: &mut f64,
        angle: &mut f64,
        speed: &mut f64,
        sign: f64,
        piece: [f64; 2],
    ) -> Result<Event> {
        let refused = RefCell::new(None);
        let stretch = Stretch {
            track: self.track,
            piece,
            sign,
            refused: &refused,
        };
        let start = *time;
        let end = self.spec.duration;
        let state = Vector2::new(*angle, *speed);
        let mut solver = Dopri5::new(stretch, start, end, end - start, state, RELATIVE, ABSOLUTE);
        let mut model = ContinuousOutputModel::new();
        let outcome = solver.integrate_with_continuous_output_model(&mut model);
        if let Some(error) = refused.take() {
            return Err(error);
        }
        if outcome.is_err() {
            return Err(self.stalled(start));
        }
        let reached = solver.x_out();
        let (Some(&last), before) = (reached.last(), reached.iter().rev().nth(1)) else {
            return Err(self.stalled(start));
        };
        let before = before.copied().unwrap_or(start);
        let at = |t: f64| model.evaluate(t).unwrap_or(state);
        let over =
            |state: &Vector2<f64>| state.y * sign < 0.0 || state.x < piece[0] || state.x > piece[1];
        let mut until = last;
        let mut event = Event::Time;
        let after = solver.y_out().last().copied().unwrap_or(state);
        if over(&after) {
            let (mut a, mut b) = (before, last);
            for _ in 0..HALVINGS {
                let middle = 0.5 * (a + b);
                if middle <= a || middle >= b {
                    break;
                }
                if over(&at(middle)) {
                    b = middle
                } else {
                    a = middle
                }
            }
            until = b;
            let there = at(b);
            event = if there.x < piece[0] {
                Event::Edge(piece[0])
            } else if there.x > piece[1] {
                Event::Edge(piece[1])
            } else {
                Event::Turn
            };
        }
        while let Some(&next) = self.release.time.get(self.release.angle.len())
            && next <= until
        {
            // The first time is that of the start, at which the model may begin a rounding later.
            let state = if next <= start { state } else { at(next) };
            self.release.angle.push(state.x);
            self.release.speed.push(state.y);
        }
        let there = if matches!(event, Event::Time) {
            after
        } else {
            at(until)
        };
        (*time, *angle, *speed) = (until, there.x.clamp(piece[0], piece[1]), there.y);
        Ok(event)
    }

    fn stalled(&self, time: f64) -> Error {
        Error::Stalled {
            quantity: "the motion of the control",
            reached: time,
            wanted: self.spec.duration,
            unit: "s",
        }
    }
}
