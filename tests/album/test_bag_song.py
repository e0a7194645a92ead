"""A song and an album handed over, read by others: bagit, html.parser, html5lib, pypdf, soundfile, csv.

BagIt by RFC 8493, validated by the Library of Congress's own package.
"""

from __future__ import annotations

import csv
import shutil
from collections.abc import Callable
from html.parser import HTMLParser
from pathlib import Path
from urllib.parse import unquote

import bagit
import html5lib
import numpy as np
import pypdf
import pytest
import soundfile

VOID = {"meta", "br", "link"}


class Reader(HTMLParser):
    """Links, words and tags of a page, and whether every tag is closed in its turn."""

    def __init__(self) -> None:
        super().__init__()
        self.links: list[str] = []
        self.tags: set[str] = set()
        self.words: list[str] = []
        self.open: list[str] = []

    def handle_starttag(self, tag, attrs):
        self.tags.add(tag)
        if tag not in VOID:
            self.open.append(tag)
        self.links += [value for name, value in attrs if name == "href"]

    def handle_endtag(self, tag):
        assert self.open.pop() == tag

    def handle_data(self, data):
        self.words.append(data)


def begun_at(folder: Path) -> Reader:
    """The page of a valid bag, every link of which leads to a file in it; the text names the same files."""
    assert bagit.Bag(str(folder)).is_valid()
    reader, data = Reader(), folder / "data"
    reader.feed((data / "index.html").read_text("utf-8"))
    reader.close()
    assert not reader.open and reader.tags <= {
        "html", "head", "meta", "title", "body", "h1", "h2", "p", "ul", "li", "a",
    }  # fmt: skip
    text = (data / "index.txt").read_bytes().decode("utf-8")
    read_by_another_parser((data / "index.html").read_text("utf-8"), reader.links, text)
    for link in reader.links:
        assert (data / unquote(link)).is_file(), link
        assert unquote(link) in text
    return reader


def read_by_another_parser(html: str, links: list[str], text: str) -> None:
    """By html5lib, strict (WHATWG HTML): no error, the same links, and the text file has the same content."""
    tree = html5lib.HTMLParser(strict=True, namespaceHTMLElements=False).parse(html)
    assert [one.get("href") for one in tree.iter("a")] == links
    assert not any(one.get(name) for one in tree.iter() for name in ("src", "style", "onclick", "onload"))
    told = [" ".join("".join(one.itertext()).split()) for one in tree.iter("li")]
    listed = [line.removeprefix("- ") for line in text.splitlines() if line.startswith("- ")]
    assert told == [" ".join(line.split()) for line in listed]
    for one in [*tree.iter("h1"), *tree.iter("h2"), *tree.iter("p")]:
        assert "".join(one.itertext()) in text


def rows(file: Path) -> list[dict[str, str]]:
    with open(file, newline="", encoding="utf-8") as text:
        return list(csv.DictReader(text))


@pytest.fixture
def mix(tmp_path, run, shelf):
    """A mix of the song that came home as the one."""
    sound = 0.1 * np.random.default_rng(3).uniform(-1, 1, (8_000 * 12, 2))
    soundfile.write(tmp_path / "Low & <Tide> 100%.wav", sound, 8_000, subtype="PCM_24")
    done = run("mix", "S-1", tmp_path / "Low & <Tide> 100%.wav", "--as", "the-one", "--note", "<b>final</b>")
    assert done.status == 0, done.err
    return tmp_path / "Low & <Tide> 100%.wav"


def test_a_song_is_handed_over_whole(run, shelf, mix, captures):
    run("step", "S-1", "edit <the> breath", "--who", "Ulla")
    before = {path: path.read_bytes() for path in captures.iterdir()}
    done = run("bag", "given/low", "--song", "S-1")
    assert (done.status, done.out) == (0, "given/low\n"), done.err
    page = begun_at(shelf / "given" / "low")
    words = " ".join(page.words)
    assert "<b>final</b>" in words and "edit <the> breath, Ulla" in words
    data = shelf / "given" / "low" / "data"
    song = data / "songs" / "S-1 Low Tide"
    listed = [row for row in rows(song / "parts.csv") if row["file"]]
    assert {"drums", "guitar", "bass", "voice"} <= {row["part"] for row in listed}
    lengths = {soundfile.info(song / row["file"]).frames for row in listed}
    assert len(lengths) == 1  # all begin and end together
    assert (song / "mixes").is_dir() and mix.read_bytes() in [p.read_bytes() for p in song.glob("mixes/*")]
    (curve,) = song.glob("curves/R-2*.csv")
    nodes = rows(curve)
    assert len(nodes) >= 2 and float(nodes[0]["song_seconds"]) < float(nodes[-1]["song_seconds"])
    for name in ("findings.csv", "notes.csv", "credits.csv", "captures.csv", "mixes.csv", "steps.csv"):
        assert (song / name).is_file(), name
    papers = " ".join(
        sheet.extract_text() for file in sorted(data.rglob("*.pdf")) for sheet in pypdf.PdfReader(file).pages
    )
    assert "Track sheet T-1" in papers and "voice" in papers and "Family" in papers
    assert {row["sheet"] for row in rows(data / "lists" / "sheets.csv")} == {"T-1", "T-2", "T-3"}
    assert not (data / "lists" / "studio.toml").exists()
    assert {path: path.read_bytes() for path in captures.iterdir()} == before
    assert not list((shelf / "given").glob(".*"))


def test_what_cannot_be_laid_goes_along_as_it_was_captured(run, shelf, captures):
    (shelf / "more.csv").write_text("sheet,reel,song,track,part,take,copied_from\nT-4,R-4,S-1,2,shaker,2,\n")
    assert run("import", "more.csv").status == 0
    assert run("bag", "low", "--song", "Low Tide", "--json").json["left_out"] == []
    begun_at(shelf / "low")
    taken = {path.name: path.read_bytes() for path in (shelf / "low" / "data" / "tapes").rglob("*.wav")}
    assert taken == {"other.wav": (captures / "other.wav").read_bytes()}
    assert "nothing ties R-4" in (shelf / "low" / "data" / "index.txt").read_text("utf-8")
    assert run("set", "T-1:3", "wiped=yes").status == 0  # the bass is in the old mix alone from now on
    assert run("bag", "again", "--song", "Low Tide").status == 0
    taken = {path.name for path in (shelf / "again" / "data" / "tapes").rglob("*.wav")}
    assert "mix.wav" in taken
    words = (shelf / "again" / "data" / "index.txt").read_text("utf-8")
    assert "R-3 goes along as it was captured, under The tapes; bass, take 1: nowhere else" in words


def test_a_mix_that_was_written_over_is_told_and_keeps_nothing_from_being_handed_over(run, shelf, mix):
    assert run("set", "S-1", "artist=The Made-Up Four").status == 0
    sound = 0.1 * np.random.default_rng(4).uniform(-1, 1, (8_000 * 12, 2))
    soundfile.write(mix, sound, 8_000, subtype="PCM_24")  # as a program does that mixes anew
    refused = run("bag", "low", "--song", "S-1")
    assert refused.status == 2 and "mix 1 of S-1, the one, is not what came home" in refused.err
    assert not (shelf / "low").exists()
    again = run("mix", "S-1", mix, "--as", "the-one")
    assert again.status == 0 and "written over mix 1, whose sound is no more" in again.err
    done = run("bag", "low", "--song", "S-1")  # what is left out is told, as for a file that is gone
    assert done.status == 1 and "left out: mix 1 of S-1" in done.err and done.out == "low\n"
    page = (shelf / "low" / "data" / "index.txt").read_text("utf-8")
    assert "was written over by a later mix" in page and "Low Tide, by The Made-Up Four." in page
    assert "The Made-Up Four" in (shelf / "low" / "bag-info.txt").read_text("utf-8")


def test_an_album_tells_what_is_missing_and_by_whom(run, shelf, mix):
    (shelf / "more.csv").write_text('song,title,needs\nS-3,"Mud & Rope",\n')
    assert run("import", "more.csv").status == 0
    for number, key in enumerate(("S-1", "S-2", "S-3"), 1):
        assert run("set", "song", key, "album=Salt & Tar", f"order={number}").status == 0
    mix.unlink()
    done = run("bag", "album", "--album", "salt & tar")
    assert done.status == 1 and done.err.count("\n") == 1 and "mix 1 of S-1" in done.err
    page = begun_at(shelf / "album")
    words = "\n".join(page.words)
    assert "Salt & Tar" in words and "1. Low Tide (S-1)" in words and "3. Mud & Rope (S-3)" in words
    assert "nothing of it is captured yet" in words and "Not in this folder: mix 1 of S-1" in words
    data = shelf / "album" / "data"
    assert len(list(data.glob("songs/*/copies/*.wav"))) >= 5
    assert "Credits: Salt & Tar" in pypdf.PdfReader(data / "album.pdf").pages[1].extract_text()
    for line in run("album", "Salt & Tar", "--json").json["missing"]:
        assert any(one.startswith("missing, waits for ") and one.endswith(f": {' '.join(line.split())}")
                   for one in page.words), line  # fmt: skip


@pytest.mark.parametrize(
    ("words", "status", "says"),
    [
        (("there", "--song", "S-1"), 2, "is there already"),
        (("new", "--song", "S-3"), 1, "S-3: nothing is captured"),
        (("new", "--song", "Low Tied"), 1, "did you mean S-1"),
        (("new", "--album", "None such"), 1, "no song has the album"),
        (("new",), 2, "name reels, or one of"),
        (("new", "R-1", "--song", "S-1"), 2, "name reels, or one of"),
        (("new", "--song", "S-1", "--album", "A"), 2, "not allowed with"),
        (("new", "--song", ""), 2, "need a name"),
        (("new", "--song", "S-2"), 2, "is not what was checked"),
    ],
)
def test_what_cannot_be_is_one_clear_line(run, shelf, captures, words, status, says):
    (shelf / "there").mkdir()
    (shelf / "there" / "mine.txt").write_text("mine")
    (shelf / "songs2.csv").write_text("song,title,needs\nS-3,Mud,\n")
    assert run("import", "songs2.csv").status == 0
    shutil.copy(captures / "other.wav", shelf / "own.wav")
    assert run("check", "R-4", "own.wav").status in (0, 1)
    with open(shelf / "own.wav", "r+b") as file:
        file.seek(-4, 2)
        file.write(b"\1\2\3\4")
    done = run("bag", *words)
    assert (done.status, done.out) == (status, ""), done.err
    assert says in done.err and done.err.count("\n") == 1
    assert not (shelf / "new").exists() and not list(shelf.glob(".laying-*"))
    assert [path.name for path in (shelf / "there").iterdir()] == ["mine.txt"]


def test_what_is_stopped_leaves_nothing(run, shelf, captures):
    """Stopped once copies are being written, and once the folder is being sealed: no folder either time."""
    from datetime import UTC, datetime

    from core.capture.files.progress import Cancelled
    from core.workbook.workbook import Workbook

    book = Workbook.open(shelf / "tapes.json", lambda: datetime(2026, 12, 1, 19, tzinfo=UTC))
    asked = 0

    def stop_after(most: int) -> Callable[[], bool]:
        def stop() -> bool:
            nonlocal asked
            asked += 1
            return asked > most

        return stop

    book.parcel.hand_over(shelf / "whole", song="S-1", cancelled=stop_after(10**9))
    there, every = set(shelf.iterdir()), asked
    for most in (3, every - 1):
        asked = 0
        with pytest.raises(Cancelled):
            book.parcel.hand_over(shelf / "stopped", song="S-1", cancelled=stop_after(most))
        assert set(shelf.iterdir()) == there


def test_nasty_titles_and_words_are_only_words(run, shelf):
    """No title leads out of the folder, runs on the page, or is taken for a formula."""
    title = '=1+1 <script>alert("x")</script> ../../%41 \u202egnp'
    (shelf / "nasty.csv").write_text(
        "song,title,needs\n" + f'S-1,"{title.replace(chr(34), chr(34) * 2)}",R-1@0:10-1:20; R-2; R-3\n'
    )
    assert run("import", "--update", "nasty.csv").status == 0
    assert run("step", "S-1", "=cmd()").status == 0
    done = run("bag", "low", "--song", "S-1")
    assert done.status == 0, done.err
    page = begun_at(shelf / "low")
    assert '=1+1 <script>alert("x")</script> ../../%41 gnp (S-1)' in page.words
    (song,) = (shelf / "low" / "data" / "songs").iterdir()
    assert [row["text"] for row in rows(song / "steps.csv")] == ["'=cmd()"]


def test_a_disk_that_fills_up_leaves_nothing(run, shelf, mix, monkeypatch):
    """Once while copies are written, once while the folder is sealed: one line, and no folder."""
    import errno
    import os

    def full(*_args, **_kept):
        raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))

    there = set(shelf.iterdir())
    for where in ("core.capture.written.wav_out.WavOut.write", "core.capture.kept.bagit._copy"):
        with monkeypatch.context() as patch:
            patch.setattr(where, full)
            done = run("bag", "low", "--song", "S-1")
        assert (done.status, done.out) == (2, "") and done.err.count("\n") == 1, done.err
        assert "No space left on device" in done.err and set(shelf.iterdir()) == there


def test_a_capture_that_is_gone_is_named_and_nothing_is_made(run, shelf, captures):
    shutil.copy(captures / "one.wav", shelf / "first.wav")
    assert run("check", "R-1", "first.wav").status in (0, 1)
    (shelf / "first.wav").unlink()
    done = run("bag", "low", "--song", "S-1")
    assert done.status == 2 and "first.wav" in done.err and done.err.count("\n") == 1
    assert not (shelf / "low").exists() and not list(shelf.glob(".laying-*"))
