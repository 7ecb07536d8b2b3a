"""The bench: what is broken by the next show, flagging by two taps, whom a fault hurts, what has to be tested."""

import re

import pytest

from inventory.models import Fault, Kit, Position, Unit
from inventory.services.faults import report_fault
from inventory.services.inspections import record_inspection
from tests.scheduling.factories import KitFactory, SpecFactory, UnitFactory
from tests.web.company import make_specs, make_unit, write
from tests.web.reading import text
from tests.web.shows import booked, moment, show
from web.views.bench.page import until

pytestmark = pytest.mark.django_db


def flag(unit: int, **fields: object) -> int:
    given = {"what": "dead", "port": None, "usable": None, "note": "", **fields}
    return write(None, lambda c: report_fault(c, unit_id=unit, **given))


# The list


def test_an_empty_bench_says_what_would_stand_there(reader) -> None:
    page = text(reader("viewer").get("/bench/"))
    assert "Nothing is on the bench" in page
    assert "No test is due." in page


def test_the_next_show_comes_first_and_what_nobody_waits_for_last(reader) -> None:
    idle, later, sooner = (UnitFactory(spec__name=name) for name in ("Idle", "Later", "Sooner"))
    booked(show(out=9, back=10), unit=later.pk)
    booked(show(out=2, back=3), unit=sooner.pk)
    for unit in (idle, later, sooner):
        flag(unit.pk)
    page = text(reader("viewer").get("/bench/"))
    places = [page.index(f'href="/units/{unit.pk}/"') for unit in (sooner, later, idle)]
    assert places == sorted(places)
    assert "nothing waits for it" in page
    assert "3 held back, 0 in use with a fault" in page


def test_a_fault_that_is_used_all_the_same(reader) -> None:
    unit = UnitFactory()
    booked(show("Harvest choirs"), unit=unit.pk)
    flag(unit.pk, what="label")
    page = text(reader("viewer").get("/bench/"))
    assert "0 held back, 1 in use with a fault" in page
    assert "goes out with it" in page
    assert "Harvest choirs" in page


def test_what_is_lost_or_retired_is_not_on_the_bench(reader) -> None:
    unit = UnitFactory()
    flag(unit.pk)
    Unit.objects.update(state="retired")
    assert unit.tag not in text(reader("viewer").get("/bench/"))


@pytest.mark.parametrize(
    ("hours", "said"),
    [
        (-1, ("now", "it is out")),
        (0.2, ("1", "hour")),
        (20, ("20", "hours")),
        (47.4, ("47", "hours")),
        (72, ("3", "days")),
    ],
)
def test_how_long_it_is_until_the_show(hours: float, said: tuple[str, str]) -> None:
    from datetime import timedelta

    now = moment(0)
    assert until(now + timedelta(hours=hours), now) == said


@pytest.mark.parametrize(
    ("role", "flags", "mends"), [("viewer", False, False), ("crew", True, False), ("planner", True, True)]
)
def test_each_role_is_offered_what_it_may_do(reader, role: str, flags: bool, mends: bool) -> None:
    unit = UnitFactory()
    flag(unit.pk)
    page = text(reader(role).get("/bench/"))
    assert ('action="/bench/flag/"' in page) == flags
    assert (f"/units/{unit.pk}/work/" in page) == mends
    assert (f"/units/{unit.pk}/back/" in page) == mends


def test_tests_that_are_failed_due_or_never_done_are_listed_and_others_are_not(reader) -> None:
    spec = SpecFactory(inspection_interval_days=365)
    failed, overdue, soon, fine, never = (UnitFactory(spec=spec) for _ in range(5))
    for unit, days, passed in ((failed, -1, False), (overdue, -400, True), (soon, -355, True), (fine, -10, True)):
        given = {"kind": "", "readings": (), "instrument": "", "tester": "", "note": ""}
        write(
            None,
            lambda c, unit=unit, days=days, passed=passed, given=given: record_inspection(
                c, unit_id=unit.pk, passed=passed, at=moment(days), **given
            ),
        )
    page = text(reader("planner").get("/bench/"))
    tests = page[page.index('id="tests"') :]
    places = [tests.index(f"/units/{unit.pk}/test/") for unit in (failed, overdue, soon)]
    assert places == sorted(places)
    for unit in (fine, never):
        assert f"/units/{unit.pk}/" not in tests
    for said in ("failed", "due since", "due by", f'href="/specs/{spec.pk}/#units"', "1 unit<"):
        assert said in tests


def test_notes_are_text_and_not_markup(reader) -> None:
    unit = UnitFactory(spec__name="<i>switch</i>")
    booked(show("<u>show</u>"), unit=unit.pk)
    fault = flag(unit.pk, note="<img src=x onerror=alert(1)>")
    for address in ("/bench/", f"/faults/{fault}/"):
        page = text(reader("planner").get(address))
        assert [markup for markup in ("<i>switch", "<u>show", "<img src=x") if markup in page] == []


# By tag


def test_a_tag_leads_to_the_form_in_any_case_and_by_an_alias(reader) -> None:
    from inventory.models import Tag

    unit = UnitFactory(tag="LAMP-1")
    Tag.objects.bulk_create([Tag(tag="LAMP-1", unit=unit), Tag(tag="OLD-9", unit=unit)])
    for typed in ("LAMP-1", "lamp-1", " old-9 "):
        answer = reader("crew").get("/bench/flag/", {"tag": typed})
        assert (answer.status_code, answer["Location"]) == (302, f"/units/{unit.pk}/fault/")


def test_a_mistyped_tag_is_explained_with_what_it_may_have_been(reader) -> None:
    unit = Unit.objects.get(pk=make_unit(SpecFactory().pk))
    assert unit.tag == "T0001W"
    page = text(reader("crew").get("/bench/flag/", {"tag": "t0001v"}))
    assert "One character of T0001V is wrong" in page
    assert "after T0001 it would be W, and V was typed" in page
    assert f'href="/units/{unit.pk}/fault/">T0001W</a>' in page


def test_the_check_character_is_that_of_the_standard() -> None:
    """ISO/IEC 7064, MOD 37,36: from 36, add each character, take it modulo 36 (nought as 36), double, modulo 37."""
    signs = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ"
    check = 36
    for character in "T0001":
        check = ((check + signs.index(character)) % 36 or 36) * 2 % 37
    assert signs[(1 - check) % 36] == "W"


def test_a_tag_of_another_kind_is_only_not_there(reader) -> None:
    page = text(reader("crew").get("/bench/flag/", {"tag": "LAMP-1"}))
    assert "No unit has the tag LAMP-1." in page
    assert "is wrong" not in page


# Flagging


@pytest.fixture
def switch() -> Unit:
    return Unit.objects.get(pk=make_unit(make_specs()["switch"]))


def test_two_taps_flag_a_port_and_lead_to_whom_it_hurts(reader, switch) -> None:
    crew = reader("crew")
    page = text(crew.get(f"/units/{switch.pk}/fault/"))
    assert '<input type="radio" name="port" value="8">' in page
    assert '<button name="what" value="dead">' in page
    answer = crew.post(f"/units/{switch.pk}/fault/", {"port": "8", "what": "dead"})
    fault = Fault.objects.get()
    assert (answer.status_code, answer["Location"]) == (303, f"/faults/{fault.pk}/")
    assert (fault.port_name, fault.what, fault.usable, fault.reported_by.username) == ("8", "dead", False, "crew")
    switch.refresh_from_db()
    assert switch.state == "held-back"


@pytest.mark.parametrize(
    ("what", "usable", "state"),
    [
        ("latch", "", "in-service"),
        ("latch", "no", "held-back"),
        ("dead", "yes", "in-service"),
        ("dead", "", "held-back"),
    ],
)
def test_whether_it_may_go_out_follows_the_kind_unless_somebody_says(reader, switch, what, usable, state) -> None:
    reader("crew").post(f"/units/{switch.pk}/fault/", {"port": "", "what": what, "usable": usable})
    switch.refresh_from_db()
    assert switch.state == state


def test_a_port_that_is_none_is_refused_and_the_note_stays(reader, switch) -> None:
    answer = reader("crew").post(f"/units/{switch.pk}/fault/", {"port": "99", "what": "dead", "note": "sparks"})
    assert answer.status_code == 400
    assert 'value="sparks"' in text(answer)
    assert "Select a valid choice" in text(answer)
    assert not Fault.objects.exists()


def test_without_saying_what_broke_nothing_is_flagged(reader, switch) -> None:
    answer = reader("crew").post(f"/units/{switch.pk}/fault/", {"port": "8", "note": "sparks"})
    assert answer.status_code == 400
    assert '<input type="radio" name="port" value="8" checked>' in text(answer)
    assert not Fault.objects.exists()


# Whom it hurts


def test_whom_a_fault_hurts_is_said_with_what_could_stand_in(reader) -> None:
    spec = SpecFactory(name="Mains adapter")
    broken, spare = UnitFactory(spec=spec), UnitFactory(spec=spec)
    booked(show("Harvest choirs"), unit=broken.pk)
    fault = flag(broken.pk, note="burnt")
    page = text(reader("viewer").get(f"/faults/{fault}/"))
    assert "Harvest choirs" in page
    assert "short 1" in page
    assert f"Mains adapter {broken.tag}: held back." in page
    assert f'href="/units/{spare.pk}/"' in page
    assert "kept from use" in page


def test_a_kit_that_counted_on_it_is_named_with_the_place(reader) -> None:
    kit = KitFactory(name="Booth case")
    unit = UnitFactory(spec__name="Splitter")
    Position.objects.create(kit=kit, label="splitter A", role="required", spec=unit.spec, unit=unit)
    booked(show("Harvest choirs"), kit=kit.pk)
    page = text(reader("viewer").get(f"/faults/{flag(unit.pk)}/"))
    assert f"Splitter {unit.tag}, splitter A of Booth case: held back." in page
    assert "Nothing that could stand in is free then." in page


def booth_case(unit: Unit, role: str = "required", name: str = "Booth case") -> Kit:
    kit = KitFactory(name=name)
    Position.objects.create(kit=kit, label="splitter A", role=role, spec=unit.spec, unit=unit)
    return kit


def buttons(page: str) -> list[str]:
    return re.findall(r'<button name="unit"[^>]*>([^<]+)</button>', page)


def test_one_tap_lets_a_loose_unit_take_the_place_in_the_case(reader) -> None:
    spec = SpecFactory(name="Splitter")
    broken, loose, packed = (UnitFactory(spec=spec) for _ in range(3))
    kit = booth_case(broken)
    booth_case(packed, name="Other case")
    booked(show("Harvest choirs"), kit=kit.pk)
    fault = flag(broken.pk)
    assert buttons(text(reader("viewer").get(f"/faults/{fault}/"))) == []
    planner = reader("planner")
    page = text(planner.get(f"/faults/{fault}/"))
    assert buttons(page) == [f"Take {loose.tag} instead"]
    assert f'href="/units/{packed.pk}/"' in page
    action, short = re.search(r'action="(/bookings/\d+/stand-in/)".*?name="short" value="(\d+)"', page, re.S).groups()
    assert planner.post(action, {"short": short, "unit": loose.pk, "for_good": "on"}).status_code == 303
    assert kit.positions.get(label="splitter A").unit_id == loose.pk
    assert "Harvest choirs" not in text(planner.get(f"/faults/{fault}/"))


def test_a_unit_that_was_booked_by_itself_may_be_replaced_out_of_a_kit(reader) -> None:
    spec = SpecFactory()
    broken, packed = (UnitFactory(spec=spec) for _ in range(2))
    booth_case(packed)
    booked(show(), unit=broken.pk)
    page = text(reader("planner").get(f"/faults/{flag(broken.pk)}/"))
    assert buttons(page) == [f"Take {packed.tag} instead"]


def test_a_number_that_is_short_is_dealt_again(reader) -> None:
    spec = SpecFactory()
    broken, packed = (UnitFactory(spec=spec) for _ in range(2))
    booth_case(packed)
    booked(show(), spec=spec.pk, quantity=1)
    page = text(reader("planner").get(f"/faults/{flag(broken.pk)}/"))
    assert buttons(page) == []
    assert "Deal it again" in page


def test_no_more_than_a_few_stand_ins_are_listed(reader) -> None:
    spec = SpecFactory()
    broken, *_ = (UnitFactory(spec=spec) for _ in range(7))
    booked(show(), unit=broken.pk)
    page = text(reader("planner").get(f"/faults/{flag(broken.pk)}/"))
    assert len(buttons(page)) == 4
    assert "2 more are free." in page


@pytest.mark.parametrize(("role", "is_said"), [("required", True), ("spare", False)])
def test_a_whole_kit_that_could_go_instead_is_named_where_something_needed_is_lacking(reader, role, is_said) -> None:
    case, spec = SpecFactory(kind="case"), SpecFactory(name="Splitter")
    kits = []
    for name in ("Booth case", "Second case"):
        kit = KitFactory(name=name, case=UnitFactory(spec=case))
        unit = UnitFactory(spec=spec)
        Position.objects.create(kit=kit, label="splitter A", role=role, spec=spec, unit=unit)
        kits.append((kit, unit))
    (kit, broken), (second, _) = kits
    booked(show(out=2, back=3), kit=kit.pk)
    booked(show(out=5, back=6), kit=kit.pk)
    booked(show("Elsewhere", out=5, back=6), kit=second.pk)
    page = text(reader("planner").get(f"/faults/{flag(broken.pk)}/"))
    said = f'could go instead, complete and free then: <a href="/kits/{second.pk}/">Second case</a>'
    assert page.count(said) == int(is_said)  # not for the show at whose time it is out itself


def test_a_missing_spare_is_a_caution(reader) -> None:
    kit = KitFactory(name="Booth case")
    unit = UnitFactory()
    Position.objects.create(kit=kit, label="spare lead", role="spare", spec=unit.spec, unit=unit)
    booked(show(), kit=kit.pk)
    page = text(reader("viewer").get(f"/faults/{flag(unit.pk)}/"))
    assert "spare missing" in page
    assert "short 1" not in page


def test_a_show_that_is_dealt_another_is_not_hurt(reader) -> None:
    spec = SpecFactory()
    units = [UnitFactory(spec=spec) for _ in range(2)]
    booked(show("Harvest choirs"), spec=spec.pk, quantity=1)
    fault = flag(units[0].pk)
    page = text(reader("viewer").get(f"/faults/{fault}/"))
    assert "Harvest choirs" not in page
    assert "no show that is booked lacks anything by it" in page


def test_a_planner_lets_it_go_out_and_the_show_has_it_again(reader) -> None:
    unit = UnitFactory()
    booked(show("Harvest choirs"), unit=unit.pk)
    fault = Fault.objects.get(pk=flag(unit.pk))
    planner = reader("planner")
    assert "Let it go out with this" in text(planner.get(f"/faults/{fault.pk}/"))
    answer = planner.post(f"/faults/{fault.pk}/", {"usable": "yes", "version": fault.version, "ledger": 0})
    assert answer.status_code == 303
    page = text(planner.get(f"/faults/{fault.pk}/"))
    assert "Harvest choirs" not in page
    assert "may go out" in page
    unit.refresh_from_db()
    assert unit.state == "in-service"


@pytest.mark.parametrize("role", ["viewer", "crew", "electrics"])
def test_others_do_not_judge_a_fault_even_when_forced(reader, role: str) -> None:
    fault = Fault.objects.get(pk=flag(UnitFactory().pk))
    somebody = reader(role)
    page = text(somebody.get(f"/faults/{fault.pk}/"))
    assert "Let it go out" not in page
    assert "/work/" not in page
    answer = somebody.post(f"/faults/{fault.pk}/", {"usable": "yes", "version": fault.version, "ledger": 0})
    assert answer.status_code == 403
    fault.refresh_from_db()
    assert fault.usable is False


def test_two_planners_do_not_judge_over_each_other(reader) -> None:
    fault = Fault.objects.get(pk=flag(UnitFactory().pk))
    planner = reader("planner")
    form = {"usable": "yes", "version": fault.version, "ledger": 0}
    planner.post(f"/faults/{fault.pk}/", form)
    answer = planner.post(f"/faults/{fault.pk}/", {**form, "usable": "no"})
    assert answer.status_code == 412
    assert "What changed meanwhile" in text(answer)


def test_a_fault_that_is_not_there(reader) -> None:
    assert reader("viewer").get("/faults/999999/").status_code == 404
