"""The package as installed: what it exports, and how its values and arrays behave in Python."""

import ast
import copy
import importlib.metadata
import pickle
import sys
import threading
from collections.abc import Callable
from importlib import resources
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from numpy.typing import NDArray

import yokewright as yw
from public_names import MODULES, PUBLIC, TOP

if sys.version_info >= (3, 11):
    import tomllib
else:
    import tomli as tomllib

PACKAGE = resources.files(yw)


def test_the_wheel_brings_its_own_licences_and_those_of_what_is_linked_in() -> None:
    files = {path.name: path for path in importlib.metadata.files("yokewright") or []}
    assert {"LICENSE-MIT", "LICENSE-APACHE", "THIRD_PARTY_NOTICES.txt"} <= files.keys()
    notices = files["THIRD_PARTY_NOTICES.txt"].read_text()
    cargo = tomllib.loads((Path(__file__).parents[2] / "Cargo.toml").read_text(encoding="utf-8"))
    at_run_time = cargo["dependencies"].keys() - {"proptest"}
    assert {name for name in at_run_time if f"\n{name} " not in notices} == set()


def test_version_is_that_of_the_crate() -> None:
    cargo = tomllib.loads((Path(__file__).parents[2] / "Cargo.toml").read_text(encoding="utf-8"))
    assert yw.__version__ == cargo["package"]["version"]
    assert yw.__version__ == importlib.metadata.version("yokewright")


def stub(name: str) -> tuple[set[str], list[str]]:
    """What a stub declares, and the `__all__` it holds."""
    names, exported = set(), []
    for node in ast.parse((PACKAGE / f"{name}.pyi").read_text(encoding="utf-8")).body:
        if isinstance(node, (ast.ClassDef, ast.FunctionDef)):
            names.add(node.name)
        elif isinstance(node, ast.AnnAssign) and isinstance(node.target, ast.Name):
            # An alias is for type checkers alone.
            if ast.unparse(node.annotation) != "TypeAlias":
                names.add(node.target.id)
        elif isinstance(node, ast.Assign) and isinstance(node.value, ast.List):
            exported = ast.literal_eval(node.value)
    return names, exported


@pytest.mark.parametrize("module", MODULES, ids=lambda module: module.__name__)
def test_a_module_offers_what_its_stub_declares(module: Any) -> None:
    names, exported = stub(module.__name__.rpartition(".")[2])
    assert names == set(exported) == set(module.__all__)
    assert [name for name in module.__all__ if getattr(module, name) is not PUBLIC[name]] == []


def test_every_name_has_one_home() -> None:
    assert (PACKAGE / "py.typed").is_file()
    names, _ = stub("_core")
    assert {"Pose", "Observer", "mm"} <= names <= TOP.keys()
    homes = [name for module in MODULES for name in module.__all__] + list(TOP)
    assert sorted(homes) == sorted(set(homes))


def test_every_class_says_where_it_lives() -> None:
    for module in MODULES:
        for name in module.__all__:
            if isinstance(value := getattr(module, name), type):
                assert value.__module__ == module.__name__, name


# Values: for each class the arguments of one, and one argument changed.

POSE = {"position": [0.01, -0.02, 0.03], "rotation": [0.1, 0.2, -0.3]}
BLOCK = {"size": [5 * yw.mm, 4 * yw.mm, 3 * yw.mm], "polarization": [0.0, 0.1, 1.3], "pose": yw.Pose(**POSE)}
CYLINDER = {
    "diameter": 6 * yw.mm,
    "length": 3 * yw.mm,
    "polarization": [0.3, 0.0, 1.2],
    "pose": yw.Pose(**POSE),
}
RING = {
    "outer_diameter": 8 * yw.mm,
    "inner_diameter": 3 * yw.mm,
    "length": 4 * yw.mm,
    "polarization": [0.0, 0.0, -1.1],
    "pose": yw.Pose(**POSE),
}
# Clear of each other, as a group has to be.
ASIDE = [{"pose": yw.Pose([x, 1 * yw.mm, 0.0], POSE["rotation"])} for x in (-20 * yw.mm, -40 * yw.mm)]
GROUP = {
    "magnets": [
        yw.magnet.Block(**BLOCK),
        yw.magnet.Cylinder(**{**CYLINDER, **ASIDE[0]}),
        yw.magnet.Ring(**{**RING, **ASIDE[1]}),
    ],
}
HALL = {
    "supply": 3.3,
    "nominal_supply": 5.0,
    "quiescent": 2.5,
    "sensitivity": 15 * yw.mV_per_mT,
    "rail_low": 0.2,
    "rail_headroom": 0.3,
    "noise": 1 * yw.mV,
    "depth": 0.4 * yw.mm,
    "direction": [0.0, 0.6, 0.8],
    "area": (0.2 * yw.mm, 0.3 * yw.mm),
    "bandwidth": 20e3,
    "sensitivity_tolerance": 0.05,
    "quiescent_tolerance": 0.1,
    "sensitivity_drift": 1.2e-3,
    "quiescent_drift": -1e-4,
    "reference_celsius": 20.0,
}
CONVERTER = {
    "bits": 12,
    "reference": 3.3,
    "rounding": "down",
    "noise": 0.5 * yw.mV,
    "nonlinearity": 1.5,
    "oversampling": 4,
}
ANGLE = {
    "bits": 14,
    "analog": None,
    "directions": ((0.0, 0.6, 0.8), (1.0, 0.0, 0.0)),
    "depth": 0.4 * yw.mm,
    "offsets": (0.1 * yw.mT, -0.2 * yw.mT),
    "gain_mismatch": 0.01,
    "nonorthogonality": -0.02,
    "noise": 20e-6,
    "working_flux": (0.03, 0.09),
    "sense": "reverse",
    "zero": 0.5,
}
POTENTIOMETER = {
    "travel": 270 * yw.deg,
    "supply": 3.3,
    "mechanical_travel": 280 * yw.deg,
    "resistance": 5e3,
    "end_resistances": (10.0, 20.0),
    "linearity": 0.02,
    "noise": 0.1 * yw.mV,
    "noise_resistance": 50.0,
    "load": 1e5,
    "center": 100 * yw.deg,
}
CHAIN = {
    "converter": yw.hall.Converter(**CONVERTER),
    "filter": yw.hall.LowPass(cutoff=500.0),
    "averaging": yw.hall.Averaging(samples=8, interval=1e-3),
}
LAYOUT = {
    "magnet": yw.magnet.Block([5 * yw.mm, 5 * yw.mm, 5 * yw.mm], [0.0, 1.3, 0.0]),
    "arm": 12 * yw.mm,
    "gap": 2 * yw.mm,
    "side": "outer",
    "offset": [0.1 * yw.mm, 0.0, 0.0],
    "magnet_tilt": [0.0, 0.0, 0.02],
    "sensor_tilt": [0.01, 0.0, 0.0],
    "plate": yw.axis.BackPlate(1 * yw.mm, holder="sensor"),
    "package": yw.axis.SensorPackage(4 * yw.mm, 3 * yw.mm, 1.5 * yw.mm),
}
PAIR = LAYOUT | {
    "magnets": [
        yw.magnet.Block([4 * yw.mm] * 3, [1.2, 0.0, 0.1]),
        yw.magnet.Cylinder(5 * yw.mm, 3 * yw.mm, [0.0, 0.1, 1.2], yw.Pose(rotation=[0.0, -1.6, 0.1])),
    ],
    "spacing": 1 * yw.mm,
    "carrier": "round",
    "plate": None,
    "package": None,
}
del PAIR["magnet"]
HEAD_ON = {name: value for name, value in LAYOUT.items() if name != "side"}
SHAFT_END = LAYOUT | {"side": "end", "eccentricity": (0.1 * yw.mm, -0.2 * yw.mm)}
del SHAFT_END["arm"]
AXIS = {
    "pivot": [0.0, 0.0, 0.0],
    "direction": [0.0, 0.0, 1.0],
    "throw": (-6 * yw.deg, 7 * yw.deg),
    "magnets": yw.magnet.MagnetGroup(
        [yw.magnet.Block([5 * yw.mm] * 3, [0.0, 1.3, 0.0], yw.Pose([12 * yw.mm, 0.0, 0.0]))]
    ),
    "sensor": yw.hall.LinearHall(**HALL),
    "sensor_pose": yw.Pose([17 * yw.mm, 0.0, 0.0], [0.0, 90 * yw.deg, 0.0]),
    "converter": yw.hall.Converter(**CONVERTER),
    "moving": "sensor",
}
VALUES: list[tuple[Callable[..., Any], dict[str, Any], dict[str, Any]]] = [
    (yw.Pose, POSE, {"rotation": [0.1, 0.2, -0.31]}),
    (yw.magnet.Block, BLOCK, {"polarization": [0.0, 0.1, 1.31]}),
    (yw.magnet.Cylinder, CYLINDER, {"length": 4 * yw.mm}),
    (yw.magnet.Ring, RING, {"inner_diameter": 4 * yw.mm}),
    (yw.magnet.MagnetGroup, GROUP, {"magnets": [yw.magnet.Block(**BLOCK)]}),
    (yw.hall.LinearHall, HALL, {"noise": 2 * yw.mV}),
    (yw.hall.Converter, CONVERTER, {"rounding": "nearest"}),
    (yw.hall.Converter, CONVERTER, {"oversampling": 1}),
    (yw.hall.LinearHall, HALL, {"sensitivity_drift": 0.0}),
    (yw.hall.AngleSensor, ANGLE, {"zero": 0.4}),
    (yw.hall.AngleSensor, {"analog": (5.0, 0.5, 4.5, 2.0)}, {"analog": (5.0, 0.5, 4.5, 3.0)}),
    (yw.hall.Potentiometer, POTENTIOMETER, {"load": None}),
    (yw.hall.LowPass, {"cutoff": 500.0}, {"cutoff": 501.0}),
    (yw.hall.Averaging, {"samples": 8, "interval": 1e-3}, {"samples": 9}),
    (yw.hall.SignalChain, CHAIN, {"filter": None}),
    (yw.axis.SwungLayout, LAYOUT, {"side": "inner"}),
    (yw.axis.PairLayout, PAIR, {"carrier": "flat"}),
    (yw.axis.HeadOnLayout, HEAD_ON, {"plate": None}),
    (yw.axis.ShaftEndLayout, SHAFT_END, {"side": "beside"}),
    (yw.axis.BackPlate, {"distance": 1 * yw.mm, "holder": "magnets"}, {"holder": "sensor"}),
    (
        yw.axis.SensorPackage,
        {"width": 4 * yw.mm, "height": 3 * yw.mm, "thickness": 1 * yw.mm},
        {"width": 5 * yw.mm},
    ),
    (yw.axis.Axis, AXIS, {"moving": "magnets"}),
]
each_value = pytest.mark.parametrize(
    ("make", "arguments", "change"), VALUES, ids=[make.__name__ for make, _, _ in VALUES]
)


@each_value
def test_value_is_what_was_given(make: Any, arguments: dict[str, Any], change: dict[str, Any]) -> None:
    value = make(**arguments)
    for name, given in arguments.items():
        got = getattr(value, name)
        if isinstance(got, np.ndarray):
            # A rotation becomes a quaternion and a direction a unit vector, and back: a few roundings.
            np.testing.assert_allclose(got, given, rtol=2e-15, atol=1e-16)
        else:
            assert got == given


@each_value
def test_values_compare_by_content(make: Any, arguments: dict[str, Any], change: dict[str, Any]) -> None:
    value = make(**arguments)
    assert value == make(**arguments)
    assert not value != make(**arguments)  # noqa: SIM202 -- `!=` is a method of its own
    assert value != make(**{**arguments, **change})
    assert value != object()


@each_value
def test_copies_are_equal(make: Any, arguments: dict[str, Any], change: dict[str, Any]) -> None:
    value = make(**arguments)
    for protocol in range(2, pickle.HIGHEST_PROTOCOL + 1):
        assert pickle.loads(pickle.dumps(value, protocol)) == value
    assert copy.copy(value) == value
    assert copy.deepcopy(value) == value


def test_copies_of_results_are_equal() -> None:
    axis = yw.axis.Axis(**AXIS)
    line = yw.axis.linearity([0.0, 1.0, 2.0], [0.0, 1.1, 2.0])
    for result in (axis.sweep(11), axis.figures(11), line, line.independent_line):
        for protocol in range(2, pickle.HIGHEST_PROTOCOL + 1):
            assert pickle.loads(pickle.dumps(result, protocol)) == result
        assert copy.deepcopy(result) == result


@each_value
def test_repr_can_be_typed_back(make: Any, arguments: dict[str, Any], change: dict[str, Any]) -> None:
    value = make(**arguments)
    assert eval(repr(value), dict(PUBLIC)) == value


@each_value
def test_values_are_frozen(make: Any, arguments: dict[str, Any], change: dict[str, Any]) -> None:
    value = make(**arguments)
    for name, given in arguments.items():
        with pytest.raises(AttributeError):
            setattr(value, name, given)
    with pytest.raises(AttributeError):
        value.something_new = 1.0
    assert value == make(**arguments)


@each_value
def test_arrays_of_a_value_are_copies(make: Any, arguments: dict[str, Any], change: dict[str, Any]) -> None:
    value = make(**arguments)
    for name in arguments:
        got = getattr(value, name)
        if isinstance(got, np.ndarray):
            got += 1.0
    assert value == make(**arguments)


# Arrays: multiples of 1/1024 m, so that float32 holds them exactly.

GRID = np.random.default_rng(1).integers(-64, 65, size=(300, 3)) / 1024.0
MAGNETS = [
    yw.magnet.Block(**BLOCK),
    yw.magnet.Cylinder(**CYLINDER),
    yw.magnet.Ring(**RING),
    yw.magnet.MagnetGroup(**GROUP),
]
# Relative to |B|: the 1e-12 that the least precise shape promises of a result, twice.
FIELD_ERROR = 2e-12
each_magnet = pytest.mark.parametrize("magnet", MAGNETS, ids=lambda magnet: type(magnet).__name__)


@each_magnet
@pytest.mark.parametrize(
    "as_given",
    [
        pytest.param(lambda points: points.tolist(), id="lists"),
        pytest.param(lambda points: [tuple(point) for point in points], id="tuples"),
        pytest.param(lambda points: points.astype(np.float32), id="float32"),
        pytest.param(lambda points: points.astype(">f8"), id="big-endian"),
        pytest.param(np.asfortranarray, id="Fortran order"),
        pytest.param(lambda points: np.repeat(points, 2, axis=0)[::2], id="every other row"),
        pytest.param(lambda points: np.repeat(points, 2, axis=1)[:, ::2], id="every other column"),
        pytest.param(lambda points: np.ascontiguousarray(points[::-1])[::-1], id="reversed"),
    ],
)
def test_points_in_any_layout(magnet: Any, as_given: Callable[[NDArray[np.float64]], Any]) -> None:
    expected, expected_mask = magnet.fields_at(GRID)
    values, mask = magnet.fields_at(as_given(GRID))
    np.testing.assert_array_equal(values, expected)
    np.testing.assert_array_equal(mask, expected_mask)


@each_magnet
def test_whole_numbers_are_points(magnet: Any) -> None:
    whole = [[1, 0, 0], [0, -2, 1], [3, 3, 3]]
    expected, _ = magnet.fields_at(np.array(whole, dtype=np.float64))
    for given in (whole, np.array(whole), np.array(whole, dtype=np.int32)):
        np.testing.assert_array_equal(magnet.fields_at(given)[0], expected)


@each_magnet
def test_many_equals_one_by_one(magnet: Any) -> None:
    values, mask = magnet.fields_at(GRID)
    assert mask.all()
    for value, point in zip(values, GRID, strict=True):
        one = magnet.field_at(point)
        assert np.linalg.norm(value - one) <= FIELD_ERROR * np.linalg.norm(one)


@each_magnet
@pytest.mark.parametrize(
    "points",
    [
        0.01,
        np.zeros((4, 2)),
        np.zeros((3, 4)),
        np.zeros((2, 3, 2)),
        [[0.01, 0.0, 0.0], [0.01, 0.0]],
        [["a", "b", "c"]],
        [[0.01 + 1j, 0.0, 0.0]],
        np.zeros((2, 3), dtype=np.complex128),
        [[None, None, {}]],
        "points",
        None,
    ],
    ids=repr,
)
def test_no_points_no_field(magnet: Any, points: Any) -> None:
    with pytest.raises((TypeError, ValueError), match=r"\w+ \w+") as caught:
        magnet.fields_at(points)
    assert not isinstance(caught.value, Warning)


@each_magnet
def test_a_row_without_a_field_is_marked(magnet: Any) -> None:
    points = np.array([[0.05, 0.0, 0.0], [np.nan, 0.0, 0.0], [0.0, np.inf, 0.0], [0.0, 0.05, 0.0]])
    values, mask = magnet.fields_at(points)
    assert mask.tolist() == [True, False, False, True]
    np.testing.assert_array_equal(np.isnan(values).all(axis=1), ~mask)
    np.testing.assert_array_equal(np.isfinite(values).all(axis=1), mask)


def outputs() -> list[tuple[str, NDArray[Any], type, tuple[int, ...]]]:
    block, axis = yw.magnet.Block(**BLOCK), yw.axis.Axis(**AXIS)
    angles = np.linspace(-0.1, 0.1, 7)
    volts = np.linspace(0.0, 3.3, 7)
    values, mask = block.fields_at(GRID)
    flux, flux_mask = axis.fluxes_at(angles)
    output, output_mask = yw.hall.LinearHall(**HALL).outputs(np.linspace(-0.05, 0.05, 7))
    codes, codes_mask = yw.hall.Converter(**CONVERTER).codes(volts)
    sweep = axis.sweep(11)
    return [
        ("Block.fields_at", values, np.float64, (300, 3)),
        ("Block.fields_at mask", mask, np.bool_, (300,)),
        ("Block.fields_at of no points", block.fields_at(np.zeros((0, 3)))[0], np.float64, (0, 3)),
        ("Block.field_at", block.field_at([0.05, 0.0, 0.0]), np.float64, (3,)),
        ("Block.size", block.size, np.float64, (3,)),
        ("Pose.matrix", block.pose.matrix, np.float64, (3, 3)),
        ("Pose.apply", block.pose.apply(GRID), np.float64, (300, 3)),
        ("Axis.fluxes_at", flux, np.float64, (7,)),
        ("Axis.fluxes_at mask", flux_mask, np.bool_, (7,)),
        ("LinearHall.outputs", output, np.float64, (7,)),
        ("LinearHall.outputs mask", output_mask, np.bool_, (7,)),
        ("Converter.codes", codes, np.int64, (7,)),
        ("Converter.codes mask", codes_mask, np.bool_, (7,)),
        ("Sweep.angle", sweep.angle, np.float64, (11,)),
        ("Sweep.flux", sweep.flux, np.float64, (11,)),
        ("Sweep.volts", sweep.volts, np.float64, (11,)),
        ("Sweep.counts", sweep.counts, np.int64, (11,)),
        ("Sweep.clipped", sweep.clipped, np.bool_, (11,)),
    ]


@pytest.mark.parametrize("number", range(18))
def test_arrays_that_come_out(number: int) -> None:
    (name, array, dtype, shape), (_, again, _, _) = outputs()[number], outputs()[number]
    assert array.dtype == dtype, name
    assert array.shape == shape, name
    assert array.flags.c_contiguous, name
    assert array.flags.aligned, name
    if name.startswith("Sweep."):
        # A view of what the frozen sweep holds.
        assert not array.flags.writeable, name
    else:
        # The caller may keep and change it: it is a view of nobody else's array.
        assert array.flags.writeable, name
        assert not isinstance(array.base, np.ndarray), name
    assert not np.may_share_memory(array, again), name
    assert not np.may_share_memory(array, GRID), name


def frozen_results() -> list[Any]:
    four_bar = yw.linkage.FourBar(ground=0.1, crank=0.04, coupler=0.12, rocker=0.08)
    pivot = yw.linkage.Pivot((0, 0, 0), (1, 0, 0))
    inner = yw.linkage.Pivot((0, 0, 0), (0, 1, 0))
    hinge = yw.linkage.Arm((0, 0.12, 0), (0, 1, 0), (0, 0.043, 0.09))
    crank = yw.linkage.Arm((-0.15, 0, 0.085), (0, 0, 1), (-0.15, 0.045, 0.085))
    pedal = yw.linkage.Pedal(hinge, pad=(-0.01, 0.12, 0.18), push=(1, 0, 0), stops=(-0.2, 0.2))
    spring = yw.spring.LinearSpring(rate=1000.0, free_length=0.05, action="above")
    twist = yw.spring.LinearTorsionSpring(rate=6.0, free_angle=0.0, action="both")
    elements = [yw.feel.Element.torsion(twist, "lever"), yw.feel.Element.inertia("lever", 0.05)]
    control = yw.feel.Control(pivots=[pivot], travel=[(-0.2, 0.2)], grip=(0, 0, 0.4), elements=elements)
    gimbal = yw.linkage.Gimbal(outer=pivot, inner=inner, stick=[(0, 0, 0), (0, 0, 0.4)])
    angles = [-0.1, 0.0, 0.1]
    return [
        yw.linkage.UniversalJoint(0.3).transfers(angles),
        four_bar.solve_many(angles),
        yw.linkage.solve_four_bars([[0.1, 0.04, 0.12, 0.08]], angles),
        yw.linkage.SliderCrank(0.04, 0.12).transfers(angles, "open"),
        yw.linkage.PedalPair.mirrored(pedal, crank).poses("left", angles),
        spring.responses([0.05, 0.06]),
        control.curve(5),
        control.free_response(0.1, 0.5),
        gimbal.envelope(yw.linkage.Gate.round(0.2)),
        yw.axis.Axis(**AXIS).sweep(11),
    ]


@pytest.mark.parametrize("number", range(10))
def test_arrays_of_a_frozen_result_are_read_only_views(number: int) -> None:
    result = frozen_results()[number]
    names = [name for name in dir(result) if not name.startswith("_") and isinstance(getattr(result, name), np.ndarray)]
    columns = [name for name in names if len(getattr(result, name)) != 0 and not name.startswith(("lowest", "highest"))]
    assert columns
    for name in columns:
        array = getattr(result, name)
        with pytest.raises(ValueError, match="read-only"):
            array[0] = 99
        with pytest.raises(ValueError, match="WRITEABLE"):
            array.flags.writeable = True
        # The next access costs no copy.
        assert np.may_share_memory(array, getattr(result, name))


def test_there_are_no_more_outputs() -> None:
    assert len(outputs()) == 18


# Threads


def test_two_threads_get_the_same_fields() -> None:
    magnet = yw.magnet.MagnetGroup(**GROUP)
    points = np.tile(GRID, (200, 1))
    expected, _ = magnet.fields_at(points)
    got: dict[int, NDArray[np.float64]] = {}

    def work(number: int) -> None:
        for _ in range(5):
            got[number] = magnet.fields_at(points)[0]

    threads = [threading.Thread(target=work, args=(number,)) for number in range(2)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert sorted(got) == [0, 1]
    for values in got.values():
        np.testing.assert_array_equal(values, expected)


@pytest.fixture
def patient_threads() -> Any:
    """A thread that waits for the interpreter never asks for it: it must be let in."""
    before = sys.getswitchinterval()
    sys.setswitchinterval(1e6)
    yield
    sys.setswitchinterval(before)


@pytest.mark.usefixtures("patient_threads")
def test_fields_at_lets_other_threads_run() -> None:
    magnet = yw.magnet.Block(**BLOCK)
    points = np.tile(GRID, (200, 1))
    start, ran = threading.Lock(), []

    def work() -> None:
        with start:
            ran.append(True)

    start.acquire()
    thread = threading.Thread(target=work)
    thread.start()
    start.release()
    # Were the interpreter held through the call, no number of calls would let the other thread in.
    # Were it let go, one does, unless the machine is so busy that the thread sleeps through it.
    sum(range(100_000))
    held = not ran
    for _ in range(1000):
        magnet.fields_at(points)
        if ran:
            break
    thread.join()
    assert held
    assert ran
