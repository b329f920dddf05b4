"""The page of a piece: what it shows, and every deed on it."""

import html
import re
import uuid
from pathlib import Path

import pytest
from fastapi.testclient import TestClient
from PIL import Image

from stashkeeper.actions.pieces import show
from stashkeeper.actions.stash import Stash
from tests.web.forms_sent import field, photo_parts, told, trouble
from tests.web.made import cloth_photo, put, put_photo


@pytest.fixture
def sage(stash: Stash, tmp_path: Path) -> str:
    """Return the code of a piece with a photo."""
    return put_photo(stash, tmp_path, "sage", (150, 170, 120), at="Shelf 2", tags=["green", "old"])


def words_of(client: TestClient, path: str) -> str:
    """Return a page as a person reads it."""
    text = re.sub(r"<[^>]+>", " ", client.get(path).text)
    return " ".join(html.unescape(text).split())


def region_of(stash: Stash, code: str) -> str:
    return str(show(stash, code).photos[0].region)


def test_it_shows_size_certainty_place_and_history(
    client: TestClient, stash: Stash, sage: str
) -> None:
    reading = show(stash, sage).reading
    assert reading is not None
    page = words_of(client, f"/piece/{sage.lower()}")
    assert f"~{reading.lightness:.0f} ±{reading.uncertainty:.0f}" in page
    assert "provisional" in page
    assert "one photo, nothing of known lightness in it" in page
    assert "Size 18 × 21 in" in page
    assert "Usable 17½ × 20½ in ½ in off the width" in page
    assert "Added A1 “sage”." in page


def test_place_and_tags_lead_to_the_shelf(client: TestClient, sage: str) -> None:
    page = client.get(f"/piece/{sage}").text
    for address in ("/?q=at%3A%22Shelf+2%22", "/?q=tag%3A%22green%22"):
        assert f'href="{address}"' in page
        assert "1 piece." in client.get(address).text


def test_a_place_that_no_search_can_name_is_plain_text(client: TestClient, stash: Stash) -> None:
    code = put(stash, "Moss", at='The "good" box')
    assert client.get(f"/piece/{code}").status_code == 200
    assert "at%3A" not in client.get(f"/piece/{code}").text


def test_pieces_of_the_same_fabric_are_named(client: TestClient, stash: Stash) -> None:
    put(stash, "Moss")
    client.post("/add", data={"fabric": "A1", "pick": "half yard", "at": "Chest"})
    assert "Same fabric A2 42 × 18 in, Chest" in words_of(client, "/piece/A1")


def test_an_unknown_code_is_not_found(client: TestClient) -> None:
    for path in ("/piece/A9", "/piece/A9/change", "/piece/%3Cscript%3E"):
        answer = client.get(path)
        assert answer.status_code == 404
        assert "No piece has the code" in trouble(answer)
    assert client.post("/piece/A9/move", data={"at": "x"}).status_code == 404


def test_it_is_moved_and_taken_off_its_place(client: TestClient, stash: Stash, sage: str) -> None:
    answer = client.post(f"/piece/{sage}/move", data={"at": "Chest / Top", "version": "1.1"})
    assert told(client, answer) == ["Changed A1 “sage”."]
    assert show(stash, sage).place == "Chest / Top"
    assert told(client, client.post(f"/piece/{sage}/move", data={"at": ""})) == [
        "Changed A1 “sage”."
    ]
    assert show(stash, sage).place == ""


def test_it_ends_and_undo_brings_it_back(client: TestClient, stash: Stash, sage: str) -> None:
    answer = client.post(f"/piece/{sage}/end", data={"how": "given", "version": "1.1"})
    assert told(client, answer) == ["A1 “sage” is off the shelf: given."]
    page = words_of(client, f"/piece/{sage}")
    assert "Off the shelf: given." in page
    answer = client.post("/undo", data={"number": "2", "back": f"/piece/{sage}"})
    assert answer.headers["location"] == f"/piece/{sage}"
    assert told(client, answer) == ["Took back: A1 “sage” is off the shelf: given."]
    assert show(stash, sage).ended is None


@pytest.mark.parametrize("how", ["", "eaten", "<script>alert(1)</script>"])
def test_no_other_way_to_end_is_taken(
    client: TestClient, stash: Stash, sage: str, how: str
) -> None:
    answer = client.post(f"/piece/{sage}/end", data={"how": how})
    assert answer.status_code == 400
    assert "Choose one of: all cut, given, sold, lost, entered by mistake." in trouble(answer)
    assert '<details class="deed" id="end" open>' in answer.text
    assert "<script>alert" not in answer.text
    assert show(stash, sage).ended is None


def test_a_typed_lightness_counts_before_the_photo(
    client: TestClient, stash: Stash, sage: str
) -> None:
    answer = client.post(f"/piece/{sage}/lightness", data={"lightness": "54,3"})
    assert told(client, answer) == ["A1 “sage” has lightness 54.3."]
    page = words_of(client, f"/piece/{sage}")
    assert "2 readings of its lightness" in page
    assert "typed; it counts" in page
    answer = client.post(f"/piece/{sage}/lightness", data={"lightness": "pale"})
    assert answer.status_code == 400
    assert field(answer, "lightness") == "pale"
    assert "“pale” is not a lightness." in trouble(answer)


def test_old_readings_stay_with_their_doubts_and_what_to_do(
    client: TestClient, stash: Stash, tmp_path: Path
) -> None:
    file = tmp_path / "burnt.jpg"
    Image.new("RGB", (400, 300), (255, 255, 255)).save(file, quality=95)
    client.post("/add", data={"pick": "fat quarter", "name": "Milk"}, files=photo_parts([file]))
    client.post("/piece/A1/lightness", data={"lightness": "LRV 84"})
    page = words_of(client, "/piece/A1")
    assert "2 readings of its lightness" in page
    # LRV is Y in percent; L* by CIE 15: 116 · 0.84^(1/3) − 16 = 93.5.
    assert re.search(r"9[34] ±\d+ reflectance typed; it counts", page)
    assert re.search(r"~\d+ ±25 one photo, nothing of known lightness in it The photo:", page)
    assert "take it again with less or more light" in page


def test_a_photo_is_added_and_a_bad_one_is_not(
    client: TestClient, stash: Stash, sage: str, tmp_path: Path
) -> None:
    more = cloth_photo(tmp_path / "more.jpg", (140, 160, 110))
    answer = client.post(f"/piece/{sage}/photo", files=photo_parts([more]))
    assert told(client, answer)[0] == "Added a photo to A1 “sage”."
    assert [photo.file_name for photo in show(stash, sage).photos] == ["more.jpg", "sage.jpg"]
    bad = [("photo", ("bad.jpg", b"no photo", "image/jpeg"))]
    answer = client.post(f"/piece/{sage}/photo", files=bad)
    assert answer.status_code == 400
    assert "bad.jpg is not a photo" in trouble(answer)
    answer = client.post(f"/piece/{sage}/photo", data={"back": "yes"})
    assert answer.status_code == 400
    assert "No photo was given." in trouble(answer)
    assert len(show(stash, sage).photos) == 2


def two_halves(file: Path) -> Path:
    """Save a photo whose left half is dark and whose right half is light."""
    image = Image.new("RGB", (400, 300), (30, 30, 30))
    image.paste((220, 220, 220), (200, 0, 400, 300))
    image.save(file, quality=95)
    return file


def test_another_part_of_the_photo_is_measured_and_undone(
    client: TestClient, stash: Stash, tmp_path: Path
) -> None:
    photo = two_halves(tmp_path / "halves.jpg")
    client.post("/add", data={"pick": "fat quarter", "name": "Halves"}, files=photo_parts([photo]))
    before = show(stash, "A1")
    part = {"left": "55", "top": "5", "right": "95", "bottom": "95"}
    answer = client.post(f"/piece/A1/region/{region_of(stash, 'A1')}", data=part)
    sentences = told(client, answer)
    assert sentences[0] == "Measured another part of “halves.jpg” of A1 “Halves”."
    after = show(stash, "A1")
    assert before.reading is not None
    assert after.reading is not None
    # sRGB 220 is L* 87.6 by IEC 61966-2-1 and CIE 15; the whole lies far below it.
    assert after.reading.lightness == pytest.approx(87.6, abs=0.3)
    assert before.reading.lightness < 75
    assert len(after.photos) == len(after.readings) == 1
    assert after.photos[0].corners == ((0.55, 0.05), (0.95, 0.05), (0.95, 0.95), (0.55, 0.95))
    answer = client.post("/undo", data={"number": "2", "back": "/piece/A1"})
    assert told(client, answer) == [f"Took back: {sentences[0]}"]
    assert show(stash, "A1").reading == before.reading
    assert show(stash, "A1").photos == before.photos


@pytest.mark.parametrize(
    "part",
    [
        {"left": "90", "right": "10"},
        {"left": "-1"},
        {"right": "101"},
        {"top": "nan"},
        {"bottom": "inf"},
        {"left": "a lot"},
        {"left": "10,5,3"},
        {"left": ""},
    ],
)
def test_a_part_that_leaves_no_cloth_is_refused_and_shown_again(
    client: TestClient, stash: Stash, sage: str, part: dict[str, str]
) -> None:
    before = show(stash, sage)
    whole = {"left": "10", "top": "10", "right": "90", "bottom": "90"}
    answer = client.post(f"/piece/{sage}/region/{before.photos[0].region}", data={**whole, **part})
    assert answer.status_code == 400
    assert "in percent of the photo" in trouble(answer)
    for edge, typed in part.items():
        assert field(answer, edge) == typed
    assert show(stash, sage) == before


def test_the_part_as_it_is_changes_nothing(client: TestClient, stash: Stash, sage: str) -> None:
    whole = {"left": "10", "top": "10", "right": "90", "bottom": "90"}
    answer = client.post(f"/piece/{sage}/region/{region_of(stash, sage)}", data=whole)
    assert told(client, answer) == ["Nothing new for A1 “sage”."]
    assert len(show(stash, sage).readings) == 1


def test_a_part_that_somebody_else_changed_is_left_alone(
    client: TestClient, stash: Stash, sage: str
) -> None:
    part = {"left": "20", "top": "20", "right": "80", "bottom": "80"}
    seen = region_of(stash, sage)
    assert client.post(f"/piece/{sage}/region/{seen}", data=part).status_code == 303
    answer = client.post(f"/piece/{sage}/region/{seen}", data={**part, "left": "30"})
    assert answer.status_code == 409
    assert client.post(f"/piece/{sage}/region/{uuid.uuid4()}", data=part).status_code == 409
    assert client.post(f"/piece/{sage}/region/none", data=part).status_code == 404


def unchanged(client: TestClient, code: str) -> dict[str, str]:
    """Return the form of the page Change as it is sent when nobody typed in it."""
    page = client.get(f"/piece/{code}/change")
    names = ("version", "size", "at", "name", "tags", "fibre", "source", "cost", "repeat")
    form = {name: field(page, name) for name in names}
    was = re.findall(r'name="(was-[a-z]+)" value="([^"]*)"', page.text)
    form.update({name: html.unescape(value) for name, value in was})
    form["note"] = form["was-note"]
    form["selvedges"] = form["was-selvedges"]
    form["direction"] = form["was-direction"]
    form["known"] = ""
    return form


def test_all_that_is_written_down_can_be_changed(
    client: TestClient, stash: Stash, sage: str
) -> None:
    form = {
        **unchanged(client, sage), "size": "1/2 yd", "at": "Chest", "name": "Sage checks",
        "tags": "old, checks", "fibre": "linen", "source": "market", "cost": "4.50",
        "repeat": "2 1/2", "note": "soft\nand old", "selvedges": "1", "direction": "along",
        "squared": "yes", "washed": "yes",
    }  # fmt: skip
    answer = client.post(f"/piece/{sage}/change", data=form)
    assert told(client, answer) == ["Changed A1 “Sage checks”."]
    piece = show(stash, sage)
    assert piece.shown_size == "42 × 18 in, nominal, squared up, washed, a selvedge edge"
    assert (piece.name, piece.place, piece.tags) == ("Sage checks", "Chest", ("old", "checks"))
    assert (piece.fibre, piece.source, piece.cost) == ("linen", "market", 4.5)
    assert (piece.direction, piece.note) == ("along", "soft\nand old")
    assert words_of(client, f"/piece/{sage}").count("2½ in") == 1
    again = {**unchanged(client, sage), "tags": "", "fibre": "", "cost": "", "squared": "yes",
             "washed": "yes", "known": "measured"}  # fmt: skip
    assert client.post(f"/piece/{sage}/change", data=again).status_code == 303
    piece = show(stash, sage)
    assert (piece.tags, piece.fibre, piece.cost) == ((), None, None)
    assert piece.shown_size == "42 × 18 in, squared up, washed, a selvedge edge"


def test_a_form_nobody_typed_in_changes_nothing(
    client: TestClient, stash: Stash, sage: str
) -> None:
    client.post(f"/piece/{sage}/change", data={**unchanged(client, sage), "size": "9 7/8 x 10.01"})
    before = show(stash, sage)
    answer = client.post(f"/piece/{sage}/change", data=unchanged(client, sage))
    assert answer.status_code == 400
    assert "Nothing was given to change." in trouble(answer)
    assert show(stash, sage) == before, "an exact size is not rounded by showing it"


def test_a_wrong_field_changes_nothing_and_all_that_was_typed_stands_again(
    client: TestClient, stash: Stash, sage: str
) -> None:
    before = show(stash, sage)
    form = {**unchanged(client, sage), "size": "wide", "name": "Another", "note": "a <b>note</b>"}
    answer = client.post(f"/piece/{sage}/change", data=form)
    assert answer.status_code == 400
    assert (field(answer, "size"), field(answer, "name")) == ("wide", "Another")
    assert "a &lt;b&gt;note&lt;/b&gt;</textarea>" in answer.text
    assert 'aria-invalid="true"' in answer.text
    assert show(stash, sage) == before


def test_what_somebody_else_changed_meanwhile_is_not_overwritten(
    client: TestClient, stash: Stash, sage: str
) -> None:
    form = unchanged(client, sage)
    assert client.post(f"/piece/{sage}/move", data={"at": "Chest"}).status_code == 303
    answer = client.post(f"/piece/{sage}/change", data={**form, "note": "mine"})
    assert answer.status_code == 409
    assert "was changed by somebody else" in trouble(answer)
    assert "mine</textarea>" in answer.text
    # Sent again from the page that came back, it changes only what was typed.
    again = {**form, "note": "mine", "version": field(answer, "version")}
    assert client.post(f"/piece/{sage}/change", data=again).status_code == 303
    assert (show(stash, sage).place, show(stash, sage).note) == ("Chest", "mine")


def test_two_people_who_move_a_piece_at_once_do_not_overrule_each_other(
    client: TestClient, stash: Stash, sage: str
) -> None:
    seen = {"version": "1.1"}
    assert client.post(f"/piece/{sage}/move", data={**seen, "at": "Chest"}).status_code == 303
    answer = client.post(f"/piece/{sage}/move", data={**seen, "at": "Attic"})
    assert answer.status_code == 409
    assert field(answer, "at") == "Attic"
    assert show(stash, sage).place == "Chest"
    assert client.post(f"/piece/{sage}/end", data={**seen, "how": "sold"}).status_code == 409
    assert show(stash, sage).ended is None


@pytest.mark.parametrize("version", ["1", "a.b", "1.1.1", "-1.1", "1.99999999999999999999"])
def test_a_version_that_is_none_is_refused_in_words(
    client: TestClient, sage: str, version: str
) -> None:
    answer = client.post(f"/piece/{sage}/move", data={"at": "Chest", "version": version})
    assert answer.status_code in {400, 409}
    assert trouble(answer)


def test_undo_refuses_in_words_and_leads_back(client: TestClient, stash: Stash, sage: str) -> None:
    client.post(f"/piece/{sage}/end", data={"how": "sold"})
    answer = client.post("/undo", data={"number": "1", "back": f"/piece/{sage}"})
    assert answer.status_code == 409
    assert "cannot be undone" in trouble(answer)
    assert f'href="/piece/{sage}"' in answer.text
    for number, status in (("99", 404), ("9" * 30, 400), ("-1", 400), ("x", 400)):
        assert client.post("/undo", data={"number": number}).status_code == status
    assert client.post("/undo").headers["location"] == "/history"
    assert show(stash, sage).ended is None


@pytest.mark.parametrize("back", ["//evil.example", "http:evil", "/\\evil", "/\tx", "/ü", "evil"])
def test_undo_leads_to_no_foreign_page(client: TestClient, sage: str, back: str) -> None:
    answer = client.post("/undo", data={"back": back})
    assert answer.headers["location"] == "/history"


def test_what_was_taken_back_is_done_again(client: TestClient, stash: Stash, sage: str) -> None:
    client.post(f"/piece/{sage}/move", data={"at": "Chest"})
    client.post("/undo", data={"number": "2"})
    assert show(stash, sage).place == "Shelf 2"
    page = client.get("/history").text
    assert "(taken back)" in page
    assert "Do again" in page
    assert told(client, client.post("/undo", data={"number": "3"})) == [
        "Did again: Changed A1 “sage”."
    ]
    assert show(stash, sage).place == "Chest"


def test_the_page_of_a_piece_whose_adding_was_undone_still_tells(
    client: TestClient, sage: str
) -> None:
    client.post("/undo", data={"number": "1"})
    assert "Off the shelf: entered by mistake." in words_of(client, f"/piece/{sage}")
