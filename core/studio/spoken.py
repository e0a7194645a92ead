"""Days, hours, yes and no as they are spoken, in English, German, French and Spanish; all faces ask here."""

from __future__ import annotations

import re
import unicodedata

DAYS = ("mon", "tue", "wed", "thu", "fri", "sat", "sun")
_NAMES = (
    "monday montag lundi lunes",
    "tuesday dienstag mardi martes",
    "wednesday mittwoch mercredi miercoles",
    "thursday donnerstag jeudi jueves",
    "friday freitag vendredi viernes",
    "saturday samstag sonnabend samedi sabado",
    "sunday sonntag dimanche domingo",
)
#: As calendars have them; ``mo``, ``fr`` and ``sa`` are beginnings anyway.
_OF_TWO = {"di": "tue", "mi": "wed", "do": "thu", "so": "sun"}
_SEVERAL = {
    "daily": "every ?day|jeden tag|taglich|tous les jours|todos los dias",
    "weekdays": "werktags|en semaine|entre semana",
    "weekends": r"(?:am )?wochenenden?|(?:le )?week-?ends?|fin(?:es)? de semana",
}
_YES, _NO = ("y", "yes", "j", "ja", "oui", "si"), ("n", "no", "nein", "non")
_NEVER = ("never", "nie", "jamais", "nunca")
_NOBODY = (
    "not known yet", "not known", "unknown", "nobody", "none", "no", "niemand", "keiner", "personne", "nadie",
    "weiss nicht", "unbekannt", "nein", "non",
)  # fmt: skip


def folded(text: str) -> str:
    """The text in small letters without marks over them, spaces single."""
    parted = unicodedata.normalize("NFD", text.casefold())
    return " ".join("".join(one for one in parted if not unicodedata.combining(one)).split())


def said_yes(text: str) -> bool | None:
    """Whether that says yes or no; None where it says neither."""
    plain = folded(text).rstrip(".!")
    return True if plain in _YES else False if plain in _NO else None


def says_never(text: str) -> bool:
    """Whether that is never."""
    return folded(text) in _NEVER


def says_nobody(text: str) -> bool:
    """Whether that tells no person and no hours, in any of the words for it."""
    return says_never(text) or folded(text) in _NOBODY


def weekday(word: str) -> str | None:
    """The day whose name that is or begins, as ``mon``; None for none and for two."""
    plain = folded(word).rstrip(".,")
    if plain in _OF_TWO:
        return _OF_TWO[plain]
    for said in (plain, plain.removesuffix("s")) if len(plain) > 1 else ():
        days = [
            day for day, names in zip(DAYS, _NAMES, strict=True)
            if any(name.startswith(said) for name in names.split())
        ]  # fmt: skip
        if len(days) == 1:
            return days[0]
    return None


def hours_in_english(text: str) -> str:
    """``lun à jeu de 19h à 22h30`` as ``lun to jeu 19h to 22h30``: joined and parted by our words."""
    plain = folded(text)
    for name, words in _SEVERAL.items():
        plain = re.sub(rf"\b(?:{words})\b", name, plain)
    plain = re.sub(r"\b(?:und|et|y)\b", "and", plain)
    plain = re.sub(r"(?<=\S )(?:bis|a|al|au|hasta)(?= (?!m\b))", "to", plain)
    plain = re.sub(r"(?<=\d)\s*uhr\b", "", plain)
    plain = re.sub(r"\b(?:from|von|vom|de|du|del|les|los|le|el|jeden|chaque|cada)\s+", "", plain)
    return re.sub(r"(?<=\d)\s*h\b", "", re.sub(r"(?<=\d)\s*h\s*(?=\d\d\b)", ":", plain))
