"""One unit on its page: where it is, whether it can be trusted, who counts on it; and the forms over it."""

import pytest

from inventory.models import Downtime, Fault, Location, Tag, Unit
from inventory.services.faults import record_repair, report_fault
from inventory.services.inspections import record_inspection
from tests.scheduling.factories import PositionFactory, SpecFactory, UnitFactory
from tests.web.company import make_specs, make_unit, write
from tests.web.reading import text
from tests.web.shows import booked, moment, show

pytestmark = pytest.mark.django_db

READERS = ("viewer", "crew", "electrics")
FORMS = ("edit/", "state/", "work/", "back/", "test/")


@pytest.fixture
def unit() -> Unit:
    return Unit.objects.get(pk=make_unit(make_specs()["switch"]))


def at(unit: Unit, rest: str = "") -> str:
    return f"/units/{unit.pk}/{rest}"


def stamped(unit: Unit, **typed: object) -> dict[str, object]:
    unit.refresh_from_db()
    return {"version": unit.version, "ledger": 0, **typed}


def flag(unit: Unit, **fields: object) -> int:
    given = {"what": "dead", "port": "3", "usable": None, "note": "no light", **fields}
    return write(None, lambda c: report_fault(c, unit_id=unit.pk, **given))


# The page


def test_the_page_says_where_it_is_and_who_has_it(reader, people, unit) -> None:
    PositionFactory(unit=unit, kit__name="Booth case", label="switch A")
    Unit.objects.filter(pk=unit.pk).update(
        location=Location.objects.create(name="Shelf A"), signed_to=people["crew"], condition="scratched"
    )
    page = text(reader("viewer").get(at(unit)))
    assert "Booth case</a>, switch A" in page
    assert "<dt>Place</dt><dd>Shelf A</dd><dt>Signed to</dt><dd>crew</dd><dt>Condition</dt><dd>scratched</dd>" in page
    assert "no open fault" in page


def test_a_sound_unit_nobody_counts_on(reader, unit) -> None:
    page = text(reader("viewer").get(at(unit)))
    assert "no kit, it lies loose" in page
    assert "Nobody counts on it from now on." in page
    assert "No open fault." in page
    assert "No test is on record." in page


def test_open_faults_and_what_was_mended(reader, unit) -> None:
    flag(unit, port="1", what="latch", note="tied up")
    write(
        None,
        lambda c: record_repair(
            c, unit_id=unit.pk, fault_ids=None, note="new latch", cost="4.20", currency="EUR", minutes=10
        ),
    )
    flag(unit)
    crew, viewer = text(reader("crew").get(at(unit))), text(reader("viewer").get(at(unit)))
    assert "Dead at 3" in viewer
    assert "held back" in viewer
    assert "<b>Latch broken at 1</b>: new latch" in viewer
    assert "4.20 EUR" in crew
    assert "4.20" not in viewer


def test_what_it_is_promised_to_and_has_lost(reader, unit) -> None:
    booked(show("Harvest choirs"), unit=unit.pk)
    booked(show("Perhaps", out=5, back=6), unit=unit.pk, state="pencil")
    page = text(reader("viewer").get(at(unit)))
    assert "Harvest choirs" in page
    assert "pencilled" in page
    flag(unit)
    assert "has to do without it" in text(reader("viewer").get(at(unit)))


def test_a_test_that_is_overdue(reader, unit) -> None:
    unit.spec.inspection_interval_days = 30
    unit.spec.save()

    def test(days: float, *, passed: bool) -> None:
        given = {"kind": "", "readings": (), "instrument": "", "tester": "", "note": ""}
        write(None, lambda c: record_inspection(c, unit_id=unit.pk, passed=passed, at=moment(days), **given))

    test(-40, passed=True)
    assert "due since" in text(reader("viewer").get(at(unit)))
    test(-1, passed=True)
    page = text(reader("viewer").get(at(unit)))
    assert "due since" not in page
    assert "Next by" in page
    test(0, passed=False)
    assert "failed a test" in text(reader("viewer").get(at(unit))).lower()


@pytest.mark.parametrize(
    ("role", "offered", "not_offered"),
    [
        ("viewer", (), ("fault/", *FORMS)),
        ("crew", ("fault/",), FORMS),
        ("electrics", ("fault/",), FORMS),
        ("planner", ("fault/", *FORMS), ()),
    ],
)
def test_each_role_is_offered_what_it_may_do(reader, unit, role: str, offered, not_offered) -> None:
    flag(unit)
    page = text(reader(role).get(at(unit)))
    assert [rest for rest in offered if at(unit, rest) not in page] == []
    assert [rest for rest in not_offered if at(unit, rest) in page] == []


@pytest.mark.parametrize("rest", FORMS)
@pytest.mark.parametrize("role", READERS)
def test_the_wrong_role_is_refused_even_when_forced(reader, unit, role: str, rest: str) -> None:
    somebody = reader(role)
    assert somebody.get(at(unit, rest)).status_code == 403
    assert somebody.post(at(unit, rest), stamped(unit, state="retired", note="x", passed="no")).status_code == 403
    unit.refresh_from_db()
    assert (unit.version, unit.state) == (1, "in-service")


def test_a_viewer_cannot_flag_a_fault_even_when_forced(reader, unit) -> None:
    viewer = reader("viewer")
    assert viewer.get(at(unit, "fault/")).status_code == 403
    assert viewer.post(at(unit, "fault/"), {"what": "dead", "port": "1"}).status_code == 403
    assert not Fault.objects.exists()


def test_what_people_wrote_is_text_and_not_markup(reader) -> None:
    evil = UnitFactory(condition="<script>alert(1)</script>", spec=SpecFactory(name="<i>switch</i>"))
    flag(evil, port=None, note="<img src=x onerror=alert(1)>")
    booked(show("<u>show</u>"), unit=evil.pk)
    page = text(reader("planner").get(at(evil)))
    for markup in ("<script>alert", "<i>switch", "<img src=x", "<u>show"):
        assert markup not in page


def test_a_unit_that_is_not_there(reader) -> None:
    for rest in ("", "fault/", *FORMS):
        assert reader("planner").get(f"/units/999999/{rest}").status_code == 404


# New units


def test_several_units_are_entered_with_tags_of_their_own(reader) -> None:
    spec = SpecFactory()
    answer = reader("planner").post("/units/new/", {"spec": spec.pk, "quantity": 3, "new_place": "Shelf B"})
    assert (answer.status_code, answer["Location"]) == (303, f"/specs/{spec.pk}/#units")
    units = Unit.objects.filter(spec=spec)
    assert len({unit.tag for unit in units}) == 3
    assert {unit.location.name for unit in units} == {"Shelf B"}


def test_one_unit_leads_to_its_page(reader) -> None:
    spec = SpecFactory()
    answer = reader("planner").post("/units/new/", {"spec": spec.pk, "quantity": 1, "tag": "OLD-7", "serial": "S1"})
    unit = Unit.objects.get()
    assert answer["Location"] == at(unit)
    assert (unit.tag, unit.serial) == ("OLD-7", "S1")


def test_a_taken_tag_is_refused_and_everything_stays_typed(reader, unit) -> None:
    Tag.objects.create(tag="OLD-7", unit=unit)
    spec = SpecFactory(name="Camera")
    typed = {"spec": spec.pk, "quantity": 1, "tag": "OLD-7", "serial": "S1", "new_place": "Van"}
    answer = reader("planner").post("/units/new/", typed)
    assert answer.status_code == 409
    assert f"belongs to unit {unit.tag}" in text(answer)
    for value in ("OLD-7", "S1", "Van"):
        assert f'value="{value}"' in text(answer)
    assert f'<option value="{spec.pk}" selected>' in text(answer)
    assert not Location.objects.exists()


def test_without_a_data_sheet_the_form_says_what_comes_first(reader) -> None:
    assert "write that first" in text(reader("planner").get("/units/new/"))


def test_the_spec_is_chosen_by_the_address(reader) -> None:
    spec = SpecFactory()
    assert f'<option value="{spec.pk}" selected>' in text(reader("planner").get(f"/units/new/?spec={spec.pk}"))


# Editing


def edited(unit: Unit, **changes: object) -> dict[str, object]:
    return stamped(unit, tag=unit.tag, condition="", location="", signed_to="") | changes


def test_place_condition_and_holder_are_changed(reader, people, unit) -> None:
    shelf = Location.objects.create(name="Shelf A")
    typed = edited(
        unit, location=shelf.pk, condition="dented", signed_to=people["crew"].pk, available_from="2031-05-05T08:00"
    )
    answer = reader("planner").post(at(unit, "edit/"), typed)
    assert (answer.status_code, answer["Location"]) == (303, at(unit))
    unit.refresh_from_db()
    assert (unit.location, unit.condition, unit.signed_to) == (shelf, "dented", people["crew"])
    assert unit.available_from.isoformat() == "2031-05-05T08:00:00+00:00"


def test_instants_are_read_by_the_clocks_of_the_company(reader, unit) -> None:
    from inventory.models import Company

    Company.objects.update(timezone="Europe/Zurich")
    reader("planner").post(at(unit, "edit/"), edited(unit, available_from="2031-07-05T08:00"))
    unit.refresh_from_db()
    assert unit.available_from.isoformat() == "2031-07-05T06:00:00+00:00"
    assert 'value="2031-07-05T08:00"' in text(reader("planner").get(at(unit, "edit/")))


@pytest.mark.parametrize(
    ("field", "value"),
    [
        ("tag", "two words"),
        ("measured_w", "inf"),
        ("available_from", "0001-01-01T00:00"),
        ("location", "999"),
        ("condition", "x" * 201),
    ],
)
def test_what_cannot_be_used_is_said_beside_its_field(reader, unit, field: str, value: str) -> None:
    answer = reader("planner").post(at(unit, "edit/"), edited(unit, **{field: value}, serial="kept"))
    assert answer.status_code == 400
    assert f"f-{field}_error" in text(answer)
    assert 'value="kept"' in text(answer)


def test_a_new_tag_leaves_the_old_one_as_an_alias(reader, unit) -> None:
    old = unit.tag
    reader("planner").post(at(unit, "edit/"), edited(unit, tag="NEW-1"))
    page = text(reader("viewer").get(at(unit)))
    assert "Tags it had" in page
    assert old[:-1] in page


def test_an_edit_over_somebody_elses_is_not_lost(reader, unit) -> None:
    planner = reader("planner")
    old = edited(unit, condition="mine")
    planner.post(at(unit, "edit/"), edited(unit, condition="theirs"))
    answer = planner.post(at(unit, "edit/"), old)
    assert answer.status_code == 412
    assert 'value="mine"' in text(answer)
    assert "What changed meanwhile" in text(answer)
    unit.refresh_from_db()
    assert unit.condition == "theirs"


# Another state


def test_retiring_says_whom_it_leaves_short_and_can_be_undone(reader, unit) -> None:
    booked(show("Harvest choirs"), unit=unit.pk)
    planner = reader("planner")
    assert "Harvest choirs" in text(planner.get(at(unit, "state/")))
    assert planner.post(at(unit, "state/"), stamped(unit, state="retired")).status_code == 303
    unit.refresh_from_db()
    assert unit.state == "retired"
    page = text(planner.get(at(unit)))
    assert "It is here again" in page
    assert at(unit, "fault/") not in page
    planner.post(at(unit, "state/"), stamped(unit, state="in-service"))
    unit.refresh_from_db()
    assert unit.state == "in-service"


def test_a_state_that_is_none_is_refused(reader, unit) -> None:
    assert reader("planner").post(at(unit, "state/"), stamped(unit, state="melted")).status_code == 400
    unit.refresh_from_db()
    assert unit.state == "in-service"


# At the bench


def test_work_closes_the_faults_that_it_mends_and_no_others(reader, unit) -> None:
    mended, left = flag(unit), flag(unit, port="1", what="latch")
    typed = {"note": "new jack", "cost": "8.40", "currency": "EUR", "minutes": "35", "faults": [mended]}
    answer = reader("planner").post(at(unit, "work/"), typed)
    assert (answer.status_code, answer["Location"]) == (303, at(unit))
    assert Fault.objects.get(pk=mended).closed_at is not None
    assert Fault.objects.get(pk=left).closed_at is None
    unit.refresh_from_db()
    assert unit.state == "in-service"


def test_work_that_mends_nothing_leaves_the_unit_held_back(reader, unit) -> None:
    fault = flag(unit)
    reader("planner").post(at(unit, "work/"), {"note": "tried another lead", "currency": "EUR"})
    assert Fault.objects.get(pk=fault).closed_at is None
    unit.refresh_from_db()
    assert unit.state == "held-back"


def test_work_that_cannot_be_used_stays_typed(reader, unit) -> None:
    fault = flag(unit)
    typed = {"note": "new jack", "cost": "-1", "currency": "EUR", "faults": []}
    answer = reader("planner").post(at(unit, "work/"), typed)
    assert answer.status_code == 400
    assert "f-cost_error" in text(answer)
    assert "new jack" in text(answer)
    assert f'value="{fault}"' in text(answer)
    assert f'value="{fault}" checked' not in text(answer)


def test_back_in_service_closes_faults_and_what_else_holds_it(reader, unit) -> None:
    flag(unit)
    Downtime.objects.create(unit=unit, cause="late", starts_at=moment(-1))
    planner = reader("planner")
    assert "This closes: dead at 3, not back yet." in text(planner.get(at(unit, "back/")))
    assert planner.post(at(unit, "back/"), {"note": "works again"}).status_code == 303
    unit.refresh_from_db()
    assert unit.state == "in-service"
    assert not Downtime.objects.filter(ends_at__isnull=True).exists()


def test_a_failed_test_goes_on_holding_it_back_until_one_is_passed(reader, unit) -> None:
    planner = reader("planner")
    reading = {"what-1": "earth bond", "value-1": "0.42", "unit-1": "Ω", "limit-1": "0.1"}
    assert planner.post(at(unit, "test/"), {"passed": "no", **reading}).status_code == 303
    unit.refresh_from_db()
    assert unit.state == "held-back"
    assert unit.inspections.get().readings == [{"what": "earth bond", "value": 0.42, "unit": "Ω", "limit": 0.1}]
    assert "stays held back" in text(planner.get(at(unit, "back/")))
    planner.post(at(unit, "back/"), {})
    unit.refresh_from_db()
    assert unit.state == "held-back"
    planner.post(at(unit, "test/"), {"passed": "yes"})
    unit.refresh_from_db()
    assert unit.state == "in-service"


def test_half_a_reading_is_refused_and_stays_typed(reader, unit) -> None:
    answer = reader("planner").post(at(unit, "test/"), {"passed": "yes", "what-2": "insulation", "tester": "Ida"})
    assert answer.status_code == 400
    assert "f-value-2_error" in text(answer)
    assert 'value="insulation"' in text(answer)
    assert not unit.inspections.exists()


@pytest.mark.parametrize(
    ("rest", "typed", "shown"),
    [
        ("fault/", {"port": "3", "what": "dead", "note": "no light"}, ('value="no light"', 'value="3" checked')),
        ("test/", {"passed": "no", "what-2": "insulation", "value-2": "21"}, ('value="insulation"', 'value="21"')),
        ("work/", {"note": "new jack", "cost": "8.40", "currency": "EUR"}, ("new jack", 'value="8.40"')),
        ("edit/", {"condition": "dented", "tag": "NEW-1"}, ('value="dented"', 'value="NEW-1"')),
    ],
)
def test_what_was_typed_outlives_the_session(reader, people, unit, rest: str, typed, shown) -> None:
    import re

    people["planner"]
    nobody = reader()
    asked = nobody.post(at(unit, rest), typed)
    assert asked.status_code == 401
    kept = re.search(r'name="kept" value="([^"]+)"', text(asked))
    signing_in = {"username": "planner", "password": "a long enough password", "kept": kept[1]}
    assert nobody.post("/sign-in/", signing_in)["Location"] == at(unit, rest)
    page = text(nobody.get(at(unit, rest)))
    assert [each for each in shown if each not in page] == []
    assert "This is what you typed before signing in" in page
