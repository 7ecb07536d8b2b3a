"""Address plans against RFC 4632, with the standard library's ipaddress and brute force as oracles."""

from ipaddress import IPv4Network

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calc.addressing import overlaps, plan
from calc.errors import BadInput

needs = st.lists(st.integers(1, 60), max_size=7)


def named(needed):
    return [(f"segment {place}", addresses) for place, addresses in enumerate(needed)]


def smallest_prefix(addresses):
    """RFC 950 and RFC 1122: all-zeros and all-ones are taken; look through every prefix length."""
    return max(length for length in range(31) if 2 ** (32 - length) - 2 >= addresses)


def can_be_placed(pieces, lengths):
    """Try every aligned place in every free piece for every network, in the order given: nobody's shortcut."""
    if not lengths:
        return True
    first, *rest = lengths
    for piece in (piece for piece in pieces if first >= piece.prefixlen):
        others = [other for other in pieces if other != piece]
        for candidate in piece.subnets(new_prefix=first):
            if can_be_placed(others + list(piece.address_exclude(candidate)), rest):
                return True
    return False


@given(needs)
def test_a_plan_is_made_of_networks_that_fit_and_do_not_touch(needed):
    segments = named(needed)
    result = plan("10.1.0.0/16", segments)
    networks = {name: IPv4Network(network) for name, network in result}
    assert set(networks) == {name for name, _ in segments}
    for name, addresses in segments:
        assert networks[name].prefixlen == smallest_prefix(addresses)
        assert networks[name].subnet_of(IPv4Network("10.1.0.0/16"))
    listed = list(networks.values())
    assert not any(a.overlaps(b) for place, a in enumerate(listed) for b in listed[:place])


@given(needs)
def test_largest_first_and_equal_sizes_in_the_order_given(needed):
    segments = named(needed)
    by_hand = sorted(segments, key=lambda segment: smallest_prefix(segment[1]))
    assert [name for name, _ in plan("10.1.0.0/16", segments)] == [name for name, _ in by_hand]


@given(st.lists(st.integers(1, 30), max_size=5))
def test_refused_exactly_where_brute_force_finds_no_place(needed):
    block = IPv4Network("192.168.1.0/27")
    if can_be_placed([block], [smallest_prefix(addresses) for addresses in needed]):
        assert len(plan(str(block), named(needed))) == len(needed)
    else:
        with pytest.raises(BadInput) as error:
            plan(str(block), named(needed))
        assert error.value.argument == "segments"


def test_a_block_filled_to_the_last_address():
    assert plan("10.0.0.0/24", [("a", 126), ("b", 126)]) == [("a", "10.0.0.0/25"), ("b", "10.0.0.128/25")]


def test_one_address_more_does_not_fit():
    with pytest.raises(BadInput) as error:
        plan("10.0.0.0/24", [("a", 126), ("b", 127)])
    assert error.value.argument == "segments"


def test_no_segment_is_an_empty_plan():
    assert plan("10.0.0.0/24", []) == []


@pytest.mark.parametrize(
    ("block", "segments", "argument"),
    [
        ("10.0.0.1/24", [("a", 2)], "block"),
        ("10.0.0.0", [("a", 2)], "block"),
        ("10.0.0.0/33", [("a", 2)], "block"),
        ("10.0.0/24", [("a", 2)], "block"),
        ("fd00::/64", [("a", 2)], "block"),
        (167772160, [("a", 2)], "block"),
        (None, [("a", 2)], "block"),
        ("10.0.0.0/24", [("a", 0)], "segments[0].addresses"),
        ("10.0.0.0/24", [("a", 2), ("b", 2.5)], "segments[1].addresses"),
        ("0.0.0.0/0", [("a", 2**32)], "segments"),
        ("10.0.0.0/24", [("a", 2), ("a", 2)], "segments"),
    ],
)
def test_what_cannot_be_is_named(block, segments, argument):
    with pytest.raises(BadInput) as error:
        plan(block, segments)
    assert error.value.argument == argument


blocks = st.integers(24, 32).flatmap(
    lambda length: st.integers(0, 2 ** (length - 23) - 1).map(
        lambda place: IPv4Network((int(IPv4Network("10.0.0.0/23").network_address) + (place << (32 - length)), length))
    )
)


@given(blocks, blocks)
def test_blocks_overlap_where_they_share_an_address(a, b):
    """Brute force over every address of both."""
    assert overlaps(str(a), str(b)) == bool(set(a) & set(b))


@pytest.mark.parametrize(("a", "b", "argument"), [("10.0.0.0", "10.0.0.0/8", "a"), ("10.0.0.0/8", "10.0.0.1/8", "b")])
def test_what_is_no_block_is_named(a, b, argument):
    with pytest.raises(BadInput) as error:
        overlaps(a, b)
    assert error.value.argument == argument
