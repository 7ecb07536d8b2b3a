"""How it is lifted."""

from django import forms

from calc.lifting import COUPLINGS, TEAM_SHARES
from calc.rig.brief import Lift
from web.brief.rows import Part

HOLDS = {"good": "good handles", "fair": "handles of a kind, or fingers under it", "poor": "neither"}


class LiftRow(Part):
    """The fields are those of NIOSH 94-110, as ``calc.lifting.recommended_limit`` takes them."""

    is_a = Lift
    words = "lift"
    folded = ("asymmetry_deg", "lifts_per_min", "duration_h", "coupling")

    name = forms.CharField(max_length=60, label="Where", help_text="Such as the van.")
    people = forms.TypedChoiceField(
        coerce=int,
        empty_value=None,
        choices=[("", "one"), *((count, str(count)) for count in range(2, len(TEAM_SHARES) + 1))],
        required=False,
        label="People",
    )
    horizontal_cm = forms.FloatField(
        min_value=0, max_value=300, label="Reach, cm", help_text="Hands in front of the ankles."
    )
    origin_cm = forms.FloatField(min_value=0, max_value=300, label="Begins at, cm", help_text="Hands above the floor.")
    travel_cm = forms.FloatField(min_value=0, max_value=300, label="Up or down, cm")
    asymmetry_deg = forms.FloatField(
        min_value=0, max_value=180, required=False, label="Turned by, °", help_text="Empty: straight ahead."
    )
    lifts_per_min = forms.FloatField(
        min_value=0, max_value=60, required=False, label="Lifts a minute", help_text="Empty: one in five minutes."
    )
    duration_h = forms.FloatField(
        min_value=0.01, max_value=8, required=False, label="Hours of it", help_text="Empty: one."
    )
    coupling = forms.ChoiceField(
        choices=[("", HOLDS["good"]), *((each, HOLDS[each]) for each in COUPLINGS if each != "good")],
        required=False,
        label="Held by",
    )
