"""The error family: one sentence for the person, a title for a dialog, an exit status for the shell."""

from collections.abc import Sequence


class ReelturnError(Exception):
    """Something the person should hear about, said in one sentence."""

    title = "That did not work"
    exit_status = 1


class Refused(ReelturnError):
    """The work found something wrong: a row, a gate, an unknown reel or song. Nothing was changed."""

    title = "Not done"
    exit_status = 1


class Unusable(ReelturnError):
    """The command line, an input file, the studio's file or the shelf cannot be used at all."""

    title = "Cannot be used"
    exit_status = 2


class NotWritten(Unusable):
    """Something could not be written at that place; ``why`` says it without the place."""

    def __init__(self, place: object, says: str, why: str = "") -> None:
        super().__init__(f"{place}: {says}")
        self.why = why or says


class UntoldKind(Unusable):
    """A file of rows whose header tells no kind; one of the columns in ``head`` may well be its key."""

    def __init__(self, said: str, file: str, head: Sequence[str]) -> None:
        super().__init__(said)
        self.file, self.head = file, tuple(head)


class RowsRefused(Refused):
    """Rows of the files that were to be imported are wrong; each line names file, row, column and value.

    ``bare``: how many of them are numbers without a unit that can have one unit alone.
    """

    title = "Nothing was imported"

    def __init__(self, lines: tuple[str, ...], bare: int = 0) -> None:
        super().__init__("\n".join(lines))
        self.lines, self.bare = lines, bare


class Stale(Refused):
    """The shelf was changed by another program and this change no longer fits it."""

    title = "The shelf has changed"
