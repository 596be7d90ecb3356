"""What looks wrong but can be read is asked about; what is sound is left alone."""

from __future__ import annotations

import math
import re
from dataclasses import replace
from pathlib import Path

import pytest

from skimwright import app, store
from skimwright.base import InputError, MissingError
from skimwright.desk import Row, Rows, SeasonTables, read_season

DEMO = Path(app.__file__).parent / "demo_season"


@pytest.fixture(scope="module")
def tables() -> SeasonTables:
    return store.read_tables(DEMO)


def with_cells(tables: SeasonTables, boat: int, **cells: str) -> SeasonTables:
    """The season with some cells of one boat typed otherwise."""
    rows = [
        Row(number=row.number, cells={**row.cells, **cells}) if int(row.cells["boat"]) == boat else row
        for row in tables.boats.rows
    ]
    return replace(tables, boats=Rows(file=tables.boats.file, columns=tables.boats.columns, rows=tuple(rows)))


def asked(tables: SeasonTables, boat: int) -> dict[str, str]:
    """Codes and sentences of what is asked about a boat."""
    entry = next(entry for entry in read_season(tables).boats if entry.number == boat)
    return {finding.code: f"{finding.severity}: {finding.sentence()}" for finding in entry.findings}


def test_the_demonstration_season_holds_24_boats_in_four_groups(tables: SeasonTables) -> None:
    season = read_season(tables)
    assert [entry.number for entry in season.boats] == list(range(1, 25))
    assert {name: sum(e.group == name for e in season.boats) for name in season.groups} == dict.fromkeys(
        ["Cress", "Rush", "Reed", "Willow"], 6
    )


def test_only_the_planted_slips_are_asked_about(tables: SeasonTables) -> None:
    found = {(finding.where[:7], finding.code) for finding in read_season(tables).findings}
    assert found == {
        ("boat 03", "printout-scaled"),
        ("boat 20", "mass-too-light"),
        ("boat 22", "takes-up-water"),
    }


def test_ounces_stop_one_boat_and_no_other(tables: SeasonTables) -> None:
    season = read_season(tables)
    assert [entry.number for entry in season.stopped] == [20]
    assert len(season.ready) == 23
    assert season.stopped[0].built.mass is None
    with pytest.raises(InputError, match=r"Is it 13.5 oz = 382.7 g\?"):
        season.boat(20)


def test_an_answer_lets_the_boat_run_and_changes_no_other(tables: SeasonTables) -> None:
    before, after = read_season(tables), read_season(tables, answers={(20, "mass_g"): "13.5 oz"})
    assert after.boat(20).built.mass == pytest.approx(13.5 * 0.45359237 / 16, rel=1e-12)  # the pound of 1959
    assert [e for e in after.boats if e.number != 20] == [e for e in before.boats if e.number != 20]


@pytest.mark.parametrize("answers", [{(31, "mass_g"): "1"}, {(20, "mas_g"): "1"}, {(20, "boat"): "7"}])
def test_an_answer_to_nothing_is_refused(tables: SeasonTables, answers: dict[tuple[int, str], str]) -> None:
    with pytest.raises(InputError, match="a question that nobody asked"):
        read_season(tables, answers=answers)


@pytest.mark.parametrize(
    "boat, cells, code, words",
    [
        (24, {"mass_g": "134"}, "mass-too-light", "stop: .*the wrong boat, or a slipped decimal sign"),
        (7, {"mass_g": "30.7"}, "mass-too-light", r"stop: .*Is it 307 g\?"),
        (7, {"mass_g": "3070"}, "mass-too-heavy", r"stop: .*Is it 307 g\?"),
        (7, {"balance_x_mm": "35.3"}, "balance-place", r"stop: .*Is it 35.3 cm = 353 mm\?"),
        (7, {"balance_x_mm": "13.9"}, "balance-place", r"stop: .*Is it 13.9 in = 353 mm\?"),
        (7, {"balance_y_mm": "25"}, "balance-side", "stop: .*device off centre"),
        (7, {"deck_length_mm": "62"}, "deck-length", r"stop: .*Is it 62 cm = 620 mm\?"),
        (7, {"deck_length_mm": "740"}, "deck-length", "stop: .*the wrong boat"),
        (7, {"deck_length_mm": "601"}, "printout-scaled", r"warning: .*3 % short\?.*reads 97 mm"),
        (7, {"name": "Nine  yards"}, "name-taken-twice", "warning: .*boat 08"),
        (7, {"name": "Mia Thornton"}, "surname-in-name", 'warning: .*Is "Thornton" a surname'),
        (7, {"crew": "M. Thornton"}, "surname-in-name", "warning: .*crew"),
        (7, {"device": "Whirr 7"}, "device-not-allowed", "warning: .*not a device of Rush"),
        (19, {"mass_g": "460"}, "mass-out-of-class", "warning: .*460.0 g; Willow allows 0 to 450 g"),
    ],
)
def test_what_looks_wrong_is_asked_about(
    tables: SeasonTables, boat: int, cells: dict[str, str], code: str, words: str
) -> None:
    found = asked(with_cells(tables, boat, **cells), boat)
    assert code in found
    assert re.search(words, found[code]), found[code]


@pytest.mark.parametrize("typed", ["307", "307 g", "0.307kg", "10.829 oz", "307,0"])
def test_a_sound_value_is_not_asked_about_however_it_is_typed(tables: SeasonTables, typed: str) -> None:
    season = read_season(with_cells(tables, 7, mass_g=typed))
    assert season.boat(7).findings == ()
    assert season.boat(7).built.mass == pytest.approx(0.307, abs=5e-6)


def test_a_value_with_its_unit_is_believed_and_the_question_stays_as_a_warning(tables: SeasonTables) -> None:
    entry = read_season(with_cells(tables, 7, mass_g="120 g")).boat(7)
    assert entry.built.mass == pytest.approx(0.120)
    assert [finding.severity for finding in entry.findings] == ["warning"]


def test_a_name_shared_by_two_crews_is_asked_of_both(tables: SeasonTables) -> None:
    season = with_cells(tables, 12, name="windfall")
    assert "name-taken-twice" in asked(season, 9)
    assert "name-taken-twice" in asked(season, 12)


def test_blank_is_not_measured_and_nought_is_nought(tables: SeasonTables) -> None:
    built = read_season(with_cells(tables, 7, fin_yaw_deg="", balance_y_mm="0")).boat(7).built
    assert built.blade_yaw is None
    assert built.balance_y == 0.0
    assert "blade_yaw" not in built.measured


def test_every_measured_column_reaches_its_place_with_its_sign(tables: SeasonTables) -> None:
    season = read_season(tables)
    assert season.boat(11).built.blade_yaw == pytest.approx(math.radians(2.5))  # trailing edge to starboard
    assert season.boat(13).built.device_y == pytest.approx(0.006)  # to starboard
    assert season.boat(14).built.pad_angle_left == pytest.approx(math.radians(1.8))  # nose-up
    assert season.boat(14).built.pad_angle_right == pytest.approx(math.radians(0.3))
    assert season.boat(16).built.floor_twist == pytest.approx(math.radians(1.2))
    assert season.boat(3).built.deck_length == pytest.approx(0.485)
    assert season.boat(22).built.water_gain == pytest.approx(0.009)
    assert season.boat(18).built.balance_x == pytest.approx(0.367)


def test_a_boat_that_is_not_there_is_missing(tables: SeasonTables) -> None:
    with pytest.raises(MissingError, match="no boat 31 in this season"):
        read_season(tables).boat(31)


def rules(tables: SeasonTables, table: str, **lines: object) -> SeasonTables:
    """The season with some lines of one table of season.toml written otherwise."""
    outer = dict(tables.season)
    if table.startswith("groups."):
        name = table.removeprefix("groups.")
        outer["groups"] = {**outer["groups"], name: {**outer["groups"][name], **lines}}
    else:
        outer[table] = {**outer[table], **lines}
    return replace(tables, season=outer)


def test_wind_in_kilometres_an_hour_is_read_when_its_unit_is_written(tables: SeasonTables) -> None:
    season = read_season(rules(tables, "conditions", wind_mean_m_s="9 km/h"))
    assert season.conditions.wind_speed == pytest.approx(2.5, rel=1e-12)
    assert season.season_findings == ()


def test_wind_in_kilometres_an_hour_without_its_unit_is_asked_about(tables: SeasonTables) -> None:
    season = read_season(rules(tables, "conditions", wind_mean_m_s=9, wind_gust_m_s=15))
    assert "Is it 9 km/h = 2.5 m/s?" in season.season_findings[0].sentence()


def test_a_gust_like_the_mean_is_asked_about(tables: SeasonTables) -> None:
    season = read_season(rules(tables, "conditions", wind_mean_m_s=4.2))
    assert [finding.code for finding in season.season_findings] == ["gust-as-mean"]


def test_a_hundred_feet_may_be_written_in_feet_and_a_hundred_metres_is_asked_about(
    tables: SeasonTables,
) -> None:
    feet = read_season(rules(tables, "groups.Rush", qualifying_distance_m="100 ft"))
    assert feet.groups["Rush"].gate.distance == pytest.approx(30.48, rel=1e-12)
    assert feet.season_findings == ()
    metres = read_season(rules(tables, "groups.Rush", qualifying_distance_m=100))
    assert "Is it 100 ft = 30.48 m?" in metres.season_findings[0].sentence()


def test_class_rules_left_out_are_the_usual_ones(tables: SeasonTables) -> None:
    rush, cress = (read_season(tables).groups[name] for name in ("Rush", "Cress"))
    assert (rush.gate.distance, rush.gate.width, rush.tries) == (30.48, 5.0, 3)
    assert (cress.gate.distance, cress.gate.width) == (10.0, 2.0)
