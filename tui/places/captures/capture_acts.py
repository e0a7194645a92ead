"""All that is done with a reel's captures: checking, looking again, comparing, handing over."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING, cast

from core.capture.files.progress import Asked, Told
from core.findings import Check
from core.logbook.turned import ran_backwards
from core.standing.back_to_tape import becomes, told_of_the_tape
from core.standing.kept_checks import check_key, wanted_passes
from tui.frame.acts.held import Acts
from tui.frame.acts.on_reels import ReelActs
from tui.places.captures.on_captures import OnCaptures, read
from tui.workers.reading import Reading

if TYPE_CHECKING:
    from core.capture.kept.fixity import Looked
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


class CaptureActs(Acts[OnCaptures]):
    """What the keys do to one reel's captures."""

    def __init__(self, here: OnCaptures, reels: ReelActs) -> None:
        super().__init__(here)
        self.reels = reels

    def reason_not(self, action: str) -> str | None:
        """One reading at a time; most things need a check."""
        reading = self.home.reading
        if action in _READ and reading is not None:
            stops = self.home.keyed("{capture.stop} stops that")
            return f"{reading.reel} is being {reading.word}: {stops}"
        if action == "halt":
            return None if reading is not None else "nothing is being read"
        if action == "turn_round" and not ran_backwards(self.home.shelf, self.here.reel):
            return "no pass of it was played backwards"
        if action in _NEED_CHECK and not self.here.checks:
            return "no check is kept of its files: F chooses them"
        if action in ("fine", "again", "hear") and self.here.finding is None:
            return "there is no place to listen to"
        if action.startswith("pass_on") and len(self.here.checks) < 2:
            return "one pass is checked"
        if action == "verified" and self.here.row is not None and self.here.row.stage == "verified":
            return f"{self.here.reel} is verified"
        return super().reason_not(action)

    # Reading ---------------------------------------------------------------------------------------------

    def action_choose_files(self) -> None:
        """Asks which files of which pass, then measures them."""
        from tui.asking.choosing import AskChoice

        shelf = self.home.shelf
        wanted = wanted_passes(shelf, shelf.reel(self.here.reel))
        if len(wanted) < 2:
            self._ask_files("1")
            return
        checked = {one.pass_number: one.verdict for one in self.here.checks}
        choices = [(str(n), f"pass {n}  {checked.get(n, 'not checked yet')}") for n in wanted]
        here = next((str(n) for n in wanted if n not in checked), str(self.here.number or 1))
        question = AskChoice(f"{self.here.reel}: the files of which pass?", choices, here)
        self.home.push_screen(question, self._ask_files)

    def _ask_files(self, number: str | None) -> None:
        from tui.asking.files.sound_files import AskFiles

        if number is None:
            return
        book, wanted = self.home.book, int(number)
        found, folder = (
            book.handing_out.found_captures(self.here.reel, wanted),
            book.handing_out.capture_folder(),
        )
        words = (
            f"Found by its key in {folder}:"
            if found
            else f"No file in {folder} has {self.here.reel} in its name."
        )
        question = AskFiles(
            f"{self.here.reel}: files of pass {number}",
            words,
            found,
            folder,
            f"files {self.here.reel} {number}",
        )
        self.home.push_screen(question, lambda files: self._measure(wanted, files) if files else None)

    def _measure(self, number: int, files: tuple[Path, ...]) -> None:
        book, reel = self.home.book, self.here.reel

        def work(told: Told, asked: Asked) -> Check:
            return book.captures.check(
                reel, files, pass_number=number, progress=told, cancelled=asked, keep=False
            )

        read(self.here, "measured", work, lambda found: self._measured(found))

    def _measured(self, found: Check) -> None:
        if not found.measured:
            self.here.trouble = " ".join(one.says for one in found.findings)
            self.home.say("nothing could be measured, and nothing was kept", bad=True)
            return
        self.here.number = found.pass_number
        key = check_key(found.reel, found.pass_number)
        self.home.do(lambda: self.home.book.captures.keep_check(found), f"{key}: {found.verdict}, kept")

    def action_halt(self) -> None:
        """Stops what is being read; nothing is kept of it."""
        if self.home.reading is not None:
            self.home.reading.stop()
            self.here.say("stopping ...")

    def action_look(self) -> None:
        """Looks whether the files are still what they were."""
        book, reel, home = self.home.book, self.here.reel, self.home

        def done(looks: tuple[Looked, ...]) -> None:
            states = ", ".join(f"pass {one.pass_number} {one.state}" for one in looks)
            lost = home.do(lambda: book.captures.keep_looks(looks), f"{reel}: {states}")
            if lost:
                home.say(lost, bad=True)

        read(
            self.here,
            "looked at",
            lambda told, asked: book.captures.look_again(reel, progress=told, cancelled=asked),
            done,
        )

    def action_second(self) -> None:
        """Asks where the second copy lies, and compares it."""
        from tui.asking.files.folder import AskFolder

        words = "On another disk, in another place. Every file is compared by SHA-256 with what was checked."
        question = AskFolder(f"{self.here.reel}: where is the second copy?", words, "second copies")
        self.home.push_screen(question, self._compare)

    def _compare(self, folder: Path | None) -> None:
        if folder is None:
            return
        book, reel, home = self.home.book, self.here.reel, self.home

        def done(copies: tuple[Looked, ...]) -> None:
            worst = next((file.says for one in copies for file in one.files if file.says), "")
            same = ", but on the disk of the originals" if any(one.same_disk for one in copies) else ""
            home.do(lambda: book.captures.keep_copies(copies), f"second copy equal in {folder.name}{same}")
            if worst:
                home.say(f"no second copy in {folder.name}: {worst}", bad=True)

        read(
            self.here,
            "compared",
            lambda told, asked: book.captures.compare_copy(reel, folder, progress=told, cancelled=asked),
            done,
        )

    def action_hand_over(self) -> None:
        """Asks for a new folder, and lays the files out in it for handing over."""
        from tui.asking.files.folder import AskFolder

        words = "A new BagIt folder: copies, each read again, with the checks, the report and manifests."
        question = AskFolder(f"{self.here.reel}: hand over in which new folder?", words, "bags", new=True)
        self.home.push_screen(question, self._bag)

    def _bag(self, folder: Path | None) -> None:
        if folder is None:
            return
        book, reel, home = self.home.book, self.here.reel, self.home

        def work(told: Told, asked: Asked) -> Path:
            return book.handing_out.hand_over([reel], folder, progress=told, cancelled=asked)

        read(self.here, "copied", work, lambda made: home.say(f"ready to hand over: {made}"))

    # On paper --------------------------------------------------------------------------------------------

    def action_manifest(self) -> None:
        """Writes the digests beside the files, for `sha256sum -c`."""
        from core.capture.kept.handover import folder_name

        check = self.here.check
        if check is None:
            return
        file = Path(check.files[0].path).parent / f"{folder_name(self.here.reel)}.sha256"
        self.home.do(
            lambda: self.home.book.handing_out.write_manifest([self.here.reel], file),
            f"sha256sum -c {file} verifies it",
        )

    def action_report(self) -> None:
        """Prints the capture report into the folder of papers, in a thread."""
        home, book, reel = self.home, self.home.book, self.here.reel
        folder = Path(home.print_folder or book.path.parent / "paper").expanduser()

        def work(told: Told, asked: Asked) -> list[Path]:
            return book.handing_out.report(reel, folder)

        Reading(home, reel, "printed", work, lambda paths: home.say(f"printed: {paths[0]}")).start()

    def action_place_on(self, step: int) -> None:
        """The next place to listen to, or the one before."""
        self.here.place_on(step)

    def action_pass_on(self, step: int) -> None:
        """The next checked pass, or the one before."""
        numbers = [one.pass_number for one in self.here.checks]
        self.here.number = numbers[(numbers.index(self.here.number) + step) % len(numbers)]
        self.here.laid()
        self.here.refresh_head()

    def action_treble(self) -> None:
        """The lanes show treble against the middle of each track, or its level again."""
        check = self.here.check
        if check is None or check.strip is None or not check.strip.treble:
            self.home.say("this check kept no treble: check the files again", bad=True)
            return
        self.here.treble = not self.here.treble
        self.here.laid()
        shows = "treble: low where a track is duller than it usually is"
        self.home.say(f"lanes show {shows if self.here.treble else 'the level'}")

    def action_to_tape(self) -> None:
        """Offers what the check tells of the tape itself for the reel's history, to be mended or let be."""
        from tui.asking.asking import AskText

        check = self.here.check
        words = told_of_the_tape(check) if check is not None else ""
        if not words:
            self.home.say("this check tells nothing of the tape itself")
            return
        at, draft = self.home.now(), f"to the tape {self.here.reel} {self.here.number}"
        question = AskText(
            f"{self.here.reel}: for its history",
            "Enter adds it, with this moment's time; what becomes of the tape is asked next.",
            draft=draft,
            text=words,
        )
        self.home.push_screen(question, lambda text: self._to_tape(text, at))

    def _to_tape(self, text: str | None, at: datetime) -> None:
        if not text:
            return
        self.home.do(lambda: self.home.book.note(self.here.reel, text, at), f"noted on {self.here.reel}")
        if self.here.row is not None and self.home.shelf.reel(self.here.reel).past("transferred"):
            self._ask_again(text, at)

    def _ask_again(self, text: str, at: datetime) -> None:
        """Whether a tape that shed is played again, warmed before or not; leaving it leaves it as it is."""
        from core.evening.after_check import not_again
        from tui.asking.choosing import AskChoice

        shelf, reel = self.home.shelf, self.here.reel
        no_heat = not_again(shelf, reel, "warm", at)
        question = AskChoice(
            f"{reel}: what becomes of it?",
            becomes(self.here.check),
            why_not={"warm": no_heat} if no_heat else None,
        )
        self.home.push_screen(question, lambda how: self._again(how, text, at))

    def _again(self, how: str | None, text: str, at: datetime) -> None:
        from core.evening.after_check import AGAIN_STAGE, again_after_check

        if how not in AGAIN_STAGE:
            return
        reel, plans = self.here.reel, self.home.keyed("{any.plan} plans the evenings")
        self.home.do(
            lambda: self.home.book.change(
                lambda shelf: again_after_check(shelf, reel, cast("Again", how), at, text),
                what=f"{how} {reel} again",
                because=text,
                at=at,
            ),
            self.home.undoable(f"{reel} waits again: {plans}"),
        )

    def action_verified(self) -> None:
        """Marks the reel verified; where the evidence is not there, asks for the reason."""
        self.reels.mark_reel(self.here.reel, "verified")

    def action_turn_round(self) -> None:
        """Turns files of a pass that ran backwards round, beside the originals; then measures them."""
        from tui.asking.files.sound_files import AskFiles

        numbers = ran_backwards(self.home.shelf, self.here.reel)
        book, number = self.home.book, numbers[0] if self.here.number not in numbers else self.here.number
        found, folder = (
            book.handing_out.found_captures(self.here.reel, number),
            book.handing_out.capture_folder(),
        )
        question = AskFiles(
            f"{self.here.reel}: turn round which files of pass {number}?",
            "It was played backwards. New files are written beside these, which stay as they are.",
            found,
            folder,
            f"turn {self.here.reel} {number}",
            does="turns round, then measures",
        )
        self.home.push_screen(question, lambda files: self._turn(number, files) if files else None)

    def _turn(self, number: int, files: tuple[Path, ...]) -> None:
        book, reel = self.home.book, self.here.reel

        def work(told: Told, asked: Asked) -> TurnedRound:
            return book.captures.turn_round(reel, files, pass_number=number, progress=told, cancelled=asked)

        def done(made: TurnedRound) -> None:
            self.home.took_over()
            self._measure(number, tuple(Path(one.path) for one in made.files))

        read(self.here, "turned round", work, done)
