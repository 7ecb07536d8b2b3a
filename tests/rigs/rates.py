"""Judge every rig against what an expert expects, and count: ``python -m tests.rigs.rates`` prints the four rates."""

import sys
from dataclasses import dataclass

from calc.checking.findings import Result
from tests.rigs.calculated import judge
from tests.rigs.collection import PLANTED, SOUND
from tests.rigs.declare import Rig

MOST_FINDINGS = 3
"""So many lines a sound rig may have at most."""
ALARMS = ("stop", "caution")


@dataclass(frozen=True, kw_only=True)
class Rates:
    """How the calculation does over a collection of rigs."""

    false_stops: tuple[str, ...]
    """Names of sound rigs on which a stop is found."""
    false_cautions: tuple[str, ...]
    missed: tuple[str, ...]
    """Names of planted errors that are not found as they should be."""
    talkative: tuple[str, ...]
    """Names of sound rigs with more than ``MOST_FINDINGS`` findings."""


def rates() -> Rates:
    """Return the rates over the whole collection."""
    sound = {rig.name: judge(rig) for rig in SOUND}
    return Rates(
        false_stops=tuple(name for name, result in sound.items() if _has(result, "stop")),
        false_cautions=tuple(name for name, result in sound.items() if _has(result, "caution")),
        missed=tuple(rig.name for rig in PLANTED if missed(rig, judge(rig))),
        talkative=tuple(name for name, result in sound.items() if len(result.findings) > MOST_FINDINGS),
    )


def _has(result: Result, severity: str) -> bool:
    return any(finding.severity == severity for finding in result.findings)


def missed(rig: Rig, result: Result) -> list[str]:
    """Return the codes that should be found on the rig and are not, or at another severity."""
    found = {(finding.code, finding.severity) for finding in result.findings}
    return [code for code, severity in rig.finds.items() if (code, severity) not in found]


def false_alarms(rig: Rig, result: Result) -> list[str]:
    """Return what is found on the rig and should not be: each alarm that the rig does not name."""
    named = {*rig.finds, *rig.also}
    return [
        f"{finding.severity} {finding.code}: {finding.message}"
        for finding in result.findings
        if finding.code in rig.never or (finding.severity in ALARMS and finding.code not in named)
    ]


def main() -> int:
    found = rates()
    for words, names, of in (
        ("false stops on sound rigs", found.false_stops, SOUND),
        ("false cautions on sound rigs", found.false_cautions, SOUND),
        ("planted errors missed", found.missed, PLANTED),
        (f"sound rigs with more than {MOST_FINDINGS} findings", found.talkative, SOUND),
    ):
        print(f"{words}: {len(names)} of {len(of)}" + "".join(f"\n    {name}" for name in names))  # noqa: T201
    return 0


if __name__ == "__main__":
    sys.exit(main())
