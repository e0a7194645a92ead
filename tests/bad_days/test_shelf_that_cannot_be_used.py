"""A damaged, foreign, newer, protected or missing shelf: one line, the way back, nothing written."""

from __future__ import annotations

import json
import shlex
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from core.errors import Refused, Unusable
from core.store.disk.backups import backups_of, folder_of
from core.store.disk.restore import restore
from core.store.disk.schema import VERSION
from core.workbook.workbook import Workbook

Run = Callable[..., Any]
Now = Callable[[], Any]


def cut_short(content: bytes) -> bytes:
    """Half of it, as a disk that died leaves it."""
    return content[: len(content) // 2]


def one_letter_changed(content: bytes) -> bytes:
    """Still well-formed, and not what was written."""
    return content.replace(b"Low Tide", b"Low Tido", 1)


def changed_by_another_program(content: bytes) -> bytes:
    """Written again by a program that knows JSON and nothing else."""
    return json.dumps(json.loads(content)).encode()


DAMAGES = [cut_short, one_letter_changed, changed_by_another_program, lambda _: b"", lambda _: b"\x00" * 4096]


@pytest.mark.parametrize("damage", DAMAGES)
def test_a_damaged_shelf_is_never_written_to_and_the_way_back_works(
    book: Workbook, run: Run, damage: Callable[[bytes], bytes]
) -> None:
    good = backups_of(book.path)[0].path.read_bytes()
    bad = damage(book.path.read_bytes())
    book.path.write_bytes(bad)
    for words in (["reels"], ["mark", "R-001", "aligned"], ["note", "R-001", "x"], ["undo"], []):
        told = run(*words)
        assert told.status == 2 and not told.out and len(told.err.splitlines()) == 1, told
    told = run("reels")
    assert "damaged" in told.err and str(backups_of(book.path)[0].path) in told.err
    command = shlex.split(told.err.split("`")[1])
    assert command[0] == "reelturn"
    assert book.path.read_bytes() == bad
    assert run(*command[1:]).status == 0
    assert run("reels").status == 0
    (beside,) = book.path.parent.glob("tapes-before-restore-*.json")
    assert beside.read_bytes() == bad
    assert json.loads(book.path.read_bytes())["reels"] == json.loads(good)["reels"]


def test_any_single_flipped_bit_is_noticed(book: Workbook, now: Now) -> None:
    content = book.path.read_bytes()
    for at in range(7, len(content), len(content) // 60):
        book.path.write_bytes(content[:at] + bytes([content[at] ^ 1]) + content[at + 1 :])
        with pytest.raises(Unusable):
            Workbook.open(book.path, now)


def test_the_newest_good_backup_is_named_where_the_newest_is_damaged_too(book: Workbook, run: Run) -> None:
    newest, second, *_ = backups_of(book.path)
    for path in (book.path, newest.path):
        path.write_bytes(path.read_bytes()[:-100])
    told = run("reels")
    assert second.name in told.err and newest.name not in told.err
    assert "cannot be read" in run("restore").out
    assert run("restore", newest.name).status == 1


def test_a_newer_shelf_is_left_alone(book: Workbook, run: Run) -> None:
    newer = book.path.read_bytes().replace(
        f'"version":{VERSION}'.encode(), f'"version":{VERSION + 1}'.encode()
    )
    book.path.write_bytes(newer)
    told = run("mark", "R-001", "aligned")
    assert told.status == 2 and "a newer reelturn wrote this shelf" in told.err and "restore" in told.err
    assert book.path.read_bytes() == newer


@pytest.mark.parametrize(
    "content", [b'{"_default": {"1": {"name": "milk"}}}', b"[1, 2]", b'{"shelf": {"1": {}}}']
)
def test_a_foreign_file_is_left_alone(tmp_path: Path, run: Run, content: bytes) -> None:
    (tmp_path / "tapes.json").write_bytes(content)
    for words in (["reels"], ["mark", "R-001", "aligned"]):
        told = run(*words)
        assert told.status == 2 and len(told.err.splitlines()) == 1
    assert (tmp_path / "tapes.json").read_bytes() == content


def test_a_missing_shelf_says_how_to_start_one(run: Run) -> None:
    told = run("reels")
    assert told.status == 2 and "there is no shelf" in told.err and " new` begins one" in told.err


def test_a_folder_is_no_shelf(tmp_path: Path, run: Run) -> None:
    (tmp_path / "tapes.json").mkdir()
    told = run("reels")
    assert told.status == 2 and len(told.err.splitlines()) == 1


def test_a_protected_shelf_is_not_replaced_whoever_asks(book: Workbook, run: Run) -> None:
    before = book.path.read_bytes()
    book.path.chmod(0o444)
    told = run("mark", "R-001", "aligned")
    assert told.status == 2 and "write-protected" in told.err
    assert book.path.read_bytes() == before and book.path.stat().st_mode & 0o777 == 0o444
    assert run("restore", "1").status == 2
    assert run("reels").status == 0


def test_the_files_mode_and_a_link_to_it_are_kept(book: Workbook, tmp_path: Path, now: Now) -> None:
    book.path.chmod(0o640)
    link = tmp_path / "link.json"
    link.symlink_to(book.path)
    Workbook.open(link, now).note("R-001", "through the link")
    assert link.is_symlink() and book.path.stat().st_mode & 0o777 == 0o640
    assert book.reload()


def test_backups_rotate_and_can_be_put_back(book: Workbook, now: Now) -> None:
    for number in range(25):
        book.note("R-001", f"note {number}")
    kept = backups_of(book.path)
    assert len(kept) == 10  # all of one day
    assert restore(book.path, "3", now()) is not None
    assert book.reload()
    notes = [event.note for event in book.reel_history() if event.field == "note"]
    assert notes[-1] == "note 21"
    with pytest.raises(Refused, match="no backup 'nothing'"):
        restore(book.path, "nothing", now())


def test_a_backup_of_another_day_is_kept(book: Workbook) -> None:
    import os
    import time

    oldest = backups_of(book.path)[-1].path
    yesterday = time.time() - 86_400
    os.utime(oldest, (yesterday, yesterday))
    for number in range(15):
        book.note("R-001", f"note {number}")
    assert oldest in [backup.path for backup in backups_of(book.path)]
    assert folder_of(book.path).is_dir()
