"""IPv4 address plans: cutting a block into segments, and whether two blocks collide."""

from collections.abc import Sequence
from ipaddress import AddressValueError, IPv4Address, IPv4Network, NetmaskValueError

from calc.errors import BadInput, require_list, require_whole

_RESERVED = 2  # the network's own address and its broadcast address
_BLOCK_IN_WORDS = "an IPv4 block in CIDR notation without host bits, such as '192.168.16.0/24'"


def plan(block: str, segments: Sequence[tuple[str, int]]) -> list[tuple[str, str]]:
    """Return one network for each segment: largest first, equal sizes in the order given, aligned, side by side.

    A network of n host bits has 2ⁿ − 2 usable addresses. Largest first leaves no gap between aligned powers of two,
    so a plan is refused only where none exists.

    Args:
        block: The block to cut, in CIDR notation. [-]
        segments: Name of each segment and the addresses that it needs, its gateway included. [-]

    Raises:
        BadInput: not a block, a need below 1, a name that comes twice, or the segments do not fit into the block.

    >>> plan("192.168.16.0/24", [("crew", 60), ("guests", 120)])
    [('guests', '192.168.16.0/25'), ('crew', '192.168.16.128/26')]

    Source: RFC 4632 (aligned blocks); RFC 1122 (the all-zeros and all-ones host addresses are taken).
    """
    whole = _network("block", block)
    segments = require_list("segments", segments)
    _require_segments(segments)
    sizes = sorted(((name, _network_size(needed)) for name, needed in segments), key=lambda entry: -entry[1])
    taken = sum(size for _, size in sizes)
    if taken > whole.num_addresses:
        accepted = f"segments that fit into {whole.num_addresses} addresses; these take {taken}"
        raise BadInput("segments", list(segments), accepted)
    networks = []
    first = int(whole.network_address)
    for name, size in sizes:
        networks.append((name, str(IPv4Network((IPv4Address(first), 33 - size.bit_length())))))
        first += size
    return networks


def overlaps(a: str, b: str) -> bool:
    """Return whether two IPv4 blocks have an address in common.

    Args:
        a: One block, in CIDR notation. [-]
        b: The other block, in CIDR notation. [-]

    Raises:
        BadInput: not a block.

    Source: RFC 4632.
    """
    return _network("a", a).overlaps(_network("b", b))


def _network(argument: str, block: object) -> IPv4Network:
    # IPv4Network also takes integers and a bare address; a plan is cut from what somebody wrote down as a block.
    if not isinstance(block, str) or "/" not in block:
        raise BadInput(argument, block, _BLOCK_IN_WORDS)
    try:
        return IPv4Network(block)
    except (AddressValueError, NetmaskValueError, ValueError) as error:
        raise BadInput(argument, block, _BLOCK_IN_WORDS) from error


def _require_segments(segments: Sequence[tuple[str, int]]) -> None:
    for place, segment in enumerate(segments):
        if not isinstance(segment, (tuple, list)) or len(segment) != 2 or not isinstance(segment[0], str):
            raise BadInput(f"segments[{place}]", segment, "a pair of a name and the addresses needed")
    names = [name for name, _ in segments]
    if len(set(names)) != len(names):
        raise BadInput("segments", names, "each name once")
    for place, (_, needed) in enumerate(segments):
        require_whole(f"segments[{place}].addresses", needed, least=1)


def _network_size(needed: int) -> int:
    return 1 << (needed + _RESERVED - 1).bit_length()
