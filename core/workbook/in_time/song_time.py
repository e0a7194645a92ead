"""The joint for time: a song's clock out of code and ties, and looking for how two captures lie."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from core.album.place import CaptureKey, Place, SongClock
from core.album.ties import Tie, capture_name, tie_key
from core.clock import write_time
from core.errors import Refused
from core.songs.written.clock_speed import ClockSpeed, clock_speed
from core.standing.kept_checks import checks_of, files_sum
from core.standing.of_songs.song_facts import rows_of_song
from core.workbook.in_time.code_ties import code_ties, straight_runs

if TYPE_CHECKING:
    from core.album.by_code import CodeRun
    from core.capture.files.progress import Asked, Told
    from core.shelf import Shelf
    from core.songs.heard import Check, Hearing
    from core.songs.song import Song
    from core.store.book import Book
    from core.workbook.captures import Captures
    from core.workbook.in_time.tie_finding import Capture


class SongTime:
    """Where the captures of a song lie in time."""

    def __init__(self, book: Book, captures: Captures) -> None:
        self.book, self.captures = book, captures
        self._runs: dict[tuple[CaptureKey, str], tuple[CodeRun, ...]] = {}

    def clock(self, song: Song, hearing: Hearing) -> SongClock:
        """Where every capture of the song lies on its clock, by what was read and tied so far."""
        from core.album.net import laid, loops

        checks = self.checks(song)
        first = song.clock_reel or next((need.reel for need in song.needs), "")
        if not first:
            return SongClock()
        own = self._own(song, hearing, checks, first)
        need = song.span_on(first)
        if own is None:
            zero = float(need.start or 0) if need is not None else 0.0
            return SongClock(first, zero, open=_nothing(first, checks))
        reel = own[0]
        need = song.span_on(reel)
        zero = float(need.start or 0) if need is not None else 0.0
        runs = {key: run for key in checks if (run := self._run(song, hearing, key, checks[key])) is not None}
        named = clock_speed(song.clock_speed if reel == first else "")
        place = self._own_place(hearing, own, checks[own], runs.get(own), zero, named)
        kept = self.kept_ties(checks)
        ties = [*code_ties(self.book.shelf.sheets, runs, kept), *kept]
        spans = {key: self.span(song, hearing, key, check) for key, check in checks.items()}
        places = laid(own, place, ties)
        says = [f"{first} is not captured: the clock is that of {reel} until it is"] if reel != first else []
        if named.by == "code" and own not in runs:
            says.append(
                f"{song.key}: its speed is to be that of code, and {reel} carries none in the song's span"
            )
        says += [
            f"{capture_name(key)}: nothing ties it to the clock (reelturn tie {reel} {key[0]} looks for it)"
            for key in checks if key not in places
        ]  # fmt: skip
        says += old_mixes_open(self.book.shelf, song, checks)
        held = {key: (place.curve.song(spans[key][0]), place.curve.song(spans[key][1]))
                for key, place in places.items() if place.curve is not None and key in spans}  # fmt: skip
        return SongClock(reel, zero, places, tuple(loops(own, ties, spans)), tuple(says), own, held)

    def checks(self, song: Song) -> dict[CaptureKey, Check]:
        """The newest check of every pass of the tapes that the song is on."""
        shelf = self.book.shelf
        reels = dict.fromkeys(need.reel for need in song.needs)
        rows = rows_of_song(shelf.sheets, song.key)
        reels |= dict.fromkeys(row.reel for row in rows if row.song and row.reel)
        return {(reel, number): check for reel in reels for number, check in checks_of(shelf, reel).items()}

    def _own(
        self, song: Song, hearing: Hearing, checks: dict[CaptureKey, Check], first: str
    ) -> CaptureKey | None:
        """The capture whose clock is the song's: of the reel named, else of the first that is captured."""
        for reel in dict.fromkeys((first, *(need.reel for need in song.needs))):
            mine = [key for key in checks if key[0] == reel]
            need = song.span_on(reel)
            if need is not None and need.start is not None:
                mine = [key for key in mine if _holds(hearing, checks[key], float(need.start))] or mine
            coded = [key for key in mine if self._run(song, hearing, key, checks[key]) is not None]
            if mine:
                return min(coded or mine)
        return None

    def _own_place(
        self, hearing: Hearing, own: CaptureKey, check: Check, run: CodeRun | None, zero: float,
        named: ClockSpeed,
    ) -> Place:  # fmt: skip
        """The clock's own capture: by its code, by what its check measured, or as fast as the owner says."""
        from core.album.net import own_line, paced

        at, seconds = zero - hearing.begin(check), float(check.get("seconds") or 60.0)
        if named.by == "as played" or (named.by == "said" and run is None):
            line = own_line(at, 100 * (named.ratio - 1), seconds)
            return Place("said", line, 0.0, f"the song's own clock, {_named_speed(named)}", own_clock=True)
        if run is not None:
            curve = run.curve.moved(-run.curve.song(at))
            if named.by == "said":
                curve = paced(curve, at, (run.start, run.end), named.ratio)
            told = f", {_named_speed(named)}, its sway by code" if named.by == "said" else ""
            says = f"the song's own clock{told}"
            return Place("timecode", curve, round(run.error_ms, 4), says, run.gaps, own_clock=True)
        speed = check.get("speed") or {}
        percent = float(speed.get("percent") or 0.0)
        told = f", {percent:+.3f} % by its {speed.get('from')} put right" if percent else ""
        says = f"the song's own clock{told}"
        return Place("said", own_line(at, percent, seconds), 0.0, says, own_clock=True)

    def span(self, song: Song, hearing: Hearing, key: CaptureKey, check: Check) -> tuple[float, float]:
        """The song's stretch of that capture, in its seconds."""
        need, length = song.span_on(key[0]), float(check.get("seconds") or 0.0)
        begins = hearing.begin(check)
        start = float(need.start) - begins if need is not None and need.start is not None else 0.0
        end = float(need.end) - begins if need is not None and need.end is not None else length
        return max(0.0, start), min(length, end) if length else end

    def _run(self, song: Song, hearing: Hearing, key: CaptureKey, check: Check) -> CodeRun | None:
        """The run of code with most of the song's span."""
        start, end = self.span(song, hearing, key, check)
        best, most = None, 0.0
        for run in self.code_runs(key, check):
            shared = min(end, run.end) - max(start, run.start)
            if shared > most:
                best, most = run, shared
        return best

    def code_runs(self, key: CaptureKey, check: Check) -> tuple[CodeRun, ...]:
        """The runs of code of a capture: from the frames that its check kept, else from its lines."""
        of = files_sum(check)
        if not check.get("timecode"):
            return ()
        if (key, of) not in self._runs:
            course = self.captures.course(*key)
            if course is not None and course.code:
                from core.album.by_code import code_runs

                self._runs[key, of] = code_runs(course)
            else:
                self._runs[key, of] = tuple(straight_runs(check))
        return self._runs[key, of]

    def tie(
        self, one: str, two: str, *, passes: tuple[int, int] | None = None, song: Song | None = None,
        buried: bool = False, progress: Told | None = None, cancelled: Asked | None = None,
    ) -> Tie:  # fmt: skip
        """Finds by sound how two captures lie, and keeps it."""
        tie = self.found(
            one, two, passes=passes, song=song, buried=buried, progress=progress, cancelled=cancelled
        )
        self.keep(tie)
        return tie

    def found(
        self, one: str, two: str, *, passes: tuple[int, int] | None = None, song: Song | None = None,
        buried: bool = False, whole: bool = False, progress: Told | None = None,
        cancelled: Asked | None = None,
    ) -> Tie:  # fmt: skip
        """Finds by sound how two captures lie; reads files, takes its time, and keeps nothing.

        With `buried` a part is looked for in a mix by its waveform, too, which takes far longer; with `whole`
        all of both captures is looked through, not one song's span alone. Refused, with the best that was
        tried, where they share nothing that waveforms prove.
        """
        from core.workbook.in_time.tie_finding import Looking
        from core.workbook.in_time.tie_tracks import claimed_pairs

        song = song or (None if whole else self._only_song(one, two))
        here, there = (self.capture(key, song) for key in self._keys(one, two, passes))
        for capture in (here, there):
            capture.open()
        claimed = claimed_pairs(self.book.shelf.sheets, one, two)
        return Looking(here, there, progress, cancelled, buried=buried).tie(claimed)

    def captures_of(self, song: Song) -> dict[CaptureKey, str]:
        """Every capture of the song, with what the box says of its tape."""
        reels = self.book.shelf.reels
        mine = [key for key in self.checks(song) if key[0] in reels]
        return {key: reels[key[0]].contents or reels[key[0]].box_label for key in mine}

    def _only_song(self, one: str, two: str) -> Song | None:
        """The one song that tells its span on both tapes; None where it is not the only one on both."""
        both = [s for s in self.book.shelf.songs.values() if s.span_on(one) and s.span_on(two)]
        spans = [need.start for need in (both[0].span_on(one), both[0].span_on(two)) if need] if both else []
        return both[0] if len(both) == 1 and None not in spans else None

    def tie_said(
        self, one: str, two: str, at: Sequence[tuple[float, float]], passes: tuple[int, int] | None = None
    ) -> Tie:
        """Keeps what the owner tells: at which seconds of both captures the same is heard, once or twice."""
        from core.album.ties import said_tie

        keys = self._keys(one, two, passes)
        rates = [self._speed(key) for key in keys]
        try:
            tie = said_tie(keys[0], keys[1], at, rates[0] / rates[1])
        except ValueError as error:
            raise Refused(f"{one} and {two}: {error}") from error
        self.keep(tie)
        return tie

    def keep(self, tie: Tie) -> None:
        """Keeps a tie in the place of the one before between the same captures."""
        record = tie.to_json() | {"at": write_time(self.book.now())}
        key = self._kept_under(tie.one, tie.two) or tie_key(tie.one, tie.two)
        self.book.change(lambda shelf: shelf.with_record("tie", key, record), what=f"tie {tie.named()}")

    def let_go(self, one: str, two: str, passes: tuple[int, int] | None = None) -> None:
        """Lets a kept tie go; Refused where there is none."""
        key = self._kept_under(*self._keys(one, two, passes))
        if key is None:
            raise Refused(f"no tie of {one} and {two} is kept")
        self.book.change(lambda shelf: shelf.with_record("tie", key, None), what=f"let go the tie {key}")

    def _kept_under(self, one: CaptureKey, two: CaptureKey) -> str | None:
        """The key of the record of that tie, whatever its tapes were called when it was made."""
        for key, record in self.book.shelf.of_kind("tie").items():
            try:
                tie = Tie.from_json(record)
            except (ValueError, KeyError, TypeError):
                continue
            if {tie.one, tie.two} == {one, two}:
                return str(key)
        return None

    def _keys(self, one: str, two: str, passes: tuple[int, int] | None) -> tuple[CaptureKey, CaptureKey]:
        """The two captures; Refused for one that is not checked, or for one and the same."""
        keys: list[CaptureKey] = []
        for reel, number in zip((one, two), passes or (None, None), strict=True):
            self.book.shelf.reel(reel)
            checks = checks_of(self.book.shelf, reel)
            if not checks or (number is not None and number not in checks):
                which = f" pass {number}" if number is not None else ""
                raise Refused(f"no check of {reel}{which} is kept: reelturn check {reel} FILE... measures it")
            keys.append((reel, number or min(checks)))
        if keys[0] == keys[1]:
            raise Refused(f"{one} is one capture: name two, or two passes of it with --pass")
        return keys[0], keys[1]

    def _speed(self, key: CaptureKey) -> float:
        check = checks_of(self.book.shelf, key[0])[key[1]]
        return 1 + float((check.get("speed") or {}).get("percent") or 0) / 100

    def capture(self, key: CaptureKey, song: Song | None) -> Capture:
        """One capture as it is looked at: over the song's span where one is meant, without its code."""
        from core.workbook.in_time.tie_finding import Capture

        shelf, (reel, number) = self.book.shelf, key
        check = checks_of(shelf, reel)[number]
        span = None
        if song is not None:
            from core.standing.of_songs.song_facts import hearing_of

            need = song.span_on(reel)
            if need is not None and need.start is not None:
                span = self.span(song, hearing_of(shelf, song), (reel, number), check)
        one = shelf.reel(reel)
        code = {int(code["track"]) for code in check.get("timecode", ())} | {one.timecode_track or 0}
        return Capture((reel, number), check, files_sum(check), self.captures.course(reel, number), span,
                       frozenset(code))  # fmt: skip

    def kept_ties(self, checks: dict[CaptureKey, Check] | None = None) -> list[Tie]:
        """The ties that the shelf keeps between captures that are still what they were."""
        out = []
        for record in self.book.shelf.of_kind("tie").values():
            try:
                tie = Tie.from_json(record)
            except (ValueError, KeyError, TypeError):
                continue
            if not {tie.one[0], tie.two[0]} <= set(self.book.shelf.reels):
                continue
            if checks is None or (tie.one in checks and tie.two in checks and self._fits(tie, checks)):
                out.append(tie)
        return out

    def _fits(self, tie: Tie, checks: dict[CaptureKey, Check]) -> bool:
        return tie.by == "said" or tie.of == (files_sum(checks[tie.one]), files_sum(checks[tie.two]))


def _named_speed(named: ClockSpeed) -> str:
    if named.by == "as played":
        return "as it plays"
    return f"{100 * (named.ratio - 1):+.3f} % by your word put right"


def old_mixes_open(shelf: Shelf, song: Song, checks: dict[CaptureKey, Check]) -> list[str]:
    """What old mixes hold that no captured track explains, as far as that was looked at."""
    from core.workbook.in_time.old_mix_kept import kept_old_mixes, old_mix_open

    kept = kept_old_mixes(shelf, song.key, checks)
    return [line for mix, current in kept for line in old_mix_open(mix, current=current)]


def _holds(hearing: Hearing, check: Check, start: float) -> bool:
    begins = hearing.begin(check)
    return begins <= start < begins + float(check.get("seconds") or 0)


def _nothing(first: str, checks: dict[CaptureKey, Check]) -> tuple[str, ...]:
    if checks:
        return ()
    return (f"no tape of the song is captured and checked yet; its clock will be that of {first}",)
