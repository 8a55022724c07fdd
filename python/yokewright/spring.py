"""Springs: force, stress and life of helical springs, and what else pulls a control back.

`CompressionSpring`, `ExtensionSpring` and `TorsionSpring` are made from a `Wire` and a few lengths;
`LinearSpring`, `LinearTorsionSpring` and `ForceTable` are for springs of which only the law is
known. `search_compression_springs` and its siblings go from a demand to springs, `search_stock`
chooses from a supplier's list (`StockList`).

>>> import yokewright as yw
>>> spring = yw.spring.CompressionSpring(
...     wire="ASTM A228",
...     wire_diameter=1 * yw.mm,
...     outer_diameter=10 * yw.mm,
...     free_length=40 * yw.mm,
...     total_turns=10,
... )
>>> print(f"{spring.rate:.0f} N/m")
1751 N/m

A spring under load can hurt: eyes and fingers away, see `yw.CAUTIONS`.
"""

from ._core import (
    AllowableShares,
    CompressionSpring,
    Endurance,
    ExtensionLife,
    ExtensionSpring,
    ExtensionStresses,
    ForceTable,
    LifeVerdict,
    LinearSpring,
    LinearTorsionSpring,
    SizedExtension,
    SizedSpring,
    SizedTorsion,
    SpringResponse,
    SpringResponses,
    StockChoice,
    StockList,
    StockSpring,
    TorsionLife,
    TorsionResponse,
    TorsionSpring,
    TorsionState,
    Wire,
    search_compression_springs,
    search_extension_springs,
    search_stock,
    search_torsion_springs,
)

__all__ = [
    "AllowableShares",
    "CompressionSpring",
    "Endurance",
    "ExtensionLife",
    "ExtensionSpring",
    "ExtensionStresses",
    "ForceTable",
    "LifeVerdict",
    "LinearSpring",
    "LinearTorsionSpring",
    "SizedExtension",
    "SizedSpring",
    "SizedTorsion",
    "SpringResponse",
    "SpringResponses",
    "StockChoice",
    "StockList",
    "StockSpring",
    "TorsionLife",
    "TorsionResponse",
    "TorsionSpring",
    "TorsionState",
    "Wire",
    "search_compression_springs",
    "search_extension_springs",
    "search_stock",
    "search_torsion_springs",
]
