"""A season in one file: what goes in comes out, from the same file, an old one, a full disk's or a damaged one."""

from __future__ import annotations

import os
import shutil
import sqlite3
import sys
import tempfile
from concurrent.futures import ThreadPoolExecutor
from contextlib import closing
from functools import cache
from pathlib import Path
from typing import Any

import pytest
import sqlalchemy as sa
from hypothesis import example, given, settings
from hypothesis import strategies as st

from skimwright import app, store
from skimwright.base import ConflictError, InputError, MissingError, SkimwrightError, StoreError
from skimwright.desk import SeasonContents, SeasonEvent, as_plain_files, events_text, from_plain_files
from skimwright.store import season_file
from skimwright.store.season_file import SeasonFile, keep_season, new_season, read_contents
from skimwright.store.season_file.layout import LAYOUT, check_layout
from skimwright.store.season_file.writing import CHANGE, EVENT, FILE
from skimwright.store.text import read_text

DEMO = Path(app.__file__).parent / "demo_season"
SMALL = {"season.toml": b"x = 1\n", "boats.csv": b"boat,name\r\n01,Caf\xc3\xa9\r\n"}
WHEN = "2027-05-22T14:31:00+01:00"


def a_clock() -> str:
    return WHEN


def event(key: str, **payload: Any) -> SeasonEvent:
    return SeasonEvent(key=key, kind="run", at=WHEN, who="finish A", phone="phone 1", payload=payload)


@pytest.fixture
def small(tmp_path: Path) -> Path:
    return new_season(tmp_path / "our.season", SMALL, clock=a_clock)


@pytest.fixture
def demo(tmp_path: Path) -> Path:
    return new_season(tmp_path / "demo.season", store.plain_files(DEMO)[0])


# -- the same season from a file and from a folder


def test_a_season_reads_the_same_from_one_file_and_from_a_folder(demo: Path) -> None:
    assert store.read_tables(demo) == store.read_tables(DEMO)
    assert store.read_season_folder(demo).boats == store.read_season_folder(DEMO).boats


def test_when_closed_it_is_one_file(demo: Path) -> None:
    with SeasonFile(demo) as season:
        season.log([event("a")])
    read_contents(demo)
    assert [path.name for path in demo.parent.iterdir()] == [demo.name]


def test_a_path_may_lead_into_the_file(small: Path) -> None:
    holds = small / "holds.csv"
    assert not store.is_file(holds)
    assert store.write_file(holds, "at,who\n") == holds
    assert store.is_file(holds)
    assert store.read_grid(holds) == [["at", "who"]]
    assert store.add_rows(holds, ("at", "who"), [{"at": "1", "who": "crew"}]) == holds
    assert store.read_rows(holds).rows[0].cells == {"at": "1", "who": "crew"}
    with pytest.raises(MissingError, match=r"limits\.toml: no such file"):
        store.read_table(small / "limits.toml")


def test_rows_begin_a_list_that_is_not_there_yet(small: Path) -> None:
    store.add_rows(small / "runs.csv", ("boat", "run"), [{"boat": "07", "run": "1"}])
    assert read_contents(small).files["runs.csv"] == b"boat,run\n07,1\n"


def test_a_folder_called_like_a_season_is_a_folder(tmp_path: Path) -> None:
    folder = Path(shutil.copytree(DEMO, tmp_path / "odd.season"))
    assert len(store.read_season_folder(folder).boats) == 24


def test_the_only_season_file_here_comes_before_folders(demo: Path, tmp_path: Path) -> None:
    shutil.copytree(DEMO, tmp_path / "plain")
    assert store.find_season(None, environment={}, here=tmp_path) == demo
    assert store.find_season(None, environment={"SKIMWRIGHT_SEASON": str(demo)}, here=Path("/")) == demo
    shutil.copy(demo, tmp_path / "other.season")
    with pytest.raises(InputError, match=r"more than one season here: got demo\.season, other\.season"):
        store.find_season(None, environment={}, here=tmp_path)


def test_a_season_file_that_is_not_there_is_a_sentence(tmp_path: Path) -> None:
    with pytest.raises(
        MissingError, match=r"no season there: got .*gone\.season.*allowed: a NAME\.season, or"
    ):
        store.find_season(str(tmp_path / "gone.season"), environment={}, here=tmp_path)
    with pytest.raises(MissingError, match="no such season file"):
        read_contents(tmp_path / "gone.season")
    with pytest.raises(MissingError, match=r"no such folder.*is the stick in\?"):
        read_contents(tmp_path / "stick" / "gone.season")


# -- lossless

NAMES = st.from_regex(r"(kits/|devices/)?[a-zé][a-z0-9 -]{0,9}\.(toml|csv|json|txt)", fullmatch=True).filter(
    lambda name: name != "events.csv"
)
WORDS = st.text(
    st.characters(exclude_categories=("Cc", "Cs", "Zl", "Zp"), exclude_characters="\x85"),
    min_size=1,
    max_size=12,
)
PLAIN = st.recursive(
    st.none()
    | st.booleans()
    | st.integers(-(2**53), 2**53)
    | st.floats(allow_nan=False, allow_infinity=False)
    | st.text(st.characters(exclude_categories=("Cs",)), max_size=8),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(WORDS, inner, max_size=3),
    max_leaves=6,
)
EVENTS = st.lists(
    st.builds(SeasonEvent, key=WORDS, kind=WORDS, at=WORDS, who=WORDS, phone=WORDS,
              payload=st.dictionaries(WORDS, PLAIN, max_size=3)),
    max_size=4, unique_by=lambda each: each.key,
)  # fmt: skip
SEASONS = st.builds(
    SeasonContents,
    files=st.dictionaries(NAMES, st.binary(max_size=200), max_size=4),
    events=EVENTS.map(tuple),
)


@settings(max_examples=40, deadline=None)
@given(SEASONS)
def test_export_then_import_is_the_identity_and_import_twice_changes_nothing(season: SeasonContents) -> None:
    with tempfile.TemporaryDirectory() as folder:
        here = Path(folder)
        new_season(here / "a.season", season.files, season.events)
        first = read_contents(here / "a.season")
        assert (first.files, first.events, first.lost) == (season.files, season.events, ())
        for name, raw in as_plain_files(first).items():
            store.write_file(here / "plain" / name, raw)
        store.write_file(here / "plain" / "season.toml", season.files.get("season.toml", b"\x00any"))
        taken, left_out = store.plain_files(here / "plain")
        assert not left_out
        back = from_plain_files(taken)
        assert {**back.files, "season.toml": b""} == {**season.files, "season.toml": b""}
        assert back.events == season.events
        with SeasonFile(here / "a.season") as file:
            file.write(back.files, events=back.events)
            after = (file.changes(), file.events())
            assert file.write(back.files, events=back.events) == ()
            assert (file.changes(), file.events()) == after
            assert file.events() == season.events


def test_bytes_come_out_as_they_went_in(tmp_path: Path) -> None:
    files = {
        "boats.csv": b"\xef\xbb\xbfboat;mass\r\n07;12,5\r",
        "season.toml": b"\xff\x00 not text",
        "a/b.csv": b"",
    }
    assert read_contents(new_season(tmp_path / "x.season", files)).files == files


@pytest.mark.parametrize(
    "name",
    [
        "../season.toml",
        "events.csv",
        "/etc/x.toml",
        "a\\b.csv",
        ".hidden.csv",
        "C:x.csv",
        "photo.jpg",
        "a//b.csv",
        "",
        "x\n.csv",
    ],
)
def test_a_name_that_leads_elsewhere_is_refused(small: Path, name: str) -> None:
    with SeasonFile(small) as season, pytest.raises(InputError, match="not the name of a season's file"):
        season.write({name: b""})


def test_what_a_season_does_not_take_in_is_named(tmp_path: Path) -> None:
    folder = Path(shutil.copytree(DEMO, tmp_path / "plain"))
    (folder / "photo.jpg").write_bytes(b"")
    (folder / "link.csv").symlink_to(folder / "boats.csv")
    assert store.plain_files(folder)[1] == ("link.csv", "photo.jpg")


def test_a_folder_of_thousands_is_not_taken_for_a_season(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(store.folder, "MOST_FILES", 3)
    with pytest.raises(InputError, match="far more in this folder than a season"):
        store.plain_files(DEMO)


# -- events


def test_an_event_sent_again_is_stored_once(small: Path) -> None:
    with SeasonFile(small) as season:
        assert season.log([event("a", m=1), event("b", m=2)]) == (1, 2)
        assert season.log([event("a", m=1), event("c", m=3)]) == (1, 3)
        assert [each.key for each in season.events()] == ["a", "b", "c"]


def test_one_key_for_two_events_stores_neither_of_the_batch(small: Path) -> None:
    with SeasonFile(small) as season:
        season.log([event("a", m=1)])
        with pytest.raises(ConflictError, match=r'event 1 has this key and says something else.*got key "a"'):
            season.log([event("b", m=2), event("a", m=9)])
        assert season.events() == (event("a", m=1),)


@pytest.mark.parametrize("table", ["event", "change"])
@pytest.mark.parametrize("deed", ["DELETE FROM {}", "UPDATE {} SET who = 'x'"])
def test_nothing_is_taken_out_of_the_lists_that_only_grow(small: Path, table: str, deed: str) -> None:
    with SeasonFile(small) as season:
        season.log([event("a")])
    with (
        closing(sqlite3.connect(small)) as raw,
        pytest.raises(sqlite3.IntegrityError, match="stays as it is"),
    ):
        raw.execute(deed.format(table))


@pytest.mark.parametrize(
    "wrong, field",
    [
        ({"key": ""}, "key"),
        ({"kind": "a\nb"}, "kind"),
        ({"who": "\ud800"}, "who"),
        ({"at": "9" * 401}, "at"),
        ({"payload": {"m": float("nan")}}, "payload"),
        ({"payload": {"m": {1, 2}}}, "payload"),
        ({"payload": {"m": "\ud800"}}, "payload"),
    ],
)
def test_an_event_that_is_not_plain_data_is_refused(small: Path, wrong: dict[str, Any], field: str) -> None:
    bad = SeasonEvent(**{"key": "k", "kind": "run", "at": WHEN, **wrong})
    with SeasonFile(small) as season, pytest.raises(InputError, match=f"event, {field}: not"):
        season.log([event("good"), bad])
    assert read_contents(small).events == ()


@pytest.mark.parametrize(
    "text, words",
    [
        ("a,b\n", "row 1: the heading row"),
        (events_text([event("a")]).replace("{}", "[]"), "row 2: not an event"),
        (events_text([event("a")]).replace("{}", "{"), "row 2: not an event"),
        (events_text([event("a")]).replace("finish A", "finish,A"), "row 2: not an event"),
        (events_text([event("a")]).replace("a,run", ",run"), "row 2: key: not one line"),
        (events_text([event("a")]) + '"b', "row 3: the row breaks off"),
    ],
)
def test_a_list_of_events_that_was_spoilt_names_the_row(text: str, words: str) -> None:
    with pytest.raises(InputError, match=rf"events\.csv, {words}"):
        from_plain_files({"events.csv": text.encode("utf8")})


def test_each_change_has_a_line_in_the_diary(small: Path) -> None:
    with SeasonFile(small, clock=a_clock) as season:
        assert season.write({"boats.csv": b"new", "season.toml": SMALL["season.toml"]}, who="adult") == (
            "boats.csv",
        )
        assert season.write({"boats.csv": None}) == ("boats.csv",)
        said = [(change.at, change.who, change.what, change.name) for change in season.changes()[2:]]
    assert said == [(WHEN, "adult", "wrote", "boats.csv"), (WHEN, "", "removed", "boats.csv")]


# -- older and newer editions

# The first edition's tables, frozen here as a file of that edition has them.
FIRST = f"""
PRAGMA application_id = {0x536B696D};
PRAGMA user_version = 1;
CREATE TABLE file (id INTEGER PRIMARY KEY, name TEXT NOT NULL UNIQUE, content BLOB NOT NULL);
CREATE TABLE event (number INTEGER PRIMARY KEY AUTOINCREMENT, key TEXT NOT NULL UNIQUE,
  kind TEXT NOT NULL, at TEXT NOT NULL, who TEXT NOT NULL, payload TEXT NOT NULL);
INSERT INTO file (name, content) VALUES ('season.toml', x'783d31');
INSERT INTO event (key, kind, at, who, payload) VALUES ('a', 'run', '{WHEN}', 'finish A', '{{"m": 1}}');
"""
OLD_EVENT = SeasonEvent(key="a", kind="run", at=WHEN, who="finish A", payload={"m": 1})


@pytest.fixture
def old(tmp_path: Path) -> Path:
    with closing(sqlite3.connect(tmp_path / "old.season")) as raw:
        raw.executescript(FIRST)
    return tmp_path / "old.season"


def schema(path: Path) -> list[tuple[str, str]]:
    """Every column and trigger."""
    with closing(sqlite3.connect(path)) as raw:
        tables = [("table", f"{t}: {sorted(r[1:4] for r in raw.execute(f'PRAGMA table_info({t})'))}")
                  for t in ("file", "event", "change")]  # fmt: skip
        return tables + sorted(raw.execute("SELECT name, sql FROM sqlite_master WHERE type = 'trigger'"))


def test_last_years_file_is_read_as_it_is(old: Path) -> None:
    before = old.read_bytes()
    contents = read_contents(old)
    assert contents.files == {"season.toml": b"x=1"}
    assert contents.events == (OLD_EVENT,)
    assert contents.news == (
        "Layout 2: each event now names its phone, a diary of changes is kept, and damage to any line shows.",
    )
    assert old.read_bytes() == before


def test_the_first_change_brings_it_up_to_date_and_says_so(old: Path, small: Path) -> None:
    with SeasonFile(old, clock=a_clock) as season:
        assert len(season.news) == 1
        assert season.log([OLD_EVENT, event("b")]) == (1, 2)
        assert [(change.what, change.name) for change in season.changes()] == [("upgraded", "layout")]
    contents = read_contents(old)
    assert (contents.events, contents.news) == ((OLD_EVENT, event("b")), ())
    assert schema(old) == schema(small)


def test_an_upgrade_that_is_broken_off_leaves_the_old_file(
    old: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def breaks(connection: sqlite3.Connection) -> None:
        connection.execute("ALTER TABLE file ADD COLUMN sha256 TEXT NOT NULL DEFAULT ''")
        raise OSError("the plug is pulled")

    steps = season_file.writing.upgrade.__globals__["STEPS"]
    monkeypatch.setitem(season_file.writing.upgrade.__globals__, "STEPS", (steps[0], ("breaks", breaks)))
    with pytest.raises(StoreError):
        SeasonFile(old)
    monkeypatch.undo()
    assert read_contents(old).events == (OLD_EVENT,)
    with closing(sqlite3.connect(old)) as raw:
        assert raw.execute("PRAGMA user_version").fetchone() == (1,)


def test_the_tables_named_in_the_code_are_those_in_the_file(small: Path) -> None:
    with closing(sqlite3.connect(small)) as raw:
        for table in (FILE, EVENT, CHANGE):
            there = {row[1] for row in raw.execute(f"PRAGMA table_info({table.name})")}
            assert {column.name for column in table.columns} == there


def test_a_file_of_a_newer_edition_is_named_so(small: Path) -> None:
    with closing(sqlite3.connect(small)) as raw:
        raw.execute(f"PRAGMA user_version = {LAYOUT + 1}")
    for opens in (read_contents, SeasonFile):
        with pytest.raises(
            InputError, match=rf"newer edition of Skimwright: got layout {LAYOUT + 1}; allowed"
        ):
            opens(small)
    with closing(sqlite3.connect(small)) as raw, pytest.raises(InputError):
        check_layout(raw, small)


# -- the disk and other programs


def test_settings_are_those_that_survive_a_crash(small: Path) -> None:
    with SeasonFile(small) as season, season._engine.connect() as connection:
        said = {name: connection.exec_driver_sql(f"PRAGMA {name}").scalar()
                for name in ("journal_mode", "synchronous", "foreign_keys", "busy_timeout")}  # fmt: skip
    assert said == {"journal_mode": "wal", "synchronous": 2, "foreign_keys": 1, "busy_timeout": 5000}


def test_while_another_program_writes_we_read_and_are_told_to_wait_for_writing(small: Path) -> None:
    with (
        SeasonFile(small, wait=0.05) as season,
        closing(sqlite3.connect(small, isolation_level=None)) as other,
    ):
        other.execute("BEGIN IMMEDIATE")
        assert read_contents(small).files == SMALL
        with pytest.raises(
            StoreError, match="another program is writing in this season just now; nothing was"
        ):
            season.log([event("a")])
        other.execute("ROLLBACK")
        assert season.log([event("a")]) == (1,)


def test_two_programs_take_turns(small: Path) -> None:
    with SeasonFile(small) as one, SeasonFile(small) as two:
        for number in range(20):
            (one if number % 2 else two).log([event(str(number))])
        assert one.events() == two.events()
    assert [each.key for each in read_contents(small).events] == [str(number) for number in range(20)]


def test_four_at_once_lose_no_event_and_no_row(small: Path) -> None:
    def logger(who: int) -> None:
        with SeasonFile(small) as season:
            for number in range(15):
                season.log([event(f"{who}-{number}")])
                store.add_rows(small / "runs.csv", ("boat", "run"), [{"boat": str(who), "run": str(number)}])

    with ThreadPoolExecutor(4) as pool:
        list(pool.map(logger, range(4)))
    contents = read_contents(small)
    assert sorted(each.key for each in contents.events) == sorted(
        f"{w}-{n}" for w in range(4) for n in range(15)
    )
    rows = contents.files["runs.csv"].decode().split()[1:]
    assert sorted(rows) == sorted(f"{w},{n}" for w in range(4) for n in range(15))


def test_a_full_disk_is_one_sentence_and_loses_nothing(small: Path) -> None:
    with SeasonFile(small) as season:
        season.log([event("a")])
        with season._engine.connect() as connection:
            pages = connection.exec_driver_sql("PRAGMA page_count").scalar()
        season._engine.dispose()

        def no_more_room(raw: sqlite3.Connection, record: Any) -> None:
            raw.execute(f"PRAGMA max_page_count = {pages}")

        sa.event.listen(season._engine, "connect", no_more_room)
        with pytest.raises(StoreError, match="the disk is full; nothing was changed"):
            season.write({"big.txt": os.urandom(100_000)}, events=[event("b")])
        assert season.events() == (event("a"),)
    contents = read_contents(small)
    assert (contents.files, contents.events, contents.is_damaged) == (SMALL, (event("a"),), False)


@pytest.mark.skipif(sys.platform != "linux", reason="limits the size of files as Linux does")
def test_a_limit_met_in_the_middle_of_writing_is_a_sentence_too(small: Path) -> None:
    import resource

    with SeasonFile(small) as season:
        soft, hard = resource.getrlimit(resource.RLIMIT_FSIZE)
        resource.setrlimit(resource.RLIMIT_FSIZE, (60_000, hard))
        try:
            with pytest.raises(StoreError):
                season.write({"big.txt": os.urandom(200_000)})
        finally:
            resource.setrlimit(resource.RLIMIT_FSIZE, (soft, hard))
    assert read_contents(small).files == SMALL


def test_a_file_marked_read_only_is_read_and_not_changed(small: Path) -> None:
    small.chmod(0o444)
    assert read_contents(small).files == SMALL
    assert not list(small.parent.glob("*-*"))
    with pytest.raises(StoreError, match="may be read but not changed"):
        SeasonFile(small)
    with pytest.raises(StoreError, match="may be read but not changed"):
        store.write_file(small / "boats.csv", "x")


def test_a_file_on_a_write_protected_stick_is_read(small: Path) -> None:
    small.parent.chmod(0o555)
    try:
        assert read_contents(small).files == SMALL
        with pytest.raises(StoreError, match="may be read but not changed"):
            SeasonFile(small)
    finally:
        small.parent.chmod(0o755)


@pytest.mark.parametrize(
    "raw, words",
    [
        (b"", "an empty file"),
        (b"PK\x03\x04" * 50, "does not begin as a season does"),
        (b"SQL", "does not begin"),
    ],
)
def test_another_file_is_not_a_season(tmp_path: Path, raw: bytes, words: str) -> None:
    path = tmp_path / "x.season"
    path.write_bytes(raw)
    for opens in (read_contents, SeasonFile):
        with pytest.raises(InputError, match=f"not a season file: got .*{words}"):
            opens(path)


def test_another_programs_database_is_not_a_season(tmp_path: Path) -> None:
    with closing(sqlite3.connect(tmp_path / "x.season")) as raw:
        raw.execute("CREATE TABLE file (name)")
    with pytest.raises(InputError, match="another program's file"):
        read_contents(tmp_path / "x.season")


def test_a_new_season_never_takes_the_place_of_another(small: Path) -> None:
    before = small.read_bytes()
    with pytest.raises(ConflictError, match="there is a file of this name already"):
        new_season(small, {})
    assert small.read_bytes() == before


def test_a_new_season_that_fails_leaves_nothing_behind(tmp_path: Path) -> None:
    with pytest.raises(InputError):
        new_season(tmp_path / "x.season", {"../y.csv": b""})
    with pytest.raises(InputError, match=r"a name that ends in \.season"):
        new_season(tmp_path / "x.db", {})
    (tmp_path / "taken").write_text("", "utf8")
    with pytest.raises(StoreError, match="could not be read or written"):
        new_season(tmp_path / "taken" / "x.season", {})
    assert [path.name for path in tmp_path.iterdir()] == ["taken"]


# -- a copy while in use


def test_a_copy_made_while_events_come_in_is_whole_and_in_one_file(small: Path, tmp_path: Path) -> None:
    (tmp_path / "stick").mkdir()
    with SeasonFile(small) as season:
        season.log([event("a"), event("b")])  # still in the write-ahead log
        kept = keep_season(small, tmp_path / "stick", stamp="noon")
        again = keep_season(small, tmp_path / "stick", stamp="noon")
        season.log([event("c")])
    assert [path.name for path in sorted((tmp_path / "stick").iterdir())] == [
        "our-noon-2.season",
        "our-noon.season",
    ]
    assert (Path(kept.path).name, Path(again.path).name) == ("our-noon.season", "our-noon-2.season")
    assert kept.size == Path(kept.path).stat().st_size
    assert [each.key for each in read_contents(Path(kept.path)).events] == ["a", "b"]
    assert kept.contents.files == SMALL


def test_without_a_place_the_copy_goes_beside_the_season(small: Path) -> None:
    assert Path(keep_season(small, None, stamp="1").path) == small.parent / "kept" / "our-1.season"
    assert (
        Path(keep_season(small, small.parent / "mine.season", stamp="1").path) == small.parent / "mine.season"
    )
    with pytest.raises(ConflictError):
        keep_season(small, small.parent / "mine.season", stamp="1")


def test_a_stick_that_is_not_in_is_one_sentence(small: Path, tmp_path: Path) -> None:
    with pytest.raises(MissingError, match=r"no such folder; nothing was copied.*Is the stick in\?"):
        keep_season(small, tmp_path / "stick", stamp="1")


def test_a_copy_that_gives_back_something_else_is_thrown_away(
    small: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(season_file.keeping, "_restored", lambda beside: SeasonContents(files={}))
    with pytest.raises(StoreError, match="does not give back what went in; it was thrown away"):
        keep_season(small, None, stamp="1")
    assert not list((small.parent / "kept").iterdir())


def test_a_copy_on_a_stick_that_spoils_what_is_written_is_found_out(
    small: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    honest = season_file.keeping._copy

    def bad_stick(path: Path, beside: Path) -> None:
        honest(path, beside)
        raw = beside.read_bytes().replace(b"x = 1", b"x = 7")
        beside.write_bytes(raw)

    monkeypatch.setattr(season_file.keeping, "_copy", bad_stick)
    with pytest.raises(StoreError, match="thrown away"):
        keep_season(small, None, stamp="1")


# -- damage


@cache
def sound() -> tuple[bytes, SeasonContents]:
    """A season's bytes, and what is in them."""
    files = {f"kits/{n}.toml": f"n = {n}\n".encode() * 600 for n in range(4)} | SMALL
    events = [event(f"key {n}", distance_m=n, words="w" * 40) for n in range(120)]
    with tempfile.TemporaryDirectory() as folder:
        path = new_season(Path(folder) / "s.season", files, events, clock=a_clock)
        return path.read_bytes(), read_contents(path)


def test_each_page_that_is_wiped_loses_only_what_stood_on_it(tmp_path: Path) -> None:
    raw, whole = sound()
    path, refused, partial = tmp_path / "hurt.season", 0, 0
    for page in range(len(raw) // 4096):
        path.write_bytes(raw[: page * 4096] + bytes(4096) + raw[(page + 1) * 4096 :])
        contents = _never_wrong(path, whole)
        refused += contents is None
        if contents and contents.files != whole.files:
            partial += 1
            assert set(whole.files) - set(contents.files) <= set(contents.lost)
        if contents and contents.events != whole.events:
            assert any(words.startswith(("event", "perhaps events")) for words in contents.lost)
        if contents:
            assert contents.is_damaged
            with pytest.raises(StoreError, match="this season file is damaged"):
                SeasonFile(path)
    assert refused <= 3, "only the pages that say where everything stands may cost everything"
    assert partial >= 4


def test_a_name_that_leads_out_of_the_folder_is_not_believed(small: Path) -> None:
    with closing(sqlite3.connect(small)) as raw:
        raw.execute("UPDATE file SET name = '../../boats.csv', sha256 = '' WHERE name = 'boats.csv'")
        raw.commit()
    contents = read_contents(small)
    assert (list(contents.files), contents.lost) == (["season.toml"], ("a file whose name cannot be read",))


def test_a_figure_changed_on_the_disk_is_not_believed(tmp_path: Path) -> None:
    raw, whole = sound()
    path = tmp_path / "hurt.season"
    path.write_bytes(raw.replace(b'"distance_m": 57', b'"distance_m": 75').replace(b"x = 1", b"x = 9"))
    contents = read_contents(path)
    assert contents.lost == ("season.toml", "event 58")
    assert len(contents.events) == len(whole.events) - 1
    with pytest.raises(StoreError, match=r"season\.toml: the season file is damaged here"):
        read_text(path / "season.toml")
    assert read_text(path / "boats.csv").startswith("boat,name")
    with SeasonFile(path) as season:
        assert season.write({"season.toml": SMALL["season.toml"]}) == ("season.toml",), (
            "put right from a copy"
        )
    assert read_contents(path).lost == ("event 58",)


@settings(max_examples=60, deadline=None)
@given(place=st.integers(0, 10_000), patch=st.binary(min_size=1, max_size=300), is_broken_off=st.booleans())
@example(place=5348, patch=b"\0", is_broken_off=False)  # the name of a sound file
@example(place=359, patch=b"\x80", is_broken_off=False)  # SQLite's complaint itself was no text
def test_damage_anywhere_is_a_sentence_or_a_part_and_never_a_wrong_line(
    place: int, patch: bytes, is_broken_off: bool
) -> None:
    raw, whole = sound()
    start = 100 + place * (len(raw) - 101) // 10_000
    end = start if is_broken_off else len(raw)
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "hurt.season"
        path.write_bytes((raw[:start] + patch + raw[start + len(patch) :])[:end])
        _never_wrong(path, whole)


def _never_wrong(path: Path, whole: SeasonContents) -> SeasonContents | None:
    """What is read is as it was written; or it is one sentence."""
    try:
        contents = read_contents(path)
    except SkimwrightError:
        return None
    assert all(whole.files[name] == raw for name, raw in contents.files.items())
    assert all(each in whole.events for each in contents.events)
    return contents
