"""The style sheet of the program, read anew only where a look changes what it says."""

from __future__ import annotations

from textual.css.stylesheet import Stylesheet


class StyleSheet(Stylesheet):
    """The library asks for all of it whenever a place is first shown; it differs only by its variables."""

    def __init__(self, variables: dict[str, str]) -> None:
        super().__init__(variables=variables)
        self._told = variables
        self._differs = False

    def set_variables(self, variables: dict[str, str]) -> None:
        """What names stand for; the same ones again change nothing."""
        if variables != self._told:
            self._told, self._differs = variables, True
            super().set_variables(variables)

    def reparse(self) -> None:
        """All rules with the variables told last; sources that are new are read when rules are asked for."""
        if self._differs:
            super().reparse()
            self._differs = False
