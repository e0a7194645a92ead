"""Mixes on the album's page: one comes home, how it stands, who made it."""

from __future__ import annotations

from functools import partial
from pathlib import Path
from typing import Any

from core.capture.files.progress import Asked, Told
from core.clock import clock_text
from core.release.album_song import AlbumSong
from core.release.mixes import AS, SAID, Mix
from tui.asking.asking import AskText
from tui.asking.choosing import AskChoice
from tui.frame.acts.held import Acts
from tui.places.album.on_album import OnAlbum
from tui.workers.reading import Reading


class AlbumMixes(Acts[OnAlbum]):
    """The keys that are about mixes."""

    def action_mix_home(self) -> None:
        """Asks for the file of a mix, then measures and keeps it."""
        from tui.asking.files.sound_files import AskFiles

        one, release = self.here.one, self.home.book.release
        if one is None:
            return
        folder = release.mix_folder()
        found = release.new_mixes()
        words = f"New in {folder}, the newest first:" if found else f"Nothing new lies in {folder}."
        question = AskFiles(f"A mix of {one.name} came home: which file?", words, found, folder,
                            f"mix {one.song.key}", first_only=True)  # fmt: skip
        self.home.push_screen(question, lambda files: self._chosen(one, files) if files else None)

    def _chosen(self, one: AlbumSong, files: tuple[Path, ...]) -> None:
        """One file is measured; of several, as a folder has them, those that are ticked once more."""
        from tui.asking.files.sound_files import AskFiles

        new = tuple(file for file in files if not self.home.book.release.is_home(file))
        if len(files) > 1 and not new:
            self.here.say(f"all {len(files)} that lie there came home already", bad=True)
            return
        if len(files) == 1 or len(new) == 1:
            self._measure(one, new or files)
            return
        question = AskFiles(f"Which of them are mixes of {one.name}?", f"New in {new[0].parent}:", new,
                            new[0].parent, f"mixes {one.song.key}", first_only=True)  # fmt: skip
        self.home.push_screen(question, lambda some: self._measure(one, some) if some else None)

    def _measure(self, one: AlbumSong, files: tuple[Path, ...]) -> None:
        release, home = self.home.book.release, self.home

        def work(told: Told, asked: Asked) -> list[Mix]:
            return [
                release.measured_mix(one.song.key, file, progress=told, cancelled=asked) for file in files
            ]

        def done(mixes: list[Mix]) -> None:
            said = ""
            for mix in mixes:
                kept = home.do(partial(release.keep_mix, mix))
                if kept is None:
                    return
                number, remarks = kept[0].number, kept[1]
                said = f"mix {number} of {one.name} came home, {clock_text(kept[0].seconds)}"
                said += (
                    f": {'; '.join(remarks)}"
                    if remarks
                    else home.keyed("; {album.stands} says how it stands")
                )
            home.say(said)

        Reading(home, one.name, "measured", work, done).start()
        self.here.say(home.keyed(f"measuring {files[0].name} ... {{album.stop}} stops"))
        self.here.refresh_foot()

    def action_halt(self) -> None:
        """Stops what is being read; nothing is kept of it."""
        if self.home.reading is not None:
            self.home.reading.stop()
            self.here.say("stopping ...")

    def action_stands(self) -> None:
        """How the newest mix stands; with several, which of them is asked first."""
        one = self.here.one
        if one is None or not one.mixes:
            return
        if len(one.mixes) == 1:
            self._ask_stands(one, one.mixes[0])
            return
        choices = [(str(mix.number), f"mix {mix.number}  {SAID[mix.stands]}  {Path(mix.file).name}")
                   for mix in reversed(one.mixes)]  # fmt: skip
        by_number = {str(mix.number): mix for mix in one.mixes}
        question = AskChoice(f"Which mix of {one.name}?", choices)
        self.home.push_screen(question, lambda n: self._ask_stands(one, by_number[n]) if n else None)

    def _ask_stands(self, one: AlbumSong, mix: Mix) -> None:
        release = self.home.book.release
        measured = f"{clock_text(mix.seconds)}, {_level(mix.loudness_lufs)}, {mix.at[:10]}"
        words = "; ".join((f"{Path(mix.file).name}, {measured}", *release.remarks(mix)))
        choices: list[tuple[str, str]] = [(stands, SAID[stands]) for stands in AS]
        choices.append(("by", f"by whom: {mix.by or 'not said'}"))
        heading = f"How does mix {mix.number} of {one.name} stand?"
        question = AskChoice(heading, choices, mix.stands, words=words)

        def taken(stands: Any) -> None:
            if stands == "by":
                self._ask_who(one, mix)
            elif stands:
                said = f"mix {mix.number} of {one.name}: {SAID[stands]}"
                self.here.keep(lambda: release.mix_stands(one.song.key, mix.number, stands), said)

        self.home.push_screen(question, taken)

    def _ask_who(self, one: AlbumSong, mix: Mix) -> None:
        release, draft = self.home.book.release, f"by {mix.key}"

        def taken(text: str | None) -> None:
            if text:
                said = f"mix {mix.number} of {one.name} is by {text}"
                self.here.keep(lambda: release.mix_told(one.song.key, mix.number, by=text), said)

        question = AskText(f"Who made mix {mix.number} of {one.name}?", draft=draft, text=mix.by)
        self.home.push_screen(question, taken)


def _level(lufs: float | None) -> str:
    return "nothing sounds" if lufs is None else f"{lufs:.1f} LUFS"
