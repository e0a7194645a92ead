"""A plan that goes through its JSON comes back as it was, with what it assumes and how line-ups are made."""

import json
from datetime import UTC, datetime

from core.plan import Item, Member, Plan, plan_from_json


def test_what_items_assume_and_how_a_line_up_is_made_come_back() -> None:
    start, end = datetime(2026, 9, 7, 18, tzinfo=UTC), datetime(2026, 9, 7, 19, tzinfo=UTC)
    items = (
        Item(
            "condition",
            start,
            end,
            chamber="C1",
            members=(Member("B", end, end, end, ("condition sticky",)),),
        ),
        Item("align", start, end, deck="D1", setup=(("speed", "15 ips"),), by="as it stands"),
        Item("transfer", start, end, reel="A", deck="D1", passes=1, assumes=("condition ok", "eq NAB")),
    )
    plan = Plan("shelf", start, end, 0.0, "feasible", 1.0, 1.0, 0.0, items)
    document = json.loads(json.dumps(plan.to_json()))
    assert document["items"][0]["reels"][0]["assumes"] == ["condition sticky"]
    assert document["items"][1]["by"] == "as it stands"
    assert document["items"][2]["assumes"] == ["condition ok", "eq NAB"]
    assert plan_from_json(document, UTC) == plan
