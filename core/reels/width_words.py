"""A width with tracks beside it, as boxes and decks are called: ``1/2 in 8-track``, ``1/4 Zoll 2 Spur``."""

from __future__ import annotations

import re

_PLAIN = {"viertel": "1/4", "halb": "1/2"}
_CALLED = re.compile(
    rf"(?:(?P<width>\d+(?:[./,]\d+)?|[¼½]|quarter|half|{'|'.join(_PLAIN)})"
    r"(?:[ -]?(?P<unit>in(?:ch(?:es)?)?\b\.?|\"|”|mm\b|cm\b|(?P<other>zoll|pouces?|pulgadas?)))?)?"
    r"(?:(?:^|[ ,-]+)(?:(?P<two>stereo)|"
    r"(?P<tracks>\d{1,2})(?:[ -]?(?:tracks?|trk|tr|spur(?:en|ig)?|pistes?|pistas?)\.?)?))?",
    re.IGNORECASE,
)


def width_and_tracks(text: str) -> tuple[str, str] | None:
    """The width as it is written, in our words for inches, and the tracks; None where neither is told.

    Either may be empty. A number that stands alone is a width.
    """
    found = _CALLED.fullmatch(" ".join(text.split()))
    if found is None or not found[0]:
        return None
    width, unit, tracks = found["width"] or "", found["unit"] or "", found["tracks"] or ""
    tracks = "2" if found["two"] else tracks
    plain = _PLAIN.get(width.casefold(), "")
    if plain or found["other"]:
        return f"{plain or width} in", tracks
    return found[0][: found.end("unit") if unit else found.end("width")] if width else "", tracks
