"""The 80-bit word of one frame (SMPTE ST 12-1): where each digit and flag sits, packing and unpacking."""

from __future__ import annotations

from core.values import dataclass

BITS = 80

SYNC = (0, 0, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 0, 1)
"""Bits 64 to 79 in the order in which they are sent."""

DIGITS = {
    "frames": ((0, 4, 1), (8, 2, 10)),
    "seconds": ((16, 4, 1), (24, 3, 10)),
    "minutes": ((32, 4, 1), (40, 3, 10)),
    "hours": ((48, 4, 1), (56, 2, 10)),
}
"""Field: (first bit, number of bits, weight) of its units and its tens; lowest bit first."""

GROUPS = (4, 12, 20, 28, 36, 44, 52, 60)
"""First bit of each of the eight binary groups (user bits), group 1 first."""

DROP, COLOUR = 10, 11
"""Flag bits that stay where they are at every rate."""

LIMITS = {"hours": 24, "minutes": 60, "seconds": 60, "frames": 30}


def parity_bit(count: int) -> int:
    """Where the polarity correction bit sits: 59 at 25 frames a second, else 27."""
    return 59 if count == 25 else 27


def group_flag_bits(count: int) -> tuple[int, int, int]:
    """Where binary group flags 0, 1 and 2 sit; two of them move at 25 frames a second."""
    return (27, 58, 43) if count == 25 else (43, 58, 59)


@dataclass(frozen=True, slots=True)
class Word:
    """What one frame of timecode says."""

    hours: int
    minutes: int
    seconds: int
    frames: int
    count: int = 30
    """Labels a second (24, 25, 30): the word does not tell, but flags sit by it."""
    drop: bool = False
    colour: bool = False
    user: int = 0
    """Eight binary groups as eight hexadecimal digits, group 1 the leftmost."""
    group_flags: int = 0
    """Binary group flags: bit 0 is flag 0."""

    def __post_init__(self) -> None:
        for name, limit in LIMITS.items():
            if not 0 <= getattr(self, name) < limit:
                raise ValueError(f"{name} {getattr(self, name)} is beyond the clock")
        if self.frames >= self.count or self.count not in (24, 25, 30):
            raise ValueError(f"frame {self.frames} does not exist at {self.count} frames a second")
        if not 0 <= self.user < 1 << 32 or not 0 <= self.group_flags < 8:
            raise ValueError("user bits are 32, group flags 3")


def bits_of(word: Word) -> tuple[int, ...]:
    """The 80 bits in the order in which they are sent, polarity correction set so that the zeros are even."""
    bits = [0] * 64 + list(SYNC)
    for name, parts in DIGITS.items():
        value = getattr(word, name)
        for (first, length, _), digit in zip(parts, (value % 10, value // 10), strict=True):
            for place in range(length):
                bits[first + place] = digit >> place & 1
    for group, first in enumerate(GROUPS):
        for place in range(4):
            bits[first + place] = word.user >> (28 - 4 * group + place) & 1
    bits[DROP], bits[COLOUR] = int(word.drop), int(word.colour)
    for place, bit in enumerate(group_flag_bits(word.count)):
        bits[bit] = word.group_flags >> place & 1
    bits[parity_bit(word.count)] = sum(bits) % 2
    return tuple(bits)


def pack(word: Word) -> bytes:
    """The word as ten bytes, bit 0 the lowest bit of byte 0."""
    bits = bits_of(word)
    return bytes(sum(bits[8 * byte + place] << place for place in range(8)) for byte in range(10))


def unpack(packed: bytes, count: int = 30) -> tuple[Word, bool]:
    """What ten bytes say, and whether the polarity correction bit is as it should be.

    Raises:
        ValueError: not ten bytes, no sync word, or a digit that no clock shows.
    """
    if len(packed) != 10:
        raise ValueError(f"a word of timecode is 10 bytes, not {len(packed)}")
    bits = [packed[place // 8] >> place % 8 & 1 for place in range(BITS)]
    if tuple(bits[64:]) != SYNC:
        raise ValueError("the sync word is not at its place")
    fields = {}
    for name, parts in DIGITS.items():
        units, tens = (sum(bits[first + k] << k for k in range(length)) for first, length, _ in parts)
        if units > 9:
            raise ValueError(f"{name} have a digit of {units}")
        fields[name] = units + 10 * tens
    user = sum(bits[first + k] << (28 - 4 * g + k) for g, first in enumerate(GROUPS) for k in range(4))
    flags = sum(bits[bit] << place for place, bit in enumerate(group_flag_bits(count)))
    word = Word(
        **fields, count=count, drop=bool(bits[DROP]), colour=bool(bits[COLOUR]), user=user, group_flags=flags
    )
    return word, sum(bits) % 2 == 0
