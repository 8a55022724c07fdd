"""What is given to the library in the wrong way is refused with a text that helps."""

import array
import inspect
import pydoc

import numpy as np
import pytest

import yokewright as yw
from public_names import PUBLIC
from yokewright import deg, mm

SPHERE = yw.magnet.Sphere(10 * mm, (0, 0, 1.3))
PIVOT = yw.linkage.Pivot((0, 0, 0), (1, 0, 0))
BOX = yw.linkage.Obstacle.block((0.1, 0.1, 0.1))
STICK = yw.linkage.Gimbal(outer=yw.linkage.Pivot((0, 0, 0), (0, 1, 0)), inner=PIVOT, stick=[(0, 0, 0), (0, 0, 0.4)])
LEVER = yw.linkage.Lever.pivoted(PIVOT, (0, 0, 0.2), (-30 * deg, 30 * deg))
SPRING = yw.spring.LinearSpring(rate=1000.0, free_length=50 * mm, action="above")
WIRE = yw.spring.Wire.named("ASTM A228")
CONTROL = yw.feel.Control(pivots=[PIVOT], travel=[(-15 * deg, 15 * deg)], grip=(0, 0, 0.4))
ELEMENT = yw.feel.Element.breakout("lever", 0.4)
EN_WIRE = {
    "name": "drawer",
    "family": "cold-drawn",
    "moduli": [(0.02, 206e9, 81.5e9)],
    "density": 7850.0,
    "max_celsius": 80.0,
    "sources": [("strength", "club's own test", "seen")],
    "power": [(0.5 * mm, 10 * mm, 2e9, 0.15)],
}
FIT = {
    "choices": [SPRING],
    "body": "lever",
    "on_body": ((0, 0, 0.1), (0, 0, 0.2)),
    "on_ground": ((0, 0.1, 0.1), (0, 0.2, 0.2)),
}
ROD = yw.linkage.BallRod(
    yw.linkage.Arm((0, 0, 0), (0, 1, 0), (0, 0, 0.1)), yw.linkage.Arm((0.2, 0, 0), (0, 1, 0), (0.2, 0, 0.1))
)
COIL = {"rate": 2000.0, "preload": 10.0, "travel": 0.01}

# Every argument that takes a sequence of any length, with one that is right.
SEQUENCES = {
    "MagnetGroup magnets": (lambda x: yw.magnet.MagnetGroup(x), [SPHERE]),
    "Gate.polygon corners": (lambda x: yw.linkage.Gate.polygon(x), [(0.2, 0.2), (-0.2, 0.2), (0.0, -0.2)]),
    "Gimbal.clearance obstacles": (lambda x: STICK.clearance(yw.linkage.Gate.round(0.2), x), [BOX]),
    "Gimbal.clearance_at obstacles": (lambda x: STICK.clearance_at(0.0, 0.0, x), [BOX]),
    "Gimbal.clearances_at obstacles": (lambda x: STICK.clearances_at([0.0], [0.0], x), [BOX]),
    "Lever.stopped_by stops": (lambda x: LEVER.stopped_by(x), [LEVER.stop_at(0.1, 0.2)]),
    "Control pivots": (
        lambda x: yw.feel.Control(pivots=x, travel=[(-0.2, 0.2)], grip=(0, 0, 0.4)),
        [PIVOT],
    ),
    "Control travel": (lambda x: yw.feel.Control(pivots=[PIVOT], travel=x, grip=(0, 0, 0.4)), [(-0.2, 0.2)]),
    "Control elements": (
        lambda x: yw.feel.Control(pivots=[PIVOT], travel=[(-0.2, 0.2)], grip=(0, 0, 0.4), elements=x),
        [ELEMENT],
    ),
    "Control driven": (
        lambda x: yw.feel.Control(pivots=[PIVOT], travel=[(-0.2, 0.2)], grip=(0, 0, 0.4), driven=x),
        [],
    ),
    "Control.with_elements elements": (lambda x: CONTROL.with_elements(x), [ELEMENT]),
    "Control.search_springs choices": (lambda x: CONTROL.search_springs(**FIT | {"choices": x}), [SPRING]),
    "BallRod.solve_grid rods": (lambda x: yw.linkage.BallRod.solve_grid(x, [0.1]), [ROD]),
    "search_compression_springs wires": (
        lambda x: yw.spring.search_compression_springs(x, travel=0.01, rate=2000.0, preload=10.0),
        [WIRE],
    ),
    "search_extension_springs wires": (lambda x: yw.spring.search_extension_springs(x, **COIL), [WIRE]),
    "search_torsion_springs wires": (
        lambda x: yw.spring.search_torsion_springs(x, rate=0.5, preload=0.05, travel=0.5),
        [WIRE],
    ),
    **{
        f"Wire {name}": (lambda x, name=name: yw.spring.Wire(**EN_WIRE | {name: x}), EN_WIRE[name])
        for name in ("moduli", "sources", "power")
    },
    "Wire standard_diameters": (lambda x: yw.spring.Wire(**EN_WIRE, standard_diameters=x), [0.001, 0.002]),
}
each_sequence = pytest.mark.parametrize(("call", "right"), SEQUENCES.values(), ids=SEQUENCES)


def outcome(call, *arguments):
    """What comes out, or why it is refused; a wrong type is no outcome."""
    try:
        return str(call(*arguments))
    except yw.InvalidTypeError:
        raise
    except yw.YokewrightError as error:
        return str(error)


class Liar(list):
    """A list that says it is longer or shorter than it is."""

    said = 0

    def __len__(self):
        return self.said


@each_sequence
@pytest.mark.parametrize("said", [10**6, 5])
def test_length_that_is_a_lie_is_refused(call, right, said):
    given = Liar(right)
    given.said = said
    with pytest.raises(yw.InvalidValueError, match=rf"says that it has {said} values and gives fewer"):
        call(given)


@each_sequence
@pytest.mark.parametrize("said", [10**13, 2**62])
def test_length_beyond_all_memory_is_refused(call, right, said):
    given = Liar(right)
    given.said = said
    with pytest.raises(MemoryError, match="more memory than there is"):
        call(given)


@each_sequence
def test_more_than_told_is_refused(call, right):
    if not right:
        pytest.skip("nothing more can be given")
    with pytest.raises(yw.InvalidValueError, match="says that it has 0 values and gives more"):
        call(Liar(right))


class Endless:
    """Indexed without an end, as the old protocol of sequences allows."""

    def __init__(self, item):
        self.item = item

    def __len__(self):
        return 3

    def __getitem__(self, index):
        return self.item


@each_sequence
def test_endless_sequence_is_refused(call, right):
    if right:
        with pytest.raises(yw.InvalidValueError, match="says that it has 3 values and gives more"):
            call(Endless(right[0]))


@each_sequence
def test_length_may_fail(call, right):
    class Broken(list):
        def __len__(self):
            raise RuntimeError("no length today")

    with pytest.raises(RuntimeError, match="no length today"):
        call(Broken(right))


@each_sequence
@pytest.mark.parametrize("wrong", [3.0, "abc", b"abc", None, {}, {1: 2}, set(), object(), iter([])], ids=repr)
def test_what_is_no_sequence_is_named(call, right, wrong):
    (name,) = {key.split(" ")[1] for key, (one, _) in SEQUENCES.items() if one is call}
    if wrong is None and name == "power":
        pytest.skip("stands for not given")
    with pytest.raises(yw.InvalidTypeError) as caught:
        call(wrong)
    assert str(caught.value) == f"{name}: a sequence is needed, got {type(wrong).__name__}"


@each_sequence
def test_item_of_a_wrong_type_is_counted(call, right):
    with pytest.raises(yw.InvalidTypeError, match=r"^\w+: item 0 \(counted from 0\): .*(needed|not)"):
        call([object()])


@each_sequence
def test_tuples_and_lists_are_the_same(call, right):
    assert outcome(call, tuple(right)) == outcome(call, list(right))


# Arguments that take so many numbers.

LAYOUT = {"magnet": yw.magnet.Block((5 * mm,) * 3, (0, 1.3, 0)), "arm": 12 * mm, "gap": 2 * mm}
HALL = yw.hall.LinearHall(
    supply=3.3,
    nominal_supply=3.3,
    quiescent=1.65,
    sensitivity=15 * yw.mV_per_mT,
    rail_low=0.2,
    rail_headroom=0.2,
    noise=1 * yw.mV,
    depth=0.0,
)
CONVERTER = yw.hall.Converter(bits=12, reference=3.3)
FEW = {
    "throw": (lambda x: yw.axis.SwungLayout(**LAYOUT).axis(throw=x, sensor=HALL, converter=CONVERTER), [-0.1, 0.1]),
    "offsets": (lambda x: yw.hall.AngleSensor(bits=12, offsets=x), [-0.001, 0.002]),
    "end_resistances": (lambda x: yw.hall.Potentiometer(travel=5.0, supply=5.0, end_resistances=x), [10.0, 20.0]),
    "polarization": (lambda x: yw.magnet.Sphere(10 * mm, x), [0, 0, 1]),
    "crank_pivot": (
        lambda x: yw.linkage.CenteredFourBar(
            yw.linkage.FourBar(ground=0.1, crank=0.04, coupler=0.1, rocker=0.05), "open", 1.5, crank_pivot=x
        ),
        [0.0, 0.0],
    ),
    "outer": (lambda x: yw.linkage.Gate.square(x, (-0.1, 0.1)), [-0.2, 0.2]),
    "travel": (lambda x: yw.linkage.Lever.pivoted(PIVOT, (0, 0, 0.2), x), [-0.2, 0.2]),
    "clocking": (lambda x: yw.linkage.FreeArm.between(ROD.input, 0.01, 0.1, x), [-0.2, 0.2]),
    "index": (lambda x: yw.spring.search_extension_springs([WIRE], **COIL, index=x), [5.0, 10.0]),
    "full_force": (lambda x: CONTROL.search_springs(**FIT, full_force=x), [20.0, 5.0]),
}
each_few = pytest.mark.parametrize(("name", "call", "right"), [(k, *v) for k, v in FEW.items()], ids=FEW)


@each_few
def test_few_numbers_in_any_sequence(name, call, right):
    expected = outcome(call, tuple(right))
    for given in (list(right), np.array(right), np.repeat(right, 2)[::2]):
        assert outcome(call, given) == expected
    assert outcome(call, array.array("d", right)) == expected


@each_few
@pytest.mark.parametrize("wrong", [3.0, "ab", "abc", [], [0.1], [0.1] * 5, ["a", "b", "c"], [[0.1, 0.2]], {}])
def test_other_than_so_many_numbers_is_named(name, call, right, wrong):
    with pytest.raises(yw.InvalidTypeError, match=rf"^{name}: (two|three) numbers needed, got "):
        call(wrong)


@each_few
def test_few_numbers_lose_no_imaginary_part(name, call, right):
    with pytest.raises(yw.InvalidTypeError, match=rf"^{name}: (two|three) numbers needed, got array"):
        call(np.array(right) + 1j)


def test_length_of_few_numbers_that_is_a_lie_is_refused():
    for said in (2, 10**9):
        given = Liar([0.1])
        given.said = said
        with pytest.raises((yw.InvalidTypeError, IndexError)):
            FEW["throw"][0](given)


def test_matrix_is_read_like_any_array():
    turned = yw.Pose.from_matrix((0, 0, 0), [[0, -1, 0], [1, 0, 0], [0, 0, 1]])
    np.testing.assert_allclose(turned.rotation, [0, 0, np.pi / 2], rtol=1e-15, atol=1e-15)
    with pytest.raises(yw.InvalidTypeError, match="matrix: an array of real numbers is needed"):
        yw.Pose.from_matrix((0, 0, 0), np.eye(3) + 0j)  # an imaginary part is not dropped
    for shape in ((2, 3), (3, 2), (0, 3), (9,), (3, 3, 3)):
        with pytest.raises(yw.InvalidValueError, match=r"matrix.* is needed"):
            yw.Pose.from_matrix((0, 0, 0), np.zeros(shape))


class EndlessList(list):
    """A list that goes on and on when it is gone through."""

    def __iter__(self):
        return iter(lambda: 0.1, None)


ARRAYS = {
    "matrix": lambda x: yw.Pose.from_matrix((0, 0, 0), x),
    "points": SPHERE.fields_at,
    "volts": CONVERTER.codes,
    "x": lambda x: yw.axis.linearity(x, [0.0, 1.0, 2.0]),
}


@pytest.mark.parametrize("call", ARRAYS.values(), ids=ARRAYS)
@pytest.mark.parametrize(
    "given", [Endless(0.1), [Endless(0.1)] * 3, EndlessList([0.1] * 3), [[EndlessList([0.1] * 3)]]]
)
def test_array_without_an_end_is_refused(call, given):
    with pytest.raises(yw.InvalidValueError, match="says that it has 3 values and gives more"):
        call(given)


def test_what_gives_itself_as_an_array_is_read_whole():
    class Table:
        def __array__(self, dtype=None, copy=None):
            return np.array([0.0, 1.0, 2.0])

        def __len__(self):
            return 10**9

        def __getitem__(self, index):
            raise LookupError("not asked for")

    knot = []
    knot.append(knot)
    numbers = [0.0, 1.0, 2.0]
    expected = CONVERTER.codes(numbers)
    for given in (
        Table(),
        array.array("d", numbers),
        memoryview(np.array(numbers)),
        range(3),
        tuple(numbers),
    ):
        np.testing.assert_array_equal(CONVERTER.codes(given), expected)
    grid = np.full((2, 3), 0.02)
    np.testing.assert_array_equal(SPHERE.fields_at(memoryview(grid))[0], SPHERE.fields_at(grid)[0])
    with pytest.raises((TypeError, ValueError)):
        CONVERTER.codes(knot)


# Texts.


@pytest.mark.parametrize(
    ("call", "name"),
    [
        (lambda: SPHERE.fields_at("abc"), "points"),
        (lambda: SPHERE.fields_at([[1.0, 2.0]]), "points"),
        (lambda: SPHERE.field_at(1.0), "point"),
        (lambda: yw.magnet.pull(3, SPHERE), "by"),
        (lambda: yw.spring.search_torsion_springs([3], rate=1.0, preload=0.1, travel=0.1), "wires"),
        (lambda: yw.spring.CompressionSpring(wire=3, wire_diameter=1 * mm, free_length=0.05), "wire"),
        (lambda: yw.linkage.search_four_bars("ab", [0.1], ground=0.1), "crank_turns"),
        (lambda: STICK.clearances_at([0.0], None, []), "inner"),
        (lambda: CONTROL.search_springs(**FIT | {"choices": [3]}), "choices"),
        (lambda: CONTROL.search_springs(**FIT | {"on_body": (0, 0, 0.1)}), "on_body"),
        (lambda: CONTROL.search_springs(**FIT | {"on_body": ((0, 0, 0.1),) * 3}), "on_body"),
        (lambda: yw.spring.Wire(**{k: v for k, v in EN_WIRE.items() if k != "power"}, steps=3), "steps"),
    ],
)
def test_argument_is_named(call, name):
    with pytest.raises((TypeError, ValueError)) as caught:
        call()
    assert f"{name}" in str(caught.value) + "".join(getattr(caught.value, "__notes__", []))
    if isinstance(caught.value, yw.YokewrightError):
        assert str(caught.value).startswith(f"{name}: ")


@pytest.mark.parametrize("wrong", [3.0, None, yw.Pose((0, 0, 0)), [object()]], ids=["number", "None", "pose", "list"])
@pytest.mark.parametrize("name", sorted(name for name in vars(yw.plots) if name.startswith("plot_")))
def test_drawings_say_what_they_need(name, wrong):
    draw = getattr(yw.plots, name)
    needed = sum(one.default is one.empty for one in inspect.signature(draw).parameters.values())
    with pytest.raises((yw.InvalidTypeError, yw.InvalidValueError), match="needed"):
        draw(*[wrong] * needed)


def test_note_of_another_kind_stays_a_note():
    error = yw.InvalidValueError("too long")
    if hasattr(error, "__notes__") or hasattr(Exception, "add_note"):
        error.add_note("seen in the workshop")
        assert error.__notes__ == ["seen in the workshop"]
    error.add_note("while processing 'length'")
    assert str(error) == "length: too long"


def test_hints_use_the_units_of_the_package():
    for call, hint in (
        (lambda: yw.magnet.Block((5, 5, 5), (0, 0, 1)), "5 * mm"),
        (lambda: yw.linkage.Gate.round(20.0), "20 * deg"),
    ):
        with pytest.raises(yw.InvalidValueError) as caught:
            call()
        assert f"did you mean {hint}?" in str(caught.value)
        assert eval(hint, {"mm": mm, "deg": deg}) > 0


def test_control_characters_do_not_reach_the_terminal():
    for call in (
        lambda: yw.spring.Wire.named("\x1b[2J\x07\x9b"),
        lambda: yw.rig.Design.parse('title = "x"\n"\x7f\\u001b[2J" = 3\n'),
        lambda: SPHERE.field_at("\x1b[2J"),
        lambda: yw.magnet.MagnetGroup([type("\x1b", (), {})()]),
    ):
        with pytest.raises((ValueError, TypeError)) as caught:
            call()
        assert all(character.isprintable() or character == "\n" for character in str(caught.value))


@pytest.mark.parametrize("size", [10_000, 1_000_000])
def test_masses_of_text_are_cut(size):
    for call in (
        lambda: yw.spring.Wire.named("x" * size),
        lambda: yw.rig.Design.parse(f"title = 'x'\n{'x' * size} = 3\n"),
        lambda: SPHERE.field_at(["x" * size]),
        lambda: yw.magnet.Sphere(1e-2, "x" * size),
    ):
        with pytest.raises((ValueError, TypeError)) as caught:
            call()
        assert 20 < len(str(caught.value)) < 2000


def test_help_begins_with_what_is_of_use():
    spare = {"__lt__", "__le__", "__gt__", "__ge__", "__ne__"}
    classes = [value for value in PUBLIC.values() if inspect.isclass(value)]
    for value in classes:
        if not issubclass(value, Exception):
            assert not spare & vars(value).keys(), value
    text = pydoc.render_doc(yw.Pose, renderer=pydoc.plaintext)
    assert "__lt__" not in text
    assert text.index("__eq__") < text.index("apply(")


def test_comparisons_are_those_of_any_object():
    one, same, other = (yw.magnet.Sphere(d * mm, (0, 0, 1)) for d in (5, 5, 6))
    assert one == same
    assert one != other
    assert not one != same  # noqa: SIM202 -- both are asked
    assert not one == other  # noqa: SIM201
    assert one != 3
    assert one != yw.magnet.Block((5 * mm,) * 3, (0, 0, 1))
    with pytest.raises(TypeError, match="not supported"):
        _ = one < other
    with pytest.raises(TypeError, match="unhashable"):
        hash(one)
