"""Manifests and bags, held against `sha256sum` and a BagIt validator."""

import shutil
import subprocess

import pytest

from core.capture.kept.bagit import check_bag, write_bag
from core.capture.kept.fixity import compare_copy, look_again, manifest, read_manifest, sha256_of
from core.findings import AudioFile

ABC = "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"
"""SHA-256 of `abc`, FIPS 180-2, appendix B.1."""
NAMES = ["plain.wav", "with space.wav", "back\\slash.wav", "line\nbreak.wav", "Ünïcode.wav", "100%.wav"]


def kept(path, content=b"abc"):
    path.write_bytes(content)
    return AudioFile(str(path), sha256_of(path), len(content), "WAV", "PCM_24", 48000, 1, 0, 0.0, "whole")


def test_the_digest_of_abc(tmp_path):
    assert kept(tmp_path / "a").sha256 == ABC


def test_sha256sum_accepts_the_manifest_whatever_the_names(tmp_path):
    if shutil.which("sha256sum") is None:
        pytest.skip("no sha256sum here")
    entries = [(kept(tmp_path / name).sha256, name) for name in NAMES]
    (tmp_path / "SHA256SUMS").write_text(manifest(entries), "utf-8", newline="")
    done = subprocess.run(["sha256sum", "-c", "--strict", "SHA256SUMS"], cwd=tmp_path, capture_output=True)
    assert done.returncode == 0, done.stdout + done.stderr
    assert read_manifest(manifest(entries)) == entries


def test_a_manifest_of_sha256sum_is_read(tmp_path):
    if shutil.which("sha256sum") is None:
        pytest.skip("no sha256sum here")
    for name in NAMES:
        kept(tmp_path / name)
    told = subprocess.run(["sha256sum", *NAMES], cwd=tmp_path, capture_output=True, check=True).stdout
    assert read_manifest(told.decode()) == [(ABC, name) for name in NAMES]


@pytest.mark.parametrize("line", ["hello", "zz" * 32 + "  a.wav", ABC + " a.wav", ABC])
def test_what_is_no_manifest_is_refused_with_its_line(line):
    with pytest.raises(ValueError, match="line 2"):
        read_manifest(f"{ABC}  a.wav\n{line}\n")


def test_a_later_look_says_unchanged_changed_and_missing(tmp_path):
    files = [kept(tmp_path / name) for name in ("same", "other", "longer", "gone")]
    (tmp_path / "other").write_bytes(b"abd")
    (tmp_path / "longer").write_bytes(b"abcd")
    (tmp_path / "gone").unlink()
    states = look_again(files)
    assert [state.state for state in states] == ["unchanged", "changed", "changed", "missing"]
    assert "other content" in states[1].says and "4 bytes" in states[2].says


def test_a_second_copy_is_compared_and_a_link_is_none(tmp_path):
    files = [kept(tmp_path / name) for name in ("one", "two", "three")]
    other = tmp_path / "other disk"
    other.mkdir()
    shutil.copy(tmp_path / "one", other)
    (other / "two").symlink_to(tmp_path / "two")
    assert [state.state for state in compare_copy(files, other)] == ["unchanged", "missing", "missing"]


def test_a_bag_is_valid_for_another_validator(tmp_path):
    bagit = pytest.importorskip("bagit")
    for name in NAMES[:2]:
        kept(tmp_path / name)
    folder = write_bag(tmp_path / "bag", [(tmp_path / name, f"R-001/{name}") for name in NAMES[:2]],
                       {"Source-Organization": "Harbour\nLane"})  # fmt: skip
    assert bagit.Bag(str(folder)).is_valid()
    assert check_bag(folder) == []


def test_percent_signs_and_line_breaks_are_encoded_and_nothing_else(tmp_path):
    """RFC 8493, 2.1.3."""
    for name in NAMES:
        kept(tmp_path / name)
    folder = write_bag(tmp_path / "bag", [(tmp_path / name, name) for name in NAMES], {})
    listed = (folder / "manifest-sha256.txt").read_text("utf-8")
    assert f"{ABC}  data/line%0Abreak.wav\n" in listed
    assert f"{ABC}  data/100%25.wav\n" in listed
    assert f"{ABC}  data/back\\slash.wav\n" in listed
    assert check_bag(folder) == []


def test_one_flipped_bit_names_that_file(tmp_path):
    for name in NAMES[:2]:
        kept(tmp_path / name)
    folder = write_bag(tmp_path / "bag", [(tmp_path / name, name) for name in NAMES[:2]], {})
    (folder / "data" / NAMES[1]).write_bytes(b"abb")
    (folder / "data" / "extra").write_bytes(b"")
    assert [problem.path for problem in check_bag(folder)] == [f"data/{NAMES[1]}", "data/extra"]


@pytest.mark.parametrize("place", ["../out", "/etc/x", "a//b", "."])
def test_no_file_leaves_the_bag(tmp_path, place):
    kept(tmp_path / "a")
    with pytest.raises(ValueError):
        write_bag(tmp_path / "bag", [(tmp_path / "a", place)], {})
