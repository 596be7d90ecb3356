"""The board: boxes in, boat out; nothing is overwritten, nothing typed is lost."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from starlette.testclient import TestClient
from tests.web.conftest import send, token

from skimwright import app, desk
from skimwright.boat import outer_shell
from skimwright.web import House


def look(client: TestClient, *, part: bool = True, **boxes: str):
    headers = {"HX-Request": "true"} if part else {}
    data = {"token": token(client, "/board/fold-62"), **boxes}
    return client.post("/board/fold-62/look", data=data, headers=headers)


def test_the_kit_page_shows_what_the_command_line_says_of_the_kit(desk_browser: TestClient) -> None:
    text = desk_browser.get("/board/fold-62").text
    assert "board 177.2 g" in text  # capabilities A1
    assert 'value="620"' in text
    assert text.count('class="box"') == 29
    assert text.count('name="click"') == 16


def test_a_number_typed_over_redraws_the_boat_and_says_what_changed(desk_browser: TestClient) -> None:
    text = look(desk_browser, length_mm="650").text
    assert "<html" not in text
    assert "620 → <b>650</b>" in text
    table, changes = _board(length_mm="650")
    longer = desk.describe_shape(desk.redrawn_kit(table, changes, file="x"))
    assert longer.board.mass > 0.1772
    assert f"board {longer.board.mass * 1e3:.1f} g" in text
    assert "board 177.2 g" in look(desk_browser, length_mm="620,0").text


def test_a_number_with_its_own_unit_is_understood(desk_browser: TestClient) -> None:
    inches, metric = (look(desk_browser, length_mm=text).text for text in ("25.590551 in", "650"))
    assert re.findall(r"board [\d.]+ g", inches) == re.findall(r"board [\d.]+ g", metric)


@pytest.mark.parametrize(
    "box, typed, says, named",
    [
        ("length_mm", "-620", "out of range: got -620 mm; allowed: more than 0", "Hull, length"),
        ("pod_width_mm", "141", "two sponsons of 141 mm on a beam of 280 mm", "Sponsons, width of each"),
        ("length_mm", "12.5.2", "not one length", "Hull, length"),
        ("thickness_mm", "", "not one length", "Board, thickness"),
        ("scale", "0", "not a scale", "Board, scale of the drawing"),
    ],
)
def test_a_bad_number_is_refused_in_the_words_of_the_command_line_and_the_boxes_are_kept(
    desk_browser: TestClient, season: Path, box: str, typed: str, says: str, named: str
) -> None:
    answer = look(desk_browser, part=False, beam_mm="280", **{box: typed})
    assert answer.status_code == 422
    assert says in answer.text
    assert named in answer.text
    assert f'name="{box}" value="{typed}"' in answer.text
    part = look(desk_browser, **{box: typed})
    assert part.headers["HX-Retarget"] == "#wrong"
    assert says in part.text


def test_a_boat_too_heavy_to_float_says_how_many_grams_too_many(
    desk_browser: TestClient, season: Path, house: House
) -> None:
    file = season / "kits" / "fold-62.toml"
    text = (
        file.read_text("utf8").replace("mass_g = 18", "mass_g = 5000").replace("mass_g = 62", "mass_g = 5000")
    )
    file.write_text(text, "utf8")
    page = desk_browser.get("/board/fold-62").text
    found = re.search(r"sinks: (\d+) g too heavy", page)
    assert found
    skin = outer_shell(house.season().kits["Fold 62"]).volume  # [m3]
    mass = 0.1772 + 5.0 + 5.0 + 0.012
    assert float(found[1]) == pytest.approx((mass - skin * 999.5) * 1e3, abs=2)  # water of 12 C: IAPWS


def _board(**typed: str):
    table = app.Disk().table(Path(app.__file__).parent / "demo_season" / "kits" / "fold-62.toml")
    kit = desk.read_kit(table, file="x")
    return table, desk.changed_numbers(desk.kit_numbers(table, kit), typed)


def test_a_part_pressed_lights_in_the_three_views_and_goes_out_again(desk_browser: TestClient) -> None:
    orange = 'fill="#E69F00" stroke="#1A1A1A" stroke-width="0.4"'
    lit = look(desk_browser, click="WALL-1").text
    assert lit.count(orange) >= 3
    assert 'aria-pressed="true"' in lit
    assert orange not in look(desk_browser, lit="WALL-1", click="WALL-1").text
    assert orange in look(desk_browser, lit="WALL-1", beam_mm="290").text


def test_one_number_is_put_back_and_the_others_stay(desk_browser: TestClient) -> None:
    answer = look(desk_browser, length_mm="650", beam_mm="290", back="length_mm")
    assert answer.headers["HX-Retarget"] == "#drawing"
    assert 'name="length_mm" value="620"' in answer.text
    assert 'name="beam_mm" value="290"' in answer.text


def test_saving_makes_a_new_kit_and_leaves_the_old_one_alone(
    desk_browser: TestClient, season: Path, house: House
) -> None:
    before = (season / "kits" / "fold-62.toml").read_bytes()
    answer = send(desk_browser, "/board/fold-62/save", name="Fold 65", length_mm="650", beam_mm="11 in")
    assert answer.headers["location"] == "/board/fold-65"
    assert (season / "kits" / "fold-62.toml").read_bytes() == before
    kit = house.season().kits["Fold 65"]
    assert (kit.length, round(kit.design.beam, 6)) == (0.65, 0.2794)  # type: ignore[union-attr]
    assert "# where the sponsons begin" in (season / "kits" / "fold-65.toml").read_text("utf8")
    diary = desk_browser.get("/office/diary").text
    assert "Fold 65: Hull, length" in diary
    assert desk_browser.get("/board/fold-65").status_code == 200


@pytest.mark.parametrize("name", ["", "Fold 62", "fold-62", "../../x", "a" * 61, "<script>", "..."])
def test_a_name_that_is_taken_or_none_saves_nothing_and_loses_nothing(
    desk_browser: TestClient, season: Path, name: str
) -> None:
    before = sorted(path.name for path in season.rglob("*"))
    answer = send(desk_browser, "/board/fold-62/save", name=name, length_mm="650")
    if answer.status_code == 303:  # cleaned to a name of a file in kits/
        assert {p.parent.name for p in season.rglob("*.toml")} <= {"kits", "devices", season.name}
    else:
        assert answer.status_code == 422
        assert 'name="length_mm" value="650"' in answer.text
        assert sorted(path.name for path in season.rglob("*")) == before


def test_a_kit_in_a_season_file_is_saved_there_too(tmp_path: Path) -> None:
    disk = app.Disk()
    files, _ = disk.plain_files(disk.demo_season())
    path = disk.new_season(tmp_path / "our.season", desk.from_plain_files(files))
    from skimwright.web import Keys, workbench

    house = House(files=disk, path=path, keys=Keys())
    with TestClient(workbench(house), base_url="http://127.0.0.1", client=("127.0.0.1", 5)) as client:
        assert send(client, "/board/fold-74/save", name="Fold 75", length_mm="628").status_code == 303
        assert "Fold 75" in client.get("/board").text


def test_two_kits_are_compared_part_by_part(desk_browser: TestClient) -> None:
    text = desk_browser.get("/board/compare?before=fold-50&after=fold-74").text
    assert "113.3" in text  # boards of the two, capabilities A5
    assert "255.3" in text
    same = desk_browser.get("/board/compare?before=fold-62&after=fold-62").text
    assert "These are one kit" in same
    assert desk_browser.get("/board/compare?before=x&after=fold-62").status_code == 404
