"""The page's HTTP interface, asked of the real process."""

import io
import json
import re
import time
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import numpy as np
import pytest
from browsing import command
from pypdf import PdfReader

SAMPLES = Path(__file__).parents[3] / "sample_models"


def put(client, name, content=None, **query):
    content = (SAMPLES / name).read_bytes() if content is None else content
    answer = client.post("/api/parts", params={"name": name, **query}, content=content)
    assert answer.status_code == 202, answer.text
    return answer.json()["id"]


def change(client, part, **values):
    return client.patch(f"/api/parts/{part['id']}", json={"revision": part["revision"], "change": values})


def sheet_of(client):
    """The run sheet's text; it is one side."""
    answer = client.get("/api/sheet")
    assert answer.headers["content-type"] == "application/pdf"
    (side,) = PdfReader(io.BytesIO(answer.content)).pages
    return " ".join(side.extract_text().split())


def test_a_file_dropped_has_the_area_and_current_of_the_command_line(client, settled):
    put(client, "ring.stl")
    bench = settled(client)
    area = command("area", SAMPLES / "ring.stl")["wetted_area_mm2"]
    assert bench["parts"][0]["result"]["wetted_area_mm2"] == pytest.approx(area, rel=1e-12)
    figure = bench["answer"]["figures"]["current"]
    current = command("current", SAMPLES / "ring.stl")["current_a"]
    assert [figure[k] for k in ("low", "value", "high")] == pytest.approx(
        [current[k] for k in ("low", "set", "high")], rel=1e-12
    )
    assert figure["chain"][1][3]


def test_plugging_a_bore_takes_its_area_off(client, settled):
    put(client, "lamp-knob.step")
    before = settled(client)["parts"][0]
    bore = next(f for f in before["result"]["features"] if f["name"] == "blind-bore-1")
    assert change(client, before, choices={"plug": ["blind-bore-1"]}).status_code == 202
    after = settled(client)["parts"][0]
    less = before["result"]["wetted_area_mm2"]["value"] - after["result"]["wetted_area_mm2"]["value"]
    assert less == pytest.approx(bore["area_mm2"], rel=1e-9)
    assert before["view"] != after["view"]


def test_two_parts_with_counts_add_up(client, settled):
    put(client, "ring.stl")
    put(client, "cleat.stl")
    ring, cleat = settled(client)["parts"]
    change(client, ring, count=3)
    bench = settled(client)
    want = 3 * ring["result"]["wetted_area_mm2"]["value"] + cleat["result"]["wetted_area_mm2"]["value"]
    assert bench["answer"]["figures"]["area"]["value"] == pytest.approx(want, rel=1e-12)


def test_a_sketch_has_the_area_of_the_command_line(client, settled):
    words = {"name": "pen", "unit": "mm", "measure": "diameter", "bores": ["through left 9.2 x 18, 8 x 88, 2.6"]}
    words["outside"] = ["0 10.5", "16 10.5 thread M10.5x0.75", "16 12 r0.5", "60 12.6", "112 9 arc r700", "118 5"]
    measured = client.post("/api/measure", json={"sketch": words}).json()
    client.post("/api/sketches", json={"sketch": words})
    found = settled(client)["parts"][0]["result"]["wetted_area_mm2"]["value"]
    want = command("sketch", ", ".join(words["outside"]) + "; bore " + words["bores"][0] + "; unit mm")
    assert found == pytest.approx(want["wetted_area_mm2"]["value"], rel=1e-12)
    assert measured["area_mm2"]["value"] == pytest.approx(found, rel=1e-12)


def test_a_sketch_that_is_wrong_says_where(client):
    wrong = {"outside": ["0 12", "40 wide"], "bores": []}
    refused = client.post("/api/measure", json={"sketch": wrong}).json()["refused"]
    assert refused["where"].endswith("point 2")
    assert "wide" in refused["line"]


def test_a_bad_file_is_told_by_the_name_it_was_dropped_under(client, settled):
    put(client, "knob of mine.stl", b"solid x\nfacet normal 0 0 1\nouter loop\nvertex 0 0 zero\n")
    refused = settled(client)["parts"][0]["refused"]
    assert refused["line"].startswith("knob of mine.stl")
    assert "\n" not in refused["line"]
    assert "/" not in refused["line"]


@pytest.mark.parametrize(("name", "says"), [("part.docx", "no '.docx' file can be read"), ("part", "no ending")])
def test_a_file_of_another_kind_is_refused_at_once(client, name, says):
    answer = client.post("/api/parts", params={"name": name}, content=b"x")
    assert answer.status_code == 422
    assert says in answer.json()["error"]["line"]


def test_a_picture_holds_every_triangle_in_the_state_it_is_in(client, settled):
    put(client, "ring.stl")
    part = settled(client)["parts"][0]
    change(client, part, choices={"plug": ["bore-1"], "mask": ["outside and z from 0 to 5 mm"]})
    part = settled(client)["parts"][0]
    assert part["refused"] is None, part["refused"]
    content = client.get(f"/api/views/{part['view']}").content
    length = int(np.frombuffer(content[:4], "<u4")[0])
    head = json.loads(content[4 : 4 + length])
    at = 4 + length
    points = np.frombuffer(content, "<f4", head["points"] * 3, at).reshape(-1, 3).astype(float)
    corners = np.frombuffer(content, "<u4", head["triangles"] * 3, at + 12 * head["points"]).reshape(-1, 3)
    assert len(content) == at + 12 * head["points"] + 12 * head["triangles"] + 24 * head["lines"]
    a, b, c = points[corners.T]
    area = 0.5 * np.linalg.norm(np.cross(b - a, c - a), axis=1)
    finer = area.sum() / part["result"]["facet_area_mm2"]  # where a cut crosses curved skin its facets are smaller
    assert 1.0 - 1e-5 <= finer <= part["result"]["total_area_mm2"] / part["result"]["facet_area_mm2"] + 1e-5
    drawn = {(g["feature"], g["state"]): area[g["start"] : g["start"] + g["count"]].sum() for g in head["groups"]}
    said = {(f["name"], f["state"]): f["area_mm2"] for f in part["result"]["features"]}
    assert drawn.keys() == said.keys()
    assert ("outside", "masked") in drawn
    assert drawn == pytest.approx(said, rel=5e-3)


def test_a_change_on_an_older_state_is_not_taken(client, settled):
    put(client, "ring.stl")
    part = settled(client)["parts"][0]
    assert change(client, part, count=2).status_code == 202
    late = change(client, part, count=5)
    assert late.status_code == 409
    assert late.json()["bench"]["parts"][0]["count"] == 2
    settings = client.get("/api/bench").json()["settings"]
    body = {"revision": settings["revision"] - 1, "change": {"show": "in"}}
    assert client.patch("/api/settings", json=body).status_code == 409


def test_two_windows_that_change_different_things_both_win(client, settled):
    put(client, "ring.stl")
    put(client, "cleat.stl")
    ring, cleat = settled(client)["parts"]
    assert change(client, ring, count=2).status_code == 202
    assert change(client, cleat, name="boat cleat").status_code == 202
    assert [(p["count"], p["name"]) for p in settled(client)["parts"]] == [(2, "ring.stl"), (1, "boat cleat")]


def test_a_part_taken_off_can_be_put_back_with_all_that_was_chosen(client, settled):
    id = put(client, "ring.stl")
    change(client, settled(client)["parts"][0], choices={"plug": ["bore-1"]}, count=4)
    before = settled(client)["parts"]
    assert client.delete(f"/api/parts/{id}").status_code == 204
    assert client.get("/api/bench").json()["parts"] == []
    assert client.post(f"/api/removed/{id}", json={}).status_code == 200
    assert settled(client)["parts"] == before


def test_stopping_a_part_ends_its_work_and_leaves_the_page_alive(client, settled):
    from areacalc.shape.export import WRITERS
    from areacalc.shape.read import read_body

    body = read_body(SAMPLES / "ring.stl")
    copies = np.concatenate([body.vertices + np.array([60.0 * n, 0, 0]) for n in range(120)])
    many = np.concatenate([body.triangles + n * len(body.vertices) for n in range(120)])
    import io
    from dataclasses import replace

    held = io.BytesIO()
    WRITERS[".stl"](replace(body, vertices=copies, triangles=many), held)
    id = put(client, "large.stl", held.getvalue())
    time.sleep(0.2)
    assert client.delete(f"/api/parts/{id}").status_code == 204
    put(client, "ring.stl")
    bench = settled(client)
    assert [p["name"] for p in bench["parts"]] == ["ring.stl"]
    assert bench["parts"][0]["result"]


def test_the_plan_is_that_of_the_command_line(client, settled, tmp_path):
    for name in ("pen-body.toml", "pen-cap.toml", "lamp-knob.toml"):
        put(client, name)
    settled(client)
    load = (SAMPLES / "desk-set.toml").read_text()
    assert client.post("/api/load", json={"text": load}).json()["awaited"] == []
    bench = settled(client)
    assert [p["count"] for p in bench["parts"]] == [1, 1, 2]
    assert bench["settings"]["tables"]["bath"]["acid"] == "180 g/L"
    found = client.get("/api/plan").json()
    want = command("plan", SAMPLES / "desk-set.toml")
    assert found["figures"].keys() == want["figures"].keys()
    for name, figure in want["figures"].items():
        assert found["figures"][name]["value"] == pytest.approx(figure["value"], rel=1e-9), name
    assert "bath °C" in sheet_of(client)
    assert client.post("/api/logbook", json={"remark": "even, deep"}).status_code == 201
    run = client.get("/api/logbook").json()["runs"][0]
    assert run["remark"] == "even, deep"
    assert run["current_a"] == pytest.approx(found["figures"]["current"]["value"], rel=1e-12)
    of = f"/api/runs/{run['number']}"
    refused = client.patch(of, json={"coating": "900 um"}).json()["error"]["line"]
    assert refused.startswith("900 um cannot be: ")  # no name of the program's own before it
    kept = client.patch(of, json={"coating": "12 um", "judged": "good", "remark": "deeper"}).json()["runs"][0]
    assert (kept["came"]["film_um"], kept["results"][0]["judged"], kept["remark"]) == (12.0, "good", "deeper")
    assert client.patch(of, json={"struck": True}).json()["runs"][0]["struck"]
    saved = client.get("/api/load.toml").text
    for name in ("pen-body.toml", "pen-cap.toml", "lamp-knob.toml"):
        (tmp_path / name).write_bytes((SAMPLES / name).read_bytes())
    (tmp_path / "saved.toml").write_text(saved)
    again = command("plan", tmp_path / "saved.toml")
    assert again["figures"]["time"]["value"] == pytest.approx(want["figures"]["time"]["value"], rel=1e-9)


def test_a_plan_asked_for_while_the_bench_changes_is_of_what_is_there_then(client, settled):
    part = put(client, "lamp-knob.toml")
    assert client.post("/api/load", json={"text": (SAMPLES / "desk-set.toml").read_text()}).is_success
    settled(client)
    with ThreadPoolExecutor() as threads:
        asked = threads.submit(client.get, "/api/plan")
        time.sleep(0.2)
        revision = client.get("/api/bench").json()["parts"][0]["revision"]
        assert change(client, {"id": part, "revision": revision}, count=5).is_success
        other = threads.submit(client.get, "/api/plan")
        assert asked.result().status_code == other.result().status_code == 200
    assert {row["part"] for row in other.result().json()["rack"]["places"]} == {"lamp-knob.toml"}
    assert len(other.result().json()["rack"]["places"]) == 5


def test_in_inches_the_plans_sentences_and_its_sheet_are_in_us_units_too(client, settled):
    put(client, "lamp-knob.toml")
    settled(client)
    tables = {"bath": {"acid": "180 g/L", "temperature": "20 C"}, "tank": {"volume": "10 L"},
              "finish": {"thickness": "12 um", "dye": "blue"}}  # fmt: skip

    def planned(**settings):
        revision = client.get("/api/bench").json()["settings"]["revision"]
        assert client.patch("/api/settings", json={"revision": revision, "change": settings}).is_success
        return client.get("/api/plan").json()

    metric, us = planned(tables=tables), planned(show="in")
    grown, in_mil = metric["figures"]["coating"], us["figures"]["coating"]
    assert in_mil["value"] == grown["value"]
    assert (grown["text"], in_mil["text"]) == ("13.2 um", "0.518 mil")  # 13.16 / 25.4
    assert "15 mm from the mouth" in metric["bores"][0]["says"]
    assert "0.591 in from the mouth" in us["bores"][0]["says"]
    told = " ".join([*(s["does"] for s in us["steps"]), *(s["text"] for s in us["faults"])])
    assert not re.search(r"\d (?:C|mm|um|L)\b", told)
    assert re.search(r"\d F\b", told)
    assert "bath °F" in sheet_of(client)


def test_a_load_opened_before_its_parts_waits_for_them(client, settled):
    load = (SAMPLES / "desk-set.toml").read_text()
    awaited = client.post("/api/load", json={"text": load}).json()["awaited"]
    assert awaited == ["pen-body.toml", "pen-cap.toml", "lamp-knob.toml"]
    put(client, "lamp-knob.toml")
    bench = settled(client)
    assert bench["parts"][0]["count"] == 2
    assert bench["parts"][0]["choices"] == {"plug": ["blind-bore-1"]}
    assert bench["awaited"] == awaited[:2]


def test_a_load_opened_beside_other_parts_tells_them_and_like_names_are_numbered(client, settled):
    ring = (SAMPLES / "ring.stl").read_bytes()
    first, second = (client.post("/api/parts", params={"name": "ring.stl"}, content=ring).json()["id"] for _ in "12")
    assert [part["name"] for part in settled(client)["parts"]] == ["ring.stl", "ring 2.stl"]
    assert client.get("/api/load.toml").text.count('file = "ring.stl"') == 2
    load = 'bath = {acid = "180 g/L", temperature = "20 C"}\ntank = {volume = "9 L"}\n[[part]]\nfile = "ring.stl"'
    assert client.post("/api/load", json={"text": load}).json() == {"awaited": [], "beside": [second]}
    assert client.delete(f"/api/parts/{first}").is_success


def test_a_mistake_in_a_load_file_has_its_line(client):
    wrong = '[[part]]\nfile = "ring.stl"\n[bath]\nacid = "180"\ntemperature = "20 C"\n[tank]\nvolume = "10 L"\n'
    error = client.post("/api/load", json={"text": wrong})
    assert error.status_code == 422
    assert error.json()["error"]["mistakes"][0]["line"] == 4


def test_a_damaged_zip_is_told_by_its_own_name(client):
    error = client.post("/api/parts", params={"name": "desk set.zip"}, content=b"PK junk").json()["error"]
    assert error["line"].startswith("desk set.zip is a damaged zip")


def test_a_field_that_is_wrong_is_told_with_its_place(client, settled):
    put(client, "ring.stl")
    settled(client)
    revision = client.get("/api/bench").json()["settings"]["revision"]
    tables = {"bath": {"acid": "strong", "temperature": "20 C"}, "tank": {"volume": "10 L"}}
    assert client.patch("/api/settings", json={"revision": revision, "change": {"tables": tables}}).is_success
    error = client.get("/api/plan")
    assert error.status_code == 422
    assert error.json()["error"]["mistakes"][0]["place"] == "[bath] acid"


def test_hung_mouth_down_a_blind_bore_holds_air(client, settled):
    put(client, "lamp-knob.toml")
    part = settled(client)["parts"][0]
    change(client, part, up="blind-bore-1 down")
    result = settled(client)["parts"][0]["result"]
    assert {"airlocked"} <= {f["state"] for f in result["features"] if f["name"] == "blind-bore-1"}


def test_the_ways_to_hang_a_part_and_the_part_going_under(client, settled):
    id = client.post("/api/samples", json={"name": "pen cap"}).json()["id"]
    settled(client)
    assert client.get(f"/api/parts/{id}/going-under").status_code == 422
    ways = client.get(f"/api/parts/{id}/ways").json()
    assert ways["ways"][0]["best"]
    assert ways["ways"][0]["comes_to"]["mm"].startswith("no trapped air")
    part = settled(client)["parts"][0]
    client.patch(f"/api/parts/{id}", json={"revision": part["revision"], "change": {"up": "blind-bore-1 down"}})
    bench = settled(client)
    assert bench["answer"]["warnings"][0]["code"] == "trapped-air"
    under = client.get(f"/api/parts/{id}/going-under").json()
    assert under["frames"][0]["air"] == []
    assert under["frames"][2]["air"] != []
    assert client.get("/api/parts/none/ways").status_code == 404


def test_a_part_whose_unit_makes_it_too_large_gives_no_current_until_it_is_checked(client, settled):
    put(client, "lamp-knob.step", unit="in")
    bench = settled(client)
    assert bench["answer"]["figures"] == {}
    assert "lamp-knob.step is in doubt" in bench["answer"]["missing"]
    assert bench["parts"][0]["result"]["unit_fits"] == ["mm"]
    change(client, bench["parts"][0], unit="in, checked")
    assert settled(client)["answer"]["figures"]["current"]["value"] == pytest.approx(293.4, abs=0.1)


def test_names_like_html_are_names_on_the_sheet_and_in_the_plan(client, settled):
    name = "<img src=x onerror=\"alert(1)\"> & 'y'.stl"
    put(client, name, (SAMPLES / "ring.stl").read_bytes(), unit="mm")
    settled(client)
    tables = {"bath": {"acid": "180 g/L", "temperature": "20 C"}, "tank": {"volume": "10 L"}}
    revision = client.get("/api/bench").json()["settings"]["revision"]
    change = {"revision": revision, "change": {"tables": tables, "name": "<script>alert(2)</script>"}}
    assert client.patch("/api/settings", json=change).is_success
    sheet = sheet_of(client)
    assert "<script>alert(2)</script>" in sheet
    assert f"1 x {name}" in sheet
    plan = client.get("/api/plan").json()
    assert [part["name"] for part in plan["parts"]] == [name]
    text = json.dumps(plan)
    assert "part.stl" not in text, text[max(0, text.find("part.stl") - 200) :][:400]
