"""Long calls: ended by Ctrl-C, told to observers, alive after a fork, refused where memory would not do."""

import multiprocessing
import subprocess
import sys
import threading

import numpy as np
import pytest

import yokewright as yw

BAR = yw.magnet.Block((0.005, 0.005, 0.01), (0, 0, 1.2))
POINTS = np.full((20_000, 3), 0.02)

# Each of these would run for minutes at the least; Ctrl-C comes after half a second.
MINUTES = {
    "fields": "yw.magnet.Ring(.02, .01, .005, (0, 1.2, .3))"
    ".fields_at(np.random.default_rng(0).uniform(.03, .1, (40_000_000, 3)))",
    "four-bars": "yw.linkage.solve_four_bars(np.tile([.1, .04, .12, .08], (30_000, 1)), np.linspace(-3, 3, 3_000))",
}

SCRIPT = """
import signal, threading, time
import numpy as np
import yokewright as yw

# A shell that starts jobs in the background has them ignore it.
signal.signal(signal.SIGINT, signal.default_int_handler)

def press():
    time.sleep(0.5)
    signal.raise_signal(signal.SIGINT)

threading.Thread(target=press, daemon=True).start()
begun = time.monotonic()
try:
    while True:
        {call}
except KeyboardInterrupt:
    print(time.monotonic() - begun)
"""


def test_an_observer_is_told_the_progress_and_the_end() -> None:
    seen: list[tuple[int, int]] = []
    with yw.Observer(lambda done, total: seen.append((done, total))) as observer:
        BAR.fields_at(POINTS)
    assert seen[-1] == (5, 5)  # pieces of 4096 points
    assert not observer.stopped
    BAR.fields_at(POINTS)
    assert seen[-1] == (5, 5)
    told = len(seen)
    BAR.field_at((0.0, 0.0, 0.02))
    assert len(seen) == told


def test_a_stopped_observer_ends_the_calls_of_its_block() -> None:
    observer = yw.Observer()
    with observer:
        BAR.fields_at(POINTS)
        observer.stop()
        with pytest.raises(yw.StoppedError, match="as asked"):
            BAR.fields_at(POINTS)
    assert observer.stopped
    assert BAR.fields_at(POINTS)[1].all()


def test_on_one_thread_all_is_the_same() -> None:
    seen: list[int] = []
    with yw.Observer(lambda done, total: seen.append(done)) as observer:
        alone = yw.on_one_thread(lambda: BAR.fields_at(POINTS))
        # The loop has no stages here, since it is not shared out.
        assert not seen
        observer.stop()
        with pytest.raises(yw.StoppedError, match="as asked"):
            yw.on_one_thread(lambda: BAR.fields_at(POINTS))
    shared = BAR.fields_at(POINTS)
    assert all(np.array_equal(one, other) for one, other in zip(alone, shared, strict=True))
    assert yw.on_one_thread(lambda: None) is None
    with pytest.raises(ZeroDivisionError):
        yw.on_one_thread(lambda: 1 / 0)
    with pytest.raises(yw.InvalidTypeError, match="function: one without arguments is needed, got 1"):
        yw.on_one_thread(1)  # type: ignore[arg-type]
    # Back on all cores, with what failed in between.
    with yw.Observer(lambda done, total: seen.append(total)):
        BAR.fields_at(POINTS)
    assert seen[-1] == 5


def test_another_thread_can_stop_a_call() -> None:
    cube = yw.magnet.Block(size=(0.005, 0.005, 0.005), polarization=(0, 1.3, 0))
    layout = yw.axis.SwungLayout(magnet=cube, arm=0.012, gap=0.002)
    sensor = yw.hall.LinearHall(
        supply=5.0,
        nominal_supply=5.0,
        quiescent=2.5,
        sensitivity=25.0,
        rail_low=0.2,
        rail_headroom=0.3,
        noise=0.0,
        depth=0.0,
    )
    axis = layout.axis(throw=(-0.1, 0.1), sensor=sensor, converter=yw.hall.Converter(bits=12, reference=5.0))
    observer = yw.Observer()
    threading.Timer(0.2, observer.stop).start()

    def sweep_without_end() -> None:
        while True:
            axis.sweep(1_000_000)

    with observer, pytest.raises(yw.StoppedError):
        sweep_without_end()


def test_what_a_callback_raises_ends_the_call() -> None:
    def refuse(_done: int, _total: int) -> None:
        raise LookupError("enough")

    with yw.Observer(refuse), pytest.raises(LookupError, match="enough"):
        BAR.fields_at(POINTS)


def test_observers_nest_and_leave_in_any_order() -> None:
    outer, inner = yw.Observer(), yw.Observer()
    outer.__enter__()
    inner.__enter__()
    outer.__exit__(None, None, None)
    outer.stop()
    BAR.fields_at(POINTS)
    inner.stop()
    with pytest.raises(yw.StoppedError):
        BAR.fields_at(POINTS)
    inner.__exit__(None, None, None)
    BAR.fields_at(POINTS)


@pytest.mark.parametrize("call", MINUTES.values(), ids=MINUTES.keys())
def test_ctrl_c_ends_a_long_call(call: str) -> None:
    done = subprocess.run([sys.executable, "-c", SCRIPT.format(call=call)], capture_output=True, text=True, timeout=120)
    assert done.returncode == 0, done.stderr
    # Half a second to the signal, half a second at most to the end; the rest is for a loaded machine. Not
    # heeded, the call would end after minutes.
    assert float(done.stdout) < 20.0


@pytest.mark.skipif(sys.platform == "win32", reason="Windows has no fork")
@pytest.mark.filterwarnings("ignore:.*multi-threaded.*fork.*:DeprecationWarning")
def test_a_forked_child_computes_what_its_parent_does() -> None:
    here, _ = BAR.fields_at(POINTS)
    context = multiprocessing.get_context("fork")
    with context.Pool(2) as pool:
        for fields, valid in pool.map(BAR.fields_at, [POINTS] * 4):
            assert valid.all()
            np.testing.assert_array_equal(fields, here)


@pytest.mark.parametrize(
    "call",
    [
        lambda many: yw.linkage.FourBar(ground=0.1, crank=0.04, coupler=0.12, rocker=0.08).solve_many(many),
        lambda many: yw.hall.Converter(bits=12, reference=5.0).codes(many),
        lambda many: BAR.fields_at(np.broadcast_to(many[:, None], (len(many), 3))),
        lambda many: yw.linkage.solve_four_bars(np.tile([0.1, 0.04, 0.12, 0.08], (100_000, 1)), many[:1_000_000]),
        lambda many: BAR.fields_at(np.broadcast_to(np.float32(0.1), (len(many), 3))),
    ],
)
def test_more_than_fits_into_memory_is_an_ordinary_error(call) -> None:  # type: ignore[no-untyped-def]
    with pytest.raises(MemoryError, match="more memory than there is"):
        call(np.broadcast_to(0.1, (10**13,)))
