"""3MF: the build and nothing but the build, in its unit, with names and colours; and packages that mean harm."""

import zipfile

import numpy as np
import pytest
import trimesh

from areacalc.errors import BadInput
from areacalc.quantity import LENGTH_UNITS
from areacalc.shape.files import package
from areacalc.shape.kinds import UnitHow
from areacalc.shape.read import read_body

CORE = 'xmlns="http://schemas.microsoft.com/3dmanufacturing/core/2015/02"'
COLOUR = 'xmlns:m="http://schemas.microsoft.com/3dmanufacturing/material/2015/02"'
PLACED = 'xmlns:p="http://schemas.microsoft.com/3dmanufacturing/production/2015/06"'
RELATION = (
    '<Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships"><Relationship Id="r" '
    'Target="/{part}" Type="http://schemas.microsoft.com/3dmanufacturing/2013/01/3dmodel"/></Relationships>'
)
BOX = trimesh.creation.box((30, 20, 10))
BOX_MM2 = 2200.0


def mesh(marks=("",) * 12, scale=1.0):
    points = "".join(f'<vertex x="{x}" z="{z}" y="{y}"/>' for x, y, z in (BOX.vertices * scale).tolist())
    rows = "".join(f'<triangle v1="{a}" v2="{b}" v3="{c}" {m}/>' for (a, b, c), m in zip(BOX.faces, marks, strict=True))
    return f"<mesh><vertices>{points}</vertices><triangles>{rows}</triangles></mesh>"


def model(resources, build='<item objectid="1"/>', unit='unit="millimeter"', more=""):
    head = f'<?xml version="1.0"?><model {CORE} {COLOUR} {PLACED} {unit} {more}>'
    return f"{head}<resources>{resources}</resources><build>{build}</build></model>"


def box(key=1, more="", **how):
    return f'<object id="{key}" {more}>{mesh(**how)}</object>'


@pytest.fixture
def put(tmp_path):
    def write(text, part="3D/3dmodel.model", **parts):
        path = tmp_path / "part.3mf"
        with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as out:
            out.writestr("_rels/.rels", RELATION.format(part=part))
            out.writestr(part, text)
            for name, content in parts.items():
                out.writestr(name.replace("__", "/") + ".model", content)
        return path

    return write


@pytest.mark.parametrize(("word", "mm"), [("micron", 1e-3), ("millimeter", 1.0), ("centimeter", 10.0), ("inch", 25.4),
                                          ("foot", 304.8), ("meter", 1e3)])  # fmt: skip
def test_the_unit_declared(put, word, mm):
    body = read_body(put(model(box(), unit=f'unit="{word}"')))
    assert (body.unit.how, body.unit.mm) == (UnitHow.DECLARED, mm)
    assert body.facet_area_mm2 == pytest.approx(BOX_MM2 * mm * mm, rel=1e-12)


def test_without_a_unit_the_standard_says_millimetres(put):
    assert read_body(put(model(box(), unit=""))).unit.how is UnitHow.DECLARED


def test_the_person_overrules_the_file_and_it_says_so(put):
    body = read_body(put(model(box(), unit='unit="inch"')), LENGTH_UNITS["mm"])
    assert body.facet_area_mm2 == pytest.approx(BOX_MM2)
    (told,) = [note.fact for note in body.notes if note.code == "unit-overruled"]
    assert (told["file"], told["taken"]) == ("in", "mm")


def test_only_what_the_build_holds_counts_where_it_stands(put):
    build = '<item objectid="1"/><item objectid="1" transform="0 1 0 -1 0 0 0 0 1 100 0 0"/>'
    body = read_body(put(model(box() + box(2), build)))
    assert body.facet_area_mm2 == pytest.approx(2 * BOX_MM2)
    assert body.size_mm == pytest.approx((125.0, 30.0, 10.0))


def test_components_and_mirrors(put):
    pair = '<object id="3"><components><component objectid="1"/>' \
           '<component objectid="1" transform="-1 0 0 0 1 0 0 0 1 50 0 0"/></components></object>'  # fmt: skip
    body = read_body(
        put(model(box(1, 'name="cleat"') + pair, '<item objectid="3" transform="2 0 0 0 2 0 0 0 2 0 0 0"/>'))
    )
    assert body.facet_area_mm2 == pytest.approx(8 * BOX_MM2)
    assert body.solids == ("cleat", "cleat (2)")
    a, b, c = (body.vertices[body.triangles[:, j]] for j in range(3))
    volume = np.bincount(body.solid_of_triangle, weights=np.einsum("ij,ij->i", a, np.cross(b, c)) / 6)
    assert volume == pytest.approx([48000.0, 48000.0])


def test_supports_and_the_like_are_left_out_and_said(put):
    build = '<item objectid="1"/><item objectid="2"/>'
    body = read_body(put(model(box() + box(2, 'type="support"'), build)))
    assert body.facet_area_mm2 == pytest.approx(BOX_MM2)
    assert [note.fact["type"] for note in body.notes if note.code == "object-left-out"] == ["support"]


def test_an_empty_build_takes_the_objects_and_warns(put):
    body = read_body(put(model(box(), "")))
    assert body.facet_area_mm2 == pytest.approx(BOX_MM2)
    assert any(note.code == "build-empty" and note.warns for note in body.notes)


def test_colours_of_objects_and_faces(put):
    groups = '<basematerials id="8"><base name="a" displaycolor="#00FF00"/></basematerials>' \
             '<m:colorgroup id="9"><m:color color="#FF0000FF"/><m:color color="#0000FF"/></m:colorgroup>'  # fmt: skip
    marks = ['pid="9" p1="0"', 'pid="9" p1="1"', 'pid="9" p1="0" p2="1" p3="0"', *[""] * 9]
    body = read_body(put(model(groups + box(1, 'pid="8" pindex="0"', marks=marks))))
    shown = [body.colours[i] if i >= 0 else None for i in body.colour_of_triangle]
    assert shown == [(255, 0, 0), (0, 0, 255), None, *[(0, 255, 0)] * 9]


def test_objects_in_other_parts_of_the_package(put):
    text = model('<object id="2"><components><component p:path="/3D/more.model" objectid="1"/></components></object>',
                 '<item objectid="2"/>', more='requiredextensions="p"')  # fmt: skip
    assert read_body(put(text, **{"3D__more": model(box(), "")})).facet_area_mm2 == pytest.approx(BOX_MM2)


def test_the_model_is_where_the_package_says(put):
    assert read_body(put(model(box()), part="deep/other.model")).facet_area_mm2 == pytest.approx(BOX_MM2)


TWICE = '<object id="{}"><components><component objectid="{}"/><component objectid="{}"/></components></object>'
BOMB = "".join(TWICE.format(i, i - 1, i - 1) for i in range(2, 60))


@pytest.mark.parametrize(("text", "said"), [
    (model(box(), '<item objectid="7"/>'), "uses object 7, which is missing"),
    (model(box(), unit='unit="furlong"'), "declares the unit 'furlong'"),
    (model('<object id="1"><components><component objectid="1"/></components></object>'), "without end"),
    (model(box() + BOMB, '<item objectid="59"/>'), "its copies add up to"),
    (model(box()).replace('<?xml version="1.0"?>', '<!DOCTYPE m [<!ENTITY a "aaaa">]>'),
     "declares XML types or entities"),
    (model(box())[:-30], "is not sound XML"),
    (model(box()).replace('x="15.0"', 'x="nan"'), "a corner (point 5) is not a finite number"),
    (model(box()).replace('x="15.0"', 'x="wide"'), "an attribute is missing or wrong"),
    (model(box()).replace('v3="', 'v3="9', 1), "where there are 8"),
    (model(box(), '<item objectid="1" transform="1 0 0"/>'), "an attribute is missing or wrong"),
    (model(box()).replace("<resources>", '<resources><vertex x="1" y="1" z="1"/>'), "it stands in no object"),
    ('<?xml version="1.0" encoding="UTF-9"?>' + model(box()).partition("?>")[2], "unknown encoding: UTF-9"),
    (model(box(), more='xmlns:b="http://example.org/lattice" requiredextensions="b"'),
     "needs an extension that is not read"),
    (model("", ""), "holds no triangle"),
])  # fmt: skip
def test_a_faulty_model_is_one_line(put, text, said):
    with pytest.raises(BadInput) as refused:
        read_body(put(text))
    assert said in str(refused.value)


@pytest.mark.parametrize("name", ["../../evil.model", "/etc/evil.model", "..\\evil.model", "c:evil.model"])
def test_names_that_lead_outside_the_package_are_refused(tmp_path, name):
    path = tmp_path / "part.3mf"
    with zipfile.ZipFile(path, "w") as out:
        out.writestr("3D/3dmodel.model", model(box()))
        out.writestr(name, "x")
    with pytest.raises(BadInput, match="leads outside"):
        read_body(path)


def test_what_unpacks_to_gigabytes_is_refused_before_it_is(tmp_path):
    path = tmp_path / "part.3mf"
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as out, out.open("3D/3dmodel.model", "w") as part:
        for _ in range(64):
            part.write(b" " * (1 << 20))
    assert path.stat().st_size < 1 << 17
    with pytest.raises(BadInput, match="unpack to 67108864, more than a mesh needs"):
        read_body(path)


def test_a_size_that_the_package_lies_about_is_found_out(put, monkeypatch):
    path = put(model(box()))
    content = path.read_bytes()
    with zipfile.ZipFile(path) as opened:
        size = opened.getinfo("3D/3dmodel.model").file_size
    path.write_bytes(content.replace(size.to_bytes(4, "little"), (size - 100).to_bytes(4, "little")))
    monkeypatch.setattr(package, "MAX_UNPACKED_BYTES", size)
    with pytest.raises(BadInput):
        read_body(path)


def test_a_zip_that_is_no_3mf_and_one_cut_short(tmp_path, put):
    path = tmp_path / "other.3mf"
    with zipfile.ZipFile(path, "w") as out:
        out.writestr("letter.txt", "hello")
    with pytest.raises(BadInput, match="is packed"):
        read_body(path)
    whole = put(model(box()))
    whole.write_bytes(whole.read_bytes()[:-40])
    with pytest.raises(BadInput, match="damaged or cut short 3MF"):
        read_body(whole)


def test_parts_before_the_beginning_of_the_file_are_damage(put):
    path = put(model(box()))
    whole = bytearray(path.read_bytes())
    whole[-6:-2] = (10 * len(whole)).to_bytes(4, "little")  # where the directory begins, in the record that ends a zip
    path.write_bytes(whole)
    with pytest.raises(BadInput, match="is damaged") as refused:
        read_body(path)
    assert type(refused.value) is BadInput  # no try at another time helps
