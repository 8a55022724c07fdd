//! Force and torque between magnets, and between magnets and steel.
//!
//! Four ways, one for each case: a sphere and anything (`sphere`) and parallel blocks (`blocks`) in closed form, far
//! magnets as clouds of dipoles (`far`), everything else by integrating the pull of the field of one magnet on the
//! surface charge of the other (`charge`).

mod blocks;
mod charge;
mod far;
mod pair;
mod sphere;

use nalgebra::{Isometry3, Point3, Translation3, Vector3};
use serde::{Deserialize, Serialize};

use crate::error::{Error, Result, within};
use crate::magnet::force::pair::{Action, Pair};
use crate::magnet::group::center;
use crate::magnet::{FieldSource, Magnet, MagnetGroup, SteelPlate, check_point};
use crate::observer;
/// The error that [`pull`] allows, as a share of the force between two magnets.
pub const PULL_TOLERANCE: f64 = 1e-9;

/// Force and torque on magnets.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct Pull {
    /// Force, N.
    pub force: Vector3<f64>,
    /// Torque about the point asked for, N m.
    pub torque: Vector3<f64>,
    /// Estimated error of the force (its length), N: numerical only, not that of the model.
    pub force_error: f64,
    /// Estimated error of the torque (its length), N m.
    pub torque_error: f64,
}

/// Force and torque of the magnets `by` on the magnets `on`, the torque about the point `about`; `None` stands for the
/// center of the magnet acted on, of several for [`MagnetGroup::center`].
///
/// Takes a [`Magnet`], a [`MagnetGroup`], or any list of magnets. The magnets of one side are taken as stuck together;
/// what they do to each other does not count. Magnets may touch. The error stays below [`PULL_TOLERANCE`]; see
/// [`pull_within`].
///
/// # Example
/// ```
/// use nalgebra::{Isometry3, Point3, Vector3};
/// use yokewright::magnet::{Block, Magnet, pull};
/// use yokewright::units::MM;
///
/// // Two 10 mm cubes of 1.2 T in line, 5 mm apart, attract each other.
/// let cube = |z: f64| {
///     let pose = Isometry3::translation(0.0, 0.0, z);
///     Block::new(Vector3::repeat(10.0 * MM), Vector3::new(0.0, 0.0, 1.2), pose).map(Magnet::from)
/// };
/// let pull = pull(&cube(0.0)?, &cube(15.0 * MM)?, Point3::origin())?;
/// assert!((pull.force.z + 9.458).abs() < 0.001);
/// # Ok::<(), yokewright::Error>(())
/// ```
///
/// # Errors
/// As [`pull_within`].
pub fn pull(
    by: &(impl AsRef<[Magnet]> + ?Sized),
    on: &(impl AsRef<[Magnet]> + ?Sized),
    about: impl Into<Option<Point3<f64>>>,
) -> Result<Pull> {
    pull_within(by, on, about, PULL_TOLERANCE)
}

/// [`pull`] with an error of no more than `tolerance` times the force, for each pair of magnets.
///
/// Where the pulls on the parts of a magnet cancel, so that next to nothing remains, a thousandth of `tolerance` (at
/// least 1e-12) times the sum of their absolute values is enough. The same holds for the torque about the center of the
/// magnet. The error estimates include the rounding of the field.
///
/// A sphere and anything take about a microsecond, two blocks with parallel sides 30, whatever the tolerance; others
/// that keep clear of each other a millisecond or so; two round ones on one axis that touch some milliseconds. Magnets
/// that touch askew, so that the edge of one crosses the face of the other, take some hundredths of a second at a
/// tolerance of 1e-3 and some tenths at 1e-9.
///
/// # Errors
/// [`Error::Overlap`] if two magnets, one of each side, overlap; [`Error::NotConverged`] if the tolerance cannot be
/// reached; [`Error::Count`] for an empty list; [`Error::NotFinite`] or [`Error::OutOfRange`] if `about` is not finite
/// or more than 1e6 m out or the tolerance is not 1e-12 to 0.1.
///
/// # References
/// E. P. Furlani, *Permanent Magnet and Electromechanical Devices*, Academic Press 2001, ch. 3 (force on surface
/// charge); for parallel blocks G. Akoun and J.-P. Yonnet, IEEE Trans. Magn. 20 (1984) 1962, and H. Allag and J.-P.
/// Yonnet, IEEE Trans. Magn. 45 (2009) 3969.
pub fn pull_within(
    by: &(impl AsRef<[Magnet]> + ?Sized),
    on: &(impl AsRef<[Magnet]> + ?Sized),
    about: impl Into<Option<Point3<f64>>>,
    tolerance: f64,
) -> Result<Pull> {
    let about = about.into().unwrap_or_else(|| center(on.as_ref()));
    check_point(&about)?;
    within("tolerance", tolerance, 1e-12, 0.1, "(no unit)")?;
    let mut sum = Action::default();
    for_each_pair(by.as_ref(), on.as_ref(), |source, target, indices| {
        let action = act(source, target, tolerance, indices)?;
        let arm = target.pose().translation.vector - about.coords;
        let action = action.seen_from(&Isometry3::identity(), &arm);
        sum.force += action.force;
        sum.torque += action.torque;
        sum.force_error += action.force_error;
        sum.torque_error += action.torque_error;
        Ok(())
    })?;
    Ok(Pull {
        force: sum.force,
        torque: sum.torque,
        force_error: sum.force_error,
        torque_error: sum.torque_error,
    })
}

/// Energy of two sets of magnets in each other's field, J: zero far apart, negative where they attract.
///
/// The force is its negative gradient for rigid polarization. For spheres, parallel blocks and far magnets in closed
/// form, else by integration over the volume of one of them, to 1e-9 of the energy.
///
/// # Errors
/// [`Error::Overlap`], [`Error::NotConverged`] and [`Error::Count`] as [`pull_within`]. Touching magnets that are not
/// parallel blocks may fail to converge.
pub fn interaction_energy(
    by: &(impl AsRef<[Magnet]> + ?Sized),
    on: &(impl AsRef<[Magnet]> + ?Sized),
) -> Result<f64> {
    let mut sum = 0.0;
    for_each_pair(by.as_ref(), on.as_ref(), |source, target, indices| {
        let mut pair = Pair::new(source, target, indices)?;
        if pair.target_is_larger() {
            pair = pair.reversed();
        }
        if let Some(action) = pair.with_ball() {
            sum += action.energy;
            return Ok(());
        }
        sum += match pair.closed() {
            Some(action) if action.energy_error <= PULL_TOLERANCE * action.energy.abs() => {
                action.energy
            }
            _ => charge::energy(&pair, PULL_TOLERANCE)?,
        };
        Ok(())
    })?;
    Ok(sum)
}

/// The force with which two such magnets hold together pole to pole, N: the most that fingers between them may have to
/// bear.
///
/// Stacked along the direction of polarization: a block along the side nearest to it, a cylinder or ring along its
/// axis, or, if it is polarized across, side by side. The same magnet sticks to a thick steel plate with the same
/// force, if its polarization is at right angles to the face: its mirror image is such a second magnet.
///
/// # Errors
/// As [`pull_within`], whose tolerance is 1e-6 here.
pub fn contact_force(magnet: &Magnet) -> Result<f64> {
    let magnet = magnet.placed(Isometry3::identity())?;
    let other = magnet.moved(&Translation3::from(magnet.stack_step()).into())?;
    let pull = pull_within(&magnet, &other, None, 1e-6)?;
    Ok(pull.force.norm())
}

impl SteelPlate {
    /// Force and torque of the plate on the magnets, the torque about the point `about` (`None`: about their center).
    /// They may touch the plate.
    ///
    /// The plate pulls like the images of all of them; an overestimate where the plate is thin or saturated (see
    /// [`SteelPlate`]).
    ///
    /// # Example
    /// ```
    /// use nalgebra::{Isometry3, Point3, Vector3};
    /// use yokewright::magnet::{Block, MagnetGroup, SteelPlate};
    /// use yokewright::units::MM;
    ///
    /// // A 10 mm cube of 1.2 T on thick steel, bare and through 0.3 mm of paint.
    /// let plate = SteelPlate::new(Point3::origin(), Vector3::z())?;
    /// let force = |gap: f64| {
    ///     let pose = Isometry3::translation(0.0, 0.0, gap + 5.0 * MM);
    ///     let cube = Block::new(Vector3::repeat(10.0 * MM), Vector3::new(0.0, 0.0, 1.2), pose)?;
    ///     plate.pull(&MagnetGroup::from(cube), Point3::origin()).map(|pull| -pull.force.z)
    /// };
    /// assert!((force(0.0)? - 46.6).abs() < 0.1);
    /// assert!((force(0.3 * MM)? - 34.1).abs() < 0.1);
    /// # Ok::<(), yokewright::Error>(())
    /// ```
    ///
    /// # Errors
    /// As [`SteelPlate::images`] and [`pull_within`].
    pub fn pull(&self, on: &MagnetGroup, about: impl Into<Option<Point3<f64>>>) -> Result<Pull> {
        self.pull_within(on, about, PULL_TOLERANCE)
    }

    /// [`SteelPlate::pull`] with a tolerance as that of [`pull_within`].
    ///
    /// # Errors
    /// As [`SteelPlate::images`] and [`pull_within`].
    pub fn pull_within(
        &self,
        on: &MagnetGroup,
        about: impl Into<Option<Point3<f64>>>,
        tolerance: f64,
    ) -> Result<Pull> {
        pull_within(&self.images(on)?, on, about, tolerance)
    }
}

impl AsRef<[Magnet]> for Magnet {
    fn as_ref(&self) -> &[Magnet] {
        std::slice::from_ref(self)
    }
}

impl AsRef<[Magnet]> for MagnetGroup {
    fn as_ref(&self) -> &[Magnet] {
        self.magnets()
    }
}

fn for_each_pair(
    by: &[Magnet],
    on: &[Magnet],
    mut f: impl FnMut(&Magnet, &Magnet, [usize; 2]) -> Result<()>,
) -> Result<()> {
    for (quantity, list) in [("magnets that pull", by), ("magnets that are pulled", on)] {
        if list.is_empty() {
            return Err(Error::Count {
                quantity,
                count: 0,
                min: 1,
                max: usize::MAX,
            });
        }
    }
    for (i, source) in by.iter().enumerate() {
        for (k, target) in on.iter().enumerate() {
            observer::check()?;
            f(source, target, [i, k])?;
        }
    }
    Ok(())
}

impl Pair {
    /// If one is a sphere, the closed form, exact even where nothing is left of the force.
    fn with_ball(&self) -> Option<Action> {
        sphere::interaction(&self.source, &self.target, &self.relative)
    }

    /// The closed form, if there is one for this pair.
    fn closed(&self) -> Option<Action> {
        let blocks = match (&self.source, &self.target) {
            (Magnet::Block(a), Magnet::Block(b)) => blocks::interaction(
                a,
                b,
                &self.relative.translation.vector,
                self.relative.rotation.to_rotation_matrix().matrix(),
            ),
            _ => None,
        };
        let far = far::interaction(&self.source, &self.target, &self.relative);
        // Far apart the closed form loses what the two have in common.
        match (blocks, far) {
            (Some(a), Some(b)) if a.force_error < b.force_error => Some(a),
            (blocks, far) => far.or(blocks),
        }
    }

    fn act(&self, tolerance: f64) -> Result<Action> {
        if let Some(action) = self.with_ball() {
            return Ok(action);
        }
        let closed = self.closed();
        if let Some(action) = closed {
            let torque = action.torque.norm() + self.target.radius() * action.force.norm();
            if action.force_error <= tolerance * action.force.norm()
                && action.torque_error <= tolerance * torque
            {
                return Ok(action);
            }
        }
        let integrated = charge::action(self, tolerance);
        match (closed, integrated) {
            // Nothing is left of the force (the magnets are at right angles, say): take the better of the two.
            (Some(a), Ok(b)) if a.force_error <= b.force_error => Ok(a),
            (_, integrated) => integrated,
        }
    }
}

/// The action of one magnet on another in the frame that both are given in, the torque about the center of the target.
fn act(source: &Magnet, target: &Magnet, tolerance: f64, indices: [usize; 2]) -> Result<Action> {
    if source.polarization() == Vector3::zeros() || target.polarization() == Vector3::zeros() {
        // Still refused if they overlap.
        Pair::new(source, target, indices)?;
        return Ok(Action::default());
    }
    let pair = Pair::new(source, target, indices)?;
    if pair.target_is_larger() {
        let action = pair.reversed().act(tolerance)?.reversed();
        let arm = source.pose().translation.vector - target.pose().translation.vector;
        Ok(action.seen_from(&target.pose(), &arm))
    } else {
        let action = pair.act(tolerance)?;
        Ok(action.seen_from(&source.pose(), &Vector3::zeros()))
    }
}
