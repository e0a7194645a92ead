"""A calibration tape's tones, made with a known response and azimuth, read back through the workbook."""

import math
from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path

import numpy as np
import pytest
import soundfile
from scipy.signal import freqs

from core.errors import Refused
from core.lineup.on_shelf import lineups_of
from core.store.studio.studio_toml import read_studio_file
from core.workbook.workbook import Workbook

DEMO = Path(__file__).resolve().parents[2] / "demo"
RATE, HZ, ZERO = 48000, (1000, 4000, 10000, 16000), -18.0
APART_MM, MINUTES = 23.8125, 0.5


def flux_db(hz: float, low_us: float | None, high_us: float) -> float:
    """Recorded flux by SciPy: NAB 3180 and 50 us, IEC1 35 us at 15 ips (IEC 60094-1)."""
    turn = [2 * math.pi * hz]
    _, treble = freqs([1], [high_us * 1e-6, 1], turn)
    _, bass = freqs([low_us * 1e-6, 1], [low_us * 1e-6, 0], turn) if low_us else (0, np.ones(1))
    return float(20 * np.log10(abs(treble[0] * bass[0])))


@pytest.fixture
def workbook(tmp_path: Path) -> Workbook:
    """The made-up shelf; its deck D1 stands at NAB 15 ips, 250 nWb/m."""
    studio = read_studio_file(DEMO / "studio.toml")
    book = Workbook.create(tmp_path / "t.json", studio, lambda: datetime(2026, 12, 1, 19, tzinfo=UTC))
    book.import_files([DEMO / "reels.csv"])
    return book


@pytest.fixture
def captured(tmp_path: Path) -> Callable[[Callable[[float], float]], Path]:
    """Writes 2.5 s of each tone on 16 tracks, the last ahead by the azimuth error; track 3 is 1 dB up."""

    def write(level_db: Callable[[float], float]) -> Path:
        ahead = APART_MM * math.tan(math.radians(MINUTES / 60)) / (15 * 25.4)
        time = np.arange(int(2.5 * RATE)) / RATE
        gains = 10 ** (np.array([1.0 if track == 2 else 0.0 for track in range(16)]) / 20)
        parts = []
        for hz in HZ:
            size = 10 ** ((ZERO + level_db(hz)) / 20) * gains
            tone = [g * np.sin(2 * np.pi * hz * (time + ahead * k / 15)) for k, g in enumerate(size)]
            parts += [np.array(tone).T, np.zeros((RATE // 2, 16))]
        path = tmp_path / "tones.wav"
        soundfile.write(path, np.concatenate(parts), RATE, "PCM_24")
        return path

    return write


def test_a_nab_tape_on_a_flat_nab_deck_reads_nothing_off(
    workbook: Workbook, captured: Callable[..., Path]
) -> None:
    made = workbook.handing_out.line_up(
        "D1", "CAL-1", [captured(lambda hz: 0.0)], zero_dbfs=ZERO, apart_mm=APART_MM
    )
    for key in ("level-1000", "treble-10000", "treble-16000", "response-4000"):
        assert made.record.reading(key, 1, "before") == pytest.approx(0, abs=0.02)
        assert made.record.reading(key, 3, "before") == pytest.approx(1, abs=0.02)
    assert made.azimuth is not None and made.azimuth.sure
    assert made.azimuth.minutes == pytest.approx(MINUTES, abs=0.005)
    assert lineups_of(workbook.shelf)[-1].readings == made.record.readings


def test_what_an_iec1_tape_must_read_on_a_nab_deck_is_known(
    workbook: Workbook, captured: Callable[..., Path]
) -> None:
    workbook.change(lambda s: s.with_reel(_as_iec1(s.reel("CAL-1"))), what="another tape")

    def iec1_on_nab(hz: float) -> float:
        def off(f: float) -> float:
            return flux_db(f, None, 35) - flux_db(f, 3180, 50)

        return off(hz) - off(1000)

    made = workbook.handing_out.line_up("D1", "CAL-1", [captured(iec1_on_nab)], zero_dbfs=ZERO)
    line = made.sheet.line("treble-10000")
    assert line is not None and line.expected == pytest.approx(iec1_on_nab(10000), abs=1e-3)
    reading = made.record.reading("treble-10000", 1, "before")
    assert reading == pytest.approx(iec1_on_nab(10000), abs=0.02)


def _as_iec1(reel):  # type: ignore[no-untyped-def]
    from dataclasses import replace

    return replace(reel, eq="IEC1")


def test_what_cannot_be_read_is_said_in_one_line(workbook: Workbook, tmp_path: Path) -> None:
    hiss = tmp_path / "hiss.wav"
    soundfile.write(hiss, np.random.default_rng(1).normal(0, 0.05, (RATE * 2, 16)), RATE)
    with pytest.raises(Refused, match="no tones found"):
        workbook.handing_out.line_up("D1", "CAL-1", [hiss])
    stereo = tmp_path / "stereo.wav"
    soundfile.write(stereo, np.zeros((RATE, 2)), RATE)
    with pytest.raises(Refused, match="2 channels"):
        workbook.handing_out.line_up("D1", "CAL-1", [stereo])
    with pytest.raises(Refused, match="no calibration reel"):
        workbook.handing_out.line_up("D1", "R-001", [hiss])
    assert not lineups_of(workbook.shelf)
