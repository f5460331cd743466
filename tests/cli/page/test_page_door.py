"""Who is let in to the page, and what every answer carries."""

import contextlib
import http.client
import resource
import socket
import subprocess
import time
from urllib.parse import urlsplit

import httpx
import pytest
from areacalc_cli.page.connections import HEAD_S, STILL_S

CHANGE = {"revision": 1, "change": {"show": "mm"}}


def raw(page, method, path, headers):
    """The status of a request with just these headers; http.client adds none that were not asked for."""
    at = urlsplit(page.origin)
    connection = http.client.HTTPConnection(at.hostname, at.port, timeout=20)
    connection.putrequest(method, path, skip_host=True, skip_accept_encoding=True)
    for name, value in headers.items():
        connection.putheader(name, value)
    try:
        connection.endheaders()
        return connection.getresponse().status
    except (ConnectionResetError, BrokenPipeError):
        return 400  # cut off while more was still to come
    finally:
        connection.close()


@pytest.fixture
def cookie(client):
    return "; ".join(f"{name}={value}" for name, value in client.cookies.items())


LET_IN = {"Host": "127.0.0.1:PORT", "Origin": "http://127.0.0.1:PORT", "Cookie": "COOKIE"}
DOOR = [  # what is tried, method, path, headers beside those that let in (None: left out), what it is answered
    ("the page's own request", "GET", "PLACE/api/bench", {}, 200),
    ("host: localhost", "GET", "PLACE/api/bench", {"Host": "localhost:PORT", "Origin": None}, 200),
    ("host: another name", "GET", "PLACE/api/bench", {"Host": "example.org"}, 421),
    ("host: another name with our port", "GET", "PLACE/api/bench", {"Host": "example.org:PORT"}, 421),
    ("host: ours as the start of a name", "GET", "PLACE/api/bench", {"Host": "127.0.0.1.example.org:PORT"}, 421),
    ("host: no port", "GET", "PLACE/api/bench", {"Host": "127.0.0.1"}, 421),
    ("host: empty", "GET", "PLACE/api/bench", {"Host": ""}, 421),
    ("host: none", "GET", "PLACE/api/bench", {"Host": None}, 400),
    ("origin: another page", "PATCH", "PLACE/api/settings", {"Origin": "http://example.org"}, 403),
    ("origin: another port", "PATCH", "PLACE/api/settings", {"Origin": "http://127.0.0.1:1"}, 403),
    ("origin: another scheme", "PATCH", "PLACE/api/settings", {"Origin": "https://127.0.0.1:PORT"}, 403),
    ("origin: null", "PATCH", "PLACE/api/settings", {"Origin": "null"}, 403),
    ("origin: none, for a change", "PATCH", "PLACE/api/settings", {"Origin": None}, 403),
    ("origin: none, for a look", "GET", "PLACE/api/bench", {"Origin": None}, 200),
    ("fetched by another site", "GET", "PLACE/api/bench", {"Sec-Fetch-Site": "cross-site"}, 403),
    ("fetched by another port", "GET", "PLACE/api/bench", {"Sec-Fetch-Site": "same-site"}, 403),
    ("cookie: none", "GET", "PLACE/api/bench", {"Cookie": None}, 401),
    ("cookie: wrong", "GET", "PLACE/api/bench", {"Cookie": "areacalc-PORT=wrong"}, 401),
    ("cookie: empty", "GET", "PLACE/api/bench", {"Cookie": "areacalc-PORT="}, 401),
    ("cookie: under another port's name", "GET", "PLACE/api/bench", {"Cookie": "areacalc-1=VALUE"}, 401),
    ("cookie: after another program's", "GET", "PLACE/api/bench", {"Cookie": 'prefs={"a":1}; COOKIE'}, 200),
    ("cookie: before another program's", "GET", "PLACE/api/bench", {"Cookie": "COOKIE; x=\xe4\xf6; =; ;"}, 200),
    ("cookie: not ASCII", "GET", "PLACE/api/bench", {"Cookie": "areacalc-PORT=\xe4"}, 401),
    ("path: the root", "GET", "/", {}, 401),
    ("path: the interface without its place", "GET", "/api/bench", {}, 401),
    ("path: another place", "GET", "/x/api/bench", {}, 401),
    ("path: the place without an end", "GET", "PLACE", {}, 401),
    ("path: the place with more", "GET", "PLACEx/api/bench", {}, 401),
    ("path: out of the place", "GET", "PLACE/../api/bench", {}, 404),
    ("path: a stored file", "GET", "PLACE/api/views/..%2fbench.json", {}, 404),
    ("path: a file beside the static ones", "GET", "PLACE/static/..%2froutes.py", {}, 404),
    ("path: a file of the system", "GET", "PLACE/static//etc/passwd", {}, 404),
    ("code: wrong", "GET", "/?code=wrong", {"Cookie": None}, 401),
    ("code: empty", "GET", "/?code=", {"Cookie": None}, 401),
    ("code: used before", "GET", "/?code=USED", {"Cookie": None}, 401),
    ("code: looked at, not taken", "HEAD", "/?code=NEXT", {"Cookie": None}, 401),
    ("code: from another site", "GET", "/?code=NEXT", {"Cookie": None, "Sec-Fetch-Site": "cross-site"}, 403),
    ("code: still good after all these", "GET", "/?code=NEXT", {"Cookie": None, "Origin": None}, 303),
    ("method: of another kind", "PUT", "PLACE/api/bench", {}, 405),
    ("method: none that there is", "BREW", "PLACE/api/bench", {}, 405),
    ("method: TRACE", "TRACE", "PLACE/api/bench", {}, 405),
    ("size: a head of 400 kB", "GET", "PLACE/api/bench", {"X-Long": "x" * 400_000}, 400),
    ("size: a path of 400 kB", "GET", "PLACE/" + "x" * 400_000, {}, 400),
    ("size: a length that is none", "POST", "PLACE/api/measure", {"Content-Length": "-1"}, 400),
]


def test_the_door_by_the_list(page, client):
    """Each line of the list is tried in turn; `how_machine.md` tells what it holds."""
    used = urlsplit(page.address).query.partition("=")[2]
    page.look()
    known = {
        "PLACE": str(client.base_url.path).rstrip("/"), "PORT": str(urlsplit(page.origin).port), "USED": used,
        "NEXT": urlsplit(page.address).query.partition("=")[2],
        "COOKIE": "; ".join(f"{name}={value}" for name, value in client.cookies.items()),
        "VALUE": next(iter(client.cookies.values())),
    }  # fmt: skip

    def filled(text):
        for word, value in known.items():
            text = text.replace(word, value)
        return text

    wrong = []
    for what, method, path, changes, status in DOOR:
        headers = {name: value for name, value in (LET_IN | changes).items() if value is not None}
        answer = raw(page, method, filled(path), {name: filled(value) for name, value in headers.items()})
        if answer != status:
            wrong.append((what, answer, status))
    page.used = True
    assert wrong == []


def test_a_code_is_exchanged_once_for_a_cookie_of_this_path_that_scripts_cannot_read(page):
    first = page.start
    answer = httpx.get(first)
    assert answer.status_code == 303
    given = answer.headers["set-cookie"].lower()
    place = answer.headers["location"]
    assert len(place) > 20
    for word in ("httponly", "samesite=strict", f"path={place.lower()}", f"areacalc-{urlsplit(first).port}="):
        assert word in given, word
    shut = httpx.get(first)
    assert shut.status_code == 401
    assert "click the last line with ?code=" in shut.text
    assert page.start != first
    httpx.get(page.address)


def connections(page, count):
    at = urlsplit(page.origin)
    return [socket.create_connection((at.hostname, at.port)) for _ in range(count)]


def ended(each, longest_s):
    """Whether the other side ends a connection within a time."""
    each.settimeout(longest_s)
    with each:
        try:
            return each.recv(100) == b""
        except ConnectionResetError:
            return True
        except TimeoutError:
            return False


def few_files():
    resource.setrlimit(resource.RLIMIT_NOFILE, (1024, 1024))


@pytest.mark.campaign
def test_1100_silent_connections_do_not_stop_the_page(open_page, tmp_path):
    page = open_page(tmp_path, preexec_fn=few_files, stderr=subprocess.PIPE)
    with page.client() as client:
        held = connections(page, 1100)
        assert client.get("/api/bench").status_code == 200
        assert client.patch("/api/settings", json=CHANGE).is_success
        for each in held:
            each.close()
        assert client.get("/api/bench").status_code == 200
    page.process.kill()
    assert page.process.communicate()[1] == ""


@pytest.mark.slow
def test_half_a_request_and_a_slow_body_are_ended(page, client, cookie):
    place, host = str(client.base_url.path), urlsplit(page.origin).netloc
    head = f"POST {place}api/measure HTTP/1.1\r\nHost: {host}\r\nOrigin: {page.origin}\r\nCookie: {cookie}\r\n"
    silent, half, slow = connections(page, 3)
    half.sendall(head[:40].encode())
    slow.sendall((head + "Content-Length: 1000\r\n\r\n{").encode())
    assert ended(silent, HEAD_S + 10)
    assert ended(half, 10)
    assert ended(slow, STILL_S + 10)
    until = time.monotonic() + HEAD_S + 15
    with connections(page, 1)[0] as trickle, contextlib.suppress(OSError):
        while time.monotonic() < until:
            trickle.sendall(b"G")
            time.sleep(1)
    assert time.monotonic() < until


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
    stored = [p.relative_to(page.folder) for p in page.data.rglob("*.stl")]
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
