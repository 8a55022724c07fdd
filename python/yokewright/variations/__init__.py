"""Many designs at once: a table of variations, mapped over the cores of one machine or of many.

`grid`, `listed` and `sampled` make a `Table`. `run` calls a function of one's own for each of its rows, by keyword, and
gives the rows in order; `stream` gives them as they come. Both take any executor of the standard library's kind (PEP
3148): processes by default, threads, or that of a cluster, for instance `dask.distributed.Client().get_executor()`.
The function and what it gives travel by pickle. The digits do not depend on the executor.

A row that fails keeps its reason and costs nothing else. With `store` every finished batch goes to a file at once (CSV,
or a folder of Parquet parts), and the same call begun again after a crash goes on from there.

>>> import yokewright as yw
>>> from concurrent.futures import ThreadPoolExecutor
>>> from yokewright import deg, mm, mT
>>> def span(arm, gap):
...     cube = yw.magnet.Block(size=(5 * mm, 5 * mm, 5 * mm), polarization=(0, 1300 * mT, 0))
...     layout = yw.axis.SwungLayout(magnet=cube, arm=arm, gap=gap)
...     part = yw.hall.LinearHall(supply=3.3, nominal_supply=3.3, quiescent=1.65, sensitivity=15 * yw.mV_per_mT,
...                               rail_low=0.2, rail_headroom=0.2, noise=0.001, depth=0.0)
...     converter = yw.hall.Converter(bits=12, reference=3.3)
...     figures = layout.axis(throw=(-6 * deg, 6 * deg), sensor=part, converter=converter).figures()
...     return {"range_used": figures.range_used, "clipped": figures.clipped_share}
>>> table = yw.variations.grid(arm=[10 * mm, 12 * mm], gap=[-1 * mm, 2 * mm, 3 * mm])
>>> results = yw.variations.run(span, table, executor=ThreadPoolExecutor(2))
>>> values, valid = results.column("range_used")
>>> [f"{value:.2f}" for value in values[valid]]
['0.68', '0.40', '0.78', '0.45']
>>> results.failures[0].number, results.failures[0].inputs["gap"]
(0, -0.001)
"""

from ._design import DesignFile
from ._run import Results, Row, run, stream
from ._table import Table, grid, listed, sampled

__all__ = ["DesignFile", "Results", "Row", "Table", "grid", "listed", "run", "sampled", "stream"]
