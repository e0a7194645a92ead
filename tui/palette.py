"""The palette: everything the keys can do, by name, in the place that is open."""

from __future__ import annotations

from functools import partial

from textual.command import DiscoveryHit, Hit, Hits, Provider
from textual.content import Content

from tui.keys.key import Key
from tui.keys.keys import keys_of, shown_keys
from tui.safe_text import assemble


class KeyCommands(Provider):
    """Made from the one list of keys; what cannot be done now is told with the reason."""

    def _here(self) -> list[tuple[Key, str]]:
        places = (*getattr(self.screen, "PLACES", ()), "any")
        why_not = getattr(self.screen, "reason_not", lambda action: None)
        return [(key, why_not(key.action) or "") for key in keys_of(*places)]

    async def discover(self) -> Hits:
        """All of them, before anything is typed."""
        for key, why in self._here():
            yield DiscoveryHit(
                self._name(key, why), partial(self._do, key), text=key.says, help=self._help(key)
            )

    async def search(self, query: str) -> Hits:
        """Those whose sentence or word answers to what is typed."""
        matcher = self.matcher(query)
        for key, why in self._here():
            score = max(matcher.match(key.says), matcher.match(key.word))
            if score > 0:
                yield Hit(
                    score,
                    self._name(key, why),
                    partial(self._do, key),
                    text=key.says,
                    help=self._help(key),
                )

    def _name(self, key: Key, why: str) -> Content:
        """The reason stands here and not in the help, which the palette would read as markup."""
        return assemble((f"{key.says}  (not now: {why})", "dim")) if why else assemble(key.says)

    def _help(self, key: Key) -> str:
        return f"key {' or '.join(shown_keys(key, getattr(self.app, 'own_keys', {})))}".replace("[", "(")

    async def _do(self, key: Key) -> None:
        place = self.app if key.place == "any" else self.screen
        await self.app.run_action(key.action, place)
