"""The pages made from the tables are in step with them."""

from pathlib import Path

from core.tape.pages import COMMAND, decision_rows, sources_page
from core.tape.sources import sources
from core.tape.tables import names, table

DOCS = Path(__file__).parents[2] / "docs"


def test_the_sources_page_is_what_the_tables_say() -> None:
    assert (DOCS / "sources.md").read_text(encoding="utf-8") == sources_page(), f"make it again: {COMMAND}"


def test_the_treatment_page_shows_the_decision_table() -> None:
    assert decision_rows() in (DOCS / "treatment.md").read_text(encoding="utf-8")


def test_the_page_shows_every_row_and_source() -> None:
    page = sources_page()
    assert all(f"| {key} |" in page for name in names() for key in table(name))
    assert all(f"| {key} |" in page for key in sources())


def test_every_row_of_the_page_has_as_many_cells_as_its_head() -> None:
    width = 0
    for line in sources_page().replace("\\|", "/").splitlines():
        cells = line.count("|")
        if not line.startswith("|"):
            width = 0
        elif width == 0:
            width = cells
        else:
            assert cells == width, line
