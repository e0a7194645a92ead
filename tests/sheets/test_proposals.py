"""Loose sheets on made-up shelves: sure means right, and what is unknown counts nothing."""

from __future__ import annotations

import pytest
from madeuppapers import made_up, right

from core.sheets.evidence import IMPOSSIBLE, evidence
from core.sheets.papers import Paper, lengths_in
from core.sheets.proposals import papers_of, proposed
from core.sheets.stretch import Stretch, pieces
from core.songs.song import SheetRow


def paper(key="L-1", tracks=(1, 2, 3), **more):
    rows = tuple(SheetRow(key, t, part=f"p{t}", **{k: v for k, v in more.items() if isinstance(v, str)})
                 for t in tracks)  # fmt: skip
    return Paper(key, rows, titles=more.get("titles", ()), lengths=more.get("lengths", ()))


def test_what_is_not_known_counts_nothing():
    (total,) = sum(evidence([paper()], [Stretch("K-1")]).values())
    assert total[0] == 0.0


def test_a_track_that_the_tape_has_not_rules_it_out():
    wide = paper(tracks=(1, 14))
    assert evidence([wide], [Stretch("K-1", tracks=8)])["beyond"][0, 0] == IMPOSSIBLE
    (told,) = proposed([wide], (Stretch("K-1", tracks=8),))
    assert told.choice is None


def test_each_evidence_speaks_for_the_right_place_and_says_so():
    mine = paper(tracks=(1, 2, 5), titles=("Lon Fen",), lengths=(188.0,), date="autumn 80", found_in="K-2")
    heard = frozenset(range(1, 9))
    good = Stretch("K-2", 4.0, 192.0, frozenset((1, 2, 5)), heard, 8, texts=pieces("Long Fen / Weir"))
    bad = Stretch("K-1", 4.0, 300.0, frozenset((3, 4, 6)), heard, 8, texts=pieces("Heron Gate"))
    (told,) = proposed([mine], (bad, good))
    assert told.choice is good and told.sure == "sure"
    said = "; ".join(told.because)
    for words in ("3 of 3 written tracks sound, and no other", "3:08 there, 3:08 told", "found in that box",
                  "the box says Long Fen"):  # fmt: skip
        assert words in said


def test_lengths_and_pieces_of_what_was_written():
    assert lengths_in(["take 3, 3:08 as mixed", "12:30:00 no", ""]) == (188.0,)
    assert pieces("Low Tide / Lanterns; tag (take 3)") == ("Low Tide", "Lanterns", "tag", "take 3")
    assert pieces("(no label)", "Unmarked") == ()


@pytest.mark.parametrize("seeds", [range(301, 307)])
def test_on_shelves_that_no_weight_was_set_by_sure_is_right(seeds):
    every, sure = [], []
    for seed in seeds:
        one = made_up(seed)
        for sheet in papers_of(one.shelf, one.titles).proposals:
            good = right(one.truth[sheet.paper.key], sheet.choice)
            every.append(good)
            sure += [good] if sheet.sure == "sure" else []
    assert len(every) > 80 and sum(every) / len(every) >= 0.75
    assert len(sure) > 30 and sum(sure) / len(sure) >= 0.95  # over thirty shelves it is 98 % and more
