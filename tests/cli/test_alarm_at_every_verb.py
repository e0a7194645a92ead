"""An alarm that stands is said first and once, by every verb whatever it is asked, and on every sheet."""

from __future__ import annotations

import shlex
from pathlib import Path
from typing import Any

import pytest
from pypdf import PdfReader

from core.workbook.papers import PRINTABLE
from tui.commands.examples import EXAMPLES
from tui.verbs import BY_ROOM

SAYS = "Take W-1 out of chamber C1 now"
#: They look at no shelf that has tapes in the heat: their own help, and a shelf that they make.
OF_NO_SHELF = ("help", "completion", "demo", "new")
#: Their examples search for half a minute.
LONG = ("plan", "suppose")
#: Where an example would not get as far, or would end the alarm.
ALSO = {
    "chamber": ("chamber C2", "chamber C1 --read 53.5", "chamber --json", "chamber --list", "chamber C9"),
    "restore": ("restore", "restore 99"),
    "source": ("source heat.hard_stop_c", "source W-2"),
    "stocks": ("stocks", "stocks --drop nothing"),
    "tonight": ("tonight", "tonight --json", "tonight begin 99", "tonight wiped D9"),
    "reels": ("reels", "reels --json"),
    "plan": ("plan --show", "plan --show --json", "plan --days 2 --effort 0.1"),
    "suppose": ("suppose --effort 0.1 --trays C1=9",),
    "load": ("load C2 W-9", "load C2 W-2", "load C1 P-1"),
    "set": ("set W-2 notes=blue", "set W-2 colour=blue", "set nobody notes=x"),
    "undo": ("undo",),
    "songs": ("songs",),
    "thresholds": ("thresholds", "thresholds nonsense 3"),
    "lineup": ("lineup D1 C-1 tones.wav",),
}  # fmt: skip


def alarmed(run: Any) -> None:
    assert run("load", "C1", "W-1", "W-2", "--at", "2026-12-02T11:00").status == 0
    assert run("set", "W-1", "base=acetate").status == 0
    assert run("set", "W-2", "notes=a word to take back").status == 0


@pytest.mark.parametrize("room", BY_ROOM)
def test_every_verb_says_it_whether_it_does_its_work_or_not(there: Any, tmp_path: Path, room: str) -> None:
    alarmed(there)
    tapes = tmp_path / "tapes.json"
    kept, silent = tapes.read_bytes(), []
    for verb in set(BY_ROOM[room]) - set(OF_NO_SHELF):
        example = [EXAMPLES[verb].removeprefix("reelturn ")] if verb not in LONG else []
        for words in (*example, *ALSO.get(verb, ())):
            tapes.write_bytes(kept)
            told = there(*shlex.split(words))
            if told.out.count(f"! {SAYS}") + told.err.count(SAYS) != 1:
                silent.append((words, told.status, told.out[:300], told.err[:300]))
            elif told.status == 1 and SAYS in told.err:
                assert told.err.startswith(f"reelturn: ! {SAYS}"), words
    assert silent == [], silent


def test_what_was_taken_back_is_an_alarm_no_more(there: Any) -> None:
    assert there("load", "C1", "W-1", "W-2", "--at", "2026-12-02T11:00").status == 0
    assert there("set", "W-1", "base=acetate").err.count(SAYS) == 1
    back = there("undo")
    assert back.status == 0 and SAYS not in back.err + back.out
    assert there("undo", "--redo").err.count(SAYS) == 1
    assert there("restore", "1").status == 0


def test_every_sheet_that_is_printed_says_it(there: Any, tmp_path: Path) -> None:
    alarmed(there)
    silent = []
    for what in PRINTABLE:
        told = there("print", what, *(["W-2"] if what == "reel" else []), "--out", what)
        assert told.err.count(SAYS) == 1, what
        for name in told.out.splitlines():
            text = " ".join(" ".join(page.extract_text().split()) for page in PdfReader(name).pages[:1])
            silent += [name] if SAYS not in text else []
    assert silent == []
