"""What a kit is for: how its page says it, and the form that writes it."""

import re

import pytest

from inventory.base.changes import change
from inventory.checks.drain import drain
from inventory.selectors.kits import show_kit
from inventory.selectors.measuring import numbers_worth_measuring
from inventory.services.contents import add_position
from inventory.services.kits import create_kit, edit_kit
from inventory.services.positions import PositionDraft
from inventory.services.specs import create_spec
from tests.web.company import BRIEF, Gear, ethernet, make_unit, stage_case, write
from tests.web.reading import text
from tests.web.typed import typed

pytestmark = pytest.mark.django_db

SAID = (
    ("Ports outside", "8 for ethernet, 8P8C (RJ45), rugged shell; 2 for dmx"),
    ("Segment lighting", "VLAN 10, 10.0.10.0/24, addresses set by hand: case LAN 1-4"),
    ("Segment sound", "VLAN 20, 10.0.20.0/24: case LAN 5, switch B 8"),
    ("Addresses of the venue", "192.168.0.0/24"),
    ("Lighting control", "universes 1-3, 7, 512 slots each, 44 times a second"),
    ("Stream pictures", "12.5 Mb/s from camera 1 lan to sound desk net"),
    ("Stream the show", "6 Mb/s from camera 2 lan out to the internet"),
    ("Wi-Fi users", "40 at once, 2 Mb/s each"),
    (
        "Lift at the van",
        "by 2 people, hands 40 cm in front of the ankles, 60 cm up or down from 30 cm above the floor",
    ),
    ("Travels", "by road"),
    ("Configuration", "stage, spring, saved 30 Apr 2027 06:00"),
    ("Software", "switch software, for switch A, switch B; on no computer yet"),
    ("Firmware of switch A", "4.2"),
)


@pytest.fixture
def gear() -> Gear:
    return stage_case()


@pytest.fixture
def asked(gear: Gear) -> Gear:
    write(None, lambda c: edit_kit(c, gear.kit, fields={"brief": BRIEF}))
    return gear


def brief(gear: Gear):
    kit = show_kit(gear.kit)
    assert kit is not None
    return kit["brief"]


def address(gear: Gear) -> str:
    return f"/kits/{gear.kit}/brief/"


def errors(page: str) -> dict[str, str]:
    """Return name of the control → what is said beside it."""
    return dict(re.findall(r'<p class="small" id="f-([^"]+)_error">.*?</svg> ([^<]+)</p>', page))


def test_the_page_of_a_kit_says_what_it_is_for(reader, asked: Gear) -> None:
    page = text(reader("viewer").get(f"/kits/{asked.kit}/"))
    assert tuple(re.findall(r"<dt>([^<]+)</dt><dd>([^<]+)</dd>", page)) == SAID
    assert "brief/" not in page


def test_who_may_edit_is_asked_to_say_it_where_nobody_did(reader, gear: Gear) -> None:
    page = text(reader("planner").get(f"/kits/{gear.kit}/"))
    assert f'<a href="{address(gear)}">Say what it is for</a>' in page
    assert "<h2" not in page[page.index('id="brief"') : page.index("Say what it is for")]
    assert "Say what it is for" not in text(reader("crew").get(f"/kits/{gear.kit}/"))


@pytest.mark.parametrize("role", ["viewer", "crew", "electrics"])
def test_who_may_not_edit_is_refused(reader, gear: Gear, role: str) -> None:
    somebody = reader(role)
    assert somebody.get(address(gear)).status_code == 403
    assert somebody.post(address(gear), {}).status_code == 403


def test_the_form_sent_as_it_was_shown_changes_nothing(reader, asked: Gear) -> None:
    before = brief(asked)
    somebody = reader("planner")
    answer = somebody.post(address(asked), typed(text(somebody.get(address(asked)))))
    assert (answer.status_code, answer["Location"]) == (303, f"/kits/{asked.kit}/#brief")
    assert brief(asked) == before


def test_a_brief_is_written_row_by_row(reader, gear: Gear) -> None:
    somebody = reader("planner")
    form = typed(text(somebody.get(address(gear))))
    computer = make_unit(gear.specs["desk"])
    from inventory.selectors.units import unit_rows

    tag = unit_rows().get(pk=computer)["tag"]
    filled = {
        "outside-0-quantity": "4",
        "outside-0-carries": "ethernet",
        "segments-0-name": "guests",
        "segments-0-ports": "CASE lan 7-8",
        "universes-0-numbers": "1-2, 9",
        "universes-0-slots": "96",
        "streams-0-name": "show",
        "streams-0-mbps": "6",
        "streams-0-source": "sound desk net",
        "internet_up_mbps": "20",
        "controllers-0-name": "desk software",
        "controllers-0-positions": "sound desk",
        "controllers-0-computers": f" {tag.lower()}",
        "configuration-mark": "spring",
        "configuration-saved_at": "2027-04-30T06:00:07",
    }
    assert somebody.post(address(gear), {**form, **filled}).status_code == 303
    now = brief(gear)
    assert now["outside"] == [{"carries": "ethernet", "quantity": 4, "connector": None}]
    assert [(end["label"], end["port"]) for end in now["segments"][0]["ports"]] == [
        ("case", "LAN 7"),
        ("case", "LAN 8"),
    ]
    assert [(each["number"], each["slots"]) for each in now["universes"]] == [(1, 96), (2, 96), (9, 96)]
    assert now["streams"][0]["to"] is None
    assert now["controllers"][0]["computers"] == [computer]
    assert now["configuration"]["saved_at"].startswith("2027-04-30T06:00:07")
    assert (now["radio"], now["lifts"], now["transport"]) == (None, [], None)
    assert "on 1 unit</dd>" in text(somebody.get(f"/kits/{gear.kit}/"))


def test_a_row_that_is_emptied_or_ticked_is_gone(reader, asked: Gear) -> None:
    somebody = reader("planner")
    form = typed(text(somebody.get(address(asked))))
    emptied = {name: "" for name in form if name.startswith("segments-0-")}
    somebody.post(address(asked), {**form, **emptied, "streams-0-DELETE": "on"})
    assert [each["name"] for each in brief(asked)["segments"]] == ["sound"]
    assert [each["name"] for each in brief(asked)["streams"]] == ["the show"]


def test_a_form_that_asks_nothing_takes_the_brief_away(reader, asked: Gear) -> None:
    somebody = reader("planner")
    form = typed(text(somebody.get(address(asked))))
    kept = ("version", "ledger", "csrfmiddlewaretoken")
    empty = {name: value if name in kept or name.endswith("_FORMS") else "" for name, value in form.items()}
    assert somebody.post(address(asked), empty).status_code == 303
    assert brief(asked) is None


def test_every_refusal_stands_beside_its_field_and_nothing_typed_is_lost(reader, gear: Gear) -> None:
    somebody = reader("planner")
    form = typed(text(somebody.get(address(gear))))
    wrong = {
        "outside-0-quantity": "4",
        "segments-0-name": "guests",
        "segments-0-vlan": "4095",
        "segments-0-ports": "case LAN 7, LAN 9",
        "universes-0-numbers": "4-1",
        "streams-0-name": "show",
        "streams-0-mbps": "6",
        "streams-0-source": "case LAN 1-2",
        "radio-clients": "10",
        "lifts-0-people": "2",
        "controllers-0-name": "desk software",
        "controllers-0-computers": "NO-SUCH",
        "firmware-0-version": "<1>",
    }
    answer = somebody.post(address(gear), {**form, **wrong})
    page = text(answer)
    assert answer.status_code == 400
    assert set(errors(page)) == {
        "outside-0-carries", "segments-0-vlan", "segments-0-ports", "universes-0-numbers", "streams-0-source",
        "radio-client_mbps", "lifts-0-name", "lifts-0-horizontal_cm", "lifts-0-origin_cm", "lifts-0-travel_cm",
        "controllers-0-computers", "firmware-0-position",
    }  # fmt: skip
    assert "has a port “LAN 9”. case has LAN 1-8," in errors(page)["segments-0-ports"]
    assert {name: typed(page)[name] for name in wrong} == wrong
    assert re.findall(r'<a href="#(\w+)">[^<]+</a>[,.]', page) == [
        "outside", "network", "lighting", "traffic", "air", "carriage", "setup",
    ]  # fmt: skip
    assert brief(gear) is None


def test_what_the_service_refuses_stands_beside_its_field(reader, gear: Gear) -> None:
    """Two universes stand in the first row, so the third one's row is the second."""
    somebody = reader("planner")
    form = typed(text(somebody.get(address(gear))))
    first = {"universes-0-numbers": "1-2", "segments-0-name": "a"}
    more = typed(text(somebody.post(address(gear), {**form, **first, "verb": "more"})))
    wrong = {
        "universes-1-numbers": "64000",
        "segments-1-name": "b",
        "segments-1-block": "10.0.10.0",
        "venue_blocks": "10.0.0.0/8, 192.168.0.1",
        "lifts-0-name": "the van", "lifts-0-horizontal_cm": "40", "lifts-0-origin_cm": "30", "lifts-0-travel_cm": "60",
        "lifts-0-duration_h": "8",
    }  # fmt: skip
    answer = somebody.post(address(gear), {**more, **wrong})
    assert answer.status_code == 400
    assert set(errors(text(answer))) == {"universes-1-numbers", "segments-1-block", "venue_blocks"}
    right = {"universes-1-numbers": "63999", "segments-1-block": "10.0.10.0/24", "venue_blocks": ""}
    assert somebody.post(address(gear), {**typed(text(answer)), **right}).status_code == 303


def test_room_for_another_row_is_made_without_saving(reader, gear: Gear) -> None:
    somebody = reader("planner")
    form = typed(text(somebody.get(address(gear))))
    answer = somebody.post(f"{address(gear)}?part=lifts", {**form, "lifts-0-name": "the van", "verb": "more"})
    page = text(answer)
    assert answer.status_code == 200
    assert typed(page)["lifts-0-name"] == "the van"
    assert typed(page)["lifts-1-name"] == ""
    assert "lifts-2-name" not in typed(page)
    assert typed(page)["version"] == form["version"]
    assert errors(page) == {}
    assert brief(gear) is None


def test_a_theme_is_open_that_holds_something_or_was_asked_for(reader, gear: Gear) -> None:
    def opened(where: str) -> list[str]:
        return re.findall(r'<details class="theme" id="(\w+)" open>', text(reader("planner").get(where)))

    assert opened(address(gear)) == []
    assert opened(f"{address(gear)}?part=radio") == ["air"]
    write(None, lambda c: edit_kit(c, gear.kit, fields={"brief": {"transport": "air"}}))
    assert opened(address(gear)) == ["carriage"]


def test_what_was_typed_comes_back_when_the_session_is_lost(reader, gear: Gear) -> None:
    somebody = reader("planner")
    form = typed(text(somebody.get(address(gear))))
    somebody.logout()
    filled = {"segments-0-name": 'a "<b>"', "segments-0-ports": "case LAN 99", "radio-clients": "7"}
    answer = somebody.post(address(gear), {**form, **filled})
    assert answer.status_code == 401
    sealed = re.search(r'name="kept" value="([^"]+)"', text(answer))
    assert sealed is not None
    sign_in = {"username": "planner", "password": "a long enough password", "next": address(gear), "kept": sealed[1]}
    assert somebody.post("/sign-in/", sign_in)["Location"] == address(gear)
    page = text(somebody.get(address(gear)))
    assert "This is what you typed before signing in." in page
    assert {name: typed(page)[name] for name in filled} == filled
    assert brief(gear) is None


def test_the_second_of_two_people_is_told_and_keeps_what_was_typed(reader, people, gear: Gear) -> None:
    second = reader("planner")
    form = typed(text(second.get(address(gear))))
    with change(actor_id=people["owner"].pk, request_id="first") as c:
        edit_kit(c, gear.kit, fields={"brief": {"transport": "air"}})
    answer = second.post(address(gear), {**form, "segments-0-name": "guests"})
    page = text(answer)
    assert answer.status_code == 412
    assert "owner changed what is asked of it" in page
    assert "takes the place of what they asked" in page
    assert brief(gear)["segments"] == []
    assert second.post(address(gear), typed(page)).status_code == 303
    assert [each["name"] for each in brief(gear)["segments"]] == ["guests"]


def test_a_kit_that_is_not_there_has_no_brief(reader) -> None:
    assert reader("planner").get("/kits/987654/brief/").status_code == 404


def test_what_a_brief_or_a_unit_lacks_leads_to_where_it_is_typed(
    reader, asked: Gear, django_assert_num_queries
) -> None:
    drain(pause=lambda _: None)
    somebody = reader("planner")
    ways = {
        "what the venue lets out, in Mb/s": f"/kits/{asked.kit}/brief/?part=internet_up_mbps#f-internet_up_mbps",
        "the firmware that it runs": f"/units/{asked.units['switch A']}/edit/#f-firmware",
    }
    page = text(somebody.get("/measuring/"))
    found = {words: way for way, words in re.findall(r'<a href="([^"]+)">([^<]+)<span', page)}
    assert ways.items() <= found.items()
    assert "what Stage case 2 is for" in page
    of_kit = text(somebody.get(f"/kits/{asked.kit}/"))
    for words, way in ways.items():
        assert f'<b>{words}.</b> <a href="{way}">Write it down</a>' in of_kit
        anchor = way.partition("#")[2]
        assert f'id="{anchor}"' in text(somebody.get(way))
    viewer = reader("viewer")
    assert "Write it down" not in text(viewer.get(f"/kits/{asked.kit}/"))
    for way in re.findall(r'<a href="(/(?:kits|units)/\d[^"]*)"', text(viewer.get("/measuring/"))):
        assert viewer.get(way).status_code == 200


def test_a_number_of_a_kit_inside_is_asked_of_that_kit(reader, asked: Gear) -> None:
    """The access point of the inner kit serves guests at a rate that its own brief does not say."""
    spec = write(
        None,
        lambda c: create_spec(
            c, fields={"name": "Access point", "kind": "access-point", "ports": (ethernet("lan", poe="load"),)}
        ),
    )
    case, access_point = make_unit(asked.specs["case"]), make_unit(spec)
    inner = write(
        None,
        lambda c: create_kit(
            c,
            fields={"name": "Box", "case": case, "brief": {"radio": BRIEF["radio"]}},
            positions=[PositionDraft(label="access point", role="required", spec=spec, unit=access_point)],
        ),
    )
    write(None, lambda c: add_position(c, asked.kit, draft=PositionDraft(label="box", role="required", unit=case)))
    drain(pause=lambda _: None)
    rows = [row for row in numbers_worth_measuring() if row["number"] == "brief.radio.rate_mbps"]
    assert (inner, "Box", None, 2) in [(row["kit"], row["name"], row["spec"], row["kits"]) for row in rows]
    page = text(reader("planner").get(f"/kits/{asked.kit}/"))
    assert {inner, asked.kit} == {int(kit) for kit in re.findall(r'"/kits/(\d+)/brief/\?part=radio#', page)}
