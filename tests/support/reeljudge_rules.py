"""Rules 1 to 9 of the plan, one function each: a case in, sentences about what is wrong out."""

from collections.abc import Iterator
from fractions import Fraction
from itertools import pairwise

import reeljudge_hours as hours
import reeljudge_units as units
from reeljudge_case import Case, Item, Load
from reeljudge_shelf import NEVER, Reel, setup_of


def horizon(case: Case) -> Iterator[str]:
    """All lies in [from, until] and on the grid; until is whole days after from by the studio's clock."""
    zone, grid = case.shelf.zone, int(case.shelf.minutes["grid"])
    first, last = hours.local_time(case.start, zone), hours.local_time(case.until, zone)
    days = (last.date() - first.date()).days
    if (
        not 1 <= days <= 800
        or hours.instant(
            first.replace(tzinfo=None, fold=0).replace(year=last.year, month=last.month, day=last.day), zone
        )
        != case.until
    ):
        yield f"0: until {case.plan['until']} is not whole days after {case.plan['from']}"

    def on_grid(moment: int) -> bool:
        clock = hours.local_time(moment, zone)
        return clock.second == 0 and clock.minute % grid == 0

    for item in case.items:
        if item.start < case.start or item.end > case.until:
            yield f"0: {item} lies outside [from, until]"
        if item.end < item.start:
            yield f"0: {item} ends before it starts"
        if not (on_grid(item.start) and on_grid(item.end)):
            yield f"0: {item} is off the grid of {grid} minutes"
    for load in case.loads:
        if load.running:
            continue
        if load.start < case.start or load.touches[-1][2] > case.until:
            yield f"0: {load} lies outside [from, until]"
        if not on_grid(load.start):
            yield f"0: {load} starts off the grid"


def one_person(case: Case) -> Iterator[str]:
    """Rule 1: one thing at a time, in one bench window each; touches while someone is home."""
    busy = [(item.start, item.end, str(item), False) for item in case.items]
    for load in case.loads:
        busy += [
            (start, end, f"{do} of {load}", load.running)
            for do, start, end in load.touches
            if start >= case.start
        ]
    busy = sorted(span for span in busy if span[1] > span[0])
    latest: tuple[int, int, str, bool] | None = None
    for span in busy:
        if latest and span[0] < latest[1] and not (span[3] and latest[3]):
            yield f"1: {span[2]} overlaps {latest[2]}"
        if latest is None or span[1] > latest[1]:
            latest = span
    for item in case.items:
        window = case.window(item.start, item.end)
        if not window:
            yield f"1: {item} is not inside one bench window"
        elif item.end > window[1] - case.slack_seconds(window):
            yield f"1: {item} ends in the slack of its bench window"
    for load in case.loads:
        for do, start, end in load.touches:
            if not load.running and not hours.holder(case.spans.home, start, end):
                yield f"1: {do} of {load} is not inside home time"


def chamber(case: Case) -> Iterator[str]:
    """Rule 2: home, trays, temperature, one load at a time, and every written moment as computed."""
    for load in case.loads:
        if load.running:
            if load.raw is None:
                yield f"2: the {load}, under way at from, is not in the plan"
        else:
            if not hours.holder(case.spans.home, load.start, load.touches[-1][2]):
                yield f"2: {load} is not inside one run of home time"
            yield from _room(case, load)
        if load.raw is not None:
            yield from _written_load(case, load)
    for one in case.shelf.chambers:
        own = sorted((load for load in case.loads if load.chamber.id == one), key=lambda load: load.start)
        for before, after in pairwise(own):
            if after.start < before.touches[-1][2]:
                yield f"2: {after} starts before {before} is done with the chamber"


def _room(case: Case, load: Load) -> Iterator[str]:
    taken = 0
    for name in load.outs:
        width = case.shelf.reels[name].width
        if width not in load.chamber.trays_taken:
            yield f"2: chamber {load.chamber.id} has no trays for the width of {name}"
        else:
            taken += load.chamber.trays_taken[width]
    if taken > load.chamber.trays:
        yield f"2: {load} takes {taken} trays of {load.chamber.trays}"
    temperatures = {
        treatment.temperature for name in load.outs if (treatment := case.treatment(case.shelf.reels[name]))
    }
    if len(temperatures) > 1:
        yield f"2: {load} mixes temperatures"


def _written_load(case: Case, load: Load) -> Iterator[str]:
    raw = load.raw or {}
    zone = case.shelf.zone
    if hours.read_time(raw["end"], zone) != load.end:
        yield f"2: {load} should end at its last take-out"
    first = case.treatment(case.shelf.reels[next(iter(load.outs))])
    if first and units.temperature(raw["temperature"]) != first.temperature:
        yield f"2: {load} has the wrong temperature {raw['temperature']}"
    rows = {row["reel"]: row for row in raw["reels"]}
    missing = {
        name
        for name in load.outs
        if name not in rows and not (load.running and load.outs[name] <= case.start)
    }
    if missing or set(rows) - set(load.outs):
        yield f"2: {load} lists {sorted(rows)}"
    for name, row in rows.items():
        if name not in load.outs:
            continue
        treatment = case.treatment(case.shelf.reels[name])
        if treatment is None:
            continue
        out = load.outs[name]
        due = {
            "out": out,
            "cool_until": out + int(treatment.cool * 60),
            "playable_until": out + int(treatment.playable_days * 86400),
        }
        for key, moment in due.items():
            if hours.read_time(row[key], zone) != moment:
                yield f"2: {key} of {name} is {row[key]}, should be {hours.local_time(moment, zone)}"
    yield from _written_touches(case, load, raw)


def _written_touches(case: Case, load: Load, raw: dict) -> Iterator[str]:  # type: ignore[type-arg]
    zone = case.shelf.zone
    written = {
        (touch["do"], hours.read_time(touch["start"], zone), hours.read_time(touch["end"], zone))
        for touch in raw["touches"]
    }
    if len(written) != len(raw["touches"]):
        yield f"2: {load} lists a touch twice"
    due = set(load.touches)
    if load.running:
        written = {touch for touch in written if case.start <= touch[1] and touch[2] <= case.until}
        due = {touch for touch in due if case.start <= touch[1] and touch[2] <= case.until}
    for do, start, _ in sorted(due - written, key=lambda touch: touch[1]):
        yield f"2: {load} lacks the {do} at {hours.local_time(start, zone)}"
    for do, start, end in sorted(written - due, key=lambda touch: touch[1]):
        yield f"2: {load} has a wrong {do} at {hours.local_time(start, zone)} for {(end - start) / 60:g} min"


def never_into_heat(case: Case) -> Iterator[str]:
    """Rule 3: polyester only, no vinegar, no mould; a barred reel is at most identified."""
    for load in case.loads:
        if load.running:
            continue
        for name in load.outs:
            reel = case.shelf.reels[name]
            if reel.base != "polyester":
                yield f"3: {name} of base {reel.base} is put into heat"
            if reel.has("vinegar", "mould"):
                yield f"3: {name} with vinegar or mould is put into heat"
    for reel in case.sources():
        reason = case.barred(reel)
        if reason is None and reel.name not in case.told_barred:
            continue
        heard = reason is not None and case.to_be_heard(reel)
        allowed = ("identify", "repair", "audition") if heard else ("identify",)
        for item in case.items:
            if item.reel == reel.name and item.kind not in allowed:
                yield f"3: {item}, but the reel is barred ({reason or case.told_barred[reel.name]})"
        if not heard and any(reel.name in load.outs and not load.running for load in case.loads):
            yield f"3: {reel.name} is loaded, but barred ({reason})"
        if reel.has("mould") and case.of("identify", reel):
            yield f"3: {reel.name} has mould and is identified"


def conditioning(case: Case) -> Iterator[str]:
    """Rule 4: who is heated, how often; nothing is played uncooled or after its playable time."""
    for reel in case.shelf.reels.values():
        heats = case.heats(reel)
        fresh = [load for load in case.loads if reel.name in load.outs and not load.running]
        if fresh:
            yield from _may_be_heated(case, reel)
        if len(heats) > 1 and not reel.calibration:
            yield f"4: {reel.name} is conditioned {len(heats)} times"
        for before, after in pairwise(heats):
            if after[0] < before[1]:
                yield f"4: {reel.name} is loaded before it has cooled"
        for load in fresh:
            if load.start < case.at_hand_from(reel):
                yield f"4: {reel.name} is loaded before it has cooled from its last treatment"
            for item in case.of("identify", reel):
                if item.end > load.start:
                    yield f"4: {reel.name} is loaded before its identify ends"
        yield from _played(case, reel)


def _may_be_heated(case: Case, reel: Reel) -> Iterator[str]:
    if not reel.calibration and not reel.before("transferred"):
        yield f"4: {reel.name} is conditioned though it is {reel.stage}"
    if not case.sticky(reel):
        yield f"4: {reel.name} is conditioned though it is not sticky"
    if case.playable(reel) == NEVER:
        yield f"4: {reel.name} is conditioned though it is playable for good"
    if (reel.stage == "found" or reel.uninspected) and not case.of("identify", reel):
        yield f"4: {reel.name} is conditioned before it is identified"


def _played(case: Case, reel: Reel) -> Iterator[str]:
    if reel.calibration:
        return
    heats = case.heats(reel)
    ready = heats[-1][1] if heats else case.at_hand_from(reel)
    last = heats[-1][2] if heats else case.playable(reel)
    for item in case.of("repair", reel) + case.of("audition", reel) + case.of("transfer", reel):
        if item.start < ready:
            yield f"4: {item} before the reel has cooled"
        if item.kind == "repair" or not case.sticky(reel):
            continue
        if last is None:
            yield f"4: {item} though the reel needs conditioning"
        elif item.end > last and item.kind == "transfer":
            yield f"4: {item} ends after the reel's playable time"


def repair(case: Case) -> Iterator[str]:
    """Rule 5: joints are remade before the transfer."""
    for reel in case.sources():
        repairs, transfers = case.of("repair", reel), case.of("transfer", reel)
        if repairs and not reel.splices_due:
            yield f"5: {reel.name} is repaired without need"
        if len(repairs) > 1:
            yield f"5: {reel.name} is repaired twice"
        for item in transfers:
            if reel.splices_due and not any(done.end <= item.start for done in repairs):
                yield f"5: {item} before its repair"


def line_up(case: Case) -> Iterator[str]:
    """Rule 6: the deck is lined up to the set-up in the same bench window."""
    for deck in case.shelf.decks.values():
        stands = deck.lined_up
        aligns = [item for item in case.of("align") if item.deck == deck.id]
        for item in aligns:
            setup = setup_of(item.raw["setup"])
            if not isinstance(item.raw["full"], bool):
                yield f"6: {item} does not say whether it is full"
            if not item.raw["full"] and stands != setup:
                yield f"6: {item} is a touch-up, but the deck stands on another set-up"
            if (
                item.raw["full"]
                and deck.setup_needs_helper
                and not hours.holder(case.spans.helper, item.start, item.end)
            ):
                yield f"6: {item} without the helper"
            stands = setup
        for item in case.of("transfer"):
            if item.deck == deck.id:
                yield from _lined_up(case, item, aligns)


def _lined_up(case: Case, item: Item, aligns: list[Item]) -> Iterator[str]:
    window = case.window(item.start, item.end)
    before = [align for align in aligns if align.end <= item.start and window and window[0] <= align.start]
    setups = {part.setup for part in case.shelf.reels[item.reel].parts}
    if not before:
        yield f"6: {item} without a line-up in its bench window"
    elif setup_of(before[-1].raw["setup"]) not in setups:
        yield f"6: {item} on the wrong set-up {before[-1].raw['setup']}"


def loud(case: Case) -> Iterator[str]:
    """Rule 7: loud decks run in loud time; an audition does on every deck."""
    for item in case.items:
        on_loud = item.kind in ("align", "transfer") and case.shelf.decks[item.deck].loud
        quiet = not hours.holder(case.spans.loud, item.start, item.end)
        if quiet and (on_loud or item.kind == "audition"):
            yield f"7: {item} outside loud time"


def _lasts(item: Item, due: set[int]) -> str:
    right = " or ".join(f"{seconds / 60:g}" for seconds in sorted(due))
    return f"8: {item} lasts {(item.end - item.start) / 60:g} min, should be {right}"


def lengths(case: Case) -> Iterator[str]:
    """Rule 8: every item is as long as its reel, deck and handling times make it."""
    minutes = case.shelf.minutes
    for item in case.items:
        reel = case.shelf.reels.get(item.reel)
        due: set[int] = set()
        if item.kind == "identify":
            due = {case.rounded(minutes["identify"])}
        elif item.kind == "repair" and reel:
            due = {case.rounded(max(Fraction(10), minutes["splice"] * reel.splices))}
        elif item.kind == "align":
            deck = case.shelf.decks[item.deck]
            due = {case.rounded(deck.setup_minutes if item.raw["full"] else deck.touch_up_minutes)}
        elif item.kind == "verify" and reel:
            due = case.verify_seconds(reel)
        elif item.kind == "audition" and reel:
            extra = minutes["clean"] if case.cleaned(reel) else 0
            due = {case.rounded(minutes["load"] + minutes["audition"] + extra)}
            if reel.width not in case.shelf.decks[item.deck].widths:
                yield f"9: {item} on a deck of another width"
        elif item.kind == "transfer" and reel:
            yield from _transfer(case, item, reel)
            continue
        if item.end - item.start not in due:
            yield _lasts(item, due)


def _transfer(case: Case, item: Item, reel: Reel) -> Iterator[str]:
    deck = case.shelf.decks[item.deck]
    fit = [part for part in reel.parts if deck in case.takes(reel, part)]
    if not fit:
        yield f"8: {item} on deck {deck.id}, which does not take the reel"
        return
    if item.raw.get("passes") != case.passes(reel):
        yield f"8: {item} in {item.raw.get('passes')} passes, should be {case.passes(reel)}"
    due = set().union(*(case.transfer_seconds(reel, part, deck) for part in fit))
    if item.end - item.start not in due:
        yield _lasts(item, due)


def stages(case: Case) -> Iterator[str]:
    """Rule 9: what is done is not planned, what is planned comes in order and once."""
    for reel in case.shelf.reels.values():
        own = {kind: case.of(kind, reel) for kind in ("identify", "repair", "audition", "transfer", "verify")}
        parts = {"transfer": len(reel.parts)}
        for kind, items in own.items():
            if len(items) > parts.get(kind, 1):
                yield f"9: {reel.name} has {len(items)} items {kind}"
        found = reel.stage == "found" or reel.uninspected
        if own["identify"] and not found:
            yield f"9: {reel.name} is identified again"
        if reel.calibration:
            for kind in ("repair", "audition", "transfer", "verify"):
                if own[kind]:
                    yield f"9: calibration reel {reel.name} has an item {kind}"
            continue
        yield from _order(case, reel, own, found)


def _order(case: Case, reel: Reel, own: dict[str, list[Item]], found: bool) -> Iterator[str]:
    later = own["repair"] + own["audition"] + own["transfer"]
    identified = own["identify"][0].end if own["identify"] else (NEVER if found else -NEVER)
    for item in later:
        if item.start < identified:
            yield f"9: {item} before the reel is identified"
        if not reel.before("transferred"):
            yield f"9: {item}, but the reel is {reel.stage}"
    heard = reel.heard or not case.shelf.minutes["audition"]
    for item in own["audition"]:
        if heard:
            yield f"9: {item} without need"
        if reel.splices_due and not any(done.end <= item.start for done in own["repair"]):
            yield f"9: {item} before its repair"
    for item in own["transfer"]:
        if not heard and not any(done.end <= item.start for done in own["audition"]):
            yield f"9: {item} before the reel was heard"
    for item in own["verify"]:
        if reel.stage == "verified":
            yield f"9: {item}, but the reel is verified"
        done = len(own["transfer"]) == len(reel.parts) and all(
            one.end <= item.start for one in own["transfer"]
        )
        if reel.before("transferred") and not done:
            yield f"9: {item} before its transfer"


def segments(case: Case) -> Iterator[str]:
    """Segments: each is a transfer of its own, on its own set-up and of its own length."""
    for reel in case.sources():
        left = list(reel.parts)
        if len(left) < 2:
            continue
        aligns = case.of("align")
        for item in case.of("transfer", reel):
            deck = case.shelf.decks[item.deck]
            before = [one for one in aligns if one.deck == item.deck and one.end <= item.start]
            stands = setup_of(before[-1].raw["setup"]) if before else None
            fit = [
                part
                for part in left
                if part.setup == stands and item.end - item.start in case.transfer_seconds(reel, part, deck)
            ]
            if fit:
                left.remove(fit[0])
            else:
                yield f"6: {item} is no segment that is still to be transferred on that set-up"


ALL = (
    horizon,
    one_person,
    chamber,
    never_into_heat,
    conditioning,
    repair,
    line_up,
    loud,
    lengths,
    stages,
    segments,
)
