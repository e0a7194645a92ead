"""The files of a pass as values, and what is to be said about the files themselves."""

from __future__ import annotations

import os
from collections.abc import Sequence
from pathlib import Path

from core.capture.files.feed import Feed
from core.capture.files.layout import Layout
from core.capture.files.wave.header import Header, Unreadable
from core.capture.files.wave.opened import read_header
from core.capture.weighing.places import PassMaker
from core.findings import AudioFile, Finding


def headers_of(paths: Sequence[Path]) -> tuple[list[Header | None], dict[int, str]]:
    """A header for every file that can be read, and the reason for every other."""
    headers: list[Header | None] = []
    trouble: dict[int, str] = {}
    for at, path in enumerate(paths):
        try:
            headers.append(read_header(path))
        except Unreadable as error:
            headers.append(None)
            trouble[at] = str(error)
    return headers, trouble


def shown(path: Path) -> str:
    """A path as text that can always be written; bytes that are no UTF-8 are shown escaped."""
    return os.fsencode(path).decode("utf-8", "backslashreplace")


def one_line(path: Path) -> str:
    """A file's name for a sentence: on one line, whatever is in it."""
    name = shown(Path(path.name))
    return "".join(letter if letter.isprintable() else repr(letter)[1:-1] for letter in name)


def file_value(path: Path, header: Header | None, feed: Feed) -> AudioFile:
    """What a check keeps of one file; frames are those that could really be read."""
    if header is None:
        return AudioFile(shown(path), feed.sha256, _size(path), None, None, 0, 0, 0, 0.0, "unreadable")
    lost = feed.trouble is not None
    frames = feed.read_frames if lost else header.frames
    return AudioFile(
        shown(path), feed.sha256, header.bytes, header.container, header.encoding, header.sample_rate,
        header.channels, frames, frames / header.sample_rate, "cut short" if lost else header.state,
        header.time_reference, header.bext, header.remarks,
    )  # fmt: skip


def _size(path: Path) -> int:
    try:
        return path.stat().st_size if path.is_file() else 0
    except OSError:
        return 0


def file_findings(make: PassMaker, headers: Sequence[Header | None], trouble: dict[int, str],
                  feeds: Sequence[Feed], paths: Sequence[Path],
                  layout: Layout | None) -> list[Finding]:  # fmt: skip
    """Unreadable and cut-off files, wrong size fields, files given twice, and files that do not fit in."""
    found = []
    for at, (path, header, feed) in enumerate(zip(paths, headers, feeds, strict=True)):
        name = one_line(path)
        if header is None:
            says = f"{name} {trouble.get(at, 'cannot be read')}."
            found.append(make.whole("unreadable", None, says, file=at))
            continue
        found += _state_findings(make, at, name, header, feed)
        found += [make.whole("header", None, f"{name}: {remark}.", file=at) for remark in header.remarks]
        twin = next((k for k in range(at) if feed.sha256 and feeds[k].sha256 == feed.sha256), None)
        if twin is not None and not _all_zero_alike(headers, at):
            says = f"{name} is byte for byte the same file as {one_line(paths[twin])}."
            found.append(make.whole("same file", None, says, file=at))
    return found + _fit_findings(make, paths, layout)


def _all_zero_alike(headers: Sequence[Header | None], at: int) -> bool:
    """Mono files of silent tracks may well be equal; that is for the sheet to say."""
    header = headers[at]
    return header is not None and header.channels == 1


def _state_findings(make: PassMaker, at: int, name: str, header: Header, feed: Feed) -> list[Finding]:
    if feed.trouble is not None:
        says = f"{name} broke off while it was read: {feed.trouble}."
        return [make.whole("cut short", None, says, file=at)]
    if header.frames == 0:
        return [make.whole("cut short", None, f"{name} holds no sound.", file=at)]
    if header.state == "cut short":
        says = (f"{name} is cut short: {header.frames} of {header.declared_frames} frames are there "
                f"({100 * header.frames / (header.declared_frames or 1):.1f} %).")  # fmt: skip
        return [make.whole("cut short", None, says, file=at)]
    if header.state == "size field wrong":
        told = "nothing" if header.declared_frames is None else f"{header.declared_frames} frames"
        says = f"{name} holds {header.frames} frames, where its size field tells {told}."
        return [make.whole("size field", None, says, file=at)]
    return []


def _fit_findings(make: PassMaker, paths: Sequence[Path], layout: Layout | None) -> list[Finding]:
    if layout is None:
        return []
    found = []
    for at in layout.left_out:
        says = (f"{one_line(paths[at])} has another rate, depth or number of channels than the first file "
                "and was not measured with it.")  # fmt: skip
        found.append(make.whole("format", None, says, file=at))
    for at in layout.uneven:
        says = f"{one_line(paths[at])} is shorter than the files of the other tracks."
        found.append(make.whole("short", None, says, file=at))
    return found
