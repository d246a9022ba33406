"""The error tree: every mistake of a user ends here, as one clear line.

A message reads *where: expected what, got what*, and says what to do when that
is not plain.  `itembank.cli` alone turns these into output and an exit code;
a `ValueError` or `AssertionError` that escapes is a bug of ours.
"""

from collections.abc import Iterable
from dataclasses import dataclass

from itembank.values.worded import joined, laid_out


class ItemBankError(Exception):
    """Base of all errors that a user can cause and can mend."""


class StatementError(ItemBankError):
    """A congruence as typed that cannot be read, or is beyond what we solve."""


class NotationError(StatementError):
    """A text that is no formula of the plain notation."""


class DrawError(ItemBankError):
    """A family that cannot give the variants asked of it."""


class ShortageError(DrawError):
    """A family that has `given` of the variants asked of it, and not all."""

    def __init__(self, message: str, given: int = 0) -> None:
        super().__init__(message)
        self.given = given


class ComposeError(ItemBankError):
    """A problem that cannot be put in the response form asked for."""


class ExportError(ItemBankError):
    """An item that a format cannot carry, or a file that cannot be written."""


class ProofError(ItemBankError):
    """The two methods disagree, or the second could not decide: nothing leaves."""


class BankError(ItemBankError):
    """A bank that cannot be opened or written, or that does not hold what is asked of it."""


class ClusterError(ItemBankError):
    """Other machines that cannot share the work, or no longer."""


class LanguageError(ItemBankError, LookupError):
    """A language without a catalogue: nothing is passed off as translated."""


class ReportError(ItemBankError):
    """Results of students that cannot be read, or that fit no release."""


class NoModel(ItemBankError):
    """Too little is on record, or a library is missing, to say what makes questions hard."""


class PackageError(ItemBankError):
    """A file given for audit that is no package, or not a safe one."""


@dataclass(frozen=True, order=True)
class Fault:
    """One fault of a file, with its position (lines and columns from 1)."""

    path: str
    line: int
    column: int
    message: str

    def __str__(self) -> str:
        return str(self.worded)

    @property
    def worded(self) -> str:
        """The fault as a line that can be said in any language."""
        return laid_out(
            "{path}:{line}:{column}: {message}",
            path=self.path,
            line=self.line,
            column=self.column,
            message=self.message,
        )


class SpecError(ItemBankError):
    """All the faults of one spec file, in the order of the file."""

    def __init__(self, faults: Iterable[Fault]) -> None:
        self.faults = tuple(sorted(faults))
        super().__init__(joined("\n", (fault.worded for fault in self.faults)))


class NoValue(SpecError):
    """A part of a family that has no value for some parameters: they give no variant.

    It is a fault of the file only if no parameters give one.  `reason` says which part it is,
    alike for all parameters.
    """

    def __init__(self, fault: Fault, reason: str) -> None:
        super().__init__([fault])
        self.reason = reason
