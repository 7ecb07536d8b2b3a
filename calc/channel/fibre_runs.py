"""Fibre runs: how far an optical application reaches on a kind of glass, and how much light it may lose."""

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

from calc.errors import BadInput, require_number, require_one_of, require_whole

_MULTIMODE = ("OM1", "OM2", "OM3", "OM4", "OM5")
_SINGLE_MODE = ("OS", "OS1", "OS2")
FIBRES = _MULTIMODE + _SINGLE_MODE


@dataclass(frozen=True, slots=True)
class Optics:
    """What two ends of one optical application send, and over how many fibres."""

    speed_mbps: float
    sends_nm: tuple[int, ...]
    """Wavelength of the light, by its nominal value; two where the two ends differ, since one fibre goes both ways."""
    fibres: int
    """Fibres in use between the two ends. [-]"""


_OPTICS: Mapping[str, Optics] = MappingProxyType(
    {
        "100BASE-FX": Optics(100, (1300,), 2),  # IEEE 802.3 clause 26, from memory
        "1000BASE-SX": Optics(1000, (850,), 2),
        "1000BASE-LX": Optics(1000, (1310,), 2),  # 1300 on multimode fibre: the same window
        "1000BASE-LX10": Optics(1000, (1310,), 2),
        "1000BASE-BX10": Optics(1000, (1310, 1490), 1),  # IEEE 802.3 clause 58, from memory
        "10GBASE-SR": Optics(10_000, (850,), 2),
        "10GBASE-LR": Optics(10_000, (1310,), 2),
        "10GBASE-ER": Optics(10_000, (1550,), 2),
        "10GBASE-BR10": Optics(10_000, (1270, 1330), 1),  # IEEE 802.3cp, from memory
        "25GBASE-SR": Optics(25_000, (850,), 2),
        "25GBASE-LR": Optics(25_000, (1310,), 2),
        "40GBASE-SR4": Optics(40_000, (850,), 8),  # IEEE 802.3 clause 86, from memory
        "40GBASE-LR4": Optics(40_000, (1310,), 2),  # clause 87, from memory: four wavelengths about 1300 nm
        "100GBASE-SR4": Optics(100_000, (850,), 8),  # clause 95, from memory
        "100GBASE-LR4": Optics(100_000, (1310,), 2),  # clause 88, from memory: four wavelengths about 1300 nm
    }
)
FIBRE_APPLICATIONS = tuple(_OPTICS)

# Reach in metres, and channel insertion loss in dB with the connections between included: all losses from memory.
_ON_FIBRE: Mapping[tuple[str, str], tuple[float, float]] = MappingProxyType(
    {
        ("100BASE-FX", "OM1"): (2_000.0, 11.0),  # from memory, as on 50 µm
        ("100BASE-FX", "OM2"): (2_000.0, 11.0),
        ("100BASE-FX", "OM3"): (2_000.0, 11.0),
        ("100BASE-FX", "OM4"): (2_000.0, 11.0),
        ("100BASE-FX", "OM5"): (2_000.0, 11.0),
        ("1000BASE-SX", "OM1"): (275.0, 2.6),
        ("1000BASE-SX", "OM2"): (550.0, 3.56),
        ("1000BASE-SX", "OM3"): (550.0, 3.56),  # from memory: the figure for 50 µm, no more for better fibre
        ("1000BASE-SX", "OM4"): (550.0, 3.56),  # from memory, likewise
        ("1000BASE-SX", "OM5"): (550.0, 3.56),  # from memory, likewise
        ("1000BASE-LX", "OM1"): (550.0, 2.35),  # from memory
        ("1000BASE-LX", "OM2"): (550.0, 2.35),  # from memory
        ("1000BASE-LX", "OM3"): (550.0, 2.35),  # from memory
        ("1000BASE-LX", "OM4"): (550.0, 2.35),  # from memory, as on 50 µm
        ("1000BASE-LX", "OM5"): (550.0, 2.35),  # from memory, as on 50 µm
        ("1000BASE-LX", "OS"): (5_000.0, 4.57),
        ("1000BASE-LX10", "OS"): (10_000.0, 6.0),
        ("1000BASE-BX10", "OS"): (10_000.0, 5.5),  # from memory
        ("10GBASE-SR", "OM1"): (33.0, 1.6),
        ("10GBASE-SR", "OM2"): (82.0, 1.8),  # OM1/OM2 split from memory
        ("10GBASE-SR", "OM3"): (300.0, 2.6),
        ("10GBASE-SR", "OM4"): (400.0, 2.9),
        ("10GBASE-SR", "OM5"): (400.0, 2.9),  # from memory, as on OM4
        ("10GBASE-LR", "OS"): (10_000.0, 6.2),
        ("10GBASE-ER", "OS"): (40_000.0, 10.9),
        ("10GBASE-BR10", "OS"): (10_000.0, 6.2),  # from memory
        ("25GBASE-SR", "OM3"): (70.0, 1.8),  # clause 112, from memory
        ("25GBASE-SR", "OM4"): (100.0, 1.9),  # likewise
        ("25GBASE-SR", "OM5"): (100.0, 1.9),  # likewise
        ("25GBASE-LR", "OS"): (10_000.0, 6.3),  # clause 114, from memory
        ("40GBASE-SR4", "OM3"): (100.0, 1.9),  # clause 86, from memory
        ("40GBASE-SR4", "OM4"): (150.0, 1.5),  # likewise
        ("40GBASE-SR4", "OM5"): (150.0, 1.5),  # likewise
        ("40GBASE-LR4", "OS"): (10_000.0, 6.7),  # clause 87, from memory
        ("100GBASE-SR4", "OM3"): (70.0, 1.8),  # clause 95, from memory
        ("100GBASE-SR4", "OM4"): (100.0, 1.9),  # likewise
        ("100GBASE-SR4", "OM5"): (100.0, 1.9),  # likewise
        ("100GBASE-LR4", "OS"): (10_000.0, 6.3),  # clause 88, from memory
    }
)

MATED_PAIR_LOSS_DB = 0.75  # from memory
SPLICE_LOSS_DB = 0.3  # from memory
EXPANDED_BEAM_LOSS_DB = 1.5  # common practice
_MULTIMODE_LOSS_DB_PER_KM = MappingProxyType({850: 3.5, 1300: 1.5})  # from memory
_SINGLE_MODE_LOSS_DB_PER_KM = MappingProxyType({1310: 1.0, 1550: 1.0})  # from memory


@dataclass(frozen=True, slots=True, kw_only=True)
class FibreBudget:
    """The optical budget of a fibre run."""

    available_db: float
    """Weakest light sent over weakest light understood. [dB]"""
    loss_db: float
    margin_db: float
    """Light to spare. [dB]"""
    overload_margin_db: float | None
    """Room below the receiver's most; None if one of the two maxima is not known. [dB]"""
    ok: bool
    """No known margin is negative."""


def optics_of(application: str) -> Optics:
    """Return what the two ends of an optical application send.

    Args:
        application: One of ``FIBRE_APPLICATIONS``. [-]

    Raises:
        BadInput: another application.

    >>> optics_of("10GBASE-LR").sends_nm
    (1310,)

    Source: IEEE 802.3; what is from memory is marked beside the table.
    """
    require_one_of("application", application, FIBRE_APPLICATIONS)
    return _OPTICS[application]


def fibre_reach_m(fibre: str, application: str) -> float:
    """Return how far an optical application of IEEE 802.3 reaches on a kind of fibre.

    Args:
        fibre: ``"OM1"`` to ``"OM5"``, ``"OS1"``, ``"OS2"``, or ``"OS"`` for any single-mode fibre. [-]
        application: One of ``FIBRE_APPLICATIONS``. [-]

    Raises:
        BadInput: an unknown fibre or application, or one on which the standard does not run the other.

    Source: IEEE 802.3z; IEEE 802.3 clause 52; what is from memory is marked beside the table.
    """
    return _ON_FIBRE[_fitting(fibre, application)][0]


def fibre_loss_limit_db(fibre: str, application: str) -> float:
    """Return the most that a run may lose between the two optics of an application of IEEE 802.3.

    The connections between the two ends count; those into the optics themselves do not: their launch power is stated
    behind them.

    Args:
        fibre: As ``fibre_reach_m``. [-]
        application: As ``fibre_reach_m``. [-]

    Raises:
        BadInput: as ``fibre_reach_m``.

    >>> fibre_loss_limit_db("OM3", "10GBASE-SR")
    2.6

    Source: IEEE 802.3, channel insertion loss; the figures are from memory.
    """
    return _ON_FIBRE[_fitting(fibre, application)][1]


def _fitting(fibre: str, application: str) -> tuple[str, str]:
    require_one_of("fibre", fibre, FIBRES)
    require_one_of("application", application, FIBRE_APPLICATIONS)
    kind = "OS" if fibre in _SINGLE_MODE else fibre
    if (application, kind) not in _ON_FIBRE:
        fitting = ", ".join(repr(name) for on, name in _ON_FIBRE if on == application)
        raise BadInput("fibre", fibre, f"a fibre that {application} runs on: {fitting}")
    return application, kind


def fibre_loss_db(
    length_m: float,
    fibre: str,
    wavelength_nm: int,
    mated_pairs: int = 2,
    splices: int = 0,
    expanded_beam_pairs: int = 0,
) -> float:
    """Return the most that a sound, clean fibre run may lose.

    Args:
        length_m: Length of the fibre. [m]
        fibre: ``"OM1"`` to ``"OM5"``, ``"OS1"``, ``"OS2"`` or ``"OS"``. [-]
        wavelength_nm: 850 or 1300 on multimode, 1310 or 1550 on single-mode fibre. [nm]
        mated_pairs: Physical-contact connector pairs, the two at the ends included. [-]
        splices: Splices. [-]
        expanded_beam_pairs: Expanded-beam (lens) connector pairs. [-]

    Raises:
        BadInput: a negative length or count, an unknown fibre, or a wavelength that the fibre has no figure for.

    Source: ANSI/TIA-568: 0.75 dB a mated pair, 0.3 dB a splice, 3.5 / 1.5 dB/km multimode at 850 / 1300 nm, 1.0 dB/km
        single-mode (from memory); expanded beam 1.5 dB a pair is common practice.
    """
    require_number("length_m", length_m, least=0)
    require_one_of("fibre", fibre, FIBRES)
    loss_db_per_km = _SINGLE_MODE_LOSS_DB_PER_KM if fibre in _SINGLE_MODE else _MULTIMODE_LOSS_DB_PER_KM
    require_one_of("wavelength_nm", wavelength_nm, tuple(loss_db_per_km))
    joined_db = (
        require_whole("mated_pairs", mated_pairs, least=0) * MATED_PAIR_LOSS_DB
        + require_whole("splices", splices, least=0) * SPLICE_LOSS_DB
        + require_whole("expanded_beam_pairs", expanded_beam_pairs, least=0) * EXPANDED_BEAM_LOSS_DB
    )
    return joined_db + length_m / 1000 * loss_db_per_km[wavelength_nm]


def fibre_budget_db(
    loss_db: float,
    transmit_min_dbm: float,
    receive_min_dbm: float,
    transmit_max_dbm: float | None = None,
    receive_max_dbm: float | None = None,
    least_loss_db: float = 0.0,
) -> FibreBudget:
    """Return whether enough light arrives at the far end of a fibre run, and not too much.

    Long-range optics on a short run can blind their receiver: that is judged when both maxima are given.

    Args:
        loss_db: Most that the run may lose, as ``fibre_loss_db`` tells. [dB]
        transmit_min_dbm: Least power that the transmitter launches. [dBm]
        receive_min_dbm: Least power that the receiver understands. [dBm]
        transmit_max_dbm: Most power that the transmitter launches; None if not known. [dBm]
        receive_max_dbm: Most power that the receiver bears; None if not known. [dBm]
        least_loss_db: Least that the run loses for certain, an attenuator for instance. [dB]

    Raises:
        BadInput: a number is not finite, a loss is negative, ``least_loss_db`` is above ``loss_db``, or a maximum is
            below its minimum.

    Source: IEEE 802.3 clause 52, link power budget: launch power − channel insertion loss ≥ receiver sensitivity.
    """
    require_number("loss_db", loss_db, least=0)
    require_number("transmit_min_dbm", transmit_min_dbm)
    require_number("receive_min_dbm", receive_min_dbm)
    require_number("least_loss_db", least_loss_db, least=0, most=loss_db)
    if transmit_max_dbm is not None:
        require_number("transmit_max_dbm", transmit_max_dbm, least=transmit_min_dbm)
    if receive_max_dbm is not None:
        require_number("receive_max_dbm", receive_max_dbm, least=receive_min_dbm)
    available_db = transmit_min_dbm - receive_min_dbm
    margin_db = available_db - loss_db
    overload_margin_db = None
    if transmit_max_dbm is not None and receive_max_dbm is not None:
        overload_margin_db = receive_max_dbm - (transmit_max_dbm - least_loss_db)
    return FibreBudget(
        available_db=available_db,
        loss_db=loss_db,
        margin_db=margin_db,
        overload_margin_db=overload_margin_db,
        ok=margin_db >= 0 and (overload_margin_db is None or overload_margin_db >= 0),
    )
