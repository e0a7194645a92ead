"""What a box warns of; the words are common practice of the trade, from memory: no authority lists them."""

from __future__ import annotations

import pytest
from wholetable import each_holds

from core.reels.box.warnings import unanswered, warnings_on

SIGNS = {
    "mould": (
        "mold on edge",
        "MOULDY",
        "mildew!",
        "Schimmel",
        "verschimmelt",
        "fungus, wear gloves",
        "moisi",
        "moisissure",
        "muffa",
        "mögel",
        "bolor",
        "moho",
    ),
    "vinegar": (
        "smells of vinegar",
        "Essig",
        "Essigsyndrom",
        "vinaigre",
        "sour smell",
        "azijn",
        "aceto",
        "Essiggeruch",
        "vinaigré",
        "acetic smell",
    ),
    "layers adhere": ("layers stuck", "Layers sticking!", "Lagen kleben", "verklebt", "couches collées"),
    "white powder": ("white powder on the edge", "weißes Pulver", "poudre blanche", "pó branco"),
    "loose oxide": ("flaking oxide", "oxide flaking", "loose oxide", "oxide coming off", "Schicht löst sich"),
    "squeal": ("squeals", "SQUEALING badly", "quietscht", "grince"),
    "sticky": ("sheds", "shedding", "sticky", "STICKY-SHED", "sticking", "klebt", "pegajosa"),
    "water": ("water damage", "Wasserschaden"),
}
ORDERS = {
    "heat": (
        "do not bake", "DON'T BAKE!", "Don’t bake", "DO NOT HEAT", "never bake", "not to be baked", "no heat",
        "NICHT BACKEN", "nicht mehr erwärmen", "ne pas cuire", "ne pas chauffer", "no hornear", "não aquecer",
    ),
    "play": (
        "do not play", "DO NOT PLAY", "not to be played", "must not be played", "not for playback",
        "never play", "nicht abspielen", "ne pas lire", "no reproducir", "não tocar", "do not use",
    ),
}  # fmt: skip


#: One for each way to say it that stands nowhere above.
RARER = {
    "mould": "musty; ammuffito; mohoso; mohosa; "
    "stockig; stockfleckig; champignons; embolorada; mofo; mofada; hongos; "
    "enmohecida; Moulds; fungi; spores; white fuzz",
    "vinegar": "vinagre; ättika; riecht sauer; smells sour; vinegar syndrome; "
    "sour; sauer; säuerlich; stinks; VSS; acidic",
    "layers adhere": "adhering layers; stuck together; blocked pack; capas pegadas; camadas coladas; "
    "pack stuck; adhering; blocking",
    "white powder": "white residue; white crystals; weisses Pulver; "
    "polvo blanco; polvere bianca; white dust; "
    "powdery",
    "loose oxide": "lose Schicht; oxyde qui part; oxyde qui tombe; pierde óxido; perde oxido; "
    "flakes; oxide loose; oxide loss; peeling; Abrieb; "
    "blättert; s'écaille; descasca; se descascarilla",
    "squeal": "squeaky; squeaks; couine; chirría; guincha; squeeks; chilla",
    "sticky": "gummy; klebrig; schmiert; collante; colle; pegajoso; appiccicoso; sticks",
    "water": "waterlogged; flooded; flood damage; dégât des eaux; flood 1987; got wet; "
    "wet; Hochwasser; inondé; inundación; mouillé",
    "heat": "no oven; no warming; nicht heizen; nicht wärmen; nicht erhitzen; keine Hitze; keine Wärme; "
    "pas de chaleur; no calentar; não assar; não cozer; never to be heated; ne jamais chauffer; "
    "kein Ofen; keep away from heat; pas de four",
    "play": "do not thread; do not run; cannot be threaded; never to be used; no playing; nicht abgespielt; "
    "nicht mehr spielen; ne jamais jouer; ne pas passer; no tocar; não reproduzir; "
    "ne pas utiliser; not for play; not playable; unplayable; won't play",
}


@pytest.mark.parametrize("of", RARER)
def test_what_is_said_rarely_is_read_too(of: str) -> None:
    def holds(says: str) -> None:
        for text in (says, says.upper()):
            assert [one.sign or one.order for one in warnings_on(text)] == [of], text

    each_holds(RARER[of].split("; "), holds)


@pytest.mark.parametrize("sign", SIGNS)
def test_a_sign_on_a_box_is_read_however_it_is_written(sign: str) -> None:
    def holds(says: str) -> None:
        for text in (says, f"Low Tide 15 ips - {says} (1979)", says.upper()):
            assert [(one.sign, one.order) for one in warnings_on(text)] == [(sign, "")], text

    each_holds(SIGNS[sign], holds)


@pytest.mark.parametrize("order", ORDERS)
def test_an_order_on_a_box_is_read_however_it_is_written(order: str) -> None:
    def holds(says: str) -> None:
        for text in (says, f"Low Tide 15 ips, {says}!! 1979"):
            assert [(one.sign, one.order) for one in warnings_on(text)] == [("", order)], text

    each_holds(ORDERS[order], holds)


@pytest.mark.parametrize(
    "says",
    [
        "", "Low Tide 15 ips NAB", "no mould", "mould removed 1998", "not sticky", "ohne Titel",
        "kein Schimmel", "never played", "moulding plans", "The Shed, rough mixes", "playback master",
        "baked goods", "Sweet and Sour", "flag day", "Stick to Me", "heat wave", "no. 4 play", "powder room",
        "does not squeal", "Water Music", "acetate", "mogul",
    ],
)  # fmt: skip
def test_words_that_only_look_so_warn_of_nothing(says: str) -> None:
    assert warnings_on(says) == ()


def test_several_are_told_each_in_its_own_words() -> None:
    told = warnings_on("STICKY, mold, Do not bake. do not play")
    assert [one.words for one in told] == ["mold", "STICKY", "Do not bake", "do not play"]


def test_a_sign_that_is_written_down_or_was_answered_warns_no_more() -> None:
    assert unanswered("mold", {"mould"}, ()) == unanswered("mold", (), ["Mold"]) == ()
    assert len(unanswered("mold", {"vinegar"}, ["do not play"])) == 1
    assert unanswered("sheds", {"loose oxide"}, ()) == ()
    assert len(unanswered("do not bake", {"sticky"}, ())) == 1


@pytest.mark.parametrize(
    "says", ["mould/vinegar", "mould, vinegar", "vinegar + mould", "vinegar-mould", "mould?vinegar?"]
)
def test_two_signs_are_two(says: str) -> None:
    assert {one.sign for one in warnings_on(says)} == {"mould", "vinegar"}
