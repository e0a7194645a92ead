"""Shelves that are classical scheduling problems in disguise, each with its least score from the classical
table.

Common to all: one deck, one calibration reel, tape stored heads out (no winds), nobody to wait for, nothing
loud, minutes chosen so that every item is a whole number of grid steps, ends counted to the minute, and no
comfort. A reel's p is its transfer plus its
verify; every reel weighs 0.01 besides its songs. Times in the tables are minutes from `from`; scores are
per hour.
"""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import cache
from itertools import permutations
from pathlib import Path
from typing import Any

import reelfolder

START = "2026-09-07T08:00"
TAIL = Fraction(1, 100)
SETUPS = (
    {"speed": "3.75 ips", "eq": "NAB", "level": "250 nWb/m"},
    {"speed": "3.75 ips", "eq": "IEC", "level": "320 nWb/m"},
)
LOAD, VERIFY = 5, 5
SPEED = 3.75  # ips: so slow that the longest transfer takes no more tape than there is


@dataclass(frozen=True, slots=True)
class Theorem:
    """A written shelf, its horizon, and the least score that the cited result gives."""

    name: str
    folder: Path
    days: int
    expected: Fraction


def _studio(
    full: int = 30, touch_up: int = 15, hours: list[dict[str, Any]] | None = None, **minutes: Any
) -> dict[str, Any]:
    every = ["mon", "tue", "wed", "thu", "fri", "sat", "sun"]
    return {
        "studio": {"name": "Theorem Room", "timezone": "Africa/Nairobi", "assume_length": "1200 ft"},
        "deck": [
            {
                "id": "D1",
                "widths": ["1/4 in"],
                "tracks": 2,
                "speeds": ["3.75 ips"],
                "wind_speed": "120 ips",
                "setup_minutes": full,
                "touch_up_minutes": touch_up,
            }
        ],
        "capture": {"inputs": 2, "sample_rate": "96 kHz", "bit_depth": 24},
        "hours": hours or [{"days": every, "from": "00:00", "to": "24:00", "bench": True, "home": True}],
        "minutes": {"grid": 5, "load": LOAD, "clean": 5, "verify": VERIFY, "listen_share": 0} | minutes,
        "comfort": reelfolder.NO_COMFORT,
    }


def _reel(name: str, transfer: int, setup: int = 0, **columns: Any) -> dict[str, Any]:
    """A reel whose transfer takes so many minutes: LOAD, and the rest is play."""
    return (
        {
            "reel": name,
            "width": "1/4 in",
            "tracks": 2,
            "base": "polyester",
            "condition": "ok",
            "wind": "heads",
            "stage": "identified",
            "length": reelfolder.feet(transfer - LOAD, SPEED),
        }
        | SETUPS[setup]
        | columns
    )


def _shelf(
    folder: Path,
    studio: dict[str, Any],
    reels: list[dict[str, Any]],
    songs: Iterable[tuple[int, Sequence[str]]],
) -> None:
    calibration = _reel("CAL", 30, role="calibration", tracks=1)
    rows = [
        {
            "song": f"S{place}",
            "title": f"Song {place}",
            "album": "Low Tide",
            "priority": weight,
            "needs": "; ".join(needs),
        }
        for place, (weight, needs) in enumerate(songs)
    ]
    reelfolder.write(folder, studio, [*reels, calibration], rows)


def smith(folder: Path) -> Theorem:
    """One endless window, one set-up, a song a reel: order by weight over length.

    W. E. Smith, Various optimizers for single-stage production, Naval Research Logistics Quarterly 3 (1956)
    59-66.
    """
    jobs = [(3, 40), (9, 65), (1, 25), (5, 25), (7, 90), (2, 30), (9, 110), (4, 45)]
    names = [f"R{place}" for place in range(len(jobs))]
    _shelf(
        folder,
        _studio(),
        [_reel(name, length) for name, (_, length) in zip(names, jobs, strict=True)],
        [(weight, [name]) for name, (weight, _) in zip(names, jobs, strict=True)],
    )
    clock, total = 30, Fraction(0)
    for weight, transfer in sorted(jobs, key=lambda job: -(job[0] + TAIL) / (job[1] + VERIFY)):
        clock += transfer + VERIFY
        total += (weight + TAIL) * clock
    return Theorem("Smith 1956", folder, 3, total / 60)


def horn(folder: Path) -> Theorem:
    """Songs of one to three reels of their own: a song is a job without length that waits for its reels, so
    the order of work is an in-tree; whole songs by (weight + 0.01 x reels) over their length, shortest reel
    first.

    W. A. Horn, Single-machine job sequencing with treelike precedence ordering, SIAM J. Appl. Math. 23
    (1972); J. B. Sidney, Decomposition algorithms for single-machine sequencing, Operations Research 23
    (1975) 283-298.
    """
    songs = [(9, [45, 60, 30]), (4, [25]), (6, [80, 35]), (2, [20, 20]), (7, [55, 95, 40])]
    reels, needs = [], []
    for place, (weight, lengths) in enumerate(songs):
        own = [f"R{place}{number}" for number in range(len(lengths))]
        reels += [_reel(name, length) for name, length in zip(own, lengths, strict=True)]
        needs.append((weight, own))
    _shelf(folder, _studio(), reels, needs)

    def ratio(song: tuple[int, list[int]]) -> Fraction:
        return (song[0] + TAIL * len(song[1])) / (sum(song[1]) + VERIFY * len(song[1]))

    clock, total = 30, Fraction(0)
    for weight, lengths in sorted(songs, key=ratio, reverse=True):
        for transfer in sorted(lengths):
            clock += transfer + VERIFY
            total += TAIL * clock
        total += weight * clock
    return Theorem("Horn 1972, Sidney 1975", folder, 3, total / 60)


def held_karp(folder: Path) -> Theorem:
    """Songs that share reels: a table over sets of reels done, as the end depends on the set alone.

    M. Held, R. M. Karp, A dynamic programming approach to sequencing problems, J. SIAM 10 (1962) 196-210;
    E. L. Lawler, Sequencing jobs to minimize total weighted completion time subject to precedence
    constraints, Annals of Discrete Mathematics 2 (1978) 75-90.
    """
    lengths = [30, 55, 20, 75, 40, 95, 25, 60]
    songs = [(8, [0, 3]), (5, [1, 3, 5]), (9, [2, 4, 6]), (3, [0, 6]), (6, [5, 7]), (1, [7])]
    _shelf(
        folder,
        _studio(),
        [_reel(f"R{place}", length) for place, length in enumerate(lengths)],
        [(weight, [f"R{one}" for one in needs]) for weight, needs in songs],
    )
    everything = frozenset(range(len(lengths)))

    @cache
    def least(done: frozenset[int]) -> Fraction:
        if not done:
            return Fraction(0)
        clock = 30 + sum(lengths[one] + VERIFY for one in done)
        return min(
            least(done - {last})
            + TAIL * clock
            + sum(weight * clock for weight, needs in songs if last in needs and set(needs) <= done)
            for last in done
        )

    return Theorem("Held and Karp 1962, Lawler 1978", folder, 3, least(everything) / 60)


FAMILIES = ([(9, 30), (6, 45), (3, 40), (2, 60)], [(8, 45), (7, 25), (4, 50), (2, 35)])
CHANGE = 20


def monma_potts(folder: Path) -> Theorem:
    """Two set-ups, each change a line-up of the same length: Smith's order inside each, a table over how
    many are taken of either and which was last. That a verify is never put off past a change holds here
    because twice a reel's length is more than nine times a verify (weights 2 to 9); `by_sets` proves it for
    this shelf.

    C. L. Monma, C. N. Potts, On the complexity of scheduling with batch setup times, Operations Research 37
    (1989).
    """
    families = [sorted(jobs, key=lambda job: -(job[0] + TAIL) / (job[1] + VERIFY)) for jobs in FAMILIES]
    reels, songs = [], []
    for setup, jobs in enumerate(FAMILIES):
        for number, (weight, transfer) in enumerate(jobs):
            reels.append(_reel(f"R{setup}{number}", transfer, setup))
            songs.append((weight, [f"R{setup}{number}"]))
    _shelf(folder, _studio(CHANGE, CHANGE), reels, songs)

    @cache
    def least(taken: tuple[int, int], last: int, changes: int) -> Fraction | None:
        """Least cost of the first so many of each family, ending with one of *last*, after *changes*
        line-ups.
        """
        if not any(taken):
            return Fraction(0) if changes == 0 else None
        if not taken[last] or not changes:
            return None
        weight, _ = families[last][taken[last] - 1]
        clock = changes * CHANGE + sum(
            one[1] + VERIFY for jobs, count in zip(families, taken, strict=True) for one in jobs[:count]
        )
        before = (taken[0] - (last == 0), taken[1] - (last == 1))
        ways = [least(before, last, changes), least(before, 1 - last, changes - 1)]
        if not any(before):
            ways = [least(before, 0, changes - 1)]
        known = [way for way in ways if way is not None]
        return min(known) + (weight + TAIL) * clock if known else None

    whole = (len(families[0]), len(families[1]))
    ends = [least(whole, last, changes) for last in (0, 1) for changes in range(1, sum(whole) + 1)]
    return Theorem("Monma and Potts 1989", folder, 3, min(end for end in ends if end is not None) / 60)


def by_sets(families: Sequence[Sequence[tuple[int, int]]], change: int) -> Fraction:
    """The same least score with verifies free to wait: a table over (transferred, verified, deck stands
    on), the cost of an item being its length times all the weight that is not verified yet.
    """
    jobs = [(weight, transfer, setup) for setup, own in enumerate(families) for weight, transfer in own]
    full = (1 << len(jobs)) - 1

    @cache
    def least(transferred: int, verified: int, stands: int) -> Fraction:
        if verified == full:
            return Fraction(0)
        open_weight = sum(
            weight + TAIL for place, (weight, _, _) in enumerate(jobs) if not verified >> place & 1
        )
        ways = []
        for place, (_, transfer, setup) in enumerate(jobs):
            bit = 1 << place
            if not transferred & bit:
                minutes = transfer + (change if setup != stands else 0)
                ways.append(open_weight * minutes + least(transferred | bit, verified, setup))
            elif not verified & bit:
                ways.append(open_weight * VERIFY + least(transferred, verified | bit, stands))
        return min(ways)

    return least(0, 0, -1) / 60


def jackson(folder: Path) -> Theorem:
    """Due dates: sticky acetate still playable, so it is now or never; playable times exactly at the
    running sums of the transfers, so only the earliest due date first loses none. The verifies come after,
    shortest first.

    J. R. Jackson, Scheduling a production line to minimize maximum tardiness, UCLA report 43 (1955).
    """
    plays = [100, 50, 150, 200, 50]
    share = Fraction(1, 10)
    clock, reels = 30, []
    hour, minute = 8, 0
    for number, play in enumerate(plays):
        clock += LOAD + play + 5
        day, past = divmod(hour * 60 + minute + clock, 1440)
        due = f"2026-09-{7 + day:02}T{past // 60:02}:{past % 60:02}"
        reels.append(_reel(f"R{number}", LOAD + play, condition="sticky", base="acetate", playable_until=due))
    order = [2, 4, 0, 3, 1]
    _shelf(
        folder,
        _studio(listen_share=0.1),
        [reels[one] for one in order],
        [(9, [f"R{number}" for number in range(len(plays))])],
    )
    total = Fraction(0)
    for verify in sorted(VERIFY + share * play for play in plays):
        clock += int(verify)
        total += TAIL * clock
    return Theorem("Jackson 1955", folder, 2, (total + 9 * clock) / 60)


def lawler_moore(folder: Path) -> Theorem:
    """One window that is too short: a table over minutes used; a reel is taken in Smith's order, and costs
    weight times its end, or is left over and costs weight times one and a half horizons.

    E. L. Lawler, J. M. Moore, A functional equation and its application to resource allocation and
    sequencing problems, Management Science 16 (1969) 77-84.
    """
    jobs = [(5, 55), (9, 120), (3, 30), (4, 45), (7, 75), (2, 15), (6, 70), (8, 95), (1, 10), (5, 60)]
    length = 240
    window = [{"days": ["mon"], "from": "08:00", "to": "12:00", "bench": True, "home": True}]
    _shelf(
        folder,
        _studio(hours=window),
        [_reel(f"R{place}", job[1]) for place, job in enumerate(jobs)],
        [(job[0], [f"R{place}"]) for place, job in enumerate(jobs)],
    )
    late = Fraction(3, 2) * 24 * 60
    table = {30: Fraction(0)}
    for weight, transfer in sorted(jobs, key=lambda job: -(job[0] + TAIL) / (job[1] + VERIFY)):
        after: dict[int, Fraction] = {}
        for used, cost in table.items():
            choices = [(used, cost + (weight + TAIL) * late)]
            end = used + transfer + VERIFY
            if end <= length:
                choices.append((end, cost + (weight + TAIL) * end))
            for end, total in choices:
                after[end] = min(total, after.get(end, total))
        table = after
    return Theorem("Lawler and Moore 1969", folder, 1, min(table.values()) / 60)


def bins(folder: Path) -> Theorem:
    """Evenings as bins that line-up and three reels each fill to the minute (3-partition): the one song
    that needs all ends with the last evening's last minute, and not a minute may be lost anywhere.
    Transfers alone do not fit into fewer evenings, so every evening pays its line-up. The hundredths: a
    table over (transferred, verified, line-ups done), which fixes the minute.

    M. R. Garey, D. S. Johnson, Computers and Intractability (1979), problem SP15.
    """
    triples = [(35, 50, 60), (40, 45, 60), (30, 55, 60)]
    transfers = [one for triple in triples for one in triple]
    room, lining = sum(triples[0]) + 3 * VERIFY, 20
    evening = room + lining
    assert all(sum(triple) == sum(triples[0]) for triple in triples) and evening == 180
    hours = [{"days": ["mon", "tue", "wed"], "from": "19:00", "to": "22:00", "bench": True, "home": True}]
    order = [4, 0, 8, 2, 6, 1, 7, 3, 5]
    _shelf(
        folder,
        _studio(lining, lining, hours),
        [_reel(f"R{one}", transfers[one]) for one in order],
        [(9, [f"R{one}" for one in order])],
    )
    count = len(transfers)
    full = (1 << count) - 1
    opening = 11 * 60

    def moment(minutes: int) -> int:
        """Minutes from `from` at the end of so much unbroken work."""
        evenings, rest = divmod(minutes, evening)
        return opening + evenings * 1440 + rest if rest else opening + (evenings - 1) * 1440 + evening

    @cache
    def least(transferred: int, verified: int, linings: int, minutes: int) -> Fraction | None:
        if verified == full:
            return Fraction(0) if minutes == 3 * evening else None
        number = minutes // evening
        ways: list[Fraction | None] = []
        if linings == number and minutes + lining <= (number + 1) * evening:
            ways.append(least(transferred, verified, linings + 1, minutes + lining))
        for place, transfer in enumerate(transfers):
            bit = 1 << place
            if not transferred & bit:
                if linings == number + 1 and minutes + transfer <= (number + 1) * evening:
                    ways.append(least(transferred | bit, verified, linings, minutes + transfer))
            elif not verified & bit and minutes + VERIFY <= (number + 1) * evening:
                rest = least(transferred, verified | bit, linings, minutes + VERIFY)
                ways.append(None if rest is None else rest + TAIL * moment(minutes + VERIFY))
        known = [way for way in ways if way is not None]
        return min(known) if known else None

    hundredths = least(0, 0, 0, 0)
    assert hundredths is not None
    return Theorem("3-partition", folder, 3, (hundredths + 9 * moment(3 * evening)) / 60)


JOHNSON = [(120, 45), (60, 90), (180, 60), (60, 50)]
"""Minutes of heat and of transfer, clean included."""


def johnson(folder: Path) -> Theorem:
    """A chamber of one tray, touches without length, no cooling: two machines in line, chamber and
    operator. One song needs all reels, so priority times the least makespan; with the hundredths all orders
    are listed.

    S. M. Johnson, Optimal two- and three-stage production schedules with setup times included, Naval
    Research Logistics Quarterly 1 (1954) 61-68.
    """
    reels = [
        _reel(f"R{place}", transfer - 5, condition="sticky", treatment_hours=f"{heat} min")
        for place, (heat, transfer) in enumerate(JOHNSON)
    ]
    studio = _studio() | {
        "chamber": [
            {"id": "C1", "trays": 1, "trays_taken": {"1/4 in": 1}, "turn_every": "1 h", "touch_minutes": 0}
        ],
        "treatment": [
            {"width": "1/4 in", "temperature": "54 degC", "hours": "2 h", "cool": "0 h", "playable_days": 14}
        ],
    }
    _shelf(folder, studio, reels, [(9, [f"R{place}" for place in range(len(JOHNSON))])])
    least = min(_flow(list(chamber), 30) for chamber in permutations(range(len(JOHNSON))))
    return Theorem("Johnson 1954", folder, 2, least / 60)


def warmed_in_turn(folder: Path) -> Theorem:
    """One tray and twelve hours a day at home: one warming of eight hours a day, whatever else is warmed.

    ``expected`` is what the songs that wait for the long ones wait at least: no theorem, and no least score.
    """
    every = ["mon", "tue", "wed", "thu", "fri", "sat", "sun"]
    hours = [
        {"days": every, "from": "19:00", "to": "22:00", "bench": True},
        {"days": every, "from": "10:00", "to": "22:00", "home": True},
    ]
    chamber = {"id": "C1", "trays": 1, "trays_taken": {"1/4 in": 1}, "turn_every": "12 h", "touch_minutes": 0}
    warmth = {"width": "1/4 in", "temperature": "54 degC", "hours": "8 h", "cool": "0 h", "playable_days": 14}
    reels = [
        _reel(f"R{place}", 20, condition="sticky", treatment_hours=hours_asked)
        for place, hours_asked in enumerate(("8 h", "8 h", "3 h"))
    ]
    studio = _studio(hours=hours) | {"chamber": [chamber], "treatment": [warmth]}
    _shelf(folder, studio, reels, [(9, ["R0"]), (9, ["R1"]), (1, ["R2"])])
    return Theorem("warmed in turn", folder, 3, Fraction(9 * (11 + 35)))


def warmed_apart(folder: Path) -> Theorem:
    """Two trays and twelve hours a day at home, eight hours each at 50 and at 54 degrees: a day for each.

    ``expected`` is what the two songs wait at least, to the minute of no plan: 11 hours, and 35.
    """
    studio, reels = _in_the_chamber(("1/4 in", "1/2 in"), "8 h", home="10:00")
    _shelf(folder, studio, reels, [(9, ["R0"]), (9, ["R1"])])
    return Theorem("warmed apart", folder, 3, Fraction(9 * (11 + 35)))


def looked_at_and_warmed(folder: Path) -> Theorem:
    """An hour from coming home to the last moment at which a load may begin, two looks of 40 minutes each.

    One is looked at and warmed on the first evening and plays on the second, the other on the third: their
    songs wait 35 and 59 hours at least.
    """
    studio, reels = _in_the_chamber(("1/4 in", "1/4 in"), "2 h", home="19:00", cool="3 h", stage="")
    studio["minutes"] |= {"identify": 40}
    _shelf(folder, studio, reels, [(9, ["R0"]), (9, ["R1"])])
    return Theorem("looked at and warmed", folder, 4, Fraction(9 * (35 + 59)))


def lined_up_late(folder: Path) -> Theorem:
    """Three hours of an evening, a helper in the last of them, half an hour of line-up: 30 minutes are left.

    Of three tapes of 20 minutes one is played and verified on the first evening, after 11 hours at the
    soonest; the others are behind a touch-up on the second, after 35 hours at the soonest.
    """
    every = ["mon", "tue", "wed", "thu", "fri", "sat", "sun"]
    studio = _studio(
        hours=[
            {"days": every, "from": "19:00", "to": "22:00", "bench": True},
            {"days": every, "from": "21:00", "to": "22:00", "helper": True},
        ]
    )
    studio["deck"][0]["setup_needs_helper"] = True
    reels = [_reel(f"R{place}", 20) for place in range(3)]
    _shelf(folder, studio, reels, [(9, [reel["reel"]]) for reel in reels])
    return Theorem("lined up late", folder, 3, Fraction(9 * (11 + 35 + 35)))


def _in_the_chamber(
    widths: Sequence[str], hours: str, home: str, cool: str = "0 h", **columns: Any
) -> tuple[dict[str, Any], list[dict[str, Any]]]:
    """Bench from 19:00 to 22:00, home from then; two trays; half an inch is warmed at 50 degrees."""
    every = ["mon", "tue", "wed", "thu", "fri", "sat", "sun"]
    open_at = [
        {"days": every, "from": "19:00", "to": "22:00", "bench": True},
        {"days": every, "from": home, "to": "22:00", "home": True},
    ]
    trays = {"1/4 in": 1, "1/2 in": 1}
    chamber = {"id": "C1", "trays": 2, "trays_taken": trays, "turn_every": "12 h", "touch_minutes": 0}
    warmth = {"hours": hours, "cool": cool, "playable_days": 14}
    warmths = [
        {"width": width, "temperature": at} | warmth
        for width, at in (("1/4 in", "54 degC"), ("1/2 in", "50 degC"))
    ]
    told: dict[str, Any] = {"condition": "sticky"} | columns
    reels = [_reel(f"R{place}", 20, **{**told, "width": width}) for place, width in enumerate(widths)]
    studio = _studio(hours=open_at) | {"chamber": [chamber], "treatment": warmths}
    studio["deck"][0]["widths"] = ["1/4 in", "1/2 in"]
    return studio, reels


def johnson_makespan() -> int:
    """Johnson's rule on heat and (transfer + verify), the line-up hidden behind the first heat."""
    jobs = [(heat, transfer + VERIFY) for heat, transfer in JOHNSON]
    front = sorted((job for job in jobs if job[0] < job[1]), key=lambda job: job[0])
    back = sorted((job for job in jobs if job[0] >= job[1]), key=lambda job: -job[1])
    heated = free = 0
    for heat, work in front + back:
        heated += heat
        free = max(free, heated) + work
    return free


def _flow(chamber: list[int], lining: int) -> Fraction:
    """Least 9 x last end + 0.01 x all ends for one order of loads, over all orders of transfers and
    verifies.
    """
    out, clock = {}, 0
    for one in chamber:
        clock += JOHNSON[one][0]
        out[one] = clock
    full = (1 << len(chamber)) - 1
    best: dict[tuple[int, int, int], Fraction] = {}

    def least(transferred: int, verified: int, now: int) -> Fraction:
        if verified == full:
            return Fraction(9 * now)
        key = (transferred, verified, now)
        if key not in best:
            ways = []
            for one in chamber:
                bit = 1 << one
                if not transferred & bit:
                    ways.append(least(transferred | bit, verified, max(now, out[one]) + JOHNSON[one][1]))
                elif not verified & bit:
                    ways.append(least(transferred, verified | bit, now + VERIFY) + TAIL * (now + VERIFY))
            best[key] = min(ways)
        return best[key]

    return least(0, 0, lining)


def three_reels(folder: Path) -> Theorem:
    """Three reels, two set-ups, two evenings: every order of the eight items tried by hand.

    Plain enumeration: each order of transfers and verifies is laid out as early as it goes.
    """
    jobs = [(5, 60, 0), (7, 50, 1), (2, 40, 0)]
    hours = [{"days": ["mon", "tue"], "from": "19:00", "to": "22:00", "bench": True, "home": True}]
    _shelf(
        folder,
        _studio(40, 15, hours),
        [_reel(f"R{place}", job[1], job[2]) for place, job in enumerate(jobs)],
        [(job[0], [f"R{place}"]) for place, job in enumerate(jobs)] + [(4, ["R0", "R1"])],
    )
    windows = [(660, 840), (2100, 2280)]
    tasks = [(kind, place) for place in range(3) for kind in ("transfer", "verify")]
    best: Fraction | None = None
    for order in permutations(tasks):
        if any(order.index(("transfer", place)) > order.index(("verify", place)) for place in range(3)):
            continue
        score = _laid_out(order, jobs, windows)
        best = score if best is None else min(best, score)
    assert best is not None
    return Theorem("plain enumeration", folder, 2, best / 60)


def _laid_out(
    order: Sequence[tuple[str, int]], jobs: Sequence[tuple[int, int, int]], windows: Sequence[tuple[int, int]]
) -> Fraction:
    """The score of one order, times 60, laid out as early as it goes, the penalty for what does not fit.

    A line-up ahead at the end of an evening is tried wherever there is room for the next transfer's set-up.
    """
    late = 3 * 24 * 60
    best = Fraction(10**9)
    for ahead in (False, True):
        window, clock, stands, lined = 0, windows[0][0], -1, -1
        ends: dict[int, int] = {}
        for kind, place in order:
            weight_length = jobs[place][1] if kind == "transfer" else VERIFY
            while window < len(windows):
                lining = 0
                if kind == "transfer" and lined != jobs[place][2]:
                    lining = 15 if stands == jobs[place][2] else 40
                if clock + lining + weight_length <= windows[window][1]:
                    break
                if ahead and kind == "transfer" and lining == 40 and clock + 40 <= windows[window][1]:
                    stands = jobs[place][2]
                window, lined = window + 1, -1
                clock = windows[window][0] if window < len(windows) else 0
            if window == len(windows):
                break
            clock += lining + weight_length
            if kind == "transfer":
                stands = lined = jobs[place][2]
            else:
                ends[place] = clock
        total = sum((jobs[place][0] + TAIL) * ends.get(place, late) for place in range(3))
        best = min(best, total + 4 * max(ends.get(0, late), ends.get(1, late)))
    return best


ALL: tuple[Callable[[Path], Theorem], ...] = (
    smith,
    horn,
    held_karp,
    monma_potts,
    jackson,
    lawler_moore,
    bins,
    johnson,
    three_reels,
)
