"""The table of thresholds as plain text and for other programs, the usual value beside the shelf's own."""

from __future__ import annotations

from collections.abc import Iterator

from core.capture.weighing.verdict import Thresholds


def thresholds_lines(table: Thresholds, usual: Thresholds, only: str | None = None) -> Iterator[str]:
    """Name, value, unit, why, and where it comes from; then what each kind weighs."""
    for row in table.rows:
        if only not in (None, row.name):
            continue
        was = usual[row.name]
        own = f"  (this shelf's own; usually {was:g})" if row.value != was else ""
        yield f"{row.name}  {row.value:g} {row.unit}{own}"
        yield f"    {row.reason}"
        yield f"    source: {row.source}"
    for kind, weight in table.weights.items():
        if only not in (None, f"weight {kind}"):
            continue
        was_weight = usual.weight(kind)
        own = f"  (this shelf's own; usually {was_weight})" if weight != was_weight else ""
        yield f"weight {kind}  {weight}{own}"
    if only is None:
        yield "every other kind  remark"


def thresholds_json(table: Thresholds, usual: Thresholds, only: str | None = None) -> dict[str, object]:
    """The same as one document."""
    rows = [
        {
            "name": row.name, "value": row.value, "usual": usual[row.name], "unit": row.unit,
            "reason": row.reason, "source": row.source,
        }
        for row in table.rows if only in (None, row.name)
    ]  # fmt: skip
    weights = [
        {"kind": kind, "weight": weight, "usual": usual.weight(kind)}
        for kind, weight in table.weights.items() if only in (None, f"weight {kind}")
    ]  # fmt: skip
    return {"thresholds": rows, "weights": weights}
