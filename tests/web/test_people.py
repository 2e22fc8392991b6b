"""People in the app: coming in over the network, what each session is worth, and what the pages of people do."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path

import pytest
from fastapi import Request
from fastapi.testclient import TestClient
from httpx2 import Response
from playwright.sync_api import Browser

from quick_hashes import quick_hashes
from standtrue.web.app import make_app
from standtrue.web.state import State
from standtrue.web.visitors import address_of
from standtrue.work.accounts.entering import Caller, Entered, first_code, sign_up
from standtrue.work.accounts.people import add_person, lift_locks, person
from standtrue.work.accounts.pins import Allowed, check_pin, set_pin
from web_fixtures import NOW, Server, client_of, new_state, serving, visiting

PASSWORD = "a long enough word"
ADDRESS = "https://127.0.0.1"


@pytest.fixture(scope="module", autouse=True)
def quick() -> Iterator[None]:
    with quick_hashes():
        yield


@pytest.fixture(scope="module")
def state(tmp_path_factory: pytest.TempPathFactory) -> State:
    """A shop that is served to the network, with an owner."""
    made = new_state(tmp_path_factory.mktemp("people") / "shop")
    made.sign_in = True
    code = first_code(made.served.store, NOW)
    assert code is not None
    assert isinstance(sign_up(made.served.store, code, "Olga", PASSWORD, Caller(NOW)), Entered)
    return made


@pytest.fixture
def client(state: State) -> Iterator[TestClient]:
    """A browser's requests by TLS."""
    with client_of(make_app(state)) as found:
        found.base_url = ADDRESS
        found.follow_redirects = False
        yield found


def enter(client: TestClient, name: str = "Olga", password: str = PASSWORD, back: str = "/people") -> Response:
    return client.post("/sign-in", data={"name": name, "password": password, "back": back})


def said(response: Response) -> str:
    found = re.search(r'role="alert"><p>(.*?)</p>', response.text)
    return found.group(1) if found else ""


def test_nobody_sees_a_page_who_has_not_signed_in(client: TestClient) -> None:
    led = client.get("/people", headers={"accept": "text/html"})
    assert (led.status_code, led.headers["location"]) == (303, "/sign-in?back=%2Fpeople")
    assert client.get("/people").status_code == 401


def test_the_cookie_is_for_this_host_no_script_and_no_other_site(client: TestClient) -> None:
    response = enter(client)
    assert (response.status_code, response.headers["location"]) == (303, "/people")
    name, _, rest = response.headers["set-cookie"].partition("=")
    flags = {part.strip() for part in rest.lower().split(";")[1:]}
    assert name == "__Host-session"
    assert {"httponly", "secure", "samesite=strict", "path=/"} <= flags
    assert not any(flag.startswith("domain") for flag in flags)
    assert client.get("/people").status_code == 200


def test_over_plain_loopback_the_cookie_is_not_for_tls_alone(client: TestClient) -> None:
    client.base_url = "http://127.0.0.1"
    cookie = enter(client).headers["set-cookie"].lower()
    assert cookie.startswith("session=")
    assert "secure" not in cookie
    assert "httponly" in cookie
    assert "samesite=strict" in cookie


def test_a_number_that_was_planted_is_worth_nothing(client: TestClient) -> None:
    client.cookies.set("__Host-session", "planted", domain="127.0.0.1", path="/")
    assert client.get("/me").status_code == 401
    enter(client)
    assert "planted" not in client.cookies.values()
    first = client.cookies["__Host-session"]
    enter(client)
    later = client.cookies["__Host-session"]
    client.cookies.clear()
    client.cookies.set("__Host-session", first, domain="127.0.0.1", path="/")
    assert client.get("/me").status_code == 401
    client.cookies.clear()
    client.cookies.set("__Host-session", later, domain="127.0.0.1", path="/")
    assert client.get("/me").status_code == 200


@pytest.mark.parametrize("back", ["//elsewhere.example", "/\\elsewhere.example", "https://e.example", "/\t/e.example"])
def test_signing_in_leads_nowhere_else(client: TestClient, back: str) -> None:
    assert enter(client, back=back).headers["location"] == "/"


def test_a_wrong_password_and_a_name_that_nobody_has_look_alike(state: State, client: TestClient) -> None:
    wrong, unknown = enter(client, "Olga", "wrong"), enter(client, "Nobody", "wrong")
    assert (wrong.status_code, unknown.status_code) == (422, 422)
    assert said(wrong) == said(unknown) == "Name and password do not go together."
    assert wrong.text.replace("Olga", "Nobody") == unknown.text
    lift_locks(state.served.store, "Olga", NOW, "")
    enter(client)


def test_a_role_counts_at_once(state: State, client: TestClient) -> None:
    add_person(state.served.store, "Rea", "planner", NOW, "Olga")
    with client_of(make_app(state)) as other:
        other.base_url, other.follow_redirects = ADDRESS, False
        enter(client)
        code = re.search(r"[0-9A-Z]{4}(-[0-9A-Z]{4}){3}", client.post("/people/code", data={"name": "Rea"}).text)
        assert code is not None
        shown = other.post("/sign-up", data={"code": code.group().lower()})
        assert "Which password will you use, Rea?" in shown.text
        typed = {"code": code.group(), "whose": "Rea", "password": PASSWORD, "again": PASSWORD}
        assert other.post("/sign-up/password", data={**typed, "again": "x"}).status_code == 422
        assert other.post("/sign-up/password", data=typed).headers["location"] == "/me"
        assert other.get("/people").status_code == 403
        assert other.get("/me").status_code == 200
        assert said(other.post("/sign-up/password", data=typed)).startswith("This code is not known")
        client.post("/people/role", data={"name": "Rea", "role": "reader"})
        assert other.get("/me").status_code == 401


def test_a_person_sets_a_pin_with_the_password_and_no_owner_does(state: State, client: TestClient) -> None:
    enter(client)
    assert client.post("/people/pin", data={"name": "Olga", "pin": "4711"}).status_code == 403
    typed = {"pin": "4711", "again": "4711", "password": "wrong"}
    assert said(client.post("/me/pin", data=typed)) == "Name and password do not go together."
    assert said(client.post("/me/pin", data={**typed, "again": "4712"})) == "The two PINs differ."
    done = client.post("/me/pin", data={**typed, "password": PASSWORD})
    assert done.headers["location"] == "/me?done=pin_kept"
    assert "The PIN is kept." in client.get(done.headers["location"]).text
    assert check_pin(state.served.store, "Olga", "4711", NOW) == Allowed("Olga", "owner")


def test_signing_out_ends_the_session_in_the_server(client: TestClient) -> None:
    enter(client)
    number = client.cookies["__Host-session"]
    client.post("/sign-out")
    assert "__Host-session" not in client.cookies
    client.cookies.set("__Host-session", number, domain="127.0.0.1", path="/")
    assert client.get("/me").status_code == 401


def test_what_people_type_is_text(state: State, client: TestClient) -> None:
    enter(client)
    name = "<script>alert(1)</script>' OR 1=1 --"
    client.post("/people/add", data={"name": name, "role": "reader"})
    shown = client.get("/people").text
    assert "<script>alert" not in shown
    assert "&lt;script&gt;alert(1)&lt;/script&gt;&#39; OR 1=1 --" in shown
    client.post("/people/remove", data={"name": name})
    assert person(state.served.store, name) is None


def test_the_shop_s_reading_is_a_new_version_that_verifies(state: State, client: TestClient) -> None:
    from standtrue.work.records.verifying import verify_store

    enter(client)
    site = next(iter(state.served.shop().written.sites))
    typed = {"site": site, "units": "us", "language": "es", "paper": "a4"}
    assert client.post("/settings/shop", data=typed).headers["location"] == "/settings?done=shop_kept"
    told = state.served.shop().written.sites[site].reader
    assert (told.units, told.language, told.paper) == ("us", "es", "a4")
    assert verify_store(state.served.place, ()).wrong == ()
    assert '<html lang="es"' in client.get("/settings").text
    assert client.post("/settings/shop", data={**typed, "language": "fr"}).status_code == 422
    client.post("/settings/shop", data={"site": site, "units": "metric", "language": "en", "paper": "letter"})


def test_at_the_shop_s_own_machine_whoever_sits_there_is_the_owner(tmp_path: Path) -> None:
    own = new_state(tmp_path / "shop")
    with client_of(make_app(own)) as client:
        client.post("/people/add", data={"name": "Ana", "role": "technician"})
        client.post("/people/pin", data={"name": "Ana", "pin": "4711"})
        assert check_pin(own.served.store, "Ana", "4711", NOW) == Allowed("Ana", "technician")
        assert client.post("/people/pin", data={"name": "Ana", "pin": "4712"}).status_code == 403
        assert "nobody signed in" in client.get("/people").text
        assert client.get("/me", follow_redirects=False).headers["location"] == "/people"
        assert client.get("/trust/authority.crt").status_code == 404


@pytest.fixture(scope="module")
def server(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Server]:
    with serving(tmp_path_factory.mktemp("served") / "shop") as found:
        store = found.state.served.store
        add_person(store, "Ana", "technician", NOW, "Olga")
        set_pin(store, "Ana", "4711", NOW, "Ana")
        for _ in range(3):
            check_pin(store, "Ana", "0815", NOW, "192.0.2.7")
        yield found


@pytest.mark.parametrize("width", [360, 1280])
def test_the_pages_are_clean(server: Server, browser: Browser, width: int) -> None:
    """Through all of them as somebody walks: a code is made, used, a PIN is set, a lock is lifted."""
    state = server.state
    with visiting(browser, server.address, (width, 800)) as visit:

        def look(question: str) -> None:
            assert visit.page.locator("h1").inner_text() == question
            assert visit.axe() == []
            assert visit.sideways == 0

        visit.go("/people")
        visit.page.get_by_text("Change Ana").click()
        look("Who works here, and who may do what?")
        visit.page.get_by_role("button", name="Make a code to sign up with").click()
        code = visit.page.locator(".code").inner_text()
        look("Who works here, and who may do what?")
        state.sign_in = True
        try:
            visit.go("/settings")
            look("Who is here?")
            visit.page.get_by_role("link", name="I have a code").click()
            look("Which code were you given?")
            visit.page.get_by_label("Code").fill(code)
            visit.page.get_by_role("button", name="Use this code").click()
            look("Which password will you use, Ana?")
            visit.page.get_by_label("Password", exact=True).fill(PASSWORD)
            visit.page.get_by_label("The same password again").fill(PASSWORD)
            visit.page.get_by_role("button", name="Sign up").click()
            look("How does the shop know that it is you?")
            visit.go("/settings")
            look("How do you read, and how does the shop?")
            visit.page.get_by_label("paper").select_option("a4")
            visit.page.get_by_role("button", name="Keep for this device").click()
            assert visit.page.get_by_label("paper").input_value() == "a4"
            visit.go("/instruments")
            look("Which instruments are due for a check?")
            visit.go("/trust")
            look("How does this tablet come to trust the server?")
        finally:
            state.sign_in = False


@pytest.mark.parametrize(
    ("told", "counted"),
    [("192.0.2.7", "192.0.2.7"), ("::ffff:192.0.2.7", "192.0.2.7"), ("2001:db8:1:2:3:4:5:6", "2001:db8:1:2::/64"),
     ("fe80::1%eth0", "fe80::/64"), ("testclient", "testclient")],
)  # fmt: skip
def test_a_device_is_counted_as_one_whichever_of_its_addresses_it_takes(told: str, counted: str) -> None:
    assert address_of(Request({"type": "http", "client": (told, 1)})) == counted
