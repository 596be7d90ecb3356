"""The keys of a season: kept apart from it, for their owner only, and the same after a restart."""

from __future__ import annotations

import json
import stat
from pathlib import Path

from skimwright.web import Keys, Ticket


def test_keys_are_for_their_owner_only_and_hold_no_code_or_password_as_typed(tmp_path: Path) -> None:
    path = tmp_path / ".our.keys"
    keys = Keys.at(path)
    code = keys.new_code("start", now=0.0)
    keys.set_password("wet-wet-wet")
    assert stat.S_IMODE(path.stat().st_mode) == 0o600
    kept = path.read_text("utf8")
    assert code not in kept
    assert "wet-wet-wet" not in kept
    assert json.loads(kept)["password"].startswith("$argon2id$")


def test_phones_and_codes_go_on_after_a_restart(tmp_path: Path) -> None:
    path = tmp_path / ".our.keys"
    before = Keys.at(path)
    code = before.new_code("start", now=0.0)
    sealed = before.seal(Ticket(id="a", job="pit", name="pit", until=99.0))
    after = Keys.at(path)
    assert after.unseal(sealed, now=1.0) == Ticket(id="a", job="pit", name="pit", until=99.0)
    assert after.unseal(sealed, now=100.0) is None
    ticket = after.use_code(code, now=1.0)
    assert ticket is not None
    assert ticket.job == "start"


def test_a_lost_password_is_ended_by_a_new_one(tmp_path: Path) -> None:
    keys = Keys.at(tmp_path / ".our.keys")
    keys.set_password("lost-lost-lost")
    keys.forget_password()
    assert not keys.is_password("lost-lost-lost")
    assert not keys.is_password("")
