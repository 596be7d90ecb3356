"""How a finding is shown on a terminal."""

from __future__ import annotations

from skimwright.base import Finding


def show_finding(finding: Finding) -> str:
    """A finding on one line, its weight in front."""
    word = {"note": "Note", "warning": "Care", "stop": "STOP"}[finding.severity]
    return f"{word}: {finding.sentence()}"
