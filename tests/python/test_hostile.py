"""Whatever is given to whatever can be called gives a result or an ordinary exception, and never a panic.

The calls are made in a child process, which an abort would end and a hang would keep. What each function
takes is read from the stub; the objects to call methods of are what the library itself returns.
"""

import ast
import faulthandler
import subprocess
import sys
from pathlib import Path

import numpy as np

import yokewright as yw
from public_names import MODULES, PUBLIC
from rig_samples import evaluated_mechanics
from tolerance_samples import rigs, studies
from yokewright import deg, mm

STUBS = [Path(module.__file__).with_suffix(".pyi") for module in MODULES] + [Path(yw.__file__).with_name("_core.pyi")]
# The calls take seconds; a hang takes for ever. The rest is for a loaded machine.
LIMIT_S = 120
MEMORY = 8 << 30  # B, so that a huge count meets its end without taking the machine along


class Long(list):
    """Says that it is longer than it is."""

    def __len__(self):
        return 2**62


class Short(list):
    """Says that it is shorter than it is."""

    def __len__(self):
        return 0


class Endless:
    """Indexed without an end, as the old protocol of sequences allows."""

    def __len__(self):
        return 3

    def __getitem__(self, index):
        return 0.1


class EndlessList(list):
    """A list that goes on and on when it is gone through."""

    def __iter__(self):
        return iter(lambda: 0.1, None)


class Unreadable(list):
    """Cannot be read."""

    def __iter__(self):
        raise LookupError("not today")

    def __getitem__(self, index):
        raise LookupError("not today")


class Unprintable:
    """Cannot be shown."""

    def __repr__(self):
        raise LookupError("not today")


NUMBERS = [
    *(0.0, -0.0, 1e-160, -1e-160, 1e160, -1e160, 1e-320, 1e308, float("nan"), float("inf"), -float("inf")),
    *(0.01, -1.0, 1.0, 3.0, 1e3, -1, 0, 1, 2, 2**31, 2**63, -(2**63), 10**30, True),
]
OTHERS = [
    *("", "x", "open", "\0", "\ud800", "x" * 10_000, b"x", None, object(), Unprintable(), lambda: None),
    *([], (), {}, set(), [1e160] * 3, [1e-160] * 3, [float("nan")] * 3, [0.0] * 3, [0.1, -0.1], [0.1]),
    *([[]], [[[]]], [None], ["a", "b", "c"], [[0.1, 0.2], [0.3]], [(0.0, 0.0)] * 3, [(0.1, 0.2, 0.3)]),
    *(Long([0.1, 0.2]), Long(), Short([0.1, 0.2, 0.3]), Unreadable([0.1, 0.2])),
    *(np.zeros(0), np.zeros((0, 3)), np.zeros((3, 0)), np.zeros((2, 3, 3)), np.full((2, 3), np.nan)),
    *(np.zeros(3, dtype=complex), np.zeros(3, dtype=object), np.array(["a"]), np.array(0.1)),
    *(np.broadcast_to(0.1, (10**13,)), np.broadcast_to(0.1, (10**13, 3)), np.broadcast_to(0.1, (0, 10**13))),
    *(np.ones((3, 2)).T, np.ones(6)[::-2], np.zeros(3, dtype=[("x", float)]), np.ma.masked_all(3)),
    *(np.full(3, 1e160), np.full((1, 3), 1e-160), np.arange(3, dtype=np.int8), np.zeros(2, dtype=bool)),
]
HOSTILE = [*NUMBERS, *OTHERS]
KNOT = []
KNOT.append(KNOT)
HOSTILE += [Endless(), [Endless(), Endless()], EndlessList([0.1, 0.2]), EndlessList(), KNOT, range(10**12)]

# Long by nature: these few are asked less often.
SEARCHES = ("search", "thickness_for", "clearance", "envelope", "evaluate", "study_", "allocate_")
# Where a number that is right depends on its name.
TYPICAL = {
    "wire_diameter": 2 * mm,
    "outer_diameter": 18 * mm,
    "active_turns": 8.0,
    "body_turns": 8.0,
    "free_length": 50 * mm,
    "celsius": 20.0,
    "rate": 1000.0,
    "sensitivity": 15.0,
    "supply": 3.3,
    "reference": 3.3,
    "force": 10.0,
    "cycles": 1e6,
    "ground": 0.1,
    "crank": 0.04,
    "coupler": 0.12,
    "rocker": 0.08,
}


def slow():
    """What tells how slow a control is, and what is measured of a built one."""
    budget = yw.axis.LatencyBudget(
        [
            yw.axis.LatencyStage("bus polling", yw.axis.Delay.wait(8e-3, missed=0.1)),
            yw.axis.LatencyStage("host", yw.axis.Delay.sample([1e-3, 2e-3])),
        ]
    )
    runs = yw.axis.CameraRuns(1000.0, [108, 113, 110])
    pairs = yw.axis.compare_devices({"one": runs, "other": yw.axis.CameraRuns(240.0, [30, 33])})
    at = np.linspace(-0.2, 0.2, 4)
    angles = np.stack(np.meshgrid(at, at), axis=-1).reshape(-1, 2)
    sweep = yw.axis.TwoAxisSweep(angles, 2000 + 3000 * angles + 100 * angles[:, ::-1])
    return [sweep, sweep.calibration("linear"), budget, *budget.stages, budget.stage_to_attack(), runs, *pairs]


def measured_on_the_bench(layout, parts):
    """A sweep of a built axis, and what is made of it."""
    angle = np.concatenate([np.linspace(-5, 5, 31), np.linspace(5, -5, 31)]) * deg
    built = layout.with_measure("gap", 3.2 * mm).axis(**parts)
    count = np.round(parts["sensor"].outputs(built.fluxes_at(angle)[0])[0] / parts["converter"].lsb)
    log = yw.axis.BenchLog(np.append(angle, 0.0), np.append(count, np.nan), bits=12)
    sweep = log.sweep(leave_out=["missing"])
    calibration = sweep.calibrate_table(5)
    found = yw.axis.identify_axis(sweep, layout, **parts, within={"gap": (1 * mm, 6 * mm)})
    firmware = calibration.firmware("roll")
    return [log, log.doubts[0], sweep, sweep.hysteresis, calibration, calibration.curve, firmware, found, *found.advice]


def beginnings():
    """One of each that the library does not return by itself."""
    pivot = yw.linkage.Pivot((0, 0, 0), (1, 0, 0))
    hinge = yw.linkage.Arm((0, 0.12, 0), (0, 1, 0), (0, 0.043, 0.09), stud=(0, 1, 0), swivel_limit=13 * deg)
    crank = yw.linkage.Arm((-0.15, 0, 0.085), (0, 0, 1), (-0.15, 0.045, 0.085), stud=(0, 0, 1), swivel_limit=13 * deg)
    pedal = yw.linkage.Pedal(hinge, pad=(-0.01, 0.12, 0.18), push=(1, 0, 0), stops=(-15 * deg, 15 * deg))
    example = Path(__file__).parents[2] / "examples" / "trainer_stick.toml"
    evaluation = yw.rig.Design.load(example).evaluate(11)
    drawer = Path(__file__).parents[2] / "examples" / "drawer_springs.csv"
    spring = yw.spring.LinearSpring(rate=1000.0, free_length=50 * mm, action="above")
    twist = yw.spring.LinearTorsionSpring(rate=6.0, free_angle=0.0, action="both")
    block = yw.magnet.Block((5 * mm,) * 3, (0, 0, 1.3))
    plate = yw.magnet.SteelPlate((0, 0, -0.01), (0, 0, 1))
    four_bar = yw.linkage.FourBar(ground=0.1, crank=0.04, coupler=0.12, rocker=0.08)
    gimbal = yw.linkage.Gimbal(
        outer=yw.linkage.Pivot((0, 0, 0), (0, 1, 0)), inner=pivot, stick=[(0, 0, 0), (0, 0, 0.4)], grip_radius=0.04
    )
    control = yw.feel.Control(
        pivots=[pivot],
        travel=[(-0.2, 0.2)],
        grip=(0, 0, 0.4),
        elements=[
            yw.feel.Element.torsion(twist, "lever"),
            yw.feel.Element.friction("lever", 0.1),
            yw.feel.Element.inertia("lever", 0.05),
        ],
    )
    axis = evaluation.axes[0].axis
    carried = [
        yw.axis.CarriedSensor(axis.sensor, yw.Pose((0.03, 0, z)), on, axis.converter)
        for z, on in ((0.02, "frame"), (-0.02, "ring"))
    ]
    two = yw.axis.TwoAxis(
        gimbal=gimbal,
        gate=yw.linkage.Gate.round(0.2),
        magnets=[yw.axis.CarriedMagnets(axis.magnets, "stick", "both")],
        outer=carried[0],
        inner=carried[1],
    )
    cube = yw.magnet.Block((5 * mm,) * 3, (0, 1.3, 0))
    near = yw.axis.SwungLayout(magnet=cube, arm=20 * mm, gap=3 * mm)
    parts = {"throw": (-0.1, 0.1), "converter": yw.hall.Converter(bits=12, reference=5.0)}
    linear = yw.hall.LinearHall(supply=5.0, sensitivity=25.0)
    reached = near.axis(sensor=linear, **parts).figures().linearity.independent
    search = yw.axis.search_arrangements(
        [yw.axis.SwungLayout(magnet=cube, arm=8 * mm, gap=6 * mm), near],
        sensors=[linear],
        vary={},
        max_linearity=reached / 1.01,
        **parts,
    )
    return [
        search,
        *(two, two.reading_at(0.1, 0.05), two.readings_at([0.1, np.nan], [0.0, 0.1]), two.map(5, 5)),
        *(two.crosstalk(5), two.correction("linear", 5), *carried),
        *(yw.axis.error_budget(axis), yw.axis.compare({"pitch": axis})),
        *slow(),
        *rigs(),
        *studies(near, near.axis(**parts | {"sensor": linear})),
        yw.axis.YieldStudy(
            yw.axis.ControlDesign(near, **parts | {"sensor": linear}), [yw.axis.Tolerance("gap", 0.1 * mm)], builds=50
        ),
        yw.axis.CallableDesign(inputs={"x": 1.0}, figures={"twice": "m"}, build=lambda x: {"twice": 2 * x}),
        yw.axis.Distribution.triangular(0.0, 1.0, 2.0),
        *measured_on_the_bench(near, parts | {"sensor": linear}),
        *(pivot, hinge, pedal, yw.linkage.PedalPair.mirrored(pedal, crank), evaluation, evaluation.axes[0]),
        *(
            evaluation.axes[0].verdicts[0],
            yw.rig.Design.load(example),
            *evaluated_mechanics(example.with_name("training_rig.toml")),
            spring,
            twist,
            block,
            plate,
            four_bar,
            gimbal,
        ),
        *(yw.magnet.Cylinder(6 * mm, 3 * mm, (0, 0.3, 1)), yw.magnet.Ring(8 * mm, 4 * mm, 3 * mm, (0, 0.3, 1))),
        *(
            yw.magnet.Sphere(5 * mm, (0, 0, 1)),
            yw.magnet.MagnetGroup([block]),
            yw.linkage.Gate.round(0.2),
            yw.linkage.Gate.square((-0.2, 0.2), (-0.1, 0.1)),
        ),
        *(
            yw.linkage.Obstacle.block((0.1, 0.1, 0.1), yw.Pose((0.4, 0, 0.4))),
            yw.linkage.Obstacle.capsule((0, 0.4, 0), (0, 0.4, 0.1), 0.05),
        ),
        *(
            yw.linkage.BallRod(hinge, crank),
            yw.linkage.TransmissionChain([yw.linkage.FixedRatio(-2.0), yw.linkage.BallRod(hinge, crank)]),
            yw.linkage.CenteredFourBar(four_bar, "open", 1.5),
            control,
            yw.spring.Wire.named("ASTM A228"),
        ),
        *(
            yw.magnet.Grade.named("N42"),
            yw.magnet.ActiveArea.disc(0.4 * mm),
            yw.hall.Potentiometer(travel=3.0, supply=3.3),
            yw.hall.AngleSensor(bits=12),
            yw.hall.AngleError.of([0.0, 1.5, 3.0, 4.5], [0.1, 1.5, 3.2, 4.4]),
            yw.hall.SignalChain(
                converter=yw.hall.Converter(bits=12, reference=3.3),
                filter=yw.hall.LowPass(100.0),
                averaging=yw.hall.Averaging(4, 1e-3),
            ),
            yw.hall.TypicalPart.named("12 bit 3.3 V"),
        ),
        *(
            yw.linkage.Lever.pivoted(pivot, (0, 0, 0.2), (-0.5, 0.5)),
            yw.linkage.SliderCrank(crank=0.04, rod=0.12, offset=0.0),
        ),
        *(
            yw.spring.CompressionSpring(
                wire="EN 10270-1 SM",
                wire_diameter=2 * mm,
                outer_diameter=18 * mm,
                active_turns=8,
                free_length=50 * mm,
            ),
        ),
        *(
            yw.spring.ExtensionSpring(
                wire="ASTM A228",
                wire_diameter=1 * mm,
                outer_diameter=10 * mm,
                body_turns=20,
                initial_tension=3.0,
            ),
        ),
        *(yw.spring.TorsionSpring(wire="ASTM A228", wire_diameter=1 * mm, outer_diameter=10 * mm, body_turns=5),),
        *(
            yw.linkage.FreeArm.between(hinge, 0.03, 0.1),
            yw.linkage.UniversalJoint(0.3),
            yw.feel.Anchor("ground", (0, 0, 0.1)),
        ),
        *(yw.spring.ForceTable([0.1, 0.2, 0.3], [0.0, 5.0, 20.0]), yw.feel.Element.breakout("lever", 0.4)),
        yw.feel.guides_for("stick", "pitch")[0],
        *others(block, plate, pivot, spring, drawer),
    ]


def others(block, plate, pivot, spring, drawer):
    """What only takes part in a job, or comes out of one."""
    columns = {
        "name": ("no", ""),
        "outer_diameter": ("outer mm", "mm"),
        "wire_diameter": ("wire mm", "mm"),
        "free_length": ("free mm", "mm"),
        "limit_length": ("longest mm", "mm"),
        "rate": ("rate N/mm", "N/mm"),
        "initial_tension": ("initial N", "N"),
    }
    stock = yw.spring.StockList.read(
        drawer.read_text(encoding="utf-8"),
        kind="extension",
        columns=columns,
        delimiter=";",
        decimal_comma=True,
        wire="ASTM A228",
    )
    coil = {"rate": 2000.0, "preload": 10.0, "travel": 0.01}
    lever = yw.feel.Control(
        pivots=[pivot],
        travel=[(-0.25, 0.25)],
        grip=(0, 0, 0.4),
        elements=[
            yw.feel.Element.line(
                spring, yw.feel.Anchor("lever", (0, side * 0.01, 0.1)), yw.feel.Anchor("ground", (0, side * 0.1, 0.1))
            )
            for side in (-1, 1)
        ],
    )
    demand = {
        "body": "lever",
        "on_body": ((0, 0, 0.03), (0, 0.01, 0.12)),
        "on_ground": ((0, 0.06, 0.02), (0, 0.15, 0.12)),
        "mirror": (0, 1, 0),
        "full_force": (12.0, 2.0),
        "starts": 2,
    }
    pedal = yw.linkage.Lever.pivoted(pivot, (0, 0, 0.2), (-0.5, 0.5))
    turns = np.linspace(-0.2, 0.2, 5)
    arm = yw.linkage.Arm((0, 0, 0), (0, 1, 0), (0, 0, 0.1))
    crank = yw.linkage.Arm((0.25, 0.06, 0.08), (0, 0, 1), (0.25, 0.01, 0.08))
    tight = yw.spring.search_compression_springs(["ASTM A228"], travel=0.05, rate=1e5, preload=1e3)
    chosen = yw.spring.search_stock(stock, rate=500.0, force=12.0, travel=0.01, room=(0.03, 0.08))
    return [
        *(
            stock,
            stock.springs[0],
            chosen,
            plate.over(block),
            yw.magnet.pull(block, yw.magnet.Sphere(5 * mm, (0, 0, 1), yw.Pose((0, 0, 0.02)))),
        ),
        *(yw.spring.search_extension_springs(["ASTM A228"], **coil), tight, tight.rejected[0], tight.nearest),
        yw.spring.search_compression_springs(["ASTM A228"], **coil).best(),
        yw.spring.search_torsion_springs(
            ["EN 10270-1 SM"], rate=0.6, preload=0.2, travel=50 * deg, legs=(30 * mm, 30 * mm)
        ).best(),
        *(lever, lever.state([0.1]).lines[0], lever.spring_envelopes()[0]),
        *(
            yw.feel.SpringDemand([spring], **demand),
            yw.feel.Control(pivots=[pivot], travel=[(-0.2, 0.2)], grip=(0, 0, 0.4)).search_springs([spring], **demand),
        ),
        pedal.stop_load(pedal.stop_at(0.05, 0.2), (0.0, -50.0, 0.0)),
        yw.linkage.search_four_bars(turns, 1.5 * turns, ground=0.1, lengths=(0.02, 0.15), starts=4),
        yw.linkage.search_ball_rods(
            input=yw.linkage.FreeArm.between(arm, 0.05, 0.15),
            output=yw.linkage.FreeArm.between(crank, 0.03, 0.1),
            travel=(-15 * deg, 15 * deg),
            output_span=45 * deg,
            span_tolerance=1 * deg,
        ),
        yw.axis.linearity([0.0, 1.0, 2.0], [0.1, 0.9, 2.2]).independent_line,
        yw.feel.compare_with_guidance("stick", "roll", yw.feel.ControlMeasurements(force=20.0, breakout=1.0)),
    ]


def stubbed():
    """Every function of the stub: (class or None, name, {argument: (annotation, has a default)}, kind)."""
    for node in (node for stub in STUBS for node in ast.parse(stub.read_text(encoding="utf-8")).body):
        if isinstance(node, ast.FunctionDef):
            yield None, node.name, arguments(node), "function"
        elif isinstance(node, ast.ClassDef):
            for part in node.body:
                if not isinstance(part, ast.FunctionDef):
                    continue
                words = {ast.unparse(one) for one in part.decorator_list}
                kind = "property" if "property" in words else "static" if "staticmethod" in words else "method"
                yield node.name, part.name, arguments(part), kind


def arguments(node):
    taken = node.args
    plain = [*taken.posonlyargs, *taken.args]
    missing = [None] * (len(plain) - len(taken.defaults))
    pairs = [
        *zip(plain, [*missing, *taken.defaults], strict=True),
        *zip(taken.kwonlyargs, taken.kw_defaults, strict=True),
    ]
    return {
        one.arg: (ast.unparse(one.annotation) if one.annotation else "", default is not None)
        for one, default in pairs
        if one.arg not in ("self", "cls")
    }


class Callers:
    """Makes the calls, and knows an object of every class that it has met."""

    def __init__(self):
        self.known = {}
        self.count = 0
        for one in beginnings():
            self.meet(one)

    def meet(self, value, depth=0):
        if type(value).__module__.startswith("yokewright"):
            # Under the name of its base too, if that is ours.
            for kind in type(value).__mro__:
                few = self.known.setdefault(kind.__name__, [])
                if len(few) < 2:
                    few.append(value)
            if isinstance(value, yw.SearchResult):
                self.meet(value.found, depth + 1)
        elif isinstance(value, (list, tuple)) and depth < 2:
            for one in value[:3]:
                self.meet(one, depth + 1)

    def typical(self, name, annotation):
        """A value that an argument may have, by what the stub says of it."""
        first = annotation.split("|")[0].strip()
        if name in TYPICAL and "float" in first:
            return TYPICAL[name]
        if first.startswith("Literal["):
            return ast.literal_eval(first[len("Literal[") : -1].split(",")[0])
        for word in (first, first.removeprefix("Sequence[").rstrip("]")):
            if word in self.known:
                return self.known[word][0] if word == first else self.known[word][:1]
        if "tuple[float, float]" in first:
            return [(-0.2, 0.2)] if first.startswith("Sequence") else (-0.2, 0.2)
        if name == "wires":
            return ["ASTM A228"]
        if name in ("wire", "grade"):
            return {"wire": "ASTM A228", "grade": "N42"}[name]
        usual = {"float": 0.01, "int": 5, "bool": True, "str": "lever", "ArrayLike": (0.0, 0.0, 0.1)}
        if name.endswith("s") and first == "ArrayLike":
            return [[0.0, 0.0, 0.1], [0.1, 0.0, 0.1]] if "point" in name else [0.01, 0.02, 0.05]
        return usual.get(first, 0.01)

    def call(self, what, function, named):
        """One call; anything but a result or an ordinary exception ends the child."""
        self.count += 1
        try:
            value = function(**named)
        except Exception:
            return
        except BaseException as error:
            shown = {
                name: type(one).__name__ if isinstance(one, Unprintable) else repr(one)[:80]
                for name, one in named.items()
            }
            sys.exit(f"{what}({shown}) raised {type(error).__name__}: {error}")
        self.meet(value)

    def look_round(self, functions):
        """Properties, and calls with usual arguments: what they return is known afterwards."""
        for _ in range(2):
            for owner, name, taken, kind in functions:
                for one in self.known.get(owner, []) if owner else []:
                    if kind == "property":
                        self.meet(getattr(one, name))
                    elif kind == "method" and not name.startswith("__"):
                        base = {key: self.typical(key, note) for key, (note, optional) in taken.items() if not optional}
                        self.call(f"{owner}.{name}", getattr(one, name), base)

    def operate(self, what, function):
        """Calls of an operator, whose argument has no name."""
        for value in HOSTILE:
            self.call(what, lambda x: function(x), {"x": value})

    def attack(self, what, function, taken, cheap):
        base = {name: self.typical(name, kind) for name, (kind, optional) in taken.items() if not optional}
        # Many builds take as long as they are asked for; few are asked for here.
        few = {name: count for name, count in {"builds": 50, "rows": 32}.items() if name in taken}
        base |= few
        print(what, flush=True)
        self.call(what, function, base)
        worst = HOSTILE if cheap else HOSTILE[:: max(1, len(HOSTILE) // 12)]
        for name in taken.keys() - few.keys():
            for value in worst:
                self.call(what, function, base | {name: value})
        for value in worst if cheap else ():
            self.call(what, function, dict.fromkeys(taken, value))


def everything():
    """Call all there is; each is named before, so that the last name is that of what did not return."""
    if sys.platform.startswith("linux"):
        import resource

        resource.setrlimit(resource.RLIMIT_AS, (MEMORY, MEMORY))
    faulthandler.dump_traceback_later(LIMIT_S - 20, exit=True)
    callers = Callers()
    functions = list(stubbed())
    callers.look_round(functions)
    reached = set()
    for owner, name, taken, kind in functions:
        cheap = not any(word in f"{owner}.{name}" for word in SEARCHES)
        if kind == "property" or not taken:
            continue
        if kind == "function":
            callers.attack(name, PUBLIC[name], taken, cheap)
        elif name == "__new__":
            callers.attack(owner, PUBLIC[owner], taken, cheap)
        elif name.startswith("__"):
            for one in callers.known.get(owner, []):
                callers.operate(f"{owner}.{name}", getattr(one, name))
        elif kind == "static":
            callers.attack(f"{owner}.{name}", getattr(PUBLIC[owner], name), taken, cheap)
        else:
            for one in callers.known.get(owner, [])[: 2 if cheap else 1]:
                callers.attack(f"{owner}.{name}", getattr(one, name), taken, cheap)
        if owner is None or owner in callers.known or kind != "method":
            reached.add((owner, name))
    missed = sorted(
        {owner for owner, _, taken, kind in functions if owner and kind == "method" and owner not in callers.known}
    )
    print("reached", len(reached), "calls", callers.count, "not met:", *missed)


def test_no_call_panics_hangs_or_aborts():
    done = subprocess.run(
        [sys.executable, "-W", "error", __file__],
        capture_output=True,
        text=True,
        timeout=LIMIT_S,
        check=False,
        errors="replace",
    )
    last = done.stdout.splitlines()[-1:]
    assert done.returncode == 0, (last, done.stderr[-3000:])
    _, reached, _, calls, *rest = last[0].split(" ")
    # A class whose methods nobody calls would be a hole in the test.
    assert rest == ["not", "met:"], rest
    assert int(reached) > 200
    assert int(calls) > 20_000


def test_every_public_callable_is_in_the_stub():
    told = {owner or name for owner, name, _, _ in stubbed()}
    public = {name for name in PUBLIC if callable(PUBLIC[name]) and not name.endswith("Error")}
    assert public <= told


if __name__ == "__main__":
    everything()
