"""What the trade also says for a word of a fixed list: read as that word, kept and written as it was typed.

Common practice of the trade, from memory: no authority lists them.
"""

from __future__ import annotations

#: By column and word, what else is said for it; capitals, spaces and hyphens do not count.
ALSO: dict[str, dict[str, tuple[str, ...]]] = {
    "role": {
        "multitrack": ("multi", "multitrack tape", "multitrack master"),
        "mix": (
            "mixdown",
            "mix down",
            "mixes",
            "mix master",
            "mixed",
            "stereo mix",
            "rough mix",
            "rough mixes",
            "stereo master",
            "copy master",
            "production master",
            "safety master",
            "safety copy",
            "eq master",
            "eq'd master",
        ),
        "calibration": (
            "calibration tape",
            "alignment",
            "alignment tape",
            "test tape",
            "line-up tape",
            "lineup tape",
            "cal tape",
            "cal. tape",
            "cal",
            "cal.",
            "reference tape",
            "standard tape",
            "messband",
            "meßband",
            "bezugsband",
            "bande étalon",
            "bande etalon",
            "cinta patrón",
            "cinta de calibración",
            "fita padrão",
            "fita de calibração",
            "nastro campione",
        ),
    },
    "wind": {
        "tails": ("tails out", "tail out", "tail", "out", "end out"),
        "heads": ("heads out", "head out", "head", "start out"),
    },
    "base": {
        "polyester": ("pet", "poly", "polyester film", "mylar"),
        "acetate": ("cellulose acetate", "acetyl cellulose", "diacetate", "triacetate", "cellulose"),
        "pvc": ("vinyl", "polyvinyl chloride"),
        "unknown": ("?", "not known"),
    },
    "base_seen": {"yes": ("y", "ja", "oui", "sí"), "no": ("n", "nein", "non")},
    "condition": {
        "sticky": (
            "sticky shed",
            "sticky-shed",
            "sticky shed syndrome",
            "sheds",
            "SSS",
            "binder hydrolysis",
            "hydrolysis",
        ),
        "squeal": ("squeals", "squealing"),
        "vinegar": ("vinegar syndrome", "smells of vinegar"),
        "mould": ("mold", "mouldy", "moldy"),
        "splices": ("splice", "bad splices", "dry splices"),
        "edge": ("edges", "edge damage", "edge damaged"),
        "ok": ("okay", "good", "fine"),
    },
    "signs": {
        "vinegar": ("vinegar syndrome", "smells of vinegar"),
        "mould": ("mold", "mouldy", "moldy"),
        "layers adhere": ("layers stick", "adhering layers", "layers adhering"),
        "white powder": ("powder", "white residue"),
        "loose oxide": ("oxide loose", "flaking", "flaking oxide"),
    },
    "timecode_rate": {
        "24": ("24 fps",),
        "25": ("25 fps", "ebu"),
        "29.97": ("29.97 fps", "29.97 ndf"),
        "29.97 DF": ("29.97 drop", "29.97 fps df", "drop frame"),
        "30": ("30 fps", "30 ndf"),
    },
}


class AsTyped(str):
    """A word of a fixed list that was typed as another word of the trade; ``typed`` is how it is written."""

    typed: str

    def __new__(cls, word: str, typed: str = "") -> AsTyped:
        """The word, and how it was typed."""
        made = super().__new__(cls, word)
        made.typed = typed or word
        return made

    def __reduce__(self) -> tuple[type[AsTyped], tuple[str, str]]:
        return AsTyped, (str.__str__(self), self.typed)


def plain_word(text: str) -> str:
    """A word as words are compared: caseless, without spaces and hyphens."""
    return "".join(text.casefold().replace("-", " ").split())


def reads_as(column: str, choices: tuple[str, ...]) -> dict[str, str]:
    """By plain word, which word of the column's list it stands for."""
    found = {plain_word(choice): choice for choice in choices}
    for word, others in ALSO.get(column, {}).items():
        found |= {plain_word(other): word for other in others}
    return found


def as_typed(word: str, text: str) -> str:
    """The word, remembering how it was typed where that was another word."""
    typed = " ".join(text.split())
    return word if plain_word(typed) == plain_word(word) else AsTyped(word, typed)


def written(word: str) -> str:
    """The word as it is written: as it was typed."""
    return word.typed if isinstance(word, AsTyped) else word
