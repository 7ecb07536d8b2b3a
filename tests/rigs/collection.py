"""All rigs: the sound ones, and those with an everyday error planted into them."""

from tests.rigs import (
    mains_planted,
    mains_sound,
    mains_stage_sound,
    network_planted,
    network_sound,
    poe_and_copper_planted,
    signals_and_stage,
)
from tests.rigs.declare import Rig, names_once

SOUND: tuple[Rig, ...] = (*mains_sound.RIGS, *mains_stage_sound.RIGS, *network_sound.RIGS, *signals_and_stage.SOUND)
PLANTED: tuple[Rig, ...] = (
    *mains_planted.RIGS,
    *network_planted.RIGS,
    *poe_and_copper_planted.RIGS,
    *signals_and_stage.PLANTED,
)
ALL: tuple[Rig, ...] = names_once((*SOUND, *PLANTED))
