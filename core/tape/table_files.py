"""The tables as they lie on the disk."""

import os
from typing import Any

FOLDER = os.path.join(os.path.dirname(__file__), "tables")


def read_toml(name: str) -> dict[str, dict[str, Any]]:
    """The file `tables/NAME.toml` as it stands."""
    import tomli

    with open(os.path.join(FOLDER, f"{name}.toml"), "rb") as file:
        return tomli.load(file)
