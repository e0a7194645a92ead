"""The tables as pages for the documentation, in Markdown."""

from collections.abc import Iterable, Iterator, Mapping

from core.tape.sources import STANDINGS, Source, sources
from core.tape.tables import names, table

COMMAND = (
    "python -c \"from core.tape.pages import sources_page; print(sources_page(), end='')\" > docs/sources.md"
)


def sources_page() -> str:
    """Every row of every table with its source and standing, then the sources: the page docs/sources.md."""
    return "\n".join(_lines()) + "\n"


def decision_rows() -> str:
    """The decision table as a Markdown table."""
    rows = [
        (key, _conditions(row.values["when"]), row.values["word"], row.values["reason"], _cited(row.source))
        for key, row in table("decisions").items()
    ]
    return _table(("row", "when", "then", "because", "source"), rows)


def _lines() -> Iterator[str]:
    yield from ("# Where every figure comes from", "")
    yield from ("Made from the tables; do not edit by hand. Make it again with:", "")
    yield from (f"    {COMMAND}", "", "How well a row stands:", "")
    yield from (f"- **{word}**: {says}" for word, says in STANDINGS.items())
    for name in names():
        yield from ("", f"## {name.replace('_', ' ')}", "")
        rows = [
            (key, _values(row.values), row.standing, _cited(row.source), row.note)
            for key, row in table(name).items()
        ]
        yield _table(("row", "values", "standing", "source", "note"), rows)
    yield from ("", "## sources", "")
    yield _table(("key", "title", "where"), [(one.key, one.title, one.where) for one in sources().values()])


def _table(head: tuple[str, ...], rows: Iterable[tuple[str, ...]]) -> str:
    lines = [head, tuple("---" for _ in head), *rows]
    return "\n".join("| " + " | ".join(cell.replace("|", "\\|") for cell in line) + " |" for line in lines)


def _values(values: Mapping[str, object]) -> str:
    return "; ".join(f"{key} {_word(value)}" for key, value in values.items() if value not in ("", []))


def _conditions(when: dict[str, object]) -> str:
    return (
        "; ".join(f"{key.replace('_', ' ')} {_word(value)}" for key, value in when.items())
        or "nothing above holds"
    )


def _word(value: object) -> str:
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, list):
        return ", ".join(map(str, value))
    return _conditions(value) if isinstance(value, dict) else str(value)


def _cited(found: Iterable[Source]) -> str:
    return ", ".join(one.key for one in found)
