"""The pages of kits: who sees what, what they cost, what a form does, and two people at one kit."""

import re
from html import unescape

import pytest
from django.test import Client

from inventory.base.changes import change
from inventory.checks.acceptance import accept_finding, verb_to_accept
from inventory.checks.drain import drain
from inventory.selectors.checks import show_check
from inventory.selectors.kits import show_kit
from inventory.services.contents import edit_position
from inventory.services.faults import report_fault
from tests.web.company import Gear, make_unit, stage_case, write
from tests.web.reading import text
from web.components.findings import in_two

pytestmark = pytest.mark.django_db

ROLES = ("viewer", "crew", "planner", "owner", "electrics")


@pytest.fixture
def gear() -> Gear:
    made = stage_case()
    drain(pause=lambda _: None)
    return made


def checked() -> None:
    """Let the check run that an edit asked for; it falls due a moment later."""
    from inventory.models import Kit

    Kit.objects.filter(check_due_at__isnull=False).update(check_due_at="2020-01-01T00:00:00Z")
    drain(pause=lambda _: None)


def position(gear: Gear, label: str) -> int:
    kit = show_kit(gear.kit)
    assert kit is not None
    return next(each["id"] for each in kit["positions"] if each["label"] == label)


def tag_in(gear: Gear, label: str) -> str | None:
    kit = show_kit(gear.kit)
    assert kit is not None
    return next(each["tag"] for each in kit["positions"] if each["label"] == label)


def tag_of(unit: int) -> str:
    from inventory.selectors.units import unit_rows

    return str(unit_rows().get(pk=unit)["tag"])


def hidden(page: str) -> dict[str, str]:
    return dict(re.findall(r'<input type="hidden" name="(version|ledger)" value="(\d+)"', page))


def addresses(gear: Gear) -> list[str]:
    kit = show_kit(gear.kit)
    check = show_check(gear.kit)
    assert kit is not None
    assert check is not None
    base = f"/kits/{gear.kit}/"
    return [
        "/kits/",
        "/find/?q=switch",
        "/find/",
        base,
        f"{base}wiring/",
        "/kits/new/",
        f"{base}positions/new/",
        f"{base}positions/{kit['positions'][1]['id']}/",
        f"{base}links/new/",
        f"{base}links/{kit['links'][0]['id']}/remove/",
        f"{base}brief/",
        f"{base}findings/{check['findings'][0]['id']}/",
        "/components/",
    ]


OPEN_TO_VIEWERS = 5
"""How many of the addresses above take no more than reading."""


@pytest.mark.parametrize("role", ROLES)
def test_every_page_for_every_role(reader, gear: Gear, role: str) -> None:
    may_edit = role in {"planner", "owner"}
    for number, address in enumerate(addresses(gear)):
        answer = reader(role).get(address)
        assert answer.status_code == (200 if may_edit or number < OPEN_TO_VIEWERS else 403), address
        assert "default-src 'self'" in answer.headers["Content-Security-Policy"]


@pytest.mark.parametrize("role", ["viewer", "crew"])
def test_who_may_not_edit_is_shown_no_way_to(reader, gear: Gear, role: str) -> None:
    page = text(reader(role).get(f"/kits/{gear.kit}/"))
    for way in ("positions/", "links/new", "findings/", "/remove/"):
        assert f"/kits/{gear.kit}/{way}" not in page
    assert ("Check again" in page) == (role == "crew")


def test_nobody_is_let_in(reader, gear: Gear) -> None:
    for address in addresses(gear):
        assert reader().get(address).status_code == 302


def test_the_page_of_a_kit_says_what_the_check_found(reader, gear: Gear) -> None:
    page = text(reader("viewer").get(f"/kits/{gear.kit}/"))
    check = show_check(gear.kit)
    assert check is not None
    assert check["findings"][0]["severity"] == "stop"
    for finding in check["findings"]:
        assert f'id="f-{finding["id"]}"' in page
        assert finding["source"] in page
    assert "90 of 65 W" in page
    assert "25 W over" in page
    assert page.index('class="finding f-stop"') < page.index('class="finding f-caution"')


def headline(reader, gear: Gear) -> str:
    """Return what stands above the lid, without its marks."""
    page = text(reader("viewer").get(f"/kits/{gear.kit}/"))
    said = re.search(r'id="headline">(.*?)</h2>(.*?)<figure', page, flags=re.DOTALL)
    assert said is not None
    plain = re.sub(r'<span class="port">([^<]*)</span>', r"\1", said[0])
    return unescape(re.sub(r"<[^>]+>", " ", plain))


def test_the_headline_is_the_worst_finding_that_nobody_accepted(reader, people, gear: Gear) -> None:
    """Accepted one by one, worst first, each makes way for the next; with all accepted none stands."""
    check = show_check(gear.kit)
    assert check is not None
    people["planner"].groups.add(*people["electrics"].groups.all())
    found = check["findings"]
    assert [each["severity"] for each in found[:2]] == ["stop", "caution"]
    moves = [in_two(each["message"])[0] for each in found]
    assert len(set(moves)) == len(moves)
    for move, finding in zip(moves, found, strict=True):
        said = headline(reader, gear)
        assert move in said
        assert "Accepted by" not in said
        write(people["planner"].pk, lambda c, at=finding["id"]: accept_finding(c, at, reason="known", until=None))
    last = headline(reader, gear)
    assert "All that was found is accepted." in last
    assert not any(move in last for move in moves)


def test_a_unit_is_packed_by_its_tag_and_the_check_begins(reader, gear: Gear) -> None:
    spare = tag_of(make_unit(gear.specs["switch"]))
    somebody = reader("planner")
    address = f"/kits/{gear.kit}/positions/{position(gear, 'switch A')}/"
    form = hidden(text(somebody.get(address)))
    answer = somebody.post(address, {**form, "verb": "pack", "tag": f" {spare.lower()} "})
    assert (answer.status_code, answer["Location"]) == (303, f"/kits/{gear.kit}/#p{position(gear, 'switch A')}")
    assert tag_in(gear, "switch A") == spare
    assert "Checking what was changed" in text(somebody.get(f"/kits/{gear.kit}/"))
    checked()
    assert "Checking what was changed" not in text(somebody.get(f"/kits/{gear.kit}/"))


def test_a_unit_that_is_offered_is_packed_by_one_button(reader, gear: Gear) -> None:
    spare = tag_of(make_unit(gear.specs["switch"]))
    somebody = reader("planner")
    address = f"/kits/{gear.kit}/positions/{position(gear, 'switch A')}/"
    page = text(somebody.get(address))
    assert f'name="unit" value="{spare}"' in page
    somebody.post(address, {**hidden(page), "unit": spare, "tag": ""})
    assert tag_in(gear, "switch A") == spare


def test_a_unit_is_taken_out(reader, gear: Gear) -> None:
    somebody = reader("planner")
    address = f"/kits/{gear.kit}/positions/{position(gear, 'lamp')}/"
    somebody.post(address, {**hidden(text(somebody.get(address))), "verb": "take-out"})
    assert tag_in(gear, "lamp") is None


def test_a_refusal_is_a_sentence_and_loses_nothing(reader, gear: Gear) -> None:
    taken = tag_in(gear, "switch B")
    somebody = reader("planner")
    address = f"/kits/{gear.kit}/positions/{position(gear, 'switch A')}/"
    form = hidden(text(somebody.get(address)))
    answer = somebody.post(address, {**form, "verb": "pack", "tag": taken})
    assert answer.status_code == 409
    assert f"{taken} is packed in Stage case 2, place switch B." in text(answer)
    assert f'name="tag" value="{taken}"' in text(answer)
    unknown = somebody.post(address, {**form, "verb": "pack", "tag": "NO-SUCH"})
    assert unknown.status_code == 400
    assert "No unit has the tag NO-SUCH." in text(unknown)


def test_a_position_that_links_use_is_not_removed(reader, gear: Gear) -> None:
    somebody = reader("planner")
    address = f"/kits/{gear.kit}/positions/{position(gear, 'switch A')}/"
    answer = somebody.post(address, {**hidden(text(somebody.get(address))), "verb": "remove"})
    assert answer.status_code == 409
    assert "Connections use place switch A. Unplug them first." in text(answer)


def test_the_second_of_two_people_is_told_what_the_first_one_changed(reader, people, gear: Gear) -> None:
    spares = [make_unit(gear.specs["switch"]) for _ in range(2)]
    second = reader("planner")
    address = f"/kits/{gear.kit}/positions/{position(gear, 'switch A')}/"
    form = hidden(text(second.get(address)))
    with change(actor_id=people["owner"].pk, request_id="first") as c:
        edit_position(c, gear.kit, position(gear, "lamp"), fields={"unit": None})
    answer = second.post(address, {**form, "verb": "pack", "tag": tag_of(spares[0])})
    assert answer.status_code == 412
    assert "owner changed the unit of place lamp" in text(answer)
    assert f'name="tag" value="{tag_of(spares[0])}"' in text(answer)
    assert tag_in(gear, "switch A") != tag_of(spares[0])
    again = second.post(address, {**hidden(text(answer)), "verb": "pack", "tag": tag_of(spares[0])})
    assert again.status_code == 303
    assert tag_in(gear, "switch A") == tag_of(spares[0])


def test_what_was_typed_survives_the_end_of_a_session(reader, people, gear: Gear) -> None:
    people["planner"]
    somebody = reader("planner")
    address = f"/kits/{gear.kit}/positions/new/"
    form = hidden(text(somebody.get(address)))
    somebody.session.flush()
    somebody.cookies.clear()
    typed = {**form, "label": 'shelf <one> "left"', "spec": str(gear.specs["tool"]), "role": "optional", "unit": ""}
    answer = somebody.post(address, typed)
    assert answer.status_code == 401
    assert "What you typed is kept." in text(answer)
    sealed = re.search(r'name="kept" value="([^"]+)"', text(answer))
    assert sealed is not None
    sign_in = {"username": "planner", "password": "a long enough password", "next": address, "kept": sealed[1]}
    back = somebody.post("/sign-in/", sign_in)
    assert (back.status_code, back["Location"]) == (303, address)
    page = text(somebody.get(address))
    assert 'value="shelf &lt;one&gt; &quot;left&quot;"' in page
    assert '<option value="optional" selected>' in page
    assert "This is what you typed before signing in." in page
    assert "This is what you typed before signing in." not in text(somebody.get(address))


def test_a_kept_form_that_was_tampered_with_is_ignored(reader, people) -> None:
    people["planner"]
    answer = reader().post(
        "/sign-in/",
        {"username": "planner", "password": "a long enough password", "next": "/kits/", "kept": "forged:1:2"},
    )
    assert answer["Location"] == "/kits/"


def test_a_position_and_a_link_are_added_by_forms(reader, gear: Gear) -> None:
    somebody = reader("planner")
    address = f"/kits/{gear.kit}/positions/new/"
    form = hidden(text(somebody.get(address)))
    answer = somebody.post(address, {**form, "label": "camera 4", "spec": gear.specs["camera"], "role": "required"})
    assert answer.status_code == 303
    links = f"/kits/{gear.kit}/links/new/"
    page = text(somebody.get(links))
    ends = {words: value for value, words in re.findall(r'<option value="([^"]+)">([^<]+)</option>', page)}
    typed = {**hidden(page), "a": ends["camera 4 lan"], "b": ends["case LAN 5"], "label": "cam 4", "colour": "bu"}
    assert somebody.post(links, typed).status_code == 303
    kit = show_kit(gear.kit)
    assert kit is not None
    assert kit["links"][-1]["label"] == "cam 4"
    assert kit["links"][-1]["colour"] == "blue"
    assert "camera 4 lan" not in text(somebody.get(links))


def test_a_link_is_taken_away_after_saying_what_that_does(reader, gear: Gear) -> None:
    kit = show_kit(gear.kit)
    assert kit is not None
    somebody = reader("planner")
    address = f"/kits/{gear.kit}/links/{kit['links'][0]['id']}/remove/"
    page = text(somebody.get(address))
    assert "case LAN 1 rear and switch A 1 are then not joined." in page
    assert somebody.post(address, hidden(page)).status_code == 303
    assert somebody.get(address).status_code == 404


def test_a_kit_is_begun_by_a_form(reader, people) -> None:
    somebody = reader("planner")
    refused = somebody.post("/kits/new/", {"name": "Booth box", "case": "NOBODY"})
    assert refused.status_code == 400
    assert "No unit has the tag NOBODY." in text(refused)
    assert 'value="Booth box"' in text(refused)
    assert somebody.post("/kits/new/", {"name": "Booth box", "build": "steel"}).status_code == 303
    assert "Booth box" in text(somebody.get("/kits/"))


def test_an_empty_list_says_what_to_do_first(reader) -> None:
    assert "/kits/new/" in text(reader("planner").get("/kits/"))
    assert "A planner begins one." in text(reader("viewer").get("/kits/"))


def test_a_finding_is_accepted_with_a_reason(reader, gear: Gear) -> None:
    check = show_check(gear.kit)
    assert check is not None
    finding = check["findings"][0]
    somebody = reader("planner")
    address = f"/kits/{gear.kit}/findings/{finding['id']}/"
    assert somebody.post(address, {"reason": ""}).status_code == 400
    assert somebody.post(address, {"reason": "Two cameras only tonight."}).status_code == 303
    page = text(somebody.get(f"/kits/{gear.kit}/"))
    assert "Accepted by planner" in page
    assert "Two cameras only tonight." in page


@pytest.mark.parametrize("role", ROLES)
def test_each_role_is_offered_the_findings_that_it_may_accept(reader, gear: Gear, role) -> None:
    check = show_check(gear.kit)
    assert check is not None
    mains = next(each for each in check["findings"] if each["code"] == "unbreakable-coupler")
    other = next(each for each in check["findings"] if verb_to_accept(each["code"], each["inputs"]) == "finding.accept")
    somebody = reader(role)
    page = text(somebody.get(f"/kits/{gear.kit}/"))
    for finding, accepts in ((mains, {"electrics"}), (other, {"planner", "owner"})):
        address = f"/kits/{gear.kit}/findings/{finding['id']}/"
        assert (address in page) is (role in accepts)
        assert somebody.get(address).status_code == (200 if role in accepts else 403)
        answer = somebody.post(address, {"reason": "It is always so."})
        assert answer.status_code == (303 if role in accepts else 403)


def test_a_script_is_given_parts_and_told_when_there_is_nothing_new(reader, gear: Gear) -> None:
    somebody = reader("planner")
    spare = tag_of(make_unit(gear.specs["switch"]))
    row = position(gear, "switch A")
    address = f"/kits/{gear.kit}/positions/{row}/"
    part = text(somebody.get(address, HTTP_HX_REQUEST="true"))
    assert part.lstrip().startswith(f'<tr id="p{row}"')
    assert "<html" not in part
    edited = text(somebody.post(address, {**hidden(part), "tag": spare}, HTTP_HX_REQUEST="true"))
    assert 'id="lid" data-hx-swap-oob="true"' in edited
    assert 'data-hx-trigger="every 1s"' in edited
    assert f'<tr id="p{row}" data-hx-swap-oob="true"' in edited
    lid = f"/kits/{gear.kit}/lid/"
    assert somebody.get(lid, HTTP_HX_REQUEST="true").status_code == 204
    checked()
    done = text(somebody.get(lid, HTTP_HX_REQUEST="true"))
    assert 'class="finding f-stop"' in done
    assert "hx-trigger" not in done
    assert somebody.get(lid)["Location"] == f"/kits/{gear.kit}/"


def test_a_script_whose_session_is_over_is_given_the_whole_sign_in_page(people, gear: Gear) -> None:
    nobody = Client()
    address = f"/kits/{gear.kit}/positions/{position(gear, 'switch A')}/"
    answer = nobody.post(address, {"tag": "T"}, HTTP_HX_REQUEST="true")
    assert answer.status_code == 401
    assert answer["HX-Retarget"] == "body"
    asked = nobody.get(address, HTTP_HX_REQUEST="true")
    assert asked["HX-Redirect"].startswith("/sign-in/?next=")


def test_damage_and_a_held_back_unit_are_seen_in_the_contents_and_on_the_lid(reader, gear: Gear) -> None:
    with change(actor_id=None, request_id="broke") as c:
        report_fault(c, unit_id=gear.units["case"], what="latch", port="LAN 4", usable=None, note="")
    with change(actor_id=None, request_id="dead") as c:
        report_fault(c, unit_id=gear.units["switch B"], what="dead", port="1", usable=False, note="")
    checked()
    page = text(reader("viewer").get(f"/kits/{gear.kit}/"))
    assert "LAN 4: latch" in page
    assert "held back" in page
    assert 'href="#c-8rx"' in page
    assert "Latch broken: friction alone holds the plug." in page


HOSTILE = "<script>alert(1)</script>\"'&<b>\x07"


def test_what_people_typed_stays_text_everywhere(reader, gear: Gear) -> None:
    from inventory.services.kits import edit_kit
    from inventory.services.specs import edit_spec

    kit = show_kit(gear.kit)
    assert kit is not None
    with change(actor_id=None, request_id="hostile") as c:
        edit_kit(c, gear.kit, fields={"name": HOSTILE, "purpose": HOSTILE})
        edit_spec(c, gear.specs["switch"], fields={"name": HOSTILE})
        edit_position(c, gear.kit, position(gear, "switch A"), fields={"label": HOSTILE[:50]})
        from inventory.services.contents import edit_link

        for link in kit["links"]:
            edit_link(c, gear.kit, link["id"], fields={"label": HOSTILE, "colour": HOSTILE[:40]})
    checked()
    somebody = reader("planner")
    for address in [*addresses(gear), f"/kits/?q={HOSTILE[:20]}"]:
        page = text(somebody.get(address))
        assert "<script>alert" not in page, address
        assert "<b>\x07" not in page, address
    for view in ("wiring", "panel"):
        drawing = text(somebody.get(f"/api/v1/kits/{gear.kit}/drawing.svg?view={view}"))
        assert "<script" not in drawing
        assert "\x07" not in drawing


def test_pages_are_light_on_a_poor_link(reader, gear: Gear) -> None:
    """Compressed as they travel: under 150 KB with everything at first, under 40 KB each after that."""
    import gzip
    from pathlib import Path

    from django.contrib.staticfiles import finders

    somebody = reader("planner")
    files = re.findall(r'(?:href|src)="/static/([^"]+)"', text(somebody.get(f"/kits/{gear.kit}/")))
    assert "web/look.css" in files
    sizes = {}
    for name in set(files):
        content = Path(str(finders.find(name))).read_bytes()
        sizes[name] = len(content if name.endswith("woff2") else gzip.compress(content))
    for address in addresses(gear):
        answer = somebody.get(address, HTTP_ACCEPT_ENCODING="gzip")
        assert answer.headers["Content-Encoding"] == "gzip"
        assert len(answer.content) < 40_000, address
        assert len(answer.content) + sum(sizes.values()) < 150_000, address
