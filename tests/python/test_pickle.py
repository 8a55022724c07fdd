"""Every value can be sent to a worker: pickled and made again, the same to the last bit."""

import copy
import copyreg
import pickle
from pathlib import Path
from typing import Any

import numpy as np
import pytest

import yokewright as yw
from public_names import PUBLIC
from rig_samples import evaluated_mechanics
from test_hostile import Callers, slow, stubbed
from tolerance_samples import rigs, studies
from yokewright import mm

# Not values. An observer belongs to the thread in whose `with` block it stands, a study goes on, a callable may be any
# closure; of the bases there are no objects.
NO_VALUES = {"Observer", "YieldStudy", "CallableDesign", "FieldSource", "Magnet", "Arrangement"}
CLASSES = sorted(name for name, thing in PUBLIC.items() if isinstance(thing, type) and not issubclass(thing, Exception))


def measured_on_the_bench() -> list[Any]:
    angle = np.concatenate([np.linspace(-6, 6, 41), np.linspace(6, -6, 41)]) * yw.deg
    layout = yw.axis.SwungLayout(magnet=yw.magnet.Block((5 * mm,) * 3, (0, 1.3, 0)), arm=12 * mm, gap=2 * mm)
    sensor = yw.hall.LinearHall(supply=5.0, sensitivity=20.0)
    converter = yw.hall.Converter(bits=12, reference=5.0)
    parts = {"throw": (-6 * yw.deg, 6 * yw.deg), "sensor": sensor, "converter": converter}
    built = layout.with_measure("gap", 2.2 * mm).axis(**parts)
    count = np.round(sensor.outputs(built.fluxes_at(angle)[0])[0] / converter.lsb)
    log = yw.axis.BenchLog(np.append(angle, 0.0), np.append(count, np.nan), bits=12)
    sweep = log.sweep(leave_out=["missing"])
    calibration = sweep.calibrate_table(9)
    found = yw.axis.identify_axis(sweep, layout, **parts, within={"gap": (1 * mm, 4 * mm)})
    return [
        *(log, log.doubts[0], sweep, sweep.hysteresis, calibration, calibration.curve, calibration.after),
        *(sweep.calibrate_cubic(5).curve, sweep.calibrate_polynomial(5).curve, calibration.points_worth()[0]),
        *(calibration.firmware("roll", dead_zone=0.1 * yw.deg), found, found.quantities[0], found.advice[0]),
    ]


def others() -> list[Any]:
    """What calls with usual arguments do not come upon."""
    example = (Path(__file__).parents[2] / "examples" / "trainer_stick.toml").read_text(encoding="utf-8")
    # The sensor of the second axis within its magnet.
    collides = example.replace("offset_mm = [0.0, 0.3, 0.0]", "offset_mm = [-6.0, 0.0, 0.0]")
    pivot = yw.linkage.Pivot((0, 0, 0), (1, 0, 0))
    half = yw.linkage.FixedRatio(0.5)
    four_bar = yw.linkage.FourBar(ground=0.1, crank=0.04, coupler=0.12, rocker=0.08)
    slider = yw.linkage.SliderCrank(0.04, 0.12)
    rod = yw.linkage.Rod(
        section=yw.linkage.RodSection.tube(6 * mm, 1 * mm), material=yw.linkage.RodMaterial(70e9, 200e6), length=0.2
    )
    twist = yw.spring.LinearTorsionSpring(rate=6.0, free_angle=0.0, action="both")
    control = yw.feel.Control(
        pivots=[pivot, yw.linkage.Pivot((0, 0, 0), (0, 1, 0))],
        travel=[(-0.2, 0.2)] * 2,
        grip=(0, 0, 0.4),
        elements=[yw.feel.Element.torsion(twist, body) for body in ("ring", "lever")],
    )
    wire = {"wire": "ASTM A228", "wire_diameter": 1 * mm, "outer_diameter": 10 * mm}
    compression = yw.spring.CompressionSpring(**wire, active_turns=8, free_length=40 * mm)
    extension = yw.spring.ExtensionSpring(**wire, body_turns=20, initial_tension=3.0)
    torsion = yw.spring.TorsionSpring(**wire, body_turns=5)
    axis = yw.rig.Design.parse(example).evaluate(11).axes[0]
    turned = yw.Pose(rotation=(0.1, 0.2, 0.3))
    disc = yw.magnet.Cylinder(6 * mm, 3 * mm, (0.4, 0.0, 1.1), turned)
    mounted = {"plate": yw.axis.BackPlate(1 * mm), "package": yw.axis.SensorPackage(4 * mm, 3 * mm, 1 * mm)}
    carried = [
        yw.axis.CarriedSensor(axis.axis.sensor, yw.Pose((0.02, 0, z)), on, axis.axis.converter)
        for z, on in ((0.012, "frame"), (-0.012, "ring"))
    ]
    two = yw.axis.TwoAxis(
        gimbal=yw.linkage.Gimbal(
            outer=pivot, inner=yw.linkage.Pivot((0, 0, 0), (0, 1, 0)), stick=[(0, 0, 0), (0, 0, 0.4)]
        ),
        gate=yw.linkage.Gate.round(0.2),
        magnets=[
            yw.axis.CarriedMagnets(yw.magnet.Block((5 * mm,) * 3, (0, 0.7, 1), yw.Pose((0.02, 0, 0))), "stick", "both")
        ],
        outer=carried[0],
        inner=carried[1],
    )
    digital = yw.axis.CarriedSensor(
        yw.hall.AngleSensor(bits=14),
        yw.Pose((0.02, 0, 0.012)),
        "frame",
        celsius=45.0,
        area=yw.magnet.ActiveArea.disc(0.5 * mm),
    )
    wiper = yw.hall.Potentiometer(travel=5.0, supply=3.3)
    shaft = yw.axis.CarriedSensor.on_shaft(wiper, axis.axis.converter)
    warm = yw.axis.CarriedMagnets(disc, "ring", "outer", remanence_drift=-1e-3, reference_celsius=25.0, celsius=45.0)
    any_sensors = yw.axis.TwoAxis(gimbal=two.gimbal, gate=two.gate, magnets=[warm], outer=digital, inner=shaft)
    return [
        *(any_sensors, any_sensors.reading_at(0.1, 0.05), any_sensors.map(5, 5), any_sensors.crosstalk(5)),
        yw.axis.SwungLayout(magnet=disc, arm=20 * mm, gap=3 * mm, magnet_tilt=(0.01, 0.02, 0.03), **mounted),
        yw.axis.PairLayout(magnets=disc, arm=20 * mm, gap=3 * mm, spacing=1 * mm, carrier="round"),
        yw.axis.HeadOnLayout(magnet=disc, arm=20 * mm, gap=3 * mm, sensor_tilt=(0.01, 0.02, 0.03), **mounted),
        yw.axis.ShaftEndLayout(magnet=disc, gap=3 * mm, eccentricity=(0.1 * mm, 0.2 * mm), side="beside"),
        *(two, two.reading_at(0.1, 0.05), two.readings_at([0.1, np.nan], [0.0, 0.1]), two.map(5, 5)),
        *(two.crosstalk(5), two.correction("linear", 5)),
        yw.rig.Design.parse(collides).evaluate(11).broken[0],
        *evaluated_mechanics(Path(__file__).parents[2] / "examples" / "training_rig.toml"),
        *(
            half,
            yw.linkage.TransmissionChain([half, yw.linkage.UniversalJoint(0.3)]),
            yw.feel.Drive(pivot, "lever", half),
        ),
        *(yw.linkage.three_point_four_bar([0.5, 1.0, 1.5], [0.6, 0.9, 1.3], 0.1), four_bar.motion(0.5, "open", 1.0)),
        *(slider.motion(0.5, "open", 1.0), slider.transfer(0.5, "open"), slider.transfers([0.5, np.nan], "open")),
        *(rod, rod.section, rod.material, rod.loaded_by(-50.0)),
        *(control.equilibrium([0.05, 0.05]), control.state([0.05, 0.05])),
        yw.feel.CapturedSpring(neutral_length=0.1, preload=10.0, rate=1000.0, stroke=0.01),
        *(compression.fatigue((2.0, 5.0)), extension.fatigue((4.0, 6.0)), torsion.fatigue((0.01, 0.05))),
        yw.hall.AngleSensor(bits=14, offsets=(1e-4, -2e-4)).first_order_error(0.05),
        yw.hall.AngleError.of(np.arange(8) * np.pi / 4, np.arange(8) * np.pi / 4 + 0.01),
        yw.hall.SignalChain(converter=axis.axis.converter, averaging=yw.hall.Averaging(4, 1e-3)).noise(1e-3),
        *yw.hall.TypicalPart.all(),
        yw.axis.compare({"stick": axis.axis}, celsius=(10.0, 40.0)),
        yw.axis.error_budget(axis.axis).largest,
        *measured_on_the_bench(),
        yw.spring.Endurance.zimmerli("ASTM A228", 1 * mm),
        yw.magnet.WorkingPoint(yw.magnet.Grade.named("N42"), 0.3, celsius=60.0),
        just_outside(),
        *slow(),
        *rigs(),
        *studies(axis.arrangement, axis.axis),
    ]


def just_outside() -> Any:
    """A search that finds something, and more of it just outside a limit."""
    cube = yw.magnet.Block((5 * mm, 5 * mm, 5 * mm), (0, 1.3, 0))
    far = yw.axis.SwungLayout(magnet=cube, arm=8 * mm, gap=6 * mm)
    near = yw.axis.SwungLayout(magnet=cube, arm=20 * mm, gap=3 * mm)
    parts: dict[str, Any] = {
        "throw": (-0.1, 0.1),
        "converter": yw.hall.Converter(bits=12, reference=5.0),
    }
    sensor = yw.hall.LinearHall(supply=5.0, sensitivity=25.0)
    linearity = near.axis(sensor=sensor, **parts).figures().linearity_volts
    assert linearity is not None
    search = yw.axis.search_arrangements(
        [far, near],
        sensors=[sensor],
        vary={},
        max_linearity=linearity.independent / 1.01,
        **parts,
    )
    assert search.result.found
    assert search.just_outside is not None
    return search


@pytest.fixture(scope="module")
def known() -> dict[str, list[Any]]:
    """Objects of every class, from all that can be asked of one another without arguments or with usual ones."""
    callers = Callers()
    for one in others():
        callers.meet(one)
    callers.look_round(list(stubbed()))
    return callers.known


def same(one: Any, two: Any) -> bool:
    """Equal, in every array and figure where a class has no `==` of its own."""
    if type(one) is not type(two):
        return False
    if isinstance(one, np.ndarray):
        return np.array_equal(one, two, equal_nan=one.dtype.kind == "f")
    if isinstance(one, (list, tuple)):
        return len(one) == len(two) and all(same(a, b) for a, b in zip(one, two, strict=True))
    if isinstance(one, float):
        return one == two or (one != one and two != two)
    if type(one).__eq__ is not object.__eq__:
        return bool(one == two)
    names = [name for name, thing in vars(type(one)).items() if hasattr(thing, "__get__") and not callable(thing)]
    return repr(one) == repr(two) and all(same(getattr(one, name), getattr(two, name)) for name in names)


@pytest.mark.parametrize("name", sorted(set(CLASSES) - NO_VALUES))
def test_every_class_pickles(known: dict[str, list[Any]], name: str) -> None:
    assert known.get(name), f"the test knows no {name}"
    for value in known[name]:
        for protocol in range(2, pickle.HIGHEST_PROTOCOL + 1):
            assert same(pickle.loads(pickle.dumps(value, protocol)), value)
        assert same(copy.deepcopy(value), value)


def test_rows_without_a_value_pickle() -> None:
    rows = yw.linkage.FourBar(ground=0.1, crank=0.04, coupler=0.12, rocker=0.08).solve_many([0.3, np.nan])
    again = pickle.loads(pickle.dumps(rows))
    assert again.valid.tolist() == [True, False]
    assert np.isnan(again.open_rocker[1])
    with pytest.raises(ValueError, match="read-only"):
        again.open_rocker[0] = 1.0


def test_what_is_no_pickle_is_refused() -> None:
    line = yw.axis.linearity([0.0, 1.0, 2.0], [0.0, 1.1, 2.0])
    function, (kind, packed) = copyreg.dispatch_table[type(line)](line)
    for wrong in (packed[:-1], b"", b"\xff", None, 3.0):
        with pytest.raises((TypeError, ValueError)):
            function(kind, wrong)
    with pytest.raises(ValueError, match="not pickled in this way"):
        function(yw.magnet.Block, packed)
