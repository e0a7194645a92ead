"""Time zones: by their name, by the town or country that a person says."""

from __future__ import annotations

import re
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

from core.errors import Unusable


def zone(name: str) -> ZoneInfo:
    """The IANA zone of that name; Unusable if there is none."""
    try:
        return ZoneInfo(name)
    except (ZoneInfoNotFoundError, ValueError, OSError) as error:
        raise Unusable(f"timezone {name!r} is not {right_zone(name)}") from error


def right_zone(name: str) -> str:
    """What is right in the place of a name that is no zone's, with the nearest that there are."""
    near = zones_near(name)
    return f"an IANA zone name{f': did you mean {near[0]}?' if near else ', such as Europe/Lisbon'}"


def is_offset(name: str) -> bool:
    """True of ``GMT+1``, ``utc -5`` or ``+2``: how far off, and no place."""
    return re.fullmatch(r"(?:gmt|utc)?\s*[+-]\s*\d.*", name.strip(), re.IGNORECASE) is not None


def zones_near(name: str) -> list[str]:
    """At most two zones that are called after that place, or nearly so: ``berlim`` is near Europe/Berlin.

    A country has its own, in the order of the table that comes with the zones; so has one behind a town. An
    offset from Greenwich is near none: its zone would know no summer time.
    """
    from difflib import get_close_matches
    from zoneinfo import available_timezones

    town, comma, country = name.partition(",")
    if is_offset(name):
        return []
    if comma:
        return zones_near(town) or zones_near(country)
    wanted = "_".join(name.casefold().rpartition("/")[2].split())
    called: dict[str, list[str]] = {}
    there = (one for one in available_timezones() if not one.startswith("Etc/"))
    for one in sorted(there, key=lambda one: (one.count("/") != 1, one)):
        called.setdefault(one.casefold().rpartition("/")[2], []).append(one)
    if wanted not in called and (own := _zones_of_country(wanted)):
        return own[:2]
    places = [wanted] if wanted in called else get_close_matches(wanted, called, 2, 0.75)
    return [zone for place in places for zone in called[place]][:2]


#: What else countries are called that have zones, some in other languages; ISO 3166 has names besides.
_CALLED = {
    "GB": "england scotland wales northern_ireland great_britain united_kingdom schottland großbritannien "
    "royaume-uni angleterre",
    "US": "usa united_states_of_america america", "NL": "holland niederlande pays-bas",
    "IE": "irland irlande",
    "DE": "deutschland allemagne alemania", "AT": "österreich autriche", "CH": "schweiz suisse suiza",
    "FR": "frankreich francia", "ES": "españa spanien espagne", "IT": "italia italien italie",
    "BE": "belgien belgique belgië", "PL": "polen pologne", "DK": "dänemark danmark",
    "SE": "schweden sverige",
    "NO": "norwegen norge", "FI": "finnland suomi", "MX": "méxico", "BR": "brasil brasilien",
}  # fmt: skip
_ALSO = {name: code for code, names in _CALLED.items() for name in names.split()}


def _zones_of_country(wanted: str) -> list[str]:
    """The zones of the country of that name, by the tables that come with the zones (ISO 3166, zone.tab)."""
    from importlib.resources import files

    def rows(name: str) -> list[list[str]]:
        text = (files("tzdata") / "zoneinfo" / name).read_text(encoding="utf-8")
        return [line.split("\t") for line in text.splitlines() if line and not line.startswith("#")]

    wanted = wanted.removeprefix("the_")
    code = _ALSO.get(wanted, "")
    for row in rows("iso3166.tab"):
        # by its two letters, or as Britain (UK) is called: all of it, or what stands before or in brackets
        called = "_".join(row[1].casefold().split())
        if not code and wanted in (row[0].casefold(), called, *re.split(r"_?[()]", called)):
            code = row[0]
    return [row[2] for row in rows("zone.tab") if code and row[0] == code]


def zone_of_town(name: str) -> str:
    """The one zone that is called after that town, however it is written; else the name as it is."""
    from zoneinfo import available_timezones

    wanted = "_".join(name.casefold().split())
    there = [
        one
        for one in available_timezones()
        if one.casefold().rpartition("/")[2] == wanted and not one.startswith("Etc/")
    ]
    return there[0] if len(there) == 1 else name
