"""All rigs: the sound ones, and those with an everyday error planted into them."""

from tests.rigs import (
    backbone_planted,
    backbone_sound,
    mains_american_planted,
    mains_american_sound,
    mains_planted,
    mains_sound,
    mains_sources_planted,
    mains_stage_planted,
    mains_stage_sound,
    network_planted,
    network_sound,
    poe_and_copper_planted,
    powered_planted,
    signals_and_stage,
    stage_planted,
    stage_sound,
)
from tests.rigs.declare import Rig, names_once

SOUND: tuple[Rig, ...] = (
    *mains_sound.RIGS,
    *mains_stage_sound.RIGS,
    *mains_american_sound.RIGS,
    *network_sound.RIGS,
    *backbone_sound.RIGS,
    *signals_and_stage.SOUND,
    *stage_sound.RIGS,
)
PLANTED: tuple[Rig, ...] = (
    *mains_planted.RIGS,
    *mains_stage_planted.RIGS,
    *mains_sources_planted.RIGS,
    *mains_american_planted.RIGS,
    *network_planted.RIGS,
    *backbone_planted.RIGS,
    *powered_planted.RIGS,
    *poe_and_copper_planted.RIGS,
    *signals_and_stage.PLANTED,
    *stage_planted.RIGS,
)
ALL: tuple[Rig, ...] = names_once((*SOUND, *PLANTED))
