"""Who is let in to the page, and what every answer carries."""

import http.client
import socket
from urllib.parse import urlsplit

import httpx
import pytest

CHANGE = {"revision": 1, "change": {"show": "mm"}}


def raw(page, method, path, headers):
    """A request with just these headers; http.client adds none that were not asked for."""
    at = urlsplit(page.origin)
    connection = http.client.HTTPConnection(at.hostname, at.port, timeout=20)
    connection.putrequest(method, path, skip_host=True, skip_accept_encoding=True)
    for name, value in headers.items():
        connection.putheader(name, value)
    connection.endheaders()
    answer = connection.getresponse()
    answer.read()
    connection.close()
    return answer


@pytest.fixture
def cookie(client):
    return "; ".join(f"{name}={value}" for name, value in client.cookies.items())


def test_without_the_token_nothing_is_shown(page):
    for path in ("/", "/api/bench", "/static/main.js", "/?token=wrong", "/api/openapi.json"):
        answer = httpx.get(page.origin + path)
        assert answer.status_code == 401, path
        assert "areacalc page" in answer.text


def test_the_address_with_the_token_gives_a_cookie_that_scripts_cannot_read(page):
    answer = httpx.get(page.start)
    assert answer.status_code == 303
    given = answer.headers["set-cookie"].lower()
    assert "httponly" in given
    assert "samesite=strict" in given
    assert answer.headers["location"] == "/"


def test_another_host_name_is_refused(page, cookie):
    port = urlsplit(page.origin).port
    for host in ("example.org", f"example.org:{port}", f"127.0.0.1.example.org:{port}", "127.0.0.1", ""):
        assert raw(page, "GET", "/api/bench", {"Host": host, "Cookie": cookie}).status == 421, host
    assert raw(page, "GET", "/api/bench", {"Cookie": cookie}).status in (400, 421)
    assert raw(page, "GET", "/api/bench", {"Host": f"localhost:{port}", "Cookie": cookie}).status == 200


def test_another_page_can_change_nothing(page, client):
    for origin in ("http://example.org", "null", page.origin + "0", page.origin.replace("http", "https")):
        assert client.patch("/api/settings", json=CHANGE, headers={"origin": origin}).status_code == 403, origin
    assert client.get("/api/bench", headers={"sec-fetch-site": "cross-site"}).status_code == 403
    del client.headers["origin"]
    assert client.patch("/api/settings", json=CHANGE).status_code == 403
    assert client.get("/api/bench").status_code == 200


def test_every_answer_carries_the_safe_headers(client):
    for path in ("/", "/static/main.js", "/api/bench", "/api/plan", "/api/views/none"):
        headers = client.get(path).headers
        policy = headers["content-security-policy"]
        assert policy.startswith("default-src 'none'"), path
        assert "unsafe" not in policy
        assert headers["x-content-type-options"] == "nosniff"
        assert headers["referrer-policy"] == "no-referrer"


def test_it_listens_on_this_computer_alone(page):
    port = urlsplit(page.origin).port
    own = socket.gethostbyname(socket.gethostname())
    if own.startswith("127."):
        with open("/proc/net/tcp") as table:
            rows = [line.split()[1] for line in table if line.split()[3] == "0A"]
        assert [row for row in rows if row.endswith(f":{port:04X}")] == [f"0100007F:{port:04X}"]
        return
    with pytest.raises(OSError, match=r"refused|timed out"):
        socket.create_connection((own, port), timeout=2)


@pytest.mark.parametrize("name", ["../bench.json", "..%2Fbench.json", "/etc/passwd", "%2e%2e/lock", "lock"])
def test_no_path_from_outside_is_opened(client, name):
    for path in (f"/api/views/{name}", f"/static/{name}", f"/static/..%2f{name}"):
        assert client.get(path).status_code in (404, 405), path


def test_a_name_with_a_path_stays_a_name(client, settled, page):
    answer = client.post("/api/parts", params={"name": "../../../../sneaky.stl"}, content=b"solid\nendsolid\n")
    assert answer.status_code == 202
    part = settled(client)["parts"][0]
    assert "/" not in part["name"]
    stored = [p.relative_to(page.data) for p in page.data.rglob("*.stl")]
    assert all(p.parts[0] == "parts" and p.name == "part.stl" for p in stored)
    assert not list(page.data.parent.glob("*sneaky*"))


def test_what_is_too_large_is_not_taken(client):
    assert client.post("/api/measure", content=b'{"sketch": "' + b"x" * 600_000 + b'"}').status_code == 413


@pytest.mark.parametrize(
    "body", [b"", b"[]", b"{", b"[" * 100_000, b'{"sketch": 3}', b"\xff\xfe", b'{"sketch": {"outside": [[]]}}']
)
def test_nonsense_is_refused_in_one_line(client, body):
    answer = client.post("/api/measure", content=body)
    assert answer.status_code == 422
    assert "\n" not in answer.json()["error"]["line"]


def test_a_file_that_points_at_its_neighbours_gets_nothing(client, settled):
    content = (
        b'{"asset": {"version": "2.0"}, "buffers": [{"byteLength": 36, "uri": "../../bench.json"}], "bufferViews": '
        b'[{"buffer": 0, "byteLength": 36}], "accessors": [{"bufferView": 0, "componentType": 5126, "count": 3, '
        b'"type": "VEC3"}], "meshes": [{"primitives": [{"attributes": {"POSITION": 0}}]}], "nodes": [{"mesh": 0}], '
        b'"scenes": [{"nodes": [0]}]}'
    )
    client.post("/api/parts", params={"name": "scene.gltf"}, content=content)
    assert "outside its folder" in settled(client)["parts"][0]["refused"]["line"]


@pytest.mark.parametrize(
    ("method", "path", "allowed"),
    [("POST", "/static/main.js", {"GET", "HEAD"}), ("GET", "/api/parts/p1", {"PATCH", "DELETE"}),
     ("PUT", "/api/bench", {"GET", "HEAD"}), ("DELETE", "/", {"GET", "HEAD"})],
)  # fmt: skip
def test_a_wrong_method_is_told_the_right_ones(client, method, path, allowed):
    answer = client.request(method, path)
    assert answer.status_code == 405
    assert set(answer.headers["allow"].split(", ")) == allowed
