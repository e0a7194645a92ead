"""A reel's captures, and all that is done with them: checking, looking again, comparing, handing over."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING, cast

from core.capture.files.progress import Asked, Told
from core.findings import Check
from core.logbook.files import Mark
from core.logbook.turned import ran_backwards
from core.standing.back_to_tape import becomes, told_of_the_tape
from core.standing.kept_checks import check_key, listened, place_key, wanted_passes
from tui.places.captures.capture_place import CapturePlace
from tui.places.captures.places_list import PlacesList
from tui.workers.reading import Found, Reading, Work

if TYPE_CHECKING:
    from core.capture.kept.fixity import Looked
    from core.capture.listening import Excerpt
    from core.evening.after_check import Again
    from core.logbook.turned import TurnedRound

_NEED_CHECK = (
    "look",
    "second",
    "hand_over",
    "manifest",
    "report",
    "fine",
    "again",
    "hear",
    "to_tape",
    "treble",
    "pass_on(1)",
    "pass_on(-1)",
)
_READ = ("choose_files", "look", "second", "hand_over", "hear", "turn_round")


class CaptureScreen(CapturePlace):
    """One reel's captures, opened from its line, its card or Tonight."""

    def reason_not(self, action: str) -> str | None:
        """One reading at a time; most things need a check."""
        reading = self.home.reading
        if action in _READ and reading is not None:
            stops = self.home.keyed("{capture.stop} stops that")
            return f"{reading.reel} is being {reading.word}: {stops}"
        if action == "halt":
            return None if reading is not None else "nothing is being read"
        if action == "turn_round" and not ran_backwards(self.home.shelf, self.reel):
            return "no pass of it was played backwards"
        if action in _NEED_CHECK and not self.checks:
            return "no check is kept of its files: F chooses them"
        if action in ("fine", "again", "hear") and self.finding is None:
            return "there is no place to listen to"
        if action.startswith("pass_on") and len(self.checks) < 2:
            return "one pass is checked"
        if action == "verified" and self.row is not None and self.row.stage == "verified":
            return f"{self.reel} is verified"
        return super().reason_not(action)

    # Reading ---------------------------------------------------------------------------------------------

    def action_choose_files(self) -> None:
        """Asks which files of which pass, then measures them."""
        from tui.asking.choosing import AskChoice

        shelf = self.home.shelf
        wanted = wanted_passes(shelf, shelf.reel(self.reel))
        if len(wanted) < 2:
            self._ask_files("1")
            return
        checked = {one.pass_number: one.verdict for one in self.checks}
        choices = [(str(n), f"pass {n}  {checked.get(n, 'not checked yet')}") for n in wanted]
        here = next((str(n) for n in wanted if n not in checked), str(self.number or 1))
        question = AskChoice(f"{self.reel}: the files of which pass?", choices, here)
        self.app.push_screen(question, self._ask_files)

    def _ask_files(self, number: str | None) -> None:
        from tui.asking.files.sound_files import AskFiles

        if number is None:
            return
        book, wanted = self.home.book, int(number)
        found, folder = book.handing_out.found_captures(self.reel, wanted), book.handing_out.capture_folder()
        words = (
            f"Found by its key in {folder}:" if found else f"No file in {folder} has {self.reel} in its name."
        )
        question = AskFiles(
            f"{self.reel}: files of pass {number}", words, found, folder, f"files {self.reel} {number}"
        )
        self.app.push_screen(question, lambda files: self._measure(wanted, files) if files else None)

    def _measure(self, number: int, files: tuple[Path, ...]) -> None:
        book, reel = self.home.book, self.reel

        def work(told: Told, asked: Asked) -> Check:
            return book.captures.check(
                reel, files, pass_number=number, progress=told, cancelled=asked, keep=False
            )

        self._read("measured", work, lambda found: self._measured(found))

    def _measured(self, found: Check) -> None:
        if not found.measured:
            self.trouble = " ".join(one.says for one in found.findings)
            self.home.say("nothing could be measured, and nothing was kept", bad=True)
            return
        self.number = found.pass_number
        key = check_key(found.reel, found.pass_number)
        self.home.do(lambda: self.home.book.captures.keep_check(found), f"{key}: {found.verdict}, kept")

    def _read(self, word: str, work: Work[Found], done: Callable[[Found], None]) -> None:
        self.trouble = ""
        Reading(self.home, self.reel, word, work, done).start()
        self.laid()
        self.refresh_foot()

    def action_halt(self) -> None:
        """Stops what is being read; nothing is kept of it."""
        if self.home.reading is not None:
            self.home.reading.stop()
            self.say("stopping ...")

    def action_look(self) -> None:
        """Looks whether the files are still what they were."""
        book, reel, home = self.home.book, self.reel, self.home

        def done(looks: tuple[Looked, ...]) -> None:
            states = ", ".join(f"pass {one.pass_number} {one.state}" for one in looks)
            lost = home.do(lambda: book.captures.keep_looks(looks), f"{reel}: {states}")
            if lost:
                home.say(lost, bad=True)

        self._read(
            "looked at",
            lambda told, asked: book.captures.look_again(reel, progress=told, cancelled=asked),
            done,
        )

    def action_second(self) -> None:
        """Asks where the second copy lies, and compares it."""
        from tui.asking.files.folder import AskFolder

        words = "On another disk, in another place. Every file is compared by SHA-256 with what was checked."
        question = AskFolder(f"{self.reel}: where is the second copy?", words, "second copies")
        self.app.push_screen(question, self._compare)

    def _compare(self, folder: Path | None) -> None:
        if folder is None:
            return
        book, reel, home = self.home.book, self.reel, self.home

        def done(copies: tuple[Looked, ...]) -> None:
            worst = next((file.says for one in copies for file in one.files if file.says), "")
            same = ", but on the disk of the originals" if any(one.same_disk for one in copies) else ""
            home.do(lambda: book.captures.keep_copies(copies), f"second copy equal in {folder.name}{same}")
            if worst:
                home.say(f"no second copy in {folder.name}: {worst}", bad=True)

        self._read(
            "compared",
            lambda told, asked: book.captures.compare_copy(reel, folder, progress=told, cancelled=asked),
            done,
        )

    def action_hand_over(self) -> None:
        """Asks for a new folder, and lays the files out in it for handing over."""
        from tui.asking.files.folder import AskFolder

        words = "A new BagIt folder: copies, each read again, with the checks, the report and manifests."
        question = AskFolder(f"{self.reel}: hand over in which new folder?", words, "bags", new=True)
        self.app.push_screen(question, self._bag)

    def _bag(self, folder: Path | None) -> None:
        if folder is None:
            return
        book, reel, home = self.home.book, self.reel, self.home

        def work(told: Told, asked: Asked) -> Path:
            return book.handing_out.hand_over([reel], folder, progress=told, cancelled=asked)

        self._read("copied", work, lambda made: home.say(f"ready to hand over: {made}"))

    # On paper --------------------------------------------------------------------------------------------

    def action_manifest(self) -> None:
        """Writes the digests beside the files, for `sha256sum -c`."""
        from core.capture.kept.handover import folder_name

        check = self.check
        if check is None:
            return
        file = Path(check.files[0].path).parent / f"{folder_name(self.reel)}.sha256"
        self.home.do(
            lambda: self.home.book.handing_out.write_manifest([self.reel], file),
            f"sha256sum -c {file} verifies it",
        )

    def action_report(self) -> None:
        """Prints the capture report into the folder of papers, in a thread."""
        home, book, reel = self.home, self.home.book, self.reel
        folder = Path(home.print_folder or book.path.parent / "paper").expanduser()

        def work(told: Told, asked: Asked) -> list[Path]:
            return book.handing_out.report(reel, folder)

        Reading(home, reel, "printed", work, lambda paths: home.say(f"printed: {paths[0]}")).start()

    # Listening -------------------------------------------------------------------------------------------

    def action_hear(self) -> None:
        """Plays the place under the cursor; the first time all excerpts are written, in a thread."""
        check = self.check
        if check is None:
            return
        key = f"{self.reel} {check.pass_number} {check.at}"
        if key == self._heard_of and all(one.path.exists() for one in self._excerpts):
            self._hear()
            return
        book, reel, number = self.home.book, self.reel, check.pass_number

        def done(found: tuple[Excerpt, ...]) -> None:
            self._heard_of, self._excerpts = key, found
            self._hear()

        self._read(
            "cut into excerpts",
            lambda told, asked: book.hearing.excerpts(reel, number, None, asked),
            done,
        )

    def _hear(self) -> None:
        """The excerpt of the place under the cursor, else the first; where nothing plays, its folder."""
        from tui.workers.playing import show_folder

        mine = self._excerpt()
        if mine is None:
            self.home.say("this is about the whole of it: there is no place to hear", bad=True)
            return
        trouble = self.player.play(mine.path)
        folder = mine.path.parent
        if not trouble:
            answers = self.home.keyed("{capture.fine} fine, {capture.again} capture again")
            self.home.say(f"plays {mine.path.name}: {answers}")
        elif show_folder(folder):
            self.home.say(f"{mine.path.name} lies in {folder}, opened for you")
        else:
            lie = f"{len(self._excerpts)} excerpts lie in {folder}"
            self.home.say(f"{lie}: any player opens them ({trouble})")

    def _excerpt(self) -> Excerpt | None:
        """The excerpt of the place under the cursor; None for what is no place."""
        return next((one for one in self._excerpts if one.place.finding == self.finding), None)

    def on_unmount(self) -> None:
        """Nothing plays on behind one's back."""
        self.player.stop()

    def action_fine(self) -> None:
        """The place was listened to and is fine; once more takes that back."""
        self._mark_place("fine", "listened, fine")

    def action_again(self) -> None:
        """The place is to be captured again: the gate to verified stays shut until then."""
        self._mark_place("again", "to be captured again")

    def _mark_place(self, mark: Mark, said: str) -> None:
        finding, record, check = self.finding, self._record(self.check), self.check
        if finding is None or record is None or check is None:
            return
        old = listened(self.home.shelf, record).get(place_key(finding))
        new, words = (None, "not listened to") if old == mark else (mark, said)
        book, number = self.home.book, check.pass_number
        self.home.do(
            lambda: book.captures.mark_place(self.reel, number, finding, new),
            f"{finding.kind} at {finding.start:.3f} s: {words}. {self.home.takes_back}",
        )
        if new:
            self.query_one(PlacesList).action_move(1)
            if self._excerpts and self.player.can:
                self.player.stop()
                if self._excerpt() is not None:
                    self._hear()  # one answer, and the next place plays

    def action_place_on(self, step: int) -> None:
        """The next place to listen to, or the one before."""
        self.query_one(PlacesList).action_move(step)

    def action_pass_on(self, step: int) -> None:
        """The next checked pass, or the one before."""
        numbers = [one.pass_number for one in self.checks]
        self.number = numbers[(numbers.index(self.number) + step) % len(numbers)]
        self.laid()
        self.refresh_head()

    def action_treble(self) -> None:
        """The lanes show treble against the middle of each track, or its level again."""
        check = self.check
        if check is None or check.strip is None or not check.strip.treble:
            self.home.say("this check kept no treble: check the files again", bad=True)
            return
        self.treble = not self.treble
        self.laid()
        shows = "treble: low where a track is duller than it usually is"
        self.home.say(f"lanes show {shows if self.treble else 'the level'}")

    def action_to_tape(self) -> None:
        """Offers what the check tells of the tape itself for the reel's history, to be mended or let be."""
        from tui.asking.asking import AskText

        check = self.check
        words = told_of_the_tape(check) if check is not None else ""
        if not words:
            self.home.say("this check tells nothing of the tape itself")
            return
        at, draft = self.home.now(), f"to the tape {self.reel} {self.number}"
        question = AskText(
            f"{self.reel}: for its history",
            "Enter adds it, with this moment's time; what becomes of the tape is asked next.",
            draft=draft,
            text=words,
        )
        self.app.push_screen(question, lambda text: self._to_tape(text, at))

    def _to_tape(self, text: str | None, at: datetime) -> None:
        if not text:
            return
        self.home.do(lambda: self.home.book.note(self.reel, text, at), f"noted on {self.reel}")
        if self.row is not None and self.home.shelf.reel(self.reel).past("transferred"):
            self._ask_again(text, at)

    def _ask_again(self, text: str, at: datetime) -> None:
        """Whether a tape that shed is played again, warmed before or not; leaving it leaves it as it is."""
        from core.evening.after_check import not_again
        from tui.asking.choosing import AskChoice

        shelf, reel = self.home.shelf, self.reel
        no_heat = not_again(shelf, reel, "warm", at)
        question = AskChoice(
            f"{reel}: what becomes of it?",
            becomes(self.check),
            why_not={"warm": no_heat} if no_heat else None,
        )
        self.app.push_screen(question, lambda how: self._again(how, text, at))

    def _again(self, how: str | None, text: str, at: datetime) -> None:
        from core.evening.after_check import AGAIN_STAGE, again_after_check

        if how not in AGAIN_STAGE:
            return
        reel, plans = self.reel, self.home.keyed("{any.plan} plans the evenings")
        self.home.do(
            lambda: self.home.book.change(
                lambda shelf: again_after_check(shelf, reel, cast("Again", how), at, text),
                what=f"{how} {reel} again",
                because=text,
                at=at,
            ),
            f"{reel} waits again: {plans}. {self.home.takes_back}",
        )

    def action_verified(self) -> None:
        """Marks the reel verified; where the evidence is not there, asks for the reason."""
        self.mark_reel(self.reel, "verified")

    def action_turn_round(self) -> None:
        """Turns files of a pass that ran backwards round, beside the originals; then measures them."""
        from tui.asking.files.sound_files import AskFiles

        numbers = ran_backwards(self.home.shelf, self.reel)
        book, number = self.home.book, numbers[0] if self.number not in numbers else self.number
        found, folder = book.handing_out.found_captures(self.reel, number), book.handing_out.capture_folder()
        question = AskFiles(
            f"{self.reel}: turn round which files of pass {number}?",
            "It was played backwards. New files are written beside these, which stay as they are.",
            found,
            folder,
            f"turn {self.reel} {number}",
            does="turns round, then measures",
        )
        self.app.push_screen(question, lambda files: self._turn(number, files) if files else None)

    def _turn(self, number: int, files: tuple[Path, ...]) -> None:
        book, reel = self.home.book, self.reel

        def work(told: Told, asked: Asked) -> TurnedRound:
            return book.captures.turn_round(reel, files, pass_number=number, progress=told, cancelled=asked)

        def done(made: TurnedRound) -> None:
            self.home.took_over()
            self._measure(number, tuple(Path(one.path) for one in made.files))

        self._read("turned round", work, done)
