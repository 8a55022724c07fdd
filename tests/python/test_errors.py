"""Every refusal of the core reaches Python as its own class, with the text that says what to do."""

import math
import pickle
import re
from pathlib import Path

import pytest

import yokewright as yw

ERROR_RS = Path(__file__).parents[2] / "src" / "error" / "mod.rs"


def layout(gap=2 * yw.mm, **changes):
    measures = {
        "magnet": yw.magnet.Block((5 * yw.mm,) * 3, (0, 1300 * yw.mT, 0)),
        "arm": 12 * yw.mm,
        "gap": gap,
    }
    return yw.axis.SwungLayout(**measures | changes)


def sensor(**changes):
    data_sheet = {
        "supply": 3.3,
        "nominal_supply": 3.3,
        "quiescent": 1.65,
        "sensitivity": 15 * yw.mV_per_mT,
        "rail_low": 0.2,
        "rail_headroom": 0.2,
        "noise": 1 * yw.mV,
        "depth": 0.5 * yw.mm,
    }
    return yw.hall.LinearHall(**data_sheet | changes)


def one_spring(rate):
    columns = {
        "name": ("no", ""),
        "outer_diameter": ("OD", "mm"),
        "free_length": ("L0", "mm"),
        "limit_length": ("Lmax", "mm"),
        "rate": ("rate", "N/m"),
    }
    return yw.spring.StockList.read(f"no,OD,L0,Lmax,rate\nA7,8,40,92,{rate}\n", kind="extension", columns=columns)


def spring_on_itself():
    spring = yw.spring.LinearSpring(rate=500.0, free_length=20 * yw.mm, action="above")
    return yw.feel.Element.line(spring, yw.feel.Anchor("lever", (0, 0, 0.02)), yw.feel.Anchor("lever", (0, 0, 0.06)))


def converter():
    return yw.hall.Converter(bits=12, reference=3.3)


def two_axis():
    """A stick that brings a magnet of its ring onto a sensor of the frame."""
    magnet = yw.magnet.Block((5 * yw.mm,) * 3, (0, 0, 1.2), yw.Pose((-20 * yw.mm, 0, 0)))
    carried = yw.axis.CarriedSensor(sensor(), yw.Pose((-20 * yw.mm, 0, 5 * yw.mm)), "frame", converter())
    return yw.axis.TwoAxis(
        gimbal=yw.linkage.Gimbal(
            outer=yw.linkage.Pivot((0, 0, 0), (0, 1, 0)),
            inner=yw.linkage.Pivot((0, 0, 0), (1, 0, 0)),
            stick=[(0, 0, 0), (0, 0, 0.4)],
        ),
        gate=yw.linkage.Gate.round(15 * yw.deg),
        magnets=[yw.axis.CarriedMagnets(magnet, "ring", "outer")],
        outer=carried,
        inner=carried,
    )


def axis(throw=(-6 * yw.deg, 6 * yw.deg), **changes):
    return layout(**changes).axis(throw=throw, sensor=sensor(), converter=converter())


def search(arm=(10 * yw.mm, 14 * yw.mm), linearity=1e-5):
    return yw.axis.search_layouts(
        layout(),
        arm=arm,
        gap=(2 * yw.mm, 3 * yw.mm),
        linearity=linearity,
        throw=(-20 * yw.deg, 20 * yw.deg),
        sensor=sensor(),
        converter=converter(),
    )


# Variant of the core's error -> what provokes it, the class it becomes, and words that the text must have.
def cube(z):
    return yw.magnet.Block((5 * yw.mm,) * 3, (0, 0, 1), yw.Pose((0, 0, z)))


def plate():
    return yw.magnet.SteelPlate((0, 0, 0), (0, 0, 1))


def four_bar(coupler=120 * yw.mm):
    return yw.linkage.FourBar(ground=100 * yw.mm, crank=40 * yw.mm, coupler=coupler, rocker=80 * yw.mm)


def touching_out_of_line():
    """A cube and a ring in contact, rim across edge: at 1e-12 the rules give up."""
    ring = yw.magnet.Ring(8 * yw.mm, 4 * yw.mm, 3 * yw.mm, (1, 0, 1), yw.Pose((1 * yw.mm, 0, 4 * yw.mm)))
    yw.magnet.pull(cube(0), ring, tolerance=1e-12)


def damped_beyond_reason():
    """Next to no mass in next to solid damping: too stiff an equation to follow."""
    spring = yw.spring.LinearTorsionSpring(rate=4.0, free_angle=0.0, action="both")
    elements = [
        yw.feel.Element.torsion(spring, "lever"),
        yw.feel.Element.inertia("lever", 1e-9),
        yw.feel.Element.damper("lever", 100.0),
    ]
    pivot = yw.linkage.Pivot((0, 0, 0), (1, 0, 0))
    control = yw.feel.Control(pivots=[pivot], travel=[(-0.2, 0.2)], grip=(0, 0, 0.4), elements=elements)
    control.free_response(start=0.1, duration=10.0)


def under_a_stopped_observer():
    observer = yw.Observer()
    observer.stop()
    with observer:
        cube(0).fields_at([[0.0, 0.0, 0.01]])


CASES = {
    "Stopped": (under_a_stopped_observer, yw.StoppedError, ["stopped", "as asked"]),
    "NotFinite": (
        lambda: yw.magnet.Block(size=(math.nan, 1 * yw.mm, 1 * yw.mm), polarization=(0, 0, 1)),
        yw.InvalidValueError,
        ["NaN", "finite", "m"],
    ),
    "OutOfRange": (
        lambda: yw.magnet.Block(size=(5, 5, 5), polarization=(0, 0, 1)),
        yw.InvalidValueError,
        ["5 m", "1 m", "did you mean 5 "],
    ),
    "NotAscending": (
        lambda: search(arm=(14 * yw.mm, 10 * yw.mm)),
        yw.InvalidValueError,
        ["arm", "0.014 m", "0.01 m"],
    ),
    "NoDirection": (
        lambda: sensor(direction=(0, 0, 0)),
        yw.InvalidValueError,
        ["direction", "zero"],
    ),
    "Count": (
        lambda: axis().sweep(points=2),
        yw.InvalidValueError,
        ["2 given", "3"],
    ),
    "LengthMismatch": (
        lambda: yw.axis.linearity([0.0, 1.0, 2.0], [0.0, 1.0]),
        yw.InvalidValueError,
        ["3", "2", "match"],
    ),
    "NotAChoice": (
        lambda: layout(side="top"),
        yw.InvalidValueError,
        ["'top'", "outer", "inner", "axial"],
    ),
    "SameBody": (
        spring_on_itself,
        yw.InvalidValueError,
        ["spring", "'lever'", "another body"],
    ),
    "OnEdge": (
        lambda: yw.magnet.Block(size=(2 * yw.mm,) * 3, polarization=(0, 0, 1)).field_at((1 * yw.mm, 1 * yw.mm, 0)),
        yw.NoFieldError,
        ["edge", "0.001"],
    ),
    "Collision": (
        lambda: axis(gap=2 * yw.mm, offset=(-4 * yw.mm, 0, 0)).sweep(),
        yw.CollisionError,
        ["deg", "collide"],
    ),
    "Absent": (
        lambda: layout().axis(throw=(-0.1, 0.1), sensor=sensor()),
        yw.InvalidValueError,
        ["no converter", "needs one"],
    ),
    "Surplus": (
        lambda: layout().axis(throw=(-0.1, 0.1), sensor=yw.hall.AngleSensor(bits=12), converter=converter()),
        yw.InvalidValueError,
        ["angle sensor", "takes no converter"],
    ),
    "TwoAxisCollision": (
        lambda: two_axis().clearance(),
        yw.CollisionError,
        ["deg", "mm", "sensor of the outer axis", "collide"],
    ),
    "UnknownName": (
        lambda: yw.magnet.Grade.named("N43"),
        yw.InvalidValueError,
        ["N43", "N42"],
    ),
    "NameTaken": (
        lambda: one_spring(450.0).with_list(one_spring(460.0)),
        yw.InvalidValueError,
        ["'A7'", "name of its own"],
    ),
    "WorkingTemperature": (
        lambda: yw.magnet.Grade.named("N42").remanence_at(90),
        yw.InvalidValueError,
        ["N42", "90", "80 degC"],
    ),
    "CurvedDemagnetization": (
        lambda: yw.magnet.WorkingPoint(yw.magnet.Grade.named("Alnico 5"), 0.2),
        yw.InvalidValueError,
        ["Alnico 5"],
    ),
    "AreaCut": (
        lambda: yw.magnet.ActiveArea.disc(2 * yw.mm, yw.Pose((2.5 * yw.mm, 0, 0), (0, 0, 0))).mean_field(cube(0)),
        yw.CollisionError,
        ["active area", "magnet 0"],
    ),
    "Overlap": (
        lambda: yw.magnet.pull(cube(0), cube(3 * yw.mm)),
        yw.CollisionError,
        ["2 mm", "magnet 0"],
    ),
    "GroupOverlap": (
        lambda: yw.magnet.MagnetGroup([cube(0), cube(3 * yw.mm)]),
        yw.CollisionError,
        ["2 mm", "magnets 0 and 1 of the group", "superposed"],
    ),
    "ThroughPlate": (
        lambda: plate().images(cube(1 * yw.mm)),
        yw.CollisionError,
        ["1.5 mm", "plate"],
    ),
    "BehindPlate": (
        lambda: plate().over(cube(3 * yw.mm)).field_at((0, 0, -1 * yw.mm)),
        yw.NoFieldError,
        ["1 mm", "behind"],
    ),
    "NotConverged": (
        touching_out_of_line,
        yw.NotConvergedError,
        ["error", "tolerance"],
    ),
    "CannotClose": (
        lambda: four_bar(coupler=30 * yw.mm).pose(120 * yw.deg, "open"),
        yw.CannotCloseError,
        ["four-bar", "120 deg", "miss each other by"],
    ),
    "NeverCloses": (
        lambda: four_bar(coupler=225 * yw.mm),
        yw.CannotCloseError,
        ["four-bar", "5 mm", "never"],
    ),
    "BeyondReach": (
        lambda: layout().axis(
            throw=(-15 * yw.deg, 100 * yw.deg),
            sensor=sensor(),
            converter=converter(),
            drive=yw.linkage.CenteredFourBar(four_bar(coupler=30 * yw.mm), "open", 0.0),
        ),
        yw.CannotCloseError,
        ["upper end of the throw = 100 deg", "where the travel ends: lock"],
    ),
    "DeadCenter": (
        lambda: yw.linkage.FourBar(ground=50 * yw.mm, crank=50 * yw.mm, coupler=30 * yw.mm, rocker=30 * yw.mm).transfer(
            0.0, "open"
        ),
        yw.CannotCloseError,
        ["four-bar", "rocker angle", "0 deg", "dead center"],
    ),
    "OutOfReach": (
        lambda: yw.linkage.SliderCrank(40 * yw.mm, 100 * yw.mm).driven_by_slide(150 * yw.mm),
        yw.CannotCloseError,
        ["slider-crank", "150 mm", "10 mm"],
    ),
    "WireDiameter": (
        lambda: yw.spring.Wire.named("ASTM A228").tensile_strength(10 * yw.mm),
        yw.InvalidValueError,
        ["ASTM A228", "10 mm", "0.1 to 6.5 mm"],
    ),
    "Cell": (
        lambda: yw.spring.StockList.read(
            "n,k,l,d,f\na,1,x,9,5\n",
            kind="compression",
            columns={
                "name": ("n", ""),
                "rate": ("k", "N/mm"),
                "free_length": ("l", "mm"),
                "outer_diameter": ("d", "mm"),
                "limit_force": ("f", "N"),
            },
        ),
        yw.InvalidValueError,
        ["line 2", "column 'l'", "free_length", "'x' is not a number"],
    ),
    "NothingFits": (
        lambda: yw.spring.search_compression_springs(["ASTM A228"], travel=10 * yw.mm, rate=1e6, bore=5 * yw.mm).best(),
        yw.NothingFoundError,
        ["none of the", "compression springs", "nearest", "limit"],
    ),
    "NoLinkage": (
        lambda: yw.linkage.three_point_four_bar((0.1, 0.1, 0.1), (0.2, 0.2, 0.2), 100 * yw.mm),
        yw.NothingFoundError,
        ["no linkage", "determinant", "limit"],
    ),
    "UnusableRows": (
        lambda: yw.axis.BenchLog([-0.1, 0.0, 0.1, 0.2], [100.0, math.nan, 2000.0, 3000.0], bits=12).sweep(),
        yw.InvalidValueError,
        ["line 2", "missing: no count", "left out"],
    ),
    "TurnsBack": (
        lambda: yw.axis.BenchSweep([-0.1, 0.0, 0.1, 0.2], [100.0, 2000.0, 1500.0, 3000.0], bits=12),
        yw.InvalidValueError,
        ["turn back between 0 and 5.73 deg", "2000 to 1500 counts"],
    ),
    "Exchanged": (
        lambda: yw.axis.BenchLog([100.0, 2000.0, 3900.0], [-0.1, 0.0, 0.1], bits=12),
        yw.InvalidValueError,
        ["angles look like counts", "the other way round"],
    ),
    "Stalled": (
        damped_beyond_reason,
        yw.NotConvergedError,
        ["motion of the control", "10 s"],
    ),
}


def variants():
    enum = re.search(r"pub enum Error \{(.*?)\n\}", ERROR_RS.read_text(encoding="utf-8"), re.DOTALL).group(1)
    return set(re.findall(r"^    ([A-Z]\w*)\b", enum, re.MULTILINE))


def test_no_variant_is_left_out():
    # Nothing that Python can make is refused by the serializer.
    assert variants() == {*CASES, "NotStored"}


@pytest.mark.parametrize("variant", CASES)
def test_variant(variant):
    provoke, kind, words = CASES[variant]
    with pytest.raises(yw.YokewrightError) as caught:
        provoke()
    assert type(caught.value) is kind
    text = str(caught.value)
    for word in words:
        assert word in text


def test_design_file_error():
    with pytest.raises(yw.DesignFileError, match=r"club\.toml"):
        yw.rig.Design.parse("title = ", name="club.toml")


@pytest.mark.parametrize(
    ("kind", "builtin"),
    [
        (yw.InvalidValueError, ValueError),
        (yw.NoFieldError, ArithmeticError),
        (yw.CollisionError, ValueError),
        (yw.NothingFoundError, ValueError),
        (yw.NotConvergedError, ArithmeticError),
        (yw.DesignFileError, ValueError),
    ],
)
def test_class_is_also_the_builtin_one_expects(kind, builtin):
    assert issubclass(kind, yw.YokewrightError)
    assert issubclass(kind, builtin)
    assert kind.__doc__


def test_error_survives_a_trip_to_another_process():
    with pytest.raises(yw.NoFieldError) as caught:
        CASES["OnEdge"][0]()
    copy = pickle.loads(pickle.dumps(caught.value))
    assert type(copy) is yw.NoFieldError
    assert str(copy) == str(caught.value)


@pytest.mark.parametrize("wrong", ["three", None, [[1.0, 2.0], [3.0]]])
def test_what_is_no_array_of_numbers_is_a_type_or_value_error(wrong):
    with pytest.raises((TypeError, ValueError)):
        yw.magnet.Block(size=wrong, polarization=(0, 0, 1))
