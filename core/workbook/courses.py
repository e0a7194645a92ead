"""The courses of checked passes: kept in files beside the shelf under their own checksum's name, and read."""

from __future__ import annotations

import hashlib
from pathlib import Path
from typing import TYPE_CHECKING

from core.errors import Unusable
from core.shelf import Shelf
from core.standing.kept_checks import check_key, checks_of, files_sum
from core.store.disk.atomic import why_not_written, write_whole
from core.store.disk.records import folder_beside

if TYPE_CHECKING:
    from core.album.course import Course
    from core.raw import RawCheck


def write_course(shelf: Path, course: Course) -> str:
    """Writes a course beside the shelf, if it is not there already; the name of its file."""
    content = course.to_bytes()
    name = _name_of(content)
    folder = folder_beside(shelf)
    if not (folder / name).exists():
        try:
            folder.mkdir(exist_ok=True)
        except OSError as error:
            raise Unusable(why_not_written(folder, error)) from error
        write_whole(folder / name, content)
    return name


def course_record(check: RawCheck, name: str) -> dict[str, object]:
    """What the shelf itself keeps of a course: of which files it is, and where it lies."""
    return {"of": files_sum(check), "beside": name}


def read_course(path: Path, shelf: Shelf, reel: str, pass_number: int) -> Course | None:
    """The course of the newest check of that pass; none where it was not kept, or is not there or damaged.

    A course can be measured again from the files, so that one that is lost is no more than not there.
    """
    from core.album.course import Course

    record = shelf.of_kind("course").get(check_key(reel, pass_number))
    check = checks_of(shelf, reel).get(pass_number)
    if record is None or check is None or record.get("of") != files_sum(check):
        return None
    name = str(record["beside"])
    try:
        content = (folder_beside(path) / Path(name).name).read_bytes()
        whole = name.startswith(hashlib.sha256(content).hexdigest()[:40])
        return Course.from_bytes(content) if whole else None
    except (OSError, ValueError):
        return None


def _name_of(content: bytes) -> str:
    return hashlib.sha256(content).hexdigest()[:40] + ".npz"
