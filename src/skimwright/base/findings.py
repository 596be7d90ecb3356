"""Findings: the world disagrees with the drawing.  They are listed and the work goes on."""

from __future__ import annotations

from dataclasses import asdict, dataclass
from typing import Literal

Severity = Literal["note", "warning", "stop"]


@dataclass(frozen=True, kw_only=True)
class Finding:
    """One thing worth a person's attention."""

    code: str  # short, stable, lower case with dashes
    severity: Severity
    what: str  # the statement, with the number and its unit
    why: str = ""  # what it means on the water
    do: str  # the next thing to do
    where: str = ""  # the part, boat or file it speaks of

    def sentence(self) -> str:
        """The finding on one line."""
        body = " ".join(text for text in (self.what, self.why, self.do) if text)
        return f"{self.where}: {body}" if self.where else body

    def as_dict(self) -> dict[str, str]:
        """Plain data for JSON."""
        return asdict(self)
