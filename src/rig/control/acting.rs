//! What acts on a control: springs, weights, friction, breakouts and cams, list by list.

use nalgebra::Vector3;

use crate::axis::Carrier;
use crate::error::Error;
use crate::feel::{
    Anchor, Body, Breakout, Cam, CamEnds, CamSpec, Element, Friction, friction_torque,
};
use crate::rig::design_error::Read;
use crate::rig::document::Section;
use crate::rig::keys::FeelBody;
use crate::rig::parts::{Parts, SpringPart};
use crate::rig::reading::Reading;
use crate::spring::SpringAction;
use crate::units::{DEG, MM};

/// A spring of the control, by its name in the file.
#[derive(Debug, Clone, PartialEq)]
pub(in crate::rig) struct FittedSpring {
    pub(in crate::rig) name: String,
    /// Its number among the elements of the control.
    pub(in crate::rig) element: usize,
    pub(in crate::rig) part: SpringPart,
}

/// The bodies of a control, as the file names them.
pub(super) enum Bodies {
    /// On one pivot, with so many bodies that it drives.
    Alone(usize),
    Gimbal,
}

impl Bodies {
    /// The body that a key names, or the one that stands for it.
    fn read(&self, reading: &mut Reading<'_, '_>, key: &str, other: Body) -> Body {
        match self {
            Self::Gimbal => match reading.maybe_word::<Carrier>(key) {
                None => other,
                Some(Carrier::Frame) => Body::Ground,
                Some(Carrier::Ring) => Body::Ring,
                Some(Carrier::Stick) => Body::Lever,
            },
            Self::Alone(driven) => match reading.maybe_word::<FeelBody>(key) {
                None => other,
                Some(FeelBody::Frame) => Body::Ground,
                Some(FeelBody::Lever) => Body::Lever,
                Some(FeelBody::Driven) if *driven > 0 => Body::Driven(0),
                Some(FeelBody::OtherPedal) if *driven > 1 => Body::Driven(1),
                Some(_) => {
                    let wanted = "a body that this control has: the frame, the lever, with a drive what is driven, \
                                  with pedals the other one";
                    reading.not_here(key, wanted);
                    other
                }
            },
        }
    }
}

/// What has been read so far of all that acts.
pub(super) struct Acting<'b> {
    pub(super) bodies: &'b Bodies,
    pub(super) on_stick: bool,
    pub(super) elements: Vec<Element>,
    pub(super) springs: Vec<FittedSpring>,
    /// Why a spring cannot be: the first of them.
    pub(super) broken: Option<Error>,
}

impl Acting<'_> {
    pub(super) fn read(
        &mut self,
        reading: &mut Reading<'_, '_>,
        feel: &Section<'_>,
        parts: &Parts,
    ) -> Read<()> {
        let kinds: [(&'static str, [&'static str; 2]); 5] = [
            ("spring", ["axis.feel.spring", "stick.feel.spring"]),
            ("weight", ["axis.feel.weight", "stick.feel.weight"]),
            ("friction", ["axis.feel.friction", "stick.feel.friction"]),
            ("breakout", ["axis.feel.breakout", "stick.feel.breakout"]),
            ("cam", ["axis.feel.cam", "stick.feel.cam"]),
        ];
        for (name, kind) in kinds {
            let kind = kind[usize::from(self.on_stick)];
            for section in reading
                .note(feel.list_within(name, kind))
                .unwrap_or_default()
            {
                let read = match name {
                    "spring" => self.spring(&section, parts),
                    "weight" => self.weight(&section),
                    "friction" => self.friction(&section),
                    "breakout" => self.breakout(&section),
                    _ => self.cam(&section),
                };
                reading.note(read);
            }
        }
        Ok(())
    }

    fn spring(&mut self, section: &Section<'_>, parts: &Parts) -> Read<()> {
        let mut reading = Reading::new(section);
        let name = reading.text("spring");
        let part = reading.note(parts.springs.of(section, "spring")).cloned();
        let ends = [
            ("from_mm", "from_on", Body::Ground),
            ("to_mm", "to_on", Body::Lever),
        ]
        .map(|(point, on, usual)| {
            let point = reading.maybe_vector(point);
            (point, self.bodies.read(&mut reading, on, usual))
        });
        let body = self.bodies.read(&mut reading, "on", Body::Lever);
        let free = reading.maybe("free_deg");
        let action = reading.maybe_word("works");
        let Some(part) = part else {
            return reading.done();
        };
        let along_line = ["from_mm", "from_on", "to_mm", "to_on"];
        let about_pivot = ["free_deg", "works", "on"];
        let element = match &part.made {
            // Neither its ends nor its angle are of use, but they may stand there.
            Err(error) => Err(error.clone()),
            Ok(made) => {
                let action = action.unwrap_or(SpringAction::Above);
                let (surplus, wanted) = match made.along_line() {
                    Some(law) => {
                        reading.needs_all(&["from_mm", "to_mm"]);
                        let [from, to] = ends.map(|(point, body)| {
                            Anchor::new(body, point.unwrap_or_else(Vector3::zeros).into())
                        });
                        let element = law.and_then(|law| Ok(Element::line(law, from?, to?)));
                        (&about_pivot[..], element)
                    }
                    None => {
                        reading.needs("free_deg");
                        let law = made.about_pivot(free.unwrap_or(0.0), action);
                        let element = law
                            .unwrap_or_else(|| Err(no_law()))
                            .map(|spring| Element::Torsion { spring, body });
                        (&along_line[..], element)
                    }
                };
                for key in surplus {
                    if reading.has(key) {
                        let told = if surplus.len() == about_pivot.len() {
                            "no such key: this spring works along a line"
                        } else {
                            "no such key: this spring works about a pivot"
                        };
                        reading.not_here(key, told);
                    }
                }
                wanted
            }
        };
        reading.done()?;
        match element {
            Ok(element) => {
                self.springs.push(FittedSpring {
                    name,
                    element: self.elements.len(),
                    part,
                });
                self.elements.push(element);
            }
            Err(error) => {
                self.broken.get_or_insert(error);
            }
        }
        Ok(())
    }

    fn weight(&mut self, section: &Section<'_>) -> Read<()> {
        let mut reading = Reading::new(section);
        let (mass, at) = (reading.number("mass_g"), reading.point("at_mm"));
        let body = self.bodies.read(&mut reading, "on", Body::Lever);
        let at = reading.check("at_mm", Anchor::new(body, at));
        reading.done()?;
        self.elements
            .extend(at.map(|at| Element::Mass { mass, at }));
        Ok(())
    }

    fn friction(&mut self, section: &Section<'_>) -> Read<()> {
        let mut reading = Reading::new(section);
        let body = self.bodies.read(&mut reading, "on", Body::Lever);
        let by_parts = ["coefficient", "radius_mm", "load_N"];
        for key in by_parts {
            reading.excludes(key, "torque_Nmm");
        }
        let torque = if by_parts.iter().any(|key| reading.has(key)) {
            reading.needs_all(&by_parts);
            let [coefficient, radius, load] = by_parts.map(|key| reading.number_or(key, 0.0));
            friction_torque(coefficient, radius, load)
        } else {
            Ok(reading.number("torque_Nmm"))
        };
        let friction = torque.and_then(|torque| Friction::in_bearing(body, torque));
        reading.done()?;
        let friction = friction.map_err(|error| section.refused(error))?;
        self.elements.push(Element::Friction(friction));
        Ok(())
    }

    fn breakout(&mut self, section: &Section<'_>) -> Read<()> {
        let mut reading = Reading::new(section);
        let body = self.bodies.read(&mut reading, "on", Body::Lever);
        let breakout = Breakout::new(
            body,
            reading.number("preload_Nmm"),
            reading.number_or("rate_Nmm_per_deg", 0.0),
            reading.number_or("center_deg", 0.0),
        );
        reading.done()?;
        let breakout = breakout.map_err(|error| section.refused(error))?;
        self.elements.push(Element::Breakout(breakout));
        Ok(())
    }

    fn cam(&mut self, section: &Section<'_>) -> Read<()> {
        let mut reading = Reading::new(section);
        let body = self.bodies.read(&mut reading, "on", Body::Lever);
        let points = reading.rows::<2>("points_deg_and_mm");
        let preload = reading.number("preload_N");
        let rate = reading.number_or("rate_N_per_mm", 0.0);
        let repeats = reading.flag_or("repeats", false);
        reading.done()?;
        let (angles, lifts) = points
            .iter()
            .map(|[angle, lift]| (angle * DEG, lift * MM))
            .unzip();
        let cam = Cam::new(CamSpec {
            rate,
            ends: if repeats {
                CamEnds::Periodic
            } else {
                CamEnds::Refused
            },
            ..CamSpec::new(body, angles, lifts, preload)
        });
        let cam = cam.map_err(|error| section.refused(error))?;
        self.elements.push(Element::Cam(cam));
        Ok(())
    }
}

/// Every spring works along a line or about a pivot; this stands where neither is found.
fn no_law() -> Error {
    Error::Absent {
        quantity: "law",
        of: "the spring",
        advice: "",
    }
}
