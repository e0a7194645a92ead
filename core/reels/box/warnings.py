"""What words on a box or in notes warn of, signs and orders not to bake or play it: asked, never believed.

Common practice, from memory, in a few languages, by their stems: no authority lists what stood on boxes.
"""

from __future__ import annotations

import re
from collections.abc import Collection, Sequence
from functools import cache

from core.values import dataclass
from core.words import listed

#: What an order on a box speaks of.
HEAT, PLAY = "heat", "play"
#: Signs with which there may be mould: white powder is taken for it until a magnifier shows that it is none.
MOULDY = ("mould", "white powder", "water")
#: What warmth cures: told as a tape is marked conditioned it is past, and seen behind it a new sight.
CURED = frozenset(("sticky", "loose oxide", "layers adhere"))

_MOULD = (
    r"mou?ld[sy]?|mildew(?:y|ed)?|musty|fung(?:us|al|i)|spores?|white fuzz|mofo|mofad[ao]s?|hongos?"
    r"|enmohecid[ao]s?|\w*schimm(?:el|lig)\w*|moisi\w*|bolor\w*|moho(?:s[oa]s?)?|muffa|ammuffit[oaie]"
    r"|m[öo]gel\w*|stock(?:ig|fleck(?:en|ig)\w*)|champignons?|embolorad[ao]s?"
    r"|black spots?|schwarze flecken"
)
_VINEGAR = (
    r"vinegar\w*(?: syndrome)?|essig\w*|vinaigr[eé]|vinagre|azijn\w*|aceto|[äa]ttika|sour smell|smells sour"
    r"|acetic smell|riecht sauer|(?<!and )sour(?! \w)|(?<!und )sauer(?! \w)|s[äa]uerlich|stin(?:ks|kt)|vss"
    r"|acidic"
)
_ADHERE = (
    r"layers? (?:are )?(?:stuck|stick(?:ing)?|adher(?:e|ing))|stuck (?:layers|together)|adhering layers"
    r"|block(?:ed pack|ing)|pack (?:is )?stuck|adhering"
    r"|lagen kleben|\w*verklebt\w*|couches coll[eé]es|capas pegadas|camadas coladas"
)
_POWDER = (
    r"white (?:powder\w*|residue|crystals|dust|bloom)|powdery|powder on (?:the )?(?:edges?|heads?|guides?)"
    r"|dusty white|wei(?:ß|ss)e[rs] (?:pulver|staub)|pulver wei(?:ß|ss)|(?:cristaux|poudre) blan(?:cs|che)"
    r"|polvo blanco|p[oó] branco"
    r"|polvere bianca"
)
_OXIDE = (
    r"loose oxide|oxide (?:is )?(?:loose|flak(?:es|ing)|coming off|falling off)"
    r"|flak(?:es|ing)(?: oxide)?|oxide (?:loss|on (?:the )?(?:heads?|guides?))|peeling|abrieb"
    r"|coating (?:comes|coming|came) off"
    r"|lose schicht|schicht l[oö]st sich|bl[äa]ttert(?: ab)?|s'[eé]caille|(?:se )?descasca(?:rilla)?"
    r"|oxyde qui (?:part|tombe)|pierde [oó]xido|perde [oó]xido"
)
_SQUEAL = (
    r"squeal(?:s|ed|ing|y)?|squeak(?:s|ed|ing|y)?|squeeks?|screech(?:es|ing|ed)?|quietsch\w*|couine|grince"
    r"|chirr[ií]a|chilla|guincha"
)
_STICKY = (
    r"sticky(?:[ -]shed)?|sticks|sticking|gummy|brown gum|gum on (?:the )?(?:heads?|guides?)"
    r"|(?<!chewing )gum(?! \w)|(?:brown|sticky) residue|residue on (?:the )?(?:heads?|guides?)"
    r"|sheds|(?:some|light) shed|shedd(?:ing|y)|kleb(?:t|rig)|schmiert|collante?|colle"
    r"|pegajos[ao]|appiccicos[ao]"
)
_WATER = (
    r"water[ -]?(?:damaged?|logged)|flood(?:ed| damaged?| \d{4})|(?<!and )wet(?! \w)"
    r"|(?:got|was|tape) wet|wet tape|na(?:ss|ß)(?! \w)|wasserschaden|hochwasser"
    r"|d[eé]g[aâ]t des eaux|inond(?:é|ée|ation)|inundaci[oó]n|inunda[cç][aã]o|mouill[eé]e?"
)
#: By what was seen, the words for it, and what answers them once it is written down. The first that fits.
_SEEN: tuple[tuple[str, str, frozenset[str]], ...] = (
    ("mould", _MOULD, frozenset({"mould"})),
    ("vinegar", _VINEGAR, frozenset({"vinegar"})),
    ("layers adhere", _ADHERE, frozenset({"layers adhere"})),
    ("white powder", _POWDER, frozenset({"white powder"})),
    ("loose oxide", _OXIDE, frozenset({"loose oxide"})),
    ("squeal", _SQUEAL, frozenset({"squeal"})),
    ("sticky", _STICKY, frozenset({"sticky", "loose oxide", "layers adhere"})),
    ("water", _WATER, frozenset({"mould", "layers adhere"})),
)
_DO_NOT, _NOT_BE = "(?:do not|don'?t|never)", "(?:not(?: to)?|cannot|never to) be"
_NO_HEAT = (
    rf"{_DO_NOT} (?:bake|heat|warm)|{_NOT_BE} (?:baked|heated|warmed)|no (?:baking|heat(?:ing)?|warming|oven)"
    r"|(?:keep )?away from heat|kein(?:en)? ofen|keine (?:w[aä]rme|hitze)"
    r"|nicht (?:\w+ )?(?:backen|heizen|erhitzen|erw[aä]rmen|w[aä]rmen)"
    r"|ne (?:pas|jamais) (?:cuire|chauffer)|pas de (?:chaleur|four)|no (?:hornear|calentar)"
    r"|n[aã]o (?:aquecer|assar|cozer)"
)
_NO_PLAY = (
    rf"{_DO_NOT} (?:re-?)?(?:play|run|thread|use)|{_NOT_BE} (?:played|run|threaded|used)"
    r"|(?:no|not for) (?:playing|play(?:-?back)?)|not playable|unplayable|won'?t play"
    r"|nicht (?:\w+ )?(?:ab)?spielen|nicht abgespielt"
    r"|ne (?:pas|jamais) (?:lire|jouer|passer|utiliser)|no (?:reproducir|tocar)|n[aã]o (?:tocar|reproduzir)"
)
#: A denial right before a sign, and what undid it right behind: ``no mould``, ``mould removed``.
_DENIED = "".join(
    rf"(?<!\b{one} )"
    for one in ("no", "not", "never", "doesn't", "kein", "keine", "sans", "sin", "sem", "ohne", "no sign of")
)
_UNDONE = r"(?! (?:removed|cleaned|gone)|[ -]free)"


@dataclass(frozen=True, slots=True)
class BoxWarning:
    """Words on a box that warn, as they stand there; the sign that they tell, or what the order speaks of."""

    words: str
    sign: str = ""
    order: str = ""
    answered_by: frozenset[str] = frozenset()
    in_notes: bool = False
    """True where its notes say so, and not its box."""


@cache
def warnings_on(text: str) -> tuple[BoxWarning, ...]:
    """What the words warn of, signs before orders, each once."""
    plain = " ".join(text.replace("’", "'").split())
    folded = plain.casefold()
    found: list[BoxWarning] = []
    taken: list[tuple[int, int]] = []
    for sign, words, answers in _SEEN:
        for match in _sign(words).finditer(plain) if _may_warn(folded, sign) else ():
            if any(start < match.end() and match.start() < end for start, end in taken):
                continue
            taken.append(match.span())
            if all(one.sign != sign for one in found):
                found.append(BoxWarning(match[0], sign, answered_by=answers))
    for order, words in ((HEAT, _NO_HEAT), (PLAY, _NO_PLAY)):
        said = _order(words).search(plain) if _may_warn(folded, order) else None
        if said is not None:
            found.append(BoxWarning(said[0], order=order))
    return tuple(found)


def signs_on(text: str, among: Collection[str]) -> tuple[str, ...]:
    """Those of these signs of which the words speak."""
    return tuple(one.sign for one in warnings_on(text) if one.sign in among)


def unanswered(text: str, troubles: Collection[str], answered: Collection[str]) -> tuple[BoxWarning, ...]:
    """What the words warn of, but for signs that are written down and words that the owner answered."""
    said = {one.casefold() for one in answered}
    return tuple(
        one for one in warnings_on(text)
        if one.words.casefold() not in said and not one.answered_by & {*troubles}
    )  # fmt: skip


def told(warnings: Sequence[BoxWarning]) -> str:
    """``"mold" and "do not play" on its box and "gummy" in its notes``: the words as they stand there."""
    by_place = (
        (" on its box", [one for one in warnings if not one.in_notes]),
        (" in its notes", [one for one in warnings if one.in_notes]),
    )
    return " and ".join(
        listed([f'"{one.words}"' for one in some]) + where for where, some in by_place if some
    )


#: Letters without which no word for it stands: most boxes have none of them, and are read in a moment.
_STEMS: dict[str, tuple[str, ...]] = {
    "mould": (
        "mold", "mould", "mildew", "musty", "fung", "schimmel", "moisi", "bolor", "moho", "muff", "gel",
        "mofo", "mofad", "stock", "champignon", "embolorad", "hongo", "mohec", "spore", "fuzz", "schimmlig",
        "black spot", "schwarze fl",
    ),
    "vinegar": (
        "vinegar", "essig", "vinaigr", "vinagre", "azijn", "aceto", "ttika", "sour", "acetic", "sauer",
        "uerlich", "stin", "vss", "acidic",
    ),
    "layers adhere": ("layer", "stuck", "adher", "block", "kleb", "coll", "pegad", "colad"),
    "white powder": (
        "powder", "dust", "residue", "crystal", "pulver", "poudre", "polv", "branco", "staub", "bloom",
        "blan",
    ),
    "loose oxide": (
        "oxid", "flak", "coating", "schicht", "oxyde", "xido", "peel", "abrieb", "ttert", "caille",
        "descasca",
    ),
    "squeal": (
        "squeal", "squeak", "squeek", "screech", "quietsch", "couine", "grince", "chirr", "chilla", "guincha",
    ),
    "sticky": ("stick", "gum", "residue", "shed", "kleb", "schmier", "coll", "pegajos", "appicc"),
    "water": ("water", "flood", "wasser", "eaux", "wet", "nass", "naß", "inond", "inund", "mouill"),
    HEAT: (
        "bak", "heat", "warm", "oven", "ofen", "back", "heiz", "hitz", "wärm", "cuire", "chauff", "chaleur",
        "pas de four", "hornear", "calentar", "aquecer", "assar", "cozer",
    ),
    PLAY: (
        "play", "run", "thread", "use", "spiel", "lire", "jouer", "passer", "utiliser", "repro", "tocar",
    ),
}  # fmt: skip


def _may_warn(text: str, of: str) -> bool:
    return any(one in text for one in _STEMS[of])


@cache
def _sign(words: str) -> re.Pattern[str]:
    return re.compile(rf"{_DENIED}\b(?:{words})\b{_UNDONE}", re.IGNORECASE)


@cache
def _order(words: str) -> re.Pattern[str]:
    return re.compile(rf"\b(?:{words})\b", re.IGNORECASE)
