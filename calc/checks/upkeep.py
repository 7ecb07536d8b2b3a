"""What network gear is set up with: who can change it, which version it runs, whether what was saved still holds."""

from collections.abc import Iterator

from calc.checking.drafts import Draft, undecided
from calc.checking.registry import check
from calc.rig.inputs import Input
from calc.rig.subjects import about, about_kit, listed
from calc.rig.wiring import Wired

BRIEF = "the kit's own brief"


@check("controller-absent", ("caution", "note"), BRIEF, of_units=True)
def controller_absent(wired: Wired) -> Iterator[Draft]:
    """No computer is along that can change what some gear does; a note for one kit by itself."""
    here = {position.unit.id for position in wired.positions() if position.unit is not None}
    for kit, brief in wired.briefs:
        for controller in brief.controllers:
            if here & set(controller.computers):
                continue
            ruled = sorted(wired.paths[place] for place in controller.positions if place in wired.paths)
            yield Draft(
                subject=about_kit(wired, kit),
                severity="caution" if wired.on_site else "note",
                message=f"Take a computer with {controller.name} along: without it nobody can change "
                f"{listed(ruled) or 'what it rules'}.",
                inputs=(
                    Input(name="software", value=controller.name),
                    Input(name="computers that have it", value=len(controller.computers)),
                ),
            )


@check("firmware-drift", "caution", BRIEF, of_units=True)
def firmware_drift(wired: Wired) -> Iterator[Draft]:
    """A unit runs another version than its kit is meant for."""
    for _, brief in wired.briefs:
        for meant in brief.firmware:
            place = wired.places.get(wired.same_place.get(meant.position, meant.position))
            if place is None or place.unit is None or place.unit.firmware == meant.version:
                continue
            inputs = (
                Input(name="meant", value=meant.version),
                Input(
                    name=f"{place.unit.tag}: firmware",
                    value=place.unit.firmware,
                    provenance="unknown" if place.unit.firmware is None else "measured",
                ),
            )
            if place.unit.firmware is None:
                yield undecided(
                    about(place),
                    f"Read the version off {place.unit.tag} in {place.path}: it is meant to run {meant.version}.",
                    unlocks="unit.firmware",
                    inputs=inputs,
                )
                continue
            yield Draft(
                subject=about(place),
                message=f"Bring {place.unit.tag} in {place.path} to {meant.version}: it runs {place.unit.firmware}.",
                inputs=inputs,
            )


@check("config-stale", "caution", BRIEF)
def config_stale(wired: Wired) -> Iterator[Draft]:
    """The wiring of a kit was changed after its configuration was saved."""
    for kit, brief in wired.briefs:
        saved = brief.configuration
        if kit is None or saved is None or kit.wired_at is None or kit.wired_at <= saved.saved_at:
            continue
        yield Draft(
            subject=about_kit(wired, kit),
            message=f"Save the configuration {saved.mark} again: it is of {saved.saved_at:%Y-%m-%d}, and the wiring of "
            f"{kit.name} was changed on {kit.wired_at:%Y-%m-%d}.",
            inputs=(
                Input(name="saved", value=saved.saved_at.isoformat()),
                Input(name="wired", value=kit.wired_at.isoformat()),
            ),
        )
