"""Squeal: tape that sticks and slips on its way, a tone of some kilohertz that stays while music changes.

It is on many tracks at once, since one tape makes it; it goes on in the pauses, as strong as before; no lower
tones stay beneath it, as those of a held note do. Its pitch is never quite still. What stands still to a few
parts in ten thousand comes from a crystal: a screen, a supply, the interface.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace

import numpy as np

from core.capture.steady.chains import SAME_HZ, Chain, chains_of
from core.capture.steady.lines import COLUMNS
from core.values import dataclass

LOWEST_HZ = 900.0
"""Below, tape hardly sings, and most notes lie."""
_SWAYS_DB, _LEVEL_DB = 7.0, 3.0
"""So far at most a tone sways from moment to moment, where music leaves room, and from block to block."""
_NOTES = 2
"""With so many lower tones that stay as well on a track, it holds a note."""
TRACKS, MANY_TRACKS, _HAVE = 3, 5, 0.6
"""Tracks that tell a tone of the tape, surely without a pause, and the part of those that would show it."""
_ALONE_DB, _PAUSE_DB = 9.0, 15.0
"""In a pause a tone is at most so much weaker than all there is, and that so much weaker than music."""
_PAUSES = 2
_TONE_DBFS = -36.0
"""Stronger than this, alone, and with no pause about it: a tone that was recorded for lining up."""
_SHARE_HZ, _ABOUT_HZ = 1.5, 60.0
_READ_SECONDS, _READINGS = 3.0, 3
_STILL = 0.8
"""Part of a tone's power within 1.5 Hz over three seconds, from which on it is too still for tape."""

Read = Callable[[int, int, int], np.ndarray | None]
"""Of a channel, from one frame to another: its sound; none across a join."""


@dataclass(frozen=True, slots=True)
class Steady:
    """A tone that stands in the pass."""

    start: float
    stop: float
    hertz: float
    """The middle of where it was."""
    lowest: float
    highest: float
    dbfs: float
    """Its strength in the middle, of time and of tracks."""
    channels: tuple[int, ...]
    paused: int
    """Blocks of 11 s in whose pauses it went on."""
    clearest: tuple[tuple[int, float, float], ...]
    """Channels and seconds, from and to, where least else sounds."""
    still: bool = False
    """Whether it stands as still as a crystal."""

    @property
    def sure(self) -> bool:
        """Whether tracks enough tell it: some with a pause in which it went on, or many."""
        return len(self.channels) >= (TRACKS if self.paused else MANY_TRACKS)


def steady_tones(lines: np.ndarray, block_seconds: float, code: Sequence[int]) -> list[Steady]:
    """What stays, of lines as `SteadyLines` keeps them; `code` are channels with timecode."""
    if not len(lines):
        return []
    told = {name: lines[:, at] for at, name in enumerate(COLUMNS)}
    music = ~np.isin(told["channel"], list(code)) & ~_of_code(told, code)
    held = chains_of(lines[music], block_seconds)
    found = [one for chain in held if (one := _steady(chain, held, block_seconds)) is not None]
    return _first_partials(found)


def _of_code(told: dict[str, np.ndarray], code: Sequence[int]) -> np.ndarray:
    """Whether a line is one that timecode has at that time, and strongly."""
    mine = np.isin(told["channel"], list(code))
    out = np.zeros(len(mine), bool)
    for block in np.unique(told["block"][mine]):
        here = np.flatnonzero(told["block"] == block)
        for at in here[mine[here]]:
            near = np.abs(told["hertz"][here] - told["hertz"][at]) < SAME_HZ
            out[here] |= near & (told["level"][here] < told["level"][at])
    return out


def _steady(chain: Chain, held: Sequence[Chain], block_seconds: float) -> Steady | None:
    """The tone that a chain of lines tells; none where it is on too few tracks, or may be music."""
    lower = [one for one in held if one.beneath(chain)]
    mine = [one for one in chain.channels if sum(one in other.channels for other in lower) < _NOTES]
    rest, has = chain.column("rest"), chain.column("has")
    shown = np.median(has / (has + chain.column("lacks"))) >= _HAVE
    swings = chain.column("swing") >= _PAUSE_DB
    pauses = np.unique(chain.column("block")[swings & (rest < _ALONE_DB)])
    tells = len(mine) >= TRACKS or (mine and len(pauses) >= _PAUSES)
    if not tells or not shown or chain.hertz < LOWEST_HZ or _lines_up(chain) or not _holds_level(chain, mine):
        return None
    low, high = np.percentile(chain.column("hertz"), (5, 95)).tolist()
    clear = np.argsort(rest)[:_READINGS]
    places = zip(chain.column("channel")[clear], chain.column("block")[clear] * block_seconds, strict=True)
    return Steady(
        chain.first * block_seconds, (chain.last + 1) * block_seconds, chain.hertz, low, high,
        _level(chain), tuple(mine), len(pauses),
        tuple((int(channel), float(at), float(at) + block_seconds) for channel, at in places),
    )  # fmt: skip


def _level(chain: Chain) -> float:
    """Its usual strength, by those of its lines beside which least else sounds."""
    clear = np.argsort(chain.column("rest"))[: max(3, len(chain.lines) // 3)]
    return float(np.median((chain.column("level") + chain.column("sway") / 2)[clear]))


def _lines_up(chain: Chain) -> bool:
    """Whether it is loud and alone, with no pause about it, as a tone that was recorded for lining up."""
    alone = (chain.column("rest") < _ALONE_DB) & (chain.column("swing") < _PAUSE_DB - 5)
    return float((alone & (chain.column("level") > _TONE_DBFS)).mean()) > 0.5


def _holds_level(chain: Chain, channels: Sequence[int]) -> bool:
    """Whether the tone is as strong all along: what rings dies away, what is played sways."""
    if float(np.percentile(chain.column("sway"), 30)) > _SWAYS_DB:
        return False
    levels = [chain.column("level")[chain.column("channel") == channel] for channel in channels]
    strays = [1.4826 * float(np.median(np.abs(one - np.median(one)))) for one in levels]
    return float(np.median(strays)) <= _LEVEL_DB


def _first_partials(found: list[Steady]) -> list[Steady]:
    """Without those that are partials of a lower one."""
    kept: list[Steady] = []
    for one in sorted(found, key=lambda each: each.hertz):
        lower = [other for other in kept if one.start < other.stop and one.stop > other.start]
        times = [one.hertz / other.hertz for other in lower]
        if not any(round(ratio) > 1 and abs(ratio - round(ratio)) < 0.02 * round(ratio) for ratio in times):
            kept.append(one)
    return sorted(kept, key=lambda each: each.start)


def looked_at(one: Steady, read: Read, rate: int) -> Steady:
    """The tone, with whether it stands too still for tape: where it is clearest it is read again."""
    shares = [0.0]
    size = int(_READ_SECONDS * rate)
    for channel, start, stop in one.clearest:
        sound = read(channel, int(start * rate), int(stop * rate))
        if sound is None:
            continue
        parts = (sound[at : at + size] for at in range(0, len(sound) - size + 1, size // 2))
        shares += [_share_of_line(part, rate, one) for part in parts]
    return replace(one, still=max(shares) >= _STILL)


def _share_of_line(sound: np.ndarray, rate: int, one: Steady) -> float:
    """Of the power about the tone, less what lies beside it, the part within 1.5 Hz of its strongest line."""
    from scipy.fft import rfft

    power = np.abs(rfft(sound * np.hanning(len(sound)))) ** 2
    hertz = np.arange(len(power)) * rate / len(sound)
    about = (hertz > one.lowest - _ABOUT_HZ) & (hertz < one.highest + _ABOUT_HZ)
    wide = (hertz > one.lowest - 4 * _ABOUT_HZ) & (hertz < one.highest + 4 * _ABOUT_HZ) & ~about
    if not about.any() or not wide.any():
        return 0.0
    rest = power[about] - np.mean(power[wide])
    near = np.abs(hertz[about] - hertz[about][int(np.argmax(rest))]) <= _SHARE_HZ
    # Beside the line noise may be more or less than its mean: only what is more counts as spread.
    whole = float(np.maximum(rest, 0).sum())
    return float(rest[near].sum()) / whole if whole > 0 else 0.0
