"""The course of a captured pass: what its check keeps of time, in a file beside the shelf.

Where frames of timecode lie, how fast the pass played along the way, and the level of every track in a few
bands, from which captures that share sound are found. All of it can be measured again from the files.
"""

from __future__ import annotations

import io
import json
import zipfile
from collections.abc import Mapping, Sequence
from dataclasses import field
from fractions import Fraction
from typing import Any

import numpy as np
from numpy.typing import NDArray

from core.album.levels import Levels
from core.values import dataclass

_FORM = 1
_MOST_BYTES = 1 << 30


Column = NDArray[Any]
"""One array of the file, of the kind that its name tells."""


@dataclass(frozen=True, slots=True, eq=False)
class CodeCourse:
    """Frames of timecode on one track: where each begins, and what the clock says there."""

    track: int
    rate: str
    """24, 25, 29.97, 29.97 DF or 30."""
    frames_per_second: Fraction
    places: NDArray[np.float64]
    """Samples from the start of the pass, rising; between two samples too."""
    counted: NDArray[np.int64]
    """Frame number at that place; goes on over midnight within a run, falls where the code runs backwards."""
    run: NDArray[np.int32]
    """Which run of the track a frame is of, from 0: over the end of one the clock did not go on."""

    def clock(self) -> NDArray[np.float64]:
        """Clock seconds of every frame."""
        return np.asarray(self.counted * float(1 / self.frames_per_second))


@dataclass(frozen=True, slots=True, eq=False)
class SpeedCourse:
    """How fast the pass played along the way, by one witness."""

    source: str
    """timecode, tone or hum."""
    track: int | None
    """Where it was heard; none where over all tracks."""
    seconds: NDArray[np.float64]
    """Places in the pass, rising."""
    ratio: NDArray[np.float64]
    """Measured over nominal speed there: 1.01 plays 1 % fast."""


@dataclass(frozen=True, slots=True, eq=False)
class Course:
    """All that is kept of one pass's time."""

    sample_rate: int
    seconds: float
    tracks: tuple[int, ...]
    code: tuple[CodeCourse, ...] = ()
    speed: tuple[SpeedCourse, ...] = ()
    levels: Levels | None = None
    extra: Mapping[str, object] = field(default_factory=dict)
    """Anything else that is plain JSON."""

    def to_bytes(self) -> bytes:
        """The file: an archive of arrays in NumPy's own open format, the same bytes every time."""
        arrays: dict[str, Column] = {}
        told: dict[str, Any] = {
            "form": _FORM, "sample_rate": self.sample_rate, "seconds": self.seconds,
            "tracks": list(self.tracks), "extra": dict(self.extra), "code": [], "speed": [],
        }  # fmt: skip
        for at, code in enumerate(self.code):
            arrays |= {f"code{at}places": code.places, f"code{at}counted": code.counted}
            arrays[f"code{at}run"] = code.run
            told["code"].append([code.track, code.rate, str(code.frames_per_second)])
        for at, speed in enumerate(self.speed):
            arrays |= {f"speed{at}seconds": speed.seconds, f"speed{at}ratio": speed.ratio}
            told["speed"].append([speed.source, speed.track])
        if self.levels is not None:
            told["hertz"] = self.levels.hertz
            arrays["levels"] = self.levels.halves
        arrays["told"] = np.frombuffer(json.dumps(told, sort_keys=True).encode(), np.uint8)
        out = io.BytesIO()
        np.savez_compressed(out, allow_pickle=False, **arrays)
        return out.getvalue()

    @classmethod
    def from_bytes(cls, content: bytes) -> Course:
        """The inverse of `to_bytes`; raises ValueError for anything else."""
        try:
            arrays = _arrays(content)
            told = json.loads(arrays["told"].tobytes())
            if told["form"] != _FORM:
                raise ValueError(f"form {told['form']}, and this version knows {_FORM}")
            return cls(
                int(told["sample_rate"]), float(told["seconds"]), tuple(told["tracks"]),
                _codes(told["code"], arrays), _speeds(told["speed"], arrays),
                Levels(float(told["hertz"]), arrays["levels"]) if "levels" in arrays else None,
                told["extra"],
            )  # fmt: skip
        except (KeyError, TypeError, OSError, EOFError, zipfile.BadZipFile, NotImplementedError) as error:
            raise ValueError(f"no course of a pass: {error}") from error


def _arrays(content: bytes) -> dict[str, Column]:
    with zipfile.ZipFile(io.BytesIO(content)) as archive:
        if sum(member.file_size for member in archive.infolist()) > _MOST_BYTES:
            raise ValueError("no course of a pass: it is larger than any")
    with np.load(io.BytesIO(content), allow_pickle=False) as archive:
        return {name: archive[name] for name in archive.files}


def _codes(listed: Sequence[Any], arrays: Mapping[str, Column]) -> tuple[CodeCourse, ...]:
    return tuple(
        CodeCourse(int(track), rate, Fraction(per_second), arrays[f"code{at}places"],
                   arrays[f"code{at}counted"], arrays[f"code{at}run"])
        for at, (track, rate, per_second) in enumerate(listed)
    )  # fmt: skip


def _speeds(listed: Sequence[Any], arrays: Mapping[str, Column]) -> tuple[SpeedCourse, ...]:
    return tuple(
        SpeedCourse(source, track, arrays[f"speed{at}seconds"], arrays[f"speed{at}ratio"])
        for at, (source, track) in enumerate(listed)
    )
