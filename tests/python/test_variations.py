"""Tables of variations over executors, and what is kept of them."""

import csv
import math
import os
import re
import signal
import subprocess
import sys
import time
from concurrent.futures import Executor, Future, ProcessPoolExecutor, ThreadPoolExecutor
from pathlib import Path

import numpy as np
import pytest

import yokewright as yw
from yokewright import variations as vary

EXAMPLE = Path(__file__).parents[2] / "examples" / "trainer_stick.toml"


def quotient(a, b):
    """Fail where b is zero."""
    return {"quotient": a / b, "whole": a // b == a / b, "text": f"{a}:{b}"}


def test_a_grid_holds_every_combination_in_order():
    table = vary.grid(a=[1, 2], b=np.array([0.5, 0.25]), c=["x"])
    assert table.names == ("a", "b", "c")
    assert table.rows == ((1, 0.5, "x"), (1, 0.25, "x"), (2, 0.5, "x"), (2, 0.25, "x"))
    assert type(table.rows[0][1]) is float
    assert len(vary.grid()) == 1
    assert len(vary.grid(a=[])) == 0


def test_listed_rows_may_come_in_any_order_of_names():
    table = vary.listed([{"a": 1, "b": 2.0}, {"b": 3.0, "a": -0.0}])
    assert table.rows == ((1, 2.0), (-0.0, 3.0))
    assert len(vary.listed([])) == 0


def test_sampled_rows_meet_each_part_of_each_range_once():
    table = vary.sampled(50, seed=3, a=(0.0, 1.0), b=(-2.0, 2.0))
    for at, (low, high) in enumerate([(0.0, 1.0), (-2.0, 2.0)]):
        parts = sorted(math.floor((row[at] - low) / (high - low) * 50) for row in table.rows)
        assert parts == list(range(50))
    assert table == vary.sampled(50, seed=3, a=(0.0, 1.0), b=(-2.0, 2.0))
    assert table != vary.sampled(50, seed=4, a=(0.0, 1.0), b=(-2.0, 2.0))
    a, b = np.array(table.rows).T
    assert abs(np.corrcoef(a, b)[0, 1]) < 0.5


@pytest.mark.parametrize(
    ("make", "says"),
    [
        (lambda: vary.grid(a=[math.nan]), "a[0] = nan is not finite"),
        (lambda: vary.grid(a=[[1]]), "type list"),
        (lambda: vary.grid(a="xy"), "a list of them"),
        (lambda: vary.grid(a=3), "a list of them"),
        (lambda: vary.grid(error=[1]), "'error'"),
        (lambda: vary.grid(a=range(10_000), b=range(10_000)), "100000000 is above 10000000"),
        (lambda: vary.listed([{"a": 1}, {"b": 1}]), "row 1 has b where the first has a"),
        (lambda: vary.listed([3]), "row 0 is of type int"),
        (lambda: vary.sampled(0, seed=1, a=(0, 1)), "below 1"),
        (lambda: vary.sampled(True, seed=1, a=(0, 1)), "no whole number"),
        (lambda: vary.sampled(3, seed=-1, a=(0, 1)), "seed = -1"),
        (lambda: vary.sampled(3, seed=1, a=(1, 1)), "does not ascend"),
        (lambda: vary.sampled(3, seed=1, a=(1, 2, 3)), "a least and a greatest"),
        (lambda: vary.sampled(3, seed=1, a=(0, 1e400)), "not finite"),
        (lambda: vary.run(3, vary.grid(a=[1])), "a function is needed"),
        (lambda: vary.run(quotient, [{"a": 1}]), "grid, listed or sampled"),
        (lambda: vary.run(quotient, vary.grid(a=[1]), workers=0), "workers = 0"),
        (lambda: vary.run(quotient, vary.grid(a=[1]), store="x.txt"), ".csv or .parquet"),
    ],
)
def test_what_makes_no_table_is_refused(make, says):
    with pytest.raises(yw.YokewrightError, match=re.escape(says)):
        make()


class Here(Executor):
    """The least that an executor is: nothing but `submit`."""

    def submit(self, fn, /, *args, **kwargs):
        future = Future()
        future.set_result(fn(*args, **kwargs))
        return future


TABLE = vary.grid(a=[1, 3, 10], b=[0, 3, 7])


@pytest.mark.parametrize("make", [lambda: ThreadPoolExecutor(3), lambda: ProcessPoolExecutor(2), Here])
def test_rows_come_in_order_and_failures_beside_theirs(make):
    with make() as executor:
        results = vary.run(quotient, TABLE, executor=executor)
    assert [row.number for row in results] == list(range(9))
    assert [row.inputs for row in results] == list(TABLE)
    assert [row.number for row in results.failures] == [0, 3, 6]
    assert results.rows[0].error == "ZeroDivisionError: division by zero"
    assert results.rows[0].outputs is None
    assert results.rows[5].outputs == {"quotient": 3 / 7, "whole": False, "text": "3:7"}
    values, valid = results.column("quotient")
    assert valid.tolist() == [False, True, True] * 3
    assert np.isnan(values[0])
    assert values[8] == 10 / 7
    assert results.column("text")[0][1] == "1:3"
    with pytest.raises(yw.InvalidValueError, match="no row has 'other'"):
        results.column("other")


def test_they_come_as_they_finish():
    def slow_first(a):
        time.sleep(0.5 if a == 0 else 0.0)
        return {"a": a} if a == 5 else {"twice": 2 * a}

    with ThreadPoolExecutor(2) as executor:
        rows = list(vary.stream(slow_first, vary.grid(a=range(6)), executor=executor))
    assert sorted(row.number for row in rows) == list(range(6))
    assert rows[0].number != 0
    broken = next(row for row in rows if row.number == 5)
    assert broken.error == "InvalidValueError: output name 'a': no text, empty, an input, or one of ('row', 'error')"


def test_progress_is_told_and_may_stop_it(tmp_path):
    told = []
    with ThreadPoolExecutor(1) as executor:
        vary.run(quotient, TABLE, executor=executor, progress=lambda done, total: told.append((done, total)))
    assert told[0] == (0, 9)
    assert told[-1] == (9, 9)
    assert told == sorted(told)

    def stop(done, _):
        if done >= 3:
            raise KeyboardInterrupt

    store = tmp_path / "kept.csv"
    with ThreadPoolExecutor(1) as executor, pytest.raises(KeyboardInterrupt):
        vary.run(quotient, TABLE, executor=executor, store=store, progress=stop)
    with store.open(newline="") as stream:
        assert 3 <= len(list(csv.DictReader(stream))) < 9


HARD = [0.1, -0.0, 5e-324, 1e300, 1 / 3]
TEXTS = ["x", "", " y", "3", "true", '"', "a,b\nc", "nan", "1_0", "°"]


def echo(number, text):
    """Give back what a file has to bring back to the last bit."""
    if number == 1e300:
        raise ValueError('two\nlines, and "more"')
    return {
        "same": number,
        "other": text,
        "negative": math.copysign(1, number) < 0,
        "none": None,
        "endless": math.inf,
        "length": len(text),
    }


@pytest.mark.parametrize("ending", ["csv", "parquet"])
def test_what_is_kept_comes_back_to_the_last_bit(tmp_path, ending):
    store, table = tmp_path / f"kept.{ending}", vary.grid(number=HARD, text=TEXTS)
    with ThreadPoolExecutor(2) as executor:
        first = vary.run(echo, table, executor=executor, store=store)

    def never(**row):
        raise AssertionError(row)

    again = vary.run(never, table, executor=Here(), store=store)
    assert again == first
    assert len(first.failures) == len(TEXTS)
    assert math.copysign(1, again.rows[len(TEXTS)].outputs["same"]) == -1
    assert first.failures[0].error == 'ValueError: two\nlines, and "more"'


@pytest.mark.parametrize("ending", ["csv", "parquet"])
def test_a_store_of_another_table_is_refused(tmp_path, ending):
    store = tmp_path / f"kept.{ending}"
    vary.run(quotient, TABLE, executor=Here(), store=store)
    for other, says in [
        (vary.grid(a=[1, 3, 11], b=[0, 3, 7]), "row 6 was computed for a = 10, the table has 11"),
        (vary.grid(a=[1, 3], b=[0, 3, 7]), "row '6' is not one of the 6"),
        (vary.grid(a=[1, 3, 10], c=[0, 3, 7]), "row, a, c"),
    ]:
        with pytest.raises(yw.InvalidValueError, match=says):
            vary.run(quotient, other, executor=Here(), store=store)


def test_a_line_cut_off_is_computed_again(tmp_path):
    store = tmp_path / "kept.csv"
    whole = vary.run(quotient, TABLE, executor=Here(), store=store)
    text = store.read_text()
    for length in [len(text) - 3, len(text) - 1, text.index("\n") + 1]:
        store.write_text(text[:length])
        assert vary.run(quotient, TABLE, executor=Here(), store=store) == whole
        assert sorted(store.read_text().splitlines()) == sorted(text.splitlines())


JOB = """
import os, sys, time
from concurrent.futures import ProcessPoolExecutor
from yokewright import variations as vary
def slow(a):
    time.sleep(0.02)
    with open(sys.argv[2], "a") as log:
        log.write(f"{a}\\n")
    return {"third": a / 3}
if __name__ == "__main__":
    with ProcessPoolExecutor(2) as executor:
        vary.run(slow, vary.grid(a=range(200)), executor=executor, store=sys.argv[1])
"""


@pytest.mark.skipif(not hasattr(os, "killpg"), reason="kills a group of processes")
@pytest.mark.parametrize("ending", ["csv", "parquet"])
def test_after_a_kill_no_finished_row_is_computed_again(tmp_path, ending):
    job, store, log = tmp_path / "job.py", tmp_path / f"kept.{ending}", tmp_path / "log.txt"
    job.write_text(JOB)
    command = [sys.executable, str(job), str(store), str(log)]

    def kept():
        if ending == "csv":
            return [int(line.split(",")[0]) for line in store.read_text().splitlines()[1:]] if store.exists() else []
        parts = sorted(store.glob("part-*")) if store.exists() else []
        ranges = [(int(part.stem.split("-")[1]), int(part.stem.split("-")[2])) for part in parts]
        return [number for first, last in ranges for number in range(first, last + 1)]

    begun = subprocess.Popen(command, start_new_session=True)
    while len(kept()) < 20 and begun.poll() is None:
        time.sleep(0.02)
    os.killpg(begun.pid, signal.SIGKILL)
    begun.wait()
    there = kept()
    assert 20 <= len(there) < 200
    log.write_text("")
    subprocess.run(command, check=True)
    computed = [int(line) for line in log.read_text().split()]
    assert sorted(computed + there) == list(range(200))
    results = vary.run(quotient, vary.grid(a=range(200)), executor=Here(), store=store)
    assert [row.outputs for row in results] == [{"third": a / 3} for a in range(200)]


KEYS = {"axis.roll.gap_mm": [3.2, 3.5, 900.0], "magnet.cube.size_mm.0": [7.5, 8.0]}


def test_a_design_file_varied_by_its_keys():
    design = vary.DesignFile(EXAMPLE.read_text(), EXAMPLE.name)
    results = vary.run(design, vary.grid(**KEYS), executor=Here())
    text = EXAMPLE.read_text().replace("gap_mm = 3.5", "gap_mm = 3.2").replace("size_mm = [8.0", "size_mm = [7.5")
    evaluation = yw.rig.Design.parse(text).evaluate()
    first = results.rows[0].outputs
    assert first["state"] == evaluation.state
    by_hand = {f"{axis.name}: {verdict.target}": verdict.got for axis in evaluation.axes for verdict in axis.verdicts}
    assert {name: first[name] for name in by_hand} == by_hand
    assert len(first) == len(by_hand) + 1
    assert [row.number for row in results.failures] == [4, 5]
    assert "gap_mm = 900" in results.rows[4].error


def test_two_targets_of_one_name_are_told_apart_by_their_units():
    budget = "[axis.error_budget]\ntemperatures_degC = [5.0, 35.0]\n[axis.targets]\n"
    both = "error_max_deg = 0.2\nerror_max_percent = 1.0\n"
    text = EXAMPLE.read_text().replace("[axis.targets]\n", budget + both, 1)
    outputs = vary.DesignFile(text)()
    in_degrees, in_percent = (outputs[f"pitch: root sum square error in {unit}"] for unit in ("deg", "%"))
    (pitch, _) = yw.rig.Design.parse(text).evaluate().axes
    low, high = pitch.axis.throw
    assert in_percent == pytest.approx(100 * in_degrees * yw.deg / (high - low))
    assert "pitch: root sum square error" not in outputs
    assert "pitch: independent linearity" in outputs


@pytest.mark.parametrize(
    ("key", "value", "says"),
    [
        ("axis.yaw.gap_mm", 3.0, "key axis.yaw: not in the design; known there: pitch, roll"),
        ("magnet.cube.size_mm.3", 3.0, "'3' is no place of the 3 values"),
        ("title.x.y", 3.0, "nothing lies below there"),
        ("title.x", 3.0, "holds nothing that could be changed"),
        ("axis.roll.gapp_mm", 3.0, "gapp_mm"),
    ],
)
def test_keys_that_are_not_in_the_design(key, value, says):
    with pytest.raises(yw.YokewrightError, match=says):
        vary.DesignFile(EXAMPLE.read_text())(**{key: value})


@pytest.mark.filterwarnings("ignore::DeprecationWarning", "ignore::ResourceWarning")
def test_a_cluster_gives_the_same_bits(tmp_path):
    from distributed import Client, LocalCluster

    design = vary.DesignFile(EXAMPLE.read_text(), EXAMPLE.name)
    table = vary.sampled(40, seed=7, **{"axis.roll.gap_mm": (3.0, 4.5), "axis.pitch.arm_mm": (9.0, 12.0)})
    here = vary.run(design, table, executor=Here())
    with (
        LocalCluster(n_workers=2, threads_per_worker=1, dashboard_address=None) as cluster,
        Client(cluster) as client,
        client.get_executor() as executor,
    ):
        far = vary.run(design, table, executor=executor, store=tmp_path / "kept.parquet", workers=2)
    with ProcessPoolExecutor(2) as executor:
        near = vary.run(design, table, executor=executor)
    assert here == near == far
    assert not here.failures
    assert here.column("roll: range used")[0].std() > 0
