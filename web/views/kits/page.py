"""``/kits/{id}/``: what is in it, does it work? With the parts of it that a script swaps in."""

from dataclasses import dataclass
from datetime import datetime
from functools import partial

from django.http import Http404, HttpRequest, HttpResponse
from django.utils import timezone
from django.utils.safestring import SafeString, mark_safe

from calc.rig.kit import Kit as KitFacts
from inventory.base.history import history_rows, show_history
from inventory.base.models import User
from inventory.base.models.checked import CheckState
from inventory.checks.acceptance import REFUSALS
from inventory.drawings.svg import write
from inventory.drawings.tape import Tape, tape
from inventory.errors import ContentsRefusedError, DrawingUnavailableError
from inventory.selectors.briefs import brief_of
from inventory.selectors.checks import CheckShape, read_check, show_check
from inventory.selectors.contents import HeadingShape, kit_heading
from inventory.selectors.drawings import (
    Assembled,
    Marks,
    assembled,
    is_laid_out,
    kit_facts,
    marks_of,
    wiring_drawing,
    wiring_graph,
)
from scheduling.selectors.kits import bookings_around
from web.components import bars
from web.components.brief import AskedLine, asked_lines
from web.components.contents import Contents, ContentsRow, contents
from web.components.findings import Finding, findings, gathered
from web.components.history import HistoryLine, history_lines
from web.components.kit_promises import KitPromise, kit_promises
from web.components.links import LinkRow, link_rows
from web.components.missing import typed_for_finding
from web.components.plug_map import PlugMap, no_plug_map, plug_map
from web.components.port_words import ports_of, ports_set_apart
from web.components.tags import TagModel, tag_model
from web.components.verdicts import WAITING, Verdict, verdicts
from web.page import Page

LINES_OF_HISTORY = 12


@dataclass(frozen=True, slots=True, kw_only=True)
class Lid:
    """The upper part of the page, which a new check changes as a whole."""

    kit: int
    address: str
    wiring_address: str
    """Before ``#w-<position>``; empty when the drawing stands on this page."""
    checking: bool
    failed: str
    """What broke the check off."""
    headline: Finding | None
    """The worst finding that nobody accepted."""
    before: str
    """The verdict before the check that is under way or that broke off."""
    verdicts: tuple[Verdict, ...]
    findings: tuple[Finding, ...]
    figures: tuple[bars.Figure, ...]
    plugs: PlugMap
    checked_at: datetime | None
    may_accept: frozenset[str]
    """Verbs of acceptance that the reader's role permits."""
    may_ask: bool
    swap: bool = False
    """Put in beside another part, by its id."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ContentsPart:
    """The table of contents."""

    kit: int
    address: str
    contents: Contents
    may_edit: bool
    may_flag: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class EditedPart:
    """What an edit of one position changes on the page."""

    lid: Lid
    part: ContentsPart
    rows: tuple[ContentsRow, ...]
    """The position, as it is now; none when it was removed."""


@dataclass(frozen=True, slots=True, kw_only=True)
class WiringPart:
    """The wiring: drawn at once if it is laid out already, else asked for by a script or by a link."""

    kit: int
    address: str
    name: str
    drawing: SafeString | None
    refusal: str
    links: tuple[LinkRow, ...]
    unwired: tuple[str, ...]
    may_edit: bool

    @property
    def title(self) -> str:
        return f"Wiring of {self.name}"


@dataclass(frozen=True, slots=True, kw_only=True)
class BriefPart:
    """What the kit is for."""

    address: str
    lines: tuple[AskedLine, ...]
    may_edit: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class KitModel:
    title: str
    heading: HeadingShape
    tag: TagModel | None
    colour: Tape
    weight: str
    lid: Lid
    part: ContentsPart
    wiring: WiringPart
    promises: tuple[KitPromise, ...]
    brief: BriefPart
    history: tuple[HistoryLine, ...]


class KitPage(Page):
    permits = {"GET": "kit.read"}
    section = "/kits/"

    def get(self, request: HttpRequest, kit_id: int) -> HttpResponse:
        heading, kit = read_kit(kit_id)
        checked = checked_kit(kit)
        check = checked.check
        may_edit = self.person().may("kit.edit")
        wiring = wiring_part(checked, may_edit=may_edit, at_once=False)
        history = list(history_rows().filter(noun="kit", object_id=kit_id)[:LINES_OF_HISTORY])
        page = KitModel(
            title=heading["name"],
            heading=heading,
            tag=tag_model(heading["tag"]) if heading["tag"] else None,
            colour=tape(heading["colour"]),
            weight=bars.plain("", check["figures"].get("weight_kg"), "kg").words if check["figures"] else "",
            lid=lid_of(self, checked, drawn=wiring.drawing is not None),
            part=contents_part(kit, check, self.person()),
            wiring=wiring,
            promises=kit_promises(bookings_around(kit_id, timezone.now()), kit_id),
            brief=brief_part(kit, may_edit=may_edit),
            history=history_lines(show_history(history)),
        )
        return self.show("web/pages/kit.html", page)


class LidPart(Page):
    """Asked every second while a check is under way: nothing new, or the upper part of the page."""

    permits = {"GET": "kit.read"}

    def get(self, request: HttpRequest, kit_id: int) -> HttpResponse:
        if not self.wants_part():
            return self.go_to(address_of(kit_id))
        if check_of(kit_id)["state"] in WAITING:
            return HttpResponse(status=204)
        _, kit = read_kit(kit_id)
        checked = checked_kit(kit)
        part = contents_part(kit, checked.check, self.person())
        return self.show_part("web/parts/checked.html", CheckedPart(lid=lid_of(self, checked, drawn=True), part=part))


@dataclass(frozen=True, slots=True, kw_only=True)
class CheckedPart:
    """What a finished check changes on the page."""

    lid: Lid
    part: ContentsPart


class WiringPage(Page):
    permits = {"GET": "kit.read"}
    section = "/kits/"

    def get(self, request: HttpRequest, kit_id: int) -> HttpResponse:
        _, kit = read_kit(kit_id)
        part = wiring_part(checked_kit(kit), may_edit=self.person().may("kit.edit"), at_once=True)
        if self.wants_part():
            return self.show_part("web/parts/wiring.html", part)
        return self.show("web/pages/wiring.html", part)


def read_kit(kit_id: int) -> tuple[HeadingShape, KitFacts]:
    """Return what a kit's page is made of; five statements.

    In this order: contents newer than the version make a form stale. A check is read afterwards: one that is newer than
    the contents shows itself.

    Raises:
        Http404: there is no such kit.
    """
    return heading_of(kit_id), facts_of(kit_id)


def facts_of(kit_id: int) -> KitFacts:
    """Return a kit as calculation sees it.

    Raises:
        Http404: there is no such kit.
    """
    kit = kit_facts(kit_id)
    if kit is None:
        raise no_such_kit(kit_id)
    return kit


def heading_of(kit_id: int) -> HeadingShape:
    """Return what a kit's page begins with; one statement.

    Raises:
        Http404: there is no such kit.
    """
    heading = kit_heading(kit_id)
    if heading is None:
        raise no_such_kit(kit_id)
    return heading


def check_of(kit_id: int) -> CheckShape:
    """Return the check of a kit; two statements at most.

    Raises:
        Http404: there is no such kit.
    """
    check = show_check(kit_id)
    if check is None:
        raise no_such_kit(kit_id)
    return check


@dataclass(frozen=True, slots=True, kw_only=True)
class CheckedKit:
    """A kit with its check and, where calculation takes what is in it, what its drawings are made of."""

    facts: KitFacts
    check: CheckShape
    assembled: Assembled | None
    refusal: str
    """Why calculation does not take what is in it."""

    @property
    def marks(self) -> Marks:
        """Return where the findings of its check point."""
        return marks_of(self.check["findings"])

    @property
    def is_drawn(self) -> bool:
        """Whether the wiring is laid out already, so that it is on the page of the kit."""
        return self.assembled is not None and is_laid_out(wiring_graph(self.assembled))


def checked_kit(facts: KitFacts) -> CheckedKit:
    """Return a kit that was read with its check; two statements at most.

    Raises:
        Http404: it was removed in the meantime.
    """
    check = read_check(facts.id)
    if check is None:
        raise no_such_kit(facts.id)
    try:
        return CheckedKit(facts=facts, check=check.shown, assembled=assembled(facts, check), refusal="")
    except ContentsRefusedError as error:
        return CheckedKit(facts=facts, check=check.shown, assembled=None, refusal=error.detail)


def no_such_kit(kit_id: int) -> Http404:
    return Http404(f"There is no kit {kit_id}.")


def address_of(kit_id: int) -> str:
    return f"/kits/{kit_id}/"


def lid_of(page: Page, checked: CheckedKit, *, drawn: bool, swap: bool = False) -> Lid:
    """Return the upper part of the page; ``drawn`` says that the wiring stands on the same page."""
    kit, check = checked.facts, checked.check
    told = ports_set_apart(ports_of(kit, checked.assembled.design if checked.assembled else None))
    typed = partial(typed_for_finding, kit, may=page.person().may)
    found = gathered(findings(check["findings"], typed, told))
    address = address_of(kit.id)
    last = check["last"]
    return Lid(
        kit=kit.id,
        address=address,
        wiring_address="" if drawn else f"{address}wiring/",
        checking=check["state"] in WAITING,
        failed=check["error"] or "" if check["state"] == CheckState.FAILED else "",
        headline=next((each for each in found if not each.accepted), None),
        before=last["verdict"] if last is not None and check["state"] != CheckState.DONE else "",
        verdicts=verdicts(check),
        findings=found,
        figures=_figures(check),
        plugs=plug_map(checked.assembled, checked.marks) if checked.assembled else no_plug_map(checked.refusal),
        checked_at=check["finished_at"],
        may_accept=frozenset(verb for verb in REFUSALS if page.person().may(verb)),
        may_ask=page.person().may("check.request"),
        swap=swap,
    )


def contents_part(kit: KitFacts, check: CheckShape, person: User) -> ContentsPart:
    """Return the table of contents, with what somebody may do there."""
    return ContentsPart(
        kit=kit.id,
        address=address_of(kit.id),
        contents=contents(kit, check["findings"]),
        may_edit=person.may("kit.edit"),
        may_flag=person.may("fault.report"),
    )


def brief_part(kit: KitFacts, *, may_edit: bool) -> BriefPart:
    """Return what the kit is for; units outside it are counted, not named."""
    packed = [position.unit for position in kit.positions if position.unit is not None]
    lines = asked_lines(brief_of(kit), {unit.id: unit.tag for unit in packed})
    return BriefPart(address=address_of(kit.id), lines=lines, may_edit=may_edit)


def wiring_part(checked: CheckedKit, *, may_edit: bool, at_once: bool) -> WiringPart:
    """Return the wiring; ``at_once`` lays it out now, whatever it takes."""
    kit = checked.facts
    drawing, refusal, unwired = _wiring(checked, at_once=at_once)
    return WiringPart(
        kit=kit.id,
        address=address_of(kit.id),
        name=kit.name,
        drawing=drawing,
        refusal=refusal,
        links=link_rows(kit),
        unwired=unwired,
        may_edit=may_edit,
    )


def _wiring(checked: CheckedKit, *, at_once: bool) -> tuple[SafeString | None, str, tuple[str, ...]]:
    """Return the drawing, or why there is none, and what is not wired."""
    if checked.assembled is None:
        return None, checked.refusal, ()
    graph = wiring_graph(checked.assembled)
    if not graph.leads or not (at_once or is_laid_out(graph)):
        return None, "", graph.unwired
    try:
        drawing = write(wiring_drawing(graph, name=checked.facts.name, marks=checked.marks))
    except DrawingUnavailableError as error:
        return None, error.detail, graph.unwired
    return mark_safe(drawing), "", graph.unwired  # noqa: S308 - a tree of elements, which escapes what people typed


SUMS = (
    ("mains_va", "Mains, as apparent power", "VA"),
    ("mains_a", "Mains current", "A"),
    ("neutral_a", "Neutral current", "A"),
    ("heat_w", "Heat inside", "W"),
    ("case_rise_celsius", "Warmer inside by", "K"),
    ("weight_kg", "Weight", "kg"),
)


def _figures(check: CheckShape) -> tuple[bars.Figure, ...]:
    """Return the sums of the check: those with a limit, those without, and last the names of those not known."""
    sums = check["figures"]
    if not sums:
        return ()
    shown = [
        bars.against(f"Power, {source['label']}", source["allotted_w"], source["budget_w"], "W")
        for source in sums.get("poe", ())
    ]
    shown += [bars.plain(words, sums[name], unit) for name, words, unit in SUMS if sums.get(name) is not None]
    shown += [bars.plain(f"Current on {leg}", current, "A") for leg, current in sums.get("legs_a", {}).items()]
    shown += [
        bars.plain(f"Runs on its battery at most, {one['label']}", one["minutes"], "min")
        for one in sums.get("run_times", ())
    ]
    unknown = [words for name, words, _ in SUMS if name in sums and sums[name] is None]
    if unknown:
        shown.append(bars.Figure(name="Not known", words="; ".join(unknown), bar=None))
    return tuple(shown)
