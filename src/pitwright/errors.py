"""The one family of errors. Each names the field, the value, what is allowed and what to do.

    PitwrightError
    ├── JobError        the job file cannot be used (also a ValueError)
    ├── LayoutError     the stated facts allow no such pit (also a ValueError)
    ├── TapeError       a length or angle that cannot be read (also a ValueError)
    └── OutputError     a file of the pack cannot be written (also an OSError)

Findings (pitwright.findings) are not errors: a pit with findings can still be looked at.
"""

from __future__ import annotations


class PitwrightError(Exception):
    """An unusable input: what it was, what is allowed, and the way out."""

    def __init__(self, message: str, *, field: str = "", value: object = "", allowed: str = "", remedy: str = ""):
        self.message = message
        self.field = field
        self.value = value
        self.allowed = allowed
        self.remedy = remedy
        super().__init__(self.text())

    def text(self) -> str:
        """The whole error as one line a person can act on."""
        head = f"{self.field}: {self.message}" if self.field else self.message
        if (self.allowed or self.remedy) and head[-1:] not in (".", "?", "!"):
            head += "."
        allowed = f" Allowed: {self.allowed}." if self.allowed else ""
        remedy = f" {self.remedy}" if self.remedy else ""
        return head + allowed + remedy

    def as_dict(self) -> dict[str, str]:
        """The error's parts for `--json` and the page."""
        return {
            "message": self.message,
            "field": self.field,
            "value": str(self.value),
            "allowed": self.allowed,
            "remedy": self.remedy,
        }


class JobError(PitwrightError, ValueError):
    """The job file cannot be used as it stands."""


class LayoutError(PitwrightError, ValueError):
    """The stated facts allow no such pit."""


class TapeError(PitwrightError, ValueError):
    """A length or an angle that cannot be read."""


class OutputError(PitwrightError, OSError):
    """A file of the pack cannot be written."""
