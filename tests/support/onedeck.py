"""The text of a studio of one quarter-inch deck and one chamber; tests say what is otherwise in theirs."""

from __future__ import annotations

EVERY_DAY = '"mon", "tue", "wed", "thu", "fri", "sat", "sun"'


def hours(days: str, start: str, end: str, *flags: str) -> str:
    """One row of hours with those flags."""
    told = "".join(f"{flag} = true\n" for flag in flags)
    return f'[[hours]]\ndays = [{days}]\nfrom = "{start}"\nto = "{end}"\n{told}'


def one_deck(
    name: str,
    zone: str,
    *,
    rows: str,
    more: str = "",
    speeds: str = '"15 ips"',
    deck: str = "",
    inputs: int | None = None,
    trays: int = 4,
    playable: int = 14,
) -> str:
    """That studio; ``more`` goes under its name, ``deck`` under the deck's minutes, ``rows`` come last."""
    capture = (
        "" if inputs is None else f'[capture]\ninputs = {inputs}\nsample_rate = "96 kHz"\nbit_depth = 24\n'
    )
    return f"""
[studio]
name = "{name}"
timezone = "{zone}"
{more}[[deck]]
id = "D1"
widths = ["1/4 in"]
tracks = 2
speeds = [{speeds}]
wind_speed = "180 ips"
setup_minutes = 40
touch_up_minutes = 15
{deck}{capture}[[chamber]]
id = "C1"
trays = {trays}
trays_taken = {{ "1/4 in" = 1 }}
turn_every = "2 h"
touch_minutes = 10
[[treatment]]
width = "1/4 in"
temperature = "54 degC"
hours = "4 h"
cool = "4 h"
playable_days = {playable}
{rows}"""
