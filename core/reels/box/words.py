"""What the words on a box tell of the tape in it, as they stand there: proposed, never taken by themselves.

The words are common practice of the trade, from memory: no authority lists what people wrote on boxes. Speeds
are those of the table of speeds, names of equalisations those of the table of equalisations.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable
from functools import cache

from core.quantities import read_quantity
from core.reels.box.warnings import signs_on
from core.reels.reel import Reel
from core.tape.nominal import speed_there_was
from core.tape.tables import table
from core.words import counted

#: The columns that words on a box may tell, in the order in which they are said.
TOLD = ("role", "tracks", "speed", "eq", "level", "noise_reduction", "stock", "wind", "tones", "signs")

_NUMBER = r"(?<![\d.,/])(\d{1,3}(?:[.,]\d{1,4})?(?: ?(?:1/2|½|3/4|¾|7/8|⅞))?)"
_SPEED = re.compile(_NUMBER + r" ?(ips|i\.p\.s\.?|in/s|cm/s(?:ec)?|cmps|cm\b)", re.IGNORECASE)
_LEVEL = re.compile(r"\b(\d{3,4}) ?nwb(?: ?/ ?m)?\b", re.IGNORECASE)
_NOISE = re.compile(
    r"\b(dolby(?:[ -]?(?:sr|[abcs]))?|dbx(?: (?:type )?(?:ii|i|1|2))?|telcom(?: c4)?)\b", re.IGNORECASE
)
_NO_NOISE = re.compile(r"\b(?:no|without) (?:dolby|dbx|telcom|nr|noise reduction)\b", re.IGNORECASE)
_WIND = re.compile(r"\b((?:tail|head)s?[ -]out)\b", re.IGNORECASE)
_TRACKS = re.compile(r"\b(\d{1,2})([ -]?)(?:tracks?|trk|tr)\b", re.IGNORECASE)
_COUNTED = re.compile(r" ?\d+\b")
_SPOKEN_TRACKS = re.compile(r"\b(full|half|1/2)[ -]?(?:track|trk)\b", re.IGNORECASE)
_TONES = re.compile(r"(?<!no )\b(tones?(?: (?:at|on) [\w ]{1,20}|:? ?\d[^;,|]*))", re.IGNORECASE)
_ROLES = (
    r"(?:test|cal(?:ibration|\.)?|alignment|line-?up|reference|standard) tape|calibration"
    r"|me(?:ss|ß)band|bezugsband|bande [ée]talon|cinta (?:patrón|de calibración)"
    r"|fita (?:padrão|de calibração)|nastro campione",
    r"multi-?track(?: master)?",
    r"(?:copy|safety|production|stereo|mix|eq'?d?) master|safety copy|mix ?down|stereo mix|rough mix(?:es)?",
)
_ROLE = re.compile(rf"\b({'|'.join(_ROLES)})\b", re.IGNORECASE)
_CM = {"cm", "cm/s", "cm/sec", "cmps"}


def told_by_words(text: str) -> dict[str, str]:
    """What the words tell, by column, as the columns read it; nothing of what they tell in two ways."""
    words = " ".join(text.split())
    if not words:
        return {}
    readers: dict[str, Callable[[str], Iterable[str]]] = {
        "role": lambda one: (match[1].casefold() for match in _ROLE.finditer(one)),
        "tracks": _tracks,
        "speed": _speeds,
        "eq": _equalisations,
        "level": lambda one: (f"{match[1]} nWb/m" for match in _LEVEL.finditer(one)),
        "noise_reduction": _noise_reduction,
        "stock": _stocks,
        "wind": lambda one: (match[1].casefold() for match in _WIND.finditer(one)),
        "tones": lambda one: (match[1].strip() for match in _TONES.finditer(one)),
        "signs": lambda one: signs_on(one, ("mould", "vinegar")),
    }
    told = {name: list(dict.fromkeys(readers[name](words))) for name in TOLD}
    return {name: found[0] for name, found in told.items() if len(found) == 1}


def told_by_box(reel: Reel) -> dict[str, str]:
    """What the words on that reel's box tell, and what its key does: CAL-2 is kept to calibrate with."""
    told = told_by_words(reel.box_label)
    return told if "role" in told or not called_calibration(reel.key) else {"role": "calibration"} | told


def called_calibration(key: str) -> bool:
    """True of a key that calls its tape one to calibrate with: CAL-1, calibration 2, cal3."""
    return re.fullmatch(r"cal(?:ibration)?[ _.-]?\d*", key, re.IGNORECASE) is not None


def told_in_a_line(reel: Reel) -> str:
    """What the box tells, in one line in which each says what it is: ``8 tracks, 15 ips, mould``."""
    told = told_by_box(reel)
    if "tracks" in told:
        told["tracks"] = counted(int(told["tracks"]), "track")
    return ", ".join(told.values())


def _tracks(text: str) -> Iterable[str]:
    there_were = {row.values["tracks"] for row in table("tracks").values()}
    for match in _TRACKS.finditer(text):
        if int(match[1]) in there_were and (match[2] == "-" or not _a_number_alone(text[match.end() :])):
            yield str(int(match[1]))
    for match in _SPOKEN_TRACKS.finditer(text):
        yield "1" if match[1].casefold() == "full" else "2"


def _a_number_alone(rest: str) -> bool:
    """True where a number comes next that is no speed or level of its own: ``Side 2 track 4``."""
    others = (_SPEED, _LEVEL, _before_its_curve())
    return bool(_COUNTED.match(rest)) and not any(one.match(rest.strip()) for one in others)


def _speeds(text: str) -> Iterable[str]:
    for match in _SPEED.finditer(text):
        yield from _speed(match[1], "cm/s" if match[2].casefold() in _CM else "ips")
    for match in _before_its_curve().finditer(text):
        yield from [*_speed(match[1], "ips"), *_speed(match[1], "cm/s")][:1]


def _speed(number: str, unit: str) -> Iterable[str]:
    for sign, written in (("½", " 1/2"), ("¾", " 3/4"), ("⅞", " 7/8")):
        number = number.replace(sign, written)
    try:
        found = read_quantity(f"{number} {unit}", "speed")
    except ValueError:
        return
    if found.number > 0 and speed_there_was(found.number):
        yield found.text


def _equalisations(text: str) -> Iterable[str]:
    near_a_speed = _SPEED.search(text) is not None
    for match in _curve().finditer(text):
        if match[1].isupper() or near_a_speed:
            yield re.sub(r"(?<=[A-Z]) (?=\d)", "", match[1].upper())


def _noise_reduction(text: str) -> Iterable[str]:
    if _NO_NOISE.search(text):
        yield "none"
        return
    for match in _NOISE.finditer(text):
        yield match[1]


def _stocks(text: str) -> Iterable[str]:
    """A maker's name and the number behind it, as a row of the table of stocks has them: ``Ampex 456``."""
    from core.tape.stocks import find_stock

    parts = re.split(r"[\s,;/()]+", text)
    for first in range(len(parts)):
        for many in (3, 2):
            name = " ".join(parts[first : first + many])
            if re.search(r"[A-Za-z]", parts[first]) and re.search(r"\d", name) and find_stock(name):
                yield name
                return


@cache
def _names() -> str:
    """The names of the table that are letters and a digit, the longest first: ``CCIR|IEC ?1|NAB``."""
    rows = table("equalisations").values()
    parts = {part for row in rows for name in row.values["names"] for part in name.split("/")}
    short = {one for one in parts if re.fullmatch(r"[A-Z]{3,4}\d?", one)}
    longest_first = sorted(sorted(short), key=len, reverse=True)
    return "|".join(re.sub(r"(\d)", r" ?\1", one) for one in longest_first)


@cache
def _curve() -> re.Pattern[str]:
    return re.compile(rf"(?<![\w])((?:{_names()})(?: ?/ ?(?:{_names()}))?)(?!\w)", re.IGNORECASE)


@cache
def _before_its_curve() -> re.Pattern[str]:
    """A bare number before the name of a curve is a speed: ``15 NAB``, ``38/CCIR``."""
    return re.compile(rf"{_NUMBER}(?: ?/ ?| )(?=(?:{_names()})(?!\w))")
